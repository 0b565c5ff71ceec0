"""Two edges glued edge to edge: what happens where they are not equally long between marks."""

from foamcalc.fit.seam.edge import SeamEdge
from foamcalc.fit.seam.joined import Seam, SeamIntervals
from foamcalc.fit.seam.ways import SeamChoice, SeamSituation, SeamWay, choose_seam

__all__ = [
    "Seam",
    "SeamChoice",
    "SeamEdge",
    "SeamIntervals",
    "SeamSituation",
    "SeamWay",
    "choose_seam",
]
