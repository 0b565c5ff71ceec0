"""The ends of a stretched overlay: joint, load, test, and the words for a maker."""

from __future__ import annotations

import math

import numpy as np
import pytest

from foamcalc.fit.end_words import (
    end_words,
    hang_words,
    joint_end_words,
    seam_words,
    time_words,
)
from foamcalc.fit.ends import End, check_end, cut_that_holds, end_of, worst_end
from foamcalc.fit.limits import Limit, end_strength
from foamcalc.fit.overlay import Overlay
from foamcalc.fit.shell import Cover
from foamcalc.fit.stack import Piece
from foamcalc.foam import bond
from foamcalc.foam.adhesives import adhesive
from foamcalc.foam.bond import BondCheck, BondTest, Strength, foam_cap
from foamcalc.foam.law import HyperFoam, Linear
from foamcalc.shape.arcs import Arcs
from foamcalc.shape.curve import Arc

EVEN = HyperFoam(mu=0.6, alpha=2.0, poisson=0.25)
RIGHT = math.pi / 2


def over(cut=187.0, *, base=10.0, thick=5.0, law=EVEN, under=EVEN, **more):
    """A scute over a formed half round, inside radius 50 mm (invented)."""
    return Overlay.from_curve(
        Arc(50, np.pi),
        face="inside",
        cut=cut,
        base=Piece(thickness=base, law=under, formed=1),
        overlay=Piece(thickness=thick, law=law, formed=more.pop("formed", 0.0)),
        **more,
    )


def peel(force):
    return BondTest(kind="peel", forces=(force,), width=25, angle=RIGHT).strength()


# From the joint to the end ----------------------------------------------------------------------


def test_an_end_of_a_joint_by_hand():
    joint = over()
    end = end_of(joint)
    # exact by hand: needed pi (50 + 10 + 2.5) mm; its fibre lies at 62.5 mm
    assert end.stretch == pytest.approx(62.5 * math.pi / 187, rel=1e-12)
    assert end.curvature == pytest.approx(1 / 62.5, rel=1e-12)
    assert (end.softness, end.thickness_ratio) == (pytest.approx(1.0), pytest.approx(2.0))
    stress = float(EVEN.stress(end.stretch))
    # independent formula: the room below, fed by hand
    given = {"stress": stress, "modulus": 1.5, "thickness": 5, "curvature": 1 / 62.5}
    given |= {"softness": 1, "thickness_ratio": 2}
    assert (end.shear, end.opening) == pytest.approx(
        tuple(map(float, bond.end_loads(**given))), rel=1e-12
    )
    # regression: the stored figure, and 0.9 of the strain more (derived: 18 % at 20 %)
    assert end.reach == pytest.approx(5 * 6.487 * (1 + 0.9 * (end.stretch - 1)), rel=1e-12)
    energy = float(bond.stored_energy(EVEN, end.stretch))
    glued = end.stretch * float(EVEN.side_stretch(end.stretch))
    assert end.peel == pytest.approx(5 * energy / glued + 1.5 * 125 / 24 / 62.5**2, rel=1e-12)


@pytest.mark.parametrize("face", ["inside", "outside"])
def test_the_fibre_is_found_from_either_face(face):
    radius = 50 if face == "inside" else 60
    joint = Overlay.from_curve(
        Arc(radius, np.pi),
        face=face,
        cut=187.0,
        bead=0.5,
        base=Piece(thickness=10, law=EVEN, formed=1),
        overlay=Piece(thickness=5, law=EVEN),
    )
    # exact by hand: 60 mm outside, the bead, half the overlay
    assert end_of(joint).curvature == pytest.approx(1 / 63.0, rel=1e-12)


def test_a_stiff_base_and_what_lies_between():
    stiff = end_of(over(), under="stiff")
    assert stiff.softness == 0.0
    assert stiff.opening > end_of(over()).opening
    between = Cover(piece=Piece(thickness=5, law=Linear(3.0), formed=1.0))
    end = end_of(over(cut=190.0, under=Linear(1.5), law=Linear(1.5)))
    stacked = end_of(
        Overlay.from_curve(
            Arc(50, np.pi),
            face="inside",
            cut=190.0,
            base=Piece(thickness=10, law=Linear(1.5), formed=1),
            overlay=Piece(thickness=5, law=Linear(1.5)),
            under=(between,),
        )
    )
    # exact by hand: 10 mm at 1.5 and 5 mm at 3.0 in a row give like 15 mm at 1.8 MPa
    assert stacked.thickness_ratio == pytest.approx(3.0, rel=1e-12)
    assert stacked.softness == pytest.approx(1.5 / 1.8, rel=1e-12)
    assert stacked.curvature == pytest.approx(1 / 67.5, rel=1e-12)
    assert end.thickness_ratio == pytest.approx(2.0)


def test_a_formed_overlay_does_not_spring():
    flat = End(thickness=5, law=EVEN, stretch=1.0, curvature=1 / 60)
    formed = End(thickness=5, law=EVEN, stretch=1.0, curvature=1 / 60, formed=1.0)
    # exact: neither pull nor bend is left
    assert formed.opening == formed.peel == 0.0 and flat.opening > 0
    half = End(thickness=5, law=EVEN, stretch=1.0, curvature=1 / 60, formed=0.5)
    # exact by hand: half the bend, a quarter of its energy
    assert half.opening == pytest.approx(flat.opening / 2, rel=1e-12)
    assert half.peel == pytest.approx(flat.peel / 4, rel=1e-12)


def test_in_a_hollow_the_pull_lifts_all_along():
    bent = End(thickness=5, law=Linear(1.5), stretch=1.04, curvature=-1 / 80, formed=1.0)
    flat = End(thickness=5, law=Linear(1.5), stretch=1.04)
    # exact by hand: 1.5 x 0.04 x 5/80 MPa more
    assert bent.opening - flat.opening == pytest.approx(0.06 * 5 / 80, rel=1e-9)
    with pytest.raises(ValueError, match="hollow; hold it against a pull test"):
        check_end(bent, peel(5.0))
    pull = BondTest(kind="pull", forces=(90,), width=30, length=30).strength()
    assert check_end(bent, pull).ratio == pytest.approx(bent.opening / 0.1, rel=1e-12)


def test_each_kind_of_test_has_its_own_demand():
    end = End(thickness=5, law=EVEN, stretch=1.0, curvature=1 / 60)
    assert end.demand("pull") == end.opening
    assert end.demand("peel") == end.peel
    # by hand: the shear of a bend alone points outwards; what counts is its size
    assert end.shear < 0 and end.demand("shear") == -end.shear


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (
            lambda: end_of(over(thick=1.0, cut=180)),
            "thickness ratio must be from 0.25 to 8, got 10",
        ),
        (lambda: end_of(over(under=Linear(0.5))), "softness must be from 0 to 2, got 3"),
        (lambda: end_of(over(), at="middle"), "at must be one of"),
        (lambda: End(thickness=5, law=EVEN, stretch=0.0), "stretch must be a finite number above"),
    ],
)
def test_no_end_is_guessed(call, message):
    with pytest.raises(ValueError, match=message):
        call()


def test_a_ring_covered_all_round_has_no_end():
    ring = Overlay.from_curve(
        Arc(60, 2 * np.pi, closed=True),
        face="inside",
        base=Piece(thickness=10, law=EVEN, formed=1),
        overlay=Piece(thickness=5, law=EVEN),
    )
    with pytest.raises(ValueError, match="has no end"):
        end_of(ring)


def test_an_end_on_a_part_of_a_ring():
    part = Overlay.from_curve(
        Arc(60, 2 * np.pi, closed=True),
        face="inside",
        start=300.0,
        end=50.0,
        cut=150.0,
        base=Piece(thickness=10, law=EVEN, formed=1),
        overlay=Piece(thickness=5, law=EVEN),
    )
    # exact by hand
    assert end_of(part).curvature == pytest.approx(1 / 72.5, rel=1e-12)
    assert end_of(part, at="start").opening == pytest.approx(end_of(part).opening, rel=1e-12)


# Cut longer -------------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", ["peel", "pull", "shear"])
def test_the_shortest_cut_just_holds(kind):
    joint = over(formed=0.7)
    asked = end_of(joint).demand(kind)
    weak = Strength(kind=kind, value=0.6 * asked, low=0.5 * asked, high=2 * asked, basis="invented")
    cut = cut_that_holds(joint, weak)
    assert cut is not None and joint.cut_length < cut < joint.needed_length
    # exact: there the demand is the low end of the range, and it holds; a little shorter not
    assert end_of(joint.with_cut(cut)).demand(kind) == pytest.approx(0.5 * asked, rel=1e-6)
    assert check_end(end_of(joint.with_cut(cut)), weak).verdict == "holds"
    assert check_end(end_of(joint.with_cut(cut - 0.01)), weak).verdict == "may lift"


def test_when_even_the_bend_lifts_it():
    # by hand: E t**3/(24 R**2) = 1.5 x 125/24/62.5**2 = 0.0020 N/mm from the bend alone
    tired = Strength(kind="peel", value=0.0019, low=None, high=None, basis="invented")
    assert cut_that_holds(over(), tired) is None
    assert cut_that_holds(over(formed=1.0), tired) is not None
    with pytest.raises(ValueError, match="no end is sure to hold"):
        cut_that_holds(over(), foam_cap("peel", 1.5))


def test_a_very_good_glue_holds_any_cut():
    good = Strength(kind="peel", value=50.0, low=None, high=None, basis="invented")
    joint = over()
    # exact: as short as is looked at, half as long again when stretched
    assert cut_that_holds(joint, good) == pytest.approx(joint.needed_length / 1.5, rel=1e-12)


# Words ------------------------------------------------------------------------------------------


def end_42():
    """An end whose pull builds up over 6 x 6.487 x 1.072 = 42 mm."""
    return End(thickness=6, law=EVEN, stretch=1.08, curvature=1 / 60, softness=1, thickness_ratio=2)


def test_words_when_they_hold():
    end = end_42()
    # exact by hand: the strength is four times the demand
    check = check_end(end, peel(100 * end.peel))
    assert end_words(end, check) == (
        "The ends hold: they ask 25% of what your test carried; hold the last 42 mm of each till "
        "the glue is at full strength."
    )
    slight = check_end(end, peel(25 * 300 * end.peel))
    assert "they ask less than 1% of what your test carried" in end_words(end, slight)
    pressed = End(thickness=5, law=EVEN, stretch=0.98)
    pull = BondTest(kind="pull", forces=(90,), width=30, length=30).strength()
    assert end_words(pressed, check_end(pressed, pull)) == "The ends hold: nothing pulls them open."


def test_words_when_they_want_to_lift():
    end = end_42()
    check = check_end(end, peel(12.5 * end.peel))
    # exact by hand: the strength is half the demand; 41.72 mm
    said = (
        "The ends want to lift: they ask 200% of what your test carried; the last 42 mm of each "
        "would have to stay strapped; "
    )
    assert end_words(end, check) == f"{said}cut it longer, or form it warm."
    # exact by hand: rounded up, for a shorter one lifts: 252.4 to 253 mm, to 9 15.0001/16 in
    known = end_words(end, check, longer=252.4)
    assert known == f"{said}with the overlay cut 253 mm or longer they hold."
    assert "cut 9 15/16 in or longer" in end_words(end, check, longer=252.4, system="in")
    assert "cut 10 in or longer" in end_words(end, check, longer=252.5, system="in")
    assert end_words(end, check, longer=math.inf).endswith(
        "even cut to length they lift: form it warm."
    )
    weak = check_end(end, peel(end.peel))
    assert "they ask 25 times what your test carried" in end_words(end, weak)


def test_words_with_an_adhesive():
    end = end_42()
    check = check_end(end, peel(100 * end.peel))
    contact = end_words(end, check, glue=adhesive("contact adhesive"))
    # from memory: the set times of adhesives.csv, a day and half a minute
    assert contact.endswith(
        "; strap the last 42 mm of each for 24 hours (from memory). Keep it cool: what is pulled "
        "lifts slowly on a warm day."
    )
    hot = end_words(end, check, glue=adhesive("hot glue"))
    assert hot.endswith(
        "; hold the last 42 mm of each for a minute (from memory). No heat gun on it afterwards, "
        "no hot car: hot glue lets go near 70 °C."
    )


def test_words_when_it_is_not_sure():
    end = end_42()
    asked = end.peel
    wide = Strength(kind="peel", value=asked, low=0.5 * asked, high=2 * asked, basis="invented")
    assert end_words(end, check_end(end, wide), longer=252.4) == (
        "The ends may lift: they ask 100% of what your tests carried, and those scatter; hold the "
        "last 42 mm of each till the glue is at full strength; with the overlay cut 253 mm or "
        "longer they hold."
    )


def test_words_with_nothing_but_the_foam():
    end = end_42()
    # exact by hand: a twentieth
    said = end_words(end, check_end(end, foam_cap("peel", 20 * end.peel)))
    assert said.startswith(
        "The ends may lift: they ask 5% of the foam's own tear strength (assumed), but no test of "
        "the glue is given; hold the last 42 mm of each"
    )
    torn = end_words(end, check_end(end, foam_cap("peel", 0.5 * end.peel)))
    assert torn.startswith(
        "The ends want to lift: they ask 200% of the foam's own tear strength (assumed);"
    )


@pytest.mark.parametrize(
    ("minutes", "said"),
    # exact by hand; shorter than ten seconds nobody counts
    [
        (0.05, "10 seconds"),
        (0.3, "20 seconds"),
        (1, "a minute"),
        (2, "2 minutes"),
        (30, "30 minutes"),
        (90, "2 hours"),
        (1440, "24 hours"),
    ],
)
def test_words_for_a_time(minutes, said):
    assert time_words(minutes) == said


def two_ends():
    """Half a turn that is twice as sharp at its end (invented), R 60 and then R 30, outside."""
    return Overlay.from_curve(
        Arcs([60 * RIGHT, 30 * RIGHT], [RIGHT, RIGHT]),
        face="outside",
        cut=145.0,
        base=Piece(thickness=10, law=EVEN, formed=1),
        overlay=Piece(thickness=5, law=EVEN),
    )


def test_of_two_different_ends_the_sharper_one_counts():
    joint = two_ends()
    worst = worst_end(joint)
    # exact by hand: fibres at R 62.5 and 32.5; the bend of a flat piece adds E t**3/(24 R**2)
    assert worst.curvature == pytest.approx(1 / 32.5, rel=1e-12)
    assert worst.peel > end_of(joint, at="start").peel
    hold = Limit(value=worst.peel / 1.25, unit="N/mm", basis="measured", reason="Invented.")
    said = joint_end_words(joint, hold)
    # exact by hand
    assert said.startswith("The ends want to lift: they ask 125% of what your test carried;")
    cut = cut_that_holds(joint, end_strength(hold))
    # exact: at that length the worse end asks just what the limit is, the other one less
    longer = joint.with_cut(cut)
    assert worst_end(longer).peel == pytest.approx(hold.value, rel=1e-6)
    assert end_of(longer, at="start").peel < hold.value
    # exact by hand: rounded up
    assert f"cut {math.ceil(cut)} mm or longer they hold" in said


def test_an_end_in_a_hollow_has_no_peel_and_a_ring_no_end():
    hollow = Overlay.from_curve(
        Arcs([60 * RIGHT, 100], [RIGHT, -RIGHT / 2]),
        face="outside",
        base=Piece(thickness=10, law=EVEN, formed=1),
        overlay=Piece(thickness=5, law=EVEN),
    )
    # exact by hand: the start is convex, R 62.5
    assert worst_end(hollow).curvature == pytest.approx(1 / 62.5, rel=1e-12)
    # exact: held against a pull both ends count
    both = [end_of(hollow, at=at).opening for at in ("start", "end")]
    assert worst_end(hollow, "pull").opening == max(both)
    ring = Overlay.from_curve(
        Arc(60, 2 * np.pi, closed=True),
        face="inside",
        base=Piece(thickness=10, law=EVEN, formed=1),
        overlay=Piece(thickness=5, law=EVEN),
    )
    assert worst_end(ring) is None and joint_end_words(ring, Limit.from_table("end_peel")) == ""
    with pytest.raises(ValueError, match="no end of this overlay"):
        cut_that_holds(ring, peel(10.0))


@pytest.mark.parametrize(
    ("basis", "cap"),
    [("measured", False), ("your own", False), ("assumed", True), ("common practice", True)],
)
def test_only_what_your_own_glue_held_is_its_strength(basis, cap):
    strength = end_strength(Limit(value=0.4, unit="N/mm", basis=basis, reason="Invented."))
    # exact: the number is that of the limit, whatever it rests on
    assert (strength.value, strength.kind, strength.is_cap) == (0.4, "peel", cap)
    assert basis in strength.basis or not cap


def test_the_weight_to_hang():
    end = End(thickness=5, law=Linear(1.5), stretch=1.05, curvature=1 / 60)
    # exact by hand: 5 x 1.5 x 0.05**2/2/1.05 + 1.5 x 125/24/3600 = 0.011099 N/mm; 25 mm of it,
    # 0.2775 N, is the weight of 28.3 g; 25.4 mm of it that of 1.01 oz
    assert "a strip 25 mm wide" in hang_words(end) and "hang 28 g" in hang_words(end)
    assert "a strip 1 in wide" in hang_words(end, system="in")
    assert "hang 1 oz" in hang_words(end, system="in")
    # exact by hand: 10 x 1.5 x 0.1**2/2/1.1 + 1.5 x 1000/24/3600 = 0.08554 N/mm,
    # 25 mm of it 218 g
    thick = End(thickness=10, law=Linear(1.5), stretch=1.1, curvature=1 / 60)
    assert "hang 220 g" in hang_words(thick)


@pytest.mark.parametrize(
    ("strength", "said"),
    # exact by hand: 1.5 x 5/(2 x 45) = 0.0833 MPa against 0.1667, 0.05 and 0.8
    [
        (
            BondTest(kind="pull", forces=(150,), width=30, length=30).strength(),
            "holds: it asks 50%",
        ),
        (
            BondTest(kind="pull", forces=(45,), width=30, length=30).strength(),
            "wants to open: form",
        ),
        (foam_cap("pull", 0.8), "may open (the foam would hold, but the glue was not tested)"),
        (
            BondTest(kind="pull", forces=(60, 90, 75), width=30, length=30).strength(),
            "may open (your tests scatter): strap the tube for 24 hours (from memory)",
        ),
    ],
)
def test_words_for_a_butt_seam(strength, said):
    words = seam_words(
        BondCheck(demand=1 / 12, strength=strength), glue=adhesive("contact adhesive")
    )
    assert words.startswith(f"The butt seam {said}") and words.endswith("on a warm day.")


def test_a_butt_seam_asks_for_a_pull_test():
    with pytest.raises(ValueError, match="not a peel test"):
        seam_words(BondCheck(demand=0.08, strength=peel(5.0)))
    check = BondCheck(demand=-0.01, strength=foam_cap("pull", 0.8))
    assert seam_words(check) == "The butt seam holds: nothing pulls it open."
