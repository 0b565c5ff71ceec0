"""The bench card: nothing is lost, nothing is divided that belongs together, all can be read."""

from __future__ import annotations

import itertools
import math
import re
import shutil
import subprocess
from dataclasses import replace
from functools import cache

import matplotlib
import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.text import Text

from foamcalc.draw import lettering
from foamcalc.draw.blocks import Column, Rule, Space
from foamcalc.draw.card import bench_card
from foamcalc.draw.card_data import Card, DrawnCover, JointCard, Mark, Section, ShellCard, Strap
from foamcalc.draw.flow import Part, Story, flow
from foamcalc.draw.lettering import elided, printable, width, wrap
from foamcalc.draw.paper import pdf_bytes
from foamcalc.fit.advice import Step
from foamcalc.shape.profile import chain

#: Exact by definition: ISO 216 and 8 1/2 by 11 inches of 25.4 mm.
SIZES = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
EDGE = 12.0
FOOT = 14.0


# A build, invented ------------------------------------------------------------------------------

KNIFE = "Fresh blade, cutting mat, the other hand behind the blade, cut away from you."
GLUE = "Solvent vapour: work with ventilation, away from flames and sparks, with gloves."
STEPS = (
    Step("Cut the overlay 215 mm long (195 mm, and 10 mm at each end to trim).", KNIFE),
    Step("Mark the base's outside at 0 mm, 47 mm, 94 mm, 141 mm, 188 mm; the overlay at 0 mm, "
         "54 mm, 108 mm, 161 mm, 215 mm. Mark meets mark."),
    Step("Dry fit: pin both ends, then the marks. Measure the mouth now."),
    Step("Glue the middle first, then mark by mark. Lay paper between.", GLUE),
    Step("Trim the spare when the glue has set.", KNIFE),
)  # fmt: skip


def arcs(length, turn, count=40):
    return chain([length / count] * count, [turn / count] * count)


PICTURE = Section(
    before=arcs(157, math.pi),
    after=arcs(157, 2.8),
    thickness=10,
    covers=(DrawnCover(first=0, last=40, thickness=5, height=10),),
)


def joint(name="second scute", **changes):
    made = JointCard(
        name=name,
        headline="Cut it 215 mm long",
        foam="EVA medium, 5 mm",
        by_how_much="24 mm short (13.6 % of its length)",
        what_happens="Let go, the mouth goes from 100 mm to 104 mm.",
        reasons=(
            "stretch: no; stretch of the overlay 13.6 % (limit 8 %, common practice)",
            "cut longer: yes; opening of the mouth 4 mm (limit 10 mm, common practice)",
        ),
        steps=STEPS,
        rests_on=("width 100 mm (assumed)", "base formed: it keeps the curve by itself"),
        picture=PICTURE,
    )
    return replace(made, **changes)


SHELL = ShellCard(
    name="back shell",
    foam="EVA medium, 10 mm",
    headline="Mouth 240 → 262 mm",
    facts=(("Mouth before", "240 mm"), ("Strap to close it", "9 N, from end to end")),
    layers=("first scute, 5 mm", "second scute, 5 mm"),
    rests_on=("relaxes 30 % by the next day (your own swatch)",),
    picture=Section(
        before=arcs(400, 2.8),
        after=arcs(400, 2.5),
        next_day=arcs(400, 2.4),
        thickness=10,
        covers=(
            DrawnCover(first=2, last=18, thickness=5, height=10, number=1),
            DrawnCover(first=14, last=18, thickness=5, height=15, number=2),
            DrawnCover(first=18, last=38, thickness=5, height=10, number=2),
        ),
        strap=Strap(first=0, last=40, text="strap 9 N"),
        marks=(Mark(at=20, text="most bending"),),
    ),
)
RING = ShellCard(
    name="left shin tube",
    headline="Girth 300 → 297 mm",
    picture=Section(
        before=arcs(300, 2 * math.pi, 48),
        after=arcs(297, 2 * math.pi, 48),
        thickness=8,
        closed=True,
        marks=(Mark(at=0, text="butt seam"),),
    ),
)
LONG = "left shin tube upper rim trim, second layer over the knee cup"
assert len(LONG) >= 60

CARDS = {
    "a build": Card(
        title="Sea turtle: back shell and shins",
        joints=(joint(), joint("knee cup cover"), joint("rim trim", picture=None, steps=STEPS[:2])),
        shells=(SHELL, RING),
        notes=("Two readings carry ±: only their values are used.",),
    ),
    "twenty joints with long names": Card(
        title="Sea turtle: " + "back shell, shins, knee cups and every rim trim, " * 2,
        joints=tuple(
            joint(f"{i:02d} {LONG if i % 2 else 'W' * 60}", headline=head, picture=None)
            for i, head in enumerate(["Form base and overlay warm on the curve, then glue"] * 20)
        ),
    ),
    "shells only": Card(title="Shells", shells=(SHELL, RING)),
    "inches": Card(
        title="Sea turtle",
        joints=(joint(headline="Cut it 8 7/16 in long", by_how_much="15/16 in short"),),
        shells=(SHELL, RING),
        system="in",
    ),
    "two short ones": Card(
        title="Rims",
        joints=(joint("front rim", steps=STEPS[:1]), joint("back rim", steps=STEPS[2:3])),
    ),
    "odd signs": Card(
        title="100 % $x_1$ & \\frac{1}{2} <b> ☃",
        joints=(joint("日本 tail\n$5 and $6", headline="Cut_it^2 {long} $"),),
    ),
}
PAGES = [(name, paper) for name in CARDS for paper in SIZES]
each_card = pytest.mark.parametrize(("name", "paper"), PAGES)


@pytest.fixture(scope="module")
def made():
    return {key: bench_card(CARDS[key[0]], paper=key[1]) for key in PAGES}


def texts(page):
    """Text artists of a page that stand on the page itself, from the top down."""
    return sorted(page.axes[0].texts, key=lambda t: -t.get_position()[1])


def read(page):
    """What stands on a page, lines joined by a space."""
    return " ".join(t.get_text() for t in texts(page))


def body(page):
    return [t for t in texts(page) if t.get_position()[1] > FOOT]


# What it says ------------------------------------------------------------------------------------


def squeezed(text):
    return re.sub(r"\W+", "", text)


@each_card
def test_every_word_of_the_card_is_on_its_pages(made, name, paper):
    """Exact: each text that goes in comes out, whatever line it stands on."""
    card, found = CARDS[name], squeezed(" ".join(read(page) for page in made[name, paper]))
    wanted = [card.title, *card.notes, "Nothing here is drawn to true size", "safe to wear"]
    for j in card.joints:
        wanted += [j.name, j.foam, j.headline, j.by_how_much, j.what_happens, *j.reasons]
        wanted += [text for step in j.steps for text in step] + list(j.rests_on)
    for s in card.shells:
        wanted += [s.name, s.foam, s.headline, *s.layers, *s.rests_on]
        wanted += [text for fact in s.facts for text in fact]
    for text in wanted:
        assert squeezed(printable(text)) in found, text


@pytest.mark.parametrize("name", ["a build", "odd signs"])
def test_the_words_can_be_taken_out_of_the_pdf(made, name, tmp_path):
    """Independent: pdftotext reads the page without matplotlib."""
    if shutil.which("pdftotext") is None:
        pytest.skip("pdftotext is not installed; the words are read off the figures only")
    (tmp_path / "card.pdf").write_bytes(pdf_bytes(made[name, "A4"]))
    command = ["pdftotext", "-layout", "card.pdf", "-"]
    run = subprocess.run(command, cwd=tmp_path, check=True, capture_output=True)
    pages = run.stdout.decode().split("\f")[:-1]
    assert len(pages) == len(made[name, "A4"])
    for page, figure in zip(pages, made[name, "A4"], strict=True):
        flat = squeezed(page)
        for text in texts(figure):
            assert squeezed(text.get_text()) in flat


@each_card
def test_the_first_page_sends_you_to_the_right_page(made, name, paper):
    card, pages = CARDS[name], made[name, paper]
    starts = []
    for piece in (*card.joints, *card.shells):
        big = [squeezed("".join(t.get_text() for t in body(p) if t.get_fontsize() == 22))
               for p in pages]  # fmt: skip
        (start,) = [i for i, words in enumerate(big, 1) if squeezed(printable(piece.name)) in words]
        starts.append(start)
    front = [t.get_text() for p in pages[: starts[0] - 1] for t in body(p)]
    said = [int(t.removeprefix("page ")) for t in front if re.fullmatch(r"page \d+", t)]
    assert said == starts
    feet = [t.get_text() for p in pages for t in texts(p) if t.get_text().startswith("page ")
            and t.get_position()[1] < FOOT]  # fmt: skip
    assert feet == [f"page {i} of {len(pages)}" for i in range(1, len(pages) + 1)]


def test_the_widest_trouble_stands_first_as_it_was_given(made):
    front = read(made["a build", "A4"][0])
    names = ["second scute", "knee cup cover", "rim trim", "back shell", "left shin tube"]
    page = made["a build", "A4"][0]
    assert [t.get_text() for t in body(page) if t.get_text() in names] == names
    assert "Cut it 215 mm long · 24 mm short" in front


@each_card
def test_there_is_a_box_for_every_joint_and_every_step(made, name, paper):
    card = CARDS[name]
    boxes = [
        p for page in made[name, paper] for p in page.axes[0].patches if p.get_gid() == "tick box"
    ]
    steps = sum(len(piece.steps) for piece in (*card.joints, *card.shells))
    assert len(boxes) == len(card.joints) + steps
    assert all(round(b.get_width(), 6) == round(b.get_height(), 6) == 5.0 for b in boxes)


# A step and its caution --------------------------------------------------------------------------


def rows(page):
    """Lines of a page from the top down: height and words, what stands on one line together."""
    found = {}
    for text in body(page):
        found.setdefault(round(text.get_position()[1], 3), []).append(text)
    return [
        (y, " ".join(t.get_text() for t in sorted(line, key=lambda t: t.get_position()[0])))
        for y, line in sorted(found.items(), reverse=True)
    ]


@each_card
def test_a_caution_stands_in_a_frame_right_under_its_step(made, name, paper):
    cautions = 0
    for page in made[name, paper]:
        lines = rows(page)
        frames = [p for p in page.axes[0].patches if p.get_gid() == "frame"]
        heads = [i for i, (_, words) in enumerate(lines) if words.startswith("Take care:")]
        assert len(heads) == len(frames)
        cautions += len(heads)
        for i in heads:
            (frame,) = [f for f in frames if f.get_y() < lines[i][0] < f.get_y() + f.get_height()]
            inside = [w for y, w in lines if frame.get_y() < y < frame.get_y() + frame.get_height()]
            caution = squeezed(" ".join(inside)).removeprefix("Takecare")
            step = []
            for _, words in lines[:i][::-1]:
                step.append(words)
                if re.match(r"\d+\. ", words):
                    break
            what = squeezed(re.sub(r"^\d+\.", "", " ".join(step[::-1])))
            assert (what, caution) in {(squeezed(s.what), squeezed(s.caution)) for s in STEPS}
    card = CARDS[name]
    assert cautions == sum(bool(s.caution) for j in card.joints for s in j.steps)


@pytest.mark.parametrize("more", range(0, 12, 2))
def test_a_long_order_of_work_goes_on_on_a_further_page_under_its_name(more):
    """Wherever the page ends, a step with its caution begins the next one."""
    first = Step("Cut the overlay. " + "Check its length. " * 4 * more, KNIFE)
    card = Card(title="Sea turtle", joints=(joint(steps=(first, *(STEPS * 4)[1:])),))
    pages = bench_card(card)
    assert len(pages) >= 4
    begins = [rows(page)[:2] for page in pages[2:]]
    for (_, head), (_, words) in begins:
        assert head == "second scute, continued"
        assert re.match(r"\d+\. |Why|• ", words)
    words = " ".join(read(p) for p in pages)
    assert [int(n) for n in re.findall(r"(\d+)\. ", words) if int(n) <= 20][:20] == list(
        range(1, 21)
    )


@pytest.mark.parametrize("paper", SIZES)
def test_a_usual_joint_has_one_page(paper):
    """Regression: five steps, three cautions, two reasons and a picture."""
    assert len(bench_card(Card(title="Sea turtle", joints=(joint(),)), paper=paper)) == 2


def test_two_short_joints_share_a_page():
    short = {"picture": None, "reasons": (), "steps": STEPS[2:3]}
    card = Card(title="Rims", joints=(joint("front rim", **short), joint("back rim", **short)))
    pages = bench_card(card)
    assert len(pages) == 2
    assert "front rim" in read(pages[1]) and "back rim" in read(pages[1])


# It can be read ----------------------------------------------------------------------------------


@cache
def shown(page):
    """All words with the box they fill [mm]."""
    FigureCanvasAgg(page).draw()
    renderer = page.canvas.get_renderer()
    per_mm = page.dpi / 25.4
    found = []
    for text in (t for ax in page.axes for t in ax.texts if t.get_text()):
        box = Text.get_window_extent(text, renderer)
        found.append((text, np.array([box.x0, box.y0, box.x1, box.y1]) / per_mm))
    return found


@each_card
def test_no_words_run_over_the_edge_or_over_other_words(made, name, paper):
    wide, tall = SIZES[paper]
    for page in made[name, paper]:
        found = shown(page)
        for text, (x0, y0, x1, y1) in found:
            assert x0 >= EDGE and x1 <= wide - EDGE + 0.5, text.get_text()
            assert y0 >= 8 and y1 <= tall - EDGE, text.get_text()
        for (one, a), (other, b) in itertools.combinations(found, 2):
            across, up = min(a[2], b[2]) - max(a[0], b[0]), min(a[3], b[3]) - max(a[1], b[1])
            # boxes leave room for letters that hang down; half a millimetre of it may be shared
            assert across <= 0 or up <= 0.5, f"{one.get_text()!r} over {other.get_text()!r}"


def test_a_foam_stands_beside_its_name_only_if_it_fits():
    """Names of every length, so that some just fit and some just do not."""
    names = ["n" * k for k in range(6, 40, 2)]
    short = {"picture": None, "steps": (), "reasons": (), "rests_on": ()}
    for page in bench_card(Card(title="x", joints=tuple(joint(n, **short) for n in names)))[1:]:
        for text, (_, _, right, _) in shown(page):
            assert right <= SIZES["A4"][0] - EDGE, text.get_text()


@each_card
def test_pictures_frames_and_boxes_keep_clear_of_words(made, name, paper):
    for page in made[name, paper]:
        on_page = [(t, box) for t, box in shown(page) if t.axes is page.axes[0]]
        solid = [p for p in page.axes[0].patches if p.get_gid() == "tick box"]
        blocks = [np.ravel([p.get_xy(), np.add(p.get_xy(), (p.get_width(), p.get_height()))])
                  for p in solid]  # fmt: skip
        scale = np.tile(SIZES[paper], 2)
        blocks += [np.array(ax.get_position().extents) * scale for ax in page.axes[1:]]
        for (text, a), b in itertools.product(on_page, blocks):
            across, up = min(a[2], b[2]) - max(a[0], b[0]), min(a[3], b[3]) - max(a[1], b[1])
            assert across <= 0 or up <= 0.5, text.get_text()


@each_card
def test_it_can_be_read_at_arms_length(made, name, paper):
    """Exact: 13 pt, what to do 28 pt, and nothing small but the foot and what it rests on."""
    card = CARDS[name]
    rests = squeezed("".join("".join(p.rests_on) for p in (*card.joints, *card.shells)))
    for page in made[name, paper]:
        for text in (t for ax in page.axes for t in ax.texts if t.get_text()):
            if text.axes is page.axes[0] and text.get_position()[1] < FOOT:
                assert text.get_fontsize() >= 10
            elif text.get_fontsize() < 13:
                words = squeezed(text.get_text().removeprefix("Rests on:"))
                assert text.get_fontsize() >= 10 and words in rests
    large = squeezed(
        "".join(t.get_text() for p in made[name, paper] for t in body(p) if t.get_fontsize() >= 28)
    )
    for piece in (*card.joints, *card.shells):
        assert squeezed(printable(piece.headline)) in large


@each_card
def test_all_words_are_dark_on_white(made, name, paper):
    """Exact by hand: luminance by the usual weights, under a quarter of white."""
    for page in made[name, paper]:
        assert page.get_facecolor() == (1, 1, 1, 1)
        for text in (t for ax in page.axes for t in ax.texts):
            rgb = matplotlib.colors.to_rgb(text.get_color())
            assert np.dot(rgb, [0.299, 0.587, 0.114]) < 0.25


@each_card
def test_the_pages_have_their_size(made, name, paper):
    for page in made[name, paper]:
        np.testing.assert_allclose(page.get_size_inches() * 25.4, SIZES[paper], rtol=1e-12)


# Lettering ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("text", ["Cut it 215 mm long", "Glue the middle first.", "WWW mm ±"])
@pytest.mark.parametrize(("points", "bold"), [(13, False), (28, True)])
def test_widths_are_those_of_the_drawn_words(text, points, bold):
    """Independent: the ink of the words drawn at 1000 dots to the inch, and the white beside it."""
    figure = Figure(figsize=(8, 1), dpi=1000)
    weight = "bold" if bold else "normal"
    figure.text(0.1, 0.3, text, fontsize=points, fontfamily="DejaVu Sans", fontweight=weight)
    canvas = FigureCanvasAgg(figure)
    canvas.draw()
    inked = np.flatnonzero((np.asarray(canvas.buffer_rgba())[..., :3] < 128).any((0, 2)))
    drawn = (inked[-1] - inked[0] + 1) / 1000 * 25.4
    assert drawn <= width(text, points=points, bold=bold) <= drawn + 0.25 * points * 25.4 / 72


@pytest.mark.parametrize("wide", [12, 30, 55, 182])
@pytest.mark.parametrize("text", [STEPS[1].what, LONG, "W" * 60, "a b c", "x " * 40 + "W" * 30])
@pytest.mark.parametrize("bold", [False, True])
def test_lines_fit_and_nothing_is_lost(text, wide, bold):
    lines = wrap(text, wide=wide, points=13, bold=bold)
    assert "".join(lines).replace(" ", "") == text.replace(" ", "")
    for line in lines:
        assert width(line, points=13, bold=bold) <= wide + 0.3 or len(line) == 1
    words = " ".join(lines).split()
    if all(width(w, points=13, bold=bold) < wide / 3 for w in text.split()):
        assert words == text.split()


def test_lines_are_as_full_as_they_can_be():
    """Exact: the first word of a line would not have fitted on the line before."""
    lines = wrap(STEPS[0].what, wide=60, points=13)
    assert len(lines) > 2
    for line, following in itertools.pairwise(lines):
        tied = re.match(r"\d+ mm|\S+", following).group()
        assert width(f"{line} {tied}", points=13) > 60


@pytest.mark.parametrize(
    ("text", "tied"), [("cut 215 mm", "215 mm"), ("of 1 1/2 in", "1 1/2 in"), ("at 8 % of", "8 %")]
)
def test_a_number_stays_with_its_unit(text, tied):
    for wide in np.linspace(width(tied, points=13) + 0.5, width(text, points=13) + 5, 40):
        assert any(tied in line for line in wrap(text, wide=wide, points=13)), wide


def test_the_first_line_leaves_room():
    room = width("bbb", points=13) + 0.2
    assert wrap("aaa bbb", wide=room, points=13, first=2.0) == ("", "aaa", "bbb")
    assert wrap("", wide=room, points=13) == ("",)


def test_a_title_too_long_for_the_foot_ends_in_dots():
    assert elided("short", wide=50, points=10) == "short"
    cut = elided("word " * 40, wide=50, points=10)
    assert cut.endswith(" …") and width(cut, points=10) <= 50


# Pages -------------------------------------------------------------------------------------------


def story(*talls, name="one", alone=False):
    parts = tuple(Part(Space(t), 2.0) for t in talls)
    return Story(name, parts, Space(7.0), alone)


def test_stories_on_pages():
    """Exact by hand: pages of 100 mm, 2 mm between parts, 1 + 2 * 5 mm between stories."""
    rule = Rule(10.0)
    options = {"tall": 100.0, "divider": rule, "apart": 5.0}
    pages, starts = flow([story(30), story(40), story(10)], **options)
    assert starts == [0, 0, 1]  # 30 + 11 + 40 = 81, and 11 + 10 more do not fit
    assert [p.down for p in pages[0]] == [0.0, 35.0, 41.0]
    assert pages[0][1].block is rule and [p.down for p in pages[1]] == [0.0]
    pages, starts = flow([story(30), story(59)], **options)
    assert starts == [0, 0]  # 30 + 11 + 59 = 100
    pages, starts = flow([story(30), story(59.1)], **options)
    assert starts == [0, 1]
    pages, starts = flow([story(30), story(40, alone=True)], **options)
    assert starts == [0, 1]
    pages, starts = flow([story(60, 50, 41)], **options)
    # 60 + 2 + 50 is too much; then 7 of the head, 2, 50: 59, and 2 + 41 more are too much
    assert [[p.down for p in page] for page in pages] == [[0.0], [0.0, 9.0], [0.0, 9.0]]
    with pytest.raises(ValueError, match="one: a text is longer than a page can hold"):
        flow([story(30, 100)], **options)


def test_heights_add_up():
    """Exact by hand: two blocks of 10 and 20 mm and a gap of 3 mm."""
    assert Column((Space(10), Space(20)), 3.0).tall == 33.0
    assert Column(()).tall == 0.0


# Files -------------------------------------------------------------------------------------------


def test_the_same_bytes_every_time(made):
    first = pdf_bytes(made["a build", "A4"])
    again = pdf_bytes(bench_card(CARDS["a build"]))
    assert first == again and first.startswith(b"%PDF") and b"CreationDate" not in first
    assert b"/Title (Bench card)" in first
    boxes = re.findall(rb"/MediaBox \[ *([0-9. ]+)\]", first)
    assert len(boxes) == len(made["a build", "A4"])
    for box in boxes:
        # exact by definition of the paper; 72 points to the inch
        np.testing.assert_allclose(
            [float(x) for x in box.split()], [0, 0, 210 / 25.4 * 72, 297 / 25.4 * 72], atol=0.01
        )


def test_a_users_own_settings_do_not_change_the_pages(made):
    settings = {"savefig.bbox": "tight", "savefig.pad_inches": 0.5, "savefig.facecolor": "red"}
    settings |= {"font.family": "serif", "font.size": 20, "text.color": "blue"}
    settings |= {"lines.linewidth": 5, "pdf.fonttype": 42, "axes.facecolor": "yellow"}
    settings |= {"text.parse_math": True, "figure.dpi": 30, "lines.solid_capstyle": "round"}
    plain = pdf_bytes(made["odd signs", "A4"])
    with matplotlib.rc_context(settings):
        assert pdf_bytes(bench_card(CARDS["odd signs"])) == plain


def test_no_picture_is_left_open_and_no_style_changed():
    import matplotlib.pyplot as plt

    matplotlib.get_backend()  # chosen when first asked for, by whoever asks
    style, before = matplotlib.rcParams.copy(), plt.get_fignums()
    pdf_bytes(bench_card(CARDS["shells only"]))
    assert plt.get_fignums() == before and matplotlib.rcParams == style


# Bad input ---------------------------------------------------------------------------------------


def test_signs_that_cannot_be_printed_are_shown_as_boxes(made):
    front = read(made["odd signs", "A4"][0])
    assert "□□ tail $5 and $6" in front and "$x_1$" in front and "\\frac{1}{2}" in front
    assert lettering.MISSING == "□"


@pytest.mark.parametrize(
    ("make", "message"),
    [
        (lambda: Card(title="x"), "card 'x' has no joint and no shell: nothing to print"),
        (lambda: Card(title=" ", shells=(RING,)), "title of card must be some words, got ' '"),
        (lambda: Card(title="x", shells=(RING,), system="cm"), "system must be one of"),
        (lambda: Card(title="x", shells=(RING,), notes=("a", 3)), "notes of card .* got 3"),
        (lambda: joint(""), "name of joint '' must be some words, got ''"),
        (lambda: joint(headline=""), "headline of joint 'second scute' must be some words"),
        (lambda: joint(foam=None), "foam of joint 'second scute' must be some words, got None"),
        (lambda: joint(reasons="why"), r"reasons of joint .* got one text: write \('why',\)"),
        (lambda: joint(steps=(Step("cut", None),)), "steps of joint 'second scute' .* got None"),
        (lambda: replace(SHELL, facts=(("a", 1),)), "facts of shell 'back shell' .* got 1"),
    ],
)
def test_a_card_that_says_nothing_is_refused(make, message):
    with pytest.raises(ValueError, match=message):
        make()


def test_a_text_longer_than_a_page_is_refused_by_its_name():
    card = Card(title="x", joints=(joint(steps=(Step("cut " * 3000, KNIFE),)),))
    with pytest.raises(ValueError, match="joint 'second scute': a text is longer than a page"):
        bench_card(card)


def test_other_papers_and_no_pages_are_refused():
    with pytest.raises(ValueError, match="paper must be one of 'A4', 'Letter', got 'A3'"):
        bench_card(CARDS["shells only"], paper="A3")
    with pytest.raises(ValueError, match="figures must hold at least one page"):
        pdf_bytes([])


def test_of_marks_piled_on_a_letter_two_are_printed():
    """Exact: letter and mark in one sign where there is one, then two more marks at most."""
    assert lettering.printable("cafe\u0301") == "caf\xe9"
    assert lettering.printable("x" + "\u0301" * 400 + "y") == "x\u0301\u0301y"
