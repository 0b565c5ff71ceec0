"""The drawings beside this file, read here and measured in a browser.

Expected values are measured in Chromium 156 by browser_lengths.py, which can make them again. They
are stored with the browser's own errors: it draws an arc in a path as cubic curves, which lie up
to 2.7e-4 of the radius outside it, finds points along a curve to some thousandths of a mm, and
cuts the corners when 20 000 chords are added up. The tolerances below are these errors.
"""

from __future__ import annotations

import json
from hashlib import sha256
from pathlib import Path

import numpy as np
import pytest

from foamcalc.shape.arc_length import lengths
from foamcalc.shape.drawn import Drawn
from foamcalc.shape.svg.index import index
from foamcalc.shape.svg.names import Names
from foamcalc.shape.svg.page import page_of
from foamcalc.shape.svg.tree import read_drawing
from foamcalc.shape.svg.walk import walk

DRAWINGS = Path(__file__).parent / "drawings"
MEASURED = json.loads((DRAWINGS / "measured_in_chromium.json").read_text(encoding="utf-8"))
ARC, POINT, BOX = 2.8e-4, 0.004, 1e-5
LONGEST_RADIUS = 40.0
"""Of an arc in a path of these drawings, on paper [mm]."""


def read(file):
    """Height of the page, and what each id draws."""
    drawing = read_drawing(DRAWINGS / file)
    page = page_of(drawing.root, None)
    names = Names(walk(drawing.root, page, index(drawing)), page.per_inch, file)
    return page.height, {thing.spot.node.id: thing for thing in names.things}


READ = {file: read(file) for file in MEASURED["drawings"]}
EACH = [
    pytest.param(file, name, told, id=f"{file}:{name}")
    for file, found in MEASURED["drawings"].items()
    for name, told in found.items()
]


def test_every_drawing_has_been_measured():
    assert sorted(MEASURED["drawings"]) == sorted(p.name for p in DRAWINGS.glob("*.svg"))
    for file, digest in MEASURED["digests"].items():
        text = (DRAWINGS / file).read_text(encoding="utf-8")
        assert sha256(text.encode()).hexdigest()[:16] == digest, f"{file}: measure it again"
    assert sorted(MEASURED["digests"]) == sorted(MEASURED["drawings"])
    assert MEASURED["browser"].startswith("Chromium ")
    assert len(EACH) > 80


@pytest.mark.parametrize(("file", "name", "told"), EACH)
def test_what_is_seen_is_read_and_nothing_else(file, name, told):
    things = READ[file][1]
    assert bool(things[name].lines) == told["seen"]
    assert bool(things[name].spot.why_not) == (not told["seen"])


@pytest.mark.parametrize(("file", "name", "told"), [p for p in EACH if "points" in p.values[2]])
def test_shapes_lie_where_the_browser_draws_them(file, name, told):
    height, things = READ[file]
    lines = things[name].lines
    curves = [Drawn(line.segments, closed=line.closed) for line in lines]
    points = np.array(told["points"]) * [1, -1] + [0, height]
    assert np.hypot(*(curves[0].point(0.0) - points[0])) < 1e-4
    long = sum(curve.length for curve in curves)
    assert long == pytest.approx(told["paper_length"], rel=ARC)
    curved = ARC * LONGEST_RADIUS if "arc" in file or name in ("arcs", "flags", "curve") else 0
    for number, point in enumerate(points):
        near = [curve.place_of(point) for curve in curves]
        assert min(at.distance for at in near) < POINT + curved
        if len(curves) == 1 and 0 < number < 8 and file != "transforms.svg":
            # the browser's eighths, measured along its own units, come in the same order
            assert near[0].place == pytest.approx(long * number / 8, abs=long / 8)


STRAIGHT = ("lines", "after-closing", "points", "ring", "plain", "line", "matrix", "in-slice", "px")


@pytest.mark.parametrize(("file", "name", "told"), [p for p in EACH if p.values[1] in STRAIGHT])
def test_straight_lines_are_as_long_as_the_browser_says_in_the_drawings_own_units(file, name, told):
    """getTotalLength is exact there but for single precision; the way back from mm is used."""
    own = [
        segment.transformed(line.to_user)
        for line in READ[file][1][name].lines
        for segment in line.segments
    ]
    assert lengths(own).sum() == pytest.approx(told["user_length"], rel=2e-7)


@pytest.mark.parametrize(("file", "name", "told"), [p for p in EACH if "box" in p.values[2]])
def test_what_is_drawn_again_lies_where_the_browser_draws_it(file, name, told):
    height, things = READ[file]
    steps = np.linspace(0, 1, 33)
    around = np.concatenate([s.point(steps) for line in things[name].lines for s in line.segments])
    around = around * [1, -1] + [0, height]
    box = np.array([around.min(axis=0), around.max(axis=0)])
    assert np.abs(box - told["box"]).max() < BOX
