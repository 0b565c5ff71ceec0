"""A strip bent round, against felupe: how long it must be cut, and the moment that bends it.

The foams are stiffer in tension than in compression. A strip of each is bent from flat to an inside
radius R of 1 to 20 times its thickness t, with no net pull, once with sides free to draw in (plane
stress) and once with sides held (plane strain). `settle` and felupe bend it to the same radius and
turn. Compared are

- the length as cut, in the rule length = turn x (R + k t): k is the fibre, the height of the line
  that keeps its length. Independent library: felupe. Promised: `settle` is within 0.35 % of the
  length from R/t = 2 up. At R/t = 1 it is not, and by how much is bounded here.
- what is behind that: felupe has the squeeze through the thickness that a bend brings, `settle` has
  not. To leading order the length is too long by (1 - nu**2)/24 (t/r)**3 and the moment too high by
  (1 - nu**2)/5 (t/r)**2, with r = R + k t. Derived by hand, see the tests.
- felupe's strips themselves: against the stored elements (independent calculation), and against
  finer meshes of their own.

Run as a script, this file prints all of it as a table.
"""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path
from typing import NamedTuple

import numpy as np
import pytest
from felupe_bending import bend
from felupe_pair import foam
from scipy.optimize import brentq

from foamcalc.foam.law import HyperFoam
from foamcalc.foam.section import Layer, settle

FOAMS = {
    "alpha 8, ratio 0.10": HyperFoam.from_modulus(1.5, alpha=8.0, poisson=0.10),
    "alpha 8, ratio 0.25": HyperFoam.from_modulus(1.5, alpha=8.0, poisson=0.25),
    # the law that test_open_foam_data.py fits to the open test set, rounded
    "two terms, open data": HyperFoam([0.1913, 0.000433], [9.44, -4.33], [0.0873, 0.49]),
    # invented: towards the steepest group of that set
    "two terms, steep": HyperFoam([0.15, 0.001], [15.0, -4.0], [0.08, 0.45]),
}
WIDTHS = ("free", "held")
RADII = (20.0, 10.0, 5.0, 3.0, 2.0, 1.0)
"""Inside radii in thicknesses: the thickness is 1 mm."""

PROMISED = 0.0035
"""Most error of the length as a share, from an inside radius of two thicknesses up."""
MESH = 1e-4
"""Most error of felupe's moments as a share; the finer mesh below bears it out."""

each = pytest.mark.parametrize(
    ("name", "width"), [(name, width) for name in FOAMS for width in WIDTHS]
)


def felupe_law(law):
    return foam(law.mu, law.alpha, law.poisson)


class Compared(NamedTuple):
    """One bend both ways; thickness 1 mm."""

    radius: float
    """Inside radius [mm], felupe's."""
    fibre: float
    """felupe's."""
    settled_fibre: float
    moment: float
    """What `settle` has, over felupe's, less 1."""
    bend: float
    """Thickness over the radius of the line that keeps its length [1]."""

    def off(self, fibre):
        """Error of a length with this fibre, as a share of felupe's length."""
        return (fibre - self.fibre) / (self.radius + self.fibre)

    @property
    def length(self):
        """Error of the length that `settle` gives."""
        return self.off(self.settled_fibre)


def settled(law, width, radius):
    """A strip 1 mm thick for each mm of length, at the turn that gives its inner face the radius.

    The turn is searched between those with a fibre of 0.8 and of 0.2.
    """

    def held(turn):
        return settle([Layer(thickness=1.0, law=law, inner_length=1.0)], turn=turn, width=width)

    def too_wide(turn):
        return float(held(turn).inner_radius) - radius

    turn = brentq(too_wide, 1 / (radius + 0.8), 1 / (radius + 0.2), xtol=1e-14)
    return turn, held(turn)


@cache
def compared(name, width):
    """All radii of one foam, the gentlest first."""
    law, found = FOAMS[name], []
    for strip in bend(felupe_law(law), RADII, thickness=1.0, held=width == "held"):
        turn, ours = settled(law, width, strip.radius)
        found.append(
            Compared(
                radius=strip.radius,
                fibre=strip.fibre(1.0),
                settled_fibre=1 / turn - strip.radius,
                moment=float(ours.moment) / strip.moment - 1,
                bend=turn,
            )
        )
    return found


def squared_ratio(name, width):
    """Square of the strain through the thickness over the strain along, at rest."""
    return float(FOAMS[name].response(1.0, width).side_slope) ** 2


# felupe's strips ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("law", "rows"),
    [
        (HyperFoam(0.6, 2.0, 0.25), ("fe-03", "fe-04", "fe-01", "fe-02")),
        (HyperFoam(0.681818, 8.0, 0.1), ("fe-07", "fe-08", "fe-05", "fe-06")),
    ],
)
def test_felupe_bends_strips_as_the_stored_elements_do(law, rows):
    with (Path(__file__).parent / "element_checks.csv").open(encoding="utf-8", newline="") as file:
        stored = {row["row_id"]: float(row["value"]) for row in csv.DictReader(file)}
    found = []
    for strip in bend(felupe_law(law), (100.0, 30.0), thickness=10.0, held=False):
        inertia = 10.0**3 / 12
        found += [strip.fibre(10.0), strip.moment * (strip.radius + 5) / law.modulus / inertia]
    # independent calculation: stored finite elements, mesh error under 1e-4
    assert found == pytest.approx([stored[row] for row in rows], abs=1e-4)


@pytest.mark.parametrize("width", WIDTHS)
def test_a_finer_mesh_changes_nothing_that_matters(width):
    law = felupe_law(FOAMS["two terms, open data"])
    coarse, used, fine = (
        bend(law, (5.0, 2.0), thickness=1.0, held=width == "held", through=through, along=along)
        for through, along in ((2, 4), (4, 8), (6, 12))
    )

    def changes(mesh):
        """Most change of length and of moment to the fine mesh, as shares."""
        pairs = list(zip(mesh, fine, strict=True))
        length = [(a.fibre(1.0) - b.fibre(1.0)) / (b.radius + b.fibre(1.0)) for a, b in pairs]
        moment = [a.moment / b.moment - 1 for a, b in pairs]
        return np.abs([length, moment]).max(1)

    before, now = changes(coarse), changes(used)
    # independent library against itself: a three-hundredth of what is promised, and by refining
    # it got there: halved elements leave a quarter of the change, or less
    assert np.all(now < (PROMISED / 300, MESH))
    assert np.all(now < before / 4)
    for strip in used:
        # exact: every section bends the same, and nothing pulls
        assert strip.out_of_round < 1e-4
        assert abs(strip.pull) < 1e-9 * strip.moment


# settle beside them ---------------------------------------------------------------------------


@each
def test_these_foams_are_stiffer_in_tension(name, width):
    law = FOAMS[name]
    ratio = float(-law.stress(1.1, width) / law.stress(0.9, width))
    # derived: secants over 10 % either way; two-term foams as in the open test set, 1.8 to 2.8
    low, high = (1.8, 2.9) if name.startswith("two") else (1.2, 1.6)
    assert low < ratio < high


@each
def test_length_of_a_strip_bent_round(name, width):
    *promised, tightest = compared(name, width)
    assert [round(x.radius, 2) for x in (*promised, tightest)] == list(RADII)
    # independent library: felupe
    assert max(abs(x.length) for x in promised) < PROMISED
    # The tightest bend is beyond what is promised: too long by 1 to 1.6 %.
    assert 0.010 < tightest.length < 0.016


@each
def test_what_is_left_of_the_length_is_the_squeeze_through_the_thickness(name, width):
    # By hand. Let b = t/r be the bend and y the height above the middle, in thicknesses. Rings of
    # foam with the stress E (e + b y) press on those inside them by
    #     q = b (integral of the stress from y to 1/2) = E (b**2 (1/4 - y**2)/2 + b e (1/2 - y)).
    # Giving way to q frees the energy (1 - nu**2)/(2 E) (integral of q**2), whose slope over the
    # even strain e is (1 - nu**2)/24 E b**3 at e = 0, against E e. So the strip that gives way has
    # its inside longer by e = (1 - nu**2)/24 b**3 for one length as cut: for one radius `settle`
    # wants it longer by that share. Held sides have nu/(1 - nu) in the place of nu.
    leading = (1 - squared_ratio(name, width)) / 24
    for x in compared(name, width):
        # Exact to leading order. The next is smaller by b, with a factor from 0 to 2 in these
        # foams (measured: 0.1 to 1.8, growing with the difference of tension and compression).
        assert 1 < x.length / (leading * x.bend**3) < 1 + 2 * x.bend


@each
def test_moment_that_holds_a_strip_bent_round(name, width):
    # By hand, as above: the energy freed by q is b**4 (1 - nu**2)/240 E, its slope over b
    # b**3 (1 - nu**2)/60 E, against a moment of E b/12.
    leading = (1 - squared_ratio(name, width)) / 5
    for x in compared(name, width):
        # Exact to leading order, the next smaller by b, with a factor of at most 2 in these foams
        # (measured: 1.5); felupe's moment has its mesh error.
        share = leading * x.bend**2
        assert x.moment == pytest.approx(share, rel=2 * x.bend, abs=MESH)
        assert x.moment > 0


@each
def test_a_fibre_in_the_middle_would_not_do(name, width):
    tight = compared(name, width)[RADII.index(2.0)]
    # independent library: felupe. A law that took tension and compression alike would have its
    # fibre at or inside the middle, and so a length too short by three times what is promised.
    assert tight.off(0.5) < -3 * PROMISED


if __name__ == "__main__":
    print(f"{'foam':22}sides   R/t  k felupe  k settle   length %  by hand %   moment %  by hand %")
    for foam_name in FOAMS:
        for sides in WIDTHS:
            part = 1 - squared_ratio(foam_name, sides)
            for row in reversed(compared(foam_name, sides)):
                numbers = (row.length, part / 24 * row.bend**3, row.moment, part / 5 * row.bend**2)
                print(
                    f"{foam_name:22}{sides}{row.radius:7.2f}{row.fibre:10.5f}"
                    f"{row.settled_fibre:10.5f}{100 * numbers[0]:+11.4f}{100 * numbers[1]:+11.4f}"
                    f"{100 * numbers[2]:+11.3f}{100 * numbers[3]:+11.3f}"
                )
