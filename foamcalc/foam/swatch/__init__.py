"""A foam law, its limits and its set, from strips of the maker's own sheet."""

from foamcalc.foam.swatch.fit import fit_swatch
from foamcalc.foam.swatch.result import Estimate, Swatch
from foamcalc.foam.swatch.strips import ReadingErrors, Strip, StripReading

__all__ = ["Estimate", "ReadingErrors", "Strip", "StripReading", "Swatch", "fit_swatch"]
