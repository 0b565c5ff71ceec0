"""Ends and joins of a strip: allowances, and where lengths are joined."""

from __future__ import annotations

import math
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from foamcalc.fit.stack import Piece
from foamcalc.fit.trim.ends import (
    Joining,
    StripEnd,
    easiest_place,
    join_places,
    turning_near,
)
from foamcalc.foam.law import Linear
from foamcalc.shape.arcs import Arcs
from foamcalc.shape.curve import Arc
from foamcalc.shape.ellipse import Ellipse
from foamcalc.shape.polyline import Polyline
from foamcalc.tables import look_up

STRIP = Piece(thickness=4, width=20, law=Linear(1.5))
BUMP = Arcs([100, 60, 100], [0.0, 1.2, 0.0])
"""Straight, a bend from 100 to 160 mm, straight."""


def along(places):
    return np.asarray(places, dtype=float)


def joined(curve, joining, **said):
    return join_places(curve, STRIP, along, start=0.0, end=curve.length, joining=joining, **said)


def test_what_is_added_at_an_end():
    # exact by hand
    assert StripEnd().allowance(STRIP) == 0
    assert StripEnd(kind="free", spare=7).allowance(STRIP) == 7
    # published in the tables: the habit for a free end
    habit = look_up("limits", "habit", "spare_at_free_end").value
    assert StripEnd(kind="free").allowance(STRIP) == habit
    # exact by hand: leg, thickness gone over, and a quarter turn at 2 mm for each corner
    wrapped = StripEnd(kind="wrapped", leg=15, over=10)
    assert wrapped.allowance(STRIP) == pytest.approx(15 + 10 + 2 * math.pi, rel=1e-12)
    turned = StripEnd(kind="wrapped", leg=15)
    assert turned.allowance(STRIP) == pytest.approx(15 + math.pi, rel=1e-12)


def test_turning_counts_bends_hollows_and_corners():
    step = Polyline([(0, 0), (0, 100), (150, 100), (150, 50), (250, 50)])
    near = turning_near(step, np.array([100.0, 250.0, 300.0, 200.0]), within=10)
    # exact by hand: quarter turns, whichever way
    assert near == pytest.approx([np.pi / 2, np.pi / 2, np.pi / 2, 0], abs=1e-9)
    wide = turning_near(step, np.array([275.0]), within=60)
    assert wide == pytest.approx([np.pi], abs=1e-9)
    ring = Arc(50, 2 * np.pi, closed=True)
    around = turning_near(ring, np.array([0.0, 100.0, ring.length + 3]), within=20)
    # exact by hand: 20 mm on a radius of 50 mm, over the joint as well
    assert around == pytest.approx([0.4] * 3, rel=1e-3)


def test_a_short_strip_needs_no_join():
    assert joined(BUMP, Joining(longest=260)) == ()
    assert joined(BUMP, Joining()) == ()


def test_joins_stay_away_from_the_bend():
    for longest in (175, 200, 250):
        (place,) = joined(BUMP, Joining(longest=longest))
        # exact by hand: on a straight run, clear of the bend by half of twice the reach of an end
        reach = 2.5 * STRIP.thickness
        assert place <= 100 - 0.95 * reach or place >= 160 + 0.95 * reach
        assert max(place, 260 - place) <= longest + 1e-6


def test_where_all_is_even_the_strips_are_even():
    places = joined(Arc(100, 3.0), Joining(longest=101))
    # exact by hand: three strips of a third
    assert places == pytest.approx([100, 200], abs=1e-6)


def test_the_join_of_a_ring_lies_where_it_turns_least():
    ring = Ellipse(100, 40, 0, 2 * np.pi)
    place = easiest_place(ring, STRIP)
    flattest = np.argmin(ring.curvature(np.linspace(0, ring.length, 4001)))
    expected = flattest * ring.length / 4000
    # independent: a fine look at the curvature; on either flat side
    assert min(abs(place - expected), abs(place - ring.length + expected)) < ring.length / 240


@settings(deadline=None, max_examples=40)
@given(
    longest=st.floats(70, 200),
    lap=st.sampled_from([0.0, 5.0, 20.0]),
    first=st.sampled_from([0.0, 12.0]),
    last=st.sampled_from([0.0, 30.0]),
)
def test_no_strip_is_longer_than_can_be_cut(longest, lap, first, last):
    joining = Joining(kind="lap" if lap else "butt", lap=lap, longest=longest)
    places = joined(BUMP, joining, added=(first, last))
    cuts = np.array([0.0, *places, 260.0])
    lengths = np.diff(cuts)
    lengths[0] += first
    lengths[-1] += last
    if len(places):
        lengths[[0, -1]] += lap / 2
        lengths[1:-1] += lap
    assert (lengths <= longest + 1e-6).all()
    # exact by hand: at least as many as the laps allow, and no more than two above
    fewest = math.ceil((260 + first + last - lap) / (longest - lap) - 1e-9)
    if 260 + first + last > longest:
        assert fewest <= len(places) + 1 <= fewest + 2


@pytest.mark.parametrize("first", [60.0, 155.0])
def test_the_cheapest_places_of_all(first):
    # even thirds would end at 87 and 173 mm, one of them on the bend
    curve = Arcs([first, 40, 220 - first], [0.0, 1.2, 0.0])
    found = joined(curve, Joining(longest=120))
    grid = np.linspace(0, 260, 241)
    price = dict(zip(grid, 100 * turning_near(curve, grid, within=20.0), strict=True))
    assert sum(price[min(grid, key=lambda g, p=p: abs(g - p))] for p in found) < 1

    def cost(places):
        lengths = np.diff([0.0, *places, 260.0])
        if lengths.max() > 120 + 1e-6:
            return math.inf
        even = 260 / 3
        return sum(price[p] for p in places) + (((lengths - even) / even) ** 2).sum()

    best = min(cost(pair) for pair in combinations(grid, 2))
    # independent: every pair of places was tried
    nearest = [min(grid, key=lambda g, p=p: abs(g - p)) for p in found]
    assert cost(nearest) <= best + 1e-3


@pytest.mark.parametrize(
    ("said", "message"),
    [
        ({"kind": "loose"}, "kind must be one of"),
        ({"kind": "wrapped"}, "leg of a wrapped end must be above 0 mm, got 0"),
        ({"kind": "flush", "leg": 5}, "leg and over are for a wrapped end, but this one is flush"),
        ({"kind": "flush", "spare": 5}, "spare is for a free end, but this one is flush"),
        ({"kind": "free", "spare": 0}, "spare must be a finite length above 0 mm, got 0"),
        ({"kind": "wrapped", "leg": math.nan}, "leg must be .*got nan"),
    ],
)
def test_an_end_that_cannot_be_is_refused(said, message):
    with pytest.raises(ValueError, match=message):
        StripEnd(**said)


@pytest.mark.parametrize(
    ("said", "message"),
    [
        ({"kind": "lap"}, "lap must be above 0 mm for a lap join and 0 for a butt join, got 0 mm"),
        ({"lap": 10}, "lap must be above 0 mm for a lap .*got 10 mm for a butt join"),
        (
            {"kind": "lap", "lap": 50, "longest": 50},
            r"lap \(50 mm\) must be shorter than the longe",
        ),
        ({"longest": -1}, "longest must be a finite length above 0 mm, got -1"),
        ({"kind": "weld"}, "kind must be one of"),
    ],
)
def test_a_join_that_cannot_be_is_refused(said, message):
    with pytest.raises(ValueError, match=message):
        Joining(**said)


def test_ends_longer_than_the_strip_are_refused():
    with pytest.raises(ValueError, match="end of the strip takes 90 mm of the longest strip of 80"):
        joined(BUMP, Joining(longest=80), added=(0.0, 90.0))
