"""A seam laid out straight and on its drawing: the numbers on it, the strokes, words that fit.

The seams are invented. Expected values are exact by hand unless said otherwise.
"""

from __future__ import annotations

import itertools
import math
import re

import matplotlib
import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.collections import LineCollection
from matplotlib.figure import Figure
from matplotlib.path import Path
from matplotlib.text import Annotation, Text

from foamcalc.draw.labels import TooSmall
from foamcalc.draw.seam import seam_chart, seam_drawing
from foamcalc.draw.seam_rows import spread
from foamcalc.fit.seam import Seam, SeamEdge
from foamcalc.fit.seam.order import gluing_order
from foamcalc.fit.stack import Piece
from foamcalc.foam.law import Linear
from foamcalc.shape.pattern import read_pattern

THICK = Piece(thickness=10, law=Linear(1.5))


def edge(name, places, **said):
    return SeamEdge(name=name, piece=THICK, places=places, **said)


def seam(a, b, *, names=None, **said):
    return Seam(a=edge("front", a, names=names), b=edge("back", b, names=names, **said))


def uneven(count, *, seed=3, names=None):
    """Many intervals of 20 to 45 mm whose differences scatter by about 2 mm."""
    rng = np.random.default_rng(seed)
    a, off = rng.uniform(20, 45, count), rng.normal(0, 2.2, count)
    places = (np.append(0, np.cumsum(x)) for x in (a, a + off))
    return seam(*places, names=names)


BODY = ("rim", "scute 1", "scute 2", "knee top", "knee", "knee low", "shin", "dart", "calf",
        "strap", "buckle")  # fmt: skip
THREE = seam((0, 50, 100, 160), (0, 53, 100, 160.5), names=("knee", "calf"))
TWELVE, FORTY = uneven(12, names=BODY), uneven(40)
BACKWARDS = Seam(
    a=edge("front", (0, 60, 130, 170), names=("knee", "calf")),
    b=edge("back", (0, 44, 110, 172), names=("calf", "knee")),
)
HELD = seam((0, 50, 100), (0, 53, 100), held=True)
SEAMS = {"three": THREE, "twelve": TWELVE, "forty": FORTY, "back": BACKWARDS, "held": HELD}


def axes(wide=7.2, tall=4.6):
    figure = Figure(figsize=(wide, tall))
    FigureCanvasAgg(figure)
    return figure.add_axes((0, 0, 1, 1))


def said(ax):
    return [t.get_text() for t in ax.texts if t.get_text()]


def lines(ax, gid):
    return [line.get_xydata() for line in ax.lines if (line.get_gid() or "").startswith(gid)]


def bands(ax, side):
    """Corners of the bands along one edge, by interval."""
    return {
        int(p.get_gid()[2:]): p.get_xy()[:-1]
        for p in ax.patches
        if re.fullmatch(rf"{side} \d+", p.get_gid() or "")
    }


def strokes(ax):
    """Every band with strokes and which they are, the key left out."""
    found = [c.get_gid() for c in ax.collections if isinstance(c, LineCollection)]
    return sorted(gid for gid in found if not gid.startswith("key"))


def boxes(ax):
    """Words and the box they fill, in pixels."""
    ax.figure.canvas.draw()
    renderer = ax.figure.canvas.get_renderer()
    shown = [t for t in ax.texts if t.get_text()]
    return [(t.get_text(), Text.get_window_extent(t, renderer)) for t in shown]


def assert_readable(ax, *, drawn=()):
    """9 pt or more, on the paper, no words over words, bands, rings or what else is drawn."""
    assert min(t.get_fontsize() for t in ax.texts if t.get_text()) >= 9
    found, edges = boxes(ax), ax.bbox
    # the number in a ring stands in it on purpose
    rings = {p.get_gid()[5:]: p.get_window_extent() for p in ax.patches
             if (p.get_gid() or "").startswith("ring")}  # fmt: skip
    shapes = [p.get_path().transformed(p.get_transform()) for p in ax.patches
              if re.match(r"[ab] \d", p.get_gid() or "")]  # fmt: skip
    for words, box in found:
        assert box.x0 >= edges.x0 - 0.5 and box.x1 <= edges.x1 + 0.5, words
        assert box.y0 >= edges.y0 - 0.5 and box.y1 <= edges.y1 + 0.5, words
        grid = np.stack(np.meshgrid(np.linspace(box.x0, box.x1, 12), [box.y0 + 3, box.y1 - 3]), -1)
        for shape in shapes:
            assert not shape.contains_points(grid.reshape(-1, 2)).any(), f"{words!r} over a band"
        for number, ring in rings.items():
            assert number == words or not ring.overlaps(box), f"{words!r} over ring {number}"
        for points in drawn:
            inside = (points > (box.x0, box.y0)) & (points < (box.x1, box.y1))
            assert not inside.all(1).any(), f"{words!r} over an outline"
    for (one, a), (other, b) in itertools.combinations(found, 2):
        across, up = min(a.x1, b.x1) - max(a.x0, b.x0), min(a.y1, b.y1) - max(a.y0, b.y0)
        assert across <= 1 or up <= 1.5, f"{one!r} lies over {other!r}"
    for one, other in itertools.combinations(rings.values(), 2):
        assert not one.shrunk(0.95, 0.95).overlaps(other), "ring over ring"


# The chart: what it shows -----------------------------------------------------------------------


def test_the_numbers_of_a_seam_by_hand():
    """Equal wide pieces give half each: 1.5 mm of 50, 53 and 47; the last 0.5 mm is no gap."""
    words = said(seam_chart(axes(), seam=THREE))
    assert words.count("+3 mm") == 2  # back in the first interval, front in the second
    assert sorted(w for w in words if w.endswith("%")) == ["2.8 %", "3.0 %", "3.0 %", "3.2 %"]
    assert "front 160 mm" in words and "back 161 mm" in words
    assert {"start", "knee", "calf", "end", "stretched", "squeezed"} <= set(words)
    assert "+ longer than the other edge there; dotted: straight across" in words


def test_numbers_stand_beside_their_interval():
    """The length stands on the longer edge, over or under the middle of its interval."""
    ax = seam_chart(axes(), seam=THREE)
    at = {(t.get_text(), round(t.get_position()[0])): t.get_position()[1] for t in ax.texts}
    front, back = (bands(ax, side)[0][:, 1] for side in "ab")
    assert at["+3 mm", 75] > at["3.0 %", 75] > front.max()  # front 50 to 100
    assert at["+3 mm", 26] < at["2.8 %", 26] < back.min()  # back 0 to 53, its middle 26.5
    assert at["3.0 %", 25] > front.max() and at["3.2 %", 76] < back.min()


def test_a_seam_that_is_longer_as_a_whole_says_so():
    words = said(seam_chart(axes(), seam=seam((0, 50, 100), (0, 53, 104.5))))
    assert "back 105 mm, 4.5 mm longer" in words and "front 100 mm" in words
    shorter = said(seam_chart(axes(), seam=seam((0, 50, 100), (0, 53, 98))))
    assert "front 100 mm, 2 mm longer" in shorter and "back 98 mm" in shorter


def test_both_edges_to_one_scale_from_the_left():
    ax = seam_chart(axes(), seam=THREE)
    for side, places in (("a", THREE.a.places), ("b", THREE.b.places)):
        for i, corners in bands(ax, side).items():
            assert (corners[:, 0].min(), corners[:, 0].max()) == (
                pytest.approx(places[i], abs=1e-9), pytest.approx(places[i + 1])
            )  # fmt: skip
    for i, (x, other) in enumerate(zip(THREE.a.places, THREE.b.places, strict=True)):
        (join,) = lines(ax, f"mark {i}")
        assert join[:, 0] == pytest.approx([x, other])
        assert join[0, 1] == pytest.approx(bands(ax, "a")[0][:, 1].min())
        assert join[1, 1] == pytest.approx(bands(ax, "b")[0][:, 1].max())


def test_dots_go_straight_across_where_a_mark_has_walked():
    ax = seam_chart(axes(), seam=THREE)
    (dotted,) = lines(ax, "straight")  # only the second mark is off by more than a tape reading
    assert dotted[:, 0] == pytest.approx([50, 50])
    assert "dotted" not in " ".join(said(seam_chart(axes(), seam=seam((0, 50), (0, 50.4)))))


def test_strokes_and_thick_bands_only_where_the_edges_disagree():
    ax = seam_chart(axes(), seam=THREE)
    assert strokes(ax) == ["a 0 stretched", "a 1 squeezed", "b 0 squeezed", "b 1 stretched"]
    for side in "ab":
        high = [np.ptp(corners[:, 1]) for corners in bands(ax, side).values()]
        assert high[0] == high[1] > 2.5 * high[2]


def test_stretched_and_squeezed_differ_without_colour():
    """Strokes along the band against strokes across it, both in the colour of the words."""
    ax = seam_chart(axes(), seam=THREE)
    ink = {c.get_gid(): c for c in ax.collections}
    along = np.array(ink["a 0 stretched"].get_segments())
    across = np.array(ink["b 0 squeezed"].get_segments())
    assert np.ptp(along[..., 1], axis=1) == pytest.approx(0)
    assert np.ptp(along[..., 0], axis=1) == pytest.approx(50)
    assert np.ptp(across[..., 0], axis=1) == pytest.approx(0)
    assert len(along) == 3 and len(across) > 20
    grey = {tuple(c.get_colors()[0].round(3)) for c in ax.collections}
    assert len(grey) == 1
    tones = {p.get_facecolor()[:3] for p in ax.patches if re.match(r"[ab] ", p.get_gid() or "")}
    light = sorted(0.299 * r + 0.587 * g + 0.114 * b for r, g, b in tones)
    assert len(light) == 2 and light[1] - light[0] > 0.15


def test_a_seam_that_agrees_has_no_strokes_and_no_numbers():
    ax = seam_chart(axes(), seam=seam((0, 50, 100), (0, 50.4, 100.2)))
    words = said(ax)
    assert strokes(ax) == [] and not any("%" in w or w.startswith("+") for w in words)
    assert "The edges agree between all marks, as far as a tape shows." in words
    assert "stretched" not in words


def test_a_held_edge_does_not_give():
    """All 3 mm of the second edge's difference go into the first: 3 of 50 mm."""
    ax = seam_chart(axes(), seam=HELD)
    assert strokes(ax) == ["a 0 stretched", "a 1 squeezed"]
    words = said(ax)
    assert [w for w in words if w.endswith("%")] == ["6.0 %", "6.0 %"]
    assert "back 100 mm, held" in words and words.count("+3 mm") == 2
    high = [np.ptp(corners[:, 1]) for corners in bands(ax, "b").values()]
    assert high[0] == high[1] == np.ptp(bands(ax, "a")[0][:, 1])


def test_a_seam_that_runs_the_other_way_is_turned():
    """The second edge from its end: 62, 66, 44 mm against 60, 70, 40."""
    ax = seam_chart(axes(), seam=BACKWARDS)
    ends = [corners[:, 0].max() for corners in bands(ax, "b").values()]
    assert ends == pytest.approx([62, 128, 172])
    words = said(ax)
    assert words.count("+4 mm") == 2 and words.count("+2 mm") == 1
    assert any(w.startswith("back runs the other way as front") for w in words)


def test_in_inches():
    """Exact: 3 mm are 3.78 thirty-seconds of an inch; 160 mm are 6 5/16 in less 0.3 mm."""
    words = said(seam_chart(axes(), seam=THREE, system="in"))
    assert words.count("+1/8 in") == 2 and "front 6 5/16 in" in words
    assert not any(" mm" in w for w in words)


def test_differences_too_small_for_the_tape_that_add_up():
    """Ten times 0.2 mm are 2 mm: each interval takes its part, said as less than half a mm."""
    ax = seam_chart(axes(), seam=seam((0, 50, 100), (0, 50.6, 101.2)))
    assert "+0.5 mm" in said(ax)
    a, b = np.arange(0, 501, 50.0), np.arange(0, 501, 50.0) * 1.004
    assert "under 0.5 mm" in said(seam_chart(axes(), seam=seam(a, b)))
    assert "under 1/32 in" in said(seam_chart(axes(), seam=seam(a, b), system="in"))


def test_a_stiff_piece_that_hardly_gives():
    stiff = Piece(thickness=10, law=Linear(1500.0))
    found = Seam(
        a=SeamEdge(name="buckle strap", piece=stiff, places=(0, 50)), b=edge("back", (0, 53))
    )
    assert "under 0.1 %" in said(seam_chart(axes(), seam=found))


# The chart: words that fit ----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "order", "system"),
    [
        ("three", False, "mm"), ("three", True, "in"), ("twelve", False, "mm"),
        ("twelve", True, "in"), ("twelve", False, "in"), ("forty", False, "mm"),
        ("forty", True, "mm"), ("forty", False, "in"), ("back", False, "mm"), ("held", True, "mm"),
    ],
)  # fmt: skip
def test_the_words_can_be_read(name, order, system):
    assert_readable(seam_chart(axes(), seam=SEAMS[name], system=system, order=order))


def test_a_small_chart_can_be_read():
    ax = seam_chart(axes(4.2, 3.1), seam=THREE, fontsize=9)
    assert_readable(ax)
    assert {"stretched", "squeezed"} <= set(said(ax))


def test_of_many_intervals_the_largest_have_numbers():
    ax = seam_chart(axes(), seam=FORTY)
    between = FORTY.intervals
    (note,) = [w for w in said(ax) if w.startswith("Numbers stand")]
    told, of = map(int, re.findall(r"\d+", note))
    assert of == int(between.unequal.sum()) and 6 <= told < of
    sizes = sorted(np.abs(between.difference))[::-1][:told]
    # half a millimetre is the step; a half step goes up
    expected = sorted(f"+{math.floor(2 * d + 0.5) / 2:g} mm" for d in sizes)
    assert sorted(w for w in said(ax) if re.fullmatch(r"\+[\d.]+ mm", w)) == expected
    # strokes still show where all the others are
    assert len(strokes(ax)) == 2 * of


def test_numbers_stand_near_their_interval():
    """Each thin line runs from the middle of its interval, aside by nine letters at most.

    Twelve intervals that disagree are crowded into a tenth of the seam.
    """
    places = np.array([0, *range(540, 661, 10), 1200.0])
    crowded = seam(places, places + np.array([0, *[0, 2.5] * 6, 0, 0]))
    ax = seam_chart(axes(), seam=crowded)
    per_pt = (ax.get_xlim()[1] - ax.get_xlim()[0]) / (7.2 * 72)
    assert any(w.startswith("Numbers stand beside the") for w in said(ax))
    for side, places in (("a", crowded.a.places), ("b", crowded.b.places)):
        leads = {int(line.get_gid().split()[2]): line.get_xdata() for line in ax.lines
                 if (line.get_gid() or "").startswith(f"lead {side}")}  # fmt: skip
        assert len(leads) >= 3
        for i, (foot, head) in leads.items():
            assert foot == pytest.approx((places[i] + places[i + 1]) / 2)
            assert abs(head - foot) <= 9 * 10 * per_pt + 1e-6
        heads = [leads[i][1] for i in sorted(leads)]
        assert heads == sorted(heads)  # so that no two lines cross


def test_a_very_short_edge_keeps_its_words_on_the_paper():
    assert_readable(seam_chart(axes(), seam=seam((0, 12), (0, 300))))


def test_rings_need_room_of_their_own():
    """On the lowest axes that hold them, they lie over no name."""
    for tall in np.arange(3.1, 6, 0.04):
        try:
            ax = seam_chart(axes(tall=tall), seam=TWELVE, order=True)
        except TooSmall:
            continue
        break
    assert_readable(ax)


def test_names_that_do_not_fit_level_stand_upright():
    words = {t.get_text(): t.get_rotation() for t in seam_chart(axes(), seam=TWELVE).texts}
    assert {words[name] for name in (*BODY, "start", "end")} == {90.0}
    wide = {t.get_text(): t.get_rotation() for t in seam_chart(axes(14, 4), seam=TWELVE).texts}
    assert {wide[name] for name in (*BODY, "start", "end")} == {0.0}


def test_names_left_out_are_counted_and_the_ends_are_kept():
    words = said(seam_chart(axes(), seam=FORTY))
    (note,) = [w for w in words if w.endswith("no room for their names.")]
    names = [w for w in words if w in FORTY.a.labels]
    assert int(note.split()[0]) == len(FORTY.a.labels) - len(names)
    assert {"start", "end"} <= set(names) and len(names) > 20


def test_the_order_of_gluing_stands_in_rings():
    ax = seam_chart(axes(), seam=TWELVE, order=True)
    rings = {int(p.get_gid()[5:]): p.get_center() for p in ax.patches
             if (p.get_gid() or "").startswith("ring")}  # fmt: skip
    marks = [np.array(line) for i in range(13) for line in lines(ax, f"mark {i}")[:1]]
    for number, mark in enumerate(gluing_order(TWELVE.a.places), 1):
        (x, y), ((x0, y0), (x1, y1)) = rings[number], marks[mark]
        assert x == pytest.approx(x0 + (y - y0) / (y1 - y0) * (x1 - x0))  # on its line
        assert str(number) in said(ax)
    assert not [p for p in seam_chart(axes(), seam=TWELVE).patches
                if (p.get_gid() or "").startswith("ring")]  # fmt: skip


def test_long_names_and_odd_signs():
    names = ("the mark over the knee that meets the strap of the shin tube", "5 $ x_1$")
    found = Seam(
        a=edge(
            "the front half of the left knee cup with its lower scute overlay and all",
            (0, 50, 90, 150),
            names=names,
        ),
        b=edge("back", (0, 53, 90, 150), names=names),
    )
    ax = seam_chart(axes(5, 4), seam=found)
    assert_readable(ax)
    assert "5 $ x_1$" in said(ax) and any(w.startswith("the mark over") for w in said(ax))
    assert any(re.fullmatch(r"the front half .*… 150 mm", w) for w in said(ax))


def test_axes_without_room_are_refused():
    for size in ((7.2, 1.6), (1.6, 5)):
        with pytest.raises(
            TooSmall, match=r"axes of .* mm are too small for the words of the seam"
        ):
            seam_chart(axes(*size), seam=THREE)


@pytest.mark.parametrize(
    ("change", "message"),
    [({"system": "cm"}, "system must be one of"), ({"fontsize": 0}, "fontsize must be")],
)
def test_what_is_no_choice_is_refused(cups, change, message):
    with pytest.raises(ValueError, match=message):
        seam_chart(axes(), seam=THREE, **change)
    with pytest.raises(ValueError, match=message):
        seam_drawing(axes(), seam=cups.seam, edges=cups.edges, **change)


def test_words_spread_as_little_as_may_be():
    """Independent: the same least squares by scipy, as steps that may not be below 0."""
    from scipy.optimize import nnls

    rng = np.random.default_rng(7)
    for count in (2, 5, 9, 14):
        middles, widths = np.sort(rng.uniform(0, 300, count)), rng.uniform(10, 30, count)
        found = spread(middles, widths, low=0.0, high=900.0)
        least = np.append(widths[0] / 2, (widths[1:] + widths[:-1]) / 2 + 6).cumsum()
        steps, _ = nnls(np.tri(count), middles - least)
        assert found == pytest.approx(steps.cumsum() + least, abs=1e-9)
        # seen in a mirror, with the other end of the row near
        turned = spread(900 - middles[::-1], widths[::-1], low=0.0, high=900.0)
        assert 900 - turned[::-1] == pytest.approx(found, abs=1e-9)
    close = spread(np.array([80.0, 95.0]), np.array([20.0, 10.0]), low=0.0, high=100.0)
    assert close == pytest.approx([74, 95])  # 95 is as far as it goes; 15 + 6 before it
    assert spread(np.array([5.0, 6.0]), np.array([20.0, 20.0]), low=0, high=45) is None
    assert spread(np.array([]), np.array([]), low=0, high=1).size == 0


# The drawing ------------------------------------------------------------------------------------


HEAD = '<svg xmlns="http://www.w3.org/2000/svg" width="400mm" height="260mm" viewBox="0 0 400 260">'
LEFT = "M30 30C50 20 90 24 120 20C150 70 150 150 120 220C90 226 55 222 30 210C18 150 18 90 30 30Z"
RIGHT = (
    "M370 30C350 20 310 24 280 20C247 70 250 150 280 220C310 226 345 222 370 210C382 150 382 90 "
    "370 30Z"
)
RIGHT_BACK = (
    "M370 30C382 90 382 150 370 210C345 222 310 226 280 220C250 150 247 70 280 20C310 24 350 20 "
    "370 30Z"
)
NAMES = ("thigh", "knee over", "knee under", "shin")
NOTCHES = {
    "left": ((120, 20, 220), ((137, 70), (142.5, 105), (142, 140), (134, 180))),
    "right": ((280, 20, 220), ((263, 66), (257, 108), (258, 141), (266, 181))),
}
"""Where the seam ends, and the middles of the notches, in the drawing [mm]."""


class Cups:
    """Two halves of a knee cup, drawn mirrored, with notches that do not quite agree."""

    def __init__(self, folder, *, right=RIGHT, back=False, **said):
        body = f'<path id="left" d="{LEFT}"/><path id="right" d="{right}"/>'
        for side, ((x, *ends_y), notches) in NOTCHES.items():
            for name, y in zip(("top", "hem"), ends_y, strict=True):
                body += f'<circle id="{side}-{name}" cx="{x}" cy="{y}" r="1.5">'
                body += f"<title>{name}</title></circle>"
            for name, (x0, y0) in zip(NAMES, notches, strict=True):
                body += (
                    f'<path id="{side} {name}" d="M{x0 - 6} {y0}h12"><title>{name}</title></path>'
                )
        file = folder / "cups.svg"
        file.write_text(f"{HEAD}{body}</svg>")
        self.pattern = read_pattern(file)
        ends = ("hem", "top") if back else ("top", "hem")
        self.edges = self.pattern.edge("left", "top", "hem"), self.pattern.edge("right", *ends)
        self.outlines = self.pattern.outline("left"), self.pattern.outline("right")
        self.seam = joined(self.edges, **said)


def joined(edges, **said):
    a, b = (
        SeamEdge.from_curve(
            e,
            name=f"{e.name} half",
            piece=THICK,
            marks=[(m.name, m.place) for m in e.marks],
            **more,
        )
        for e, more in zip(edges, ({}, said), strict=True)
    )
    return Seam(a=a, b=b)


@pytest.fixture(scope="module")
def cups(tmp_path_factory):
    return Cups(tmp_path_factory.mktemp("cups"))


def drawn(cups, *, size=(7, 5), **change):
    given = {"edges": cups.edges, "seam": cups.seam, "outlines": cups.outlines, **change}
    return seam_drawing(axes(*size), **given)


def pixels(ax):
    return [ax.transData.transform(points) for points in lines(ax, "outline")]


def test_the_pieces_are_drawn_as_they_are(cups):
    """Each outline is the drawing's own, shifted and nothing else, both to one scale."""
    ax = drawn(cups)
    assert ax.get_aspect() == 1.0
    for side, outline in zip("ab", cups.outlines, strict=True):
        (points,) = lines(ax, f"outline {side}")
        shift = points[0] - outline.curve.point(0)
        away = [outline.curve.place_of(p - shift).distance for p in points[::7]]
        assert max(away) < 1e-6
        assert np.ptp(points, axis=0) == pytest.approx(
            np.ptp(outline.curve.point(np.linspace(0, outline.length, 2000)), axis=0), abs=0.02
        )
    left, right = (lines(ax, f"outline {s}")[0] for s in "ab")
    assert left[:, 0].max() < right[:, 0].min()


def test_bands_lie_inside_their_piece_between_their_marks(cups):
    ax = drawn(cups)
    between = cups.seam.intervals
    for side, piece, whole in zip("ab", cups.edges, cups.outlines, strict=True):
        (points,) = lines(ax, f"outline {side}")
        shift = points[0] - whole.curve.point(0)
        found = bands(ax, side)
        assert sorted(found) == np.flatnonzero(between.unequal).tolist() != []
        marks = [0, *(m.place for m in piece.marks), piece.length]
        for i, corners in found.items():
            outer = corners[: len(corners) // 2] - shift
            places = [piece.curve.place_of(p) for p in outer]
            assert max(p.distance for p in places) < 1e-6
            assert (places[0].place, places[-1].place) == (
                pytest.approx(marks[i], abs=1e-6), pytest.approx(marks[i + 1], abs=1e-6)
            )  # fmt: skip
            inner = corners[len(corners) // 2 :]
            assert Path(points).contains_points(inner[1:-1]).all()


def test_the_numbers_are_those_of_the_seam(cups):
    words = said(drawn(cups))
    between = cups.seam.intervals
    for i in np.flatnonzero(between.unequal):
        d = between.difference[i]
        size = f"+{math.floor(2 * abs(d) + 0.5) / 2:g} mm"
        strains = [f"{100 * abs(e[i]):.1f} %" for e in (between.strain_a, between.strain_b)]
        assert f"{size}, {strains[int(d > 0)]}" in words
        assert strains[int(d < 0)] in words
    for name in ("thigh", "knee over", "knee under", "shin", "start", "end"):
        assert words.count(name) == 2
    assert "left half 207 mm" in words and "right half 208 mm" in words


def test_strokes_on_the_drawing_are_those_of_the_chart(cups):
    assert strokes(drawn(cups)) == strokes(seam_chart(axes(), seam=cups.seam)) != []


def test_the_scale_line_is_as_long_as_it_says(cups):
    for system, unit in (("mm", 1.0), ("in", 25.4)):
        ax = drawn(cups, system=system)
        (arrow,) = [t for t in ax.texts if isinstance(t, Annotation) and not t.get_text()]
        length = abs(arrow.xy[0] - arrow.xyann[0])
        (text,) = [w for w in said(ax) if re.fullmatch(rf"\d+ {system}", w)]
        assert length == pytest.approx(int(text.split()[0]) * unit)


@pytest.mark.parametrize("back", [False, True])
def test_each_name_is_tied_to_its_mark(tmp_path, cups, back):
    """A thin line leads from the words to the point where the mark is on its edge."""
    shown = Cups(tmp_path, right=RIGHT_BACK, back=True) if back else cups
    ax = drawn(shown)
    ends = {tuple(line.get_xydata()[0]): line.get_xydata()[1] for line in ax.lines}
    for side, piece, whole in zip("ab", shown.edges, shown.outlines, strict=True):
        shift = lines(ax, f"outline {side}")[0][0] - whole.curve.point(0)
        places = {m.name: m.place for m in piece.marks}
        for name in NAMES:
            point = piece.curve.point(places[name]) + shift
            led = [ends[t.get_position()] for t in ax.texts if t.get_text() == name]
            assert min(np.hypot(*(end - point)) for end in led) < 1e-6


@pytest.mark.parametrize(
    ("size", "system"), [((7, 5), "mm"), ((4, 5), "in"), ((10, 3.2), "mm"), ((5, 7), "mm")]
)
def test_the_words_round_the_pieces_can_be_read(cups, size, system):
    ax = drawn(cups, size=size, system=system)
    assert_readable(ax, drawn=pixels(ax))


def test_pieces_one_over_the_other_where_that_is_larger(cups):
    ax = drawn(cups, size=(4, 6))
    left, right = (lines(ax, f"outline {s}")[0] for s in "ab")
    assert left[:, 1].min() > right[:, 1].max()


def test_edges_alone(cups):
    ax = drawn(cups, outlines=())
    assert_readable(ax, drawn=pixels(ax))
    (line,) = lines(ax, "outline a")
    assert np.hypot(*np.diff(line, axis=0).T).sum() == pytest.approx(cups.edges[0].length, rel=1e-3)


def test_an_edge_that_runs_the_other_way_and_is_held(tmp_path, cups):
    """The same drawing with the right half drawn the other way round: the same bands."""
    other = Cups(tmp_path, right=RIGHT_BACK, back=True, held=True)
    ax, plain = drawn(other), drawn(cups)
    assert {k: len(v) for k, v in bands(ax, "b").items()} == {
        k: len(v) for k, v in bands(plain, "b").items()
    }
    for i, corners in bands(plain, "b").items():
        turned = bands(ax, "b")[i]
        size = (
            np.ptp(turned, axis=0) / ax.get_xlim()[1],
            np.ptp(corners, axis=0) / plain.get_xlim()[1],
        )
        assert size[0] == pytest.approx(size[1], rel=0.1)
    assert not [gid for gid in strokes(ax) if gid.startswith("b")]
    words = said(ax)
    assert any(w.startswith("right half runs the other way") for w in words)
    assert any(w.endswith(", held") for w in words)


def test_many_marks_on_an_arch(tmp_path):
    """Forty intervals: the largest have numbers, the rest is counted, and all can be read."""
    rng = np.random.default_rng(4)
    pairs = []
    for name, rx, jitter in (("shell", 180, np.zeros(40)), ("rim", 176, rng.normal(0, 0.003, 40))):
        dots = ""
        for k in range(1, 40):
            t = math.pi * (1 - k / 40 + jitter[k])
            x, y = 200 + rx * math.cos(t), 250 - 120 * math.sin(t)
            dots += f'<circle id="m{k}" cx="{x}" cy="{y}" r="1"/>'
        file = tmp_path / f"{name}.svg"
        arc = f'<path id="{name}" d="M{200 - rx} 250A{rx} 120 0 0 1 {200 + rx} 250"/>'
        file.write_text(f"{HEAD}{arc}{dots}</svg>")
        pairs.append(read_pattern(file).edge(name))
    found = joined(tuple(pairs))
    ax = seam_drawing(axes(7, 5), edges=tuple(pairs), seam=found)
    assert_readable(ax, drawn=pixels(ax))
    (note,) = [w for w in said(ax) if w.startswith("Numbers stand beside")]
    told, of = map(int, re.findall(r"\d+", note))
    assert 3 <= told < of == int(found.intervals.unequal.sum())
    assert len(strokes(ax)) == 2 * of
    assert any(w.endswith("marks have no room for their names.") for w in said(ax))


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ("swapped", r"edge 'left half' of the seam reaches to 206.9 mm, but 'right'"),
        ("other way round", "but 'right' in the"),
        ("one outline", "outlines must be those of both pieces or none, got 1"),
        ("too small", r"axes of 38 x 30 mm are too small for both pieces"),
    ],
)
def test_a_drawing_that_cannot_be(cups, change, message):
    wrong = {
        "swapped": {"edges": cups.edges[::-1]},
        "other way round": {"edges": (cups.edges[0], cups.pattern.edge("right", "hem", "top"))},
        "one outline": {"outlines": cups.outlines[:1]},
        "too small": {"size": (1.5, 1.2)},
    }
    with pytest.raises(ValueError, match=message):
        drawn(cups, **wrong[change])


def test_no_picture_is_left_open_and_no_style_changed(cups):
    import matplotlib.pyplot as plt

    matplotlib.get_backend()
    style, before = matplotlib.rcParams.copy(), plt.get_fignums()
    seam_chart(axes(), seam=THREE)
    drawn(cups)
    assert plt.get_fignums() == before and matplotlib.rcParams == style
