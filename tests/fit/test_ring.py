"""What only a closed ring has: a width from side to side, and a butt seam."""

from __future__ import annotations

import math

import numpy as np
import pytest

from foamcalc.fit.rest import at_rest
from foamcalc.fit.ring import seam, widths
from foamcalc.fit.shell import Cover, Shell
from foamcalc.fit.stack import Piece
from foamcalc.foam.law import HyperFoam, Linear
from foamcalc.shape.curve import Arc
from foamcalc.shape.ellipse import Ellipse

PI = math.pi
LINEAR = Linear(1.5)
EVEN = HyperFoam(mu=0.6, alpha=2.0, poisson=0.25)


def ring(*covers: Cover, formed=1.0, law=LINEAR, radius=60.0, t=10.0, curve=None) -> Shell:
    return Shell(
        base=Piece(thickness=t, law=law, formed=formed),
        curve=curve or Arc(radius, 2 * PI, closed=True),
        face="inside",
        covers=covers,
    )


def over(start=0.0, end=None, cut=None) -> Cover:
    return Cover(piece=Piece(thickness=5, law=LINEAR), start=start, end=end, cut_length=cut)


# The butt seam --------------------------------------------------------------------------------


@pytest.mark.parametrize(("radius", "t"), [(60, 10), (150, 10), (40, 4)])
@pytest.mark.parametrize("place", [0.0, 100.0])
def test_the_seam_of_a_cold_rolled_ring(radius, t, place):
    rest = at_rest(ring(formed=0.0, radius=radius, t=t))
    found = seam(rest, place=place)
    # exact by hand: its middle keeps its length, so its girth inside is unchanged; E t/(2 R) at the
    # faces, squeezed inside and pulled open outside; moment E w t^3/(12 R), R the middle radius
    middle = radius + t / 2
    assert float(rest.size) == pytest.approx(2 * PI * radius, rel=1e-9)
    assert found.outer_stress == pytest.approx(1.5 * t / (2 * middle), rel=1e-9)
    assert found.inner_stress == pytest.approx(-1.5 * t / (2 * middle), rel=1e-9)
    assert found.moment == pytest.approx(1.5 * 100 * t**3 / 12 / middle, rel=1e-9)
    assert found.pull == pytest.approx(0, abs=1e-8)
    assert found.place == place


@pytest.mark.parametrize("formed", [0.0, 0.5, 1.0])
def test_what_is_formed_pulls_less_at_its_seam(formed):
    found = seam(at_rest(ring(formed=formed, radius=500)))
    # exact by hand to first order in t/R
    assert found.outer_stress == pytest.approx((1 - formed) * 1.5 * 10 / 1010, rel=0.01, abs=1e-9)


@pytest.mark.parametrize("share", [0.3, 1.0])
def test_the_seam_pulls_less_the_next_day(share):
    rest = at_rest(ring(formed=0.0, radius=300))
    fresh, later = seam(rest), seam(rest.next_day(share))
    # exact by hand to first order in t/R: strains fade by the share
    assert later.outer_stress == pytest.approx((1 - share) * fresh.outer_stress, rel=0.02, abs=1e-9)


def test_an_overlay_all_round_squeezes_the_seam():
    found = seam(at_rest(ring(over(cut=145 * PI / 1.08))))
    # exact by hand: pull of the whole section is none, so the base is squeezed for the overlay
    assert found.inner_stress < 0 and found.outer_stress < 0
    assert found.pull == pytest.approx(0, abs=1e-8)


def test_a_seam_in_the_patch_and_one_opposite():
    rest = at_rest(ring(over(0, 120, 130.0)))
    under, opposite = seam(rest, place=60.0), seam(rest, place=60 + 60 * PI)
    # exact by hand: the force within goes round: at opposite places of the mirror line the pulls
    # are each other's balance across the ring
    assert under.pull == pytest.approx(-opposite.pull, rel=1e-2)
    faces = rest.sections.gathered([part.inner_strain[0] for part in rest.settled])
    arc = int(np.searchsorted(rest.sections.spans.places, 60.0)) - 1
    assert under.inner_stress == pytest.approx(1.5 * faces[arc], rel=1e-9)


def test_a_seam_at_the_start_is_a_seam_at_the_end():
    rest = at_rest(ring(over(0, 120, 130.0)))
    end = float(rest.sections.spans.places[-1])
    # exact by hand: the last arc and the first one lie on both sides of it
    assert seam(rest, place=end).moment != seam(rest, place=0.0).moment
    assert seam(rest, place=end).place == end


@pytest.mark.parametrize("place", [-0.1, 377.0, math.nan])
def test_a_seam_off_the_ring_is_refused(place):
    with pytest.raises(ValueError, match="place of the seam must be"):
        seam(at_rest(ring()), place=place)


# Widths ---------------------------------------------------------------------------------------


def test_widths_of_a_circle_and_of_an_oval():
    # exact by hand
    assert widths(at_rest(ring())) == pytest.approx((120, 120), abs=2e-3)
    assert widths(at_rest(ring(curve=Ellipse(70, 55)))) == pytest.approx((110, 140), abs=0.1)


def test_a_patch_makes_a_ring_wide_and_low():
    rest = at_rest(ring(over(0, 120, 130.0)))
    least, most = widths(rest)
    # exact by hand: the covered part is flattened; across it the ring is low, along it wide
    assert least < 119 and most > 121
    shape = rest.profile
    spread = [
        np.ptp(shape.x * math.cos(a) + shape.y * math.sin(a)) for a in np.linspace(0, PI, 361)
    ]
    # independent: the points of the drawn ring, 62 of them
    assert (least, most) == pytest.approx((min(spread), max(spread)), abs=0.35)


def test_a_wider_overlay_pulls_a_ring_more_out_of_round():
    uneven = []
    for width in (20, 50, 100):
        patch = Cover(
            piece=Piece(thickness=5, law=EVEN, width=width), start=0, end=120, cut_length=138.0
        )
        least, most = widths(at_rest(ring(patch, law=EVEN)))
        uneven.append(most - least)
    # exact by hand
    assert uneven[0] < uneven[1] < uneven[2]


# Faults ---------------------------------------------------------------------------------------


def test_an_open_shell_has_neither():
    rest = at_rest(Shell(base=Piece(thickness=10, law=LINEAR), curve=Arc(60, PI)))
    with pytest.raises(ValueError, match="only a ring has widths"):
        widths(rest)
    with pytest.raises(ValueError, match="only a ring has a butt seam"):
        seam(rest)


@pytest.mark.parametrize("ask", [widths, seam])
def test_many_cases_are_refused(ask):
    rest = at_rest(ring(over(0, 120)), cut_lengths=[np.array([130.0, 140.0])])
    with pytest.raises(ValueError, match=r"of one case, got \(2,\) cases"):
        ask(rest)
