"""Shells that a try-on may speak about: their size for every share that may have been off."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from foamcalc.ask.plan import PlannedJoint, PlannedShell
from foamcalc.ask.sheet.findings import heading, overlay_heading
from foamcalc.fit.rest import Rest, at_rest

_TRIED = {"mouth": 9, "girth": 3}
"""Shares from 0 to 1 that are tried before the right one is closed in on; a girth hardly moves."""
_NEAR = 0.005
"""Shares so far to either side tell the slope."""


class Sizes:
    """The mouth or girth for every share from 0 to 1, to be asked which share gives a size.

    Parameters
    ----------
    size_at : callable
        A share to the size [mm].
    assumed : float
        The share that was assumed, for which there is a size.
    tried : int
        How many shares are tried first.
    """

    def __init__(self, size_at: Callable[[float], float], assumed: float, tried: int) -> None:
        self._size_at = size_at
        self.assumed = assumed
        self.shares: NDArray[np.float64] = np.union1d(np.linspace(0.0, 1.0, tried), assumed)
        self.sizes: NDArray[np.float64] = np.array([self.size_of(x) for x in self.shares])

    def size_of(self, share: float) -> float:
        """The size [mm]; NaN where the shell finds no rest."""
        try:
            return self._size_at(float(share))
        except (ValueError, ArithmeticError):
            return float("nan")

    @property
    def reach(self) -> tuple[float, float]:
        """Least and most that was found [mm]."""
        return float(np.nanmin(self.sizes)), float(np.nanmax(self.sizes))

    def share_of(self, size: float) -> float | None:
        """The share that gives a size [mm], the nearest to the assumed one; None if none does."""
        from scipy.optimize import brentq

        apart = self.sizes - size
        found = [float(x) for x in self.shares[apart == 0]]
        for i in np.flatnonzero(apart[:-1] * apart[1:] < 0):
            try:
                found.append(
                    float(
                        brentq(
                            lambda x: self.size_of(x) - size,
                            self.shares[i],
                            self.shares[i + 1],
                            xtol=1e-9,
                        )
                    )
                )
            except ValueError:  # no rest in between
                continue
        return min(found, key=lambda x: abs(x - self.assumed), default=None)

    def give(self, share: float, error: float) -> tuple[float, float]:
        """The shares that a reading so far off, either way, would make of it, 0 to 1."""
        ends = max(share - _NEAR, 0.0), min(share + _NEAR, 1.0)
        slope = abs(self.size_of(ends[1]) - self.size_of(ends[0])) / (ends[1] - ends[0])
        wide = error / slope if slope > error else 1.0
        return max(share - wide, 0.0), min(share + wide, 1.0)


@dataclass(frozen=True, eq=False, kw_only=True)
class Body:
    """A shell with its overlays as advised, or a taped base with its one overlay."""

    rest: Rest
    """When let go."""
    planned_night: Rest | None
    """The next day as the plan has it; None: it says nothing about it."""
    relaxes: float | None
    strap: tuple[float, float] | None
    """Places that a strap holds overnight; None: left free."""
    key: str
    """Key of the job sheet that says how far the base is formed."""
    place: str
    """Table of the sheet in which it stands."""
    foam: str
    unmeasured: str = ""
    """How the turn of its curve is known, where nobody measured it."""

    @classmethod
    def of_shell(cls, planned: PlannedShell) -> Body:
        """A shell of the plan."""
        job = planned.job
        return cls(
            rest=planned.as_advised,
            planned_night=planned.next_day,
            relaxes=job.relaxes,
            strap=job.strap if job.held_overnight else None,
            key="formed",
            place=heading("shell", job.name),
            foam=job.foam,
        )

    @classmethod
    def of_joint(cls, planned: PlannedJoint) -> Body:
        """A joint known by two tape readings: its base is the shell."""
        joint = planned.joint
        rest = at_rest(planned.answer.choice.chosen.glued.shell)
        return cls(
            rest=rest,
            planned_night=None if joint.relaxes is None else rest.next_day(joint.relaxes),
            relaxes=joint.relaxes,
            strap=None,
            key="base_formed",
            place=overlay_heading(joint.name, 0),
            foam=joint.foam,
            unmeasured="" if joint.overlay.turn_measured else joint.overlay.turn_from,
        )

    @property
    def word(self) -> str:
        """What is measured: mouth or girth."""
        return "girth" if self.rest.closed else "mouth"

    @property
    def formed(self) -> float:
        """How far the plan takes the base to keep its curve."""
        return self.rest.shell.base.formed

    @property
    def size(self) -> float:
        """When let go [mm]."""
        return float(self.rest.size)

    @property
    def next_size(self) -> float:
        """The next day [mm]; where the sheet has no share that relaxes, nothing is forgotten."""
        return self.size if self.planned_night is None else float(self.planned_night.size)

    def with_formed(self, formed: float) -> Body:
        """The same with a base that keeps its curve so far."""
        shell = self.rest.shell
        return replace(self, rest=at_rest(replace(shell, base=replace(shell.base, formed=formed))))

    @cached_property
    def by_formed(self) -> Sizes:
        """Its size when let go, for every `formed`."""
        return Sizes(lambda formed: self.with_formed(formed).size, self.formed, _TRIED[self.word])

    @cached_property
    def by_relaxes(self) -> Sizes:
        """Its size the next day, for every share that is forgotten."""
        held = self.rest if self.strap is None else self.rest.strapped(places=self.strap)
        assumed = self.relaxes or 0.0
        return Sizes(lambda share: float(held.next_day(share).size), assumed, _TRIED[self.word])
