"""From what was typed to a strip as it is cut, one way for each kind."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import partial
from typing import TypeVar

from foamcalc.fit.trim.band import Band
from foamcalc.fit.trim.band_choice import BandChoice, choose_band
from foamcalc.fit.trim.binding import Binding
from foamcalc.fit.trim.binding_cut import CutBinding, cut_binding
from foamcalc.fit.trim.rim import Rim
from foamcalc.fit.trim.rim_cut import CutRim, allowed_rim
from foamcalc.fit.trim.slit import Slits, SlitStrip, cut_slits
from foamcalc.fit.trim.toothed import Teeth, ToothedStrip, cut_teeth
from foamcalc.guards import fraction
from foamcalc.job.trim.typed import TypedTrim

_Pitched = TypeVar("_Pitched", Slits, Teeth)
_SHORTER, _STEPS = 0.8, 10
"""Steps in which a shorter pitch is looked for, and how many."""
Cut = BandChoice | CutRim | CutBinding | Slits | Teeth
"""A strip as it is cut."""


def cut_trim(typed: TypedTrim) -> Cut:
    """Cut the strip that was asked for.

    Parameters
    ----------
    typed : TypedTrim
        The question with its texts read.

    Raises
    ------
    ValueError
        For a strip that cannot be made, with the reason and the remedy.
    """
    return _CUTS[typed.question.kind](typed)


def _band(typed: TypedTrim) -> BandChoice:
    q = typed.question
    band = Band(
        curve=typed.edge.curve,
        strip=typed.strip,
        side=q.side or "inside",
        pull=float(fraction(typed.pull, "pull")),
    )
    found = choose_band(
        band,
        limits=typed.limits,
        ends=typed.ends,
        joining=typed.joining,
        marks=typed.places,
    )
    if not q.may_pull and found.choice == "straight, pulled":
        return replace(found, choice="cut to shape", pulled=None)
    return found


def _rim(typed: TypedTrim) -> CutRim:
    rim = Rim(curve=typed.edge.curve, strip=typed.strip, bead=typed.bead, cut=typed.mm("cut"))
    return allowed_rim(
        rim,
        limits=typed.limits,
        ends=typed.ends,
        joining=typed.joining,
        at_corners=typed.question.at_corners or "bent",
        marks=typed.places,
    )


def _binding(typed: TypedTrim) -> CutBinding:
    bound = Binding(
        curve=typed.edge.curve,
        strip=typed.strip,
        edge=typed.needed("edge_thickness"),
        legs=typed.legs,
        fold_radius=typed.bead,
    )
    cut = partial(
        cut_binding,
        limits=typed.limits,
        ends=typed.ends,
        joining=typed.joining,
        marks=typed.places,
    )
    found = cut(bound)
    return found if found.met else cut(replace(bound, short=0.0))


def _slit(typed: TypedTrim) -> Slits:
    strip = SlitStrip(
        piece=typed.strip,
        depth=typed.needed("depth"),
        face=typed.question.face or "outside",
        kerf=typed.mm("slit_width") or 0.0,
    )
    return _untorn(partial(cut_slits, typed.edge.curve, strip), typed)


def _toothed(typed: TypedTrim) -> Teeth:
    strip = ToothedStrip(
        piece=typed.strip,
        depth=typed.needed("depth"),
        face=typed.question.face or "outside",
    )
    return _untorn(partial(cut_teeth, typed.edge.curve, strip), typed)


def _untorn(cut: Callable[..., _Pitched], typed: TypedTrim) -> _Pitched:
    """A strip at the pitch that was asked for, or at the next shorter one at which it holds."""
    how = {"longest": typed.joining.longest, "ends": typed.ends, "marks": typed.places}
    pitch = typed.needed("pitch")
    found = wanted = cut(pitch=pitch, **how)
    for step in range(1, _STEPS):
        if found.met:
            return found if found is wanted else replace(found, refused=wanted)
        found = cut(pitch=pitch * _SHORTER**step, **how)
    check = wanted.checks[0]
    raise ValueError(
        f"a strip {typed.strip.thickness:g} mm thick tears at the roots of its cuts at any pitch "
        f"on this edge: {check.found:.0%} of stretch there, and foam takes about "
        f"{check.limit.value:.0%} ({check.limit.basis}); take a thinner strip or a deeper cut"
    )


_CUTS: Mapping[str, Callable[[TypedTrim], Cut]] = {
    "band": _band,
    "rim": _rim,
    "binding": _binding,
    "slit": _slit,
    "toothed": _toothed,
}
