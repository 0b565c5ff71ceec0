"""Basic shapes, groups, nested drawings, use, and what is hidden.

Expected points and lengths are exact by hand, in mm on a page of 100 x 100 mm with y up, unless
said otherwise. That they lie where a browser draws them is tested in test_svg_browser.py.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from foamcalc.shape.arc_length import lengths
from foamcalc.shape.segments import Bezier
from foamcalc.shape.svg import names as names_module
from foamcalc.shape.svg import walk as walk_module
from foamcalc.shape.svg.index import index
from foamcalc.shape.svg.names import Names
from foamcalc.shape.svg.page import page_of
from foamcalc.shape.svg.tree import read_drawing
from foamcalc.shape.svg.walk import walk

SVG = (
    '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" '
    'width="100mm" height="100mm" viewBox="0 0 100 100">\n'
)
ANEW = [12, 80]


@pytest.fixture
def read(tmp_path):
    """Reads the inside of a drawing: its names."""

    def names(body, head=SVG):
        file = tmp_path / "shell.svg"
        file.write_text(f"{head}{body}</svg>", encoding="utf-8")
        drawing = read_drawing(file)
        page = page_of(drawing.root, None)
        found = index(drawing)
        return Names(walk(drawing.root, page, found), page.per_inch, "shell.svg")

    return names


def ends(line):
    """Start of each segment, and the end of the last [mm]."""
    found = [s.point(0) for s in line.segments] + [line.segments[-1].point(1)]
    return np.array(found).round(9).tolist()


# Basic shapes ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("shape", "way", "closed"),
    [
        ('line x1="10" y1="20" x2="30"', [[10, 80], [30, 100]], False),
        ('polyline points="0,0 10,0 10,5"', [[0, 100], [10, 100], [10, 95]], False),
        ('polygon points="0,0 10,0 10,5"', [[0, 100], [10, 100], [10, 95], [0, 100]], True),
        ('polygon points="0 0 10 0 10 5 0 0"', [[0, 100], [10, 100], [10, 95], [0, 100]], True),
        ('polyline points="0 0 0 0 10 0 10 0"', [[0, 100], [10, 100]], False),
        (
            'rect x="10" y="20" width="30" height="5"',
            [[10, 80], [40, 80], [40, 75], [10, 75], [10, 80]],
            True,
        ),
        (
            'rect x="10" y="20" width="30" height="10" rx="2" ry="1"',
            [[12, 80], [38, 80], [40, 79], [40, 71], [38, 70], [12, 70], [10, 71], [10, 79], ANEW],
            True,
        ),
    ],
)  # fmt: skip
def test_where_a_shape_begins_and_which_way_it_runs(read, shape, way, closed):
    line = read(f'<{shape} id="a"/>').line("a")
    assert (ends(line), line.closed) == (way, closed)


@pytest.mark.parametrize(
    ("shape", "down"),
    [('circle cx="50" cy="40" r="7"', 7), ('ellipse cx="50" cy="40" rx="7" ry="2"', 2)],
)
def test_a_circle_begins_at_its_right_and_runs_downwards(read, shape, down):
    line = read(f'<{shape} id="a"/>').line("a")
    (around,) = line.segments
    quarters = [[57, 60], [50, 60 - down], [43, 60], [50, 60 + down], [57, 60]]
    assert around.point([0, 0.25, 0.5, 0.75, 1]) == pytest.approx(np.array(quarters), abs=1e-12)
    assert line.closed


@pytest.mark.parametrize(
    ("radii", "rx", "ry"),
    [
        ('rx="3"', 3, 3),
        ('ry="3"', 3, 3),
        ('rx="auto" ry="2"', 2, 2),
        ('rx="40"', 10, 5),
        ('rx="40" ry="1"', 10, 1),
        ('rx="10%" ry="50%"', 10, 5),
        ('rx="0" ry="3"', 0, 0),
        ("", 0, 0),
    ],
)
def test_rounded_corners(read, radii, rx, ry):
    """Exact: the straight rest of the sides, and where a radius is 0 no corner at all."""
    line = read(f'<rect id="a" width="20" height="10" {radii}/>').line("a")
    straight = [s for s in line.segments if isinstance(s, Bezier)]
    want = 60 if not rx else 2 * (20 - 2 * rx) + 2 * (10 - 2 * ry)
    assert lengths(straight).sum() == pytest.approx(want) if want else straight == []
    assert len(line.segments) - len(straight) == (4 if rx else 0)


def test_percentages_of_both_sides_and_of_the_diagonal(read):
    head = SVG.replace('viewBox="0 0 100 100"', 'viewBox="0 0 60 80" preserveAspectRatio="none"')
    line = read('<rect id="a" x="50%" y="50%" width="10%" height="10%"/>', head).line("a")
    assert ends(line)[0] == [50, 50]
    assert np.ptp(ends(line), axis=0) == pytest.approx([10, 10])
    circle = read('<circle id="a" r="10%"/>', head).line("a")
    r = 0.1 * math.hypot(60, 80) / math.sqrt(2)
    assert ends(circle)[0] == pytest.approx([r * 100 / 60, 100])


@pytest.mark.parametrize("shape", ['line x1="3" x2="3"', 'rect width="5"', 'circle r="0"', "circle",
                                   'ellipse rx="5" ry="0"', 'polygon points=""', "path",
                                   'polyline points="1 1"', 'path d="M1 1"'])  # fmt: skip
def test_what_draws_nothing_is_no_edge(read, shape):
    names = read(f'<{shape} id="a"/>')
    assert names.edges == []
    with pytest.raises(ValueError, match=r"shell.svg, line 2, \w+ 'a': it draws nothing that has"):
        names.line("a")


@pytest.mark.parametrize(
    ("shape", "words"),
    [
        ('rect id="a" width="-1" height="2"', "rect 'a': width must be 0 or more, got '-1'"),
        ('circle id="a" r="-1"', "circle 'a': r must be 0 or more"),
        ('circle id="a" r="3em"', "circle 'a': r: '3em' is in em, a unit"),
        ('circle id="a" r="nan"', "circle 'a': r: 'nan' is no length"),
        ('line id="a" x2="1e400"', "line 'a': x2: '1e400' is too big"),
        ('line id="a" x2="1e200"', "line 'a': points must lie within 1e+09 mm"),
        ('polyline id="a" points="1 2 3"', "points must be pairs of x and y, got 3 numbers"),
        ('polygon id="a" points="1 2 3 x"', "polygon 'a': points: 'x' is no number"),
        (f'polyline id="a" points="{"1 2 " * 20001}"', "points: over 40000 numbers: divide it"),
        ('path id="a" d="M0 0L9"', "path 'a': path data needs a number here, the y of L, at its"),
        ('path id="a" d="M0 0h9" transform="scale(0 1)"', "flatten it to a line or a point"),
        ('path id="a" d="M0 0h9" transform="matrix(1 1 1 1 0 0)"', "flatten it to a line"),
        ('path id="a" d="M0 0h9" transform="scale(1e200) scale(1e200)"', "out of sight"),
        ('g id="a" transform="turn(3)"', "g 'a': transform has the unknown function 'turn'"),
        ('path id="a" transform="rotate(9)" transform-origin="5 5" d="M0 0h9"', "transform-origin"),
    ],
)
def test_a_named_shape_that_cannot_be_read_is_refused(read, shape, words):
    with pytest.raises(ValueError) as caught:
        read(f"\n<{shape}/>")
    assert str(caught.value).startswith("shell.svg, line 3, ")
    assert words in str(caught.value)


# On paper ----------------------------------------------------------------------------------------


def test_the_way_back_into_the_drawing(read):
    """Exact: the points as they are written in d."""
    line = read(
        '<g transform="translate(20 5) rotate(30)"><path id="a" transform="scale(2 -.5)" '
        'd="M1 2 L8 5"/></g>'
    ).line("a")
    back = line.segments[0].transformed(line.to_user)
    assert back.points == pytest.approx(np.array([[1, 2], [8, 5]]), rel=1e-13)


@pytest.mark.parametrize(
    ("rest", "count"),
    [("h-60.004v-20z", 4), ("h-60.004v-20", 4), ("c-20 0 -40 3 -60.004 -20", 3), ("l-60 -20z", 3)],
)
def test_rounding_leaves_no_corner_where_an_outline_closes(read, rest, count):
    """Exact: the end is 0.004 mm past the start; it is moved there, the outline is closed."""
    line = read(f'<path id="a" d="M10 10h60v20{rest}"/>').line("a")
    assert line.closed
    assert line.segments[-1].point(1).tolist() == line.segments[0].point(0).tolist() == [10, 90]
    assert len(line.segments) == count


def test_a_gap_that_a_knife_would_see_is_closed_by_a_line_of_its_own(read):
    line = read('<path id="a" d="M10 10h60v20h-60v-19.98z"/>').line("a")
    assert line.closed and len(line.segments) == 5
    assert lengths(line.segments)[-1] == pytest.approx(0.02, rel=1e-9)
    assert not read('<path id="a" d="M10 10h60v20h-60v-19.98"/>').line("a").closed


def test_an_arc_that_closes_an_outline_keeps_its_course(read):
    """Exact: an arc cannot be moved at one end, so a line of 0.004 mm is put in."""
    line = read('<path id="a" d="M10 10h60v20a30 30 0 0 1 -60.004 -20"/>').line("a")
    assert line.closed and len(line.segments) == 4
    assert line.segments[-1].point(1).tolist() == [10, 90]


# Groups, nested drawings, use --------------------------------------------------------------------


def test_ten_thousand_groups_in_each_other(read):
    """Exact: each moves by 0.001 mm."""
    deep = 10_000
    body = '<g transform="translate(.001)">' * deep + '<line id="a" x2="5"/>' + "</g>" * deep
    assert ends(read(body).line("a"))[0] == pytest.approx([10, 100])


def test_a_shape_drawn_again_is_called_by_the_use(read):
    names = read(
        '<defs><path id="scute" d="M0 0h30"/></defs>'
        '<use id="left" href="#scute" x="5" y="5"/><use id="right" xlink:href="#scute" x="50"/>'
    )
    assert [name for name, _ in names.edges] == ["left", "right"]
    assert ends(names.line("left")) == [[5, 95], [35, 95]]
    assert ends(names.line("right")) == [[50, 100], [80, 100]]
    with pytest.raises(ValueError) as caught:
        names.line("scute")
    assert str(caught.value) == (
        "shell.svg, line 2, path 'scute': it lies in defs (line 2), which draws no edge by itself: "
        "show it, or name an edge that is seen"
    )


@pytest.mark.parametrize(
    ("body", "words"),
    [
        ('<use id="a" href="#a"/>', "use 'a': draws itself without end, by way of '#a'"),
        ('<g id="g"><use id="a" href="#g"/></g>', "use 'a': draws itself without end"),
        (
            '<g id="g"><use id="a" href="#h"/></g><g id="h"><use id="b" href="#g"/></g>',
            "draws itself without end",
        ),
        ('<use id="a" href="other.svg#b"/>', "points at 'other.svg#b', outside this file; nothing"),
        ('<use id="a" href="http://nowhere.invalid/#b"/>', "outside this file; nothing is fetched"),
        ('<use id="a" href="file:///etc/hostname"/>', "outside this file; nothing is fetched"),
        ('<use id="a"/>', "use 'a': points at nothing; nothing is fetched"),
        ('<use id="a" href="#lost"/>', "points at '#lost', an id that is not in the drawing"),
        ('<svg id="a" width="-1"/>', "svg 'a': width must be 0 or more"),
        ('<svg id="a" viewBox="0 0 1"/>', "svg 'a': viewBox must be four numbers"),
        ('<symbol id="s" refX="3"/><use id="a" href="#s"/>', "symbol 's': refX and refY are not"),
        ('<g systemLanguage="en"/>', "g: is drawn for some languages only"),
        ('<path id="a" d="M0 0h9"/>\n<g>\n<path id="a" d="M0 0h5"/></g>',
         "line 4, path 'a': the id is there twice, also at line 2: give each its own"),
    ],
)  # fmt: skip
def test_what_cannot_be_followed_is_refused(read, body, words):
    with pytest.raises(ValueError) as caught:
        read(body)
    assert words in str(caught.value)
    assert str(caught.value).startswith("shell.svg, line ")


def test_uses_that_multiply_are_stopped(read, monkeypatch):
    """Exact: 10 to the power of 12 lines, were they drawn."""
    body = (
        "<defs>"
        + "".join(
            f'<g id="m{i}">' + (f'<use href="#m{i - 1}"/>' * 10 if i else '<line x2="1"/>') + "</g>"
            for i in range(13)
        )
        + '</defs><use id="all" href="#m12"/>'
    )
    assert walk_module._MOST_VISITS == 100_000
    monkeypatch.setattr(walk_module, "_MOST_VISITS", 3000)
    with pytest.raises(ValueError, match=r"use 'all': the drawing draws over 3000 elements"):
        read(body)


def test_too_many_lines_and_curves_are_refused(read, monkeypatch):
    assert names_module._MOST_SEGMENTS == 50_000
    monkeypatch.setattr(names_module, "_MOST_SEGMENTS", 50)
    body = "".join(f'<path id="p{i}" d="M0 0{"h1v1" * 9}"/>' for i in range(3))
    with pytest.raises(ValueError, match=r"path 'p2': with it, shapes with a name have over 50 "):
        read(body)


def test_uses_in_each_other_end_somewhere(read):
    """Exact: 30 of them are followed, 31 are not."""
    body = '<defs><path id="m0" d="M0 0h30"/>' + "".join(
        f'<g id="m{i}"><use href="#m{i - 1}" x="1"/></g>' for i in range(1, 31)
    )
    assert ends(read(f'{body}</defs><use id="a" href="#m29"/>').line("a"))[0] == [29, 100]
    with pytest.raises(ValueError, match=r"use: lies in over 30 use elements: draw it where it"):
        read(f'{body}</defs><use id="a" href="#m30"/>')


def test_the_same_id_on_what_draws_nothing_is_no_matter(read):
    body = '<linearGradient id="a"/><path id="a" d="M0 0h9"/><clipPath id="a"/>'
    assert ends(read(body).line("a")) == [[0, 100], [9, 100]]


# What is hidden ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("body", "why"),
    [
        ('<path id="a" display="none" d="M0 0h9"/>', "it is hidden (display none)"),
        ('<path id="a" style="stroke:red; DISPLAY : none ;" d="M0 0h9"/>', "is hidden (display"),
        ('<path id="a" visibility="hidden" d="M0 0h9"/>', "it is hidden (visibility hidden)"),
        (
            '<g id="layer2" display="none"><g><path id="a" d="M0 0h9"/></g></g>',
            "it lies in g 'layer2' (line 2), which is hidden (display none)",
        ),
        ('<g visibility="collapse"><path id="a" d="M0 0h9"/></g>', "hidden (visibility hidden)"),
        ('<clipPath><path id="a" d="M0 0h9"/></clipPath>', "lies in clipPath (line 2), which"),
        ('<style>.off{display:none}</style><path id="a" class="x off" d="M0 0h9"/>', "is hidden"),
        ('<style>#a{display:none!important}</style><path id="a" style="display:inline"/>',
         "is hidden"),
        ('<style>g.off, b{display:none}</style><g class="off"><path id="a" d="M0 0h9"/></g>',
         "lies in g (line 2), which is hidden"),
        ('<text id="a">cup</text>', "it draws no edge by itself"),
        ('<switch><g/><path id="a" d="M0 0h9"/></switch>', "it is left out by a switch"),
        ('<path id="a" requiredExtensions="x" d="M0 0h9"/>', "is for special programs only"),
    ],
)  # fmt: skip
def test_an_edge_that_is_not_seen_says_why(read, body, why):
    with pytest.raises(ValueError) as caught:
        read(body).line("a")
    assert why in str(caught.value)
    assert str(caught.value).endswith(": show it, or name an edge that is seen")


@pytest.mark.parametrize(
    "body",
    [
        '<g visibility="hidden"><path id="a" visibility="visible" d="M0 0h9"/></g>',
        '<path id="a" display="none" style="display:inline" d="M0 0h9"/>',
        '<style>path{display:none} .on{display:inline}</style><path id="a" class="on" d="M0 0h9"/>',
        '<style>.off{display:none}</style><path id="a" class="off" style="display:block" '
        'd="M0 0h9"/>',
        '<style>.on{display:inline} path{display:none}</style><path id="a" class="on" d="M0 0h9"/>',
        "<style>/* .a{display:none} */ #b{display:none} @font-face{src:url(x)}</style>"
        '<path id="a" d="M0 0h9"/>',
        '<path id="a" style="background:url(data:a;display:none)" d="M0 0h9"/>',
        '<switch><g requiredExtensions="x"/><path id="a" d="M0 0h9"/></switch>',
    ],
)
def test_an_edge_that_is_seen_after_all(read, body):
    assert ends(read(body).line("a")) == [[0, 100], [9, 100]]


def test_hidden_faults_do_no_harm(read):
    body = '<g display="none"><path id="x" d="rubbish"/><use href="no.svg#a"/></g><path d="?"/>'
    assert read(f'{body}<path id="a" d="M0 0h30"/>').edges[0][0] == "a"


@pytest.mark.parametrize(
    ("body", "words"),
    [
        ('<path id="a" style="transform:scale(2)" d="M0 0h9"/>',
         "path 'a': a style sets its transform to 'scale(2)'; styles are not read for where"),
        ('<g style="rotate:3deg"><path id="a" d="M0 0h9"/></g>', "g: a style sets its rotate"),
        ('<style>.big{r:9px}</style><circle id="a" class="big" r="1"/>', "a style sets its r to"),
        ('<style>g > path{display:none}</style>', "the rule 'g > path' of a style sheet sets disp"),
        ('<style>@media print{.a{visibility:hidden}}</style>', "the rule '@media print'"),
        (f'<style>{"".join(f".c{i}{{display:none}}" for i in range(101))}</style>', "over 100 ru"),
    ],
)  # fmt: skip
def test_styles_that_move_or_hide_in_ways_that_are_not_read_are_refused(read, body, words):
    with pytest.raises(ValueError) as caught:
        read(body)
    assert words in str(caught.value)


def test_styles_for_looks_only_are_passed_over(read):
    body = (
        "<style>g > .st0:hover{fill:none;stroke:#000} @media print{p{color:red}}</style>"
        '<path id="a" style="fill:none;transform:none;stroke-width:2" d="M0 0h30"/>'
    )
    assert read(body).edges[0][0] == "a"


# Names -------------------------------------------------------------------------------------------


def test_a_title_is_a_name_too(read):
    names = read('<path id="p1" d="M0 0h9"><title> knee  cup\nouter </title></path>')
    assert names.line("knee cup outer") is names.line("p1")


def test_a_group_around_one_shape_is_that_shape(read):
    names = read(
        '<g id="cup"><path d="M0 0h30"/></g><g id="outer"><path id="inner" d="M0 0h30"/></g>'
    )
    assert [name for name, _ in names.edges] == ["cup", "inner"]
    assert names.line("outer") is names.line("inner")
    titled = '<g id="g1"><title>knee cup</title><path id="p1" d="M0 0h30"/></g>'
    names = read(titled)
    assert [name for name, _ in names.edges] == ["g1"]
    assert names.line("knee cup") is names.line("g1") is names.line("p1")


def test_a_group_of_several_shapes_is_no_edge(read):
    names = read(
        '<g id="layer"><path id="a" d="M0 0h30"/><path d="M0 5h30"/><path d="M1 1v9"/></g>'
    )
    with pytest.raises(ValueError, match=r"g 'layer': it holds 3 shapes: give the one that is"):
        names.line("layer")
    assert [name for name, _ in names.edges] == ["a"]


def test_outlines_of_one_path_have_numbers(read):
    """Exact: 30, 10 and 40 mm."""
    names = read('<path id="cup" d="M0 0h30M0 5h10m0 5h10v10h-10z"/>')
    assert [name for name, _ in names.edges] == ["cup#1", "cup#2", "cup#3"]
    assert [lengths(names.line(f"cup#{i}").segments).sum() for i in (1, 2, 3)] == [30, 10, 40]
    for wrong in ("cup", "cup#0", "cup#4"):
        with pytest.raises(ValueError) as caught:
            names.line(wrong)
        assert str(caught.value).endswith(
            "it has 3 outlines: name one of them, 'cup#1' (30.0 mm), 'cup#2' (10.0 mm), 'cup#3' "
            "(40.0 mm)"
        )
    assert read('<path id="one" d="M0 0h30"/>').line("one#1").segments


def test_two_titles_alike_and_a_name_that_is_not_there(read):
    names = read(
        '<path id="p1" d="M0 0h30"><title>cup</title></path>\n'
        '<path id="p2" d="M0 5h30"><title>cup</title></path>'
    )
    with pytest.raises(ValueError, match=r"the title 'cup' stands at lines 2, 3: name the edge by"):
        names.line("cup")
    with pytest.raises(ValueError, match=r"no edge is called 'cupp'; did you mean 'cup'\?"):
        names.line("cupp")
    with pytest.raises(
        ValueError, match=r"no edge is called 'x'; edges with a name are 'p1', 'p2'"
    ):
        names.line("x")
    with pytest.raises(ValueError, match=r"edges with a name are none"):
        read("").line("x")
