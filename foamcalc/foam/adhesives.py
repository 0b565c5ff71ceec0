"""Adhesives by their names in the reference tables, and what warmth does to their joints."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal, NamedTuple

from foamcalc.tables import Entry, load, look_up, subjects

__all__ = ["Adhesive", "MayFollow", "adhesive", "adhesive_named"]

_WORDS = {
    "contact adhesive": ("contact cement", "contact glue", "neoprene glue"),
    "hot glue": ("hot melt", "hot melt glue", "hotmelt", "glue gun", "hot glue gun"),
}
"""What makers call the rows of adhesives.csv."""
_UNKNOWN = {
    "super glue": ("superglue", "ca", "ca glue", "cyanoacrylate", "instant glue"),
    "spray adhesive": ("spray glue",),
    "white glue": ("wood glue", "pva", "pva glue"),
    "epoxy": ("epoxy glue", "two part glue"),
    "double-sided tape": ("double sided tape", "tape"),
}
"""Glues that makers have of which nothing is known here."""


class MayFollow(NamedTuple):
    """Whether a step may follow another, why, and what that rests on."""

    answer: Literal["yes", "with care", "no"]
    reason: str
    basis: str


@dataclass(frozen=True, kw_only=True)
class Adhesive:
    """An adhesive as the bench knows it; times and temperatures differ from product to product."""

    name: str
    grabs: bool
    """Whether what touches is fixed at once, so that the foam cannot slide to share out a gap."""
    open_time: float
    """Time after it was put on in which the faces still bond [min]."""
    set_time: float
    """Time to full strength [min]."""
    bead: float
    """Thickness that it adds to the stack, lifting the layer above [mm]."""
    lets_go: float | None
    """Temperature at which a loaded joint lets go [degC], None where none is known."""
    creeps_warm: bool
    """Whether a pulled end is known to lift slowly on a warm day."""
    forms_after: bool
    """Whether the joint may be formed warm afterwards."""
    caution: str
    """What can hurt, in a maker's words."""
    entries: tuple[Entry, ...] = field(repr=False)
    """The rows that all this rests on."""

    def basis(self, quantity: str) -> str:
        """What one of its numbers rests on, such as that of "open_time"."""
        return next(entry.basis for entry in self.entries if entry.quantity == quantity)

    def warmed(self, step: Literal["warm forming", "hot car"]) -> MayFollow:
        """Whether its joint may be warmed in this way, why, and what that rests on."""
        if self.lets_go is not None:
            reason = f"{self._said} lets go near {self.lets_go:g} °C."
            return MayFollow("no", reason, self.basis("lets_go_temperature"))
        if step == "warm forming" and not self.forms_after:
            reason = f"{self._said} does not stand forming heat."
            return MayFollow("no", reason, self.basis("warm_forming_afterwards"))
        if step == "hot car" and self.creeps_warm:
            reason = "What is pulled lifts slowly on a warm day."
            return MayFollow("with care", reason, self.basis("creeps_in_peel_when_warm"))
        if step == "warm forming" and "vapour" in self.caution:
            reason = (
                "Solvent vapour catches fire at hot tools: air the room and wait till no smell is "
                "left. And warmth lets the glue creep: strap the joint."
            )
            return MayFollow("with care", reason, "common practice")
        return MayFollow("yes", "Nothing speaks against it.", "common practice")

    @property
    def _said(self) -> str:
        return f"{self.name[:1].upper()}{self.name[1:]}"


def adhesive(name: str) -> Adhesive:
    """An adhesive of adhesives.csv.

    Parameters
    ----------
    name : str
        For example "contact adhesive" or "hot glue", or what makers call them.

    Returns
    -------
    Adhesive

    Raises
    ------
    ValueError
        For a name or a row that is not in the table; the nearest name is suggested.

    Examples
    --------
    >>> hot = adhesive("hot glue")
    >>> print(f"bead {hot.bead} mm, lets go near {hot.lets_go:g} degC")
    bead 0.5 mm, lets go near 70 degC
    >>> adhesive("contact adhesive").grabs
    True
    """
    if name not in subjects("adhesives"):
        name = adhesive_named(name)
    needed = ("grab_at_one_touch", "open_time", "set_time", "bead_thickness")
    found = {quantity: look_up("adhesives", name, quantity) for quantity in needed}
    for entry in load("adhesives"):
        if entry.subject == name:
            found[entry.quantity] = entry  # the lowest row counts
    warm = found.get("lets_go_temperature")

    def yes(quantity: str, *, left_out: bool = False) -> bool:
        return found[quantity].in_unit("1") == 1 if quantity in found else left_out

    return Adhesive(
        name=name,
        grabs=yes("grab_at_one_touch"),
        open_time=found["open_time"].in_unit("min"),
        set_time=found["set_time"].in_unit("min"),
        bead=found["bead_thickness"].in_unit("mm"),
        lets_go=None if warm is None else warm.in_unit("degC"),
        creeps_warm=yes("creeps_in_peel_when_warm"),
        forms_after=yes("warm_forming_afterwards", left_out=True),
        caution=found["open_time"].note.partition(". ")[2],
        entries=tuple(found.values()),
    )


def adhesive_named(word: str) -> str:
    """The row of adhesives.csv that a maker means by a word."""
    said = " ".join(word.casefold().replace("-", " ").split())
    for name, words in _WORDS.items():
        if said in (name, *words):
            return name
    for name, words in _UNKNOWN.items():
        if said in (name.replace("-", " "), *words):
            raise ValueError(
                f"nothing is known here of {name}: no open time, no bead, no strength. Choose the "
                f"nearest of {', '.join(map(repr, subjects('adhesives')))}, hang a weight on an "
                "offcut glued with yours, and say what it held"
            )
    return word
