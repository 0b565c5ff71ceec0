"""Which way to make a band, and what a maker is told about it."""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np
import pytest

from foamcalc.fit.limits import Limit
from foamcalc.fit.stack import Piece
from foamcalc.fit.trim.band import Band
from foamcalc.fit.trim.band_choice import BAND_CHOICES, choose_band, least_pull
from foamcalc.fit.trim.ends import Joining
from foamcalc.fit.trim.straight import straight_band
from foamcalc.fit.trim.words import band_reasons, band_sentence, band_work
from foamcalc.foam.adhesives import adhesive
from foamcalc.foam.grades import foam
from foamcalc.shape.arcs import Arcs
from foamcalc.shape.curve import Arc
from foamcalc.shape.polyline import Polyline

EVA = foam("EVA medium")
STRIP = Piece(thickness=5, width=20, law=EVA)
THIN = Piece(thickness=2, width=20, law=EVA)
STEP = Polyline([(0, 0), (0, 100), (150, 100), (150, 50), (250, 50)])
WAVE = Arcs([100, 80, 60], [0.3, -0.2, 0.1])


def chosen(curve, strip=STRIP, **said):
    return choose_band(Band(curve=curve, strip=strip), **said)


def test_straight_comes_first():
    found = chosen(Arc(250, 2.0))
    assert found.choice == "straight"
    assert found.pulled is None
    assert found.chosen is found.straight and found.strips == found.straight.strips


def test_a_thin_strip_is_pulled_till_it_does_not_pucker():
    found = chosen(Arc(500, 2.0), THIN)
    assert found.choice == "straight, pulled"
    assert found.chosen is found.pulled
    pull = found.pulled.band.pull
    less = straight_band(Band(curve=Arc(500, 2.0), strip=THIN, pull=pull - 0.01))
    # exact by definition: the least, in hundredths
    assert found.pulled.met and not less.met
    assert pull == least_pull(found.band)
    assert least_pull(Band(curve=Arc(250, 2.0), strip=STRIP)) == 0


def test_cut_to_shape_where_straight_does_not_go():
    found = chosen(Arc(100, 2.0))
    assert found.choice == "cut to shape"
    assert found.chosen is found.shaped
    # a pull would not help the edge that is stretched too far
    assert found.pulled is None


def test_a_pull_that_was_asked_for_is_kept():
    found = choose_band(Band(curve=Arc(150, 2.0), strip=STRIP, pull=1.0))
    assert (found.choice, found.pulled) == ("cut to shape", None)


def test_own_limits_count():
    more = {"stretch": Limit(value=0.15, unit="1", basis="measured", reason="Tried.")}
    thick = replace(STRIP, thickness=10)
    assert [chosen(Arc(100, 2.0), thick, limits=x).choice for x in (None, more)] == [
        "cut to shape",
        "straight",
    ]


def test_the_ways_stand_side_by_side():
    found = chosen(Arc(500, 2.0), THIN)
    table = found.table()
    assert tuple(table["way"]) == BAND_CHOICES
    assert list(table["limits kept"]) == [False, True, True, True]
    ways = {w.name: w for w in found.ways}
    # exact: as each way has it
    assert ways["straight"].strip_length == found.straight.cut_length
    assert ways["straight, pulled"].stretch == found.pulled.stretch
    assert ways["cut to shape"].strip_length == pytest.approx(1000)
    assert ways["cut to shape"].waste == found.shaped.waste
    assert ways["straight pieces"].pieces == found.mitred.count
    # nothing is strained where it is cut to fit
    assert table["stretch [%]"].tolist()[2:] == [0, 0]


def test_joins_are_counted_without_mitres():
    # exact by hand
    assert chosen(STEP).joins == 0
    assert chosen(Arc(250, 2 * np.pi, closed=True)).joins == 1
    assert chosen(Arc(250, 2.0), joining=Joining(longest=200)).joins == 2


# Words ------------------------------------------------------------------------------------------


def numbers(text):
    return [float(x) for x in re.findall(r"\d+\.?\d*", text)]


def test_one_sentence_says_it():
    found = chosen(Arc(300, 2.0))
    (tight,) = found.band.tight
    said = band_sentence(found)
    # exact: rounded as a maker would
    length = round(found.straight.cut_length)
    assert said == (
        f"Cut it {length} mm long, 20 mm wide, straight: outer edge stretched "
        f"{tight.outer:.1%}, inner edge squeezed {-tight.inner:.1%}, no pucker."
    )
    assert band_sentence(found, "in").startswith("Cut it 22 7/8 in long, 13/16 in wide, straight")


def test_a_pulled_strip_is_told_how_far():
    found = chosen(Arc(500, 2.0), THIN)
    said = band_sentence(found)
    # exact by hand: it follows 1000 mm of edge
    assert f"Cut it {round(found.pulled.cut_length)} mm long" in said
    assert "and pull it to 1000 mm as you glue" in said


def test_a_ring_sector_is_told_by_its_radii():
    said = band_sentence(chosen(Arc(100, np.pi)))
    assert "a ring sector of radii 80 mm and 100 mm, 180°: cut straight, stretch of the" in said
    assert "(limit 8 %, common practice)." in said
    many = band_sentence(chosen(Arc(100, np.pi), joining=Joining(longest=120)))
    assert "3 ring sectors of radii 80 mm and 100 mm, 60° each" in many


def test_an_outline_is_told_by_its_edges():
    said = band_sentence(chosen(Arcs([80, 60], [1.2, -0.4])))
    # exact by hand: 140 mm, 20 mm x 0.8 less inside
    assert "along the curve, in one piece, 20 mm wide: outer edge 140 mm, inner edge 124 mm" in said


def test_nothing_is_strained_on_a_straight_edge():
    said = band_sentence(chosen(STEP))
    assert said == (
        "Cut 4 strips, 100 mm, 150 mm, 70 mm and 120 mm long, 20 mm wide, straight: nothing is "
        "strained."
    )


def test_reasons_name_place_limit_and_basis():
    lines = band_reasons(chosen(Arc(100, np.pi)))
    assert lines[0].startswith(
        "straight: no; at 157 mm, on a bend of radius 100 mm: stretch of the outer edge 10.2% "
        "(limit 8 %, common practice), squeeze before it puckers"
    )
    assert lines[1].startswith("up to 16 mm wide it goes straight: then stretch of the outer edge")
    assert lines[2].startswith("cut to shape: nothing is strained; 200 cm²")
    assert "straight pieces: 12 out of 284 mm of strip, cut at 7.5 deg at most, 0.9 mm" in lines[3]
    assert "in²" in band_reasons(chosen(Arc(100, np.pi)), "in")[2]
    hollow = band_reasons(chosen(Arc(100, -np.pi)))
    assert "on a hollow of radius 100 mm" in hollow[0]


def test_reasons_of_an_edge_that_does_not_bend():
    lines = band_reasons(chosen(STEP))
    assert lines[0] == "straight: yes; the edge is straight between its corners"
    assert lines[1] == "up to 50 mm wide it finds room between the corners"
    plain = band_reasons(chosen(Polyline([(0, 0), (100, 0)])))
    assert plain[1] == "any width goes straight: the edge does not bend"


def test_a_pull_in_a_hollow_is_warned_of():
    found = choose_band(Band(curve=Arc(400, -1.0), strip=STRIP, pull=1.0))
    line = band_reasons(found)[0]
    assert "in the hollow it drags off the edge with" in line
    stress = -found.band.side_pull(found.band.tight[0])
    # exact: two digits of it
    assert float(f"{stress:.2g}") in numbers(line)
    assert (
        "drags"
        not in band_reasons(choose_band(Band(curve=Arc(400, 1.0), strip=STRIP, pull=1.0)))[0]
    )


def test_where_the_foam_folds_it_is_said():
    found = chosen(Arc(22, 1.0))
    assert "cut straight, the foam would fold" in band_sentence(found)
    assert "straight: no; at 11 mm, on a bend of radius 22 mm: the foam would fold" in band_reasons(
        found
    )


@pytest.mark.parametrize("glue", ["contact adhesive", "hot glue"])
def test_cautions_stand_where_the_step_is(glue):
    joining = Joining(kind="lap", lap=15, longest=300)
    steps = band_work(chosen(Arc(250, 2.0), joining=joining, marks=[100, 400]), glue=glue)
    cautions = {step.what.split()[0]: step.caution for step in steps}
    assert "blade" in cautions["Cut"]
    assert cautions["Glue"] == adhesive(glue).caution
    assert not any("vapour" in s.caution for s in steps) or glue == "contact adhesive"
    said = " ".join(step.what for step in steps)
    assert "Mark the edge at 100 mm; strip 1 at 96 mm." in said
    assert said.endswith("1 join, one 15 mm over the other, where the edge turns least.")


def test_corners_are_steps_of_their_own():
    steps = band_work(chosen(STEP))
    corners = [s.what for s in steps if s.what.startswith("Corner")]
    assert corners[2] == (
        "Corner at 300 mm: Cut both ends at 45.0 deg from square, the inner edge longer."
    )
    assert not any(re.match(r"\d+ joins?,", s.what) for s in steps)


def test_a_pulled_band_is_glued_from_mark_to_mark():
    steps = band_work(chosen(Arc(500, 2.0), THIN))
    assert any("pull the strip out to its next mark" in s.what for s in steps)
    assert any("Keep it cool" in s.what for s in steps)
    shaped = band_work(chosen(Arc(100, 2.0)))
    assert not any("Keep it cool" in s.what for s in shaped)
