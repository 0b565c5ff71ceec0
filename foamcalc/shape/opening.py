"""An edge round an opening: the same way, with the foam on its other side."""

from __future__ import annotations

from dataclasses import dataclass

from numpy.typing import ArrayLike

from foamcalc.guards import finite
from foamcalc.shape.plane import Corner, Curve, Extreme, Floats, Run


@dataclass(frozen=True, eq=False)
class Opening(Curve):
    """A curve with inside and outside changed over: what is convex becomes hollow.

    Parameters
    ----------
    edge : Curve
        The way round the opening, as if the foam lay within it.
    """

    edge: Curve

    @property
    def closed(self) -> bool:  # type: ignore[override]
        """Whether it comes back to its start."""
        return self.edge.closed

    @property
    def length(self) -> float:
        """Length along the edge [mm]."""
        return self.edge.length

    @property
    def turn(self) -> float:
        """Total turning between the ends [rad]."""
        return -self.edge.turn

    @property
    def corners(self) -> tuple[Corner, ...]:
        """The corners, from the start on."""
        return tuple(Corner(c.place, -c.turn) for c in self.edge.corners)

    @property
    def joints(self) -> tuple[float, ...]:
        """Places between the ends where the curvature jumps [mm]."""
        return self.edge.joints

    def curvature(self, place: ArrayLike) -> Floats:
        """Curvature [1/mm] at lengths along the edge [mm], of the shape of `place`."""
        return -self.edge.curvature(place)

    def heading(self, place: ArrayLike) -> Floats:
        """Turning since the start [rad] at lengths along the edge [mm]."""
        return -self.edge.heading(place)

    def extremes(self, start: float = 0.0, end: float | None = None) -> tuple[Extreme, Extreme]:
        """The most hollow and the most convex place between two places along the edge [mm]."""
        hollow, convex = self.edge.extremes(start, end)
        return Extreme(-convex.curvature, convex.place), Extreme(-hollow.curvature, hollow.place)

    def length_at(
        self, offset: ArrayLike, *, start: float = 0.0, end: float | None = None
    ) -> Floats:
        """Length of the parallel curve, as of any curve; away from the foam is above 0."""
        return self.edge.length_at(-finite(offset, "offset"), start=start, end=end)

    def runs(self) -> tuple[Run, ...]:
        """The convex, straight and hollow runs, from the start to the end of the edge."""
        return tuple(Run(r.start, r.end, -r.turn) for r in self.edge.runs())
