"""Whether a cut list can be cut: looked at piece by piece, whatever way it was found."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import Counter
from collections.abc import Iterator, Sequence

from foamcalc.ask.cutlist.items import Item, Panel, Stock, Strip, thousandths
from foamcalc.ask.cutlist.layout import CutSheet, Placed


class WrongLayout(RuntimeError):
    """A cut list that cannot be cut: a fault of foamcalc, not of what it was given."""


def layout_faults(
    sheets: Sequence[CutSheet],
    items: Sequence[Item],
    stocks: Sequence[Stock],
    *,
    kerf: float,
    trim: float,
) -> tuple[str, ...]:
    """Everything that is wrong with a cut list; empty if it can be cut.

    Parameters
    ----------
    sheets : sequence of CutSheet
        Where every piece lies.
    items : sequence of Strip or Panel
        What was to be cut.
    stocks : sequence of Stock
        What there is to cut it from.
    kerf, trim : float
        Lost between two pieces, and all round the sheet [mm], from 0.

    Returns
    -------
    tuple of str
        One line each: a piece outside its sheet, too near to another, of the wrong size, on the
        wrong foam, against the grain, missing or there twice; a row that its pieces leave; more
        sheets than there are.

    Notes
    -----
    Lengths are compared in whole thousandths of a millimetre. Nesting panels may lie in each other
    where they are exactly their pitch apart.
    """
    by_name = {item.name: item for item in items}
    found = []
    for sheet in sheets:
        for piece in sheet.placed:
            item = by_name.get(piece.name)
            if item is None:
                found.append(f"{_where(sheet)}: {piece.name!r} was not asked for")
            else:
                found += _piece_faults(sheet, piece, item, thousandths(trim))
        found += _row_faults(sheet)
        found += _near(sheet, by_name, thousandths(kerf))
    found += _count_faults(sheets, items)
    used = Counter(sheet.stock for sheet in sheets)
    for stock, number in used.items():
        there = sum(s.at_hand or 0 for s in stocks if s == stock)
        unlimited = any(s.at_hand is None for s in stocks if s == stock)
        if not unlimited and number > there:
            found.append(f"{stock}: {number} sheets used, {there} there")
    return tuple(found)


def prove(
    sheets: Sequence[CutSheet],
    items: Sequence[Item],
    stocks: Sequence[Stock],
    *,
    kerf: float,
    trim: float,
) -> None:
    """Raise WrongLayout, with all its faults, if a cut list cannot be cut; see `layout_faults`."""
    faults = layout_faults(sheets, items, stocks, kerf=kerf, trim=trim)
    if faults:
        raise WrongLayout("; ".join(faults))


def _where(sheet: CutSheet) -> str:
    return f"sheet {sheet.number} of {sheet.stock}"


def _said(piece: Placed) -> str:
    part = f" part {piece.part} of {piece.parts}" if piece.parts > 1 else ""
    return f"{piece.name!r} number {piece.number}{part}"


def _box(piece: Placed) -> tuple[int, int, int, int]:
    """From and to along the sheet, from and to across it."""
    x, y = thousandths(piece.x), thousandths(piece.y)
    return x, x + thousandths(piece.length), y, y + thousandths(piece.width)


def _piece_faults(sheet: CutSheet, piece: Placed, item: Item, trim: int) -> Iterator[str]:
    where = f"{_where(sheet)}: {_said(piece)}"
    if item.material != sheet.stock.material:
        yield f"{where} wants {item.foam} {item.thickness:g} mm"
    x, x_end, y, y_end = _box(piece)
    inside_x = trim <= x < x_end <= thousandths(sheet.stock.length) - trim
    if not (inside_x and trim <= y < y_end <= thousandths(sheet.stock.width) - trim):
        yield f"{where} is not inside the sheet"
    against = "along" if piece.turned else "across"
    if sheet.stock.grain == "along" and item.grain == against:
        yield f"{where} lies against the grain"
    length, width = (y_end - y, x_end - x) if piece.turned else (x_end - x, y_end - y)
    if width != thousandths(item.width):
        yield f"{where} is {width / 1000:g} mm wide, not {item.width:g} mm"
    whole = thousandths(item.cut_length)
    if piece.parts == 1 and length != whole:
        yield f"{where} is {length / 1000:g} mm long, not {whole / 1000:g} mm"


def _row_faults(sheet: CutSheet) -> Iterator[str]:
    """Pieces that leave the row they are to be cut from."""
    for row in sheet.rows:
        start = thousandths(row.start)
        end = start + thousandths(row.width)
        for piece in row.placed:
            x, x_end, y, y_end = _box(piece)
            low, high = (x, x_end) if row.across else (y, y_end)
            if not start <= low < high <= end:
                yield f"{_where(sheet)}: {_said(piece)} leaves its row"


def _near(sheet: CutSheet, by_name: dict[str, Item], kerf: int) -> Iterator[str]:
    """Pieces that overlap or are nearer than the kerf, or two outlines than the gap to keep."""

    def gap(piece: Placed) -> int | None:
        item = by_name.get(piece.name)
        return thousandths(item.gap) if isinstance(item, Panel) else None

    pieces = sorted(sheet.placed, key=lambda p: thousandths(p.x))
    boxes = [_box(piece) for piece in pieces]
    gaps = [gap(piece) for piece in pieces]
    widest = max([kerf, *(g for g in gaps if g is not None)])
    starts = [box[0] for box in boxes]
    for i, (_, x_end, y, y_end) in enumerate(boxes):
        beyond = bisect_left(starts, x_end + widest)
        for j in range(i + 1, max(beyond, bisect_right(starts, starts[i]))):
            one, two = gaps[i], gaps[j]
            keep = kerf if one is None or two is None else max(kerf, one, two)
            other = boxes[j]
            beside = other[0] >= x_end + keep
            above = other[2] >= y_end + keep or y >= other[3] + keep
            if not (beside or above or _nested(pieces[i], pieces[j], by_name)):
                yield (
                    f"{_where(sheet)}: {_said(pieces[i])} and {_said(pieces[j])} are nearer than "
                    f"{keep / 1000:g} mm"
                )


def _nested(one: Placed, other: Placed, by_name: dict[str, Item]) -> bool:
    """Whether two panels lie in each other as their nest says."""
    item = by_name.get(one.name)
    if one.name != other.name or one.turned != other.turned or not isinstance(item, Panel):
        return False
    if item.nest is None:
        return False
    along = thousandths(other.y) - thousandths(one.y)
    aside = thousandths(other.x) - thousandths(one.x)
    if one.turned:
        along, aside = aside, along
    return aside == 0 and along != 0 and along % thousandths(item.nest) == 0


def _count_faults(sheets: Sequence[CutSheet], items: Sequence[Item]) -> Iterator[str]:
    """Pieces that are missing or there twice, and joined strips that come out wrong."""
    there: dict[tuple[str, int], list[Placed]] = {}
    for sheet in sheets:
        for piece in sheet.placed:
            there.setdefault((piece.name, piece.number), []).append(piece)
    for item in items:
        for number in range(1, item.count + 1):
            pieces = sorted(there.pop((item.name, number), []), key=lambda p: p.part)
            parts = pieces[0].parts if pieces else 1
            if [p.part for p in pieces] != list(range(1, parts + 1)):
                yield f"{item.name!r} number {number} is not there once: {len(pieces)} pieces"
            elif parts > 1:
                yield from _join_faults(item, number, pieces)
    for item_name, number in there:
        yield f"{item_name!r} number {number} is one too many"


def _join_faults(item: Item, number: int, pieces: Sequence[Placed]) -> Iterator[str]:
    where = f"{item.name!r} number {number}"
    if not isinstance(item, Strip) or not item.joins:
        yield f"{where} may not be joined"
        return
    lengths = [thousandths(p.width if p.turned else p.length) for p in pieces]
    lap, whole = thousandths(item.lap), thousandths(item.cut_length)
    over = sum(lengths) - (len(lengths) - 1) * lap - whole
    if not 0 <= over < len(lengths):
        yield f"{where}: its parts come to {(whole + over) / 1000:g} mm, not {whole / 1000:g} mm"
    clear = thousandths(item.join_from_end)
    if min(lengths[0], lengths[-1]) - lap < clear:
        yield f"{where}: a join is nearer to its end than {item.join_from_end:g} mm"
    if any(length < 2 * lap for length in lengths[1:-1]):
        yield f"{where}: its laps meet"
