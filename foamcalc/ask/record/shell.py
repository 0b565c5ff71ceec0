"""What a try-on teaches about a shell: how far its base keeps its curve, and what it forgets."""

from __future__ import annotations

from dataclasses import dataclass
from math import degrees

from foamcalc.ask.record.bodies import Body, Sizes
from foamcalc.ask.record.overlay import Judgement
from foamcalc.units import System, format_length


def judge_release(body: Body, happened: float, *, error: float, system: System) -> Judgement:
    """What the mouth or girth when let go says about how far the base keeps its curve."""
    if abs(happened - body.size) <= error:
        return _formed(body, True, "It agrees to what a tape can tell: nothing to change.")
    if body.unmeasured:
        return _turn(body)
    implied = body.by_formed.share_of(happened)
    if implied is None:
        return _formed(
            body,
            False,
            f"However far its base keeps its curve, the {body.word} "
            f"{_reach(body.by_formed, system)}: that is not what was off. Measure the overlays as "
            f"cut, and what the {body.word} was before gluing, again.",
        )
    low, high = body.by_formed.give(implied, error)
    return _formed(
        body,
        False,
        f"Its base keeps {implied:.0%} of its curve by itself ({low:.0%} to {high:.0%} by your "
        f"tape), not {body.formed:.0%} ({_basis(body)}). Write {body.key} = {implied:.2f} in "
        f"{body.place}.",
        implied,
        (low, high),
    )


def _reach(sizes: Sizes, system: System) -> str:
    least, most = (format_length(x, system=system) for x in sizes.reach)
    return f"would be {least}" if least == most else f"would be from {least} to {most}"


def _turn(body: Body) -> Judgement:
    """The mouth of a base whose turn nobody measured was never known."""
    return Judgement(
        agrees=False,
        default="turn",
        value=degrees(body.rest.shell.curve.turn),
        unit="deg",
        basis="assumed" if body.unmeasured.endswith("assumed") else "derived",
        sentence=(
            f"The turn of the base was not measured ({body.unmeasured}), so its mouth before "
            "gluing was not known: nothing is learned about how far it keeps its curve. Write "
            f"turn, or mouth as it was before gluing, in {body.place}."
        ),
    )


def _basis(body: Body) -> str:
    """What `formed` rests on: the two ends of its range are what a sheet assumes."""
    return "assumed" if body.formed in (0.0, 1.0) else "your own"


def _formed(
    body: Body,
    agrees: bool,
    sentence: str,
    implied: float | None = None,
    give: tuple[float, float] | tuple[None, None] = (None, None),
) -> Judgement:
    return Judgement(
        agrees=agrees,
        default="formed",
        value=body.formed,
        unit="1",
        basis=_basis(body),
        implied=implied,
        low=give[0],
        high=give[1],
        sentence=sentence,
    )


@dataclass(frozen=True, kw_only=True)
class Released:
    """A mouth or girth that was noted when the shell was let go."""

    size: float
    """In mm."""
    judgement: Judgement


def judge_night(
    body: Body, happened: float, released: Released | None, *, error: float, system: System
) -> Judgement:
    """What the mouth or girth on the next day says about the share that is forgotten."""
    if body.strap is None:
        return _free_night(body, happened, released, error, system)
    start = body
    if released is not None and not released.judgement.agrees:
        if released.judgement.implied is None:
            return _relaxes(
                body,
                False,
                f"The {body.word} was not as predicted when it was let go, and it is not known "
                "why: what it did overnight cannot be told apart from that.",
            )
        start = body.with_formed(released.judgement.implied)
    return _strapped_night(body, start, happened, error, system)


def _strapped_night(
    body: Body, start: Body, happened: float, error: float, system: System
) -> Judgement:
    """A night with a strap, from the shell as it was when let go."""
    usual = 0.0 if body.relaxes is None else body.relaxes
    try:
        nights = start.by_relaxes
    except (ValueError, ArithmeticError):
        return _relaxes(
            body,
            False,
            f"With its {body.word} as it was when let go no strap brings it back: nothing can be "
            "told about the night.",
        )
    least, most = nights.reach
    if most - least <= error:
        return _relaxes(
            body,
            abs(happened - body.next_size) <= error,
            f"The strap hardly changes this {body.word}: nothing is learned about relaxes.",
        )
    if abs(happened - nights.size_of(usual)) <= error:
        since = "" if start is body else f", from the {body.word} as it was when let go"
        return _relaxes(body, True, f"It agrees to what a tape can tell{since}: nothing to change.")
    implied = nights.share_of(happened)
    if implied is None:
        return _relaxes(
            body,
            False,
            f"However much the foam forgets, the {body.word} {_reach(nights, system)}: that is not "
            "what was off. See whether the strap held and the glue crept, and note the "
            f"{body.word} when let go as well.",
        )
    low, high = nights.give(implied, error)
    percent = min(round(100 * implied), 99)  # a sheet takes less than all of it
    instead = "nothing (the sheet has no relaxes)"
    if body.relaxes is not None:
        instead = f"{body.relaxes:.0%} (your sheet)"
    return _relaxes(
        body,
        False,
        f"Strapped overnight the foam forgets {implied:.0%} of its stress ({low:.0%} to {high:.0%} "
        f'by your tape), not {instead}. Write relaxes = "{percent} %" at its foam, '
        f"{body.foam}.",
        implied,
        (low, high),
    )


def _free_night(
    body: Body, happened: float, released: Released | None, error: float, system: System
) -> Judgement:
    """Left free overnight all strains fade alike, and the shape hardly tells how much."""
    nothing = "Left free overnight its shape hardly depends on relaxes: nothing is learned about it"
    if released is None:
        agrees = abs(happened - body.next_size) <= error
        more = (
            "."
            if agrees
            else f". Note the {body.word} when let go as well: without it nobody can tell whether "
            "it moved overnight."
        )
        return _relaxes(body, agrees, nothing + more)
    moved = happened - released.size - (body.next_size - body.size)
    if abs(moved) <= error:
        return _relaxes(
            body, True, f"{nothing}. It did not move overnight by more than a tape tells."
        )
    return _relaxes(
        body,
        False,
        f"{nothing}. It {_moved(body, moved)} by {format_length(abs(moved), system=system)} "
        "overnight, which foam alone does not do: the glue crept, or a piece slipped. Look at the "
        "ends and the seams.",
    )


def _moved(body: Body, by: float) -> str:
    words = ("grew", "shrank") if body.rest.closed else ("opened", "closed")
    return words[0] if by > 0 else words[1]


def _relaxes(
    body: Body,
    agrees: bool,
    sentence: str,
    implied: float | None = None,
    give: tuple[float, float] | tuple[None, None] = (None, None),
) -> Judgement:
    return Judgement(
        agrees=agrees,
        default="relaxes",
        value=0.0 if body.relaxes is None else body.relaxes,
        unit="1",
        basis="assumed" if body.relaxes is None else "measured",
        implied=implied,
        low=give[0],
        high=give[1],
        sentence=sentence,
    )
