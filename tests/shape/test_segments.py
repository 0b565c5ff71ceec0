"""Segments of drawings and their lengths, against mpmath, scipy and by hand.

Kinds of expected values are named beside them. mpmath integrates the speed with 20 digits, cut
where the speed is least; it knows nothing of the rule that is tested.
"""

from __future__ import annotations

import math
from itertools import pairwise

import mpmath
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from foamcalc.shape.arc_length import lengths
from foamcalc.shape.segments import Bezier, EllipseArc

patient = settings(deadline=None, max_examples=40)
PROMISED = 1e-9
QUARTER = np.pi / 2

coordinate = st.floats(-100, 100).map(lambda x: round(x, 3))
point = st.tuples(coordinate, coordinate)
beziers = st.integers(2, 4).flatmap(lambda n: st.lists(point, min_size=n, max_size=n).map(Bezier))
arcs = st.builds(
    EllipseArc, point, point, point, st.floats(-7, 7), st.floats(-2 * np.pi, 2 * np.pi)
)
any_segment = st.one_of(beziers, arcs)


def by_mpmath(segment):
    """Length with 20 digits, from the numbers of the segment alone."""
    with mpmath.workdps(20):
        speed, slow = (_of_bezier if isinstance(segment, Bezier) else _of_arc)(segment)
        edges = sorted({mpmath.mpf(0), mpmath.mpf(1), *(t for t in slow if 0 < t < 1)})
        return mpmath.quad(speed, edges)


def _of_bezier(segment):
    """Speed as a function of t, and where it is least."""
    p = [mpmath.mpc(x, y) for x, y in segment.points.tolist()]
    step = [(len(p) - 1) * (b - a) for a, b in pairwise(p)]
    forms = {
        1: lambda d: [d[0]],
        2: lambda d: [d[0], d[1] - d[0]],
        3: lambda d: [d[0], 2 * (d[1] - d[0]), d[2] - 2 * d[1] + d[0]],
    }
    form = forms[len(step)](step)
    while len(form) > 1 and form[-1] == 0:
        form.pop()
    roots = []
    if len(form) == 2:
        roots = [-form[0] / form[1]]
    if len(form) == 3:
        swing = mpmath.sqrt(form[1] ** 2 - 4 * form[0] * form[2])
        roots = [(-form[1] + s * swing) / (2 * form[2]) for s in (1, -1)]
    return lambda t: abs(mpmath.polyval(form[::-1], t)), [z.real for z in roots]


def _of_arc(segment):
    """Speed as a function of t, and where it is least or most."""
    u, v = (mpmath.mpc(*xy.tolist()) for xy in (segment.u, segment.v))
    start, sweep = mpmath.mpf(segment.start), mpmath.mpf(segment.sweep)

    def speed(t):
        a = start + sweep * t
        return abs(sweep) * abs(v * mpmath.cos(a) - u * mpmath.sin(a))

    # |v cos a - u sin a|² swings as cos 2a and sin 2a: level where their tangent says so
    first = mpmath.atan2(-2 * (u * mpmath.conj(v)).real, abs(v) ** 2 - abs(u) ** 2) / 2
    level = [(first + n * mpmath.pi / 2 - start) / sweep for n in range(-9, 10)]
    return speed, level


def near_cusp(rng, miss):
    """A cubic whose derivative is c (t - z1)(t - z2) with z1 off the way by `miss`."""
    z1 = complex(rng.uniform(-0.2, 1.2), miss)
    z2 = complex(rng.uniform(-1, 2), rng.choice([1, miss]) * rng.uniform(-1, 1))
    c = complex(*rng.normal(size=2)) * 30
    d0, d1, d2 = c * z1 * z2, -c * (z1 + z2), c
    xy = np.array([0, d0 / 3, 2 * d0 / 3 + d1 / 6, d0 + d1 / 2 + d2 / 3])
    return Bezier(np.column_stack([xy.real, xy.imag]) + rng.uniform(-100, 100, 2))


def flat_arc(rng, ratio):
    """An arc of an ellipse 50 by 50/ratio, in any position, given by any two half diameters."""
    axis = rng.uniform(0, 7)
    along = 50 * np.array([np.cos(axis), np.sin(axis)])
    axes = np.column_stack([along, np.array([-along[1], along[0]]) / ratio])
    b = rng.uniform(0, 7)
    u, v = axes @ [np.cos(b), np.sin(b)], axes @ [-np.sin(b), np.cos(b)]
    sweep = rng.choice([-1, 1]) * rng.uniform(0.02, 1) * 2 * np.pi
    return EllipseArc(rng.uniform(-100, 100, 2), u, v, rng.uniform(-7, 7), sweep)


def in_line(rng, count):
    """All control points on one line, so that it may double back."""
    return Bezier(50 * np.outer(rng.uniform(-1, 1, count), rng.uniform(-1, 1, 2)))


FAMILIES = {
    "lines": (20, lambda rng: Bezier(rng.uniform(-100, 100, (2, 2)))),
    "quadratics": (60, lambda rng: Bezier(rng.uniform(-100, 100, (3, 2)))),
    "cubics": (100, lambda rng: Bezier(rng.uniform(-100, 100, (4, 2)))),
    "tiny cubics": (10, lambda rng: Bezier(rng.uniform(-1e-6, 1e-6, (4, 2)))),
    "huge cubics": (10, lambda rng: Bezier(rng.uniform(-1e6, 1e6, (4, 2)))),
    "cusps": (15, lambda rng: near_cusp(rng, 0.0)),
    **{
        f"cusps missed by {miss:g}": (8, lambda rng, miss=miss: near_cusp(rng, miss))
        for miss in (1e-9, 1e-8, 1e-7, 2.9e-7, 3.1e-7, 1e-6, 1e-5, 1e-4, 1e-3, 1e-2, 0.1)
    },
    "quadratics in line": (15, lambda rng: in_line(rng, 3)),
    "cubics in line": (15, lambda rng: in_line(rng, 4)),
    "arcs": (40, lambda rng: flat_arc(rng, rng.uniform(1, 5))),
    **{
        f"arcs 1:{ratio:g}": (8, lambda rng, ratio=ratio: flat_arc(rng, ratio))
        for ratio in (1, 30, 1e3, 1e5, 1e6, 1e7, 1e9)
    },
}


@pytest.mark.parametrize("family", FAMILIES)
def test_lengths(family):
    """Independent: mpmath. Promised 1e-9; what is found stays below 1e-10."""
    count, make = FAMILIES[family]
    rng = np.random.default_rng(sum(map(ord, family)))
    segments = [make(rng) for _ in range(count)]
    wanted = np.array([float(by_mpmath(segment)) for segment in segments])
    off = np.abs(lengths(segments) / wanted - 1)
    assert off.max() < PROMISED / 10, segments[int(off.argmax())]


def test_a_loop():
    """Independent: mpmath. The cubic crosses itself."""
    loop = Bezier([(0, 0), (120, 80), (-20, 80), (100, 0)])
    assert float(lengths([loop])[0]) == pytest.approx(float(by_mpmath(loop)), rel=1e-10)


@pytest.mark.parametrize(("a", "b"), [(60, 45), (50, 50), (1000, 1), (1, 1000), (3e5, 3), (7, 0)])
def test_whole_ellipses(a, b):
    """Independent: scipy.special.ellipe; 331.5524 for 60 by 45. Flat: there and back, 4 a."""
    from scipy.special import ellipe

    whole = EllipseArc((5, -3), (a, 0), (0, b), 0.4, 2 * np.pi)
    longest, ratio = max(a, b), min(a, b) / max(a, b)
    want = 4 * longest * ellipe((1 - ratio) * (1 + ratio))
    got = float(lengths([whole])[0])
    assert got == pytest.approx(want, rel=1e-10)
    if (a, b) == (60, 45):
        assert f"{got:.4f}" == "331.5524"


def test_neiles_parabola_has_a_cusp():
    """Exact by hand: (t², t³) from -1 to 1 is 2 (13^1.5 - 8)/27 long, with its cusp at 0."""
    cusp = Bezier([(1, -1), (-1 / 3, 1), (-1 / 3, -1), (1, 1)])
    np.testing.assert_allclose(
        cusp.point([0.25, 0.5, 0.75]), [(0.25, -0.125), (0, 0), (0.25, 0.125)], atol=1e-15
    )
    assert float(lengths([cusp])[0]) == pytest.approx(2 * (13**1.5 - 8) / 27, rel=1e-12)


def test_there_and_back():
    """Exact by hand: to 5 and back; to 4 and back to 1 and on to 5 (x' = 36 (t - 1/3)(t - 2/3))."""
    back = Bezier([(0, 0), (10, 0), (0, 0)])
    twice = Bezier([(0, 0), (8 / 3, 0), (-2 / 3, 0), (2, 0)])
    x = [float(twice.point(t)[0]) for t in (1 / 3, 2 / 3)]
    assert lengths([back, twice]) == pytest.approx(
        [10, x[0] + (x[0] - x[1]) + (2 - x[1])], rel=1e-12
    )
    assert x[0] > x[1] > 0


def test_lines_and_circles():
    """Exact by hand: 3-4-5; radius times angle. A point has no length."""
    line = Bezier([(1, 1), (31, 41)])
    circle = EllipseArc((0, 0), (0, 50), (50, 0), 1.0, -1.5)
    point = Bezier([(3, 3)] * 4)
    still = EllipseArc((0, 0), (0, 50), (50, 0), 1.0, 0.0)
    got = lengths([circle, line, point, still, circle])
    assert got == pytest.approx([75, 50, 0, 0, 75], rel=1e-14)
    assert lengths([]).shape == (0,)


@patient
@given(segment=any_segment, cut=st.floats(0.01, 0.99), turn=st.floats(0, 6))
def test_lengths_add_up_and_do_not_mind_being_moved(segment, cut, turn):
    """Exact by hand: parts together, turned, mirrored, the other way round, twice the size."""
    cos, sin = np.cos(turn), np.sin(turn)
    whole, first, second, moved, back, double = lengths(
        [
            segment,
            segment.cut(0, cut),
            segment.cut(cut, 1),
            segment.transformed([[cos, sin, 300], [sin, -cos, -20]]),
            segment.reversed(),
            segment.transformed([[2, 0, 0], [0, 2, 0]]),
        ]
    )
    slack = 1e-12 * 400
    assert first + second == pytest.approx(whole, rel=PROMISED / 5, abs=slack)
    assert moved == pytest.approx(whole, rel=PROMISED / 5, abs=slack)
    assert back == pytest.approx(whole, rel=PROMISED / 5, abs=slack)
    assert double == pytest.approx(2 * whole, rel=1e-13)


def test_the_length_of_a_segment_does_not_depend_on_its_neighbours():
    """Independent: one at a time."""
    rng = np.random.default_rng(5)
    makers = [make for _, make in FAMILIES.values()]
    segments = [make(rng) for make in makers * 3]
    rng.shuffle(segments)
    alone = np.concatenate([lengths([segment]) for segment in segments])
    np.testing.assert_allclose(lengths(segments), alone, rtol=1e-14)


# The segments themselves ------------------------------------------------------------------------


@patient
@given(segment=beziers, t=st.lists(st.floats(0, 1), min_size=1, max_size=4))
def test_points_and_derivatives_of_beziers(segment, t):
    """Independent: the polynomial with binomial coefficients, by numpy's polynomials."""
    degree = len(segment.points) - 1
    poly = np.polynomial.Polynomial
    for axis in (0, 1):
        curve = sum(
            math.comb(degree, i) * p * poly([1, -1]) ** (degree - i) * poly([0, 1]) ** i
            for i, p in enumerate(segment.points[:, axis])
        )
        np.testing.assert_allclose(segment.point(t)[:, axis], curve(np.array(t)), atol=1e-10)
        np.testing.assert_allclose(
            segment.derivative(t)[:, axis], curve.deriv()(np.array(t)), atol=1e-9
        )


def test_a_quarter_of_a_circle():
    """Exact by hand."""
    arc = EllipseArc((10, 0), (50, 0), (0, 50), 0, QUARTER)
    np.testing.assert_allclose(
        arc.point([0, 1 / 3, 1]), [(60, 0), (10 + 25 * 3**0.5, 25), (10, 50)]
    )
    np.testing.assert_allclose(
        arc.derivative([0, 1]), [(0, 50 * QUARTER), (-50 * QUARTER, 0)], atol=1e-13
    )
    assert arc.point(0.5).shape == (2,)
    assert arc.point(np.zeros((3, 4))).shape == (3, 4, 2)


@patient
@given(
    segment=any_segment,
    matrix=st.lists(st.floats(-3, 3), min_size=6, max_size=6),
    ends=st.tuples(st.floats(0, 0.4), st.floats(0.6, 1)),
)
def test_moved_reversed_and_cut(segment, matrix, ends):
    """Exact by hand: the same points, moved, or named by another t."""
    m, t = np.reshape(matrix, (2, 3)), np.linspace(0, 1, 7)
    near = {"atol": 1e-9}
    moved = segment.point(t) @ m[:, :2].T + m[:, 2]
    np.testing.assert_allclose(segment.transformed(m).point(t), moved, **near)
    np.testing.assert_allclose(segment.reversed().point(t), segment.point(1 - t), **near)
    inner = ends[0] + (ends[1] - ends[0]) * t
    np.testing.assert_allclose(segment.cut(*ends).point(t), segment.point(inner), **near)


def test_ends_are_met_exactly():
    """Exact by hand: a Bezier begins and ends in its first and last point, to the last digit."""
    curve = Bezier([(0.1, 0.7), (3, 8), (1 / 3, 5), (0.3, 1e-3)])
    assert (curve.point([0, 1]) == curve.points[[0, -1]]).all()
    assert (curve.cut(0, 1).points == curve.points).all()


def test_a_segment_cannot_be_written_into_and_is_only_itself():
    given = np.array([(0.0, 0.0), (1.0, 2.0)])
    line = Bezier(given)
    given[0] = 9
    assert (line.points[0] == 0).all()
    with pytest.raises(ValueError, match="read-only"):
        line.points[0] = 1
    assert line == line
    assert line != Bezier(line.points)
    assert len({line, Bezier(line.points)}) == 2


@pytest.mark.parametrize(
    ("make", "text"),
    [
        (lambda: Bezier([(0, 0)]), r"^points must be pairs of x and y, 2 for a straight line, 3 .*"
         r"got an array of shape \(1, 2\)"),
        (lambda: Bezier([(0, 0)] * 5), r"got an array of shape \(5, 2\)"),
        (lambda: Bezier([(0, 0, 0)] * 3), r"got an array of shape \(3, 3\)"),
        (lambda: Bezier([(0, 0), (math.nan, 1)]), r"^points must be a finite length in mm, got"),
        (lambda: Bezier([(0, 0), (1e10, 1)]), r"^points must lie within 1e\+09 mm .* the unit"),
        (lambda: EllipseArc((0, 0), 5, (0, 1), 0, 1), r"^u must be one pair of x and y"),
        (lambda: EllipseArc((0, 0), (5, 0), (0, 1), 0, 7), r"^sweep must be at most a full turn"),
        (lambda: EllipseArc((0, 0), (5, 0), (0, 1), math.inf, 1), r"^start must be a finite angle"),
        (lambda: Bezier([(0, 0), (1, 1)]).cut(0.5, 0.5), r"^t0 must be below t1, got t0 0\.5"),
        (lambda: Bezier([(0, 0), (1, 1)]).point(1.1), r"^t must be a number from 0 to 1, got 1\.1"),
        (lambda: Bezier([(0, 0), (1, 1)]).transformed(np.eye(3)), r"^matrix must be of shape"),
    ],
)  # fmt: skip
def test_what_is_refused(make, text):
    with pytest.raises(ValueError, match=text):
        make()


def test_something_that_is_no_segment_is_named():
    line = Bezier([(0, 0), (1, 1)])
    with pytest.raises(TypeError, match=r"^segment 2 must be a Bezier or an EllipseArc, got tuple"):
        lengths([line, (0, 0), line])
