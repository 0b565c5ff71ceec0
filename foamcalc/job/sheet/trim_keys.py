"""Keys of a strip along an edge in a job sheet, and the kinds of value that only they have."""

from __future__ import annotations

from dataclasses import dataclass

from foamcalc.job.faults import shown
from foamcalc.job.seam.places import MOST_PLACES, read_places
from foamcalc.job.sheet.fields import FileName, Got, ListOf, Word, Wrong
from foamcalc.job.sheet.kinds import ABOVE_0, FROM_0, NAME, SHEET, TURN, make_key
from foamcalc.job.sheet.seam_keys import PerInch
from foamcalc.job.sheet.stock_keys import COUNT
from foamcalc.job.trim.question import KINDS

_END = Word(("flush", "free", "wrapped"))


@dataclass(frozen=True)
class MarksAlong:
    """Marks along an edge: a list of lengths, or one text as at the bench."""

    unit: str = "mm"

    def read(self, value: object, name: str) -> Got:
        """The places of the marks [mm]."""
        if not isinstance(value, str):
            wanted = f"a list of 1 to {MOST_PLACES} places, or one text"
            return ListOf(FROM_0, wanted, 1, MOST_PLACES).read(value, name)
        try:
            readings = read_places(value, name=name)
        except ValueError as fault:
            raise ValueError(str(fault).removeprefix(name).lstrip(":, ")) from None
        return Got(tuple(reading.value for reading in readings), lengths=readings)


@dataclass(frozen=True)
class Legs:
    """One length, or two: one for each face."""

    unit: str = "mm"

    def read(self, value: object, name: str) -> Got:
        """Both lengths [mm]."""
        if isinstance(value, list):
            return ListOf(ABOVE_0, "one length, or a list of two", 2, 2).read(value, name)
        got = ABOVE_0.read(value, name)
        return got._replace(value=(got.value, got.value))


@dataclass(frozen=True)
class EndWords:
    """What is done at the open ends: one word, or a list of two."""

    unit: str = _END.unit

    def read(self, value: object, name: str) -> Got:
        """The word of each end."""
        if isinstance(value, list):
            return ListOf(_END, "one word, or a list of two", 2, 2).read(value, name)
        if not isinstance(value, str):
            raise Wrong(f"must be one word, or a list of two, got {shown(value)}")
        return Got((_END.read(value, name).value,))


TRIM = (
    make_key("name", NAME, '"shin rim"', "a name of its own", "trim and its number"),
    make_key("kind", Word(KINDS), '"rim"', "what the strip is"),
    make_key(
        "curve",
        NAME,
        '"shin"',
        "its edge: a [curve.NAME] of this sheet, on the face where the curve was measured",
        "not used",
    ),
    make_key(
        "drawing",
        FileName(),
        '"knee_cup.svg"',
        "or a drawing beside the sheet (SVG); with edge",
        "not used",
    ),
    make_key(
        "edge",
        NAME,
        '"inner half"',
        "with drawing: the outline that the strip follows, by its title or its id",
        "must be there with drawing",
    ),
    make_key("from", NAME, '"top"', "with drawing: the mark where it begins", "once round"),
    make_key("to", NAME, '"bottom"', "with drawing: the mark where it ends", "once round"),
    make_key(
        "outside",
        Word(("left", "right")),
        '"left"',
        "with drawing, an open line: its side without foam, seen from its start",
        "must be there with an open line",
    ),
    make_key(
        "per_inch", PerInch(), "96", "with drawing: px to the inch", "the drawing says its size"
    ),
    make_key(
        "length", ABOVE_0, "330", "or length along the edge by the tape; with turn", "no tape"
    ),
    make_key("radius", ABOVE_0, "60", "or radius of the edge; with turn", "not used"),
    make_key("round", ABOVE_0, "300", "or the tape once round a closed edge", "not used"),
    make_key(
        "around",
        Word(("piece", "opening")),
        '"opening"',
        "with round, or a closed outline: whether it goes round the piece or an opening in it",
        "piece; an inner outline of a path: opening",
    ),
    make_key(
        "turn",
        TURN,
        '"180 deg"',
        "with length or radius: angle between the ends of the edge; below 0 in a hollow; with "
        'round "-360 deg" for a hole',
        "must be there with length and radius",
    ),
    make_key("width", ABOVE_0, "20", "width of the strip", "of a binding worked out, else needed"),
    make_key("thickness", SHEET, "5", "thickness of the strip, measured"),
    make_key("foam", NAME, '"scute"', "a [foam.NAME], or a grade", "EVA medium, assumed"),
    make_key("adhesive", NAME, '"contact"', "an [adhesive.NAME], or a kind", "contact adhesive"),
    make_key(
        "side",
        Word(("inside", "outside", "middle")),
        '"inside"',
        "band: where it lies, seen from the edge",
        "inside",
    ),
    make_key(
        "edge_thickness",
        SHEET,
        "10",
        "binding: thickness of the piece that is bound; else what a wrapped end goes over",
        "needed of a binding; else 0",
    ),
    make_key("legs", Legs(), "[12, 8]", "binding: how far over each face", "needed of a binding"),
    make_key("depth", ABOVE_0, "7", "slit, toothed: depth of the cuts", "needed of those kinds"),
    make_key("pitch", ABOVE_0, "5", "slit, toothed: from cut to cut", "needed of those kinds"),
    make_key("slit_width", ABOVE_0, '"0.5 mm"', "slit: how wide the blade cuts", "a knife: 0"),
    make_key(
        "face",
        Word(("outside", "inside")),
        '"outside"',
        "slit, toothed: the face of the base that the strip lies on",
        "outside",
    ),
    make_key(
        "marks",
        MarksAlong(),
        '"0 95 190"',
        "marks along the edge, to be found again on the strip",
        "those of a drawing",
    ),
    make_key(
        "ends",
        EndWords(),
        '["flush", "free"]',
        "open edge: what is done at the ends, one word or one for each",
        "flush",
    ),
    make_key("spare", ABOVE_0, "10", "left on at a free end", "from limits.csv"),
    make_key("wrap", ABOVE_0, "15", "glued down behind a wrapped end", "needed of a wrapped end"),
    make_key("lap", ABOVE_0, "10", "how far lengths lie over each other", "they meet end to end"),
    make_key("longest", ABOVE_0, "580", "longest strip that can be cut", "as long as needed"),
    make_key("count", COUNT, "2", "how many of it, all alike", "1"),
)

ONLY_WITH_DRAWING = ("edge", "from", "to", "outside", "per_inch")
EDGES = ("curve", "drawing", "length", "radius", "round")
"""The keys that say how the edge runs: one of them must be there."""
