"""The shape wanted: how much Gauss curvature a ball, a dome or a measured profile has."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from foamcalc.guards import finite, non_negative, positive, single
from foamcalc.shape.plane import FULL_TURN, Curve, Floats
from foamcalc.shape.travel import travel

_LOOKS = 512


def cap_curvature(half_angle: ArrayLike) -> Floats:
    """Gauss curvature of a cap cut from a ball.

    Parameters
    ----------
    half_angle : array_like
        Angle from the middle of the cap to its rim, seen from the middle of the ball [rad];
        above 0, at most half a turn (the whole ball).

    Returns
    -------
    ndarray
        Gauss curvature [rad], whatever the radius.

    Raises
    ------
    ValueError
        For an angle out of range.

    Notes
    -----
    ``2 pi (1 - cos x)``.

    Examples
    --------
    >>> print(f"{np.degrees(cap_curvature(np.pi / 2)):.0f} deg")
    360 deg
    """
    x = positive(half_angle, "half_angle", "rad")
    _refuse_beyond(x, "half_angle", "half a turn", np.pi)
    return np.asarray(FULL_TURN * (1 - np.cos(x)))


def band_curvature(*, low: ArrayLike, high: ArrayLike) -> Floats:
    """Gauss curvature of the band of a ball between two latitudes.

    ``2 pi (sin high - sin low)``.
    """
    first, last = finite(low, "low", "rad"), finite(high, "high", "rad")
    for value, name in ((first, "low"), (last, "high")):
        _refuse_beyond(np.abs(value), name, "a quarter of a turn either way", np.pi / 2)
    if not (first < last).all():
        raise ValueError(
            f"low must be below high, got low {first.tolist()} and high {last.tolist()}"
        )
    return np.asarray(FULL_TURN * (np.sin(last) - np.sin(first)))


def _refuse_beyond(value: Floats, name: str, words: str, most: float) -> None:
    """Raise ValueError for an angle past the most there can be [rad]."""
    if (value > most + 1e-9).any():
        raise ValueError(
            f"{name} must be at most {words} ({most:.4f} rad), got {float(value.max()):g}; "
            "angles are in radians"
        )


@dataclass(frozen=True)
class Revolved:
    """A round shape: a profile turned about an upright axis.

    Parameters
    ----------
    profile : Curve
        From the crown (or the upper rim) down to the lower rim, its outside on the outside of
        the shape.
    slope : float
        Angle of the profile below the level where it starts [rad]: 0 for a round crown, more
        for a pointed one; a quarter of a turn is straight down.
    radius : float
        Distance from the axis where it starts [mm]: 0 for a crown.

    Raises
    ------
    ValueError
        For a profile that crosses the axis, with the place.

    Notes
    -----
    Between two places the surface has the Gauss curvature ``2 pi (cos s0 - cos s1)``: s is
    the slope, that at the start and what the profile has turned since. The radius does not come
    into it. A pointed crown has ``2 pi (1 - cos slope)`` at its very point.

    Examples
    --------
    A ball of radius 100 to the equator; eight gores share it between them.

    >>> from foamcalc.shape.curve import Arc
    >>> dome = Revolved(Arc(radius=100, turn=np.pi / 2))
    >>> print(np.degrees(dome.zones([0, 50 * np.pi / 3, 50 * np.pi])).round(1))
    [ 48.2 311.8]
    >>> print(np.degrees(dome.share([0, 50 * np.pi], gores=8)).round(1))
    [45.]
    """

    profile: Curve
    slope: float = 0.0
    radius: float = 0.0

    def __post_init__(self) -> None:
        if not isinstance(self.profile, Curve):
            raise TypeError(f"profile must be a Curve, got {type(self.profile).__name__}")
        slope = single(finite(self.slope, "slope", "rad"), "slope")
        _refuse_beyond(np.abs(np.array(slope)), "slope", "half a turn either way", np.pi)
        object.__setattr__(self, "slope", slope)
        object.__setattr__(self, "radius", single(non_negative(self.radius, "radius"), "radius"))
        length = self.profile.length
        places = np.linspace(0.0, length, _LOOKS + 1)
        across = self.radius_at(places)
        if (across < -1e-6 * length).any():
            i = int(np.argmax(across < -1e-6 * length))
            raise ValueError(
                f"the profile crosses the axis {places[i]:.1f} mm along; give it from the crown "
                "down, with the slope and the radius at its start"
            )

    def radius_at(self, place: ArrayLike) -> Floats:
        """Distance from the axis [mm] at lengths along the profile [mm]."""
        return self.radius + travel(self.profile, place, heading=self.slope)[0]

    def depth_at(self, place: ArrayLike) -> Floats:
        """Depth below the start of the profile [mm] at lengths along it [mm]."""
        return travel(self.profile, place, heading=self.slope)[1]

    def slope_at(self, place: ArrayLike) -> Floats:
        """Angle below the level [rad] at lengths along the profile [mm]."""
        return self.slope + self.profile.heading(place)

    def zones(self, places: ArrayLike) -> Floats:
        """Gauss curvature between neighbouring places along the profile."""
        s = self.profile.on_curve(places)
        if s.ndim != 1 or s.size < 2 or not (np.diff(s) > 0).all():
            raise ValueError(f"places must be two or more in rising order, got {s.tolist()}")
        return np.asarray(FULL_TURN * -np.diff(np.cos(self.slope_at(s))))

    def share(self, places: ArrayLike, *, gores: int) -> Floats:
        """Gauss curvature that each of as many seams as gores must give between places.

        Parameters
        ----------
        places : array_like, shape (n,)
            Lengths along the profile [mm], rising, two or more.
        gores : int
            Number of equal gores all the way round, 2 or more; seams run along the profile.

        Returns
        -------
        ndarray, shape (n - 1,)
            Gauss curvature of one seam in each zone [rad]. Tips that meet at the crown bring
            `corner_curvature` besides.

        Raises
        ------
        ValueError
            For places out of order or off the profile, or gores that are no whole number.
        """
        if isinstance(gores, bool) or not isinstance(gores, int | np.integer):
            raise ValueError(f"gores must be a whole number, got {gores!r}")
        if gores < 2:
            raise ValueError(f"gores must be 2 or more, got {gores}")
        return self.zones(places) / int(gores)
