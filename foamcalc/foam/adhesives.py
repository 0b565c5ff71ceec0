"""Adhesives by their names in the reference tables, and what may follow what."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Literal, NamedTuple

from foamcalc.guards import one_of
from foamcalc.tables import Entry, load, look_up, subjects

__all__ = ["ORDER", "Adhesive", "MayFollow", "adhesive", "adhesive_named", "may_follow"]

ORDER = ("mark", "punch", "bevel", "warm forming", "dry fit", "glue", "trim", "hot car")
"""Steps of work in the order in which they are best done, and what a hot day does after them."""


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

    def describe(self) -> list[str]:
        """Every number in one plain line with what it rests on."""
        return [entry.describe() for entry in self.entries]

    def basis(self, quantity: str) -> str:
        """What one of its numbers rests on, such as that of "open_time"."""
        return next(entry.basis for entry in self.entries if entry.quantity == quantity)

    @property
    def gives_vapour(self) -> bool:
        """Whether it gives off vapour that catches fire."""
        return "vapour" in self.caution

    def warmed(self, step: Literal["warm forming", "hot car"]) -> MayFollow:
        """Whether its joint may be warmed in this way, why, and what that rests on."""
        name = f"{self.name[:1].upper()}{self.name[1:]}"
        if self.lets_go is not None:
            reason = f"{name} lets go near {self.lets_go:g} °C."
            return MayFollow("no", reason, self.basis("lets_go_temperature"))
        if step == "warm forming" and not self.forms_after:
            reason = f"{name} does not stand forming heat."
            return MayFollow("no", reason, self.basis("warm_forming_afterwards"))
        if step == "hot car" and self.creeps_warm:
            reason = "What is pulled lifts slowly on a warm day."
            return MayFollow("with care", reason, self.basis("creeps_in_peel_when_warm"))
        if step == "warm forming" and self.gives_vapour:
            return _VAPOUR
        return _YES


def adhesive(name: str, *, where: str | Path | None = None) -> Adhesive:
    """An adhesive of adhesives.csv.

    Parameters
    ----------
    name : str
        For example "contact adhesive" or "hot glue", or what makers call them.
    where : path, optional
        Folder with your own copy of the tables.

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
    if name not in subjects("adhesives", where=where):
        name = adhesive_named(name)
    found = {
        q: look_up("adhesives", name, q, where=where)
        for q in ("grab_at_one_touch", "open_time", "set_time", "bead_thickness")
    }
    for entry in load("adhesives", where=where):
        if entry.subject == name:
            found[entry.quantity] = entry  # the lowest row counts
    warm = found.get("lets_go_temperature")
    return Adhesive(
        name=name,
        grabs=_yes(found, "grab_at_one_touch"),
        open_time=found["open_time"].in_unit("min"),
        set_time=found["set_time"].in_unit("min"),
        bead=found["bead_thickness"].in_unit("mm"),
        lets_go=None if warm is None else warm.in_unit("degC"),
        creeps_warm=_yes(found, "creeps_in_peel_when_warm"),
        forms_after="warm_forming_afterwards" not in found
        or _yes(found, "warm_forming_afterwards"),
        caution=found["open_time"].note.partition(". ")[2],
        entries=tuple(found.values()),
    )


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


def _yes(found: dict[str, Entry], quantity: str) -> bool:
    """Whether a yes-or-no row is there and says yes."""
    return quantity in found and found[quantity].in_unit("1") == 1


class MayFollow(NamedTuple):
    """Whether a step may follow another, why, and what that rests on."""

    answer: Literal["yes", "with care", "no"]
    reason: str
    basis: str


_YES = MayFollow("yes", "Nothing speaks against it.", "common practice")
_VAPOUR = MayFollow(
    "with care",
    "Solvent vapour catches fire at hot tools: air the room and wait till no smell is left. "
    "And warmth lets the glue creep: strap the joint.",
    "common practice",
)
_WARM: tuple[Literal["warm forming", "hot car"], ...] = ("warm forming", "hot car")
_WORST = ("yes", "with care", "no")


def may_follow(
    step: str, after: str | Sequence[str], *, where: str | Path | None = None
) -> MayFollow:
    """Whether a step of work may come after what has been done.

    Rows of adhesives.csv decide on warmth. For the rest the order of work is common practice: a
    step that comes late is not forbidden, but needs care.
    """
    glues = subjects("adhesives", where=where)
    known = (*(s for s in ORDER if s != "glue"), *glues)
    one_of(step, "step", known)
    done = (after,) if isinstance(after, str) else tuple(after)
    worst = _YES
    for name in done:
        one_of(name, "step done", known)
        answer = _after_one(step, name, glues, where)
        if _WORST.index(answer.answer) > _WORST.index(worst.answer):
            worst = answer
    return worst


def _after_one(step: str, after: str, glues: Sequence[str], where: str | Path | None) -> MayFollow:
    if after in glues:
        warmth = _warm_after(step, adhesive(after, where=where), glues, where)
        if warmth is not _YES:
            return warmth
    if step == "punch":  # a hole punched after gluing stays round and where it belongs
        return _YES
    places = [ORDER.index("glue" if name in glues else name) for name in (step, after)]
    if places[0] >= places[1]:
        return _YES
    reason = f"{step} is best done before {after}: going back costs fit. Try it on an offcut first."
    return MayFollow("with care", reason, "common practice")


def _warm_after(
    step: str, glue: Adhesive, glues: Sequence[str], where: str | Path | None
) -> MayFollow:
    """What warmth does to a glued joint: heat, a hot day, or another glue that comes hot."""
    for warm in _WARM:
        if step == warm:
            return glue.warmed(warm)
    other = step in glues and step != glue.name
    hot = other and adhesive(step, where=where).lets_go is not None
    return _VAPOUR if hot and glue.gives_vapour else _YES
