"""The bench card: what to do first, a block for each joint, a page for each shell, as a PDF."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from foamcalc.ask.lines import SAFE
from foamcalc.draw.blocks import HANG, Beside, Block, Column, Picture, Rule, Ticked
from foamcalc.draw.card_data import Card, JointCard, Section, ShellCard
from foamcalc.draw.flow import Part, Story, flow
from foamcalc.draw.footed import (
    FOOT,
    MARGIN,
    NOT_TRUE,
    continued,
    fitted_picture,
    footed_pages,
    on_one_page,
)
from foamcalc.draw.lettering import own_style, width
from foamcalc.draw.paper import Paper, paper_size
from foamcalc.draw.setter import BODY, LARGE, TITLE, Setter
from foamcalc.draw.shellview import shell_profile
from foamcalc.units import System

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

_JOINT_PICTURE, _JOINT_RING_HIGH = (86.0, 60.0), 78.0
"""Width and height of the picture of a joint, and its height on a ring [mm]."""
_SHELL_HIGH, _RING_HIGH = 92.0, 108.0
"""Height of the picture of a shell, and of a ring [mm]."""


def bench_card(card: Card, *, paper: Paper = "A4") -> list[Figure]:
    """Make the bench card: pages to hang up where the work is done.

    The first page lists every joint and shell with the page it is on. A joint that fits on what
    is left of a page goes there, else it begins a new one; a step and its caution are never on
    two pages. Signs that the typeface does not have are printed as □.
    """
    across, up = paper_size(paper)
    setter = Setter(across - 2 * MARGIN, card.system)
    tall = up - MARGIN - FOOT
    rule = Rule(setter.wide, 2.2)
    with own_style():
        stories = [
            *(
                on_one_page(setter, tall, partial(_joint, joint=j, alone=i == 0))
                for i, j in enumerate(card.joints)
            ),
            *(on_one_page(setter, tall, partial(_shell, shell=shell)) for shell in card.shells),
            *_grounds(setter, card),
        ]
        after, starts = flow(stories, tall=tall, divider=rule, apart=5.0)
        # The room kept for the number of a page is one width, so the front is as long either way.
        front, _ = flow([_front(setter, card, starts)], tall=tall, divider=rule, apart=5.0)
        numbers = [len(front) + start + 1 for start in starts]
        front, _ = flow([_front(setter, card, numbers)], tall=tall, divider=rule, apart=5.0)
        return footed_pages((across, up), [*front, *after], foot=card.title, title="Bench card")


def _front(setter: Setter, card: Card, pages: Sequence[int]) -> Story:
    """Title, what is to be done first, the shells, the notes."""
    title = setter.words(card.title, TITLE, bold=True)
    under = setter.words(f"Bench card. {NOT_TRUE} Measure with a tape.")
    parts = [Part(Column((title, under, Rule(setter.wide, 2.2)), 1.0), 0.0)]
    rows: list[tuple[str, Block]] = []
    for joint, page in zip(card.joints, pages, strict=False):
        do = (joint.headline, joint.by_how_much, joint.foam)
        rows.append(("To do, the widest trouble first", _entry(setter, joint.name, do, page)))
    for shell, page in zip(card.shells, pages[len(card.joints) :], strict=False):
        does = (shell.headline, shell.foam)
        entry = _entry(setter, shell.name, does, page, box=bool(shell.steps))
        rows.append(("Shells, let go", entry))
    seen: set[str] = set()
    for head, row in rows:
        block = row if head in seen else Column((setter.head(head), row), 2.0)
        parts.append(Part(block, 3.0 if head in seen else 5.0))
        seen.add(head)
    parts += setter.listed("Before you begin", (*card.notes, SAFE))
    return Story(f"card {card.title!r}", tuple(parts), continued(setter, card.title))


def _entry(setter: Setter, name: str, what: Sequence[str], page: int, *, box: bool = True) -> Block:
    """One piece on the first page: a box to tick, its name, what to do, and its page."""
    aside = width("page 000", points=BODY)
    inner = setter.narrow(HANG)
    named = inner.narrow(aside + 2.0).words(name, 15.0, bold=True)
    where = f"page {page}"
    line = Beside(named, inner.words(where), inner.wide - width(where, points=BODY))
    said = inner.words(" · ".join(w for w in what if w.strip()))
    block = Column((line, said) if said.lines != ("",) else (line,), 0.2)
    return Ticked(block) if box else Beside(Column(()), block, HANG)


def _grounds(setter: Setter, card: Card) -> list[Story]:
    """What several answers rest on, once for all of them, on what is left of the last page."""
    if not card.rests_on:
        return []
    title = "What the answers rest on"
    parts = setter.listed(title, card.rests_on)
    return [Story(f"grounds of {card.title!r}", tuple(parts), continued(setter, title))]


def _joint(setter: Setter, joint: JointCard, alone: bool) -> Story:
    """One joint: what to do, by how much, what comes of it, why, in which order."""
    head = setter.named(joint.name, joint.foam)
    parts = [
        Part(Column((head, setter.what_to_do(joint.headline)), 1.0), 0.0),
        *_what_comes(setter, joint),
        *setter.steps(joint.steps),
        *setter.listed("Why", joint.reasons),
        *setter.rests_on(joint.rests_on),
    ]
    return Story(f"joint {joint.name!r}", tuple(parts), continued(setter, joint.name), alone)


def _what_comes(setter: Setter, joint: JointCard) -> list[Part]:
    """By how much and what happens, beside the picture if there is one."""
    less = 0.0 if joint.picture is None else _JOINT_PICTURE[0] + 4.0
    beside = setter.narrow(less)
    said: list[Block] = []
    if joint.by_how_much.strip():
        said.append(beside.words(joint.by_how_much, LARGE, bold=True))
    if joint.what_happens.strip():
        said.append(beside.words(joint.what_happens, 14.0))
    if joint.picture is None:
        return [setter.part(Column(tuple(said), 2.0), 3.0)] if said else []
    said.append(beside.words(_legend(joint.picture)))
    wide, high = _JOINT_PICTURE[0], _JOINT_RING_HIGH if joint.picture.closed else _JOINT_PICTURE[1]
    picture = _picture(joint.picture, (wide, setter.high(high)), setter.system)
    return [setter.part(Beside(picture, Column(tuple(said), 2.5), less), 3.0)]


def _shell(setter: Setter, shell: ShellCard) -> Story:
    """One shell: its profile, its numbers, what it rests on."""
    head = [setter.named(shell.name, shell.foam)]
    if shell.headline.strip():
        head.append(setter.what_to_do(shell.headline))
    size = (setter.wide, setter.high(_RING_HIGH if shell.picture.closed else _SHELL_HIGH))
    picture = _picture(shell.picture, size, setter.system)
    drawn = Column((picture, setter.words(_legend(shell.picture))))
    parts = [Part(Column(tuple(head), 1.0), 0.0), setter.part(drawn, 3.0)]
    label = 0.42 * setter.wide
    for i, (name, value) in enumerate(shell.facts):
        words = replace(setter, wide=label - 4.0).words(name)
        fact = Beside(words, setter.narrow(label).words(value, bold=True), label)
        parts.append(setter.part(fact, 1.0 if i else 4.0))
    parts += setter.listed("Overlays, in order of gluing", shell.layers, numbered=True)
    parts += setter.steps(shell.steps)
    parts += setter.rests_on(shell.rests_on)
    return Story(f"shell {shell.name!r}", tuple(parts), continued(setter, shell.name), True)


def _picture(section: Section, size: tuple[float, float], system: System) -> Picture:
    def draw(ax: Axes, fontsize: float) -> None:
        shell_profile(ax, **vars(section), system=system, fontsize=fontsize)

    return fitted_picture(size, draw)


def _legend(section: Section) -> str:
    said = "dashed: before gluing; filled: let go"
    return said if section.next_day is None else f"{said}; dotted: next day"
