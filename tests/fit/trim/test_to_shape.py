"""Bands cut to the curve: ring sectors, outlines, and how closely they lie on the sheet."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
import shapely
from shapely.affinity import translate

from foamcalc.fit.stack import Piece
from foamcalc.fit.trim.band import Band
from foamcalc.fit.trim.ends import Joining, StripEnd
from foamcalc.fit.trim.sector import RingSector, outline_nest, ring_sector
from foamcalc.fit.trim.to_shape import cut_to_shape
from foamcalc.foam.law import Linear
from foamcalc.shape.arcs import Arcs
from foamcalc.shape.curve import Arc
from foamcalc.shape.ellipse import Ellipse
from foamcalc.shape.polyline import Polyline

STRIP = Piece(thickness=5, width=20, law=Linear(1.5))
STEP = Polyline([(0, 0), (0, 100), (150, 100), (150, 50), (250, 50)])
PLATE = Polyline([(0, 0), (100, 0), (130, 40), (260, 40), (0, 180)], closed=True)
WAVE = Arcs([100, 80, 60], [1.0, -0.8, 0.5])
SWING = Arcs([80 * np.pi, 80 * np.pi], [np.pi, -np.pi])
SIDES = ("inside", "middle", "outside")


def drawn(sector, points=4001):
    """The sector as shapely has it, its middle ahead."""
    angle = np.linspace(-0.5, 0.5, points) * sector.angle
    ahead = np.column_stack([np.sin(angle), np.cos(angle)])
    both = [sector.outer_radius * ahead, sector.inner_radius * ahead[::-1]]
    return shapely.Polygon(np.concatenate(both))


# Ring sectors -----------------------------------------------------------------------------------


def test_a_half_ring_by_hand():
    sector = ring_sector(radius=100, width=20, inside=0.5, angle=math.pi)
    # exact by hand
    assert (sector.inner_radius, sector.outer_radius) == (90, 110)
    assert (sector.inner_length, sector.outer_length) == pytest.approx(
        (90 * math.pi, 110 * math.pi)
    )
    assert sector.chord == pytest.approx(220)
    assert sector.nest.box == pytest.approx((220, 110))
    assert sector.nest.area == pytest.approx(100 * math.pi * 20)
    assert sector.nest.pitch == pytest.approx(math.sqrt(110**2 - 90**2))


@pytest.mark.parametrize("angle", [0.2, 1.0, 2.5, math.pi, 3.6, 4.6, 5.6, 2 * math.pi])
def test_sectors_clear_each_other_at_the_pitch_and_no_closer(angle):
    sector = RingSector(80, 100, angle)
    shape, nest = drawn(sector), sector.nest
    left, low, right, high = shape.bounds
    # independent library: shapely
    assert nest.box == pytest.approx((right - left, high - low), rel=1e-6)
    assert nest.area == pytest.approx(shape.area, rel=1e-6)
    clear = translate(shape, 0, 1.0005 * nest.pitch)
    touching = translate(shape, 0, 0.99 * nest.pitch)
    assert shape.intersection(clear).area == pytest.approx(0, abs=1e-6)
    assert shape.intersection(touching).area > 0.01


def test_sheet_of_several_in_a_row():
    nest = RingSector(80, 100, math.pi).nest
    # exact by hand: 200 wide, 100 high, the next ones 60 behind; half a ring each
    assert nest.pitch == pytest.approx(60)
    assert nest.sheet(3) == pytest.approx(200 * (100 + 2 * 60))
    assert nest.waste(3) == pytest.approx(200 * 220 - 3 * math.pi / 2 * (100**2 - 80**2))


@pytest.mark.parametrize(
    ("turn", "side", "radii"),
    [
        # exact by hand: the centre lies on the inner side of a bend, on the outer of a hollow
        (1.0, "inside", (80, 100)),
        (1.0, "middle", (90, 110)),
        (1.0, "outside", (100, 120)),
        (-1.0, "inside", (100, 120)),
        (-1.0, "middle", (90, 110)),
        (-1.0, "outside", (80, 100)),
    ],
)
def test_radii_follow_the_side_on_which_the_band_lies(turn, side, radii):
    shaped = cut_to_shape(Band(curve=Arc(100, turn), strip=STRIP, side=side))
    (piece,) = shaped.pieces
    assert shaped.what == "ring sector"
    assert (piece.sector.inner_radius, piece.sector.outer_radius) == pytest.approx(radii)
    # exact by hand: lengths of its edges as parallel arcs
    lengths = radii if turn > 0 else radii[::-1]
    assert (piece.inner_length, piece.outer_length) == pytest.approx(lengths)


def test_a_long_ring_is_cut_in_equal_sectors():
    ring = Arc(250, 2 * np.pi, closed=True)
    joining = Joining(kind="lap", lap=20, longest=400)
    shaped = cut_to_shape(Band(curve=ring, strip=STRIP), joining=joining)
    assert len(shaped.pieces) == 5
    for piece in shaped.pieces:
        # exact by hand: a fifth of the ring, and a lap of 20 mm on 250 mm
        assert piece.sector.angle == pytest.approx(2 * np.pi / 5 + 20 / 250)
    one = shaped.pieces[0].nest
    # exact by hand: five in a row
    assert shaped.sheet == pytest.approx(one.box[0] * (one.box[1] + 4 * one.pitch))
    assert shaped.waste == pytest.approx(shaped.sheet - 5 * one.area)
    assert shaped.area == pytest.approx(5 * one.area)


def test_a_whole_ring_in_one_piece():
    shaped = cut_to_shape(Band(curve=Arc(250, 2 * np.pi, closed=True), strip=STRIP))
    # exact by hand
    assert shaped.area == pytest.approx(np.pi * (250**2 - 230**2))
    assert shaped.sheet == pytest.approx(500**2)


# Outlines ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("side", SIDES)
@pytest.mark.parametrize("curve", [WAVE, Ellipse(200, 100, 0, np.pi), Arc(250, 2.0), SWING])
def test_area_of_a_piece_without_corners(curve, side):
    (piece,) = cut_to_shape(Band(curve=curve, strip=STRIP, side=side)).pieces
    shape = shapely.Polygon(piece.outline)
    # independent library: shapely, on 160 chords an edge
    assert shape.is_valid
    assert piece.nest.area == pytest.approx(shape.area, rel=3e-4)
    edges = shape.length - 2 * 20
    assert piece.inner_length + piece.outer_length == pytest.approx(edges, rel=3e-4)


@pytest.mark.parametrize("side", SIDES)
@pytest.mark.parametrize("curve", [STEP, PLATE])
def test_pieces_between_corners_are_those_of_a_mitred_parallel_line(curve, side):
    band = Band(curve=curve, strip=replace(STRIP, width=12), side=side)
    pieces = cut_to_shape(band).pieces
    for d, name in zip(band.offsets, ("inner_length", "outer_length"), strict=True):
        sharp = {"join_style": "mitre", "mitre_limit": 50}
        if curve.closed:
            line = shapely.Polygon(curve.points).buffer(d, **sharp).exterior
        else:
            line = shapely.offset_curve(shapely.LineString(curve.points), d, **sharp)
        total = sum(getattr(p, name) for p in pieces)
        # independent library: shapely's parallel line with mitred corners
        assert total == pytest.approx(line.length, rel=1e-9)
    for piece in pieces:
        assert piece.nest.area == pytest.approx(shapely.Polygon(piece.outline).area, rel=1e-9)


def test_ends_go_straight_on():
    ends = (StripEnd(kind="free", spare=7), StripEnd(kind="free", spare=9))
    plain, longer = (
        cut_to_shape(Band(curve=WAVE, strip=STRIP), ends=e).pieces[0] for e in (None, ends)
    )
    # exact by hand: 16 mm more, 20 mm wide
    assert longer.nest.area - plain.nest.area == pytest.approx(16 * 20)
    grown = shapely.Polygon(longer.outline).area - shapely.Polygon(plain.outline).area
    assert grown == pytest.approx(16 * 20, rel=1e-6)


def test_marks_are_as_far_apart_as_on_the_edge():
    shaped = cut_to_shape(
        Band(curve=WAVE, strip=STRIP),
        marks=[30, 120],
        ends=(StripEnd(kind="free", spare=7), StripEnd()),
    )
    # exact by hand: nothing is strained; 7 mm of spare before
    assert shaped.marks_table()["mark on the strip [mm]"].tolist() == pytest.approx([37, 127])
    assert shaped.what == "outline"
    table = shaped.table()
    assert table["turn [deg]"].tolist() == pytest.approx([np.degrees(0.7)])


def test_the_smallest_box_of_an_outline():
    tilted = np.array([(0, 0), (80, 60), (74, 68), (-6, 8)])
    nest = outline_nest(tilted, 1000.0)
    # exact by hand: 100 by 10, tilted by 36.87 deg; found to a degree
    assert nest.box == pytest.approx((100, 10), rel=0.03)
    assert nest.pitch == pytest.approx(10, rel=0.01)
    assert nest.sheet(2) == pytest.approx(100 * 20, rel=0.06)


@pytest.mark.parametrize(
    ("said", "message"),
    [
        ({"radius": 0}, "radius must be a finite length above 0 mm, got 0"),
        ({"width": math.nan}, "width must be .*got nan"),
        ({"inside": 1.5}, "inside must be from 0 to 1, got 1.5"),
        ({"width": 100, "inside": 1.0}, "100 mm wide folds over itself on a radius of 100 mm"),
        ({"angle": 7.0}, r"at most a full turn \(6.2832 rad\), got 7"),
    ],
)
def test_a_sector_that_cannot_be_is_refused(said, message):
    with pytest.raises(ValueError, match=message):
        ring_sector(**{"radius": 100, "width": 20, "inside": 0.5, "angle": 1.0, **said})
