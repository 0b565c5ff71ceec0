"""The fewest sheets: against every possible way of cutting small lists, and published examples."""

from __future__ import annotations

import random
from collections import Counter
from fractions import Fraction
from itertools import combinations_with_replacement as multisets
from itertools import product
from time import sleep

import numpy as np
import pytest

from foamcalc.job.cutlist import Stock, Strip, cut_list
from foamcalc.job.cutlist import model as model_module
from foamcalc.job.cutlist import search as search_module
from foamcalc.job.cutlist.bound import WORTH, area_bound, rows_bound
from foamcalc.job.cutlist.filled import (
    FilledRow,
    FilledSheet,
    Filling,
    first_division,
    first_fit,
    orders,
)
from foamcalc.job.cutlist.knapsack import CELLS, best_fill, every_fill
from foamcalc.job.cutlist.model import Model
from foamcalc.job.cutlist.needs import Kind, Need, Needs, Place
from foamcalc.job.cutlist.search import search

EVA = {"foam": "EVA medium", "thickness": 5.0}  # invented
ROW = 50.0


def bars(length, lengths, numbers, *, kerf=0.0, seconds=20.0):
    """Strips as wide as their sheet, which has a grain so that none lies across."""
    stock = Stock(**EVA, length=length, width=ROW, grain="along")
    strips = [
        Strip(name=f"{x:g}", **EVA, length=x, width=ROW, count=n, grain="along")
        for x, n in zip(lengths, numbers, strict=True)
    ]
    return cut_list([stock], strips, kerf=kerf, seconds=seconds).materials[0]


def fewest_bins(sizes, room):
    """Every way of putting sizes into bins, one after another; a bin that is empty is as good as
    another empty one."""
    best = len(sizes)

    def put(i, left):
        nonlocal best
        if len(left) >= best:
            return
        if i == len(sizes):
            best = len(left)
            return
        for b in {value: b for b, value in enumerate(left) if value >= sizes[i]}.values():
            put(i + 1, [*left[:b], left[b] - sizes[i], *left[b + 1 :]])
        put(i + 1, [*left, room - sizes[i]])

    put(0, [])
    return best


@pytest.mark.parametrize("seed", range(40))
def test_no_way_of_cutting_a_small_list_takes_fewer_sheets(seed):
    rng = random.Random(seed)
    kerf = rng.choice([0, 2])
    lengths = rng.sample(range(150, 700), rng.randint(2, 5))
    numbers = [rng.randint(1, 3) for _ in lengths]
    found = bars(1000, lengths, numbers, kerf=kerf)
    all_of_them = [x + kerf for x, n in zip(lengths, numbers, strict=True) for _ in range(n)]
    # independent: all partitions of the list
    assert found.bought == fewest_bins(sorted(all_of_them, reverse=True), 1000 + kerf)
    assert found.least_bought == found.bought
    assert found.proven


def one_to_a_sheet(needs, places, order, kerf, start=None):
    """The worst way to begin: every strip alone on its sheet."""
    sheets = [
        FilledSheet(0, [FilledRow(needs.kinds[k].width, Counter({k: 1}))])
        for need in needs.strips
        for k in need.divisions[0] * need.count
    ]
    return Filling(sheets, [first_division(n) for n in needs.strips], Counter())


@pytest.mark.parametrize("seed", range(12))
@pytest.mark.parametrize("kerf", [0, 2])
def test_rows_are_found_that_fill_the_sheet_to_its_end(seed, kerf, monkeypatch):
    monkeypatch.setattr(model_module, "MOST_LISTED", 0)
    monkeypatch.setattr(search_module, "first_fit", one_to_a_sheet)
    rng = random.Random(seed)
    # exact by hand: four pairs that fill four sheets, the kerf between them included
    shorter = rng.sample(range(335, 495), 4)
    found = bars(1000, [*shorter, *(1000 - kerf - x for x in shorter)], [1] * 8, kerf=kerf)
    assert found.bought == found.least_bought == 4
    assert found.waste == pytest.approx(4 * kerf * ROW, abs=1e-6)


def fewest_sheets(pieces, length, width, kerf):
    """All ways of putting (width, length) pieces into rows of one width, and rows into sheets."""
    rows = []
    for row_width in {w for w, _ in pieces}:
        mine = sorted((x + kerf for w, x in pieces if w == row_width), reverse=True)
        rows += [row_width + kerf] * fewest_bins(mine, length + kerf)
    return fewest_bins(sorted(rows, reverse=True), width + kerf)


@pytest.mark.parametrize("seed", range(25))
def test_no_slitting_of_a_small_list_takes_fewer_sheets(seed):
    rng = random.Random(100 + seed)
    kerf = rng.choice([0, 3])
    widths = rng.sample(range(60, 260), 3)
    pieces = [(rng.choice(widths), rng.randint(200, 900)) for _ in range(rng.randint(3, 9))]
    stock = Stock(**EVA, length=1000, width=400, grain="along")
    strips = [
        Strip(name=str(i), **EVA, length=x, width=w, grain="along")
        for i, (w, x) in enumerate(pieces)
    ]
    found = cut_list([stock], strips, kerf=kerf).materials[0]
    # independent: rows of one width need not be more than the fewest, and the sheets then neither
    assert found.bought == fewest_sheets(pieces, 1000, 400, kerf)
    assert found.proven


def cheapest(pieces, sheets, kerf):
    """All ways: each piece into a row, onto a new row, or into a new sheet laid along or across.

    Sheets are (length, width, price, number there are). Nothing is left out but what is dearer.
    """
    best = float("inf")

    def put(i, rows, room, there, cost):
        nonlocal best
        if cost >= best:
            return
        if i == len(pieces):
            best = cost
            return
        width, length = pieces[i]
        for r, (row_width, left, row_length, sheet) in enumerate(rows):
            if row_width == width and length <= left:
                used = (row_width, left - length - kerf, row_length, sheet)
                put(i + 1, [*rows[:r], used, *rows[r + 1 :]], room, there, cost)
        for s, (row_length, left) in enumerate(room):
            if length <= row_length and width <= left:
                row = (width, row_length - length - kerf, row_length, s)
                less = [*room[:s], (row_length, left - width - kerf), *room[s + 1 :]]
                put(i + 1, [*rows, row], less, there, cost)
        for k, (x, y, price, _) in enumerate(sheets):
            if there[k]:
                fewer = [*there[:k], there[k] - 1, *there[k + 1 :]]
                for row_length, across in {(x, y), (y, x)}:
                    if length <= row_length and width <= across:
                        row = (width, row_length - length - kerf, row_length, len(room))
                        new = [*room, (row_length, across - width - kerf)]
                        put(i + 1, [*rows, row], new, fewer, cost + price)

    put(0, [], [], [n for *_, n in sheets], 0.0)
    return best


@pytest.mark.parametrize("seed", range(30))
def test_no_choice_of_sheets_is_cheaper(seed):
    rng = random.Random(seed)
    kerf = rng.choice([0, 2])
    sheets = [
        (600, 300, 0.0, 1),  # an offcut
        (500, 400, rng.choice([3.0, 5.0]), rng.choice([1, 6])),
        (1000, 500, rng.choice([8.0, 11.5]), 6),
    ]
    widths = rng.sample(range(60, 250), 2)
    pieces = [(rng.choice(widths), rng.randint(150, 480)) for _ in range(rng.randint(3, 6))]
    stocks = [
        Stock(**EVA, length=x, width=y, price=p, at_hand=n, offcut=not p) for x, y, p, n in sheets
    ]
    strips = [Strip(name=str(i), **EVA, length=x, width=w) for i, (w, x) in enumerate(pieces)]
    found = cut_list(stocks, strips, kerf=kerf).materials[0]
    least = cheapest(pieces, sheets, kerf)  # independent: all ways tried
    assert found.cost == pytest.approx(least, abs=1e-9)
    assert found.least_cost <= least + 1e-9


def test_the_master_roll_of_5600_mm():
    """Published: 13 widths, 73 rolls are enough and needed; 407 160 mm in all; 308 patterns.

    The worked example of the encyclopedia article "Cutting stock problem" (origin of the numbers
    not named there), read in two stored copies; one of them leaves out the number of patterns.
    """
    widths = [1380, 1520, 1560, 1710, 1820, 1880, 1930, 2000, 2050, 2100, 2140, 2150, 2200]
    numbers = [22, 25, 12, 14, 18, 18, 20, 10, 12, 14, 16, 18, 20]
    assert sum(w * n for w, n in zip(widths, numbers, strict=True)) == 407_160
    patterns = [c for n in range(1, 5) for c in multisets(widths, n) if sum(c) <= 5600]
    assert len(patterns) == 308
    listed = every_fill(widths, numbers, 5600, 2000)
    assert listed is not None
    # exact by hand: to these no 1380 can be added
    assert len(listed) == sum(5600 - sum(c) < 1380 for c in patterns)
    found = bars(5600, widths, numbers)
    assert found.bought == found.least_bought == 73
    assert found.proven


def test_the_rolls_of_100_inches():
    """Published: 45, 36, 31, 14 in, 97, 610, 395, 211 wanted; 452.25 in parts, 453 whole rolls.

    There are 37 patterns. V. Chvátal, Linear Programming (1983), as a notebook of the JuMP project
    prints it with the solver's output (Chiwei Yan, Cutting Stock, juliaopt-notebooks), read in a
    stored copy; the book itself was not opened.
    """
    patterns = [c for n in range(1, 8) for c in multisets([45, 36, 31, 14], n) if sum(c) <= 100]
    assert len(patterns) == 37
    found = bars(100, [45, 36, 31, 14], [97, 610, 395, 211])
    assert found.bought == found.least_bought == 453
    model = rolls_model([45, 36, 31, 14], [97, 610, 395, 211], 100)
    assert model.list_all()
    relaxed = model.relax(10)
    assert relaxed is not None
    numbers, worths = relaxed
    parts_of_rolls = sum(
        n for column, n in zip(model.columns, numbers, strict=True) if column.what == "sheet"
    )
    assert parts_of_rolls == pytest.approx(452.25, abs=5e-3)
    bound = rows_bound(model, [round(w * WORTH) for w in worths[:4]])
    assert 452 < bound <= Fraction(45225, 100)


def rolls_model(lengths, numbers, room):
    kinds = tuple(Kind(10, length, "any") for length in lengths)
    needs = Needs(
        kinds=kinds,
        strips=tuple(Need(item=i, count=n, divisions=((i,),)) for i, n in enumerate(numbers)),
    )
    return Model(needs, [place(room, 10)], 0, short=False)


def place(length, width, *, cost=1, most=None, grained=True):
    return Place(
        stock=0,
        sheet=None,
        x=0,
        y=0,
        length=length,
        width=width,
        cost=cost,
        most=most,
        grained=grained,
    )


def test_a_list_that_its_parts_bound_cannot_prove_is_proven_by_looking_at_all():
    # 2 x 44 + 3 x 33 + 6 x 12 = 259 in bars of 132: 1.96 bars. Exact (all partitions): 3 bars.
    sizes = [44] * 2 + [33] * 3 + [12] * 6
    assert fewest_bins(sizes, 132) == 3
    found = bars(132, [44, 33, 12], [2, 3, 6])
    assert found.bought == found.least_bought == 3
    assert found.proven


@pytest.mark.parametrize("seed", range(6))
def test_any_worth_at_all_gives_a_bound_that_holds(seed):
    rng = random.Random(seed)
    lengths = rng.sample(range(20, 70), 4)
    numbers = [rng.randint(1, 2) for _ in lengths]
    model = rolls_model(lengths, numbers, 100)
    all_of_them = [x for x, n in zip(lengths, numbers, strict=True) for _ in range(n)]
    fewest = fewest_bins(all_of_them, 100)  # independent: all partitions
    for _ in range(50):
        worths = [rng.randint(0, WORTH) for _ in lengths]
        assert rows_bound(model, worths) <= fewest


def test_a_bound_counts_sheets_of_which_there_are_few():
    # exact by hand: one of the two dear sheets is needed beside the one cheap one
    kinds = (Kind(10, 100, "any"),)
    needs = Needs(kinds=kinds, strips=(Need(item=0, count=2, divisions=((0,),)),))
    places = [place(100, 10, cost=1, most=1), place(100, 10, cost=5)]
    model = Model(needs, places, 0, short=False)
    assert rows_bound(model, [5 * WORTH]) == 6
    assert rows_bound(model, [WORTH]) == 6  # the factor makes up for any size of the worths
    assert rows_bound(model, [0]) == 0
    # exact by hand: the second sheet is half used
    assert area_bound(1500, places, 0) == 1 + Fraction(5, 2)
    found = search(needs, places, 0, seconds=5, tell=lambda what: None)
    assert found.cost == found.least == 6


def test_a_bound_takes_each_strip_in_the_way_that_is_worth_least():
    # exact by hand: whole it takes one sheet, in two parts of 60 it would take two
    kinds = (Kind(10, 60, "any"), Kind(10, 100, "any"))
    needs = Needs(kinds=kinds, strips=(Need(item=0, count=1, divisions=((0, 0), (1,))),))
    model = Model(needs, [place(100, 10)], 0, short=False)
    assert rows_bound(model, [WORTH, WORTH]) == 1
    assert rows_bound(model, [WORTH, 0]) == 0


def brute_fill(sizes, values, copies, room):
    ways = product(*(range(c + 1) for c in copies))
    fits = (w for w in ways if sum(n * s for n, s in zip(w, sizes, strict=True)) <= room)
    return max(sum(n * v for n, v in zip(w, values, strict=True)) for w in fits)


@pytest.mark.parametrize("seed", range(30))
def test_the_best_row_is_the_best_of_all_rows(seed):
    rng = random.Random(seed)
    sizes = [rng.randint(5, 60) for _ in range(4)]
    values = [rng.randint(0, 40) for _ in range(4)]
    copies = [rng.randint(0, 4) for _ in range(4)]
    value, numbers = best_fill(sizes, values, copies, 100)
    assert value == brute_fill(sizes, values, copies, 100)  # independent: all numbers tried
    assert value == sum(n * v for n, v in zip(numbers, values, strict=True))
    assert sum(n * s for n, s in zip(numbers, sizes, strict=True)) <= 100
    assert all(n <= c for n, c in zip(numbers, copies, strict=True))


def test_a_row_too_fine_for_its_steps_is_kept_between_two_values():
    rng = random.Random(7)
    room = 50 * CELLS + 1
    for _ in range(10):
        sizes = [rng.randint(room // 9, room // 2) for _ in range(5)]
        values = [rng.randint(1, 100) for _ in range(5)]
        copies = [3] * 5
        truth = brute_fill(sizes, values, copies, room)  # independent: all numbers tried
        low, numbers = best_fill(sizes, values, copies, room)
        high, _ = best_fill(sizes, values, copies, room, at_most=True)
        assert low <= truth <= high
        assert sum(n * s for n, s in zip(numbers, sizes, strict=True)) <= room


def test_what_only_just_does_not_fit_is_not_put_in():
    # exact by hand: two halves and a thousandth each are more than the room
    half = 5 * CELLS + 1
    assert best_fill([half, half + 1], [1, 1], [1, 1], 10 * CELLS + 2) == (1, (1, 0))


def test_sizes_smaller_than_a_step_do_not_break_the_bound():
    sizes, values, copies = [3, 10 * CELLS], [1, 5], [4, 1]
    room = 10 * CELLS + 9
    # exact by hand: 3 small ones beside the large one
    assert brute_fill(sizes, values, copies, room) == 8
    assert best_fill(sizes, values, copies, room, at_most=True)[0] >= 8


@pytest.mark.parametrize("seed", range(10))
def test_the_rows_listed_are_all_that_nothing_can_be_added_to(seed):
    rng = random.Random(seed)
    sizes = [rng.randint(10, 60) for _ in range(4)]
    copies = [rng.randint(1, 4) for _ in range(4)]
    fits = {
        way
        for way in product(*(range(c + 1) for c in copies))
        if sum(n * s for n, s in zip(way, sizes, strict=True)) <= 100
    }
    full = {
        way
        for way in fits
        if not any((*way[:i], way[i] + 1, *way[i + 1 :]) in fits for i in range(4))
    }
    listed = every_fill(sizes, copies, 100, 10_000)
    assert listed is not None
    assert set(listed) == full  # independent: all numbers tried
    assert len(listed) == len(full)
    assert every_fill(sizes, copies, 100, len(full) - 1) is None


def test_what_is_begun_is_filled_before_a_new_sheet_is():
    kinds = (Kind(10, 60, "any"), Kind(10, 40, "any"))
    needs = Needs(
        kinds=kinds,
        strips=tuple(Need(item=i, count=1, divisions=((i,),)) for i in range(2)),
    )
    places = [place(100, 10)]
    begun = first_fit(needs, places, orders(places)[0], 0)
    assert len(begun.sheets) == 1  # exact by hand: 60 + 40 = 100
    del begun.sheets[0].rows[0].kinds[1]
    again = first_fit(needs, places, orders(places)[0], 0, begun)
    assert len(again.sheets) == 1
    assert dict(again.sheets[0].rows[0].kinds) == {0: 1, 1: 1}


def test_fewest_rows_that_come_too_late_are_left(monkeypatch):
    whole = Model.whole

    def slow(self, seconds, *, most, second=False):
        if second:
            sleep(max(seconds, 0))
        return whole(self, 1.0, most=most, second=second)

    monkeypatch.setattr(Model, "whole", slow)
    found = bars(100, [45, 36, 31, 14], [7, 6, 5, 4], seconds=0.3)
    assert not found.finished
    assert found.bought == found.least_bought  # exact: the bound


def test_a_solver_that_breaks_its_lines_is_not_believed(monkeypatch):
    import scipy.optimize

    class Wrong:
        def __init__(self, columns):
            self.x = np.zeros(columns)
            self.status = 0

    monkeypatch.setattr(scipy.optimize, "milp", lambda goal, **_: Wrong(len(goal)))
    found = bars(100, [45, 36, 31, 14], [7, 6, 5, 4])
    # nothing is lost: first fit stands
    assert sum(len(sheet.placed) for sheet in found.sheets) == 22
    assert found.least_bought <= found.bought
