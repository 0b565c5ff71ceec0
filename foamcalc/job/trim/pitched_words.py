"""Slit and toothed strips in a maker's words: the answer in one sentence, reasons, the work."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from foamcalc.fit.order import KNIFE, Step
from foamcalc.fit.trim.corners import small_words
from foamcalc.fit.trim.ends import BUTT
from foamcalc.fit.trim.slit import Slits
from foamcalc.fit.trim.toothed import Teeth
from foamcalc.fit.trim.words import RULER, glue_step, join_steps, lengths_words, mark_steps
from foamcalc.foam.adhesives import adhesive
from foamcalc.job.trim.check_words import check_words
from foamcalc.units import System, format_length

_HOW = "Glue from one mark to the next and press it home all over, so that every web lies on."

_ROOTS = "strain at the roots of the cuts"
_SEEN = 0.05
"""Length that is worth a word [mm]."""
_SAME = 0.005
"""Difference of two pitches that is none [mm]."""


def pitched_sentence(cut: Slits | Teeth, system: System = "mm") -> str:
    """What to cut for a slit or a toothed strip, in one sentence.

    Parameters
    ----------
    cut : Slits or Teeth
        From `cut_slits` or `cut_teeth`.
    system : {"mm", "in"}
        Units to speak in.

    Examples
    --------
    >>> from foamcalc.fit.stack import Piece
    >>> from foamcalc.fit.trim.toothed import ToothedStrip, cut_teeth
    >>> from foamcalc.foam.grades import foam
    >>> from foamcalc.shape.curve import TurnedLength
    >>> strip = ToothedStrip(piece=Piece(thickness=10, width=20, law=foam("EVA medium")), depth=7)
    >>> print(pitched_sentence(cut_teeth(TurnedLength(160, 0), strip, pitch=5)))
    Cut it 160 mm long, 20 mm wide, and out of its outside 16 gaps of 5.0 mm, 7.0 mm deep: 16 ...
    """
    strip = cut.strip
    long = lengths_words(cut.strips, system)
    wide, deep = format_length(strip.piece.width, system=system), small_words(strip.depth, system)
    begun = f"Cut {long} long, {wide} wide"
    if cut.refused is not None:
        begun = f"At the pitch you asked for it would tear at the roots of its cuts; c{begun[1:]}"
    if isinstance(cut, Slits):
        return (
            f"{begun}, and slit its {strip.face} {cut.number} times, {deep} deep, every "
            f"{small_words(cut.pitch, system)}."
        )
    return (
        f"{begun}, and out of its {strip.face} {cut.number} gaps of "
        f"{small_words(cut.gap, system)}, {deep} deep: {cut.number} teeth of "
        f"{small_words(cut.tooth, system)} are left."
    )


def pitched_reasons(cut: Slits | Teeth, pitch: float, system: System = "mm") -> list[str]:
    """Why so long, at which pitch, and what the cuts do, one line each.

    Parameters
    ----------
    cut : Slits or Teeth
        The strip.
    pitch : float
        Pitch that was wanted [mm].
    system : {"mm", "in"}
        Units to speak in.
    """
    curve, web = cut.pitched.curve, cut.pitched.web
    more = cut.length - curve.length
    lines = []
    if abs(more) >= _SEEN:
        how = "longer" if more > 0 else "shorter"
        said = f"length: {small_words(abs(more), system)} {how} than the edge"
        if cut.one_way:
            said += (
                f"; the line that keeps its length lies {small_words(more / curve.turn, system)} "
                f"off it, in the web of {small_words(web.web, system)} or a little outside"
            )
        lines.append(said)
    if cut.refused is not None:
        (torn,) = cut.refused.checks
        lines.append(
            f"pitch: {_fine(cut.pitch, system)}, not {_fine(pitch, system)}: there "
            f"{check_words(torn._replace(what=_ROOTS))}"
        )
    elif abs(cut.pitch - pitch) >= _SAME:
        whole = "slits" if isinstance(cut, Slits) else "teeth and gaps"
        lines.append(
            f"pitch: {_fine(cut.pitch, system)}, not {_fine(pitch, system)}, so that whole "
            f"{whole} go on the strip"
        )
    lines.append(_opening_words(cut, system))
    lines += [check_words(check._replace(what=_ROOTS)) for check in cut.checks if check.found > 0]
    return lines


def _fine(mm: float, system: System) -> str:
    """A pitch, to a hundredth of a millimetre or a thousandth of an inch."""
    return f"{mm:.2f} mm" if system == "mm" else f"{mm / 25.4:.3f} in"


def _opening_words(cut: Slits | Teeth, system: System) -> str:
    if isinstance(cut, Slits):
        return f"on the edge: the mouths of the slits open to {_range(cut.mouths, system)}"
    roots, tips = (_range(x, system) for x in (cut.root_gaps, cut.tip_gaps))
    return f"on the edge: the gaps are {roots} at the roots and {tips} at the tips of the teeth"


def _range(values: np.ndarray, system: System) -> str:
    low, high = (small_words(float(x), system) for x in (values.min(), values.max()))
    return low if low == high else f"{low} to {high}"


def pitched_work(
    cut: Slits | Teeth, *, glue: str = "contact adhesive", system: System = "mm"
) -> list[Step]:
    """The order of work for a slit or a toothed strip, with cautions where they belong.

    Parameters
    ----------
    cut : Slits or Teeth
        The strip.
    glue : str
        A name in adhesives.csv.
    system : {"mm", "in"}
        Units to speak in.
    """
    strip, pitched = cut.strip, cut.pitched
    joins = len(cut.strips) - (0 if pitched.ring else 1)
    web, half = (small_words(x, system) for x in (pitched.web.web, cut.pitch / 2))
    first = pitched_sentence(replace(cut, refused=None), system)
    steps = [Step(first, RULER), *mark_steps(cut.strips, system)]
    if isinstance(cut, Slits):
        first = f"The first slit stands {half} from the end, the pitch goes on over every join."
        what = "Slit"
    else:
        first = "It begins with a tooth and ends with a gap."
        if cut.halved:
            first = "It begins and ends with half a tooth."
        what = "Take out the gaps"
    steps.append(
        Step(
            f"{what} against a stop of {web}, so that the web is left. {first} Try an offcut.",
            KNIFE,
        )
    )
    side = "away from the edge" if strip.face == "outside" else "towards the edge"
    steps.append(Step(f"Dry fit with the cuts {side}, ends and marks first."))
    steps.append(glue_step(adhesive(glue), _HOW, pulled=False))
    return steps + join_steps(joins, BUTT, system)
