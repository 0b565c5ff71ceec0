"""How long `settle` takes beside bare numpy and beside a finite element solve.

Run by hand, from the folder that holds the README:

    python tests/benchmarks/settle_speed.py

Everything is measured in one run. The contestants take turns, so that a machine that grows slower
or faster meanwhile does so for all of them, and the median is compared. Bare numpy does the same
passes over the same Gauss points, written out for two layers of one foam: stress, slope and
thinning, both balances, the step. It has no checks, no masks, no choice of law and keeps no record.
felupe solves one pair, from its middle to a free end, on a coarse and on a fine mesh.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from pathlib import Path
from statistics import median
from time import perf_counter

import numpy as np

from foamcalc.foam import section
from foamcalc.foam.law import HyperFoam
from foamcalc.foam.section import Layer, settle

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "published"))
import felupe_pair

PROMISED_OF_BARE = 3.0  # times the bare evaluation, at most
PROMISED_OF_FELUPE = 1e4  # times faster than felupe, at least

MU, ALPHA, POISSON = 0.681818, 8.0, 0.1
LAW = HyperFoam(MU, ALPHA, POISSON)
NODES, WEIGHTS = np.polynomial.legendre.leggauss(5)
NODES, WEIGHTS = (NODES + 1) / 2, WEIGHTS / 2
UPTO = np.stack(
    [  # integrals from 0 to each node of the polynomials that are 1 at one node, 0 at the others
        np.polyval(np.polyint(np.polyfit(NODES, row, 4)), NODES) for row in np.eye(5)
    ],
    axis=1,
)


def cases(count: int) -> dict[str, np.ndarray]:
    """Made-up pairs: formed base, overlay cut short by up to a fifth; a turn of 1 rad."""
    rng = np.random.default_rng(1)
    radius, base, overlay = rng.uniform(50, 250, count), *rng.uniform(2, 10, (2, count))
    cut = (radius + base + overlay / 2) / (1 + rng.uniform(0, 0.2, count))
    return {"radius": radius, "base": base, "overlay": overlay, "cut": cut}


def with_settle(pairs: dict[str, np.ndarray]) -> np.ndarray:
    """Turn of each pair by foamcalc, from the layers on."""
    radius, base = pairs["radius"], pairs["base"]
    layers = [
        Layer(thickness=base, law=LAW, inner_length=radius, outer_length=radius + base),
        Layer(thickness=pairs["overlay"], law=LAW, inner_length=pairs["cut"]),
    ]
    return settle(layers).turn


def bare(pairs: dict[str, np.ndarray], passes: int) -> np.ndarray:
    """Turn of each pair by numpy alone, with a given number of passes."""
    inner, turn = pairs["radius"].copy(), np.ones_like(pairs["radius"])
    nodes, weights = NODES[:, None], WEIGHTS[:, None]
    base, overlay = pairs["base"], pairs["overlay"]
    layers = [(base, inner + base * nodes), (overlay, pairs["cut"])]
    lengths = [inner + base * nodes, inner + base + overlay * nodes]
    for _ in range(passes):
        start, u0, v0 = inner, 1.0, 0.0
        f1 = f2 = k11 = k12 = k22 = 0.0
        steps = []
        for (t, natural), length in zip(layers, lengths, strict=True):
            log = np.log(length / natural)
            up, down = np.exp(ALPHA * log), np.exp(-ALPHA * POISSON * log)
            stretch, side = length / natural, np.exp(-POISSON * log)
            stress = 2 * MU / ALPHA * (up - down) / stretch
            slope = 2 * MU / ALPHA * ((ALPHA - 1) * up + (ALPHA * POISSON + 1) * down) / stretch**2
            rate = turn * t / natural * (-POISSON * side / stretch)
            growth, whole = np.exp(UPTO @ rate), np.exp(WEIGHTS @ rate)
            share = t * side / growth
            u, v = growth * u0, growth * (v0 + UPTO @ share)
            steps.append((u, v, start + turn * (UPTO @ (t * side)) - length))
            pull, give = weights * t * stress, weights * t * slope / natural
            f1, f2 = f1 + (pull * u).sum(0), f2 + (pull * v).sum(0)
            k11, k12 = k11 + (give * u * u).sum(0), k12 + (give * u * v).sum(0)
            k22 = k22 + (give * v * v).sum(0)
            start = start + turn * (WEIGHTS @ (t * side))
            u0, v0 = whole * u0, whole * (v0 + WEIGHTS @ share)
        d_turn = (k12 * f1 - k11 * f2) / (k11 * k22 - k12**2)
        d_inner = -(f1 + k12 * d_turn) / k11
        inner, turn = inner + d_inner, turn + d_turn
        lengths = [
            x + u * d_inner + v * d_turn + w for x, (u, v, w) in zip(lengths, steps, strict=True)
        ]
    return turn


def passes_of(run: Callable[[], object]) -> int:
    """How many passes through the thickness `settle` makes in a run."""
    march, count = section._Section.march, 0

    def counted(section):
        nonlocal count
        count += 1
        return march(section)

    section._Section.march = counted
    try:
        run()
    finally:
        section._Section.march = march
    return count


def seconds(run: Callable[[], object]) -> float:
    """Time of one run."""
    start = perf_counter()
    run()
    return perf_counter() - start


def single() -> float:
    """Curvature of the pair that felupe solves, in one call."""
    layers = [
        Layer(thickness=10, law=LAW, inner_length=50, outer_length=60),
        Layer(thickness=5, law=LAW, inner_length=62.5 / 1.1),
    ]
    return float(settle(layers).curvature(0, 0.5))


def with_felupe(fine: bool) -> float:
    """Curvature of the same pair by felupe, on a fine or a coarse mesh."""
    mesh = {} if fine else {"half_turn": 0.8, "through": (2, 1), "along": 10, "steps": 3}
    law = felupe_pair.foam([MU], [ALPHA], [POISSON])
    solved = felupe_pair.solve_pair(
        law, base=10, overlay=5, radius=50, stretch=0.1, **({"half_turn": 1.0} | mesh)
    )
    return solved.curvature(0.2)


def main() -> None:
    """Measure, print the medians and the ratios."""
    parser = argparse.ArgumentParser(description="Time settle against bare numpy and felupe.")
    parser.add_argument("--cases", type=int, default=20_000, help="pairs in the array, at least 1")
    parser.add_argument("--samples", type=int, default=15, help="samples of each, at least 5")
    chosen = parser.parse_args()
    if chosen.cases < 1 or chosen.samples < 5:
        parser.error(f"need 1 case and 5 samples or more, got {chosen.cases}, {chosen.samples}")

    pairs = cases(chosen.cases)
    passes = passes_of(lambda: with_settle(pairs))
    apart = np.abs(with_settle(pairs) - bare(pairs, passes)).max()
    if not apart < 1e-6:  # also warms both up
        raise SystemExit(f"the two calculations differ by {apart:.1e} rad: nothing to compare")
    contest = {
        "settle": lambda: with_settle(pairs),
        "bare numpy": lambda: bare(pairs, passes),
        "settle, one pair": single,
        "felupe, coarse mesh": lambda: with_felupe(False),
        "felupe, fine mesh": lambda: with_felupe(True),
    }
    taken: dict[str, list[float]] = {name: [] for name in contest}
    for i in range(chosen.samples):
        for name, run in contest.items():
            if i < 3 or not name.startswith("felupe"):
                taken[name].append(seconds(run))
    times = {name: median(samples) for name, samples in taken.items()}

    each = times["settle"] / chosen.cases
    ratio = times["settle"] / times["bare numpy"]
    print(f"{chosen.cases} pairs, {passes} passes, turns apart by {apart:.1e} rad at the most")
    print(f"settle      {1e3 * times['settle']:8.1f} ms, {1e6 * each:.2f} µs a pair")
    print(f"single call {1e3 * times['settle, one pair']:8.2f} ms")
    print(f"bare numpy  {1e3 * times['bare numpy']:8.1f} ms")
    print(f"settle is {ratio:.2f} x bare numpy; promised: at most {PROMISED_OF_BARE:g}")
    exact = single()
    for name, fine in (("felupe, coarse mesh", False), ("felupe, fine mesh", True)):
        off, once = with_felupe(fine) / exact - 1, times[name] / times["settle, one pair"]
        print(f"{name}: {times[name]:.2f} s, curvature {off:+.4%} beside settle")
        print(f"    {times[name] / each:.1e} x a pair of the array, {once:.0f} x a single call")
    print(f"promised: felupe at least {PROMISED_OF_FELUPE:.0e} x a pair of the array")


if __name__ == "__main__":
    main()
