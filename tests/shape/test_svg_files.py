"""Drawings from strangers: what is refused before any shape is read, with line and remedy.

Nothing here compares numbers; what is expected are the words of the error, exact by hand.
"""

from __future__ import annotations

import gzip
import os

import pytest

from foamcalc.shape.pattern import read_pattern
from foamcalc.shape.svg import tree
from foamcalc.shape.svg.tree import read_drawing

SVG = '<svg xmlns="http://www.w3.org/2000/svg" width="10mm" height="10mm" viewBox="0 0 10 10">'
BOMB = (
    '<!DOCTYPE svg [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">'
    '<!ENTITY c "&b;&b;&b;&b;&b;&b;&b;&b;"><!ENTITY d "&c;&c;&c;&c;&c;&c;&c;&c;">]>\n'
)


def written(tmp_path, data, name="shell.svg"):
    file = tmp_path / name
    file.write_bytes(data if isinstance(data, bytes) else data.encode())
    return file


def refused(file):
    """The error of a file."""
    with pytest.raises(ValueError) as caught:
        read_drawing(file)
    return str(caught.value)


# What a file may be ------------------------------------------------------------------------------


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "iso-8859-1", "cp1252"])
def test_names_are_read_in_whatever_encoding_the_file_says(tmp_path, encoding):
    said = encoding.removesuffix("-sig")
    text = f'<?xml version="1.0" encoding="{said}"?>\n{SVG}<g id="Fuß"/></svg>'
    root = read_drawing(written(tmp_path, text.encode(encoding))).root
    assert root.children[0].id == "Fuß"
    assert (root.line, root.get("width")) == (2, "10mm")


def test_the_bytes_stay_as_they_were(tmp_path):
    data = f"{SVG}\r\n<!-- a note --><g/></svg>\n\n".encode()
    assert read_drawing(written(tmp_path, data)).source == data


def test_a_doctype_without_declarations_does_no_harm(tmp_path):
    head = '<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://nowhere.invalid/svg11.dtd">'
    assert read_drawing(written(tmp_path, f"{head}{SVG}</svg>")).root.tag == "svg"


def test_what_an_editor_adds_is_left_out(tmp_path):
    body = (
        '<svg xmlns="http://www.w3.org/2000/svg" xmlns:e="http://editor.invalid/" e:width="1">'
        '<e:layer id="hers"><path id="lost"/></e:layer><g e:label="A" id="mine"><title>The\n cup'
        "</title></g></svg>"
    )
    root = read_drawing(written(tmp_path, body)).root
    assert [child.id for child in root.children] == ["mine"]
    assert root.attributes == {}
    assert root.children[0].attributes == {"id": "mine"}
    assert root.children[0].title == "The cup"


def test_a_style_sheet_outside_the_file_is_noted(tmp_path):
    found = read_drawing(written(tmp_path, f'<?xml-stylesheet href="a.css"?>{SVG}</svg>'))
    assert found.notes == ("line 1: a style sheet outside the file was not read",)


def test_ten_thousand_groups_in_each_other_are_read(tmp_path):
    deep = 10_000
    root = read_drawing(written(tmp_path, f"{SVG}{'<g>' * deep}{'</g>' * deep}</svg>")).root
    count = 0
    while root.children:
        root, count = root.children[0], count + 1
    assert count == deep


# What it may not be ------------------------------------------------------------------------------


def test_no_such_file_a_folder_an_empty_file(tmp_path):
    assert refused(tmp_path / "no.svg") == "no.svg is not there: check the name and the folder"
    assert refused(tmp_path).endswith("is a folder: name the drawing in it")
    for nothing in (b"", b"\xef\xbb\xbf", b" \n"):
        assert refused(written(tmp_path, nothing)) == "shell.svg is empty: save the drawing again"


def test_a_pipe_is_not_waited_for(tmp_path):
    os.mkfifo(tmp_path / "pipe.svg")
    assert refused(tmp_path / "pipe.svg") == "pipe.svg is not a plain file: name an SVG drawing"


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (
            gzip.compress(f"{SVG}</svg>".encode(), mtime=0),
            "compressed drawing (svgz): save it as plain",
        ),
        (b"%PDF-1.7 ...", "a PDF: save the drawing as plain SVG"),
        (b"\x89PNG\r\n", "a picture (PNG): a picture has no edges to measure"),
        (b"PK\x03\x04", "a zip archive"),
        (b"<html><body/></html>", "line 1: this is 'html', not an svg drawing"),
        (b'<svg xmlns="http://other.invalid/"/>', "line 1: this is 'svg', not an svg drawing"),
        (b"0\nSECTION\n2\n", "line 1, column 1: this is not well-formed XML (syntax error)"),
        (f"{SVG}\n<g>\n</svg>".encode(), "line 3, column 3: this is not well-formed XML (mism"),
        (f"{SVG}\n<use xlink:href='#a'/></svg>".encode(), "line 2, column 1: this is not well"),
        (f'{SVG}<g id="a" id="b"/></svg>'.encode(), "(duplicate attribute)"),
        (b'<?xml version="1.0" encoding="utf-7x"?><svg/>', "unknown encoding"),
        (f"{SVG}</svg>".encode("utf-32"), "not well-formed XML"),
        (f"{SVG}<g id='\x01'/></svg>".encode(), "not well-formed XML"),
        (f"{SVG}&nbsp;</svg>".encode(), "undefined entity"),
    ],
)
def test_other_files_are_told_apart(tmp_path, data, words):
    assert words in refused(written(tmp_path, data))


def test_entities_are_refused_before_they_grow(tmp_path):
    for text in (
        f"{BOMB}{SVG}&d;</svg>",
        f'\n<!DOCTYPE svg [<!ENTITY x SYSTEM "file:///etc/hostname">]>{SVG}&x;</svg>',
        f'<!DOCTYPE svg [<!ENTITY % p SYSTEM "http://nowhere.invalid/">%p;]>{SVG}</svg>',
        f'<!DOCTYPE svg [<!ATTLIST path d CDATA "M0 0h9">]>{SVG}<path id="a"/></svg>',
    ):
        words = refused(written(tmp_path, text))
        assert words.startswith(f"shell.svg, line {text.index('<!') + 1}: the DOCTYPE declares")
        assert words.endswith(
            "save the drawing again as plain SVG, or take the DOCTYPE out in a text editor"
        )


def test_an_entity_that_only_the_outer_dtd_could_know_is_refused(tmp_path):
    head = '<!DOCTYPE svg SYSTEM "http://nowhere.invalid/x.dtd">'
    words = refused(written(tmp_path, f"{head}\n{SVG}<title>a&nbsp;b</title></svg>"))
    assert words == (
        "shell.svg, line 2: the entity 'nbsp' is not known: save the drawing again as plain SVG"
    )


def test_a_huge_file_is_refused_unread(tmp_path):
    file = tmp_path / "huge.svg"
    with file.open("wb") as opened:
        opened.truncate(50_000_000)
    assert refused(file).startswith("huge.svg is over 20 MB: take pictures and text out")
    assert tree.BIGGEST == 20_000_000


def test_too_many_elements_and_too_much_text_are_refused(tmp_path, monkeypatch):
    assert tree.MOST_ELEMENTS == 100_000
    monkeypatch.setattr(tree, "MOST_ELEMENTS", 50)
    assert "has over 50 elements" in refused(written(tmp_path, f"{SVG}{'<g/>' * 50}</svg>"))
    assert read_drawing(written(tmp_path, f"{SVG}{'<g/>' * 49}</svg>")).root.tag == "svg"
    words = refused(written(tmp_path, f"{SVG}<style>{' ' * 1_000_001}</style></svg>"))
    assert words == "shell.svg, line 1, style: has over 1 MB of text: take it out"


def test_names_in_errors_are_short_and_on_one_line():
    assert tree.shown("a\nb\x1b[31m\u202e") == "'a b [31m '"
    assert tree.shown("x" * 500) == f"'{'x' * 79}…'"


@pytest.mark.parametrize(
    ("body", "fault"),
    [
        ("<?xml-stylesheet href='a'?>" * 110_000, "over 100000 elements"),
        (
            "<g id='a'>" + "<title>x</title>" * 300 + "</g>" + "<use href='#a'/>" * 400,
            "counted each",
        ),
    ],
)
def test_what_multiplies_without_drawing_is_counted(tmp_path, body, fault):
    """Regression: instructions and the titles of used groups were not counted."""
    file = tmp_path / "a.svg"
    file.write_text(f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9">{body}</svg>')
    with pytest.raises(ValueError, match=fault):
        read_pattern(file)


def test_a_style_sheet_outside_the_file_is_noted_once(tmp_path):
    file = tmp_path / "a.svg"
    head = "<?xml-stylesheet href='a.css'?>" * 3
    size = 'width="9mm" height="9mm" viewBox="0 0 9 9"'
    file.write_text(f'{head}<svg xmlns="http://www.w3.org/2000/svg" {size}/>')
    notes = read_pattern(file).notes
    assert sum("style sheet" in note for note in notes) == 1
