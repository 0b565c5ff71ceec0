"""One strip along an edge as a maker states it: read, answered, and written out."""

from foamcalc.job.trim.answer import TrimAnswer
from foamcalc.job.trim.question import KINDS, TrimQuestion, answer_trim

__all__ = ["KINDS", "TrimAnswer", "TrimQuestion", "answer_trim"]
