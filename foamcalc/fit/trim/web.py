"""The web left under the cuts of a strip: the line that keeps its length, and how cuts open."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from foamcalc.foam.law import Law, a_law
from foamcalc.guards import finite, non_negative, one_of, positive, single

Floats = NDArray[np.float64]
Face = Literal["outside", "inside"]
"""Which face of a strip the cuts are in: the one away from its edge, or the glued one."""

_WEBS = (0.2, 0.6)
"""Web over thickness that is known."""
_LONGEST: dict[Face, float] = {"outside": 3.0, "inside": 1.0}
"""Longest piece between cuts that is known, over the thickness."""
_PITCHES = 4.0
"""Longest pitch that is known, over the thickness."""
_CONVEX, _HOLLOW = 2.0, 3.0
"""Smallest radius of the edge that is known, over the thickness."""
# Fitted to our own finite elements; see the notes of `Web`.
_COMB, _REACH, _DEEP, _POWER, _BLEND = 0.091, 1.36, 1.346, 3.48, 4.87
_LAW, _EVEN = 0.343, 0.272
_SLOPE, _ROUND, _PLACE, _WEB = 0.841, 4.704, 1.8, 1.505
_PRESSED, _PRESSED_WEB = 0.098, 0.387
_SATURATED = 1.6
_MOST_STEPS = 60
_LEAST_STRAIN = 1e-3
"""Strain at which a law is asked which way it leans, where the bend is gentler."""


@dataclass(frozen=True, kw_only=True)
class Web:
    r"""One pitch of a strip that is cut part-way through, as it is bent round an edge.

    Parameters
    ----------
    law : Law
        Foam law.
    thickness : float
        Thickness of the strip [mm], above 0.
    depth : float
        Depth of the cuts [mm]; 0.4 to 0.8 of the thickness. The web is what is left.
    pitch : float
        From the middle of one cut to the middle of the next [mm], above 0.
    gap : float
        Width of a cut [mm]: 0 for a knife's slit, below the pitch.
    face : {"outside", "inside"}
        Which face they are cut in: the one away from the edge, or the glued one.

    The strip is glued down all over and follows its edge. The line that keeps its length has the
    height h above the back of the web, the face without cuts. With t the thickness, w the web,
    d the depth, p the pitch, b = p - gap the piece between cuts and k the curvature of the back
    (positive where the cuts open)

    .. math::
        h_0 = \frac w2 + \frac d2\,\frac bp\,\Bigl(1 - \frac Sb\Bigr),\quad
        S^{-n} = s^{-n} + S_\infty^{-n},\quad s = \frac b{1 + 0.091\,b/d},\quad
        S_\infty = 1.36\,t\,\bigl(1 - 1.346\,(w/t)^{3.48}\bigr)

        h = h_0 + 0.343\,(c + 0.272)\,\frac{k h_0^2}{1 + k h_0},\qquad n = 4.87

    and c the lean of the law, from ``P = E (e + c e**2)``. Short pieces add 0.046 p to half the
    web, long ones come near the middle of the whole strip. Each cut opens by
    ``turn (t - h)(1 - u/p)``, where u is what its pieces give by stretching: with cuts outside
    ``0.179 t log(1 + exp(4.704 (b/t - 1.8 + 1.505 (w/t)**2)))``, with cuts inside
    ``(0.098 + 0.387 (w/t)**3) b**2/t``.

    The constants are derived from our own finite elements, for radii of the edge from 2 thicknesses
    up, in hollows from 3. In a checkout ``python tests/published/test_felupe_slit.py fit`` solves
    them and fits the constants again.
    """

    law: Law
    thickness: float
    depth: float
    pitch: float
    gap: float = 0.0
    face: Face = "outside"

    def __post_init__(self) -> None:
        one_of(self.face, "face", ("outside", "inside"))
        a_law(self.law)
        for name in ("thickness", "depth", "pitch"):
            object.__setattr__(self, name, single(positive(getattr(self, name), name), name))
        object.__setattr__(self, "gap", single(non_negative(self.gap, "gap"), "gap"))
        if self.depth >= self.thickness:
            raise ValueError(
                f"depth must be below the thickness of the strip ({self.thickness:g} mm), got "
                f"{self.depth:g} mm: it would fall apart; leave a web"
            )
        if self.gap >= self.pitch:
            raise ValueError(
                f"a cut must be narrower than the pitch ({self.pitch:g} mm), got {self.gap:g} mm: "
                "nothing would be left between two cuts; take narrower cuts or a longer pitch"
            )
        self._check_known()

    def _check_known(self) -> None:
        """Raise ValueError for cuts outside the range of the finite elements."""
        low, high = (share * self.thickness for share in _WEBS)
        if not low * (1 - 1e-9) <= self.web <= high * (1 + 1e-9):
            raise ValueError(
                f"depth of the cuts must be from {self.thickness - high:.4g} to "
                f"{self.thickness - low:.4g} mm in a strip {self.thickness:g} mm thick, got "
                f"{self.depth:g} mm; for other depths no length is known"
            )
        most = _LONGEST[self.face] * self.thickness
        if self.piece > most * (1 + 1e-9):
            raise ValueError(
                f"the pieces between cuts may be {most:.4g} mm long at most with cuts in the "
                f"{self.face} of a strip {self.thickness:g} mm thick, got {self.piece:.4g} mm: "
                "longer ones hardly follow a bend; take a shorter pitch"
            )
        if self.pitch > _PITCHES * self.thickness * (1 + 1e-9):
            raise ValueError(
                f"from cut to cut there may be {_PITCHES * self.thickness:.4g} mm at most in a "
                f"strip {self.thickness:g} mm thick, got {self.pitch:.4g} mm; take a shorter pitch"
            )

    @property
    def web(self) -> float:
        """What is left under the cuts [mm]."""
        return self.thickness - self.depth

    @property
    def piece(self) -> float:
        """Length of the piece between two cuts [mm]."""
        return self.pitch - self.gap

    @property
    def tightest(self) -> tuple[float, float]:
        """The tightest hollow and the tightest bend of an edge that are known [1/mm]."""
        return -1 / (_HOLLOW * self.thickness), 1 / (_CONVEX * self.thickness)

    def bend(self, curvature: ArrayLike) -> Floats:
        """Curvature of the back of the web [1/mm], positive where the cuts open."""
        edge = finite(curvature, "curvature", "1/mm")
        return edge if self.face == "outside" else -edge / (1 + self.thickness * edge)

    def height(self, curvature: ArrayLike) -> Floats:
        """Height of the line that keeps its length above the back of the web [mm].

        The radius of that line is within 0.5 % of felupe's for edges from three thicknesses up and
        within 1 % at two; with cuts inside within 0.6 %. Plane stress or plane strain, and the
        side strain of the foam, make no difference that matters. Not glued down but only bent, a
        strip keeps its pieces nearly straight: with pieces of a thickness the line is lower by at
        most 0.02 t, with longer ones by more.
        """
        bend = self.bend(curvature)
        t, b = self.thickness, self.piece
        most = _REACH * t * (1 - _DEEP * (self.web / t) ** _POWER)
        short = b / (1 + _COMB * b / self.depth)
        soft = (short**-_BLEND + most**-_BLEND) ** (-1 / _BLEND)
        at_rest = self.web / 2 + self.depth / 2 * (b - soft) / self.pitch
        strain = at_rest * bend / (1 + at_rest * bend)
        return np.asarray(at_rest * (1 + _LAW * (self._lean(strain) + _EVEN) * strain))

    def _lean(self, strain: Floats) -> Floats:
        """How much stiffer the foam is in tension: c of ``P = E (e + c e**2)``."""
        e = np.maximum(np.abs(strain), _LEAST_STRAIN)
        both = self.law.stress(1 + e) + self.law.stress(1 - e)
        return np.asarray(both / (2 * self.law.modulus * e**2))

    def offset(self, curvature: ArrayLike) -> Floats:
        """Height of that line above the edge [mm]."""
        height = self.height(curvature)
        return height if self.face == "outside" else self.thickness - height

    def lever(self, curvature: ArrayLike) -> Floats:
        """How much a cut opens at its tips for each radian that a pitch turns [mm].

        Within 5 % of felupe's where cuts open, down to an edge of three thicknesses. Where they
        close it may be up to an eighth too much, and at most 2 % too little.
        """
        t, share, along = self.thickness, self.web / self.thickness, self.piece / self.thickness
        if self.face == "outside":
            late = _ROUND * (along - _PLACE + _WEB * share**2)
            gives = _SLOPE / _ROUND * t * float(np.logaddexp(0.0, late))
        else:
            gives = (_PRESSED + _PRESSED_WEB * share**3) * t * along**2
        return np.asarray((t - self.height(curvature)) * (1 - gives / self.pitch))

    def opens(self, turn: ArrayLike) -> Floats:
        """A turn of the edge, positive where it opens the cuts [rad]."""
        given = finite(turn, "turn", "rad")
        return given if self.face == "outside" else -given

    def root_lever(self) -> float:
        """How much a gap widens at its root for each radian that a pitch turns [mm].

        ``0.45 w sqrt(gap/p)``: none for a slit. Within a tenth of the web of felupe's.
        """
        return 0.45 * self.web * float(np.sqrt(self.gap / self.pitch))

    def root_strain(self, curvature: ArrayLike, *, root_radius: float) -> Floats:
        """Local strain at the root of a cut that opens [1]; 0 where it closes.

        A slit that grows frees the energy ``G = E k**2 (w + 0.091 q)**2 q/8`` for each mm**2, q the
        piece between cuts (long ones count less: ``q = b/(1 + (b/(1.6 t))**4)**(1/4)``). In a root
        of radius r that is a strain of ``2 sqrt(G/(pi E r))`` (Irwin; Creager and Paris, from
        memory), and at least that of the bent web, ``k w/2``. G is within 35 % of felupe's, which
        is a sixth of the strain. A gap's corner takes about a quarter less than a slit's root.
        """
        radius = single(positive(root_radius, "root radius"), "root radius")
        opening = np.maximum(self.bend(curvature), 0.0)
        q = self.piece / (1 + (self.piece / (_SATURATED * self.thickness)) ** 4) ** 0.25
        notch = (self.web + _COMB * q) * np.sqrt(q / (2 * np.pi * radius))
        return np.asarray(opening * max(float(notch), self.web / 2))

    def closed_gap(self, curvature: float) -> float:
        """Width a cut of the same pitch must have to be just closed at its tips [mm]."""
        gap = 0.0
        if float(self.bend(curvature)) >= 0:
            return gap
        for _ in range(_MOST_STEPS):
            wider = replace(self, gap=gap)._closing(curvature)
            if abs(wider - gap) < 1e-12 * self.pitch:
                return wider
            gap = wider
        raise ArithmeticError("no width was found at which the cuts close; take a shorter pitch")

    def meeting_radius(self) -> float:
        """Radius of the edge at which cuts of this width just close [mm].

        0 where they do not close on any edge that is known. Of a toothed strip only the share of
        the gap counts for it, with short pieces: the pitch does not.
        """
        hollow, convex = self.tightest
        curvature = hollow if self.face == "outside" else convex
        if self.gap and self._closing(curvature) <= self.gap:
            return 0.0
        if not self.gap:
            return float("inf")
        low, high = 0.0, 1.0  # shares of that curvature
        for _ in range(_MOST_STEPS):
            middle = (low + high) / 2
            fits = self._closing(middle * curvature) <= self.gap
            low, high = (middle, high) if fits else (low, middle)
        return abs(1 / (low * curvature))

    def _closing(self, curvature: float) -> float:
        """How much each cut closes at its tips [mm]."""
        bend = float(self.bend(curvature))
        turn = self.pitch * bend / (1 + float(self.height(curvature)) * bend)
        return -turn * float(self.lever(curvature))
