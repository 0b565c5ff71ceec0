"""What the glue of a lap must carry (Volkersen), and that of a butt seam."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from foamcalc.guards import finite, non_negative, positive, together

Floats = NDArray[np.float64]

__all__ = [
    "butt_seam_stress",
    "glue_stiffness",
    "lap_number",
    "lap_profile",
    "lap_shear",
    "peak_factor",
]


def glue_stiffness(
    *,
    shear_modulus: ArrayLike,
    glue_thickness: ArrayLike,
    foam_shear_modulus: ArrayLike | None = None,
    foam_thickness: ArrayLike | None = None,
) -> Floats:
    """Shear stress of a lap's glue line for each millimetre that the two sheets slip [MPa/mm].

    ``1/(g/G + 2 t/(3 G_foam))``. The second part is the sheets' own slip: shear falls from its
    full value at the glue to nothing at the free face, so that the middle of a sheet lags by
    ``stress t/(3 G)``. On foam with a thin glue line it is nearly all of it.
    """
    stiff = positive(shear_modulus, "shear modulus", "MPa")
    if foam_shear_modulus is None and foam_thickness is None:
        thin = positive(glue_thickness, "glue thickness")
        together(shear_modulus=stiff, glue_thickness=thin)
        return np.asarray(stiff / thin)
    if foam_shear_modulus is None or foam_thickness is None:
        raise ValueError("give foam_shear_modulus and foam_thickness both, or neither")
    foam = positive(foam_shear_modulus, "foam shear modulus", "MPa")
    thick = positive(foam_thickness, "foam thickness")
    thin = non_negative(glue_thickness, "glue thickness")
    together(
        shear_modulus=stiff, glue_thickness=thin, foam_shear_modulus=foam, foam_thickness=thick
    )
    return np.asarray(1.0 / (thin / stiff + 2.0 * thick / (3.0 * foam)))


def lap_number(
    *, overlap: ArrayLike, stiffness: ArrayLike, modulus: ArrayLike, thickness: ArrayLike
) -> Floats:
    """Volkersen's number of a lap of two equal sheets [1]: how uneven its shear is.

    ``w = L sqrt(2 k/(E t))``, from ``d2(shear)/dx2 = 2 k/(E t) shear``. For glue alone this is
    ``w**2 = 2 G L**2/(E t g)``. Sheets are taken to stay straight: the bend of a single lap, and
    the peel that it brings, is left out.
    """
    foam, thick = positive(modulus, "modulus", "MPa"), positive(thickness, "thickness")
    length, stiff = positive(overlap, "overlap"), positive(stiffness, "stiffness", "1")
    together(overlap=length, stiffness=stiff, modulus=foam, thickness=thick)
    return np.asarray(length * np.sqrt(2.0 * stiff / (foam * thick)))


def peak_factor(number: ArrayLike) -> Floats:
    """Largest over mean shear of a lap of two equal sheets [1].

    ``(w/2) coth(w/2)``, at both ends of the lap; 1 for w = 0.

    .. [1] O. Volkersen, Die Nietkraftverteilung in zugbeanspruchten Nietverbindungen mit
       konstanten Laschenquerschnitten, Luftfahrtforschung 15 (1938) 41-47. Not opened; the
       formula follows from the equation in `lap_number`.
    """
    half = non_negative(number, "number", "1") / 2.0
    safe = np.where(half > 0, half, 1.0)
    return np.asarray(np.where(half > 0, safe / np.tanh(safe), 1.0))


def lap_profile(number: ArrayLike, place: ArrayLike) -> Floats:
    """Shear over mean shear along a lap of two equal sheets [1].

    ``(w/2) cosh(w x)/sinh(w/2)``. Its mean is 1.
    """
    w, x = positive(number, "number", "1"), finite(place, "place", "1")
    together(number=w, place=x)
    if (np.abs(x) > 0.5).any():
        raise ValueError(f"place must be from -0.5 to 0.5 of the lap, got {np.atleast_1d(place)}")
    # cosh over sinh by falling powers, so that long laps do not run out of floats
    rise = np.exp(-w * (0.5 - np.abs(x))) * (1 + np.exp(-2 * w * np.abs(x)))
    return np.asarray(w / 2.0 * rise / -np.expm1(-w))


def lap_shear(*, pull: ArrayLike, overlap: ArrayLike, number: ArrayLike) -> Floats:
    """Largest shear stress of a lap of two equal sheets [MPa]."""
    force, length = finite(pull, "pull", "N/mm"), positive(overlap, "overlap")
    peak = peak_factor(number)
    together(pull=force, overlap=length, number=peak)
    return np.asarray(force / length * peak)


def butt_seam_stress(*, modulus: ArrayLike, thickness: ArrayLike, radius: ArrayLike) -> Floats:
    """Stress at the face of the butt seam of a tube rolled cold from flat sheet [MPa].

    ``E t/(2 R)``: the seam carries the moment ``E I/R`` of the bent sheet, glued over its whole
    thickness. Linear: a foam that softens carries less. Formed with heat there is nothing to carry.
    """
    thick, middle = positive(thickness, "thickness"), positive(radius, "radius")
    foam = positive(modulus, "modulus", "MPa")
    together(modulus=foam, thickness=thick, radius=middle)
    if (middle <= thick / 2).any():
        raise ValueError("radius must be above half the thickness: it runs to the sheet's middle")
    return np.asarray(foam * thick / (2 * middle))
