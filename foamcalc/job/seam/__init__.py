"""One seam as a maker states it: from two tapes or from a drawing, answered, and written out."""

from foamcalc.job.seam.answer import SeamAnswer
from foamcalc.job.seam.question import SeamQuestion, answer_seam

__all__ = ["SeamAnswer", "SeamQuestion", "answer_seam"]
