"""Foam laws by the name of a grade in the reference tables, or, at the last resort, by density."""

from __future__ import annotations

import math
from difflib import get_close_matches
from typing import NamedTuple

from foamcalc.foam.law import HyperFoam
from foamcalc.guards import fraction, positive, single
from foamcalc.tables import Entry, look_up, subjects

_MOST_DENSE = 0.3
"""Share of solid above which it is no foam but a solid with holes."""


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
        near = get_close_matches(name, subjects("foams"), n=1)
        hint = f"did you mean {near[0]!r}? Or " if near else ""
        raise ValueError(f"unknown foam {name!r}; {hint}{choosing()}")
    modulus, alpha, poisson = (look_up("foams", name, q) for q in ("modulus", "alpha", "poisson"))
    modulus.in_unit("MPa")
    return modulus, alpha, poisson


def choosing() -> str:
    """How to choose among the grades: by what the foam weighs."""
    rows = [look_up("foams", name, "density") for name in subjects("foams")]
    ranges = [f"{r.subject} {r.low:g} to {r.high:g}" for r in rows if r.low and r.high]
    spans = f"{', '.join(ranges)} {rows[0].unit} ({rows[0].basis})"
    return f"choose a grade by the weight of a piece of known size: {spans}"


class FromDensity(NamedTuple):
    """A foam guessed from its density. Nothing about it was tested."""

    law: HyperFoam
    modulus: float
    """Young's modulus at rest [MPa], assumed."""
    low: float
    high: float
    """What can be believed of it [MPa]."""
    rests_on: tuple[str, ...]
    """Every assumption, to be shown with every result that used this law."""


def foam_from_density(
    density: float,
    *,
    solid_modulus: float | None = None,
    solid_density: float | None = None,
    edge_share: float | None = None,
    grade: str = "EVA medium",
) -> FromDensity:
    r"""A law for a foam of which only the density is known.

    Parameters
    ----------
    density : float
        Of the foam [kg/m3], above 0: weigh a piece of known size.
    solid_modulus : float, optional
        Young's modulus of the same plastic before it was foamed [MPa], above 0. Left out: 30,
        with a range of 7 to 120.
    solid_density : float, optional
        Density of that plastic [kg/m3], above 0; from limits.csv when left out.
    edge_share : float, optional
        Share of the plastic in the edges of the cells [1], 0 to 1; the rest is in their faces.
        From limits.csv when left out.
    grade : str
        Row of foams.csv for alpha and Poisson's ratio.

    Returns
    -------
    FromDensity

    Raises
    ------
    ValueError
        For numbers out of range, or a foam that is more than 30 % plastic.

    Notes
    -----
    Gibson and Ashby, closed cells, :math:`x` the density of the foam over that of the plastic:

    .. math::
        E = E_s[\varphi^2 x^2 + (1-\varphi)x] + p_0\frac{1-2\nu}{1-x}

    Edges bend, faces stretch, and the air in the cells is squeezed. The last part is nothing for
    hard foam and a good part of a soft one. The first two terms, read in [2]_, are said there to
    agree with data for an edge share of 0.6 to 0.8, but computed foams with more in the faces came
    out below them. The part of the air is from memory. A factor of two is assumed for a known
    plastic, and nobody knows the plastic of a bought sheet: its modulus alone spans 7 to 120 MPa
    [3]_, 30 being about the middle on a scale of ratios. Fillers and cross-linking are not seen at
    all. The two doubts add as ratios.

    Examples
    --------
    >>> guess = foam_from_density(100)
    >>> print(f"{guess.modulus:.1f} MPa, somewhere from {guess.low:.2f} to {guess.high:.1f}")
    1.2 MPa, somewhere from 0.24 to 5.7

    References
    ----------
    .. [1] L. J. Gibson, M. F. Ashby, Cellular Solids, 2nd edition, Cambridge University Press,
       1997 (not opened).
    .. [2] A. P. Roberts, E. J. Garboczi, Elastic moduli of model random three-dimensional
       closed-cell cellular solids (the authors' pages, section on prior results).
    .. [3] A data page on unfoamed EVA for thermal analysis: modulus 7 to 120 MPa, density 920 to
       950 kg/m3, over different shares of vinyl acetate.
    """
    weight = single(positive(density, "density in kg/m3", "1"), "density")
    usual = {
        name: look_up("limits", "default", name)
        for name in (
            "unfoamed_modulus",
            "unfoamed_density",
            "edge_share",
            "cell_air_pressure",
            "density_factor",
        )
    }
    given = usual["unfoamed_density"].value if solid_density is None else solid_density
    full = single(positive(given, "solid_density in kg/m3", "1"), "solid_density")
    edged = usual["edge_share"].value if edge_share is None else edge_share
    edges = single(fraction(edged, "edge_share"), "edge_share")
    pressure, factor = usual["cell_air_pressure"].value, usual["density_factor"].value
    row = usual["unfoamed_modulus"]
    solid, low, high = row.value, row.low or row.value, row.high or row.value
    if solid_modulus is not None:
        solid = single(positive(solid_modulus, "solid_modulus", "MPa"), "solid_modulus")
        low = high = solid
    share = weight / full
    if share > _MOST_DENSE:
        raise ValueError(
            f"density must be at most {_MOST_DENSE:.0%} of the plastic's {full:g} kg/m3 for this "
            f"formula, got {weight:g}; is it in kg/m3 (weight over volume of the piece)?"
        )
    _, alpha, poisson = foam_entries(grade)
    bend, stretch = solid * edges**2 * share**2, solid * (1 - edges) * share
    modulus = bend + stretch + pressure * (1 - 2 * poisson.value) / (1 - share)
    down, up = (math.exp(math.hypot(math.log(factor), math.log(x / solid))) for x in (low, high))
    known = "your own" if solid_modulus is not None else f"assumed, {low:g} to {high:g}"
    return FromDensity(
        law=HyperFoam.from_modulus(modulus, alpha=alpha.value, poisson=poisson.value),
        modulus=modulus,
        low=modulus / down,
        high=modulus * up,
        rests_on=(
            f"modulus {modulus:.2g} MPa guessed from a density of {weight:g} kg/m3, not tested: "
            f"somewhere from {modulus / down:.2g} to {modulus * up:.2g} MPa (assumed)",
            f"modulus of the plastic {solid:g} MPa ({known})",
            f"density of the plastic {full:g} kg/m3 (assumed unless you gave it)",
            f"{edges:.0%} of it in the edges of closed cells (assumed unless you gave it)",
            f"air in the cells at {pressure:g} MPa (assumed)",
            alpha.describe(),
            poisson.describe(),
        ),
    )
