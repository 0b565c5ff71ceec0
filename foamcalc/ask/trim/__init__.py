"""Strips along edges: what may be asked of them, on the command line and in a job sheet alike."""

from __future__ import annotations

from dataclasses import dataclass

from foamcalc.ask.faults import shown
from foamcalc.ask.form import (
    ABOVE_0,
    COUNT,
    FROM_0,
    NAME,
    PART,
    SHEET,
    STRETCH,
    TURN,
    FileName,
    Form,
    Got,
    Length,
    ListOf,
    PerInch,
    Word,
    Wrong,
    YesNo,
    make_key,
)
from foamcalc.ask.seam.places import MOST_PLACES, read_places

__all__ = ["FORM", "KINDS"]

KINDS = BAND, RIM, BINDING, SLIT, TOOTHED = ("band", "rim", "binding", "slit", "toothed")
"""Kinds of strips."""
PITCHED = (SLIT, TOOTHED)
_STRIPPED = (BAND, RIM, BINDING)


_END = Word(("flush", "free", "wrapped"))


@dataclass(frozen=True)
class Along:
    """Lengths as one text, as at the bench, or as a list."""

    kind: Length
    wanted: str
    upto: int
    unit: str = "mm"

    def read(self, value: object, name: str) -> Got:
        """The lengths [mm]."""
        if not isinstance(value, str):
            listed = value if isinstance(value, list) else [value]
            return ListOf(self.kind, self.wanted, 1, self.upto).read(listed, name)
        try:
            readings = read_places(value, name=name)
        except ValueError as fault:
            raise ValueError(str(fault).removeprefix(name).lstrip(":, ")) from None
        if len(readings) > self.upto:
            raise Wrong(f"must be {self.wanted}, got {len(readings)}")
        if not all(self.kind.fits(r.value) for r in readings):
            raise Wrong(f"must be {self.kind.wanted}, got {shown(value)}")
        return Got(tuple(r.value for r in readings), lengths=readings)


@dataclass(frozen=True)
class EndWords:
    """What is done at the open ends: one word, or a list of two."""

    most: int = 2
    unit: str = _END.unit

    def read(self, value: object, name: str) -> Got:
        """The word of each end."""
        if isinstance(value, str):
            return Got((_END.read(value, name).value,))
        if not isinstance(value, list | tuple):
            raise Wrong(f"must be one word, or a list of two, got {shown(value)}")
        return ListOf(_END, "one word, or a list of two", 1, 2).read(list(value), name)


_MARKS = Along(FROM_0, f"a list of 1 to {MOST_PLACES} places, or one text", MOST_PLACES)
_LEGS = Along(ABOVE_0, "one length, or a list of two", 2)
_E, _D, _S, _N, _O = (
    {"group": head}
    for head in (
        "the edge",
        "an edge in a drawing",
        "the strip",
        "its ends and joins",
        "for some kinds only",
    )
)

# fmt: off
FORM = Form(
    head="[[trim]]",
    what="a strip along an edge, its edge given in one way; one table each",
    by="kind",
    ways={"curve": (), "drawing": ("edge",), "length": ("turn",), "radius": ("turn",), "round": ()},
    beside={"round": ("turn", "around"), "curve": ("around",),
            "drawing": ("from", "to", "outside", "around", "per_inch")},
    keys=(
        make_key("name", NAME, '"shin rim"', "a name of its own", "trim and its number",
                 at="sheet"),
        make_key("kind", Word(KINDS), '"rim"', "what the strip is"),
        make_key("curve", NAME, '"shin"', "its edge: a [curve.NAME] of this sheet, on the face "
                 "where the curve was measured", "not used", at="sheet"),
        make_key("drawing", FileName(), '"knee_cup.svg"', "or a drawing that has the edge (SVG)",
                 "not used", **_D),
        make_key("edge", NAME, '"inner half"', "the outline in it that the strip follows, by its "
                 "title or its id", "must be there with drawing", **_D),
        make_key("from", NAME, '"top"', "with drawing: the mark where it begins", "once round",
                 **_D),
        make_key("to", NAME, '"bottom"', "with drawing: the mark where it ends", "once round",
                 **_D),
        make_key("outside", Word(("left", "right")), '"left"', "with drawing, an open line: its "
                 "side without foam, seen from its start", "must be there with an open line", **_D),
        make_key("per_inch", PerInch(), "96", "with drawing: px to the inch",
                 "the drawing says its size", **_D),
        make_key("length", ABOVE_0, "330", "or length along the edge by the tape; with turn",
                 "no tape", **_E),
        make_key("radius", ABOVE_0, "60", "or radius of the edge; with turn", "not used", **_E),
        make_key("round", ABOVE_0, "300", "or the tape once round a closed edge", "not used", **_E),
        make_key("around", Word(("piece", "opening")), '"opening"', "with round, or a closed "
                 "outline: whether it goes round the piece or an opening in it",
                 "piece; an inner outline of a path: opening", **_E),
        make_key("turn", TURN, '"180 deg"', "with length or radius: angle between the ends of the "
                 "edge, '0 deg' where it is straight, below 0 in a hollow; with round '-360 deg' "
                 "for a hole", "must be there with length and radius", **_E),
        make_key("marks", _MARKS, '"0 95 190"', "marks along the edge, to be found again on the "
                 "strip", "those of a drawing", **_E),
        make_key("width", ABOVE_0, "20", "width of the strip", "of a binding worked out, else "
                 "needed", needed=(BAND, RIM, *PITCHED), only=(BAND, RIM, *PITCHED), **_S),
        make_key("thickness", SHEET, "5", "thickness of the strip, measured",
                 "in a sheet it must be there", required=True, **_S),
        make_key("foam", NAME, '"EVA medium"', "a grade, or a [foam.NAME] of the sheet",
                 "EVA medium, assumed", **_S),
        make_key("swatch", FileName(), '"swatch.csv"', "record of your own swatch test (CSV), in "
                 "place of a grade", "not used", at="line", **_S),
        make_key("adhesive", NAME, '"contact adhesive"',
                 "a kind, or an [adhesive.NAME] of the sheet",
                 "contact adhesive", **_S),
        make_key("most_stretch", STRETCH, '"5 %"', "most it may stretch cold", "from limits.csv",
                 only=_STRIPPED, **_S),
        make_key("ends", EndWords(), '"free"', "open edge: what is done at the ends, "
                 "one word or one for each", "flush", **_N),
        make_key("spare", ABOVE_0, "10", "left on at a free end", "from limits.csv", **_N),
        make_key("wrap", ABOVE_0, "15", "what is glued down behind a wrapped end",
                 "needed of a wrapped end", **_N),
        make_key("lap", ABOVE_0, "10", "how far lengths lie over each other",
                 "they meet end to end", only=_STRIPPED, **_N),
        make_key("longest", ABOVE_0, "580", "longest strip that can be cut", "as long as needed",
                 **_N),
        make_key("side", Word(("inside", "middle", "outside")), '"inside"',
                 "band: where it lies, seen from the edge", "inside", only=(BAND,), **_O),
        make_key("pull", PART, '"50 %"', "band: pull it; 100 %: no edge is squeezed",
                 "as much as is needed", only=(BAND,), **_O),
        make_key("not_pulled", YesNo(), "true", "band: it may not be pulled", "it may",
                 only=(BAND,), **_O),
        make_key("cut", ABOVE_0, "390", "rim: length of a strip that is cut already", "not cut yet",
                 only=(RIM,), **_O),
        make_key("at_corners", Word(("bent", "mitred")), '"mitred"',
                 "rim: taken round corners, or parted there", "bent", only=(RIM,), **_O),
        make_key("edge_thickness", SHEET, "10", "thickness of the piece that is bound; else what a "
                 "wrapped end goes over", "needed of a binding; else 0", needed=(BINDING,), **_O),
        make_key("legs", _LEGS, '"12 8"', "binding: how far it reaches over each face",
                 "needed of a binding", needed=(BINDING,), only=(BINDING,), **_O),
        make_key("depth", ABOVE_0, "7", "slit, toothed: depth of the cuts",
                 "needed of those kinds", needed=PITCHED, only=PITCHED, **_O),
        make_key("pitch", ABOVE_0, "5", "slit, toothed: length from cut to cut",
                 "needed of those kinds", needed=PITCHED, only=PITCHED, **_O),
        make_key("slit_width", ABOVE_0, '"0.5 mm"', "slit: how wide the blade cuts", "a knife: 0",
                 only=(SLIT,), **_O),
        make_key("face", Word(("outside", "inside")), '"outside"', "slit, toothed: the face that "
                 "is cut, away from the edge or glued", "outside", only=PITCHED, **_O),
        make_key("count", COUNT, "2", "how many of it, all alike", "1", at="sheet"),
        make_key("units", Word(("mm", "in")), '"in"', "unit of the answer", "of the readings",
                 at="line"),
    ),
)
# fmt: on
