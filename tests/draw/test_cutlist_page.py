"""The cut list on paper: to scale, named, inside the page, readable without colour."""

from itertools import pairwise

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.colors import to_rgb
from matplotlib.figure import Figure

from foamcalc.ask.cutlist import Panel, Stock, Strip, cut_list
from foamcalc.ask.cutting import cut_build
from foamcalc.ask.plan import plan
from foamcalc.ask.sheet import parse_sheet
from foamcalc.draw.cutlist_page import cutlist_pages
from foamcalc.draw.cutlist_sheet import (
    AROUND,
    BELOW,
    LEFT,
    SCALES,
    draw_sheet,
    draw_sheets,
    drawn_size,
    scale_for,
)
from foamcalc.draw.paper import PAPERS, pdf_bytes

EVA = {"foam": "EVA medium", "thickness": 5.0}  # invented, as all sizes here
SHEET = Stock(**EVA, length=1000, width=500, grain="along")
RIM = Strip(name="rim", **EVA, length=480, width=60, count=3)
SCUTE = Panel(name="scute", **EVA, length=200, width=150)


BUILD = """
title = "Turtle, a shell with a name that is as long as titles can be"

[[piece]]
name = "flipper"
foam = "EVA firm"
thickness = 10
length = 410
width = 170
count = 6

[[piece]]
name = "strap tab"
foam = "EVA soft"
thickness = 5
length = 110
width = 45
count = 6

[[piece]]
name = "beak"
foam = "EVA soft"
thickness = 2
length = 90
width = 60

[[overlay]]
name = "knee cup cover"
needed = 188
base = 10
thickness = 5
turn = "180 deg"
width = 80
foam = "EVA soft"

[[stock]]
foam = "EVA firm"
thickness = 10
length = 1000
width = 500
price = 12

[[stock]]
foam = "EVA soft"
thickness = 5
length = 330
width = 210
offcut = true

[[stock]]
foam = "EVA soft"
thickness = 5
length = 260
width = 100
price = 3

[cutting]
edge_trim = 5
gap = 3
currency = "tokens"
"""


@pytest.fixture(scope="module")
def build():
    return cut_build(plan(parse_sheet(BUILD, ".")))


def drawn(*items, scale=5.0, stock=SHEET, **more):
    """A sheet drawn on a figure of just its size."""
    (material,) = cut_list([stock], items).materials
    (sheet,) = material.sheets
    wide, tall = drawn_size(sheet, scale)
    figure = Figure(figsize=(wide / 25.4, tall / 25.4))
    ax = figure.add_axes((0, 0, 1, 1))
    return draw_sheet(ax, sheet, scale=scale, **more), sheet


def renderer(figure):
    return FigureCanvasAgg(figure).get_renderer()


def box(ax, name):
    return next(patch for patch in ax.patches if patch.get_gid() == name)


def on_paper(ax, patch):
    """Width and height of a patch on paper [mm]."""
    size = patch.get_window_extent().size
    return size / ax.get_figure().dpi * 25.4


def test_the_drawing_has_the_scale_that_it_says():
    ax, sheet = drawn(RIM, SCUTE, scale=5.0)
    # exact by hand: 1000 x 500 at 1 : 5
    assert on_paper(ax, box(ax, "sheet")) == pytest.approx([200, 100], rel=1e-9)
    for number, piece in enumerate(sheet.placed, 1):
        found = on_paper(ax, box(ax, f"piece {number}"))
        assert found == pytest.approx([piece.length / 5, piece.width / 5], rel=1e-9)


def test_each_piece_is_where_the_list_puts_it_with_number_name_and_size():
    ax, sheet = drawn(RIM, SCUTE, scale=5.0, outlined={"scute"})
    words = {text.get_gid(): text.get_text() for text in ax.texts if text.get_gid()}
    assert len(words) == 4
    for number, piece in enumerate(sheet.placed, 1):
        patch = box(ax, f"piece {number}")
        assert patch.get_xy() == (piece.x, piece.y)
        size = "480 × 60 mm" if piece.name == "rim" else "200 × 150 mm"
        assert words[f"words {number}"].split("\n") == [f"{number}  {piece.name}", size]


def test_words_stay_inside_their_piece_and_small_pieces_keep_their_number():
    thin = Strip(name="a very long name for a thin band", **EVA, length=300, width=18, count=2)
    tiny = Strip(name="speck", **EVA, length=9, width=9)
    ax, sheet = drawn(RIM, SCUTE, thin, tiny, scale=5.0)
    figure = ax.get_figure()
    told = {text.get_gid(): text for text in ax.texts if text.get_gid()}
    for number, piece in enumerate(sheet.placed, 1):
        text = told.get(f"words {number}")
        if piece.name == "speck":
            assert text is None  # 1.8 mm on paper: no letter has room
            continue
        inner, outer = (
            each.get_window_extent(renderer(figure)) for each in (text, box(ax, f"piece {number}"))
        )
        assert outer.x0 < inner.x0 and inner.x1 < outer.x1
        assert outer.y0 - 1 < inner.y0 and inner.y1 < outer.y1 + 1
        if piece.name.startswith("a very"):
            assert text.get_text() == str(number) and text.get_fontweight() == "bold"


def test_words_stay_inside_pieces_of_any_length():
    bands = [
        Strip(name=f"cover {i}", **EVA, length=50 + 4 * i, width=40, grain="along")
        for i in range(30)
    ]
    ax, sheet = drawn(*bands, scale=5.0)
    page = renderer(ax.get_figure())
    told = {text.get_gid(): text.get_window_extent(page) for text in ax.texts if text.get_gid()}
    assert len(told) == 30
    for number, piece in enumerate(sheet.placed, 1):
        inner, outer = told[f"words {number}"], box(ax, f"piece {number}").get_window_extent(page)
        assert outer.x0 < inner.x0 and inner.x1 < outer.x1, piece.name
        assert outer.y0 < inner.y0 and inner.y1 < outer.y1, piece.name


def test_tall_pieces_are_named_along_their_length():
    ax, _ = drawn(Strip(name="binding", **EVA, length=480, width=30, grain="across"), scale=5.0)
    (text,) = [text for text in ax.texts if text.get_gid()]
    assert text.get_rotation() == 90 and "480 × 30 mm" in text.get_text()


def test_strips_and_outlines_differ_in_grey_and_the_rest_is_hatched():
    ax, sheet = drawn(RIM, SCUTE, outlined={"scute"})
    grey = {}
    for number, piece in enumerate(sheet.placed, 1):
        shade = box(ax, f"piece {number}").get_facecolor()[:3]
        grey[piece.name] = float(np.dot(to_rgb(shade), (0.299, 0.587, 0.114)))
    assert grey["scute"] - grey["rim"] > 0.15  # seen without colour
    rest = next(lines for lines in ax.collections if lines.get_gid() == "left over")
    lines = np.array(rest.get_segments())
    # exact by hand: every line slants by 45 degrees and ends on the sides of the sheet
    across, up = (np.ptp(lines[..., k], axis=1) for k in (0, 1))
    np.testing.assert_allclose(across, up)
    assert len(lines) > 50 and up.min() > 0
    assert lines.min() == 0 and lines[..., 0].max() <= SHEET.length
    assert lines[..., 1].max() <= SHEET.width
    assert rest.get_zorder() < box(ax, "piece 1").get_zorder()


def test_the_sheet_is_measured_in_both_units_and_its_grain_is_said():
    ax, _ = drawn(RIM, system="mm")
    texts = [text.get_text() for text in ax.texts]
    assert "1000 mm, the grain runs along it" in texts and "500 mm" in texts
    ax, _ = drawn(RIM, stock=Stock(**EVA, length=1016, width=508), system="in")
    texts = [text.get_text() for text in ax.texts]
    assert "40 in" in texts and "20 in" in texts  # exact by hand: 25.4 mm an inch


def test_a_trimmed_edge_is_drawn_inside():
    (material,) = cut_list([SHEET], [RIM], trim=5).materials
    ax = Figure().add_axes((0, 0, 1, 1))
    draw_sheet(ax, material.sheets[0], scale=6, trim=5)
    inside = [p for p in ax.patches if p.get_xy() == (5, 5) and not p.get_fill()]
    assert (inside[0].get_width(), inside[0].get_height()) == (990, 490)  # exact by hand


@pytest.mark.parametrize(
    ("length", "width"), [(1000, 500), (500, 1000), (330, 210), (10_000, 1500), (60, 40)]
)
def test_the_scale_is_the_largest_that_has_room(length, width):
    (material,) = cut_list(
        [Stock(**EVA, length=length, width=width)], [Strip(name="a", **EVA, length=30, width=20)]
    ).materials
    sheet = material.sheets[0]
    scale = scale_for(sheet, wide=184, tall=104)
    wide, tall = drawn_size(sheet, scale)
    assert wide <= 184 and tall <= 104
    assert wide == length / scale + LEFT + AROUND and tall == width / scale + BELOW + AROUND
    larger = [s for s in SCALES if s < scale]
    if larger:
        wide, tall = drawn_size(sheet, larger[-1])
        assert wide > 184 or tall > 104


@pytest.mark.parametrize("scale", [0, -1, float("nan")])
def test_a_scale_that_is_none_is_refused(scale):
    (material,) = cut_list([SHEET], [RIM]).materials
    with pytest.raises(ValueError, match="scale"):
        draw_sheet(Figure().add_subplot(), material.sheets[0], scale=scale)


def test_several_sheets_lie_below_each_other_to_one_scale():
    (material,) = cut_list(
        [SHEET], [Strip(name="r", **EVA, length=900, width=400, count=3)]
    ).materials
    figure = draw_sheets(Figure(figsize=(6, 9)), material, above=10)
    assert len(figure.axes) == 3
    sizes = [on_paper(ax, box(ax, "sheet")) for ax in figure.axes]
    assert np.ptp(sizes, axis=0) == pytest.approx([0, 0], abs=1e-9)
    places = [ax.get_position() for ax in figure.axes]
    assert all(a.y0 >= b.y1 for a, b in pairwise(places))
    assert places[0].y1 <= 1 - 10 / (9 * 25.4) + 1e-9 and places[-1].y0 >= 0


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_pages_have_the_size_of_the_paper_and_nothing_runs_over(build, paper):
    pages = cutlist_pages(build, paper=paper)
    wide, tall = PAPERS[paper]
    for figure in pages:
        assert figure.get_size_inches() * 25.4 == pytest.approx([wide, tall])
        dpi = figure.dpi / 25.4
        for ax in figure.axes:
            for text in ax.texts:
                frame = text.get_window_extent(renderer(figure))
                assert frame.x0 / dpi > 5 and frame.x1 / dpi < wide - 5, text.get_text()
                assert frame.y0 / dpi > 4 and frame.y1 / dpi < tall - 4, text.get_text()


def test_the_pages_tell_all_of_it(build):
    pages = cutlist_pages(build)
    text = " ".join(t.get_text() for f in pages for ax in f.axes for t in ax.texts)
    flat = " ".join(text.split())
    for wanted in (
        "2 sheets of EVA firm 10 mm",
        "not to true size: measure with a tape",
        "Nothing here is drawn to true size.",
        "drawn 1 : 6",
        "No stock is named for",
        "Close or cap the knife",
        "rectangle round each",
        "Nothing here says that a thing is safe to wear",
    ):
        assert wanted in flat
    sheets = [ax for f in pages for ax in f.axes[1:]]
    assert len(sheets) == 3  # none of them alike
    for item in build.items:
        assert item.name.split(",")[0] in flat


def test_sheets_that_are_cut_alike_are_drawn_once():
    text = """
    [[piece]]
    name = "plate"
    foam = "EVA medium"
    thickness = 5
    length = 900
    width = 400
    count = 7
    [[stock]]
    foam = "EVA medium"
    thickness = 5
    length = 1000
    width = 500
    """
    pages = cutlist_pages(cut_build(plan(parse_sheet(text, "."))))
    assert sum(len(f.axes) - 1 for f in pages) == 1
    words = " ".join(t.get_text() for f in pages for t in f.axes[0].texts)
    assert "7 of 7, cut alike" in words


def test_a_list_without_sheets_and_another_paper_are_refused(build):
    text = '[[piece]]\nname = "a"\nfoam = "EVA soft"\nthickness = 5\nlength = 50\nwidth = 40\n'
    with pytest.raises(ValueError, match=r"no sheets to draw; name \[\[stock\]\]"):
        cutlist_pages(cut_build(plan(parse_sheet(text, "."))))
    with pytest.raises(ValueError, match="paper"):
        cutlist_pages(build, paper="A3")


def test_the_same_list_gives_the_same_bytes(build):
    one, two = (pdf_bytes(cutlist_pages(build)) for _ in range(2))
    assert one == two and one.startswith(b"%PDF") and b"/Title (Cut list)" in one
