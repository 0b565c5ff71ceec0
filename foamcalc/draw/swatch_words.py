"""The words of the swatch record on paper: what to cut, hang, read and squeeze, step by step."""

from __future__ import annotations

from typing import NamedTuple

from foamcalc.ask.lines import in_words
from foamcalc.ask.swatch.guide import ASKED, THICK, loads_for
from foamcalc.draw.ink import thickness
from foamcalc.fit.advice import Step
from foamcalc.foam.grades import foam
from foamcalc.units import System, format_length

TYPING = (
    "Type the rows into swatch.csv in this order; the number at the left of a row is its line in "
    "the file. Empty rows are for more strips.",
    "Then ask what they say:",
    "python -m foamcalc swatch swatch.csv",
)
"""How the rows come into the file, and what is done with it then."""


class Steps(NamedTuple):
    """The steps in order, in the parts in which they are done."""

    prepare: tuple[Step, ...]
    hang: tuple[Step, ...]
    read: tuple[Step, ...]
    let_go: tuple[Step, ...]
    squeeze: tuple[Step, ...]
    warm: tuple[Step, ...]


_READ = (
    Step(
        "One minute after the load is on, every strip at the same minute, read the length between "
        "the marks. On E and F read the width now too, half way between the marks.",
        "Glasses on, feet and fingers clear of the bag, while you lean in to read.",
    ),
    Step(
        "Leave F under its load. Read it again after an hour and after a day.",
        "Let it hang where nobody walks or plays.",
    ),
)
_LET_GO = (
    Step(
        "Let A to D go and lay them down. Read the length at once, after an hour and after a "
        "day: 1, 60 and 1440 minutes since letting go. Their load is 0 now."
    ),
    Step(
        "If a strip tore, write yes in the column tore, on the row of the last length that "
        "you saw before it tore."
    ),
)
_WARM = (
    Step(
        "Warm strips are a test of their own: give them other names, and write warm in the "
        "column warmth.",
        "Hot nozzle and hot foam burn. Warm in a well aired room, never till it smokes or "
        "smells sharp. Keep the heat gun away from solvent glue.",
    ),
)


def swatch_steps(system: System, *, grade: str) -> Steps:
    """How to test a sheet, in short sentences for paper."""
    return Steps(
        prepare=_prepare(system),
        hang=_hang(system, grade),
        read=_READ,
        let_go=_LET_GO,
        squeeze=_squeeze(system, grade),
        warm=_WARM,
    )


def _prepare(system: System) -> tuple[Step, ...]:
    """What is done before anything hangs."""
    asked = ASKED[system]
    narrow, wide, gauge, shortest = (
        format_length(mm, system=system)
        for mm in (asked.narrow, asked.wide, asked.gauge, asked.shortest)
    )
    return (
        Step(
            "Read the thickness of the sheet in five places, with a caliper that only just "
            "touches. Sheet varies by 5 to 10 % of what the label says."
        ),
        Step(
            f"Cut fresh strips, all in one direction of the sheet: four {narrow} wide (A to D) "
            f"and two {wide} wide (E and F), each {shortest} long at least. A to D alone tell the "
            "stiffness, in 15 minutes.",
            "Cut away from the hand that holds the ruler. Do not nick the edges: a strip tears "
            "from a nick.",
        ),
        Step(
            f"Draw two marks {gauge} apart in the middle of each strip, one width or more from "
            "each clamp. Write down its width, thickness and gauge."
        ),
        Step(
            "Weigh the lower clamp with its hook (column clamp), a strip (column strip weight), "
            "and the bag with what is in it (column load)."
        ),
    )


def _hang(system: System, grade: str) -> tuple[Step, ...]:
    """What is done and read while a strip hangs."""
    asked, law = ASKED[system], foam(grade)

    def loads(width: float, *strains: float) -> list[float]:
        stretches = [1 + e for e in strains]
        return list(loads_for(law, width=width, thickness=THICK, stretches=stretches))

    narrow = in_words(f"{kg:.1f}" for kg in loads(asked.narrow, 0.05, 0.10, 0.15, 0.20))
    wide = in_words(f"{kg:.0f}" for kg in loads(asked.wide, 0.10, 0.15))
    return (
        Step(
            "Hang a fresh strip for each load, in a mixed order, not from light to heavy. If the "
            f"foam is like {grade} and {thickness(THICK, system)} thick, A to D want about "
            f"{narrow} kg for 5, 10, 15 and 20 % of strain, E and F about {wide} kg for 10 and "
            "15 %. It may want three times more or less."
        ),
        Step(
            "Hang the strip from something firm, with the bag close over the floor and over "
            "something that it may drop on.",
            "Nothing heavy hangs over a head. Keep feet and fingers from under the bag. Wear "
            "glasses: a strip that tears whips back.",
        ),
    )


def _squeeze(system: System, grade: str) -> tuple[Step, ...]:
    """How a block is squeezed between two boards."""
    side = ASKED[system].block
    kilos = loads_for(foam(grade), width=side, thickness=side, stretches=[0.95, 0.90, 0.85])
    return (
        Step(
            f"Stack offcuts to a block about {format_length(side, system=system)} wide, deep and "
            "high, a fresh one for each load. Squeeze it between two boards and read its height "
            f"(column length) after one minute. If the foam is like {grade}, about "
            f"{in_words(f'{kg:.0f}' for kg in kilos)} kg squeeze it by 5, 10 and 15 %.",
            "Keep the stack from toppling, and fingers and feet clear of the boards and the load.",
        ),
        Step(
            "Width and thickness are the two sides of the face that is pressed, gauge is the "
            "height before, clamp is the weight of the board on top."
        ),
    )


def filling_notes(system: System) -> tuple[str, ...]:
    """How the cells are filled in by hand."""
    numbers = {
        "mm": "Write numbers with a point: 159.5, not 159,5.",
        "in": "Write inches as decimals: 6.25, not 6 1/4.",
    }
    return (
        numbers[system],
        "Grey cells stay empty: a strip is measured once. A row in which no length was read is "
        "skipped.",
    )
