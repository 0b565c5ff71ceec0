"""Strips alone, where every row and every sheet slit into rows can be listed: the least cost."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TypeVar

import numpy as np

from foamcalc.ask.cutlist.packing import Lie, Packing
from foamcalc.ask.cutlist.parts import Place, Unit

MOST_LISTED = 2000
"""Up to this many rows and sheets are all listed."""
MOST_SIZES = 60
"""With more sizes than this in a row they are not listed."""
NODES = 100
"""Branches that the whole-number search looks at: an effort that is the same on every machine."""

What = TypeVar("What")
Size = tuple[int, int, str]
"""Width, length and grain: what may lie in each other's place."""


def every_fill(
    sizes: Sequence[int], copies: Sequence[int], room: int, most: int
) -> list[tuple[int, ...]] | None:
    """Every way to fill a room to which nothing can be added; None if more than `most`."""
    if len(sizes) > MOST_SIZES:
        return None
    order = sorted(range(len(sizes)), key=lambda i: (-sizes[i], i))
    found: list[tuple[int, ...]] = []
    numbers = [0] * len(sizes)
    looked = 0

    def go_on(place: int, left: int) -> bool:
        """Fill what is left from this size on; False where it became too much."""
        nonlocal looked
        looked += 1
        if looked > 20 * most:
            return False
        if place == len(order):
            if not any(numbers[i] < copies[i] and sizes[i] <= left for i in order):
                found.append(tuple(numbers))
            return len(found) <= most
        index = order[place]
        for number in range(min(copies[index], left // sizes[index]), -1, -1):
            numbers[index] = number
            if not go_on(place + 1, left - number * sizes[index]):
                return False
        return True

    return found if go_on(0, room) else None


@dataclass(frozen=True)
class _Way:
    """A place with its rows laid along or across it."""

    place: int
    across: bool
    length: int
    width: int


@dataclass(frozen=True)
class _Row:
    """A row of one width, laid in a way."""

    way: int
    width: int
    holds: tuple[tuple[Size, int], ...]


@dataclass(frozen=True)
class _Slit:
    """A sheet slit into rows of these widths, laid in a way."""

    way: int
    holds: tuple[tuple[int, int], ...]


@dataclass(frozen=True)
class _Made:
    """Strips of one kind, made from parts in one way."""

    kind: int
    way: int


def least_in_rows(
    units: Sequence[Unit], places: Sequence[Place], kerf: int, seconds: float
) -> tuple[Packing, bool] | None:
    """Sheets slit into rows of one width at the least cost, and whether that is certain.

    None where there are too many rows and sheets to list, or nothing was found. Whole numbers of
    rows, of slit sheets and of ways of joining are looked for together: the rows hold every part,
    the sheets every row, and no more sheets are taken than there are.
    """
    problem = _Problem(units, places, kerf)
    if not problem.list_all():
        return None
    numbers, certain = problem.solved(seconds)
    return None if numbers is None else (problem.packing(numbers), certain)


class _Problem:
    """Rows and sheets as one whole-number problem: its columns and its lines."""

    def __init__(self, units: Sequence[Unit], places: Sequence[Place], kerf: int) -> None:
        self.units, self.places, self.kerf = units, places, kerf
        same: dict[object, list[int]] = {}
        for index, unit in enumerate(units):
            same.setdefault((unit.ways, unit.width, unit.grain), []).append(index)
        self.kinds = list(same.values())
        self.ways = [
            _Way(number, across, *sides)
            for number, place in enumerate(places)
            for across, sides in (
                (False, (place.length, place.width)),
                (True, (place.width, place.length)),
            )
            if place.grained or not across or place.length != place.width
        ]
        self.most: Counter[Size] = Counter()
        """How many parts of each size can be needed."""
        self.columns: list[_Row | _Slit | _Made] = []
        self.lines: dict[object, int] = {}
        self.right: list[int] = []
        for number, kind in enumerate(self.kinds):
            self._line(("kind", number), len(kind))
            ways = [self._sizes(kind[0], way) for way in range(len(units[kind[0]].ways))]
            for way, sizes in enumerate(ways):
                self.columns.append(_Made(number, way))
                for size in sizes:
                    self._line(size, 0)
            for size in set().union(*ways):
                self.most[size] += len(kind) * max(sizes[size] for sizes in ways)
        for number, place in enumerate(places):
            if place.most is not None:
                self._line(("place", number), -place.most)

    def _line(self, name: object, right: int) -> None:
        if name not in self.lines:
            self.lines[name] = len(self.right)
            self.right.append(right)

    def _sizes(self, index: int, way: int) -> Counter[Size]:
        unit = self.units[index]
        return Counter((unit.width, length, unit.grain) for length in unit.ways[way])

    def _takes(self, way: _Way, size: Size) -> bool:
        against = "along" if way.across else "across"
        if self.places[way.place].grained and size[2] == against:
            return False
        return size[1] <= way.length and size[0] <= way.width

    def list_all(self) -> bool:
        """Add every row and every sheet worth having; False where there are too many."""
        for number, way in enumerate(self.ways):
            widths: dict[int, int] = {}
            for width in sorted({size[0] for size in self.most}):
                sizes = [s for s in sorted(self.most) if s[0] == width and self._takes(way, s)]
                copies = [self.most[s] for s in sizes]
                if not sizes:
                    continue
                steps = [size[1] + self.kerf for size in sizes]
                rows = self._fills(steps, copies, way.length + self.kerf)
                if rows is None:
                    return False
                self._line(("rows", number, width), 0)
                self.columns += [_Row(number, width, _held(sizes, fill)) for fill in rows]
                widths[width] = sum(copies)
            steps = [width + self.kerf for width in widths]
            slit = self._fills(steps, list(widths.values()), way.width + self.kerf)
            if slit is None:
                return False
            self.columns += [_Slit(number, _held(list(widths), fill)) for fill in slit if widths]
        return True

    def _fills(
        self, sizes: Sequence[int], copies: Sequence[int], room: int
    ) -> list[tuple[int, ...]] | None:
        return every_fill(sizes, copies, room, MOST_LISTED - len(self.columns))

    def _entries(self, column: _Row | _Slit | _Made) -> Iterator[tuple[object, int]]:
        """Line and number for each line that a column stands in."""
        if isinstance(column, _Made):
            yield ("kind", column.kind), 1
            for size, number in self._sizes(self.kinds[column.kind][0], column.way).items():
                yield size, -number
        elif isinstance(column, _Row):
            yield from column.holds
            yield ("rows", column.way, column.width), -1
        else:
            for width, number in column.holds:
                yield ("rows", column.way, width), number
            if ("place", place := self.ways[column.way].place) in self.lines:
                yield ("place", place), -1

    def solved(self, seconds: float) -> tuple[list[int] | None, bool]:
        """A whole number for each column at the least cost, and whether it is certain."""
        from scipy.optimize import Bounds, LinearConstraint, milp
        from scipy.sparse import csc_array

        entries = [
            (self.lines[line], index, float(number))
            for index, column in enumerate(self.columns)
            for line, number in self._entries(column)
        ]
        at, of, values = (np.array(side) for side in zip(*entries, strict=True))
        shape = (len(self.right), len(self.columns))
        matrix = csc_array((values, (at.astype("i4"), of.astype("i4"))), shape=shape)
        # older scipy hands the places to HiGHS as they are, and that wants short ones
        matrix.indices, matrix.indptr = matrix.indices.astype("i4"), matrix.indptr.astype("i4")
        costs = [
            self.places[self.ways[column.way].place].cost if isinstance(column, _Slit) else 0
            for column in self.columns
        ]
        right = np.array(self.right, dtype=float)
        found = milp(
            np.array(costs, dtype=float),
            integrality=np.ones(len(costs)),
            bounds=Bounds(0, np.inf),
            constraints=LinearConstraint(matrix, right, np.inf),
            options={"time_limit": max(seconds, 0.01), "mip_rel_gap": 0.0, "node_limit": NODES},
        )
        if found.x is None:
            return None, False
        numbers = np.rint(found.x)
        if (matrix @ numbers < right).any() or (numbers < 0).any():
            return None, False  # the solver's word is not taken for it
        return [int(number) for number in numbers], found.status == 0

    def packing(self, numbers: Sequence[int]) -> Packing:
        """The sheets of a solution, each part in a row of its size, without what is too much."""
        made: dict[int, int] = {}
        waiting: dict[Size, list[tuple[int, int]]] = {}
        rows: dict[tuple[int, int], list[_Row]] = {}
        slit: list[_Slit] = []
        for column, number in zip(self.columns, numbers, strict=True):
            if isinstance(column, _Row):
                rows.setdefault((column.way, column.width), []).extend([column] * number)
            elif isinstance(column, _Slit):
                slit += [column] * number
            else:
                left = [index for index in self.kinds[column.kind] if index not in made]
                for index in left[:number]:
                    made[index] = column.way
                    unit = self.units[index]
                    for part, length in enumerate(unit.ways[column.way]):
                        size = unit.width, length, unit.grain
                        waiting.setdefault(size, []).append((index, part))
        for queue in waiting.values():
            queue.sort(reverse=True)
        sheets: list[int] = []
        lies: list[Lie] = []
        for sheet in slit:
            start = 0
            for width, times in sorted(sheet.holds, reverse=True):
                there = rows.get((sheet.way, width), [])
                for _ in range(min(times, len(there))):
                    row = self._filled(there.pop(), waiting, len(sheets), start)
                    lies += row
                    start += (width + self.kerf) if row else 0
            if start:
                sheets.append(self.ways[sheet.way].place)
        return Packing(
            sheets=tuple(sheets),
            lies=tuple(lies),
            ways={index: way for index, way in made.items() if way},
            missing=Counter(),
        )

    def _filled(
        self, row: _Row, waiting: dict[Size, list[tuple[int, int]]], sheet: int, start: int
    ) -> list[Lie]:
        """What a row holds of the parts that wait, the longest first."""
        found: list[Lie] = []
        along, across = 0, self.ways[row.way].across
        for size, copies in sorted(row.holds, reverse=True):
            queue = waiting.get(size, [])
            for _ in range(min(copies, len(queue))):
                index, part = queue.pop()
                x, y = (start, along) if across else (along, start)
                found.append(Lie(index, part, sheet, x, y, size[1], across))
                along += size[1] + self.kerf
        return found


def _held(what: Sequence[What], fill: Sequence[int]) -> tuple[tuple[What, int], ...]:
    return tuple((one, number) for one, number in zip(what, fill, strict=True) if number)
