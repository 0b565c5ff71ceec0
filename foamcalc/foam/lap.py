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

    Parameters
    ----------
    shear_modulus : array_like
        Shear modulus of the glue [MPa], above 0.
    glue_thickness : array_like
        Thickness of the glue [mm], above 0; with foam given it may be 0.
    foam_shear_modulus, foam_thickness : array_like, optional
        Of each of the two equal sheets [MPa, mm], above 0. Left out, the sheets do not shear.

    Notes
    -----
    ``1/(g/G + 2 t/(3 G_foam))``. The second part is the sheets' own slip: shear falls from its
    full value at the glue to nothing at the free face, so that the middle of a sheet lags by
    ``stress t/(3 G)``. On foam with a thin glue line it is nearly all of it.

    Examples
    --------
    >>> print(f"{glue_stiffness(shear_modulus=0.5, glue_thickness=0.5):.2f} MPa/mm")
    1.00 MPa/mm
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

    Parameters
    ----------
    overlap : array_like
        Length of the lap along the pull [mm], above 0.
    stiffness : array_like
        Shear stress for each mm of slip [MPa/mm], above 0, from `glue_stiffness`.
    modulus : array_like
        Young's modulus of the sheets [MPa], above 0.
    thickness : array_like
        Thickness of each sheet [mm], above 0.

    Notes
    -----
    ``w = L sqrt(2 k/(E t))``, from ``d2(shear)/dx2 = 2 k/(E t) shear``. For glue alone this is
    ``w**2 = 2 G L**2/(E t g)``. Sheets are taken to stay straight: the bend of a single lap, and
    the peel that it brings, is left out.

    Examples
    --------
    >>> print(f"{lap_number(overlap=20, stiffness=0.18, modulus=1.5, thickness=5):.2f}")
    4.38
    """
    foam, thick = positive(modulus, "modulus", "MPa"), positive(thickness, "thickness")
    length, stiff = positive(overlap, "overlap"), positive(stiffness, "stiffness", "1")
    together(overlap=length, stiffness=stiff, modulus=foam, thickness=thick)
    return np.asarray(length * np.sqrt(2.0 * stiff / (foam * thick)))


def peak_factor(number: ArrayLike) -> Floats:
    """Largest over mean shear of a lap of two equal sheets [1].

    Parameters
    ----------
    number : array_like
        Volkersen's number [1], 0 or more, from `lap_number`.

    Notes
    -----
    ``(w/2) coth(w/2)``, at both ends of the lap; 1 for w = 0.

    Examples
    --------
    >>> print(peak_factor([1, 2, 4]).round(4))
    [1.082  1.313  2.0746]

    References
    ----------
    .. [1] O. Volkersen, Die Nietkraftverteilung in zugbeanspruchten Nietverbindungen mit
       konstanten Laschenquerschnitten, Luftfahrtforschung 15 (1938) 41-47. Not opened; the
       formula follows from the equation in `lap_number`.
    """
    half = non_negative(number, "number", "1") / 2.0
    safe = np.where(half > 0, half, 1.0)
    return np.asarray(np.where(half > 0, safe / np.tanh(safe), 1.0))


def lap_profile(number: ArrayLike, place: ArrayLike) -> Floats:
    """Shear over mean shear along a lap of two equal sheets [1].

    Parameters
    ----------
    number : array_like
        Volkersen's number [1], above 0.
    place : array_like
        Place along the lap as a share of its length, from its middle [1], -0.5 to 0.5.

    Notes
    -----
    ``(w/2) cosh(w x)/sinh(w/2)``. Its mean is 1.

    Examples
    --------
    >>> print(lap_profile(4, [-0.5, 0, 0.5]).round(3))
    [2.075 0.551 2.075]
    """
    w, x = positive(number, "number", "1"), finite(place, "place", "1")
    together(number=w, place=x)
    if (np.abs(x) > 0.5).any():
        raise ValueError(f"place must be from -0.5 to 0.5 of the lap, got {np.atleast_1d(place)}")
    # cosh over sinh by falling powers, so that long laps do not run out of floats
    rise = np.exp(-w * (0.5 - np.abs(x))) * (1 + np.exp(-2 * w * np.abs(x)))
    return np.asarray(w / 2.0 * rise / -np.expm1(-w))


def lap_shear(*, pull: ArrayLike, overlap: ArrayLike, number: ArrayLike) -> Floats:
    """Largest shear stress of a lap of two equal sheets [MPa].

    Parameters
    ----------
    pull : array_like
        Force for each width [N/mm].
    overlap : array_like
        Length of the lap along the pull [mm], above 0.
    number : array_like
        Volkersen's number [1], 0 or more, from `lap_number`.

    Examples
    --------
    >>> print(f"{lap_shear(pull=0.4, overlap=20, number=4):.4f} MPa")
    0.0415 MPa
    """
    force, length = finite(pull, "pull", "N/mm"), positive(overlap, "overlap")
    peak = peak_factor(number)
    together(pull=force, overlap=length, number=peak)
    return np.asarray(force / length * peak)


def butt_seam_stress(*, modulus: ArrayLike, thickness: ArrayLike, radius: ArrayLike) -> Floats:
    """Stress at the face of the butt seam of a tube rolled cold from flat sheet [MPa].

    Parameters
    ----------
    modulus : array_like
        Young's modulus [MPa], above 0; for a long tube, whose width cannot give, ``E/(1 - nu**2)``.
    thickness : array_like
        Thickness [mm], above 0.
    radius : array_like
        Radius of the middle of the sheet [mm], above half the thickness.

    Returns
    -------
    ndarray
        At the outer face, where the seam is pulled open; the inner face is squeezed as much.

    Notes
    -----
    ``E t/(2 R)``: the seam carries the moment ``E I/R`` of the bent sheet, glued over its whole
    thickness. Linear: a foam that softens carries less. Formed with heat there is nothing to carry.

    Examples
    --------
    >>> print(f"{butt_seam_stress(modulus=1.5, thickness=5, radius=45):.3f} MPa")
    0.083 MPa
    """
    thick, middle = positive(thickness, "thickness"), positive(radius, "radius")
    foam = positive(modulus, "modulus", "MPa")
    together(modulus=foam, thickness=thick, radius=middle)
    if (middle <= thick / 2).any():
        raise ValueError("radius must be above half the thickness: it runs to the sheet's middle")
    return np.asarray(foam * thick / (2 * middle))
