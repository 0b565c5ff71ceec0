"""The maker's own foam: how to test it, the record to fill in, and what a filled one says."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np

from foamcalc.ask.answer import Answer, Block, Listed, Noted, Say
from foamcalc.ask.faults import SheetFault
from foamcalc.ask.form import NAME, Findings, Form, Table, Word, YesNo, make_key
from foamcalc.ask.lines import in_words
from foamcalc.ask.swatch_record import RECORD, read_swatch, swatch_notes
from foamcalc.fit.end_words import time_words
from foamcalc.fit.order import Step
from foamcalc.foam.grades import foam
from foamcalc.foam.law import Law
from foamcalc.foam.swatch import Swatch, fit_swatch
from foamcalc.foam.swatch.fit import SECANT
from foamcalc.foam.swatch.result import MEASURED
from foamcalc.foam.swatch.strips import Warmth, side_error
from foamcalc.guards import positive, single
from foamcalc.units import GRAVITY, System

USUAL_GRADE = "EVA medium"

# fmt: off
FORM = Form(
    head="swatch",
    what="what the record of a swatch test says",
    keys=(
        make_key("warm", YesNo(), "true", "use the strips that were warmed, not the cold ones",
                 "the cold ones", at="line"),
        make_key("grade", NAME, '"EVA firm"', "row of foams.csv for what the strips cannot tell",
                 USUAL_GRADE, at="line"),
        make_key("full", YesNo(), "true", "every number of the law, with what it rests on",
                 "what the foam does", at="line"),
        make_key("units", Word(("mm", "in")), '"in"', "unit of the lengths, in what is said and in "
                 "the record to fill in", "mm", at="line"),
    ),
)
# fmt: on


def ask(record: str | Path, **said: object) -> Answer:
    """What a filled record says; the fields of `FORM` as on the command line."""
    say, grade, table = checked(**said)
    warmth: Warmth = "warm" if table.get("warm") else "cold"
    swatch = fit_swatch(read_swatch(record), warmth=warmth, grade=grade)
    return answer(swatch, say, full=table.get("full", False))


def checked(**said: object) -> tuple[Say, str, Table]:
    """How to say lengths, the grade, and all that was said; SheetFault with every fault of it."""
    found = Findings("", at_line=True)
    table = FORM.read(found, {k: v for k, v in said.items() if v is not None})
    if found.faults:
        raise SheetFault(found.faults)
    return Say(table.get("units", "mm")), table.get("grade", USUAL_GRADE), table


def answer(swatch: Swatch, say: Say, *, full: bool = False) -> Answer:
    """What a swatch says in words: what the foam does, then what is doubtful."""
    alike = ", if alike along the sheet and through it" if swatch.both_ways else ""
    more = "every number of the law, and what it rests on: add --full"
    blocks: list[Block] = [Listed("", list(_what_it_does(swatch, say)))]
    if full:
        blocks.append(Listed("", list(_numbers(swatch))))
    blocks.append(Noted(swatch_notes(swatch)))
    if not full:
        blocks.append(Noted([more], "more"))
    return Answer(
        name="swatch",
        sentence=f"{swatch.warmth} strips; intervals hold the truth nine times in ten{alike}",
        blocks=blocks,
        rests_on=swatch.rests_on if full else (),
        frames=lambda: {"numbers": swatch_table(swatch)},
        result=swatch,
    )


# What it says -----------------------------------------------------------------------------------


def swatch_table(swatch: Swatch) -> Any:
    """The numbers with their intervals (pandas), each with what it rests on."""
    import pandas as pd

    rows: list[tuple[object, ...]] = []
    estimates = [("modulus at rest", "MPa", swatch.modulus)]
    for name, terms in (("alpha", swatch.alpha), ("Poisson's ratio", swatch.poisson)):
        for i, term in enumerate(terms, 1):
            estimates.append((name if len(terms) == 1 else f"{name}, term {i}", "1", term))
    estimates.append(("pulled over squeezed at 10 %", "1", swatch.secant_ratio))
    rows += [(n, e.value, e.low, e.high, u, e.basis) for n, u, e in estimates]
    if (f := swatch.forgets) is not None:
        basis = f"{MEASURED}, from {f.start:g} to {f.end:g} min; {' and '.join(f.ways)}"
        rows.append(("share forgotten", f.share, f.low, f.high, "1", basis))
    for name, limit in (("pulled", swatch.pull_limit), ("squeezed", swatch.squeeze_limit)):
        if limit is not None:
            basis = f"{MEASURED}, at most {limit.most_left:.0%} left after {limit.after:g} min"
            row = (f"working limit, {name}", limit.stretch, np.nan, np.nan, "stretch", basis)
            rows.append(row)
    return pd.DataFrame(rows, columns=["quantity", "value", "low", "high", "unit", "basis"])


def _numbers(swatch: Swatch) -> Iterator[str]:
    """Every number with its interval and its kind."""
    for row in swatch_table(swatch).itertuples(index=False):
        span = "" if row.low != row.low else f" ({row.low:.3g} to {row.high:.3g})"
        unit = "" if row.unit == "1" else f" {row.unit}"
        yield f"{row.quantity}: {row.value:.3g}{unit}{span}; {row.basis}"


def _what_it_does(swatch: Swatch, say: Say) -> Iterator[str]:
    """What the foam does, a sentence each."""
    asked, e = ASKED[say.system], swatch.modulus
    wide, law = say(asked.wide), swatch.law
    (kilos,) = loads_for(law, width=asked.narrow, thickness=THICK, stretches=[1 + SECANT])
    yield (
        f"Stiffness {e.value:.3g} MPa ({e.low:.3g} to {e.high:.3g}; {e.basis}): a strip "
        f"{say(asked.narrow)} wide and {say(THICK)} thick takes about {kilos:.1f} kg for a pull of "
        f"{SECANT:.0%}"
    )
    now = say(asked.wide * float(law.side_stretch(1 + SECANT)))
    if now != wide:
        known = all(p.basis.startswith(MEASURED) for p in swatch.poisson)
        kind = MEASURED if known else "from the table"
        yield f"Pulled {SECANT:.0%}, {wide} of width become {now} ({kind})"
    for how, limit, length in (
        ("pulled", swatch.pull_limit, asked.gauge),
        ("squeezed", swatch.squeeze_limit, asked.block),
    ):
        if limit is not None:
            yield (
                f"May be {how} {abs(limit.stretch - 1):.0%}: {say(length)} \N{RIGHTWARDS ARROW} "
                f"{say(length * limit.stretch)} ({MEASURED}: strip {limit.strip} came back from "
                f"it, held for {time_words(limit.held)})"
            )
    if (f := swatch.forgets) is not None:
        yield (
            f"Held for {time_words(f.end)}, it forgets {f.share:.0%} of its stretch "
            f"({f.low:.0%} to {f.high:.0%}; {MEASURED})"
        )


# How to test a sheet ---------------------------------------------------------------------------

_INCH = 25.4


class Asked(NamedTuple):
    """Sizes that are asked for [mm] (assumed), in inches nearly the same."""

    narrow: float
    """Narrow strips are for high loads."""
    wide: float
    """Wide ones are for the side stretch."""
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
THICK = 5.0
"""Thickness of the sheet that loads are told for [mm] (assumed)."""
_PULLS = (1.05, 1.10, 1.15, 1.20)
"""Stretches that are asked for [1] (assumed)."""


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
        One for each stretch [kg].

    Raises
    ------
    ValueError
        For numbers out of range.

    Examples
    --------
    >>> loads = loads_for(foam("EVA medium"), width=25, thickness=5, stretches=[1.05, 1.2])
    >>> [round(kg, 1) for kg in loads]
    [1.1, 6.2]
    """
    wide, thick = (
        single(positive(x, n), n) for x, n in ((width, "width"), (thickness, "thickness"))
    )
    stresses = law.stress(positive(list(stretches), "stretches", "1"))
    return tuple(float(abs(p)) * wide * thick / GRAVITY for p in stresses)


def blank_rows(system: System) -> list[dict[str, object]]:
    """What stands in the record to fill in, by column."""
    say = Say(system)
    narrow, wide = (say(mm) for mm in ASKED[system][:2])
    looks = [
        *((n, "pull", "", 1, f"{narrow} wide") for n in "ABCD"),
        *((n, "pull", "", 1, f"{wide} wide: read width now") for n in "EF"),
        *(("F", "pull", "", t, "still hanging") for t in (60, 1440)),
        *((n, "pull", 0, t, "let go") for n in "ABCD" for t in (1, 60, 1440)),
        *((n, "squeeze", "", 1, "between two boards") for n in "GHJ"),
    ]
    names = ("strip", "test", "load", "time", "note")
    return [dict(zip(names, look, strict=True)) | {"warmth": "cold"} for look in looks]


def blank_heads(system: System) -> list[str]:
    """The columns of the record to fill in, with their units."""
    return [column.head((system, "kg", "min")) for column in RECORD.columns]


def blank_swatch(system: System = "mm") -> bytes:
    """The record to fill in (CSV), its lengths in mm or in inches."""
    return RECORD.blank(blank_rows(system), (system, "kg", "min"))


def instructions(say: Say, *, grade: str) -> tuple[str, ...]:
    """How to test a sheet, step by step, for the terminal; loads are for a foam of this grade."""
    law, asked = foam(grade), ASKED[say.system]
    narrow, wide, gauge, block = (say(mm) for mm in asked)
    kilos = [loads_for(law, width=w, thickness=THICK, stretches=_PULLS) for w in asked[:2]]
    off = [side_error(width=w, stretch=1.1, reading=0.5) for w in (20.0, asked.wide)]
    return (
        "Fifteen minutes, four strips, one bag and a ruler tell how stiff your foam is, to about "
        f"12 %: cut four fresh strips {narrow} wide and {say(asked.shortest)} long at least, "
        "all in one direction of the sheet. Mind the knife: cut away from the hand that holds the "
        "ruler, and do not nick the edges.",
        f"Mark {gauge} in the middle of each, at least one width from each clamp, and "
        "measure the width and the thickness of each; sheet varies by 5 to 10 % of what the label "
        "says.",
        f"One fresh strip for each load. For 5, 10, 15 and 20 % it wants about "
        f"{', '.join(f'{x:.1f}' for x in kilos[0])} kg if the "
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
        f"makes Poisson's ratio uncertain by {off[0]:.2f} at 10 % stretch, on {wide} by "
        f"{off[1]:.2f}. Pull two strips {wide} wide to 10 and 15 % (about {kilos[1][1]:.0f} and "
        f"{kilos[1][2]:.0f} kg), and read the width half way between the marks.",
        "More, for the last few percent: weigh the lower clamp with its hook by itself (column "
        "clamp) and a strip (column strip weight; half of it pulls at the middle), and read the "
        "thickness with a caliper that only just touches.",
        f"More, for seams and bends that squeeze it: stack offcuts to a block about {block} wide, "
        "deep and high, between "
        "two boards, with three loads at least; test = squeeze. Width and thickness are the two "
        "sides of the pressed face, gauge is the height, clamp is the board on top. Keep the stack "
        "from toppling, and fingers from between the boards. The boards hold the pressed faces by "
        "friction, which makes a low block look too stiff. And the block is pressed through the "
        "sheet, the strips are pulled along it; foam may differ between them.",
        "Warm strips are a test of their own (warmth = warm). Warm them in a well aired room, "
        "never till they smoke or smell sharp, and keep the heat gun away from solvent glue.",
    )


# On paper ---------------------------------------------------------------------------------------

TYPING = (
    "Type the rows into swatch.csv in this order; the number at the left of a row is its line in "
    "the file. Empty rows are for more strips.",
    "Then ask what they say:",
    "python -m foamcalc swatch swatch.csv",
)
"""How the rows come into the file, and what is done with it then."""
READ = (
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
LET_GO = (
    Step(
        "Let A to D go and lay them down. Read the length at once, after an hour and after a "
        "day: 1, 60 and 1440 minutes since letting go. Their load is 0 now."
    ),
    Step(
        "If a strip tore, write yes in the column tore, on the row of the last length that "
        "you saw before it tore."
    ),
)
WARM = (
    Step(
        "Warm strips are a test of their own: give them other names, and write warm in the "
        "column warmth.",
        "Hot nozzle and hot foam burn. Warm in a well aired room, never till it smokes or "
        "smells sharp. Keep the heat gun away from solvent glue.",
    ),
)


def prepare(say: Say) -> tuple[Step, ...]:
    """What is done before anything hangs."""
    asked = ASKED[say.system]
    narrow, wide, gauge = (say(mm) for mm in asked[:3])
    return (
        Step(
            "Read the thickness of the sheet in five places, with a caliper that only just "
            "touches. Sheet varies by 5 to 10 % of what the label says."
        ),
        Step(
            f"Cut fresh strips, all in one direction of the sheet: four {narrow} wide (A to D) and "
            f"two {wide} wide (E and F), each {say(asked.shortest)} long at least. A to D alone "
            "tell the stiffness, in 15 minutes.",
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


def hang(say: Say, *, grade: str) -> tuple[Step, ...]:
    """What is done while a strip hangs."""
    narrow, wide = (
        loads_for(foam(grade), width=w, thickness=THICK, stretches=_PULLS)
        for w in ASKED[say.system][:2]
    )
    return (
        Step(
            "Hang a fresh strip for each load, in a mixed order, not from light to heavy. If the "
            f"foam is like {grade} and {say(THICK)} thick, A to D want about "
            f"{in_words(f'{kg:.1f}' for kg in narrow)} kg for 5, 10, 15 and 20 % of strain, E and "
            f"F about {in_words(f'{kg:.0f}' for kg in wide[1:3])} kg for 10 and 15 %. It may want "
            "three times more or less."
        ),
        Step(
            "Hang the strip from something firm, with the bag close over the floor and over "
            "something that it may drop on.",
            "Nothing heavy hangs over a head. Keep feet and fingers from under the bag. Wear "
            "glasses: a strip that tears whips back.",
        ),
    )


def squeeze(say: Say, *, grade: str) -> tuple[Step, ...]:
    """How a block is squeezed between two boards."""
    side = ASKED[say.system].block
    kilos = loads_for(foam(grade), width=side, thickness=side, stretches=[0.95, 0.90, 0.85])
    return (
        Step(
            f"Stack offcuts to a block about {say(side)} wide, deep and high, a fresh one for each "
            "load. Squeeze it between two boards and read its height (column length) after one "
            f"minute. If the foam is like {grade}, about {in_words(f'{kg:.0f}' for kg in kilos)} "
            "kg squeeze it by 5, 10 and 15 %.",
            "Keep the stack from toppling, and fingers and feet clear of the boards and the load.",
        ),
        Step(
            "Width and thickness are the two sides of the face that is pressed, gauge is the "
            "height before, clamp is the weight of the board on top."
        ),
    )


def filling(say: Say) -> tuple[str, ...]:
    """How the cells are filled in by hand."""
    numbers = {
        "mm": "Write numbers with a point: 159.5, not 159,5.",
        "in": "Write inches as decimals: 6.25, not 6 1/4.",
    }
    return (
        numbers[say.system],
        "Grey cells stay empty: a strip is measured once. A row in which no length was read is "
        "skipped.",
    )
