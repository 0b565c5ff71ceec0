"""Panels on shelves, and strips from what they leave."""

from __future__ import annotations

import random

import numpy as np
import pytest

from foamcalc.ask.cutlist import Panel, Stock, Strip, cut_list

EVA = {"foam": "EVA medium", "thickness": 10.0}  # invented, as all sizes here


def sheet(length=1000, width=500, **more):
    return Stock(**EVA, length=length, width=width, **more)


def panel(name="scute", length=200, width=150, count=1, **more):
    return Panel(name=name, **EVA, length=length, width=width, count=count, **more)


def strip(name="rim", length=300, width=40, count=1, **more):
    return Strip(name=name, **EVA, length=length, width=width, count=count, **more)


def cut(stocks, items, **more):
    (material,) = cut_list(stocks, items, **more).materials
    return material


def boxes(material):
    return [(p.name, p.x, p.y, p.length, p.width) for s in material.sheets for p in s.placed]


def test_equal_panels_fill_the_sheet():
    # exact by hand: 5 x 200 by 2 x 250
    found = cut([sheet()], [panel(length=200, width=250, count=10)])
    assert found.bought == 1
    assert found.proven
    assert found.waste == pytest.approx(0, abs=1e-6)
    # exact by hand: an eleventh takes another sheet
    assert cut([sheet()], [panel(length=200, width=250, count=11)]).bought == 2


def test_panels_are_turned_where_they_fit_only_so():
    # exact by hand: 480 x 900 fits 1000 x 500 only turned
    found = cut([sheet()], [panel(length=480, width=900)])
    assert boxes(found) == [("scute", 0, 0, 900, 480)]
    assert found.sheets[0].placed[0].turned
    grained = sheet(grain="along")
    with pytest.raises(ValueError, match="400 mm too wide"):
        cut([grained], [panel(length=480, width=900, grain="along")])
    assert cut([grained], [panel(length=480, width=900, grain="across")]).bought == 1


def test_panels_keep_their_gap_and_the_kerf():
    # exact by hand: 3 x 330 + 2 x 5 = 1000; with 6 mm the third goes elsewhere
    row = cut([sheet(1000, 150)], [panel(length=330, width=150, count=3, gap=5)], kerf=2)
    assert [b[1] for b in boxes(row)] == [0, 335, 670]
    assert row.bought == 1
    assert cut([sheet(1000, 150)], [panel(length=330, width=150, count=3, gap=6)]).bought == 2
    # exact by hand: the kerf holds where it is wider than the gap
    saw = cut([sheet(1000, 150)], [panel(length=330, width=150, count=3, gap=1)], kerf=5)
    assert [b[1] for b in boxes(saw)] == [0, 335, 670]


def test_ring_sectors_lie_in_each_other():
    # exact by hand: 120 for the first and 45 for each of six more are 390, within 400
    found = cut([sheet(300, 400)], [panel(length=300, width=120, count=7, nest=45)])
    assert found.bought == 1
    assert found.least_bought == 1
    assert sorted(b[2] for b in boxes(found)) == [0, 45, 90, 135, 180, 225, 270]
    # exact by hand: without the nest, three of 120 fit
    assert cut([sheet(300, 400)], [panel(length=300, width=120, count=7)]).bought == 3
    # exact by hand: what they take of the sheet
    assert found.waste == pytest.approx(300 * 400 - 300 * 390, rel=1e-12)


def test_ring_sectors_are_dealt_out_evenly_where_one_sheet_cannot_hold_them():
    # exact by hand: 7 fit in 400 mm; 10 make two lots of 5
    found = cut([sheet(300, 400)], [panel(length=300, width=120, count=10, nest=45)])
    assert [len(s.placed) for s in found.sheets] == [5, 5]
    assert sorted(p.number for s in found.sheets for p in s.placed) == list(range(1, 11))


def test_strips_come_from_what_the_panels_leave():
    # exact by hand: the panel leaves 1000 x 100, two rows of 50
    found = cut([sheet()], [panel(length=1000, width=400), strip(length=1000, width=50, count=2)])
    assert found.bought == 1
    assert found.proven
    assert found.waste == pytest.approx(0, abs=1e-6)
    more = cut([sheet()], [panel(length=1000, width=400), strip(length=1000, width=50, count=3)])
    assert more.bought == 2


def test_strips_come_from_the_end_of_a_shelf_too():
    # exact by hand: the panel leaves 300 x 500 beside it: five rows of 100 x 300
    found = cut([sheet()], [panel(length=700, width=500), strip(length=300, width=100, count=5)])
    assert found.bought == 1
    assert min(b[1] for b in boxes(found)[1:]) == 700


def test_strips_take_what_panels_leave_before_they_begin_the_sheet_they_need():
    # exact by hand: two rows of 50 beside the panel, the third from a new sheet
    items = [panel(length=1000, width=400), strip(length=1000, width=50, count=3)]
    found = cut([sheet(grain="along")], items)
    assert [len(s.placed) for s in found.sheets] == [3, 1]
    # exact by hand: what is left is too narrow for the long one, and the short one goes with it,
    # though a row of the small sheet is shorter
    items = [panel(length=1000, width=450), strip("long", 600, 60), strip("short", 480, 50)]
    found = cut([sheet(price=9), sheet(600, 500, price=5)], items)
    assert [sorted(p.name for p in s.placed) for s in found.sheets] == [
        ["scute", "short"],
        ["long"],
    ]


def test_shelves_across_and_strips_from_their_ends():
    # exact by hand: across, 250 + 250 and 300 + 200 are 500 of 520 mm, 600 + 400 all of 1000 mm;
    # the ends leave 20 x 600 and 20 x 400. Along, two shelves are 550 mm at least.
    items = [
        panel("a", 600, 250, 2),
        panel("b", 400, 300),
        panel("c", 400, 200),
        strip("long", 600, 20),
        strip("short", 400, 20),
    ]
    found = cut([sheet(1000, 520)], items)
    assert found.bought == 1
    assert {p.y for p in found.sheets[0].placed if p.name in ("long", "short")} == {500}


def test_small_panels_fill_every_shelf():
    # exact by hand: 3 x 3
    assert cut([sheet(900, 450)], [panel(length=300, width=150, count=9)]).bought == 1


def test_an_offcut_is_not_used_twice():
    # exact by hand: the panel and the strip each fit the one offcut, but not both
    stocks = [sheet(price=9), sheet(210, 160, offcut=True)]
    found = cut(stocks, [panel(), strip(length=200, width=150)])
    assert sorted(s.stock.free for s in found.sheets) == [False, True]


def test_a_panel_leaves_the_strip_the_room_that_it_needs():
    # exact by hand: 100 x 60 and 200 x 100 lie side by side in 300 x 100
    stocks = [sheet(price=9), sheet(300, 100, offcut=True)]
    found = cut(stocks, [panel(length=100, width=60), strip(length=200, width=100)])
    assert found.bought == found.least_bought == 0


def test_the_kerf_lies_between_a_panel_and_the_strips_beside_it():
    items = [panel(length=1000, width=400), strip(length=1000, width=50, count=2)]
    assert cut([sheet()], items, kerf=2).bought == 2  # exact by hand: 400 + 2 + 50 + 2 + 50 > 500
    assert cut([sheet(1000, 504)], items, kerf=2).bought == 1  # exact by hand: 504


def test_panels_take_offcuts_first():
    offcut = sheet(210, 160, offcut=True)
    found = cut([sheet(price=9), offcut], [panel(count=2)])
    assert sorted(s.stock.free for s in found.sheets) == [False, True]
    assert found.cost == 9
    assert cut([sheet(price=9), offcut], [panel(count=1)]).cost == 0


def test_panels_ask_for_no_more_than_is_at_hand():
    with pytest.raises(ValueError, match=r"no room was found for 2 of 'scute'.*2 of EVA medium"):
        cut([sheet(200, 150, at_hand=2)], [panel(count=4)])


def test_panels_from_the_cheaper_sheet():
    # exact by hand: 4 on one large sheet for 10, or one each on small ones for 4 x 3 = 12
    small, large = sheet(200, 150, price=3.0), sheet(400, 300, price=10.0)
    assert cut([small, large], [panel(count=4)]).cost == 10.0
    # exact by hand: two small ones for 6
    assert cut([small, large], [panel(count=2)]).cost == 6.0


def test_a_rule_of_thumb_is_not_called_proven():
    # exact by hand: 1.35 sheets of pieces that lie three to a sheet: no two sheets hold four
    found = cut([sheet()], [panel(length=400, width=420, count=5)])
    assert found.bought == 3  # 2 x 400 along, one row of 420
    assert found.least_bought == 2  # exact by hand: 5 x 0.168 / 0.5 = 1.68
    assert not found.proven
    assert not found.least_in_rows


def test_strips_and_panels_share_a_sheet_whatever_is_cut_first():
    # exact by hand: 400 + 573 <= 1000 and 460 + 25 <= 500, all from one sheet. Regression: the
    # panels went on shelves without a thought of the strip, which took a second sheet
    items = [panel(length=400, width=240, count=2), panel("flank", 560, 460), strip("hem", 573, 25)]
    found = cut([sheet(price=17)], items)
    assert found.bought == 1 and found.proven


@pytest.mark.parametrize("seed", range(12))
def test_the_largest_piece_left_is_the_largest_there_is(seed):
    rng = random.Random(seed)
    kerf, trim = rng.choice([(0, 0), (10, 0), (0, 10), (10, 20)])
    items = [
        panel(f"p{i}", 10 * rng.randint(2, 20), 10 * rng.randint(2, 12), grain="along")
        for i in range(rng.randint(1, 3))
    ] + [strip(f"s{i}", 10 * rng.randint(5, 25), 10 * rng.randint(1, 3)) for i in range(2)]
    found = cut([sheet(300, 260)], items, kerf=kerf, trim=trim)
    for one in found.sheets:
        # independent: every rectangle of whole centimetres that keeps the kerf from all pieces
        free = np.zeros((30, 26), dtype=int)
        free[trim // 10 : 30 - trim // 10, trim // 10 : 26 - trim // 10] = 1
        for p in one.placed:
            x, y = round(p.x - kerf) // 10, round(p.y - kerf) // 10
            x_end, y_end = (
                round(p.x + p.length + kerf) // 10,
                round(p.y + p.width + kerf) // 10,
            )
            free[max(x, 0) : x_end, max(y, 0) : y_end] = 0
        best = 0
        for a in range(30):
            for b in range(a + 1, 31):
                run = 0
                for open_ in free[a:b].all(axis=0):
                    run = run + 1 if open_ else 0
                    best = max(best, (b - a) * run)
        assert one.rest[0] * one.rest[1] == pytest.approx(100 * best)


def test_a_gap_lies_between_outlines_and_only_the_kerf_beside_a_strip():
    # exact by hand: 300 + 5 + 300 of 605 for two outlines; 300 + 300 of 600 for one and a strip
    outlines = [panel("a", 300, 100, gap=5, grain="along"), panel("b", 300, 100, gap=5)]
    assert cut([sheet(605, 100)], outlines).bought == 1
    assert cut([sheet(604, 100)], outlines).bought == 2
    beside = [outlines[0], strip("b", 300, 100)]
    assert cut([sheet(600, 100)], beside).bought == 1
    assert cut([sheet(600, 100)], beside, kerf=1).bought == 2
