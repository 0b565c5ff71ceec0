"""The ends of a stretched overlay: joint, load, test, and the words for a maker."""

from __future__ import annotations

import math

import numpy as np
import pytest

from foamcalc.fit.end_words import end_words, hang_words, seam_words
from foamcalc.fit.ends import End, check_end, cut_that_holds, end_of
from foamcalc.fit.overlay import Overlay
from foamcalc.fit.shell import Cover
from foamcalc.fit.stack import Piece
from foamcalc.foam import bond
from foamcalc.foam.adhesives import adhesive
from foamcalc.foam.bond_strength import BondCheck, BondTest, Strength, foam_cap
from foamcalc.foam.lap import butt_seam_stress
from foamcalc.foam.law import HyperFoam, Linear
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
    assert end.opening == pytest.approx(float(bond.end_opening(**given)), rel=1e-12)
    assert end.shear == pytest.approx(float(bond.end_shear(**given)), rel=1e-12)
    assert end.reach == pytest.approx(5 * 6.487, rel=1e-12)  # regression: the stored figure
    energy = float(bond.stored_energy(EVEN, end.stretch))
    assert end.peel == pytest.approx(5 * energy + 1.5 * 125 / 24 / 62.5**2, rel=1e-12)


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


def end_39():
    """An end whose pull builds up over 6 x 6.487 = 39 mm."""
    return End(thickness=6, law=EVEN, stretch=1.08, curvature=1 / 60, softness=1, thickness_ratio=2)


def test_words_when_it_holds():
    end = end_39()
    check = check_end(end, peel(10.0))
    assert (
        end_words(end, check)
        == f"The end holds: it asks {check.ratio:.0%} of what your test carried."
    )
    pressed = End(thickness=5, law=EVEN, stretch=0.98)
    pull = BondTest(kind="pull", forces=(90,), width=30, length=30).strength()
    assert end_words(pressed, check_end(pressed, pull)) == "The end holds: nothing pulls it open."


def test_words_when_it_wants_to_lift():
    end = end_39()
    check = check_end(end, peel(0.3))
    assert check.verdict == "wants to lift"
    # exact by hand: 38.92 mm; 38.92/25.4 = 24.52/16 in
    said = "The end wants to lift: pin it first and hold the last 39 mm, or cut longer"
    assert end_words(end, check) == f"{said}."
    assert end_words(end, check, longer=252.6) == f"{said} (253 mm or more)."
    inches = end_words(end, check, longer=252.6, system="in")
    assert "hold the last 1 9/16 in, or cut longer (9 15/16 in or more)" in inches


def test_words_with_an_adhesive():
    end = end_39()
    check = check_end(end, peel(0.3))
    contact = end_words(end, check, glue=adhesive("contact adhesive"))
    assert "hold the last 39 mm for 24 hours, or" in contact
    assert contact.endswith("On a warm day it lifts slowly: keep it cool.")
    hot = end_words(end, check, glue=adhesive("hot glue"))
    assert "for a minute" in hot
    assert hot.endswith("Keep it below 70 °C: no heat gun afterwards, no hot car.")


def test_words_when_it_is_not_sure():
    end = end_39()
    asked = end.peel
    wide = Strength(kind="peel", value=asked, low=0.5 * asked, high=2 * asked, basis="invented")
    said = end_words(end, check_end(end, wide))
    assert said.startswith("The end may lift: it asks 100% of what your tests carried")
    assert "pin it first and hold the last 39 mm" in said


def test_words_with_nothing_but_the_foam():
    end = end_39()
    said = end_words(end, check_end(end, foam_cap("peel", 1.5)))
    assert said.startswith("The end may lift: the foam would hold")
    assert "the glue was not tested" in said and said.endswith(hang_words(end))
    torn = end_words(end, check_end(end, foam_cap("peel", 0.5 * end.peel)))
    assert torn.startswith("The end wants to lift")


def test_the_weight_to_hang():
    end = End(thickness=5, law=Linear(1.5), stretch=1.05, curvature=1 / 60)
    # exact by hand: 5 x 1.5 x 0.05**2/2 + 1.5 x 125/24/3600 = 0.011545 N/mm; 25 mm of it, 0.2886 N,
    # is the weight of 29.4 g; 25.4 mm of it that of 1.05 oz
    assert "a strip 25 mm wide" in hang_words(end) and "hang 29 g" in hang_words(end)
    assert "a strip 1 in wide" in hang_words(end, system="in")
    assert "hang 1.1 oz" in hang_words(end, system="in")


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
            "may open (your tests scatter): strap the tube for 24 hours",
        ),
    ],
)
def test_words_for_a_butt_seam(strength, said):
    demand = float(butt_seam_stress(modulus=1.5, thickness=5, radius=45))
    words = seam_words(
        BondCheck(demand=demand, strength=strength), glue=adhesive("contact adhesive")
    )
    assert words.startswith(f"The butt seam {said}") and words.endswith("keep it cool.")


def test_a_butt_seam_asks_for_a_pull_test():
    with pytest.raises(ValueError, match="not a peel test"):
        seam_words(BondCheck(demand=0.08, strength=peel(5.0)))
    check = BondCheck(demand=-0.01, strength=foam_cap("pull", 0.8))
    assert seam_words(check) == "The butt seam holds: nothing pulls it open."
