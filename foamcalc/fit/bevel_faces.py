"""Bevelled edges: how long each face is between the marks."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray

from foamcalc.fit.bevel import checked_bevel, set_back
from foamcalc.fit.seam.edge import SeamEdge
from foamcalc.fit.stack import Face
from foamcalc.guards import one_of, single

Floats = NDArray[np.float64]

__all__ = ["FaceLengths", "bevelled"]

FACES: tuple[Face, Face] = ("inside", "outside")


@dataclass(frozen=True, kw_only=True)
class FaceLengths:
    """How long each face of a bevelled edge is between its marks; one entry an interval."""

    edge: SeamEdge
    """The edge as it was drawn."""
    bevel: float
    """Angle of the cut from square [rad]."""
    drawn: Face
    """The face that the edge was drawn for."""
    cut_back: Face
    """The face that is set back."""
    set_back: float
    """How far [mm]."""
    outside: Floats
    """Lengths on the outside face [mm]."""
    inside: Floats
    """Lengths on the inside face [mm]."""
    turns: Floats = field(repr=False)
    """How much the edge turns in each interval [rad]."""

    def lengths(self, face: Face) -> Floats:
        """Lengths on one face [mm]."""
        return self.outside if one_of(face, "face", FACES) == "outside" else self.inside

    def on(self, face: Face) -> SeamEdge:
        """The edge as it runs on one face, with its marks carried across, for a seam glued there.

        Turns stay; the drawn curve is left behind.
        """
        if one_of(face, "face", FACES) == self.drawn:
            return self.edge
        places = np.concatenate([[0.0], np.cumsum(self.lengths(face))])
        return replace(self.edge.with_places(places.tolist()), turns=self.turns.tolist())

    def table(self) -> Any:
        """The intervals side by side (pandas, units in the column heads)."""
        import pandas as pd

        labels = self.edge.labels
        return pd.DataFrame(
            {
                "from": labels[:-1],
                "to": labels[1:],
                "turn [deg]": np.degrees(self.turns),
                "outside [mm]": self.outside,
                "inside [mm]": self.inside,
                "outside longer by [mm]": self.outside - self.inside,
            }
        )


def bevelled(
    edge: SeamEdge, *, bevel: float, drawn: Face = "outside", cut_back: Face = "inside"
) -> FaceLengths:
    """Lengths of both faces of a bevelled edge between its marks.

    Parameters
    ----------
    edge : SeamEdge
        With its turns, or drawn as a curve.
    bevel : float
        Angle of the cut from square [rad], 0 to below a quarter turn.
    drawn : {"outside", "inside"}
        The face for which the pattern is drawn: where its lines lie on the foam.
    cut_back : {"inside", "outside"}
        The face that is set back: the inside at a ridge, the outside in a valley.

    Raises
    ------
    ValueError
        For an edge whose turns are not known, a face that folds over itself or has no length
        left, or a cut that is wider than the piece.

    Notes
    -----
    Parallel curves at the distance `set_back`. A curve with corners loses ``2 d tan(turn/2)`` at
    a convex corner where the face is set back. The seam is glued on one face: let both pieces be
    drawn for that one, or carry the marks across with `FaceLengths.on`.

    Examples
    --------
    >>> from foamcalc.fit.stack import Piece
    >>> from foamcalc.foam.law import Linear
    >>> eva = Piece(thickness=10, law=Linear(1.5))
    >>> edge = SeamEdge(name="crown", piece=eva, places=(0, 100, 200), turns=(np.pi / 2, np.pi / 2))
    >>> print(bevelled(edge, bevel=np.radians(22.5)).inside.round(2))
    [93.49 93.49]
    """
    one_of(drawn, "drawn", FACES)
    one_of(cut_back, "cut_back", FACES)
    angle = single(checked_bevel(bevel), "bevel")
    said = f"edge {edge.name!r}"
    if edge.turns is None:
        raise ValueError(
            f"{said}: give its turns between the marks, or draw it as a curve; without them "
            "nobody knows which face is longer"
        )
    away = float(set_back(thickness=edge.piece.thickness, bevel=angle))
    if away >= edge.depth:
        raise ValueError(
            f"{said}: a bevel of {np.degrees(angle):.4g} deg runs {away:.1f} mm into a piece that "
            f"is {edge.depth:g} mm deep; take a smaller bevel or thinner sheet"
        )
    offset = -away if drawn != cut_back else away
    turns = np.asarray(edge.turns)
    far = _parallel(edge, offset, turns)
    near = edge.lengths
    outside, inside = (near, far) if drawn == "outside" else (far, near)
    return FaceLengths(
        edge=edge,
        bevel=angle,
        drawn=drawn,
        cut_back=cut_back,
        set_back=away,
        outside=outside,
        inside=inside,
        turns=turns,
    )


def _parallel(edge: SeamEdge, offset: float, turns: Floats) -> Floats:
    """Lengths between the marks on the other face."""
    if edge.curve is not None:
        runs = pairwise(edge.places)
        return np.array([float(edge.curve.length_at(offset, start=s, end=e)) for s, e in runs])
    far = edge.lengths + offset * turns
    if (far <= 0).any():
        i = int(np.argmin(far))
        raise ValueError(
            f"edge {edge.name!r}: from {edge.labels[i]} to {edge.labels[i + 1]} the other face "
            f"would be {far[i]:.1f} mm long; a set-back of {abs(offset):.1f} mm folds it over "
            "itself, so take a smaller bevel or an easier curve"
        )
    return far
