"""Strips as they are cut: marks, joins, mitres, and what is added at their ends."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from foamcalc.fit.stack import Piece
from foamcalc.fit.trim.ends import Joining, StripEnd
from foamcalc.fit.trim.strips import (
    Laid,
    cut_strips,
    marks_table,
    mitre_tip,
    open_ends,
    strips_table,
)
from foamcalc.foam.law import Linear
from foamcalc.shape.arcs import Arcs
from foamcalc.shape.curve import Arc

STRIP = Piece(thickness=4, width=20, law=Linear(1.5))
EDGE = Arcs([100, 60, 140], [0.0, 1.2, -0.7])
RING = Arc(50, 2 * np.pi, closed=True)


def longer(places):
    """A strip a tenth longer than its edge."""
    return 1.1 * np.asarray(places)


def whole(**said):
    return Laid(0.0, EDGE.length, longer, **said)


def test_one_strip_with_its_marks():
    (strip,) = cut_strips(EDGE, STRIP, [whole()], marks=[0, 100, 160, 300])
    # exact by hand
    assert strip.cut_length == pytest.approx(330)
    assert [m.on_edge for m in strip.marks] == [0, 100, 160, 300]
    assert [m.on_strip for m in strip.marks] == pytest.approx([0, 110, 176, 330])


def test_what_is_added_at_the_ends_moves_the_marks():
    ends = (StripEnd(kind="free", spare=8), StripEnd(kind="wrapped", leg=15))
    (strip,) = cut_strips(EDGE, STRIP, [whole()], ends=ends, marks=[100])
    # exact by hand: 8 mm at the first end; 15 mm and a quarter turn at 2 mm at the last
    assert (strip.before, strip.after) == pytest.approx((8, 15 + math.pi))
    assert strip.cut_length == pytest.approx(330 + 23 + math.pi)
    assert strip.marks[0].on_strip == pytest.approx(118)


def test_laps_are_shared_by_both_strips():
    joining = Joining(kind="lap", lap=20, longest=200)
    first, last = cut_strips(EDGE, STRIP, [whole()], joining=joining, marks=[10, 290])
    # exact by hand: half a lap each; what lies over the edge adds up to it
    assert first.before == last.after == 0
    assert first.after == last.before == 10
    assert first.cut_length + last.cut_length == pytest.approx(330 + 20)
    assert last.marks[0].on_strip == pytest.approx(10 + 1.1 * (290 - last.start))


def test_a_lap_on_a_bend_lies_farther_out():
    ring = Laid(0.0, RING.length, along_ring, ring=True, rise=4.0)
    joining = Joining(kind="lap", lap=20)
    (strip,) = cut_strips(RING, STRIP, [ring], joining=joining)
    # exact by hand: half a lap at each end, and 4 mm x the turn of the lap, 20/50
    assert strip.cut_length == pytest.approx(RING.length + 20 + 4 * 20 / 50, rel=1e-9)


def along_ring(places):
    return np.asarray(places)


def test_a_mark_at_the_join_of_a_ring_is_on_both_ends():
    ring = Laid(100.0, 100.0 + RING.length, lambda p: p - 100.0, ring=True)
    (strip,) = cut_strips(RING, STRIP, [ring], marks=[10, 100, 200])
    # exact by hand: walked from 100 mm on, once round
    assert [m.on_edge for m in strip.marks] == pytest.approx([100, 200, 10, 100])
    expected = [0, 100, 10 + RING.length - 100, RING.length]
    assert [m.on_strip for m in strip.marks] == pytest.approx(expected)


def test_mitres_make_one_edge_longer():
    laid = [whole(mitres=(0.3, -0.2), offsets=(-15.0, 5.0))]
    (strip,) = cut_strips(EDGE, STRIP, laid)
    cut = math.tan(0.3) - math.tan(0.2)
    # exact by hand
    assert strip.edge_lengths == pytest.approx((330 - 15 * cut, 330 + 5 * cut))
    assert strip.before == pytest.approx(5 * math.tan(0.3))
    assert strip.after == pytest.approx(15 * math.tan(0.2))
    assert mitre_tip((0.0, 20.0), -0.3) == 0


@settings(deadline=None, max_examples=40)
@given(
    marks=st.lists(st.floats(0, 300), min_size=1, max_size=8, unique=True),
    longest=st.floats(80, 400),
    lap=st.sampled_from([0.0, 10.0]),
)
def test_intervals_between_marks_add_up_to_the_length(marks, longest, lap):
    marks = sorted(marks)
    if min(np.diff([-1.0, *marks, 301.0])) < 1e-3:
        return
    joining = Joining(kind="lap" if lap else "butt", lap=lap, longest=longest)
    strips = cut_strips(EDGE, STRIP, [whole()], joining=joining, marks=marks)
    total = 0.0
    for strip in strips:
        places = [strip.before, *(m.on_strip for m in strip.marks), strip.before + strip.length]
        assert (np.diff(places) >= -1e-9).all()
        total += np.diff(places).sum()
        for mark in strip.marks:
            # exact by hand: a tenth longer than the edge
            expected = strip.before + 1.1 * (mark.on_edge - strip.start)
            assert mark.on_strip == pytest.approx(expected, abs=1e-9)
    assert total == pytest.approx(330, rel=1e-12)
    assert sorted({round(m.on_edge, 6) for s in strips for m in s.marks}) == pytest.approx(
        [round(m, 6) for m in marks]
    )


def test_tables_name_their_units():
    strips = cut_strips(EDGE, STRIP, [whole()], marks=[100], joining=Joining(longest=200))
    table, marks = strips_table(strips), marks_table(strips)
    assert list(table["strip"]) == [1, 2]
    # exact by hand
    assert table["cut [mm]"].sum() == pytest.approx(330)
    assert marks.iloc[0].tolist() == pytest.approx([1, 100, 110])


def test_open_ends_of_a_closed_edge_are_refused():
    ends = (StripEnd(), StripEnd())
    assert open_ends(False, ends) is ends
    with pytest.raises(ValueError, match="a closed edge has no open ends"):
        open_ends(True, ends)


@pytest.mark.parametrize(
    ("marks", "message"),
    [
        ([100, 50], "rising order .*mark 2 at 50 mm comes after mark 1 at 100 mm"),
        ([50, 50], "rising order .*mark 2 at 50 mm"),
        ([50, 400], "place must be from 0 to 300 mm along the curve, got 50 to 400"),
        ([math.nan], "marks must be a finite length in mm, got nan"),
        ([[1, 2]], "marks must be a flat list"),
    ],
)
def test_marks_that_cannot_be_are_refused(marks, message):
    with pytest.raises(ValueError, match=message):
        cut_strips(EDGE, STRIP, [whole()], marks=marks)


def test_one_place_of_a_ring_marked_twice_is_refused():
    ring = Laid(0.0, RING.length, along_ring, ring=True)
    with pytest.raises(ValueError, match="are one place on a closed edge"):
        cut_strips(RING, STRIP, [ring], marks=[0, 50, RING.length])


def test_a_lap_longer_than_its_strip_is_refused():
    ring = Laid(0.0, RING.length, along_ring, ring=True)
    with pytest.raises(ValueError, match=r"lap \(400 mm\) must be shorter than the strip it joins"):
        cut_strips(RING, STRIP, [ring], joining=Joining(kind="lap", lap=400))


def test_a_strip_used_up_by_its_mitres_is_refused():
    laid = [Laid(0.0, 100.0, longer, mitres=(1.2, 1.2), offsets=(-30.0, 0.0))]
    with pytest.raises(ValueError, match=r"from 0\.0 to 100\.0 mm .*used up by the mitres"):
        cut_strips(EDGE, STRIP, laid)
