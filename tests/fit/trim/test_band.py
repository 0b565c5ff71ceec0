"""Bands: whether a straight strip lies flat along an edge, how long, and how wide it may be."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from foamcalc.fit.limits import Limit, default_limits, tape_reading
from foamcalc.fit.stack import Piece
from foamcalc.fit.trim.across import band_edges
from foamcalc.fit.trim.band import (
    PUCKER,
    Band,
    band_limits,
    checked_limits,
    nearest_limit,
    pucker_at,
    straight_checks,
)
from foamcalc.fit.trim.ends import Joining, StripEnd
from foamcalc.fit.trim.pucker import pucker_limit
from foamcalc.fit.trim.straight import straight_band, straight_bends, widest_straight
from foamcalc.foam.grades import foam
from foamcalc.foam.law import Linear
from foamcalc.shape.arcs import Arcs
from foamcalc.shape.curve import Arc
from foamcalc.shape.drawn import Drawn
from foamcalc.shape.ellipse import Ellipse
from foamcalc.shape.polyline import Polyline
from foamcalc.shape.segments import Bezier

EVA = foam("EVA medium")
STRIP = Piece(thickness=5, width=20, law=EVA)
PLAIN = Piece(thickness=5, width=20, law=Linear(1.5))
WAVE = Arcs([100, 80, 60], [0.3, -0.2, 0.1])
STEP = Polyline([(0, 0), (0, 100), (150, 100), (150, 50), (250, 50)])
SIDES = ("inside", "middle", "outside")


# What it suffers --------------------------------------------------------------------------------


@pytest.mark.parametrize("side", SIDES)
def test_an_arc_has_one_tight_place(side):
    (tight,) = Band(curve=Arc(250, -2.0), strip=STRIP, side=side).tight
    edges = band_edges(STRIP, -1 / 250, side=side)
    # exact: the strains of that bend
    assert (tight.inner, tight.outer) == pytest.approx((float(edges.inner), float(edges.outer)))
    assert (tight.curvature, tight.place) == pytest.approx((-1 / 250, 250))
    assert tight.stretched_edge == "inner" and tight.squeezed_edge == "outer"
    assert (tight.stretch, tight.squeeze) == (tight.inner, -tight.outer)


def test_a_wave_has_two():
    hollow, convex = Band(curve=WAVE, strip=STRIP).tight
    # exact by hand: the tightest of each, 100 mm over 0.3 and 80 mm over 0.2
    assert (1 / hollow.curvature, 1 / convex.curvature) == pytest.approx((-400, 1000 / 3))
    assert (hollow.place, convex.place) == pytest.approx((140, 50))


def test_a_straight_edge_has_none():
    assert Band(curve=STEP, strip=STRIP).tight == ()
    assert straight_checks(Band(curve=STEP, strip=STRIP), band_limits(STRIP)) == ()


def test_limits_are_those_of_the_tables():
    limits = band_limits(STRIP)
    # published in the tables
    assert limits["stretch"] == default_limits(STRIP)["stretch"]
    assert limits["deviation"].value == tape_reading()
    own = Limit(value=0.02, unit="1", basis="your own", reason="Tried.")
    assert checked_limits(STRIP, {"stretch": own})["stretch"] is own
    with pytest.raises(ValueError, match="limit must be one of 'stretch', 'force', 'deviation'"):
        checked_limits(STRIP, {"pull": own})


@pytest.mark.parametrize(("side", "share"), [("inside", 1), ("middle", 2), ("outside", 1)])
def test_what_stands_beyond_the_glued_line_puckers(side, share):
    band = Band(curve=Arc(200, 1.0), strip=STRIP, side=side)
    (tight,) = band.tight
    free = tight.outer if side == "outside" else tight.inner
    expected = pucker_limit(
        thickness=5, width=20 / share, at_glue=tight.line, at_free=free, poisson=0.10
    )
    # exact: the plate rule for the width beyond the glue, side strain of the foam at rest
    assert pucker_at(STRIP, side, tight).value == pytest.approx(float(expected), rel=1e-9)


def test_a_band_glued_at_its_stretched_edge_puckers_sooner_than_at_its_squeezed_one():
    inside, outside = (
        Band(curve=Arc(200, 1.0), strip=STRIP, side=s) for s in ("inside", "outside")
    )
    found = [pucker_at(STRIP, b.side, b.tight[0]).value for b in (inside, outside)]
    assert found[0] < found[1] / 5


def test_pull_is_checked_where_there_is_one():
    without, pulled = (
        straight_checks(Band(curve=Arc(250, 1.0), strip=STRIP, pull=p), band_limits(STRIP))
        for p in (0.0, 1.0)
    )
    names = [[c.what for _, c in found] for found in (without, pulled)]
    assert names[0] == ["stretch of the outer edge", PUCKER]
    assert names[1] == ["stretch of the outer edge", "pull while gluing"]
    stiff = replace(STRIP, modulus_spread=0.5)
    harder = straight_checks(Band(curve=Arc(250, 1.0), strip=stiff, pull=1.0), band_limits(stiff))
    # exact by hand: half as stiff again
    assert harder[1][1].found == pytest.approx(1.5 * pulled[1][1].found)


@pytest.mark.parametrize(("curve", "sign"), [(Arc(250, 1.0), 1), (Arc(250, -1.0), -1)])
def test_a_pull_drags_towards_the_side_to_which_the_edge_turns(curve, sign):
    band = Band(curve=curve, strip=PLAIN, side="middle", pull=1.0)
    (tight,) = band.tight
    # exact by hand: pull over radius and width; onto the piece on a bend, off it in a hollow
    assert band.side_pull(tight) == pytest.approx(sign * tight.force / 250 / 20)
    assert tight.force > 0


def test_nearest_limit():
    assert nearest_limit(()) == (0.0, -1)
    band = Band(curve=Arc(100, 1.0), strip=STRIP)
    findings = straight_checks(band, band_limits(STRIP))
    ratio, worst = nearest_limit(findings)
    # exact: the largest of found over limit
    assert ratio == max(c.found / c.limit.value for _, c in findings)
    assert findings[worst][1].found / findings[worst][1].limit.value == ratio


# How long ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("side", "turn", "expected"),
    [
        # exact by hand: a foam without side strain keeps its middle
        ("inside", 2.0, 2 * 240),
        ("middle", 2.0, 2 * 250),
        ("outside", 2.0, 2 * 260),
        ("inside", -2.0, 2 * 260),
        ("outside", -2.0, 2 * 240),
    ],
)
def test_length_on_an_arc(side, turn, expected):
    found = straight_band(Band(curve=Arc(250, turn), strip=PLAIN, side=side))
    assert found.cut_length == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize(
    ("side", "turn", "expected"),
    [
        # exact by hand: as long as its shorter edge
        ("inside", 2.0, 2 * 230),
        ("middle", 2.0, 2 * 240),
        ("outside", 2.0, 2 * 250),
        ("inside", -2.0, 2 * 250),
        ("outside", -2.0, 2 * 230),
    ],
)
def test_length_of_a_pulled_band(side, turn, expected):
    band = Band(curve=Arc(250, turn), strip=PLAIN, side=side, pull=1.0)
    assert straight_band(band).cut_length == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize("pull", [0.0, 0.6])
@pytest.mark.parametrize("curve", [Ellipse(300, 200, 0, 2.0), WAVE])
def test_length_on_any_curve(curve, pull):
    band = Band(curve=curve, strip=STRIP, pull=pull)

    def rate(place):
        return 1 / (1 + float(band.edges(place).line))

    expected = quad(rate, 0, curve.length, points=curve.joints or None, limit=60, epsrel=1e-6)[0]
    # independent library: scipy's quadrature of the strain place by place
    assert straight_band(band).cut_length == pytest.approx(expected, rel=1e-6)


@pytest.mark.parametrize("side", SIDES)
def test_marks_share_the_stretch_as_the_edge_takes_it(side):
    band = Band(curve=WAVE, strip=STRIP, side=side)
    (strip,) = straight_band(band, marks=[0, 100, 180, 240]).strips
    gaps = np.diff([m.on_strip for m in strip.marks])
    lines = [float(band_edges(STRIP, k, side=side).line) for k in (0.003, -0.0025, 1 / 600)]
    # exact by hand: each arc by its own strain
    assert gaps == pytest.approx([100 / (1 + lines[0]), 80 / (1 + lines[1]), 60 / (1 + lines[2])])
    assert gaps.sum() == pytest.approx(strip.length, rel=1e-12)


@settings(deadline=None, max_examples=8)
@given(
    lengths=st.lists(st.floats(30, 200), min_size=2, max_size=5),
    seed=st.integers(0, 10**6),
    side=st.sampled_from(SIDES),
)
def test_the_mirrored_edge_takes_the_same_strip(lengths, seed, side):
    rng = np.random.default_rng(seed)
    turns = rng.uniform(-1, 1, len(lengths)) * np.array(lengths) / 150
    band = Band(curve=Arcs(lengths, turns), strip=STRIP, side=side)
    back = Band(curve=Arcs(lengths[::-1], turns[::-1]), strip=STRIP, side=side)
    marks = np.cumsum(lengths)[:-1]
    one, two = (
        straight_band(band, marks=marks),
        straight_band(back, marks=sum(lengths) - marks[::-1]),
    )
    # exact: walked from the other end, the same places
    assert one.cut_length == pytest.approx(two.cut_length, rel=1e-9)
    first = np.array([m.on_strip for m in one.strips[0].marks])
    other = np.array([m.on_strip for m in two.strips[0].marks])
    assert first == pytest.approx(two.cut_length - other[::-1], rel=1e-9)
    assert one.met == two.met


def test_curved_parts_between_corners():
    shell = Drawn(
        [
            Bezier([(0, 0), (0, 150), (100, 200)]),
            Bezier([(100, 200), (250, 230), (330, 100)]),
            Bezier([(330, 100), (380, 20), (500, 0)]),
        ]
    )
    band = Band(curve=shell, strip=PLAIN)
    found = straight_band(band)
    assert len(found.strips) == len(shell.corners) + 1 == 3
    for strip in found.strips:
        ends = strip.start + 1e-6, strip.end - 1e-6

        def rate(place):
            return 1 / (1 + float(band.edges(place).line))

        # independent library: scipy's quadrature of the strain place by place
        assert strip.length == pytest.approx(quad(rate, *ends, epsrel=1e-6)[0], rel=1e-5)
        inner = strip.length - 20 * np.tan(strip.mitres).sum()
        # exact by hand: 20 mm inside the line, by the mitres
        assert strip.edge_lengths == pytest.approx((inner, strip.length))


def test_corners_are_mitred():
    found = straight_band(Band(curve=STEP, strip=STRIP), marks=[50, 100, 275])
    assert len(found.strips) == 4
    # exact by hand: 20 mm inside the line, less 20 mm at each convex quarter turn
    inner, outer = np.array([s.edge_lengths for s in found.strips]).T
    assert outer == pytest.approx([100, 150, 50, 100])
    assert inner == pytest.approx([80, 110, 50, 120])
    mitres = np.degrees([s.mitres for s in found.strips])
    assert mitres.ravel() == pytest.approx([0, 45, 45, 45, 45, -45, -45, 0])
    # the tip at the hollow corner lies on the inner edge: 20 mm more blank at both strips
    assert [s.cut_length for s in found.strips] == pytest.approx([100, 150, 70, 120])
    # a mark at a corner is on both strips
    assert [len(s.marks) for s in found.strips] == [2, 1, 1, 0]
    assert found.met and found.stretch == found.squeeze == found.force == 0


def test_ends_are_added_at_the_outer_ends_only():
    ends = (StripEnd(kind="free", spare=7), StripEnd(kind="free", spare=9))
    with_ends, without = (
        straight_band(Band(curve=STEP, strip=STRIP), ends=e) for e in (ends, None)
    )
    # exact by hand
    more = [
        a.cut_length - b.cut_length for a, b in zip(with_ends.strips, without.strips, strict=True)
    ]
    assert more == pytest.approx([7, 0, 0, 9])


def test_a_ring_is_joined_once():
    ring = Arc(250, 2 * np.pi, closed=True)
    joining = Joining(kind="lap", lap=15, longest=800)
    found = straight_band(Band(curve=ring, strip=PLAIN), joining=joining)
    # exact by hand: middle at 240 mm, two laps
    assert found.cut_length == pytest.approx(2 * np.pi * 240 + 2 * 15, rel=1e-9)
    assert len(found.strips) == 2
    with pytest.raises(ValueError, match="a closed edge has no open ends"):
        straight_band(Band(curve=ring, strip=PLAIN), ends=(StripEnd(), StripEnd()))


def test_runs_are_told_with_both_edges():
    table = Band(curve=WAVE, strip=STRIP).runs_table()
    # exact by hand: 20 mm x turn of the run
    assert table["outer longer by [mm]"].tolist() == pytest.approx([6, -4, 2])
    assert table["inner edge [mm]"].tolist() == pytest.approx([94, 84, 58])


# Whether it goes, and how wide it may be --------------------------------------------------------


def test_it_goes_straight_while_every_limit_is_kept():
    easy, hard = (straight_band(Band(curve=Arc(r, 1.0), strip=STRIP)) for r in (250, 100))
    assert easy.met and not hard.met
    tight, check = hard.deciding
    assert check.what == "stretch of the outer edge"
    assert tight.curvature == pytest.approx(1 / 100)
    assert hard.stretch == pytest.approx(tight.stretch)
    assert hard.table()["cut [mm]"][0] == pytest.approx(hard.cut_length)


@pytest.mark.parametrize(
    ("curve", "side", "pull"),
    [
        (Arc(250, 1.0), "inside", 0.0),
        (Arc(250, 1.0), "middle", 1.0),
        (Arc(180, -1.0), "inside", 0.5),
        (Arc(180, -1.0), "outside", 0.0),
        (WAVE, "outside", 0.0),
        (WAVE, "middle", 1.0),
        (Ellipse(300, 150, 0, 2), "inside", 0.5),
    ],
)
def test_the_widest_band_just_meets_its_limits(curve, side, pull):
    band = Band(curve=curve, strip=STRIP, side=side, pull=pull)
    widest = widest_straight(band)
    below, above = (straight_band(band.with_width(widest.width * f)) for f in (0.999, 1.001))
    # exact by definition
    assert below.met and not above.met
    assert widest.what == above.deciding[1].what
    assert widest.tight.curvature == pytest.approx(above.deciding[0].curvature)


def test_widest_by_hand():
    band = Band(curve=Arc(250, 1.0), strip=replace(PLAIN, thickness=10), pull=1.0)
    found = widest_straight(band)
    # exact by hand: w/(250 - w) is 8 %
    assert found.width == pytest.approx(250 * 0.08 / 1.08, rel=1e-8)
    assert found.what == "stretch of the outer edge"


def test_corners_leave_room_for_so_much():
    found = widest_straight(Band(curve=STEP, strip=STRIP))
    # exact by hand: the part of 50 mm between a convex and a hollow quarter turn is used up by
    # the one at 50 mm
    assert (found.width, found.what) == (pytest.approx(50, rel=1e-6), "room")
    straight = widest_straight(Band(curve=Polyline([(0, 0), (100, 0)]), strip=STRIP))
    assert straight.width == math.inf


def test_no_stretch_allowed_is_no_width():
    none = Limit(value=0.0, unit="1", basis="your own", reason="Tears.")
    found = widest_straight(Band(curve=Arc(250, 1.0), strip=STRIP), {"stretch": none})
    assert (found.width, found.what) == (0.0, "stretch of the outer edge")


@pytest.mark.parametrize("side", SIDES)
def test_the_tightest_bend_for_a_width(side):
    hollow, convex = straight_bends(Band(curve=Arc(250, 1.0), strip=STRIP, side=side))
    for bend in (hollow, convex):
        arcs = [Arc(f / abs(bend), np.sign(bend)) for f in (1.001, 0.999)]
        easier, tighter = (straight_band(Band(curve=a, strip=STRIP, side=side)) for a in arcs)
        # exact by definition
        assert easier.met and not tighter.met
    assert hollow < 0 < convex


def test_where_the_foam_folds_nothing_is_cut_straight():
    found = straight_band(Band(curve=Arc(22, 1.0), strip=STRIP))
    assert not found.met and found.strips == ()
    assert math.isnan(found.cut_length)
    assert found.stretch == found.squeeze == math.inf


# Bad input --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("said", "message"),
    [
        ({"curve": Arc(15, 1.0)}, "20 mm wide cannot lie flat there: .*radius of only 15"),
        (
            {"curve": Arc(9, -1.0), "side": "middle"},
            "cannot lie flat .*hollow has a radius of only",
        ),
        (
            {"curve": Polyline([(0, 0), (30, 0), (30, -15), (60, -15)])},
            "20 mm wide cannot lie flat",
        ),
        (
            {"curve": Drawn([Bezier([(0, 0), (0, 0), (100, 50), (200, 0)])])},
            "the edge turns without a radius at 0.0 mm along it",
        ),
        ({"side": "top"}, "side must be one of"),
        ({"pull": -0.1}, "pull must be a number from 0 to 1, got -0.1"),
    ],
)
def test_a_band_that_cannot_be_is_refused(said, message):
    with pytest.raises(ValueError, match=message):
        Band(**{"curve": Arc(250, 1.0), "strip": STRIP, **said})


@pytest.mark.parametrize("width", [0.0, -3.0, math.nan])
def test_a_width_that_cannot_be_is_refused(width):
    with pytest.raises(ValueError, match=f"width must be a finite length above 0 mm, got {width}"):
        Band(curve=Arc(250, 1.0), strip=STRIP).with_width(width)


def test_marks_out_of_order_are_refused():
    with pytest.raises(ValueError, match="marks must stand in rising order"):
        straight_band(Band(curve=WAVE, strip=STRIP), marks=[100, 20])
