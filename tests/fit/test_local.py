"""From place to place along an overlay: local strain, marks over parts, on rings, on overlays."""

from __future__ import annotations

import math

import numpy as np
import pytest

from foamcalc.fit.local import between_marks, even_marks, local_strain
from foamcalc.fit.overlay import Overlay
from foamcalc.fit.shell import Cover
from foamcalc.fit.stack import Piece
from foamcalc.foam.law import Linear
from foamcalc.shape.arcs import Arcs
from foamcalc.shape.curve import Arc
from foamcalc.shape.ellipse import Ellipse
from foamcalc.shape.polyline import Polyline

PI = math.pi
FOAM = Linear(1.5)
BASE = Piece(thickness=10, law=FOAM, formed=1)
OVER = Piece(thickness=5, law=FOAM)


def on(curve, **said) -> Overlay:
    return Overlay.from_curve(curve, **{"base": BASE, "overlay": OVER, "face": "inside", **said})


# An overlay over a part of its base -----------------------------------------------------------


def test_a_part_of_an_arc_has_the_gap_of_its_own_turn():
    joint = on(Arc(60, PI), start=30, end=120)
    # exact by hand: 1.5 rad; cut like the base's middle, needed at its own; tape on the outside
    assert joint.turn == pytest.approx(1.5, rel=1e-12)
    assert joint.inside_length == pytest.approx(90, rel=1e-12)
    assert joint.cut_length == pytest.approx(1.5 * 65, rel=1e-12)
    assert joint.outside_length == pytest.approx(1.5 * 70, rel=1e-12)
    assert joint.needed_length == pytest.approx(1.5 * 72.5, rel=1e-12)
    assert joint.gap == pytest.approx(1.5 * 7.5, rel=1e-10)
    assert joint.tape_gap == pytest.approx(1.5 * 5, rel=1e-10)
    assert joint.rigid_strain == pytest.approx(7.5 / 65, rel=1e-10)


def test_a_part_measured_outside_is_the_same_part():
    inner = on(Arc(60, PI), start=30, end=120, bead=0.5)
    outer = on(Arc(70, PI), face="outside", start=35, end=140, bead=0.5)
    # exact by hand: the same half ring, read on its outside
    for name in ("turn", "inside_length", "outside_length", "needed_length", "cut_length", "gap"):
        assert getattr(outer, name) == pytest.approx(getattr(inner, name), rel=1e-9)


def test_a_part_over_the_start_of_a_ring():
    girth = 120 * PI
    joint = on(Arc(60, 2 * PI, closed=True), start=girth - 60, end=30)
    # exact by hand: one and a half radians in one piece
    assert joint.turn == pytest.approx(1.5, rel=1e-9)
    assert joint.needed_length == pytest.approx(1.5 * 72.5, rel=1e-9)
    assert joint.inside_length == pytest.approx(90, rel=1e-9)


def test_an_overlay_over_an_overlay_needs_more():
    first = Cover(piece=OVER, start=60, end=150, cut_length=80)
    joint = on(Arc(60, PI), start=30, end=120, under=(first,), bead=0.5)
    # exact by hand: half a radian on the base, one radian 5.5 mm higher
    assert joint.needed_length == pytest.approx(0.5 * 73.0 + 1.0 * 78.5, rel=1e-12)
    assert joint.outside_length == pytest.approx(0.5 * 70.0 + 1.0 * 75.5, rel=1e-12)
    # exact by hand: what is under it is taken to fit
    assert joint.shell.gaps()[0] == pytest.approx(0, abs=1e-9)
    assert joint.shell.gaps()[1] == pytest.approx(joint.gap, rel=1e-12)


def test_a_hollow_counts_only_where_the_overlay_lies():
    curve = Arcs([100.0, 100.0], [1.0, -1.0])
    base = Piece(thickness=5, law=FOAM)
    where = {"left": (0, 90), "right": (110, 200), "both": (50, 150)}
    found = {name: on(curve, base=base, start=a, end=b) for name, (a, b) in where.items()}
    # exact by hand
    assert [found[k].over_hollow for k in where] == [False, True, True]
    assert found["both"].turn == pytest.approx(0, abs=1e-9)
    assert found["both"].gap == pytest.approx(0, abs=1e-9)
    # exact by hand: 5 mm from middle to middle
    assert found["left"].gap == pytest.approx(0.9 * 5, rel=1e-9)
    assert found["right"].gap == pytest.approx(-0.9 * 5, rel=1e-9)


def test_a_hollow_corner_counts_only_under_the_overlay():
    step = Polyline([[0, 0], [100, 0], [100, 80]])
    base = Piece(thickness=5, law=FOAM)
    here = on(step, base=base, face="outside", start=50, end=150)
    there = on(step, base=base, face="outside", start=0, end=90)
    # exact by hand: the corner at 100 mm is hollow; a right angle loses 2 z tan(45 deg), from
    # fibre (2.5 mm inside) to fibre (2.5 mm outside)
    assert here.over_hollow and not there.over_hollow
    assert there.gap == pytest.approx(0, abs=1e-9)
    assert here.needed_length == pytest.approx(100 - 2 * 2.5, rel=1e-12)


@pytest.mark.parametrize(
    ("said", "message"),
    [
        ({"start": 150, "end": 200}, "past the end of the base"),
        ({"start": 100, "end": 50}, "must lie after its start"),
        ({"start": -5.0}, "start of the overlay must be"),
        ({"end": math.nan}, "end must be"),
    ],
)
def test_a_part_that_is_none_is_refused(said, message):
    with pytest.raises(ValueError, match=message):
        on(Arc(60, PI), **said)


# Marks that share the stretch out -------------------------------------------------------------


def test_marks_over_a_part_of_an_even_bend():
    on_base, on_overlay = even_marks(on(Arc(60, PI), start=30, end=120, cut=100), parts=3)
    # exact by hand: thirds of what the tape shows, thirds of the piece
    assert on_base == pytest.approx(np.array([0, 1, 2, 3]) * 1.5 * 70 / 3, abs=1e-9)
    assert on_overlay == pytest.approx(np.array([0, 1, 2, 3]) * 100 / 3, abs=1e-9)


def test_marks_over_the_start_of_a_ring_begin_at_the_overlay():
    girth = 120 * PI
    curve = Ellipse(80, 50)
    # the same part of an oval: from a sixteenth before its start to an eighth after it
    across = on(curve, start=curve.length * 15 / 16, end=curve.length / 8, cut=60)
    on_base, on_overlay = even_marks(across)
    assert on_base[-1] == pytest.approx(across.outside_length, rel=1e-9)
    assert on_overlay[-1] == pytest.approx(60, rel=1e-12)
    # exact by hand: near the first end the fibre runs as the curvature there says
    start = curve.length * 15 / 16
    k0 = float(curve.curvature(start))
    k1 = float(curve.curvature(curve.length / 8))
    share = across.cut_length / across.needed_length
    fine_base, fine_over = even_marks(across, parts=200)
    first = (fine_over[1] / fine_base[1]) / ((1 + 12.5 * k0) / (1 + 10 * k0) * share)
    last = (fine_over[-1] - fine_over[-2]) / (fine_base[-1] - fine_base[-2])
    assert first == pytest.approx(1, abs=1e-3)
    assert last == pytest.approx((1 + 12.5 * k1) / (1 + 10 * k1) * share, rel=1e-3)
    even = even_marks(on(Arc(60, 2 * PI, closed=True), start=girth - 60, end=30, cut=100))
    # exact by hand: quarters on an even bend
    assert even[1] == pytest.approx([0, 25, 50, 75, 100], abs=1e-9)


def test_marks_from_the_joint_of_a_ring():
    girth = 120 * PI
    for start in (0.0, girth):
        on_base, on_overlay = even_marks(on(Arc(60, 2 * PI, closed=True), start=start, end=60))
        # exact by hand: a radian, from the joint on, whichever way the joint is named
        assert on_base == pytest.approx(np.linspace(0, 70, 5), abs=1e-9)
        assert on_overlay == pytest.approx(np.linspace(0, 65, 5), abs=1e-9)


def test_marks_on_an_overlay_that_climbs_another():
    first = Cover(piece=OVER, start=60, end=120)
    joint = on(Arc(60, PI), start=0, end=120, under=(first,), cut=140)
    on_base, on_overlay = even_marks(joint, parts=2)
    # exact by hand: tape 70 + 75 = 145 mm, so half is 2.5 mm past the step, 1/30 rad; the fibre
    # runs 72.5 mm to the step and 77.5 mm a radian past it
    fibre = 72.5 + 2.5 / 75 * 77.5
    assert on_base == pytest.approx([0, 72.5, 145], abs=1e-9)
    assert on_overlay == pytest.approx([0, fibre / 150 * 140, 140], abs=5e-3)


# Between marks, when glue grabs ---------------------------------------------------------------


def test_an_s_gains_in_one_half_what_it_loses_in_the_other():
    five = Piece(thickness=5, law=FOAM)
    curve = Arcs([62.5 * PI, 57.5 * PI], [PI, -PI])
    joint = Overlay.from_curve(curve, base=five, overlay=five)
    table = between_marks(joint, [0, 62.5 * PI, 120 * PI])
    # exact by hand: radius 60 at both middles of the base, 5 mm from middle to middle: 8 % each
    assert joint.gap == pytest.approx(0, abs=1e-9)
    assert table["longer [mm]"].tolist() == pytest.approx([5 * PI, -5 * PI], rel=1e-9)
    assert table["turn [deg]"].tolist() == pytest.approx([180, -180], rel=1e-9)
    assert local_strain(joint, [10.0, 250.0]) == pytest.approx([5 / 60, -5 / 60], rel=1e-9)


def test_rows_add_up_to_the_gap_of_the_whole():
    curve = Ellipse(90, 50, 0, PI)
    joint = on(curve)
    marks = np.array([0, 0.2, 0.45, 0.8, 1]) * curve.length
    table = between_marks(joint, marks)
    # exact by hand: an overlay cut like its base is short by the sum
    assert table["longer [mm]"].sum() == pytest.approx(joint.gap, rel=1e-9)
    assert table["turn [deg]"].sum() == pytest.approx(180, rel=1e-9)
    assert table["from [mm]"].tolist() == pytest.approx(marks[:-1])
    assert table["to [mm]"].tolist() == pytest.approx(marks[1:])
    # exact by hand: least and most of each row lie about its mean
    base = np.diff(marks) + 5 * np.radians(table["turn [deg]"].to_numpy())
    mean = 100 * table["longer [mm]"].to_numpy() / base
    assert (table["least [%]"] <= mean + 1e-9).all() and (table["most [%]"] >= mean - 1e-9).all()


@pytest.mark.parametrize("marks", [[0.0], [10.0, 10.0], [50.0, 20.0], [[0.0, 10.0]], 5.0])
def test_marks_out_of_order_are_refused(marks):
    with pytest.raises(ValueError, match="marks must be two or more places in rising order"):
        between_marks(on(Arc(60, PI)), marks)


@pytest.mark.parametrize("marks", [[0.0, 500.0], [-5.0, 20.0], [0.0, math.nan]])
def test_marks_off_the_curve_are_refused(marks):
    with pytest.raises(ValueError, match=r"along the curve|marks must be a finite"):
        between_marks(on(Arc(60, PI)), marks)
