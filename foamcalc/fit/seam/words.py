"""A seam in a maker's words: how far it is out, what to do, why, and in which order."""

from __future__ import annotations

from itertools import groupby
from math import isfinite

from foamcalc.fit.limits import Check
from foamcalc.fit.seam.heat_and_knife import past_a_limit, warm_strain
from foamcalc.fit.seam.joined import SIDES, Seam, other
from foamcalc.fit.seam.remedies import Amount, SeamWay, dart_legs, pins_needed
from foamcalc.fit.seam.ways import SeamChoice
from foamcalc.units import System, format_angle, format_length

_FINE = {"mm": 0.5, "in": 1 / 32}
"""Steps in which small amounts are said."""
_TOLD = 3
"""Intervals that one sentence names."""
_SHARED = ("stretch", "squeeze", "extra marks")
"""Amounts that are shared out along the seam, not done in one place."""


def fine(mm: float, system: System, *, signed: bool = False) -> str:
    """A small amount, to half a millimetre or 1/32 in; `signed`: with a plus if it is above 0."""
    said = format_length(mm, system=system, resolution=_FINE[system], signed=signed)
    return said.replace(".0 mm", " mm")


def how_far_out(seam: Seam, system: System = "mm") -> str:
    """How far the two edges differ, as a whole and between the marks, in one sentence."""
    between = seam.intervals
    if not between.unequal.any():
        return "The edges agree between all marks, as far as a tape shows."
    i = int(between.by_difference[0])
    most = f"{between.name(i)}, {_longer_words(seam, float(between.difference[i]), system)}"
    if between.hidden:
        return f"As a whole the edges agree, but not between the marks: {most}."
    whole = f"From end to end {_longer_words(seam, between.total, system)}"
    return f"{whole}." if len(between.a) == 1 else f"{whole}; the most is {most}."


def _longer_words(seam: Seam, difference: float, system: System) -> str:
    long, size = SIDES[int(difference > 0)], fine(abs(difference), system)
    return f"{seam.edge(long).name} is {size} longer"


def direction_words(seam: Seam) -> str:
    """Which way the second edge runs, and how that is known."""
    found = seam.matched
    way = "the other way" if found.reversed else "the same way"
    if found.direction == "names":
        return f"{seam.b.name} runs {way} as {seam.a.name}: the names of the marks tell it."
    if found.direction == "given":
        return f"{seam.b.name} runs {way} as {seam.a.name}, as you said."
    return (
        f"{seam.b.name} is taken to run {way} as {seam.a.name}: no names tell it. If it was walked "
        "from the other end, say so."
    )


def sentence(choice: SeamChoice, system: System = "mm") -> str:
    """How far a seam is out and what to do, in plain words.

    Parameters
    ----------
    choice : SeamChoice
        From `foamcalc.fit.seam.ways.choose_seam`.
    system : {"mm", "in"}
        Units to speak in.

    Examples
    --------
    >>> from foamcalc.fit.seam import SeamEdge, SeamSituation, choose_seam
    >>> from foamcalc.fit.stack import Piece
    >>> from foamcalc.foam.grades import foam
    >>> eva = Piece(thickness=10, law=foam("EVA medium"))
    >>> seam = Seam(a=SeamEdge(name="front", piece=eva, places=(0, 50, 100)),
    ...             b=SeamEdge(name="back", piece=eva, places=(0, 51.5, 102)))
    >>> print(sentence(choose_seam(seam, SeamSituation(already_cut=True))))
    From end to end back is 2 mm longer; the most is start to 1, back is 1.5 mm longer. Pin the \
marks and share it out: start to 1, stretch front 1 mm and squeeze back 1 mm.
    """
    return f"{how_far_out(choice.seam, system)} {what_to_do(choice.chosen, system)}"


def what_to_do(way: SeamWay, system: System = "mm") -> str:
    """What a way asks for, in one or two sentences."""
    if way.choice == "as cut":
        return "Glue it as it is, mark to mark."
    own = [a for a in way.amounts if a.what not in _SHARED]
    shared = [a for a in way.amounts if a.what in _SHARED]
    said = [begin(", ".join(amount_words(a, way.seam, system) for a in own)) + "."] if own else []
    if any(a.what == "move" for a in own):
        said.append("Move a mark only where nothing else meets it.")
    if shared:
        said.append(_sharing(way, shared, first=not own, system=system))
    return " ".join(said)


def begin(text: str) -> str:
    """A text with its first letter large."""
    return text[:1].upper() + text[1:]


def _sharing(way: SeamWay, shared: list[Amount], *, first: bool, system: System) -> str:
    """The sharing out, interval by interval, the largest difference first."""
    pins = [a for a in shared if a.what == "extra marks"]
    gives = [a for a in shared if a.what != "extra marks"]
    if not gives:
        return "What is left is less than a tape shows."
    lead = "Pin the marks and share it out" if first else "Share out what is left"
    if pins:
        more = ", ".join(f"{a.by:.0f} from {a.where}" for a in pins)
        lead = f"Add marks on both edges, evenly ({more}). {lead}"
    each = [
        (where, " and ".join(f"{a.what} {a.edge} {fine(a.by, system)}" for a in group))
        for where, group in groupby(gives, key=lambda a: a.where)
    ]
    if len(each) > 1 and len({words for _, words in each}) == 1:
        all_of_it = len(each) == len(way.seam.intervals.a)
        where = "from mark to mark" if all_of_it else " and ".join(where for where, _ in each)
        return f"{lead}: {where}, {each[0][1]}{'' if all_of_it else ' in each'}."
    told = "; ".join(f"{where}, {words}" for where, words in each[:_TOLD])
    return f"{lead}: {told}{'; the rest below' if len(each) > _TOLD else ''}."


def amount_words(amount: Amount, seam: Seam, system: System = "mm") -> str:
    """One number of a way in words, without a full stop."""
    by, edge, where = fine(abs(amount.by), system), amount.edge, amount.where
    ends = seam.a.labels[0], seam.a.labels[-1]
    if amount.what == "move":
        return f"move mark {where} on {edge} {by} towards {ends[int(amount.by > 0)]}"
    if amount.what in ("trim", "add"):
        end = ends[int(where == "end")]
        return (
            f"trim {by} off {edge} at {end}"
            if amount.what == "trim"
            else (f"add {by} to {edge} at {end}")
        )
    if amount.what == "dart":
        return f"cut a dart {by} wide into {edge}, halfway from {where}"
    if amount.what == "let in":
        return f"let a wedge {by} wide into {edge}, halfway from {where}"
    if amount.what == "stretch warm":
        return f"warm {edge} from {where}, stretch it by {by} and hold it till it is cool"
    if amount.what == "new length":
        return f"cut {edge} again: {format_length(amount.by, system=system)} from {where}"
    if amount.what == "extra marks":
        marks = "a mark" if amount.by == 1 else f"{amount.by:.0f} marks"
        return f"add {marks} from {where} on both edges, evenly"
    return f"{amount.what} {edge} by {by} from {where}"


def reasons(choice: SeamChoice, system: System = "mm") -> list[str]:
    """Why each way is good or not, one line each, in the order of the ranking."""
    lines = []
    for way in choice.ways:
        why = "; ".join(check_words(c, system) for c in _tightest(way)) or "nothing is strained"
        lines.append(f"{way.choice}: {'yes' if way.met else 'no'}; {why}")
    return lines


def _tightest(way: SeamWay) -> list[Check]:
    """Of each kind of check the one that decides: the farthest past its limit, or nearest to it."""
    found: dict[str, Check] = {}
    for check in way.checks:
        kind = check.what.partition(" of ")[0]
        if check.met == way.met and (kind not in found or _use(check) > _use(found[kind])):
            found[kind] = check
    return list(found.values())


def _use(check: Check) -> float:
    """How much of a limit is used; without end where nothing is allowed."""
    return abs(check.found) / check.limit.value if check.limit.value else float("inf")


def check_words(check: Check, system: System = "mm") -> str:
    """One number against its limit."""
    limit = check.limit
    if limit.unit == "mm":
        found, most = fine(check.found, system), fine(limit.value, system)
    else:
        found = f"{check.found:.1%}" if isfinite(check.found) else "without end"
        most = f"{100 * limit.value:.2g} %"
    return f"{check.what} {found} (limit {most}, {limit.basis})"


def marked(choice: SeamChoice) -> Seam:
    """The seam with its marks and ends where the chosen way puts them."""
    drawn_anew = {a.what for a in choice.chosen.amounts} & {"move", "trim", "add"}
    return choice.chosen.seam if drawn_anew else choice.seam


def between_head(choice: SeamChoice) -> str:
    """What stands over `interval_lines`."""
    then = "" if marked(choice) is choice.seam else " as they are then"
    return f"Between the marks{then}, the largest difference first"


def interval_lines(choice: SeamChoice, system: System = "mm") -> list[str]:
    """For each interval, the largest difference first, what is honest to do about it there.

    Parameters
    ----------
    choice : SeamChoice
        From `foamcalc.fit.seam.ways.choose_seam`.
    system : {"mm", "in"}
        Units to speak in.

    Returns
    -------
    list of str
        One line an interval, with mm and strain; of the seam as it is once marks are moved and
        ends trimmed or added to.
    """
    seam = marked(choice)
    between = seam.intervals
    past, pins = past_a_limit(seam, choice.limits), pins_needed(seam)
    lines = []
    for i in (int(i) for i in between.by_difference):
        d = float(between.difference[i])
        lead = f"{between.name(i)}:"
        if not between.unequal[i]:
            lines.append(f"{lead} fits.")
            continue
        lead = f"{lead} {_longer_words(seam, d, system)}."
        pulled = [
            f"{edge} {'stretched' if e > 0 else 'squeezed'} {abs(e):.1%}"
            for edge, e in zip(
                between.names, (between.strain_a[i], between.strain_b[i]), strict=True
            )
            if e
        ]
        if i not in past:
            more = f"; added marks between: {pins[i]}" if pins[i] else ""
            lines.append(f"{lead} Share it out: {', '.join(pulled)}{more}.")
        else:
            rest = _otherwise(choice, seam, i, system)
            lines.append(f"{lead} Too much to share out cold ({', '.join(pulled)}): {rest}.")
    return lines


def _otherwise(choice: SeamChoice, seam: Seam, i: int, system: System) -> str:
    """What is left for an interval that is too unequal to be shared out cold."""
    between = seam.intervals
    d = float(between.difference[i])
    by, long = abs(d), SIDES[int(d > 0)]
    short, size, found = other(long), fine(abs(d), system), []
    warm = warm_strain(seam, i)
    if not seam.edge(short).held:
        if warm <= choice.limits["warm"].value:
            found.append(f"stretch {seam.edge(short).name} warm by {size} ({warm:.1%} while warm)")
        if by >= choice.limits["let in"].value:
            found.append(f"let a wedge {size} wide into {seam.edge(short).name}")
    if not seam.edge(long).held and by >= choice.limits["dart"].value:
        legs, angle = dart_legs(seam, i)
        found.append(
            f"cut a dart {size} wide into {seam.edge(long).name}, its legs "
            f"{format_length(legs, system=system)} long ({format_angle(angle)}; it domes the piece)"
        )
    found.append("cut one edge again")
    return ", or ".join(found)
