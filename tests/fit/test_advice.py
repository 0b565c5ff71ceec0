"""What the maker reads: the sentence and the reasons."""

from __future__ import annotations

import math
import re

import pytest

from foamcalc.fit.advice import reasons, sentence
from foamcalc.fit.choice import Choice, Situation, choose
from foamcalc.fit.limits import Limit
from foamcalc.fit.overlay import Overlay
from foamcalc.fit.stack import Piece
from foamcalc.foam.grades import foam

PI = math.pi
EVA = foam("EVA medium")
NEED = 62.5 * PI


def answer(
    *,
    degrees: float = 180,
    outside: float = 60 * PI,
    thick: tuple[float, float] = (10, 5),
    formed: float = 1.0,
    cut: float | None = None,
    limits=None,
    already_cut: bool = True,
    **situation,
) -> Choice:
    joint = Overlay.from_turn(
        outside_length=outside,
        turn=math.radians(degrees),
        base=Piece(thickness=thick[0], law=EVA, formed=formed),
        overlay=Piece(thickness=thick[1], law=EVA),
        cut=cut,
    )
    return choose(joint, Situation(already_cut=already_cut, **situation), limits)


STRETCHED = {"degrees": 40, "outside": 200, "cut": 199}
DIVIDED = {"outside": 200, "thick": (2, 12), "already_cut": False}


HUGS = "1 mm under what it needs so that it hugs"


# The sentence ---------------------------------------------------------------------------------


def test_the_sentence_in_mm():
    # exact by hand: gap 7.5 pi = 23.6 mm, 7.5/55 = 13.6 %, mouth 2 x 50; regression: let go
    assert sentence(answer()) == (
        "24 mm short (13.6% of its length): form the overlay warm on the curve, hold till cool, "
        "then glue; let go, the mouth goes from 100 mm to 109 mm. Stretched cold as it is cut it "
        "would go to 159 mm."
    )


def test_the_sentence_in_inches():
    # exact by hand: 23.56/25.4 = 14.8/16, 100/25.4 = 63.0/16; regression: let go
    assert sentence(answer(), "in") == (
        "15/16 in short (13.6% of its length): form the overlay warm on the curve, hold till "
        "cool, then glue; let go, the mouth goes from 3 15/16 in to 4 5/16 in. Stretched cold as "
        "it is cut it would go to 6 1/4 in."
    )


@pytest.mark.parametrize(
    ("said", "start"),
    [
        # exact by hand: lengths from the needed length 196.35 mm, 0.5 % under it 195.37 mm
        ({"cut": NEED + 0.4}, "It fits: glue it as it is; let go,"),
        ({"cut": NEED + 6}, f"6 mm too long, not short: trim it to 195 mm long ({HUGS}); let go,"),
        (
            {"cut": NEED + 6, "already_cut": False},
            f"6 mm too long, not short: cut it 195 mm long ({HUGS}); let go,",
        ),
        (
            {"cut": 160},
            "36 mm short (22.7% of its length): let in a piece 35 mm long (1 mm under the gap so "
            "that it hugs); let go,",
        ),
        (
            {"already_cut": False},
            f"24 mm short (13.6% of its length): cut it 215 mm long (195 mm, {HUGS}, and 10 mm at "
            "each end to trim after gluing); let go,",
        ),
        (
            {"already_cut": False, "free_ends": 1},
            f"24 mm short (13.6% of its length): cut it 205 mm long (195 mm, {HUGS}, and 10 mm at "
            "the free end to trim after gluing); let go,",
        ),
        (
            {"already_cut": False, "free_ends": 0},
            f"24 mm short (13.6% of its length): cut it 195 mm long ({HUGS}); let go,",
        ),
        # exact by hand: 199 of 200 + 2.5 x 0.698 = 201.75 mm
        (STRETCHED, "3 mm short (1.4% of its length): stretch it cold as you glue; let go,"),
        # exact by hand: 1.5 % over the needed length for the shrinking, 199.3 mm
        (
            {"formed": 0.0, "free_ends": 0},
            "24 mm short (13.6% of its length): cut a new one 199 mm long (3 mm over what it needs "
            "because it shrinks as it cools), form base and overlay warm on the curve, hold till "
            "cool, then glue; let go, the mouth",
        ),
        (
            DIVIDED,
            "22 mm short (11.2% of its length): no way keeps every limit, so divide the overlay or "
            "take a thinner one; in one piece the mouth would still go",
        ),
    ],
)
def test_the_sentence_of_each_choice(said, start):
    assert sentence(answer(**said)).startswith(start)


def test_the_comparison_with_stretching_is_made_only_where_it_is_short_and_another_way_taken():
    assert "Stretched cold" in sentence(answer(cut=160))
    assert "Stretched cold" not in sentence(answer(**STRETCHED))
    assert "Stretched cold" not in sentence(answer(cut=NEED + 6))


def test_a_piece_that_fits_is_not_compared_with_stretching_it():
    # exact by hand: glued as it is, it is that stretched piece; two mouths would contradict
    assert "would go to" not in sentence(answer(cut=NEED - 0.4))


def test_a_piece_that_is_long_enough_is_not_called_short():
    text = sentence(answer(cut=NEED, formed=0.0))
    # exact by hand: the gap is nothing, though the held base springs and needs forming
    assert not re.match(r"0 mm short", text)


def test_an_unknown_system_is_refused():
    with pytest.raises(ValueError, match=r"system must be .*'cm'"):
        sentence(answer(), "cm")


# The reasons ----------------------------------------------------------------------------------


def test_the_reasons_name_what_was_passed_and_what_is_kept():
    lines = reasons(answer())
    # exact by hand: one line a way; limits of the tables
    assert len(lines) == 2
    assert lines[0].startswith("stretch: no; stretch of the overlay 13.2% (limit 8 %, common")
    assert "opening of the mouth 59 mm (limit 10 mm, common practice)" in lines[0]
    assert re.search(r"pull while gluing \d+ N \(limit 50 N, assumed\)", lines[0])
    # regression: the limit of 10 mm lies between what the numbers from memory give
    assert lines[1].endswith(
        "6 mm to 12 mm as foam shrinks and springs back (from memory): try an offcut"
    )
    assert lines[1].startswith("form warm: yes; stretch while warm 13.6% (limit 15 %,")


def test_the_reasons_in_inches():
    # exact by hand: 59.1/25.4 = 2 5.2/16, 10/25.4 = 6.3/16
    assert "opening of the mouth 2 5/16 in (limit 3/8 in, common" in reasons(answer(), "in")[0]


def test_only_the_limits_that_are_passed_speak_against_a_way():
    held = Limit(value=0.5, unit="1", basis="your own", reason="As you said.")
    first = reasons(answer(limits={"stretch": held}))[0]
    assert first.startswith("stretch: no; opening of the mouth")


WEAK = Limit(value=0.0005, unit="N/mm", basis="measured", reason="Invented.")


def test_ends_that_lift_are_told_with_the_length_that_would_hold():
    choice = answer(**STRETCHED, limits={"end": WEAK})
    check = choice.ways[0].checks[-1]
    # exact: the demand that was found, over the limit it was held against; nothing else is passed
    assert reasons(choice)[0].startswith(
        f"stretch: no. The ends want to lift: they ask {check.found / 0.0005:.0%} of what your "
        "test carried; the last 33 mm of each would have to stay strapped; with the overlay cut "
        "200 mm or longer they hold."
    )
    # exact: rounded up, that length is held against the same limit and keeps it; 1 mm less not
    held = [choose(choice.joint.with_cut(c), choice.situation, choice.limits) for c in (200, 199)]
    assert [
        "peel at the ends" in [c.what for c in h.ways[0].checks if not c.met] for h in held
    ] == [
        False,
        True,
    ]


def test_a_way_with_more_against_it_names_the_ends_last():
    choice = answer(cut=185, limits={"end": WEAK})
    line = reasons(choice)[0]
    assert line.startswith("stretch: no; opening of the mouth")
    assert line.index("opening of the mouth") < line.index(". The ends want to lift")
    assert line.count("peel at the ends") == 0
    # exact by hand: 1.5 x 125/24/62.5**2 = 0.0020 N/mm from the bend of the flat piece alone
    assert line.endswith("stay strapped; even cut to length they lift: form it warm.")


def test_to_divide_is_no_way_of_its_own_among_the_reasons():
    lines = reasons(answer(**DIVIDED))
    assert lines
    assert all(": no; " in line and not line.startswith("divide") for line in lines)
