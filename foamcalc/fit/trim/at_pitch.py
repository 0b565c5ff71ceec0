"""A strip that is cut part-way through at a pitch: as stated, and as it is cut; slits or teeth."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from foamcalc.fit.detail import tear_check
from foamcalc.fit.limits import Check, Limit
from foamcalc.fit.stack import Piece
from foamcalc.fit.trim.parts import tightest
from foamcalc.fit.trim.pitched import Pitched
from foamcalc.fit.trim.strips import CutStrip
from foamcalc.fit.trim.web import Face, Web
from foamcalc.guards import made_of, one_of, positive, single

Floats = NDArray[np.float64]

ROOT_RADIUS = 0.5
"""Radius of a slit's root [mm]. Assumed: the cells of the foam make a knife's tip this blunt."""


@dataclass(frozen=True, kw_only=True)
class PitchStrip:
    """A strip that is cut from one face, part-way through.

    Parameters
    ----------
    piece : Piece
        The strip before it is cut: thickness, foam, width as it stands.
    depth : float
        Depth of the cuts [mm], 0.4 to 0.8 of the thickness.
    face : {"outside", "inside"}
        The face they are cut in: the one away from the edge, or the glued one.
    root_radius : float
        Radius of their roots [mm]. Assumed where nothing is known.
    """

    piece: Piece
    depth: float
    face: Face = "outside"
    root_radius: float = ROOT_RADIUS

    def __post_init__(self) -> None:
        made_of(self.piece, "piece", Piece)
        one_of(self.face, "face", ("outside", "inside"))
        for name in ("depth", "root_radius"):
            value = single(positive(getattr(self, name), name.replace("_", " ")), name)
            object.__setattr__(self, name, value)

    @property
    def other_face(self) -> str:
        """The face they are not cut in."""
        return "inside" if self.face == "outside" else "outside"

    def web_of(self, *, pitch: float, gap: float) -> Web:
        """The web under cuts of a width, at a pitch [mm]; ValueError where nothing is known."""
        return Web(
            law=self.piece.law,
            thickness=self.piece.thickness,
            depth=self.depth,
            pitch=pitch,
            gap=gap,
            face=self.face,
        )


@dataclass(frozen=True, kw_only=True)
class PitchCut(ABC):
    """A strip as it is cut at a pitch, and what its cuts do on the edge."""

    strip: PitchStrip
    pitched: Pitched
    limits: Mapping[str, Limit]
    refused: PitchCut | None = None
    """The same at a longer pitch, which passes a limit."""

    @property
    @abstractmethod
    def between(self) -> Floats:
        """Middles of the cuts with a piece on either side, from the first pitch on [mm]."""

    @property
    def length(self) -> float:
        """Length to cut, without what is added at open ends [mm]."""
        return self.pitched.length

    @property
    def strips(self) -> tuple[CutStrip, ...]:
        """The lengths of strip as they are cut, with their marks."""
        return self.pitched.strips

    @property
    def one_way(self) -> bool:
        """Whether its edge bends to one side only."""
        low, high = tightest(self.pitched.curve)
        return low.curvature * high.curvature >= 0

    @cached_property
    def bends(self) -> tuple[Floats, Floats]:
        """Turn [rad] and mean curvature [1/mm] of the edge, a pitch about each of `between`."""
        return self.pitched.bends(self.between)

    @cached_property
    def tips(self) -> Floats:
        """Width of each cut of `between` at its tips on the edge [mm]; below 0 it is too narrow.

        Its width as cut, and how much it opens.
        """
        (turns, curvatures), web = self.bends, self.pitched.web
        return np.asarray(web.gap + web.opens(turns) * web.lever(curvatures))

    @cached_property
    def root_strains(self) -> Floats:
        """Local strain at the roots of each cut of `between` [1]; 0 where it closes."""
        _, curvatures = self.bends
        return self.pitched.web.root_strain(curvatures, root_radius=self.strip.root_radius)

    @property
    def checks(self) -> tuple[Check, ...]:
        """The worst root against the tear limit."""
        return (tear_check(float(self.root_strains.max()), self.limits["tear"]),)

    @property
    def met(self) -> bool:
        """Whether every limit is kept."""
        return all(check.met for check in self.checks)

    def check_room(self, what: str, hint: str) -> None:
        """Raise ValueError where cuts close by more than they are wide."""
        pitched, web = self.pitched, self.pitched.web
        i = int(np.argmin(self.tips))
        left = float(self.tips[i])
        if left >= -1e-9 * web.thickness:
            return
        need = web.closed_gap(float(self.bends[1][i]))
        place = float(pitched.on_edge(self.between[i])) % pitched.curve.length
        raise ValueError(
            f"{what} {i + 1}, {place:.1f} mm along the edge, would close by {web.gap - left:.2f} "
            f"mm and is only {web.gap:.3g} mm wide: make it at least {need:.2f} mm wide, {hint}, "
            "or divide the strip where the edge begins to bend the other way"
        )
