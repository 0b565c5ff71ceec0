"""Bands of straight pieces with mitres: how many, how long, at which angle."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely

from foamcalc.fit.limits import Limit
from foamcalc.fit.stack import Piece
from foamcalc.fit.trim.band import Band
from foamcalc.fit.trim.ends import StripEnd
from foamcalc.fit.trim.mitred import mitred_band
from foamcalc.fit.trim.straight import straight_band
from foamcalc.foam.grades import foam
from foamcalc.shape.arcs import Arcs
from foamcalc.shape.curve import Arc
from foamcalc.shape.ellipse import Ellipse
from foamcalc.shape.polyline import Polyline

STRIP = Piece(thickness=5, width=20, law=foam("EVA medium"))
STEP = Polyline([(0, 0), (0, 100), (150, 100), (150, 50), (250, 50)])
WAVE = Arcs([100, 80, 60], [1.0, -0.8, 0.5])
SIDES = ("inside", "middle", "outside")


def within(mm):
    return {"deviation": Limit(value=mm, unit="mm", basis="your own", reason="The eye.")}


@pytest.mark.parametrize("side", SIDES)
@pytest.mark.parametrize(("radius", "turn"), [(100, math.pi), (250, 2.0), (60, -1.5)])
@pytest.mark.parametrize("most", [0.3, 1.0, 4.0])
def test_an_arc_by_hand(radius, turn, side, most):
    found = mitred_band(Band(curve=Arc(radius, turn), strip=STRIP, side=side), limits=within(most))
    n, half = found.count, turn / (2 * found.count)
    # exact by hand: chords; one fewer would stand off too far
    assert found.deviation == pytest.approx(radius * (1 - math.cos(half)), rel=1e-6)
    assert found.deviation <= most
    assert n == 1 or radius * (1 - math.cos(turn / (2 * (n - 1)))) > most
    for strip in found.strips:
        assert strip.mitres == pytest.approx((half, half), abs=1e-9)
        chord = 2 * radius * math.sin(abs(half))
        assert strip.length == pytest.approx(chord, rel=1e-9)
        edges = [chord + 2 * d * math.tan(half) for d in Band.offsets.fget(found.band)]
        assert strip.edge_lengths == pytest.approx(edges, rel=1e-9)
    assert found.steepest == pytest.approx(abs(half))
    assert found.mitres == n - 1
    assert found.stretch == found.squeeze == 0


@pytest.mark.parametrize("side", SIDES)
@pytest.mark.parametrize("curve", [WAVE, Ellipse(200, 100, 0, np.pi), STEP])
def test_edges_are_those_of_a_mitred_parallel_line(curve, side):
    band = Band(curve=curve, strip=STRIP, side=side)
    found = mitred_band(band)
    places = [s.start for s in found.strips] + [found.strips[-1].end]
    points = np.array(corners_of(curve, places))
    for d, i in zip(band.offsets, (0, 1), strict=True):
        line = shapely.offset_curve(
            shapely.LineString(points), d, join_style="mitre", mitre_limit=50
        )
        ends = found.strips[0].mitres[0], found.strips[-1].mitres[1]
        total = sum(s.edge_lengths[i] for s in found.strips) - d * np.tan(ends).sum()
        # independent library: shapely's parallel line with mitred corners, its ends cut square
        assert total == pytest.approx(line.length, rel=1e-6)


def corners_of(curve, places):
    """Points of a curve with its outside on the left, from its turning."""
    fine = np.unique([*np.linspace(0, curve.length, 200001), *places])
    heading = -curve.heading((fine[:-1] + fine[1:]) / 2)
    x = np.append(0, np.cumsum(np.diff(fine) * np.cos(heading)))
    y = np.append(0, np.cumsum(np.diff(fine) * np.sin(heading)))
    at = np.searchsorted(fine, places)
    return np.column_stack([x[at], y[at]])


def test_more_pieces_stand_where_the_curve_is_tight():
    found = mitred_band(Band(curve=Ellipse(200, 80, 0, np.pi), strip=STRIP))
    lengths = [s.length for s in found.strips]
    assert lengths[0] < lengths[len(lengths) // 2] / 2
    # exact by definition: every piece keeps to the limit
    assert 0.3 < found.deviation <= 1.0


def test_a_straight_edge_with_corners_is_one_piece_a_part():
    found = mitred_band(Band(curve=STEP, strip=STRIP))
    # exact by hand
    assert found.count == 4
    assert found.deviation == pytest.approx(0, abs=1e-9)
    mitres = np.degrees([s.mitres for s in found.strips]).ravel()
    assert mitres == pytest.approx([0, 45, 45, 45, 45, -45, -45, 0])


def test_a_ring_closes():
    found = mitred_band(Band(curve=Arc(100, 2 * np.pi, closed=True), strip=STRIP))
    n = found.count
    # exact by hand
    assert found.mitres == n
    for strip in found.strips:
        assert strip.mitres == pytest.approx((np.pi / n, np.pi / n))


def test_the_strip_they_are_cut_from():
    found = mitred_band(Band(curve=Arc(100, 2.0), strip=STRIP))
    half = 2.0 / (2 * found.count)
    chord = 200 * math.sin(half)
    # exact by hand: mean lengths end to end, half a tip at each end; two tips are left over
    mean = chord - 20 * math.tan(half)
    assert found.blank_length == pytest.approx(found.count * mean + 20 * math.tan(half))
    assert found.waste == pytest.approx(400 * math.tan(half))
    area = sum(20 * sum(s.edge_lengths) / 2 for s in found.strips)
    assert 20 * found.blank_length == pytest.approx(area + found.waste)


def test_open_ends_are_added_to_the_end_pieces():
    band = Band(curve=Arc(100, 2.0), strip=STRIP)
    ends = (StripEnd(kind="free", spare=7), StripEnd(kind="wrapped", leg=9))
    plain, longer = mitred_band(band), mitred_band(band, ends=ends)
    # exact by hand: 7 mm; 9 mm and a quarter turn at 2.5 mm
    more = [b.cut_length - a.cut_length for a, b in zip(plain.strips, longer.strips, strict=True)]
    wrapped = 9 + np.pi / 2 * 2.5
    assert more == pytest.approx([7, *[0] * (plain.count - 2), wrapped])
    assert longer.blank_length - plain.blank_length == pytest.approx(7 + wrapped)


def test_marks_go_along_with_their_piece():
    found = mitred_band(Band(curve=Arc(100, 2.0), strip=STRIP), marks=[0, 50, 200])
    table = found.marks_table()
    share = 200 * math.sin(1.0 / found.count) / (200 / found.count)
    for _, row in table.iterrows():
        strip = found.strips[int(row["strip"]) - 1]
        # exact by hand: in proportion of chord to arc
        expected = strip.before + (row["mark on the edge [mm]"] - strip.start) * share
        assert row["mark on the strip [mm]"] == pytest.approx(expected)
    assert len(table) >= 3 and len(found.table()) == found.count


# Pressed onto the curve as they are glued -------------------------------------------------------


def test_pressed_pieces_are_fewer_and_keep_their_limits():
    band = Band(curve=Arc(100, np.pi), strip=STRIP)
    plain, pressed = mitred_band(band), mitred_band(band, press=True)
    assert pressed.count < plain.count
    assert pressed.steepest < plain.steepest
    assert pressed.deviation <= 1.0
    # exact by definition: bent as far as the limits let them, on one edge or the other
    assert 0 < pressed.stretch <= 0.08 * (1 + 1e-6)
    straight = straight_band(Band(curve=Arc(127, 1.0), strip=STRIP))
    assert pressed.stretch == pytest.approx(straight.stretch, rel=0.02)


def test_pressed_pieces_on_an_arc_by_hand():
    band = Band(curve=Arc(100, np.pi), strip=STRIP, side="middle")
    found = mitred_band(band, press=True)
    chord = 2 * 100 * math.sin(np.pi / (2 * found.count))
    strip = found.strips[0]
    # by hand: chord and arc of each piece tell its turn, the mitre takes the rest
    half = np.pi / (2 * found.count) - strip.mitres[0]
    radius = chord / 2 / math.sin(half)
    rise = 100 * (1 - math.cos(np.pi / (2 * found.count))) - radius * (1 - math.cos(half))
    assert found.deviation == pytest.approx(rise, rel=1e-3)
    edges = Band(curve=Arc(radius, 1.0), strip=STRIP, side="middle").edges(0.0)
    # the piece cuts the bend short, and is bent by so much more
    assert found.stretch == pytest.approx(float(edges.outer), rel=6e-3)
    assert strip.length == pytest.approx(2 * half * radius / (1 + float(edges.line)), rel=1e-3)


def test_where_a_strip_goes_straight_one_pressed_piece_is_the_straight_band():
    band = Band(curve=Arc(250, 2.0), strip=STRIP)
    pressed, straight = mitred_band(band, press=True), straight_band(band)
    assert pressed.count == 1
    # exact: the same strip
    assert pressed.strips[0].length == pytest.approx(straight.cut_length, rel=1e-9)
    assert pressed.strips[0].mitres == pytest.approx((0, 0), abs=1e-9)
    assert pressed.deviation == pytest.approx(0, abs=1e-6)
    assert pressed.stretch == pytest.approx(straight.stretch)


@pytest.mark.parametrize(
    ("most", "message"),
    [
        (0.0, "deviation must be a finite length above 0 mm, got 0.0"),
        (1e-5, r"about \d+ straight pieces would be needed to keep within 1e-05 mm"),
    ],
)
def test_a_deviation_that_cannot_be_kept_is_refused(most, message):
    with pytest.raises(ValueError, match=message):
        mitred_band(Band(curve=Arc(100, np.pi), strip=STRIP), limits=within(most))
