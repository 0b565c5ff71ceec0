"""What to do with a seam: limits, marks that move, and the ways in their ranking."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import minimize

from foamcalc.fit.limits import Limit
from foamcalc.fit.seam import Seam, SeamEdge, SeamSituation, choose_seam
from foamcalc.fit.seam.limits import cold_checks, seam_limits, squeeze_limit, strain_checks
from foamcalc.fit.seam.moves import all_moves, even_places, fewest_moves, moved
from foamcalc.fit.seam.remedies import dart_legs, pins_needed
from foamcalc.fit.seam.ways import ALREADY_CUT, NOT_CUT
from foamcalc.fit.stack import Piece
from foamcalc.foam.law import Linear

FOAM = Linear(1.5, 0.25)


def seam(a, b, *, thick=(10.0, 10.0), depths=(math.inf, math.inf), held="", **said) -> Seam:
    one, two = (
        SeamEdge(
            name=name,
            piece=Piece(thickness=t, law=FOAM),
            places=places,
            depth=depth,
            held=name == held,
        )
        for name, places, t, depth in zip(("front", "back"), (a, b), thick, depths, strict=True)
    )
    return Seam(a=one, b=two, **said)


def pick(a, b, *, already_cut=True, free_end="none", marks_move=True, limits=None, **said):
    situation = SeamSituation(already_cut=already_cut, free_end=free_end, marks_move=marks_move)
    return choose_seam(seam(a, b, **said), situation, limits)


def own(value: float, unit: str = "1") -> Limit:
    return Limit(value=value, unit=unit, basis="your own", reason="As you said.")


def way(found, name):
    return next(w for w in found.ways if w.choice == name)


def amounts(found, name):
    return [(x.what, x.edge, x.where, round(x.by, 6)) for x in way(found, name).amounts]


# Limits ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("thickness", "squeeze"),
    # regression: common practice in limits.csv, 0 at 2, 2.5 % at 5, 4 % at 10 mm; straight between
    [(1, 0), (2, 0), (3.5, 0.0125), (5, 0.025), (8, 0.034), (10, 0.04), (12, 0.04)],
)
def test_thin_foam_is_not_squeezed_and_thick_foam_a_little(thickness, squeeze):
    assert squeeze_limit(thickness).value == pytest.approx(squeeze, abs=1e-12)


def test_a_limit_between_two_rows_says_so():
    limit = squeeze_limit(8)
    assert limit.basis == "derived" and "5 and 10 mm" in limit.reason
    assert squeeze_limit(5).basis == "common practice"
    with pytest.raises(ValueError, match="thickness must be a finite length above 0 mm"):
        squeeze_limit(0)


def test_each_edge_has_limits_of_its_own_thickness():
    limits = seam_limits(seam((0, 50), (0, 53), thick=(10, 4)))
    # regression: common practice in limits.csv
    assert limits["stretch a"].value == 0.08 and limits["stretch b"].value == 0.05
    assert limits["squeeze a"].value == 0.04
    assert limits["squeeze b"].value == pytest.approx(0.025 * 2 / 3)


def test_an_interval_is_checked_for_stretch_squeeze_and_pucker():
    joined = seam((0, 50), (0, 53))
    found = {c.what: c for c in strain_checks(joined.intervals, seam_limits(joined), 0)}
    # exact by hand
    assert list(found) == [
        "stretch of front, start to end",
        "squeeze of back, start to end",
        "pucker of back, start to end",
    ]
    assert found["stretch of front, start to end"].found == pytest.approx(0.03)
    pucker = found["pucker of back, start to end"]
    assert pucker.limit.value == pytest.approx(math.pi**2 / 12 * (10 / 51.5) ** 2)
    assert (pucker.limit.basis, pucker.met) == ("derived", True)
    assert cold_checks(joined.intervals, seam_limits(joined)) == tuple(found.values())


def test_what_a_tape_cannot_see_is_not_checked():
    joined = seam((0, 50, 100), (0, 50.8, 103), thick=(2, 2))
    checks = cold_checks(joined.intervals, seam_limits(joined))
    # exact by hand: 0.8 mm is no squeeze that counts, not even in thin foam
    assert {c.what.split(", ")[1] for c in checks} == {"1 to end"}
    assert strain_checks(joined.intervals, seam_limits(joined), 0) == ()


def test_added_marks_lift_the_pucker_limit_by_the_square():
    joined = seam((0, 100), (0, 104), thick=(5, 5))
    limits = seam_limits(joined)
    plain = strain_checks(joined.intervals, limits, 0)[-1]
    more = strain_checks(joined.intervals, limits, 0, pins=2)[-1]
    # exact by hand: a third of the run, nine times the strain
    assert more.limit.value == pytest.approx(9 * plain.limit.value)
    # exact by hand: squeeze 2/104, bound pi**2/12 (5/102)**2 = 0.198 %, so 4 parts
    assert pins_needed(joined) == (3,)
    assert (math.pi**2 / 12) * (5 * 4 / 102) ** 2 > 2 / 104 > (math.pi**2 / 12) * (15 / 102) ** 2


# Moving marks ---------------------------------------------------------------------------------


def test_one_mark_between_two_intervals_by_hand():
    (only,) = fewest_moves(seam((0, 50, 100), (0, 56, 102)), "b")
    # exact by hand: the middle of 102 is 51
    assert only == (("1", "back", pytest.approx(-5)),)
    ((on_front,),) = fewest_moves(seam((0, 50, 100), (0, 56, 102)), "a")
    # exact by hand: 100 x 56/102
    assert on_front == ("1", "front", pytest.approx(100 * 56 / 102 - 50))


def test_the_misplaced_mark_is_moved_and_no_other():
    joined = seam((0, 40, 80, 120, 160), (0, 40.5, 84, 121, 162))
    (move,) = next(fewest_moves(joined, "b"))
    # exact by hand: halfway between 40.5 and 121 is 80.75
    assert move == ("2", "back", pytest.approx(-3.25))
    then = moved(joined, "b", (move,)).intervals
    assert np.abs(then.difference).max() == pytest.approx(1)
    chosen = pick((0, 40, 80, 120, 160), (0, 40.5, 84, 121, 162)).chosen
    assert [a.where for a in chosen.amounts if a.what == "move"] == ["2"]


def test_two_misplaced_marks_are_both_moved():
    joined = seam((0, 40, 80, 120, 160, 200), (0, 44, 80, 124, 160, 200))
    (both,) = fewest_moves(joined, "b")
    # exact by hand: one alone leaves the 4 mm beside the other, so that none is moved alone
    assert [(m.mark, m.by) for m in both] == [("1", pytest.approx(-4)), ("3", pytest.approx(-4))]


def test_many_marks_are_no_burden():
    """Exact by hand: two hundred marks, every second one out, so that no dozen mends it."""
    places = np.cumsum(np.full(199, 20.0))
    off = places + np.where(np.arange(199) % 2, 0.9, -0.9)
    joined = seam((0, *places), (0, *off[:-1], places[-1]))
    assert list(fewest_moves(joined, "b")) == []


intervals = st.lists(st.tuples(st.floats(20, 90), st.floats(0.85, 1.15)), min_size=2, max_size=5)


def walked(runs):
    a = np.array([x for x, _ in runs])
    b = a * [r for _, r in runs]
    return seam(*(np.concatenate([[0.0], np.cumsum(x)]).tolist() for x in (a, b)))


@settings(max_examples=25, deadline=None)
@given(intervals)
def test_marks_in_proportion_are_best_by_brute_force(runs):
    joined = walked(runs)
    a, whole = joined.intervals.a, joined.b.length

    def energy(inner):
        b = np.diff([0.0, *inner, whole])
        return float(((b - a) ** 2 / a).sum())

    brute = minimize(energy, joined.b.places[1:-1], method="BFGS", options={"gtol": 1e-9})
    # independent: mismatch squared times length, by a general minimiser
    assert even_places(joined, "b")[1:-1] == pytest.approx(brute.x, abs=1e-4)
    best = np.abs(np.diff(even_places(joined, "b")) / a - 1).max()
    rng = np.random.default_rng(1)
    for _ in range(20):
        tried = np.sort(np.append(rng.uniform(0, whole, a.size - 1), [0.0, whole]))
        # independent: no other places have a smaller greatest mismatch
        assert np.abs(np.diff(tried) / a - 1).max() >= best - 1e-12


@settings(max_examples=40, deadline=None)
@given(intervals)
def test_so_many_moves_leave_no_more_than_any_others_would(runs):
    joined = walked(runs)
    a, b = joined.intervals.a, np.asarray(joined.b.places)
    for found in fewest_moves(joined, "b"):
        left = np.abs(moved(joined, "b", found).intervals.difference).max()
        # independent: every choice of as many marks or fewer, each tried
        for stay in itertools.product((True, False), repeat=b.size - 2):
            kept = np.array([True, *stay, True])
            if (~kept).sum() <= len(found):
                places = np.interp(joined.a.places, np.asarray(joined.a.places)[kept], b[kept])
                assert left <= np.abs(np.diff(places) - a).max() + 1e-5


@settings(max_examples=25, deadline=None)
@given(intervals)
def test_after_all_marks_moved_every_interval_differs_alike(runs):
    joined = walked(runs)
    for side in ("a", "b"):
        then = moved(joined, side, all_moves(joined, side)).intervals
        # exact: the whole seam's ratio everywhere
        assert then.b / then.a == pytest.approx([joined.b.length / joined.a.length] * len(runs))


def test_a_seam_of_one_interval_has_no_mark_to_move():
    assert all_moves(seam((0, 50), (0, 53)), "b") == ()
    assert "move marks" not in [w.choice for w in pick((0, 50), (0, 56)).ways]


# The ways -------------------------------------------------------------------------------------

REACHED = {
    "as cut": {"a": (0, 50, 100), "b": (0, 50.9, 100.2)},
    "stretch and squeeze": {"a": (0, 50, 100), "b": (0, 52, 104)},
    "more marks": {"a": (0, 50, 100), "b": (0, 52, 104), "thick": (5, 5)},
    "trim an end": {"a": (0, 50, 100), "b": (0, 52, 112), "free_end": "end"},
    "move marks": {"a": (0, 50, 100), "b": (0, 60, 102)},
    "form warm": {"a": (0, 50, 100), "b": (0, 56, 112)},
    "add at an end": {
        "a": (0, 50, 100),
        "b": (0, 50, 115),
        "free_end": "end",
        "held": "back",
        "marks_move": False,
    },
    "cut a dart": {"a": (0, 50, 100), "b": (0, 58, 116)},
    "let in a piece": {"a": (0, 50), "b": (0, 70), "held": "back"},
    "cut again": {"a": (0, 50), "b": (0, 52), "thick": (2, 2), "limits": {"warm": own(0.01)}},
}


@pytest.mark.parametrize(("choice", "said"), REACHED.items(), ids=REACHED)
def test_each_way_is_reached(choice, said):
    found = pick(**said)
    # regression: the easiest way that keeps the limits of the tables
    assert found.choice == choice
    assert found.chosen is found.ways[0] and found.chosen.met
    before = ALREADY_CUT.index(choice)
    # exact by hand: every way that is easier is impossible or passes a limit
    assert not any(w.met for w in found.ways if ALREADY_CUT.index(w.choice) < before)


def test_all_ways_are_covered_above():
    assert tuple(REACHED) == ALREADY_CUT
    assert sorted(NOT_CUT) == sorted(ALREADY_CUT)


def test_ways_that_pass_a_limit_come_last_and_the_easiest_first():
    found = pick((0, 60, 130, 190, 260), (0, 66, 136, 200, 272), free_end="end")
    met = [w.met for w in found.ways]
    assert met == sorted(met, reverse=True)
    for kind in (True, False):
        order = [ALREADY_CUT.index(w.choice) for w in found.ways if w.met is kind]
        assert order == sorted(order) and len(order) > 1


def test_not_cut_yet_the_edge_is_drawn_again_rather_than_pulled():
    said = {"a": (0, 50, 100), "b": (0, 52, 104)}
    assert pick(**said).choice == "stretch and squeeze"
    found = pick(**said, already_cut=False)
    assert found.choice == "cut again"
    # exact by hand: the longer edge takes the lengths of the other
    assert amounts(found, "cut again") == [
        ("new length", "back", "start to 1", 50),
        ("new length", "back", "1 to end", 50),
    ]


def test_not_cut_yet_a_mark_is_moved_where_the_whole_seam_agrees():
    found = pick((0, 50, 100), (0, 57, 100.6), already_cut=False)
    assert found.choice == "move marks"
    (check,) = found.chosen.checks
    # exact by hand: 0.6 mm over both intervals, less than a tape reading of 1 mm
    assert check.found == pytest.approx(0.3)
    assert pick((0, 50, 100), (0, 57, 103), already_cut=False).choice == "cut again"


def moves(found):
    return [x for x in amounts(found, "move marks") if x[0] == "move"]


def test_one_mark_is_moved_where_that_is_enough():
    # exact by hand: the first 7 mm are a lone mark's, along the edge that is not shorter
    assert moves(pick((0, 50, 100, 150), (0, 57, 100, 150))) == [("move", "front", "1", 7)]
    assert moves(pick((0, 50, 100, 150), (0, 57, 101, 151)))[0][:3] == ("move", "back", "1")
    # exact by hand: with one mark alone an interval stays 8 mm out
    assert moves(pick((0, 50, 100, 150), (0, 58, 108, 150))) == [
        ("move", "front", "1", 8),
        ("move", "front", "2", 8),
    ]


def test_marks_that_may_not_move_stay():
    said = {"a": (0, 50, 100), "b": (0, 60, 102)}
    assert "move marks" not in [w.choice for w in pick(**said, marks_move=False).ways]


def test_a_held_edge_keeps_its_marks_and_is_not_cut():
    found = pick((0, 50, 100), (0, 60, 115), held="back", free_end="end")
    for w in found.ways:
        cut = [x for x in w.amounts if x.what not in ("extra marks",)]
        assert {x.edge for x in cut} <= {"front"}
    assert "cut a dart" not in [w.choice for w in found.ways]


# Numbers of each way --------------------------------------------------------------------------


def test_stretch_and_squeeze_says_how_much_each_edge_gives():
    found = pick((0, 50, 100), (0, 52, 97))
    # exact by hand: half each, the larger difference first
    assert amounts(found, "stretch and squeeze") == [
        ("squeeze", "front", "1 to end", 2.5),
        ("stretch", "back", "1 to end", 2.5),
        ("stretch", "front", "start to 1", 1),
        ("squeeze", "back", "start to 1", 1),
    ]


@pytest.mark.parametrize(("end", "places"), [("end", (0, 50, 100)), ("start", (0, 50, 100))])
def test_trimming_takes_the_difference_off_one_end(end, places):
    long = (0, 50, 106) if end == "end" else (0, 56, 106)
    found = pick(places, long, free_end=end)
    trim = way(found, "trim an end")
    # exact by hand: all of it lies beside that end, no mark moves
    assert amounts(found, "trim an end") == [("trim", "back", end, 6)]
    assert trim.seam.intervals.difference == pytest.approx([0, 0])


def test_trimming_moves_marks_where_they_may():
    found = pick((0, 50, 100), (0, 56, 106), free_end="end")
    # exact by hand: trimmed at the far end, the mark goes back by 6
    assert amounts(found, "trim an end") == [
        ("trim", "back", "end", 6),
        ("move", "back", "1", -6),
    ]
    start = pick((0, 50, 100), (0, 50, 106), free_end="start")
    # exact by hand: from the new start, the mark lies 6 mm too near
    assert amounts(start, "trim an end") == [
        ("trim", "back", "start", 6),
        ("move", "back", "1", 6),
    ]
    assert way(start, "trim an end").seam.intervals.difference == pytest.approx([0, 0])
    fixed = pick((0, 50, 100), (0, 56, 106), free_end="end", marks_move=False)
    # exact by hand: +6 and then -6 are left, past the limits
    assert way(fixed, "trim an end").seam.intervals.difference == pytest.approx([6, -6])
    assert not way(fixed, "trim an end").met


def test_either_end_takes_the_one_where_the_difference_lies():
    found = pick((0, 50, 100), (0, 56, 106), free_end="either", marks_move=False)
    assert amounts(found, "trim an end")[0] == ("trim", "back", "start", 6)


def test_an_end_too_short_to_be_trimmed_is_not():
    found = pick((0, 90, 95), (0, 100, 105), free_end="end", marks_move=False)
    assert "trim an end" not in [w.choice for w in found.ways]


def test_adding_to_a_cut_edge_asks_for_a_piece_that_can_be_glued():
    names = [w.choice for w in pick((0, 50, 100), (0, 50, 109), free_end="end").ways]
    assert "add at an end" not in names  # assumed in limits.csv: 10 mm at least
    drawn = pick((0, 50, 100), (0, 50, 109), free_end="end", already_cut=False)
    # exact by hand: on paper any length can be added
    assert amounts(drawn, "add at an end") == [("add", "front", "end", 9)]


def test_the_warm_stretch_counts_what_shrinks_on_cooling():
    found = pick((0, 50, 100), (0, 56, 112))
    checks = way(found, "form warm").checks
    # exact by hand: 56/50 x 1.015 - 1, the shrinking from memory in limits.csv
    assert [c.found for c in checks] == pytest.approx([0.1368, 0.1368])
    assert [c.met for c in checks] == [True, True]
    assert amounts(found, "form warm") == [
        ("stretch warm", "front", "start to 1", 6),
        ("stretch warm", "front", "1 to end", 6),
    ]


def test_only_what_is_too_much_is_cut_and_the_rest_is_shared():
    found = pick((0, 50, 100), (0, 58, 110), marks_move=False)
    # exact by hand: 8 mm is past every cold limit, 2 mm is not
    assert amounts(found, "cut a dart") == [
        ("dart", "back", "start to 1", 8),
        ("stretch", "front", "1 to end", 1),
        ("squeeze", "back", "1 to end", 1),
    ]
    assert way(found, "cut a dart").seam.intervals.difference == pytest.approx([0, 2])


def test_a_dart_or_a_piece_is_never_narrower_than_its_limit():
    thin = {"thick": (2, 2), "limits": {"warm": own(0.001)}}
    assert "cut a dart" not in [w.choice for w in pick((0, 50), (0, 52.9), **thin).ways]
    assert "cut a dart" in [w.choice for w in pick((0, 50), (0, 53.1), **thin).ways]
    assert "let in a piece" not in [w.choice for w in pick((0, 50), (0, 59.9)).ways]
    assert "let in a piece" in [w.choice for w in pick((0, 50), (0, 60.1)).ways]


def test_the_legs_of_a_dart_end_where_the_strain_would():
    legs, angle = dart_legs(seam((0, 50), (0, 56)), 0)
    # independent: 1.30 times the run of 53 mm, two decimals are known
    assert legs == pytest.approx(1.30 * 53, rel=0.004)
    assert angle == pytest.approx(2 * math.atan(3 / legs))
    narrow, _ = dart_legs(seam((0, 50), (0, 56), depths=(math.inf, 30)), 0)
    # exact by hand: four fifths of the piece
    assert narrow == pytest.approx(24)


# Limits of one's own --------------------------------------------------------------------------


def test_a_tighter_limit_moves_the_choice_on():
    said = {"a": (0, 50), "b": (0, 52)}
    assert pick(**said).choice == "stretch and squeeze"
    tight = {"squeeze b": own(0.01)}
    found = pick(**said, limits=tight)
    assert found.choice == "form warm"
    assert found.limits["squeeze b"] is tight["squeeze b"]
    assert found.limits["stretch a"].value == 0.08


def test_an_unknown_limit_is_refused():
    with pytest.raises(ValueError, match=r"limit must be one of .*got 'sqeeze a'.*'squeeze a'"):
        pick((0, 50), (0, 52), limits={"sqeeze a": own(0.1)})


def test_every_way_against_every_limit():
    table = pick((0, 50, 100), (0, 58, 110)).table()
    assert set(table["unit"]) == {"%"}
    row = table[table["limit on"] == "squeeze of back, start to 1"].iloc[0]
    # exact by hand: 4/58 against 4 %
    assert (row["found"], row["limit"], row["met"]) == (pytest.approx(400 / 58), 4, False)
    assert list(pick((0, 50), (0, 50)).table().columns) == list(table.columns)


@pytest.mark.parametrize(
    ("said", "error", "message"),
    [
        ({"free_end": "both"}, ValueError, r"free_end must be one of .*'both'"),
        ({"adhesive": "hot glu"}, ValueError, r"adhesive must be .*did you mean 'hot glue'"),
        ({"marks_move": "no"}, TypeError, r"marks_move must be True or False, got 'no'"),
        ({"already_cut": 1}, TypeError, r"already_cut must be True or False, got 1"),
    ],
)
def test_a_situation_that_cannot_be_is_refused(said, error, message):
    with pytest.raises(error, match=message):
        SeamSituation(**{"already_cut": True, **said})
