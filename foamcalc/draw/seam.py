"""Pictures of a seam: laid out straight, and on the drawing of its pieces."""

from foamcalc.draw.seam_chart import seam_chart
from foamcalc.draw.seam_drawing import seam_drawing

__all__ = ["seam_chart", "seam_drawing"]
