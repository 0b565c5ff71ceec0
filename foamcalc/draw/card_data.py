"""What a bench card says: plain words and profiles, checked; no plan, no mechanics."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import TYPE_CHECKING, Any

import numpy as np

from foamcalc.guards import non_negative, one_of, positive
from foamcalc.shape.profile import Profile
from foamcalc.units import System

if TYPE_CHECKING:
    from foamcalc.fit.advice import Step

_LISTS = ("reasons", "rests_on", "layers", "notes", "facts", "steps")
"""Fields that hold several texts, or pairs of them."""


@dataclass(frozen=True, kw_only=True)
class DrawnCover:
    """An overlay, or a part of it that lies at one height, over some arcs of a profile.

    Parameters
    ----------
    first, last : int
        Joints of the profile where it begins and ends. On a closed ring it may run over the
        start: then `last` is not above `first`.
    thickness : float
        Thickness [mm], above 0.
    height : float
        Height of its underside over the inside of the base [mm], 0 or more.
    number : int
        Number written beside it; 0 for none. Covers that follow each other with one number are
        drawn as one piece.
    """

    first: int
    last: int
    thickness: float
    height: float
    number: int = 0

    def __post_init__(self) -> None:
        for name in ("first", "last", "number"):
            value = getattr(self, name)
            whole = isinstance(value, int | np.integer) and not isinstance(value, bool)
            if not whole or value < 0:
                raise ValueError(
                    f"{name} of a cover must be a whole number of 0 or more, got {value!r}"
                )
        positive(self.thickness, "thickness of a cover")
        non_negative(self.height, "height of a cover")


@dataclass(frozen=True, kw_only=True)
class Strap:
    """A strap that holds two places of a profile together.

    Parameters
    ----------
    first, last : int
        Joints of the profile.
    text : str
        Words beside it, such as "strap 9 N".
    """

    first: int
    last: int
    text: str = "strap"


@dataclass(frozen=True, kw_only=True)
class Mark:
    """A place on a profile with words beside it, such as a butt seam.

    Parameters
    ----------
    at : int
        Joint of the profile.
    text : str
        The words, short.
    """

    at: int
    text: str


@dataclass(frozen=True, kw_only=True, eq=False)
class Section:
    """A section before and after: what `foamcalc.draw.shellview.shell_profile` draws.

    Parameters
    ----------
    before, after : Profile
        Inside of the base before gluing and when let go: one case each.
    thickness : float
        Thickness of the base [mm], above 0.
    covers : tuple of DrawnCover
        Overlays, in order of gluing. Their joints, and those of strap and marks, are those of
        `after`.
    next_day : Profile, optional
        Inside of the base a day later.
    closed : bool
        Whether it is a ring: then there is no mouth, and its width and height are measured.
    strap : Strap, optional
        A strap.
    marks : tuple of Mark
        Places with words.
    """

    before: Profile
    after: Profile
    thickness: float
    covers: tuple[DrawnCover, ...] = ()
    next_day: Profile | None = None
    closed: bool = False
    strap: Strap | None = None
    marks: tuple[Mark, ...] = ()

    def __post_init__(self) -> None:
        positive(self.thickness, "thickness of the base")
        for name in ("before", "after", "next_day"):
            profile = getattr(self, name)
            if profile is not None and profile.x.ndim != 1:
                raise ValueError(
                    f"{name} must hold one case to be drawn, got the shape {profile.x.shape}; "
                    "take one entry of its arrays"
                )
        for cover in self.covers:
            self._on_profile("cover", cover.first, cover.last)
            if cover.last <= cover.first and not self.closed:
                raise ValueError(
                    f"a cover must end behind its first joint {cover.first}, got {cover.last}; "
                    "only on a closed ring may it run over the start"
                )
        if self.strap is not None:
            self._on_profile("strap", self.strap.first, self.strap.last)
        for mark in self.marks:
            self._on_profile(f"mark {mark.text!r}", mark.at)

    def _on_profile(self, what: str, *joints: int) -> None:
        last = self.after.x.size - 1
        for joint in joints:
            if not 0 <= joint <= last:
                raise ValueError(
                    f"{what} must lie on the joints 0 to {last} of the profile, got {joint}"
                )


@dataclass(frozen=True, kw_only=True, eq=False)
class JointCard:
    """One joint on the card. Texts are in a maker's words, with their units.

    Parameters
    ----------
    name : str
        The piece.
    headline : str
        What to do, as short as it goes: "Cut it 215 mm long".
    foam : str
        Foam and thickness.
    by_how_much : str
        Short by, stretch.
    what_happens : str
        What the mouth or the girth does.
    reasons : tuple of str
        Why, one line a way.
    steps : tuple of Step
        Order of work, with cautions.
    rests_on : tuple of str
        What the answer rests on; assumed numbers are named.
    picture : Section, optional
        Before and after.
    """

    name: str
    headline: str
    foam: str = ""
    by_how_much: str = ""
    what_happens: str = ""
    reasons: tuple[str, ...] = ()
    steps: tuple[Step, ...] = ()
    rests_on: tuple[str, ...] = ()
    picture: Section | None = None

    def __post_init__(self) -> None:
        _said("joint", self, ("name", "headline"))


@dataclass(frozen=True, kw_only=True, eq=False)
class ShellCard:
    """One shell or ring on the card.

    Parameters
    ----------
    name : str
        The shell.
    picture : Section
        Before, when let go, next day; overlays, strap, seam.
    headline : str
        What it does, as short as it goes: "Mouth 240 → 251 mm".
    foam : str
        Foam and thickness.
    facts : tuple of (str, str)
        What is said and its value: ("mouth before", "240 mm").
    layers : tuple of str
        Overlays in order of gluing; the first is the number 1 of the picture's covers.
    steps : tuple of Step
        Order of work, with cautions.
    rests_on : tuple of str
        What the answer rests on.
    """

    name: str
    picture: Section
    headline: str = ""
    foam: str = ""
    facts: tuple[tuple[str, str], ...] = ()
    layers: tuple[str, ...] = ()
    steps: tuple[Step, ...] = ()
    rests_on: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        _said("shell", self, ("name",))


@dataclass(frozen=True, kw_only=True, eq=False)
class Card:
    """A bench card: the whole build.

    Parameters
    ----------
    title : str
        The build.
    joints : tuple of JointCard
        Widest trouble first.
    shells : tuple of ShellCard
        Shells and rings.
    notes : tuple of str
        What else must be known before work begins.
    rests_on : tuple of str
        What several of the answers rest on.
    system : {"mm", "in"}
        Units of the pictures.
    """

    title: str
    joints: tuple[JointCard, ...] = ()
    shells: tuple[ShellCard, ...] = ()
    notes: tuple[str, ...] = ()
    rests_on: tuple[str, ...] = ()
    system: System = "mm"

    def __post_init__(self) -> None:
        _said("card", self, ("title",))
        one_of(self.system, "system", ("mm", "in"))
        if not self.joints and not self.shells:
            raise ValueError(f"card {self.title!r} has no joint and no shell: nothing to print")


def _said(what: str, card: Any, needed: tuple[str, ...]) -> None:
    """Refuse a text that is no text, or has no words where words are needed."""
    which = "" if what == "card" else f" {card.name!r}"
    for field in fields(card):
        value = getattr(card, field.name)
        if field.name in _LISTS:
            if isinstance(value, str):
                raise ValueError(
                    f"{field.name} of {what}{which} must be a tuple of texts, got one text: "
                    f"write ({value!r},)"
                )
            texts = tuple(part for item in value for part in _parts(item))
        else:
            texts = (value,) if field.type == "str" else ()
        for text in texts:
            if not isinstance(text, str) or (field.name in needed and not text.strip()):
                raise ValueError(f"{field.name} of {what}{which} must be some words, got {text!r}")


def _parts(item: object) -> tuple[object, ...]:
    """The texts of a fact or a step; a text is itself."""
    return item if isinstance(item, tuple) else (item,)
