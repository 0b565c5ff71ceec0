"""Marks moved in a drawing: where they are read again, and that all else stays as it was.

The pieces are invented: parts of a sea-turtle costume. Expected values are exact by hand unless
said otherwise.
"""

from __future__ import annotations

import math
import re
from xml.etree import ElementTree

import numpy as np
import pytest
from hypothesis import assume, given, reject, settings
from hypothesis import strategies as st

from foamcalc.shape.pattern import read_pattern
from foamcalc.shape.svg.corrected import NewPlace, corrected
from foamcalc.shape.svg.start_tags import Source
from foamcalc.shape.svg.tree import read_drawing

SPACE = 'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'
HEAD = f'<svg {SPACE} width="300mm" height="200mm" viewBox="0 0 300 200">\n'
RIM = '<path id="rim" d="M10 50h200"/>\n'
CUP = '<path id="cup" d="M20 100h100v60a50 20 0 0 1-100 0z"/>\n'
"""A knee cup: a level top, two sides of 60 and half an ellipse, clockwise from its upper left."""


@pytest.fixture(scope="module")
def read(tmp_path_factory):
    folder = tmp_path_factory.mktemp("drawings")

    def pattern(body, *, head=HEAD, name="shell.svg", **options):
        file = folder / name
        file.write_bytes(body if isinstance(body, bytes) else f"{head}{body}</svg>".encode())
        return read_pattern(file, **options)

    return pattern


def places(pattern, edge="rim", *ends):
    return {mark.name: mark.place for mark in pattern.edge(edge, *ends).marks}


def refused(call, *args):
    with pytest.raises(ValueError) as caught:
        call(*args)
    return str(caught.value)


# What moves -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "mark",
    [
        '<circle id="A" cx="60" cy="50" r="2"/>',
        '<ellipse id="x" cx="60" cy="50.4" rx="3" ry="1"><title>A</title></ellipse>',
        '<line id="A" x1="60" y1="46" x2="60" y2="54"/>',
        '<path id="A" d="M57 47l6 6M63 47l-6 6"/>',
        '<g id="A"><path d="M57 47l6 6"/><g transform="scale(2)"><path d="M31.5 23.5l-3 3"/></g>'
        "</g>",
        '<g><title>A</title><circle transform="translate(60 50) rotate(45)" r="1"/></g>',
        '<circle transform = "none" id="A" cx="60" cy="50" r="2" />',
        "<circle transform=' ' id='A' cx='60' cy='50' r='2'/>",
        "<circle transform='translate(50,0)' id='A' cx='10' cy='50' r='2'/>",
        '<circle\n  id="A" data-note="a > b" cx="60"\n cy="50" r="2"\n/>',
        '<defs><circle id="dot" r="2" transform="scale(.5)"/></defs><use id="A" x="60" y="50" '
        'xlink:href="#dot"/><use id="B" x="80" y="50" xlink:href="#dot"/>',
        '<defs><line id="notch" y2="6"/></defs><use id="A" transform="rotate(30 60 50)" x="60" '
        'y="47" href="#notch"/>',
    ],
    ids="circle ellipse line cross group titled none blank quotes lines use used".split(),
)  # fmt: skip
def test_a_mark_of_any_form_goes_to_its_new_place(read, mark):
    pattern = read(RIM + mark)
    was, others = places(pattern), {k: v for k, v in places(pattern).items() if k != "A"}
    assert was["A"] == pytest.approx(50)
    new = corrected(pattern, [(pattern.edge("rim"), "A", 57.25)])
    assert places(read(new)) == pytest.approx({"A": 57.25, **others}, abs=1e-6)
    ElementTree.fromstring(new)  # independent: another reader of XML


def test_only_one_attribute_and_a_comment_are_added(read):
    mark = '<circle id="A" cx="60" cy="50" r="2"/>'
    pattern = read(f"{RIM}<!-- cut twice -->{mark}\n")
    before = bytes(pattern.source)
    new = corrected(pattern, [NewPlace(pattern.edge("rim"), "A", 57.0)])
    assert pattern.source == before
    assert new == before.replace(b"<circle", b'<circle transform="translate(7,0)"') + (
        b"<!-- Marks moved along their edges: 'A' on 'rim' from 50.0 to 57.0 mm -->\n"
    )


def test_without_moves_the_file_is_the_same(read):
    pattern = read(RIM)
    assert corrected(pattern, []) == pattern.source


def test_a_transform_that_is_there_stays_first(read):
    pattern = read(f'{RIM}<circle id="A" r="2" cx="30" cy="25" transform="scale(2)"/>')
    new = corrected(pattern, [(pattern.edge("rim"), "A", 58.0)])
    # 8 mm on paper are 4 of the circle's own units
    assert b'transform="scale(2) translate(4,0)"' in new


def test_a_stroke_turns_with_the_edge_and_keeps_its_length(read):
    """From the level top of the cup down its upright side."""
    notch = '<line id="A" x1="70" y1="97" x2="74" y2="103"/>'
    pattern = read(CUP + notch)
    edge = pattern.outline("cup")
    (mark,) = edge.marks
    assert mark.place == pytest.approx(52)
    again = read(corrected(pattern, [(edge, "A", 130.0)]))
    assert again.outline("cup").marks[0].place == pytest.approx(130, abs=1e-6)
    was, now = (p._names.signs.all[0].points for p in (pattern, again))
    (x, y), (turned_x, turned_y) = was[2] - was[0], now[2] - now[0]
    # a quarter turn clockwise, as the outline makes: (x, y) becomes (y, -x), y up
    assert (turned_x, turned_y) == pytest.approx((y, -x))
    assert now[1] == pytest.approx([120, 200 - 130])


def test_a_mark_beside_its_edge_keeps_its_distance_and_its_side(read):
    outside, inside = '<circle id="{}" cx="{}" cy="{}" r="1"/>', 100.6
    pattern = read(CUP + outside.format("A", 40, 99.3) + outside.format("B", 60, inside))
    edge = pattern.outline("cup")
    again = read(corrected(pattern, [(edge, "A", 120.0), (edge, "B", 140.0)]))
    marks = again.outline("cup").marks
    assert [(m.name, m.place, m.distance) for m in marks] == [
        ("A", pytest.approx(120, abs=1e-6), pytest.approx(0.7)),
        ("B", pytest.approx(140, abs=1e-6), pytest.approx(0.6)),
    ]
    first, second = (sign.points[0] for sign in again._names.signs.all)
    assert first == pytest.approx([120.7, 200 - 120])  # right of the side: outside as before
    assert second == pytest.approx([119.4, 200 - 140])


def test_a_stroke_that_ends_short_of_its_edge(read):
    """Its near end keeps 0.4 mm away, on the side where it was."""
    pattern = read(CUP + '<line id="A" x1="70" y1="90" x2="70" y2="99.6"/>')
    again = read(corrected(pattern, [(pattern.outline("cup"), "A", 130.0)]))
    (mark,) = again.outline("cup").marks
    assert (mark.place, mark.distance) == (pytest.approx(130, abs=1e-6), pytest.approx(0.4))
    ends = again._names.signs.all[0].points[[0, 2]]
    assert ends == pytest.approx(np.array([[130, 70], [120.4, 70]]))


def test_a_used_mark_turns_with_the_edge(read):
    """A use that is shifted and turned, of a stroke that is scaled: round the corner."""
    notch = '<defs><path id="notch" d="M0-1.5v3" transform="scale(2)"/></defs>'
    use = '<use id="A" href="#notch" x="60" y="20" transform="translate(10 80)"/>'
    pattern = read(f"{CUP}{notch}{use}")
    again = read(corrected(pattern, [(pattern.outline("cup"), "A", 130.0)]))
    ends = again._names.signs.all[0].points[[0, 2]]
    assert ends == pytest.approx(np.array([[123, 70], [117, 70]]))


def test_a_stroke_turns_by_half_a_turn(read):
    """From the upper side of a rectangle to the lower one: 100 + 40 + 30 mm round it."""
    pattern = read(
        '<rect id="flap" x="20" y="80" width="100" height="40"/>'
        '<line id="A" x1="60" y1="77" x2="60" y2="81"/>'
    )
    again = read(corrected(pattern, [(pattern.outline("flap"), "A", 170.0)]))
    ends = again._names.signs.all[0].points[[0, 2]]
    assert ends == pytest.approx(np.array([[90, 77], [90, 81]]))


def test_a_mark_at_a_corner_lands_beside_the_straight_edge(read):
    """The nearest point of the corner is not straight across the edge; the distance is kept."""
    pattern = read(f'{CUP}<circle id="A" cx="120.3" cy="99.6" r="1"/>')
    edge = pattern.outline("cup")
    again = read(corrected(pattern, [(edge, "A", 130.0)]))
    (mark,) = again.outline("cup").marks
    assert (mark.place, mark.distance) == (pytest.approx(130, abs=1e-6), pytest.approx(0.5))


def test_a_closed_outline_between_two_marks(read):
    dots = "".join(
        f'<circle id="{n}" cx="{x}" cy="{y}" r="1"/>'
        for n, x, y in (("low", 20, 150), ("top", 20, 110), ("A", 60, 100), ("end", 110, 100))
    )
    pattern = read(CUP + dots)
    edge = pattern.edge("cup", "low", "end")
    assert [m.name for m in edge.marks] == ["top", "A"]
    # over the place where the outline begins: 50 mm up the side, then along the top
    new = read(corrected(pattern, [(edge, "A", 70.0), (edge, "top", 51.5)]))
    assert places(new, "cup", "low", "end") == pytest.approx({"A": 70, "top": 51.5}, abs=1e-6)


def test_several_marks_on_two_edges(read):
    body = RIM + '<path id="shell" d="M10 150q100-60 200 0"/>'
    curve = read(body).edge("shell").curve
    at = [curve.point(s) for s in (40.0, 90.0)]
    body += "".join(
        f'<circle id="{n}" cx="{float(x)!r}" cy="{200 - float(y)!r}" r="1"/>'
        for n, (x, y) in zip("CD", at, strict=True)
    )
    pattern = read(body + '<circle id="A" cx="60" cy="50" r="1"/>')
    rim, shell = pattern.edge("rim"), pattern.edge("shell")
    new = read(corrected(pattern, [(shell, "D", 95.5), (rim, "A", 12.0), (shell, "C", 36.5)]))
    assert places(new) == pytest.approx({"A": 12}, abs=1e-6)
    assert places(new, "shell") == pytest.approx({"C": 36.5, "D": 95.5}, abs=1e-6)
    assert new.edge("shell").length == shell.length


def test_it_can_be_done_again(read):
    pattern = read(f'{RIM}<circle id="A" cx="60" cy="50" r="1"/>')
    once = read(corrected(pattern, [(pattern.edge("rim"), "A", 70.0)]))
    twice = corrected(once, [(once.edge("rim"), "A", 50.0)])
    assert places(read(twice)) == pytest.approx({"A": 50}, abs=1e-6)
    assert twice.count(b"transform") == 1 and twice.count(b"<!--") == 2


angles = st.floats(-180, 180)
steps = st.one_of(
    st.builds("rotate({:.6f} 40 60)".format, angles),
    st.builds("translate({:.4f} {:.4f})".format, st.floats(-80, 80), st.floats(-80, 80)),
    st.builds("skewX({:.4f})".format, st.floats(-50, 50)),
    st.builds("skewY({:.4f})".format, st.floats(-50, 50)),
    st.builds(
        "scale({:.4f} {:.4f})".format,
        st.one_of(st.floats(0.3, 3), st.floats(-3, -0.3)),
        st.floats(0.3, 3),
    ),
)
transforms = st.lists(steps, max_size=3).map(" ".join)


@settings(deadline=None, max_examples=40)
@given(
    outer=transforms, inner=transforms, own=transforms, share=st.floats(0.1, 0.9),
    beside=st.floats(-0.9, 0.9),
)  # fmt: skip
def test_marks_in_any_nest_of_transforms(read, outer, inner, own, share, beside):
    """The edge and the mark each in groups of their own, turned, scaled, mirrored and skewed."""
    body = (
        f'<g transform="{outer}"><path id="edge" d="M20 40c60-40 90 70 160 10" '
        f'transform="{inner}"/><path id="other" d="M0 -5h70l9 9"/></g>'
    )
    plain = read(body, name="plain.svg").edge("edge")
    length = plain.length
    point, way = plain.curve.point(0.5 * length), plain.curve.direction(0.5 * length)
    x, y = point + beside * np.array([-way[1], way[0]])
    # the circle is put there through the inverse of all that stands around it
    frame = read(f'<g transform="{inner}"><path id="f" transform="{own}" d="M0 0h9"/></g>')
    u, v = frame.edge("f").to_user @ (x, y, 1)
    size = abs(np.linalg.det(frame.edge("f").to_user[:, :2])) ** 0.5
    body += (
        f'<g transform="{inner}"><circle id="A" cx="{float(u)!r}" cy="{float(v)!r}" '
        f'r="{0.01 * float(size)!r}" transform="{own}"/></g>'
    )
    pattern = read(body)
    edge = pattern.edge("edge")
    # no mark where it is stretched to a line, or where the edge is shrunk to nothing
    assume([m.name for m in edge.marks] == ["A"] and min(share, 1 - share) * length > 1.5)
    assume(not pattern.edge("other").marks)
    try:
        new = corrected(pattern, [(edge, "A", share * length)])
    except ValueError as fault:
        if "it would also mark 'other'" in str(fault):
            reject()
        assert "tight bend" in str(fault)
        assert max(abs(extreme.curvature) for extreme in edge.extremes()) > 0.5
        reject()
    again = read(new)
    (mark,) = again.edge("edge").marks
    assert mark.place == pytest.approx(share * length, abs=1e-6)
    assert mark.distance == pytest.approx(edge.marks[0].distance, abs=1e-6)
    for name in ("edge", "other"):
        was, now = pattern.edge(name), again.edge(name)
        assert now.length == pytest.approx(was.length, rel=1e-9)
        assert now.curve.point(0.3 * was.length) == pytest.approx(
            was.curve.point(0.3 * was.length), abs=1e-9
        )
    assert sorted(again.marks) == sorted(pattern.marks)


# How it is written ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("said", "codec", "mark"),
    [
        ("", "utf-8", b""),
        ("", "utf-8", b"\xef\xbb\xbf"),
        ("UTF-8", "utf-8", b""),
        ("ISO-8859-1", "latin-1", b""),
        ("windows-1250", "cp1250", b""),
        ("UTF-16", "utf-16-le", b"\xff\xfe"),
        ("UTF-16", "utf-16-be", b"\xfe\xff"),
    ],
)
def test_the_letters_of_the_file_are_kept(read, said, codec, mark):
    declared = f'<?xml version="1.0" encoding="{said}"?>\n' if said else ""
    dot = '<circle id="Kn\u00f6chel" cx="60" cy="50" r="2"/>'
    text = f"{declared}{HEAD}<desc>Sch\u00f6ne Form</desc>{RIM}{dot}</svg>\n"
    pattern = read(mark + text.encode(codec))
    new = corrected(pattern, [(pattern.edge("rim"), "Kn\u00f6chel", 61.0)])
    assert new.startswith(mark)
    body = new[len(mark) :].decode(codec)
    assert body == text.replace("<circle", '<circle transform="translate(11,0)"') + (
        "<!-- Marks moved along their edges: 'Kn\u00f6chel' on 'rim' from 50.0 to 61.0 mm -->\n"
    )
    assert places(read(new)) == pytest.approx({"Kn\u00f6chel": 61}, abs=1e-6)


def test_letters_of_two_words_before_the_mark_in_wide_files(read):
    """A sign beyond the first 65 536 takes four bytes there."""
    text = (
        f'{HEAD}<desc>\U0001f422\U0001f422</desc>{RIM}<circle id="A" cx="60" cy="50" r="2"/></svg>'
    )
    pattern = read(b"\xff\xfe" + text.encode("utf-16-le"))
    new = corrected(pattern, [(pattern.edge("rim"), "A", 61.0)])
    assert places(read(new)) == pytest.approx({"A": 61}, abs=1e-6)


def test_a_name_cannot_break_the_comment(read):
    name = "knee --> <!-- low-"
    dot = '<circle cx="60" cy="50" r="2"><title>knee --&gt; &lt;!-- low-</title></circle>'
    pattern = read(RIM + dot)
    new = corrected(pattern, [(pattern.edge("rim"), name, 61.0)])
    ElementTree.fromstring(new)
    comment = new[new.index(b"<!-- Marks") + 4 :]
    assert comment.count(b"--") == 1 and comment.endswith(b"mm -->\n")


def test_what_an_editor_adds_is_stepped_over(read):
    extra = (
        '<e:view xmlns:e="urn:editor"><e:circle id="A"/><circle id="A"/></e:view>'
        '<metadata><circle xmlns="urn:other" id="A"/></metadata>'
    )
    pattern = read(f'{extra}{RIM}<circle id="A" cx="60" cy="50" r="2"/>')
    new = corrected(pattern, [(pattern.edge("rim"), "A", 61.0)])
    assert new.count(b"transform") == 1
    assert places(read(new)) == pytest.approx({"A": 61}, abs=1e-6)


def test_px_as_they_were_told(read):
    head = f'<svg {SPACE} viewBox="0 0 300 200">'
    pattern = read(f'{RIM}<circle id="A" cx="60" cy="50" r="2"/>', head=head, per_inch=72)
    new = corrected(pattern, [(pattern.edge("rim"), "A", 25.4)])
    # 72 px from the start of the rim, where the mark was at 50
    assert b'transform="translate(22,' in re.sub(rb"21\.99999\d*|22\.00000\d*", b"22", new)
    assert places(read(new, per_inch=72)) == pytest.approx({"A": 25.4}, abs=1e-6)


# What is refused --------------------------------------------------------------------------------


DOTS = '<circle id="A" cx="60" cy="50" r="1"/><circle id="B" cx="90" cy="50" r="1"/>'


@pytest.mark.parametrize(
    ("mark", "place", "message"),
    [
        (
            "C",
            40,
            "mark 'C' is not between its ends, so it cannot be moved; marks there are: 'A', ",
        ),
        ("A", 0.5, "new place of mark 'A' must be from 1 to 199.0 mm along it, 1 mm clear of its"),
        ("A", 199.5, "must be from 1 to 199.0 mm along it, 1 mm clear of its ends, got 199.5"),
        ("A", 85, "mark 'A' at 85.0 mm would no longer come before 'B' at 80.0 mm"),
        ("A", 80, "mark 'A' at 80.0 mm would no longer come before 'B' at 80.0 mm"),
        ("A", math.nan, "new place of mark 'A' must be a finite length in mm, got nan"),
    ],
)
def test_places_that_cannot_be(read, mark, place, message):
    pattern = read(RIM + DOTS)
    words = refused(corrected, pattern, [(pattern.edge("rim"), mark, place)])
    assert message in words
    assert "shell.svg" in words or math.isnan(place)


def test_marks_may_pass_where_the_other_one_was(read):
    pattern = read(RIM + DOTS)
    rim = pattern.edge("rim")
    new = corrected(pattern, [(rim, "A", 85.0), (rim, "B", 95.0)])
    assert places(read(new)) == pytest.approx({"A": 85, "B": 95}, abs=1e-6)


def test_marks_on_a_closed_outline_keep_their_order_round_it(read):
    dots = "".join(
        f'<circle id="{n}" cx="{x}" cy="100" r="1"/>'
        for n, x in zip("ABC", (40, 60, 90), strict=True)
    )
    pattern = read(CUP + dots)
    cup = pattern.outline("cup")
    assert "'B' at 75.0 mm would no longer come before 'C' at 70.0 mm along the outline" in (
        refused(corrected, pattern, [(cup, "B", 75.0)])
    )
    # back over the place where the outline begins: still before B
    new = read(corrected(pattern, [(cup, "A", cup.length - 4)])).outline("cup")
    assert [m.name for m in new.marks] == ["B", "C", "A"]
    assert new.marks[2].place == pytest.approx(cup.length - 4, abs=1e-6)


def test_one_mark_cannot_go_to_two_places(read):
    pattern = read(RIM + DOTS)
    rim = pattern.edge("rim")
    words = refused(corrected, pattern, [(rim, "A", 30.0), (rim, "A", 40.0)])
    assert "circle 'A': is to be moved twice: give each mark one new place" in words


def test_a_mark_of_two_edges_is_not_taken_from_one(read):
    pattern = read(
        f'{RIM}<path id="flap" d="M20 52h100"/><line id="A" x1="60" y1="46" x2="60" y2="55"/>'
    )
    words = refused(corrected, pattern, [(pattern.edge("rim"), "A", 60.0)])
    assert "line 'A': it also marks 'flap', where it would be lost" in words


def test_a_mark_is_not_moved_onto_another_edge(read):
    pattern = read(f'{RIM}<path id="flap" d="M120 50.5v60"/>{DOTS}')
    words = refused(corrected, pattern, [(pattern.edge("rim"), "B", 110.2)])
    assert "'B' on 'rim' from 80.0 to 110.2 mm: it would also mark 'flap'" in words


def test_a_stroke_over_a_thin_piece_marks_it_twice(read):
    strip = '<rect id="strip" x="20" y="80" width="150" height="4"/>'
    pattern = read(f'{strip}<line id="A" x1="60" y1="78" x2="60" y2="86"/>')
    outline = pattern.outline("strip")
    assert "mark 'A' is there more than once" in refused(corrected, pattern, [(outline, "A", 60.0)])
    dots = '<circle id="p" cx="30" cy="80" r="1"/><circle id="q" cx="150" cy="80" r="1"/>'
    pattern = read(f'{strip}<line id="A" x1="60" y1="78" x2="60" y2="86"/>{dots}')
    edge = pattern.edge("strip", "p", "q")
    words = refused(corrected, pattern, [(edge, "A", 60.0)])
    assert "it marks 'strip' at 2 places, which would all move" in words


def test_a_mark_that_would_not_be_read_there(read):
    """A stroke of 16 mm set across the corner of a hollow crosses both of its sides."""
    zigzag = '<path id="rim" d="M10 50h60l2-30l2 30h100"/>'
    pattern = read(f'{zigzag}<line id="A" x1="30" y1="42" x2="30" y2="58"/>')
    words = refused(corrected, pattern, [(pattern.edge("rim"), "A", 80.0)])
    assert "it would not be read as standing there" in words and "line 'A'" in words


def test_the_edge_of_another_drawing(read):
    pattern, other = (
        read(RIM + DOTS),
        read(RIM.replace("M10 50", "M10 60") + DOTS.replace('cy="50"', 'cy="60"')),
    )
    words = refused(corrected, pattern, [(other.edge("rim"), "A", 55.0)])
    assert "edge 'rim' with mark 'A' is not from this drawing" in words


@pytest.mark.parametrize(
    ("body", "message"),
    [
        (
            '<defs><circle id="dot" r="1"/></defs><g id="A"><use href="#dot" x="60" y="50"/></g>',
            "g 'A': the mark is drawn by a use of circle 'dot' (line 3), so it cannot move alone: "
            "make it a shape of its own",
        ),
        (
            '<g id="piece"><circle id="A" cx="60" cy="50" r="1"/></g>'
            '<use id="copy" href="#piece" y="90"/>',
            "circle 'A': use 'copy' (line 3) draws the mark in another place as well",
        ),
        (
            '<defs><g id="both"><circle r="1"/></g></defs>'
            '<use id="A" href="#both" x="60" y="50"/>',
            "use 'A': draws the mark by way of another element",
        ),
        (
            '<defs><circle id="dot" r="1" cy="50"/></defs><use id="A" href="#dot" x="20%"/>',
            "use 'A': x is 20%, which cannot be moved: write it without per cent",
        ),
        (
            '<circle id="A" cx="60" cy="50" r="1" transform-origin="3 3"/>',
            "transform-origin is not read",
        ),
    ],
    ids="in-a-group copied nested percent origin".split(),
)  # fmt: skip
def test_marks_that_cannot_move_alone(read, body, message):
    pattern = read(RIM + body)
    assert message in refused(corrected, pattern, [(pattern.edge("rim"), "A", 60.0)])


def test_the_tree_of_another_file(tmp_path, read):
    file = tmp_path / "one.svg"
    file.write_text(f"{HEAD}{RIM}</svg>")
    root = read_drawing(file).root
    for other in (f"{HEAD}{RIM}{DOTS}</svg>", f"{HEAD}</svg>", f"{HEAD}\n{RIM}</svg>"):
        assert "not those of the file" in refused(Source, other.encode(), root)
