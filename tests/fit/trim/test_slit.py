"""Slit strips: how long, how many slits, where they lie and open, marks, refusals."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.special import ellipe

from foamcalc.fit.limits import Limit
from foamcalc.fit.stack import Piece
from foamcalc.fit.trim.ends import StripEnd
from foamcalc.fit.trim.slit import SlitStrip, cut_slits, slit_limits
from foamcalc.fit.trim.web import Web
from foamcalc.foam.law import HyperFoam, Linear
from foamcalc.shape.arcs import Arcs
from foamcalc.shape.curve import Arc, TurnedLength
from foamcalc.shape.ellipse import Ellipse
from foamcalc.shape.polyline import Polyline

EVA = HyperFoam(mu=0.6, alpha=2.0, poisson=0.25)
STEEP = HyperFoam(mu=0.681818, alpha=8.0, poisson=0.1)
LINE = Linear(1.5)
STRIP = SlitStrip(piece=Piece(thickness=10, width=20, law=EVA), depth=7)
DISC = Arc(90, 2 * np.pi, closed=True)


def web(**changed):
    return Web(**{"law": LINE, "thickness": 10.0, "depth": 6.0, "pitch": 8.0, **changed})


# The web --------------------------------------------------------------------------------------


def test_the_line_that_keeps_its_length_by_hand():
    # exact by hand, each step of the formula for a thickness of 10, a web of 4, pieces of 8 mm
    most = 1.36 * 10 * (1 - 1.346 * 0.4**3.48)
    short = 8 / (1 + 0.091 * 8 / 6)
    soft = (short**-4.87 + most**-4.87) ** (-1 / 4.87)
    straight = 4 / 2 + 6 / 2 * (1 - soft / 8)
    assert float(web().height(0.0)) == pytest.approx(straight, rel=1e-12)
    # with a linear law nothing but the part for every foam is left
    strain = straight / 50 / (1 + straight / 50)
    assert float(web().height(1 / 50)) == pytest.approx(
        straight * (1 + 0.343 * 0.272 * strain), rel=1e-9
    )


def test_a_foam_stiffer_in_tension_has_it_farther_out():
    even, steep = (float(web(law=law).height(1 / 40)) for law in (EVA, STEEP))
    # exact by hand to leading order: the lean of one term is (alpha (1 - nu) - 3)/2
    straight = float(web().height(0.0))
    strain = straight / 40 / (1 + straight / 40)
    difference = 0.343 * ((8 * 0.9 - 3) / 2 - (2 * 0.75 - 3) / 2) * strain * straight
    assert steep - even == pytest.approx(difference, rel=0.01)


def test_many_short_pieces_leave_half_the_web():
    for pitch in (0.01, 0.02):
        # exact by hand, limit: half the web, and 0.091/2 of the pitch
        assert float(web(pitch=pitch).height(0.0)) == pytest.approx(2 + 0.0455 * pitch, rel=1e-6)


def test_pieces_stiffen_the_web_in_proportion_to_their_share():
    slit, gapped = web(pitch=8), web(pitch=16, gap=8)
    # exact by hand: pieces of one length, on half of the strip
    assert float(gapped.height(0.0)) - 2 == pytest.approx(
        (float(slit.height(0.0)) - 2) / 2, rel=1e-12
    )


def test_which_side_opens():
    inside = web(face="inside")
    # exact by hand: on a bend of 50 the back of inside cuts has 60, in a hollow 40
    assert inside.bend([1 / 50, -1 / 50]) == pytest.approx([-1 / 60, 1 / 40], rel=1e-14)
    assert web().bend([1 / 50, -1 / 50]) == pytest.approx([1 / 50, -1 / 50], rel=1e-14)
    assert float(inside.offset(-1 / 50)) == pytest.approx(10 - float(inside.height(-1 / 50)))
    assert float(web().offset(1 / 50)) == float(web().height(1 / 50))
    # the same web on the same bend of its back keeps its length at the same height
    assert float(inside.height(-1 / 50)) == pytest.approx(float(web().height(1 / 40)), rel=1e-14)


def test_lever_by_hand():
    outside, glued = web(pitch=15), web(face="inside")
    gives = 0.841 / 4.704 * 10 * np.log1p(np.exp(4.704 * (1.5 - 1.8 + 1.505 * 0.4**2)))
    pressed = (0.098 + 0.387 * 0.4**3) * 8**2 / 10
    # exact by hand: tips over the line, less what the pieces give by stretching
    assert float(outside.lever(0.0)) == pytest.approx(
        (10 - float(outside.height(0.0))) * (1 - gives / 15), rel=1e-12
    )
    assert float(glued.lever(0.0)) == pytest.approx(
        (10 - float(glued.height(0.0))) * (1 - pressed / 8), rel=1e-12
    )


def test_root_strain_by_hand():
    q = 8 / (1 + (8 / 16) ** 4) ** 0.25
    found = web().root_strain([1 / 50, -1 / 50, 0.0], root_radius=0.5)
    # exact by hand: 2 sqrt(G/(pi E r)) with G = E k**2 (w + 0.091 q)**2 q/8; none where it closes
    energy = (4 + 0.091 * q) ** 2 * q / 8 / 50**2
    assert found == pytest.approx([2 * np.sqrt(energy / (np.pi * 0.5)), 0, 0], rel=1e-12)
    # a blunt root comes down to the strain of the bent web
    assert float(web().root_strain(1 / 50, root_radius=50)) == pytest.approx(2 / 50, rel=1e-12)


def test_width_at_which_a_cut_just_closes():
    for face, edge in (("outside", -1 / 60), ("inside", 1 / 60)):
        gap = web(face=face).closed_gap(edge)
        closed = web(face=face, gap=gap)
        turn = 8 / (60 - float(closed.offset(edge)) * (1 if face == "outside" else -1))
        # exact: the turn of a pitch is its length over the radius of the line that keeps it
        assert gap == pytest.approx(turn * float(closed.lever(edge)), rel=1e-9)
        assert web(face=face).closed_gap(-edge) == 0.0
        # and that edge is the one on which cuts of that width meet
        assert closed.meeting_radius() == pytest.approx(60, rel=1e-9)
    assert web().meeting_radius() == np.inf
    assert web(gap=4.0).meeting_radius() == 0.0


@pytest.mark.parametrize(
    ("given", "message"),
    [
        ({"depth": 10.0}, "depth must be below the thickness of the strip"),
        ({"depth": 12.0}, "depth must be below the thickness of the strip"),
        ({"depth": 8.1}, r"depth of the cuts must be from 4 to 8 mm in a strip 10 mm thick, got"),
        ({"depth": 3.9}, r"depth of the cuts must be from 4 to 8 mm in a strip 10 mm thick, got"),
        ({"depth": float("nan")}, "depth must be a finite length above 0 mm"),
        ({"pitch": 0.0}, "pitch must be a finite length above 0 mm"),
        ({"gap": 8.0}, r"a cut must be narrower than the pitch \(8 mm\), got 8 mm"),
        ({"gap": -1.0}, "gap must be a finite length of 0 mm or more"),
        ({"pitch": 30.1}, "may be 30 mm long at most with cuts in the outside"),
        ({"pitch": 10.1, "face": "inside"}, "may be 10 mm long at most with cuts in the inside"),
        ({"pitch": 40.1, "gap": 20.0}, "from cut to cut there may be 40 mm at most"),
        ({"face": "back"}, "face must be one of 'outside', 'inside'"),
    ],
)
def test_cuts_of_which_nothing_is_known_are_refused(given, message):
    with pytest.raises(ValueError, match=message):
        web(**given)


# Length, number and pitch ---------------------------------------------------------------------


def test_a_straight_strip_by_hand():
    flat = cut_slits(TurnedLength(160, 0), STRIP, pitch=9.7)
    # exact by hand: 160/9.7 is nearest to 16, and the pitch is 10
    assert (flat.number, flat.pitch, flat.length) == (16, pytest.approx(10), pytest.approx(160))
    assert flat.along == pytest.approx(5 + 10 * np.arange(16), rel=1e-12)
    assert flat.mouths == pytest.approx(0, abs=1e-12)
    assert flat.root_strains == pytest.approx(0, abs=1e-12)


@pytest.mark.parametrize("turn", [2 * np.pi, 1.0])
def test_round_a_circle(turn):
    rim = cut_slits(Arc(90, turn, closed=turn > 6), STRIP, pitch=10)
    height = float(STRIP.web(rim.pitch).height(1 / 90))
    # exact: length is turn times the radius of the line that keeps its length
    assert rim.length == pytest.approx(turn * (90 + height), rel=1e-11)
    assert rim.number * rim.pitch == pytest.approx(rim.length, rel=1e-14)
    # exact, independent of the height: equal slits share the turn
    lever = float(STRIP.web(rim.pitch).lever(1 / 90))
    assert rim.mouths == pytest.approx(np.full(rim.number, turn / rim.number * lever), rel=1e-9)


def test_round_an_oval():
    oval = Ellipse(90, 60)
    rim = cut_slits(oval, STRIP, pitch=10)

    def more(angle):
        """Length needed on top of the oval's own, for each radian of its parameter."""
        speed = np.hypot(90 * np.sin(angle), 60 * np.cos(angle))
        curvature = 90 * 60 / speed**3
        return float(rim.pitched.web.height(curvature)) * curvature * speed

    own = 4 * 90 * ellipe(1 - (60 / 90) ** 2)
    # independent formula and library: elliptic integral, and quadrature over another parameter
    assert rim.length == pytest.approx(own + 4 * quad(more, 0, np.pi / 2)[0], rel=1e-9)
    # exact: all turns together are a full one; the tightest slit opens most
    turns, _ = rim.pitched.bends(rim.along)
    assert turns.sum() == pytest.approx(2 * np.pi, rel=1e-9)
    assert rim.mouths.max() / rim.mouths.min() > 2


def test_an_even_number_where_it_is_asked():
    odd, even = (cut_slits(DISC, STRIP, pitch=8.75, even=e) for e in (False, True))
    # exact by hand: about 577/8.75 = 65.97, of which 66 is even; 577/8.9 = 64.9 gives 65 or 64
    assert (odd.number, even.number) == (66, 66)
    assert [cut_slits(DISC, STRIP, pitch=8.9, even=e).number for e in (False, True)] == [65, 64]
    assert cut_slits(DISC, STRIP, number=64, even=True).number == 64


def test_a_hole_has_its_slits_in_the_glued_face():
    hole = Arc(90, -2 * np.pi, closed=True)
    inside = replace(STRIP, face="inside")
    lining = cut_slits(hole, inside, pitch=8)
    height = float(inside.web(lining.pitch).height(-1 / 90))
    # exact by hand: the back of the web lies a thickness inside the hole
    assert lining.length == pytest.approx(2 * np.pi * (90 - 10 + height), rel=1e-11)
    assert (lining.mouths > 0.5).all()


def test_wide_slits_may_close():
    wide = replace(STRIP, kerf=2.0)
    lining = cut_slits(Arc(90, -1.0), wide, pitch=10)
    height = float(wide.web(lining.pitch).height(-1 / 90))
    # exact by hand
    assert lining.length == pytest.approx(90 - height, rel=1e-11)
    lever = float(wide.web(lining.pitch).lever(-1 / 90))
    assert lining.mouths == pytest.approx(np.full(lining.number, 2 - lever / lining.number))
    assert (lining.root_strains == 0).all()


@settings(max_examples=30, deadline=None)
@given(
    thickness=st.floats(4, 12),
    depth=st.floats(0.42, 0.78),
    pitch=st.floats(0.3, 2.5),
    radius=st.floats(2.2, 30),
    turn=st.floats(0.6, 6.2),
)
def test_slits_go_on_evenly_from_end_to_end(thickness, depth, pitch, radius, turn):
    strip = SlitStrip(piece=Piece(thickness=thickness, law=STEEP), depth=depth * thickness)
    edge = Arc(radius * thickness, turn)
    wanted = min(pitch * thickness, edge.length / 2)
    rim = cut_slits(edge, strip, pitch=wanted)
    steps = np.diff(np.concatenate([[-rim.pitch / 2], rim.along, [rim.length + rim.pitch / 2]]))
    # exact: evenly over the strip, half a pitch at either end; the number nearest to the wanted
    # one, where the length hangs on the pitch a little
    assert steps == pytest.approx(np.full(rim.number + 1, rim.pitch), rel=1e-9)
    assert ((rim.along > 0) & (rim.along < rim.length)).all()
    assert abs(rim.length / wanted - rim.number) < 0.55
    turns, _ = rim.pitched.bends(rim.along)
    assert turns.sum() == pytest.approx(turn, rel=1e-9)
    # exact: longer than the edge, by less than half a thickness more than half for each radian
    assert 0.1 * thickness * turn < rim.length - edge.length < 0.6 * thickness * turn
    assert ((rim.mouths > 0) & (rim.mouths < thickness * turn)).all()


# Marks, lengths of strip, ends ----------------------------------------------------------------


def test_marks_come_on_the_strip_with_the_nearest_slit():
    rim = cut_slits(Arc(90, 2.0), STRIP, number=19, marks=[0, 60, 180])
    scale = rim.length / 180
    found = rim.marks()
    # exact by hand: on a circle all lengths grow alike; slits lie at (i + 1/2) pitch
    assert [m.on_strip for m in found] == pytest.approx([0, 60 * scale, 180 * scale], rel=1e-9)
    assert [m.nearest for m in found] == [1, 7, 19]
    assert [m.past for m in found] == pytest.approx(
        [-rim.pitch / 2, 60 * scale - 6.5 * rim.pitch, rim.pitch / 2], rel=1e-9
    )
    table = rim.marks_table()
    assert list(table.columns) == [
        "strip",
        "mark on the edge [mm]",
        "mark on the strip [mm]",
        "nearest slit",
        "past its middle [mm]",
    ]
    assert table["nearest slit"].tolist() == [1, 7, 19]


def test_a_ring_may_be_joined_elsewhere():
    first, second = (cut_slits(DISC, STRIP, pitch=10, start=s, marks=[100]) for s in (0.0, 150.0))
    scale = first.length / DISC.length
    # exact by hand: the mark lies past the joint of the edge
    assert first.marks()[0].on_strip == pytest.approx(100 * scale, rel=1e-9)
    assert second.marks()[0].on_strip == pytest.approx((DISC.length - 150 + 100) * scale, rel=1e-9)
    assert second.table()["along the edge [mm]"].iloc[0] == pytest.approx(
        150 + 0.5 * second.pitch / scale, rel=1e-9
    )
    assert second.table()["along the edge [mm]"].max() < DISC.length
    oval = cut_slits(Ellipse(90, 60), STRIP, pitch=10)
    # exact by hand: an oval is joined where it bends least, a quarter round from its end
    assert oval.pitched.start == pytest.approx(Ellipse(90, 60).length / 4, rel=0.01)


def test_a_long_strip_is_parted_between_slits():
    whole = cut_slits(DISC, STRIP, number=58)
    parted = cut_slits(DISC, STRIP, number=58, longest=200, marks=[300])
    # exact by hand: 20 pitches at most of 9.97 mm, so 3 lengths of 19, 19 and 20
    assert sorted(parted.pitched.counts) == [19, 19, 20]
    assert [s.cut_length for s in parted.strips] == pytest.approx(
        [n * whole.pitch for n in parted.pitched.counts], rel=1e-9
    )
    table = parted.table()
    assert table["strip"].value_counts().to_dict() == dict(
        enumerate(parted.pitched.counts, start=1)
    )
    for _, rows in table.groupby("strip"):
        # exact: each begins with half a pitch
        assert rows["along the strip [mm]"].to_numpy() == pytest.approx(
            (np.arange(len(rows)) + 0.5) * whole.pitch, rel=1e-9
        )
    (mark,) = parted.marks()
    place = 300 * whole.length / DISC.length
    before = sum(parted.pitched.counts[: mark.strip - 1]) * whole.pitch
    assert mark.on_strip == pytest.approx(place - before, rel=1e-9)
    assert mark.nearest == round(place / whole.pitch + 0.5)


def test_a_spare_end_is_not_slit():
    spare = StripEnd(kind="free", spare=12)
    rim = cut_slits(Arc(90, 2.0), STRIP, number=19, ends=(spare, spare))
    # exact by hand
    assert rim.strips[0].cut_length == pytest.approx(rim.length + 24, rel=1e-12)
    assert rim.table()["along the strip [mm]"].iloc[0] == pytest.approx(12 + rim.pitch / 2)


def test_the_table_has_every_slit():
    table = cut_slits(DISC, STRIP, pitch=10).table()
    assert table.index.name == "slit"
    assert table.index.tolist() == list(range(1, 59))
    assert list(table.columns) == [
        "strip",
        "along the strip [mm]",
        "along the edge [mm]",
        "mouth [mm]",
        "strain at the root [%]",
    ]
    assert np.isfinite(table.to_numpy()).all()


# Refusals -------------------------------------------------------------------------------------

S_BEND = Arcs([60, 100, 60], [1.0, 0.5, -0.1])


@pytest.mark.parametrize(
    ("curve", "strip", "how", "message"),
    [
        (DISC, {}, {"pitch": 10, "number": 58}, "give either pitch or number"),
        (DISC, {}, {}, "give either pitch or number"),
        (DISC, {}, {"pitch": 0}, "pitch must be a finite length above 0 mm"),
        (DISC, {}, {"number": 0}, "number of pitches must be a whole number from 1 up, got 0"),
        (DISC, {}, {"number": 5.5}, "must be a whole number from 1 up, got 5.5"),
        (
            TurnedLength(9, 0),
            {},
            {"pitch": 10},
            r"below the length of the strip \(9.0 mm\), got 10",
        ),
        (
            DISC,
            {},
            {"number": 57, "even": True},
            r"must be even here, got 57; take 56 \(pitch 10.32 mm\) or 58 \(pitch 9.96 mm\)",
        ),
        (TurnedLength(40, 0), {}, {"number": 3, "even": True}, r"got 3; take 2 \(pitch 20.00 mm\)"),
        (DISC, {}, {"number": 3}, "the pieces between cuts may be 30 mm long at most"),
        (DISC, {"depth": 10.0}, {"pitch": 10}, "depth must be below the thickness"),
        (DISC, {"kerf": 12.0}, {"pitch": 10}, "a cut must be narrower than the pitch"),
        (Arc(19.9, 1.0), {}, {"pitch": 5}, "radius of 19.9 mm; it must be at least 20 mm"),
        (Arc(29.9, -1.0), {}, {"pitch": 5}, "radius of 29.9 mm; it must be at least 30 mm"),
        (Arc(60, -1.0), {}, {"pitch": 6}, r"slit \d+, [\d.]+ mm along the edge, would close by"),
        (S_BEND, {}, {"pitch": 6}, "slit the inside instead, or divide the strip"),
        (Polyline([(0, 0), (0, 50), (80, 50)]), {}, {"pitch": 6}, "corner 50.0 mm along it"),
        (Arc(90, 2.0), {}, {"pitch": 10, "start": 20.0}, "this edge is open"),
        (DISC, {}, {"pitch": 10, "longest": 5}, r"longest must be at least one pitch"),
        (DISC, {}, {"pitch": 10, "limits": {"pull": slit_limits()["tear"]}}, "limit must be one"),
    ],
)
def test_faulty_strips_are_refused(curve, strip, how, message):
    with pytest.raises(ValueError, match=message):
        cut_slits(curve, replace(STRIP, **strip), **how)


@pytest.mark.parametrize(
    ("given", "message"),
    [
        ({"depth": -1.0}, "depth must be a finite length above 0 mm"),
        ({"root_radius": 0.0}, "root radius must be a finite length above 0 mm"),
        ({"kerf": float("inf")}, "kerf must be a finite length of 0 mm or more"),
        ({"face": "top"}, "face must be one of 'outside', 'inside'"),
    ],
)
def test_a_faulty_slit_is_refused_at_once(given, message):
    with pytest.raises(ValueError, match=message):
        replace(STRIP, **given)


def test_the_refusal_says_how_wide_is_wide_enough():
    with pytest.raises(ValueError, match=r"make it at least ([\d.]+) mm wide") as refused:
        cut_slits(Arc(60, -1.0), STRIP, number=10)
    need = float(str(refused.value).split("at least ")[1].split(" mm")[0])
    left = cut_slits(Arc(60, -1.0), replace(STRIP, kerf=need + 0.01), number=10).mouths
    # exact: what it says is enough, to its last digit, and no more than that
    assert ((left >= 0) & (left < 0.03)).all()


# Tearing --------------------------------------------------------------------------------------


def test_roots_are_held_against_the_tear_limit():
    gentle, tight = (cut_slits(Arc(r, 2.0), STRIP, pitch=10) for r in (90, 22))
    assert gentle.met and not tight.met
    assert tight.checks[0].found == tight.root_strains.max()
    # exact: the strain falls with the root of the radius, as when a hole is punched there
    punched = cut_slits(Arc(22, 2.0), replace(STRIP, root_radius=2.0), pitch=10)
    assert punched.root_strains == pytest.approx(tight.root_strains / 2, rel=1e-12)
    own = Limit(value=5.0, unit="1", basis="measured", reason="An invented offcut.")
    assert cut_slits(Arc(22, 2.0), STRIP, pitch=10, limits={"tear": own}).met
