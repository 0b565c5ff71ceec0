"""Pictures of one joint: its section, what letting go does to it, and the gap."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from foamcalc.draw import ink
from foamcalc.draw.ink import INK, QUIET, System
from foamcalc.fit.choice import Limit, default_limits
from foamcalc.fit.overlay import Outcome, Overlay, released, shortest_cut
from foamcalc.guards import one_of, positive
from foamcalc.shape.curve import Arc
from foamcalc.shape.profile import Profile, chain
from foamcalc.units import format_angle

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

_PANEL = 4.5
"""Widest panel of a figure made here [in]."""
_HEAD, _FOOT = 0.85, 0.40
"""Room over the panels for their titles, and under them for the caption [in]."""


def section(
    ax: Axes,
    *,
    profile: Profile,
    thicknesses: Sequence[float],
    label: str = "",
    system: System = "mm",
) -> Axes:
    """Draw a section through the thickness, with its mouth measured.

    Parameters
    ----------
    ax : Axes
        Where; its data are mm.
    profile : Profile
        Inside of the section, one case.
    thicknesses : sequence of float
        Thickness of each layer from the inside out [mm], above 0.
    label : str
        Words over the section.
    system : {"mm", "in"}
        Units to speak in; the picture stays in mm.

    Returns
    -------
    Axes
        The one that was given.

    Raises
    ------
    ValueError
        For a profile of several cases, or a thickness that is not above 0.

    Notes
    -----
    Layers are drawn as thick as they were cut; the little that foam thins when it is stretched
    is left out.

    Examples
    --------
    >>> from matplotlib.figure import Figure
    >>> ax = Figure().add_subplot()
    >>> half = chain([50 * np.pi], [np.pi])
    >>> section(ax, profile=half, thicknesses=(10, 5), label="shell with scute") is ax
    True
    """
    one_of(system, "system", ("mm", "in"))
    fine = ink.one_case(profile.levelled())
    total = float(positive(thicknesses, "thicknesses").sum())
    ink.layers(ax, profile=fine, thicknesses=thicknesses)
    frame = _Frame.around([(fine, total)], levels=1)
    frame.measure(ax, fine, level=1, text=f"mouth {ink.size(float(profile.mouth), system)}")
    if label:
        ax.set_title(label, fontsize=11, color=INK)
    frame.apply(ax)
    return ax


def before_after(
    ax: Axes,
    *,
    outcome: Outcome,
    base_thickness: float,
    overlay_thickness: float,
    system: System = "mm",
) -> Axes:
    """Draw a section before gluing (dashed) and after it was let go (filled), ends level.

    Parameters
    ----------
    ax : Axes
        Where; its data are mm.
    outcome : Outcome
        From `foamcalc.fit.overlay.let_go`.
    base_thickness, overlay_thickness : float
        Thicknesses [mm], above 0.
    system : {"mm", "in"}
        Units to speak in; the picture stays in mm.

    Returns
    -------
    Axes
        The one that was given.
    """
    stack = _stack(base_thickness, overlay_thickness, system)
    frame = _Frame.around(_bands([outcome], stack), levels=2)
    _panel(ax, outcome, stack, frame, system)
    return ax


def stretch_or_cut(
    figure: Figure | None = None,
    /,
    *,
    outcomes: Sequence[Outcome],
    base_thickness: float,
    overlay_thickness: float,
    system: System = "mm",
) -> Figure:
    """Draw ways of closing a gap side by side, each before gluing and after being let go.

    Parameters
    ----------
    figure : Figure, optional
        An empty figure to draw in; one 9 inches wide (or less, for one panel) is made if left
        out.
    outcomes : sequence of Outcome
        One to three, from `foamcalc.fit.overlay.let_go`.
    base_thickness, overlay_thickness : float
        Thicknesses [mm], above 0.
    system : {"mm", "in"}
        Units to speak in; the picture stays in mm.

    Returns
    -------
    Figure
        With one Axes for each outcome, all to one scale.

    Raises
    ------
    ValueError
        For no outcome or more than three, or a thickness that is not above 0.

    Examples
    --------
    >>> from foamcalc.fit.overlay import Overlay, let_go
    >>> from foamcalc.fit.stack import Piece
    >>> from foamcalc.foam.grades import foam
    >>> eva = foam("EVA medium")
    >>> joint = Overlay.from_curve(Arc(50, np.pi), face="inside",
    ...     base=Piece(thickness=10, law=eva, formed=1), overlay=Piece(thickness=5, law=eva))
    >>> ways = (let_go(joint), let_go(joint.with_cut(joint.needed_length), name="cut to length"))
    >>> picture = stretch_or_cut(outcomes=ways, base_thickness=10, overlay_thickness=5)
    >>> len(picture.axes)
    2
    """
    from matplotlib.figure import Figure

    if not 1 <= len(outcomes) <= 3:
        raise ValueError(f"outcomes must be 1 to 3 to stand side by side, got {len(outcomes)}")
    stack = _stack(base_thickness, overlay_thickness, system)
    frame = _Frame.around(_bands(outcomes, stack), levels=2)
    count = len(outcomes)
    if figure is None:
        wide = min(9.0 / count, _PANEL)
        tall = wide * frame.tall / frame.wide
        figure = Figure(figsize=(wide * count, tall + _HEAD + _FOOT))
    high = figure.get_figheight()
    panels = figure.subplots(
        1,
        count,
        squeeze=False,
        gridspec_kw={
            "left": 0.0,
            "right": 1.0,
            "wspace": 0.0,
            "top": max(1 - _HEAD / high, 0.5),
            "bottom": min(_FOOT / high, 0.2),
        },
    )
    for ax, outcome in zip(panels[0], outcomes, strict=True):
        _panel(ax, outcome, stack, frame, system)
    thick = [ink.size(t, system, resolution=0.5 if system == "mm" else None) for t in stack]
    thick = [t.replace(".0 ", " ") for t in thick]
    words = ["dashed: base before gluing", f"let go: base {thick[0]}", f"overlay {thick[1]} (hatched)"]
    figure.text(
        0.5, 0.10 / high, ", ".join(words), ha="center", va="bottom", fontsize=9, color=QUIET
    )
    return figure


def mouth_against_cut(
    ax: Axes,
    *,
    joint: Overlay,
    limits: Mapping[str, Limit] | None = None,
    system: System = "mm",
) -> Axes:
    """Draw how far the mouth opens against the length the overlay is cut to.

    Parameters
    ----------
    ax : Axes
        Where; its data are mm, or inches.
    joint : Overlay
        The joint, its overlay as cut.
    limits : mapping, optional
        As from `foamcalc.fit.choice.default_limits`; ``stretch``, ``mouth`` and ``force`` are
        used.
    system : {"mm", "in"}
        Units of words and axes.

    Returns
    -------
    Axes
        The one that was given.

    Raises
    ------
    ValueError
        For a closed ring, which has no mouth.
    """
    unit = {"mm": 1.0, "in": 25.4}[one_of(system, "system", ("mm", "in"))]
    if joint.curve.closed:
        raise ValueError("a closed ring has no mouth to draw; its gap and stretch can be asked")
    known = {**default_limits(joint.overlay), **(limits or {})}
    marks = _marks(joint, known)
    longest = joint.needed_length / (1 + known["stretch"].value)
    low, high = min(longest, *(m.cut for m in marks)), max(m.cut for m in marks)
    margin = 0.06 * max(high - low, 0.02 * high)
    cuts, opens = _openings(joint, np.linspace(low - margin, high + margin, 161))
    ax.plot(cuts / unit, opens / unit, color=INK, linewidth=1.8, zorder=3, gid="opening")
    most = known["mouth"].value
    _limit_line(ax, cuts / unit, opens / unit, most / unit, f"limit {ink.size(most, system)}")
    bottom, top = min(float(opens.min()), 0.0), max(float(opens.max()), 1.3 * most)
    step = 0.09 * (top - bottom)
    for mark, rank, side in _flags(marks, (low + high) / 2):
        level = top + step * (rank + 0.6)
        moved = ("opens " if mark.opens >= 0 else "closes ") + ink.size(abs(mark.opens), system)
        _flag(
            ax,
            point=(mark.cut / unit, mark.opens / unit),
            level=level / unit,
            text=f"{mark.name} {ink.size(mark.cut, system)}: {moved}",
            side=side,
        )
    ax.set_xlim((low - margin) / unit, (high + margin) / unit)
    ax.set_ylim((bottom - 0.5 * step) / unit, (top + step * (len(marks) + 0.3)) / unit)
    ax.set_xlabel(f"overlay cut to [{system}]")
    ax.set_ylabel(f"mouth opens by [{system}]")
    for spine in ("top", "right"):
        ax.spines[spine].set_visible(False)
    return ax


def gap_sketch(
    ax: Axes,
    *,
    base_thickness: float,
    overlay_thickness: float,
    turn: float,
    inside_radius: float = 50.0,
    system: System = "mm",
) -> Axes:
    """Draw why an overlay must be longer: a bend of two layers, and both laid flat below it.

    Parameters
    ----------
    ax : Axes
        Where; its data are mm.
    base_thickness, overlay_thickness : float
        Thicknesses [mm], above 0.
    turn : float
        Turn of the bend [rad], above 0, at most a full turn.
    inside_radius : float
        Radius of the base's inside [mm], above 0. It does not change the gap.
    system : {"mm", "in"}
        Units to speak in; the picture stays in mm.

    Returns
    -------
    Axes
        The one that was given.

    Raises
    ------
    ValueError
        For a turn that is not above 0, or lengths that are not.

    Notes
    -----
    The dashed lines are the fibres: the middles of the layers, which keep their length in the
    bend. ``gap = turn * offset``, the offset being the distance between the two.
    """
    stack = _stack(base_thickness, overlay_thickness, system)
    inside = Arc(inside_radius, float(positive(turn, "turn", "rad")))
    on_base, over = stack[0] / 2, stack[0] + stack[1] / 2
    cut, needed = (float(inside.length_at(d)) for d in (on_base, over))
    bend = chain([inside.length / 2] * 2, [turn / 2] * 2)
    rise = inside.radius * np.cos(turn / 2)
    fine = ink.one_case(Profile(bend.x - bend.x[-1] / 2, bend.y + rise, bend.heading))
    wide = max(needed, 2 * (inside.radius + sum(stack)) * np.sin(min(turn, np.pi) / 2))
    ink.layers(ax, profile=fine, thicknesses=stack)
    for height in (on_base, over):
        ax.plot(*fine.offset(height), color=INK, linewidth=1.2, linestyle=(0, (5, 3)), zorder=4)
    _bend_words(ax, inside, stack, wide, system)
    floor = min(float(ink.band(fine, bottom=0.0, top=sum(stack))[:, 1].min()), 0.0) - 0.10 * wide
    bottom = _flat_layers(ax, (cut, needed), stack, floor, wide, turn, system)
    ax.set_xlim(-0.54 * wide, 0.54 * wide)
    ax.set_ylim(bottom, inside.radius + sum(stack) + 0.10 * wide)
    ink.bare(ax)
    return ax
