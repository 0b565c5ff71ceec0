"""The teaching sketch of turn times offset: a bend of two layers, and both laid flat."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from foamcalc.draw import ink
from foamcalc.draw.dimension import dimension
from foamcalc.draw.ink import INK, QUIET
from foamcalc.guards import positive
from foamcalc.shape.curve import Arc
from foamcalc.shape.profile import chain
from foamcalc.units import System, format_angle, format_length

if TYPE_CHECKING:
    from matplotlib.axes import Axes


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
    stack = ink.stack_of(base_thickness, overlay_thickness, system)
    inside = Arc(inside_radius, float(positive(turn, "turn", "rad")))
    on_base, over = stack[0] / 2, stack[0] + stack[1] / 2
    cut, needed = (float(inside.length_at(d)) for d in (on_base, over))
    bend = chain([inside.length / 2] * 2, [turn / 2] * 2)
    ends = inside.radius * float(np.cos(turn / 2))
    fine = ink.one_case(bend.shifted(-bend.x[-1] / 2, ends))
    reach = inside.radius + sum(stack)
    wide = max(needed, 2 * reach * np.sin(min(turn, np.pi) / 2), 0.9 * (reach - min(ends, 0.0)))
    ink.layers(ax, profile=fine, thicknesses=stack)
    for height in (on_base, over):
        ax.plot(*fine.offset(height), color=INK, linewidth=1.2, linestyle=(0, (5, 3)), zorder=4)
    _bend_words(ax, inside, stack, wide, system)
    floor = min(float(ink.band(fine, bottom=0.0, top=sum(stack))[:, 1].min()), 0.0) - 0.13 * wide
    bottom = _flat_layers(ax, (cut, needed), stack, floor, wide, turn, system)
    ax.set_xlim(-0.54 * wide, 0.54 * wide)
    ax.set_ylim(bottom, reach + 0.10 * wide)
    ink.bare(ax)
    return ax


def _at(radius: float, angle: float) -> tuple[float, float]:
    """A point at an angle from straight up, to the left [rad]."""
    return -radius * float(np.sin(angle)), radius * float(np.cos(angle))


def _bend_words(
    ax: Axes, inside: Arc, stack: tuple[float, float], wide: float, system: System
) -> None:
    """Radii, turn and offset, in and over the bend."""
    radius, turn, total = inside.radius, inside.turn, sum(stack)
    for angle in (-turn / 2, turn / 2):
        ax.plot(*zip((0, 0), _at(radius, angle), strict=True), color=QUIET, linewidth=0.8)
    sweep = np.linspace(-turn / 2, turn / 2, 90)
    ax.plot(*_at_all(0.22 * radius, sweep), color=QUIET, linewidth=0.8)
    clear_of_ends = 0.0 if turn <= np.pi else -0.5 * radius
    ink.words(ax, f"turn {format_angle(turn)}", at=(0.0, clear_of_ends), shift=(0, -4), va="top")
    lean = min(turn / 4, 0.8)
    ink.arrow(ax, tip=_at(radius, lean), tail=(0.0, 0.0))
    ink.words(ax, f"radius\n{ink.size(radius, system)}", at=_at(0.6 * radius, lean))
    low, high = radius + stack[0] / 2, radius + stack[0] + stack[1] / 2
    ink.arrow(ax, tip=(0.0, low), tail=(0.0, high), both=True)
    ax.plot([0, 0], [high, radius + total + 0.035 * wide], color=QUIET, linewidth=0.8, zorder=4)
    offset = ink.thickness(high - low, system)
    ink.words(
        ax,
        f"offset {offset}: half the base and half the overlay",
        at=(0.0, radius + total + 0.035 * wide),
        shift=(0, 2),
        va="bottom",
    )


def _at_all(radius: float, angles: ink.Floats) -> tuple[ink.Floats, ink.Floats]:
    return -radius * np.sin(angles), radius * np.cos(angles)


def _flat_layers(
    ax: Axes,
    lengths: tuple[float, float],
    stack: tuple[float, float],
    ceiling: float,
    wide: float,
    turn: float,
    system: System,
) -> float:
    """Both layers laid flat, the overlay cut like its base; returns the lowest height used."""
    from matplotlib.patches import Rectangle

    cut, needed = lengths
    left, room = -needed / 2, 0.085 * wide
    base_at = ceiling - stack[0]
    over_at = base_at - room - stack[1]
    for low, thick, tone in ((base_at, stack[0], 0), (over_at, stack[1], 1)):
        _flat_layer(ax, (left, low), (cut, thick), tone)
    gap = Rectangle((left + cut, over_at), needed - cut, stack[1], fill=False, edgecolor=INK)
    gap.set(linewidth=1.2, linestyle=(0, (3, 2)), zorder=3, gid="gap")
    ax.add_patch(gap)
    middle = left + cut / 2
    text = f"base laid flat: {_fine(cut, system)}"
    ink.words(ax, text, at=(middle, ceiling), shift=(0, 2), va="bottom")
    ink.words(ax, "overlay cut like its base", at=(middle, over_at), shift=(0, -4), va="top")
    at = (left + (cut + needed) / 2, over_at + stack[1])
    ink.words(ax, f"gap {_fine(needed - cut, system)}", at=at, shift=(0, 2), va="bottom")
    level = over_at - room
    offset = ink.thickness((needed - cut) / turn, system)
    dimension(
        ax,
        ends=(left, left + needed),
        start=over_at,
        level=level,
        tight=0.05 * wide,
        text=f"overlay needs {_fine(needed, system)}, longer by turn × offset = "
        f"{turn:.2f} × {offset}",
    )
    return level - 0.07 * wide


def _flat_layer(
    ax: Axes, corner: tuple[float, float], size: tuple[float, float], tone: int
) -> None:
    """A layer laid flat: lower left corner, length and thickness [mm], and its fibre dashed."""
    flat = chain([size[0]], [0.0])
    piece = ink.one_case(flat.shifted(*corner))
    ink.layers(ax, profile=piece, thicknesses=[size[1]], first=tone)
    ax.plot(*piece.offset(size[1] / 2), color=INK, linewidth=1.2, linestyle=(0, (5, 3)), zorder=4)


def _fine(mm: float, system: System) -> str:
    """A length to 0.1 mm, so that the sum in the sketch can be followed, or to 1/16 in."""
    return format_length(mm, system=system, resolution=0.1 if system == "mm" else None)
