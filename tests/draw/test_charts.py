"""The pictures of one joint: what is drawn is what the numbers say, and the words can be read."""

from __future__ import annotations

import itertools
import math
import re
import subprocess
import sys
from io import BytesIO

import matplotlib
import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.text import Text

from foamcalc.draw import charts, ink
from foamcalc.fit.limits import default_limits
from foamcalc.fit.overlay import Overlay
from foamcalc.fit.release import let_go, released, shortest_cut
from foamcalc.fit.stack import Piece
from foamcalc.foam.grades import foam
from foamcalc.foam.law import Linear
from foamcalc.shape.curve import Arc
from foamcalc.shape.ellipse import Ellipse
from foamcalc.shape.profile import chain

EVA = foam("EVA medium")
THICK = {"base_thickness": 10, "overlay_thickness": 5}


def joint_on(curve, base=10.0, overlay=5.0, *, formed=1.0, law=EVA):
    """An invented scute over an invented shell."""
    return Overlay.from_curve(
        curve,
        face="inside",
        base=Piece(thickness=base, law=law, formed=formed),
        overlay=Piece(thickness=overlay, law=law),
    )


JOINT = joint_on(Arc(50, math.pi))
OUTCOMES = (
    let_go(JOINT),
    let_go(JOINT.with_cut(JOINT.needed_length), name="cut to length"),
    let_go(JOINT.with_cut(194.4), name="shortest inside the limits"),
)


def empty_axes(*, wide=9.0, tall=4.5):
    figure = Figure(figsize=(wide, tall), layout="constrained")
    FigureCanvasAgg(figure)
    return figure.add_subplot()


def patch(ax, gid):
    (found,) = [p for p in ax.patches if p.get_gid() == gid]
    return found


def corners(ax, gid):
    """Corners of a filled layer: its lower face from the first end, its upper face from there."""
    points = patch(ax, gid).get_xy()[:-1]
    half = len(points) // 2
    return points[:half], points[half:][::-1]


def words_on(artist):
    return [t.get_text() for t in artist.findobj(Text) if t.get_text() and t.get_visible()]


def dimension_lines(ax):
    """Length of each level dimension line and the words under it."""
    arrows = [t for t in ax.texts if not t.get_text() and t.xy[1] == t.xyann[1]]
    lines = {}
    for arrow in arrows:
        middle = (arrow.xy[0] + arrow.xyann[0]) / 2
        (words,) = [
            t.get_text()
            for t in ax.texts
            if t.get_text()
            and t.xy[1] == arrow.xy[1]
            and math.isclose(t.xy[0], middle, abs_tol=1e-9)
        ]
        lines[words] = abs(arrow.xy[0] - arrow.xyann[0])
    return lines


def boxes(figure):
    """Words and the box they fill, in pixels, for all that can be seen."""
    FigureCanvasAgg(figure).draw()
    renderer = figure.canvas.get_renderer()
    shown = [t for t in figure.findobj(Text) if t.get_text().strip() and t.get_visible()]
    for ax in figure.axes:
        if not ax.axison:
            hidden = set(ax.xaxis.findobj(Text)) | set(ax.yaxis.findobj(Text))
            shown = [t for t in shown if t not in hidden]
    return [(t.get_text(), Text.get_window_extent(t, renderer)) for t in shown]


def assert_readable(figure):
    """No words over other words, none cut off at the edge."""
    found = boxes(figure)
    assert len(found) >= 3
    for words, box in found:
        assert box.x0 >= 0 and box.y0 >= 0, words
        assert box.x1 <= figure.bbox.x1 and box.y1 <= figure.bbox.y1, words
    for (one, a), (other, b) in itertools.combinations(found, 2):
        across = min(a.x1, b.x1) - max(a.x0, b.x0)
        up = min(a.y1, b.y1) - max(a.y0, b.y0)
        assert across <= 1 or up <= 1, f"{one!r} lies over {other!r}"


# The section -------------------------------------------------------------------------------------


def test_the_layers_are_as_thick_as_they_are_said_to_be():
    """Exact by hand: half rings of radius 50, 60 and 65 about the middle of the mouth."""
    ax = charts.section(empty_axes(), profile=chain([50 * math.pi], [math.pi]), thicknesses=(10, 5))
    for gid, low, high in (("layer 0", 50, 60), ("layer 1", 60, 65)):
        below, above = corners(ax, gid)
        np.testing.assert_allclose(np.hypot(*below.T), low, rtol=1e-12)
        np.testing.assert_allclose(np.hypot(*above.T), high, rtol=1e-12)
    below, _ = corners(ax, "layer 0")
    np.testing.assert_allclose(below[[0, -1]], [[-50, 0], [50, 0]], atol=1e-12)


def test_an_uneven_section_is_drawn_through_its_joints_with_its_ends_level():
    """Independent: the joints of the chain itself, turned level by its own rule."""
    shell = chain([40.0, 55.0, 80.0, 30.0], [0.3, 1.1, 0.8, -0.5])
    ax = charts.section(empty_axes(), profile=shell, thicknesses=(6,))
    below, above = corners(ax, "layer 0")
    level = shell.levelled()
    for x, y in zip(level.x, level.y, strict=True):
        assert np.hypot(below[:, 0] - x, below[:, 1] - y).min() < 1e-9
    # exact by hand: a layer is as thick as it is at every point, on bends and in hollows
    np.testing.assert_allclose(np.hypot(*(above - below).T), 6, rtol=1e-12)
    assert below[0, 1] == pytest.approx(0, abs=1e-9) and below[-1, 1] == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize(("length", "turn"), [(157.0, math.pi), (80.0, 0.4), (300.0, -1.2)])
def test_the_mouth_is_measured_where_it_is(length, turn):
    """Exact by hand: the chord of an arc is 2 R sin(turn/2)."""
    ax = charts.section(empty_axes(), profile=chain([length], [turn]), thicknesses=(8, 4))
    ((words, drawn),) = dimension_lines(ax).items()
    mouth = 2 * (length / turn) * math.sin(turn / 2)
    assert drawn == pytest.approx(mouth, rel=1e-12)
    assert words == f"mouth {mouth:.0f} mm"


def test_the_dimension_line_lies_below_all_layers():
    """Three quarters of a ring: the outer corners of its ends hang below its mouth."""
    ax = charts.section(empty_axes(), profile=chain([200], [1.5 * math.pi]), thicknesses=(10, 5))
    lowest = min(face[:, 1].min() for face in corners(ax, "layer 1"))
    (level,) = {t.xy[1] for t in ax.texts}
    assert lowest < -5 and level < lowest


def test_a_mouth_too_narrow_for_arrows_is_measured_from_outside():
    """Exact by hand: nearly a full turn leaves 2 R sin(turn/2); two arrows point at its ends."""
    turn = math.radians(358)
    ax = charts.section(empty_axes(), profile=chain([50 * turn], [turn]), thicknesses=(5,))
    tips = sorted(t.xy[0] for t in ax.texts if not t.get_text())
    gap = 2 * 50 * math.sin(turn / 2)
    np.testing.assert_allclose(tips, [-gap / 2, gap / 2], atol=1e-9)
    assert all(abs(t.xyann[0]) > gap / 2 for t in ax.texts if not t.get_text())


def test_an_overlay_is_told_from_its_base_without_colour():
    """Exact by hand: luminance by the usual weights; apart by a fifth of black to white."""
    ax = charts.section(empty_axes(), profile=chain([50 * math.pi], [math.pi]), thicknesses=(10, 5))
    grey = [
        float(np.dot(patch(ax, gid).get_facecolor()[:3], [0.299, 0.587, 0.114]))
        for gid in ("layer 0", "layer 1")
    ]
    assert grey[0] - grey[1] > 0.15
    (strokes,) = ax.collections
    reach = np.hypot(*np.concatenate(strokes.get_segments()).T)
    # the strokes run across the overlay (radius 60 to 65) and nowhere else; the chords of
    # the drawn polygon pull them in by less than 0.01 mm
    assert 59.99 < reach.min() < 60.001 and 64.99 < reach.max() < 65.001


# Before and after --------------------------------------------------------------------------------


def panel_mouths(ax):
    """Mouths read off the drawing: of the dashed outline and of the filled base."""
    edge = patch(ax, "outline").get_xy()[:-1]
    half = len(edge) // 2
    filled, _ = corners(ax, "layer 0")
    return tuple(
        float(np.hypot(*(e[half_ - 1] - e[0])))
        for e, half_ in ((edge, half), (filled, len(filled)))
    )


@pytest.mark.parametrize("outcome", OUTCOMES, ids=lambda o: o.name)
def test_the_drawn_mouths_are_the_outcomes_mouths(outcome):
    """Independent: the numbers of the outcome against the corners in the drawing."""
    ax = charts.before_after(empty_axes(), outcome=outcome, **THICK)
    before, after = panel_mouths(ax)
    assert before == pytest.approx(outcome.size_before, rel=1e-9)
    assert after == pytest.approx(outcome.size_after, rel=1e-9)
    lines = dimension_lines(ax)
    assert lines == {
        f"before {outcome.size_before:.0f} mm": pytest.approx(outcome.size_before, rel=1e-9),
        f"let go {outcome.size_after:.0f} mm": pytest.approx(outcome.size_after, rel=1e-9),
    }


def test_before_and_after_stand_on_one_level():
    ax = charts.before_after(empty_axes(), outcome=OUTCOMES[0], **THICK)
    filled, _ = corners(ax, "layer 0")
    dashed = patch(ax, "outline").get_xy()
    ends = [filled[0, 1], filled[-1, 1], dashed[0, 1], dashed[len(dashed) // 2 - 1, 1]]
    np.testing.assert_allclose(ends, 0, atol=1e-9)


def test_the_dashed_shape_is_the_base_alone():
    """Exact by hand: before gluing it is a half ring of radius 50 to 60, without an overlay."""
    ax = charts.before_after(empty_axes(), outcome=OUTCOMES[0], **THICK)
    radii = np.hypot(*patch(ax, "outline").get_xy().T)
    assert radii.min() == pytest.approx(50, rel=1e-9) and radii.max() == pytest.approx(60, rel=1e-9)


def test_the_length_let_go_is_the_length_drawn():
    """Independent: the filled base's inside, summed chord by chord, against settle()."""
    ax = charts.before_after(empty_axes(), outcome=OUTCOMES[0], **THICK)
    filled, _ = corners(ax, "layer 0")
    drawn = np.hypot(*np.diff(filled, axis=0).T).sum()
    rest = released(JOINT, JOINT.cut_length)
    assert drawn == pytest.approx(float(rest.lengths.sum()), rel=1e-5)


def test_the_words_are_a_makers():
    """Regression of the numbers in the words; they are checked as numbers in tests/fit."""
    figure = charts.stretch_or_cut(outcomes=OUTCOMES[:2], **THICK)
    first, second = (words_on(ax) for ax in figure.axes)
    assert "stretched as cut" in first
    assert "cut 173 mm, stretch 13.2 %\nmouth 100 → 159 mm" in first
    assert "cut 196 mm, no stretch\nmouth 100 → 104 mm" in second
    inches = charts.stretch_or_cut(outcomes=OUTCOMES[:1], system="in", **THICK)
    # exact by hand: 100 mm is 3.937 in, 159.1 mm is 6.264 in, 172.8 mm is 6.803 in
    assert "cut 6 13/16 in, stretch 13.2 %\nmouth 3 15/16 → 6 1/4 in" in words_on(inches.axes[0])


def test_an_overlay_cut_too_long_is_said_to_be_squeezed():
    long = let_go(JOINT.with_cut(205), name="too long")
    # exact by hand: 196.35/205 - 1 = -4.2 %
    said = " ".join(words_on(charts.before_after(empty_axes(), outcome=long, **THICK)))
    assert "squeeze 4.2 %" in said


@pytest.mark.parametrize("count", [1, 2, 3])
def test_all_panels_have_one_scale_and_one_ground(count):
    figure = charts.stretch_or_cut(outcomes=OUTCOMES[:count], **THICK)
    FigureCanvasAgg(figure).draw()
    assert len(figure.axes) == count
    origins = [ax.transData.transform((0, 0)) for ax in figure.axes]
    steps = [ax.transData.transform((1, 1)) - o for ax, o in zip(figure.axes, origins, strict=True)]
    np.testing.assert_allclose(steps, steps[0][0], rtol=1e-9)  # and the same across as up
    np.testing.assert_allclose([o[1] for o in origins], origins[0][1], rtol=1e-12)
    assert figure.get_figwidth() <= 9.0


def test_room_keeps_the_scale_of_pictures_in_a_row():
    """Exact by hand: all sections are narrower than the room, shown with 4 % at each side."""

    def shown(outcome):
        ax = charts.before_after(empty_axes(), outcome=outcome, room=240, **THICK)
        return np.ptp(ax.get_xlim())

    for outcome in OUTCOMES:
        assert shown(outcome) == pytest.approx(1.08 * 240, rel=1e-9)
    free = charts.before_after(empty_axes(), outcome=OUTCOMES[1], **THICK)
    assert np.ptp(free.get_xlim()) < 150


def test_a_figure_that_is_given_is_used_as_it_is():
    figure = Figure(figsize=(7, 4))
    assert charts.stretch_or_cut(figure, outcomes=OUTCOMES[:2], **THICK) is figure
    assert tuple(figure.get_size_inches()) == (7, 4)
    assert_readable(figure)


@pytest.mark.parametrize("outcomes", [(), (*OUTCOMES, OUTCOMES[0])], ids=["none", "four"])
def test_only_one_to_three_stand_side_by_side(outcomes):
    with pytest.raises(ValueError, match=f"outcomes must be 1 to 3 .* got {len(outcomes)}"):
        charts.stretch_or_cut(outcomes=outcomes, **THICK)


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"base_thickness": 0}, "base thickness must be a finite length above 0 mm, got 0"),
        ({"overlay_thickness": float("nan")}, "overlay thickness must be .* got nan"),
        ({"system": "cm"}, "system must be one of 'mm', 'in', got 'cm'"),
        ({"room": -1}, "room must be a finite length of 0 mm or more"),
    ],
)
def test_bad_input_is_refused(change, message):
    for draw in (
        lambda **kw: charts.before_after(empty_axes(), outcome=OUTCOMES[0], **kw),
        lambda **kw: charts.stretch_or_cut(outcomes=OUTCOMES[:1], **kw),
    ):
        with pytest.raises(ValueError, match=message):
            draw(**{**THICK, **change})


def test_a_profile_that_cannot_be_drawn_is_refused():
    several = chain([[100.0], [120.0]], [[1.0], [1.0]])
    with pytest.raises(ValueError, match=r"profile must hold one case .* shape \(2, 2\)"):
        charts.section(empty_axes(), profile=several, thicknesses=(5,))
    ring = chain([300.0], [2 * math.pi])
    with pytest.raises(ValueError, match=r"arc 0 of the profile makes a full turn"):
        charts.section(empty_axes(), profile=ring, thicknesses=(5,))
    with pytest.raises(
        ValueError, match=r"thicknesses must be .* above 0 mm, got -5\.0 at index 1"
    ):
        charts.section(empty_axes(), profile=chain([100], [1]), thicknesses=(5, -5))


# Every picture -----------------------------------------------------------------------------------

JOINTS = {
    "half turn": JOINT,
    "shallow, thin": joint_on(Arc(80, 1.2), 6, 3),
    "deep": joint_on(Arc(40, math.radians(310)), 6, 4),
    "half an ellipse": joint_on(Ellipse(60, 45, 0, math.pi)),
    "only held": joint_on(Arc(50, math.pi), formed=0.0),
    "too long": JOINT.with_cut(205),
    "as long as needed": JOINT.with_cut(JOINT.needed_length),
    "hollow": joint_on(Arc(120, -1.5)),
}
each_joint = pytest.mark.parametrize("joint", JOINTS.values(), ids=JOINTS.keys())
each_system = pytest.mark.parametrize("system", ["mm", "in"])


@each_joint
@each_system
def test_the_words_can_be_read_side_by_side(joint, system):
    cut = let_go(joint.with_cut(joint.needed_length), name="shortest inside the limits")
    base, overlay = joint.base.thickness, joint.overlay.thickness
    for ways in ((let_go(joint),), (let_go(joint), cut), (let_go(joint), cut, cut)):
        figure = charts.stretch_or_cut(
            outcomes=ways, base_thickness=base, overlay_thickness=overlay, system=system
        )
        assert_readable(figure)


@each_joint
@each_system
def test_the_words_can_be_read_on_the_mouth_chart(joint, system):
    ax = charts.mouth_against_cut(empty_axes(), joint=joint, system=system)
    ax.set(xticks=[], yticks=[])
    assert_readable(ax.figure)


@pytest.mark.parametrize("degrees", [30, 90, 180, 270, 360])
@each_system
def test_the_words_can_be_read_on_the_sketch(degrees, system):
    ax = charts.gap_sketch(empty_axes(tall=6.0), turn=math.radians(degrees), system=system, **THICK)
    assert_readable(ax.figure)


def layer_shapes(ax):
    """The filled layers as closed paths, in pixels."""
    return [
        p.get_path().transformed(p.get_transform())
        for p in ax.patches
        if (p.get_gid() or "").startswith("layer")
    ]


@pytest.mark.parametrize("degrees", [30, 90, 180, 270, 360])
@each_system
def test_the_words_of_the_sketch_stand_beside_the_layers(degrees, system):
    ax = charts.gap_sketch(empty_axes(tall=6.0), turn=math.radians(degrees), system=system, **THICK)
    found = boxes(ax.figure)
    for (words, box), shape in itertools.product(found, layer_shapes(ax)):
        x = np.linspace(box.x0 + 2, box.x1 - 2, 40)
        y = np.linspace(box.y0 + 4, box.y1 - 4, 10)
        inside = shape.contains_points(np.column_stack([a.ravel() for a in np.meshgrid(x, y)]))
        assert not inside.any(), f"{words!r} lies over a layer"


@each_joint
def test_all_that_is_drawn_is_shown(joint):
    base, overlay = joint.base.thickness, joint.overlay.thickness
    figure = charts.stretch_or_cut(
        outcomes=(let_go(joint),), base_thickness=base, overlay_thickness=overlay
    )
    (ax,) = figure.axes
    points = np.concatenate([p.get_xy() for p in ax.patches])
    for limits, column in ((ax.get_xlim(), points[:, 0]), (ax.get_ylim(), points[:, 1])):
        assert limits[0] < column.min() and column.max() < limits[1]


@each_joint
def test_no_line_runs_through_the_words_on_the_mouth_chart(joint):
    """The thin lines up from the dots, against the words at the tops of the others."""
    ax = charts.mouth_against_cut(empty_axes(), joint=joint)
    flags = [
        (words, box) for words, box in boxes(ax.figure) if ": " in words and "limit " not in words
    ]
    stems = [x.get_window_extent() for x in ax.lines if len(x.get_xdata()) == 2 and not x.get_gid()]
    assert len(stems) == len(flags) >= 1
    for (words, box), stem in itertools.product(flags, stems):
        apart = not box.x0 < stem.x0 < box.x1
        assert apart or stem.y1 < box.y0 or stem.y0 > box.y1, words


def draw_all(name):
    if name == "section":
        return charts.section(empty_axes(), profile=OUTCOMES[0].after, thicknesses=(10, 5))
    if name == "before_after":
        return charts.before_after(empty_axes(), outcome=OUTCOMES[0], **THICK)
    if name == "mouth_against_cut":
        return charts.mouth_against_cut(empty_axes(), joint=JOINT)
    if name == "gap_sketch":
        return charts.gap_sketch(empty_axes(), turn=2.0, **THICK)
    return charts.stretch_or_cut(outcomes=OUTCOMES, **THICK)


@pytest.mark.parametrize("name", charts.__all__)
def test_a_picture_leaves_everything_else_alone(name):
    """No pyplot figure, no change of style, the same bytes twice, the axes handed back."""
    import matplotlib.pyplot as plt

    matplotlib.get_backend()  # chosen when first asked for, by whoever asks
    style, open_figures = matplotlib.rcParams.copy(), plt.get_fignums()
    pages = []
    for _ in range(2):
        drawn = draw_all(name)
        page = BytesIO()
        (drawn if isinstance(drawn, Figure) else drawn.figure).savefig(page, format="png")
        pages.append(page.getvalue())
    assert pages[0] == pages[1]
    assert matplotlib.rcParams == style and plt.get_fignums() == open_figures


def test_the_axes_come_back():
    for draw in (
        lambda ax: charts.section(ax, profile=OUTCOMES[0].after, thicknesses=(10, 5)),
        lambda ax: charts.before_after(ax, outcome=OUTCOMES[0], **THICK),
        lambda ax: charts.mouth_against_cut(ax, joint=JOINT),
        lambda ax: charts.gap_sketch(ax, turn=2.0, **THICK),
    ):
        ax = empty_axes()
        assert draw(ax) is ax


def test_importing_loads_no_matplotlib():
    code = (
        "import sys, foamcalc.draw.charts, foamcalc.draw.gapchart, foamcalc.draw.widgets; "
        "print([m for m in ('matplotlib', 'ipywidgets', 'pandas', 'scipy') if m in sys.modules])"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "[]"


# The mouth against the cut -----------------------------------------------------------------------


def line(ax, gid):
    (found,) = [x for x in ax.lines if x.get_gid() == gid]
    return np.asarray(found.get_xdata()), np.asarray(found.get_ydata())


def dots(ax):
    return sorted(
        (float(x.get_xdata()[0]), float(x.get_ydata()[0]))
        for x in ax.lines
        if x.get_marker() == "o"
    )


@each_joint
def test_the_curve_is_what_letting_go_gives_cut_by_cut(joint):
    """Independent path: `let_go` for single cuts against the array on the chart."""
    ax = charts.mouth_against_cut(empty_axes(), joint=joint)
    cuts, opens = line(ax, "opening")
    for i in (0, len(cuts) // 2, -1):
        assert opens[i] == pytest.approx(let_go(joint.with_cut(cuts[i])).opening, abs=1e-6)


def test_what_is_marked():
    limits = default_limits(JOINT.overlay)
    ax = charts.mouth_against_cut(empty_axes(), joint=JOINT)
    _, height = line(ax, "limit")
    assert set(height) == {limits["mouth"].value}
    shortest = shortest_cut(
        JOINT,
        strain=limits["stretch"].value,
        opening=limits["mouth"].value,
        force=limits["force"].value,
    )
    marked = sorted((JOINT.cut_length, JOINT.needed_length, shortest))
    found = dots(ax)
    np.testing.assert_allclose([x for x, _ in found], marked, rtol=1e-12)
    # here the mouth decides: the shortest lies on the limit line
    assert found[1][1] == pytest.approx(limits["mouth"].value, abs=1e-4)
    said = words_on(ax)
    # regression of the numbers in the words
    assert "as cut 173 mm: opens 59 mm" in said
    assert "needed length 196 mm: opens 4 mm" in said
    assert "shortest inside the limits 194 mm: opens 10 mm" in said
    assert "limit 10 mm" in said


def test_the_chart_in_inches_is_the_same_chart():
    """Exact by hand: 25.4 mm to the inch."""
    mm = charts.mouth_against_cut(empty_axes(), joint=JOINT)
    inch = charts.mouth_against_cut(empty_axes(), joint=JOINT, system="in")
    for gid in ("opening", "limit"):
        np.testing.assert_allclose(line(inch, gid)[1] * 25.4, line(mm, gid)[1], rtol=1e-12)
    np.testing.assert_allclose(np.array(dots(inch)) * 25.4, dots(mm), rtol=1e-12)
    assert inch.get_xlabel() == "overlay cut to [in]"


def test_limits_can_be_changed():
    """Exact by hand: a limit under what an unstretched overlay does leaves no cut length."""
    from dataclasses import replace

    tight = {"mouth": replace(default_limits(JOINT.overlay)["mouth"], value=2.0)}
    ax = charts.mouth_against_cut(empty_axes(), joint=JOINT, limits=tight)
    assert "limit 2 mm: no cut length keeps every limit" in words_on(ax)
    assert len(dots(ax)) == 2


def test_marks_that_coincide_are_one():
    ax = charts.mouth_against_cut(empty_axes(), joint=JOINT.with_cut(JOINT.needed_length + 0.1))
    assert len(dots(ax)) == 2
    assert any(w.startswith("as cut, needed length 196 mm") for w in words_on(ax))


def test_a_hollow_is_not_offered_a_stretch():
    ax = charts.mouth_against_cut(empty_axes(), joint=JOINTS["hollow"])
    assert not any("shortest" in w or "no cut length" in w for w in words_on(ax))


def test_a_ring_has_no_mouth_to_draw():
    with pytest.raises(ValueError, match="a closed ring has no mouth"):
        charts.mouth_against_cut(
            empty_axes(), joint=joint_on(Arc(50, 2 * math.pi, closed=True), law=Linear(1.5))
        )


# The sketch --------------------------------------------------------------------------------------


@pytest.mark.parametrize(("radius", "degrees"), [(50, 180), (120, 30), (40, 360)])
def test_the_sketch_shows_turn_times_offset(radius, degrees):
    """Exact by hand: base (R + 5) turn, overlay (R + 12.5) turn, gap 7.5 turn."""
    turn = math.radians(degrees)
    ax = charts.gap_sketch(empty_axes(), turn=turn, inside_radius=radius, **THICK)
    assert patch(ax, "gap").get_width() == pytest.approx(7.5 * turn, rel=1e-12)
    flat = [p.get_xy() for p in ax.patches if p.get_gid() == "layer 0"][1:]
    for points, thick in zip(flat, (10, 5), strict=True):
        assert np.ptp(points[:, 0]) == pytest.approx((radius + 5) * turn, rel=1e-12)
        assert np.ptp(points[:, 1]) == pytest.approx(thick, rel=1e-12)
    said = " ".join(words_on(ax))
    assert f"turn {degrees}°" in said and "offset 7.5 mm" in said
    numbers = [float(x) for x in re.findall(r"(?:flat:|gap|needs) ([0-9.]+) mm", said)]
    expected = [(radius + 5) * turn, 7.5 * turn, (radius + 12.5) * turn]
    np.testing.assert_allclose(sorted(numbers), sorted(expected), atol=0.0501)


def test_the_dashed_lines_are_the_fibres():
    """Exact by hand: the middles of the layers lie on radius 55 and 62.5."""
    ax = charts.gap_sketch(empty_axes(), turn=2.0, **THICK)
    dashed = [x for x in ax.lines if x.get_linestyle() == "--" and len(x.get_xdata()) > 100]
    radii = [np.hypot(x.get_xdata(), x.get_ydata()) for x in dashed[:2]]
    np.testing.assert_allclose(radii[0], 55, rtol=1e-12)
    np.testing.assert_allclose(radii[1], 62.5, rtol=1e-12)


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"turn": 0.0}, "turn must be a finite angle above 0 rad, got 0.0"),
        ({"turn": -1.0}, "turn must be .* got -1.0"),
        ({"turn": 90.0}, "if it was meant in degrees"),
        ({"inside_radius": 0.0}, "radius must be a finite length above 0 mm"),
    ],
)
def test_a_sketch_that_cannot_be_is_refused(change, message):
    with pytest.raises(ValueError, match=message):
        charts.gap_sketch(empty_axes(), **{**THICK, "turn": 1.0, **change})


def test_thicknesses_are_said_as_they_are():
    """Exact by hand."""
    assert ink.thickness(10.0, "mm") == "10 mm"
    assert ink.thickness(3.75, "mm") == "3.75 mm"
    assert ink.thickness(100.0, "mm") == "100 mm"
    assert ink.thickness(9.525, "in") == "3/8 in"
