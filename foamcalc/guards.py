"""Checks that every room makes on the numbers it is given.

A guard takes one argument and the name the caller knows it by. It returns the value as float64, or
it raises an error that says what was wrong and what would be right. Guards never clamp and never
warn. Text with a unit in it is not read here: that is the work of ``foamcalc.units``.
"""

from __future__ import annotations

from collections.abc import Collection
from difflib import get_close_matches
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

__all__ = [
    "finite",
    "fraction",
    "made_of",
    "non_negative",
    "one_of",
    "positive",
    "shown",
    "single",
    "together",
]

FloatArray = NDArray[np.float64]
ChoiceT = TypeVar("ChoiceT", bound=str)
KindT = TypeVar("KindT")

#: What a number in this unit is called in an error.
UNIT_WORDS = {
    "mm": "length",
    "mm2": "area",
    "1/mm": "curvature",
    "rad": "angle",
    "N": "force",
    "N/mm": "force per length",
    "N mm": "moment",
    "MPa": "stress",
    "1": "number",
}


def finite(value: Any, name: str, unit: str = "mm") -> FloatArray:
    """Return the value as float64 if every number in it is finite.

    An array is refused for its first bad entry, and the error gives the place, counted from 0.
    """
    rule = f"must be a finite {_unit_word(unit)}" + ("" if unit == "1" else f" in {unit}")
    numbers = _as_floats(value, name, rule)
    _refuse_where(~np.isfinite(numbers), numbers, name, rule)
    return numbers


def single(value: FloatArray, name: str) -> float:
    """Return a checked value as one float; TypeError if it holds several numbers."""
    if value.ndim:
        raise TypeError(f"{name} must be one number, got an array of shape {value.shape}")
    return float(value)


def positive(value: Any, name: str, unit: str = "mm") -> FloatArray:
    """Return the value as float64 if every number in it is finite and above 0."""
    rule = f"must be a finite {_unit_word(unit)} above 0" + ("" if unit == "1" else f" {unit}")
    numbers = _as_floats(value, name, rule)
    _refuse_where(~(np.isfinite(numbers) & (numbers > 0.0)), numbers, name, rule)
    return numbers


def non_negative(value: Any, name: str, unit: str = "mm") -> FloatArray:
    """Return the value as float64 if every number in it is finite and not below 0.

    As `positive`, otherwise.
    """
    zero = "0" if unit == "1" else f"0 {unit}"
    rule = f"must be a finite {_unit_word(unit)} of {zero} or more"
    numbers = _as_floats(value, name, rule)
    _refuse_where(~(np.isfinite(numbers) & (numbers >= 0.0)), numbers, name, rule)
    return numbers


def fraction(value: Any, name: str) -> FloatArray:
    """Return the value as float64 if every number in it lies from 0 to 1, both included.

    As `positive`, otherwise.
    """
    rule = "must be a number from 0 to 1"
    numbers = _as_floats(value, name, rule)
    _refuse_where(~((numbers >= 0.0) & (numbers <= 1.0)), numbers, name, rule)
    return numbers


def one_of(value: object, name: str, choices: Collection[ChoiceT]) -> ChoiceT:
    """Return the choice that equals the value, or say which choices there are."""
    if isinstance(value, str):
        for choice in choices:
            if choice == value:
                return choice
    rule = "must be one of " + ", ".join(repr(str(choice)) for choice in choices)
    if not isinstance(value, str):
        raise TypeError(f"{name} {rule}, got {shown(value)}")
    by_small_letters = {choice.casefold(): choice for choice in choices}
    near = get_close_matches(value.strip().casefold(), by_small_letters, n=1)
    hint = f"; did you mean {str(by_small_letters[near[0]])!r}?" if near else ""
    raise ValueError(f"{name} {rule}, got {shown(value)}{hint}")


def made_of(value: object, name: str, kind: type[KindT]) -> KindT:
    """Return the value if it is of this kind; TypeError in words if not."""
    if isinstance(value, kind):
        return value
    an = "an" if kind.__name__[0] in "AEIOU" else "a"
    said = f"{shown(value)} ({type(value).__name__})"
    raise TypeError(f"{name} must be {an} {kind.__name__}, got {said}")


def together(**arrays: FloatArray) -> None:
    """Raise a ValueError that names the shapes if these arrays do not broadcast."""
    try:
        np.broadcast_shapes(*(array.shape for array in arrays.values()))
    except ValueError:
        shapes = ", ".join(
            f"{name.replace('_', ' ')} {x.shape}" for name, x in arrays.items() if x.ndim
        )
        raise ValueError(f"arrays of these shapes do not go together: {shapes}") from None


def _unit_word(unit: str) -> str:
    """Return the word for a number in this unit; a unit unknown here is a slip in the code."""
    return UNIT_WORDS[one_of(unit, "unit", UNIT_WORDS)]


def _as_floats(value: Any, name: str, rule: str) -> FloatArray:
    """Copy real numbers into a float64 array and refuse everything else."""
    if hasattr(value, "dimensionality") or hasattr(value, "magnitude"):
        raise TypeError(
            f"{name} {rule}, got {shown(value)}, which carries its own unit; "
            "turn it into a plain number through foamcalc.units first"
        )
    if isinstance(value, np.ma.MaskedArray) and np.ma.is_masked(value):
        place = _place(np.argwhere(np.ma.getmaskarray(value))[0])
        raise ValueError(f"{name} {rule}, got a masked entry{place}")
    if isinstance(value, list | tuple):
        _refuse_hidden(value, name, rule)
    try:
        raw = np.asarray(value)
    except ValueError as error:
        raise ValueError(f"{name} {rule}, got rows of different lengths") from error
    if raw.dtype.kind in "USO" and any(isinstance(item, str | bytes) for item in raw.flat):
        raise TypeError(f"{name} {rule}, got {_text_hint(value)}")
    if raw.dtype.kind not in "iuf" and raw.size > 0:
        raise TypeError(f"{name} {rule}, got {shown(value)} ({type(value).__name__})")
    if raw.size == 0:
        raise ValueError(f"{name} {rule}, got nothing (an empty array)")
    with np.errstate(over="ignore"):  # a number too long for float64 turns into inf, refused next
        return np.array(raw, dtype=np.float64, subok=False)


def _refuse_hidden(items: list[Any] | tuple[Any, ...], name: str, rule: str) -> None:
    """Refuse what numpy would turn into a number without a word: [1.0, True] becomes [1, 1]."""
    for item in items:
        if isinstance(item, list | tuple):
            _refuse_hidden(item, name, rule)
        elif isinstance(item, str | bytes):
            raise TypeError(f"{name} {rule}, got {_text_hint(item)}")
        elif isinstance(item, bool | np.bool_) or getattr(item, "dtype", None) == np.bool_:
            raise TypeError(f"{name} {rule}, got {shown(item)} ({type(item).__name__})")
        elif not isinstance(item, int | float):
            _as_floats(item, name, rule)


def _refuse_where(bad: NDArray[np.bool_], numbers: FloatArray, name: str, rule: str) -> None:
    """Raise for the first number that is marked bad, with its place in the array."""
    if bad.any():
        index = np.argwhere(bad)[0]
        got = float(numbers[tuple(index)])
        raise ValueError(f"{name} {rule}, got {got!r}{_place(index)}")


def _place(index: NDArray[np.intp]) -> str:
    """Return " at index 3" or " at index (0, 3)", or nothing for a single number."""
    where = [int(i) for i in index]
    if not where:
        return ""
    return f" at index {where[0]}" if len(where) == 1 else f" at index {tuple(where)}"


def _text_hint(value: object) -> str:
    """Return the words for text given where a number belongs."""
    return f"the text {shown(value)}; read text through foamcalc.units first"


def shown(value: object) -> str:
    """Return the value as written in code, cut short so that an error stays readable."""
    try:
        text = " ".join(repr(value).split())
    except ValueError:  # more digits than Python writes
        return "a huge number"
    return text if len(text) <= 60 else text[:57] + "..."
