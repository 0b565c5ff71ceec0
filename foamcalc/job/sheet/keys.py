"""Tables and keys of a job sheet: the checker and the printed table both rest on this list."""

from __future__ import annotations

import math
from dataclasses import dataclass

from foamcalc.job.sheet.fields import FileName, Key, ListOf, Text, Word, YesNo
from foamcalc.job.sheet.quantities import (
    STRESS_UNITS,
    WEIGHT_UNITS,
    Angle,
    Length,
    Number,
    Place,
    Quantity,
    Share,
)

LONGEST = 100_000.0
"""Longest length in a sheet [mm]; more is a slip of units."""
THICKEST = 100.0
"""Thickest sheet [mm]."""

_ABOVE_0 = Length("a length above 0 mm, at most 100 m", lambda mm: 0 < mm <= LONGEST)
_FROM_0 = Length("a length of 0 mm or more, at most 100 m", lambda mm: 0 <= mm <= LONGEST)
_EITHER = Length("a length other than 0 mm", lambda mm: 0 < abs(mm) <= LONGEST)
_SHEET = Length("a thickness above 0 mm, at most 100 mm", lambda mm: 0 < mm <= THICKEST)
_BEAD = Length("a thickness from 0 to 10 mm", lambda mm: 0 <= mm <= 10)
_FULL = 2 * math.pi * (1 + 1e-9)
_TURN = Angle("an angle of at most a full turn", lambda a: abs(a) <= _FULL)
_PART = Share("a share from 0 to 1 (0 to 100 %)", lambda share: 0 <= share <= 1)
_BELOW_1 = Share("a share from 0 to below 1", lambda share: 0 <= share < 1)
_STRETCH = Share("a share above 0 and below 1", lambda share: 0 < share < 1)
_PLACE = Place(_FROM_0)
_BY_CUT = "worked out from cut and needed"
_NAME = Text()


@dataclass(frozen=True, kw_only=True)
class TableKeys:
    """The keys of one table."""

    head: str
    what: str
    keys: tuple[Key, ...]
    named: bool = True
    """Whether the maker gives each table of the kind a name of its own."""

    def key(self, name: str) -> Key:
        """The key of that name."""
        return next(key for key in self.keys if key.name == name)


def _key(name: str, kind: object, example: str, what: str, default: str = "") -> Key:
    return Key(
        name=name,
        what=what,
        kind=kind,  # type: ignore[arg-type]
        example=example,
        default=default or "must be there",
        required=not default,
    )


_TOP = (_key("title", _NAME, '"Sea turtle"', "what the sheet is about", "name of the file"),)
_FOAM = (
    _key(
        "grade",
        _NAME,
        '"EVA medium"',
        "a grade of reference_tables/foams.csv; own values below take its place",
        "own modulus, alpha and poisson",
    ),
    _key(
        "modulus",
        Quantity(
            "a stiffness from 0.001 to 1000 MPa",
            lambda e: 1e-3 <= e <= 1e3,
            "MPa, kPa or psi",
            STRESS_UNITS,
        ),
        '"1.5 MPa"',
        "own stiffness at rest",
        "from the grade",
    ),
    _key(
        "alpha",
        Number("a number other than 0, from -50 to 50", lambda a: 0 < abs(a) <= 50),
        "8",
        "own exponent: how much stiffer pulled than squeezed (2: about the same)",
        "from the grade",
    ),
    _key(
        "poisson",
        Number("a number from 0 to below 0.5", lambda v: 0 <= v < 0.5),
        "0.1",
        "own narrowing over stretch",
        "from the grade",
    ),
    _key(
        "swatch",
        FileName(),
        '"swatch.csv"',
        "file of your own swatch test; what it tells takes the place of the grade",
        "not tested",
    ),
    _key(
        "fibre",
        Number("a number from 0 to 1", lambda f: 0 <= f <= 1),
        "0.5",
        "where the line lies that keeps its length when bent, 0 inner face to 1 outer face",
        "the middle, 0.5 (assumed)",
    ),
    _key(
        "relaxes",
        _BELOW_1,
        '"30 %"',
        "share of the stress gone by the next day, from your own swatch",
        "not known, nothing is said about the next day",
    ),
)
_ADHESIVE = (
    _key("kind", _NAME, '"contact adhesive"', "a row of reference_tables/adhesives.csv"),
    _key("bead", _BEAD, '"0.5 mm"', "own thickness of the glue", "from the kind"),
    _key(
        "peel_held",
        Quantity(
            "a weight of 1 g to 100 kg",
            lambda w: 0.0098 <= w <= 981,
            "g, kg, oz, lb or N",
            WEIGHT_UNITS,
        ),
        '"400 g"',
        "your own test: what a strip peeled straight off an offcut just held",
        "not tested",
    ),
    _key("peel_width", _ABOVE_0, "25", "width of that strip", "must be there with peel_held"),
)
_CURVE = (
    _key(
        "measured_on",
        Word(("outside", "inside")),
        '"outside"',
        "the face of the base on which the curve was taken",
    ),
    _key("points", FileName(), '"contour.csv"', "file of measured points, in order", "not used"),
    _key("noise", _FROM_0, '"0.5 mm"', "how far a point may be off", "must be there with points"),
    _key(
        "across",
        _ABOVE_0,
        '"260 mm"',
        "with points: a ruler between the two ends, to check the file",
        "not checked",
    ),
    _key("corners", FileName(), '"corners.csv"', "file of corners, in order", "not used"),
    _key(
        "corner_radius",
        _ABOVE_0,
        '"15 mm"',
        "radius to which the corners are rounded",
        "must be there with corners",
    ),
    _key(
        "outside",
        Word(("left", "right")),
        '"left"',
        "with points or corners: the side of the outside, walking along them",
        "left",
    ),
    _key(
        "closed",
        YesNo(),
        "true",
        "with points, corners or lengths: whether the end meets the start",
        "false",
    ),
    _key("radius", _ABOVE_0, "120", "radius; with turn", "not used"),
    _key("turn", _TURN, '"180 deg"', "angle between the ends; below 0 in a hollow", "not used"),
    _key("chord", _ABOVE_0, "260", "straight distance between the ends; with rise", "not used"),
    _key("rise", _EITHER, "80", "height of the middle; below 0 in a hollow", "not used"),
    _key("length", _ABOVE_0, "420", "length along the curve; with turn or mouth", "not used"),
    _key(
        "mouth",
        _FROM_0,
        "260",
        "straight distance between the ends, on the same face; with length",
        "not used",
    ),
    _key("girth", _ABOVE_0, "300", "tape once round: a closed circle", "not used"),
    _key(
        "lengths",
        ListOf(_ABOVE_0, "a list of 1 to 200 lengths", 1, 200),
        "[40, 180, 40]",
        "lengths of arcs and straight pieces, joined without a kink; with turns",
        "not used",
    ),
    _key(
        "turns",
        ListOf(_TURN, "a list of 1 to 200 angles", 1, 200),
        '["-20 deg", "150 deg", "-20 deg"]',
        "turn of each: 0 is straight, below 0 a hollow",
        "not used",
    ),
)
_SHELL = (
    _key("curve", _NAME, '"back"', "a [curve.NAME] of this sheet"),
    _key("thickness", _SHEET, "10", "thickness of the base, measured"),
    _key("foam", _NAME, '"shell"', "a [foam.NAME], or a grade", "EVA medium, assumed"),
    _key("width", _ABOVE_0, "300", "width across the bend", "100 mm, assumed"),
    _key(
        "formed",
        _PART,
        "1.0",
        "how far heat has formed it: 1 keeps the curve by itself, 0 is only held",
        "1",
    ),
    _key(
        "adhesive",
        _NAME,
        '"contact"',
        "an [adhesive.NAME], or a kind, for all that is glued on it",
        "contact adhesive",
    ),
    _key(
        "most_opening",
        _ABOVE_0,
        "10",
        "most the mouth (of a ring: its girth) may change",
        "from limits.csv",
    ),
    _key(
        "strap",
        ListOf(_PLACE, "a list of two places", 2, 2),
        '[0, "end"]',
        "two places along the curve that a strap holds at their distance",
        "no strap",
    ),
    _key("held_overnight", YesNo(), "true", "strapped till the next day", "false"),
    _key("seam", _FROM_0, "0", "ring only: place of its butt seam along the curve", "not said"),
)
_OVERLAY = (
    _key("name", _NAME, '"first scute"', "a name of its own", "overlay and its number"),
    _key("thickness", _SHEET, "5", "thickness of the overlay, measured"),
    _key("cut", _ABOVE_0, "160", "length as cut, lying flat", "not cut yet: as long as its base"),
    _key("already_cut", YesNo(), "true", "whether it is cut", "true where cut is given"),
    _key(
        "foam",
        _NAME,
        '"scute"',
        "a [foam.NAME], or a grade",
        "as the shell; without a shell EVA medium, assumed",
    ),
    _key("width", _ABOVE_0, "120", "width across the bend", "as the shell, or 100 mm, assumed"),
    _key(
        "free_ends",
        Number("0, 1 or 2", lambda n: n in (0, 1, 2), whole=True),
        "0",
        "ends that may run past and be trimmed after gluing",
        "2; all round a ring 0",
    ),
    _key("formed", _PART, "0", "how far heat has formed it before gluing", "0"),
    _key("most_stretch", _STRETCH, '"5 %"', "most it may stretch cold", "from limits.csv"),
    _key("shell", _NAME, '"back"', "the [shell.NAME] it goes over", "needed must be there"),
    _key("from", _PLACE, "20", "with shell: where it begins, along the curve", "0"),
    _key("to", _PLACE, "180", "with shell: where it ends, along the curve", "end"),
    _key(
        "needed",
        _ABOVE_0,
        "188",
        "without shell: tape over the outside of the base, end to end",
        "shell must be there",
    ),
    _key("base", _SHEET, "10", "with needed: thickness of the base", "must be there with needed"),
    _key("turn", _TURN, '"180 deg"', "with needed: angle between the ends of the base", _BY_CUT),
    _key("radius", _ABOVE_0, "50", "or inside radius of the base", _BY_CUT),
    _key("mouth", _FROM_0, "100", "or straight distance between its inside ends", _BY_CUT),
    _key("inside", _ABOVE_0, "157", "or tape along its inside", _BY_CUT),
    _key("base_formed", _PART, "1.0", "with needed: how far heat has formed the base", "1"),
    _key("base_foam", _NAME, '"shell"', "with needed: foam of the base", "as the overlay"),
    _key("base_width", _ABOVE_0, "300", "with needed: width of the base", "as the overlay"),
    _key(
        "adhesive",
        _NAME,
        '"contact"',
        "with needed: an [adhesive.NAME], or a kind",
        "contact adhesive",
    ),
    _key("most_opening", _ABOVE_0, "10", "with needed: most the mouth may change", "limits.csv"),
)

TABLES = {
    "": TableKeys(
        head="the top of the sheet", what="above the first table", keys=_TOP, named=False
    ),
    "foam": TableKeys(head="[foam.NAME]", what="a foam, by your own name", keys=_FOAM),
    "adhesive": TableKeys(head="[adhesive.NAME]", what="an adhesive", keys=_ADHESIVE),
    "curve": TableKeys(head="[curve.NAME]", what="a curve, given in one way", keys=_CURVE),
    "shell": TableKeys(head="[shell.NAME]", what="a base and what is done with it", keys=_SHELL),
    "overlay": TableKeys(
        head="[[overlay]]",
        what="a layer glued over a base; one table each, in order of gluing",
        keys=_OVERLAY,
        named=False,
    ),
}
"""Every kind of table, by the first word of its head; "" is the top of the sheet."""

ONLY_WITH_SHELL = ("from", "to")
ONLY_WITH_NEEDED = (
    "base",
    "turn",
    "radius",
    "mouth",
    "inside",
    "base_formed",
    "base_foam",
    "base_width",
    "adhesive",
    "most_opening",
)
STOCK = ("thickness", "base", "width", "base_width", "bead", "noise", "corner_radius")
"""Lengths that are not read off the work with a tape: they do not say in which units to answer."""

WAYS = (
    (("points", "noise"), ("across", "outside", "closed")),
    (("corners", "corner_radius"), ("outside", "closed")),
    (("radius", "turn"), ()),
    (("chord", "rise"), ()),
    (("length", "turn"), ()),
    (("length", "mouth"), ()),
    (("girth",), ()),
    (("lengths", "turns"), ("closed",)),
)
"""The ways to give a curve: keys that belong together, and those that may stand with them."""
