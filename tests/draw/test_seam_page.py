"""A seam on paper: what stands on the pages, and that the same seam gives the same bytes."""

from __future__ import annotations

import pytest

from foamcalc.ask.seam import SeamQuestion, answer_seam
from foamcalc.ask.sheet import demo_sheet_path
from foamcalc.draw.paper import pdf_bytes
from foamcalc.draw.seam_page import seam_pages
from foamcalc.shape.pattern import read_pattern

SEAM = "knee cup"


@pytest.fixture(scope="module")
def taped():
    return answer_seam(SeamQuestion(first="0 48 100 160", second="0 50 98 166", names="waist hip"))


@pytest.fixture(scope="module")
def knee():
    question = SeamQuestion(
        edge="inner half", start="top", end="bottom", other_edge="outer half", already_cut=False
    )
    return answer_seam(question, read_pattern(demo_sheet_path().with_name("knee_cup.svg")))


@pytest.fixture(scope="module")
def pages(taped):
    return seam_pages({SEAM: taped})


@pytest.fixture(scope="module")
def knee_pages(knee):
    return seam_pages({SEAM: knee})


def words(figures) -> str:
    found = [t.get_text() for f in figures for ax in f.axes for t in ax.texts]
    return " ".join(" ".join(found).split())


@pytest.mark.parametrize(("paper", "size"), [("A4", (210, 297)), ("Letter", (215.9, 279.4))])
def test_the_pages_have_the_size_of_the_paper(taped, paper, size):
    for page in seam_pages({SEAM: taped}, paper=paper):
        assert (page.get_size_inches() * 25.4).tolist() == pytest.approx(size)  # exact


def test_all_of_the_answer_stands_on_the_pages(taped, pages):
    said = words(pages)
    for step in taped.steps:
        assert step.what in said and step.caution in said
    for line in taped.rests_on:
        assert line in said
    assert SEAM in said and "10 mm foam" in said
    assert "Nothing here says that a thing is safe to wear." in said
    assert "Between the marks as they are then, the largest difference first" in said


def test_words_stay_on_the_page_and_apart_from_each_other(knee_pages):
    for page in knee_pages:
        page.draw_without_rendering()
        box = page.bbox
        whole = page.axes[0]
        boxes = [t.get_window_extent() for t in whole.texts]
        assert all(b.x0 >= box.x0 and b.x1 <= box.x1 and b.y0 >= box.y0 for b in boxes)
        lines = sorted(boxes, key=lambda b: -b.y1)
        for i, one in enumerate(lines):
            for other in lines[i + 1 :]:
                over = min(one.x1, other.x1) - max(one.x0, other.x0)
                high = min(one.y1, other.y1) - max(one.y0, other.y0)
                assert over <= 1 or high <= 0.4 * min(one.height, other.height)


def test_a_drawn_seam_is_shown_straight_and_as_it_is_drawn(knee_pages, pages):
    assert len(knee_pages[0].axes) == 3  # the page, the chart, the drawing
    assert len(pages[0].axes) == 2
    assert "dome the sheet by 168°" in words(knee_pages)


def test_it_may_have_a_name_of_its_own(taped):
    assert words(seam_pages({"shoulder seam": taped})).startswith("shoulder seam")
    with pytest.raises(ValueError, match="paper must be one of 'A4', 'Letter', got 'A3'"):
        seam_pages({SEAM: taped}, paper="A3")
    with pytest.raises(ValueError, match="seams must hold at least one seam, got none"):
        seam_pages({})


def test_each_seam_begins_on_a_new_page(taped, pages):
    two = seam_pages({"a": taped, "b": taped}, title="Turtle")
    assert len(two) == 2 * len(pages)
    assert words(two[len(pages) :]).startswith("b ")
    assert f"Turtle · Nothing here is drawn to true size. page 2 of {len(two)}" in words(two)


def test_the_same_seam_gives_the_same_bytes_whatever_the_style(taped, pages):
    import matplotlib as mpl

    first = pdf_bytes(pages)
    with mpl.rc_context({"font.size": 30, "lines.linewidth": 9}):
        again = pdf_bytes(seam_pages({SEAM: taped}))
    assert first == again and b"/Title (Seam)" in first
