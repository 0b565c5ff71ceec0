"""Toothed strips: whole teeth and gaps, what the gaps become, two halves out of one."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from foamcalc.fit.stack import Piece
from foamcalc.fit.trim.toothed import ToothedStrip, cut_teeth
from foamcalc.foam.law import HyperFoam
from foamcalc.shape.curve import Arc, TurnedLength
from foamcalc.shape.ellipse import Ellipse

EVA = HyperFoam(mu=0.6, alpha=2.0, poisson=0.25)
STRIP = ToothedStrip(piece=Piece(thickness=10, width=20, law=EVA), depth=7)
DISC = Arc(60, 2 * np.pi, closed=True)
STRAIGHT = TurnedLength(160, 0)


# Whole periods --------------------------------------------------------------------------------


def test_every_second_piece_removed_by_hand():
    teeth = cut_teeth(STRAIGHT, STRIP, pitch=5)
    # common practice (no source): 160 mm at a pitch of 5 mm, every second piece removed, 16 teeth
    assert teeth.number == 16
    # exact by hand
    assert (teeth.pitch, teeth.period) == (pytest.approx(5), pytest.approx(10))
    assert (teeth.tooth, teeth.gap, teeth.length) == tuple(map(pytest.approx, (5, 5, 160)))
    assert teeth.sides == pytest.approx(
        np.stack([10.0 * np.arange(16), 10.0 * np.arange(16) + 5], axis=1), rel=1e-9
    )
    assert teeth.tip_gaps == pytest.approx(np.full(15, 5), rel=1e-9)
    assert teeth.root_gaps == pytest.approx(np.full(15, 5), rel=1e-9)
    assert teeth.turn == 0


def test_half_a_tooth_at_each_end():
    teeth = cut_teeth(STRAIGHT, STRIP, pitch=5, begin="half tooth")
    sides = teeth.sides
    # exact by hand: 15 whole teeth and two halves, a gap between any two
    assert sides[0] == pytest.approx([0, 2.5], abs=1e-9)
    assert sides[-1] == pytest.approx([157.5, 160], rel=1e-9)
    assert sides[1:-1] == pytest.approx(
        np.stack([10.0 * np.arange(1, 16) - 2.5, 10.0 * np.arange(1, 16) + 2.5], axis=1)
    )
    assert teeth.gap_middles == pytest.approx(5 + 10.0 * np.arange(16), rel=1e-9)
    assert len(teeth.tip_gaps) == 16 and teeth.halved


def test_a_given_share_of_the_period():
    teeth = cut_teeth(STRAIGHT, replace(STRIP, share=0.3), number=32)
    # exact by hand
    assert (teeth.tooth, teeth.gap) == (pytest.approx(7), pytest.approx(3))


@settings(max_examples=30, deadline=None)
@given(
    share=st.floats(0.1, 0.9),
    pitch=st.floats(3, 12),
    radius=st.floats(22, 200),
    halved=st.booleans(),
)
def test_teeth_and_gaps_fill_the_ring(share, pitch, radius, halved):
    strip = replace(STRIP, share=share)
    begin = "half tooth" if halved else "tooth"
    teeth = cut_teeth(Arc(radius, 2 * np.pi, closed=True), strip, pitch=pitch, begin=begin)
    # exact: whole periods fill the strip; teeth and gaps fill the periods, in rising order
    assert teeth.number * (teeth.tooth + teeth.gap) == pytest.approx(teeth.length, rel=1e-12)
    assert np.diff(teeth.sides, axis=1).sum() == pytest.approx(teeth.number * teeth.tooth, rel=1e-9)
    edges = teeth.sides.ravel()
    assert (np.diff(edges) > 0).all() and edges[0] == 0 and edges[-1] <= teeth.length
    assert abs(teeth.length / (2 * pitch) - teeth.number) < 0.55
    assert len(teeth.tip_gaps) == teeth.number
    # exact, independent of how cuts open: the ring turns once, shared by all
    assert teeth.turn * teeth.number == pytest.approx(2 * np.pi, rel=1e-12)
    assert (teeth.tip_gaps > teeth.root_gaps).all() and (teeth.root_gaps > teeth.gap).all()


# On the edge ----------------------------------------------------------------------------------


def test_teeth_spread_on_a_disc():
    teeth = cut_teeth(DISC, STRIP, pitch=10)
    web, turn = teeth.pitched.web, 2 * np.pi / teeth.number
    # exact by hand: one turn shared by the teeth
    assert teeth.turn == pytest.approx(turn, rel=1e-12)
    assert teeth.tip_gaps == pytest.approx(
        np.full(teeth.number, teeth.gap + turn * float(web.lever(1 / 60))), rel=1e-9
    )
    # exact by hand: 0.45 web sqrt(share)
    assert teeth.root_gaps == pytest.approx(
        np.full(teeth.number, teeth.gap + turn * 0.45 * 3 * np.sqrt(0.5)), rel=1e-9
    )
    # by hand, independent of the formula: tips on a circle of 70 mm, unstrained teeth, within 1 %
    assert teeth.tip_gaps[0] + teeth.tooth == pytest.approx(turn * 70, rel=0.01)


def test_teeth_close_in_a_hollow():
    teeth = cut_teeth(Arc(60, -2 * np.pi, closed=True), STRIP, pitch=10)
    # by hand, independent of the formula: tips on a circle of 50 mm, unstrained teeth, within 1 %
    turn = 2 * np.pi / teeth.number
    assert teeth.tip_gaps[0] + teeth.tooth == pytest.approx(turn * 50, rel=0.01)
    assert teeth.turn == pytest.approx(-turn, rel=1e-12)
    assert (teeth.root_gaps < teeth.gap).all()
    assert teeth.checks[0].found == 0


def test_teeth_against_the_edge_of_a_disc_close():
    inward = replace(STRIP, face="inside")
    teeth = cut_teeth(DISC, inward, pitch=8)
    turn = 2 * np.pi / teeth.number
    # by hand, independent of the formula: tips on the disc's own circle, within 1 %
    assert teeth.tip_gaps[0] + teeth.tooth == pytest.approx(turn * 60, rel=0.01)
    assert teeth.turn == pytest.approx(-turn, rel=1e-12)
    height = float(teeth.pitched.web.height(1 / 60))
    # exact by hand: the back of the web is a thickness outside the disc
    assert teeth.length == pytest.approx(2 * np.pi * (70 - height), rel=1e-11)


def test_the_tightest_edge_on_which_teeth_do_not_meet():
    narrow = replace(STRIP, share=0.15)
    closest = cut_teeth(STRAIGHT, narrow, number=32).closest
    fits = cut_teeth(Arc(closest * 1.02, -1.0), narrow, pitch=5)
    # by hand: the gaps are all but gone just above that radius, and refused below it
    assert (fits.tip_gaps < 0.05).all() and (fits.tip_gaps >= 0).all()
    with pytest.raises(ValueError, match="would close by"):
        cut_teeth(Arc(closest * 0.97, -1.0), narrow, pitch=5)
    # by hand, about: (t - h)/share + h whatever the pitch
    assert closest == pytest.approx((10 - 2) / 0.15 + 2, rel=0.05)
    other = cut_teeth(STRAIGHT, narrow, number=40).closest
    assert other == pytest.approx(closest, rel=0.02)
    assert cut_teeth(STRAIGHT, STRIP, pitch=5).closest == 0.0


def test_the_pitch_goes_on_over_the_join():
    oval = Ellipse(90, 60)
    for begin in ("tooth", "half tooth"):
        a, b = (cut_teeth(oval, STRIP, number=48, begin=begin, start=s) for s in (0.0, 37.0))
        # exact: the oval is the same half a turn on; every gap turns, all together once
        for teeth in (a, b):
            turns, _ = teeth.pitched.bends(teeth.between)
            assert turns.sum() == pytest.approx(2 * np.pi, rel=1e-9)
        assert a.tip_gaps[:12] == pytest.approx(a.tip_gaps[12:], rel=1e-6)
        assert abs(a.tip_gaps[0] - b.tip_gaps[0]) > 0.01


def test_marks_have_the_nearest_tooth():
    teeth = cut_teeth(DISC, STRIP, number=38, marks=[0, 100], start=0.0)
    scale = teeth.length / DISC.length
    found = teeth.marks()
    # exact by hand: teeth have their middles at a quarter of a period and then a period apart; the
    # mark at the join is on the strip twice
    assert [m.on_strip for m in found] == pytest.approx([0, 100 * scale, teeth.length], abs=1e-9)
    nearest = round((100 * scale - teeth.tooth / 2) / teeth.period) + 1
    assert [m.nearest for m in found] == [1, nearest, 19]
    assert found[0].past == pytest.approx(-teeth.tooth / 2, rel=1e-9)
    assert "nearest tooth" in teeth.marks_table().columns


def test_the_table_has_every_tooth():
    table = cut_teeth(STRAIGHT, STRIP, pitch=5).table()
    assert table.index.tolist() == list(range(1, 17))
    # exact by hand
    assert table["from [mm]"].tolist() == pytest.approx((10.0 * np.arange(16)).tolist(), abs=1e-9)
    assert (table["to [mm]"] - table["from [mm]"]).to_numpy() == pytest.approx(np.full(16, 5))
    gaps = table["gap after, tip [mm]"].to_numpy()
    assert gaps[:-1] == pytest.approx(np.full(15, 5)) and np.isnan(gaps[-1])
    ring = cut_teeth(DISC, STRIP, pitch=10, longest=210).table()
    assert np.isfinite(ring.to_numpy(dtype=float)).all()
    assert ring["turn to the next [deg]"].sum() == pytest.approx(360, rel=1e-9)
    # exact by hand: 10 periods at most of 20.4 mm on 210 mm, so two lengths of 9 and 10
    assert ring["strip"].tolist() == [1] * 9 + [2] * 10


def test_half_teeth_at_a_join_between_strips():
    ring = cut_teeth(DISC, STRIP, pitch=10, begin="half tooth", longest=210)
    table = ring.table()
    # exact by hand: 9 and 10 periods, each strip with half a tooth at either end and a gap less
    # than it has rows
    assert table["strip"].tolist() == [1] * 10 + [2] * 11
    sizes = (table["to [mm]"] - table["from [mm]"]).to_numpy()
    half = np.isin(np.arange(21), [0, 9, 10, 20])
    assert sizes == pytest.approx(np.where(half, ring.tooth / 2, ring.tooth), rel=1e-9)
    gaps = table["gap after, tip [mm]"].to_numpy()
    assert np.flatnonzero(np.isnan(gaps)).tolist() == [9, 20]
    # exact: on each strip the last tooth ends where the strip ends
    for strip, rows in zip(ring.strips, [table.iloc[:10], table.iloc[10:]], strict=True):
        assert rows["to [mm]"].max() == pytest.approx(strip.cut_length, rel=1e-9)


def test_two_halves_out_of_one_strip():
    teeth = cut_teeth(DISC, STRIP, number=40)
    halves = teeth.halves()
    # exact by hand: web, teeth, web; a tooth of one in every gap of the other
    assert halves == (13.0, pytest.approx(teeth.length / 2), 10, 7.0)
    # exact by hand: the two profiles, the second turned end for end, fill the strip
    places = (np.arange(4000) + 0.5) / 4000 * halves.length
    own = (places % teeth.period) < teeth.tooth
    other = ((halves.length - places) % teeth.period) < teeth.tooth
    assert (own != other).all()


# Refusals -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("curve", "strip", "how", "message"),
    [
        (
            DISC,
            {},
            {"number": 39},
            r"must be even here, got 39; take 38 \(pitch 10.21 mm\) or 40 \(pitch 9.70 mm\)",
        ),
        (DISC, {}, {"number": 2}, "number of pitches must be at least 4 here, got 2"),
        (TurnedLength(30, 0), {}, {"pitch": 14}, "short enough for at least 4 pitches"),
        (TurnedLength(30, 0), {}, {"pitch": 16}, "pitch must be below the length|short enough"),
        (DISC, {}, {"pitch": 10, "begin": "gap"}, "begin must be one of 'tooth', 'half tooth'"),
        (DISC, {}, {"pitch": 61}, "the pieces between cuts may be 30 mm long at most"),
        (DISC, {"depth": 10.0}, {"pitch": 10}, "depth must be below the thickness"),
        (Arc(40, -2.0), {"share": 0.1}, {"pitch": 5}, r"gap \d+, .* would close by 2.\d+ mm"),
        (Arc(9, 2.0), {}, {"pitch": 2}, "radius of 9 mm; it must be at least 20 mm"),
        (DISC, {}, {"pitch": float("nan")}, "pitch must be a finite length above 0 mm"),
    ],
)
def test_faulty_teeth_are_refused(curve, strip, how, message):
    with pytest.raises(ValueError, match=message):
        cut_teeth(curve, replace(STRIP, **strip), **how)


@pytest.mark.parametrize("share", [0.0, 1.0, -0.5, float("nan")])
def test_a_share_that_leaves_no_teeth_or_gaps_is_refused(share):
    with pytest.raises(ValueError, match="share"):
        replace(STRIP, share=share)


@pytest.mark.parametrize(
    ("strip", "how", "message"),
    [
        ({"share": 0.4}, {"number": 40}, "share must be 0.5 for two strips out of one, got 0.4"),
        ({}, {"number": 40, "begin": "half tooth"}, "begin must be 'tooth' for two strips"),
        ({}, {"number": 38}, "number of teeth must be even for two halves, got 19; take 18 or 20"),
    ],
)
def test_halves_that_do_not_match_are_refused(strip, how, message):
    teeth = cut_teeth(DISC, replace(STRIP, **strip), **how)
    with pytest.raises(ValueError, match=message):
        teeth.halves()
