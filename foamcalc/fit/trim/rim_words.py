"""Rims and bindings in a maker's words: the answer in one sentence, and the order of work."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from foamcalc.fit.order import Step
from foamcalc.fit.trim.binding_cut import CutBinding, LegCuts
from foamcalc.fit.trim.corners import binding_corners, rim_corners, small_words
from foamcalc.fit.trim.rim_cut import CutRim
from foamcalc.fit.trim.words import (
    RULER,
    corner_steps,
    glue_step,
    join_steps,
    lengths_words,
    mark_steps,
)
from foamcalc.foam.adhesives import adhesive
from foamcalc.units import System, format_length

_SEEN = 0.5
"""Length that is worth a word [mm]."""


def rim_sentence(cut: CutRim, system: System = "mm") -> str:
    """What to cut for a rim, in one sentence.

    Parameters
    ----------
    cut : CutRim
        From `cut_rim`.
    system : {"mm", "in"}
        Units to speak in.

    Examples
    --------
    >>> from foamcalc.fit.stack import Piece
    >>> from foamcalc.fit.trim.rim import Rim
    >>> from foamcalc.fit.trim.rim_cut import cut_rim
    >>> from foamcalc.foam.grades import foam
    >>> from foamcalc.shape.curve import Arc
    >>> rim = Rim(curve=Arc(60, 2 * np.pi, closed=True),
    ...           strip=Piece(thickness=6, width=30, law=foam("EVA medium")))
    >>> print(rim_sentence(cut_rim(rim)))
    Cut it 394 mm long, 30 mm wide: 2 mm less than it needs, so that it hugs the edge (stretched ...
    """
    rim = cut.rim
    wide = format_length(rim.strip.width, system=system)
    said = f"Cut {lengths_words(cut.strips, system)} long, {wide} wide"
    if cut.refused is not None and cut.refused.rim.cut is not None:
        found = rim_sentence(replace(cut, refused=None), system)
        return (
            f"{_as_it_is(cut.refused, system)}. Leave it, and cut a new one: "
            f"{found[0].lower()}{found[1:]}"
        )
    if rim.cut is not None:
        said = _as_it_is(cut, system)
    elif rim.share:
        less = format_length(cut.needed * rim.share, system=system)
        less = "a little" if less.startswith("0 ") else less
        said += (
            f": {less} less than it needs, so that it hugs the edge (stretched {rim.stretch:.1%})"
        )
    elif rim.hollow:
        said += ": its full length, for a stretched strip pulls itself off where the edge is hollow"
    elif cut.refused is not None:
        said += ": its full length, for cut shorter to hug the edge it would pull too hard"
    missing = cut.needed - rim.curve.length
    if abs(missing) >= _SEEN:
        how = "short" if missing > 0 else "too long"
        size = format_length(abs(missing), system=system)
        said += f"; as long as the edge it would be {size} {how}"
    return f"{said}."


def _as_it_is(cut: CutRim, system: System) -> str:
    """How a strip that is cut already fits."""
    rim = cut.rim
    fits = cut.needed * rim.share
    said = f"It is cut {format_length(cut.needed - fits, system=system)} long"
    if abs(fits) < _SEEN:
        return f"{said}, which fits"
    said += f", {format_length(abs(fits), system=system)} {'too short' if fits > 0 else 'too long'}"
    if fits > 0:
        said += f": stretched {rim.stretch:.1%}"
    if fits > 0 and rim.hollow:
        said += ", and it pulls itself off the hollow"
        said += f" with {rim.lift_off:.4f} MPa" if np.isfinite(rim.lift_off) else " corner"
    return said


def rim_work(cut: CutRim, *, glue: str = "contact adhesive", system: System = "mm") -> list[Step]:
    """The order of work for a rim, with cautions where they belong.

    Parameters
    ----------
    cut : CutRim
        From `cut_rim`.
    glue : str
        A name in adhesives.csv.
    system : {"mm", "in"}
        Units to speak in.
    """
    rim, sticks = cut.rim, adhesive(glue)
    steps = [Step(rim_sentence(replace(cut, refused=None), system), RULER)]
    steps += corner_steps(rim_corners(rim, system, at_corners=cut.at_corners), system)
    steps += mark_steps(cut.strips, system)
    around = "Dry fit: stand it round the edge, ends and marks first."
    if sticks.bead > rim.bead:
        more = format_length((sticks.bead - rim.bead) * rim.curve.turn, system=system, signed=True)
        around += (
            f" The bead of {sticks.name}, {small_words(sticks.bead, system)} "
            f"({sticks.basis('bead_thickness')}), is not counted: {more} more."
        )
    steps.append(Step(around))
    how = "Glue from one mark to the next; on a bend press it home before you go on."
    steps.append(glue_step(sticks, how, pulled=rim.stretch > 0))
    return steps + join_steps(cut.joins, cut.joining, system)


def binding_sentence(cut: CutBinding, system: System = "mm") -> str:
    """What to cut for a binding, in one sentence.

    Examples
    --------
    >>> from foamcalc.fit.stack import Piece
    >>> from foamcalc.fit.trim.binding import Binding
    >>> from foamcalc.fit.trim.binding_cut import cut_binding
    >>> from foamcalc.foam.grades import foam
    >>> from foamcalc.shape.curve import Arc
    >>> bound = Binding(curve=Arc(60, 2.0), strip=Piece(thickness=3, law=foam("EVA medium")),
    ...                 edge=10, legs=(12, 6))
    >>> print(binding_sentence(cut_binding(bound)))
    Cut it 122 mm long, 33 mm wide: legs 12 mm and 6 mm, edge 10 mm, two folds of 2.4 mm; leg ...
    """
    bound = cut.binding
    wide = format_length(bound.width, system=system)
    first, second = (format_length(x, system=system) for x in bound.legs)
    edge = format_length(bound.edge, system=system)
    said = (
        f"Cut {lengths_words(cut.rim.strips, system)} long, {wide} wide: legs {first} and "
        f"{second}, edge {edge}, two folds of {small_words(bound.fold, system)}"
    )
    verbs = {"notches": "notched", "slits that lap": "slit", "slits that open": "slit"}
    for leg in sorted({c.leg for c in cut.cuts}):
        kinds = {verbs[c.kind]: None for c in cut.cuts if c.leg == leg}
        said += f"; leg {leg + 1} must be {' and '.join(kinds)}"
    return f"{said}."


def binding_work(
    cut: CutBinding, *, glue: str = "contact adhesive", system: System = "mm"
) -> list[Step]:
    """The order of work for a binding, with cautions where they belong.

    Parameters
    ----------
    cut : CutBinding
        From `cut_binding`.
    glue : str
        A name in adhesives.csv.
    system : {"mm", "in"}
        Units to speak in.
    """
    bound, sticks = cut.binding, adhesive(glue)
    folds = ", ".join(
        format_length(x, system=system, resolution=0.5 if system == "mm" else None)
        for x in (bound.legs[0] + bound.fold / 2, bound.legs[0] + bound.edge + 1.5 * bound.fold)
    )
    steps = [
        Step(binding_sentence(cut, system), RULER),
        Step(f"Draw the middles of the two folds along the strip, {folds} from its first edge."),
    ]
    steps += [Step(_cut_words(c, system), RULER) for c in cut.cuts]
    steps += corner_steps(binding_corners(bound, system), system)
    steps += mark_steps(cut.rim.strips, system)
    steps.append(Step("Dry fit: fold it over the edge and pin ends and marks."))
    how = "Glue the middle on the edge first, mark by mark, then fold down one leg, then the other."
    steps.append(glue_step(sticks, how, pulled=bound.rim.stretch > 0))
    return steps + join_steps(cut.rim.joins, cut.rim.joining, system)


def _cut_words(cuts: LegCuts, system: System) -> str:
    start, end, pitch = (
        format_length(x, system=system) for x in (cuts.start, cuts.end, cuts.pitch)
    )
    leg, number = f"Leg {cuts.leg + 1}", cuts.number
    where = f"from {start} to {end} along the edge, one every {pitch}"
    size = small_words(cuts.width, system)
    if cuts.kind == "notches":
        return f"{leg}: cut out {number} wedges {where}, {size} wide at the free edge."
    if cuts.kind == "slits that lap":
        return f"{leg}: slit it {where} ({number}); the flaps lap by {size}."
    return f"{leg}: slit it {where} ({number}); the slits open by {size}."
