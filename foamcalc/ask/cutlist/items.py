"""What a build needs from the sheet: strips, panels, and the sheets there are."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from foamcalc.ask.faults import LONGEST_NAME, cut_short
from foamcalc.guards import non_negative, one_of, positive, single

Grain = Literal["along", "across", "any"]
"""How a piece lies to the grain of its sheet; any way on a sheet that has none."""
SheetGrain = Literal["along", "none"]
"""The grain of a sheet runs along its length, or it has none."""

MOST_LENGTH = 100_000.0
"""Longest sheet or piece [mm]; a roll is no longer."""
LEAST_LENGTH = 0.1
"""Smallest length, width or thickness [mm]; nothing finer is cut."""
MOST_COUNT = 10_000
"""Most of one piece, and most sheets of one size."""
LEAST_PRICE, MOST_PRICE = 0.001, 1_000_000.0
"""Prices are counted in thousandths."""
JOIN_FROM_END = 50.0
"""Least distance of a join from the ends of its strip [mm]: assumed."""

_GRAINS: tuple[Grain, ...] = ("along", "across", "any")
_SHEET_GRAINS: tuple[SheetGrain, ...] = ("along", "none")


def thousandths(value: float) -> int:
    """A length as whole thousandths of a millimetre, in which all the placing is done."""
    return round(value * 1000)


@dataclass(frozen=True, kw_only=True)
class Stock:
    """Sheets of one size that can be bought or are at hand.

    Parameters
    ----------
    foam : str
        The name the pieces ask for it by.
    thickness : float
        Thickness [mm], as the pieces ask for it, 0.1 to 100 000.
    length, width : float
        Size of the sheet [mm], 0.1 to 100 000; the grain runs along the length.
    price : float, optional
        Price of one sheet in the user's own currency, from 0, counted to a thousandth.
    at_hand : int, optional
        How many there are, 1 to 10 000. Left out: as many as wanted.
    grain : {"none", "along"}
        Whether the sheet has a grain.
    offcut : bool
        Whether it is left from before: it costs nothing, and there is one if nothing else is said.

    Raises
    ------
    ValueError, TypeError
        If one of them is out of its range, or a sheet that costs nothing has no number.

    Examples
    --------
    >>> print(Stock(foam="EVA medium", thickness=10, length=1000, width=500))
    EVA medium 10 mm, 1000 × 500 mm
    """

    foam: str
    thickness: float
    length: float
    width: float
    price: float | None = None
    at_hand: int | None = None
    grain: SheetGrain = "none"
    offcut: bool = False

    def __post_init__(self) -> None:
        a_name(self.foam, "foam of a sheet")
        where = f"sheet of {self.foam!r}"
        for field in ("thickness", "length", "width"):
            _keep_length(self, field, where)
        one_of(self.grain, f"{where}: grain", _SHEET_GRAINS)
        _yes_or_no(self.offcut, f"{where}: offcut")
        self._check_price(where)
        if self.at_hand is None and self.free:
            if not self.offcut:
                raise ValueError(
                    f"{where}: price is 0, so at_hand must say how many there are, got nothing"
                )
            object.__setattr__(self, "at_hand", 1)
        if self.at_hand is not None:
            object.__setattr__(self, "at_hand", whole(self.at_hand, f"{where}: at_hand"))

    def _check_price(self, where: str) -> None:
        if self.price is None:
            return
        price = single(non_negative(self.price, f"{where}: price", "1"), f"{where}: price")
        if price > MOST_PRICE or 0 < price < LEAST_PRICE:
            raise ValueError(
                f"{where}: price must be 0 or from {LEAST_PRICE:g} to {MOST_PRICE:.0f}, "
                f"got {price:g}"
            )
        if self.offcut and price > 0:
            raise ValueError(
                f"{where}: an offcut costs nothing, got a price of {price:g}; leave out the price "
                "or the offcut"
            )
        object.__setattr__(self, "price", price)

    @property
    def free(self) -> bool:
        """Whether it costs nothing."""
        return self.offcut or self.price == 0

    @property
    def material(self) -> tuple[str, int]:
        """Foam and thickness [thousandths of a mm]: what pieces and sheets must agree in."""
        return self.foam, thousandths(self.thickness)

    def __str__(self) -> str:
        size = f"{self.length:g} × {self.width:g} mm"
        return f"{self.foam} {self.thickness:g} mm, {size}{', offcut' if self.offcut else ''}"


@dataclass(frozen=True, kw_only=True)
class _Piece:
    """What strips and panels have in common."""

    name: str
    foam: str
    thickness: float
    length: float
    width: float
    count: int = 1
    grain: Grain = "any"

    def _check(self, kind: str, others: Sequence[str]) -> str:
        """Check what both have, and other lengths from 0; what stands before a fault."""
        a_name(self.name, f"name of a {kind}")
        where = f"{kind} {self.name!r}"
        a_name(self.foam, f"{where}: foam")
        for field in ("thickness", "length", "width"):
            _keep_length(self, field, where)
        for field in others:
            _keep_length(self, field, where, least=0.0)
        object.__setattr__(self, "count", whole(self.count, f"{where}: count"))
        return where

    @property
    def cut_length(self) -> float:
        """Length to cut [mm]."""
        return self.length

    @property
    def material(self) -> tuple[str, int]:
        """Foam and thickness [thousandths of a mm]."""
        return self.foam, thousandths(self.thickness)


@dataclass(frozen=True, kw_only=True)
class Strip(_Piece):
    """Strips of one kind: cut straight, side by side.

    Parameters
    ----------
    name : str
        What it is called on the list; no two pieces have one name.
    foam : str
        Foam it is cut from.
    thickness, length, width : float
        Size [mm], 0.1 to 100 000.
    count : int
        How many, 1 to 10 000.
    joins : bool
        Whether a strip that is longer than the sheet may be joined from parts.
    lap : float
        How far the parts lie over each other at a join [mm], from 0 (butt).
    join_from_end : float
        How far from the ends of the strip its joins must be [mm], from 0; 50 is assumed.
    spare : float
        Length to trim after gluing [mm], from 0, added to the length.
    grain : {"any", "along", "across"}
        How its length lies to the grain of the sheet.

    Raises
    ------
    ValueError, TypeError
        If one of them is out of its range.
    """

    joins: bool = False
    lap: float = 0.0
    join_from_end: float = JOIN_FROM_END
    spare: float = 0.0

    def __post_init__(self) -> None:
        where = self._check("strip", ("lap", "join_from_end", "spare"))
        _yes_or_no(self.joins, f"{where}: joins")
        one_of(self.grain, f"{where}: grain", _GRAINS)

    @property
    def cut_length(self) -> float:
        """Length to cut, with what is spare [mm]."""
        return self.length + self.spare


@dataclass(frozen=True, kw_only=True)
class Panel(_Piece):
    """Pieces of one outline, as the rectangle round each.

    Parameters
    ----------
    name : str
        What it is called on the list; no two pieces have one name.
    foam : str
        Foam it is cut from.
    thickness, length, width : float
        Thickness, and size of the rectangle round it [mm], 0.1 to 100 000.
    count : int
        How many, 1 to 10 000.
    nest : float, optional
        Pitch of pieces that lie in each other, such as ring sectors [mm], above 0 and below the
        width: each one lies this far across from the one before, its gap included.
    gap : float
        Gap to keep all round [mm], from 0, where it is wider than the kerf.
    grain : {"any", "along", "across"}
        How its length lies to the grain of the sheet; "any" lets it be turned.

    Raises
    ------
    ValueError, TypeError
        If one of them is out of its range.
    """

    nest: float | None = None
    gap: float = 0.0

    def __post_init__(self) -> None:
        where = self._check("panel", ("gap",))
        one_of(self.grain, f"{where}: grain", _GRAINS)
        if self.nest is not None:
            _keep_length(self, "nest", where)
            if self.nest >= self.width:
                raise ValueError(
                    f"{where}: nest must be below its width of {self.width:g} mm, got "
                    f"{self.nest:g} mm; leave nest out where pieces do not lie in each other"
                )


Item = Strip | Panel


def a_name(value: object, what: str) -> str:
    """A name as it was given, if it can stand in a table."""
    if not isinstance(value, str):
        raise TypeError(f"{what} must be a text, got {_said(value)}")
    if not value.strip() or len(value) > LONGEST_NAME or not value.isprintable():
        raise ValueError(
            f"{what} must be a text of 1 to {LONGEST_NAME} signs on one line, got {_said(value)}"
        )
    return value


def whole(value: object, what: str) -> int:
    """A whole number from 1 to the most allowed."""
    rule = f"{what} must be a whole number from 1 to {MOST_COUNT}, got {_said(value)}"
    if isinstance(value, bool) or not isinstance(value, int | np.integer | float | np.floating):
        raise TypeError(rule)
    if not 1 <= value <= MOST_COUNT or value != int(value):
        raise ValueError(rule)
    return int(value)


def a_length(value: object, what: str, *, least: float = LEAST_LENGTH) -> float:
    """A length within the range that sheets and pieces have [mm]."""
    guard = positive if least > 0 else non_negative
    found = single(guard(value, what), what)
    if not least <= found <= MOST_LENGTH:
        raise ValueError(f"{what} must be from {least:g} to {MOST_LENGTH:g} mm, got {found!r}")
    return found


def _keep_length(item: object, field: str, where: str, *, least: float = LEAST_LENGTH) -> None:
    value = a_length(getattr(item, field), f"{where}: {field}", least=least)
    object.__setattr__(item, field, value)


def _yes_or_no(value: object, what: str) -> None:
    if not isinstance(value, bool | np.bool_):
        raise TypeError(f"{what} must be true or false, got {_said(value)}")


def _said(value: object) -> str:
    return cut_short(repr(value))
