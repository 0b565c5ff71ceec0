"""A shell or a ring before and after, with its overlays where they lie and its sizes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from foamcalc.draw import ink
from foamcalc.draw.card_data import DrawnCover, Mark, Section, Strap
from foamcalc.draw.ink import INK, QUIET, TONES, Floats
from foamcalc.draw.labels import Label, View, fitted, placed
from foamcalc.draw.poses import Piece, Pose, height_of, pieces, poses
from foamcalc.guards import non_negative, one_of, positive
from foamcalc.shape.profile import Profile
from foamcalc.units import System

if TYPE_CHECKING:
    from matplotlib.axes import Axes

_DASHED, _DOTTED = (0, (4, 2.5)), (0, (1, 1.6))
_ALONG = (0.5, 0.35, 0.65, 0.22, 0.78)
"""Where along an overlay its number may stand, the best first."""


class _Size(NamedTuple):
    """What is measured: ends and where they are on the other axis [mm], and the words."""

    low: float
    high: float
    starts: tuple[float, float]
    text: str


def shell_profile(
    ax: Axes,
    *,
    before: Profile,
    after: Profile,
    thickness: float,
    covers: Sequence[DrawnCover] = (),
    next_day: Profile | None = None,
    closed: bool = False,
    strap: Strap | None = None,
    marks: Sequence[Mark] = (),
    system: System = "mm",
    fontsize: float = 10.0,
    room: float = 0.0,
) -> Axes:
    """Draw a shell before gluing (dashed), let go (filled) and the next day (dotted).

    Parameters
    ----------
    ax : Axes
        Where; its data are mm. Its size on paper must be set.
    before, after : Profile
        Inside of the base before gluing and when let go: one case each.
    thickness : float
        Thickness of the base [mm], above 0.
    covers : sequence of DrawnCover
        Overlays in order of gluing, over arcs of `after`.
    next_day : Profile, optional
        Inside of the base a day later.
    closed : bool
        Whether it is a ring; its inside is then measured across and up, as it is drawn.
    strap : Strap, optional
        Drawn as a line between two places of the inside when let go.
    marks : sequence of Mark
        Places with words beside them.
    system : {"mm", "in"}
        Units to speak in; the picture stays in mm.
    fontsize : float
        Size of the words [pt], above 0.
    room : float
        Width to leave room for [mm], so that pictures in a row keep one scale.

    Returns
    -------
    Axes
        The one that was given.

    Raises
    ------
    ValueError
        For joints that are not on the profile, a profile of several cases, a layer that folds
        over itself, or axes that are too small for the words.

    Notes
    -----
    Open sections have their ends level and the middles of their mouths in one place. A ring let
    go is laid over the ring before as well as a turn and a shift can bring it. Sizes that read
    the same are measured once.

    Examples
    --------
    >>> from matplotlib.figure import Figure
    >>> from foamcalc.shape.profile import chain
    >>> ax = Figure().add_subplot()
    >>> before, after = chain([60] * 4, [0.7] * 4), chain([60] * 4, [0.6] * 4)
    >>> scute = DrawnCover(first=1, last=3, thickness=5, height=10, number=1)
    >>> shell_profile(ax, before=before, after=after, thickness=10, covers=[scute]) is ax
    True
    """
    section = Section(
        before=before,
        after=after,
        thickness=thickness,
        covers=tuple(covers),
        next_day=next_day,
        closed=closed,
        strap=strap,
        marks=tuple(marks),
    )
    one_of(system, "system", ("mm", "in"))
    points = float(positive(fontsize, "fontsize", "1"))
    was, now, later = poses(section)
    stack = pieces(now, section.covers)
    outlines = [was, *([later] if later else [])]
    edges = [ink.band(p.fine, bottom=0.0, top=thickness) for p in (*outlines, now)]
    edges += [ink.band(p.under, bottom=0.0, top=p.thickness) for p in stack]
    drawn = np.concatenate(edges)
    across, up = _sizes((was, now, later), closed, system)
    labels = _labels(section, now, stack, points)
    view = fitted(
        ax,
        drawn,
        labels=lambda scale: placed(labels, drawn, scale),
        below=[(s.text, (s.low + s.high) / 2) for s in across],
        beside=[(s.text, (s.low + s.high) / 2) for s in up],
        points=points,
        room=float(non_negative(room, "room")),
    )
    _band(ax, now, thickness, closed)
    _overlays(ax, stack)
    _outline(ax, was, thickness, closed, "outline")
    if later is not None:
        _outline(ax, later, thickness, closed, "next day")
    if strap is not None:
        _strap(ax, now.point(strap.first), now.point(strap.last))
    _write(ax, view, across, up)
    view.apply(ax)
    return ax


def _sizes(
    shown: tuple[Pose, Pose, Pose | None], closed: bool, system: System
) -> tuple[list[_Size], list[_Size]]:
    """What is measured level, and what upright, the smallest first; the same size only once."""
    level: list[_Size] = []
    upright: list[_Size] = []
    for when, pose in zip(("before", "let go", "next day"), shown, strict=True):
        if pose is None:
            continue
        x, y = pose.fine.x, pose.fine.y
        if not closed:
            level.append(_Size(x[0], x[-1], (y[0], y[-1]), when))
            continue
        for kept, along, other in ((level, x, y), (upright, y, x)):
            low, high = int(along.argmin()), int(along.argmax())
            kept.append(_Size(along[low], along[high], (other[low], other[high]), when))
    return _once(level, system), _once(upright, system)


def _once(found: Sequence[_Size], system: System) -> list[_Size]:
    """Sizes with their words, those that read the same as one."""
    named: dict[str, list[_Size]] = {}
    for size in found:
        named.setdefault(ink.size(float(size.high - size.low), system), []).append(size)
    rising = sorted(named.items(), key=lambda item: item[1][0].high - item[1][0].low)
    return [
        same[0]._replace(text=f"{', '.join(size.text for size in same)} {text}")
        for text, same in rising
    ]


def _labels(section: Section, now: Pose, stack: Sequence[Piece], points: float) -> list[Label]:
    """Everything that wants words beside it, the least movable first."""
    top = height_of(now, section.thickness, stack)
    wanted = []
    if section.strap is not None:
        ends = [np.array(now.point(j)) for j in (section.strap.first, section.strap.last)]
        along = (ends[1] - ends[0]) / max(float(np.hypot(*(ends[1] - ends[0]))), 1e-9)
        middle = (ends[0] + ends[1]) / 2
        wanted.append(
            Label.wanted(section.strap.text, points=points, bold=True)
            .near(middle, (along[1], -along[0]))
            .near(middle, (-along[1], along[0]))
        )
    for mark in section.marks:
        index = mark.at * now.per_arc
        label = Label.wanted(mark.text, points=points, target=now.place(index))
        out = now.normal(index)
        label = label.near(now.place(index, top[index]), out)
        wanted.append(label.near(now.place(index), (-out[0], -out[1])))
    numbers: set[int] = set()
    for piece in stack:
        if piece.number == 0 or piece.number in numbers:
            continue
        numbers.add(piece.number)
        label = Label.wanted(str(piece.number), points=points, bold=True)
        x, y = piece.under.offset(piece.thickness / 2)
        for share in _ALONG:
            k = int(share * (piece.places.size - 1))
            index = int(piece.places[k])
            at = now.place(index, top[index])
            label = label.near(at, now.normal(index), target=(float(x[k]), float(y[k])))
        wanted.append(label)
    return wanted


def _band(ax: Axes, pose: Pose, thickness: float, closed: bool) -> None:
    """The base; a ring has no ends, so none are drawn."""
    if not closed:
        ink.layers(ax, profile=pose.fine, thicknesses=[thickness])
        return
    from matplotlib.patches import Polygon

    corners = ink.band(pose.fine, bottom=0.0, top=thickness)
    ring = Polygon(corners, facecolor=TONES[0], edgecolor="none", linewidth=0, zorder=2)
    ring.set_gid("layer 0")
    ax.add_patch(ring)
    for height in (0.0, thickness):
        ax.plot(*pose.fine.offset(height), color=INK, linewidth=1.0, zorder=2.2)


def _overlays(ax: Axes, stack: Sequence[Piece]) -> None:
    for i, piece in enumerate(stack):
        ink.layers(ax, profile=piece.under, thicknesses=[piece.thickness], first=1)
        ax.patches[-1].set_gid(f"cover {i}")
        ax.patches[-1].set_zorder(2.3)


def _outline(ax: Axes, pose: Pose, thickness: float, closed: bool, gid: str) -> None:
    """The edge of the base as it was (dashed) or as it will be (dotted)."""
    dashes = _DASHED if gid == "outline" else _DOTTED
    lines: list[Floats]
    if closed:
        lines = [np.column_stack(pose.fine.offset(h)) for h in (0.0, thickness)]
    else:
        corners = ink.band(pose.fine, bottom=0.0, top=thickness)
        lines = [np.append(corners, corners[:1], axis=0)]
    for line in lines:
        ax.plot(
            *line.T,
            color=QUIET if gid == "outline" else INK,
            linewidth=1.0 if gid == "outline" else 1.3,
            linestyle=dashes,
            zorder=3,
            gid=gid,
        )


def _strap(ax: Axes, one: tuple[float, float], other: tuple[float, float]) -> None:
    ax.plot(
        *zip(one, other, strict=True),
        color=INK,
        linewidth=2.4,
        marker="o",
        markersize=7,
        solid_capstyle="butt",
        zorder=3.5,
        gid="strap",
    )


def _write(ax: Axes, view: View, across: Sequence[_Size], up: Sequence[_Size]) -> None:
    """All words, and the lines that say what they belong to."""
    for label, at in view.labels:
        view.write(ax, label, at)
    for sizes, levels, upright in ((across, view.levels, False), (up, view.uprights, True)):
        for size, level in zip(sizes, levels, strict=True):
            view.measure(
                ax,
                ends=(size.low, size.high),
                starts=size.starts,
                level=level,
                text=size.text,
                upright=upright,
            )
