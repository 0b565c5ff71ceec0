"""Keys of a seam in a job sheet, and the kinds of value that only they have."""

from __future__ import annotations

from dataclasses import dataclass

from foamcalc.ask.form import (
    ABOVE_0,
    BEVEL,
    NAME,
    SHEET,
    SIGNED,
    STRETCH,
    TURN,
    FileName,
    Got,
    ListOf,
    PerInch,
    Text,
    Word,
    Wrong,
    YesNo,
    make_key,
)
from foamcalc.ask.seam.places import MOST_PLACES, checked_places, read_places
from foamcalc.ask.seam.tape import EDGES, words_of

WHICH = Word(("first", "second"))


@dataclass(frozen=True)
class Places:
    """Places along an edge: a list of lengths, or one text as at the bench."""

    unit: str = "mm"

    def read(self, value: object, name: str) -> Got:
        """The places [mm], the first 0."""
        wanted = f"a list of 2 to {MOST_PLACES} places, or one text"
        try:
            if isinstance(value, str):
                readings = read_places(value, name=name)
            else:
                readings = ListOf(SIGNED, wanted, 1, MOST_PLACES).read(value, name).lengths
            return Got(checked_places(readings, name=name), lengths=readings)
        except Wrong:
            raise
        except ValueError as fault:
            raise ValueError(str(fault).removeprefix(name).lstrip(":, ")) from None


@dataclass(frozen=True)
class Names:
    """Several names: a list, or one text with blanks or commas between them."""

    unit: str = "names"

    def read(self, value: object, name: str) -> Got:
        """The names."""
        if isinstance(value, str):
            return Got(words_of(value, name=name))
        return ListOf(Text(), f"a list of 1 to {MOST_PLACES} names", 1, MOST_PLACES).read(
            value, name
        )


@dataclass(frozen=True)
class Turns:
    """One angle, or one for each interval between marks."""

    unit: str = TURN.unit

    def read(self, value: object, name: str) -> Got:
        """The angles [rad]."""
        if isinstance(value, list):
            wanted = "one angle, or a list of one for each interval"
            return ListOf(TURN, wanted, 1, MOST_PLACES).read(value, name)
        got = TURN.read(value, name)
        return got._replace(value=(got.value,))


SEAM = (
    make_key("name", NAME, '"knee cup"', "a name of its own", "seam and its number"),
    make_key("drawing", FileName(), '"knee_cup.svg"', "drawing of the pieces (SVG)", "marks"),
    make_key(
        "edge",
        NAME,
        '"inner half"',
        "outline of the first edge, by its title or its id; without a drawing what it is called",
        f"must be there with drawing; else {EDGES[0]}",
    ),
    make_key("from", NAME, '"top"', "with drawing: the mark where the seam begins", "its start"),
    make_key("to", NAME, '"bottom"', "with drawing: the mark where the seam ends", "its end"),
    make_key(
        "other_edge",
        NAME,
        '"outer half"',
        "the same of the second edge",
        f"must be there with drawing; else {EDGES[1]}",
    ),
    make_key("other_from", NAME, '"top"', "with drawing: the same on the second edge", "as from"),
    make_key("other_to", NAME, '"bottom"', "with drawing: the same on the second edge", "as to"),
    make_key(
        "outside",
        Word(("left", "right")),
        '"left"',
        "with drawing, first edge an open line: its side without foam, seen from its start",
        "not known, nothing is said about the dome",
    ),
    make_key(
        "other_outside",
        Word(("left", "right")),
        '"right"',
        "the same of the second edge",
        "not known, nothing is said about the dome",
    ),
    make_key(
        "by_order",
        YesNo(),
        "true",
        "with drawing: marks meet in order, whatever they are called",
        "false, by their names",
    ),
    make_key(
        "leave_out", Names(), '["strap"]', "with drawing: marks that are not of the seam", "none"
    ),
    make_key(
        "per_inch", PerInch(), "96", "with drawing: px to the inch", "the drawing says its size"
    ),
    make_key(
        "marks",
        Places(),
        '"0 48 100 160"',
        "without drawing: places along the first edge by a tape, from 0 to the far end",
        "drawing must be there",
    ),
    make_key(
        "other_marks",
        Places(),
        '"0 50 98 166"',
        "the same along the second edge",
        "must be there with marks",
    ),
    make_key(
        "mark_names",
        Names(),
        '["waist", "hip"]',
        "with marks: names of all places, or of those between the ends",
        "counted from 1",
    ),
    make_key(
        "reverse",
        YesNo(),
        "true",
        "whether the second edge was walked from its other end",
        "as the names tell, else false",
    ),
    make_key("thickness", SHEET, "10", "thickness of the first piece, measured"),
    make_key("other_thickness", SHEET, "10", "thickness of the second piece", "as the first"),
    make_key("foam", NAME, '"shell"', "a [foam.NAME], or a grade", "EVA medium, assumed"),
    make_key("other_foam", NAME, '"shell"', "foam of the second piece", "as the first"),
    make_key("depth", ABOVE_0, "80", "width of the first piece behind the seam", "wide, assumed"),
    make_key("other_depth", ABOVE_0, "80", "width of the second piece", "wide, assumed"),
    make_key("held", WHICH, '"first"', "the edge that is glued down and cannot give", "neither"),
    make_key("already_cut", YesNo(), "true", "whether the edges are cut", "true"),
    make_key(
        "free_end",
        Word(("none", "start", "end", "either")),
        '"end"',
        "end of the seam where nothing else meets it: it may be trimmed or added to",
        "none",
    ),
    make_key("marks_move", YesNo(), "false", "whether marks may move", "true"),
    make_key("adhesive", NAME, '"contact"', "an [adhesive.NAME], or a kind", "contact adhesive"),
    make_key("most_stretch", STRETCH, '"5 %"', "most an edge may stretch cold", "from limits.csv"),
    make_key("bevel", BEVEL, '"20 deg"', "cut of both edges from square", "cut square"),
    make_key(
        "face",
        Word(("outside", "inside")),
        '"outside"',
        "the face on which the edges were measured or drawn",
        "outside",
    ),
    make_key("valley", YesNo(), "true", "with bevel: the outside is set back", "false, the inside"),
    make_key(
        "turn",
        Turns(),
        '"60 deg"',
        "with marks: how much the first edge turns, in all or one angle for each interval",
        "not known, nothing is said about the dome",
    ),
    make_key("other_turn", Turns(), '"-60 deg"', "the same of the second edge", "not known"),
)

ONLY_WITH_DRAWING = (
    "from",
    "to",
    "other_from",
    "other_to",
    "outside",
    "other_outside",
    "by_order",
    "leave_out",
    "per_inch",
)
ONLY_WITH_MARKS = ("mark_names", "turn", "other_turn")
