"""Strips in a maker's words, whatever their kind: sentence, strips, reasons, corners, work."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import groupby
from math import isfinite
from typing import Any, NamedTuple

import numpy as np

from foamcalc.fit.end_words import in_time, warm_words
from foamcalc.fit.limits import Check
from foamcalc.fit.order import KNIFE, Step
from foamcalc.fit.trim.across import WIDEST
from foamcalc.fit.trim.band import PUCKER, Band, Tight
from foamcalc.fit.trim.band_choice import BandChoice
from foamcalc.fit.trim.binding import Binding
from foamcalc.fit.trim.binding_cut import CutBinding, LegCuts
from foamcalc.fit.trim.ends import BUTT, Joining
from foamcalc.fit.trim.pitched import PitchMark
from foamcalc.fit.trim.rim import Rim
from foamcalc.fit.trim.rim_cut import CutRim
from foamcalc.fit.trim.slit import Slits
from foamcalc.fit.trim.straight import StraightBand
from foamcalc.fit.trim.strips import CutStrip, mitre_tip
from foamcalc.fit.trim.to_shape import ShapedBand
from foamcalc.fit.trim.toothed import Teeth
from foamcalc.foam.adhesives import Adhesive, adhesive
from foamcalc.units import System, format_length

Cut = BandChoice | CutRim | CutBinding | Slits | Teeth
"""A strip as it is cut."""
RULER = (
    "Fresh blade, steel rule with a raised guard, the hand on the rule behind the blade, cut away "
    "from you."
)
"""Caution for cutting strips."""
_STRAIN_SEEN = 0.0005
"""Strain that is shown, else it counts as none."""
_SEEN = 0.5
"""Length of a rim that is worth a word [mm]."""
_ALIKE = 0.05
"""Lengths that differ by less are one on the bench [mm]."""
_HOW = "Glue from one mark to the next and press it home all over, so that every web lies on."
_ROOTS = "strain at the roots of the cuts"
_MORE_SEEN = 0.05
"""Length that is worth a word [mm]."""
_SAME = 0.005
"""Difference of two pitches that is none [mm]."""


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
    """Where a mark comes beside the cut or tooth next to it."""
    off = format_length(abs(mark.past), system=system)
    side = "past" if mark.past > 0 else "before"
    return f"{off} {side} the middle of {what} {mark.nearest}"


def cut_name(cut: Cut) -> str:
    """What a strip has at its pitch: slits or teeth."""
    return "slit" if isinstance(cut, Slits) else "tooth"


def check_words(check: Check) -> str:
    """What was found, the limit, its basis, and whether it is kept."""
    return f"{check.what}: {'yes' if check.met else 'no'}; {found_words(check)}"


def pitched_sentence(cut: Slits | Teeth, system: System = "mm") -> str:
    """What to cut for a slit or a toothed strip, in one sentence."""
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
    if abs(more) >= _MORE_SEEN:
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


def band_sentence(choice: BandChoice, system: System = "mm") -> str:
    """What to do with a band, in one sentence.

    Parameters
    ----------
    choice : BandChoice
        From `choose_band`.
    system : {"mm", "in"}
        Units to speak in.

    Examples
    --------
    >>> from foamcalc.fit.stack import Piece
    >>> from foamcalc.fit.trim.band import Band
    >>> from foamcalc.fit.trim.band_choice import choose_band
    >>> from foamcalc.foam.grades import foam
    >>> from foamcalc.shape.curve import Arc
    >>> strip = Piece(thickness=5, width=20, law=foam("EVA medium"))
    >>> print(band_sentence(choose_band(Band(curve=Arc(300, 2.0), strip=strip))))
    Cut it 580 mm long, 20 mm wide, straight: outer edge stretched 3.4%, inner edge squeezed ...
    """
    chosen = choice.chosen
    if isinstance(chosen, StraightBand):
        return f"{_straight_words(chosen, system)}."
    return f"{_shape_words(chosen, system)}: {_why_not(choice)}."


def _straight_words(found: StraightBand, system: System) -> str:
    wide = format_length(found.band.width, system=system)
    pulled = ""
    if found.band.pull:
        pulled = f", and pull it to {format_length(_lies(found), system=system)} as you glue"
    cut = f"Cut {lengths_words(found.strips, system)} long, {wide} wide, straight{pulled}"
    tight = max(found.band.tight, key=lambda t: t.stretch, default=None)
    if tight is None:
        return f"{cut}: nothing is strained"
    said = [
        f"{name} edge {'stretched' if strain > 0 else 'squeezed'} {abs(strain):.1%}"
        for name, strain in (("outer", tight.outer), ("inner", tight.inner))
        if abs(strain) >= _STRAIN_SEEN
    ]
    return f"{cut}: {', '.join([*said, 'no pucker'])}"


def _lies(found: StraightBand) -> float:
    """Length of its line along the edge [mm]."""
    return sum(s.end - s.start for s in found.strips)


def _shape_words(found: ShapedBand, system: System) -> str:
    first = found.pieces[0]
    count = len(found.pieces)
    if first.sector is None:
        inner, outer = (
            format_length(sum(getattr(p, name) for p in found.pieces), system=system)
            for name in ("inner_length", "outer_length")
        )
        wide = format_length(found.band.width, system=system)
        pieces = "in one piece" if count == 1 else f"in {count} pieces"
        return (
            f"Cut it to shape along the curve, {pieces}, {wide} wide: outer edge {outer}, "
            f"inner edge {inner}"
        )
    turns = [f"{np.degrees(p.sector.angle):.0f}°" for p in found.pieces if p.sector]
    what = "a ring sector" if count == 1 else f"{count} ring sectors"
    inner, outer = (
        format_length(x, system=system)
        for x in (first.sector.inner_radius, first.sector.outer_radius)
    )
    turn = turns[0] if count == 1 else f"{turns[0]} each"
    if len(set(turns)) > 1:
        turn = f"{', '.join(turns[:-1])} and {turns[-1]}"
    return f"Cut it to shape, {what} of radii {inner} and {outer}, {turn}"


def _why_not(choice: BandChoice) -> str:
    found = choice.straight if choice.pulled is None else choice.pulled
    worst = found.deciding
    return "nothing is strained" if worst is None else f"cut straight, {_check_words(worst[1])}"


def lengths_words(strips: Sequence[CutStrip], system: System = "mm") -> str:
    """How many strips and how long: "it 612 mm" or "3 strips, 100, 150 and 50 mm"."""
    lengths = [format_length(s.cut_length, system=system) for s in strips]
    if len(lengths) == 1:
        return f"it {lengths[0]}"
    if len(set(lengths)) == 1:
        return f"{len(lengths)} strips, each {lengths[0]}"
    return f"{len(lengths)} strips, {', '.join(lengths[:-1])} and {lengths[-1]}"


def _check_words(check: Check) -> str:
    if not isfinite(check.found):
        return "the foam would fold"
    return f"{check.what} {found_words(check)}"


def found_words(check: Check) -> str:
    """What a check of a strain or a pull found, with the limit and its basis."""
    limit = check.limit
    if limit.unit == "N":
        return f"{check.found:.2g} N (limit {limit.value:.3g} N, {limit.basis})"
    return f"{check.found:.1%} (limit {100 * limit.value:.3g} %, {limit.basis})"


def _place_words(tight: Tight, system: System) -> str:
    kind = "hollow" if tight.curvature < 0 else "bend"
    at = format_length(tight.place, system=system)
    radius = format_length(1 / abs(tight.curvature), system=system)
    return f"at {at}, on a {kind} of radius {radius}"


def band_reasons(choice: BandChoice, system: System = "mm") -> list[str]:
    """What speaks for and against each way, one line a way."""
    lines = [_straight_reason("straight", choice.straight, system)]
    if choice.pulled is not None:
        lines.append(_straight_reason("straight, pulled", choice.pulled, system))
    lines.append(_widest_words(choice, system))
    shaped = choice.shaped
    sheet, waste = (_area_words(x, system) for x in (shaped.sheet, shaped.waste))
    lines.append(
        f"cut to shape: nothing is strained; {sheet} of sheet, of which {waste} are left over"
    )
    mitred = choice.mitred
    steep = f"{np.degrees(mitred.steepest):.1f} deg"
    bent = f", each bent: stretched {mitred.stretch:.1%}" if mitred.stretch else ""
    blank = format_length(mitred.blank_length, system=system)
    lines.append(
        f"straight pieces: {mitred.count} out of {blank} of strip, cut at {steep} at most, "
        f"{small_words(mitred.deviation, system)} off the curve{bent}"
    )
    return lines


def _area_words(mm2: float, system: System) -> str:
    return f"{mm2 / 100:.0f} cm²" if system == "mm" else f"{mm2 / 25.4**2:.0f} in²"


def _straight_reason(name: str, found: StraightBand, system: System) -> str:
    verdict = "yes" if found.met else "no"
    shown = [f for f in found.findings if f[1].met == found.met]
    if not shown:
        return f"{name}: {verdict}; the edge is straight between its corners"
    said = []
    for tight in found.band.tight:
        checks = [_check_words(c) for t, c in shown if t == tight and _counts(c)]
        if checks:
            said.append(f"{_place_words(tight, system)}: {', '.join(checks)}")
    return f"{name}: {verdict}; {'; '.join(said)}{_drag_words(found)}{_wide_words(found)}"


def _wide_words(found: StraightBand) -> str:
    """What is not promised of a band that is very wide for its bend."""
    middle = sum(found.band.offsets) / 2
    bends = [abs(t.curvature) / (1 + middle * t.curvature) for t in found.band.tight]
    if not found.met or found.band.width * max(bends, default=0.0) <= WIDEST:
        return ""
    return "; wider than half the radius of its middle: its strains may be 15 % less than told"


def _counts(check: Check) -> bool:
    """Whether a check is worth a word: not a pucker that is out of reach."""
    return check.what != PUCKER or check.limit.value < 1 or not check.met


def _drag_words(found: StraightBand) -> str:
    """What a pull does sideways in a hollow."""
    hollow = [t for t in found.band.tight if t.curvature < 0]
    if not found.band.pull or not hollow or not isfinite(hollow[0].force):
        return ""
    stress = -found.band.side_pull(hollow[0])
    return (
        f"; in the hollow it drags off the edge with {stress:.2g} MPa, hold it till the glue is set"
    )


def _widest_words(choice: BandChoice, system: System) -> str:
    widest = choice.straight.widest
    if not isfinite(widest.width):
        return "any width goes straight: the edge does not bend"
    size = format_length(widest.width, system=system)
    if widest.tight is None:
        return f"up to {size} wide it finds room between the corners"
    where = _place_words(widest.tight, system)
    return f"up to {size} wide it goes straight: then {widest.what} decides, {where}"


def band_work(
    choice: BandChoice, *, glue: str = "contact adhesive", system: System = "mm"
) -> list[Step]:
    """The order of work for a band, with cautions where they belong."""
    steps = [Step(band_sentence(choice, system), RULER)]
    steps += corner_steps(band_corners(choice.band), system)
    steps += mark_steps(choice.strips, system)
    steps.append(Step("Dry fit: lay it on its line and pin both ends, then the marks."))
    pulled = choice.choice == "straight, pulled"
    line = {"inside": "outer edge", "middle": "middle", "outside": "inner edge"}[choice.band.side]
    how = f"Glue its {line} on the line first, mark by mark, then press down the rest of its width."
    if pulled:
        how = f"Glue one end, pull the strip out to its next mark, and so on. {how}"
    steps.append(glue_step(adhesive(glue), how, pulled=choice.choice != "cut to shape"))
    steps += join_steps(choice.joins, choice.joining, system)
    return steps


def corner_steps(corners: Sequence[CornerWork], system: System = "mm") -> list[Step]:
    """A step for each corner."""
    return [
        Step(f"Corner at {format_length(c.place, system=system)}: {c.what}", RULER) for c in corners
    ]


def mark_steps(strips: Sequence[CutStrip], system: System = "mm") -> list[Step]:
    """Where to mark edge and strips; nothing where no marks were given."""
    found = []
    for strip in strips:
        if not strip.marks:
            continue
        edge, own = (
            ", ".join(format_length(x, system=system) for x in places)
            for places in zip(*strip.marks, strict=True)
        )
        name = "the strip" if len(strips) == 1 else f"strip {strip.number}"
        found.append(Step(f"Mark the edge at {edge}; {name} at {own}. Mark meets mark."))
    return found


def glue_step(glue: Adhesive, how: str, *, pulled: bool) -> Step:
    """Gluing, with what the glue needs and what it can do to hands and lungs."""
    said = [f"Glue with {glue.name}: {in_time(glue)}.", how]
    if glue.grabs:
        said.append("Lay paper between so that it cannot grab early.")
    said.append(warm_words(glue, pulled=pulled))
    return Step(" ".join(filter(None, said)), glue.caution)


def join_steps(joins: int, joining: Joining, system: System = "mm") -> list[Step]:
    """How lengths are joined; nothing where there is one only."""
    if joins < 1:
        return []
    what = "butt" if joining.kind == "butt" else "lap"
    how = "end to end, both cut square"
    if what == "lap":
        how = f"one {format_length(joining.lap, system=system)} over the other"
    many = "1 join" if joins == 1 else f"{joins} joins"
    return [Step(f"{many}, {how}, where the edge turns least.")]


def rim_sentence(cut: CutRim, system: System = "mm") -> str:
    """What to cut for a rim, in one sentence."""
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
    """The order of work for a rim, with cautions where they belong."""
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
    """What to cut for a binding, in one sentence."""
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
    """The order of work for a binding, with cautions where they belong."""
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


class CornerWork(NamedTuple):
    """A corner of an edge, and what a strip does there."""

    place: float
    """Length along the edge [mm]."""
    turn: float
    """Turn of the corner [rad], positive where convex."""
    takes: float
    """What a strip that goes on round the corner needs more [mm]; below 0 where it needs less."""
    mitre: float
    """Angle at which both ends are cut from square where it is parted [rad]."""
    tip: float
    """How much longer one side of a parted end is than the other, by the mitre [mm]."""
    what: str
    """What to do."""

    @property
    def hollow(self) -> bool:
        """Whether it is a hollow corner."""
        return self.turn < 0


def small_words(mm: float, system: System = "mm") -> str:
    """A small length, to a tenth of a millimetre or a sixteenth of an inch."""
    return format_length(mm, system=system, resolution=0.1 if system == "mm" else None)


def band_corners(band: Band) -> tuple[CornerWork, ...]:
    """The corners of a band: it is always parted there.

    A flat strip does not bend in its plane within no length at all. Both ends are cut at half the
    turn of the corner; the two edges of an end then differ by ``width tan(turn/2)``. On the line
    it follows nothing is gained or lost.
    """
    found = []
    for place, turn in band.curve.corners:
        half = abs(turn) / 2
        longer = "outer" if turn > 0 else "inner"
        what = f"Cut both ends at {np.degrees(half):.1f} deg from square, the {longer} edge longer."
        tip = band.width * float(np.tan(half))
        found.append(CornerWork(place, turn, 0.0, half, tip, what))
    return tuple(found)


def rim_corners(
    rim: Rim, system: System = "mm", *, at_corners: str = "bent"
) -> tuple[CornerWork, ...]:
    """The corners of a rim: bent round or parted where convex, parted where hollow.

    Bent round, a convex corner of turn a takes ``d a``, d the height of the strip's fibre; a hollow
    one loses ``2 d tan(a/2)``. Mitred through the thickness t, one face of an end is longer than
    the other by ``t tan(a/2)``: the outer face at a convex corner, the inner one in a hollow.
    """
    found = []
    for place, turn in rim.curve.corners:
        half = abs(turn) / 2
        degrees = f"{np.degrees(half):.1f} deg"
        tip = rim.strip.thickness * float(np.tan(half))
        if at_corners == "mitred":
            takes, longer = 0.0, "outer" if turn > 0 else "inner"
            what = f"Bevel both ends at {degrees} through the thickness, the {longer} face longer."
        elif turn > 0:
            takes = rim.offset * turn
            what = (
                f"Bend it round, which takes {small_words(takes, system)} (counted), or part it "
                f"there and bevel both ends at {degrees}, the outer face longer."
            )
        else:
            takes = -2 * rim.offset * float(np.tan(half))
            what = (
                f"Part it there and bevel both ends at {degrees}, the inner face longer; pressed "
                f"in whole it needs {small_words(-takes, system)} less (counted) and wants to "
                "spring out."
            )
        found.append(CornerWork(place, turn, takes, half, tip, what))
    return tuple(found)


def binding_corners(binding: Binding, system: System = "mm") -> tuple[CornerWork, ...]:
    """The corners of a binding: its legs are notched where convex, slit where hollow.

    A leg of width a has ``2 a tan(turn/2)`` too much at a convex corner: a wedge with its point on
    the fold, or a mitred fold. At a hollow corner it lacks as much, and gapes there.
    """
    found = []
    for work in rim_corners(binding.rim, system):
        wide = 2 * max(binding.legs) * float(np.tan(work.mitre))
        size = small_words(wide, system)
        degrees = np.degrees(2 * work.mitre)
        if work.hollow:
            what = (
                f"Slit both legs up to the fold; they gape by {size} at their free edge: "
                "glue in an offcut, or lay the next strip over it."
            )
        else:
            what = (
                f"Cut a wedge of {degrees:.0f} deg out of both legs, its point on the fold, "
                f"{size} wide at the free edge; fold and join edge to edge."
            )
        found.append(work._replace(tip=wide / 2, what=what))
    return tuple(found)


def corners_table(corners: Sequence[CornerWork]) -> Any:
    """The corners side by side (pandas, units in the column heads)."""
    import pandas as pd

    return pd.DataFrame(
        {
            "at [mm]": [c.place for c in corners],
            "turn [deg]": [np.degrees(c.turn) for c in corners],
            "takes [mm]": [c.takes for c in corners],
            "mitre [deg]": [np.degrees(c.mitre) for c in corners],
            "tip [mm]": [c.tip for c in corners],
            "what to do": [c.what for c in corners],
        }
    )
