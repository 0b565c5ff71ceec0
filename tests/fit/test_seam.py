"""What happens between the marks of a seam, for every way of looking at it."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from foamcalc.fit.seam import Seam, SeamEdge
from foamcalc.fit.stack import Piece
from foamcalc.foam.law import HyperFoam, Linear

FOAM = Linear(1.5, 0.25)


def edge(name, places, *, thickness=10.0, law=FOAM, **said) -> SeamEdge:
    return SeamEdge(name=name, piece=Piece(thickness=thickness, law=law), places=places, **said)


def seam(a, b, **said) -> Seam:
    return Seam(a=edge("front", a), b=edge("back", b), **said)


def test_an_interval_by_hand():
    between = seam((0, 50), (0, 53)).intervals
    # exact by hand: equal wide pieces, half of 3 mm each
    assert between.difference == pytest.approx([3])
    assert between.give_a == pytest.approx([1.5])
    assert between.glued == pytest.approx([51.5])
    assert between.strain_a == pytest.approx([0.03])
    assert between.strain_b == pytest.approx([-1.5 / 53])
    assert between.squeezed == ("b",)
    assert (between.total, between.hidden) == (3, False)


def test_twice_the_thickness_gives_a_little_over_a_third():
    thick, thin = edge("front", (0, 50), thickness=10), edge("back", (0, 53), thickness=5)
    between = Seam(a=thick, b=thin).intervals
    # exact by hand: 67/189 of it, side strain 1/4
    assert between.share_a == pytest.approx([67 / 189])
    assert between.share_b == pytest.approx([122 / 189])


def test_a_seam_that_agrees_as_a_whole_hides_what_is_between_its_marks():
    found = seam((0, 50, 100), (0, 53, 100)).intervals
    assert found.hidden and found.total == 0
    # exact by hand: the first is squeezed on the back, the second on the front
    assert found.difference == pytest.approx([3, -3])
    assert found.squeezed == ("b", "a")
    assert not seam((0, 50, 100), (0, 50.9, 100)).intervals.hidden


def test_the_largest_difference_comes_first():
    found = seam((0, 50, 100, 150), (0, 48, 103, 152))
    # exact by hand: -2, 5, -1
    assert found.intervals.by_difference.tolist() == [1, 0, 2]
    table = found.table()
    assert table["difference [mm]"].tolist() == pytest.approx([5, -2, -1, 2])
    assert table.index[-1] == "whole seam"
    along = found.table(largest_first=False)
    assert along["from"].tolist() == ["start", "1", "2", "start"]
    # exact by hand: the running sum
    assert along["runs ahead [mm]"].tolist()[:3] == pytest.approx([-2, 3, 2])


def test_every_number_in_the_table_has_its_unit():
    table = seam((0, 50, 100), (0, 53, 100)).table()
    words = {"from", "to", "squeezed"}
    assert all(head in words or head.endswith(("[mm]", "[%]")) for head in table.columns)
    row = table.iloc[0]
    assert row["share of front [%]"] == pytest.approx(50)
    assert row["strain of front [%]"] == pytest.approx(3)
    assert row["squeezed"] == "back"
    # exact by hand: pi**2 t**2/(12 a**2) at 51.5 mm between the marks
    assert row["puckers from [%]"] == pytest.approx(100 * math.pi**2 / 12 * (10 / 51.5) ** 2)


def test_nothing_is_shared_where_nothing_differs():
    found = seam((0, 50, 100), (0, 50, 103)).intervals
    assert np.isnan(found.share_a[0]) and np.isnan(found.share_b[0])
    assert found.squeezed[0] == ""
    assert (found.reach_a[0], found.strain_a[0], found.strain_b[0]) == (0, 0, 0)


def test_rounding_is_no_difference():
    found = seam((0, 0.3, 50), (7, 7.1 + 0.2, 57)).intervals
    # exact by hand: the two are alike but for the last bits of a float
    assert found.difference.tolist() == [0, 0]
    assert found.reach_a.tolist() == [0, 0] and np.isnan(found.share_a).all()


def test_what_a_tape_cannot_see_is_no_difference():
    assert not seam((0, 50, 100), (0, 50.9, 100)).intervals.unequal.any()
    assert seam((0, 50, 100), (0, 51.1, 102)).intervals.unequal.tolist() == [True, False]


def test_small_differences_that_add_up_count_wherever_they_add():
    found = seam((0, 50, 100, 150), (0, 50.8, 101.6, 151.5)).intervals
    # exact by hand: 0.8 + 0.8 - 0.1 = 1.5 mm, seen by a tape laid end to end
    assert found.unequal.tolist() == [True, True, False]


def test_a_run_of_one_sign_reaches_as_deep_as_its_length_asks():
    found = seam((0, 50, 100, 150), (0, 52, 104, 152)).intervals
    mean = (found.a + found.b) / 2
    # independent: 1.30 times the run, side strain 1/4, equal pieces; two decimals are known
    assert found.reach_a[:2] == pytest.approx([1.30 * mean[:2].sum()] * 2, rel=0.004)
    assert found.reach_a[2] == pytest.approx(1.30 * mean[2], rel=0.004)
    narrow = Seam(a=edge("front", (0, 50), depth=20), b=edge("back", (0, 53))).intervals
    # exact: never deeper than the piece
    assert narrow.reach_a == pytest.approx([20])


def test_a_held_edge_stays_as_it_is():
    glued = Seam(a=edge("shell", (0, 50, 100), held=True), b=edge("rim", (0, 53, 101))).intervals
    # exact by hand: all of it is given by the other one
    assert glued.give_a == pytest.approx([0, 0])
    assert glued.strain_b == pytest.approx([-3 / 53, 2 / 48])
    assert glued.reach_a == pytest.approx([0, 0])
    assert glued.share_b == pytest.approx([1, 1])


def test_a_trim_on_a_panel_takes_most_where_the_seam_is_short_all_along():
    rim = edge("rim", (0, 305, 610, 915), thickness=5, depth=20)
    found = Seam(a=edge("shell", (0, 300, 600, 900)), b=rim).intervals
    # regression, checked against felupe elsewhere within 0.09
    assert found.share_b == pytest.approx([0.874, 0.954, 0.874], abs=0.005)


def test_marks_moved_along_one_edge():
    a = edge("front", (5, 55, 105), names=("A",))
    b = edge("back", (0, 49, 101), names=("A",))
    then = Seam(a=a, b=b, reverse=True).changed("b", np.array([0.0, 50.0, 101.0]))
    # exact by hand: the places are walked the way of the first edge
    assert then.intervals.b == pytest.approx([50, 51])
    assert then.intervals.a == pytest.approx([50, 50])


def test_intervals_are_named_by_their_marks():
    found = seam((0, 50, 100), (0, 53, 100)).intervals
    assert [found.name(i) for i in range(2)] == ["start to 1", "1 to end"]
    assert found.find("1 to end") == 1


# Every way round ------------------------------------------------------------------------------

lengths = st.lists(st.floats(20, 120), min_size=1, max_size=5)


@st.composite
def seams(draw):
    a = draw(lengths)
    b = [x * draw(st.floats(0.9, 1.1)) for x in a]
    edges = []
    for name, runs in (("front", a), ("back", b)):
        law = HyperFoam.from_modulus(
            draw(st.floats(0.5, 4)), alpha=4.0, poisson=draw(st.floats(0, 0.4))
        )
        depth = draw(st.one_of(st.just(math.inf), st.floats(15, 400)))
        places = np.concatenate([[0.0], np.cumsum(runs)]).tolist()
        edges.append(edge(name, places, thickness=draw(st.floats(2, 12)), law=law, depth=depth))
    return Seam(a=edges[0], b=edges[1])


@settings(max_examples=60, deadline=None)
@given(seams())
def test_what_both_edges_give_sums_to_the_difference(any_seam):
    found = any_seam.intervals
    # exact
    assert found.give_a + found.give_b == pytest.approx(found.difference, abs=1e-9)
    assert found.a * (1 + found.strain_a) == pytest.approx(found.glued, rel=1e-12)
    assert found.b * (1 + found.strain_b) == pytest.approx(found.glued, rel=1e-12)


@settings(max_examples=40, deadline=None)
@given(seams())
def test_swapping_the_edges_changes_nothing_but_names(any_seam):
    there, back = any_seam.intervals, Seam(a=any_seam.b, b=any_seam.a).intervals
    # exact; wide waves over narrow strips lose digits
    assert back.give_a == pytest.approx(-there.give_b, abs=1e-6)
    assert back.reach_b == pytest.approx(there.reach_a)
    assert back.pucker_b == pytest.approx(there.pucker_a)
    assert back.difference == pytest.approx(-there.difference)


@settings(max_examples=40, deadline=None)
@given(seams())
def test_walking_both_edges_from_their_other_ends_only_turns_the_order(any_seam):
    turned = Seam(a=any_seam.a.backwards(), b=any_seam.b.backwards()).intervals
    # exact: so left and right, which are mirrored, have the same numbers
    assert turned.give_a[::-1] == pytest.approx(any_seam.intervals.give_a, abs=1e-8)
    assert turned.reach_b[::-1] == pytest.approx(any_seam.intervals.reach_b)


@settings(max_examples=20, deadline=None)
@given(seams())
def test_a_second_edge_walked_the_other_way_is_turned_back(any_seam):
    other = Seam(a=any_seam.a, b=any_seam.b.backwards(), reverse=True).intervals
    # exact
    assert other.b == pytest.approx(any_seam.intervals.b)
    assert other.give_a == pytest.approx(any_seam.intervals.give_a, abs=1e-8)


@settings(max_examples=20, deadline=None)
@given(seams(), st.floats(0.1, 10))
def test_stiffness_alone_does_not_count_only_how_the_two_compare(any_seam, factor):
    scaled = [
        edge(
            e.name,
            e.places,
            thickness=e.piece.thickness,
            depth=e.depth,
            law=HyperFoam.from_modulus(
                e.piece.law.modulus * factor, alpha=4.0, poisson=e.piece.law.poisson[0]
            ),
        )
        for e in (any_seam.a, any_seam.b)
    ]
    found = Seam(a=scaled[0], b=scaled[1]).intervals
    # exact
    assert found.give_a == pytest.approx(any_seam.intervals.give_a, abs=1e-8)
