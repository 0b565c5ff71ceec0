"""How the time of a plan grows with its joints, and what a strap costs beside letting go.

Run it by hand: ``python tests/benchmarks/plan_growth.py``. Ratios of one run are printed, never
compared with a number: a busy machine is no fault of the code.
"""

from __future__ import annotations

import math
import time
from collections.abc import Callable

from foamcalc.ask.plan import plan
from foamcalc.ask.sheet import parse_sheet
from foamcalc.fit.rest import at_rest
from foamcalc.fit.shell import Cover, Shell
from foamcalc.fit.stack import Piece
from foamcalc.foam.grades import foam
from foamcalc.shape.curve import Arc

_HEAD = """
[curve.back]
measured_on = "outside"
radius = 300
turn = "180 deg"
"""
_BODY = """
[shell."back {i}"]
curve = "back"
thickness = 10
[[overlay]]
name = "scute {i}"
shell = "back {i}"
from = 100
to = 300
thickness = 5
cut = 196
"""


def seconds(work: Callable[[], object], *, rounds: int = 3) -> float:
    """The shortest of several runs."""
    times = []
    for _ in range(rounds):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return min(times)


def main() -> None:
    """Print the ratios."""
    costs = {}
    for count in (5, 10, 20):
        sheet = parse_sheet(_HEAD + "".join(_BODY.format(i=i) for i in range(count)), ".")
        costs[count] = seconds(lambda sheet=sheet: plan(sheet))
        print(
            f"plan of {count:2} joints: {1000 * costs[count] / count:6.1f} ms a joint, "
            f"{costs[count] / count / (costs[5] / 5):.2f} x that of 5 joints"
        )
    eva = foam("EVA medium")
    shell = Shell(
        base=Piece(thickness=10, law=eva, formed=1),
        curve=Arc(300, math.pi),
        covers=(Cover(piece=Piece(thickness=5, law=eva), start=100, end=300, cut_length=196),),
    )
    rest = at_rest(shell)
    free, strapped = seconds(lambda: at_rest(shell)), seconds(rest.strapped)
    print(f"a strap costs {strapped / free:.0f} x letting go ({1000 * strapped:.0f} ms)")


if __name__ == "__main__":
    main()
