"""Details of a stretched piece: thinning, holes, nicks, thin bars, and the words for them."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import brentq

from foamcalc.fit.detail import drawn, nick_strain, places_before, tear_check, tear_limit
from foamcalc.fit.detail_words import bar_words, hole_words
from foamcalc.fit.holes import edge_strain, hole_after, hole_before, hole_factors
from foamcalc.fit.limits import Limit
from foamcalc.fit.pierced import bar_check, pierced
from foamcalc.foam.law import HyperFoam, Linear
from foamcalc.foam.section import NoEquilibrium

EVEN = HyperFoam(mu=0.6, alpha=2.0, poisson=0.25)
STEEP = HyperFoam(mu=0.681818, alpha=8.0, poisson=0.1)
TWO = HyperFoam([0.4, 0.2], [2.0, 6.0], [0.3, 0.1])
HARD = Limit(value=0.08, unit="1", basis="invented", reason="For this test.")


# Thinning and necking ---------------------------------------------------------------------------


def test_a_free_strip_shrinks_by_its_ratio():
    now = drawn(EVEN, strain=[0.05, 0.10, -0.05], width=60.0, thickness=5.0)
    shrunk = np.array([1.05, 1.10, 0.95]) ** -0.25
    # exact by hand: (1 + strain)**-nu both ways; half of the width lost at each edge
    assert now.width == pytest.approx(60 * shrunk, rel=1e-14)
    assert now.thickness == pytest.approx(5 * shrunk, rel=1e-14)
    assert now.neck_in == pytest.approx(30 * (1 - shrunk), rel=1e-12)


def test_a_wide_sheet_only_thins():
    now = drawn(EVEN, strain=0.10, width=60.0, thickness=5.0, sides="held")
    # exact by hand: nu/(1 - nu) = 1/3
    assert float(now.thickness) == pytest.approx(5 * 1.1 ** (-1 / 3), rel=1e-12)
    assert (float(now.width), float(now.neck_in)) == (60.0, 0.0)


def test_arrays_broadcast():
    now = drawn(TWO, strain=[[0.0], [0.1]], width=[50, 60, 70], thickness=5)
    assert now.width.shape == now.neck_in.shape == (2, 3)
    # exact: nothing happens without strain
    assert now.width[0] == pytest.approx([50, 60, 70], rel=1e-12)


@pytest.mark.parametrize(
    ("given", "message"),
    [
        ({"strain": -1.0}, "strain must be above -1, got -1"),
        ({"width": 0.0}, "width must be a finite length above 0 mm"),
        ({"sides": "loose"}, "sides must be one of 'free', 'held'"),
    ],
)
def test_faulty_pieces_are_refused(given, message):
    with pytest.raises(ValueError, match=message):
        drawn(EVEN, **{"strain": 0.1, "width": 60, "thickness": 5, **given})


def test_places_come_back_after_the_pull():
    along, across = places_before(TWO, along=[10, 110], across=[-20, 20], strain=0.1)
    # exact: the stretch and the law's side stretch bring them back
    assert along * 1.1 == pytest.approx([10, 110], rel=1e-14)
    assert across * float(TWO.side_stretch(1.1)) == pytest.approx([-20, 20], rel=1e-14)
    held = places_before(EVEN, along=0, across=20, strain=0.1, sides="held")
    assert float(held[1]) == 20.0


# Holes ------------------------------------------------------------------------------------------


def test_a_round_hole_by_hand():
    f = hole_factors(strain=0.05)
    now = hole_after(along=20.0, strain=0.05)
    # exact by hand: a circle grows by its factors
    assert float(now.along) == pytest.approx(20 * (1 + 0.05 * f.along), rel=1e-14)
    assert float(now.across) == pytest.approx(20 * (1 + 0.05 * f.across), rel=1e-14)
    assert float(now.edge_strain) == pytest.approx(0.05 * f.edge, rel=1e-14)


def test_nothing_happens_without_strain():
    now, punch = (
        hole_after(along=12.0, across=8.0, strain=0.0),
        hole_before(diameter=20.0, strain=0.0, strip_width=60),
    )
    # exact
    assert [float(x) for x in now] == [12.0, 8.0, 0.0]
    assert [float(x) for x in punch] == [20.0, 20.0, 0.0]


@pytest.mark.parametrize("strain", [0.02, 0.05, 0.1, 0.15])
@pytest.mark.parametrize("strip_width", [None, 60.0, 48.0])
def test_before_and_after_undo_each_other(strain, strip_width):
    punch = hole_before(diameter=20.0, strain=strain, strip_width=strip_width)
    now = hole_after(along=punch.along, across=punch.across, strain=strain, strip_width=strip_width)
    # exact: one is the other turned round
    assert float(now.along) == pytest.approx(20.0, rel=1e-10)
    assert float(now.across) == pytest.approx(20.0, rel=1e-10)
    assert float(now.edge_strain) == pytest.approx(float(punch.edge_strain), rel=1e-10)
    # by hand, direction: wider than long, and shorter than the hole's growth alone would say
    assert float(punch.along) < 20 / (1 + strain * 2.8) and float(punch.across) > 20


def test_holes_take_arrays():
    punch = hole_before(diameter=[10, 20], strain=[[0.05], [0.1]], strip_width=100)
    assert punch.along.shape == punch.edge_strain.shape == (2, 2)
    one = hole_before(diameter=20, strain=0.1, strip_width=100)
    # exact: each entry by itself
    assert punch.along[1, 1] == pytest.approx(float(one.along), rel=1e-10)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: hole_factors(strain=0.21), "strain must be from 0 to 0.2, got 0.21"),
        (lambda: hole_factors(strain=-0.01), "strain must be a finite number of 0 or more"),
        (lambda: hole_factors(strain=0.1, share=0.6), "share must be from 0 to 0.5"),
        (lambda: hole_after(along=20, strain=0.1, strip_width=39), "at least 2 times the hole"),
        (lambda: hole_after(along=20, across=70, strain=0.1), "0.5 to 3 times as wide as long"),
        (lambda: hole_before(diameter=0, strain=0.1), "diameter must be a finite length above 0"),
    ],
)
def test_no_hole_is_guessed(call, message):
    with pytest.raises(ValueError, match=message):
        call()


# Tearing ----------------------------------------------------------------------------------------


def test_a_half_round_nick_is_a_hole_cut_in_half():
    # exact by hand: depth = radius gives 3, four times as deep as its tip radius gives 5
    found = nick_strain(strain=0.02, depth=[3, 4], tip_radius=[3, 1])
    assert found == pytest.approx([0.06, 0.10], rel=1e-14)


def test_the_tear_limit_is_what_a_hole_takes_at_the_end_pull():
    limit = tear_limit()
    pull = Limit.from_table("end_pull").value
    # derived: about three times the pull, and met just there
    assert limit.value == pytest.approx(3 * pull, rel=0.05)
    assert tear_check(float(edge_strain(strain=pull))).met
    assert not tear_check(float(edge_strain(strain=1.01 * pull))).met
    assert tear_check(0.5, HARD).limit is HARD


# Thin bars --------------------------------------------------------------------------------------


def test_the_bars_of_a_linear_foam():
    found = pierced(Linear(1.5), lengths=[70, 30], widths=[100, 30], thickness=5, strain=0.05)
    # exact by hand: strains as 1 : 1/0.3, so 0.05/(0.7 + 0.3/0.3) = 0.0294 and 0.0980
    assert found.strains == pytest.approx([0.05 / 1.7, 0.05 / 0.51], rel=1e-12)
    assert float(found.largest) == pytest.approx(0.098, abs=5e-4)  # derived: 9.8 %
    # exact by hand: 1.5 x 0.0294 x 5 x 100 N
    assert float(found.pull) == pytest.approx(1.5 * 0.05 / 1.7 * 500, rel=1e-12)
    assert not found.failed


@pytest.mark.parametrize("law", [EVEN, STEEP, TWO])
@pytest.mark.parametrize("sides", ["free", "held"])
def test_the_bars_of_foam_against_one_equation(law, sides):
    lengths, widths = np.array([40.0, 25.0, 35.0]), np.array([60.0, 14.0, 30.0])

    def stretch_at(force, width):
        """Stretch of a bar of this width under a force for each mm of thickness."""
        return brentq(lambda s: float(law.stress(s, sides)) * width - force, 1, 2.5, xtol=1e-15)

    def longer(force):
        return sum(n * stretch_at(force, w) for n, w in zip(lengths, widths, strict=True)) - 106.0

    force = brentq(longer, 0, 0.9 * 14 * float(law.stress(2.5, sides)), xtol=1e-13)
    found = pierced(law, lengths=lengths, widths=widths, thickness=4, strain=0.06, sides=sides)
    # independent library: scipy's brentq, one bar at a time
    expected = [stretch_at(force, w) - 1 for w in widths]
    assert found.strains == pytest.approx(expected, rel=1e-9)
    assert float(found.pull) == pytest.approx(4 * force, rel=1e-9)
    # exact: the strains add up to the whole
    assert (lengths * found.strains).sum() / lengths.sum() == pytest.approx(0.06, rel=1e-12)


def test_many_cases_at_once():
    strain = np.array([[0.0, 0.02], [0.05, 0.12]])
    found = pierced(EVEN, lengths=[70, 30], widths=[100, 30], thickness=5, strain=strain)
    assert found.strains.shape == (2, 2, 2) and found.largest.shape == (2, 2)
    one = pierced(EVEN, lengths=[70, 30], widths=[100, 30], thickness=5, strain=0.12)
    # exact: each case by itself; and none at rest
    assert np.asarray(found.strains[1, 1]) == pytest.approx(one.strains, rel=1e-12)
    assert found.largest[0, 0] == pytest.approx(0, abs=1e-15)
    thick = pierced(EVEN, lengths=[70, 30], widths=[100, 30], thickness=[5, 10], strain=0.05)
    # exact: the pull is in proportion to the thickness, the strain does not know of it
    assert float(thick.pull[1]) == pytest.approx(2 * float(thick.pull[0]), rel=1e-14)
    assert np.ptp(thick.largest) == pytest.approx(0, abs=1e-15)


WEAK = HyperFoam([1.0], [-4.0], [0.2])
"""A foam that gives way: its pull has a summit."""


def test_bars_pulled_past_the_summit():
    top = WEAK.stable_range()[1]
    assert top < 2  # what makes this a test
    piece = {"lengths": [70, 30], "widths": [100, 30], "thickness": 5}
    with pytest.raises(NoEquilibrium, match=r"thinnest bars would pass the law's range"):
        pierced(WEAK, strain=0.5, **piece)
    found = pierced(WEAK, strain=[0.02, 0.5, 8.0], **piece)
    # exact: only the first has an answer
    assert found.failed.tolist() == [False, True, True]
    assert found.largest.mask.tolist() == [False, True, True]
    assert found.strains.mask[1:].all() and 0.02 < found.largest[0] < top - 1


@pytest.mark.parametrize(
    ("given", "message"),
    [
        ({"lengths": [70]}, "lengths and widths must be two flat lists"),
        ({"widths": [100, 0]}, "widths must be a finite length above 0 mm, got 0.0 at index 1"),
        ({"strain": -0.01}, "strain must be a finite number of 0 or more"),
    ],
)
def test_faulty_bars_are_refused(given, message):
    piece = {"lengths": [70, 30], "widths": [100, 30], "thickness": 5, "strain": 0.05}
    with pytest.raises(ValueError, match=message):
        pierced(EVEN, **{**piece, **given})


# Words ------------------------------------------------------------------------------------------


def test_words_for_a_hole():
    # exact by hand, to the nearest mm and 1/16 in: 22.95 and 19.11; 17.07 and 20.94 mm
    assert hole_words(diameter=20, strain=0.05) == (
        "Pulled 5 %, a hole of 20 mm becomes 23 mm long and 19 mm wide. Punch it after gluing, or "
        "before as an oval 17 mm along the pull and 21 mm across."
    )
    inches = hole_words(diameter=20, strain=0.05, system="in")
    assert "a hole of 13/16 in becomes 7/8 in long and 3/4 in wide" in inches
    assert "stays round" in hole_words(diameter=5, strain=0.01)


@pytest.mark.parametrize(("strain", "words"), [(0.03, "inside"), (0.05, "over")])
def test_words_for_bars(strain, words):
    piece = {"lengths": [70, 30], "widths": [100, 30], "thickness": 5}
    bars = pierced(Linear(1.5), strain=strain, **piece)
    said = bar_words(bars, strain=strain, limit=HARD)
    # exact by hand: strain/0.51
    assert f"take {100 * strain / 0.51:.1f} %, {words} the limit of 8 %" in said
    assert ("cut the piece longer" in said) is (words == "over")
    many = pierced(Linear(1.5), strain=[strain], **piece)
    with pytest.raises(ValueError, match="one case"):
        bar_check(many, HARD)
