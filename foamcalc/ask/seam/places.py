"""Places of marks along an edge, as they are read off a tape: one text, many readings."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence

from foamcalc.ask.filled import NUMBER
from foamcalc.units import Reading, format_length, is_inch, read_length

MOST_PLACES = 200
"""Places on one edge; more is no seam that somebody marked."""
_MOST_SIGNS = 20 * MOST_PLACES
LONGEST = 100_000.0
"""Longest edge [mm]; more is a slip of units."""
_EXAMPLE = "'0 48 100 160' or '0, 1 7/8, 4 in'"

_DIGIT_COMMA = re.compile(r"[0-9],[0-9]")
_UNITS = r"(?:mm|cm|m|in|ins|inch|inches|[\"″”]|'')"
_UNIT = re.compile(rf"(?<=[0-9.\s¼-⅞])({_UNITS})\.?$", re.IGNORECASE)
_PLAIN = re.compile(rf"({NUMBER}\s*{_UNITS}?)(?:\s+|$)", re.ASCII | re.IGNORECASE)
_FRACTION = re.compile(r"(?:[0-9]+[\s-]+)?[0-9]+\s*/\s*[0-9]+", re.ASCII)
_WITH_UNIT = re.compile(
    rf"(?:{_FRACTION.pattern}|{NUMBER})\s*(?:in|ins|inch|inches|[\"″”])(?![A-Za-z])",
    re.ASCII | re.IGNORECASE,
)
_FEET = re.compile(r"['′’]|\b(?:ft|foot|feet)\b", re.IGNORECASE)
_VULGAR = re.compile("[¼½¾⅐-⅞↉]")


def read_places(text: str, *, name: str) -> tuple[Reading, ...]:
    """Read places along an edge from one text."""
    text = " ".join(text.split())
    if len(text) > _MOST_SIGNS:
        raise ValueError(f"{name}: has {len(text)} signs, at most {_MOST_SIGNS}; write fewer marks")
    pieces = _pieces(text, f"{name}: {text[:60]!r}")
    if len(pieces) > MOST_PLACES:
        raise ValueError(f"{name}: has {len(pieces)} places, at most {MOST_PLACES}")
    return tuple(
        read_length(piece, name=f"{name}, place {number}")
        for number, piece in enumerate(_with_units(pieces, name), 1)
    )


def _pieces(text: str, said: str) -> list[str]:
    """The places, each by itself."""
    if not text:
        raise ValueError(f"{said} has no places: write both ends and the marks, {_EXAMPLE}")
    if "," in text:
        _refuse_decimal_comma(text, said)
        pieces = [piece.strip() for piece in text.split(",")]
        if not all(pieces):
            raise ValueError(f"{said} has a comma with no place beside it: write {_EXAMPLE}")
        return pieces
    if _FEET.search(text):
        raise ValueError(f"{said} has feet in it: write commas between the places, {_EXAMPLE}")
    if "/" in text or "\u2044" in text or _VULGAR.search(text):
        return list(_fractions(text, said))
    whole = re.fullmatch(rf"(?:{_PLAIN.pattern})+", text, _PLAIN.flags)
    return _PLAIN.findall(text) if whole else text.split()


def _refuse_decimal_comma(text: str, said: str) -> None:
    """A comma between two digits is a decimal comma unless all places stand so."""
    found = _DIGIT_COMMA.search(text)
    if found is None:
        return
    parts = text.split(",")
    tight = len(parts) > 2 and all(re.fullmatch(r"[0-9.]+", p) for p in parts)
    if not tight:
        raise ValueError(
            f"{said} has a comma between two digits, '{found[0]}': write a decimal point, "
            f"'{found[0].replace(',', '.')}', or a blank after the comma between two places"
        )


def _fractions(text: str, said: str) -> Iterator[str]:
    """Places with fractions and no commas: each has its unit, only a first 0 goes without."""
    rest = text
    if zero := re.match(r"0+(?:\.0*)?\s+(?=[0-9.])", rest):
        yield "0"
        rest = rest[zero.end() :]
    while rest:
        found = _WITH_UNIT.match(rest)
        if found is None:
            raise ValueError(
                f"{said} can be read in two ways: write commas between the places, {_EXAMPLE}"
            )
        yield found[0]
        rest = rest[found.end() :].lstrip()


def _with_units(pieces: Sequence[str], name: str) -> list[str]:
    """The unit of the last place at all of them, where no other has one; 0 needs none."""
    *others, last = pieces
    unit = _UNIT.search(last)
    if unit is None or _FEET.search(last) or not all(_unitless(p) for p in others):
        bare = [p for p in pieces if _unitless(p) and not _zero(p)]
        if bare and len(bare) < sum(not _zero(p) for p in pieces):
            raise ValueError(
                f"{name}: {bare[0]!r} has no unit while others have: write the unit at each "
                "place, or once at the end"
            )
        return list(pieces)
    return [*(f"{piece} {unit[1]}" for piece in others), last]


def _unitless(piece: str) -> bool:
    return _UNIT.search(piece) is None and not _FEET.search(piece)


def _zero(piece: str) -> bool:
    return re.fullmatch(r"[+-]?0+(?:\.0*)?", piece) is not None


def checked_places(readings: Sequence[Reading], *, name: str) -> tuple[float, ...]:
    """Places that begin with 0 and go on to the other end [mm]."""
    places = [reading.value for reading in readings]
    if max(map(abs, places)) > LONGEST:
        raise ValueError(
            f"{name}: {max(places, key=abs):g} mm is longer than 100 m; is its unit right?"
        )
    if places[0] != 0:
        raise ValueError(_no_zero(readings, name))
    if len(places) < 2:
        raise ValueError(f"{name}: has one place only: write both ends and the marks, {_EXAMPLE}")
    return tuple(places)


def place_texts(lists: Mapping[str, Sequence[Reading]]) -> dict[str, str]:
    """The texts of several places, by their names; a 0 has no unit to say."""
    return {name: reading.text for name, reading in _numbered(lists) if reading.value}


def loose_places(lists: Mapping[str, Sequence[Reading]]) -> tuple[str, ...]:
    """What must be said of places with a tolerance, which is not used."""
    return tuple(
        f"{name}: ± {reading.tolerance:.4g} mm read, not used yet"
        for name, reading in _numbered(lists)
        if reading.tolerance
    )


def _numbered(lists: Mapping[str, Sequence[Reading]]) -> Iterator[tuple[str, Reading]]:
    for name, places in lists.items():
        for number, reading in enumerate(places, 1):
            yield f"{name}, place {number}", reading


def _no_zero(readings: Sequence[Reading], name: str) -> str:
    """What to write where the first place is not 0."""
    inches = is_inch(readings[0].text)

    def listed(lengths: Sequence[float]) -> str:
        if not inches:
            return " ".join(f"{mm:.6g}" for mm in lengths)
        said = [format_length(mm, system="in", resolution=1 / 64) for mm in lengths]
        return f"{', '.join(text.removesuffix(' in') for text in said)} in"

    first = readings[0].value
    begins = listed([first]) if inches else f"{first:g} mm"
    told = f"{name}: begins at {begins}, but the first place is the end where the tape begins: "
    if first < 0:
        return f"{told}write 0 there"
    if readings[-1].value == 0:
        walked = listed([first - r.value for r in readings])
        return f"{told}write {walked!r}, the same places walked from the other end"
    told += f"write {listed([0.0, *(r.value for r in readings)])!r}"
    if len(readings) > 1:
        shifted = listed([r.value - first for r in readings])
        told += f"; or, if the tape itself began at {begins}, {shifted!r}"
    return told
