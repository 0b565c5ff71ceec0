"""Where a curve leads, worked out from its turning alone."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from foamcalc.shape.plane import Curve, Floats

_PANELS = 128
_NODES, _SHARES = np.polynomial.legendre.leggauss(6)


def travel(curve: Curve, place: ArrayLike, *, heading: float = 0.0) -> tuple[Floats, Floats]:
    """How far a curve has gone, ahead and aside, at lengths along it.

    ``ahead = int cos(heading + turned) ds``, ``aside = int sin(heading + turned) ds``, in six
    Gauss points on each of 128 panels or more; corners and jumps of the curvature part them.
    """
    s = np.clip(curve.on_curve(place), 0.0, curve.length)
    parts = [corner.place for corner in curve.corners] + list(curve.joints)
    edges = np.unique([*np.linspace(0.0, curve.length, _PANELS + 1), *parts, *s.ravel()])
    width = np.diff(edges)[:, None]
    turned = heading + curve.heading(edges[:-1, None] + width * (_NODES + 1) / 2)
    at = np.searchsorted(edges, s)
    ahead, aside = (
        np.append(0.0, np.cumsum((way(turned) * width * _SHARES / 2).sum(axis=1)))[at]
        for way in (np.cos, np.sin)
    )
    return np.asarray(ahead), np.asarray(aside)
