"""The cut list of a job sheet: what is in it, out of which stock, and what is said of it."""

import csv
import io
import re
from pathlib import Path

import numpy as np
import pytest

from foamcalc.ask.cutlist import Panel, Row, Strip
from foamcalc.ask.cutting import ToCut, cut_build, items_of, to_cut
from foamcalc.ask.cutting import build as build_module
from foamcalc.ask.cutting.files import cutting_files
from foamcalc.ask.cutting.sizes import alike, own_size, row_place
from foamcalc.ask.cutting.words import cut_lines, cut_steps, how_found, joins, sentence
from foamcalc.ask.plan import plan
from foamcalc.ask.sheet import SheetFault, demo_sheet_path, parse_sheet, read_sheet
from foamcalc.fit.advice import what_to_do
from foamcalc.units import format_length

STOCK = """
[[stock]]
foam = "EVA medium"
thickness = 5
length = 1000
width = 500
price = 12
"""
PIECE = """
[[piece]]
name = "flipper"
foam = "EVA medium"
thickness = 5
length = 410
width = 170
count = 4
"""
KNEE = """
[[overlay]]
name = "knee cup cover"
cut = 173
needed = 188
base = 10
thickness = 5
turn = "180 deg"
width = 80
already_cut = false
foam = "EVA medium"
"""
TUBE = """
[curve.shin]
measured_on = "outside"
girth = 300

[shell."left shin"]
curve = "shin"
thickness = 5
width = 200
foam = "EVA medium"
"""


def planned(text):
    return plan(parse_sheet(text, ".", "rims.toml"))


def cut(text, **more):
    return cut_build(planned(text), **more)


def faults(text):
    with pytest.raises(SheetFault) as caught:
        cut(text)
    return [line.removeprefix("rims.toml, ") for line in caught.value.faults]


@pytest.fixture(scope="module")
def demo():
    return cut_build(plan(read_sheet(demo_sheet_path())))


# What is in the list ----------------------------------------------------------------------------


def test_a_base_is_as_long_as_its_fibre_lying_flat():
    (base,) = items_of(planned(TUBE))
    assert isinstance(base, Panel) and base.name == "left shin, base"
    # exact by hand: the fibre of a tube lies half its thickness inside the tape, 300 - 2 pi x 2.5
    assert base.length == pytest.approx(300 - 2 * np.pi * 2.5, rel=1e-12)
    assert (base.width, base.thickness, base.foam) == (200, 5, "EVA medium")
    inside = TUBE.replace('"outside"', '"inside"')
    (base,) = items_of(planned(inside))
    assert base.length == pytest.approx(300 + 2 * np.pi * 2.5, rel=1e-12)  # exact by hand


def test_a_fibre_of_the_foam_moves_the_length_of_its_base():
    foam = '[foam.shell]\ngrade = "EVA medium"\nfibre = 0.4\n'
    (base,) = items_of(planned(foam + TUBE.replace('foam = "EVA medium"', 'foam = "shell"')))
    assert base.length == pytest.approx(300 - 2 * np.pi * 3, rel=1e-12)  # exact by hand: 0.6 x 5


def test_a_base_that_is_cut_or_of_unknown_width_stays_out_and_that_is_said():
    done = to_cut(planned(TUBE + "already_cut = true\n"))
    assert done.items == () and done.said == ()
    unknown = to_cut(planned(TUBE.replace("width = 200\n", "")))
    assert unknown.items == ()
    assert unknown.said == ("Not in the list: the base of left shin, for its width is not said.",)


def test_an_overlay_that_is_not_cut_is_listed_as_long_as_its_answer_says():
    build = planned(KNEE)
    (strip,) = items_of(build)
    assert isinstance(strip, Strip) and (strip.width, strip.thickness) == (80, 5)
    assert strip.spare == 20  # exact by hand: 10 mm at each of two free ends
    words = what_to_do(build.joints[0].answer.choice)
    assert f"cut it {format_length(strip.cut_length)} long" in words
    assert f"({format_length(strip.length)}, 1 mm under what it needs" in words


def test_an_overlay_that_fits_as_it_is_drawn_is_listed_as_it_is():
    flat = KNEE.replace('turn = "180 deg"', 'turn = "1 deg"').replace("cut = 173", "cut = 188")
    (strip,) = items_of(planned(flat))
    assert (strip.length, strip.spare) == (188, 0)  # exact: as the sheet says


def test_what_is_cut_stays_out_unless_the_answer_cuts_it_again(demo):
    choices = {p.joint.name: p.answer.choice for p in demo.plan.joints}
    names = {item.name for item in demo.items if isinstance(item, Strip)}
    again = {n for n, c in choices.items() if c.choice == "cut longer"}
    let = {f"{n}, piece to let in" for n, c in choices.items() if c.choice == "let in a piece"}
    trims = {p.job.name for p in demo.plan.trims}
    assert again and let and names == again | let | trims
    told = next(line for line in demo.said if "stays as it is" in line)
    for name in choices.keys() - again - {"fourth scute"}:
        assert name in told
    lengths = {item.name: item.length for item in demo.items}
    for name in let:
        choice = choices[name.removesuffix(", piece to let in")]
        # exact: what is missing
        assert lengths[name] == choice.planned_length - choice.joint.cut_length


def test_an_overlay_of_unknown_width_or_without_a_way_stays_out_and_that_is_said():
    unknown = to_cut(planned(KNEE.replace("width = 80\n", "")))
    assert unknown.items == ()
    assert unknown.said == ("Not in the list, for the width is not said: knee cup cover.",)
    hopeless = KNEE.replace("width = 80", "width = 80\nmost_opening = 0.01")
    build = planned(hopeless)
    assert build.joints[0].answer.choice.choice == "divide"
    found = to_cut(build)
    assert found.items == () and "Divide it or take thinner foam" in found.said[0]


def test_two_pieces_of_one_name_and_very_long_names_are_told_apart():
    long = "x" * 60
    text = TUBE.replace("left shin", long) + TUBE[TUBE.index("[shell") :].replace(
        "left shin", f"{long[:-1]}y"
    )
    text += PIECE.replace("flipper", "plate")
    names = [item.name for item in items_of(planned(text))]
    assert len(set(names)) == 3 and max(map(len, names)) == 60
    cut(text + STOCK)  # all of them can stand on a list


def test_a_piece_keeps_its_count_its_grain_and_the_gap_of_the_sheet():
    text = PIECE + 'grain = "along"\n' + "[cutting]\ngap = 3\n"
    (piece,) = items_of(planned(text))
    assert (piece.count, piece.grain, piece.gap) == (4, "along", 3)


# Out of which sheets ----------------------------------------------------------------------------


def test_four_flippers_lie_on_one_sheet_and_cost_one():
    # exact by hand: 2 x 410 + 3 <= 1000 and 2 x 170 + 3 <= 500; 4 x 410 x 170 of 1000 x 500
    build = cut(PIECE + STOCK + '[cutting]\ngap = 3\ncurrency = "tokens"\n')
    (material,) = build.found.materials
    assert (material.bought, build.found.cost, material.proven) == (1, 12, True)
    assert material.waste_share == pytest.approx(1 - 4 * 410 * 170 / 500_000, rel=1e-12)
    assert sentence(build) == (
        "1 sheet of EVA medium 5 mm, 1000 × 500 mm; 44% waste, what may be kept counted in; "
        "no list needs fewer than 1; 12.00 tokens."
    )


def test_kerf_and_edge_trim_of_the_sheet_are_kept():
    # exact by hand: four of 500 x 250 fill 1000 x 500 to the edge. On 998 x 498 there is room for
    # one; with half a millimetre between them for three, upright
    piece = PIECE.replace("410", "500").replace("170", "250")
    assert cut(piece + STOCK).found.materials[0].waste == pytest.approx(0, abs=1e-6)
    trimmed = cut(piece + STOCK + "[cutting]\nedge_trim = 1\n")
    assert trimmed.found.materials[0].bought == 4 and trimmed.found.trim == 1
    sawn = cut(piece + STOCK + "[cutting]\nkerf = 0.5\n")
    assert sawn.found.materials[0].bought == 2 and sawn.found.kerf == 0.5
    apart = cut(piece + STOCK + "[cutting]\ngap = 0.5\n")
    assert apart.found.materials[0].bought == 2


def test_an_offcut_is_taken_first_and_costs_nothing():
    offcut = STOCK.replace("price = 12", "offcut = true")
    build = cut(PIECE + STOCK + offcut)
    assert [sheet.stock.offcut for sheet in build.found.materials[0].sheets] == [True]
    assert build.found.cost == 0
    assert sentence(build).startswith("1 offcut of EVA medium 5 mm") and "nothing to buy" in (
        sentence(build)
    )


def test_the_cheapest_is_named_where_sheets_of_several_sizes_can_be_had():
    # exact by hand: one small sheet holds one flipper for 4, a large one four for 12
    small = STOCK.replace("1000", "420").replace("500", "180").replace("12", "4")
    build = cut(PIECE.replace("count = 4", "count = 2") + STOCK + small)
    assert build.found.cost == 8
    assert "no list costs less than" in sentence(build)


def test_foam_without_stock_is_told_in_pieces_and_area_and_is_no_fault():
    build = cut(PIECE + KNEE + STOCK.replace("thickness = 5", "thickness = 6"))
    assert build.found is None
    (needed,) = build.needed
    assert needed.count == 5 and needed.other == (6,)
    strip = next(item for item in build.items if isinstance(item, Strip))
    # exact by hand: four rectangles and the strip with its spare
    assert needed.area == pytest.approx(4 * 410 * 170 + 80 * strip.cut_length, rel=1e-12)
    assert needed.longest.name == "flipper"
    text = " ".join(" ".join(cut_lines(build)).split())
    assert "5 pieces to cut" in text and "names no [[stock]] for them" in text
    assert "the longest 410 × 170 mm (flipper); there is stock of it in 6 mm" in text
    assert "Nothing is cut from the stock of EVA medium 6 mm." in text


def test_a_part_without_stock_is_said_in_the_first_sentence():
    thick = PIECE.replace("thickness = 5", "thickness = 10").replace("flipper", "keel")
    build = cut(PIECE + thick + STOCK)
    assert sentence(build).endswith("Not counted: what no stock is named for.")
    assert build.needed[0].items[0].name == "keel"


def test_nothing_to_cut_is_said_and_gives_no_files():
    build = cut(TUBE + "already_cut = true\n" + STOCK)
    assert sentence(build).startswith("Nothing is to be cut")
    assert cutting_files(build) == {} and build.found is None


def test_a_foam_of_the_sheet_and_a_grade_are_two_foams():
    foam = '[foam.shell]\ngrade = "EVA medium"\n'
    build = cut(foam + PIECE.replace("EVA medium", "shell") + STOCK)
    assert build.needed[0].foam == "shell (EVA medium)"
    named = cut(foam + (PIECE + STOCK).replace('foam = "EVA medium"', 'foam = "shell"'))
    assert named.needed == () and named.found.materials[0].bought == 1


def test_many_foams_are_counted_in_the_first_sentence(demo):
    assert len(demo.found.materials) == 3
    assert re.match(r"\d sheets, of 3 foams and thicknesses; ", sentence(demo))
    total = sum(sheet.area for m in demo.found.materials for sheet in m.sheets)
    share = sum(m.waste for m in demo.found.materials) / total  # exact: of all sheets together
    assert f"; {share:.0%} waste" in sentence(demo)


# What is wrong ----------------------------------------------------------------------------------


def test_all_pieces_that_fit_nowhere_are_told_at_once():
    long = PIECE.replace("410", "1400").replace("flipper", "keel")
    thick = long.replace("keel", "fin").replace("thickness = 5", "thickness = 10")
    more = STOCK.replace("thickness = 5", "thickness = 10")
    found = faults(PIECE + long + long.replace("keel", "tail") + thick + STOCK + more)
    assert [line.partition(": ")[0] for line in found] == [
        "cut list, panel 'keel'",
        "cut list, panel 'tail'",
        "cut list, panel 'fin'",
    ]
    assert "1400 × 170 mm fits no sheet" in found[0]


def test_too_few_sheets_at_hand_are_told():
    (found,) = faults(PIECE.replace("count = 4", "count = 9") + STOCK + "at_hand = 1\n")
    assert found.startswith("cut list, not enough sheets") and "raise at_hand" in found


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        ("length = 1000", "length = 0", "length: must be a length above 0 mm"),
        ("length = 1000\n", "", "length: is missing"),
        ("price = 12", "price = -1", "price: must be a number from 0 to 1000000, got -1"),
        ("price = 12", 'price = "12"', "price: must be a number from 0 to 1000000"),
        ("price = 12", "price = nan", "price: must be a number"),
        ("price = 12", "price = 0", "at_hand: is missing although price = 0"),
        ("price = 12", "price = 12\noffcut = true", "price: an offcut costs nothing, got 12"),
        ("price = 12", "at_hand = 0", "at_hand: must be a whole number from 1 to 10000, got 0"),
        ("price = 12", "at_hand = 1.5", "at_hand: must be a whole number"),
        ("price = 12", 'grain = "across"', "grain: must be 'none' or 'along', got 'across'"),
        ("price = 12", "cost = 12", "cost: is no key here"),
        ('foam = "EVA medium"', 'foam = "EVA medum"', "did you mean 'EVA medium'?"),
    ],
)
def test_a_wrong_stock_is_named_with_its_place_and_remedy(old, new, fault):
    (found,) = faults(PIECE + STOCK.replace(old, new))
    assert found.startswith("[[stock]] number 1 ") and fault in found


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("[cutting]\nkerf = -1", "[cutting] kerf: must be a length of 0 mm or more"),
        ("[cutting]\nseconds = 0", "[cutting] seconds: must be a number of seconds from 0.1"),
        ("[cutting]\ncurrency = 3", "[cutting] currency: must be text in quotes"),
        ("[cutting]\nedge_trim = 250", "[cutting] edge_trim: must be below half of each sheet"),
        ("[[cutting]]\nkerf = 1", "[[cutting]]: write [cutting] once"),
        (PIECE, "[[piece]] \"flipper\" name: 'flipper' stands twice; give each piece its own name"),
        (PIECE.replace("flipper", "x").replace("410", "0"), '[[piece]] "x" length: must be'),
        (PIECE.replace("flipper", "x").replace("4\n", "0\n"), '[[piece]] "x" count: must be'),
    ],
)
def test_a_wrong_way_of_cutting_is_named(text, fault):
    found = faults(PIECE + STOCK + text)
    assert len(found) == 1 and found[0].startswith(fault)


def test_a_top_key_of_the_name_of_a_table_is_told():
    (found,) = faults("cutting = 3\n" + PIECE + STOCK)
    assert found == "cutting: write [cutting] once, with one bracket on each side"


def test_faults_of_stock_and_of_pieces_are_told_together():
    found = faults(PIECE.replace("410", "-4") + STOCK.replace("1000", "-1") + "[cutting]\nkerf=-1")
    assert [line.partition(":")[0] for line in found] == [
        '[[piece]] "flipper" length',
        "[[stock]] number 1 length",
        "[cutting] kerf",
    ]


def test_more_stock_than_a_list_takes_is_refused():
    (found,) = faults(PIECE + 51 * STOCK)
    assert found == "[[stock]]: 51 of them, at most 50"


def test_stock_in_inches_leaves_the_answers_in_mm_and_pieces_in_inches_do_not():
    inches = STOCK.replace("= 1000", '= "40 in"').replace("= 500", '= "20 in"')
    inches = inches.replace("thickness = 5", 'thickness = "5 mm"')
    assert parse_sheet(PIECE + inches, ".").system == "mm"
    piece = PIECE.replace("410", '"16 in"').replace("170", '"7 in"')
    piece = piece.replace("thickness = 5", 'thickness = "5 mm"')
    build = cut(piece + inches)
    assert build.plan.sheet.system == "in"
    # exact by hand: 16 x 7 in, twice along 40 in and twice across 20 in
    assert "4 × flipper 16 × 7 in" in "\n".join(cut_lines(build))


@pytest.mark.parametrize("seconds", [0, -1, float("nan"), 3601])
def test_a_time_that_is_none_is_refused(seconds):
    with pytest.raises(ValueError, match="seconds"):
        cut(PIECE + STOCK, seconds=seconds)


# What is said and written -----------------------------------------------------------------------


def test_the_time_is_shared_by_the_foams_and_told_as_one(monkeypatch):
    times, told = [], []
    real = build_module.cut_list

    def watched(*args, seconds, **more):
        times.append(seconds)
        return real(*args, seconds=seconds, **more)

    monkeypatch.setattr(build_module, "cut_list", watched)
    thick = PIECE.replace("thickness = 5", "thickness = 10").replace("flipper", "keel")
    more = STOCK.replace("thickness = 5", "thickness = 10")
    cut(
        PIECE + thick + STOCK + more,
        seconds=8,
        progress=lambda done, of, what: told.append((done, of, what.partition(":")[0])),
    )
    assert times[0] == pytest.approx(4, abs=0.5)  # half of it, then all that is left
    assert times[1] == pytest.approx(8, abs=1.5)
    assert {t[:2] for t in told} == {(0, 2), (1, 2)}
    assert {t[2] for t in told} == {"EVA medium 5 mm", "EVA medium 10 mm"}


def test_the_rule_for_panels_and_the_cautions_are_said():
    build = cut(PIECE + STOCK)
    assert len(how_found(build)) == 1 and "rectangle round each" in how_found(build)[0]
    both = cut(PIECE + KNEE + STOCK)
    assert len(how_found(both)) == 2 and "rows of one width" in how_found(both)[0]
    # exact by hand: two of 600 x 300 side by side are 600 mm wide or 1200 long; by area they fit
    two = cut(PIECE.replace("410", "600").replace("170", "300").replace("= 4", "= 2") + STOCK)
    assert "many tries by plain rules" in how_found(two)[0]
    late = cut(PIECE + KNEE + STOCK, seconds=1e-9)
    assert "The time ran out" in how_found(late)[-1]
    steps = cut_steps(build)
    assert "Clamp" in steps[0].caution.title() and "A knife takes nothing" in steps[0].what
    sawn = cut_steps(cut(PIECE + STOCK + "[cutting]\nkerf = 2\nedge_trim = 5\n"))
    assert sawn[0].what == "Cut 5 mm off all round each sheet."
    assert "takes 2.0 mm away" in sawn[1].what and "dust mask" in sawn[1].caution


def test_each_piece_stands_once_in_the_rows_that_are_told(demo):
    text = "\n".join(cut_lines(demo))
    rows = re.findall(r"^    row \d.*(?:\n      .*)*", text, re.MULTILINE)
    told = " ".join(" ".join(rows).split())
    for item in demo.items:
        times = [
            int(n or 1)
            for n in re.findall(rf"(?:(\d+) × )?{re.escape(item.name)} \d+ × \d+ mm", told)
        ]
        assert sum(times) == item.count, item.name


def test_a_piece_that_lies_across_is_told_with_its_own_length_first():
    narrow = STOCK.replace("1000", "180")
    (material,) = cut(PIECE.replace("count = 4", "count = 1") + narrow).found.materials
    (piece,) = material.sheets[0].placed
    # exact by hand: 410 mm lie across the sheet of 180 x 500 only
    assert (piece.turned, piece.length, piece.width) == (True, 170, 410)
    assert own_size(piece) == (410, 170)
    assert "flipper 410 × 170 mm" in "\n".join(cut_lines(cut(PIECE + narrow)))


def test_sheets_that_are_cut_alike_are_told_together():
    # exact by hand: five upright, 5 x 170 <= 1000, and by area no more than seven on a sheet
    build = cut(PIECE.replace("count = 4", "count = 15") + STOCK)
    (material,) = build.found.materials
    assert material.bought == 3 and [len(same) for same in alike(material)] == [3]
    assert "sheets 1, 2 and 3 of 3, cut alike" in "\n".join(cut_lines(build))


def test_very_many_rows_are_cut_short_with_their_number():
    strips = "".join(
        PIECE.replace("flipper", f"p{i}").replace("410", str(700 + i)).replace("count = 4\n", "")
        for i in range(90)
    ).replace("width = 170", "width = 480")
    build = cut(strips + STOCK)
    text = "\n".join(cut_lines(build))
    found = re.search(r"… and (\d+) more rows; --out", text)
    told = len(re.findall(r"^    row \d", text, re.MULTILINE))
    rows = sum(len(s.rows) for m in build.found.materials for s in m.sheets)
    assert found and told + int(found[1]) == rows  # exact: none is lost


def test_two_rows_that_begin_at_one_edge_are_told_apart():
    # exact by hand: the strip lies beside the panel, 400 + 100 = 500 mm in, both from the side
    strip = KNEE.replace("needed = 188", "needed = 560").replace("cut = 173", "cut = 560")
    build = cut(PIECE.replace("170", "480").replace("count = 4", "count = 1") + strip + STOCK)
    rows = [row for m in build.found.materials for s in m.sheets for row in s.rows]
    told = [row_place(row, "mm") for row in rows]
    assert len(rows) == 2 and len(set(told)) == 2
    inside = row_place(Row(across=False, start=5, width=25, begin=590, placed=()), "mm", 5)
    assert inside == "along, 25 mm wide, from 5 mm, beginning 590 mm from the end"
    edge = row_place(Row(across=True, start=0, width=25, begin=5, placed=()), "mm", 5)
    assert edge == "across, 25 mm wide, from 0 mm"


def test_a_thickness_is_told_as_it_was_written():
    # regression: both were headed "1/4 in"
    stock = STOCK.replace("1000", '"40 in"').replace("500", '"20 in"')
    piece = PIECE.replace("410", '"16 in"').replace("170", '"7 in"')
    quarter, six = 'thickness = "1/4 in"', 'thickness = "6 mm"'
    inches = piece.replace("thickness = 5", quarter)
    both = inches + piece.replace("thickness = 5", six).replace("flipper", "fin")
    both += stock.replace("thickness = 5", quarter) + stock.replace("thickness = 5", six)
    text = "\n".join(cut_lines(cut(both)))
    heads = re.findall(r"^  EVA medium (.*?): 1 sheet", text, re.MULTILINE)
    assert sorted(heads) == ["1/4 in", "6 mm"]
    other = cut(inches + stock.replace("thickness = 5", six))
    said = " ".join(" ".join(cut_lines(other)).split())
    assert "EVA medium 1/4 in: 4 pieces" in said and "there is stock of it in 6 mm" in said
    assert "Nothing is cut from the stock of EVA medium 6 mm." in said


def test_joined_strips_are_told_with_their_parts(monkeypatch):
    rim = Strip(
        name="rim", foam="EVA medium", thickness=5, length=1300, width=30, joins=True, lap=20
    )
    monkeypatch.setattr("foamcalc.ask.cutting.pieces._SOURCES", (lambda plan: ToCut((rim,)),))
    build = cut(PIECE + STOCK)
    # exact by hand: (1300 + 20) / 2
    assert joins(build) == ["rim number 1: 660 mm + 660 mm, lapped by 20 mm"]
    assert "part 1 of 2, 660 × 30 mm" in "\n".join(cut_lines(build))
    parts = [p for s in build.found.materials[0].sheets for p in s.placed]
    assert {own_size(p) for p in parts} == {(660, 30)}


def test_the_tables_hold_every_piece_and_no_formula(demo):
    files = cutting_files(demo)
    assert set(files) == {"turtle_pieces.csv", "turtle_cutlist.csv", "turtle_sheets.csv"}
    pieces = list(csv.DictReader(io.StringIO(files["turtle_pieces.csv"].decode("utf-8-sig"))))
    assert {row["piece"]: int(row["count"]) for row in pieces} == {
        item.name: item.count for item in demo.items
    }
    lies = list(csv.DictReader(io.StringIO(files["turtle_cutlist.csv"].decode("utf-8-sig"))))
    assert len(lies) == sum(item.count for item in demo.items)
    evil = cut(PIECE.replace("flipper", "=1+1") + STOCK)
    assert b"\n'=1+1," in cutting_files(evil)["rims_pieces.csv"]
    other = cut(PIECE)
    assert set(cutting_files(other)) == {"rims_pieces.csv"}
    assert cutting_files(other)["rims_pieces.csv"].rstrip().endswith(b",no")


def test_the_demo_needs_no_file_of_this_machine(demo):
    text = "\n".join(cut_lines(demo))
    assert str(Path(__file__).resolve().parents[2]) not in text
