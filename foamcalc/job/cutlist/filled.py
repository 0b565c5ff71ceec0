"""Sheets filled with rows of strips, by number: what the search hands on to the layout."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field

from foamcalc.job.cutlist.needs import Kind, Need, Needs, Place, Way, ways_of


@dataclass
class FilledRow:
    """One row: strips of one width, end to end."""

    width: int
    kinds: Counter[int] = field(default_factory=Counter)


@dataclass
class FilledSheet:
    """One sheet, or one rectangle left on a sheet, slit into rows."""

    way: int
    rows: list[FilledRow] = field(default_factory=list)


@dataclass
class Filling:
    """All strips of one material in their sheets."""

    sheets: list[FilledSheet]
    chosen: list[tuple[int, ...]]
    """For each need, how many of its strips are made by each of its divisions."""
    missing: Counter[int]
    """Kinds that found no room."""


def cost_of(filling: Filling, ways: Sequence[Way], places: Sequence[Place]) -> int:
    """What the sheets of a filling cost."""
    return sum(places[ways[sheet.way].place].cost for sheet in filling.sheets)


def area_of(filling: Filling, ways: Sequence[Way], places: Sequence[Place]) -> int:
    """How much sheet a filling begins; what panels leave is begun already."""
    begun = [places[ways[sheet.way].place] for sheet in filling.sheets]
    return sum(place.area for place in begun if place.sheet is None)


@dataclass
class _Begun:
    """A sheet being filled, with the width that is left."""

    filled: FilledSheet
    left: int


def first_fit(
    needs: Needs,
    places: Sequence[Place],
    order: Sequence[int],
    kerf: int,
    start: Filling | None = None,
) -> Filling:
    """Every strip into the first row that has room for it, the widest and longest first.

    Parameters
    ----------
    needs : Needs
        The strips.
    places : sequence of Place
        Where they may lie.
    order : sequence of int
        In which order new places are begun.
    kerf : int
        Lost between two parts [thousandths of a mm].
    start : Filling, optional
        Sheets that are begun, and how strips are divided. Left out: none, and each strip is made by
        the first of its divisions.
    """
    ways = ways_of(places)
    start = start or Filling([], [first_division(n) for n in needs.strips], Counter())
    begun = [_Begun(FilledSheet(s.way), ways[s.way].width + kerf) for s in start.sheets]
    open_rows: dict[int, list[_Open]] = {}
    for sheet, filled in zip(begun, start.sheets, strict=True):
        for row in filled.rows:
            kept = _slit(sheet, row.width, ways, kerf, open_rows)
            for index, number in row.kinds.items():
                kept.put(index, number, needs.kinds[index].length + kerf)
    used = Counter(ways[s.way].place for s in start.sheets)
    missing: Counter[int] = Counter()
    numbers = _left(needs, start)
    for index in sorted(numbers, key=lambda k: (-needs.kinds[k].width, -needs.kinds[k].length, k)):
        kind, left = needs.kinds[index], numbers[index]
        step = kind.length + kerf
        for open_row in open_rows.get(kind.width, []):
            if open_row.way.takes(kind):
                left -= open_row.put(index, left, step)
        while left > 0:
            room = _room_for(kind, begun, ways, kerf) or _begin(
                kind, begun, ways, places, order, used, kerf
            )
            if room is None:
                missing[index] += left
                break
            left -= _slit(room, kind.width, ways, kerf, open_rows).put(index, left, step)
    return Filling([b.filled for b in begun], start.chosen, missing)


def first_division(need: Need) -> tuple[int, ...]:
    """All strips of a need made by the first of its divisions."""
    return (need.count, *[0] * (len(need.divisions) - 1))


@dataclass
class _Open:
    """A row being filled, with the length that is left."""

    way: Way
    row: FilledRow
    left: int

    def put(self, kind: int, number: int, step: int) -> int:
        """Put in as many of a kind as there is room for, and say how many."""
        fits = min(number, self.left // step)
        if fits:
            self.row.kinds[kind] += fits
            self.left -= fits * step
        return fits


def _slit(
    sheet: _Begun, width: int, ways: Sequence[Way], kerf: int, rows: dict[int, list[_Open]]
) -> _Open:
    """Slit another row off a sheet."""
    way = ways[sheet.filled.way]
    new = _Open(way, FilledRow(width), way.length + kerf)
    sheet.filled.rows.append(new.row)
    sheet.left -= width + kerf
    rows.setdefault(width, []).append(new)
    return new


def _left(needs: Needs, start: Filling) -> Counter[int]:
    """How many of each kind are needed beyond what lies in rows."""
    numbers: Counter[int] = Counter()
    for need, chosen in zip(needs.strips, start.chosen, strict=True):
        for division, count in zip(need.divisions, chosen, strict=True):
            for kind in division:
                numbers[kind] += count
    for sheet in start.sheets:
        for row in sheet.rows:
            numbers.subtract(row.kinds)
    return +numbers


def _room_for(kind: Kind, begun: Sequence[_Begun], ways: Sequence[Way], kerf: int) -> _Begun | None:
    """The first sheet that has room for another row of this width."""
    for sheet in begun:
        if sheet.left >= kind.width + kerf and ways[sheet.filled.way].takes(kind):
            return sheet
    return None


def _begin(
    kind: Kind,
    begun: list[_Begun],
    ways: Sequence[Way],
    places: Sequence[Place],
    order: Sequence[int],
    used: Counter[int],
    kerf: int,
) -> _Begun | None:
    """Begin a new sheet, its rows the way in which most of this kind fit."""
    for place in order:
        most = places[place].most
        if most is not None and used[place] >= most:
            continue
        fitting = [
            (-_number(kind, way, kerf), index)
            for index, way in enumerate(ways)
            if way.place == place and way.takes(kind)
        ]
        if fitting:
            way = min(fitting)[1]
            used[place] += 1
            begun.append(_Begun(FilledSheet(way), ways[way].width + kerf))
            return begun[-1]
    return None


def _number(kind: Kind, way: Way, kerf: int) -> int:
    """How many of a kind fill a place laid this way."""
    along = (way.length + kerf) // (kind.length + kerf)
    return along * ((way.width + kerf) // (kind.width + kerf))


def orders(places: Sequence[Place]) -> list[list[int]]:
    """Orders of beginning places: free ones first, then each priced one in turn before the rest."""
    free = sorted(
        (p for p in range(len(places)) if not places[p].cost), key=lambda p: (places[p].area, p)
    )
    priced = sorted(
        (p for p in range(len(places)) if places[p].cost),
        key=lambda p: (places[p].cost / places[p].area, places[p].cost, p),
    )
    found = [[*free, first, *[p for p in priced if p != first]] for first in priced]
    return found or [free]
