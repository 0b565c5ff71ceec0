"""Strips and panels into sheets by one rule: each into the room that it fills best."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Literal

import numpy as np

from foamcalc.ask.cutlist.parts import Place, Unit
from foamcalc.ask.cutlist.rows import Cut, number_of_cuts

_SHEET, _X, _Y, _LENGTH, _WIDTH, _LEFT, _BELOW, _RIGHT, _ABOVE, _GRAINED = range(10)
_FAR = 1 << 62

Split = Literal["own", "whole", "along", "across"]
Laid = Literal["most", "flat", "upright"]
SPLITS: tuple[Split, ...] = ("own", "along", "across", "whole")
LAYS: tuple[Laid, ...] = ("most", "flat", "upright")


@dataclass(frozen=True)
class Lie:
    """Where one part of a unit lies; across the sheet if it is turned."""

    unit: int
    part: int
    sheet: int
    x: int
    y: int
    length: int
    turned: bool


@dataclass(frozen=True, kw_only=True)
class Packing:
    """All units on sheets, or all but those that found no room."""

    sheets: tuple[int, ...]
    """Which place each sheet is."""
    lies: tuple[Lie, ...]
    ways: dict[int, int]
    """Units made in another than the first of their ways."""
    missing: Counter[int]
    """Items that found no room, and how many of them."""
    largest: int = 0
    """Area of the largest rectangle that the cuts leave."""

    def cost(self, places: Sequence[Place]) -> int:
        """What its sheets cost."""
        return sum(places[place].cost for place in self.sheets)

    def rank(self, places: Sequence[Place], units: Sequence[Unit]) -> tuple[int, ...]:
        """Less is better: nothing lost, the least cost, few and even joins, little sheet begun."""
        joins = 0
        for number, unit in enumerate(units):
            if len(unit.ways) > 1 or len(unit.ways[0]) > 1:
                way = unit.ways[self.ways.get(number, 0)]
                joins += 2 * len(way) + (len(set(way)) > 1)
        area = sum(places[place].area for place in self.sheets)
        return self.missing.total(), self.cost(places), joins, area

    def work(self, units: Sequence[Unit]) -> tuple[int, int, int]:
        """Less is better: rows of one width, sheets cut in unlike ways, and a large piece left."""
        cuts: list[list[Cut]] = [[] for _ in self.sheets]
        for lie in self.lies:
            unit = units[lie.unit]
            x, y = (unit.width, lie.length) if lie.turned else (lie.length, unit.width)
            box = (lie.x, lie.x + x, lie.y, lie.y + y)
            cuts[lie.sheet].append(Cut(box, lie.turned, unit.outlined))
        unlike = {tuple(sorted((cut.box, cut.turned) for cut in sheet)) for sheet in cuts}
        return sum(map(number_of_cuts, cuts)), len(unlike), -self.largest


@dataclass(frozen=True, kw_only=True)
class Rules:
    """One way of packing: in which order, onto which sheets, how laid and how cut."""

    order: Sequence[int]
    begin: Sequence[int]
    split: Split
    laid: Laid
    tight: bool
    """Whether the room with the least to spare is taken, or the smallest."""
    last_way: bool
    """Whether strips that can be made in several ways are made in the last."""


@dataclass
class _Bench:
    """Sheets being filled, and the rectangles that are left of them."""

    units: Sequence[Unit]
    places: Sequence[Place]
    rules: Rules
    kerf: int
    apart: int
    """How much more than the kerf is kept between two outlines."""
    shortest: int
    """The least side of all parts; narrower rectangles are waste."""
    free: np.ndarray = field(default_factory=lambda: np.zeros((32, 10), dtype=np.int64))
    number: int = 0
    sheets: list[int] = field(default_factory=list)
    used: Counter[int] = field(default_factory=Counter)
    lies: list[Lie] = field(default_factory=list)

    def put(self, index: int, way: Sequence[int]) -> bool:
        """All parts of a unit made this way; what was there before if one finds no room."""
        if len(way) == 1:
            return self._put_part(index, 0, way[0])
        before = (self.number, self.free.copy(), len(self.sheets), self.used.copy(), len(self.lies))
        for part, length in enumerate(way):
            if not self._put_part(index, part, length):
                self.number, self.free, sheets, self.used, lies = before
                del self.sheets[sheets:], self.lies[lies:]
                return False
        return True

    def _put_part(self, index: int, part: int, length: int) -> bool:
        unit = self.units[index]
        found = self._room(unit, length) or self._new_sheet(unit, length)
        if found is None:
            return False
        self._cut(found[0], unit, length, found[1], index, part)
        return True

    def _room(self, unit: Unit, length: int) -> tuple[int, bool] | None:
        """The rectangle that it fills best, and whether it lies turned there."""
        free = self.free[: self.number]
        long, wide = free[:, _LENGTH], free[:, _WIDTH]
        if unit.outlined and self.apart:
            long = long - self.apart * (free[:, _LEFT] + free[:, _RIGHT])
            wide = wide - self.apart * (free[:, _BELOW] + free[:, _ABOVE])
        best: tuple[int, int, bool] | None = None
        for turned in (False, True):
            x, y = (unit.width, length) if turned else (length, unit.width)
            if turned and x == y:
                continue
            over, above = long - x, wide - y
            fits = (over >= 0) & (above >= 0)
            if unit.grain == ("along" if turned else "across"):
                fits &= free[:, _GRAINED] == 0
            if not fits.any():
                continue
            if self.rules.tight:
                score = np.minimum(over, above) * 200_000_000 + np.maximum(over, above)
            else:
                score = free[:, _LENGTH] * free[:, _WIDTH]
            score = np.where(fits, score, _FAR)
            at = int(score.argmin())
            if best is None or score[at] < best[0]:
                best = int(score[at]), at, turned
        return None if best is None else best[1:]

    def _new_sheet(self, unit: Unit, length: int) -> tuple[int, bool] | None:
        """Begin the first sheet that it fits, laid as the rules say."""
        for number in self.rules.begin:
            place = self.places[number]
            sides = place.sides(length, unit.width, unit.grain)
            if not sides or (place.most is not None and self.used[number] >= place.most):
                continue
            self.used[number] += 1
            self.sheets.append(number)
            self._leave(len(self.sheets) - 1, 0, 0, place.length, place.width, place.grained)
            if self.rules.laid == "most":
                kerf = self.kerf + (self.apart if unit.outlined else 0)
                of = [
                    (place.length + kerf) // (x + kerf) * ((place.width + kerf) // (y + kerf))
                    for x, y, _ in sides
                ]
                turned = sides[of.index(max(of))][2]
            else:
                flat = self.rules.laid == "flat"
                turned = min(sides, key=lambda side: side[1] if flat else -side[1])[2]
            return self.number - 1, turned
        return None

    def _leave(
        self, sheet: int, x: int, y: int, long: int, wide: int, grained: int, *next_to: int
    ) -> None:
        """Keep a rectangle that is large enough for anything."""
        if min(long, wide) < self.shortest:
            return
        if self.number == len(self.free):
            self.free = np.vstack([self.free, np.zeros_like(self.free)])
        beside = next_to or (0, 0, 0, 0)
        self.free[self.number] = (sheet, x, y, long, wide, *beside, grained)
        self.number += 1

    def _cut(self, at: int, unit: Unit, length: int, turned: bool, index: int, part: int) -> None:
        """Put it into the corner of a rectangle, and keep the two that are left of that."""
        sheet, x, y, long, wide, left, below, right, above, grained = self.free[at].tolist()
        self.number -= 1
        self.free[at] = self.free[self.number]
        from_left, from_below = (left * self.apart, below * self.apart) if unit.outlined else (0, 0)
        dx, dy = (unit.width, length) if turned else (length, unit.width)
        self.lies.append(Lie(index, part, sheet, x + from_left, y + from_below, length, turned))
        dx, dy = dx + from_left, dy + from_below  # what is taken of the rectangle
        over, up = long - dx - self.kerf, wide - dy - self.kerf
        out, some = int(unit.outlined and self.apart > 0), int(self.apart > 0)
        split = self.rules.split
        if split == "own":
            along = not turned
        elif split == "whole":
            along = long * max(up, 0) >= max(over, 0) * wide
        else:
            along = split == "along"
        beyond, over_it = x + dx + self.kerf, y + dy + self.kerf
        if along:
            high, top = (dy, 0) if up > 0 else (wide, above)
            self._leave(sheet, beyond, y, over, high, grained, out, below, right, top)
            self._leave(sheet, x, over_it, long, up, grained, left, some, right, above)
        else:
            wide_it, side = (dx, 0) if over > 0 else (long, right)
            self._leave(sheet, x, over_it, wide_it, up, grained, left, out, side, above)
            self._leave(sheet, beyond, y, over, wide, grained, some, below, right, above)


def packed(
    units: Sequence[Unit], places: Sequence[Place], rules: Rules, kerf: int, apart: int
) -> Packing:
    """Every unit, one after another, by these rules."""
    shortest = min(min(unit.width, min(map(min, unit.ways))) for unit in units)
    bench = _Bench(units, places, rules, kerf, apart, shortest)
    ways: dict[int, int] = {}
    missing: Counter[int] = Counter()
    for index in rules.order:
        unit = units[index]
        numbers = range(len(unit.ways))
        for way in reversed(numbers) if rules.last_way else numbers:
            if bench.put(index, unit.ways[way]):
                ways[index] = way
                break
        else:
            missing[unit.item] += unit.panels
    free = bench.free[: bench.number]
    return Packing(
        sheets=tuple(bench.sheets),
        lies=tuple(bench.lies),
        ways={index: way for index, way in ways.items() if way},
        missing=missing,
        largest=int((free[:, _LENGTH] * free[:, _WIDTH]).max(initial=0)),
    )
