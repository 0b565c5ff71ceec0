"""The glued shell let go: mouth and radius, and the shortest overlay that keeps the limits."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from foamcalc.fit import shell as shell_module
from foamcalc.fit.overlay import Overlay
from foamcalc.fit.release import let_go, outcomes_table, released, shortest_cut
from foamcalc.fit.stack import Piece
from foamcalc.foam.law import HyperFoam, Law, Linear
from foamcalc.shape.curve import Arc
from foamcalc.shape.ellipse import Ellipse

LINEAR = Linear(1.5)
EVEN = HyperFoam(mu=0.6, alpha=2.0, poisson=0.25)
PI = math.pi
NO_LIMIT = 1e9


GIVE = 5 * (10 + 0.75 * 2.5) / 60
"""By hand: pulled round 60 mm, 5 mm squeeze 10 mm wholly and half of themselves by 3/4 [mm]."""


def shell(
    *,
    radius: float = 50,
    turn: float = PI,
    thick: tuple[float, float] = (10, 5),
    formed: tuple[float, float] = (1, 0),
    share: float = 1.0,
    law: Law = LINEAR,
) -> Overlay:
    """An overlay cut like its base; `share` is its width over the base's."""
    base = Piece(thickness=thick[0], law=law, formed=formed[0])
    over = Piece(thickness=thick[1], law=law, formed=formed[1], width=100 * share)
    return Overlay.from_curve(Arc(radius, turn), face="inside", base=base, overlay=over)


def by_hand(
    *, radius: float, turn: float, thick: tuple[float, float], formed: float, share: float, cut
) -> tuple[float, float, float]:
    """Inside radius, mouth and turn at rest, linear foam: two linear equations, quadrature."""
    t1, t2 = thick
    middle = (radius + t1 / 2) * turn
    layers = [
        (0.0, t1, 1.0, lambda z: middle + formed * turn * (z - t1 / 2)),
        (t1, t1 + t2, share, lambda z: cut),
    ]

    def moment(power: int, over: int) -> float:
        return sum(
            w * quad(lambda z, n=n: z**power / n(z) ** over, low, high, epsabs=1e-13)[0]
            for low, high, w, n in layers
        )

    matrix = [[moment(0, 1), moment(1, 1)], [moment(1, 1), moment(2, 1)]]
    length, bend = np.linalg.solve(matrix, [moment(0, 0), moment(1, 0)])
    return length / bend, abs(2 * length / bend * math.sin(bend / 2)), bend


# Check values, linear foam: base 10 mm to inside radius 50, overlay 5 mm, half a turn ------------


@pytest.mark.parametrize(
    ("share", "radius", "digit"), [(1.0, 174.3, 0.05), (0.5, 125, 0.5), (0.2, 84.5, 0.05)]
)
@pytest.mark.usefixtures("whole_ends")
def test_an_overlay_stretched_to_fit_opens_the_shell(share, radius, digit):
    outcome = let_go(shell(share=share))
    # derived check values: 174.3 full width, 125 half as wide, 84.5 (85) a fifth
    assert outcome.radius_after == pytest.approx(radius, abs=digit)
    assert outcome.radius_before == pytest.approx(50, rel=1e-12)
    # exact by hand: 12.5/55 - 1, less what 5 mm x 1.5 MPa pulled over 60 mm squeeze
    assert outcome.strain == pytest.approx((62.5 + GIVE) / (55 + GIVE) - 1, rel=2e-5)


@pytest.mark.usefixtures("whole_ends")
def test_the_mouth_by_how_the_gap_is_closed():
    joint = shell()
    need = joint.needed_length
    stretched, little, longer = (let_go(joint.with_cut(c)) for c in (55 * PI, need / 1.02, need))
    # derived check values: mouth 100 to 159 stretched, 115 at 2 %; radius 52.0 cut to length
    assert stretched.size_before == pytest.approx(100, rel=1e-12)
    assert stretched.size_after == pytest.approx(159, abs=0.5)
    assert stretched.opening == pytest.approx(59, abs=0.5)
    assert little.size_after == pytest.approx(115, abs=0.5)
    assert longer.radius_after == pytest.approx(52.0, abs=0.05)


@pytest.mark.usefixtures("whole_ends")
def test_a_base_only_held_in_the_curve():
    joint = shell(formed=(0, 0))
    # derived check values: 80.8 cut to length; cut like its base the pair is flat again
    assert let_go(joint.with_cut(joint.needed_length)).radius_after == pytest.approx(80.8, abs=0.05)
    flat = let_go(joint)
    assert flat.size_after == pytest.approx(55 * PI, rel=1e-9)
    assert abs(flat.radius_after) > 1e6


@pytest.mark.parametrize("formed", [0.0, 0.4, 1.0])
@pytest.mark.parametrize("share", [1.0, 0.3])
@pytest.mark.parametrize("stretch", [1.0, 1.03, 1.1])
@pytest.mark.usefixtures("whole_ends")
def test_linear_foam_against_two_linear_equations(formed, share, stretch):
    case = {"radius": 70.0, "turn": 2.2, "thick": (8.0, 6.0)}
    joint = shell(**case, formed=(formed, 0), share=share)
    cut = joint.needed_length / stretch
    outcome = let_go(joint.with_cut(cut))
    radius, mouth, _ = by_hand(**case, formed=formed, share=share, cut=cut)
    # independent: a two by two system with integrals by quadrature
    assert outcome.radius_after == pytest.approx(radius, rel=1e-7)
    assert outcome.size_after == pytest.approx(mouth, rel=1e-7)


@pytest.mark.parametrize(
    ("radius", "thick", "strain", "after"),
    [(50, (10, 5), 0.10, 111), (100, (10, 2), 0.05, 160), (50, (5, 2), 0.05, 99)],
)
@pytest.mark.usefixtures("whole_ends")
def test_hyperfoam_against_finite_elements(radius, thick, strain, after):
    joint = shell(radius=radius, thick=thick, law=EVEN)
    outcome = let_go(joint.with_cut(joint.needed_length / (1 + strain)))
    # independent: our own finite elements, plane stress, to the printed digits
    assert outcome.radius_after == pytest.approx(after, abs=0.5)


# Laws of scale and of rest --------------------------------------------------------------------


@given(
    turn=st.floats(0.3, 5.5),
    radius=st.floats(30, 300),
    thick=st.tuples(st.floats(2, 12), st.floats(2, 12)),
    law=st.sampled_from([LINEAR, EVEN]),
)
@settings(max_examples=25, deadline=None)
def test_formed_and_cut_to_length_leaves_the_mouth_alone(turn, radius, thick, law):
    joint = shell(radius=radius, turn=turn, thick=thick, formed=(1, 1), law=law)
    outcome = let_go(joint.with_cut(joint.needed_length))
    # exact by hand: no layer is strained where it lies
    assert outcome.opening == pytest.approx(0.0, abs=1e-6)
    assert outcome.force == pytest.approx(0.0, abs=1e-9)


@given(scale=st.floats(0.2, 8.0), turn=st.floats(0.3, 4.0), stretch=st.floats(1.0, 1.12))
@settings(max_examples=25, deadline=None)
def test_all_lengths_larger_all_answers_larger(scale, turn, stretch):
    small = shell(radius=60, turn=turn, thick=(8, 4), law=EVEN)
    large = shell(radius=60 * scale, turn=turn, thick=(8 * scale, 4 * scale), law=EVEN)
    one, two = (let_go(j.with_cut(j.needed_length / stretch)) for j in (small, large))
    # exact by hand: no length is built into the balance
    assert two.size_after == pytest.approx(scale * one.size_after, rel=1e-7)
    assert two.strain == pytest.approx(one.strain, abs=1e-12)


def test_the_more_it_is_stretched_the_wider_the_mouth():
    joint = shell(turn=2.0, law=EVEN)
    mouths = [let_go(joint.with_cut(c)).size_after for c in np.linspace(138.0, 126.0, 7)]
    # exact by hand: the outer layer pulls its side shorter
    assert np.all(np.diff(mouths) > 0.5)


@pytest.mark.parametrize(
    ("turn", "stretch"), [(PI, 1.0), (PI, 62.5 / 55), (0.4, 1.1), (0.4, 1.3), (2.0, 1.05)]
)
@pytest.mark.usefixtures("whole_ends")
def test_the_share_of_the_turn_that_is_lost(turn, stretch):
    joint = shell(turn=turn)
    cut = joint.needed_length / stretch
    outcome = let_go(joint.with_cut(cut))
    radius, _, bend = by_hand(radius=50, turn=turn, thick=(10, 5), formed=1, share=1, cut=cut)
    # independent: two linear equations; past 1 the shell bends the other way
    assert outcome.turn_lost == pytest.approx(1 - bend / turn, rel=1e-6)
    assert (outcome.turn_lost > 1) == (radius < 0)


# Uneven bends ---------------------------------------------------------------------------------


def elliptic(a: float, b: float) -> Overlay:
    base, over = Piece(thickness=10, law=LINEAR, formed=1), Piece(thickness=5, law=LINEAR)
    return Overlay.from_curve(Ellipse(a, b, 0, PI), face="inside", base=base, overlay=over)


def test_an_ellipse_that_is_nearly_round_is_nearly_an_arc():
    joint = elliptic(50.01, 49.99)
    outcome = let_go(joint)
    # independent: the arc of radius 50, whose section is one span
    assert outcome.size_after == pytest.approx(let_go(shell()).size_after, abs=0.05)
    # exact by hand: twice the half-axis along the mouth
    assert outcome.size_before == pytest.approx(100.02, abs=0.01)


@pytest.mark.parametrize("axes", [(60, 45), (45, 60), (110, 40)])
@pytest.mark.usefixtures("whole_ends")
def test_sixty_spans_are_enough(axes, monkeypatch):
    few = let_go(elliptic(*axes))
    monkeypatch.setattr(shell_module, "_SPANS", 480)
    many = let_go(elliptic(*axes))
    assert many.after.x.size == 481
    # independent: eight times as many spans, and the ellipse's own axis; a fifth of a mm is far
    # inside the nearest millimetre, and the rest falls with the square of the number of spans
    assert few.size_after == pytest.approx(many.size_after, abs=0.2)
    assert few.size_before == pytest.approx(2 * axes[0], abs=0.2)
    assert many.size_before == pytest.approx(2 * axes[0], abs=0.2 / 64)


def test_profiles_stand_level_with_the_mouth_they_claim():
    outcome = let_go(elliptic(60, 45))
    for profile, mouth in (
        (outcome.before, outcome.size_before),
        (outcome.after, outcome.size_after),
    ):
        # exact by hand: both ends at height 0, half a mouth from the middle
        assert profile.x[[0, -1]] == pytest.approx([-mouth / 2, mouth / 2], abs=1e-9)
        assert profile.y[[0, -1]] == pytest.approx([0, 0], abs=1e-9)
        assert profile.y.max() > 10


@pytest.mark.usefixtures("whole_ends")
def test_many_cut_lengths_at_once():
    joint = elliptic(60, 45)
    cuts = np.array([[190.0, 195.0, 200.0], [205.0, 201.0, 180.0]])
    rest = released(joint, cuts)
    assert rest.turns.shape == rest.lengths.shape == (2, 3, 60)
    assert rest.size.shape == (2, 3)
    # independent: one at a time
    alone = released(joint, 180.0)
    assert rest.turns[1, 2] == pytest.approx(alone.turns, rel=1e-9)
    assert rest.size[1, 2] == pytest.approx(alone.size, rel=1e-9)


def ring(
    radius: float = 60, thick: tuple[float, float] = (10, 5), share: float = 1.0, formed: float = 1
) -> Overlay:
    """A closed ring with an overlay all round, cut like its base."""
    return Overlay.from_curve(
        Arc(radius, 2 * PI, closed=True),
        face="inside",
        base=Piece(thickness=thick[0], law=LINEAR, formed=formed),
        overlay=Piece(thickness=thick[1], law=LINEAR, width=100 * share),
    )


def ring_girth(radius: float, thick: tuple[float, float], share: float, formed: float, cut: float):
    """Girth inside at rest, linear foam: the turn is given, so one linear equation is left."""
    t1, t2 = thick
    middle = 2 * PI * (radius + t1 / 2)

    def natural(z: float) -> float:
        return middle + formed * 2 * PI * (z - t1 / 2)

    layers = [(0.0, t1, 1.0, natural), (t1, t1 + t2, share, lambda z: cut)]
    give = pull = 0.0
    for low, high, width, n in layers:
        give += width * quad(lambda z, n=n: 1 / n(z), low, high, epsabs=1e-13)[0]
        pull += width * quad(lambda z, n=n: 1 - 2 * PI * z / n(z), low, high, epsabs=1e-13)[0]
    return pull / give


@pytest.mark.parametrize("share", [1.0, 0.4])
@pytest.mark.parametrize("formed", [0.0, 1.0])
@pytest.mark.parametrize("stretch", [1.0, 1.05, 62.5 / 55])
def test_a_closed_ring_has_a_girth(share, formed, stretch):
    joint = ring(share=share, formed=formed)
    cut = joint.needed_length / stretch
    outcome = let_go(joint.with_cut(cut))
    girth = ring_girth(60, (10, 5), share, formed, cut)
    assert outcome.what == "girth"
    # exact by hand: inside radius 60
    assert outcome.size_before == pytest.approx(120 * PI, rel=1e-12)
    assert outcome.radius_before == pytest.approx(60, rel=1e-12)
    # independent: one linear equation with integrals by quadrature; it stays round and whole
    assert outcome.size_after == pytest.approx(girth, rel=1e-9)
    assert outcome.radius_after == pytest.approx(girth / (2 * PI), rel=1e-9)
    assert outcome.opening == pytest.approx(girth - 120 * PI, abs=1e-6)
    assert outcome.turn_lost == 0.0
    radii = np.hypot(outcome.after.x, outcome.after.y)
    assert radii == pytest.approx(np.full(radii.shape, girth / (2 * PI)), rel=1e-9)


def test_rings_that_are_stretched_pinch_and_a_closed_ellipse_has_a_girth_too():
    tight, fitting = (let_go(j) for j in (ring(), ring().with_cut(ring().needed_length)))
    # exact by hand: an overlay that is short squeezes the base, one that fits holds it
    assert tight.opening < -1
    assert abs(fitting.opening) < 0.2 * abs(tight.opening)
    base, over = Piece(thickness=6, law=LINEAR, formed=1), Piece(thickness=3, law=LINEAR)
    joint = Overlay.from_curve(Ellipse(60, 45), face="inside", base=base, overlay=over)
    oval = let_go(joint.with_cut(joint.needed_length / 1.05))
    assert oval.what == "girth"
    # published (scipy.special.ellipe): perimeter 331.5524
    assert oval.size_before == pytest.approx(331.5524, abs=5e-5)
    assert oval.opening < -1


def test_the_shortest_for_a_ring_is_exactly_at_the_limit_of_its_girth():
    joint = ring()
    cut = shortest(joint, strain=0.15, opening=6.0)
    # independent: one linear equation; let go, the girth shrinks by just the limit
    girth = ring_girth(60, (10, 5), 1.0, 1.0, cut)
    assert girth - 120 * PI == pytest.approx(-6.0, abs=1e-4)
    assert cut < joint.needed_length


def test_outcomes_of_a_ring_speak_of_its_girth():
    table = outcomes_table((let_go(ring()),))
    # exact by hand
    assert table["girth before [mm]"].iloc[0] == pytest.approx(120 * PI)
    assert table["opens [mm]"].iloc[0] == pytest.approx(
        table["girth let go [mm]"].iloc[0] - 120 * PI
    )


# The shortest overlay -------------------------------------------------------------------------


def shortest(joint: Overlay, **most: float) -> float | None:
    return shortest_cut(
        joint, **{"strain": NO_LIMIT, "opening": NO_LIMIT, "force": NO_LIMIT, **most}
    )


def test_the_shortest_by_stretch_is_exactly_at_the_limit():
    # exact by hand: needed/(1 + limit), less the squeeze
    need = (62.5 + GIVE) / 1.05 - GIVE
    assert shortest(shell(), strain=0.05) == pytest.approx(need * PI, abs=1e-4)


def test_the_shortest_by_pull_is_exactly_at_the_limit():
    # exact by hand: 5 x 100 mm2 x 1.5 MPa x strain = 15 N at 2 %
    need = (62.5 + GIVE) / 1.02 - GIVE
    assert shortest(shell(), strain=0.5, force=15.0) == pytest.approx(need * PI, abs=1e-4)


@pytest.mark.parametrize("opening", [5.0, 10.0, 30.0])
def test_the_shortest_by_mouth_is_exactly_at_the_limit(opening):
    joint = shell()
    cut = shortest(joint, strain=0.15, opening=opening)
    # exact by hand: let go, it opens by just the limit
    assert let_go(joint.with_cut(cut)).opening == pytest.approx(opening, abs=1e-4)


def test_a_looser_limit_never_asks_for_a_longer_overlay():
    joint = shell()
    for name, limits, rest in (
        ("strain", [0.005, 0.01, 0.03, 0.2], {"opening": 20.0}),
        ("opening", [4.0, 6.0, 12.0, 60.0], {"strain": 0.08}),
        ("force", [1.0, 5.0, 20.0, 400.0], {"strain": 0.05}),
    ):
        cuts = [shortest(joint, **rest, **{name: value}) for value in limits]
        # exact by hand: fewer cuts are ruled out
        assert np.all(np.diff(cuts) < 1e-5)
        assert cuts[0] > cuts[-1]
        assert cuts[0] <= joint.needed_length


def test_every_length_from_the_shortest_up_keeps_the_limits():
    joint = shell()
    cut = shortest(joint, strain=0.5, opening=30.0)
    cuts = np.linspace(cut, joint.needed_length, 40)
    openings = [let_go(joint.with_cut(c)).opening for c in cuts]
    # exact by hand: pulled past straight, the shell bends the other way and its mouth comes back;
    # that is not a fit
    assert max(openings) < 30.0 + 1e-4


def test_the_shortest_never_bends_a_shallow_shell_the_other_way():
    joint = shell(radius=500, turn=0.4)
    cut = shortest(joint, strain=0.15, opening=50.0)
    # exact by hand: the mouth would allow more, so it stops where the shell is straight
    assert let_go(joint.with_cut(cut)).turn_lost == pytest.approx(1.0, abs=1e-5)
    assert let_go(joint.with_cut(cut - 0.1)).opening < 50.0


def test_no_length_will_do_where_the_flat_overlay_alone_opens_the_mouth_too_far():
    # exact by hand: cut to length it opens by 3.8 mm formed, by 37.9 mm only held
    assert shortest(shell(), opening=3.8, strain=0.1) is None
    assert shortest(shell(), opening=3.9, strain=0.1) is not None
    assert shortest(shell(formed=(0, 0)), opening=30, strain=0.1) is None


@pytest.mark.parametrize("name", ["strain", "opening", "force"])
@pytest.mark.parametrize("value", [0.0, -1.0, math.nan])
def test_a_limit_that_is_no_limit_is_refused_by_name(name, value):
    with pytest.raises(ValueError, match=f"^{name} must be .*got {value}"):
        shortest(shell(), **{name: value})


@pytest.mark.usefixtures("whole_ends")
def test_the_table_has_units_in_its_heads():
    outcome = let_go(shell(), name="as it lies")
    table = outcomes_table((outcome,))
    # exact by hand
    assert all(column.endswith("]") for column in table.columns)
    assert list(table.index) == ["as it lies"]
    row = table.loc["as it lies"]
    assert row["cut [mm]"] == pytest.approx(55 * PI)
    strain = (62.5 + GIVE) / (55 + GIVE) - 1
    assert row["stretch [%]"] == pytest.approx(100 * strain, rel=2e-5)
    assert row["pull [N]"] == pytest.approx(750 * strain, rel=2e-5)
    assert row["opens [mm]"] == pytest.approx(row["mouth let go [mm]"] - 100)
    assert row["inside radius [mm]"] == pytest.approx(174.3, abs=0.05)
