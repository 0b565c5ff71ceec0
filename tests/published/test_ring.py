"""A ring with an overlay over a part of it, out of round: scipy and felupe beside the model."""

from __future__ import annotations

import math
from itertools import pairwise

import beam_bvp
import felupe_pair
import felupe_shell
import numpy as np
import pytest

from foamcalc.fit import shell
from foamcalc.fit.rest import at_rest
from foamcalc.fit.ring import seam, widths
from foamcalc.fit.shell import Cover, Shell
from foamcalc.fit.stack import Piece
from foamcalc.foam.law import HyperFoam, Linear
from foamcalc.shape.curve import Arc

PI = math.pi
E = 1.5
LINEAR = Linear(E)
EVEN = HyperFoam(mu=0.6, alpha=2.0, poisson=0.25)
STEEP = HyperFoam(mu=0.681818, alpha=8.0, poisson=0.1)


def across(x, y):
    """Least and most width of an outline of points."""
    found = [np.ptp(x * math.cos(a) + y * math.sin(a)) for a in np.linspace(0, PI, 1801)]
    return min(found), max(found)


# A boundary value problem ---------------------------------------------------------------------

T1, T2 = 10.0, 5.0


def beam_runs(radius, wide, narrow, covers, formed):
    """Runs of the ring from the start of the curve on; covers: (start, end, stretch), apart."""
    bend = formed / radius
    base = beam_bvp.Sheet(0, T1, E * wide, 1 + T1 / 2 / radius - bend * T1 / 2, bend)
    edges = sorted({0.0, 2 * PI * radius, *(place for cover in covers for place in cover[:2])})
    runs = []
    for a, b in pairwise(edges):
        over = [
            beam_bvp.Sheet(T1, T1 + T2, E * narrow, (1 + (T1 + T2 / 2) / radius) / stretch)
            for start, end, stretch in covers
            if start <= a and b <= end
        ]
        runs.append(beam_bvp.Run(b - a, (base, *over)))
    return runs


def ring(radius, wide, narrow, covers, formed=1.0):
    over = Piece(thickness=T2, law=LINEAR, width=narrow)
    longer = 1 + (T1 + T2 / 2) / radius
    return Shell(
        base=Piece(thickness=T1, law=LINEAR, width=wide, formed=formed),
        curve=Arc(radius, 2 * PI, closed=True),
        face="inside",
        covers=tuple(
            Cover(piece=over, start=a, end=b, cut_length=(b - a) * longer / stretch)
            for a, b, stretch in covers
        ),
    )


CASES = {
    "a third": (60.0, 120, 80, [(0.0, 120.0, 1.05)], 1.0),
    "a narrow strip pulled hard": (60.0, 120, 30, [(0.0, 90.0, 1.10)], 1.0),
    "three quarters": (80.0, 100, 100, [(0.0, 380.0, 1.04)], 1.0),
    "cold-rolled base": (60.0, 120, 80, [(0.0, 120.0, 1.05)], 0.0),
    "two patches": (70.0, 120, 80, [(0.0, 90.0, 1.06), (200.0, 260.0, 1.03)], 1.0),
    "too long": (60.0, 120, 80, [(0.0, 120.0, 0.97)], 1.0),
}


@pytest.mark.parametrize("name", CASES)
@pytest.mark.usefixtures("whole_ends")
def test_a_part_covered_ring_against_a_boundary_value_problem(name):
    radius, wide, narrow, covers, formed = CASES[name]
    rest = at_rest(ring(radius, wide, narrow, covers, formed))
    beam = beam_bvp.solve(beam_runs(radius, wide, narrow, covers, formed), turn=2 * PI, ends=None)
    # exact by hand: the ring is closed, the force within goes round
    assert (beam.x[-1], beam.y[-1]) == pytest.approx((0, 0), abs=1e-6)
    assert beam.moment[-1] == pytest.approx(beam.moment[0], rel=1e-5, abs=1e-4)
    # independent library: scipy's solve_bvp on the same beam, so only our 60 arcs differ; in
    # widths that are out of round by 5 to 60 mm
    least, most = across(beam.x, beam.y)
    assert most - least > 4
    assert widths(rest) == pytest.approx((least, most), abs=0.02)
    assert float(rest.size) == pytest.approx(beam.girth, abs=5e-3)


@pytest.mark.parametrize("arc", [5, 14, 20, 30])
@pytest.mark.usefixtures("whole_ends")
def test_the_seam_carries_the_moment_of_the_boundary_value_problem(arc):
    radius, wide, narrow, covers, formed = CASES["a third"]
    rest = at_rest(ring(radius, wide, narrow, covers, formed))
    beam = beam_bvp.solve(beam_runs(radius, wide, narrow, covers, formed), turn=2 * PI, ends=None)
    places = rest.sections.spans.places
    place = float(places[-arc - 1 : -arc + 1].mean())  # the middle of an arc in the bare base
    found = seam(rest, place=place)
    count = beam.moment.size // 2  # two runs, as many points each
    s = (place - 120) / (2 * PI * radius - 120) * (count - 1)
    moment = float(np.interp(s, np.arange(count), beam.moment[count:]))
    heading = float(np.interp(s, np.arange(count), beam.heading[count:]))
    pull = beam.force[0] * math.cos(heading) + beam.force[1] * math.sin(heading)
    # independent library: moment and pull about the inside; of the largest, a thousandth
    assert found.moment == pytest.approx(moment, abs=1e-3 * np.abs(beam.moment).max())
    assert found.pull == pytest.approx(pull, abs=1e-3 * np.hypot(*beam.force))


# Finite elements ------------------------------------------------------------------------------


def mirrored(solved):
    """Both halves of the outline inside, from the half that was solved."""
    x, y = solved.inside.T
    return np.concatenate([x, -x[::-1]]), np.concatenate([y, y[::-1]])


def patch(law, thick, radius, covered, stretch, *, lost=0.0):
    """A ring of width 1 with one overlay, shorter by `lost` at each end and cut in proportion."""
    base, over = thick
    run = 2 * (covered * radius - lost)
    cut = run * (1 + (base + over / 2) / radius) / stretch
    return Shell(
        base=Piece(thickness=base, law=law, width=1, formed=1),
        curve=Arc(radius, 2 * PI, closed=True),
        face="inside",
        covers=(Cover(piece=Piece(thickness=over, law=law, width=1), end=run, cut_length=cut),),
    )


@pytest.mark.parametrize(
    ("law", "thick", "radius", "covered", "stretch"),
    [
        (EVEN, (10, 5), 60, 1.0, 1.05),
        (EVEN, (10, 5), 60, 2.0, 1.05),
        (EVEN, (10, 5), 100, 1.0, 1.05),
        (STEEP, (10, 5), 60, 0.8, 1.06),
    ],
)
def test_a_part_covered_ring_against_felupe(law, thick, radius, covered, stretch, monkeypatch):
    base, over = thick
    solved = felupe_shell.solve_shell(
        felupe_pair.foam(law.mu, law.alpha, law.poisson),
        base=base,
        overlay=over,
        radius=radius,
        half_turn=PI,
        covered=covered,
        cut=covered * (radius + base + over / 2) / stretch,
        ring=True,
        along=(24, 24),
    )
    least, most = across(*mirrored(solved))
    assert widths(at_rest(patch(law, thick, radius, covered, stretch))) == pytest.approx(
        (least, most), rel=0.001
    )
    monkeypatch.setattr(shell, "_IDLE", 0.0)
    plain = at_rest(patch(law, thick, radius, covered, stretch))
    # independent library: felupe, half the ring with mirror planes. Twice as many elements each
    # way move its widths by under 0.05 mm.
    assert widths(plain) == pytest.approx((least, most), rel=0.007)
    assert float(plain.size) == pytest.approx(
        2 * np.hypot(*np.diff(solved.inside, axis=0).T).sum(), rel=1e-3
    )
    # Acting right up to its ends, what is left is there, where the overlay builds up its pull:
    # with 0.62 of its thickness taken off each end the two agree within 0.1 %.
    less = at_rest(patch(law, thick, radius, covered, stretch, lost=0.62 * over))
    assert widths(less) == pytest.approx((least, most), rel=0.001)


def test_the_mesh_is_fine_enough():
    said = {
        "base": 10,
        "overlay": 5,
        "radius": 60,
        "half_turn": PI,
        "covered": 1.0,
        "cut": 72.5 / 1.05,
        "ring": True,
    }
    foam = felupe_pair.foam(EVEN.mu, EVEN.alpha, EVEN.poisson)
    coarse, fine = (
        across(*mirrored(felupe_shell.solve_shell(foam, along=along, through=through, **said)))
        for along, through in (((24, 24), (2, 1)), ((48, 48), (4, 2)))
    )
    # independent: the same with eight times as many elements
    assert coarse == pytest.approx(fine, abs=0.05)
