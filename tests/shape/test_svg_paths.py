"""Path data: every command, arcs, numbers run together, and where bad data are refused."""

from __future__ import annotations

import math

import mpmath
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from svgpathtools import Arc, parse_path

from foamcalc.shape.arc_length import lengths
from foamcalc.shape.segments import Bezier, EllipseArc
from foamcalc.shape.svg.path_data import PathFault, arc, path_outlines

patient = settings(deadline=None, max_examples=150)


def points(outline):
    """Control points of each segment, arcs as their two ends."""
    return [
        [tuple(p) for p in s.points.tolist()]
        if isinstance(s, Bezier)
        else [tuple(p) for p in s.point([0, 1]).round(9).tolist()]
        for s in outline.segments
    ]


def only(data):
    (outline,) = path_outlines(data)
    return outline


# Commands, exact by hand --------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("data", "ways"),
    [
        ("M1 2 3 4 5 6", [[(1, 2), (3, 4)], [(3, 4), (5, 6)]]),
        ("m1 2 3 4 5 6", [[(1, 2), (4, 6)], [(4, 6), (9, 12)]]),
        ("M1 2H5V7", [[(1, 2), (5, 2)], [(5, 2), (5, 7)]]),
        ("M1 2h5v7-2", [[(1, 2), (6, 2)], [(6, 2), (6, 9)], [(6, 9), (6, 7)]]),
        ("M0 0C1 1 2 1 3 0", [[(0, 0), (1, 1), (2, 1), (3, 0)]]),
        ("M5 5c1 1 2 1 3 0", [[(5, 5), (6, 6), (7, 6), (8, 5)]]),
        ("M5 5q1 1 2 0", [[(5, 5), (6, 6), (7, 5)]]),
        (
            "M0 0C0 1 2 2 3 0S5 1 6 0",
            [[(0, 0), (0, 1), (2, 2), (3, 0)], [(3, 0), (4, -2), (5, 1), (6, 0)]],
        ),
        ("M0 0Q1 2 2 0t2 0 2 1", [[(0, 0), (1, 2), (2, 0)], [(2, 0), (3, -2), (4, 0)],
                                 [(4, 0), (5, 2), (6, 1)]]),
        # After another kind of command there is nothing to be smooth with.
        ("M0 0L1 0S3 1 4 0", [[(0, 0), (1, 0)], [(1, 0), (1, 0), (3, 1), (4, 0)]]),
        ("M0 0Q1 2 2 0S3 1 4 0", [[(0, 0), (1, 2), (2, 0)], [(2, 0), (2, 0), (3, 1), (4, 0)]]),
        ("M0 0C0 1 1 1 1 0T3 0", [[(0, 0), (0, 1), (1, 1), (1, 0)], [(1, 0), (1, 0), (3, 0)]]),
        ("M0 0T3 0", [[(0, 0), (0, 0), (3, 0)]]),
    ],
)  # fmt: skip
def test_every_command(data, ways):
    assert points(only(data)) == ways


def test_a_smooth_curve_after_an_arc_that_goes_nowhere_has_nothing_to_be_smooth_with():
    """Exact by hand: the arc draws nothing, yet it stands between the two curves."""
    first, second = points(only("M0 0C0 1 2 2 3 0A5 5 0 0 1 3 0S5 1 6 0"))
    assert first == [(0, 0), (0, 1), (2, 2), (3, 0)]
    assert second == [(3, 0), (3, 0), (5, 1), (6, 0)]


@pytest.mark.parametrize(
    ("data", "found"),
    [
        ("M0 0h1v1", [(2, False)]),
        ("M0 0h1v1z", [(3, True)]),
        ("M0 0h1v1L0 0z", [(3, True)]),
        ("M0 0h1v1L0 0", [(3, False)]),
        ("M0 0h1M5 5h1v1Z", [(1, False), (3, True)]),
        ("M0 0h1v1zl5 5", [(3, True), (1, False)]),
        ("M0 0h1v1zzm2 2h1", [(3, True), (1, False)]),
        ("M3 3z M1 1 L1 1 M0 0h1", [(1, False)]),
        ("M3 3", []),
        ("", []),
        (" none ", []),
    ],
)
def test_each_part_between_jumps_is_an_outline_of_its_own(data, found):
    assert [(len(o.segments), o.closed) for o in path_outlines(data)] == found


def test_what_follows_a_closing_sets_out_from_the_same_start():
    ring, tail = path_outlines("M2 3h4v4zl1 1")
    assert points(ring)[-1] == [(6, 7), (2, 3)]
    assert points(tail) == [[(2, 3), (3, 4)]]
    *_, moved = path_outlines("M2 3h4v4zm1 1h5")
    assert points(moved) == [[(3, 4), (8, 4)]]


@pytest.mark.parametrize(
    ("data", "way"),
    [
        ("M1.5.5L20.25.75", [(1.5, 0.5), (20.25, 0.75)]),
        ("M+.5-3L1e-3,1E2", [(0.5, -3), (0.001, 100)]),
        ("M-0 0-1-1", [(0, 0), (-1, -1)]),
        ("M 1. 2. L 3.e0 4.", [(1, 2), (3, 4)]),
        ("\n M\t1\r\n,\f2\n3 4 ", [(1, 2), (3, 4)]),
        ("M1,2,3,4", [(1, 2), (3, 4)]),
    ],
)
def test_numbers_may_run_together(data, way):
    assert points(only(data)) == [way]


# Arcs --------------------------------------------------------------------------------------------


@pytest.mark.parametrize("rest", ["1 1 0 0110 10", "1 1 0 01 10 10", "1,1,0,0,1,10,10",
                                  "1 1 0 0 1+10+10"])  # fmt: skip
def test_flags_need_no_space(rest):
    """Exact by hand: radius 1 is scaled up to half the chord."""
    (half,) = only(f"M0 0a{rest}").segments
    assert half.point([0, 0.5, 1]).tolist() == [
        pytest.approx(p, abs=1e-14) for p in ((0, 0), (10, 0), (10, 10))
    ]
    assert lengths([half])[0] == pytest.approx(math.pi * math.sqrt(50), rel=1e-14)


def test_several_arcs_after_one_letter():
    first, second = only("M0 0a5 5 0 0110 0 5 5 0 0010-0").segments
    assert first.point(0.5) == pytest.approx((5, -5))
    assert second.point(0.5) == pytest.approx((15, 5))


@pytest.mark.parametrize("radii", ["0 5", "5 0", "0 0", "-0 5"])
def test_an_arc_without_a_radius_is_a_straight_line(radii):
    (line,) = only(f"M0 0A{radii} 30 1 1 3 4").segments
    assert isinstance(line, Bezier) and line.points.tolist() == [[0, 0], [3, 4]]


def test_an_arc_that_ends_where_it_begins_draws_nothing():
    assert path_outlines("M5 5A9 9 0 1 1 5 5") == []
    assert len(only("M5 5h1A9 9 0 1 1 6 5h1").segments) == 2
    assert len(only("M5 5h1a9 9 0 1 1 0 0h1").segments) == 2


@pytest.mark.parametrize(("large", "sweep", "middle", "turn"), [
    (0, 1, (5, -5 + 8.66025403784439 - 5), 60), (0, 0, (5, 10 - 8.66025403784439), 60),
    (1, 1, (5, -10 - 8.66025403784439), 300), (1, 0, (5, 10 + 8.66025403784439), 300),
])  # fmt: skip
def test_the_four_arcs_between_two_points(large, sweep, middle, turn):
    """Exact by hand: radius 10 over a chord of 10, so the middle lies 10 cos 30° from the chord."""
    piece = arc(0, 10 + 0j, 10, 10, 0, large, sweep)
    assert piece.point(0.5) == pytest.approx(middle, rel=1e-13)
    assert lengths([piece])[0] == pytest.approx(10 * math.radians(turn), rel=1e-13)


@patient
@given(
    end=st.tuples(st.floats(-50, 50), st.floats(-50, 50)).filter(lambda p: math.hypot(*p) > 0.1),
    radii=st.tuples(st.floats(0.2, 90), st.floats(0.2, 90)),
    rotation=st.floats(-400, 400),
    flags=st.tuples(st.booleans(), st.booleans()),
)
def test_arcs_are_those_of_svgpathtools(end, radii, rotation, flags):
    """Independent: svgpathtools, where it does not take an arc for half an ellipse.

    It takes angles from their cosine, which leaves an error of 2e-8 near the ends of an axis.
    """
    start, stop = 3 - 7j, 3 - 7j + complex(*end)
    other = Arc(start, complex(*radii), rotation, *flags, stop)
    mine = arc(start, stop, *radii, rotation, *flags)
    half = (start - stop) / 2 * np.exp(-1j * math.radians(rotation))
    over = math.hypot(half.real / radii[0], half.imag / radii[1])
    if 1 - 1e-4 < over < 1 or over < 1e-2:
        return  # nearly half: it is off, see below; nearly all or nothing: it loses digits
    t = np.linspace(0, 1, 9)
    want = np.array([[other.point(x).real, other.point(x).imag] for x in t])
    assert np.abs(mine.point(t) - want).max() < 1e-7 * max(radii) * max(over, 1)


@pytest.mark.parametrize("more", [1e-1, 1e-4, 1e-7, 1e-9, 1e-11])
@pytest.mark.parametrize("large", [0, 1])
def test_nearly_half_a_circle_keeps_its_length(more, large):
    """Independent: mpmath with 40 digits; svgpathtools takes the last ones for half a circle."""
    radius = 50 + more
    with mpmath.workdps(40):
        angle = 2 * mpmath.asin(50 / mpmath.mpf(radius))
        want = float(radius * (2 * mpmath.pi - angle if large else angle))
    piece = arc(10 + 20j, 110 + 20j, radius, radius, 0, large, 1)
    assert lengths([piece])[0] == pytest.approx(want, rel=1e-10)


@pytest.mark.parametrize("turned", [0, 17, 45, 123.4])
@pytest.mark.parametrize("away", [0, 1e3 + 1e3j])
def test_half_a_circle_stays_half_whatever_the_rounding(turned, away):
    """Exact by hand: a radius of half the chord, with the chord's ends rounded."""
    step = 25 * complex(math.cos(math.radians(turned)), math.sin(math.radians(turned)))
    piece = arc(away - step, away + step, abs(step), abs(step), 7, 0, 1)
    assert lengths([piece])[0] == pytest.approx(25 * math.pi, rel=1e-12)


def test_arcs_meet_their_neighbours():
    """Exact by hand: the ends of every segment, to rounding."""
    outline = only("M3 4 l10 0 a7 3 25 1 0 4 9 a2 2 0 0 1 -30 0 z")
    for before, after in zip(outline.segments, outline.segments[1:], strict=False):
        assert before.point(1) == pytest.approx(after.point(0), abs=1e-13)
    assert isinstance(outline.segments[1], EllipseArc)


# Against svgpathtools as a whole -----------------------------------------------------------------

number = st.floats(-99, 99).map(lambda x: round(x, 3))
command = st.one_of(
    st.tuples(st.sampled_from("LlTt"), st.lists(number, min_size=2, max_size=2)),
    st.tuples(st.sampled_from("HhVv"), st.lists(number, min_size=1, max_size=1)),
    st.tuples(st.sampled_from("SsQq"), st.lists(number, min_size=4, max_size=4)),
    st.tuples(st.sampled_from("Cc"), st.lists(number, min_size=6, max_size=6)),
    st.tuples(st.sampled_from("Mm"), st.lists(number, min_size=2, max_size=4).filter(
        lambda v: len(v) % 2 == 0)),
    st.tuples(st.sampled_from("Zz"), st.just([])),
)  # fmt: skip


@patient
@given(st.lists(command, max_size=12))
def test_any_path_without_arcs_is_that_of_svgpathtools(commands):
    """Independent: svgpathtools reads the whole text by itself."""
    data = "M1 2" + "".join(letter + " ".join(map(str, v)) for letter, v in commands)
    want = [
        [(p.real, p.imag) for p in s.bpoints()]
        for s in parse_path(data)
        if any(p != s.start for p in s.bpoints())
    ]
    assert [way for outline in path_outlines(data) for way in points(outline)] == want


# What is refused ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("data", "words"),
    [
        ("L5 5", "must begin with M or m, at letter 1, 'L5 5'"),
        ("5 5", "must begin with M or m"),
        ("M0 0L10 foo 10", "needs a number here, the y of L, at letter 9, 'foo 10'"),
        ("M0 0L5", "needs a number here, the y of L, at its end"),
        ("M0 0,,5 5", "needs a number here, the x of M, at letter 6, ',5 5'"),
        ("M,0 0", "needs a number here, the x of M, at letter 2"),
        ("M0 0h5,", "needs a number here, the x of H, at its end"),
        ("M0 0h5,v5", "needs a number here, the x of H, at letter 8, 'v5'"),
        ("M0 0L1 1 X", "has no command here, at letter 10, 'X'"),
        ("M0 0 A5 5 0 2 1 6 6", "needs 0 or 1 here, the large-arc-flag of A, at letter 13"),
        ("M0 0A5 5 0 1 6 6", "needs 0 or 1 here, the sweep-flag of A, at letter 14"),
        ("M0 0h5v5z10 10", "has a number after z, which takes none, at letter 10"),
        ("M0 0L1e400 0", "has too big a number here, the x of L, at letter 6"),
        ("M0 0LNaN 0", "needs a number here"),
        ("M0 0Linf 0", "needs a number here"),
        ("M0 0L0x1 0", "needs a number here, the y of L, at letter 7, 'x1 0'"),
        ("M0 0L1_0 0", "needs a number here, the y of L, at letter 7"),
        ("M0 0L\u0661 0", "needs a number here"),
        ("M0 0\u00a0L1 1", "has no command here"),
        ("M0 0" + "h1" * 20_001, "over 20000 commands: divide the path"),
    ],
)
def test_bad_data_are_refused_with_the_place(data, words):
    """Exact by hand: letters counted from 1. A browser would draw all that comes before."""
    with pytest.raises(PathFault) as caught:
        path_outlines(data)
    assert words in str(caught.value)
