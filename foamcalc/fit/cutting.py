"""What a choice means for the knife: how long to cut, how much to leave on, what to warm."""

from __future__ import annotations

from foamcalc.fit.choice import Choice
from foamcalc.fit.limits import tape_reading
from foamcalc.fit.overlay import Overlay
from foamcalc.tables import look_up
from foamcalc.units import System, format_length, rounded

__all__ = [
    "cut_again",
    "let_in",
    "let_in_words",
    "long_words",
    "needed_shown",
    "net_length",
    "spare",
    "too_long",
    "warmed",
]


def needed_shown(joint: Overlay, system: System = "mm") -> float:
    """Length needed as it is written beside the cut and the gap [mm], so that the three add up."""
    return rounded(joint.cut_length, system=system) + rounded(joint.gap, system=system)


def long_words(choice: Choice, system: System = "mm") -> str:
    """How long to cut, with the spare said apart."""
    net, ends = rounded(net_length(choice), system=system), choice.situation.free_ends
    each = rounded(spare(choice) / ends, system=system) if ends else 0.0
    off = net - rounded(choice.joint.needed_length, system=system)
    size = format_length(abs(off), system=system)
    said = [format_length(net, system=system)] if each else []
    if off < 0:
        said.append(f"{size} under what it needs so that it hugs")
    elif off > 0:
        said.append(f"{size} over what it needs because it shrinks as it cools")
    if each:
        where = "at each end" if ends == 2 else "at the free end"
        said.append(f"and {format_length(each, system=system)} {where} to trim after gluing")
    long = f"{format_length(net + ends * each, system=system)} long"
    return f"{long} ({', '.join(said)})" if said else long


def net_length(choice: Choice) -> float:
    """Length to cut without the spare [mm]; to be formed warm it is cut for the shrinking."""
    warm = choice.choice == "form warm" and (cut_again(choice) or too_long(choice))
    return choice.chosen.outcome.cut_length if warm else choice.planned_length


def too_long(choice: Choice) -> bool:
    """Whether it must be trimmed: by more than a tape reading."""
    return choice.joint.gap < -tape_reading()


def cut_again(choice: Choice) -> bool:
    """Whether the overlay is cut new, so that spare can be left on."""
    longer = choice.chosen.outcome.cut_length > choice.joint.cut_length
    return longer and choice.choice in ("cut longer", "form warm")


def let_in(choice: Choice) -> float:
    """Length of the piece to let in [mm]."""
    return choice.planned_length - choice.joint.cut_length


def let_in_words(choice: Choice, system: System = "mm") -> str:
    """How long a piece to let in, and why it is not as long as the gap."""
    piece = rounded(let_in(choice), system=system)
    less = rounded(choice.joint.gap, system=system) - piece
    hug = (
        f" ({format_length(less, system=system)} under the gap so that it hugs)" if less > 0 else ""
    )
    return f"{format_length(piece, system=system)} long{hug}"


def spare(choice: Choice) -> float:
    """Length to leave on at the free ends together [mm]; 0 where the overlay is not cut new."""
    if not cut_again(choice):
        return 0.0
    each = look_up("limits", "habit", "spare_at_free_end").in_unit("mm")
    return choice.situation.free_ends * each


def warmed(choice: Choice) -> str:
    """What is formed warm: the overlay, or base and overlay."""
    both = choice.chosen.glued.base.formed > choice.joint.base.formed
    return "base and overlay" if both else "the overlay"
