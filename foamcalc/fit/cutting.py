"""What a choice means for the knife: how long to cut, how much to leave on, what to warm."""

from __future__ import annotations

from foamcalc.fit.choice import Choice
from foamcalc.fit.limits import tape_reading
from foamcalc.tables import look_up
from foamcalc.units import System, format_length

__all__ = ["cut_again", "let_in", "long_words", "net_length", "spare", "too_long", "warmed"]


def long_words(choice: Choice, system: System = "mm") -> str:
    """How long to cut, with the spare said apart.

    Parameters
    ----------
    choice : Choice
        From `choose`.
    system : {"mm", "in"}
        Units to speak in.

    Returns
    -------
    str
        Such as "205 mm long (195 mm, and 10 mm at the free end to trim after gluing)".
    """
    net = net_length(choice)
    more = spare(choice)
    if not more:
        return f"{format_length(net, system=system)} long"
    each = format_length(more / choice.situation.free_ends, system=system)
    where = "at each end" if choice.situation.free_ends == 2 else "at the free end"
    return (
        f"{format_length(net + more, system=system)} long "
        f"({format_length(net, system=system)}, and {each} {where} to trim after gluing)"
    )


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
