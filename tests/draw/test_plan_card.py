"""The bench card of a plan: what each piece and each shell says, and where its picture has what."""

from __future__ import annotations

import math

import pytest
from matplotlib.text import Text

from foamcalc.ask.plan import plan
from foamcalc.ask.sheet import parse_sheet
from foamcalc.ask.summary import newtons, shell_facts
from foamcalc.draw.card import bench_card
from foamcalc.draw.plan_card import plan_card
from foamcalc.fit.advice import order_of_work

# invented numbers: half a ring of 60 mm outside, 188.5 mm long; the second scute laps the first
BACK = """
title = "back"
[foam.eva]
modulus = "1.5 MPa"
alpha = 2
poisson = 0
[curve.back]
measured_on = "outside"
radius = 60
turn = "180 deg"
[shell.back]
curve = "back"
foam = "eva"
thickness = 10
width = 100
most_opening = 200
strap = [30, "end"]
[[overlay]]
name = "first scute"
shell = "back"
thickness = 5
from = 30
to = 90
cut = 62
[[overlay]]
name = "second scute"
shell = "back"
thickness = 4
from = 70
to = 130
already_cut = false
free_ends = 1
[[overlay]]
name = "cap"
shell = "back"
thickness = 3
from = 80
to = 85
cut = 6
"""

SHIN = """
[curve.shin]
measured_on = "outside"
girth = 300
[shell.shin]
curve = "shin"
thickness = 5
formed = 0
seam = 75
"""


@pytest.fixture(scope="module")
def back():
    return plan(parse_sheet(BACK, "."))


def card_of(name, planned):
    return next(card for card in plan_card(planned).joints if card.name == name)


def along(section, joint):
    """How far along the outside a joint of the half ring lies [mm], from its direction there."""
    turned = float(section.before.heading[0] - section.before.heading[joint])
    return 60 * turned


def test_the_headline_is_what_to_do_and_begins_with_a_capital(back):
    # exact by hand: 62.5/60 x 60 mm needed over the outside, 62.5; 62 mm is within a tape reading
    assert card_of("first scute", back).headline == "Glue it as it is"
    assert card_of("first scute", back).by_how_much == "It fits"
    # exact by hand: 20 mm at 60 + 5 + 2 mm and 40 mm at 62 mm of 60 are 63.67 mm, half a per cent
    # less is 63.3 mm, and 10 mm of spare at the free end
    assert card_of("second scute", back).headline == (
        "Cut it 73 mm long (63 mm, 1 mm under what it needs so that it hugs, and 10 mm at the free "
        "end to trim after gluing)"
    )
    assert card_of("second scute", back).foam == "eva, 4 mm thick"


def test_the_steps_of_a_piece_are_its_order_of_work_and_say_of_stretched_ends_once():
    # exact by hand: needed 62.5 mm, a limit of 5 %
    text = BACK.replace("cut = 62\n", 'cut = 60.5\nmost_stretch = "5 %"\n')
    planned = plan(parse_sheet(text, "."))
    card = card_of("first scute", planned)
    assert card.headline == "Stretch it cold as you glue"
    assert card.steps == tuple(order_of_work(planned.joint("first scute").answer.choice))
    told = " ".join(step.what for step in card.steps)
    assert told.count("The ends may lift") == 1 and told.count("of each for 24 hours") == 1


def test_the_trouble_that_is_widest_stands_first(back):
    assert [card.name for card in plan_card(back).joints] == [p.joint.name for p in back.joints]


def test_a_shell_says_its_mouth_before_and_after(back):
    card = plan_card(back)
    (shell,) = card.shells
    # exact by hand: inside radius 50 mm
    after = back.shells[0].as_advised.size
    assert shell.headline == f"Mouth 100 mm → {float(after):.0f} mm"
    assert shell.layers == ("first scute", "second scute", "cap")
    assert shell.facts == tuple(shell_facts(back.shells[0], "mm"))
    assert (card.title, card.system) == ("back", "mm")
    bare = plan(parse_sheet(BACK[: BACK.index("[[overlay]]")], "."))
    assert plan_card(bare).shells[0].headline == "Mouth stays at 100 mm"


def test_overlays_are_drawn_where_they_lie_and_as_high_as_what_is_below(back):
    section = plan_card(back).shells[0].picture
    drawn = [
        (
            cover.number,
            round(along(section, cover.first), 6),
            round(along(section, cover.last), 6),
            cover.height,
            cover.thickness,
        )
        for cover in section.covers
    ]
    # exact by hand: 10 mm of base; 5 mm more on the first, 4 mm more on the second
    assert drawn == [
        (1, 30, 70, 10, 5),
        (1, 70, 80, 10, 5),
        (1, 80, 85, 10, 5),
        (1, 85, 90, 10, 5),
        (2, 70, 80, 15, 4),
        (2, 80, 85, 15, 4),
        (2, 85, 90, 15, 4),
        (2, 90, 130, 10, 4),
        (3, 80, 85, 19, 3),
    ]
    assert section.thickness == 10


def test_the_strap_is_tied_to_its_places_and_says_its_pull(back):
    shell = back.shells[0]
    section = plan_card(back).shells[0].picture
    # exact by hand: from 30 mm to the end of half a ring of 60 mm
    assert along(section, section.strap.first) == pytest.approx(30, abs=1e-6)
    assert along(section, section.strap.last) == pytest.approx(60 * math.pi, abs=1e-6)
    assert section.strap.text == f"strap {newtons(float(shell.strapped.force))}"
    loose = plan(parse_sheet(BACK.replace('strap = [30, "end"]\n', ""), "."))
    assert plan_card(loose).shells[0].picture.strap is None


def test_the_picture_is_the_shell_before_and_let_go(back):
    section = plan_card(back).shells[0].picture
    rest = back.shells[0].as_advised
    # exact by hand: 100 mm across the mouth; independent: the mouth of the shell at rest
    assert float(section.before.mouth) == pytest.approx(100, rel=1e-9)
    assert float(section.after.mouth) == pytest.approx(float(rest.size), rel=1e-9)
    assert not section.closed and section.next_day is None and section.marks == ()


def test_a_ring_shows_its_seam_and_has_a_girth():
    planned = plan(parse_sheet(BACK + SHIN, "."))
    shin = next(card for card in plan_card(planned).shells if card.name == "shin")
    (mark,) = shin.picture.marks
    heading = shin.picture.before.heading
    # exact by hand: 75 of 300 mm are a quarter of a turn; the girth inside is 300 - 10 pi
    assert float(heading[0] - heading[mark.at]) == pytest.approx(math.pi / 2, abs=1e-6)
    assert mark.text == "butt seam" and shin.picture.closed
    assert shin.headline.startswith("Girth inside ") and "269 mm" in shin.headline


def test_the_card_of_a_sheet_in_inches_speaks_inches():
    piece = 'thickness = "5 mm"\nfrom = "30 mm"\nto = "90 mm"\ncut = "2 5/16 in"'
    text = BACK.replace("thickness = 5\nfrom = 30\nto = 90\ncut = 62", piece)
    planned = plan(parse_sheet(text, "."))
    card = plan_card(planned)
    assert card.system == "in"
    # exact by hand: 100 mm is 3 15/16 in; 62.5 - 58.7 = 3.8 mm is 2.4/16 in
    assert card.shells[0].headline.startswith("Mouth 3 15/16 in → ")
    assert card_of("first scute", planned).by_how_much.startswith("1/8 in short (6.4% of")


def test_what_several_answers_rest_on_is_told_once_and_the_rest_at_its_piece(back):
    """Exact by hand: the modulus is under every piece, 'lies over' under the two that lap."""
    card = plan_card(back)
    every = [*card.joints, *card.shells]
    modulus = "modulus 1.5 MPa (your own)"
    assert sum(modulus in line for line in card.rests_on) == 1
    assert not any(modulus in line for piece in every for line in piece.rests_on)
    assert all(piece.rests_on[-1] == "what the last page lists" for piece in every)
    laps = {p.name: [x for x in p.rests_on if x.startswith("lies over")] for p in every}
    assert laps["second scute"] == ["lies over first scute, taken to fit"]
    assert laps["first scute"] == laps["back"] == []
    pages = bench_card(card)
    words = [text.get_text() for page in pages for text in page.findobj(Text)]
    assert sum("What the answers rest on" in text for text in words) == 1
    assert "What the answers rest on" in " ".join(t.get_text() for t in pages[-1].findobj(Text))


def test_a_lone_answer_keeps_all_it_rests_on():
    """Exact by hand: one joint by tape shares nothing, so there is no list at the end."""
    text = '[[overlay]]\nname = "cup"\ncut = 173\nneeded = 188\nbase = 10\nthickness = 5'
    card = plan_card(plan(parse_sheet(text, ".")))
    assert card.rests_on == () and len(card.joints[0].rests_on) > 2
    assert "what the last page lists" not in card.joints[0].rests_on
