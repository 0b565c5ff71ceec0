"""The swatch record on paper: the same columns and rows as its CSV, room to write, true size.

What the pages say, word for word, stands in `tests/answers/build.txt`.
"""

from __future__ import annotations

import csv
import io
import itertools
from functools import cache

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.text import Text

from foamcalc.ask.swatch import blank_swatch
from foamcalc.ask.swatch_record import read_swatch
from foamcalc.draw.record_pages import swatch_pages
from foamcalc.tables import subjects

#: Exact by definition: ISO 216 and 8 1/2 by 11 inches of 25.4 mm, lying on their long side.
SIZES = {"A4": (297.0, 210.0), "Letter": (279.4, 215.9)}
KINDS = list(itertools.product(SIZES, ("mm", "in")))
each_kind = pytest.mark.parametrize(("paper", "system"), KINDS)
EDGE, FOOT = 8.0, 20.0
NUMBERS = ("width", "thickness", "gauge", "clamp", "strip weight", "load", "length", "width now")


@pytest.fixture(scope="module")
def made():
    return {(p, s): swatch_pages(paper=p, system=s) for p, s in KINDS}


def the_csv(system):
    """Independent: heads and rows of the blank CSV, read by the standard library."""
    text = blank_swatch(system).decode("utf-8-sig")
    heads, *rows = csv.reader(io.StringIO(text))
    return heads, rows


def texts(page):
    (ax,) = page.axes
    return [t for t in ax.texts if t.get_text()]


def patches(page, name):
    (ax,) = page.axes
    return [p for p in ax.patches if p.get_gid() == name]


@cache
def shown(page):
    """All words with the box they fill: left, low, right, high [mm]."""
    FigureCanvasAgg(page).draw()
    renderer, per_mm = page.canvas.get_renderer(), page.dpi / 25.4
    return [
        (t, np.array(Text.get_window_extent(t, renderer).extents) / per_mm) for t in texts(page)
    ]


def edges_of(page):
    """Where the columns of a table begin and end, and the height of its head [mm]."""
    (head,) = patches(page, "heads")
    upright = [np.array(line.get_xydata()) for line in page.axes[0].lines]
    top = head.get_y() + head.get_height()
    xs = {
        float(xy[0, 0])
        for xy in upright
        if xy[0, 0] == xy[1, 0] and abs(xy[:, 1].max() - top) < 1e-9
    }
    return sorted(xs), head.get_y(), top


def table_of(page):
    """Read a table off the page by where the words stand: heads, {line: cells}, {line: height}."""
    edges, low, top = edges_of(page)
    heads = [[] for _ in edges[1:]]
    numbers, cells = {}, {}
    for text, (x0, y0, x1, y1) in shown(page):
        middle, level = (x0 + x1) / 2, (y0 + y1) / 2
        column = int(np.searchsorted(edges, middle)) - 1
        if low < level < top and column >= 0:
            heads[column].append((-level, text.get_text()))
        elif level < low and column < 0 and text.get_text().isdigit():
            numbers[int(text.get_text())] = level
    row = min(a - b for a, b in itertools.pairwise(sorted(numbers.values(), reverse=True)))
    for number, at in numbers.items():
        found = [[] for _ in edges[1:]]
        for text, (x0, y0, x1, y1) in shown(page):
            column = int(np.searchsorted(edges, (x0 + x1) / 2)) - 1
            if column >= 0 and abs((y0 + y1) / 2 - at) < row / 2:
                found[column].append((-y0, text.get_text()))
        cells[number] = [" ".join(t for _, t in sorted(cell)) for cell in found]
    return [" ".join(t for _, t in sorted(head)) for head in heads], cells, numbers


@each_kind
def test_every_column_of_the_csv_stands_on_the_page_in_its_order(made, paper, system):
    """Exact: names and units as in the head of the blank CSV."""
    heads, _ = the_csv(system)
    tables = [page for page in made[paper, system] if patches(page, "heads")]
    assert len(tables) == 3
    for page in tables:
        assert table_of(page)[0] == heads
    assert f"width now [{system}]" in heads and "load [kg]" in heads


@each_kind
def test_every_row_of_the_csv_stands_on_the_page_at_the_line_it_has_in_the_file(
    made, paper, system
):
    """Exact: the rows of the CSV from line 2 on; then rows with nothing in them."""
    _, rows = the_csv(system)
    printed = {}
    for page in made[paper, system][1:]:
        _, cells, at = table_of(page)
        assert sorted(at, key=at.get, reverse=True) == sorted(cells)  # down the page
        assert not set(cells) & set(printed)
        printed |= cells
    assert list(printed) == sorted(printed) == list(range(2, 2 + len(printed)))
    for number, row in enumerate(rows, 2):
        assert printed.pop(number) == row
    assert len(printed) >= 3 and not any(cell for row in printed.values() for cell in row)


@each_kind
def test_there_is_room_for_handwriting(made, paper, system):
    for page in made[paper, system][1:]:
        heads, _, at = table_of(page)
        edges, _, _ = edges_of(page)
        for above, below in itertools.pairwise(sorted(at.values(), reverse=True)):
            assert above - below >= 8
        wide = dict(zip([h.partition(" [")[0] for h in heads], np.diff(edges), strict=True))
        assert min(wide[name] for name in NUMBERS) >= 15
        assert wide["note"] >= 30


@each_kind
def test_grey_cells_may_stay_empty(made, paper, system, tmp_path):
    """A record typed in from the page, grey cells left empty, is read: nine strips and blocks."""
    heads, rows = the_csv(system)
    names = [h.partition(" [")[0] for h in heads]
    inch = 25.4 if system == "in" else 1.0
    filled = {}
    for page in made[paper, system][1:]:
        edges, _, _ = edges_of(page)
        _, cells, at = table_of(page)
        grey = [(p.get_x() + p.get_width() / 2, p.get_y() + p.get_height() / 2)
                for p in patches(page, "stays empty")]  # fmt: skip
        for number, level in at.items():
            closed = {int(np.searchsorted(edges, x)) - 1 for x, y in grey if abs(y - level) < 2}
            row = dict(zip(names, cells[number], strict=True))
            wide = {"E": 60, "F": 60}.get(row["strip"], 25)
            squeeze = row["test"] == "squeeze"
            values = {
                "width": (40 if squeeze else wide) / inch,
                "thickness": (40 if squeeze else 5) / inch,
                "gauge": (40 if squeeze else 150) / inch,
                "clamp": 0.1,
                "strip weight": 0.005,
                "load": 11 if squeeze else wide / 15,
                "length": (38 if squeeze else 151 if row["load"] else 164) / inch,
            }
            for i, name in enumerate(names):
                if name in values and i not in closed and not row[name]:
                    row[name] = f"{values[name]:.6g}"
            filled[number] = [row[name] for name in names]
    text = io.StringIO()
    writer = csv.writer(text)
    writer.writerow(heads)
    writer.writerows(filled[n] for n in range(2, 2 + len(rows)))
    file = tmp_path / "swatch.csv"
    file.write_text(text.getvalue(), encoding="utf-8")
    strips = {s.name: s for s in read_swatch(file)}
    assert "".join(strips) == "ABCDEFGHJ"
    # exact by hand: one reading under load and three after, one and two more hanging, one
    assert [len(strips[n].readings) for n in "AEFG"] == [4, 1, 3, 1]
    # exact by hand: what was typed with six digits, 5 g of 9.80665 N for each kg
    assert strips["F"].width == pytest.approx(60, rel=1e-5)
    assert strips["A"].own == pytest.approx(0.005 * 9.80665, rel=1e-12)


@each_kind
def test_only_cells_of_strips_that_were_measured_are_grey(made, paper, system):
    """Exact by hand: five cells of F twice, and of A to D three times each."""
    grey = [len(patches(page, "stays empty")) for page in made[paper, system]]
    assert grey == [0, 5 * 2, 5 * 3 * 4, 0]


@each_kind
def test_the_strip_is_drawn_to_one_scale_with_its_marks(made, paper, system):
    """Exact by hand: width : gauge : length = 60 : 150 : 270 in mm, 19 : 48 : 86 eighths."""
    wide, gauge, long = (60, 150, 270) if system == "mm" else (19, 48, 86)
    page = made[paper, system][0]
    (strip,) = patches(page, "strip")
    scale = strip.get_height() / long
    assert strip.get_width() == pytest.approx(wide * scale)
    left, right = strip.get_x(), strip.get_x() + strip.get_width()
    marks = [xy[0, 1] for xy in (line.get_xydata() for line in page.axes[0].lines)
             if np.allclose(xy[:, 0], (left, right)) and xy[0, 1] == xy[1, 1]]  # fmt: skip
    low, high = sorted(marks)
    assert high - low == pytest.approx(gauge * scale)
    assert low - strip.get_y() == pytest.approx(wide * scale)  # one width from the clamp
    upper, lower = sorted(patches(page, "clamp"), key=lambda p: -p.get_y())
    assert upper.get_y() == pytest.approx(strip.get_y() + strip.get_height())
    assert lower.get_y() + lower.get_height() == pytest.approx(strip.get_y())
    (ruler,) = patches(page, "ruler")
    assert ruler.get_y() < low and ruler.get_y() + ruler.get_height() > high
    (mat,), (bag,) = patches(page, "mat"), patches(page, "bag")
    foot = bag.get_xy()[:, 1].min()
    assert 3 < foot - (mat.get_y() + mat.get_height()) < 10  # close over what it may drop on


@each_kind
def test_no_words_run_over_the_edge_or_over_other_words(made, paper, system):
    wide, tall = SIZES[paper]
    for page in made[paper, system]:
        for text, (x0, y0, x1, y1) in shown(page):
            assert x0 >= EDGE and x1 <= wide - EDGE, text.get_text()
            assert y0 >= 7 and y1 <= tall - EDGE, text.get_text()
        for (one, a), (other, b) in itertools.combinations(shown(page), 2):
            across, up = min(a[2], b[2]) - max(a[0], b[0]), min(a[3], b[3]) - max(a[1], b[1])
            # boxes leave room for letters that hang down; half a millimetre of it may be shared
            assert across <= 0 or up <= 0.5, f"{one.get_text()!r} over {other.get_text()!r}"


@pytest.mark.parametrize("grade", subjects("foams"))
def test_every_grade_fits_on_the_first_page(grade):
    """The narrower paper, and the longer words."""
    page = swatch_pages(paper="Letter", system="in", grade=grade)[0]
    lowest = min(frame.get_y() for frame in patches(page, "frame"))
    assert lowest >= FOOT


@each_kind
def test_pages_and_bars_have_their_true_size(made, paper, system):
    """Exact by definition: 100 mm, and 4 in of 25.4 mm, on the page and in its data."""
    for page in made[paper, system]:
        np.testing.assert_allclose(page.get_size_inches() * 25.4, SIZES[paper], rtol=1e-12)
    page = made[paper, system][0]
    (ax,) = page.axes
    for name, length in (("100 mm", 100.0), ("4 in", 101.6)):
        (bar,) = patches(page, f"bar {name}")
        assert bar.get_width() == pytest.approx(length, rel=1e-12) and bar.get_linewidth() == 0
        ends = ax.transData.transform([(bar.get_x(), 0), (bar.get_x() + bar.get_width(), 0)])
        assert (ends[1, 0] - ends[0, 0]) / page.dpi * 25.4 == pytest.approx(length, rel=1e-12)
        assert any(t.get_text() == f"{name} – measure me" for t in texts(page))


@pytest.mark.parametrize(
    ("wrong", "message"),
    [
        ({"paper": "A3"}, "paper must be one of 'A4', 'Letter', got 'A3'"),
        ({"system": "cm"}, "system must be one of 'mm', 'in', got 'cm'"),
        ({"grade": "EVA medum"}, "EVA medum"),
    ],
)
def test_what_cannot_be_printed_is_refused(wrong, message):
    with pytest.raises(ValueError, match=message):
        swatch_pages(**wrong)
