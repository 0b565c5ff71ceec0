"""An overlay on a bend: the gap, the three ways in, local strain, marks, pull."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.optimize import brentq

from foamcalc.fit.local import even_marks, local_strain
from foamcalc.fit.overlay import Overlay
from foamcalc.fit.stack import Piece
from foamcalc.foam.law import Linear
from foamcalc.shape.curve import Arc, Drawn, TurnedLength
from foamcalc.shape.ellipse import Ellipse
from foamcalc.shape.segments import Bezier, EllipseArc

FOAM = Linear(1.5)
BASE = Piece(thickness=10, law=FOAM, formed=1.0)
OVER = Piece(thickness=5, law=FOAM)
PI = math.pi


def tape(*, base: Piece = BASE, **said: float) -> Overlay:
    return Overlay.from_tape(**{"cut": 55 * PI, "needed": 60 * PI, **said}, base=base, overlay=OVER)


def on(curve, **said) -> Overlay:
    return Overlay.from_curve(curve, **{"base": BASE, "overlay": OVER, **said})


# The gap --------------------------------------------------------------------------------------


def test_half_a_turn_of_ten_and_five():
    joint = on(Arc(50, PI), face="inside")
    # exact by hand: middles at radius 55 and 62.5; the tape lies at radius 60
    assert joint.cut_length == pytest.approx(55 * PI, rel=1e-14)
    assert joint.needed_length == pytest.approx(62.5 * PI, rel=1e-14)
    assert joint.gap == pytest.approx(23.562, abs=5e-4)
    assert joint.tape_gap == pytest.approx(5 * PI, rel=1e-13)
    assert (joint.inside_length, joint.outside_length) == pytest.approx((50 * PI, 60 * PI))


@pytest.mark.parametrize(
    ("radius", "t1", "t2", "k1", "k2"),
    [(50, 10, 5, 0.5, 0.5), (80, 6, 4, 0.545, 0.48), (30, 2, 12, 0.4, 0.6)],
)
def test_strain_round_a_cylinder(radius, t1, t2, k1, k2):
    base = Piece(thickness=t1, law=FOAM, fibre=k1)
    over = Piece(thickness=t2, law=FOAM, fibre=k2)
    joint = on(Arc(radius, 1.9), face="inside", base=base, overlay=over)
    # exact by hand: ((1 - k1) t1 + k2 t2)/(R + k1 t1), whatever the turn; the gap is its top x turn
    offset = (1 - k1) * t1 + k2 * t2
    assert joint.rigid_strain == pytest.approx(offset / (radius + k1 * t1), rel=1e-12)
    assert joint.gap == pytest.approx(1.9 * offset, rel=1e-12)
    assert local_strain(joint, 0.0) == pytest.approx(joint.rigid_strain, rel=1e-12)


@pytest.mark.parametrize("axes", [(60, 45), (45, 60), (200, 30)])
def test_half_an_ellipse_asks_for_turn_times_offset(axes):
    joint = on(Ellipse(*axes, 0, PI), face="inside")
    # exact by hand: half a turn x 7.5 mm, whatever the axes
    assert joint.gap == pytest.approx(7.5 * PI, rel=1e-10)


@pytest.mark.parametrize("bead", [0.0, 0.5, 2.0])
def test_glue_lifts_the_overlay(bead):
    # exact by hand: half a turn costs pi mm for each mm of glue
    assert tape(bead=bead).needed_length == pytest.approx((62.5 + bead) * PI, rel=1e-13)


def test_an_s_of_two_half_turns_strains_both_ways():
    five = Piece(thickness=5, law=FOAM)
    convex = on(Arc(60, PI), face="inside", base=five)
    hollow = on(Arc(65, -PI), face="inside", base=five)
    # exact by hand: 5 mm of offset over a middle at radius 62.5 is 8 %, each way, total 0
    assert local_strain(convex, [0.0, 50.0]) == pytest.approx([0.08, 0.08], rel=1e-12)
    assert local_strain(hollow, 10.0) == pytest.approx(-0.08, rel=1e-12)
    assert convex.gap + hollow.gap == pytest.approx(0.0, abs=1e-12)


def test_a_hollow_makes_the_overlay_too_long():
    joint = Overlay.from_turn(outside_length=200, turn=-PI / 2, base=BASE, overlay=OVER)
    # exact by hand: -7.5 mm x a quarter turn
    assert joint.gap == pytest.approx(-7.5 * PI / 2, rel=1e-12)
    assert float(joint.force()) == 0.0


def test_a_closed_ring_has_a_gap_all_the_same():
    joint = on(Arc(50, 2 * PI, closed=True), face="inside")
    # exact by hand: a full turn x 7.5 mm
    assert joint.gap == pytest.approx(15 * PI, rel=1e-12)


# The three ways in ----------------------------------------------------------------------------


def test_the_ways_in_agree():
    ways = [
        tape(turn=PI),
        tape(mouth=100.0),
        tape(inside=50 * PI),
        tape(),
        Overlay.from_turn(outside_length=60 * PI, turn=PI, base=BASE, overlay=OVER),
        on(Arc(60, PI)),
        on(Arc(50, PI), face="inside"),
        on(TurnedLength(50 * PI, PI), face="inside"),
    ]
    for joint in ways:
        # exact by hand: half a turn, inside radius 50
        assert joint.turn == pytest.approx(PI, rel=1e-9)
        assert joint.needed_length == pytest.approx(62.5 * PI, rel=1e-9)
        assert joint.cut_length == pytest.approx(55 * PI, rel=1e-9)
        assert joint.inside_length == pytest.approx(50 * PI, rel=1e-9)


@pytest.mark.parametrize(
    ("said", "how"),
    [
        ({"turn": 1.0}, "given"),
        ({"mouth": 120.0}, "from the mouth"),
        ({"inside": 160.0}, "from the readings inside and outside"),
        ({}, "worked out from the two readings, as if the overlay was cut like its base"),
        ({"cut": 190.0}, "half a turn, assumed"),
    ],
)
def test_a_joint_says_how_its_turn_is_known(said, how):
    joint = tape(**said)
    # exact by hand: the texts a maker shall read
    assert joint.turn_from == how
    assert joint.turn_measured == (len(said) == 1 and "cut" not in said)


@pytest.mark.parametrize("mouth", [0.0, 30.0, 100.0, 150.0, 187.0])
def test_the_turn_from_the_mouth_has_that_mouth(mouth):
    joint = tape(mouth=mouth)
    # exact by hand: chord of the inside, 2 R sin(turn/2) with R = needed/turn - 10
    radius = 60 * PI / joint.turn - 10
    assert 2 * radius * math.sin(joint.turn / 2) == pytest.approx(mouth, abs=1e-8)


@pytest.mark.parametrize(
    ("degrees", "taken"),
    [(19.9, 180.0), (20.1, 20.1), (90.0, 90.0), (359.9, 359.9), (360.1, 180.0), (-30.0, 180.0)],
)
def test_a_turn_worked_out_is_believed_from_20_degrees_to_a_full_turn(degrees, taken):
    joint = tape(needed=400.0, cut=400.0 - 5.0 * math.radians(degrees))
    # exact by hand: (needed - cut)/((1 - 1/2) 10 mm), else half a turn
    assert math.degrees(joint.turn) == pytest.approx(taken, rel=1e-9)


def test_the_turn_worked_out_goes_by_the_fibre_of_the_base():
    base = Piece(thickness=10, law=FOAM, fibre=0.6)
    joint = tape(base=base, needed=200.0, cut=194.0)
    # exact by hand: 6 mm over 0.4 x 10 mm
    assert joint.turn == pytest.approx(1.5, rel=1e-12)


def test_cut_and_curve_are_kept_by_a_new_cut_length():
    joint = tape(turn=PI).with_cut(190.0)
    # exact by hand
    assert joint.cut_length == 190.0
    assert joint.gap == pytest.approx(62.5 * PI - 190.0, rel=1e-12)


# Marks, pull, spans ---------------------------------------------------------------------------


def test_marks_on_an_even_bend_lie_at_quarters():
    on_base, on_overlay = even_marks(tape(turn=PI))
    quarters = np.linspace(0, 1, 5)
    # exact by hand
    assert on_base == pytest.approx(60 * PI * quarters, abs=1e-9)
    assert on_overlay == pytest.approx(55 * PI * quarters, abs=1e-9)
    assert [len(m) for m in even_marks(tape(turn=PI), parts=6)] == [7, 7]


def ellipse_share(a: float, b: float, part: float, *, tape_at: float, fibre_at: float) -> float:
    """Share of the fibre's length at a share of the tape's, over the upper half of an ellipse."""

    def run(t: float, offset: float) -> float:
        arc = quad(lambda u: math.hypot(a * math.sin(u), b * math.cos(u)), 0, t, epsabs=1e-12)[0]
        return arc + offset * math.atan2(a * math.sin(t), b * math.cos(t))

    goal = part * run(PI, tape_at)
    t = brentq(lambda u: run(u, tape_at) - goal, 0.0, PI, xtol=1e-13)
    return run(t, fibre_at) / run(PI, fibre_at)


@pytest.mark.parametrize("axes", [(60.0, 45.0), (45.0, 60.0), (120.0, 30.0)])
def test_marks_on_an_uneven_bend_share_the_stretch_evenly(axes):
    joint = on(Ellipse(*axes, 0, PI), face="inside")
    on_base, on_overlay = even_marks(joint)
    shares = [ellipse_share(*axes, k / 4, tape_at=10.0, fibre_at=12.5) for k in range(5)]
    # independent: arc length by quadrature, direction of the normal in closed form
    assert on_base == pytest.approx(joint.outside_length * np.linspace(0, 1, 5), abs=1e-9)
    assert on_overlay == pytest.approx(joint.cut_length * np.array(shares), abs=2e-3)
    # the joint is uneven indeed: the quarter marks are not at quarters
    assert abs(on_overlay[1] - joint.cut_length / 4) > 0.05


def test_pull_that_closes_the_gap():
    over = Piece(thickness=5, law=FOAM, width=100)
    joint = Overlay.from_turn(outside_length=60 * PI, turn=PI, base=BASE, overlay=over)
    need = 62.5 * PI
    # exact by hand: 5 x 100 mm2 x 1.5 MPa x strain; nothing where it is not short. The pull over
    # 60 mm squeezes 10 mm wholly and 2.5 mm by three quarters.
    give = 5 * (10 + 0.75 * 2.5) / 60
    for cut in (need / 1.02, 55 * PI):
        strain = (62.5 + give) / (cut / PI + give) - 1
        assert float(joint.force(cut)) == pytest.approx(750 * strain, rel=2e-5)
        assert joint.with_cut(cut).strain == pytest.approx(strain, rel=2e-5)
    assert joint.force([need, need + 5]) == pytest.approx([0.0, 0.0], abs=1e-9)
    assert joint.with_cut(need + 5).strain == pytest.approx(need / (need + 5) - 1, rel=1e-12)


@pytest.mark.parametrize(("face", "radius"), [("inside", 50), ("outside", 60)])
@pytest.mark.usefixtures("whole_ends")
def test_an_even_bend_is_one_span(face, radius):
    spans = on(Arc(radius, PI), face=face).shell.spans()
    # exact by hand: one stack, the overlay on the base
    assert spans.inside == pytest.approx([50 * PI], rel=1e-12)
    assert spans.turns == pytest.approx([PI], rel=1e-12)
    assert spans.stacks == ((0,),)


@pytest.mark.parametrize("face", ["inside", "outside"])
def test_spans_of_an_uneven_bend_add_up_to_its_inside(face):
    joint = on(Ellipse(80, 50, 0, PI), face=face)
    spans = joint.shell.spans()
    assert spans.inside.size == spans.turns.size > 10
    # exact by hand: lengths and turns of the parts add up
    assert spans.inside.sum() == pytest.approx(joint.inside_length, rel=1e-9)
    assert spans.turns.sum() == pytest.approx(PI, rel=1e-9)


# Bad input ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("said", "message"),
    [
        ({"cut": 0.0}, "cut.* must be .*above 0 mm, got 0.0"),
        ({"cut": math.nan, "turn": 1.0}, "cut length must be .*got nan"),
        ({"needed": -3.0}, "needed must be .*got -3.0"),
        ({"inside": 0.0}, "inside must be .*got 0.0"),
        ({"bead": -0.1}, "bead must be .*got -0.1"),
        ({"turn": 1.0, "mouth": 100.0}, "give only one of turn, mouth and inside"),
        ({"turn": 1.0, "inside": 100.0}, "give only one of turn, mouth and inside"),
        ({"mouth": 300.0}, "mouth must be .*got 300"),
        ({"mouth": -1.0}, "mouth must be .*got -1"),
        ({"turn": math.radians(400)}, "at most a full turn .*got 400 deg"),
        ({"needed": 60.0, "cut": 60.0, "turn": 2 * PI}, "offset of 10 mm folds"),
    ],
)
def test_a_joint_that_cannot_be_is_refused(said, message):
    with pytest.raises(ValueError, match=message):
        tape(**said)


def test_an_overlay_that_folds_in_a_hollow_is_refused_with_the_place():
    # exact by hand: 20 mm over half a turn is a radius of 6.37 mm
    with pytest.raises(ValueError, match=r"8 mm folds .*hollow has a radius of only 6\.37 mm"):
        Overlay.from_turn(
            outside_length=20, turn=-PI, base=BASE, overlay=Piece(thickness=8, law=FOAM)
        )


def test_an_unknown_face_is_refused():
    with pytest.raises(ValueError, match=r"face must be .*'upper'"):
        on(Arc(50, PI), face="upper")
    with pytest.raises(ValueError, match=r"face must be .*'upper'"):
        Overlay(base=BASE, overlay=OVER, curve=Arc(50, PI), cut_length=100, face="upper")


def test_a_hollow_bend_of_a_drawn_curve_counts_although_it_has_corners_too():
    """Exact by hand: up, a convex corner, a straight piece, then a hollow quarter of 40 mm."""
    hollow = EllipseArc(centre=(100, 140), u=(0, -40), v=(40, 0), start=0, sweep=np.pi / 2)
    drawn = Drawn(
        [Bezier([(0, 0), (0, 100)]), Bezier([(0, 100), (100, 100)]), hollow], outside="left"
    )
    assert [round(float(np.degrees(c.turn))) for c in drawn.corners] == [90]
    assert [run.hollow for run in drawn.runs() if run.start < run.end][-1]
    assert on(drawn).over_hollow and not on(drawn, end=190).over_hollow
