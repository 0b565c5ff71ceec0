"""A shell at rest: let go, strapped, closed into a ring, and what is left of it the next day."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import partial
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from foamcalc.fit.sections import Sections
from foamcalc.fit.shell import Floats, Shell
from foamcalc.foam.section import Settled
from foamcalc.guards import finite, non_negative, single
from foamcalc.shape.closure import between, closure, distance
from foamcalc.shape.profile import Profile, chain

_FINE = 60
"""Arcs of a shell whose load differs from place to place."""
_FULL = 2 * np.pi + 1e-9
"""Turn past which one arc cannot be drawn [rad]."""
_TOUCHING = 1e-3
"""Distance that is none [mm]: two places that a strap brings together."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Rest:
    """A shell in a shape it keeps, as from `at_rest`.

    Leading axes of its arrays are those of the cut lengths it was asked for.
    """

    shell: Shell
    sections: Sections = field(repr=False)
    settled: tuple[Settled, ...] = field(repr=False)
    """The sections at rest, one entry a stack."""
    strap: tuple[float, float] | None = None
    """Places between which a strap holds it [mm]."""
    force: Floats | float = 0.0
    """Pull in that strap [N], negative where it must be pushed apart."""

    @property
    def lengths(self) -> Floats:
        """Length of the base's inside, last axis: arc [mm]; NaN where no rest was found."""
        return self.sections.gathered([rest.inner_length for rest in self.settled])

    @property
    def turns(self) -> Floats:
        """Turn, last axis: arc [rad]; NaN where no rest was found."""
        return self.sections.gathered([rest.turn for rest in self.settled])

    @property
    def failed(self) -> NDArray[np.bool_]:
        """Which cases find no rest."""
        return np.asarray(self.sections.gathered([r.failed for r in self.settled]).any(-1))

    @property
    def closed(self) -> bool:
        """Whether the shell is a ring."""
        return self.shell.curve.closed

    @property
    def profile(self) -> Profile:
        """Inside of the base; an open one with both ends level, a ring about its middle."""
        return self.outlines(self._places)[1]

    @property
    def before(self) -> Profile:
        """Inside of the base as it was meant, placed like `profile`."""
        return self.outlines(self._places)[0]

    @property
    def _places(self) -> Floats:
        """Joints enough for a picture, along the curve [mm]."""
        places = self.sections.spans.places
        return np.union1d(places, np.linspace(places[0], places[-1], _FINE + 1))

    def outlines(self, places: ArrayLike) -> tuple[Profile, Profile]:
        """Inside of the base as it was meant and as it is, with joints where they are wanted."""
        spans, joints = self.sections.spans, finite(places, "places")

        def shared(values: Floats) -> Floats:
            known = np.concatenate([np.zeros((*values.shape[:-1], 1)), values.cumsum(-1)], axis=-1)
            found = [
                np.interp(joints, spans.places, row) for row in known.reshape(-1, known.shape[-1])
            ]
            return np.diff(np.reshape(found, (*values.shape[:-1], -1)), axis=-1)

        return (
            _placed(shared(spans.inside), shared(spans.turns), self.closed),
            _placed(shared(self.lengths), shared(self.turns), self.closed),
        )

    @property
    def size(self) -> Floats:
        """The mouth, between the two inside ends, or the girth inside a ring [mm]."""
        return _size(self.lengths, self.turns, self.closed)

    @property
    def size_before(self) -> float:
        """The same as it was meant [mm]."""
        spans = self.sections.spans
        return float(_size(spans.inside, spans.turns, self.closed))

    def strapped(
        self, *, places: tuple[float, float] | None = None, apart: float | None = None
    ) -> Rest:
        """The shell with a strap that holds two places of its inside at a distance."""
        if self.closed:
            raise ValueError("a ring has no ends to strap; its parts hold each other")
        near, far = self._between(places)
        sections = self.sections.refined(at_least=_FINE, joints=(near, far))
        spans = sections.spans
        start, stop = (int(np.argmin(np.abs(spans.places - x))) for x in (near, far))
        tie = partial(distance, start=start, stop=stop)
        if apart is None:
            target = np.hypot(*between(spans.inside, spans.turns, start=start, stop=stop).value)
        else:
            target = single(non_negative(apart, "apart"), "apart")
        if target > _TOUCHING:
            settled, action = sections.tied(tie, np.array([target]))
            force = -action[0]
        else:
            joined = partial(between, start=start, stop=stop)
            settled, action = sections.tied(joined, np.zeros(2))
            force = np.hypot(*action)
        return replace(self, sections=sections, settled=settled, strap=(near, far), force=force)

    def _between(self, places: tuple[float, float] | None) -> tuple[float, float]:
        length = self.shell.curve.length
        ends = finite((0.0, length) if places is None else places, "places of the strap")
        if ends.shape != (2,) or not (
            0 <= ends[0] < ends[1] - _TOUCHING and ends[1] <= length * (1 + 1e-9)
        ):
            raise ValueError(
                f"a strap must go from one place to a later one, from 0 to {length:.1f} mm along "
                f"the shell, got {ends.tolist()}"
            )
        return float(ends[0]), float(ends[1])

    def next_day(self, share: float) -> Rest:
        """The shell after a night in this state, its strap taken off.

        Natural lengths creep towards the present ones, each layer at both faces. A shell that
        was let go keeps its shape nearly, for all its strains fade alike; one that was strapped
        keeps a share of what the strap did.
        """
        return _let_go(self.shell, self.sections.crept(self.settled, share))

    def holding(self) -> tuple[Floats, Floats]:
        """Where and how hard the shell must be held to stay as it was meant."""
        places = self.sections.spans.places
        held = self.sections.settle(held=True)
        return (places[:-1] + places[1:]) / 2, self.sections.gathered([r.moment for r in held])

    def table(self) -> Any:
        """Least and most strain of each layer at its two faces (pandas, one case only)."""
        import pandas as pd

        if self.failed.ndim:
            raise ValueError("table() shows one case; ask with one cut length for each overlay")
        rows: dict[str, list[Floats]] = {}
        for group, rest in zip(self.sections.groups, self.settled, strict=True):
            names = ["base", *(self.shell.covers[i].name for i in group.stack)]
            for name, inner, outer in zip(names, rest.inner_strain, rest.outer_strain, strict=True):
                rows.setdefault(name, []).append(np.stack([inner, outer]))
        faces = {name: np.concatenate(found, axis=-1) for name, found in rows.items()}
        return pd.DataFrame(
            {
                f"{face} face, {word} [%]": [
                    100 * float(getattr(x[i], pick)()) for x in faces.values()
                ]
                for i, face in enumerate(("inner", "outer"))
                for word, pick in (("least", "min"), ("most", "max"))
            },
            index=list(faces),
        )


def at_rest(
    shell: Shell, *, cut_lengths: Sequence[ArrayLike] | None = None, relaxed: float = 0.0
) -> Rest:
    """What a shell does when it is let go after its overlays were glued on the form.

    Parameters
    ----------
    shell : Shell
        The shell. A ring is closed: it is held by its own seam.
    cut_lengths : sequence of array_like, optional
        Lengths of the overlays as cut [mm], other than the shell's own; arrays for many cases.
    relaxed : float
        Share of the strain that is forgotten on the form before it is let go, 0 to 1.

    Returns
    -------
    Rest

    Raises
    ------
    ValueError
        For a curve with corners, or a single case that strains its foam past the law's range.
    NoEquilibrium
        If a ring does not close.

    Notes
    -----
    Each overlay shares its stretch out evenly along its run. Arcs join without a kink. An open
    shell is free at its ends. In a ring the arcs load each other so that it closes: covered all
    round and evenly curved, its turn is simply given.

    An overlay builds up its pull towards its ends; it acts as if shorter there, on a base twice as
    thick by three quarters of its thickness. Against plane-stress finite elements (bases half to
    10 times as thick) openings then agree within 1 % and widths of rings within 0.1 %; a strap's
    pull within 2.5 %, on bases past 5 times as thick 5 %, for shear is left out. A base wider than
    its overlay is taken to strain evenly across its width: an overlay half as wide opens it by
    about 7 % less than is found, one a quarter as wide 13 % less (derived, own 3-D elements).

    Examples
    --------
    Half a turn of 10 mm, formed, with 5 mm cut like it all over:

    >>> from foamcalc.fit.shell import Cover
    >>> from foamcalc.fit.stack import Piece
    >>> from foamcalc.foam.law import Linear
    >>> from foamcalc.shape.curve import Arc
    >>> foam = Linear(1.5)
    >>> shell = Shell(base=Piece(thickness=10, law=foam, formed=1), curve=Arc(50, np.pi),
    ...               face="inside", covers=(Cover(piece=Piece(thickness=5, law=foam),
    ...                                            cut_length=55 * np.pi),))
    >>> rest = at_rest(shell)
    >>> print(f"{rest.size_before:.1f} to {rest.size:.1f} mm")
    100.0 to 159.0 mm
    """
    cuts = list(shell.cut_lengths()) if cut_lengths is None else list(cut_lengths)
    if len(cuts) != len(shell.covers):
        raise ValueError(
            f"cut_lengths must have one entry for each of the {len(shell.covers)} overlays, got "
            f"{len(cuts)}"
        )
    rest = _let_go(shell, Sections.of(shell, cuts, relaxed=relaxed))
    if rest.failed.ndim == 0:
        _check_sense(rest, cuts, mine=cut_lengths is None)
    return rest


def _check_sense(rest: Rest, cuts: Sequence[ArrayLike], *, mine: bool) -> None:
    """Raise ValueError for a single case of overlays that cannot be meant like this."""
    if rest.failed and mine:
        raise ValueError(
            f"no foam takes these stretches: {rest.shell.stretches(cuts)}; check the units of "
            "the cut lengths and of the curve"
        )
    turns = rest.turns
    if not rest.closed and (np.abs(turns) > _FULL).any():
        raise ValueError(
            f"let go, the shell curls up by {np.degrees(turns.sum()):.0f} deg, past a full turn, "
            f"with these stretches: {rest.shell.stretches(cuts)}; check the cut lengths"
        )


def _let_go(shell: Shell, sections: Sections) -> Rest:
    """The sections free at their ends, or closed into a ring."""
    if not shell.curve.closed:
        settled = sections.settle()
    elif sections.spans.turns.size == 1:
        settled = sections.settle(held=True)
    else:
        sections = sections.refined(at_least=_FINE)
        turn = float(sections.spans.turns.sum())
        settled, _ = sections.tied(closure, np.array([0.0, 0.0, turn]))
    return Rest(shell=shell, sections=sections, settled=settled)


def _size(lengths: Floats, turns: Floats, closed: bool) -> Floats:
    """Mouth or girth [mm]; NaN where a case found no rest, or curls up past a full turn."""
    good = (np.abs(turns) <= _FULL).all(-1)
    found = np.full(good.shape, np.nan)
    if good.any():
        inside = lengths[good]
        found[good] = inside.sum(-1) if closed else chain(inside, turns[good]).mouth
    return found


def _placed(lengths: Floats, turns: Floats, closed: bool) -> Profile:
    found = chain(lengths, turns)
    return found.centred() if closed else found.levelled()
