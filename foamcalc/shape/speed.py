"""How fast a pen moves along drawn segments, many of them at once: what their lengths come from."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from operator import attrgetter

import numpy as np
from numpy.typing import NDArray

from foamcalc.shape.plane import Floats
from foamcalc.shape.segments import PACKED, Segment

Points = NDArray[np.complex128]
Numbers = NDArray[np.intp]


class Speeds:
    """Segments side by side in arrays, numbered from 0.

    Vectors are complex numbers, x + iy.
    """

    def __init__(self, segments: Sequence[Segment]) -> None:
        try:
            packed = b"".join(map(attrgetter("packed"), segments))
        except AttributeError:
            raise _no_segment(segments) from None
        rows = np.frombuffer(packed).reshape(-1, PACKED)
        self.size: Numbers = rows[:, 0].astype(np.intp)
        """How many control points each has; 0 for an arc."""
        self.arc: NDArray[np.bool_] = self.size == 0
        self._pairs: Points = np.ascontiguousarray(rows[:, 1:]).view(complex)
        # Bezier: coefficients of 1, t and t² of the derivative, as x and as y. Arc: start, counted
        # from a place of the least speed; sweep; size of the least speed and of the swing; size of
        # the parts that turn left and right.
        self._rates: Floats = np.zeros((6, len(rows)))
        for size in (2, 3, 4):
            those = np.flatnonzero(self.size == size)
            step = np.diff(self._pairs[those, :size], axis=1)
            rates = np.zeros((3, those.size), complex)
            rates[0] = (size - 1) * step[:, 0]
            if size == 3:
                rates[1] = 2 * (step[:, 1] - step[:, 0])
            if size == 4:
                rates[1] = 6 * (step[:, 1] - step[:, 0])
                rates[2] = 3 * (step[:, 2] - 2 * step[:, 1] + step[:, 0])
            self._rates[:3, those], self._rates[3:, those] = rates.real, rates.imag
        arcs = np.flatnonzero(self.arc)
        left, right = self.spins(arcs)
        start, sweep = self._pairs[arcs, 3].real, self._pairs[arcs, 3].imag
        size_left, size_right = np.abs(left), np.abs(right)
        least, swing = size_left - size_right, 2 * np.sqrt(size_left * size_right)
        slow = (np.angle(right) - np.angle(left)) / 2
        own = [start - slow, sweep, sweep * least, sweep * swing, size_left, size_right]
        self._rates[:, arcs] = np.array(own)

    def __len__(self) -> int:
        return len(self.arc)

    def spins(self, arcs: Numbers) -> tuple[Points, Points]:
        """The parts of arcs of these numbers that turn left, with exp(ia), and right."""
        u, v = self._pairs[arcs, 1], self._pairs[arcs, 2]
        return (u - 1j * v) / 2, (u + 1j * v) / 2

    def speed(self, i: Numbers, t: Floats) -> Floats:
        """Speed [mm] on segments of numbers `i`, shape (k,), at `t`, shape (k,) or (m, k)."""
        arcs = self.arc[i]
        if arcs.all():
            return self._arc_speed(i, t)
        if not arcs.any():
            return self._bezier_speed(i, t)
        out = np.empty(t.shape)
        out[..., arcs] = self._arc_speed(i[arcs], t[..., arcs])
        out[..., ~arcs] = self._bezier_speed(i[~arcs], t[..., ~arcs])
        return out

    def _bezier_speed(self, i: Numbers, t: Floats) -> Floats:
        a, b, c, d, e, f = self._rates[:, i]
        x, y = (c * t + b) * t + a, (f * t + e) * t + d
        return np.asarray(np.sqrt(x * x + y * y))

    def _arc_speed(self, i: Numbers, t: Floats) -> Floats:
        begin, sweep, least, most = self._rates[:4, i]
        swing = most * np.sin(begin + sweep * t)
        return np.asarray(np.sqrt(least * least + swing * swing))

    @cached_property
    def roots(self) -> Points:
        """Where the derivative of each Bezier curve vanishes, as complex `t`, shape (n, 2).

        NaN where there is no such place, and for arcs.
        """
        out = np.full((len(self), 2), np.nan, complex)
        bent = np.flatnonzero(self.size > 2)
        rates = self._rates[:, bent]
        b1, b2, b3 = rates[:3] + 1j * rates[3:]
        with np.errstate(all="ignore"):
            root = np.sqrt(b2 * b2 - 4 * b1 * b3)
            root = np.where((np.conj(b2) * root).real < 0, -root, root)
            q = -(b2 + root) / 2
            found = np.stack([q / b3, b1 / q], axis=1)
        found[~np.isfinite(found)] = np.nan
        out[bent] = found
        return out

    def stops_of(self, arcs: Numbers) -> Points:
        """Where the speed of these arcs vanishes, as complex `t`, shape (k, 5), or NaN.

        There is such a place in each half turn; those from a quarter turn or more before the
        start to as far behind the end are given.
        """
        begin, sweep, _, _, left, right = self._rates[:, arcs]
        with np.errstate(all="ignore"):
            step = np.pi / np.abs(sweep)
            first = -begin / sweep
            first -= step * np.floor((first + step / 2) / step)
            beside = np.log(right / left) / (2 * sweep)
            found: Points = (first + 1j * beside)[:, None] + step[:, None] * np.arange(5)
        found[~np.isfinite(found)] = np.nan
        return found


def _no_segment(segments: Sequence[Segment]) -> TypeError:
    """The error for the first thing that is no segment."""
    number = next(i for i, s in enumerate(segments) if not hasattr(s, "packed"))
    return TypeError(
        f"segment {number + 1} must be a Bezier or an EllipseArc, got "
        f"{type(segments[number]).__name__}"
    )
