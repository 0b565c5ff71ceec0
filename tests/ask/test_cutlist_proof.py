"""A layout that cannot be cut is found out, whatever is wrong with it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from foamcalc.ask.cutlist import (
    Panel,
    Stock,
    Strip,
    WrongLayout,
    build,
    cut_list,
    layout_faults,
    prove,
)

EVA = {"foam": "EVA medium", "thickness": 10.0}  # invented, as all sizes here
SHEET = Stock(**EVA, length=1000, width=500, grain="along", at_hand=3)
ITEMS = (
    Strip(name="rim", **EVA, length=300, width=40, count=4, grain="along"),
    Strip(name="long rim", **EVA, length=1500, width=30, joins=True, lap=10, join_from_end=100),
    Panel(name="scute", **EVA, length=200, width=150, count=2, gap=5, grain="along"),
    Panel(name="sector", **EVA, length=210, width=100, count=3, nest=30, grain="along"),
)
KERF, TRIM = 2.0, 5.0


@pytest.fixture(scope="module")
def sheets():
    (material,) = cut_list([SHEET], ITEMS, kerf=KERF, trim=TRIM).materials
    return material.sheets


def faults(sheets, items=ITEMS, stocks=(SHEET,), kerf=KERF, trim=TRIM):
    return layout_faults(sheets, items, stocks, kerf=kerf, trim=trim)


def changed(sheets, which, fields):
    """The sheets with one piece changed."""

    def new(piece):
        same = (piece.name, piece.number, piece.part) == which
        return replace(piece, **fields) if same else piece

    return tuple(
        replace(
            sheet,
            rows=tuple(replace(row, placed=tuple(map(new, row.placed))) for row in sheet.rows),
        )
        for sheet in sheets
    )


def find(sheets, name, number=1, part=1):
    return next(
        p for s in sheets for p in s.placed if (p.name, p.number, p.part) == (name, number, part)
    )


def test_a_good_layout_has_no_faults(sheets):
    assert faults(sheets) == ()
    prove(sheets, ITEMS, [SHEET], kerf=KERF, trim=TRIM)


@pytest.mark.parametrize(
    ("name", "fields", "said"),
    [
        ("rim", {"length": 301.0}, "is 301 mm long, not 300 mm"),
        ("rim", {"width": 39.0}, "is 39 mm wide, not 40 mm"),
        ("scute", {"x": 0.0}, "is not inside the sheet"),
        ("rim", {"y": -10.0}, "is not inside the sheet"),
        ("scute", {"y": 400.0}, "is not inside the sheet"),
        ("rim", {"number": 2}, "'rim' number 1 is not there once: 0 pieces"),
        ("rim", {"number": 2}, "'rim' number 2 is not there once: 2 pieces"),
        ("rim", {"number": 9}, "'rim' number 9 is one too many"),
        ("rim", {"name": "ghost"}, "'ghost' was not asked for"),
        ("rim", {"turned": True}, "lies against the grain"),
        ("long rim", {"length": 700.0}, "its parts come to"),
        ("long rim", {"part": 3}, "is not there once"),
    ],
)
def test_one_changed_piece_is_found(sheets, name, fields, said):
    assert any(said in fault for fault in faults(changed(sheets, (name, 1, 1), fields)))


def test_pieces_that_overlap_are_found(sheets):
    there = find(sheets, "scute", 2)
    moved = changed(sheets, ("scute", 1, 1), {"x": there.x, "y": there.y})
    assert any("nearer than" in fault for fault in faults(moved))
    inside = changed(
        sheets,
        ("scute", 1, 1),
        {"x": there.x + 50, "y": there.y + 40, "length": 20.0, "width": 20.0},
    )
    assert any("nearer than" in fault for fault in faults(inside))


def test_a_kerf_or_a_gap_that_is_not_kept_is_found(sheets):
    assert any("nearer than 2.5 mm" in fault for fault in faults(sheets, kerf=2.5))
    wide = [replace(i, gap=5.5) if i.name == "scute" else i for i in ITEMS]
    assert any("nearer than 5.5 mm" in fault for fault in faults(sheets, wide))


def test_a_trim_that_is_not_kept_is_found(sheets):
    assert any("not inside" in fault for fault in faults(sheets, trim=5.5))


def test_nesting_panels_must_be_their_pitch_apart():
    items = ITEMS[3:]
    sheets = cut_list([SHEET], items, kerf=KERF, trim=TRIM).materials[0].sheets
    assert faults(sheets, items) == ()
    there = find(sheets, "sector", 2)
    moved = changed(sheets, ("sector", 2, 1), {"y": there.y + 1})
    assert any("nearer than" in fault for fault in faults(moved, items))
    aside = changed(sheets, ("sector", 2, 1), {"x": there.x + 1})
    assert any("nearer than" in fault for fault in faults(aside, items))


def test_a_piece_outside_its_row_is_found(sheets):
    rows = tuple(replace(row, start=row.start + 1) for row in sheets[0].rows)
    assert any("leaves its row" in f for f in faults((replace(sheets[0], rows=rows), *sheets[1:])))


def test_a_lost_sheet_and_a_sheet_twice_are_found(sheets):
    assert any("is not there once: 0" in fault for fault in faults(sheets[1:]))
    assert any("is not there once: 2" in fault for fault in faults((*sheets, sheets[0])))


def test_more_sheets_than_there_are_are_found(sheets):
    assert len(sheets) >= 1
    four = tuple(replace(sheets[0], number=i) for i in range(4))
    assert any("4 sheets used, 3 there" in fault for fault in faults(four))


def test_the_wrong_foam_is_found(sheets):
    other = replace(SHEET, thickness=8.0)
    wrong = tuple(replace(sheet, stock=other) for sheet in sheets)
    assert any("wants EVA medium 10 mm" in f for f in faults(wrong, stocks=(other,)))


def test_joins_that_were_not_allowed_or_too_near_the_end_are_found(sheets):
    whole = [replace(i, joins=False) if i.name == "long rim" else i for i in ITEMS]
    assert any("may not be joined" in fault for fault in faults(sheets, whole))
    far = [replace(i, join_from_end=800) if i.name == "long rim" else i for i in ITEMS]
    assert any("nearer to its end than 800 mm" in fault for fault in faults(sheets, far))


def test_laps_that_meet_are_found():
    rim = Strip(name="rim", **EVA, length=2980, width=30, joins=True, lap=10, grain="along")
    (material,) = cut_list([SHEET], [rim]).materials
    assert [p.part for p in material.sheets[0].placed] == [1, 2, 3]  # exact by hand: 3 x 1000
    wide = [replace(rim, lap=501, length=1998)]  # exact by hand: 3000 - 2 x 501
    assert any(
        "its laps meet" in f for f in layout_faults(material.sheets, wide, [SHEET], kerf=0, trim=0)
    )


def test_a_wrong_layout_is_raised_never_returned(sheets, monkeypatch):
    monkeypatch.setattr(build, "lay_out", lambda *_, **__: list(sheets[:-1]) + [sheets[-1]] * 2)
    with pytest.raises(WrongLayout, match="not there once"):
        cut_list([SHEET], ITEMS, kerf=KERF, trim=TRIM)
