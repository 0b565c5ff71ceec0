"""A shell: where its overlays lie, what they must measure, and how it is cut into spans."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from foamcalc.fit.shell import Cover, Shell
from foamcalc.fit.stack import Piece
from foamcalc.foam.law import Linear
from foamcalc.shape.arcs import Arcs
from foamcalc.shape.curve import Arc
from foamcalc.shape.ellipse import Ellipse
from foamcalc.shape.polyline import Polyline

PI = math.pi
FOAM = Linear(1.5)
BASE = Piece(thickness=10, law=FOAM, formed=1)
GIRTH = 120 * PI
"""Inside girth of a ring of inside radius 60 [mm]."""


def over(thickness: float = 5, **said) -> Piece:
    return Piece(thickness=thickness, law=FOAM, **said)


def half(*covers: Cover, radius: float = 60, face="inside", bead: float = 0.0) -> Shell:
    return Shell(base=BASE, curve=Arc(radius, PI), face=face, covers=covers, bead=bead)


def ring(*covers: Cover, bead: float = 0.0) -> Shell:
    curve = Arc(60, 2 * PI, closed=True)
    return Shell(base=BASE, curve=curve, face="inside", covers=covers, bead=bead)


# What an overlay must measure -----------------------------------------------------------------


@pytest.mark.parametrize(("face", "radius", "at"), [("inside", 60, 60.0), ("outside", 70, 70.0)])
def test_an_overlay_over_a_part_needs_its_own_turn_times_its_height(face, radius, at):
    shell = half(Cover(piece=over(), start=at * 0.5, end=at * 1.7), radius=radius, face=face)
    # exact by hand: 1.2 rad at radius 60 + 10 + 2.5; the tape lies at 70, the top at 75
    assert shell.length_over(0) == pytest.approx(1.2 * 72.5, rel=1e-12)
    assert shell.length_over(0, 0.0) == pytest.approx(1.2 * 70, rel=1e-12)
    assert shell.length_over(0, 5.0) == pytest.approx(1.2 * 75, rel=1e-12)


def test_an_overlay_on_an_overlay_goes_farther_where_it_lies_on_it():
    shell = half(
        Cover(piece=over(4), start=30, end=90),
        Cover(piece=over(6), start=60, end=150),
        bead=0.5,
    )
    # exact by hand: the upper one turns 0.5 rad at 60 + 10 + 4.5 + .5 + 3, 1 rad at 60 + 10.5 + 3
    assert shell.length_over(0) == pytest.approx(1.0 * 72.5, rel=1e-12)
    assert shell.length_over(1) == pytest.approx(0.5 * 78.0 + 1.0 * 73.5, rel=1e-12)
    # exact by hand: on what lies below, its own glue not counted
    assert shell.length_over(1, 0.0) == pytest.approx(0.5 * 74.5 + 1.0 * 70.0, rel=1e-12)


def test_glued_in_the_other_order_the_other_one_goes_farther():
    first, second = Cover(piece=over(4), start=30, end=90), Cover(piece=over(6), start=60, end=150)
    up, down = half(first, second), half(second, first)
    # exact by hand: half a radian of overlap times what lies under
    assert up.length_over(1) - down.length_over(0) == pytest.approx(0.5 * 4, rel=1e-9)
    assert down.length_over(1) - up.length_over(0) == pytest.approx(0.5 * 6, rel=1e-9)


@pytest.mark.parametrize("fibre", [0.0, 0.4, 1.0])
def test_the_length_is_that_of_the_fibre(fibre):
    shell = half(Cover(piece=over(5, fibre=fibre), end=60))
    # exact by hand: one radian
    assert shell.length_over(0) == pytest.approx(70 + 5 * fibre, rel=1e-12)


def test_gaps_are_needed_less_cut():
    shell = half(
        Cover(piece=over(), start=0, end=60, cut_length=70), Cover(piece=over(), start=90, end=120)
    )
    # exact by hand: 72.5 needed and 70 cut; the other is cut to fit
    assert shell.cut_lengths() == pytest.approx([70, 36.25], rel=1e-12)
    assert shell.gaps() == pytest.approx([2.5, 0.0], abs=1e-10)


def test_an_uneven_bend_against_quadrature():
    curve = Ellipse(90, 50, 0, PI)
    shell = Shell(
        base=BASE, curve=curve, face="outside", covers=(Cover(piece=over(), start=40, end=130),)
    )
    # independent: (1 + z k) along the curve by quadrature, its curvature from the two axes
    found = quad(lambda s: 1 + 2.5 * float(curve.curvature(s)), 40, 130, epsabs=1e-10)[0]
    assert shell.length_over(0) == pytest.approx(found, rel=1e-9)


@given(
    start=st.floats(0, 150), long=st.floats(1, 38), split=st.floats(0.1, 0.9), t=st.floats(2, 12)
)
@settings(max_examples=30, deadline=None)
def test_two_pieces_end_to_end_need_what_one_needs(start, long, split, t):
    middle, end = start + split * long, start + long
    one = half(Cover(piece=over(t), start=start, end=end))
    two = half(
        Cover(piece=over(t), start=start, end=middle), Cover(piece=over(t), start=middle, end=end)
    )
    # exact by hand; places within 1e-9 of the length are one
    assert two.cut_lengths().sum() == pytest.approx(float(one.cut_lengths()[0]), abs=2e-6)


# Places ---------------------------------------------------------------------------------------


def test_an_overlay_with_no_ends_said_covers_all():
    shell = half(Cover(piece=over()))
    # exact by hand
    assert shell.runs(0) == ((0.0, pytest.approx(60 * PI)),)
    assert shell.pieces() == [(0.0, pytest.approx(60 * PI), (0,))]


def test_stretches_with_one_stack_in_the_order_of_gluing():
    shell = half(
        Cover(piece=over(), start=100, end=160),
        Cover(piece=over(), start=20, end=120),
        Cover(piece=over(), start=50, end=110),
    )
    places = [0, 20, 50, 100, 110, 120, 160, 60 * PI]
    stacks = [(), (1,), (1, 2), (0, 1, 2), (0, 1), (0,), ()]
    # exact by hand: a later overlay lies over an earlier one
    assert [stack for _, _, stack in shell.pieces()] == stacks
    assert [a for a, _, _ in shell.pieces()] == pytest.approx(places[:-1])
    assert [b for _, b, _ in shell.pieces()] == pytest.approx(places[1:])


def test_an_overlay_over_the_start_of_a_ring_is_one_overlay():
    shell = ring(Cover(piece=over(), start=GIRTH - 60, end=30))
    # exact by hand: one radian before the start and half of one after it
    assert shell.runs(0) == ((pytest.approx(GIRTH - 60), pytest.approx(GIRTH)), (0.0, 30.0))
    assert shell.length_over(0) == pytest.approx(1.5 * 72.5, rel=1e-12)
    assert [stack for _, _, stack in shell.pieces()] == [(0,), (), (0,)]


@given(start=st.floats(0, 376), part=st.floats(0.01, 0.99))
@settings(max_examples=30, deadline=None)
def test_a_ring_may_be_covered_from_anywhere(start, part):
    end = (start + part * GIRTH) % GIRTH
    if end < 1e-6 or abs(end - start) < 1e-6:
        return
    shell = ring(Cover(piece=over(), start=start, end=end))
    # exact by hand: share of a full turn at radius 72.5; places within 1e-9 of the girth are one
    assert shell.length_over(0) == pytest.approx(part * 145 * PI, abs=2e-6)


@pytest.mark.parametrize("start", [GIRTH, GIRTH * (1 + 5e-10), GIRTH * (1 - 1e-15)])
def test_a_start_at_the_very_end_of_a_ring_is_its_start(start):
    shell = ring(Cover(piece=over(), start=start, end=60))
    # exact by hand: one radian; a rounding at the joint is no fault
    assert shell.length_over(0) == pytest.approx(72.5, rel=1e-9)


@pytest.mark.parametrize("end", [60 * PI * (1 + 5e-10), 60 * PI * (1 - 1e-15)])
def test_an_end_at_the_very_end_is_the_end(end):
    # exact by hand: a radian at radius 72.5; a rounding is no fault
    assert half(Cover(piece=over(), start=60 * PI - 60, end=end)).length_over(0) == (
        pytest.approx(72.5, rel=1e-8)
    )


# Spans ----------------------------------------------------------------------------------------


@pytest.mark.usefixtures("whole_ends")
def test_an_evenly_curved_shell_has_a_span_a_stack():
    spans = half(Cover(piece=over(), start=30, end=90)).spans()
    # exact by hand
    assert spans.places == pytest.approx([0, 30, 90, 60 * PI])
    assert spans.inside == pytest.approx([30, 60, 60 * PI - 90])
    assert spans.turns == pytest.approx([0.5, 1.0, PI - 1.5])
    assert spans.stacks == ((), (0,), ())


def test_spans_measured_outside_have_the_same_inside():
    inner = half(Cover(piece=over(), start=30, end=90)).spans()
    outer = half(Cover(piece=over(), start=35, end=105), radius=70, face="outside").spans()
    # exact by hand: the same half ring, read on its outside
    assert outer.inside == pytest.approx(inner.inside, rel=1e-12)
    assert outer.turns == pytest.approx(inner.turns, rel=1e-12)


@pytest.mark.usefixtures("whole_ends")
def test_an_unevenly_curved_shell_has_many_short_spans():
    curve = Arcs([100.0, 50.0], [1.0, 1.0])
    cover = Cover(piece=over(5), start=30, end=130)
    spans = Shell(base=over(5), curve=curve, covers=(cover,)).spans()
    # exact by hand: nothing longer than a sixtieth; ends of overlay and arcs are joints
    assert np.diff(spans.places).max() <= 150 / 60 + 1e-9
    for place in (30, 100, 130):
        assert np.abs(spans.places - place).min() < 1e-12
    # exact by hand: the curve is the base's outside, 5 mm over the inside, two radians in all
    assert spans.inside.sum() == pytest.approx(150 - 2 * 5, rel=1e-12)
    assert len(spans.stacks) == spans.turns.size == spans.places.size - 1


@pytest.mark.usefixtures("whole_ends")
def test_an_s_keeps_the_sign_of_its_turns():
    curve = Arcs([100.0, 100.0], [1.2, -1.2])
    spans = Shell(base=over(5), curve=curve, covers=(Cover(piece=over(5), end=100),)).spans()
    first = np.array([stack == (0,) for stack in spans.stacks])
    # exact by hand: convex under the overlay, hollow beyond; turns add up to none
    assert (spans.turns[first] > 0).all() and (spans.turns[~first] < 0).all()
    assert spans.turns[first].sum() == pytest.approx(1.2, rel=1e-9)
    assert spans.turns.sum() == pytest.approx(0, abs=1e-12)
    # exact by hand: the inside is 5 mm below: shorter where convex, longer where hollow
    assert spans.inside[first].sum() == pytest.approx(100 - 6, rel=1e-9)
    assert spans.inside[~first].sum() == pytest.approx(100 + 6, rel=1e-9)


# Faults ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("said", "message"),
    [
        ({"start": 150, "end": 200}, r"scute: it lies from 150 to 200 mm, past the end .*188\.5"),
        ({"start": 190}, r"scute: it lies from 190 to 188\.496 mm, past the end"),
        ({"start": 90, "end": 40}, r"scute: its end \(40 mm\) must lie after its start \(90 mm\)"),
        ({"start": 40, "end": 40}, r"scute: its end \(40 mm\) must lie after its start"),
        ({"start": -1}, "start of the overlay must be .*got -1"),
        ({"start": math.nan}, "start of the overlay must be .*got nan"),
        ({"end": 0.0}, "end must be .*above 0 mm, got 0"),
        ({"end": math.inf}, "end must be .*got inf"),
        ({"cut_length": 0.0}, "cut length must be .*above 0 mm, got 0"),
        ({"cut_length": math.nan}, "cut length must be .*got nan"),
    ],
)
def test_an_overlay_that_cannot_lie_there_is_refused(said, message):
    with pytest.raises(ValueError, match=message):
        half(Cover(piece=over(), name="scute", **said))


def test_a_ring_covered_all_round_has_no_ends():
    with pytest.raises(ValueError, match=r"must lie after its start .*leave both out for one all"):
        ring(Cover(piece=over(), start=100, end=100))
    # exact by hand: a full turn at radius 72.5
    assert ring(Cover(piece=over())).length_over(0) == pytest.approx(145 * PI, rel=1e-12)


def test_an_overlay_that_folds_in_a_hollow_is_refused_only_where_it_lies():
    curve = Arcs([100.0, 25.0], [1.0, -2.5])
    base = Piece(thickness=3, law=FOAM)
    fine = Shell(base=base, curve=curve, covers=(Cover(piece=over(12), end=90),))
    # exact by hand: a hollow of radius 10 takes no 12 mm, but the overlay ends before it
    assert fine.length_over(0) == pytest.approx(90 + 0.9 * 6, rel=1e-12)
    with pytest.raises(ValueError, match=r"12 mm folds .*the hollow has a radius of only 10\.00"):
        Shell(base=base, curve=curve, covers=(Cover(piece=over(12), end=120),))


def test_a_stack_that_folds_together_is_refused():
    curve = Arcs([100.0, 25.0], [1.0, -2.5])
    two = tuple(Cover(piece=over(6), start=80, end=120) for _ in range(2))
    # exact by hand: 6 mm alone lies in a hollow of radius 10, two of them do not
    Shell(base=Piece(thickness=3, law=FOAM), curve=curve, covers=two[:1])
    with pytest.raises(ValueError, match="12 mm folds"):
        Shell(base=Piece(thickness=3, law=FOAM), curve=curve, covers=two)


def test_a_base_thicker_than_its_bend_is_refused():
    with pytest.raises(ValueError, match=r"10 mm folds .*radius of only 8\.00 mm"):
        Shell(base=BASE, curve=Arc(8, PI), face="outside")


def test_corners_have_no_spans_until_they_are_rounded():
    corner = Polyline([[0, 0], [100, 0], [100, -100]])
    base = Piece(thickness=5, law=FOAM)
    shell = Shell(base=base, curve=corner, covers=(Cover(piece=over()),))
    # exact by hand: the corner adds a quarter turn at 2.5 mm to what the overlay needs
    assert shell.length_over(0) == pytest.approx(200 + 2.5 * PI / 2, rel=1e-12)
    with pytest.raises(ValueError, match=r"corner 100\.0 mm along .*rounded corners"):
        shell.spans()
    rounded = Shell(base=base, curve=corner.rounded(20), covers=(Cover(piece=over()),))
    assert rounded.spans().turns.sum() == pytest.approx(PI / 2, rel=1e-9)


@pytest.mark.parametrize(("said", "message"), [({"face": "upper"}, "face"), ({"bead": -1}, "bead")])
def test_a_shell_that_cannot_be_is_refused(said, message):
    with pytest.raises(ValueError, match=f"{message} must be"):
        Shell(base=BASE, curve=Arc(60, PI), **said)
