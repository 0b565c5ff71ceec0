"""Panels in sheets, by a plain rule: shelf by shelf, each as high as its first piece."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace

from foamcalc.job.cutlist.filled import orders
from foamcalc.job.cutlist.items import Grain, Item, Panel, thousandths
from foamcalc.job.cutlist.needs import Place

MOST_RESTS = 40
"""Rectangles left between panels that strips are cut from, the largest; smaller ones are waste."""


@dataclass(frozen=True, kw_only=True)
class Block:
    """One panel, or several that lie in each other."""

    item: int
    first: int
    """Number of the first of its panels, from 1."""
    count: int
    length: int
    width: int
    """Of all of them together."""
    grain: Grain

    def sides(self, *, grained: bool, across: bool) -> list[tuple[int, int, bool]]:
        """Along the shelf, across it, and whether its length lies across the sheet."""
        found = []
        for turned in (False, True):
            wrong = "along" if turned else "across"
            if not (grained and self.grain == wrong):
                lies_along = turned == across
                sides = (self.length, self.width) if lies_along else (self.width, self.length)
                found.append((*sides, turned))
        return found


@dataclass
class Shelf:
    """A row of blocks."""

    start: int
    height: int
    left: int
    """Where the next one would begin, from the beginning of the shelf."""
    blocks: list[tuple[Block, int, bool]] = field(default_factory=list)
    """Each with where it begins, and whether it is turned."""


@dataclass
class Shelved:
    """A sheet with its shelves along it, or across."""

    place: int
    across: bool
    length: int
    """How long a shelf is."""
    width: int
    """How high all shelves together can be."""
    grained: bool
    shelves: list[Shelf] = field(default_factory=list)

    @property
    def top(self) -> int:
        """Where the last shelf ends."""
        return self.shelves[-1].start + self.shelves[-1].height if self.shelves else 0


def blocks_of(items: Sequence[Item], places: Sequence[Place]) -> list[Block]:
    """The panels among the items, the nesting ones in as few blocks as fit their sheets.

    Raises
    ------
    ValueError
        If a panel fits no sheet.
    """
    found = []
    for number, panel in enumerate(items):
        if isinstance(panel, Panel):
            done = 0
            for size in _block_sizes(panel, places):
                found.append(_block(panel, number, done + 1, size))
                done += size
    return found


def _block(panel: Panel, item: int, first: int, count: int) -> Block:
    more = (count - 1) * thousandths(panel.nest or 0.0)
    return Block(
        item=item,
        first=first,
        count=count,
        length=thousandths(panel.length),
        width=thousandths(panel.width) + more,
        grain=panel.grain,
    )


def _block_sizes(panel: Panel, places: Sequence[Place]) -> list[int]:
    """How many panels lie in each block: blocks as few and as equal as they can be."""
    if not any(_fits(_block(panel, 0, 1, 1), place) for place in places):
        raise ValueError(_too_large(panel, places))
    if panel.nest is None:
        return [1] * panel.count
    wanted = [place for place in places if place.most is None] or list(places)
    fitting = [p for p in wanted if _fits(_block(panel, 0, 1, 1), p)] or list(places)
    most = max(n for n in range(1, panel.count + 1) if _any(_block(panel, 0, 1, n), fitting))
    number = -(-panel.count // most)
    return [panel.count // number + (i < panel.count % number) for i in range(number)]


def _any(block: Block, places: Sequence[Place]) -> bool:
    return any(_fits(block, place) for place in places)


def _fits(block: Block, place: Place) -> bool:
    sides = block.sides(grained=place.grained, across=False)
    return any(x <= place.length and y <= place.width for x, y, _ in sides)


def _too_large(panel: Panel, places: Sequence[Place]) -> str:
    block = _block(panel, 0, 1, 1)
    over = [
        (max(x - place.length, 0) + max(y - place.width, 0), x - place.length, y - place.width, p)
        for p, place in enumerate(places)
        for x, y, _ in block.sides(grained=place.grained, across=False)
    ]
    _, long, wide, nearest = min(over)
    place = places[nearest]
    by = [f"{d / 1000:g} mm too {what}" for d, what in ((long, "long"), (wide, "wide")) if d > 0]
    turned = "" if panel.grain == "any" else f" with its length {panel.grain} the grain"
    return (
        f"panel {panel.name!r}: {panel.length:g} × {panel.width:g} mm fits no sheet{turned}; for "
        f"the {place.length / 1000:g} × {place.width / 1000:g} mm inside the nearest it is "
        f"{' and '.join(by)}; divide it, or name a larger sheet"
    )


_SORTED: tuple[Callable[[Block], tuple[int, ...]], ...] = (
    lambda b: (-min(b.length, b.width), -max(b.length, b.width), b.item, b.first),
    lambda b: (-max(b.length, b.width), -min(b.length, b.width), b.item, b.first),
    lambda b: (-b.length * b.width, -max(b.length, b.width), b.item, b.first),
)
"""Orders in which blocks are put down."""


def shelve(
    blocks: Sequence[Block], places: Sequence[Place], space: int, late: Callable[[], bool]
) -> tuple[list[Shelved], Counter[int], bool]:
    """Blocks into sheets at the least cost that the rule finds.

    Parameters
    ----------
    blocks : sequence of Block
        From `blocks_of`.
    places : sequence of Place
        Sheets to begin.
    space : int
        To keep between two blocks [thousandths of a mm].
    late : callable
        Whether no more should be tried; one try is always made.

    Returns
    -------
    list of Shelved
    Counter
        Items that found no room, and how many blocks of each.
    bool
        Whether all was tried before it was late.

    Notes
    -----
    Best fit, decreasing: each block goes to the shelf it fills best in height, else onto a new
    shelf, else into a new sheet. Three orders of the blocks, shelves along and across, pieces laid
    flat and upright are tried, and for each priced sheet what comes of beginning it first. It is a
    rule of thumb: nothing is proven of it.
    """
    best: tuple[tuple[int, int, int], list[Shelved], Counter[int]] | None = None
    for order in orders(places):
        for key in _SORTED:
            for across, flat in ((False, True), (False, False), (True, True), (True, False)):
                if best is not None and late():
                    return best[1], best[2], False
                ordered = sorted(blocks, key=key)
                sheets, missing = _shelve(ordered, places, order, space, across, flat)
                cost = sum(places[s.place].cost for s in sheets)
                area = sum(places[s.place].area for s in sheets)
                rank = (missing.total(), cost, area)
                if best is None or rank < best[0]:
                    best = rank, sheets, missing
    assert best is not None  # there is always one order
    return best[1], best[2], True


def _shelve(
    blocks: Sequence[Block],
    places: Sequence[Place],
    order: Sequence[int],
    space: int,
    across: bool,
    flat: bool,
) -> tuple[list[Shelved], Counter[int]]:
    sheets: list[Shelved] = []
    used: Counter[int] = Counter()
    missing: Counter[int] = Counter()
    least = min((min(b.length, b.width) for b in blocks), default=0)
    room = _Room([], [], least, space)
    for block in blocks:
        if room.on_a_shelf(block) or room.on_a_new_shelf(block, flat):
            continue
        for number in order:
            most = places[number].most
            if _fits(block, places[number]) and (most is None or used[number] < most):
                used[number] += 1
                sheets.append(_empty(number, places[number], across))
                room.sheets.append(sheets[-1])
                room.on_a_new_shelf(block, flat)
                break
        else:
            missing[block.item] += 1
    return sheets, missing


def _empty(number: int, place: Place, across: bool) -> Shelved:
    length, width = (place.width, place.length) if across else (place.length, place.width)
    return Shelved(number, across, length, width, place.grained)


@dataclass
class _Room:
    """Shelves and sheets that may still have room for the smallest of the blocks."""

    shelves: list[tuple[Shelved, Shelf]]
    sheets: list[Shelved]
    least: int
    space: int

    def on_a_shelf(self, block: Block) -> bool:
        """Put it on the shelf where the least height is lost."""
        found: tuple[int, int, int, bool] | None = None
        for number, (sheet, shelf) in enumerate(self.shelves):
            for x, y, turned in block.sides(grained=sheet.grained, across=sheet.across):
                lost = shelf.height - y
                fits = lost >= 0 and shelf.left + x <= sheet.length
                if fits and (found is None or lost < found[0]):
                    found = lost, number, x, turned
        if found is None:
            return False
        _, number, x, turned = found
        sheet, shelf = self.shelves[number]
        shelf.blocks.append((block, shelf.left, turned))
        shelf.left += x + self.space
        if sheet.length - shelf.left < self.least:
            del self.shelves[number]
        return True

    def on_a_new_shelf(self, block: Block, flat: bool) -> bool:
        """Put it on a new shelf of the first sheet that has the height left."""
        for number, sheet in enumerate(self.sheets):
            start = sheet.top + self.space if sheet.shelves else 0
            sides = block.sides(grained=sheet.grained, across=sheet.across)
            fitting = [s for s in sides if s[0] <= sheet.length and start + s[1] <= sheet.width]
            if fitting:
                x, y, turned = min(fitting, key=lambda s: s[1] if flat else -s[1])
                shelf = Shelf(start, y, x + self.space, [(block, 0, turned)])
                sheet.shelves.append(shelf)
                if sheet.length - shelf.left >= self.least:
                    self.shelves.append((sheet, shelf))
                if sheet.width - sheet.top - self.space < self.least:
                    del self.sheets[number]
                return True
        return False


def rests_of(sheets: Sequence[Shelved], places: Sequence[Place], space: int) -> list[Place]:
    """What the panels leave of their sheets: the end of each shelf, and beyond the last."""
    found = []
    for number, sheet in enumerate(sheets):
        ends = [(s.start, s.height, s.left) for s in sheet.shelves]
        ends.append((sheet.top + space, sheet.width - sheet.top - space, 0))
        for start, height, left in ends:
            if height > 0 and sheet.length > left:
                found.append(_rest(number, sheet, places[sheet.place], start, height, left))
    largest = sorted(range(len(found)), key=lambda i: (-found[i].area, i))[:MOST_RESTS]
    return [found[i] for i in sorted(largest)]


def _rest(number: int, sheet: Shelved, place: Place, start: int, height: int, left: int) -> Place:
    x, y, length, width = left, start, sheet.length - left, height
    if sheet.across:
        x, y, length, width = y, x, width, length
    return replace(
        place,
        sheet=number,
        x=place.x + x,
        y=place.y + y,
        length=length,
        width=width,
        cost=0,
        most=1,
    )
