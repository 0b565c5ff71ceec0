"""The cut list of a build: what of it is to be cut, and out of which sheets."""

from foamcalc.ask.cutting.build import BuildCut, Needed, checked_seconds, cut_build
from foamcalc.ask.cutting.pieces import ToCut, items_of, to_cut

__all__ = ["BuildCut", "Needed", "ToCut", "checked_seconds", "cut_build", "items_of", "to_cut"]
