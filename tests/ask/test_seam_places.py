"""Places along an edge as a maker types them. Expected values are exact by hand."""

from __future__ import annotations

import time

import pytest

from foamcalc.ask.seam.places import checked_places, read_places
from foamcalc.ask.seam.tape import read_turns, taped_edge, words_of


def places(text: str) -> list[float]:
    return [reading.value for reading in read_places(text, name="front")]


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("0 48 100 160", [0, 48, 100, 160]),
        ("  0   48.5\t100 ", [0, 48.5, 100]),
        ("0, 48, 100", [0, 48, 100]),
        ("0,48,100", [0, 48, 100]),
        ("0 48 100 160 mm", [0, 48, 100, 160]),
        ("0 4.8 10 cm", [0, 48, 100]),
        ("0 cm, 4.8 cm, 10 cm", [0, 48, 100]),
        ("0 in, 1 7/8 in, 4 in", [0, 47.625, 101.6]),
        ("0, 1 7/8, 4 in", [0, 47.625, 101.6]),
        ("0, 1½, 3 in", [0, 38.1, 76.2]),
        ("0 1 7/8 in 4 in", [0, 47.625, 101.6]),
        ('0 1-7/8" 4"', [0, 47.625, 101.6]),
        ("0 2 4.5 in", [0, 50.8, 114.3]),
        ("0in 2in 4.5in", [0, 50.8, 114.3]),
        ("0, 1', 1' 3\"", [0, 304.8, 381]),
        ("0, 48 ± 1, 100", [0, 48, 100]),
        ("0 1e2", [0, 100]),
    ],
)
def test_places_are_read_as_they_are_meant(text, found):
    assert places(text) == pytest.approx(found, rel=1e-15)


def test_a_unit_at_the_end_counts_for_all_so_that_the_answer_is_in_inches():
    assert [r.text for r in read_places("0, 1 7/8, 4 in", name="front")] == [
        "0 in",
        "1 7/8 in",
        "4 in",
    ]


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("", "front: '' has no places: write both ends and the marks"),
        ("0 2 4 1/2 in", "front: '0 2 4 1/2 in' can be read in two ways: write commas between"),
        ("0 1 7/8 in 4 1/2", "can be read in two ways"),
        ("0 1½ 3 in", "can be read in two ways"),
        ("0 1' 2'", "has feet in it: write commas between the places"),
        ("0 48,5 100", "has a comma between two digits, '8,5': write a decimal point, '8.5', or a"),
        ("0, 48,5, 100", "has a comma between two digits"),
        ("0,5", "has a comma between two digits"),
        ("0, , 5", "has a comma with no place beside it"),
        ("0 cm, 4.8, 10", "front: '4.8' has no unit while others have: write the unit at each"),
        ("0 48 x", "front, place 3: 'x' is not one number with one unit"),
        ("0 nan 100", "front, place 2: 'nan' is not a finite number"),
        ("0 inf 100", "front, place 2: 'inf' is not a finite number"),
        ("0 48;5 100", "front, place 2: '48;5' is not one number"),
        ("0 5deg 100", "front, place 2: '5deg' has the unit 'deg', an angle"),
        ("0 4.5.6 100", "front, place 2: 4.5.6 is not one number"),
        ("0 1e999 2", "front, place 2"),
        ("0 " * 201, "front: has 201 places, at most 200"),
    ],
)
def test_what_can_be_read_in_two_ways_or_not_at_all_is_refused(text, fault):
    with pytest.raises(ValueError) as told:
        read_places(text, name="front")
    assert fault in str(told.value)


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        (
            "48 100 160",
            "front: begins at 48 mm, but the first place is the end where the tape begins: write "
            "'0 48 100 160'; or, if the tape itself began at 48 mm, '0 52 112'",
        ),
        (
            "2, 4 1/2 in",
            "begins at 2 in, but the first place is the end where the tape begins: write "
            "'0, 2, 4 1/2 in'; or, if the tape itself began at 2 in, '0, 2 1/2 in'",
        ),
        ("160 100 48 0", "write '0 60 112 160', the same places walked from the other end"),
        ("160", "begins at 160 mm, but the first place is the end where the tape begins: write"),
        ("-5 48", "begins at -5 mm, but the first place is the end where the tape begins: write 0"),
        ("0", "front: has one place only: write both ends and the marks"),
        ("0 48 1e6", "front: 1e+06 mm is longer than 100 m; is its unit right?"),
    ],
)
def test_a_tape_begins_with_nought_at_one_end(text, fault):
    with pytest.raises(ValueError) as told:
        checked_places(read_places(text, name="front"), name="front")
    assert fault in str(told.value)


def test_the_corrected_list_in_an_error_can_be_typed():
    with pytest.raises(ValueError) as told:
        checked_places(read_places("2, 4 1/2 in", name="front"), name="front")
    for number, wanted in ((1, [0, 50.8, 114.3]), (3, [0, 63.5])):
        text = str(told.value).split("'")[number]
        assert checked_places(read_places(text, name="front"), name="front") == pytest.approx(
            wanted
        )


def test_names_stand_with_blanks_or_with_commas():
    assert words_of("waist hip", name="names") == ("waist", "hip")
    assert words_of("side of the waist, hip", name="names") == ("side of the waist", "hip")
    for text in ("", "  ", "waist,,hip"):
        with pytest.raises(ValueError, match="names must be words with blanks or commas between"):
            words_of(text, name="names")


def test_one_turn_is_spread_evenly_and_several_stand_for_themselves(eva):
    def turns(text):
        given = read_turns(text, name="turn")
        edge = taped_edge(name="front", piece=eva, places=(0, 25, 100), turns=given)
        return edge.turns

    # a quarter of the length turns by a quarter of the angle
    assert turns("0.4 rad") == pytest.approx((0.1, 0.3))
    assert turns("0.4 rad, -0.1 rad") == pytest.approx((0.4, -0.1))
    with pytest.raises(ValueError, match="turns must be one angle an interval, 2 in all, got 3"):
        turns("1 rad, 1 rad, 1 rad")
    with pytest.raises(ValueError, match="turn: 60 has no unit"):
        turns("60")


@pytest.fixture
def eva():
    from foamcalc.fit.stack import Piece
    from foamcalc.foam.law import Linear

    return Piece(thickness=10, law=Linear(1.5))


@pytest.mark.parametrize(
    "text", ["1" * 40_000 + "x", " " * 40_000 + "x", "1 " * 20_000, "0 1" * 15_000]
)
def test_a_text_of_thousands_of_digits_is_refused_at_once(text):
    """Regression: such a text took longer than anybody waits."""
    begun = time.perf_counter()
    with pytest.raises(ValueError):
        read_places(text, name="front")
    assert time.perf_counter() - begun < 2
