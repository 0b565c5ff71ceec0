"""Slit and toothed strips in a maker's words: the answer in one sentence, and the order of work."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from foamcalc.fit.limits import Check
from foamcalc.fit.order import KNIFE, Step
from foamcalc.fit.trim.pitched import Pitched, PitchMark
from foamcalc.fit.trim.slit import Slits
from foamcalc.fit.trim.teeth import Teeth
from foamcalc.fit.trim.words import RULER, glue_step, lengths_words
from foamcalc.foam.adhesives import adhesive
from foamcalc.units import System, format_length

Floats = NDArray[np.float64]

_STOP = (
    "Set the blade to stand out of a stop by no more than the depth, and try it on an offcut. "
    "Fingers behind the blade and off the line of the cut; press down, do not saw."
)
"""Caution for cutting part-way through."""
_FINE = {"mm": 0.1, "in": 1 / 32}
"""Steps in which depths, pitches and openings are said."""
_SHUT = 0.05
"""Opening that nobody sees [mm]."""


def _small(mm: float, system: System) -> str:
    """A length that a cut is set to, to a tenth of a millimetre or 1/32 in."""
    return format_length(mm, system=system, resolution=_FINE[system])


def slit_sentence(slits: Slits, system: System = "mm") -> str:
    """How long to cut a strip, where to slit it and what the slits do, in one sentence.

    Parameters
    ----------
    slits : Slits
        From `foamcalc.fit.trim.slit.cut_slits`.
    system : {"mm", "in"}
        Units to speak in.

    Examples
    --------
    >>> from foamcalc.fit.stack import Piece
    >>> from foamcalc.fit.trim.slit import SlitStrip, cut_slits
    >>> from foamcalc.foam.grades import foam
    >>> from foamcalc.shape.curve import Arc
    >>> strip = SlitStrip(piece=Piece(thickness=10, width=20, law=foam("EVA medium")), depth=7)
    >>> print(slit_sentence(cut_slits(Arc(90, 2 * np.pi, closed=True), strip, pitch=10)))
    Cut it 578 mm long, slit it 7.0 mm deep every 10.0 mm: 58 slits; each opens to 0.9 mm; leave \
a web of 3.0 mm.
    """
    depth, pitch, web = (
        _small(x, system) for x in (slits.strip.depth, slits.pitch, slits.pitched.web.web)
    )
    many = "1 slit" if slits.number == 1 else f"{slits.number} slits"
    return (
        f"Cut {lengths_words(slits.strips, system)} long, slit it {depth} deep every {pitch}: "
        f"{many}; {_mouths_words(slits, system)}; leave a web of {web}."
    )


def _mouths_words(slits: Slits, system: System) -> str:
    low, high = float(slits.mouths.min()), float(slits.mouths.max())
    kerf = slits.strip.kerf
    if max(abs(low - kerf), abs(high - kerf)) < _SHUT:
        return f"they stay {_small(kerf, system)} wide" if kerf else "they stay shut"
    verb = "opens to" if high > kerf else "closes to"
    if high - low < _SHUT:
        return f"each {verb} {_small(high, system)}"
    verb = "open to" if low >= kerf else "close to" if high <= kerf else "become"
    return f"they {verb} {_small(max(low, 0.0), system)} to {_small(high, system)}"


def tooth_sentence(teeth: Teeth, system: System = "mm") -> str:
    """How long to cut a strip, what to remove and what the gaps do, in one sentence.

    Parameters
    ----------
    teeth : Teeth
        From `foamcalc.fit.trim.toothed.cut_teeth`.
    system : {"mm", "in"}
        Units to speak in.

    Examples
    --------
    >>> from foamcalc.fit.stack import Piece
    >>> from foamcalc.fit.trim.toothed import ToothedStrip, cut_teeth
    >>> from foamcalc.foam.grades import foam
    >>> from foamcalc.shape.curve import Arc
    >>> strip = ToothedStrip(piece=Piece(thickness=10, width=20, law=foam("EVA medium")), depth=7)
    >>> print(tooth_sentence(cut_teeth(Arc(60, 2 * np.pi, closed=True), strip, pitch=10)))
    Cut it 388 mm long, 19 teeth of 10.2 mm and gaps of 10.2 mm, 7.0 mm deep: remove every second \
piece; on the edge the gaps are 10.5 mm at the root and 12.9 mm at the tip, 19° from tooth to \
tooth; leave a web of 3.0 mm.
    """
    depth, web, tooth, gap = (
        _small(x, system)
        for x in (teeth.strip.depth, teeth.pitched.web.web, teeth.tooth, teeth.gap)
    )
    second = ": remove every second piece" if np.isclose(teeth.tooth, teeth.gap) else ""
    many = f"{teeth.number} teeth"
    if teeth.halved and not teeth.pitched.ring:
        many = f"{teeth.number - 1} teeth and half a tooth at each end, whole ones"
    root, tip = (_range_words(x, system) for x in (teeth.root_gaps, teeth.tip_gaps))
    turn = f"{np.degrees(abs(teeth.turn)):.0f}°"
    on_edge = f"on the edge the gaps are {root} at the root and {tip} at the tip"
    if abs(teeth.turn) > 1e-9:
        on_edge += f", {turn} from tooth to tooth"
    return (
        f"Cut {lengths_words(teeth.strips, system)} long, {many} of {tooth} and gaps of {gap}, "
        f"{depth} deep{second}; {on_edge}; leave a web of {web}."
    )


def _range_words(values: Floats, system: System) -> str:
    low, high = (_small(float(x), system) for x in (values.min(), values.max()))
    return low if low == high else f"{low} to {high}"


def slit_work(slits: Slits, *, glue: str = "contact adhesive", system: System = "mm") -> list[Step]:
    """The order of work for a slit strip, with cautions where they belong.

    Parameters
    ----------
    slits : Slits
        From `foamcalc.fit.trim.slit.cut_slits`.
    glue : str
        A name in adhesives.csv.
    system : {"mm", "in"}
        Units to speak in.
    """
    face, kerf = slits.strip.face, slits.strip.kerf
    wide = f", {_small(kerf, system)} wide" if kerf else ""
    depth = _small(slits.strip.depth, system)
    where = "the face away from the edge" if face == "outside" else "the face that is glued"
    return [
        Step(slit_sentence(slits, system), RULER),
        Step(
            f"Mark the slits on {where} from the table, all from {_end_words(slits.pitched)}: a "
            f"step set off {slits.number} times adds up its error. The first is half a pitch from "
            f"the end, {_small(slits.pitch / 2, system)}{_join_words(slits.pitched)}."
        ),
        Step(f"Slit it {depth} deep{wide}, square across. {tear_words(slits.checks[0])}", _STOP),
        *_mark_steps(slits.marks(), "slit", system),
        *_gluing(glue, "the slits open evenly"),
    ]


def tooth_work(
    teeth: Teeth, *, glue: str = "contact adhesive", system: System = "mm"
) -> list[Step]:
    """The order of work for a toothed strip, with cautions where they belong.

    Parameters
    ----------
    teeth : Teeth
        From `foamcalc.fit.trim.toothed.cut_teeth`.
    glue : str
        A name in adhesives.csv.
    system : {"mm", "in"}
        Units to speak in.
    """
    depth = _small(teeth.strip.depth, system)
    begins = "half a tooth" if teeth.halved else "a tooth"
    return [
        Step(tooth_sentence(teeth, system), RULER),
        Step(
            "Mark both sides of every tooth from the table, all from "
            f"{_end_words(teeth.pitched)}. It begins with {begins}{_join_words(teeth.pitched)}."
        ),
        Step(
            f"Cut down {depth} on every mark, then along the web from cut to cut, and take the "
            f"pieces out. {tear_words(teeth.checks[0])}",
            f"{KNIFE} {_STOP}",
        ),
        *_mark_steps(teeth.marks(), "tooth", system),
        *_gluing(glue, "the teeth stand square"),
    ]


def _end_words(pitched: Pitched) -> str:
    return "one end" if len(pitched.strips) == 1 else "the first end of each strip"


def _join_words(pitched: Pitched) -> str:
    return "; at the join of the ring the pitch goes on" if pitched.ring else ""


def _mark_steps(marks: Sequence[PitchMark], what: str, system: System) -> list[Step]:
    if not marks:
        return []
    said = ", ".join(
        f"{format_length(m.on_edge, system=system)} on the edge at "
        f"{format_length(m.on_strip, system=system)} on the strip ({what} {m.nearest})"
        for m in marks
    )
    return [Step(f"Carry over the marks: {said}.")]


def _gluing(glue: str, sign: str) -> list[Step]:
    how = (
        "Glue from one end, a piece at a time: press each piece down on the edge before the next, "
        "so that it does not stand off between the cuts. Do not pull: a strip that is pulled is "
        "too long at the end, and its roots tear."
    )
    return [
        Step(f"Dry fit: bend it round the edge once. Ends and marks meet, {sign}."),
        glue_step(adhesive(glue), how, pulled=False),
    ]


def tear_words(check: Check) -> str:
    """The strain at the roots of the cuts against its limit, and what to do.

    Parameters
    ----------
    check : Check
        From `Slits.checks` or `Teeth.checks`.

    Examples
    --------
    >>> from foamcalc.fit.detail import tear_check
    >>> print(tear_words(tear_check(0.4)))
    The foam at the root takes 40 %, over the limit of 29 % (derived): it may tear. Punch a small \
round hole at the end of each cut, leave a thinner web, or take a shorter pitch or thinner strip.
    """
    limit = f"the limit of {100 * check.limit.value:.0f} % ({check.limit.basis})"
    if check.met:
        return (
            f"The foam at the root takes {100 * check.found:.0f} %, within {limit}; a nick there "
            "makes it worse."
        )
    return (
        f"The foam at the root takes {100 * check.found:.0f} %, over {limit}: it may tear. Punch a "
        "small round hole at the end of each cut, leave a thinner web, or take a shorter pitch or "
        "thinner strip."
    )
