"""How the time of a cut list grows with its strips, and how far it stays from the least.

Run it by hand: ``python tests/benchmarks/cut_list.py``. Ratios of one run are printed, never
compared with a number: a busy machine is no fault of the code. The lists are invented, seeded.
"""

from __future__ import annotations

import random
import time

from foamcalc.ask.cutlist import Material, Panel, Stock, Strip, cut_list

EVA = {"foam": "EVA medium", "thickness": 5.0}
SHEET = Stock(**EVA, length=1000.0, width=500.0)
WIDTHS = (20.0, 25.0, 40.0, 60.0)


def strips(number: int, rng: random.Random) -> list[Strip]:
    """So many different strips, one to twelve of each."""
    return [
        Strip(
            name=f"strip {i}",
            **EVA,
            length=rng.randint(120, 1960) / 2,
            width=rng.choice(WIDTHS),
            count=rng.randint(1, 12),
        )
        for i in range(number)
    ]


def panels(number: int, rng: random.Random) -> list[Panel]:
    """So many different panels, one to four of each."""
    return [
        Panel(
            name=f"panel {i}",
            **EVA,
            length=float(rng.randint(60, 400)),
            width=float(rng.randint(60, 300)),
            count=rng.randint(1, 4),
            gap=3.0,
        )
        for i in range(number)
    ]


def timed(items: list[Strip] | list[Panel], seconds: float) -> tuple[float, Material]:
    """Seconds taken, and what was found."""
    start = time.perf_counter()
    (found,) = cut_list([SHEET], items, kerf=1.0, trim=5.0, seconds=seconds).materials
    return time.perf_counter() - start, found


def main() -> None:
    """Measure and print."""
    cut_list([SHEET], strips(3, random.Random(0)))  # loads scipy
    for what, make, numbers in (
        ("strips", strips, (5, 10, 20, 40, 80, 160, 320)),
        ("panels", panels, (5, 10, 20, 40, 80, 160)),
    ):
        print(
            f"{what:>8}{'pieces':>8}{'time/first':>12}{'sheets':>8}{'least':>8}  finished, proven"
        )
        first = None
        for number in numbers:
            items = make(number, random.Random(number))
            taken, found = timed(items, 20.0)
            first = first or taken
            pieces = sum(item.count for item in items)
            print(
                f"{number:8}{pieces:8}{taken / first:12.1f}{found.bought:8}{found.least_bought:8}"
                f"  {'yes' if found.finished else 'no'}, {'yes' if found.proven else 'no'}"
                f"{f'   (first: {taken:.2f} s)' if number == numbers[0] else ''}"
            )


if __name__ == "__main__":
    main()
