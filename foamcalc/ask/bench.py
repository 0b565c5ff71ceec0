"""One joint at the bench: what a maker types, read, answered, and written out."""

from __future__ import annotations

import warnings
from dataclasses import dataclass, field, replace
from math import isnan

from foamcalc.ask.filled import number_of
from foamcalc.ask.lines import SAFE, listed, noted, stepped, wrapped
from foamcalc.ask.rules import (
    bare_beside_inches,
    doubted,
    limits_of,
    narrower,
    peel_limit,
    slip,
    state,
    turn_of,
    turn_said,
)
from foamcalc.ask.swatch_record import (
    modulus_spread,
    overnight,
    read_swatch,
    swatch_notes,
    swatch_said,
)
from foamcalc.fit.advice import next_day, order_of_work, reasons, sentence
from foamcalc.fit.choice import Choice, Situation, choose
from foamcalc.fit.cutting import needed_shown
from foamcalc.fit.limits import Limit
from foamcalc.fit.overlay import Overlay
from foamcalc.fit.stack import Piece
from foamcalc.foam.adhesives import adhesive_named
from foamcalc.foam.grades import foam, foam_entries, foam_from_density
from foamcalc.foam.law import HyperFoam
from foamcalc.foam.swatch import Swatch, fit_swatch
from foamcalc.guards import positive
from foamcalc.tables import look_up
from foamcalc.units import (
    System,
    ToleranceNotUsed,
    angle,
    format_length,
    is_inch,
    length,
    read_length,
    rounded,
)

_NAMES = {"cut to length": "as long as it needs, no hug"}
_LENGTHS = (
    "cut",
    "needed",
    "shell",
    "start",
    "base",
    "overlay",
    "width",
    "base_width",
    "radius",
    "mouth",
    "inside",
    "most_opening",
    "peel_width",
)


@dataclass(frozen=True, kw_only=True)
class Question:
    """One joint as a maker states it: texts with units, as typed; None where not said."""

    cut: str
    needed: str
    shell: str | None = None
    """Length of the whole base over its outside; None: the overlay covers it from end to end."""
    start: str | None = None
    base: str | None = None
    overlay: str | None = None
    width: str | None = None
    base_width: str | None = None
    turn: str | None = None
    radius: str | None = None
    mouth: str | None = None
    inside: str | None = None
    formed: float | str = 1.0
    """A share, or a text with its %."""
    foam: str = "EVA medium"
    density: str | None = None
    swatch: str | None = None
    adhesive: str = "contact adhesive"
    already_cut: bool = True
    free_ends: int = 2
    most_opening: str | None = None
    most_stretch: float | None = None
    peel_held: str | None = None
    peel_width: str | None = None


@dataclass(frozen=True, kw_only=True)
class Answer:
    """A choice, the units to speak in, and what it rests on."""

    choice: Choice
    system: System
    rests_on: tuple[str, ...]
    notes: tuple[str, ...] = field(default=())
    forgets: float | None = None
    """Share of a strain that the foam forgets overnight; None: not known."""

    def lines(self) -> list[str]:
        """The answer as a maker reads it: the sentence, the table, the reasons, the work."""
        return [
            *wrapped(" ".join(self._said())),
            "",
            *[line for note in self.notes for line in noted(note)],
            *self._measures(),
            "",
            *self._side_by_side(),
            "",
            "Why",
            *listed(reasons(self.choice, self.system)),
            "",
            "Order of work",
            *stepped(order_of_work(self.choice, self.system)),
            "",
            "Other builds (gap as the overlay is cut now; opening when it is cut to length)",
            *self._other_builds(),
            "",
            "Rests on",
            *listed(self.rests_on),
            "",
            *wrapped(SAFE),
        ]

    def _said(self) -> list[str]:
        later = [] if self.forgets is None else [next_day(self.choice, self.forgets, self.system)]
        return [sentence(self.choice, self.system), *later]

    def _show(self, mm: float) -> str:
        return format_length(mm, system=self.system)

    def _measures(self) -> list[str]:
        joint = self.choice.joint
        tape = rounded(joint.outside_length, system=self.system)
        rows = {
            "needed over the outside, by the tape": joint.outside_length,
            "more, because the overlay is thick": needed_shown(joint, self.system) - tape,
            "cut": joint.cut_length,
            "short" if joint.gap >= 0 else "too long": abs(joint.gap),
        }
        return [f"{name:40}{self._show(value):>12}" for name, value in rows.items()]

    def _side_by_side(self) -> list[str]:
        told = replace(self.choice.chosen.outcome, name="as told above")
        as_told = (told.cut_length, told.size_after)
        rows = [o for o in self.choice.outcomes if (o.cut_length, o.size_after) != as_told]
        head = f"{'':28}{'cut':>12}{'stretch':>9}{'pull':>8}{told.what:>12}{'let go':>12}"
        return [head] + [
            f"{_NAMES.get(o.name, o.name):28}{self._show(o.cut_length):>12}{o.strain:>9.1%}"
            f"{'warm' if isnan(o.force) else f'{o.force:.0f} N':>8}"
            f"{self._show(o.size_before):>12}{self._show(o.size_after):>12}"
            for o in (told, *rows)
        ]

    def _other_builds(self) -> list[str]:
        return [
            f"  {other.name:32}gap {self._show(other.gap):>9}  opens "
            f"{self._show(other.opening):>7}  {other.note}"
            for other in self.choice.alternatives
        ]


def answer(question: Question) -> Answer:
    """Read, check and answer one joint.

    Parameters
    ----------
    question : Question
        As typed.

    Returns
    -------
    Answer

    Raises
    ------
    ValueError
        For anything that cannot be read or cannot be true, naming the reading and the remedy.
    """
    _refuse_mixed(question)
    system: System = "in" if is_inch(question.cut) or is_inch(question.needed) else "mm"
    swatch = None
    if question.swatch is not None:
        swatch = fit_swatch(read_swatch(question.swatch), grade=question.foam)
    with warnings.catch_warnings(record=True) as caught:
        warnings.simplefilter("always", ToleranceNotUsed)
        joint, rests_on = _joint(question, swatch)
        limits = _limits(question, joint, swatch)
    situation = Situation(
        already_cut=question.already_cut,
        free_ends=question.free_ends,
        adhesive=question.adhesive,
    )
    return Answer(
        choice=choose(joint, situation, limits),
        system=system,
        rests_on=tuple(rests_on),
        notes=(
            *(str(w.message) for w in caught if issubclass(w.category, ToleranceNotUsed)),
            *(() if swatch is None else swatch_notes(swatch)),
        ),
        forgets=None if swatch is None else overnight(swatch),
    )


def _refuse_mixed(question: Question) -> None:
    """A bare number beside a reading in inches is taken for nothing: it must be said."""
    said = {name.replace("_", " "): getattr(question, name) for name in _LENGTHS}
    texts = {name: text for name, text in said.items() if text is not None}
    for name, text in texts.items():
        read_length(text, name=name)
    mixed = bare_beside_inches(texts)
    if mixed is not None:
        raise ValueError(" ".join(mixed))


def _joint(question: Question, swatch: Swatch | None) -> tuple[Overlay, list[str]]:
    """The joint, and what it rests on."""
    law, grade = _law(question, swatch)
    base_thick, base_said = _thickness(question.base, "base")
    over_thick, over_said = _thickness(question.overlay, "overlay")
    widths, width_said = _widths(question)
    base = Piece(
        thickness=base_thick,
        law=law,
        width=widths[0],
        formed=_formed(question.formed),
        modulus_spread=modulus_spread(swatch),
    )
    cut, needed = (length(getattr(question, n), name=n) for n in ("cut", "needed"))
    whole, start = _place(question)
    turn = _turn(question, needed if whole is None else whole, base_thick)
    texts = (question.cut, question.needed)
    if wrong := slip(cut, needed) or doubted(cut, needed, texts, bend_said=bool(turn)):
        raise ValueError(wrong)
    joint = Overlay.from_tape(
        cut=cut,
        needed=needed,
        base=base,
        overlay=replace(base, thickness=over_thick, width=widths[1], formed=0.0),
        bead=look_up("adhesives", adhesive_named(question.adhesive), "bead_thickness").in_unit(
            "mm"
        ),
        whole=whole,
        start=start,
        **turn,
    )
    said = (
        turn_said(joint, "--turn, --mouth, --inside or --radius"),
        _place_said(question),
        base_said,
        over_said,
        width_said,
        narrower(joint),
        state(base.formed),
        *grade,
    )
    return joint, [x for x in said if x]


def _law(question: Question, swatch: Swatch | None) -> tuple[HyperFoam, list[str]]:
    """The law of the foam, and what it rests on: your own test, its weight, or its grade."""
    if question.density is not None:
        if swatch is not None:
            raise ValueError("give only one of --swatch and --density: your swatch says more")
        from foamcalc.ask.sheet.foam_keys import DENSITY

        try:
            weight = DENSITY.kind.read(question.density, DENSITY.name).value
        except ValueError as fault:
            raise ValueError(f"density: {fault}") from None
        guess = foam_from_density(weight, grade=question.foam)
        return guess.law, [f"foam of {weight:g} kg/m3: {line}" for line in guess.rests_on]
    if swatch is not None:
        return swatch.law, [f"your swatch: {line}" for line in swatch_said(swatch)]
    rows = foam_entries(question.foam)
    return foam(question.foam), [f"foam {question.foam}: {row.describe()}" for row in rows]


def _formed(said: float | str) -> float:
    """How far the base is formed [1]; a text must have its unit, unless it is 0."""
    if not isinstance(said, str):
        return said
    from foamcalc.ask.form import PART

    bare = number_of(said.strip())
    if bare and 0 < bare <= 100:
        meant = [f"'{x:g} %'" for x in (bare, 100 * bare) if x <= 100]
        raise ValueError(f"--formed {said!r} has no unit: write {' or '.join(meant)}")
    try:
        return float(PART.read(said, "formed").value)
    except ValueError as fault:
        raise ValueError(f"--formed {fault}") from None


def _widths(question: Question) -> tuple[tuple[float, float], str]:
    """Widths of base and overlay [mm], and which of them nobody said."""
    wide = None if question.width is None else length(question.width, name="width")
    if question.base_width is not None:
        base = length(question.base_width, name="base width")
        if wide is not None:
            return (base, wide), ""
        return (base, base), "overlay as wide as the base (assumed); if it is not: --width"
    if wide is not None:
        return (wide, wide), "base as wide as the overlay (assumed); if it is not: --base-width"
    return (Piece.width, Piece.width), (
        f"width {Piece.width:g} mm, base and overlay alike (assumed; the pull depends on it, and "
        "the mouth where the two differ): --width, --base-width"
    )


def _place(question: Question) -> tuple[float | None, float | None]:
    """Length of the whole base over its outside, and where the overlay begins on it [mm]."""
    if question.shell is None:
        if question.start is not None:
            raise ValueError("--start goes with --shell, the length of the whole base")
        return None, None
    whole = float(positive(length(question.shell, name="shell"), "shell"))
    return whole, None if question.start is None else length(question.start, name="start")


def _place_said(question: Question) -> str:
    """Where the overlay lies on its base, where that was not said."""
    if question.shell is None:
        return "taken to cover the base from end to end (assumed); if the base is longer: --shell"
    if question.start is None:
        return "taken to lie in the middle of the base (assumed); if it does not: --start"
    return ""


def _thickness(text: str | None, layer: str) -> tuple[float, str]:
    """A thickness in mm, and where it comes from if it was not said."""
    if text is not None:
        name = f"{layer} thickness"
        return float(positive(length(text, name=name), name)), ""
    row = look_up("limits", "default", f"default_{layer}_thickness")
    return row.in_unit("mm"), f"{layer} {row.printed} mm thick ({row.basis}); measure it: --{layer}"


def _turn(question: Question, needed: float, thickness: float) -> dict[str, float]:
    """The one way in which the turn was said, as an argument of `Overlay.from_tape`."""
    said = [n for n in ("turn", "radius", "mouth", "inside") if getattr(question, n) is not None]
    if len(said) > 1:
        raise ValueError(f"give only one of {' and '.join('--' + n for n in said)}")
    values, texts = {}, {}
    for name in said:
        texts[name] = getattr(question, name)
        values[name] = (angle if name == "turn" else length)(texts[name], name=name)
        if name in ("radius", "inside"):
            positive(values[name], name)
        if name == "mouth" and question.shell is None and values[name] >= needed:
            raise ValueError(
                f"mouth must be from 0 mm to below the length taped, {needed:g} mm, got "
                f"{texts[name]}; if the overlay covers a part of the base, say how long all of it "
                "is: --shell"
            )
    return turn_of(values, texts, needed=needed, thickness=thickness)


def _limits(question: Question, joint: Overlay, swatch: Swatch | None) -> dict[str, Limit]:
    """The limits of the tables, with the maker's own in their place."""
    opening = stretch = None
    if question.most_opening is not None:
        said = length(question.most_opening, name="most opening")
        opening = float(positive(said, "most opening"))
    if question.most_stretch is not None:
        stretch = float(positive(question.most_stretch, "most stretch", "1")) / 100
    return limits_of(
        joint,
        swatch=swatch,
        peel=_peel_limit(question),
        most_stretch=stretch,
        most_opening=opening,
    )


def _peel_limit(question: Question) -> Limit | None:
    """What the maker's own glued offcut held; None if there was none."""
    if question.peel_held is None and question.peel_width is None:
        return None
    if question.peel_held is None or question.peel_width is None:
        raise ValueError("give both of --peel-held and --peel-width, or neither")
    from foamcalc.ask.sheet.foam_keys import PEEL_HELD

    try:
        held = PEEL_HELD.kind.read(question.peel_held, PEEL_HELD.name).value
    except ValueError as fault:
        raise ValueError(f"peel held: {fault}") from None
    width = positive(length(question.peel_width, name="peel width"), "peel width")
    return peel_limit(held=held, width=float(width))
