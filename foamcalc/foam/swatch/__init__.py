"""A foam law, its limits and its set, from strips of the maker's own sheet."""

from foamcalc.foam.swatch.fit import fit_swatch
from foamcalc.foam.swatch.result import Swatch

__all__ = ["Swatch", "fit_swatch"]
