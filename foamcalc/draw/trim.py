"""Pictures of a strip along an edge: flat and on its edge, and the strain across a band."""

from foamcalc.draw.trim_chart import trim_chart
from foamcalc.draw.trim_strain import strain_chart

__all__ = ["strain_chart", "trim_chart"]
