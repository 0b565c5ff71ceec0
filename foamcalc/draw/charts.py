"""Pictures of one joint: its section, what letting go does to it, and the gap."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from foamcalc.draw import ink
from foamcalc.draw.dimension import Frame
from foamcalc.draw.ink import INK, QUIET
from foamcalc.draw.mouth import mouth_against_cut
from foamcalc.draw.sketch import gap_sketch
from foamcalc.fit.release import Outcome
from foamcalc.guards import one_of, positive
from foamcalc.shape.profile import Profile
from foamcalc.units import System

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

__all__ = ["before_after", "gap_sketch", "mouth_against_cut", "section", "stretch_or_cut"]

_PANEL = 4.5
"""Widest panel of a figure made here [in]."""
_HEAD, _FOOT = 0.85, 0.40
"""Room over the panels for their titles, and under them for the caption [in]."""
_ONE_LINE = 5.5
"""Figure width from which the caption stands on one line [in]."""
_UNSTRETCHED = 0.0005
"""Strain that is called no stretch [1]."""


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
    >>> from foamcalc.shape.profile import chain
    >>> ax = Figure().add_subplot()
    >>> half = chain([157.08], [3.14159])
    >>> section(ax, profile=half, thicknesses=(10, 5), label="shell with scute") is ax
    True
    """
    one_of(system, "system", ("mm", "in"))
    fine = _drawn(profile)
    total = float(positive(thicknesses, "thicknesses").sum())
    ink.layers(ax, profile=fine, thicknesses=thicknesses)
    frame = Frame.around([(fine, total)], levels=1)
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
    room: float = 0.0,
) -> Axes:
    """Draw a section before gluing (dashed) and after it was let go (filled), ends level.

    Parameters
    ----------
    ax : Axes
        Where; its data are mm.
    outcome : Outcome
        From `foamcalc.fit.release.let_go`.
    base_thickness, overlay_thickness : float
        Thicknesses [mm], above 0.
    system : {"mm", "in"}
        Units to speak in; the picture stays in mm.
    room : float
        Width to leave room for [mm], so that pictures in a row keep one scale.

    Returns
    -------
    Axes
        The one that was given.
    """
    stack = ink.stack_of(base_thickness, overlay_thickness, system)
    _panel(ax, outcome, stack, _frame([outcome], stack, room), system)
    said = ", ".join(_said(outcome, system))
    ax.set_title(f"{outcome.name}\n{said}", fontsize=10.5, color=INK)
    return ax


def stretch_or_cut(
    figure: Figure | None = None,
    /,
    *,
    outcomes: Sequence[Outcome],
    base_thickness: float,
    overlay_thickness: float,
    system: System = "mm",
    room: float = 0.0,
) -> Figure:
    """Draw ways of closing a gap side by side, each before gluing and after being let go.

    Parameters
    ----------
    figure : Figure, optional
        An empty figure to draw in; one 9 inches wide (or less, for one panel) is made if left
        out.
    outcomes : sequence of Outcome
        One to three, from `foamcalc.fit.release.let_go`.
    base_thickness, overlay_thickness : float
        Thicknesses [mm], above 0.
    system : {"mm", "in"}
        Units to speak in; the picture stays in mm.
    room : float
        Width of a panel to leave room for [mm], so that pictures in a row keep one scale.

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
    >>> from foamcalc.fit.overlay import Overlay
    >>> from foamcalc.fit.release import let_go
    >>> from foamcalc.fit.stack import Piece
    >>> from foamcalc.foam.grades import foam
    >>> from foamcalc.shape.curve import Arc
    >>> eva = foam("EVA medium")
    >>> joint = Overlay.from_curve(Arc(50, 3.14159), face="inside",
    ...     base=Piece(thickness=10, law=eva, formed=1), overlay=Piece(thickness=5, law=eva))
    >>> ways = (let_go(joint), let_go(joint.with_cut(joint.needed_length), name="cut to length"))
    >>> picture = stretch_or_cut(outcomes=ways, base_thickness=10, overlay_thickness=5)
    >>> len(picture.axes)
    2
    """
    from matplotlib.figure import Figure

    if not 1 <= len(outcomes) <= 3:
        raise ValueError(f"outcomes must be 1 to 3 to stand side by side, got {len(outcomes)}")
    stack = ink.stack_of(base_thickness, overlay_thickness, system)
    frame = _frame(outcomes, stack, room)
    count = len(outcomes)
    if figure is None:
        wide = min(9.0 / count, _PANEL)
        tall = wide * frame.tall / frame.wide
        figure = Figure(figsize=(wide * count, tall + _HEAD + _FOOT))
    figure_wide, high = figure.get_size_inches()
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
        ax.set_title(outcome.name, fontsize=11.5, fontweight="bold", color=INK, pad=36)
        said = "\n".join(_said(outcome, system))
        ink.words(
            ax, said, at=(sum(ax.get_xlim()) / 2, ax.get_ylim()[1]), shift=(0, 3), va="bottom"
        )
    base, overlay = (ink.thickness(t, system) for t in stack)
    line_end = " " if figure_wide >= _ONE_LINE else "\n"
    caption = (
        f"dashed: base before gluing;{line_end}filled: base {base} and overlay {overlay}, let go"
    )
    figure.text(0.5, 0.10 / high, caption, ha="center", va="bottom", fontsize=9, color=QUIET)
    return figure


def _frame(outcomes: Sequence[Outcome], stack: tuple[float, float], room: float) -> Frame:
    """The frame that holds every outcome, before and after."""
    bands = [(_drawn(o.before), stack[0]) for o in outcomes]
    bands += [(_drawn(o.after), sum(stack)) for o in outcomes]
    return Frame.around(bands, levels=2, room=room)


def _drawn(profile: Profile) -> Profile:
    return ink.one_case(profile).levelled()


def _panel(
    ax: Axes, outcome: Outcome, stack: tuple[float, float], frame: Frame, system: System
) -> None:
    """One outcome: layers let go, the base before, and both mouths; the narrower one first."""
    before, after = _drawn(outcome.before), _drawn(outcome.after)
    ink.layers(ax, profile=after, thicknesses=stack)
    ink.outline(ax, profile=before, thickness=stack[0])
    mouths = [(outcome.size_before, before, "before"), (outcome.size_after, after, "let go")]
    mouths.sort(key=lambda m: m[0])
    for level, (mouth, profile, when) in enumerate(mouths, 1):
        frame.measure(ax, profile, level=level, text=f"{when} {ink.size(mouth, system)}")
    frame.apply(ax)


def _said(outcome: Outcome, system: System) -> tuple[str, str]:
    """What was done and what came of it, in a maker's words."""
    strain = outcome.strain
    if abs(strain) < _UNSTRETCHED:
        pull = "no stretch"
    else:
        pull = f"{'stretch' if strain > 0 else 'squeeze'} {100 * abs(strain):.1f} %"
    return (
        f"cut {ink.size(outcome.cut_length, system)}, {pull}",
        f"{outcome.what} {ink.from_to(outcome.size_before, outcome.size_after, system)}",
    )
