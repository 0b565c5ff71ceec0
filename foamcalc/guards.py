"""Checks that every room makes on the numbers it is given.

A guard takes one argument and the name the caller knows it by. It returns the value as float64, or
it raises an error that says what was wrong and what would be right. Guards never clamp and never
warn. Text with a unit in it is not read here: that is the work of ``foamcalc.units``.
"""

from __future__ import annotations

from collections.abc import Callable, Collection
from difflib import get_close_matches
from functools import cache
from types import NoneType
from typing import Annotated, Any, Literal, TypeVar, get_args, get_origin, get_type_hints

import numpy as np
from numpy.typing import NDArray

__all__ = [
    "Above0",
    "Checked",
    "Finite",
    "From0",
    "Share",
    "finite",
    "fraction",
    "made_of",
    "non_negative",
    "number",
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
    return _kept(value, name, rule, np.isfinite)


def positive(value: Any, name: str, unit: str = "mm") -> FloatArray:
    """Return the value as float64 if every number in it is finite and above 0."""
    rule = f"must be a finite {_unit_word(unit)} above 0" + ("" if unit == "1" else f" {unit}")
    return _kept(value, name, rule, lambda x: np.isfinite(x) & (x > 0.0))


def non_negative(value: Any, name: str, unit: str = "mm") -> FloatArray:
    """Return the value as float64 if every number in it is finite and not below 0."""
    zero = "0" if unit == "1" else f"0 {unit}"
    rule = f"must be a finite {_unit_word(unit)} of {zero} or more"
    return _kept(value, name, rule, lambda x: np.isfinite(x) & (x >= 0.0))


def fraction(value: Any, name: str) -> FloatArray:
    """Return the value as float64 if every number in it lies from 0 to 1, both included."""
    rule = "must be a number from 0 to 1"
    return _kept(value, name, rule, lambda x: (x >= 0.0) & (x <= 1.0))


def single(value: FloatArray, name: str) -> float:
    """Return a checked value as one float; TypeError if it holds several numbers."""
    if value.ndim:
        raise TypeError(f"{name} must be one number, got an array of shape {value.shape}")
    return float(value)


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


def _kept(
    value: Any, name: str, rule: str, keeps: Callable[[FloatArray], NDArray[np.bool_]]
) -> FloatArray:
    """Return the value as float64, or raise for its first number that does not keep the rule."""
    numbers = _as_floats(value, name, rule)
    bad = ~keeps(numbers)
    if bad.any():
        index = np.argwhere(bad)[0]
        raise ValueError(f"{name} {rule}, got {float(numbers[tuple(index)])!r}{_place(index)}")
    return numbers


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


# Records whose fields carry their guards --------------------------------------------------------


def number(
    guard: Callable[..., FloatArray], unit: str | None = None, *, called: str | None = None
) -> Callable[[object, str], float]:
    """Make the check of one number for the type of a field of `Checked`.

    `called` is what errors call it, where that is not the name of the field.
    """

    def check(value: object, name: str) -> float:
        said = called or name
        return single(guard(value, said) if unit is None else guard(value, said, unit), said)

    return check


Above0 = Annotated[float, number(positive)]
"""A length above 0 [mm]."""
From0 = Annotated[float, number(non_negative)]
"""A length of 0 or more [mm]."""
Finite = Annotated[float, number(finite)]
"""A finite length [mm]."""
Share = Annotated[float, number(fraction)]
"""A number from 0 to 1."""


class Checked:
    """A dataclass whose fields are checked by what their types say, before anything else is done.

    A field is checked by the function in its ``Annotated`` type (value and name in, checked value
    out), by the words of its ``Literal``, or by its class; any other type is left alone, and so is
    None where the type allows it. What must hold between fields goes into ``_made``, which is
    called last and may set fields with ``_put``::

        @dataclass(frozen=True, kw_only=True)
        class Piece(Checked):
            law: Annotated[Law, a_law]
            thickness: Above0
            spread: Annotated[float, number(non_negative, "1", called="modulus spread")] = 0.0
            face: Literal["inside", "outside"] = "inside"
            over: Piece | None = None

            def _made(self) -> None:
                if self.over and self.thickness > self.over.thickness: ...

    The types are read while the program runs: import them outside ``TYPE_CHECKING``.
    """

    def __post_init__(self) -> None:
        record: Any = type(self)
        for name, check, may_lack in _checks_of(record):
            value = getattr(self, name)
            if value is not None or not may_lack:
                self._put(name, check(value, name.replace("_", " ")))
        self._made()

    def _made(self) -> None:
        """What else must hold, or is worked out once, when every field is sound."""

    def _put(self, name: str, value: object) -> None:
        """Set a field of the frozen record while it is being made."""
        object.__setattr__(self, name, value)


@cache
def _checks_of(record: Any) -> list[tuple[str, Callable[[Any, str], object], bool]]:
    """Name and check of each field that has one, and whether it may be None."""
    found = []
    hints = get_type_hints(record, include_extras=True)
    for name in getattr(record, "__dataclass_fields__", ()):
        kinds = get_args(hints[name]) if NoneType in get_args(hints[name]) else (hints[name],)
        check = _check_of(next(kind for kind in kinds if kind is not NoneType))
        if check is not None:
            found.append((name, check, len(kinds) > 1))
    return found


def _check_of(kind: Any) -> Callable[[Any, str], object] | None:
    """What a field's type asks of its value."""
    if get_origin(kind) is Annotated:
        check: Callable[[Any, str], object] = get_args(kind)[1]
        return check
    if get_origin(kind) is Literal:
        return lambda value, name: one_of(value, name, get_args(kind))
    plain = isinstance(kind, type) and kind.__module__ not in ("builtins", "typing")
    if plain and not getattr(kind, "_is_protocol", False):
        return lambda value, name: made_of(value, name, kind)
    return None
