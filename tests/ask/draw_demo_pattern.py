"""Draws the demo pattern: two halves of a knee cup and two scutes. Every number is invented.

Run it to write the drawing again::

    python tests/ask/draw_demo_pattern.py

The seam of a half is three arcs that join without a kink, so that every length and turn can be had
by hand: 45 mm turning 12 degrees, 72 mm turning 60, 45 mm turning 12; 162 mm and 84 degrees in all.
The outer half is the mirror image, with two slips a designer would make: its mark "thigh" stands
4 mm too far down, and its lower end was let out by 3 mm after a fitting, straight on.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import cos, radians, sin
from pathlib import Path

TARGET = Path(__file__).resolve().parents[2] / "foamcalc" / "ask" / "demo_build" / "knee_cup.svg"

INK, QUIET, PAPER, SECOND = "#1b2730", "#5d6a73", "#ece7db", "#dbe3e8"
SEAM = ((45.0, 12.0), (72.0, 60.0), (45.0, 12.0))
"""Length [mm] and turn [deg] of each arc of the seam, from top to bottom."""
LET_OUT = 3.0
INNER_MARKS = {"thigh": 40.0, "cap": 81.0, "shin": 122.0}
OUTER_MARKS = INNER_MARKS | {"thigh": 44.0}
SCUTES = (90.0, 45.0)
"""Length [mm] and turn [deg] of the edge between the two scutes."""

Spot = tuple[float, float]


def along(arcs: Sequence[tuple[float, float]], start: Spot, heading: float, place: float) -> Spot:
    """Where a chain of arcs is after a length [mm]; heading [deg] from straight down, then turned
    towards the left hand of the page, y downwards."""
    x, y = start
    for length, turn in arcs:
        run = min(place, length)
        ahead = heading - turn * run / length
        if turn:
            radius = length / radians(turn)
            x += radius * (cos(radians(ahead)) - cos(radians(heading)))
            y += radius * (sin(radians(heading)) - sin(radians(ahead)))
        else:
            x, y = x + run * sin(radians(heading)), y + run * cos(radians(heading))
        heading, place = ahead, place - run
        if place <= 0:
            break
    return x, y


def heading_at(arcs: Sequence[tuple[float, float]], heading: float, place: float) -> float:
    """Heading of a chain of arcs after a length [deg]."""
    for length, turn in arcs:
        run = min(place, length)
        heading, place = heading - turn * run / length, place - run
    return heading


def said(*numbers: float) -> str:
    """Numbers of a path, to a hundred-thousandth of a millimetre."""
    return " ".join(f"{round(n, 5) + 0.0:g}" if n == int(n) else f"{n:.5f}" for n in numbers)


class Half:
    """One half of the knee cup; the second one is mirrored about the middle of the cup."""

    top: Spot = (43.0, 40.0)
    middle = 87.5
    """The line about which the outer half is mirrored [mm]."""

    def __init__(self, name: str, marks: dict[str, float], *, mirrored: bool, let_out: float):
        self.name, self.marks, self.mirrored = name, marks, mirrored
        self.arcs = (*SEAM, *(((let_out, 0.0),) if let_out else ()))
        self.length = sum(length for length, _ in self.arcs)

    def at(self, x: float, y: float) -> Spot:
        return (2 * self.middle - x, y) if self.mirrored else (x, y)

    def spot(self, place: float, aside: float = 0.0) -> Spot:
        """A place along the seam, or beside it: positive into the piece."""
        x, y = along(self.arcs, self.top, 42.0, place)
        ahead = radians(heading_at(self.arcs, 42.0, place))
        return self.at(x - aside * cos(ahead), y + aside * sin(ahead))

    def path(self) -> str:
        parts, done = [f"M{said(*self.at(*self.top))}"], 0.0
        for length, turn in self.arcs:
            done += length
            end = said(*self.spot(done))
            if turn:
                radius = said(length / radians(turn))
                parts.append(f"A{radius} {radius} 0 0 {int(not self.mirrored)} {end}")
            else:
                parts.append(f"L{end}")
        x, y = along(self.arcs, self.top, 42.0, self.length)
        hems = (
            ((x - 12, y - 11), (19.6, y - 13), (16.6, y - 31)),
            ((13.2, y - 51.4), (13.2, 91.4), (16.6, 71)),
            ((19.6, 53), (31, 51), self.top),
        )
        for hem in hems:
            parts.append("C" + " ".join(said(*self.at(*p)) for p in hem))
        return "".join(parts) + "Z"

    def lines(self) -> Iterator[str]:
        side = self.name.split()[0]
        fill = SECOND if self.mirrored else PAPER
        yield f'<path fill="{fill}" d="{self.path()}">'
        yield f"<title>{self.name}</title></path>"
        ends = {"top": 0.0, "bottom": self.length}
        for name, place in ends.items():
            x, y = self.spot(place)
            yield f'<circle id="{side}-{name}" class="end" cx="{said(x)}" cy="{said(y)}" r="1.3">'
            yield f"<title>{name}</title></circle>"
            yield word(name, x, y + (-3.0 if name == "top" else 5.5), "middle")
        for name, place in self.marks.items():
            (x1, y1), (x2, y2) = self.spot(place, -2.5), self.spot(place, 5.0)
            yield f'<g id="{side}-{name}"><title>{name}</title>'
            yield f'<path d="M{said(x1, y1)}L{said(x2, y2)}"/>'
            x, y = self.spot(place, 7.5)
            yield word(name, x, y + 1.2, "start" if self.mirrored else "end") + "</g>"


def word(name: str, x: float, y: float, anchor: str) -> str:
    """The name of a mark beside it."""
    return f'<text class="mark" x="{x:.2f}" y="{y:.2f}" text-anchor="{anchor}">{name}</text>'


def scutes() -> Iterator[str]:
    """Two scutes, one over the other; the lower edge of the first fits the second."""
    length, turn = SCUTES
    radius = length / radians(turn)
    half = radius * sin(radians(turn / 2))
    x0, y0, gap = 217.0, 99.0, 14.0
    edge = said(radius)
    upper = (
        f"M{said(x0 + half, y0)}A{edge} {edge} 0 0 1 {said(x0 - half, y0)}"
        f"L{said(x0 - half - 7, y0 - 27)}L{said(x0 - 24, y0 - 56)}"
        f"Q{said(x0, y0 - 60)} {said(x0 + 24, y0 - 56)}L{said(x0 + half + 7, y0 - 27)}Z"
    )
    y1 = y0 + gap
    lower = (
        f"M{said(x0 - half, y1)}A{edge} {edge} 0 0 0 {said(x0 + half, y1)}"
        f"L{said(x0 + half + 5, y1 + 32)}L{said(x0 + 24, y1 + 64)}"
        f"Q{said(x0, y1 + 70)} {said(x0 - 24, y1 + 64)}L{said(x0 - half - 5, y1 + 32)}Z"
    )
    deep = radius * (1 - cos(radians(turn / 2)))
    for number, path, y, fill in ((1, upper, y0, PAPER), (2, lower, y1, SECOND)):
        title = f"<title>scute {number}</title>"
        yield f'<path fill="{fill}" d="{path}">{title}</path>'
        middle = (x0, y - 23) if number == 1 else (x0, y + 30)
        for size in (0.76, 0.52):
            yield (
                f'<path class="groove" transform="translate({said(*middle)}) scale({size}) '
                f'translate({said(-middle[0], -middle[1])})" d="{path}"/>'
            )
        spots = {"rim": (x0 - half, y), "middle": (x0, y + deep), "ridge": (x0 + half, y)}
        for name, (x, at) in spots.items():
            yield f'<circle id="scute-{number}-{name}" class="end" cx="{said(x)}"'
            yield f' cy="{said(at)}" r="1.3"><title>{name}</title></circle>'
    between = y0 + gap / 2 + 1.2
    yield word("rim", x0 - half - 3, between, "end")
    yield word("ridge", x0 + half + 3, between, "start")
    yield word("middle", x0, between + deep, "middle")
    yield name_of("scute 1", x0, y0 - 26, "5 mm")
    yield name_of("scute 2", x0, y1 + 32, "5 mm")


def name_of(name: str, x: float, y: float, thick: str, more: str = "") -> str:
    """The name of a piece and what it is cut from."""
    texts = [f'<text class="piece" x="{said(x)}" y="{said(y)}" text-anchor="middle">{name}</text>']
    for number, text in enumerate(filter(None, (f"cut 1 from {thick} foam", *more.split("|"))), 1):
        texts.append(
            f'<text class="small" x="{said(x)}" y="{said(y + 1 + 4.2 * number)}" '
            f'text-anchor="middle">{text}</text>'
        )
    return "".join(texts)


def bar(way: str, x: float, y: float) -> Iterator[str]:
    """A check bar of 100 mm with a stroke every 10 mm."""
    across = way == "across"
    yield f'<g id="check-bar-{way}" class="bar"><title>check bar 100 mm {way}</title>'
    yield f'<path d="M{said(x, y)}{"h" if across else "v"}100"/>'
    for tenth in range(11):
        tall = 3.0 if tenth in (0, 5, 10) else 1.6
        if across:
            yield f'<path d="M{said(x + 10 * tenth, y)}v{said(-tall)}"/>'
        else:
            yield f'<path d="M{said(x, y + 10 * tenth)}h{said(-tall)}"/>'
    yield "</g>"


def drawing() -> bytes:
    """The whole drawing, as it is kept."""
    halves = (
        Half("inner half", INNER_MARKS, mirrored=False, let_out=0.0),
        Half("outer half", OUTER_MARKS, mirrored=True, let_out=LET_OUT),
    )
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        '<svg xmlns="http://www.w3.org/2000/svg" width="297mm" height="210mm" '
        'viewBox="0 0 297 210">',
        "<title>Sea turtle: knee cup and two scutes. All numbers are invented.</title>",
        "<style>",
        f"path, circle {{ stroke: {INK}; stroke-width: 0.5; stroke-linejoin: round; "
        "stroke-linecap: round }",
        ".groove, .bar path { fill: none }",
        ".end { fill: #ffffff; stroke-width: 0.4 }",
        f".groove {{ stroke: {QUIET}; stroke-width: 0.25 }}",
        ".bar path { stroke-width: 0.35; stroke-linecap: butt }",
        f"text {{ font-family: 'DejaVu Sans', Verdana, sans-serif; fill: {INK} }}",
        ".title { font-size: 6.2px; font-weight: bold }",
        ".piece { font-size: 4.6px; font-weight: bold }",
        f".small {{ font-size: 3px; fill: {QUIET} }}",
        ".mark { font-size: 3.2px; font-style: italic }",
        "</style>",
        '<rect width="297" height="210" fill="#ffffff"/>',
        '<text class="title" x="14" y="17">Sea turtle costume: knee cup and two scutes</text>',
        '<text class="small" x="14" y="23">All numbers are invented. Edges are drawn for the '
        "outside of the shell, without allowance: foam is glued edge to edge.</text>",
        '<path d="M14 27h269"/>',
    ]
    for half in halves:
        lines += half.lines()
    lines.append(name_of("inner half", 40, 100, "10 mm"))
    lines.append(name_of("outer half", 135, 100, "10 mm", "lower end let out|after the fitting"))
    lines += scutes()
    lines += bar("across", 14, 197)
    lines.append(
        '<text class="small" x="118" y="197">100 mm: print at 100 % and measure both bars</text>'
    )
    lines += bar("down", 283, 40)
    lines.append('<text class="small" x="283" y="37" text-anchor="end">100 mm</text>')
    lines.append("</svg>")
    return ("\n".join(lines) + "\n").encode()


if __name__ == "__main__":
    TARGET.write_bytes(drawing())
