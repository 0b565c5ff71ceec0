"""Strips alone, where every row and every sheet slit into rows can be listed: the least cost."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from foamcalc.job.cutlist.packing import Lie, Packing
from foamcalc.job.cutlist.parts import Place, Unit

MOST_LISTED = 2000
"""Up to this many rows and sheets are all listed."""
MOST_SIZES = 60
"""With more sizes than this in a row they are not listed."""
NODES = 5000
"""Branches that the whole-number search looks at: an effort that is the same on every machine."""

Size = tuple[int, int, str]
"""Width, length and grain: what may lie in each other's place."""


def every_fill(
    sizes: Sequence[int], copies: Sequence[int], room: int, most: int
) -> list[tuple[int, ...]] | None:
    """Every way to fill a room to which nothing can be added; None where there are more than `most`.

    Examples
    --------
    >>> every_fill([45, 36], [9, 9], 100, 10)
    [(2, 0), (1, 1), (0, 2)]
    """
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


@dataclass(frozen=True, kw_only=True)
class _Way:
    """A place with its rows laid along or across it."""

    place: int
    across: bool
    length: int
    width: int

    def takes(self, size: Size, grained: bool) -> bool:
        """Whether a part fits in, its grain the right way."""
        against = grained and size[2] == ("along" if self.across else "across")
        return not against and size[1] <= self.length and size[0] <= self.width


@dataclass(frozen=True, kw_only=True)
class _Column:
    """A row, a slit sheet, or a way of making strips, of which a number is looked for."""

    lines: tuple[tuple[int, int], ...]
    """In which lines it stands, with which number."""
    cost: int = 0
    way: int = -1
    """Of a row or a sheet."""
    width: int = 0
    """Of a row; 0 for a sheet."""
    numbers: tuple[tuple[int | Size, int], ...] = ()
    """Of a row: sizes; of a sheet: widths; of each how many."""
    units: tuple[int, int] = (-1, -1)
    """Of a way of making strips: which kind of strip, which way."""


def least_in_rows(
    units: Sequence[Unit], places: Sequence[Place], kerf: int, seconds: float
) -> tuple[Packing, bool] | None:
    """Sheets slit into rows of one width at the least cost, and whether that is certain.

    None where there are too many rows and sheets to list, or nothing was found. Whole numbers of
    rows, of slit sheets and of ways of joining are looked for together: the rows hold every part,
    the sheets every row, and no more sheets are taken than there are.
    """
    listed = _columns(units, places, kerf)
    if listed is None:
        return None
    columns, ways, right, kinds = listed
    numbers, certain = _solved(columns, right, seconds)
    if numbers is None:
        return None
    return _packing(columns, numbers, units, kinds, ways, kerf), certain


def _columns(
    units: Sequence[Unit], places: Sequence[Place], kerf: int
) -> tuple[list[_Column], list[_Way], list[int], list[list[int]]] | None:
    """Everything there can be a number of; the ways; right-hand sides; units of each kind."""
    same: dict[tuple[object, ...], list[int]] = {}
    for index, unit in enumerate(units):
        same.setdefault((unit.ways, unit.width, unit.grain), []).append(index)
    kinds = list(same.values())
    most: Counter[Size] = Counter()
    for kind in kinds:
        unit = units[kind[0]]
        parts: Counter[int] = Counter()
        for division in unit.ways:
            parts |= Counter(division)
        for length, number in parts.items():
            most[unit.width, length, unit.grain] += number * len(kind)
    sizes = sorted(most)
    lines: dict[object, int] = {size: line for line, size in enumerate(sizes)}
    right = [0] * len(sizes)
    columns = []
    for number, kind in enumerate(kinds):
        unit = units[kind[0]]
        lines["kind", number] = len(right)
        right.append(len(kind))
        for way, division in enumerate(unit.ways):
            taken = Counter((unit.width, length, unit.grain) for length in division)
            stands = [(lines[size], -n) for size, n in taken.items()]
            columns.append(
                _Column(lines=((lines["kind", number], 1), *stands), units=(number, way))
            )
    ways: list[_Way] = []
    for number, place in enumerate(places):
        sides = [(False, place.length, place.width), (True, place.width, place.length)]
        square = not place.grained and place.length == place.width
        ways += [
            _Way(place=number, across=a, length=x, width=y) for a, x, y in sides[: 2 - square]
        ]
        if place.most is not None:
            lines["place", number] = len(right)
            right.append(-place.most)
    for index, way in enumerate(ways):
        place = places[way.place]
        widths: dict[int, int] = {}
        for width in sorted({size[0] for size in sizes}):
            fitting = [s for s in sizes if s[0] == width and way.takes(s, place.grained)]
            if not fitting:
                continue
            rows = every_fill(
                [s[1] + kerf for s in fitting],
                [most[s] for s in fitting],
                way.length + kerf,
                MOST_LISTED - len(columns),
            )
            if rows is None:
                return None
            lines["row", index, width] = len(right)
            right.append(0)
            widths[width] = sum(most[s] for s in fitting)
            for fill in rows:
                held = [(s, n) for s, n in zip(fitting, fill, strict=True) if n]
                stands = [(lines[s], n) for s, n in held]
                columns.append(
                    _Column(
                        lines=(*stands, (lines["row", index, width], -1)),
                        way=index,
                        width=width,
                        numbers=tuple(held),
                    )
                )
        slit = every_fill(
            [width + kerf for width in widths],
            list(widths.values()),
            way.width + kerf,
            MOST_LISTED - len(columns),
        )
        if slit is None:
            return None
        for fill in slit if widths else ():
            wide = [(w, n) for w, n in zip(widths, fill, strict=True) if n]
            stands = [(lines["row", index, w], n) for w, n in wide]
            if place.most is not None:
                stands.append((lines["place", way.place], -1))
            columns.append(
                _Column(lines=tuple(stands), cost=place.cost, way=index, numbers=tuple(wide))
            )
    return columns, ways, right, kinds


def _solved(
    columns: Sequence[_Column], right: Sequence[int], seconds: float
) -> tuple[np.ndarray | None, bool]:
    """Whole numbers of each column at the least cost, and whether nothing better can be had."""
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import csc_array

    entries = [
        (line, index, float(number))
        for index, column in enumerate(columns)
        for line, number in column.lines
    ]
    at, of, values = zip(*entries, strict=True)
    matrix = csc_array((np.array(values), (np.array(at), np.array(of))), (len(right), len(columns)))
    # older scipy hands the places to HiGHS as they are, and that wants short ones
    matrix.indices, matrix.indptr = matrix.indices.astype("i4"), matrix.indptr.astype("i4")
    found = milp(
        np.array([column.cost for column in columns], dtype=float),
        integrality=np.ones(len(columns)),
        bounds=Bounds(0, np.inf),
        constraints=LinearConstraint(matrix, np.array(right, dtype=float), np.inf),
        options={"time_limit": max(seconds, 0.01), "mip_rel_gap": 0.0, "node_limit": NODES},
    )
    if found.x is None:
        return None, False
    numbers = np.rint(found.x)
    if (matrix @ numbers < right).any() or (numbers < 0).any():
        return None, False  # the solver's word is not taken for it
    return numbers.astype(int), found.status == 0


def _packing(
    columns: Sequence[_Column],
    numbers: np.ndarray,
    units: Sequence[Unit],
    kinds: Sequence[Sequence[int]],
    ways: Sequence[_Way],
    kerf: int,
) -> Packing:
    """The sheets of a solution, each part in a row of its size, without what is too much."""
    made: dict[int, int] = {}
    waiting: dict[Size, list[tuple[int, int]]] = {}
    taken: Counter[int] = Counter()
    rows: dict[tuple[int, int], list[_Column]] = {}
    for column, number in zip(columns, numbers.tolist(), strict=True):
        kind, way = column.units
        if kind >= 0:
            some = kinds[kind][taken[kind] : taken[kind] + number]
            taken[kind] += number
            for index in some:
                unit = units[index]
                made[index] = way
                for part, length in enumerate(unit.ways[way]):
                    key = unit.width, length, unit.grain
                    waiting.setdefault(key, []).append((index, part))
        elif column.width:
            rows.setdefault((column.way, column.width), []).extend([column] * number)
    for queue in waiting.values():
        queue.sort(reverse=True)
    sheets: list[int] = []
    lies: list[Lie] = []
    for column, number in zip(columns, numbers.tolist(), strict=True):
        if column.way < 0 or column.width:
            continue
        for _ in range(number):
            start, way_laid = 0, ways[column.way]
            for width, times in sorted(column.numbers, reverse=True):
                there = rows.get((column.way, int(width)), [])  # type: ignore[arg-type]
                for _ in range(min(times, len(there))):
                    along = 0
                    for size, copies in sorted(there.pop().numbers, reverse=True):
                        queue = waiting.get(size, [])  # type: ignore[arg-type]
                        for _ in range(min(copies, len(queue))):
                            index, part = queue.pop()
                            length = units[index].ways[made[index]][part]
                            x, y = (start, along) if way_laid.across else (along, start)
                            lies.append(
                                Lie(
                                    unit=index,
                                    part=part,
                                    sheet=len(sheets),
                                    x=x,
                                    y=y,
                                    length=length,
                                    turned=way_laid.across,
                                )
                            )
                            along += length + kerf
                    start += (width + kerf) if along else 0  # type: ignore[operator]
            if start:
                sheets.append(way_laid.place)
    return Packing(
        sheets=tuple(sheets),
        lies=tuple(lies),
        ways={index: way for index, way in made.items() if way},
        missing=Counter(),
    )
