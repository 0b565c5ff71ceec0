"""How long `lengths` takes beside svgpathtools, on the same segments of a made-up pattern.

Run by hand, from the folder that holds the README:

    python tests/benchmarks/edge_lengths.py

Everything is measured in one run. The contestants take turns, so that a machine that grows slower
or faster meanwhile does so for both, and the median is compared. Both get their own objects, ready
made: a quarter each of straight lines, quadratic and cubic Bezier curves and elliptical arcs. Lines
cost svgpathtools next to nothing, and it has a formula for quadratics. It is asked with its own
default, error=1e-12. For cubics and arcs that goes to scipy's `quad` as an absolute error, beside
whose relative default of 1.5e-8 it does not count; so svgpathtools has the easier task. What it
remembers of a segment is wiped before each run, which costs it next to nothing. Then a curve of
all segments: making it, and finding places on it.
"""

from __future__ import annotations

import argparse
from collections.abc import Callable
from statistics import median
from time import perf_counter

import numpy as np
import svgpathtools

from foamcalc.shape.arc_length import lengths
from foamcalc.shape.curve import Drawn
from foamcalc.shape.segments import Bezier, EllipseArc, Segment

PROMISED = 50.0  # times as fast as svgpathtools, at least
PROMISED_ERROR = 1e-9
SHORT = 0.1  # s


def pattern(count: int, *, rough: bool) -> list[Segment]:
    """Made-up segments of 3 to 100 mm, each kind in turn, joined end to end.

    Smooth ones bend by up to 2 rad between their ends, as drawn edges do. Rough ones have their
    points anywhere, with loops and near-cusps, and arcs of up to nearly a whole ellipse.
    """
    rng = np.random.default_rng(1)
    at, way, found = 0j, 0.0, []
    for number in range(count):
        size, kind = 10 ** rng.uniform(0.5, 2), number % 4
        turn = rng.uniform(-2, 2)
        if kind == 3:
            u = size * np.exp(1j * rng.uniform(0, 2 * np.pi))
            v = 1j * u * rng.uniform(0.1 if rough else 0.4, 1)
            start = rng.uniform(0, 2 * np.pi)
            centre = at - u * np.cos(start) - v * np.sin(start)
            sweep = rng.uniform(0.3, 5) if rough else turn
            found.append(EllipseArc(_pair(centre), _pair(u), _pair(v), start, sweep))
        elif rough:
            away = rng.normal(size=(kind + 1, 2)) @ [1, 1j]
            found.append(Bezier([_pair(z) for z in (at, *(at + size * away))]))
        else:
            end = at + size * np.exp(1j * (way + turn / 2 + rng.uniform(-0.2, 0.2)))
            handles = [
                at + size * rng.uniform(0.2, 0.6) * np.exp(1j * way),
                end - size * rng.uniform(0.2, 0.6) * np.exp(1j * (way + turn)),
            ]
            found.append(Bezier([_pair(z) for z in (at, *handles[:kind], end)]))
        at, way = complex(*found[-1].point(1.0)), way + turn
    return found


def _pair(z: complex) -> tuple[float, float]:
    """A complex number as x and y."""
    return z.real, z.imag


def for_svgpathtools(segment: Segment) -> object:
    """The same segment as an object of svgpathtools."""
    if isinstance(segment, Bezier):
        kinds = [svgpathtools.Line, svgpathtools.QuadraticBezier, svgpathtools.CubicBezier]
        return kinds[len(segment.points) - 2](*(complex(x, y) for x, y in segment.points))
    start, end = (complex(*segment.point(t)) for t in (0.0, 1.0))
    radius = complex(np.hypot(*segment.u), np.hypot(*segment.v))
    tilt = np.degrees(np.arctan2(segment.u[1], segment.u[0]))
    wide = abs(segment.sweep) > np.pi
    return svgpathtools.Arc(start, radius, tilt, wide, segment.sweep > 0, end)


def forget(segments: list) -> None:
    """Wipe the lengths that svgpathtools keeps with its segments."""
    for segment in segments:
        if isinstance(segment, svgpathtools.CubicBezier):
            segment._length_info["bpoints"] = None
        if isinstance(segment, svgpathtools.Arc):
            segment.segment_length_hash = None


def measured(segments: list) -> list[float]:
    """Lengths by svgpathtools, as if it had never seen the segments."""
    forget(segments)
    return [segment.length() for segment in segments]


def seconds(run: Callable[[], object]) -> float:
    """Time of one run; of a short one the mean of ten."""
    start = perf_counter()
    run()
    taken = perf_counter() - start
    if taken > SHORT:
        return taken
    start = perf_counter()
    for _ in range(10):
        run()
    return (perf_counter() - start) / 10


def main() -> None:
    """Measure, print the medians and the ratio."""
    parser = argparse.ArgumentParser(description="Time lengths against svgpathtools.")
    parser.add_argument("--segments", type=int, default=10_000, help="how many, at least 8")
    parser.add_argument("--samples", type=int, default=7, help="rounds of each, at least 3")
    chosen = parser.parse_args()
    if chosen.segments < 8 or chosen.samples < 3:
        parser.error(f"need 8 segments and 3 samples or more, got {chosen}")

    half = chosen.segments // 2
    smooth, rough = pattern(half, rough=False), pattern(half, rough=True)
    shift = np.column_stack([np.eye(2), smooth[-1].point(1.0)])
    mixed = smooth + [segment.transformed(shift) for segment in rough]
    compare(mixed, chosen.samples, "mixed segments, half smooth, half rough")
    compare(smooth, chosen.samples, "smooth ones alone")
    compare(rough, chosen.samples, "rough ones alone")


def compare(ours: list[Segment], rounds: int, name: str) -> None:
    """Measure one pattern and print what was found."""
    theirs = [for_svgpathtools(segment) for segment in ours]
    off = np.abs(lengths(ours) / [segment.length() for segment in theirs] - 1)
    apart = float(off.max())
    if not apart < 1e-6:  # also warms both up
        raise SystemExit(f"the lengths differ by {apart:.1e}: nothing to compare")
    curve = Drawn(ours)
    places = np.random.default_rng(2).uniform(0, curve.length, 1000)
    contest = {
        "svgpathtools": lambda: measured(theirs),
        "lengths": lambda: lengths(ours),
        "curve": lambda: Drawn(ours),
        "places": lambda: curve.point(places),
    }
    taken: dict[str, list[float]] = {who: [] for who in contest}
    for _ in range(rounds):
        for who, run in contest.items():
            taken[who].append(seconds(run))
    times = {who: median(samples) for who, samples in taken.items()}

    each = {who: 1e6 * times[who] / len(ours) for who in contest}
    print(f"{len(ours)} {name}, {curve.length / 1000:.0f} m in all")
    for who in ("lengths", "svgpathtools"):
        print(f"    {who:12} {1e3 * times[who]:8.1f} ms, {each[who]:6.2f} µs a segment")
    ratio = times["svgpathtools"] / times["lengths"]
    print(f"    lengths is {ratio:.0f} x as fast; promised: at least {PROMISED:g} x")
    print(f"    they differ by {apart:.1e} at the most, by {np.median(off):.1e} in the median;")
    print(f"    against mpmath, tests/shape/test_segments.py holds lengths to {PROMISED_ERROR:g}")
    print(f"    a curve of them all is made in {1e3 * times['curve']:.0f} ms, and 1000 places")
    print(f"    on it are found in {1e3 * times['places']:.1f} ms")


if __name__ == "__main__":
    main()
