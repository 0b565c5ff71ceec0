"""What was likely meant by a line of a job sheet that is no TOML."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Sequence

_CURLY = "“”„‟«»\u2018\u2019\u201a\u201b\u2032\u2033"
_STRING = re.compile(r"\"(?:[^\"\\]|\\.)*\"|'[^']*'")
_HEAD = re.compile(r"\s*(\[\[?)([^\[\]]*)(\]{0,2})")
_ASSIGNED = re.compile(r"\s*([^=]*?)\s*=\s*(.*)")
_PLAIN = re.compile(r"[+-]?(0|[1-9]\d{0,99})(\.\d+)?([eE][+-]?\d+)?", re.ASCII)
_UNIT = re.compile(r"[+-]?\d[\d./ -]*\s*(?:[A-Za-z%°\"']|$)")


def hint(lines: Sequence[str], number: int) -> str:
    """What is likely wrong in a line, and how to write it."""
    line = lines[number - 1]
    for look in _LOOKS:
        if text := look(line):
            return text
    if text := _twice(lines, number):
        return text
    if text := _open_above(lines, number):
        return text
    return 'write key = value, with text in straight quotes: name = "first scute"'


def _code(line: str) -> str:
    """A line without its strings and its comment."""
    return _STRING.sub(lambda found: "_" * len(found[0]), line).partition("#")[0]


def _signs(line: str) -> str:
    code = _code(line)
    curly = next((c for c in code if c in _CURLY), "")
    if curly:
        return f"{curly} is a curly quote: write straight ones, \" or '"
    odd = next((c for c in code if c != "\t" and not c.isprintable()), "")
    if odd or "\u00a0" in code:
        return "there is a sign that cannot be seen: type the line again"
    return ""


def _backslash(line: str) -> str:
    for string in _STRING.findall(line):
        if string.startswith('"') and re.search(r"\\(?![btnfr\"\\]|u[\da-fA-F]{4})", string):
            return "a backslash in double quotes changes the letter after it: write / for folders"
    return ""


def _inch_sign(line: str) -> str:
    if re.search(r"=\s*\"[^\"]*\d\"\"", line):
        return 'the inch sign ends the text: write in, as in "3 1/2 in"'
    return ""


def _open_quote(line: str) -> str:
    left = _code(line)
    if left.count('"') % 2 or left.count("'") % 2:
        return "a quote is missing, or one stands inside the text"
    return ""


def _head(line: str) -> str:
    found = _HEAD.match(_code(line))
    if found is None or "=" in found[2]:
        return ""
    opening, name, closing = found.groups()
    if len(opening) != len(closing):
        return "the brackets do not match: [shell.back] has one on each side, [[overlay]] two"
    if re.search(r"[^\w.\s-]", name) or re.search(r"[^\s.]\s+[^\s.]", name.strip()):
        return 'a name with blanks or signs needs quotes: [shell."left shin"]'
    if not name.strip() or re.search(r"\.\s*\.|\.\s*$|^\s*\.", name):
        return "a table needs its kind and a name: [shell.back]"
    return ""


def _assignment(line: str) -> str:
    code = _code(line)
    found = _ASSIGNED.match(code)
    if found is None:
        if re.match(r"\s*[\w-]+\s*:", code):
            return "write = instead of the colon"
        return "= is missing between key and value" if re.match(r"\s*[\w-]+\s+\S", code) else ""
    key, value = found[1], found[2].strip()
    if not key:
        return "there is no key before ="
    if not re.fullmatch(r"[A-Za-z0-9_-]+(\s*\.\s*[A-Za-z0-9_-]+)*", key) and "_" not in key:
        return "a key is one word: blanks become _, as in most_stretch"
    return _value(value)


def _value(value: str) -> str:
    if not value:
        return "there is no value after ="
    if re.match(r"[+-]?\d+,\d+", value) or re.match(r"\[.*\d,\d", value):
        return "a number has a decimal point: 12.5, not 12,5"
    if re.fullmatch(r"(?i)true|false|yes|no|on|off", value):
        return "write true or false, in small letters, without quotes"
    if re.match(r"[+-]?\.\d", value) or re.match(r"[+-]?\d+\.(?!\d)", value):
        return "a number has digits on both sides of the point: 0.5"
    if re.fullmatch(r"[+-]?0\d+", value):
        return "a number does not begin with 0"
    if re.fullmatch(r"[+-]?\d{100,}", value):
        return "a number that long is a slip"
    if value.startswith("{"):
        return "a table in braces must close in its own line"
    if value.count("[") > value.count("]"):
        return "the bracket [ is not closed with ]"
    if _UNIT.match(value) and not _PLAIN.fullmatch(value):
        return 'a number with a unit or a fraction needs quotes: "10 mm", "3/8 in"'
    if re.match(r"[A-Za-z]", value):
        return 'text needs quotes: "back"'
    return ""


_LOOKS: tuple[Callable[[str], str], ...] = (
    _signs,
    _backslash,
    _inch_sign,
    _open_quote,
    _head,
    _assignment,
)


def _twice(lines: Sequence[str], number: int) -> str:
    """Where a table or a key of the same table stands already."""
    line = _code_key(lines[number - 1])
    heads = [i for i, text in enumerate(lines[:number], 1) if text.lstrip().startswith("[")]
    if line.startswith("["):
        name = line.strip("[] ")
        before = [i for i in heads[:-1] if _code_key(lines[i - 1]).strip("[] ") == name]
        if not before:
            word = re.escape(name.partition(".")[0].strip())
            keys = [i for i in range(1, number) if re.match(rf"\s*{word}\s*=", lines[i - 1])]
            return f"{name.partition('.')[0]} is a key in line {keys[0]} already" if keys else ""
        if _code_key(lines[before[0] - 1]) != line:
            return f"it stands in line {before[0]} with other brackets: write both the same way"
        return f"this table stands twice, first in line {before[0]}"
    top = heads[-1] if heads else 0
    before = [i for i in range(top + 1, number) if line and _code_key(lines[i - 1]) == line]
    return f"this key stands twice in one table, first in line {before[0]}" if before else ""


def _code_key(line: str) -> str:
    """The head of a table or the key of a line."""
    bare = line.partition("#")[0].strip()
    return bare if bare.startswith("[") else bare.partition("=")[0].strip()


def _open_above(lines: Sequence[str], number: int) -> str:
    """Whether a bracket is still open from a line above."""
    try:
        tomllib.loads(lines[number - 1])
    except (ValueError, RecursionError):
        return ""
    for i in range(number - 1, 0, -1):
        code = _code(lines[i - 1])
        if code.count("[") > code.count("]"):
            return f"the bracket [ opened in line {i} is not closed with ]"
    return "a quote or a bracket is not closed in a line above"
