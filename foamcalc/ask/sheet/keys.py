"""Tables and keys of a job sheet: the checker and the printed table both rest on this list."""

from __future__ import annotations

from foamcalc.ask.form import (
    ABOVE_0,
    BY_CUT,
    EITHER,
    FROM_0,
    NAME,
    PART,
    PLACE,
    SHEET,
    STRETCH,
    TURN,
    FileName,
    Form,
    ListOf,
    Number,
    Word,
    YesNo,
    make_key,
)
from foamcalc.ask.sheet.foam_keys import ADHESIVE, FOAM
from foamcalc.ask.sheet.seam_keys import SEAM
from foamcalc.ask.sheet.stock_keys import CUTTING, PIECE, SHEETS
from foamcalc.ask.trim import FORM as TRIM

_TOP = (make_key("title", NAME, '"Sea turtle"', "what the sheet is about", "name of the file"),)
_CURVE = (
    make_key(
        "measured_on",
        Word(("outside", "inside")),
        '"outside"',
        "the face of the base on which the curve was taken",
    ),
    make_key(
        "points", FileName(), '"contour.csv"', "file of measured points, in order", "not used"
    ),
    make_key(
        "noise", FROM_0, '"0.5 mm"', "how far a point may be off", "must be there with points"
    ),
    make_key(
        "across",
        ABOVE_0,
        '"260 mm"',
        "with points: a ruler between the two ends, to check the file",
        "not checked",
    ),
    make_key("corners", FileName(), '"corners.csv"', "file of corners, in order", "not used"),
    make_key(
        "corner_radius",
        ABOVE_0,
        '"15 mm"',
        "radius to which the corners are rounded",
        "must be there with corners",
    ),
    make_key(
        "outside",
        Word(("left", "right")),
        '"left"',
        "with points or corners: the side of the outside, walking along them",
        "left",
    ),
    make_key(
        "closed",
        YesNo(),
        "true",
        "with points, corners or lengths: whether the end meets the start",
        "false",
    ),
    make_key("radius", ABOVE_0, "120", "radius; with turn", "not used"),
    make_key("turn", TURN, '"180 deg"', "angle between the ends; below 0 in a hollow", "not used"),
    make_key("chord", ABOVE_0, "260", "straight distance between the ends; with rise", "not used"),
    make_key("rise", EITHER, "80", "height of the middle; below 0 in a hollow", "not used"),
    make_key("length", ABOVE_0, "420", "length along the curve; with turn or mouth", "not used"),
    make_key(
        "mouth",
        FROM_0,
        "260",
        "straight distance between the ends, on the same face; with length",
        "not used",
    ),
    make_key("girth", ABOVE_0, "300", "tape once round: a closed circle", "not used"),
    make_key(
        "lengths",
        ListOf(ABOVE_0, "a list of 1 to 200 lengths", 1, 200),
        "[40, 180, 40]",
        "lengths of arcs and straight pieces, joined without a kink; with turns",
        "not used",
    ),
    make_key(
        "turns",
        ListOf(TURN, "a list of 1 to 200 angles", 1, 200),
        '["-20 deg", "150 deg", "-20 deg"]',
        "turn of each: 0 is straight, below 0 a hollow",
        "not used",
    ),
)
_SHELL = (
    make_key("curve", NAME, '"back"', "a [curve.NAME] of this sheet"),
    make_key("thickness", SHEET, "10", "thickness of the base, measured"),
    make_key("foam", NAME, '"shell"', "a [foam.NAME], or a grade", "EVA medium, assumed"),
    make_key("width", ABOVE_0, "300", "width across the bend", "100 mm, assumed"),
    make_key(
        "formed",
        PART,
        "1.0",
        "how far heat has formed it: 1 keeps the curve by itself, 0 is only held",
        "1",
    ),
    make_key(
        "adhesive",
        NAME,
        '"contact"',
        "an [adhesive.NAME], or a kind, for all that is glued on it",
        "contact adhesive",
    ),
    make_key(
        "most_opening",
        ABOVE_0,
        "10",
        "most the mouth (of a ring: its girth) may change",
        "from limits.csv",
    ),
    make_key(
        "strap",
        ListOf(PLACE, "a list of two places", 2, 2),
        '[0, "end"]',
        "two places along the curve that a strap holds at their distance",
        "no strap",
    ),
    make_key("held_overnight", YesNo(), "true", "strapped till the next day", "false"),
    make_key("seam", FROM_0, "0", "ring only: place of its butt seam along the curve", "not said"),
    make_key(
        "already_cut", YesNo(), "true", "whether its base is cut", "false: it is in the cut list"
    ),
    make_key(
        "hollow",
        YesNo(),
        "true",
        "base on measured points or corners that is meant to be hollow along most of it",
        "false: it is asked about",
    ),
)
_OVERLAY = (
    make_key("name", NAME, '"first scute"', "a name of its own", "overlay and its number"),
    make_key("thickness", SHEET, "5", "thickness of the overlay, measured"),
    make_key(
        "cut", ABOVE_0, "160", "length as cut, lying flat", "not cut yet: as long as its base"
    ),
    make_key("already_cut", YesNo(), "true", "whether it is cut", "true where cut is given"),
    make_key(
        "foam",
        NAME,
        '"scute"',
        "a [foam.NAME], or a grade",
        "as the shell; without a shell EVA medium, assumed",
    ),
    make_key("width", ABOVE_0, "120", "width across the bend", "as the shell, or 100 mm, assumed"),
    make_key(
        "free_ends",
        Number("0, 1 or 2", lambda n: n in (0, 1, 2), whole=True),
        "0",
        "ends that may run past and be trimmed after gluing",
        "2; all round a ring 0",
    ),
    make_key("formed", PART, "0", "how far heat has formed it before gluing", "0"),
    make_key("most_stretch", STRETCH, '"5 %"', "most it may stretch cold", "from limits.csv"),
    make_key("shell", NAME, '"back"', "the [shell.NAME] it goes over", "needed must be there"),
    make_key(
        "from", PLACE, "20", "with shell: where it begins, along the face that was measured", "0"
    ),
    make_key(
        "to", PLACE, "180", "with shell: where it ends, along the face that was measured", "end"
    ),
    make_key(
        "needed",
        ABOVE_0,
        "188",
        "without shell: tape over the outside of the base, end to end",
        "shell must be there",
    ),
    make_key("hole", ABOVE_0, "12", "diameter of the largest round hole in it", "no hole"),
    make_key(
        "base", SHEET, "10", "with needed: thickness of the base", "must be there with needed"
    ),
    make_key("turn", TURN, '"180 deg"', "with needed: angle between the ends of the base", BY_CUT),
    make_key("radius", ABOVE_0, "50", "or inside radius of the base", BY_CUT),
    make_key("mouth", FROM_0, "100", "or straight distance between its inside ends", BY_CUT),
    make_key("inside", ABOVE_0, "157", "or tape along its inside", BY_CUT),
    make_key("base_formed", PART, "1.0", "with needed: how far heat has formed the base", "1"),
    make_key("base_foam", NAME, '"shell"', "with needed: foam of the base", "as the overlay"),
    make_key("base_width", ABOVE_0, "300", "with needed: width of the base", "as the overlay"),
    make_key(
        "adhesive",
        NAME,
        '"contact"',
        "with needed: an [adhesive.NAME], or a kind",
        "contact adhesive",
    ),
    make_key("most_opening", ABOVE_0, "10", "with needed: most the mouth may change", "limits.csv"),
)

TABLES = {
    "": Form(head="the top of the sheet", what="above the first table", keys=_TOP),
    "foam": Form(head="[foam.NAME]", what="a foam, by your own name", keys=FOAM),
    "adhesive": Form(head="[adhesive.NAME]", what="an adhesive", keys=ADHESIVE),
    "curve": Form(head="[curve.NAME]", what="a curve, given in one way", keys=_CURVE),
    "shell": Form(head="[shell.NAME]", what="a base and what is done with it", keys=_SHELL),
    "overlay": Form(
        head="[[overlay]]",
        what="a layer glued over a base; one table each, in order of gluing",
        keys=_OVERLAY,
    ),
    "seam": Form(
        head="[[seam]]",
        what="two edges glued edge to edge, from a drawing or from two tapes; one table each",
        keys=SEAM,
    ),
    "trim": TRIM,
    "stock": Form(
        head="[[stock]]", what="sheets of one size that can be had; one table each", keys=SHEETS
    ),
    "piece": Form(
        head="[[piece]]", what="a further piece to cut, by the rectangle round it", keys=PIECE
    ),
    "cutting": Form(head="[cutting]", what="how the sheets are cut", keys=CUTTING),
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
STOCK = (
    "thickness",
    "base",
    "width",
    "base_width",
    "bead",
    "noise",
    "corner_radius",
    "other_thickness",
    "depth",
    "other_depth",
    "edge_thickness",
    "longest",
)
"""Lengths that are not read off the work with a tape: they do not say in which units to answer."""

NOT_TAPED = ("stock", "cutting")
"""Tables in which no length is read off the work."""

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
