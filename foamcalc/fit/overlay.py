"""One layer glued over another on a bend: the gap, the stretch, and what comes of it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray

from foamcalc.fit.shell import Cover, Shell
from foamcalc.fit.stack import Face, Piece, squeezed_by
from foamcalc.guards import made_of, non_negative, one_of, positive, single
from foamcalc.shape.curve import Arc, Curve, TurnedLength
from foamcalc.shape.polyline import Polyline

Floats = NDArray[np.float64]

_SEEN = 1e-6
"""Share of the curve's length that is more than rounding."""
_SHALLOWEST, _DEEPEST = np.radians(20.0), 2 * np.pi
"""Turns between which two tape readings alone are believed."""


@dataclass(frozen=True, kw_only=True)
class Overlay:
    """An overlay that goes over a curved base, or over a part of it.

    Make one with `from_tape`, `from_turn` or `from_curve`, the three ways in.

    Parameters
    ----------
    base, overlay : Piece
        The layer underneath and the layer glued over it.
    curve : Curve
        The curve of one face of the base.
    face : {"inside", "outside"}
        Which face of the base `curve` is.
    cut_length : float
        Length of the overlay as cut, lying flat [mm].
    bead : float
        Thickness of the glue [mm]; it lifts the overlay.
    turn_from : str
        How the turn is known, for the reader.
    start, end : float
        Places of the overlay's ends along `curve` [mm]; all of it when left out. On a ring the
        end may lie before the start.
    under : tuple of Cover
        Overlays that are on the base already, below it or beside it, taken to fit.

    Raises
    ------
    ValueError
        For lengths that are not above 0 or a layer that would fold over itself.

    Examples
    --------
    A scute 5 mm thick over a shell 10 mm thick; the scute was cut as long as the shell:

    >>> from foamcalc.foam.grades import foam
    >>> from foamcalc.shape.curve import Arc
    >>> eva = foam("EVA medium")
    >>> joint = Overlay.from_curve(Arc(50, np.pi), face="inside",
    ...     base=Piece(thickness=10, law=eva, formed=1), overlay=Piece(thickness=5, law=eva))
    >>> print(f"gap {joint.gap:.2f} mm, stretch {joint.strain:.1%}")
    gap 23.56 mm, stretch 13.2%
    """

    base: Piece
    overlay: Piece
    curve: Curve
    cut_length: float
    face: Face = "outside"
    bead: float = 0.0
    turn_from: str = "given"
    start: float = 0.0
    end: float | None = None
    under: tuple[Cover, ...] = ()

    def __post_init__(self) -> None:
        for name in ("base", "overlay"):
            made_of(getattr(self, name), name, Piece)
        cut = single(positive(self.cut_length, "cut length"), "cut length")
        object.__setattr__(self, "cut_length", cut)
        object.__setattr__(self, "bead", single(non_negative(self.bead, "bead"), "bead"))
        one_of(self.face, "face", ("inside", "outside"))
        _ = self.shell  # checks that it lies on the base and folds nowhere

    @classmethod
    def from_tape(
        cls,
        *,
        cut: float,
        needed: float,
        base: Piece,
        overlay: Piece,
        turn: float | None = None,
        mouth: float | None = None,
        inside: float | None = None,
        bead: float = 0.0,
        whole: float | None = None,
        start: float | None = None,
    ) -> Overlay:
        """From two tape readings: the overlay as cut, and the length over the base's outside.

        Parameters
        ----------
        cut, needed : float
            The two readings [mm].
        base, overlay : Piece
            The two layers.
        turn : float, optional
            Turn of the base [rad], where it is known; else one of the next two settles it.
        mouth : float, optional
            Straight distance between the ends of the base, inside [mm].
        inside : float, optional
            A third tape reading, along the inside of the base [mm].
        bead : float
            Thickness of the glue [mm].
        whole : float, optional
            Length of the whole base over its outside [mm], whose turn, mouth and inside the
            others are; left out, the overlay covers it from end to end.
        start : float, optional
            Where on it the overlay begins [mm]; in its middle when left out.

        Notes
        -----
        With neither, the turn is worked out from the two readings, assuming that the overlay
        was cut as long as its base: ``turn = (needed - cut)/((1 - fibre) t)``. Outside 20 deg to
        a full turn that is not believed and half a turn is assumed. `turn_from` says which.
        """
        made_of(base, "base", Piece)
        covered = single(positive(needed, "needed"), "needed")
        length = covered
        if whole is not None:
            name = "length of the whole base"
            length = single(positive(whole, name), name)
        if sum(x is not None for x in (turn, mouth, inside)) > 1:
            raise ValueError("give only one of turn, mouth and inside; they say the same thing")
        if turn is not None:
            bend, how = turn, "given"
        elif mouth is not None:
            bend = Arc.from_mouth(length=length, mouth=mouth, depth=base.thickness).turn
            how = "from the mouth"
        elif inside is not None:
            bend = (length - single(positive(inside, "inside"), "inside")) / base.thickness
            how = "from the readings inside and outside"
        else:
            own = (1 - base.fibre) * base.thickness
            bend = (covered - single(positive(cut, "cut"), "cut")) / own * length / covered
            how = "worked out from the two readings, as if the overlay was cut like its base"
            if not _SHALLOWEST <= bend <= _DEEPEST:
                bend, how = np.pi, "half a turn, assumed"
        if covered > length:
            raise ValueError(
                f"the overlay covers {covered:g} mm, more than the whole base of {length:g} mm"
            )
        place = (length - covered) / 2 if start is None else start
        return cls(
            base=base,
            overlay=overlay,
            curve=TurnedLength(length, bend),
            cut_length=cut,
            bead=bead,
            turn_from=how,
            start=place,
            end=place + covered if covered < length else None,
        )

    @classmethod
    def from_turn(
        cls,
        *,
        outside_length: float,
        turn: float,
        base: Piece,
        overlay: Piece,
        cut: float | None = None,
        bead: float = 0.0,
    ) -> Overlay:
        """From the length of the base's outside [mm] and its turn [rad].

        `cut` left out means: cut as long as the base.
        """
        curve = TurnedLength(outside_length, turn)
        return cls.from_curve(curve, base=base, overlay=overlay, cut=cut, bead=bead)

    @classmethod
    def from_curve(
        cls,
        curve: Curve,
        *,
        base: Piece,
        overlay: Piece,
        face: Face = "outside",
        start: float = 0.0,
        end: float | None = None,
        cut: float | None = None,
        bead: float = 0.0,
        under: tuple[Cover, ...] = (),
    ) -> Overlay:
        """From the curve of one face of the base.

        `start` and `end` left out mean: over all of it. `cut` left out means: cut as long as the
        base is there.
        """
        made_of(base, "base", Piece)
        one_of(face, "face", ("inside", "outside"))
        whole = cls(
            base=base,
            overlay=overlay,
            curve=curve,
            face=face,
            cut_length=1.0 if cut is None else cut,
            bead=bead,
            start=start,
            end=end,
            under=under,
        )
        return whole if cut is not None else whole.with_cut(whole._length_in_base(base.fibre))

    @cached_property
    def shell(self) -> Shell:
        """The base with this overlay and those under it."""
        own = Cover(piece=self.overlay, start=self.start, end=self.end, cut_length=self.cut_length)
        fitting = (
            replace(c, cut_length=None, piece=replace(c.piece, formed=1.0)) for c in self.under
        )
        return Shell(
            base=self.base,
            curve=self.curve,
            face=self.face,
            covers=(*fitting, own),
            bead=self.bead,
        )

    @property
    def ring_all_round(self) -> bool:
        """Whether it closes on itself round a ring, so that it has no ends."""
        length = self.curve.length
        end = length if self.end is None else self.end
        return self.curve.closed and abs(end - self.start - length) <= 1e-9 * length

    def below(self) -> tuple[Cover, ...]:
        """Those of the overlays that are on the base already that it lies on."""
        own = len(self.under)
        stacks = [stack for _, _, stack in self.shell.pieces() if own in stack]
        return tuple(c for i, c in enumerate(self.under) if any(i in stack for stack in stacks))

    def _length_in_base(self, fibre: float) -> float:
        """Length of the run at a height in the base, a fraction of its thickness [mm]."""
        height = (fibre if self.face == "inside" else fibre - 1) * self.base.thickness
        return float(sum(self.curve.length_at(height, start=a, end=b) for a, b in self._runs))

    @property
    def _runs(self) -> tuple[tuple[float, float], ...]:
        return self.shell.runs(len(self.under))

    @property
    def turn_measured(self) -> bool:
        """Whether the turn of the base was measured or said, and not worked out or assumed."""
        return self.turn_from.startswith(("given", "from"))

    @property
    def turn(self) -> float:
        """Turn of the base where the overlay lies [rad]."""
        if self.start == 0 and self.end is None:
            return self.curve.turn
        return float(sum(np.diff(self.curve.heading(run))[0] for run in self._runs))

    @property
    def inside_length(self) -> float:
        """Length of the base's inside where the overlay lies [mm]."""
        return self._length_in_base(0.0)

    @property
    def outside_length(self) -> float:
        """Length of what the overlay lies on, where the tape lies [mm]."""
        return self.shell.length_over(len(self.under), 0.0)

    @cached_property
    def needed_length(self) -> float:
        """Length the overlay needs on its own fibre to lie there unstretched [mm]."""
        return self.shell.length_over(len(self.under))

    @property
    def gap(self) -> float:
        """Length needed minus length cut [mm]; positive: the piece is short."""
        return self.needed_length - self.cut_length

    @property
    def tape_gap(self) -> float:
        """The part of the gap that the tape on what lies below shows [mm]."""
        return self.outside_length - self.cut_length

    @property
    def strain(self) -> float:
        """Strain of the overlay's fibre while it is pulled round the base on its form, end to end.

        The pull squeezes both through their thickness: it is less than `rigid_strain` [1].

        Notes
        -----
        At the mean curvature; overlays below do not give. Against felupe within 1 percentage point
        to a quarter of the inside radius in thickness, 3 to a half; pull within 4 and 14 %.
        """
        return float(self.stretch(self.cut_length)) - 1

    @property
    def rigid_strain(self) -> float:
        """The same on a base that does not give [1]: the gap over the length as cut."""
        return self.gap / self.cut_length

    @property
    def over_hollow(self) -> bool:
        """Whether it crosses a hollow, where a stretched layer would pull itself off."""
        corners = [(c.place, c.place) for c in self.curve.corners if c.turn < 0]
        straight = isinstance(self.curve, Polyline)  # between corners, whatever its runs turn
        runs = () if straight else self.curve.runs()
        bends = [run[:2] for run in runs if run.hollow and run.start < run.end]
        seen = _SEEN * self.curve.length
        return any(
            start + seen < last and first < end - seen
            for first, last in (*corners, *bends)
            for start, end in self._runs
        )

    def with_cut(self, cut_length: float) -> Overlay:
        """The same joint with the overlay cut to another length [mm]."""
        return replace(self, cut_length=cut_length)

    def force(self, cut_length: ArrayLike | None = None) -> Floats:
        """Pull that stretches the overlay to fit [N]; 0 where it is not short."""
        cut = self.cut_length if cut_length is None else positive(cut_length, "cut length")
        area = self.overlay.thickness * self.overlay.width
        return np.asarray(area * self.overlay.law.stress(np.maximum(self.stretch(cut), 1.0)))

    def stretch(self, cut_length: ArrayLike) -> Floats:
        """Length of its fibre while it is pulled round the base, over other lengths as cut [1]."""
        cuts, less = self._give
        cut = np.asarray(cut_length)
        return np.asarray((self.needed_length - np.interp(-cut, -cuts, less)) / cut)

    def cut_at(self, strain: float) -> float:
        """Length as cut at which it strains so much while it is pulled round the base [mm]."""
        cuts, less = self._give
        given = float(np.interp(1 + strain, (self.needed_length - less) / cuts, cuts))
        return min(given, self.needed_length / (1 + strain))

    @cached_property
    def _give(self) -> tuple[Floats, Floats]:
        """Falling lengths as cut, and how much less each needs for the squeeze [mm]."""
        over, base, needed = self.overlay, self.base, self.needed_length
        stretch = np.linspace(1.0, min(2.0, over.law.stable_range("free")[1]), 401)
        response = over.law.unchecked(stretch, "free")
        turn = max(self.turn, 0.0)
        # The base takes all of the pull over the radius, the overlay's inner half 3/4 of it.
        pressure = over.thickness * response.stress * turn / self.outside_length
        squeezed = squeezed_by(over.law, 0.75 * pressure) * response.side
        less = base.thickness * (1 - squeezed_by(base.law, pressure))
        less = turn * (less + over.fibre * over.thickness * (1 - squeezed))
        return (needed - less) / stretch, less
