"""The chart for the wall: its numbers, its words, and its size on paper."""

from __future__ import annotations

import codecs
import itertools
import math
import re
import shutil
import subprocess
from fractions import Fraction
from io import BytesIO

import matplotlib
import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.image import imread
from matplotlib.text import Text

from foamcalc.draw.gapchart import gap_chart, gaps
from foamcalc.draw.paper import pdf_bytes

#: Exact by definition: ISO 216 and 8 1/2 by 11 inches of 25.4 mm.
SIZES = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
each_paper = pytest.mark.parametrize("paper", SIZES)


@pytest.fixture(scope="module")
def pages():
    return {paper: gap_chart(paper=paper) for paper in SIZES}


@pytest.fixture(scope="module")
def pdfs(pages):
    return {paper: pdf_bytes([page]) for paper, page in pages.items()}


def number(text):
    """A cell or a head as a number, if it is one: "3.5", "12", "1 5/16"."""
    if not re.fullmatch(r"\d+(\.\d+)?|(\d+ )?\d+/\d+", text):
        return None
    return float(sum(Fraction(part) for part in text.split()))


def tables(page):
    """Read both tables off the page by where the words stand: {unit: {(turn, offset): cell}}."""
    (ax,) = page.axes
    written = [(t.get_text(), *t.get_position()) for t in ax.texts]
    titles = {"mm": "GAP in mm", "in": "GAP in inches"}
    top = {unit: next(y for w, _, y in written if w == title) for unit, title in titles.items()}
    assert top["mm"] > top["in"]
    floors = {"mm": top["in"], "in": 0.0}
    found = {}
    for unit in titles:
        inside = [t for t in written if floors[unit] + 1 < t[2] < top[unit] - 1]
        turns = {y: int(w[:-1]) for w, _, y in inside if re.fullmatch(r"\d+°", w)}
        head_height = next(y for w, _, y in inside if w == "turn")
        numbers = [(w, x, y) for w, x, y in inside if number(w) is not None]
        heads = {x: number(w) for w, x, y in numbers if abs(y - head_height) < 0.01}
        found[unit] = {
            (next(t for at, t in turns.items() if abs(at - y) < 0.01), heads[x]): w
            for w, x, y in numbers
            if abs(y - head_height) >= 0.01
        }
        assert len(found[unit]) == len(turns) * len(heads)
    return found


# The numbers -------------------------------------------------------------------------------------


@each_paper
def test_every_cell_in_mm(pages, paper):
    """Exact by hand: turn in radians times offset, to 0.5 mm below 10 mm, else to 1 mm."""
    cells = tables(pages[paper])["mm"]
    assert {t for t, _ in cells} >= {15, 30, 45, 60, 75, 90, 120, 135, 150, 180, 225, 270, 300, 360}
    assert {d for _, d in cells} >= {1, 2, 3, 4, 5, 6, 7.5, 8, 10, 12.5, 15}
    for (turn, offset), cell in cells.items():
        gap = turn * math.pi / 180 * offset
        half_step = 0.25 if gap < 9.75 else 0.5
        assert abs(float(cell) - gap) <= half_step + 1e-9, (turn, offset)
        if gap >= 9.75:
            assert "." not in cell
    # exact by hand: pi 7.5 = 23.56, pi/2 5 = 7.85, 2 pi 15 = 94.25, pi/12 = 0.26
    assert (cells[180, 7.5], cells[90, 5], cells[360, 15], cells[15, 1]) == ("24", "8", "94", "0.5")


@each_paper
def test_every_cell_in_inches(pages, paper):
    """Exact by hand: turn in radians times offset, to 1/16 in, in lowest terms."""
    cells = tables(pages[paper])["in"]
    assert {d for _, d in cells} >= {k / 16 for k in (1, 2, 3, 4, 5, 6, 8, 10)}
    for (turn, offset), cell in cells.items():
        gap = turn * math.pi / 180 * offset
        assert abs(number(cell) - gap) <= 1 / 32 + 1e-9, (turn, offset)
        for top, bottom in re.findall(r"(\d+)/(\d+)", cell):
            assert math.gcd(int(top), int(bottom)) == 1 and int(top) < int(bottom)
    # exact by hand: pi/4 = 0.785 = 13/16 - 0.027; pi 5/8 = 1.963 = 1 15/16 + 0.026
    assert cells[180, 0.25] == "13/16" and cells[180, 0.625] == "1 15/16"


def test_gaps_broadcast():
    """Exact by hand: turn times offset, for every turn with every offset."""
    turn, offset = np.array([[0.5, 1.0], [2.0, 2 * math.pi]]), np.array([1.0, 7.5, 15.0])
    np.testing.assert_allclose(gaps(turn=turn, offset=offset), turn[..., None] * offset, rtol=1e-12)
    assert float(gaps(turn=math.pi, offset=1)) == pytest.approx(math.pi, rel=1e-13)


@pytest.mark.parametrize("turn", [7.0, 0.0, float("nan"), 90])
def test_a_turn_that_no_bend_has_is_refused(turn):
    with pytest.raises(ValueError, match="turn"):
        gaps(turn=turn, offset=1)


@each_paper
def test_the_example_is_the_ringed_cell(pages, paper):
    """Exact by hand: 10/2 + 5/2 = 7.5 mm, half a turn: 23.56 mm."""
    (ax,) = pages[paper].axes
    (ring,) = [p for p in ax.patches if p.get_gid() == "ring"]
    low, high = ring.get_xy(), np.add(ring.get_xy(), (ring.get_width(), ring.get_height()))
    inside = [
        t.get_text()
        for t in ax.texts
        if low[0] < t.get_position()[0] < high[0] and low[1] < t.get_position()[1] < high[1]
    ]
    assert inside == ["24"]
    (example,) = [t.get_text() for t in ax.texts if "invented" in t.get_text()]
    assert "5 + 2.5 = 7.5 mm" in example and "24 mm short" in example
    assert any("Half a turn costs 3.14 mm" in t.get_text() for t in ax.texts)


# Words -------------------------------------------------------------------------------------------


@each_paper
def test_the_words_can_be_read(pages, paper):
    """At arm's length: body 9 pt, numbers 10 pt; nothing over anything else or off the edge."""
    page = pages[paper]
    (ax,) = page.axes
    FigureCanvasAgg(page).draw()
    renderer = page.canvas.get_renderer()
    shown = [t for t in ax.texts if t.get_text()]
    assert min(t.get_fontsize() for t in shown) >= 9
    assert min(t.get_fontsize() for t in shown if number(t.get_text()) is not None) >= 10
    per_mm = page.dpi / 25.4
    found = [(t.get_text(), Text.get_window_extent(t, renderer)) for t in shown]
    wide, tall = SIZES[paper]
    for words, box in found:
        assert box.x0 >= 10 * per_mm and box.x1 <= (wide - 10) * per_mm, words
        assert box.y0 >= 8 * per_mm and box.y1 <= (tall - 5) * per_mm, words
    for (one, a), (other, b) in itertools.combinations(found, 2):
        across, up = min(a.x1, b.x1) - max(a.x0, b.x0), min(a.y1, b.y1) - max(a.y0, b.y0)
        # boxes leave room for letters that hang down; half a millimetre of it may be shared
        assert across <= 0 or up <= 0.5 * per_mm, f"{one!r} lies over {other!r}"
    for bar in (p for p in ax.patches if (p.get_gid() or "").startswith("bar")):
        block = bar.get_window_extent(renderer)
        assert not any(block.overlaps(box) for _, box in found)


# Size on paper -----------------------------------------------------------------------------------


@each_paper
def test_the_page_has_its_true_size(pages, pdfs, paper):
    """Exact by definition of the paper; 72 points to the inch."""
    np.testing.assert_allclose(pages[paper].get_size_inches() * 25.4, SIZES[paper], rtol=1e-12)
    boxes = re.findall(rb"/MediaBox \[ *([0-9. ]+)\]", pdfs[paper])
    assert len(boxes) == 1
    left, bottom, right, top = map(float, boxes[0].split())
    assert (left, bottom) == (0, 0)
    np.testing.assert_allclose([right, top], np.array(SIZES[paper]) / 25.4 * 72, atol=0.01)


@each_paper
def test_a_millimetre_of_data_is_a_millimetre_of_paper(pages, paper):
    page = pages[paper]
    (ax,) = page.axes
    step = ax.transData.transform((101, 201)) - ax.transData.transform((1, 1))
    np.testing.assert_allclose(step / page.dpi * 25.4, (100, 200), rtol=1e-12)
    np.testing.assert_allclose(ax.transData.transform((0, 0)), 0, atol=1e-9)


def black_run(picture, height_mm, per_mm):
    """Length of the longest run of black across the page at a height over its foot [mm]."""
    grey = picture if picture.ndim == 2 else picture[..., :3].mean(-1)
    grey = grey / grey.max()
    row = grey[round(len(grey) - height_mm * per_mm)] < 0.5
    runs = [len(list(group)) for dark, group in itertools.groupby(row) if dark]
    return max(runs) / per_mm


def rendered(page, pdf, renderer, folder):
    """The page as pixels, 300 to the inch."""
    if renderer == "agg":
        file = BytesIO()
        page.savefig(file, format="png", dpi=300)
        file.seek(0)
        return imread(file)
    if shutil.which("pdftoppm") is None:
        pytest.skip("pdftoppm is not installed; the page is measured as drawn by Agg only")
    (folder / "page.pdf").write_bytes(pdf)
    command = ["pdftoppm", "-r", "300", "-png", "-singlefile", "page.pdf", "page"]
    subprocess.run(command, cwd=folder, check=True)
    return imread(folder / "page.png")


@each_paper
@pytest.mark.parametrize("renderer", ["agg", "pdftoppm"])
def test_the_bars_measured_on_the_page(pages, pdfs, paper, renderer, tmp_path):
    """Exact by definition: 100 mm, and 4 in of 25.4 mm; read to 0.2 mm, over two pixels."""
    picture = rendered(pages[paper], pdfs[paper], renderer, tmp_path)
    per_mm = 300 / 25.4
    (ax,) = pages[paper].axes
    for name, length in (("100 mm", 100.0), ("4 in", 101.6)):
        (bar,) = [p for p in ax.patches if p.get_gid() == f"bar {name}"]
        middle = bar.get_y() + bar.get_height() / 2
        assert black_run(picture, middle, per_mm) == pytest.approx(length, abs=0.2)
        assert any(t.get_text() == f"{name} – measure me" for t in ax.texts)


# Files -------------------------------------------------------------------------------------------


@each_paper
def test_the_same_bytes_every_time(pdfs, paper):
    again = pdf_bytes([gap_chart(paper=paper)])
    assert again == pdfs[paper] and again.startswith(b"%PDF")
    assert b"CreationDate" not in again
    title = codecs.BOM_UTF16_BE + "Gap = turn × offset".encode("utf-16-be")
    assert b"/Title (" + title in again


def test_a_users_own_settings_do_not_change_the_page(pdfs):
    """A tight box would trim the page, and the bar would still be 100 mm on a wrong sheet."""
    settings = {"savefig.bbox": "tight", "savefig.pad_inches": 0.5, "savefig.facecolor": "red"}
    settings |= {"font.family": "serif", "font.size": 20, "text.color": "blue"}
    settings |= {"font.style": "italic", "pdf.fonttype": 42, "lines.solid_capstyle": "butt"}
    with matplotlib.rc_context(settings):
        assert pdf_bytes([gap_chart(paper="A4")]) == pdfs["A4"]


def test_no_picture_is_left_open_and_no_style_changed():
    import matplotlib.pyplot as plt

    matplotlib.get_backend()  # chosen when first asked for, by whoever asks
    style, before = matplotlib.rcParams.copy(), plt.get_fignums()
    pdf_bytes([gap_chart()])
    assert plt.get_fignums() == before and matplotlib.rcParams == style


def test_other_papers_are_refused():
    with pytest.raises(ValueError, match="paper must be one of 'A4', 'Letter', got 'A3'"):
        gap_chart(paper="A3")
