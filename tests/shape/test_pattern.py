"""Flat patterns in SVG: size, check bars, edges by name, marks, and what a maker is told.

The pieces are invented: parts of a sea-turtle costume. Expected values are exact by hand unless
said otherwise.
"""

from __future__ import annotations

import math
import socket

import numpy as np
import pytest

from foamcalc.shape.curve import Curve
from foamcalc.shape.pattern import CheckBar, Edge, Mark, Pattern, read_pattern
from foamcalc.shape.segments import EllipseArc

SPACE = 'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'
IN_MM = f'<svg {SPACE} width="400mm" height="300mm" viewBox="0 0 400 300">\n'
IN_PX = f'<svg {SPACE} width="400" height="300">\n'
BAR = '<line id="b" x1="10" y1="290" x2="{}" y2="290"><title>check bar 100 mm</title></line>'

CUP = '<path id="cup" d="M50 50h100v60a50 20 0 0 1-100 0z"/>\n'
"""A knee cup: a level top, two sides of 60 and half an ellipse of 50 by 20."""
ARCH = 115.06556297832422
"""Half the perimeter of that ellipse; independent: scipy.special.ellipe, see below."""


@pytest.fixture
def read(tmp_path):
    def pattern(body, head=IN_MM, **options):
        file = tmp_path / "shell.svg"
        file.write_text(f"{head}{body}</svg>", encoding="utf-8")
        return read_pattern(file, **options)

    return pattern


def refused(call, *args, **options):
    with pytest.raises(ValueError) as caught:
        call(*args, **options)
    return str(caught.value)


# Size --------------------------------------------------------------------------------------------


def test_a_size_in_mm_is_said_and_nothing_is_asked(read):
    pattern = read(CUP)
    assert (pattern.width, pattern.height) == (400, 300)
    assert pattern.size_said() == ("the drawing is 400.0 × 300.0 mm",)
    assert pattern.question == ""
    assert pattern.check_bars == ()
    assert pattern.source == f"{IN_MM}{CUP}</svg>".encode()
    assert isinstance(pattern, Pattern) and "shell.svg" in repr(pattern)


def test_a_size_in_px_is_shown_at_all_three_counts_and_asked_for(read):
    """Exact: 400 px are 400/96, 400/90 and 400/72 of 25.4 mm."""
    head = f'<svg {SPACE} viewBox="0 0 400 300">'
    pattern = read(CUP, head)
    first, second, third = pattern.size_said()
    assert first == (
        "the drawing says its size in px only: it is 105.8 × 79.4 mm at 96, 112.9 × 84.7 mm at "
        "90, 141.1 × 105.8 mm at 72 px to the inch"
    )
    assert second == "96 px to the inch were taken, as today's programs do;"
    assert third == pattern.question
    assert "measure a length you know" in third and "per_inch=72, 90 or 96" in third
    assert pattern.outline("cup").length == pytest.approx((220 + ARCH) * 25.4 / 96, rel=1e-9)
    for per_inch in (72, 90, 96):
        told = read(CUP, head, per_inch=per_inch)
        assert told.size_said()[1:] == (f"{per_inch} px to the inch were taken, as asked",)
        assert told.question == ""
        assert told.outline("cup").length == pytest.approx((220 + ARCH) * 25.4 / per_inch, rel=1e-9)


def test_a_page_in_mm_with_shapes_in_px_is_asked_for_too(read):
    head = f'<svg {SPACE} width="400mm" height="300mm">'
    assert read(CUP, head).size_said()[0] == (
        "the page is 400.0 × 300.0 mm, but its shapes are drawn in px: a line of 100 px is 26.46 "
        "mm at 96, 28.22 mm at 90, 35.28 mm at 72 px to the inch"
    )
    assert read(CUP, head, per_inch=90).outline("cup").length == pytest.approx(
        (220 + ARCH) * 25.4 / 90, rel=1e-9
    )


def test_a_check_bar_that_fits_settles_the_px(read):
    bar = BAR.format(10 + 100 * 96 / 25.4)
    pattern = read(bar, f'<svg {SPACE} width="800" height="600">')
    assert pattern.question == ""
    assert pattern.size_said()[1:] == (
        "96 px to the inch were taken, and the check bar fits",
        "check bar 'check bar 100 mm' measures 100.00 mm of 100 declared",
    )


def test_a_length_in_mm_that_is_scaled_is_noted(read):
    pattern = read('<line id="long" x2="50mm"/>')
    assert pattern.edge("long").length == pytest.approx(50 * 96 / 25.4)
    assert pattern.notes == (
        "line 2, line 'long': its x2 of 50mm is 3.78 times as long on paper, for the drawing "
        "around it is scaled",
    )
    assert read('<line id="long" x2="50mm"/>', IN_PX).notes == ()


# Check bars --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("shape", "declared", "measured"),
    [
        ('<line id="check-bar-100-mm" x1="10" x2="110.02"/>', 100, 100.02),
        ('<line id="check_bar_100mm" x1="10" x2="109.6"/>', 100, 99.6),
        ('<line id="x"{}x2="101.6"><title>Check bar: 4 in</title></line>', 101.6, 101.6),
        ('<rect id="x" width="5" height="100"><title>test bar 10 cm</title></rect>', 100, 100),
        ('<path id="scale-bar-50-mm" d="M10 10h50v3h-50z"/>', 50, 50),
        ('<path id="check bar 2.5 inches" d="M0 0h63.5"/>', 63.5, 63.5),
        ('<rect id="x" width="50" height="50.1"><title>test square 50 mm</title></rect>', 50, 50.1),
        (
            '<g id="check bar 100 mm"><path d="M0 0h100"/><path d="M0-3v6"/><path d="M100-3v6"/>'
            "<path id='letter' d='M3 3h2v3'/></g>",
            100,
            100,
        ),
    ],
)
def test_check_bars_are_measured(read, shape, declared, measured):
    pattern = read(shape.replace("{}", " "))
    assert pattern.check_bars[0].declared == pytest.approx(declared)
    assert pattern.check_bars[0].measured == pytest.approx(measured)
    assert pattern.check_bars[0].ratio == pytest.approx(measured / declared)
    assert pattern.edges == () and pattern.marks == ()


@pytest.mark.parametrize(
    ("declared", "measured", "holds"),
    [(100, 100.5, True), (100, 100.51, False), (100, 99.5, True), (100, 99.49, False),
     (20, 20.2, True), (20, 20.21, False), (20, 19.79, False), (1000, 1005, True)],
)  # fmt: skip
def test_how_far_a_check_bar_may_be_off(declared, measured, holds):
    """Exact: 0.5 % or 0.2 mm, whichever is more."""
    assert CheckBar("b", 1, declared, measured).holds() == holds


@pytest.mark.parametrize(
    ("per_inch", "head", "remedy"),
    [
        (72, IN_PX, "It fits a drawing made at 72 px to the inch: read it with per_inch=72"),
        (90, IN_PX, "It fits a drawing made at 90 px to the inch: read it with per_inch=90"),
        (
            72,
            IN_MM.replace("0 0 400 300", f"0 0 {400 * 96 / 25.4} {300 * 96 / 25.4}"),
            "It fits a drawing made at 72 px to the inch: set the size of the page again and save "
            "it",
        ),
    ],
)
def test_a_check_bar_finds_out_another_count_of_px(read, per_inch, head, remedy):
    """Exact: 100 mm at 72 px to the inch are 283.46 px, which are 75 mm at 96."""
    body = BAR.format(10 + 100 * per_inch / 25.4)
    mm, ratio = f"{100 * per_inch / 96:.2f}", f"{per_inch / 96:.4f}"
    assert refused(read, body, head) == (
        "shell.svg: the drawing is not at true size. line 2: check bar 'check bar 100 mm' measures "
        f"{mm} mm of 100 declared, {ratio} times as long. {remedy}"
    )
    if head == IN_PX:
        assert read(body, head, per_inch=per_inch).check_bars[0].measured == pytest.approx(100)
        assert "read it with per_inch" in refused(read, body, head, per_inch=96)


def test_an_inch_pattern_read_as_mm_is_found_out(read):
    head = IN_MM.replace("400mm", "15.75mm").replace("300mm", "11.81mm")
    assert "It fits a drawing in inches that was read as mm" in refused(
        read, BAR.format(10 + 100 * 25.4 / 25.4), head
    )


def test_bars_each_way_find_a_drawing_stretched_one_way(read):
    down = '<line id="check-bar-80-mm" x1="5" y1="0" x2="5" y2="{}"/>'
    assert len(read(BAR.format(110) + down.format(80)).check_bars) == 2
    words = refused(read, BAR.format(110) + "\n" + down.format(84))
    assert "line 3: check bar 'check-bar-80-mm' measures 84.00 mm of 80 declared, 1.0500" in words
    assert "line 2:" not in words
    assert "Another bar is right" in words or "Other bars are right" in words
    square = '<rect id="test-square-50-mm" width="50" height="45"/>'
    assert "measures 45.00 mm of 50 declared" in refused(read, square)


def test_nothing_known_explains_a_bar(read):
    assert "Neither 72 nor 90 px to the inch explains it" in refused(read, BAR.format(97))


def test_a_bar_that_is_hidden_or_says_no_length_proves_nothing(read):
    assert read(f'<g display="none">{BAR.format(60)}</g>').check_bars == ()
    pattern = read('<line id="check-bar" x2="60"/>')
    assert pattern.check_bars == ()
    assert pattern.notes == (
        "line 2: 'check-bar' does not say how long it is: name it such as 'check bar 100 mm'",
    )
    for name in ("check bar 1 1/2 in", "check bar 100,5 mm", "check-bar-2-5-in"):
        assert "does not say" in read(f'<line id="{name}" x2="60"/>').notes[0]


def test_a_layer_of_check_bars_is_no_bar_itself(read):
    body = (
        '<g id="check bar"><line id="check-bar-50-mm" x2="50"/>'
        '<line id="check-bar-20-mm" y2="20"/></g><path id="latest-line-9-mm" d="M0 0h90"/>'
    )
    pattern = read(body)
    assert [bar.declared for bar in pattern.check_bars] == [50, 20]
    assert pattern.edges == ("latest-line-9-mm",)
    assert pattern.notes == ()


def test_a_bar_that_is_no_line_is_refused(read):
    words = refused(read, '<circle id="check-bar-100-mm" r="50"/>')
    assert words.startswith("shell.svg, line 2, circle 'check-bar-100-mm': a check bar must be a")
    assert "must be a straight line" in refused(
        read, '<rect id="check-bar-100-mm" width="100" height="5" rx="1"/>'
    )
    assert "above 0" in refused(read, '<line id="check-bar-0-mm" x2="100"/>')


# Edges -------------------------------------------------------------------------------------------


def test_an_open_edge_from_end_to_end(read):
    """Exact: a quarter of a circle of radius 80."""
    edge = read('<path id="side" d="M100 200A80 80 0 0 0 180 120"/>').edge("side")
    assert isinstance(edge, Edge) and isinstance(edge, Curve)
    assert edge.length == pytest.approx(40 * math.pi, rel=1e-12)
    assert isinstance(edge.curve.segments[0], EllipseArc)
    assert (edge.name, edge.line, edge.closed, edge.between_marks) == ("side", 2, False, None)
    assert edge.curve.point(0) == pytest.approx([100, 100])
    assert edge.curve.point(edge.length) == pytest.approx([180, 180])


def test_left_and_right_are_what_the_eye_sees(read):
    """Exact: going to the right and up in a left bend, the right is the convex side."""
    pattern = read('<path id="side" d="M100 200A80 80 0 0 0 180 120"/>')
    assert pattern.edge("side", outside="right").turn == pytest.approx(math.pi / 2)
    assert pattern.edge("side", outside="left").turn == pytest.approx(-math.pi / 2)
    edge = pattern.edge("side", outside="right")
    assert float(edge.length_at(7.5)) == pytest.approx(87.5 * math.pi / 2)
    assert edge.curvature(10.0) == pytest.approx(1 / 80)
    assert edge.heading(edge.length) == pytest.approx(math.pi / 2)
    assert edge.extremes()[1].curvature == pytest.approx(1 / 80)
    assert edge.runs()[0].turn == pytest.approx(math.pi / 2)
    assert edge.joints == () and edge.corners == ()
    assert "must be one of" in refused(pattern.edge, "side", outside="up")


MARKS = """
<circle id="A" cx="100" cy="50" r="3"/>
<line id="B" x1="145" y1="80" x2="155" y2="80"/>
<g id="C"><path id="c1" d="M98 128l4 4"/><path id="c2" d="M102 128l-4 4"/></g>
<line id="D" x1="44" y1="90" x2="50" y2="90"/>
"""


def test_the_perimeter_of_the_cup():
    """Independent: scipy's elliptic integral of the second kind."""
    from scipy.special import ellipe

    assert pytest.approx(2 * 50 * ellipe(1 - (20 / 50) ** 2), rel=1e-12) == ARCH


def test_a_whole_outline_with_its_marks(read):
    """Exact: places along the top, down the right side, half the arch, up the left side."""
    outline = read(CUP + MARKS).outline("cup")
    assert outline.closed
    assert outline.length == pytest.approx(220 + ARCH, rel=1e-12)
    assert [(m.name, round(m.place, 9), round(m.distance, 9)) for m in outline.marks] == [
        ("A", 50, 0),
        ("B", 130, 0),
        ("C", round(160 + ARCH / 2, 9), 0),
        ("D", round(160 + ARCH + 20, 9), 0),
    ]
    assert outline.turn == pytest.approx(2 * math.pi)
    assert [round(np.degrees(c.turn)) for c in outline.corners] == [90, 90]


@pytest.mark.parametrize(
    ("start", "end", "length", "between"),
    [
        ("A", "C", 110 + ARCH / 2, [("B", 80)]),
        ("B", "D", 50 + ARCH, [("C", 30 + ARCH / 2)]),
        ("C", "A", 110 + ARCH / 2, [("D", ARCH / 2 + 20)]),  # over the joint
        ("D", "B", 170, [("A", 90)]),
        ("A", "A", 220 + ARCH, [("B", 80), ("C", 110 + ARCH / 2), ("D", 130 + ARCH)]),
    ],
)
def test_a_stretch_between_two_marks(read, start, end, length, between):
    edge = read(CUP + MARKS).edge("cup", start, end)
    assert edge.length == pytest.approx(length, rel=1e-12)
    assert not edge.closed
    assert edge.between_marks == (start, end)
    assert [m.name for m in edge.marks] == [name for name, _ in between]
    assert [m.place for m in edge.marks] == pytest.approx([p for _, p in between], rel=1e-11)


def test_a_stretch_of_a_closed_outline_keeps_its_outside(read):
    """Exact: clockwise, so the outside of a cup lies to the left; a straight run has no turn."""
    for d in ("M50 50h100v60h-100z", "M50 50v60h100v-60z"):
        pattern = read(
            f'<path id="cup" d="{d}"/><circle id="P" cx="70" cy="50" r="2"/>'
            '<circle id="Q" cx="150" cy="80" r="2"/>'
        )
        order = ("P", "Q") if "v60h-100" in d else ("Q", "P")
        edge = pattern.edge("cup", *order)
        assert edge.length == pytest.approx(110)
        assert edge.turn == pytest.approx(math.pi / 2)


def test_all_round_from_a_mark_at_the_very_joint(read):
    body = CUP + '<circle id="J" cx="50" cy="50" r="2"/>'
    edge = read(body).edge("cup", "J", "J")
    assert (edge.closed, edge.marks) == (False, ())
    assert edge.length == pytest.approx(220 + ARCH)


def test_a_closed_edge_without_marks_to_start_from_is_refused(read):
    pattern = read(CUP + MARKS)
    for start, end in ((None, None), ("A", None), (None, "A")):
        assert refused(pattern.edge, "cup", start, end) == (
            "shell.svg, line 2, path 'cup': it is closed, so it has no ends: name the marks where "
            "the edge starts and ends, or ask for the whole outline"
        )


OPEN = '<path id="rim" d="M0 100h200"/>' + "".join(
    f'<circle id="{name}" cx="{x}" cy="100" r="2"/>' for name, x in (("A", 50), ("B", 120))
)


def test_a_stretch_of_an_open_edge(read):
    pattern = read(OPEN)
    assert pattern.edge("rim", "A", "B").length == pytest.approx(70)
    to_end = pattern.edge("rim", "A")
    assert (to_end.length, to_end.between_marks) == (pytest.approx(150), ("A", "end"))
    assert [(m.name, m.place) for m in to_end.marks] == [("B", pytest.approx(70))]
    from_start = pattern.edge("rim", end="B")
    assert (from_start.length, from_start.between_marks) == (pytest.approx(120), ("start", "B"))
    assert refused(pattern.edge, "rim", "B", "A") == (
        "shell.svg, line 2, path 'rim': the mark 'A' at 50.0 mm comes before 'B' at 120.0 mm: name "
        "them in the direction of the outline"
    )
    assert "comes before" in refused(pattern.edge, "rim", "A", "A")
    assert refused(pattern.edge, "rim", "X") == (
        "shell.svg, line 2, path 'rim': no mark called 'X' is on it; those within 1 mm of it are: "
        "'A', 'B'"
    )


def test_an_edge_that_cannot_be_followed_says_where_it_is(read):
    pattern = read('<path id="eight" d="M0 0L100 100V0L0 100z"/>')
    words = refused(pattern.outline, "eight")
    assert words.startswith("shell.svg, line 2, path 'eight': a closed curve goes round once")


def test_the_way_back_leads_into_the_elements_own_units(read):
    """Exact: the place of mark A as it would be written into d."""
    head = IN_MM.replace("0 0 400 300", "0 0 1600 1200")
    body = (
        '<g transform="translate(40 20)"><path id="rim" d="M0 100h200" transform="scale(2)"/></g>'
    )
    edge = read(body, head).edge("rim")
    assert edge.length == pytest.approx(100)
    x, y = edge.curve.point(25)
    assert edge.to_user @ [x, y, 1] == pytest.approx([50, 100])


# Marks -------------------------------------------------------------------------------------------

RIM = '<path id="rim" d="M20 100h200"/>'


def on_rim(read, mark):
    """The marks on a rim that runs from x = 20 to 220 at y = 100."""
    return [
        (m.name, round(m.place, 6), round(m.distance, 6))
        for m in read(RIM + mark).edge("rim").marks
    ]


@pytest.mark.parametrize(
    ("mark", "place", "distance"),
    [
        ('<circle id="m" cx="100" cy="100.5" r="5"/>', 80, 0.5),
        ('<circle id="m" cx="100" cy="101" r="1"/>', 80, 1.0),
        ('<ellipse id="m" cx="100" cy="100" rx="5" ry="2"/>', 80, 0),
        ('<path id="m" d="M97 100a3 3 0 0 1 6 0a3 3 0 0 1 -6 0z"/>', 80, 0),
        ('<path id="m" d="M97 100c0-4 6-4 6 0c0 4-6 4-6 0"/>', 80, 0),
        ('<line id="m" x1="100" y1="90" x2="100" y2="110"/>', 80, 0),
        ('<path id="m" d="M100 95v9"/>', 80, 0),
        ('<line id="m" x1="100" y1="100" x2="100" y2="110"/>', 80, 0),
        ('<line id="m" x1="100" y1="100.8" x2="103" y2="110"/>', 80, 0.8),
        ('<line id="m" x1="95" y1="97" x2="110" y2="106"/>', 80, 0),  # crosses off its middle
        ('<polyline id="m" points="100,90 100,104"/>', 80, 0),
        ('<path id="m" d="M98 98l4 4M102 98l-4 4"/>', 80, 0),
        ('<g id="m"><line x1="97" x2="103" y1="100" y2="100"/><path d="M100 97v6"/></g>', 80, 0),
        ('<g id="m"><circle cx="100" cy="100" r="2"/></g>', 80, 0),
        ('<g transform="scale(.5)"><circle id="m" cx="200" cy="200" r="9"/></g>', 80, 0),
        ('<defs><path id="n" d="M0-3v6"/></defs><use id="m" href="#n" x="100" y="100"/>', 80, 0),
    ],
)
def test_what_is_a_mark(read, mark, place, distance):
    assert on_rim(read, mark) == [("m", place, distance)]


@pytest.mark.parametrize(
    "mark",
    [
        '<circle id="m" cx="100" cy="100" r="5.01"/>',
        '<circle id="m" cx="100" cy="101.01" r="2"/>',
        '<line id="m" x1="100" y1="89.9" x2="100" y2="110"/>',
        '<line id="m" x1="100" y1="101.01" x2="100" y2="105"/>',
        '<line x1="100" y1="90" x2="100" y2="105"/>',  # without a name
        '<path id="m" d="M98 98h4v4h-4z"/>',  # a square
        '<path id="m" d="M98 97l2 3l2-3"/>',  # a wedge
        '<g id="m"><path d="M98 98v4"/><path d="M102 98v4"/></g>',  # two lines that do not cross
        '<g display="none"><circle id="m" cx="100" cy="100" r="2"/></g>',
        '<circle id="m" cx="20.9" cy="100" r="2"/>',  # the ends are marks anyway
        '<circle id="m" cx="220" cy="100" r="2"/>',
    ],
)
def test_what_is_no_mark(read, mark):
    assert on_rim(read, mark) == []


@pytest.mark.parametrize(("off", "counts"), [(-1.01, 0), (-0.99, 1), (0.99, 1), (1.01, 0)])
def test_how_near_a_mark_must_be_on_a_bend(read, off, counts):
    """Exact: a circle and a line that ends at a distance from a quarter of a circle of 80."""
    r, far = 80 + off, 80 + off + math.copysign(9, off)
    x, y = math.cos(0.7), math.sin(0.7)
    body = (
        f'<path id="rim" d="M180 100A80 80 0 0 1 100 180"/><circle id="c" cx="{100 + r * x}" '
        f'cy="{100 + r * y}" r="3"/><line id="l" x1="{100 + r * x}" y1="{100 + r * y}" '
        f'x2="{100 + far * x}" y2="{100 + far * y}"/>'
    )
    marks = read(body).edge("rim").marks
    assert [m.name for m in marks] == ["c", "l"][: 2 * counts]
    for mark in marks:
        assert mark.place == pytest.approx(56)
        assert mark.distance == pytest.approx(0.99)
    assert len(read(body).notes) == 2 - 2 * counts


def test_marks_come_in_order_under_their_titles(read):
    found = on_rim(
        read,
        '<circle id="c9" cx="150" cy="100" r="2"><title>notch</title></circle>'
        '<line id="l7" x1="60" x2="60" y1="95" y2="100"><title>front</title></line>',
    )
    assert found == [("front", 40, 0), ("notch", 130, 0)]


def test_a_mark_between_two_edges_marks_both(read):
    """Exact: two edges 1.6 mm apart, a circle half-way."""
    body = RIM + '<path id="other" d="M220 101.6h-200"/><circle id="m" cx="100" cy="100.8" r="2"/>'
    pattern = read(body)
    (mark,) = pattern.edge("rim").marks
    assert (mark.place, mark.distance) == (pytest.approx(80), pytest.approx(0.8))
    (mark,) = pattern.edge("other").marks
    assert (mark.place, mark.distance) == (pytest.approx(120), pytest.approx(0.8))
    assert isinstance(mark, Mark)


def test_a_line_across_a_narrow_strip_marks_both_sides_but_starts_neither(read):
    """Exact: a strip 10 mm wide, and a line that crosses both long sides."""
    body = (
        '<path id="strip" d="M20 100h200v10h-200z"/><path id="m" d="M80 98v14"/>'
        '<circle id="A" cx="120" cy="100" r="1"/>'
    )
    pattern = read(body)
    assert [(m.name, round(m.place, 6)) for m in pattern.outline("strip").marks] == [
        ("m", 60), ("A", 100), ("m", 350),
    ]  # fmt: skip
    assert refused(pattern.edge, "strip", "m", "A").endswith(
        "the mark 'm' is on it at 60.0, 350.0 mm: give each its own name, and draw each so short "
        "that it crosses once"
    )


def test_a_line_through_a_corner_is_one_mark(read):
    """Exact: it crosses both sides within 1 mm of the corner."""
    body = '<path id="rim" d="M20 100h80v-60"/><path id="m" d="M95.5 95l5 5.5"/>'
    (mark,) = read(body).edge("rim").marks
    assert mark.place == pytest.approx(80, abs=1)


def test_a_mark_is_no_mark_of_itself_but_can_be_an_edge(read):
    pattern = read('<line id="end" x1="10" y1="10" x2="25" y2="10"/>')
    assert pattern.edges == ()
    assert pattern.marks == ("end",)
    assert pattern.edge("end").length == pytest.approx(15)
    assert pattern.edge("end").marks == ()


def test_a_short_end_of_a_piece_does_not_mark_the_side_it_meets(read):
    """Exact: the end of a trim, 15 mm, drawn as an edge of its own."""
    body = RIM + '<line id="end" x1="220" y1="100" x2="220" y2="115"/>'
    assert read(body).edge("rim").marks == ()


def test_marks_that_touch_no_edge_are_told_with_their_distance(read):
    body = (
        RIM + '\n<circle id="near" cx="60" cy="103" r="2"/><circle id="on" cx="90" cy="100" r="2"/>'
        '\n<line id="far" x1="250" y1="100" x2="250" y2="110"><title>hook</title></line>'
    )
    assert read(body).notes == (
        "line 3: the mark 'near' touches no edge; the nearest, 'rim', is 3.0 mm away (a mark must "
        "be within 1 mm)",
        "line 4: the mark 'hook' touches no edge; the nearest, 'rim', is 30.0 mm away (a mark must "
        "be within 1 mm)",
    )
    many = RIM + "".join(f'<circle id="m{i}" cx="{9 * i + 9}" r="2"/>' for i in range(23))
    assert read(many).notes[19:] == (
        "line 2: the mark 'm19' touches no edge; the nearest, 'rim', is 100.0 mm away (a mark must "
        "be within 1 mm)",
        "3 more marks touch no edge",
    )
    alone = read('<circle id="m" r="2"/>').notes
    assert alone == ("line 2: 'm' is small enough for a mark, but there is no edge",)


def test_what_touches_an_outline_that_cannot_be_an_edge_is_not_told(read):
    body = '<path id="eight" d="M0 0L100 100V0L0 100z"/><circle id="m" cx="20" cy="20" r="2"/>'
    assert read(body).notes == ()


def test_edges_and_marks_are_listed_as_they_are_drawn(read):
    pattern = read(RIM + CUP + MARKS + '<path id="two" d="M0 0h30m5 0h40"/>')
    assert pattern.edges == ("rim", "cup", "two#1", "two#2")
    assert pattern.marks == ("A", "B", "C", "D")


# Strangers ---------------------------------------------------------------------------------------


def test_what_is_left_out_is_noted(read):
    body = (
        '<image href="http://nowhere.invalid/scan.png" width="9" height="9"/>\n'
        '<script href="http://nowhere.invalid/x.js">alert(1)</script>\n'
        '<style>@import url("http://nowhere.invalid/a.css"); path{stroke:url(file:///x#y)}</style>'
        '<path id="rim" d="M20 100h200"><animateTransform attributeName="transform"/></path>'
        '<foreignObject><p xmlns="http://www.w3.org/1999/xhtml">Hello</p></foreignObject>'
    )
    assert read(body).notes == (
        "line 4: a style sheet outside the file was not read",
        "line 2: pictures were not read: they have no edges (1 in all)",
        "line 3: scripts were not run (1 in all)",
        "line 4: movements were not followed: the drawing is taken as it begins (1 in all)",
        "line 4: parts in another language than SVG were not read (1 in all)",
    )


def test_nothing_is_fetched(read, monkeypatch):
    def forbidden(*args, **options):
        raise AssertionError("somebody opened a connection")

    monkeypatch.setattr(socket, "socket", forbidden)
    head = '<?xml-stylesheet href="http://nowhere.invalid/a.css"?>\n<!DOCTYPE svg SYSTEM '
    head += f'"http://nowhere.invalid/a.dtd">{IN_MM}'
    pattern = read('<image href="http://nowhere.invalid/a.png"/>' + RIM, head)
    assert pattern.edge("rim").length == pytest.approx(200)


def test_faults_of_a_file_are_value_errors_with_its_name(tmp_path):
    file = tmp_path / "shell.svg"
    assert refused(read_pattern, file) == "shell.svg is not there: check the name and the folder"
    file.write_text("<svg>")
    assert refused(read_pattern, str(file)).startswith("shell.svg, line 1, column 6: this is not")
    file.write_text(f"{IN_MM}{RIM}{RIM}</svg>")
    assert "the id is there twice, also at line 2" in refused(read_pattern, file)
    file.write_text(f"{IN_MM}{RIM}</svg>")
    assert "per_inch=96 changes nothing" in refused(read_pattern, file, per_inch=96)


def test_a_fault_in_any_named_shape_stops_everything(read):
    words = refused(read, RIM + '\n<path id="cup" d="M0 0L30"/>')
    assert words == (
        "shell.svg, line 3, path 'cup': path data needs a number here, the y of L, at its end: "
        "draw the path again"
    )
