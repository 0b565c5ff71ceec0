"""Strips in a maker's words, whatever their kind: sentence, strips, reasons, corners, work."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import groupby
from typing import Any, NamedTuple

import numpy as np

from foamcalc.fit.limits import Check
from foamcalc.fit.order import KNIFE, Step
from foamcalc.fit.trim.band_choice import BandChoice
from foamcalc.fit.trim.binding_cut import CutBinding
from foamcalc.fit.trim.corners import (
    CornerWork,
    band_corners,
    binding_corners,
    rim_corners,
    small_words,
)
from foamcalc.fit.trim.ends import BUTT
from foamcalc.fit.trim.pitched import PitchMark
from foamcalc.fit.trim.rim_cut import CutRim
from foamcalc.fit.trim.rim_words import binding_sentence, binding_work, rim_sentence, rim_work
from foamcalc.fit.trim.slit import Slits
from foamcalc.fit.trim.strips import CutStrip, mitre_tip
from foamcalc.fit.trim.to_shape import ShapedBand
from foamcalc.fit.trim.toothed import Teeth
from foamcalc.fit.trim.words import (
    RULER,
    band_reasons,
    band_sentence,
    band_work,
    found_words,
    glue_step,
    join_steps,
    lengths_words,
    mark_steps,
)
from foamcalc.foam.adhesives import adhesive
from foamcalc.job.answer import Answer, Listed, Say, Table
from foamcalc.units import System, format_angle, format_length

Cut = BandChoice | CutRim | CutBinding | Slits | Teeth
"""A strip as it is cut."""
_EQUAL = 0.5
"""Edges of a strip that differ by less are one length [mm]."""
_ALIKE = 0.05
"""Lengths that differ by less are one on the bench [mm]."""


class StripRow(NamedTuple):
    """Equal strips side by side."""

    name: str
    """Their numbers along the edge."""
    number: int
    """How many of them."""
    length: float
    """Length to cut [mm]; of a piece cut to shape along its line."""
    width: float
    edges: tuple[float, float]
    """Lengths of the inner and the outer edge as they are cut, ends counted [mm]."""


@dataclass(frozen=True, kw_only=True)
class Told:
    """What there is to say of a strip."""

    cut: Cut
    sentence: str
    strips: tuple[CutStrip, ...]
    width: float
    """Width to cut [mm]."""
    edges: tuple[tuple[float, float], ...]
    """Lengths of the inner and the outer edge of each strip, all counted [mm]."""
    reasons: tuple[str, ...]
    corners: tuple[CornerWork, ...]
    steps: tuple[Step, ...]
    near: tuple[PitchMark, ...] = ()
    """Marks beside the cuts or teeth next to them."""

    def rows(self) -> list[StripRow]:
        """The strips, equal neighbours together."""
        found = []
        for _, group in groupby(self.strips, key=_size):
            alike = list(group)
            first, last = alike[0], alike[-1]
            name = f"strip {first.number}"
            if len(alike) > 1:
                name = f"strips {first.number} to {last.number}"
            edges = self.edges[first.number - 1]
            found.append(StripRow(name, len(alike), first.cut_length, self.width, edges))
        return found


def _size(strip: CutStrip) -> tuple[float, ...]:
    return tuple(
        round(x / _ALIKE)
        for x in (strip.cut_length, *strip.edge_lengths, *np.degrees(strip.mitres))
    )


def told(cut: Cut, *, adhesive: str, wanted: float | None = None, system: System = "mm") -> Told:
    """What there is to say of a strip."""
    if isinstance(cut, BandChoice):
        return Told(
            cut=cut,
            sentence=band_sentence(cut, system),
            strips=cut.strips,
            width=cut.band.width,
            edges=_band_edges(cut),
            reasons=tuple(band_reasons(cut, system)),
            corners=band_corners(cut.band),
            steps=tuple(band_work(cut, glue=adhesive, system=system)),
        )
    if isinstance(cut, CutRim):
        thick = cut.rim.strip.thickness
        return Told(
            cut=cut,
            sentence=rim_sentence(cut, system),
            strips=cut.strips,
            width=cut.rim.strip.width,
            edges=_straight_edges(cut.strips, (cut.rim.bead, cut.rim.bead + thick)),
            reasons=(
                _rim_length(cut, system),
                *(() if cut.refused is None else _refusals(cut.refused, system)),
                *_checked(cut.checks),
            ),
            corners=rim_corners(cut.rim, system, at_corners=cut.at_corners),
            steps=tuple(rim_work(cut, glue=adhesive, system=system)),
        )
    if isinstance(cut, CutBinding):
        return _binding(cut, adhesive, system)
    return Told(
        cut=cut,
        sentence=pitched_sentence(cut, system),
        strips=cut.strips,
        width=cut.strip.piece.width,
        edges=_straight_edges(cut.strips),
        reasons=tuple(pitched_reasons(cut, wanted or cut.pitch, system)),
        corners=(),
        steps=tuple(pitched_work(cut, glue=adhesive, system=system)),
        near=cut.marks(),
    )


def _binding(cut: CutBinding, adhesive: str, system: System) -> Told:
    bound = cut.binding
    return Told(
        cut=cut,
        sentence=binding_sentence(cut, system),
        strips=cut.rim.strips,
        width=bound.width,
        edges=_straight_edges(cut.rim.strips),
        reasons=(
            _rim_length(cut.rim, system),
            *_checked(cut.rim.checks),
            *(_leg_words(c) for c in dict.fromkeys(cut.leg_checks) if c.found > 0),
        ),
        corners=binding_corners(bound, system),
        steps=tuple(binding_work(cut, glue=adhesive, system=system)),
    )


def _leg_words(check: Check) -> str:
    """A leg against a limit; one that passes it is cut into flaps."""
    return f"{check_words(check)}{'' if check.met else '; so it is cut into flaps'}"


def _straight_edges(
    strips: Sequence[CutStrip], offsets: tuple[float, float] = (0.0, 0.0)
) -> tuple[tuple[float, float], ...]:
    """Both edges of straight strips, with what is added at their ends [mm].

    The tips of mitres are in their edges already, and in what is added too.
    """
    found = []
    for strip in strips:
        tips = sum(mitre_tip(offsets, mitre) for mitre in strip.mitres)
        added = strip.before + strip.after - tips
        found.append((strip.edge_lengths[0] + added, strip.edge_lengths[1] + added))
    return tuple(found)


def _band_edges(cut: BandChoice) -> tuple[tuple[float, float], ...]:
    """Both edges of the strips of a band, straight or cut to shape [mm]."""
    if not isinstance(cut.chosen, ShapedBand):
        return _straight_edges(cut.strips, cut.band.offsets)
    found = []
    for piece in cut.chosen.pieces:
        if piece.sector is not None:
            both = (piece.sector.inner_length, piece.sector.outer_length)
            found.append(both if piece.turn > 0 else both[::-1])
            continue
        tips = sum(mitre_tip(cut.band.offsets, mitre) for mitre in piece.strip.mitres)
        added = piece.strip.before + piece.strip.after - tips
        found.append((piece.inner_length + added, piece.outer_length + added))
    return tuple((float(a), float(b)) for a, b in found)


def _checked(checks: Sequence[Check]) -> tuple[str, ...]:
    """Checks in words, each once, those of nothing found left out."""
    return tuple(dict.fromkeys(check_words(c) for c in checks if c.found > 0 or not c.met))


def _refusals(cut: CutRim, system: System) -> Iterator[str]:
    """What speaks against the strip in whose place another is cut."""
    long = format_length(cut.needed * (1 - cut.rim.share), system=system)
    for check in cut.checks:
        if not check.met:
            yield f"{long} long, {check_words(check)}"


def _rim_length(cut: CutRim, system: System) -> str:
    """Where the length of a rim comes from."""
    rim, turned, where = cut.rim, cut.rim.curve.turn, ""
    if cut.at_corners == "mitred" and rim.curve.corners:
        turned, where = turned - sum(c.turn for c in rim.curve.corners), " between its corners"
    edge, needed, off = (small_words(x, system) for x in (rim.curve.length, cut.needed, rim.offset))
    return (
        f"length: {needed} to lie on it unstretched: the edge's {edge}, and its turn of "
        f"{np.degrees(turned):.0f}°{where} times {off}, the height of the strip's middle over it"
    )


def near_words(mark: PitchMark, what: str, system: System = "mm") -> str:
    """Where a mark comes beside the cut or tooth next to it.

    Examples
    --------
    >>> near_words(PitchMark(1, 50.0, 51.5, 6, -0.4), "slit")
    '0 mm before the middle of slit 6'
    """
    off = format_length(abs(mark.past), system=system)
    side = "past" if mark.past > 0 else "before"
    return f"{off} {side} the middle of {what} {mark.nearest}"


def cut_name(cut: Cut) -> str:
    """What a strip has at its pitch: slits or teeth."""
    return "slit" if isinstance(cut, Slits) else "tooth"


def check_words(check: Check) -> str:
    """What was found, the limit, its basis, and whether it is kept.

    Examples
    --------
    >>> from foamcalc.fit.limits import Limit
    >>> most = Limit(value=0.08, unit="1", basis="your own", reason="As you said.")
    >>> print(check_words(Check("stretch of the strip", 0.005, most)))
    stretch of the strip: yes; 0.5% (limit 8 %, your own)
    """
    return f"{check.what}: {'yes' if check.met else 'no'}; {found_words(check)}"


_HOW = "Glue from one mark to the next and press it home all over, so that every web lies on."

_ROOTS = "strain at the roots of the cuts"
_SEEN = 0.05
"""Length that is worth a word [mm]."""
_SAME = 0.005
"""Difference of two pitches that is none [mm]."""


def pitched_sentence(cut: Slits | Teeth, system: System = "mm") -> str:
    """What to cut for a slit or a toothed strip, in one sentence.

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
    """Why so long, at which pitch, and what the cuts do, one line each."""
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
    """The order of work for a slit or a toothed strip, with cautions where they belong."""
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


def trim_answer(
    cut: Cut,
    *,
    kind: str,
    thickness: float,
    adhesive: str,
    wanted: float | None,
    marks: Mapping[float, str],
    named: str | None,
    system: System,
    **more: Any,
) -> Answer:
    """The answer to a strip: what to cut, its strips, marks, reasons, corners and work."""
    found, say = told(cut, adhesive=adhesive, wanted=wanted, system=system), Say(system)
    own = re.sub(r"[^\w-]+", "_", named or "").strip("_")[:40]
    return Answer(
        name=f"{kind}_{own}" if own else f"trim_{kind}",
        sentence=found.sentence,
        blocks=(
            _strips(found, say),
            _marks(found, cut_name(cut), marks, say),
            Listed("Why", found.reasons),
            _corners(found, say),
            Listed("Order of work", found.steps),
        ),
        frames=lambda: _frames(found, kind, thickness, marks),
        result=found,
        **more,
    )


def _strips(found: Told, say: Say) -> Table:
    """Equal strips in one row; both edges where they differ."""
    rows = found.rows()
    both = any(abs(row.edges[1] - row.edges[0]) >= _EQUAL for row in rows)
    heads = ["count", "length", "width", *(["inner edge", "outer edge"] if both else [])]
    cells = [
        [
            row.name,
            str(row.number),
            say(row.length),
            say.small(row.width),
            *(map(say, row.edges) if both else ()),
        ]
        for row in rows
    ]
    return Table("", heads, cells)


def _marks(found: Told, what: str, names: Mapping[float, str], say: Say) -> Table:
    """Where every mark meets its strip."""
    near = {(m.strip, m.on_edge): near_words(m, what, say.system) for m in found.near}
    cells = []
    for strip in found.strips:
        for mark in strip.marks:
            where = f"strip {strip.number}" if len(found.strips) > 1 else ""
            name = ", ".join(filter(None, (names.get(round(mark.on_edge, 6), ""), where)))
            beside = near.get((strip.number, mark.on_edge), "")
            row = [name or "mark", say(mark.on_edge), say(mark.on_strip)]
            cells.append([*row, beside] if beside else row)
    return Table("marks", ("on the edge", "on the strip"), cells)


def _corners(found: Told, say: Say) -> Table:
    """The corners of the edge; what to do there stands in the order of work."""
    cells = [
        [
            f"at {say(c.place)}",
            format_angle(c.turn),
            say.small(c.takes),
            f"{np.degrees(c.mitre):.1f}°",
        ]
        for c in found.corners
    ]
    return Table("corners", ("turn", "takes", "cut at"), cells)


def _frames(found: Told, kind: str, thickness: float, names: Mapping[float, str]) -> dict[str, Any]:
    """One row a strip, and one a mark (pandas, units in the column heads)."""
    from foamcalc.fit.trim.strips import marks_table, strips_table

    strips, marks = strips_table(found.strips), marks_table(found.strips)
    strips.insert(1, "kind", kind)
    strips[["inner edge [mm]", "outer edge [mm]"]] = np.array(found.edges)
    strips["width [mm]"] = found.width
    strips["thickness [mm]"] = thickness
    places = marks["mark on the edge [mm]"]
    marks.insert(0, "mark", [names.get(round(p, 6), "") for p in places])
    return {"strips": strips, "marks": marks} if len(marks) else {"strips": strips}
