"""A shell: a curved base with overlays on all or parts of it, divided into spans of one stack."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from foamcalc.fit.stack import Face, Piece
from foamcalc.guards import made_of, non_negative, one_of, positive, single
from foamcalc.shape.curve import Curve

Floats = NDArray[np.float64]

_SPANS = 60
"""Short arcs that stand for an unevenly curved section."""
_IDLE, _IDLE_HALF, _MOST_IDLE = 1.6, 2.3, 1 / 3
"""What of an overlay does not act at an end: this share of its thickness on a very thick base,
half of it on one so many times as thick as it, and never more than a third of its length."""
_NEAR = 1e-9
"""Distance between two places that is none, as a share of the shell's length."""
_EVEN = 1e-9
"""Relative difference of curvature that is none."""


@dataclass(frozen=True, kw_only=True)
class Cover:
    """An overlay on a shell: what it is, where it lies and how long it was cut.

    Parameters
    ----------
    piece : Piece
        Its thickness, foam, width and how far it is formed.
    start, end : float
        Places of its ends along the shell's curve [mm]. From end to end of the curve when left
        out. On a ring it may run on past the place where the curve starts: then `end` is below
        `start`.
    cut_length : float, optional
        Length as cut, lying flat [mm]. Left out, it is cut to the length it needs.
    name : str
        What the maker calls it.
    """

    piece: Piece
    start: float = 0.0
    end: float | None = None
    cut_length: float | None = None
    name: str = "overlay"

    def __post_init__(self) -> None:
        made_of(self.piece, "piece", Piece)
        object.__setattr__(
            self, "start", single(non_negative(self.start, "start of the overlay"), "start")
        )
        for field in ("end", "cut_length"):
            value = getattr(self, field)
            if value is not None:
                name = field.replace("_", " ")
                object.__setattr__(self, field, single(positive(value, name), name))


class Spans(NamedTuple):
    """A shell's profile cut into short arcs, each with one stack of layers."""

    places: Floats
    """Where the arcs meet, along the shell's curve [mm]; one more than there are arcs."""
    inside: Floats
    """Length of the base's inside [mm]."""
    turns: Floats
    """Turn [rad]."""
    stacks: tuple[tuple[int, ...], ...]
    """Indices of the overlays on each arc, from the inside out."""


@dataclass(frozen=True, kw_only=True)
class Shell:
    """A curved base with overlays on it, in the order in which they are glued.

    Parameters
    ----------
    base : Piece
        The layer underneath.
    curve : Curve
        The curve of one face of the base.
    face : {"inside", "outside"}
        Which face of the base `curve` is.
    covers : tuple of Cover
        The overlays; a later one lies on top of an earlier one where both lie.
    bead : float
        Thickness of the glue under each overlay [mm].

    Raises
    ------
    ValueError
        For an overlay that runs off the base, or layers that would fold over themselves.

    Notes
    -----
    Where an overlay climbs onto another one its length along the step is not counted: add about
    half the thickness of the layer below for each step.

    Examples
    --------
    >>> from foamcalc.foam.grades import foam
    >>> from foamcalc.shape.curve import Arc
    >>> eva = foam("EVA medium")
    >>> scute = Piece(thickness=5, law=eva)
    >>> back = Shell(base=Piece(thickness=10, law=eva, formed=1), curve=Arc(200, np.pi),
    ...              covers=(Cover(piece=scute, start=100, end=260, cut_length=160, name="first"),
    ...                      Cover(piece=scute, start=240, end=400, cut_length=162, name="second")))
    >>> print(back.gaps().round(2))
    [2.  0.5]
    """

    base: Piece
    curve: Curve
    face: Face = "outside"
    covers: tuple[Cover, ...] = ()
    bead: float = 0.0

    def __post_init__(self) -> None:
        made_of(self.base, "base", Piece)
        object.__setattr__(self, "covers", tuple(self.covers))
        object.__setattr__(self, "bead", single(non_negative(self.bead, "bead"), "bead"))
        one_of(self.face, "face", ("inside", "outside"))
        for cover in self.covers:
            self._check_place(made_of(cover, "each of the covers", Cover))
        self.curve.length_at(self._lift - self.base.thickness)
        for start, end, stack in self.pieces():
            top = self._lift + sum(self.covers[i].piece.thickness + self.bead for i in stack)
            self.curve.length_at(top, start=start, end=end)

    def _check_place(self, cover: Cover) -> None:
        length = self.curve.length
        end = length if cover.end is None else cover.end
        slack = 1e-9 * length
        if max(cover.start, end) > length + slack:
            raise ValueError(
                f"{cover.name}: it lies from {cover.start:g} to {end:g} mm, past the end of the "
                f"base at {length:.1f} mm along its {self.face}; move or shorten it"
            )
        if end == cover.start or (end < cover.start and not self.curve.closed):
            all_round = "; leave both out for one all round" if self.curve.closed else ""
            raise ValueError(
                f"{cover.name}: its end ({end:g} mm) must lie after its start "
                f"({cover.start:g} mm) along the base{all_round}"
            )

    @property
    def _lift(self) -> float:
        """Height of the base's outside over the measured face [mm]."""
        return self.base.thickness if self.face == "inside" else 0.0

    def runs(self, cover: int, *, acting: bool = False) -> tuple[tuple[float, float], ...]:
        """Where an overlay lies, or only where it acts, along the curve [mm].

        One run, or two past a ring's start.
        """
        piece, length = self.covers[cover], self.curve.length
        end = length if piece.end is None else min(piece.end, length)
        start = min(piece.start, length)
        if acting:
            first, last = self._idle(cover)
            start = (start + first) % length if first else start
            end = (end - last) % length if last else end
        if start < end:
            return ((start, end),)
        return ((start, length), (0.0, end)) if start < length else ((0.0, end),)

    def _idle(self, cover: int) -> tuple[float, float]:
        """How much of an overlay does not act, at its start and its end, along the curve [mm].

        Nothing where it meets another one end to end. Fitted to felupe (alpha 2 and 8, stretches
        2 to 10 %, inside radii 60 to 200 mm): the share of its thickness depends on how much
        thicker the base is.
        """
        runs = self.runs(cover)
        others = [self.runs(i) for i in range(len(self.covers)) if i != cover]
        starts, ends = (
            [run[0][0] for run in others] + [runs[0][0]] * self.curve.closed,
            [run[-1][1] for run in others] + [runs[-1][1]] * self.curve.closed,
        )
        on_curve = sum(end - start for start, end in runs)
        on_base = sum(self.curve.length_at(self._lift, start=a, end=b) for a, b in runs)
        thick = self.covers[cover].piece.thickness
        share = _IDLE * self.base.thickness / (self.base.thickness + _IDLE_HALF * thick)
        idle = float(min(share * thick / on_base, _MOST_IDLE) * on_curve)
        return (
            0.0 if self._meet(runs[0][0], ends) else idle,
            0.0 if self._meet(runs[-1][1], starts) else idle,
        )

    def _meet(self, place: float, others: list[float]) -> bool:
        """Whether a place is one of others; on a ring its start is its end."""
        away = np.abs(np.array(others) - place)
        if self.curve.closed:
            away = np.minimum(away, np.abs(away - self.curve.length))
        return bool((away <= _NEAR * self.curve.length).any())

    def pieces(self, *, acting: bool = False) -> list[tuple[float, float, tuple[int, ...]]]:
        """Stretches of the base with one stack: start, end [mm] and the overlays on it.

        Where they lie, or only where they act.
        """
        runs = [self.runs(i, acting=acting) for i in range(len(self.covers))]
        length = self.curve.length
        ends = [0.0]
        for place in sorted({edge for run in runs for edges in run for edge in edges}):
            if ends[-1] + _NEAR * length < place < (1 - _NEAR) * length:
                ends.append(place)
        found = []
        for start, end in pairwise([*ends, length]):
            middle = (start + end) / 2
            stack = tuple(i for i, run in enumerate(runs) if any(a < middle < b for a, b in run))
            found.append((start, end, stack))
        return found

    def length_over(self, cover: int, height: float | None = None) -> float:
        """Length of an overlay's run at a height in it, over what lies below [mm]."""
        piece = self.covers[cover].piece
        above = self.bead + piece.fibre * piece.thickness if height is None else height
        return float(
            sum(
                self.curve.length_at(under + above, start=start, end=end)
                for start, end, under in self.steps(cover)
            )
        )

    def steps(self, cover: int) -> list[tuple[float, float, float]]:
        """Parts of an overlay's run with one stack below it [mm].

        Parameters
        ----------
        cover : int
            Index of the overlay.

        Returns
        -------
        list of tuple
            Start, end, and the height of its underside over the curve, glue left out.
        """
        found = []
        for start, end, stack in self.pieces():
            if cover in stack:
                below = [self.covers[i].piece for i in stack[: stack.index(cover)]]
                under = sum(piece.thickness + self.bead for piece in below)
                found.append((start, end, self._lift + under))
        return found

    def stretches(self, cut_lengths: Sequence[ArrayLike]) -> str:
        """Each overlay's name and its stretch when it is cut to these lengths, for an error."""
        return ", ".join(
            f"{cover.name} {self.length_over(i) / float(np.asarray(cut)) - 1:+.0%}"
            for i, (cover, cut) in enumerate(zip(self.covers, cut_lengths, strict=True))
        )

    def cut_lengths(self) -> Floats:
        """Length of each overlay as cut [mm]."""
        return np.array(
            [
                self.length_over(i) if cover.cut_length is None else cover.cut_length
                for i, cover in enumerate(self.covers)
            ]
        )

    def gaps(self) -> Floats:
        """Length needed minus length cut of each overlay [mm]."""
        needed = np.array([self.length_over(i) for i in range(len(self.covers))])
        return needed - self.cut_lengths()

    def spans(self) -> Spans:
        """The shell cut into short arcs; an unevenly curved one has no fewer than 60.

        Overlays stand on the arcs where they act.

        Raises
        ------
        ValueError
            For a curve with corners, which have no radius.
        """
        if self.curve.corners:
            place = self.curve.corners[0].place
            raise ValueError(
                f"the corner {place:.1f} mm along the curve has no radius, and foam does not bend "
                "sharp; give the curve rounded corners, Polyline(...).rounded(radius), to see what "
                "it does when let go"
            )
        low, high = self.curve.extremes()
        even = np.isclose(low.curvature, high.curvature, rtol=_EVEN, atol=0)
        finest = self.curve.length / (1 if even else _SPANS)
        places, stacks = [0.0], []
        for start, end, stack in self.pieces(acting=True):
            inner = sorted({x for x in self.curve.joints if start < x < end})
            for a, b in zip([start, *inner], [*inner, end], strict=True):
                count = max(int(np.ceil((b - a) / finest - _EVEN)), 1)
                places += np.linspace(a, b, count + 1)[1:].tolist()
                stacks += [stack] * count
        ends = np.array(places)
        turns = np.diff(self.curve.heading(ends))
        inside = np.diff(ends) + (self._lift - self.base.thickness) * turns
        return Spans(ends, inside, turns, tuple(stacks))
