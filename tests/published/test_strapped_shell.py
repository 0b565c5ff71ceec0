"""A strapped shell against curved-beam formulas, a boundary value problem and finite elements.

Sources:

- Castigliano's theorem for thin curved beams. The deflections of a half ring and of a slit ring are
  textbook results given here from memory; the test derives them afresh with sympy.
- Ring pinched across by two forces P: the loaded diameter shortens by
  P R^3/(E I) (pi/4 - 2/pi). Read on solver-docs.pages.dev/verification/pinched_ring.html (which
  takes it from Timoshenko and Young, Elements of Strength of Materials, 1968, section 79; that
  book was not opened). The page prints the number beside the formula as 0.14868; the formula
  itself gives 0.14878, so the formula is what is used here.
"""

from __future__ import annotations

import math
from itertools import pairwise

import beam_bvp
import felupe_pair
import felupe_shell
import numpy as np
import pytest
import sympy as sp

from foamcalc.fit import rest as rest_module
from foamcalc.fit import shell as shell_module
from foamcalc.fit.overlay import Overlay
from foamcalc.fit.release import let_go
from foamcalc.fit.rest import at_rest
from foamcalc.fit.shell import Cover, Shell
from foamcalc.fit.stack import Piece
from foamcalc.foam.law import HyperFoam, Linear
from foamcalc.shape.closure import Tie, closure, distance
from foamcalc.shape.curve import Arc

PI = math.pi
E = 1.5
LINEAR = Linear(E)


# Thin curved beams: Castigliano ---------------------------------------------------------------


def castigliano(turn, inside=1):
    """Change of the distance between the ends over F R^3/(E I), two forces F along the chord.

    `inside` is the radius at which they act over the middle radius R.
    """
    force, angle = sp.symbols("F psi", positive=True)
    moment = force * (sp.cos(angle) - inside * sp.cos(turn / 2))  # over R, from the arc's middle
    energy = sp.integrate(moment**2 / 2, (angle, -turn / 2, turn / 2))  # over R^3/(E I)
    return sp.simplify(sp.diff(energy, force) / force)


def thin(turn, *, closed=False):
    """A strip 0.5 mm thick and 40 mm wide at a middle radius of 100 mm; its E I."""
    base = Piece(thickness=0.5, law=LINEAR, width=40, formed=1)
    shell = Shell(base=base, curve=Arc(99.75, turn, closed=closed), face="inside")
    return shell, E * 40 * 0.5**3 / 12


@pytest.mark.parametrize(
    ("turn", "textbook"), [(sp.pi, sp.pi / 2), (2 * sp.pi, 3 * sp.pi), (sp.Rational(5, 4), None)]
)
def test_small_openings_of_a_thin_arc(turn, textbook):
    if textbook is not None:
        # from memory: half ring pi/2, slit ring 3 pi; derived here
        assert sp.simplify(castigliano(turn) - textbook) == 0
    factor = float(castigliano(turn, sp.Rational(9975, 10000)))
    shell, stiff = thin(float(turn))
    rest = at_rest(shell)
    strapped = rest.strapped(apart=rest.size_before + 0.002)
    force = -0.002 * stiff / (factor * 100**3)
    # independent formula: Castigliano; 60 arcs stand for the circle, worth some 1/60^2
    assert float(strapped.force) == pytest.approx(force, rel=6e-4)


def test_a_ring_pinched_across():
    shell, stiff = thin(2 * PI, closed=True)
    sections = at_rest(shell).sections.refined(at_least=240)

    def both(lengths, turns):
        ties = closure(lengths, turns), distance(lengths, turns, start=0, stop=120)
        return Tie(*(np.concatenate(parts) for parts in zip(*ties, strict=True)))

    target = np.array([0.0, 0.0, 2 * PI, 199.5 - 0.002])
    _, action = sections.tied(both, target)
    # published (see the top): shortening P R^3/(E I) (pi/4 - 2/pi)
    force = 0.002 * stiff / (100**3 * (PI / 4 - 2 / PI))
    # 240 arcs; the error falls with the square of their number
    assert -action[3] == pytest.approx(force, rel=4e-4)


# Thick layered beams, large turns: a boundary value problem -----------------------------------

T1, T2 = 10.0, 5.0


def beam_runs(radius, total, widths, covers, *, formed=1.0):
    """The runs of the beam: formed base, flat overlays of one thickness, (start, end, stretch)."""
    wide, narrow = widths
    middle = 1 + T1 / 2 / radius
    bend = formed / radius
    base = beam_bvp.Sheet(0, T1, E * wide, middle - bend * T1 / 2, bend)
    edges = sorted({0.0, total, *(place for cover in covers for place in cover[:2])})
    runs = []
    for a, b in pairwise(edges):
        sheets, top = [base], T1
        for start, end, stretch in covers:
            if start <= a and b <= end:
                natural = (1 + (top + T2 / 2) / radius) / stretch
                sheets.append(beam_bvp.Sheet(top, top + T2, E * narrow, natural))
                top += T2
        runs.append(beam_bvp.Run(b - a, tuple(sheets)))
    return runs


def needed(covers, index, radius):
    """Length that an overlay needs, over those below it."""
    start, end, _ = covers[index]
    total = (end - start) * (1 + (T1 + T2 / 2) / radius)
    for low, high, _ in covers[:index]:
        total += max(0.0, min(end, high) - max(start, low)) * T2 / radius
    return total


def shell_of(radius, turn, widths, covers, *, formed=1.0, closed=False):
    wide, narrow = widths
    over = Piece(thickness=T2, law=LINEAR, width=narrow)
    return Shell(
        base=Piece(thickness=T1, law=LINEAR, width=wide, formed=formed),
        curve=Arc(radius, turn, closed=closed),
        face="inside",
        covers=tuple(
            Cover(piece=over, start=start, end=end, cut_length=needed(covers, i, radius) / stretch)
            for i, (start, end, stretch) in enumerate(covers)
        ),
    )


CASES = {
    "in the middle": (60.0, PI, (120, 80), [(30.0, 130.0, 1.08)], 1.0),
    "to one end": (60.0, PI, (120, 120), [(0.0, 100.0, 1.05)], 1.0),
    "all over": (50.0, PI, (100, 100), [(0.0, 50 * PI, 62.5 / 55)], 1.0),
    "two that overlap": (80.0, 2.6, (150, 100), [(20.0, 110.0, 1.06), (80.0, 190.0, 1.04)], 1.0),
    "too long": (60.0, PI, (120, 80), [(30.0, 130.0, 0.96)], 1.0),
    "base half formed": (90.0, 1.8, (100, 60), [(40.0, 120.0, 1.03)], 0.5),
    "nearly closed": (60.0, 6.0, (100, 100), [(120.0, 240.0, 1.05)], 1.0),
}


@pytest.mark.parametrize("name", CASES)
@pytest.mark.parametrize("further", [0.0, 15.0])
@pytest.mark.usefixtures("whole_ends")
def test_a_strapped_shell_against_a_boundary_value_problem(name, further):
    radius, turn, widths, covers, formed = CASES[name]
    rest = at_rest(shell_of(radius, turn, widths, covers, formed=formed))
    mouth = 2 * radius * math.sin(turn / 2)
    strapped = rest.strapped(apart=mouth + further)
    runs = beam_runs(radius, radius * turn, widths, covers, formed=formed)
    beam = beam_bvp.solve(runs, turn=turn, ends=mouth + further)
    # independent library: scipy's solve_bvp on the same beam, so only our 60 arcs differ
    assert float(strapped.force) == pytest.approx(-beam.force[0], rel=1e-3)
    assert abs(beam.force[1]) < 1e-6 * abs(beam.force[0])
    assert float(strapped.size) == pytest.approx(mouth + further, rel=1e-9)
    assert strapped.lengths.sum() == pytest.approx(beam.girth, rel=2e-5)
    assert np.ptp(strapped.profile.y) == pytest.approx(np.ptp(beam.y), rel=5e-4)


@pytest.mark.usefixtures("whole_ends")
def test_the_error_falls_with_the_square_of_the_number_of_arcs(monkeypatch):
    radius, turn, widths, covers, _ = CASES["in the middle"]
    shell = shell_of(radius, turn, widths, covers)
    beam = beam_bvp.solve(beam_runs(radius, radius * turn, widths, covers), turn=turn, ends=120.0)
    errors = []
    for count in (30, 60, 120):
        monkeypatch.setattr(rest_module, "_FINE", count)
        errors.append(float(at_rest(shell).strapped().force) / -beam.force[0] - 1)
    # independent library, and the order of the midpoint rule; runs end between even arcs, so the
    # ratio is near 4, not 4
    assert abs(errors[1]) < 1e-3
    assert 3 < errors[0] / errors[1] < 5 and 3 < errors[1] / errors[2] < 5


# Finite elements ------------------------------------------------------------------------------

EVEN = HyperFoam(mu=0.6, alpha=2.0, poisson=0.25)
STEEP = HyperFoam(mu=0.681818, alpha=8.0, poisson=0.1)


@pytest.mark.parametrize(
    ("law", "thick", "radius", "half", "covered", "stretch", "within"),
    [
        (EVEN, (10, 5), 60, PI / 2, 1.0, 1.05, 0.03),
        (STEEP, (10, 5), 100, 1.3, 1.0, 1.06, 0.02),
        (EVEN, (6, 3), 100, 2.0, 1.3, 1.04, 0.01),
    ],
)
def test_a_strapped_shell_against_felupe(
    law, thick, radius, half, covered, stretch, within, monkeypatch
):
    base, over = thick
    cut = covered * (radius + base + over / 2) / stretch
    said = {
        "base": base,
        "overlay": over,
        "radius": radius,
        "half_turn": half,
        "covered": covered,
        "cut": cut,
    }
    foam = felupe_pair.foam(law.mu, law.alpha, law.poisson)
    free = felupe_shell.solve_shell(foam, closed_by=None, **said)
    held = felupe_shell.solve_shell(foam, closed_by=0.0, **said)
    mouth, force = 2 * free.inside[-1, 0], -held.force

    def ours(lost: float):
        """Width 1; the overlay shorter by `lost` at each end, cut shorter in proportion."""
        half_cover = covered * radius - lost
        shell = Shell(
            base=Piece(thickness=base, law=law, width=1, formed=1),
            curve=Arc(radius, 2 * half),
            face="inside",
            covers=(
                Cover(
                    piece=Piece(thickness=over, law=law, width=1),
                    start=half * radius - half_cover,
                    end=half * radius + half_cover,
                    cut_length=2 * cut * half_cover / (covered * radius),
                ),
            ),
        )
        rest = at_rest(shell)
        return float(rest.size), float(rest.strapped().force), rest.size_before

    # independent library: felupe, whose mesh is worth 0.1 % here. An overlay builds up its pull
    # over its last millimetres, which the model leaves out; what is left is shear.
    our_mouth, our_force, before = ours(0.0)
    assert our_mouth - before == pytest.approx(mouth - before, rel=0.01)
    assert our_force == pytest.approx(force, rel=within)
    # Acting right up to its ends it pulls too hard by what is lost there, 0.62 of its thickness.
    monkeypatch.setattr(shell_module, "_IDLE", 0.0)
    plain_mouth, plain_force, before = ours(0.0)
    assert plain_mouth - before == pytest.approx(mouth - before, rel=0.08)
    assert plain_force == pytest.approx(force, rel=0.11)
    assert plain_mouth > mouth and plain_force > force
    less_mouth, less_force, _ = ours(0.62 * over)
    assert less_mouth - before == pytest.approx(mouth - before, rel=0.01)
    assert less_force == pytest.approx(force, rel=within)


def test_two_tape_readings_on_the_middle_half_of_a_shell_against_felupe():
    law = felupe_pair.foam(STEEP.mu, STEEP.alpha, STEEP.poisson)
    said = {"base": 10, "overlay": 5, "radius": 100, "half_turn": PI / 2, "covered": PI / 4}
    cut = 112.5 * PI / 4 / 1.05
    opening = 2 * felupe_shell.solve_shell(law, cut=cut, closed_by=None, **said).inside[-1, 0] - 200
    joint = Overlay.from_tape(
        cut=2 * cut,
        needed=55 * PI,
        whole=110 * PI,
        mouth=200,
        base=Piece(thickness=10, law=STEEP, formed=1),
        overlay=Piece(thickness=5, law=STEEP),
    )
    # independent library: felupe; what is left is what the ends of the overlay do not carry
    assert let_go(joint).opening == pytest.approx(opening, rel=0.05)


@pytest.mark.parametrize(
    ("law", "thick", "radius", "covered", "stretch", "opens", "pulls"),
    [
        # 4 and 7 times as long as thick
        (STEEP, (10, 5), 100, 0.10, 1.05, 0.05, 0.05),
        (EVEN, (8, 5), 80, 0.22, 1.08, 0.05, 0.05),
        # 20 and more
        (EVEN, (15, 5), 120, 0.45, 1.04, 0.015, 0.03),
        (STEEP, (6, 6), 120, 0.55, 1.06, 0.015, 0.03),
    ],
)
def test_short_overlays_against_felupe(law, thick, radius, covered, stretch, opens, pulls):
    base, over = thick
    half, cut = 1.4, covered * (radius + base + over / 2) / stretch
    solved = [
        felupe_shell.solve_shell(
            felupe_pair.foam(law.mu, law.alpha, law.poisson),
            base=base,
            overlay=over,
            radius=radius,
            half_turn=half,
            covered=covered,
            cut=cut,
            closed_by=closed_by,
        )
        for closed_by in (None, 0.0)
    ]
    piece = Piece(thickness=over, law=law, width=1)
    middle = half * radius
    cover = Cover(
        piece=piece,
        start=middle - covered * radius,
        end=middle + covered * radius,
        cut_length=2 * cut,
    )
    shell = Shell(
        base=Piece(thickness=base, law=law, width=1, formed=1),
        curve=Arc(radius, 2 * half),
        face="inside",
        covers=(cover,),
    )
    rest = at_rest(shell)
    opening = 2 * (solved[0].inside[-1, 0] - radius * math.sin(half))
    # independent library: felupe, in cases that the ends were not fitted to
    assert float(rest.size) - rest.size_before == pytest.approx(opening, rel=opens)
    assert float(rest.strapped().force) == pytest.approx(-solved[1].force, rel=pulls)
