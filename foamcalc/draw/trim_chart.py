"""A strip flat as it is cut, and below it on its edge, to one scale."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from foamcalc.draw import ink
from foamcalc.draw.dimension import dimension_line
from foamcalc.draw.ink import INK, TONES, Floats
from foamcalc.draw.labels import Label, Stand, fitted, on_paper, placed
from foamcalc.draw.trim_edge import Cut, OnEdge, edge_of, on_edge, reach_of, strips_of
from foamcalc.draw.trim_flat import Flat, flats
from foamcalc.fit.trim.band_choice import BandChoice
from foamcalc.guards import one_of, positive
from foamcalc.units import System

if TYPE_CHECKING:
    from matplotlib.axes import Axes

_MOST = 4
"""Most strips that are drawn flat; of more a word is said."""
_LINES = 4.0
"""Room over each strip that lies flat, in sizes of the words: its marks, the length of the next."""
_WORDS = 12
"""Most marks that get words, on the strips and on the edge."""
_SHARE = 0.6
"""Share of the height of the axes that this room may take."""
_BELOW = 8.0
"""How far below a strip its dimension line lies [pt]."""


def trim_chart(ax: Axes, *, cut: Cut, system: System = "mm", fontsize: float = 10.0) -> Axes:
    """Draw a strip flat, as it is cut, and below it on its edge.

    Parameters
    ----------
    ax : Axes
        Where; its data are mm. Its size on paper must be set.
    cut : BandChoice, CutRim, CutBinding, Slits or Teeth
        The strip as it is cut.
    system : {"mm", "in"}
        Units to speak in; the picture stays in mm.
    fontsize : float
        Size of the words [pt], above 0.

    Returns
    -------
    Axes
        The one that was given.

    Raises
    ------
    TooSmall
        If the axes are too small for the words.

    Notes
    -----
    A band is seen from above, flat and on its edge; other strips lie flat on their face or, where
    slits or teeth show, on their edge, and stand on the edge in section. Marks have one number
    on strip and edge. Dashed lines across are joins, dashed lines along are folds. Marks without
    room for their words, and of many all but some, keep their strokes only.

    Examples
    --------
    >>> from matplotlib.figure import Figure
    >>> from foamcalc.fit.stack import Piece
    >>> from foamcalc.fit.trim.rim import Rim
    >>> from foamcalc.fit.trim.rim_cut import cut_rim
    >>> from foamcalc.foam.grades import foam
    >>> from foamcalc.shape.curve import Arc
    >>> rim = Rim(curve=Arc(60, 2.0), strip=Piece(thickness=6, width=30, law=foam("EVA medium")))
    >>> ax = Figure(figsize=(7, 4)).add_axes((0, 0, 1, 1))
    >>> trim_chart(ax, cut=cut_rim(rim, marks=[40, 80])) is ax
    True
    """
    one_of(system, "system", ("mm", "in"))
    points = float(positive(fontsize, "fontsize", "1"))
    below = on_edge(cut)
    strips = flats(cut)
    rows = _stacked(ax, strips, below, points)
    labels = _labels(cut, strips, rows, below, points, system)
    everything = np.concatenate([below.body, below.edge, *(flat.body + at for flat, at in rows)])
    view = fitted(
        ax,
        everything,
        labels=lambda scale: _kept(placed(labels, everything, scale), scale),
        below=(),
        beside=(),
        points=points,
        room=0.0,
    )
    for flat, at in rows:
        _flat(ax, flat, at, view.scale)
    _on_edge(ax, below, cut)
    for label, stand in view.labels:
        view.write(ax, label, stand)
    view.apply(ax)
    return ax


def _stacked(
    ax: Axes, strips: Sequence[Flat], below: OnEdge, points: float
) -> list[tuple[Flat, Floats]]:
    """Each strip with its lower left corner, one under the other over the strip on its edge.

    As many as there is room for their words.
    """
    if not strips:
        return []
    paper = on_paper(ax)
    line = _LINES * points
    shown = strips[: max(1, min(_MOST, int(_SHARE * paper[1] / line)))]
    wide = max(*(flat.length for flat in shown), float(np.ptp(below.body[:, 0])))
    tall = sum(flat.high for flat in shown) + float(np.ptp(below.body[:, 1]))
    left = max(paper[1] - (len(shown) + 1) * line, 0.1 * paper[1])
    room = line * max(wide / paper[0], tall / left)
    middle = (below.body[:, 0].min() + below.body[:, 0].max()) / 2
    y = float(max(below.body[:, 1].max(), below.edge[:, 1].max())) + room
    found = []
    for flat in reversed(shown):
        x = middle - (flat.body[:, 0].max() + flat.body[:, 0].min()) / 2
        found.append((flat, np.array([x, y])))
        y += flat.high + room
    return found[::-1]


def _labels(
    cut: Cut,
    strips: Sequence[Flat],
    rows: Sequence[tuple[Flat, Floats]],
    below: OnEdge,
    points: float,
    system: System,
) -> list[Label]:
    """All words with the places where they may stand, the most needed first."""
    found = []
    for flat, at in rows:
        name = f"strip {flat.number}, " if len(strips) > 1 else ""
        said = f"{name}{ink.size(flat.length, system)}"
        if flat is rows[-1][0] and len(strips) > len(rows):
            said += f"; {len(strips) - len(rows)} more strips"
        size = Label.wanted(said, points=points, bold=True)
        found.append(size.near((at[0] + flat.middle, at[1]), (0, -1)))
    found.append(_edge_words(cut, below, points, system))
    order = [mark.along for mark in below.marks]
    worded = order[:: -(-len(order) // _WORDS) or 1]
    own = {s.number: s for s in strips_of(cut)}
    for flat, at in rows:
        for mark in own[flat.number].marks:
            if mark.on_edge not in worded:
                continue
            said = f"{order.index(mark.on_edge) + 1}: {ink.size(mark.on_strip, system)}"
            label = Label.wanted(said, points=points)
            found.append(label.near((at[0] + mark.on_strip, at[1] + flat.high), (0, 1)))
    low, high = reach_of(cut)
    for number, place in enumerate(below.marks, 1):
        if place.along not in worded:
            continue
        label = Label.wanted(f"{number}: {ink.size(place.along, system)}", points=points)
        label = label.near(place.beside(high), _pair(place.out))
        found.append(label.near(place.beside(min(low, 0.0)), _pair(-place.out)))
    return found


def _pair(values: Floats) -> tuple[float, float]:
    return float(values[0]), float(values[1])


def _edge_words(cut: Cut, below: OnEdge, points: float, system: System) -> Label:
    """The length of the edge, in the middle of it."""
    curve = edge_of(cut)
    said = f"edge {ink.size(curve.length, system)}"
    if isinstance(cut, BandChoice) and cut.choice == "cut to shape":
        said += ", cut to shape"
    centre = below.edge.mean(axis=0)
    low, _ = reach_of(cut)
    words = Label.wanted(said, points=points)
    if curve.closed:
        return words.near(_pair(centre), (0, 0))
    x, y = _pair(below.edge[len(below.edge) // 2])
    return words.near((x, y + min(low, 0.0)), (0, -1))


def _kept(labels: Sequence[tuple[Label, Stand]], scale: float) -> tuple[tuple[Label, Stand], ...]:
    """The labels that lie over no other; of two the first is kept."""
    kept: list[tuple[Label, Stand]] = []
    for label, stand in labels:
        size = np.array(label.size) * scale
        clear = all(
            (np.abs(np.subtract(stand.at, other.at)) * 2 >= size + np.array(one.size) * scale).any()
            for one, other in kept
        )
        if clear:
            kept.append((label, stand))
    return tuple(kept)


def _flat(ax: Axes, flat: Flat, at: Floats, scale: float) -> None:
    """One strip as it is cut, with its cuts, folds, marks, and a dimension line below."""
    _fill(ax, flat.body + at, TONES[1], f"strip {flat.number}")
    for piece in flat.cuts:
        _opening(ax, piece + at, f"cut {flat.number}")
    right = float(flat.body[:, 0].max())
    for high in flat.folds:
        line = np.array([[0.0, high], [right, high]]) + at
        ax.plot(*line.T, color=INK, linewidth=0.8, linestyle=(0, (5, 3)), zorder=3, gid="fold")
    for x in flat.marks:
        line = np.array([[x, 0.0], [x, flat.high]]) + at
        ax.plot(*line.T, color=INK, linewidth=1.6, zorder=3, gid="mark on strip")
    level = float(at[1]) - _BELOW * scale
    ends = (float(at[0] + flat.body[:, 0].min()), float(at[0]) + right)
    starts = (float(at[1]), float(at[1]))
    dimension_line(ax, ends=ends, starts=starts, level=level, tight=20.0 * scale)


def _on_edge(ax: Axes, below: OnEdge, cut: Cut) -> None:
    """The strip on its edge."""
    band = isinstance(cut, BandChoice)
    if not band and edge_of(cut).closed:
        _fill(ax, below.edge, TONES[0], "piece")
    _fill(ax, below.body, TONES[1], "on the edge")
    for piece in below.open:
        _opening(ax, piece, "open")
    ax.plot(*below.edge.T, color=INK, linewidth=2.0, zorder=3.2, gid="edge")
    for line in below.joins:
        ax.plot(*line.T, color=INK, linewidth=1.2, linestyle=(0, (3, 2)), zorder=3.3, gid="join")
    low, high = reach_of(cut)
    for mark in below.marks:
        line = np.stack([mark.at + d * mark.out for d in (min(low, 0.0), high)])
        ax.plot(*line.T, color=INK, linewidth=1.6, zorder=3.4, gid="mark on edge")


def _opening(ax: Axes, corners: Floats, gid: str) -> None:
    """White, with lines along its sides but not over its mouth."""
    _fill(ax, corners, "white", gid, line="white")
    mouth = corners[[0, -1]]
    ax.plot(*mouth.T, color="white", linewidth=2.5, solid_capstyle="butt", zorder=2.2)
    ax.plot(*corners.T, color=INK, linewidth=0.9, solid_joinstyle="miter", zorder=2.5)


def _fill(ax: Axes, corners: Floats, tone: str, gid: str, *, line: str = INK) -> None:
    from matplotlib.patches import Polygon

    ax.add_patch(
        Polygon(
            corners,
            facecolor=tone,
            edgecolor=line,
            linewidth=0.9,
            joinstyle="miter",
            zorder=2,
            gid=gid,
        )
    )
