"""A band in a maker's words: the answer in one sentence, the reasons, the order of work."""

from __future__ import annotations

from collections.abc import Sequence
from math import isfinite

import numpy as np

from foamcalc.fit.end_words import in_time, warm_words
from foamcalc.fit.limits import Check
from foamcalc.fit.order import Step
from foamcalc.fit.trim.across import WIDEST
from foamcalc.fit.trim.band import PUCKER, Tight
from foamcalc.fit.trim.band_choice import BandChoice
from foamcalc.fit.trim.corners import CornerWork, band_corners, small_words
from foamcalc.fit.trim.ends import Joining
from foamcalc.fit.trim.straight import StraightBand
from foamcalc.fit.trim.strips import CutStrip
from foamcalc.fit.trim.to_shape import ShapedBand
from foamcalc.foam.adhesives import Adhesive, adhesive
from foamcalc.units import System, format_length

RULER = (
    "Fresh blade, steel rule with a raised guard, the hand on the rule behind the blade, cut away "
    "from you."
)
"""Caution for cutting strips."""
_SEEN = 0.0005
"""Strain that is shown, else it counts as none."""


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
        if abs(strain) >= _SEEN
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
    """What speaks for and against each way, one line a way.

    Parameters
    ----------
    choice : BandChoice
        From `choose_band`.
    system : {"mm", "in"}
        Units to speak in.
    """
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
    """The order of work for a band, with cautions where they belong.

    Parameters
    ----------
    choice : BandChoice
        From `choose_band`.
    glue : str
        A name in adhesives.csv.
    system : {"mm", "in"}
        Units to speak in.
    """
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
