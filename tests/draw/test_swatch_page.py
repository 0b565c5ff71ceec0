"""The swatch record on paper: the same columns and rows as its CSV, room to write, true size."""

from __future__ import annotations

import csv
import io
import itertools
import re
import shutil
import subprocess
from functools import cache

import matplotlib
import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.image import imread
from matplotlib.text import Text

from foamcalc.ask.swatch.guide import ASKED, blank_swatch, swatch_instructions
from foamcalc.ask.swatch.record import read_swatch
from foamcalc.draw.paper import pdf_bytes
from foamcalc.draw.swatch_page import swatch_pages
from foamcalc.draw.swatch_table import blank_record
from foamcalc.draw.swatch_words import TYPING, filling_notes, swatch_steps
from foamcalc.foam.grades import foam
from foamcalc.tables import folder

#: Exact by definition: ISO 216 and 8 1/2 by 11 inches of 25.4 mm, lying on their long side.
SIZES = {"A4": (297.0, 210.0), "Letter": (279.4, 215.9)}
KINDS = list(itertools.product(SIZES, ("mm", "in")))
each_kind = pytest.mark.parametrize(("paper", "system"), KINDS)
with (folder() / "foams.csv").open(encoding="utf-8") as table:
    GRADES = sorted({row["subject"] for row in csv.DictReader(table)})
EDGE = 8.0
FOOT = 20.0
NUMBERS = ("width", "thickness", "gauge", "clamp", "strip weight", "load", "length", "width now")


@pytest.fixture(scope="module")
def made():
    return {(p, s): swatch_pages(paper=p, system=s) for p, s in KINDS}


@pytest.fixture(scope="module")
def pdfs(made):
    return {kind: pdf_bytes(pages) for kind, pages in made.items()}


def the_csv(system):
    """Independent: heads and rows of the blank CSV, read by the standard library."""
    text = blank_swatch(length_unit=system).decode("utf-8-sig")
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


def squeezed(text):
    return re.sub(r"\W+", "", text)


# The table ---------------------------------------------------------------------------------------


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
def test_the_words_of_a_row_keep_inside_its_cells(made, paper, system):
    for page in made[paper, system][1:]:
        edges, _, top = edges_of(page)
        _, _, at = table_of(page)
        ends = (edges[0], edges[-1])
        level = {float(xy[0, 1]) for xy in (line.get_xydata() for line in page.axes[0].lines)
                 if xy[0, 1] == xy[1, 1] and tuple(xy[:, 0]) == ends}  # fmt: skip
        floor = min(level)
        assert len(level) == len(at) + 2
        for text, (x0, y0, x1, y1) in shown(page):
            if x0 < edges[0] or (y0 + y1) / 2 > top or (y0 + y1) / 2 < floor:
                continue
            column = int(np.searchsorted(edges, (x0 + x1) / 2)) - 1
            assert edges[column] <= x0 and x1 <= edges[column + 1], text.get_text()
            row = int(np.searchsorted(sorted(level), (y0 + y1) / 2)) - 1
            lines = sorted(level)
            assert lines[row] <= y0 and y1 <= lines[row + 1], text.get_text()


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


def test_the_columns_of_a_record_are_found_by_name():
    record = blank_record("mm")
    assert record.heads[record.column("strip weight")] == "strip weight [kg]"
    # exact: the block looks of the blank record
    assert [line.cells[0] for line in record.where(test="squeeze")] == ["G", "H", "J"]
    # exact by hand: 23 rows from line 2 on
    assert [line.number for line in record.spare(2)] == [25, 26]


# What is said ------------------------------------------------------------------------------------


@each_kind
def test_every_step_and_caution_is_on_the_pages_in_order(made, paper, system):
    found = squeezed(" ".join(t.get_text() for page in made[paper, system] for t in texts(page)))
    steps = [s for part in swatch_steps(system, grade="EVA medium") for s in part]
    places = [found.index(squeezed(step.what)) for step in steps]
    assert places == sorted(places)
    for step, place in zip(steps, places, strict=True):
        caution = squeezed(f"Take care: {step.caution}") if step.caution else ""
        assert found.startswith(caution, place + len(squeezed(step.what)))
    boxes = [len(patches(page, "tick box")) for page in made[paper, system]]
    assert sum(boxes) == len(steps) and boxes[0] >= 5
    for note in (*filling_notes(system), *TYPING):
        assert squeezed(note) in found


@pytest.mark.parametrize(
    ("part", "words"),
    [
        ("prepare", "cut away from the hand"),
        ("hang", "feet and fingers from under the bag"),
        ("hang", "over a head"),
        ("read", "glasses on"),
        ("squeeze", "fingers and feet clear"),
        ("warm", "solvent glue"),
        ("warm", "well aired room"),
    ],
)
def test_cautions_stand_where_they_belong(part, words):
    steps = getattr(swatch_steps("mm", grade="EVA medium"), part)
    assert any(words in step.caution.lower() for step in steps)


def test_sizes_and_loads_are_those_of_the_instructions_on_the_screen():
    """Exact: two tellings of one test say the same numbers."""
    screen = " ".join(swatch_instructions())
    asked = ASKED["mm"]
    assert f"four fresh strips {asked.narrow:g} mm wide" in screen
    assert f"two strips {asked.wide:g} mm wide" in screen
    assert f"Mark {asked.gauge:g} mm" in screen and f"{asked.shortest:g} mm long" in screen
    assert f"a block about {asked.block:g} mm wide" in screen
    paper = " ".join(s.what for part in swatch_steps("mm", grade="EVA medium") for s in part)
    narrow = re.search(r"wants about ([\d., ]+) kg", screen)[1].split(", ")
    assert f"about {', '.join(narrow[:-1])} and {narrow[-1]} kg for 5, 10, 15 and 20 %" in paper
    wide = re.search(r"about (\d+ and \d+) kg", screen)[1]
    assert f"E and F about {wide} kg for 10 and 15 %" in paper
    # exact by hand: stress times 40 x 40 mm over 9.80665 N for each kg
    law = foam("EVA medium")
    kilos = [f"{abs(float(law.stress(s))) * 1600 / 9.80665:.0f}" for s in (0.95, 0.9, 0.85)]
    assert "about {}, {} and {} kg squeeze it by 5, 10 and 15 %".format(*kilos) in paper


def test_inches_are_nearly_the_same_sizes_and_a_wide_strip_is_wide_enough():
    """Exact by definition: 1 in is 25.4 mm; 60 mm is the least that tells the side stretch."""
    for inch, mm in zip(ASKED["in"], ASKED["mm"], strict=True):
        assert inch == pytest.approx(mm, rel=0.06)
        assert inch / 25.4 * 8 == pytest.approx(round(inch / 25.4 * 8), abs=1e-9)
    assert ASKED["in"].wide >= ASKED["mm"].wide == 60
    said = " ".join(s.what for part in swatch_steps("in", grade="EVA medium") for s in part)
    assert "two 2 3/8 in wide" in said and "two marks 6 in apart" in said
    assert "10 3/4 in long" in said and "3/16 in thick" in said  # 6 + 2 x 2 3/8; 5 mm
    assert not re.search(r"\bmm\b", said)


@pytest.mark.parametrize("grade", ["EVA soft", "EVA firm"])
def test_loads_follow_the_grade(grade):
    said = [s.what for part in swatch_steps("mm", grade=grade) for s in part]
    usual = [s.what for part in swatch_steps("mm", grade="EVA medium") for s in part]
    changed = [a for a, b in zip(said, usual, strict=True) if a != b]
    assert len(changed) == 2 and all(grade in text for text in changed)


@each_kind
def test_there_are_places_for_foam_sheet_date_and_thickness(made, paper, system):
    for number, page in enumerate(made[paper, system]):
        lines = [line.get_xydata() for line in page.axes[0].lines if line.get_gid() == "write here"]
        labels = {}
        for (x0, y), (x1, _) in lines:
            (name,) = [t.get_text() for t, (a, b, right, _) in shown(page)
                       if x0 - 4 < right <= x0 and abs(b - y) < 2]  # fmt: skip
            labels[name] = x1 - x0
        wanted = {"Foam", "Sheet", "Date", *"12345"} if number == 0 else {"Foam", "Date"}
        assert set(labels) == wanted
        assert all(long >= (20 if name.isdigit() else 40) for name, long in labels.items())
    front = [t.get_text() for t in texts(made[paper, system][0])]
    assert f"Thickness in five places [{system}]" in front


# The drawings ------------------------------------------------------------------------------------


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
@pytest.mark.parametrize(
    ("number", "words"),
    [
        (0, ("gauge:", "width", "load", "ruler: read the", "clamp, weighed", "may drop")),
        (3, ("gauge", "clamp: the", "load", "block of offcuts:")),
    ],
)
def test_the_drawings_name_the_columns(made, paper, system, number, words):
    said = [t.get_text() for t in texts(made[paper, system][number])]
    assert set(words) <= set(said)


# It can be read ----------------------------------------------------------------------------------


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


@each_kind
def test_words_keep_clear_of_lines_boxes_and_bars(made, paper, system):
    """Words may stand inside a frame, a cell, the strip, the bag or the load, never on an edge."""
    for page in made[paper, system]:
        (ax,) = page.axes
        per_mm = page.dpi / 25.4
        strokes = [np.concatenate([xy.min(0), xy.max(0)])
                   for xy in (np.array(line.get_xydata()) for line in ax.lines)]  # fmt: skip
        shapes = [(p, np.array(p.get_window_extent().extents) / per_mm) for p in ax.patches
                  if p.get_gid() not in (None, "heads", "stays empty")]  # fmt: skip
        assert len(strokes) > 5 and len(shapes) >= 2
        for text, box in shown(page):
            ink = np.add(box, (0.2, 0.4, -0.2, -0.2))
            for line in strokes:
                across = min(ink[2], line[2]) - max(ink[0], line[0])
                up = min(ink[3], line[3]) - max(ink[1], line[1])
                assert across < 0 or up < 0, (text.get_text(), line)
            for shape, b in shapes:
                across, up = (
                    min(ink[2], b[2]) - max(ink[0], b[0]),
                    min(ink[3], b[3]) - max(ink[1], b[1]),
                )
                inside = (ink[:2] >= b[:2]).all() and (ink[2:] <= b[2:]).all()
                hollow = shape.get_gid() in ("frame", "strip", "bag", "load")
                assert across < 0 or up < 0 or (hollow and inside), (
                    text.get_text(),
                    shape.get_gid(),
                )


@each_kind
def test_all_that_is_drawn_lies_on_the_page_and_drawings_keep_off_the_table(made, paper, system):
    wide, tall = SIZES[paper]
    for page in made[paper, system]:
        (ax,) = page.axes
        per_mm = page.dpi / 25.4
        boxes = [np.array(p.get_window_extent().extents) / per_mm for p in ax.patches]
        boxes += [np.concatenate([xy.min(0), xy.max(0)])
                  for xy in (np.array(line.get_xydata()) for line in ax.lines)]  # fmt: skip
        low, high = np.min(boxes, axis=0)[:2], np.max(boxes, axis=0)[2:]
        assert (low >= 7).all() and (high <= (wide - EDGE, tall - EDGE)).all()
        if patches(page, "heads"):
            _, _, top = edges_of(page)
            for name in ("frame", "board", "tick box"):
                for box in patches(page, name):
                    bottom = box.get_y()
                    assert bottom > top + 1 or bottom + box.get_height() < top - 60
        bars = [*patches(page, "bar 100 mm"), *patches(page, "bar 4 in")]
        for frame, bar in itertools.product(patches(page, "frame"), bars):
            assert frame.get_y() > bar.get_y() + bar.get_height() + 1


@each_kind
def test_type_is_large_enough_to_read_at_the_bench(made, paper, system):
    """11 pt at the bench; line numbers, foot and check bars are read at the desk, 9 pt at least."""
    for page in made[paper, system]:
        edge = edges_of(page)[0][0] if patches(page, "heads") else 0.0
        for text, (_, _, right, high) in shown(page):
            assert text.get_fontsize() >= 9
            if text.get_fontsize() < 11:
                assert right < edge or high < FOOT, text.get_text()


@each_kind
def test_all_words_are_dark_on_light(made, paper, system):
    """Exact by hand: luminance by the usual weights, under a quarter of white."""
    for page in made[paper, system]:
        assert page.get_facecolor() == (1, 1, 1, 1)
        for text in texts(page):
            rgb = matplotlib.colors.to_rgb(text.get_color())
            assert np.dot(rgb, [0.299, 0.587, 0.114]) < 0.25


@pytest.mark.parametrize("grade", GRADES)
def test_every_grade_fits_on_the_first_page(grade):
    """The narrower paper, and the longer words."""
    page = swatch_pages(paper="Letter", system="in", grade=grade)[0]
    lowest = min(frame.get_y() for frame in patches(page, "frame"))
    assert lowest >= FOOT


# Size on paper -----------------------------------------------------------------------------------


@each_kind
def test_the_pages_have_their_true_size(made, pdfs, paper, system):
    """Exact by definition of the paper; 72 points to the inch."""
    for page in made[paper, system]:
        np.testing.assert_allclose(page.get_size_inches() * 25.4, SIZES[paper], rtol=1e-12)
    boxes = re.findall(rb"/MediaBox \[ *([0-9. ]+)\]", pdfs[paper, system])
    assert len(boxes) == len(made[paper, system]) == 4
    for box in boxes:
        points = [float(x) for x in box.split()]
        np.testing.assert_allclose(points, [0, 0, *np.array(SIZES[paper]) / 25.4 * 72], atol=0.01)


@each_kind
def test_the_check_bar_is_100_mm(made, paper, system):
    """Exact by definition: 100 mm, and 4 in of 25.4 mm, on the page and in its data."""
    page = made[paper, system][0]
    (ax,) = page.axes
    for name, length in (("100 mm", 100.0), ("4 in", 101.6)):
        (bar,) = patches(page, f"bar {name}")
        assert bar.get_width() == pytest.approx(length, rel=1e-12) and bar.get_linewidth() == 0
        ends = ax.transData.transform([(bar.get_x(), 0), (bar.get_x() + bar.get_width(), 0)])
        assert (ends[1, 0] - ends[0, 0]) / page.dpi * 25.4 == pytest.approx(length, rel=1e-12)
        assert any(t.get_text() == f"{name} – measure me" for t in texts(page))


@pytest.mark.parametrize("paper", SIZES)
def test_the_bars_measured_on_the_printed_page(made, pdfs, paper, tmp_path):
    """Independent: pdftoppm draws the PDF at 300 dots to the inch; read to two pixels."""
    if shutil.which("pdftoppm") is None:
        pytest.skip("pdftoppm is not installed; the bars are checked by geometry only")
    (tmp_path / "page.pdf").write_bytes(pdfs[paper, "mm"])
    across, up = (round(mm / 25.4 * 300) for mm in SIZES[paper])
    foot = ["-x", "0", "-y", f"{up - 300}", "-W", f"{across}", "-H", "300"]
    command = ["pdftoppm", "-r", "300", *foot, "-png", "-singlefile", "page.pdf", "page"]
    subprocess.run(command, cwd=tmp_path, check=True)
    picture, per_mm = imread(tmp_path / "page.png")[..., 0], 300 / 25.4
    for name, length in (("100 mm", 100.0), ("4 in", 101.6)):
        (bar,) = patches(made[paper, "mm"][0], f"bar {name}")
        level = bar.get_y() + bar.get_height() / 2
        row = picture[round(len(picture) - level * per_mm)] < 0.5
        longest = max(len(list(run)) for dark, run in itertools.groupby(row.tolist()) if dark)
        assert longest / per_mm == pytest.approx(length, abs=0.2)


# Files -------------------------------------------------------------------------------------------


def test_the_same_bytes_every_time(pdfs):
    again = pdf_bytes(swatch_pages(paper="Letter", system="in"))
    assert again == pdfs["Letter", "in"] and again.startswith(b"%PDF")
    assert b"CreationDate" not in again and b"/Title (Swatch test)" in again
    assert len(set(pdfs.values())) == len(KINDS)


def test_a_users_own_settings_do_not_change_the_pages(pdfs):
    settings = {"savefig.bbox": "tight", "savefig.pad_inches": 0.5, "savefig.facecolor": "red"}
    settings |= {"font.family": "serif", "font.size": 20, "text.color": "blue"}
    settings |= {"lines.linewidth": 5, "pdf.fonttype": 42, "axes.facecolor": "yellow"}
    settings |= {"figure.dpi": 30, "lines.solid_capstyle": "round", "patch.edgecolor": "red"}
    with matplotlib.rc_context(settings):
        assert pdf_bytes(swatch_pages()) == pdfs["A4", "mm"]


def test_no_picture_is_left_open_and_no_style_changed():
    import matplotlib.pyplot as plt

    matplotlib.get_backend()  # chosen when first asked for, by whoever asks
    style, before = matplotlib.rcParams.copy(), plt.get_fignums()
    pdf_bytes(swatch_pages())
    assert plt.get_fignums() == before and matplotlib.rcParams == style


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
