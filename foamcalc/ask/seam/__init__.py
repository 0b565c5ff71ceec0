"""One seam as a maker states it: from two tapes or from a drawing, answered, and written out."""

from foamcalc.ask.seam.answer import SeamAnswer
from foamcalc.ask.seam.question import SeamQuestion, answer_seam

__all__ = ["SeamAnswer", "SeamQuestion", "answer_seam"]
