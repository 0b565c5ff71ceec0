"""What happens from place to place along an overlay: local strain, and marks that share it out."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from foamcalc.fit.overlay import Overlay
from foamcalc.guards import finite

Floats = NDArray[np.float64]


def local_strain(joint: Overlay, place: ArrayLike) -> Floats:
    """Strain of an overlay at places along the curve when glue grabs and nothing slides [1].

    For an overlay laid down fibre to fibre on the base, without pulling.

    Parameters
    ----------
    joint : Overlay
        The joint.
    place : array_like
        Lengths along its curve [mm].

    Notes
    -----
    ``z k / (1 + f k)``: k the curvature of the curve, f the height of the base's fibre over it,
    z the height from that fibre to the overlay's. At a corner the curvature has no end.
    """
    low, high = _fibres(joint)
    k = joint.curve.curvature(place)
    return np.asarray((high - low) * k / (1 + low * k))


def between_marks(joint: Overlay, marks: ArrayLike) -> Any:
    """What happens between marks when glue grabs and nothing slides (pandas).

    Parameters
    ----------
    joint : Overlay
        The joint.
    marks : array_like
        Places of the marks along the curve [mm], in order; at least two.

    Returns
    -------
    DataFrame
        One row an interval: its turn, how much longer the overlay must be there than the base's
        fibre, and the least and the most local strain.

    Raises
    ------
    ValueError
        For marks out of order or off the curve, or layers that fold over themselves there.

    Examples
    --------
    An S of two half turns, radius 60 mm, 5 mm on 5 mm: in all no gap, but in each half one.

    >>> from foamcalc.fit.stack import Piece
    >>> from foamcalc.foam.law import Linear
    >>> from foamcalc.shape.arcs import Arcs
    >>> s = Arcs([62.5 * np.pi, 57.5 * np.pi], [np.pi, -np.pi])
    >>> piece = Piece(thickness=5, law=Linear(1.5))
    >>> joint = Overlay.from_curve(s, base=piece, overlay=piece)
    >>> rows = between_marks(joint, [0, 62.5 * np.pi, s.length])
    >>> print(rows["longer [mm]"].round(1).tolist(), f"{joint.gap:.1f}")
    [15.7, -15.7] 0.0
    """
    import pandas as pd

    places = finite(marks, "marks")
    if places.ndim != 1 or places.size < 2 or not (np.diff(places) > 0).all():
        raise ValueError(
            f"marks must be two or more places in rising order, got {np.atleast_1d(places)}"
        )
    rows = []
    for start, end in pairwise(places):
        low, high = (float(joint.curve.length_at(z, start=start, end=end)) for z in _fibres(joint))
        local = 100 * local_strain(joint, np.linspace(start, end, 101)) + 0.0  # no -0.0
        turn = float(np.diff(joint.curve.heading([start, end]))[0])
        rows.append((start, end, np.degrees(turn), high - low, local.min(), local.max()))
    heads = ("from [mm]", "to [mm]", "turn [deg]", "longer [mm]", "least [%]", "most [%]")
    return pd.DataFrame(rows, columns=list(heads))


def even_marks(joint: Overlay, *, parts: int = 4) -> tuple[Floats, Floats]:
    """Where to mark base and overlay so that the stretch is shared out evenly."""
    tape, needed = [np.zeros(1)], [np.zeros(1)]
    above = joint.bead + joint.overlay.fibre * joint.overlay.thickness
    for start, end, under in _steps(joint):
        places = np.linspace(start, end, 240 * parts + 1)
        turned = joint.curve.heading(places) - joint.curve.heading(start)
        for run, height in ((tape, under), (needed, under + above)):
            run.append(run[-1][-1] + (places - start + height * turned)[1:])
    below, fibre = np.concatenate(tape), np.concatenate(needed)
    on_base = np.linspace(0.0, below[-1], parts + 1)
    return on_base, np.interp(on_base, below, fibre) / fibre[-1] * joint.cut_length


def _steps(joint: Overlay) -> list[tuple[float, float, float]]:
    """As `Shell.steps`, from the start of the overlay on."""
    shell, own = joint.shell, len(joint.under)
    found = shell.steps(own)
    begins = shell.runs(own)[0][0]
    first = next(i for i, step in enumerate(found) if step[0] >= begins - 1e-9)
    return found[first:] + found[:first]


def _fibres(joint: Overlay) -> tuple[float, float]:
    """Heights of the base's and the overlay's fibre over the curve, nothing between [mm]."""
    base = joint.base
    low = (base.fibre if joint.face == "inside" else base.fibre - 1) * base.thickness
    gap = (1 - base.fibre) * base.thickness + joint.bead
    return low, low + gap + joint.overlay.fibre * joint.overlay.thickness
