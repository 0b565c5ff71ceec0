"""Rows and sheets as one whole-number problem: its lines, its columns, and scipy's solvers."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np

from foamcalc.job.cutlist.filled import FilledRow, FilledSheet, Filling
from foamcalc.job.cutlist.knapsack import ToFill
from foamcalc.job.cutlist.needs import Needs, Place, Way, ways_of

MOST_LISTED = 2000
"""Up to this many rows and sheets are all listed; then the search is complete."""
NODES = 20_000
"""Branches that the whole-number search looks at: an effort that is the same on every machine."""

ROW = 1e-3
"""What one row counts in the second goal: as much as this share of a sheet."""

What = Literal["row", "sheet", "division", "missing"]


@dataclass(frozen=True)
class Column:
    """One thing there can be a number of: a row, a slit sheet, a division of a strip."""

    what: What
    where: int
    """Its way, its need, or its kind."""
    width: int
    """Of a row; else 0."""
    numbers: tuple[tuple[int, int], ...]
    """Of a row: kind and number. Of a sheet: width and number. Of a division: which one."""


class Model:
    """Fewest sheets for all strips of a material.

    Notes
    -----
    Whole numbers are sought for rows, for slit sheets and, where strips may be joined, for the ways
    of joining. Lines: the rows hold every part that is needed; every strip is made in one of its
    ways; the sheets, slit in a way, hold every row of each width that is laid in it; no more
    sheets than there are.
    """

    def __init__(self, needs: Needs, places: Sequence[Place], kerf: int, *, short: bool) -> None:
        self.needs, self.places, self.kerf = needs, places, kerf
        self.ways = ways_of(places)
        self.most = needs.most()
        self.rows: dict[tuple[int, int], ToFill] = {}
        """By way and width: which kinds fill a row."""
        for number, way in enumerate(self.ways):
            for width in sorted({k.width for k in needs.kinds}):
                fitting = (i for i, k in enumerate(needs.kinds) if k.width == width)
                kinds = tuple(i for i in fitting if way.takes(needs.kinds[i]))
                if kinds:
                    self.rows[number, width] = self._row(way, kinds)
        self.sheets = {way: self._sheet(way) for way in dict.fromkeys(w for w, _ in self.rows)}
        """By way: which widths of rows fill a sheet."""
        self.choices = [i for i, n in enumerate(needs.strips) if len(n.divisions) > 1]
        first_link = len(needs.kinds) + len(self.choices)
        self.links = {group: first_link + i for i, group in enumerate(self.rows)}
        first_limit = first_link + len(self.links)
        limited = [i for i, place in enumerate(places) if place.most is not None]
        self.limits = {place: first_limit + i for i, place in enumerate(limited)}
        self.right = np.array(
            [
                *needs.fixed(),
                *(needs.strips[i].count for i in self.choices),
                *(0 for _ in self.links),
                *(-(places[i].most or 0) for i in limited),
            ],
            dtype=float,
        )
        self.columns: dict[Column, int] = {}
        for i in self.choices:
            for d in range(len(needs.strips[i].divisions)):
                self.add(Column("division", i, 0, ((d, 1),)))
        if short:
            for kind in range(len(needs.kinds)):
                self.add(Column("missing", kind, 0, ()))

    def _row(self, way: Way, kinds: tuple[int, ...]) -> ToFill:
        return ToFill(
            what=kinds,
            sizes=tuple(self.needs.kinds[i].length + self.kerf for i in kinds),
            copies=tuple(self.most[i] for i in kinds),
            room=way.length + self.kerf,
        )

    def _sheet(self, way: int) -> ToFill:
        rows = {width: row for (w, width), row in self.rows.items() if w == way}
        return ToFill(
            what=tuple(rows),
            sizes=tuple(width + self.kerf for width in rows),
            copies=tuple(sum(row.copies) for row in rows.values()),
            room=self.ways[way].width + self.kerf,
        )

    def add(self, column: Column) -> bool:
        """Add a column; False if it is there already."""
        if column in self.columns:
            return False
        self.columns[column] = len(self.columns)
        return True

    def add_filling(self, filling: Filling) -> None:
        """Add the rows and sheets of a filling."""
        for sheet in filling.sheets:
            self.add_sheet(sheet.way, Counter(row.width for row in sheet.rows))
            for row in sheet.rows:
                self.add_row(sheet.way, row.width, row.kinds)

    def add_row(self, way: int, width: int, kinds: Counter[int]) -> bool:
        """Add a row of one width, laid in a way."""
        return self.add(Column("row", way, width, tuple(sorted((+kinds).items()))))

    def add_sheet(self, way: int, widths: Counter[int]) -> bool:
        """Add a sheet slit into rows of these widths."""
        return self.add(Column("sheet", way, 0, tuple(sorted((+widths).items()))))

    def list_all(self) -> bool:
        """Add every row and every sheet worth having; False where there are too many."""
        rows: list[tuple[int, int, Counter[int]]] = []
        sheets: list[tuple[int, Counter[int]]] = []
        for (way, width), row in self.rows.items():
            found = row.every(MOST_LISTED - len(rows))
            if found is None:
                return False
            rows += [(way, width, fill) for fill in found]
        for way, sheet in self.sheets.items():
            found = sheet.every(MOST_LISTED - len(rows) - len(sheets))
            if found is None:
                return False
            sheets += [(way, fill) for fill in found]
        for way, width, fill in rows:
            self.add_row(way, width, fill)
        for way, fill in sheets:
            self.add_sheet(way, fill)
        return True

    def cost(self, column: Column) -> float:
        """What one of a column costs."""
        if column.what == "sheet":
            return self.places[self.ways[column.where].place].cost
        # dearer than any sheet, so that nothing is left out that could be bought
        return 10.0 * max(1, *(p.cost for p in self.places)) if column.what == "missing" else 0.0

    def second(self, column: Column) -> float:
        """What decides between fillings that cost the same, as a share of the largest sheet.

        Joins, each as much as a sheet; sheet begun and sheet slit; then the number of rows, those
        across a little more, and unequal parts. What panels leave is begun already, and its rows
        count half.
        """
        if column.what == "missing":
            return 0.0
        if column.what == "division":
            division = self.needs.strips[column.where].divisions[column.numbers[0][0]]
            return len(division) - 1 + ROW * (len(set(division)) > 1)
        way = self.ways[column.where]
        place = self.places[way.place]
        largest = max(p.area for p in self.places)
        if column.what == "sheet":
            return place.area / largest if place.sheet is None else 0.0
        slit = way.length * column.width / largest + (1.25 if way.across else 1.0) * ROW
        return slit if place.sheet is None else slit / 2

    def _entries(self, column: Column) -> Iterable[tuple[int, int]]:
        """Line and number for each line that a column stands in."""
        if column.what == "missing":
            yield column.where, 1
        elif column.what == "division":
            yield len(self.needs.kinds) + self.choices.index(column.where), 1
            division = self.needs.strips[column.where].divisions[column.numbers[0][0]]
            yield from ((kind, -number) for kind, number in Counter(division).items())
        elif column.what == "row":
            yield from column.numbers
            yield self.links[column.where, column.width], -1
        else:
            for width, number in column.numbers:
                yield self.links[column.where, width], number
            place = self.ways[column.where].place
            if place in self.limits:
                yield self.limits[place], -1

    def matrix(self) -> Any:
        """The lines as a sparse matrix, one column a column."""
        from scipy.sparse import csc_array

        lines, columns, numbers = [], [], []
        for column, index in self.columns.items():
            for line, number in self._entries(column):
                lines.append(line)
                columns.append(index)
                numbers.append(float(number))
        shape = (len(self.right), len(self.columns))
        at = np.array(lines, dtype=np.int32), np.array(columns, dtype=np.int32)
        found = csc_array((np.array(numbers), at), shape=shape)
        # older scipy hands the places to HiGHS as they are, and that wants short ones
        found.indices, found.indptr = found.indices.astype("i4"), found.indptr.astype("i4")
        return found

    def relax(self, seconds: float) -> tuple[np.ndarray, np.ndarray] | None:
        """Numbers where parts of sheets may be bought, and the worth of each line; None if late."""
        from scipy.optimize import linprog

        costs = np.array([self.cost(c) for c in self.columns])
        options = {"time_limit": max(seconds, 0.01)}
        found = linprog(costs, -self.matrix(), -self.right, method="highs", options=options)
        if found.status != 0:
            return None
        worths = np.maximum(-np.asarray(found.ineqlin.marginals, dtype=float), 0.0)
        return np.asarray(found.x, dtype=float), worths

    def whole(
        self, seconds: float, *, most: int | None, second: bool = False
    ) -> tuple[np.ndarray | None, bool]:
        """Whole numbers of each column at least cost.

        Parameters
        ----------
        seconds : float
            Time to give up after.
        most : int, optional
            What they may cost at most.
        second : bool
            Whether not the cost is made least, but `second`.

        Returns
        -------
        ndarray of int, or None
            None where nothing was found.
        bool
            Whether the search was finished: there is nothing better, or nothing at all.
        """
        from scipy.optimize import Bounds, LinearConstraint, milp

        matrix, costs = self.matrix(), np.array([self.cost(c) for c in self.columns])
        lines = [LinearConstraint(matrix, self.right, np.inf)]
        if most is not None:
            lines.append(LinearConstraint(costs[None, :], -np.inf, most + 0.5))
        found = milp(
            np.array([self.second(c) for c in self.columns]) if second else costs,
            integrality=np.ones(len(costs)),
            bounds=Bounds(0, np.inf),
            constraints=lines,
            options={
                "time_limit": max(seconds, 0.01),
                "mip_rel_gap": 0.0,
                "node_limit": NODES // 100 if second else NODES,
            },
        )
        if found.x is None:
            return None, found.status == 2
        numbers = np.rint(found.x)
        kept = (matrix @ numbers >= self.right).all() and (numbers >= 0).all()
        if not kept or (most is not None and costs @ numbers > most):
            return None, False  # the solver's word is not taken for it
        return numbers.astype(int), found.status == 0

    def filling(self, numbers: np.ndarray) -> Filling:
        """The sheets and rows of a solution, without what is too much.

        Where the numbers are too small, what has no room is left out.
        """
        sheets: list[FilledSheet] = []
        laid: dict[tuple[int, int], list[FilledRow]] = {}
        chosen = [[0] * len(n.divisions) for n in self.needs.strips]
        missing: Counter[int] = Counter()
        for index, need in enumerate(self.needs.strips):
            if len(need.divisions) == 1:
                chosen[index][0] = need.count
        for column, number in zip(self.columns, numbers, strict=True):
            if column.what == "row":
                rows = [
                    FilledRow(column.width, Counter(dict(column.numbers))) for _ in range(number)
                ]
                laid.setdefault((column.where, column.width), []).extend(rows)
            elif column.what == "division":
                chosen[column.where][column.numbers[0][0]] = int(number)
            elif column.what == "missing" and number:
                missing[column.where] = int(number)
        for need, counts in zip(self.needs.strips, chosen, strict=True):
            for division in reversed(range(len(counts))):
                counts[division] -= min(counts[division], max(sum(counts) - need.count, 0))
            counts[0] += need.count - sum(counts)
        self._drop_surplus(laid, chosen, missing)
        for column, number in zip(self.columns, numbers, strict=True):
            for _ in range(number if column.what == "sheet" else 0):
                sheet = FilledSheet(column.where)
                for width, rows_of_it in column.numbers:
                    there = laid.get((column.where, width), [])
                    sheet.rows += [there.pop() for _ in range(min(rows_of_it, len(there)))]
                if sheet.rows:
                    sheets.append(sheet)
        return Filling(sheets, [tuple(c) for c in chosen], missing)

    def _drop_surplus(
        self,
        laid: dict[tuple[int, int], list[FilledRow]],
        chosen: list[list[int]],
        missing: Counter[int],
    ) -> None:
        """Take out what the rows hold beyond the need; whole rows first."""
        surplus: Counter[int] = Counter()
        for rows in laid.values():
            for row in rows:
                surplus.update(row.kinds)
        surplus.update(missing)
        for need, numbers in zip(self.needs.strips, chosen, strict=True):
            for division, number in zip(need.divisions, numbers, strict=True):
                for kind in division:
                    surplus[kind] -= number
        for key in laid:
            kept = []
            for row in laid[key]:
                if all(surplus[k] >= n for k, n in row.kinds.items()):
                    surplus.subtract(row.kinds)
                else:
                    kept.append(row)
            laid[key] = kept
        for rows in laid.values():
            for row in rows:
                for kind in list(row.kinds):
                    extra = min(max(surplus[kind], 0), row.kinds[kind])
                    row.kinds[kind] -= extra
                    surplus[kind] -= extra
