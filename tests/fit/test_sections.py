"""The sections of a shell: natural lengths, refining, groups, and arcs gathered in order."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from foamcalc.fit.sections import Sections
from foamcalc.fit.shell import Cover, Shell
from foamcalc.fit.stack import Piece
from foamcalc.foam.law import HyperFoam, Linear
from foamcalc.foam.section import settle
from foamcalc.shape.curve import Arc
from foamcalc.shape.ellipse import Ellipse

PI = math.pi
FOAM = Linear(1.5)
EVEN = HyperFoam(mu=0.6, alpha=2.0, poisson=0.25)
BASE = Piece(thickness=10, law=EVEN, width=120, formed=1)
OVER = Piece(thickness=5, law=EVEN, width=80)


def shell(*, bead: float = 0.0, over: Piece = OVER, base: Piece = BASE, curve=None) -> Shell:
    """Half a ring with two overlays that overlap from 60 to 100 mm."""
    return Shell(
        base=base,
        curve=curve or Arc(60, PI),
        face="inside",
        bead=bead,
        covers=(
            Cover(piece=over, start=20, end=100, cut_length=90),
            Cover(piece=over, start=60, end=150, cut_length=108),
        ),
    )


def of(shell: Shell, **said) -> Sections:
    return Sections.of(shell, list(shell.cut_lengths()), **said)


# Natural lengths ------------------------------------------------------------------------------


def test_each_overlay_is_stretched_evenly_along_its_run():
    here = shell()
    sections = of(here)
    stretch = [here.length_over(i) / cut for i, cut in enumerate((90, 108))]
    for group in sections.groups:
        inside, turns = sections.spans.inside[group.arcs], sections.spans.turns[group.arcs]
        for row, i in enumerate(group.stack, 1):
            height = 10 + 5 * (row - 1) + 2.5
            # exact by hand: what the overlay needs there, over one stretch for all of it
            natural = (inside + height * turns) / stretch[i]
            assert group.layers[row].inner_length == pytest.approx(natural, rel=1e-12)
            assert group.layers[row].outer_length == pytest.approx(natural, rel=1e-12)
        # exact by hand: a formed base fits its curve
        assert group.layers[0].inner_length == pytest.approx(inside, rel=1e-12)
        assert group.layers[0].outer_length == pytest.approx(inside + 10 * turns, rel=1e-12)


@pytest.mark.usefixtures("whole_ends")
def test_parts_of_an_overlay_add_up_to_its_cut_length():
    sections = of(shell())
    for i, cut in enumerate((90, 108)):
        total = sum(
            group.layers[1 + group.stack.index(i)].inner_length.sum()
            for group in sections.groups
            if i in group.stack
        )
        # exact by hand
        assert total == pytest.approx(cut, rel=1e-12)


@pytest.mark.parametrize("bead", [0.0, 0.5, 2.0])
def test_an_overlay_that_fits_over_its_glue_is_not_strained(bead):
    formed = Piece(thickness=5, law=EVEN, formed=1)
    covers = (Cover(piece=formed, start=20, end=100), Cover(piece=formed, start=60, end=150))
    here = Shell(base=BASE, curve=Arc(60, PI), face="inside", bead=bead, covers=covers)
    sections = of(here)
    for rest in sections.settle():
        # exact by hand: everything is formed and cut to what it needs, glue and all
        assert rest.inner_strain == pytest.approx(np.zeros_like(rest.inner_strain), abs=1e-9)
        assert rest.outer_strain == pytest.approx(np.zeros_like(rest.outer_strain), abs=1e-9)


def test_glue_does_not_change_what_a_stretch_does():
    turns = []
    for bead in (0.0, 1.0):
        here = shell(bead=bead)
        cuts = [here.length_over(i) / 1.05 for i in range(2)]
        sections = Sections.of(here, cuts)
        turns.append(sections.shape(sections.settle()).turns)
    # exact by hand: 5 % is 5 %, whatever the overlay was cut to for it
    assert turns[1] == pytest.approx(turns[0], rel=1e-9)


@pytest.mark.parametrize("share", [0.0, 0.3, 1.0])
def test_what_relaxes_on_the_form_creeps_to_where_it_lies(share):
    here = shell(bead=0.7)
    fresh, later = of(here), of(here, relaxed=share)
    for old, new in zip(fresh.groups, later.groups, strict=True):
        inside, turns = fresh.spans.inside[old.arcs], fresh.spans.turns[old.arcs]
        heights = np.cumsum([0, 10, *(5 for _ in old.stack)])
        for row, (a, b) in enumerate(zip(old.layers, new.layers, strict=True)):
            # exact by hand: n^(1 - r) l^r at both faces, l the length on the form
            for name, z in (("inner_length", heights[row]), ("outer_length", heights[row + 1])):
                wanted = getattr(a, name) ** (1 - share) * (inside + z * turns) ** share
                assert getattr(b, name) == pytest.approx(wanted, rel=1e-12)


# Groups, gathering, refining ------------------------------------------------------------------


def test_arcs_with_one_stack_are_one_group():
    sections = of(shell(curve=Ellipse(70, 50, 0, PI)))
    assert sorted(group.stack for group in sections.groups) == [(), (0,), (0, 1), (1,)]
    arcs = np.concatenate([group.arcs for group in sections.groups])
    # exact by hand: every arc belongs to one group
    assert sorted(arcs) == list(range(sections.spans.turns.size))
    for group in sections.groups:
        assert {sections.spans.stacks[i] for i in group.arcs} == {group.stack}
        assert len(group.layers) == 1 + len(group.stack)


def test_gathered_arcs_stand_in_order_along_the_shell():
    sections = of(shell(curve=Ellipse(70, 50, 0, PI)))
    back = sections.gathered([sections.spans.inside[group.arcs] for group in sections.groups])
    # exact by hand
    assert back == pytest.approx(sections.spans.inside, rel=1e-15)
    masked = [
        np.ma.masked_array(np.ones(group.arcs.size), mask=group.stack == (0,))
        for group in sections.groups
    ]
    lost = np.isnan(sections.gathered(masked))
    assert lost.tolist() == [stack == (0,) for stack in sections.spans.stacks]


@pytest.mark.parametrize("curve", [Arc(60, PI), Ellipse(70, 50, 0, PI)])
@pytest.mark.parametrize("at_least", [60, 137])
@pytest.mark.usefixtures("whole_ends")
def test_refining_changes_nothing(curve, at_least):
    sections = of(shell(curve=curve))
    fine = sections.refined(at_least=at_least, joints=(33.0, 60.0, 60.0 + 1e-12, 141.3))
    coarse_shape, fine_shape = (x.shape(x.settle()) for x in (sections, fine))
    owner = np.searchsorted(
        sections.spans.places, (fine.spans.places[1:] + fine.spans.places[:-1]) / 2
    )
    # exact by hand: an arc bent evenly is as bent in each of its parts
    for name in ("lengths", "turns"):
        parts, whole = getattr(fine_shape, name), getattr(coarse_shape, name)
        sums = [parts[owner == i].sum() for i in range(1, whole.size + 1)]
        assert sums == pytest.approx(whole, rel=1e-9, abs=1e-12)
    for name in ("inside", "turns"):
        parts, whole = getattr(fine.spans, name), getattr(sections.spans, name)
        assert parts.sum() == pytest.approx(whole.sum(), rel=1e-12)
    # exact by hand: arcs no longer than asked, joints where asked, none of no length
    steps = np.diff(fine.spans.places)
    assert steps.max() <= fine.spans.places[-1] / at_least * (1 + 1e-6)
    assert steps.min() > 1e-3
    for place in (33.0, 60.0, 141.3):
        assert np.abs(fine.spans.places - place).min() < 1e-8
    again = fine.refined(at_least=at_least)
    assert again.spans.places == pytest.approx(fine.spans.places, rel=1e-14)


def test_a_moment_on_all_arcs_does_not_care_how_many_there_are():
    sections = of(shell())
    for cut in (sections, sections.refined(at_least=60), sections.refined(at_least=61)):
        count = cut.spans.turns.size
        shape = cut.shape(cut.settle(np.full(count, 6.0), np.full(count, -400.0)))
        first = sections.shape(sections.settle(np.full(5, 6.0), np.full(5, -400.0)))
        # exact by hand: pull and moment are those of a section, whatever its length
        assert shape.turns.sum() == pytest.approx(first.turns.sum(), rel=1e-9)
        assert shape.lengths.sum() == pytest.approx(first.lengths.sum(), rel=1e-9)


def test_held_sections_keep_the_turn_they_were_meant_to_have():
    sections = of(shell())
    held = sections.shape(sections.settle(held=True))
    # exact by hand
    assert held.turns == pytest.approx(sections.spans.turns, rel=1e-13)
    # independent: one of them by itself
    group = sections.groups[1]
    alone = settle(
        [
            type(layer)(
                thickness=layer.thickness,
                law=layer.law,
                inner_length=float(np.broadcast_to(layer.inner_length, (1,))[0]),
                outer_length=float(np.broadcast_to(layer.outer_length, (1,))[0]),
                width=layer.width,
            )
            for layer in group.layers
        ],
        turn=float(sections.spans.turns[group.arcs[0]]),
    )
    assert held.lengths[group.arcs[0]] == pytest.approx(float(alone.inner_length), rel=1e-10)


# Many cases -----------------------------------------------------------------------------------


@given(first=st.floats(84, 100), second=st.floats(100, 116))
@settings(max_examples=15, deadline=None)
def test_many_cut_lengths_are_single_ones_side_by_side(first, second):
    here = shell()
    cuts = [np.array([[90.0, first]]), np.array([[108.0], [second]])]
    many = Sections.of(here, cuts)
    shape = many.shape(many.settle())
    assert shape.turns.shape == (2, 2, 5) and shape.stiffness.shape == (3, 2, 2, 5)
    one = Sections.of(here, [first, second])
    alone = one.shape(one.settle())
    # independent: one at a time
    assert shape.turns[1, 1] == pytest.approx(alone.turns, rel=1e-8)
    assert shape.stiffness[:, 1, 1] == pytest.approx(alone.stiffness, rel=1e-8)


def test_an_overlay_cut_too_short_to_be_formed_is_refused():
    formed = Piece(thickness=5, law=FOAM, formed=1)
    here = Shell(
        base=BASE, curve=Arc(60, PI), face="inside", covers=(Cover(piece=formed, cut_length=5),)
    )
    with pytest.raises(ValueError, match="5 mm is cut so short that it cannot be formed"):
        of(here)


@pytest.mark.parametrize("share", [-0.1, 1.5, math.nan])
def test_a_share_that_is_none_is_refused(share):
    with pytest.raises(ValueError, match="share must be a number from 0 to 1"):
        of(shell(), relaxed=share)


@pytest.mark.parametrize("cut", [0.0, -5.0, math.nan])
def test_a_cut_length_that_is_none_is_refused(cut):
    with pytest.raises(ValueError, match="cut length must be"):
        Sections.of(shell(), [90.0, np.array([108.0, cut])])
