"""Many segments of drawings side by side in arrays, so that all are looked at in one go.

Points are complex numbers here, x + iy: the cross product of a and b is then the imaginary part
of ``conj(a) b``, their dot product its real part.
"""

from __future__ import annotations

from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from foamcalc.shape.plane import FULL_TURN, Floats
from foamcalc.shape.speed import Numbers, Points, Speeds

_STILL = 1e-9
"""Speed, as a share of the highest, below which an end gives no direction by itself."""
_CUSP = 1e-11
"""Speed, as a share of the highest, below which a segment stands still and turns round."""


def cross(a: Points | complex, b: Points | complex) -> Floats:
    """Cross product of vectors in the plane."""
    return np.asarray((np.conj(a) * b).imag)


class Batch(Speeds):
    """Segments side by side, with their points, directions and bends.

    In every method `i` of shape (k,) holds numbers of segments, `t` of shape (k,) or (k, m)
    where on them, from 0 to 1.
    """

    @cached_property
    def _form(self) -> Points:
        """What points are worked out from, shape (n, 5).

        Of a Bezier curve the coefficients of 1, t, t² and t³. Of an arc the centre, the parts
        that turn left and right, start and sweep.
        """
        form = np.zeros((len(self), 5), complex)
        form[:, 0] = self._pairs[:, 0]
        rates = self._rates[:3] + 1j * self._rates[3:]
        form[:, 1:4] = rates.T / [1, 2, 3]
        arcs = np.flatnonzero(self.arc)
        form[arcs, 1], form[arcs, 2] = self.spins(arcs)
        form[arcs, 3], form[arcs, 4] = self._pairs[arcs, 3].real, self._pairs[arcs, 3].imag
        return form

    def values(self, i: Numbers, t: Floats, order: int = 0) -> Points:
        """Points, or their first or second derivative by `t` [mm]."""
        out = np.empty(t.shape, complex)
        arcs = self.arc[i]
        if not arcs.all():
            s = t[~arcs]
            b0, b1, b2, b3 = self._columns(i[~arcs], s)[:4]
            if order == 0:
                out[~arcs] = b0 + s * (b1 + s * (b2 + s * b3))
            elif order == 1:
                out[~arcs] = b1 + s * (2 * b2 + 3 * s * b3)
            else:
                out[~arcs] = 2 * b2 + 6 * s * b3
        if arcs.any():
            centre, left, right, start, sweep = self._columns(i[arcs], t[arcs])
            spin = np.exp(1j * (start.real + sweep.real * t[arcs]))
            rate = 1j * sweep
            swung = rate**order * left * spin + (-rate) ** order * right * np.conj(spin)
            out[arcs] = swung + (centre if order == 0 else 0)
        return out

    def _columns(self, i: Numbers, t: Floats) -> list[Points]:
        """The form of these segments, to go with `t`."""
        return [_over(column, t) for column in self._form[i].T]

    @cached_property
    def highest(self) -> Floats:
        """A bound of the speed of each segment that it comes near [mm], shape (n,)."""
        out = np.empty(len(self))
        b = self._form[~self.arc]
        first, mid, last = b[:, 1], b[:, 1] + b[:, 2], b[:, 1] + 2 * b[:, 2] + 3 * b[:, 3]
        out[~self.arc] = np.abs([first, mid, last]).max(axis=0)
        a = self._form[self.arc]
        out[self.arc] = (np.abs(a[:, 1]) + np.abs(a[:, 2])) * np.abs(a[:, 4])
        return out

    def cusps(self) -> Floats:
        """Where segments stand still between their ends, as `t`; NaN fills the rows up."""
        arcs = np.flatnonzero(self.arc)
        places = np.full((len(self), 5), np.nan)
        places[:, :2] = self.roots.real
        places[arcs] = self.stops_of(arcs).real
        places[~((places > 0) & (places < 1))] = np.nan
        at = np.nan_to_num(places)
        speed = np.abs(self.values(np.arange(len(self)), at, 1))
        places[speed > _CUSP * self.highest[:, None]] = np.nan
        return places

    def inflections(self) -> Floats:
        """Where Bezier curves change the side they bend to, as `t`, shape (n, 2), or NaN."""
        b1, b2, b3 = self._form[:, 1], 2 * self._form[:, 2], 3 * self._form[:, 3]
        a, b, c = cross(b2, b3), 2 * cross(b1, b3), cross(b1, b2)
        with np.errstate(divide="ignore", invalid="ignore"):
            q = -(b + np.copysign(np.sqrt(b * b - 4 * a * c), b)) / 2
            found = np.stack([q / a, c / q], axis=1)
        found[self.arc] = np.nan
        found[~((found > 0) & (found < 1))] = np.nan
        return found

    @cached_property
    def still(self) -> NDArray[np.bool_]:
        """Whether each segment stands still at its start and at its end, shape (n, 2)."""
        every = np.arange(len(self))
        ends = np.abs(self.values(every, np.tile([0.0, 1.0], (len(self), 1)), 1))
        return np.asarray(ends <= _STILL * self.highest[:, None])

    @cached_property
    def directions(self) -> Points:
        """Directions in which segments set out and come in, of length 1, shape (n, 2).

        Where a segment stands still at an end, the direction it takes up there.
        """
        every = np.arange(len(self))
        t = np.tile([0.0, 1.0], (len(self), 1))
        out, level, still = self.values(every, t, 1), self.highest[:, None], self.still
        forward = np.array([1.0, -1.0])  # behind the start, before the end
        second = self.values(every, t, 2)
        third = np.where(self.arc, 0, 6 * self._form[:, 3])[:, None]
        out = np.where(still, forward * second, out)
        out = np.where(still & (np.abs(out) <= _STILL * level), third, out)
        with np.errstate(divide="ignore", invalid="ignore"):
            return np.asarray(out / np.abs(out))

    @cached_property
    def end_curvatures(self) -> Floats:
        """Curvature [1/mm] of each segment at its start and at its end, shape (n, 2)."""
        return self.curvature(np.arange(len(self)), np.tile([0.0, 1.0], (len(self), 1)))

    def headed(self, i: Numbers, t: Floats) -> Points:
        """Directions of length 1."""
        speed = self.values(i, t, 1)
        still = np.abs(speed) <= _STILL * _over(self.highest[i], t)
        if still.any():
            ends = self.directions[i]
            near = np.where(t < 0.5, _over(ends[:, 0], t), _over(ends[:, 1], t))
            speed = np.where(still, near, speed)
        return np.asarray(speed / np.abs(speed))

    def turned(self, i: Numbers, t: Floats) -> Floats:
        """Turning from the start of the segment on [rad], to the left positive.

        Notes
        -----
        The derivative of a Bezier curve is ``c (t - z1)(t - z2)``, and the direction of each
        ``t - z`` turns by less than half a turn. That of an ellipse turns by half a turn with
        each half turn of the angle. So no full turn goes uncounted, however short it is. A
        segment must not stand still between its ends.
        """
        exact = np.angle(self.headed(i, t) / _over(self.directions[i, 0], t))
        rough = np.zeros(t.shape)
        for z in self._turning_roots.T:
            at = _over(z[i], t)
            with np.errstate(divide="ignore", invalid="ignore"):
                rough += np.nan_to_num(np.angle((t - at) / -at))
        left, right, sweep = (_over(self._form[i, k], t) for k in (1, 2, 4))
        way = np.abs(left) - np.abs(right)
        flat = np.abs(way) <= _CUSP * (np.abs(right) + np.abs(left))
        spun = np.where(flat, 0.0, np.sign(way) * sweep.real * t)
        rough = np.where(_over(self.arc[i], t), spun, rough)
        return np.asarray(exact + FULL_TURN * np.round((rough - exact) / FULL_TURN))

    @cached_property
    def _turning_roots(self) -> Points:
        """The roots, but for those at an end where the segment stands still."""
        roots, still = self.roots.copy(), self.still
        every = np.arange(len(self))
        for end, place in enumerate((0.0, 1.0)):
            away = np.abs(np.nan_to_num(roots, nan=np.inf) - place)
            roots[every, np.argmin(away, axis=1)] *= np.where(still[:, end], np.nan, 1.0)
        return roots

    def curvature(self, i: Numbers, t: Floats) -> Floats:
        """Curvature [1/mm], to the left positive; infinite where the segment stands still."""
        first, second = self.values(i, t, 1), self.values(i, t, 2)
        speed = np.abs(first)
        still = speed <= _STILL * _over(self.highest[i], t)
        k = cross(first, second) / np.where(still, 1.0, speed) ** 3
        if still.any():
            inner = np.where(t < 0.5, 1e-5, 1 - 1e-5)
            beside = cross(self.values(i, inner, 1), self.values(i, inner, 2))
            level = np.abs(beside) <= 1e-12 * _over(self.highest[i], t) ** 2
            k = np.where(still, np.where(level, 0.0, np.copysign(np.inf, beside)), k)
        return np.asarray(k)


def _over(column: NDArray[Any], t: Floats) -> NDArray[Any]:
    """One number for each segment, to go with `t`."""
    return column.reshape(-1, *[1] * (t.ndim - 1))
