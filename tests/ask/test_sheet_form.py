"""The job sheet as a file: what is no sheet at all, faults of form with their line, and fuzz."""

from __future__ import annotations

import re
import sys
import warnings
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from foamcalc.ask.sheet import SheetFault, demo_sheet_path, parse_sheet, read_sheet
from foamcalc.ask.sheet.text import parse

SHORT = "[[overlay]]\nname = 'cover'\nthickness = 5\nneeded = 188\nbase = 10\ncut = 173\n"


def fault_of(text: str) -> str:
    with pytest.raises(SheetFault) as caught:
        parse_sheet(text, ".", "turtle.toml")
    assert len(caught.value.faults) == 1
    return caught.value.faults[0]


def fault_in(path: Path) -> str:
    with pytest.raises(SheetFault) as caught:
        read_sheet(path)
    assert len(caught.value.faults) == 1
    return caught.value.faults[0]


# Files ----------------------------------------------------------------------------------------

PLAIN = "write the sheet in a text editor and save it as plain text (UTF-8)"


@pytest.mark.parametrize(
    ("raw", "fault"),
    [
        (b"", "is empty: begin with a copy of the demo sheet"),
        (b" \n\t\r\n", "is empty: begin with a copy of the demo sheet"),
        (b"\xef\xbb\xbf", "is empty: begin with a copy of the demo sheet"),
        (b"%PDF-1.7 ...", f"is a PDF, not a job sheet: {PLAIN}"),
        (b"\x89PNG\r\n\x1a\n", f"is a picture (PNG), not a job sheet: {PLAIN}"),
        (b"\xff\xd8\xff\xe0", f"is a picture (JPEG), not a job sheet: {PLAIN}"),
        (b"PK\x03\x04word", f"is a zip archive or an office document, not a job sheet: {PLAIN}"),
        (b"{\\rtf1 title}", f"is a rich text document, not a job sheet: {PLAIN}"),
        (SHORT.encode("utf-16"), "is saved as UTF-16: save it again as UTF-8"),
        (SHORT.encode("utf-16-le"), "is saved as UTF-16: save it again as UTF-8"),
        (SHORT.encode("utf-16-be"), "is saved as UTF-16: save it again as UTF-8"),
        (b"title = 'a\x00b'" + 100 * b" ", f"is not a text file: {PLAIN}"),
        (b"# " + "é".encode() * 600_000, "is over 1 MB: that is no job sheet; name another file"),
        (b" " * 1_000_001, "is over 1 MB: that is no job sheet; name another file"),
    ],
)
def test_what_is_no_sheet_is_told_plainly(tmp_path, raw, fault):
    path = tmp_path / "turtle.toml"
    path.write_bytes(raw)
    assert fault_in(path) == f"turtle.toml {fault}"


@pytest.mark.parametrize("key", ["{} = 1", "x = {{{} = 1}}", "[{}]"])
def test_a_key_of_thousands_of_parts_is_refused_before_it_is_read(key):
    """Regression: 50 kB of it filled gigabytes."""
    assert "a key of 64 parts or more" in fault_of(key.format("a" + ".a" * 25_000))


def test_dots_in_a_note_are_no_parts_of_a_key():
    assert parse('title = "' + "." * 300 + '"', "turtle.toml") == {"title": "." * 300}


def test_letters_that_are_not_utf_8(tmp_path):
    path = tmp_path / "turtle.toml"
    path.write_bytes("# one\ntitle = 'Schildkröte'\n".encode("latin-1"))
    assert fault_in(path) == (
        "turtle.toml, line 2: a letter there is not UTF-8: save the sheet again as UTF-8"
    )


def test_a_folder_and_a_missing_file(tmp_path):
    assert fault_in(tmp_path) == f"{tmp_path.name} is a folder: name the sheet in it"
    assert fault_in(tmp_path / "no.toml") == "no.toml is not there: check the name and the folder"
    with pytest.raises(SheetFault, match="is not there"):
        read_sheet("a\0b")


@pytest.mark.skipif(sys.platform == "win32", reason="no such files there")
def test_a_file_that_is_no_plain_file():
    assert fault_in(Path("/dev/null")) == "null is not a plain file: name a sheet, a text file"


@pytest.mark.parametrize("start", ["", "\ufeff"])
@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_marks_and_line_ends_of_other_systems(tmp_path, start, end):
    path = tmp_path / "turtle.toml"
    path.write_bytes((start + SHORT.replace("\n", end)).encode())
    assert read_sheet(path).joints[0].name == "cover"
    assert parse_sheet(start + SHORT.replace("\n", end), tmp_path).joints[0].name == "cover"


def test_a_text_over_the_limit_is_refused_before_it_is_read():
    assert fault_of("#" * 1_000_001).endswith(
        "is over 1 MB: that is no job sheet; name another file"
    )


# Faults of form -------------------------------------------------------------------------------

UNIT = 'a number with a unit or a fraction needs quotes: "10 mm", "3/8 in"'
USUAL = 'write key = value, with text in straight quotes: name = "first scute"'


@pytest.mark.parametrize(
    ("line", "hint"),
    [
        ("name = “scute”", "“ is a curly quote: write straight ones, \" or '"),
        ("name = ”scute”", "” is a curly quote: write straight ones, \" or '"),
        ("name = \u2018scute\u2019", "\u2018 is a curly quote: write straight ones, \" or '"),
        ("name = „scute“", "„ is a curly quote: write straight ones, \" or '"),
        ("cut = 12,5", "a number has a decimal point: 12.5, not 12,5"),
        ('name = "scute', "a quote is missing, or one stands inside the text"),
        ("name = 'scute's'", "a quote is missing, or one stands inside the text"),
        ('name "scute"', "= is missing between key and value"),
        ("cut 160", "= is missing between key and value"),
        ("cut: 160", "write = instead of the colon"),
        ("= 5", "there is no key before ="),
        ("cut =", "there is no value after ="),
        ("most stretch = 5", "a key is one word: blanks become _, as in most_stretch"),
        (
            'points = "C:\\Users\\back.csv"',
            "a backslash in double quotes changes the letter after it: write / for folders",
        ),
        (
            'points = "data\\scan.csv"',
            "a backslash in double quotes changes the letter after it: write / for folders",
        ),
        ('cut = "6 7/8""', 'the inch sign ends the text: write in, as in "3 1/2 in"'),
        ("cut = 6 7/8 in", UNIT),
        ("cut = 3/8", UNIT),
        ("cut = 10 mm", UNIT),
        ("turn = 180°", UNIT),
        ("most_stretch = 5 %", UNIT),
        ("already_cut = True", "write true or false, in small letters, without quotes"),
        ("already_cut = yes", "write true or false, in small letters, without quotes"),
        ("formed = .5", "a number has digits on both sides of the point: 0.5"),
        ("formed = 1.", "a number has digits on both sides of the point: 0.5"),
        ("cut = 0160", "a number does not begin with 0"),
        ("shell = back", 'text needs quotes: "back"'),
        ("strap = {a = 1,", "a table in braces must close in its own line"),
        ("strap = [0, 5", "the bracket [ is not closed with ]"),
        ("cut = " + "9" * 5000, "a number that long is a slip"),
        ("cut\u00a0= 160", "there is a sign that cannot be seen: type the line again"),
        ("cut = 16\u200b0", "there is a sign that cannot be seen: type the line again"),
        (
            "[shell.back",
            "the brackets do not match: [shell.back] has one on each side, [[overlay]] two",
        ),
        (
            "[[overlay]",
            "the brackets do not match: [shell.back] has one on each side, [[overlay]] two",
        ),
        ("[shell.left shin]", 'a name with blanks or signs needs quotes: [shell."left shin"]'),
        ("[shell.]", "a table needs its kind and a name: [shell.back]"),
        ("[]", "a table needs its kind and a name: [shell.back]"),
        ('name = "a" cut = 3', USUAL),
        ("scute", USUAL),
    ],
)
def test_a_fault_of_form_is_told_with_its_line_and_a_hint(line, hint):
    found = fault_of(f"# a comment\ntitle = 'x'\n{line}\n")
    assert found.startswith("turtle.toml, line 3")
    assert found.endswith(f"({hint})")
    shown = found.partition("cannot be read here: ")[2].removesuffix(f" ({hint})")
    assert shown in (line, f"{line[:60]}…", line.replace("\u00a0", " ").replace("\u200b", " "))


@pytest.mark.parametrize(
    ("text", "start", "hint"),
    [
        ("[a]\nx = 1\n[b]\n[a]\n", "line 4", "this table stands twice, first in line 1"),
        (
            "[a]\nx = 1\n[b]\nx = 2\ny = 3\nx = 4\n",
            "line 6",
            "this key stands twice in one table, first in line 4",
        ),
        (
            "[overlay]\nx = 1\n[[overlay]]\n",
            "line 3",
            "it stands in line 1 with other brackets: write both the same way",
        ),
        ("foam = 5\n[foam.a]\n", "line 2", "foam is a key in line 1 already"),
        (
            "strap = [0, 'end'\nwidth = 5\n",
            "line 2",
            "the bracket [ opened in line 1 is not closed with ]",
        ),
        ('x = """abc\ndef\n\n# end\n', "line 2", USUAL),
        ("a = 1\nb = 2\n'''\n", "line 3", "a quote is missing, or one stands inside the text"),
    ],
)
def test_a_fault_that_began_further_up(text, start, hint):
    found = fault_of(text)
    assert found.startswith(f"turtle.toml, {start}")
    assert found.endswith(f"({hint})")


def test_lists_in_lists_without_end():
    assert fault_of("a = " + "[" * 20000) == (
        "turtle.toml has lists inside lists without end: a sheet needs one list at most"
    )


@pytest.mark.parametrize(
    ("message", "where"),
    [
        ("Anything at all (at line 2, column 3)", "line 2, column 3"),
        ("Anything at all (at end of document)", "line 4"),
        ("No place at all", "line 4"),
        ("Far off (at line 99, column 1)", "line 5, column 1"),
    ],
)
def test_only_the_place_is_taken_from_the_reader_of_toml(monkeypatch, message, where):
    """Python's own words differ from version to version."""

    def broken(text: str) -> None:
        raise ValueError(message)

    monkeypatch.setattr("foamcalc.ask.sheet.text.tomllib.loads", broken)
    with pytest.raises(SheetFault) as caught:
        parse("a = 1\nb = 2\n\nc = 3\n# end", "turtle.toml")
    assert caught.value.faults[0].startswith(f"turtle.toml, {where}: ")


# Anything at all ------------------------------------------------------------------------------

FUZZ = settings(
    max_examples=150,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.function_scoped_fixture],
)
MEASURED = "points|noise|outside|across"
PIECES = 'lengths = [60, 470, 60]\nturns = ["-15 deg", "150 deg", "-15 deg"]'
DEMO = re.sub(
    rf"^({MEASURED}) = .*\n(({MEASURED}) = .*\n)*",
    f"{PIECES}\n",
    demo_sheet_path().read_text(encoding="utf-8"),
    flags=re.MULTILINE,
).replace('swatch = "swatch.csv"', 'grade = "EVA firm"')
"""The demo with a curve of a few pieces and a grade, quicker made than from points and strips."""
LINES = DEMO.splitlines()
VALUES = (
    "0 1 -1 0.5 5 1e300 -1e300 1e-300 nan -inf 9223372036854775808 true [] {} [[]] '' 'x' 'end' "
    "'5 %' '-5 %' '1e99 mm' '0 deg' '1e-300 deg' '360 deg' '-360 deg' '3/8 in' '1/0 in' '5 ± 2 mm' "
    "1979-05-27 07:32:00 'back' 'EVA firm' 'back_contour.csv' '../x' 'turtle.toml' [0,'end'] "
    "[1e-9,1e9] ['90deg'] 'inside' 'right' 0.1 100000 1e-9"
).split()


def test_the_sheet_that_is_worn_down_is_sound():
    assert len(parse_sheet(DEMO, demo_sheet_path().parent).joints) == 7


def only_sheet_faults(text: str) -> None:
    with warnings.catch_warnings():
        warnings.simplefilter("error", RuntimeWarning)
        try:
            sheet = parse_sheet(text, demo_sheet_path().parent, "turtle.toml")
        except SheetFault as fault:
            assert fault.faults
            assert all("\n" not in line and line.startswith("turtle.toml") for line in fault.faults)
        else:
            assert sheet.joints or sheet.shells or sheet.seams or sheet.pieces


@FUZZ
@given(raw=st.binary(max_size=300))
def test_random_bytes_are_refused(tmp_path, raw):
    path = tmp_path / "turtle.toml"
    path.write_bytes(raw)
    with pytest.raises(SheetFault):
        read_sheet(path)


@FUZZ
@given(text=st.text(alphabet="[]{}=\"'#.,\n\t -_0123456789abfhlmnorstuvé“\\", max_size=200))
def test_random_text_raises_nothing_but_sheet_faults(text):
    only_sheet_faults(text)


@FUZZ
@given(
    changes=st.lists(
        st.tuples(st.integers(0, len(LINES) - 1), st.sampled_from(VALUES)), min_size=1, max_size=4
    )
)
def test_other_values_raise_nothing_but_sheet_faults(changes):
    lines = list(LINES)
    for number, value in changes:
        key, found, _ = lines[number].partition("=")
        if found:
            lines[number] = f"{key}= {value}"
    only_sheet_faults("\n".join(lines))


@FUZZ
@given(
    start=st.integers(0, len(DEMO)),
    count=st.integers(0, 40),
    put=st.text(alphabet="[]=\"'.,\n 05abé“\\\u200b", max_size=5),
)
def test_holes_and_slips_raise_nothing_but_sheet_faults(start, count, put):
    only_sheet_faults(DEMO[:start] + put + DEMO[start + count :])


@FUZZ
@given(order=st.permutations(range(len(LINES))), keep=st.integers(1, len(LINES)))
def test_lines_in_any_order_raise_nothing_but_sheet_faults(order, keep):
    only_sheet_faults("\n".join(LINES[i] for i in order[:keep]))
