"""Bindings: width, length, what their legs suffer, and where they are cut into flaps."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely

from foamcalc.fit.limits import Limit
from foamcalc.fit.stack import Piece
from foamcalc.fit.trim.binding import Binding
from foamcalc.fit.trim.binding_cut import binding_limits, cut_binding
from foamcalc.fit.trim.pucker import pucker_limit
from foamcalc.fit.trim.words import binding_corners, binding_sentence, binding_work
from foamcalc.foam.grades import foam
from foamcalc.foam.law import Linear
from foamcalc.shape.arcs import Arcs
from foamcalc.shape.curve import Arc
from foamcalc.shape.ellipse import Ellipse
from foamcalc.shape.polyline import Polyline

STRIP = Piece(thickness=3, law=Linear(1.5, poisson=0.25))
WAVE = Arcs([60, 100, 60], [1.0, 0.0, -1.0])
STEP = Polyline([(0, 0), (0, 100), (150, 100), (150, 50), (250, 50)])


def bound(curve, **said):
    return Binding(**{"curve": curve, "strip": STRIP, "edge": 10, "legs": (12, 6), **said})


# Width and length -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("radius", "fibre", "width"),
    [
        # exact by hand: legs, edge and two quarter turns at r + k t
        (0.0, 0.5, 12 + 6 + 10 + np.pi * 1.5),
        (0.5, 0.5, 12 + 6 + 10 + np.pi * 2.0),
        (2.0, 0.6, 12 + 6 + 10 + np.pi * 3.8),
    ],
)
def test_width(radius, fibre, width):
    strip = Piece(thickness=3, law=Linear(1.5), fibre=fibre)
    found = bound(Arc(150, 1.0), strip=strip, fold_radius=radius)
    assert found.width == pytest.approx(width, rel=1e-12)
    section = shapely.LineString([(0, 12), (0, 0), (10, 0), (10, 6)])
    round_it = shapely.offset_curve(section, -(radius + fibre * 3), quad_segs=2000)
    # independent library: shapely's parallel line round the section of the edge
    assert found.width == pytest.approx(round_it.length, rel=1e-6)


def test_length_is_that_of_a_rim_on_its_fibre():
    found = bound(Arc(150, 2.0), short=0.0, fold_radius=0.5)
    # exact by hand
    assert found.rim.length == pytest.approx(2 * 152)
    assert bound(WAVE).rim.length == pytest.approx(220)
    assert bound(WAVE).short == 0


# Legs -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("curvature", "short", "fold", "free"),
    [
        # exact by hand: fibre at 1.5 mm beyond the edge, the leg's edge 12 mm inside it
        (1 / 60, 0.0, 60 / 61.5 - 1, 48 / 61.5 - 1),
        (1 / 60, 0.02, 60 / 61.5 / 0.98 - 1, 48 / 61.5 / 0.98 - 1),
        (-1 / 60, 0.0, 60 / 58.5 - 1, 72 / 58.5 - 1),
        (0.0, 0.0, 0.0, 0.0),
    ],
)
def test_what_a_leg_suffers(curvature, short, fold, free):
    found = bound(Arc(150, 1.0), short=short).leg_strain(0, curvature)
    assert (found.fold, found.free) == pytest.approx((fold, free), rel=1e-12, abs=1e-15)


def test_a_leg_is_checked_as_a_strip_glued_along_its_fold():
    found = bound(Arc(150, 1.0), short=0.0)
    limits = binding_limits(STRIP)
    strain = found.leg_strain(1, 1 / 100)
    stretch, squeeze = found.leg_checks(1, 1 / 100, limits)
    expected = pucker_limit(thickness=3, width=6, at_glue=strain.fold, at_free=strain.free)
    assert squeeze.limit.value == pytest.approx(float(expected), rel=1e-9)
    assert (stretch.found, squeeze.found) == pytest.approx((0, -strain.free))
    (only,) = found.leg_checks(1, -1 / 100, limits)
    # exact by hand: 6 mm beyond, on the outside of a hollow of 100 mm
    assert only.found == pytest.approx(106 / 98.5 - 1)


def test_gentle_edges_need_no_cuts():
    found = cut_binding(bound(Arc(400, 1.0)))
    assert found.cuts == () and all(c.met for c in found.leg_checks)
    assert found.met


def test_notches_on_a_bend_by_hand():
    found = cut_binding(bound(Arc(60, 2.0), short=0.0))
    (cuts,) = found.cuts
    assert not all(c.met for c in found.leg_checks)
    # exact by hand: flaps straight within 1 mm are sqrt(8 x 60) = 21.9 mm at most
    assert (cuts.leg, cuts.kind, cuts.number) == (0, "notches", 6)
    assert (cuts.start, cuts.end, cuts.pitch) == pytest.approx((0, 120, 20))
    # (12 + 1.5) mm x 2 rad, a sixth each
    assert cuts.width == pytest.approx(13.5 * 2 / 6)


def test_what_is_short_needs_no_wedge():
    (cuts,) = cut_binding(bound(Arc(60, 2.0), short=0.02)).cuts
    # exact by hand: 27 mm too much at the free edge, less 2 % of 123 mm, a sixth each
    assert cuts.width == pytest.approx((27 - 0.02 * 123) / 6)


def test_narrow_wedges_are_slits_that_lap():
    more = Limit(value=6.0, unit="mm", basis="your own", reason="My knife.")
    (cuts,) = cut_binding(bound(Arc(60, 2.0), short=0.0), limits={"wedge": more}).cuts
    assert cuts.kind == "slits that lap"


def test_slits_open_in_a_hollow():
    found = cut_binding(bound(Arc(60, -2.0)))
    kinds = {c.leg: (c.kind, c.number) for c in found.cuts}
    assert kinds == {0: ("slits that open", 6), 1: ("slits that open", 6)}
    # exact by hand: (6 + 1.5) mm x 2 rad, a sixth each
    assert found.cuts[1].width == pytest.approx(7.5 * 2 / 6)


def test_only_the_tight_part_is_cut():
    curve = Ellipse(200, 90, 0, np.pi)
    found = cut_binding(bound(curve))
    limits = binding_limits(STRIP)
    # 12 mm legs on a radius of 40 mm at the ends, 444 mm in the middle
    assert len(found.cuts) == 2
    for cuts in found.cuts:
        for place in (cuts.start, cuts.end):
            if 0 < place < curve.length:
                checks = found.binding.leg_checks(0, float(curve.curvature(place)), limits)
                # exact by definition: the limit is just met where the cuts end
                nearest = max(c.found / c.limit.value for c in checks)
                assert nearest == pytest.approx(1, rel=1e-6)
        tight = float(np.abs(curve.curvature([cuts.start, cuts.end])).max())
        assert cuts.pitch <= math.sqrt(8 / tight) * (1 + 1e-9)


def test_a_wave_is_notched_and_slit():
    found = cut_binding(bound(WAVE, legs=(12, 12)))
    assert [(c.leg, c.kind) for c in found.cuts] == [
        (0, "notches"),
        (0, "slits that open"),
        (1, "notches"),
        (1, "slits that open"),
    ]
    table = found.cuts_table()
    assert table["from [mm]"].tolist() == pytest.approx([0, 160, 0, 160], abs=1e-6)
    assert found.table()["cut [mm]"].tolist() == pytest.approx([220])
    assert found.marks_table().empty


def test_pulled_tighter_the_legs_are_squeezed_less():
    loose, tight = (bound(Arc(150, 1.0), short=s).leg_strain(0, 1 / 150) for s in (0.0, 0.03))
    assert tight.free > loose.free


def test_corners_of_a_binding():
    works = binding_corners(bound(STEP))
    # exact by hand: 2 x 12 mm x tan 45
    assert "Cut a wedge of 90 deg out of both legs, its point on the fold, 24.0 mm" in works[0].what
    assert "Slit both legs up to the fold; they gape by 24.0 mm" in works[2].what
    assert [w.takes for w in works] == pytest.approx([0.75 * np.pi, 0.75 * np.pi, -3])


# Words ------------------------------------------------------------------------------------------


def test_the_sentence():
    said = binding_sentence(cut_binding(bound(Arc(60, 2.0), short=0.0)))
    # exact by hand: 2 x 61.5; 28 + 1.5 pi
    assert said == (
        "Cut it 123 mm long, 33 mm wide: legs 12 mm and 6 mm, edge 10 mm, two folds of 2.4 mm; "
        "leg 1 must be notched."
    )
    wave = binding_sentence(cut_binding(bound(WAVE, legs=(12, 12))))
    assert wave.endswith("leg 1 must be notched and slit; leg 2 must be notched and slit.")


def test_the_order_of_work():
    steps = binding_work(cut_binding(bound(Arc(60, 2.0), short=0.0), marks=[0, 60]))
    said = [s.what for s in steps]
    # exact by hand: 12 + 2.36/2; 12 + 10 + 1.5 x 2.36
    assert "Draw the middles of the two folds along the strip, 13.0 mm, 25.5 mm from" in said[1]
    assert said[2] == (
        "Leg 1: cut out 6 wedges from 0 mm to 120 mm along the edge, one every 20 mm, 4.5 mm wide "
        "at the free edge."
    )
    assert "blade" in steps[2].caution
    assert any("vapour" in s.caution for s in steps)
    hollow = binding_work(cut_binding(bound(Arc(60, -2.0))), system="in")
    assert any("the slits open by" in s.what for s in hollow)
    assert not any(" mm" in s.what for s in hollow)


# Bad input --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("said", "message"),
    [
        ({"edge": 0.0}, "edge must be a finite length above 0 mm, got 0.0"),
        ({"legs": (12,)}, "legs must be two lengths, one for each face"),
        ({"legs": (12, -1)}, "legs must be .*got -1.0 at index 1"),
        ({"legs": (12, math.nan)}, "legs must be .*got nan at index 1"),
        ({"fold_radius": -1}, "fold radius must be .*got -1"),
        ({"curve": Arc(10, 1.0)}, "a leg of 12 mm cannot lie flat there: .*radius of only 10.00"),
        ({"curve": WAVE, "short": 0.02}, "short must be 0 where the edge is hollow"),
    ],
)
def test_a_binding_that_cannot_be_is_refused(said, message):
    with pytest.raises(ValueError, match=message):
        bound(**{"curve": Arc(150, 1.0), **said})


def test_unknown_limits_are_refused():
    with pytest.raises(
        ValueError, match="limit must be one of 'stretch', 'force', 'deviation', 'w"
    ):
        cut_binding(bound(WAVE), limits={"mouth": None})


def test_a_foam_of_the_tables_goes_the_same_way():
    eva = Piece(thickness=3, law=foam("EVA medium"))
    found = cut_binding(bound(Arc(60, 2.0), strip=eva))
    assert [c.kind for c in found.cuts] == ["notches"]
