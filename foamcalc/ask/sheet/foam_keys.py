"""Keys of the foams and adhesives of a job sheet."""

from __future__ import annotations

from foamcalc.ask.form import (
    ABOVE_0,
    BEAD,
    BELOW_1,
    DENSITY_UNITS,
    NAME,
    STRESS_UNITS,
    WEIGHT_UNITS,
    FileName,
    Number,
    Quantity,
    make_key,
)

DENSITY = make_key(
    "density",
    Quantity(
        "a density from 5 to 400 kg/m3",
        lambda d: 5 <= d <= 400,
        "kg/m3, g/cm3 or lb/ft3",
        DENSITY_UNITS,
    ),
    '"100 kg/m3"',
    "weight over volume; where nothing better is known, the stiffness is guessed from it",
    "not used",
)
FOAM = (
    make_key(
        "grade",
        NAME,
        '"EVA medium"',
        "a grade of reference_tables/foams.csv; own values below take its place",
        "own modulus, alpha and poisson",
    ),
    make_key(
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
    make_key(
        "alpha",
        Number("a number other than 0, from -50 to 50", lambda a: 0 < abs(a) <= 50),
        "8",
        "own exponent: how much stiffer pulled than squeezed (2: about the same)",
        "from the grade",
    ),
    make_key(
        "poisson",
        Number("a number from 0 to below 0.5", lambda v: 0 <= v < 0.5),
        "0.1",
        "own narrowing over stretch",
        "from the grade",
    ),
    make_key(
        "swatch",
        FileName(),
        '"swatch.csv"',
        "file of your own swatch test; what it tells takes the place of the grade",
        "not tested",
    ),
    DENSITY,
    make_key(
        "fibre",
        Number("a number from 0 to 1", lambda f: 0 <= f <= 1),
        "0.5",
        "where the line lies that keeps its length when bent, 0 inner face to 1 outer face",
        "the middle, 0.5 (assumed)",
    ),
    make_key(
        "relaxes",
        BELOW_1,
        '"30 %"',
        "share of the stress gone by the next day, from your own swatch",
        "not known, nothing is said about the next day",
    ),
)
PEEL_HELD = make_key(
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
)
ADHESIVE = (
    make_key("kind", NAME, '"contact adhesive"', "a row of reference_tables/adhesives.csv"),
    make_key("bead", BEAD, '"0.5 mm"', "own thickness of the glue", "from the kind"),
    PEEL_HELD,
    make_key("peel_width", ABOVE_0, "25", "width of that strip", "must be there with peel_held"),
)
