"""Foam laws by the name of a grade in the reference tables."""

from __future__ import annotations

from difflib import get_close_matches

from foamcalc.foam.law import HyperFoam
from foamcalc.tables import Entry, look_up, subjects

_QUANTITIES = ("modulus", "alpha", "poisson")


def foam(name: str) -> HyperFoam:
    """The foam law of a grade in foams.csv.

    Parameters
    ----------
    name : str
        Name of the grade, for example "EVA medium".

    Returns
    -------
    HyperFoam
        One term, with ``mu = E/(2(1 + nu))``.

    Raises
    ------
    ValueError
        For a name that is not in the table; the nearest name is suggested.

    Examples
    --------
    >>> print(f"{foam('EVA medium').modulus:.2f} MPa")
    1.50 MPa
    """
    modulus, alpha, poisson = (entry.value for entry in foam_entries(name))
    return HyperFoam.from_modulus(modulus, alpha=alpha, poisson=poisson)


def foam_entries(name: str) -> tuple[Entry, ...]:
    """The rows of foams.csv that `foam` rests on, with unit and basis."""
    if name not in subjects("foams"):
        raise ValueError(_unknown(name))
    modulus, alpha, poisson = (look_up("foams", name, q) for q in _QUANTITIES)
    modulus.in_unit("MPa")
    return modulus, alpha, poisson


def choosing() -> str:
    """How to choose among the grades: by what the foam weighs."""
    rows = [look_up("foams", name, "density") for name in subjects("foams")]
    ranges = [f"{r.subject} {r.low:g} to {r.high:g}" for r in rows if r.low and r.high]
    spans = f"{', '.join(ranges)} {rows[0].unit} ({rows[0].basis})"
    return f"choose a grade by the weight of a piece of known size: {spans}"


def _unknown(name: str) -> str:
    near = get_close_matches(name, subjects("foams"), n=1)
    hint = f"did you mean {near[0]!r}? Or " if near else ""
    return f"unknown foam {name!r}; {hint}{choosing()}"
