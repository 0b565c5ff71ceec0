"""The sections of a shell: its short arcs gathered by stack, with the layers' natural lengths."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, fields, replace
from itertools import pairwise
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from foamcalc.fit.hold import Shape, hold, loads
from foamcalc.fit.shell import Shell, Spans
from foamcalc.fit.stack import needed_lengths
from foamcalc.foam.section import Layer, Settled, settle
from foamcalc.guards import positive
from foamcalc.shape.closure import Tie

Floats = NDArray[np.float64]


class Group(NamedTuple):
    """The arcs of a shell that have the same stack."""

    stack: tuple[int, ...]
    """Indices of the overlays, from the inside out."""
    arcs: NDArray[np.intp]
    """Indices of the arcs."""
    layers: tuple[Layer, ...]
    """Base and overlays, last axis: arc."""


@dataclass(frozen=True, eq=False)
class Sections:
    """All short arcs of a shell with their layers."""

    spans: Spans
    groups: tuple[Group, ...]

    @classmethod
    def of(
        cls, shell: Shell, cut_lengths: Sequence[ArrayLike], *, relaxed: float = 0.0
    ) -> Sections:
        """The sections as they are glued on the form."""
        spans = shell.spans()
        bare = _needed(shell, spans)  # as the layers lie in a section, without glue
        shares = [
            positive(cut, "cut length")[..., None] / shell.length_over(i)
            for i, cut in enumerate(cut_lengths)
        ]
        groups = []
        for stack in dict.fromkeys(spans.stacks):
            arcs = np.flatnonzero([s == stack for s in spans.stacks])
            inside, turns = spans.inside[arcs], spans.turns[arcs]
            pieces = [shell.base, *(shell.covers[i].piece for i in stack)]
            cuts = [needed_lengths(pieces[:1], inside_length=inside, turn=turns)[0]]
            cuts += [shares[i] * bare[i, arcs] for i in stack]
            layers = []
            bottom = 0.0
            for piece, cut in zip(pieces, cuts, strict=True):
                top = bottom + piece.thickness
                if (cut <= piece.fibre * piece.formed * piece.thickness * turns).any():
                    raise ValueError(
                        f"an overlay of {piece.thickness:g} mm is cut so short that it cannot be "
                        "formed to this curve; check the units of its cut length"
                    )
                layers.append(
                    piece.layer(cut, turns).relaxed(
                        inner_length=inside + bottom * turns,
                        outer_length=inside + top * turns,
                        share=relaxed,
                    )
                )
                bottom = top
            groups.append(Group(stack, arcs, tuple(layers)))
        return cls(spans, tuple(groups))

    def refined(self, *, at_least: int, joints: Sequence[float] = ()) -> Sections:
        """The same sections cut into more arcs, with joints at places along the curve [mm]."""
        old = self.spans.places
        finest = (old[-1] - old[0]) / at_least * (1 + 1e-9)
        places = [old[:1]]
        for a, b in pairwise(old):
            extra = sorted({x for x in joints if a + 1e-9 < x < b - 1e-9})
            for start, end in zip([a, *extra], [*extra, b], strict=True):
                count = int(np.ceil((end - start) / finest))
                places.append(np.linspace(start, end, count + 1)[1:])
        new = np.concatenate(places)
        owner = np.searchsorted(old, (new[:-1] + new[1:]) / 2) - 1
        share = np.diff(new) / np.diff(old)[owner]
        spans = Spans(
            new,
            self.spans.inside[owner] * share,
            self.spans.turns[owner] * share,
            tuple(self.spans.stacks[i] for i in owner),
        )
        groups = []
        for group in self.groups:
            arcs = np.flatnonzero(np.isin(owner, group.arcs))
            mine = np.searchsorted(group.arcs, owner[arcs])
            layers = tuple(
                replace(
                    layer,
                    thickness=_each(layer.thickness, group)[..., mine],
                    inner_length=_each(layer.inner_length, group)[..., mine] * share[arcs],
                    outer_length=_each(layer.outer_length, group)[..., mine] * share[arcs],
                )
                for layer in group.layers
            )
            groups.append(group._replace(arcs=arcs, layers=layers))
        return Sections(spans, tuple(groups))

    def settle(
        self, pull: Floats | None = None, moment: Floats | None = None, *, held: bool = False
    ) -> tuple[Settled, ...]:
        """The sections at rest under loads, or held in the turn they were meant to have."""
        found = []
        for group in self.groups:
            if held:
                found.append(settle(group.layers, turn=self.spans.turns[group.arcs]))
                continue
            loads = [0.0 if x is None else x[..., group.arcs] for x in (pull, moment)]
            found.append(settle(group.layers, pull=loads[0], moment=loads[1]))
        return tuple(found)

    def tied(
        self, tie: Callable[[Floats, Floats], Tie], target: Floats
    ) -> tuple[tuple[Settled, ...], Floats]:
        """The sections at rest with measures of their chain held, and the action of each tie."""
        spans = self.spans
        shape, action = hold(
            lambda pull, moment: self.shape(self.settle(pull, moment)),
            tie,
            target=target,
            lengths=spans.inside,
            turns=spans.turns,
        )
        settled = self.settle(*loads(tie(shape.lengths, shape.turns), action))
        if not shape.failed.any():
            return settled, action
        lost = shape.failed[..., :1]
        masked = tuple(_masked(rest, lost) for rest in settled)
        return masked, np.where(lost[..., 0], np.nan, action)

    def shape(self, settled: Sequence[Settled]) -> Shape:
        """Lengths, turns and stiffness of all arcs, in order along the shell."""
        return Shape(
            self.gathered([rest.inner_length for rest in settled]),
            self.gathered([rest.turn for rest in settled]),
            np.stack([self.gathered([rest.stiffness[i] for rest in settled]) for i in range(3)]),
            self.gathered([rest.failed for rest in settled]).astype(bool),
        )

    def gathered(self, values: Sequence[ArrayLike]) -> Floats:
        """Values by group as one array along the shell, last axis: arc; NaN where masked."""
        plain = [np.ma.filled(np.asanyarray(x, dtype=float), np.nan) for x in values]
        lead = np.broadcast_shapes(*(x.shape[:-1] for x in plain))
        whole = np.full((*lead, self.spans.turns.size), np.nan)
        for group, value in zip(self.groups, plain, strict=True):
            whole[..., group.arcs] = value
        return whole

    def crept(self, settled: Sequence[Settled], share: float) -> Sections:
        """The sections after a share of the strain in this state has been forgotten."""
        groups = tuple(
            group._replace(layers=rest.relaxed(share))
            for group, rest in zip(self.groups, settled, strict=True)
        )
        return Sections(self.spans, groups)


def _each(value: Floats, group: Group) -> Floats:
    """A length or thickness of a layer for every arc of its group."""
    return np.broadcast_to(value, np.broadcast_shapes(value.shape, group.arcs.shape))


def _masked(rest: Settled, lost: NDArray[np.bool_]) -> Settled:
    """The settled sections with all cases masked that found no shape; last axis of all: arc."""
    found: dict[str, Any] = {
        f.name: np.ma.masked_where(np.broadcast_to(lost, value.shape), value)
        for f in fields(rest)
        if f.name not in ("layers", "failed")
        for value in [getattr(rest, f.name)]
    }
    return replace(rest, failed=rest.failed | lost, **found)


def _needed(shell: Shell, spans: Spans) -> Floats:
    """Length of each overlay's fibre on each arc, 0 where it does not act [mm]."""
    found = np.zeros((len(shell.covers), spans.turns.size))
    for stack in dict.fromkeys(spans.stacks):
        arcs = np.flatnonzero([s == stack for s in spans.stacks])
        pieces = [shell.base, *(shell.covers[i].piece for i in stack)]
        needed = needed_lengths(pieces, inside_length=spans.inside[arcs], turn=spans.turns[arcs])
        for row, i in enumerate(stack, 1):
            found[i, arcs] = needed[row]
    return found
