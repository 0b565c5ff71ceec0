"""A shell before and after: drawn to scale, overlays where they lie, words that can be read."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.text import Annotation, Text

from foamcalc.draw.card_data import DrawnCover, Mark, Section, Strap
from foamcalc.draw.poses import pieces, poses
from foamcalc.draw.shellview import shell_profile
from foamcalc.shape.profile import Profile, chain

FULL = 2 * math.pi


def arcs(length, turn, count=40):
    """An even bend in short arcs."""
    return chain([length / count] * count, [turn / count] * count)


def oval(length=300.0, share=0.25, count=48):
    """A ring that is out of round by a known share of its curvature (invented)."""
    places = (np.arange(count) + 0.5) / count * FULL
    return chain([length / count] * count, FULL / count * (1 + share * np.cos(2 * places)))


def moved(profile, angle, x, y):
    """The same shape elsewhere."""
    cos, sin = math.cos(angle), math.sin(angle)
    return Profile(
        cos * profile.x - sin * profile.y + x,
        sin * profile.x + cos * profile.y + y,
        profile.heading + angle,
    )


def axes(*, wide=7.2, tall=4.0):
    figure = Figure(figsize=(wide, tall))
    FigureCanvasAgg(figure)
    return figure.add_axes((0, 0, 1, 1))


def lines(ax, gid):
    return [line.get_xydata() for line in ax.lines if line.get_gid() == gid]


def faces(ax, gid):
    """Lower and upper face of a filled layer, both from its first end."""
    (found,) = [p.get_xy()[:-1] for p in ax.patches if p.get_gid() == gid]
    half = len(found) // 2
    return found[:half], found[half:][::-1]


def said(ax):
    return [t.get_text() for t in ax.texts if t.get_text()]


def dimensions(ax):
    """Length of each dimension line by the words beside it."""
    found = {}
    for arrow in (t for t in ax.texts if isinstance(t, Annotation) and not t.get_text()):
        (x0, y0), (x1, y1) = arrow.xyann, arrow.xy
        middle, upright = ((x0 + x1) / 2, (y0 + y1) / 2), x0 == x1
        beside = [
            (abs(t.get_position()[0] - middle[0]) + abs(t.get_position()[1] - middle[1]), t)
            for t in ax.texts
            if t.get_text() and (t.get_rotation() == 90) == upright
        ]
        _, words = min(beside, key=lambda pair: pair[0])
        found[words.get_text()] = math.hypot(x1 - x0, y1 - y0)
    return found


def boxes(ax):
    """Words and the box they fill, in pixels."""
    ax.figure.canvas.draw()
    renderer = ax.figure.canvas.get_renderer()
    shown = [t for t in ax.texts if t.get_text()]
    return [(t.get_text(), Text.get_window_extent(t, renderer)) for t in shown]


def layers(ax):
    """The filled layers, in pixels."""
    return [
        p.get_path().transformed(p.get_transform())
        for p in ax.patches
        if (p.get_gid() or "").startswith(("layer", "cover"))
    ]


def covers_a_layer(box, shape):
    """Whether words hide a part of a layer: a grid of points in their box lies in it."""
    x, y = np.linspace(box.x0 + 2, box.x1 - 2, 20), np.linspace(box.y0 + 3, box.y1 - 3, 8)
    grid = np.column_stack([a.ravel() for a in np.meshgrid(x, y)])
    corners = shape.vertices
    within = (corners > (box.x0 + 2, box.y0 + 3)) & (corners < (box.x1 - 2, box.y1 - 3))
    return bool(shape.contains_points(grid).any() or within.all(1).any())


def assert_readable(ax):
    """No words over other words, a layer or the edge; a size is told; all that is drawn shows."""
    found = boxes(ax)
    edge = ax.bbox
    assert any(words.startswith("before") for words, _ in found)
    for words, box in found:
        assert box.width > 1 and box.height > 1, words
        assert box.x0 >= edge.x0 and box.y0 >= edge.y0, words
        assert box.x1 <= edge.x1 and box.y1 <= edge.y1, words
        assert not any(covers_a_layer(box, shape) for shape in layers(ax)), words
    for (one, a), (other, b) in itertools.combinations(found, 2):
        across, up = min(a.x1, b.x1) - max(a.x0, b.x0), min(a.y1, b.y1) - max(a.y0, b.y0)
        assert across <= 1 or up <= 1, f"{one!r} lies over {other!r}"
    drawn = [p.get_xy() for p in ax.patches] + [line.get_xydata() for line in ax.lines]
    points = np.concatenate(drawn)
    for limits, column in ((ax.get_xlim(), points[:, 0]), (ax.get_ylim(), points[:, 1])):
        assert limits[0] <= column.min() and column.max() <= limits[1]


HALF, OPENED = arcs(50 * math.pi, math.pi), arcs(50 * math.pi, 2.6)
ALL_OVER = (DrawnCover(first=0, last=40, thickness=5, height=10),)
SCUTES = (
    DrawnCover(first=2, last=16, thickness=5, height=10, number=1),
    DrawnCover(first=12, last=16, thickness=5, height=15, number=2),
    DrawnCover(first=16, last=36, thickness=5, height=10, number=2),
)


# What is drawn -----------------------------------------------------------------------------------


def test_base_and_overlay_have_their_radii():
    """Exact by hand: half rings of radius 50, 60 and 65 about the middle of the mouth."""
    ax = shell_profile(axes(), before=HALF, after=HALF, thickness=10, covers=ALL_OVER)
    for gid, low, high in (("layer 0", 50, 60), ("cover 0", 60, 65)):
        below, above = faces(ax, gid)
        np.testing.assert_allclose(np.hypot(*below.T), low, rtol=1e-12)
        np.testing.assert_allclose(np.hypot(*above.T), high, rtol=1e-12)


def test_an_overlay_lies_on_the_arcs_it_covers():
    """Exact by hand: joints 10 and 30 of 40 on half a ring are at 135° and 45°."""
    cover = DrawnCover(first=10, last=30, thickness=4, height=12)
    ax = shell_profile(axes(), before=HALF, after=HALF, thickness=10, covers=[cover])
    below, above = faces(ax, "cover 0")
    for face, radius in ((below, 62), (above, 66)):
        np.testing.assert_allclose(
            face[[0, -1]] / radius, np.array([[-1, 1], [1, 1]]) * math.sqrt(0.5), atol=1e-12
        )


def test_parts_with_one_number_are_one_piece_with_its_step():
    """Exact by hand: 65 mm from the middle where it lies on another, then 60 mm."""
    ax = shell_profile(axes(), before=HALF, after=HALF, thickness=10, covers=SCUTES)
    pieces = [p for p in ax.patches if (p.get_gid() or "").startswith("cover")]
    assert len(pieces) == 2
    below, above = faces(ax, "cover 1")
    radii = np.hypot(*below.T)
    np.testing.assert_allclose(radii[[0, -1]], [65, 60], rtol=1e-12)
    assert set(radii.round(9)) == {60.0, 65.0}
    step = int(np.flatnonzero(np.diff(radii) < -1)[0])
    angles = np.arctan2(*below[step : step + 2].T)
    assert angles[0] == pytest.approx(angles[1], abs=1e-9)  # straight down, not slanted
    np.testing.assert_allclose(np.hypot(*(above - below).T), 5, rtol=1e-9)
    assert sorted(w for w in said(ax) if w.isdigit()) == ["1", "2"]


def test_a_piece_that_meets_itself_at_one_height_is_drawn_through():
    """Exact by hand: two halves of an overlay are the overlay."""
    halves = [
        DrawnCover(first=0, last=20, thickness=5, height=10, number=1),
        DrawnCover(first=20, last=40, thickness=5, height=10, number=1),
    ]
    ax = shell_profile(axes(), before=HALF, after=HALF, thickness=10, covers=halves)
    whole = shell_profile(axes(), before=HALF, after=HALF, thickness=10, covers=ALL_OVER)
    np.testing.assert_allclose(faces(ax, "cover 0"), faces(whole, "cover 0"), atol=1e-9)


def test_parts_with_one_number_have_one_thickness():
    parts = [
        DrawnCover(first=0, last=20, thickness=5, height=10, number=3),
        DrawnCover(first=20, last=40, thickness=4, height=10, number=3),
    ]
    with pytest.raises(ValueError, match="cover 3 has the thicknesses 5 and 4 mm"):
        shell_profile(axes(), before=HALF, after=HALF, thickness=10, covers=parts)


def test_three_shapes_stand_on_one_level():
    """Exact by hand: the dashed shape is a half ring of 50 to 60 mm; all ends are level."""
    later = arcs(50 * math.pi, 2.5)
    ax = shell_profile(axes(), before=HALF, after=OPENED, next_day=later, thickness=10)
    (dashed,), (dotted,) = lines(ax, "outline"), lines(ax, "next day")
    radii = np.hypot(*dashed.T)
    assert radii.min() == pytest.approx(50, rel=1e-12)
    assert radii.max() == pytest.approx(60, rel=1e-12)
    below, _ = faces(ax, "layer 0")
    half = (len(dotted) - 1) // 2
    ends = [below[0], below[-1], dashed[0], dashed[half - 1], dotted[0], dotted[half - 1]]
    np.testing.assert_allclose(np.array(ends)[:, 1], 0, atol=1e-9)
    np.testing.assert_allclose(np.array(ends)[::2, 0], -np.array(ends)[1::2, 0], atol=1e-9)
    assert np.ptp(dotted[:half, 0][[0, -1]]) == pytest.approx(float(later.mouth), rel=1e-9)


def test_shapes_may_have_joints_of_their_own():
    """Exact by hand: one arc or forty, the half ring is the same."""
    one = shell_profile(axes(), before=chain([50 * math.pi], [math.pi]), after=OPENED, thickness=10)
    (dashed,) = lines(one, "outline")
    assert np.hypot(*dashed.T).min() == pytest.approx(50, rel=1e-12)


def test_base_and_overlay_are_told_apart_without_colour():
    """Exact by hand: luminance by the usual weights; apart by a seventh of black to white."""
    ax = shell_profile(axes(), before=HALF, after=HALF, thickness=10, covers=ALL_OVER)
    grey = {
        p.get_gid(): float(np.dot(p.get_facecolor()[:3], [0.299, 0.587, 0.114])) for p in ax.patches
    }
    assert grey["layer 0"] - grey["cover 0"] > 0.15


# What is measured --------------------------------------------------------------------------------


def test_the_mouths_are_measured_where_they_are():
    """Exact by hand: the chord of an arc is 2 R sin(turn/2)."""
    ax = shell_profile(
        axes(), before=HALF, after=OPENED, next_day=arcs(50 * math.pi, 2.4), thickness=10
    )
    found = dimensions(ax)
    expected = {
        when: 2 * 50 * math.pi / turn * math.sin(turn / 2)
        for when, turn in (("before", math.pi), ("let go", 2.6), ("next day", 2.4))
    }
    assert found == {
        f"{when} {mouth:.0f} mm": pytest.approx(mouth, rel=1e-9) for when, mouth in expected.items()
    }


def test_sizes_that_read_the_same_are_measured_once():
    ax = shell_profile(axes(), before=HALF, after=arcs(50 * math.pi, 3.14), thickness=10)
    assert list(dimensions(ax)) == ["before, let go 100 mm"]
    apart = shell_profile(axes(), before=HALF, after=OPENED, thickness=10, system="in")
    # exact by hand: 100 mm is 3.937 in, 116.45 mm is 4.584 in
    assert list(dimensions(apart)) == ["before 3 15/16 in", "let go 4 9/16 in"]


def test_a_ring_is_measured_across_and_up():
    """Independent: the extent of the oval's points, many to an arc."""
    ring = oval()
    ax = shell_profile(axes(), before=arcs(300, FULL, 48), after=ring, thickness=8, closed=True)
    fine = np.concatenate([[p] for p in lines_of_ring(ring)])
    wide, high = np.ptp(fine, axis=0)
    found = dimensions(ax)
    # exact by hand: a girth of 300 mm is 95.49 mm across
    assert found["before 95 mm"] == pytest.approx(300 / math.pi, rel=1e-3)
    assert found[f"let go {wide:.0f} mm"] == pytest.approx(wide, rel=1e-3)
    assert found[f"let go {high:.0f} mm"] == pytest.approx(high, rel=1e-3)
    assert len([t for t in said(ax) if t.startswith("let go")]) == 2


def lines_of_ring(ring):
    """Points of a ring by adding up short straight steps, 200 to an arc."""
    points, at = [], np.zeros(2)
    for i in range(ring.x.size - 1):
        turn = ring.heading[i] - ring.heading[i + 1]
        length = 300 / 48
        for k in range(200):
            heading = ring.heading[i] - turn * (k + 0.5) / 200
            at = at + length / 200 * np.array([math.cos(heading), math.sin(heading)])
            points.append(at)
    return points


# Rings -------------------------------------------------------------------------------------------


def test_a_ring_let_go_is_laid_over_the_ring_before_wherever_it_was():
    """Exact: a turn and a shift of what is given change nothing in the picture."""
    ring = oval()
    options = {"before": arcs(300, FULL, 48), "thickness": 8, "closed": True}
    here = shell_profile(axes(), after=ring, **options)
    there = shell_profile(axes(), after=moved(ring, 1.1, 400, -90), **options)
    np.testing.assert_allclose(faces(here, "layer 0"), faces(there, "layer 0"), atol=1e-6)
    # exact by hand: an oval with two axes of symmetry lies on the ring's own middle
    points = np.concatenate(faces(here, "layer 0"))
    np.testing.assert_allclose(points.min(0), -points.max(0), atol=0.02)


def test_a_ring_has_no_ends():
    """Exact by hand: its edges are closed lines, no stroke runs across the base."""
    ax = shell_profile(axes(), before=oval(), after=oval(), thickness=8, closed=True)
    (ring,) = [p for p in ax.patches if p.get_gid() == "layer 0"]
    assert ring.get_linewidth() == 0
    outline = lines(ax, "outline")
    assert len(outline) == 2
    for line in outline:
        np.testing.assert_allclose(line[0], line[-1], atol=1e-6)


def test_an_overlay_may_run_over_the_start_of_a_ring():
    """Exact by hand: on a ring of 48 arcs, 40 to 8 are the lowest 16: a third of a turn."""
    circle = arcs(300, FULL, 48)
    cover = DrawnCover(first=40, last=8, thickness=4, height=8, number=1)
    ax = shell_profile(
        axes(), before=circle, after=circle, thickness=8, covers=[cover], closed=True
    )
    below, above = faces(ax, "cover 0")
    radius = 300 / FULL + 8
    np.testing.assert_allclose(np.hypot(*below.T), radius, rtol=1e-6)
    np.testing.assert_allclose(np.hypot(*(above - below).T), 4, rtol=1e-9)
    angles = np.degrees(np.arctan2(below[:, 0], -below[:, 1]))
    # the ring starts at its lowest point and sets out to the left
    np.testing.assert_allclose(angles[[0, -1]], [60, -60], atol=0.1)
    # exact by hand: along an overlay the heading falls by the turn, without a jump at the start
    section = Section(before=circle, after=circle, thickness=8, covers=(cover,), closed=True)
    (piece,) = pieces(poses(section)[1], section.covers)
    np.testing.assert_allclose(np.diff(piece.under.heading), -FULL / 48 / 4, rtol=1e-9)
    with pytest.raises(ValueError, match="a cover must end behind its first joint 40, got 8"):
        shell_profile(axes(), before=circle, after=circle, thickness=8, covers=[cover])


# Strap, marks, numbers ---------------------------------------------------------------------------


def test_a_strap_joins_its_places():
    """Exact by hand: joints 10 and 30 of 40 on half a ring of 50 mm are 70.71 mm apart."""
    ax = shell_profile(
        axes(), before=HALF, after=HALF, thickness=10, strap=Strap(first=10, last=30, text="9 N")
    )
    (strap,) = lines(ax, "strap")
    np.testing.assert_allclose(strap[:, 1], 50 * math.sqrt(0.5), rtol=1e-9)
    assert np.ptp(strap[:, 0]) == pytest.approx(100 * math.sqrt(0.5), rel=1e-9)
    assert "9 N" in said(ax)


def test_a_mark_is_tied_to_its_place():
    """Exact by hand: joint 20 of 40 is the top of the half ring, at 0, 50."""
    ax = shell_profile(
        axes(), before=HALF, after=HALF, thickness=10, marks=[Mark(at=20, text="here")]
    )
    dots = [line.get_xydata() for line in ax.lines if line.get_marker() == "o"]
    assert any(np.allclose(d, [[0, 50]], atol=1e-9) for d in dots)
    (label,) = [t for t in ax.texts if t.get_text() == "here"]
    tied = [line.get_xydata() for line in ax.lines if len(line.get_xydata()) == 2]
    assert any(
        np.allclose(d[1], [0, 50], atol=1e-9) and np.allclose(d[0], label.get_position())
        for d in tied
    )


def test_a_number_leads_to_its_own_overlay():
    """Exact by hand: the dot lies in the middle of the overlay's thickness."""
    ax = shell_profile(axes(), before=HALF, after=HALF, thickness=10, covers=SCUTES)
    dots = [line.get_xydata()[0] for line in ax.lines if line.get_marker() == "o"]
    assert len(dots) == 2
    shapes = {p.get_gid(): p.get_path().transformed(p.get_patch_transform()) for p in ax.patches}
    for dot, gid in zip(dots, ("cover 0", "cover 1"), strict=True):
        assert shapes[gid].contains_point(dot)
        assert min(abs(np.hypot(*dot) - r) for r in (62.5, 67.5)) < 1e-9


CASES = {
    "half a turn": {"before": HALF, "after": OPENED, "covers": SCUTES},
    "three overlays all over": {
        "before": HALF,
        "after": OPENED,
        "covers": [
            DrawnCover(first=0, last=40, thickness=4, height=10 + 4 * i, number=i + 1)
            for i in range(3)
        ],
    },
    "twelve scutes": {
        "before": arcs(900, 3.0, 60),
        "after": arcs(900, 2.7, 60),
        "covers": [
            DrawnCover(first=5 * i, last=5 * i + 4, thickness=5, height=10, number=i + 1)
            for i in range(12)
        ],
    },
    "flat": {"before": arcs(200, 0.0), "after": arcs(200, 0.02), "covers": ALL_OVER},
    "the wrong way": {"before": arcs(157, 1.0), "after": arcs(157, -0.8), "covers": ALL_OVER},
    "nearly closed": {"before": arcs(220, 5.4), "after": arcs(220, 5.9), "covers": SCUTES},
    "opened near one end": {
        "before": chain([63, 200, 63, 150], [math.pi, 0, math.pi, 0]),
        "after": chain([63, 200, 63, 146], [math.pi, 0, math.pi, 0]),
        "covers": [DrawnCover(first=1, last=2, thickness=5, height=10, number=1)],
    },
    "hollow": {"before": arcs(300, -1.5), "after": arcs(300, -1.3), "covers": SCUTES},
    "strap and mark": {
        "before": HALF,
        "after": OPENED,
        "next_day": arcs(50 * math.pi, 2.4),
        "covers": SCUTES,
        "strap": Strap(first=0, last=40, text="strap 9 N"),
        "marks": [Mark(at=20, text="most bending here")],
    },
    "ring": {
        "before": arcs(300, FULL, 48),
        "after": oval(),
        "next_day": oval(share=0.35),
        "closed": True,
        "covers": [DrawnCover(first=40, last=20, thickness=4, height=10, number=1)],
        "marks": [Mark(at=0, text="butt seam")],
    },
}
each_case = pytest.mark.parametrize("case", CASES.values(), ids=CASES.keys())


@each_case
@pytest.mark.parametrize("system", ["mm", "in"])
@pytest.mark.parametrize("size", [(7.2, 4.0, 13), (3.4, 2.6, 10), (4, 6, 10), (2.4, 3.4, 10)])
def test_the_words_can_be_read(case, system, size):
    wide, tall, points = size
    ax = axes(wide=wide, tall=tall)
    shell_profile(ax, thickness=10, system=system, fontsize=points, **case)
    assert_readable(ax)
    # exact: every overlay has its number, the strap and each mark have their words
    named = {str(cover.number) for cover in case.get("covers", ()) if cover.number}
    named |= {thing.text for thing in (*case.get("marks", ()), *filter(None, [case.get("strap")]))}
    sizes = ("before", "let go", "next day")
    assert {words for words in said(ax) if not words.startswith(sizes)} == named
    assert {t.get_fontsize() for t in ax.texts if t.get_text()} == {points}


def test_numbers_keep_clear_of_the_shape_before():
    """The dashed shape lies where the numbers would stand first, 3 mm outside an overlay."""
    scutes = [DrawnCover(first=8, last=32, thickness=5, height=10, number=1)]
    ax = shell_profile(
        axes(), before=arcs(68 * math.pi, math.pi), after=HALF, thickness=10, covers=scutes
    )
    (dashed,) = lines(ax, "outline")
    points = ax.transData.transform(dashed)
    ((words, box),) = [(w, b) for w, b in boxes(ax) if w.isdigit()]
    inside = (points > (box.x0, box.y0)).all(1) & (points < (box.x1, box.y1)).all(1)
    assert not inside.any(), words


@each_case
def test_a_millimetre_is_as_long_across_as_up(case):
    ax = shell_profile(axes(), thickness=10, **case)
    ax.figure.canvas.draw()
    origin = ax.transData.transform((0, 0))
    step = ax.transData.transform((1, 1)) - origin
    assert step[0] == pytest.approx(step[1], rel=1e-9)


def test_the_picture_fills_its_axes():
    """A shallow shell runs from edge to edge, but for 4 points at each side."""
    ax = shell_profile(axes(), before=arcs(200, 0.5), after=arcs(200, 0.4), thickness=10)
    below, above = faces(ax, "layer 0")
    drawn = np.ptp(np.concatenate([below, above])[:, 0])
    assert drawn / np.ptp(ax.get_xlim()) > 0.95


def test_room_keeps_the_scale_of_pictures_in_a_row():
    """Exact by hand: narrower shells are shown 600 mm wide, less the white edge of 4 points."""
    for turn in (2.0, 2.6, 3.1):
        ax = shell_profile(axes(), before=HALF, after=arcs(157, turn), thickness=10, room=600)
        shown = np.ptp(ax.get_xlim()) * (7.2 * 72 - 8) / (7.2 * 72)
        assert shown == pytest.approx(600, rel=1e-9)


# Bad input ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"thickness": 0}, "thickness of the base must be a finite length above 0 mm, got 0"),
        ({"system": "cm"}, "system must be one of 'mm', 'in', got 'cm'"),
        ({"room": -1}, "room must be a finite length of 0 mm or more"),
        ({"fontsize": 0}, "fontsize must be"),
        ({"strap": Strap(first=0, last=41)}, "strap must lie on the joints 0 to 40 .* got 41"),
        ({"marks": [Mark(at=-1, text="x")]}, "mark 'x' must lie on the joints 0 to 40 .* got -1"),
        (
            {"covers": [DrawnCover(first=3, last=50, thickness=5, height=10)]},
            "cover must lie on the joints 0 to 40 of the profile, got 50",
        ),
        (
            {"before": chain([[9.0], [8.0]], [[1.0], [1.0]])},
            r"before must hold one case .*\(2, 2\)",
        ),
        ({"next_day": chain([[9.0]], [[1.0]])}, r"next_day must hold one case .*\(1, 2\)"),
        ({"after": chain([300], [FULL])}, "arc 0 of the profile makes a full turn"),
        ({"after": arcs(30, -3), "covers": ALL_OVER}, "folds the profile over itself"),
    ],
)
def test_bad_input_is_refused(change, message):
    with pytest.raises(ValueError, match=message):
        shell_profile(axes(), **{"before": HALF, "after": HALF, "thickness": 10, **change})


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"first": -1}, "first of a cover must be a whole number of 0 or more, got -1"),
        ({"last": 2.0}, r"last of a cover must be a whole number of 0 or more, got 2\.0"),
        ({"number": True}, "number of a cover must be a whole number"),
        ({"thickness": float("nan")}, "thickness of a cover must be .* got nan"),
        ({"height": -1}, "height of a cover must be .* 0 mm or more"),
    ],
)
def test_a_cover_that_cannot_be_is_refused(change, message):
    with pytest.raises(ValueError, match=message):
        DrawnCover(**{"first": 0, "last": 1, "thickness": 5, "height": 10, **change})


def test_axes_too_small_for_the_words_are_refused():
    with pytest.raises(ValueError, match="axes of 15 x 13 mm are too small for the words"):
        shell_profile(axes(wide=0.6, tall=0.5), before=HALF, after=OPENED, thickness=10)
