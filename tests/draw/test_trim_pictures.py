"""A strip flat and on its edge, the strain across a band: shapes, numbers, words that fit.

The strips are invented. Expected values are exact by hand unless said otherwise.
"""

from __future__ import annotations

import functools
import itertools

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from foamcalc.ask.trim.answer import ask
from foamcalc.draw.labels import TooSmall
from foamcalc.draw.trim import strain_chart, trim_chart
from foamcalc.draw.trim_edge import beside
from foamcalc.shape.curve import Arc
from foamcalc.shape.polyline import Polyline

ASKED = {
    "band": {"kind": "band", "length": "500", "turn": "120 deg", "width": "20", "thickness": "5",
             "marks": "0 100 250 500"},
    "shaped": {"kind": "band", "radius": "100", "turn": "120 deg", "width": "20", "marks": "50"},
    "rim": {"kind": "rim", "round": "377", "width": "30", "thickness": "6", "marks": "0 95 190",
            "longest": "250", "lap": "10"},
    "opening": {"kind": "rim", "round": "377", "around": "opening", "width": "30",
                "thickness": "6", "marks": "0 95 190"},
    "many": {"kind": "rim", "length": "900", "turn": "60 deg", "width": "30", "longest": "100",
             "marks": " ".join(str(5 * i) for i in range(60))},
    "binding": {"kind": "binding", "radius": "60", "turn": "115 deg", "thickness": "3",
                "edge_thickness": "10", "legs": "12 6"},
    "teeth": {"kind": "toothed", "length": "160", "turn": "90 deg", "width": "20",
              "thickness": "10", "depth": "7", "pitch": "5", "marks": "40 80"},
    "slits": {"kind": "slit", "round": "377", "width": "20", "thickness": "10", "depth": "7",
              "pitch": "10", "marks": "0 100 200"},
    "inside": {"kind": "slit", "length": "160", "turn": "-60 deg", "width": "20",
               "thickness": "10", "depth": "6", "pitch": "8", "face": "inside"},
}  # fmt: skip


@functools.cache
def cut(name, **more):
    return ask(**{**ASKED[name], **more}).result.cut


def axes(wide=7.2, tall=4.6):
    figure = Figure(figsize=(wide, tall))
    FigureCanvasAgg(figure)
    return figure.add_axes((0, 0, 1, 1))


def said(ax):
    return [t.get_text() for t in ax.texts if t.get_text()]


def shapes(ax, gid):
    return [p.get_xy()[:-1] for p in ax.patches if (p.get_gid() or "").startswith(gid)]


def lines(ax, gid):
    return [line.get_xydata() for line in ax.lines if line.get_gid() == gid]


def test_a_strip_is_as_long_and_wide_on_the_picture_as_it_is_cut():
    found = cut("band")
    ax = trim_chart(axes(), cut=found)
    (body,) = shapes(ax, "strip 1")
    assert np.ptp(body, axis=0) == pytest.approx([found.strips[0].cut_length, 20])
    assert "480 mm" in said(ax) and "edge 500 mm" in said(ax)
    assert ax.get_aspect() == 1.0


def test_marks_have_one_number_on_strip_and_edge():
    ax = trim_chart(axes(), cut=cut("band"))
    words = said(ax)
    assert "2: 96 mm" in words and "2: 100 mm" in words  # 100 x 480/500
    assert len(lines(ax, "mark on strip")) == len(lines(ax, "mark on edge")) == 4
    for line in lines(ax, "mark on edge"):
        assert np.hypot(*np.diff(line, axis=0)[0]) == pytest.approx(20)


def test_a_band_lies_with_its_outer_edge_on_the_edge():
    ax = trim_chart(axes(), cut=cut("shaped"))
    assert shapes(ax, "strip") == []  # it lies as it is cut
    (body,) = shapes(ax, "on the edge")
    (edge,) = lines(ax, "edge")
    inner, outer = np.split(body, 2)
    assert outer[::-1] == pytest.approx(edge)
    length = [np.hypot(*np.diff(x, axis=0).T).sum() for x in (inner, outer)]
    assert length == pytest.approx([80 * 2 * np.pi / 3, 100 * 2 * np.pi / 3], rel=1e-4)
    assert "edge 209 mm, cut to shape" in said(ax)


def test_a_rim_stands_outside_its_disc():
    ax = trim_chart(axes(), cut=cut("rim"))
    (disc,), (body,) = shapes(ax, "piece"), shapes(ax, "on the edge")
    centre = (disc.min(0) + disc.max(0)) / 2
    radii = np.hypot(*(body - centre).T)
    assert (radii.min(), radii.max()) == pytest.approx((60, 66), abs=0.01)  # 377/(2 pi) = 60.0
    assert len(lines(ax, "join")) == 2
    assert {"strip 1, 208 mm", "strip 2, 208 mm"} <= set(said(ax))


def test_gaps_stand_open_as_far_as_they_are_worked_out():
    found = cut("teeth")
    ax = trim_chart(axes(), cut=found)
    wedges = shapes(ax, "open")
    assert len(wedges) == found.number == 16
    for wedge, root, tip in zip(wedges, found.root_gaps, found.tip_gaps, strict=False):
        a, b, c, d = wedge
        assert np.hypot(*(d - a)) == pytest.approx(tip)
        assert np.hypot(*(c - b)) == pytest.approx(root)
        assert np.hypot(*((b + c) / 2 - (a + d) / 2)) == pytest.approx(7)  # their depth
    flat = shapes(ax, "cut 1")
    assert [np.ptp(x[:, 0]) for x in flat] == pytest.approx([found.gap] * 16)


def test_slits_inside_open_to_the_edge():
    found = cut("inside")
    ax = trim_chart(axes(), cut=found)
    (edge,) = lines(ax, "edge")
    for wedge, mouth in zip(shapes(ax, "open"), found.mouths, strict=True):
        tip = (wedge[0] + wedge[3]) / 2
        assert np.hypot(*(edge - tip).T).min() < 0.3  # on the edge, between its points
        assert np.hypot(*(wedge[3] - wedge[0])) == pytest.approx(mouth)


def test_a_binding_shows_its_folds_and_the_cuts_in_its_legs():
    found = cut("binding")
    ax = trim_chart(axes(), cut=found)
    (body,) = shapes(ax, "strip 1")
    assert np.ptp(body[:, 1]) == pytest.approx(12 + 6 + 10 + 2 * np.pi / 2 * 1.5)
    heights = sorted(line[0, 1] - body[:, 1].min() for line in lines(ax, "fold"))
    fold = np.pi / 2 * 1.5
    assert heights == pytest.approx([12 + fold / 2, 12 + 1.5 * fold + 10])
    assert len(shapes(ax, "cut 1")) == sum(c.number for c in found.cuts) > 0


def test_mitres_lean_as_they_are_cut():
    """A corner of 90 degrees: the outer edge of a band 20 mm wide is 20 mm longer there."""
    from foamcalc.draw.trim_flat import flats
    from foamcalc.fit.stack import Piece
    from foamcalc.fit.trim.band import Band
    from foamcalc.fit.trim.band_choice import choose_band
    from foamcalc.foam.law import Linear

    bent = Polyline([(0, 0), (0, 90), (120, 90)])
    strip = Piece(thickness=5, width=20, law=Linear(1))
    for side, lower, upper in (("inside", 70, 90), ("outside", 90, 110), ("middle", 80, 100)):
        for flat, more in zip(
            flats(choose_band(Band(curve=bent, strip=strip, side=side))), (0, 30), strict=True
        ):
            low, high = flat.body[:2, 0], flat.body[2:, 0]
            assert (np.ptp(low), np.ptp(high)) == pytest.approx((lower + more, upper + more))
            assert flat.length == pytest.approx(max(lower, upper) + more)


def test_the_line_beside_an_edge_goes_round_its_corners():
    square = Polyline([(0, 0), (0, 80), (80, 80), (80, 0)], closed=True)
    for offset, size in ((10, 100), (-10, 60)):
        line = beside(square, offset)
        assert np.hypot(*np.diff(line, axis=0).T).sum() == pytest.approx(4 * size)
    ring = beside(Arc(50, 2 * np.pi, closed=True), 10)
    assert np.ptp(ring, axis=0) == pytest.approx([120, 120], rel=1e-3)


@pytest.mark.parametrize("name", list(ASKED))
@pytest.mark.parametrize(("size", "system"), [((7.2, 4.6), "mm"), ((4.5, 4.5), "in")])
def test_no_words_lie_over_others_and_none_are_cut_off(name, system, size):
    ax = trim_chart(axes(*size), cut=cut(name), system=system, fontsize=9)
    ax.figure.canvas.draw()
    whole = ax.get_window_extent()
    boxes = [t.get_window_extent() for t in ax.texts if t.get_text()]
    assert len(boxes) >= 1
    for one, two in itertools.combinations(boxes, 2):
        wide = min(one.x1, two.x1) - max(one.x0, two.x0)
        high = min(one.y1, two.y1) - max(one.y0, two.y0)
        assert min(wide, high) <= 1.0
    for box in boxes:
        assert box.x0 >= whole.x0 - 1 and box.x1 <= whole.x1 + 1
        assert box.y0 >= whole.y0 - 1 and box.y1 <= whole.y1 + 1


def test_many_strips_are_not_all_drawn_but_told():
    ax = trim_chart(axes(), cut=cut("many"))
    assert len(shapes(ax, "strip")) == 4
    assert any(words.endswith("; 5 more strips") for words in said(ax))  # 898 mm in 100 mm
    assert len([w for w in said(ax) if w.startswith(("1: ", "6: ", "11: "))]) == 6
    assert not [w for w in said(ax) if w.startswith("2: ")]


def test_axes_too_small_for_the_words_are_refused():
    with pytest.raises(TooSmall):
        trim_chart(axes(0.5, 0.4), cut=cut("rim"))
    with pytest.raises(ValueError, match="system"):
        trim_chart(axes(), cut=cut("rim"), system="cm")


# The strain across a band -----------------------------------------------------------------------


def test_the_strain_goes_in_a_line_from_edge_to_edge():
    found = cut("band").straight
    ax = strain_chart(axes(), band=found)
    (line,) = lines(ax, "strain")
    (tight,) = found.band.tight
    assert line == pytest.approx(np.array([[-20, 100 * tight.inner], [0, 100 * tight.outer]]))
    words = said(ax)
    assert "stretch limit 8 %" in words  # common practice, limits.csv
    assert "+4.2 %" in words and "-4.5 %" in words and "puckers 10.2 %" in words  # regression
    (limit,) = lines(ax, "stretch limit 8 %")
    assert limit[:, 1] == pytest.approx(8)
    (pucker,) = lines(ax, "puckers 10.2 %")
    assert pucker[:, 1] == pytest.approx(-10.2, abs=0.05)  # a squeeze: below


def test_a_band_on_a_straight_edge_has_no_strain_to_draw():
    with pytest.raises(ValueError, match="nothing is strained"):
        strain_chart(axes(), band=cut("band", turn="0 deg").straight)
