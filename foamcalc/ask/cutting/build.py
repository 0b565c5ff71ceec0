"""The cut list of a build: everything that is to be cut, on the sheets that there are."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from time import monotonic

from foamcalc.ask.cutlist import CutList, Item, Material, Progress, Stock, cut_list
from foamcalc.ask.cutlist.result import thick
from foamcalc.ask.cutting.pieces import to_cut
from foamcalc.ask.faults import SheetFault
from foamcalc.ask.lines import in_words
from foamcalc.ask.plan import Plan
from foamcalc.ask.sheet import Sheet
from foamcalc.ask.sheet.stock_keys import LONGEST_SEARCH
from foamcalc.guards import positive, single
from foamcalc.units import System

_LEAST_SECONDS = 0.01
"""Time that a foam gets for its search even if the others have used up all [s]."""


@dataclass(frozen=True, kw_only=True)
class Needed:
    """Pieces of one foam and thickness for which the job sheet names no stock."""

    foam: str
    thickness: float
    """In mm."""
    items: tuple[Item, ...]
    other: tuple[float, ...]
    """Thicknesses of the same foam for which there is stock [mm]."""

    @property
    def count(self) -> int:
        """How many pieces."""
        return sum(item.count for item in self.items)

    @property
    def area(self) -> float:
        """Of all pieces, or of the rectangles round them [mm²]."""
        return sum(item.count * item.cut_length * item.width for item in self.items)

    @property
    def longest(self) -> Item:
        """The longest piece."""
        return max(self.items, key=lambda item: max(item.cut_length, item.width))


@dataclass(frozen=True, kw_only=True)
class BuildCut:
    """The cut list of a build."""

    plan: Plan
    items: tuple[Item, ...]
    """All that is to be cut."""
    found: CutList | None
    """Where it lies on the sheets; None if there is nothing to cut, or no stock for any of it."""
    needed: tuple[Needed, ...]
    """What there is no stock for."""
    said: tuple[str, ...]
    """What the list rests on, and what is not in it."""


def cut_build(
    plan: Plan, *, seconds: float | None = None, progress: Progress | None = None
) -> BuildCut:
    """Lay out everything of a build that is to be cut on the sheets that its job sheet names.

    Parameters
    ----------
    plan : Plan
        From `foamcalc.ask.plan.plan`.
    seconds : float, optional
        Time for the search [s], above 0; as the job sheet says where it is left out.
    progress : callable, optional
        Called with how many foams are done, of how many, and what comes next.

    Returns
    -------
    BuildCut

    Raises
    ------
    SheetFault
        With every piece that fits no sheet and every foam that has too few, one line each.
    ValueError
        If `seconds` is out of its range.

    Notes
    -----
    Each foam and thickness is cut on its own by `foamcalc.ask.cutlist.cut_list`. One without stock
    is no fault: what it needs is told.
    """
    sheet, wanted = plan.sheet, to_cut(plan)
    rules, stocked = sheet.cutting, {stock.material for stock in sheet.stocks}
    end = monotonic() + (rules.seconds if seconds is None else checked_seconds(seconds))
    groups: dict[tuple[str, int], list[Item]] = {}
    for item in wanted.items:
        groups.setdefault(item.material, []).append(item)
    materials = _laid_out(
        sheet, {m: items for m, items in sorted(groups.items()) if m in stocked}, end, progress
    )
    found = CutList(
        materials=materials, kerf=rules.kerf, trim=rules.edge_trim, currency=rules.currency
    )
    return BuildCut(
        plan=plan,
        items=wanted.items,
        found=found if materials else None,
        needed=tuple(
            _needed(items, sheet.stocks) for m, items in groups.items() if m not in stocked
        ),
        said=(*wanted.said, *_unused(sheet.stocks, groups, sheet.system)),
    )


def _laid_out(
    sheet: Sheet,
    groups: Mapping[tuple[str, int], Sequence[Item]],
    end: float,
    progress: Progress | None,
) -> tuple[Material, ...]:
    """Each foam and thickness on its sheets; SheetFault with all that fits nowhere."""
    rules = sheet.cutting
    materials: list[Material] = []
    faults: list[str] = []
    for done, (material, items) in enumerate(groups.items()):
        stocks = [stock for stock in sheet.stocks if stock.material == material]
        left = max((end - monotonic()) / (len(groups) - done), _LEAST_SECONDS)
        try:
            found = cut_list(
                stocks,
                items,
                kerf=rules.kerf,
                trim=rules.edge_trim,
                seconds=left,
                progress=_counted(progress, done, len(groups)),
            )
        except ValueError as fault:
            faults += _each_fault(stocks, items, rules.kerf, rules.edge_trim, fault)
        else:
            materials += found.materials
    if faults:
        file = sheet.path.name if sheet.path else "job sheet"
        raise SheetFault(f"{file}, cut list, {fault}" for fault in dict.fromkeys(faults))
    return tuple(materials)


def checked_seconds(seconds: float) -> float:
    """Time for a search [s], if it can be one."""
    found = single(positive(seconds, "seconds", "1"), "seconds")
    if found > LONGEST_SEARCH:
        raise ValueError(f"seconds must be at most {LONGEST_SEARCH:.0f}, got {found:g}")
    return found


def _counted(progress: Progress | None, done: int, total: int) -> Progress | None:
    """Progress of one foam as progress of all."""
    if progress is None:
        return None
    return lambda _done, _total, what: progress(done, total, what)


def _each_fault(
    stocks: Sequence[Stock], items: Sequence[Item], kerf: float, trim: float, fault: ValueError
) -> list[str]:
    """What is wrong with each piece alone, or else with all of them together."""
    found = []
    for item in items:
        try:
            cut_list(stocks, [replace(item, count=1)], kerf=kerf, trim=trim, seconds=1.0)
        except ValueError as alone:
            found.append(str(alone))
    return found or [str(fault)]


def _needed(items: Sequence[Item], stocks: Sequence[Stock]) -> Needed:
    foam, thickness = items[0].foam, items[0].thickness
    other = sorted({stock.thickness for stock in stocks if stock.foam == foam})
    return Needed(foam=foam, thickness=thickness, items=tuple(items), other=tuple(other))


def _unused(
    stocks: Sequence[Stock], wanted: Iterable[tuple[str, int]], system: System
) -> list[str]:
    """Stock that nothing is cut from."""
    known = set(wanted)
    idle = [f"{s.foam} {thick(s.thickness, system)}" for s in stocks if s.material not in known]
    return [f"Nothing is cut from the stock of {in_words(dict.fromkeys(idle))}."] if idle else []
