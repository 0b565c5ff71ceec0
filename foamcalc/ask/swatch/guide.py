"""How to test a sheet of foam at the bench: the steps, the loads, the record to fill in."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal, NamedTuple

from foamcalc.ask.faults import shown
from foamcalc.ask.output import csv_bytes
from foamcalc.ask.swatch.rows import FORCES, LENGTHS, UNITS
from foamcalc.foam.grades import foam
from foamcalc.foam.law import Law
from foamcalc.foam.swatch.strips import side_error
from foamcalc.guards import positive, single
from foamcalc.units import System, format_length

_INCH = 25.4


class Asked(NamedTuple):
    """Sizes that are asked for [mm] (assumed), in inches nearly the same."""

    narrow: float
    wide: float
    gauge: float
    block: float
    """Side of the block that is squeezed."""

    @property
    def shortest(self) -> float:
        """Length of a strip, so that the marks stand one width or more from each clamp [mm]."""
        return self.gauge + 2 * self.wide


ASKED: dict[System, Asked] = {
    "mm": Asked(narrow=25.0, wide=60.0, gauge=150.0, block=40.0),
    "in": Asked(narrow=_INCH, wide=2.375 * _INCH, gauge=6 * _INCH, block=1.5 * _INCH),
}
"""Narrow strips for high loads, wide ones for the side stretch."""
THICK = 5.0
"""Thickness of the sheet that loads are told for [mm] (assumed)."""
TARGETS = (0.05, 0.10, 0.15, 0.20)
"""Strains that are asked for [1] (assumed)."""


def loads_for(
    law: Law, *, width: float, thickness: float, stretches: Iterable[float]
) -> tuple[float, ...]:
    """Loads that pull a strip, or press a block, to about these stretches.

    Parameters
    ----------
    law : Law
        A first guess of the foam.
    width, thickness : float
        Of the strip, or the sides of the block's face [mm], above 0.
    stretches : iterable of float
        Length wanted over length as marked [1], above 0.

    Returns
    -------
    tuple of float
        In kg.

    Examples
    --------
    >>> loads = loads_for(foam("EVA medium"), width=25, thickness=5, stretches=[1.05, 1.2])
    >>> [round(kg, 1) for kg in loads]
    [1.1, 6.2]
    """
    area = single(positive(width, "width"), "width") * single(
        positive(thickness, "thickness"), "thickness"
    )
    stresses = law.stress(positive(list(stretches), "stretches", "1"))
    return tuple(float(abs(p)) * area / FORCES["kg"] for p in stresses)


def swatch_instructions(
    *, thickness: float = THICK, grade: str = "EVA medium", system: System = "mm"
) -> tuple[str, ...]:
    """How to test a sheet, step by step."""
    law, asked = foam(grade), ASKED[system]

    def say(mm: float) -> str:
        return format_length(mm, system=system)

    narrow_said, wide_said = say(asked.narrow), say(asked.wide)
    narrow, wide = (
        loads_for(law, width=w, thickness=thickness, stretches=[1 + e for e in TARGETS])
        for w in (asked.narrow, asked.wide)
    )
    off = [side_error(width=w, stretch=1.1, reading=0.5) for w in (20.0, asked.wide)]
    kilos = ", ".join(f"{x:.1f}" for x in narrow)
    return (
        "Fifteen minutes, four strips, one bag and a ruler tell how stiff your foam is, to about "
        f"12 %: cut four fresh strips {narrow_said} wide and {say(asked.shortest)} long at least, "
        "all in one direction of the sheet. Mind the knife: cut away from the hand that holds the "
        "ruler, and do not nick the edges.",
        f"Mark {say(asked.gauge)} in the middle of each, at least one width from each clamp, and "
        "measure the width and the thickness of each; sheet varies by 5 to 10 % of what the label "
        "says.",
        f"One fresh strip for each load. For 5, 10, 15 and 20 % it wants about {kilos} kg if the "
        f"foam is like {grade}; it may want three times more or less. Fill the bag, weigh it with "
        "the lower clamp and its hook, and hang the strips in a mixed order, not from light to "
        "heavy.",
        "Hang the bag close over the floor on something that may drop, keep feet and fingers from "
        "under it, and wear glasses: a strip that tears whips back.",
        "Read the length between the marks one minute after the load is on, every strip at the "
        "same minute: foam creeps while you look. Write the four into the rows A to D; the rest of "
        "the record may stay empty.",
        "More, for how far it may be pulled: let the strips go, lay them down, and read them at "
        "once, after an hour and after a day: load 0, and the time since letting go. Note it if "
        "one tore, with the last length you saw.",
        "More, for what it forgets by the next day, and to raise the usual limit on stretch: leave "
        "one strip under its load, read it after an hour and after a day, then let it go and read "
        "it a day later. (Or hold one at a fixed length by a luggage scale, and read the scale.)",
        f"More, for how much it narrows: only wide strips tell that. Half a millimetre on 20 mm "
        f"makes Poisson's ratio uncertain by {off[0]:.2f} at 10 % stretch, on {wide_said} by "
        f"{off[1]:.2f}. Pull two strips {wide_said} wide to 10 and 15 % (about {wide[1]:.0f} and "
        f"{wide[2]:.0f} kg), and read the width half way between the marks.",
        "More, for the last few percent: weigh the lower clamp with its hook by itself (column "
        "clamp) and a strip (column strip weight; half of it pulls at the middle), and read the "
        "thickness with a caliper that only just touches.",
        f"More, for seams and bends that squeeze it: stack offcuts to a block about "
        f"{say(asked.block)} wide, deep and high, between "
        "two boards, with three loads at least; test = squeeze. Width and thickness are the two "
        "sides of the pressed face, gauge is the height, clamp is the board on top. Keep the stack "
        "from toppling, and fingers from between the boards. The boards hold the pressed faces by "
        "friction, which makes a low block look too stiff. And the block is pressed through the "
        "sheet, the strips are pulled along it; foam may differ between them.",
        "Warm strips are a test of their own (warmth = warm). Warm them in a well aired room, "
        "never till they smoke or smell sharp, and keep the heat gun away from solvent glue.",
    )


def blank_swatch(*, load_unit: Literal["N", "g", "kg"] = "kg", length_unit: str = "mm") -> bytes:
    """The record to fill in."""
    for unit, known in ((load_unit, FORCES), (length_unit, LENGTHS)):
        if unit not in known:
            raise ValueError(f"unit must be one of {', '.join(known)}, got {shown(unit)}")
    units = {id(LENGTHS): length_unit, id(FORCES): load_unit}
    header = [
        name if known is None else f"{name} [{units.get(id(known), 'min')}]"
        for name, known in UNITS.items()
    ]
    system: System = "in" if length_unit == "in" else "mm"
    narrow, wide = (format_length(w, system=system) for w in ASKED[system][:2])
    looks = [
        *((n, "pull", "", 1, f"{narrow} wide") for n in ("A", "B", "C", "D")),
        *((n, "pull", "", 1, f"{wide} wide: read width now") for n in ("E", "F")),
        *(("F", "pull", "", t, "still hanging") for t in (60, 1440)),
        *((n, "pull", 0, t, "let go") for n in ("A", "B", "C", "D") for t in (1, 60, 1440)),
        *((n, "squeeze", "", 1, "between two boards") for n in ("G", "H", "J")),
    ]
    rows = [
        [
            {"strip": n, "test": test, "warmth": "cold", "load": load, "time": t, "note": note}.get(
                c
            )
            for c in UNITS
        ]
        for n, test, load, t, note in looks
    ]
    return csv_bytes(header, rows)
