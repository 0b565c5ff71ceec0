"""What happens at a bench: slips, scatter, drift, creep, coming back, tearing, laws that fold.

Kinds of expected values are named beside them.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from foamcalc.foam.law import HyperFoam
from foamcalc.foam.swatch import fit_swatch
from foamcalc.foam.swatch.checks import odd_ones, strip_faults
from foamcalc.foam.swatch.recovery import Left, Recovery, forgotten, recovery, working_limit
from foamcalc.foam.swatch.strips import ReadingErrors, Strip, StripReading

RULER = ReadingErrors()
LAW = HyperFoam(mu=1.5 / 2.2, alpha=8.0, poisson=0.1)


def look(load, length, time=1.0, width_now=None):
    return StripReading(load=load, length=length, time=time, width_now=width_now)


def strip(name, *readings, **as_cut):
    """60 by 5 mm, 150 mm between the marks."""
    size = {"width": 60, "thickness": 5, "gauge": 150} | as_cut
    return Strip(name=name, readings=readings, **size)


def on_law(strain, *, soft=1.0, name=None, time=1.0, **as_cut):
    """A strip on the law, or stiffer or softer than it."""
    load = soft * float(LAW.stress(1 + strain)) * 300
    width = 60 * (1 + strain) ** -0.1
    return strip(
        name or f"{100 * strain:g} %", look(load, 150 * (1 + strain), time, width), **as_cut
    )


def ladder(strains=(0.05, 0.1, 0.15, 0.2), **how):
    return [on_law(e, **how) for e in strains]


def words(found):
    return " ".join(found.notes)


# Slips ------------------------------------------------------------------------------------------


def only(one):
    faults = list(strip_faults(one, RULER))
    assert len(faults) == 1
    return faults[0]


@pytest.mark.parametrize(
    ("factor", "slip"), [(1000, "g typed where kg is meant"), (1e-3, "kg typed where g is meant")]
)
def test_a_bag_in_the_wrong_unit_is_known_by_the_modulus(factor, slip):
    wrong = strip("A", look(45.0 * factor, 165.0))
    fault = only(wrong)
    assert (fault.reading, fault.what) == (0, "load")
    assert "about 1000 times off" in fault.text
    assert slip in fault.text
    with pytest.raises(ValueError, match=r"strip A, reading 1, load: .*foam sheet lies between"):
        fit_swatch([wrong, *ladder()])


def test_the_modulus_that_is_named_is_as_near_to_foam_as_the_reading_allows():
    # exact by hand: 45000 N on 300 mm2 is 150 MPa; strain 0.1, at most 1/150 more: 1406 MPa
    assert "modulus of about 1.4e+03 MPa" in only(strip("A", look(45000.0, 165.0))).text
    # a strain that cannot be told says nothing against a light load
    assert not list(strip_faults(strip("A", look(0.01, 150.4)), RULER))


def test_a_hundredfold_slip_is_no_thousandfold_one():
    # exact by hand: 4500 N on 60 x 5 mm is 15 MPa over 0.1067: 141 MPa
    fault = only(strip("A", look(4500.0, 165.0)))
    assert "check the units of load, width, thickness and length" in fault.text


def test_a_thickness_typed_in_cm_is_asked_about():
    """Common practice: no foam sheet is half a millimetre thick."""
    fault = only(strip("A", look(45.0, 165.0), thickness=0.5))
    assert (fault.reading, fault.what) == (None, "thickness")
    assert "0.5 mm is thinner than foam sheet is sold; if it is 5 mm, write that" in fault.text
    assert "thickness" not in {
        f.what for f in strip_faults(strip("A", look(9, 165), thickness=1), RULER)
    }


@pytest.mark.parametrize(
    ("one", "what", "text"),
    [
        (strip("A", look(45, 140)), "length", "140 mm is shorter than the gauge length of 150 mm"),
        (
            strip("A", look(45, 42), test="squeeze", width=40, thickness=40, gauge=40),
            "length",
            "42 mm is longer than the gauge length of 40 mm under a squeeze; read it again",
        ),
        (strip("A", look(45, 16.5)), "length", "0.11 times the gauge length of 150 mm"),
        (strip("A", look(45, 165), look(0, 170, 60)), "length", "farther out than under its load"),
        (strip("A", look(45, 165, 1, 64)), "width now", "64 mm is wider than the 60 mm as cut"),
        (strip("A", look(0, 150)), "load", "was let go but never had a load"),
    ],
)
def test_readings_that_cannot_be_are_named(one, what, text):
    fault = only(one)
    assert fault.what == what
    assert text in fault.text


def test_readings_within_the_ruler_are_no_faults():
    for one in (
        strip("A", look(45, 149.2)),
        strip("A", look(45, 165, 1, 61.9)),
        strip("A", look(45, 165), look(0, 165.9, 1)),
    ):
        assert list(strip_faults(one, RULER)) == []


def test_all_slips_are_told_together():
    wrong = [strip("A", look(45, 140)), strip("B", look(45, 16.5)), *ladder()]
    with pytest.raises(ValueError, match=r"strip A(.|\n)*strip B"):
        fit_swatch(wrong)


def test_one_strip_unlike_the_others_is_a_wrong_unit():
    strips = [*ladder(), on_law(0.12, soft=9.81, name="N for kg")]
    ((odd, text),) = odd_ones(strips, RULER)
    assert odd.name == "N for kg"
    assert "times as stiff as the others" in text
    with pytest.raises(ValueError, match=r"strip N for kg looks .* check the unit of its load"):
        fit_swatch(strips)
    # a stiffening foam and a few percent between strips are no slip
    assert not list(odd_ones([*ladder((0.03, 0.1, 0.3)), on_law(0.1, soft=1.4, name="x")], RULER))


def test_a_record_ten_times_off_as_a_whole_is_spoken_of():
    found = fit_swatch(ladder(soft=9.81))
    assert "outside all grades of the table (0.3 to 6)" in words(found)
    assert "outside all grades" not in words(fit_swatch(ladder()))


def test_widths_that_no_foam_has_are_refused():
    fat = [replace(s, readings=(replace(s.readings[0], width_now=61.5),)) for s in ladder()]
    with pytest.raises(ValueError, match=r"Poisson's ratio -0\.\d\d, which no foam has"):
        fit_swatch(fat)


def test_strips_need_names_of_their_own():
    with pytest.raises(ValueError, match="strip A stands twice"):
        fit_swatch([on_law(0.1, name="A"), on_law(0.2, name="A")])
    with pytest.raises(TypeError, match="strips must be a list of Strip"):
        fit_swatch(on_law(0.1))
    with pytest.raises(ValueError, match="warmth must be one of 'cold', 'warm'"):
        fit_swatch(ladder(), warmth="hot")


@pytest.mark.parametrize(
    ("change", "text"),
    [
        ({"width": 0}, "strip A: width must be a finite length above 0 mm, got 0.0"),
        ({"thickness": math.nan}, "strip A: thickness must be a finite length above 0 mm"),
        ({"own": -1}, "strip A: own must be a finite force of 0 N or more"),
        ({"test": "twist"}, "strip A: test must be one of 'pull', 'squeeze', got 'twist'"),
        ({"name": " "}, "a strip must have a name, got ' '"),
        ({"readings": ()}, "strip A: readings must be a list of one StripReading at least"),
    ],
)
def test_a_strip_of_bad_numbers_is_refused(change, text):
    good = {"name": "A", "width": 60, "thickness": 5, "gauge": 150, "readings": (look(45, 165),)}
    with pytest.raises(ValueError, match=text):
        Strip(**(good | change))


def test_bad_readings_and_errors_are_refused():
    with pytest.raises(ValueError, match=r"load must be a finite force of 0 N or more, got -1.0"):
        look(-1, 165)
    with pytest.raises(ValueError, match="time in minutes must be a finite number of 0 or more"):
        look(1, 165, -5)
    with pytest.raises(ValueError, match="error of length must be a finite length above 0 mm"):
        ReadingErrors(length=0)
    with pytest.raises(ValueError, match=r"error of strips must be a number from 0 to 1, got 5.0"):
        ReadingErrors(strips=5)


# Scatter and drift ------------------------------------------------------------------------------


def test_scatter_beyond_the_errors_widens_the_intervals_and_is_said():
    strains = (0.05, 0.1, 0.15, 0.2, 0.12, 0.18)
    calm = fit_swatch(ladder(strains))
    rough = fit_swatch(
        [
            on_law(e, soft=s, name=f"{e}")
            for e, s in zip(strains, (1.3, 0.75, 1.2, 0.8, 1.0, 1.5), strict=True)
        ]
    )
    assert rough.scatter > 3
    assert "times as much as the stated errors allow" in words(rough)
    assert "Strip 0.18 is farthest off, stiffer than the others" in words(rough)
    assert "stated errors allow" not in words(calm)


def test_errors_that_are_stated_too_small_are_learned_from_the_scatter():
    strains, soft = (0.05, 0.1, 0.15, 0.2, 0.12, 0.18), (1.3, 0.75, 1.2, 0.8, 1.0, 1.5)
    strips = [on_law(e, soft=s, name=f"{e}") for e, s in zip(strains, soft, strict=True)]
    stated = replace(RULER, calibration=0.0)
    small = ReadingErrors(
        length=0.1, width=0.1, thickness=0.04, load=0.01, strips=0.01, calibration=0.0
    )
    one, five = (fit_swatch(strips, errors=e) for e in (stated, small))
    # exact: all errors a fifth, so the scatter is five times as large and the answer the same
    assert five.scatter == pytest.approx(5 * one.scatter, rel=0.02)
    assert five.modulus.value == pytest.approx(one.modulus.value, rel=0.01)
    for end in ("low", "high"):
        assert getattr(five.alpha[0], end) == pytest.approx(getattr(one.alpha[0], end), abs=0.3)


def test_strips_that_get_softer_down_the_record_drift():
    strains = (0.12, 0.05, 0.2, 0.08, 0.15, 0.1, 0.18, 0.06)
    fall = np.linspace(1.15, 0.85, 8)
    strips = [
        on_law(e, soft=f, name=f"{i}") for i, (e, f) in enumerate(zip(strains, fall, strict=True))
    ]
    assert "Strips look softer the later they stand in the record" in words(fit_swatch(strips))
    assert "Strips look stiffer" in words(fit_swatch(strips[::-1]))
    assert "the later" not in words(fit_swatch(ladder(strains)))


def test_readings_at_different_minutes_are_spoken_of():
    late = [*ladder(), on_law(0.12, time=10)]
    assert "from 1 to 10 min after loading" in words(fit_swatch(late))
    assert "after loading" not in words(fit_swatch(ladder()))


def test_one_strip_under_several_loads_is_used_and_spoken_of():
    loads = [300 * float(LAW.stress(1 + e)) for e in (0.05, 0.1, 0.15, 0.2)]
    stairs = strip(
        "A", *(look(f, 150 * (1 + e)) for f, e in zip(loads, (0.05, 0.1, 0.15, 0.2), strict=True))
    )
    found = fit_swatch([stairs])
    assert found.modulus.value == pytest.approx(1.5, rel=0.01)  # exact: on the law
    assert "Strip A carried several loads one after another" in words(found)
    # exact by hand: what the one strip shares does not average out, 3.7 % by its thickness, its
    # width and its own stiffness alone; 90 % either way
    share = math.hypot(0.2 / 5, 0.5 / 60, 0.05) / math.sqrt(3)
    assert math.log(found.modulus.high / found.modulus.low) / 2 > 1.6448 * share


def test_marks_too_close_uneven_sheet_and_a_clamp_not_weighed_are_spoken_of():
    close = [
        replace(s, gauge=50, readings=(replace(s.readings[0], length=s.readings[0].length / 3),))
        for s in ladder()
    ]
    assert "marks closer together than it is wide" in words(fit_swatch(close))
    uneven = [*ladder(), on_law(0.12, thickness=5.6, soft=1.12)]
    assert "from 5 to 5.6 mm thick" in words(fit_swatch(uneven))
    assert "No weight of a clamp or a board was given for any strip" in words(fit_swatch(ladder()))
    assert "No weight" not in words(fit_swatch(ladder(hangs=0.5)))


# Laws that fold ---------------------------------------------------------------------------------


def yields(strip_stretches):
    """Strips soft after a start: mu 0.6, alpha -6, no side stretch, by the closed formula."""
    return [
        strip(f"{s}", look(300 * 2 * 0.6 / (-6 * s) * (s**-6.0 - 1), 150 * s, 1, 60.0))
        for s in strip_stretches
    ]


FOLD = (1 / 7) ** (-1 / 6)
"""Exact by hand: with nu = 0 the slope is zero where s**alpha = 1/(1 - alpha); here 1.383."""


def test_a_law_that_folds_inside_the_tested_range_is_refused_with_the_place():
    strips = yields((1.05, 1.1, 1.15, 1.2, 1.3, 1.36, 1.43))
    with pytest.raises(ValueError, match="less force for more stretch outside") as told:
        fit_swatch(strips, errors=replace(RULER, strips=0.01, length=0.05))
    place = float(str(told.value).split(" to ")[1].split(",")[0])
    assert place == pytest.approx(FOLD, abs=0.02)
    assert "strips were read from 1.050 to 1.430" in str(told.value)


def test_a_law_that_folds_beyond_the_tested_range_says_where():
    found = fit_swatch(
        yields((1.05, 1.1, 1.2, 1.3)), errors=replace(RULER, strips=0.01, length=0.05)
    )
    assert found.stable_free[1] == pytest.approx(FOLD, abs=0.02)
    assert "With free sides the law is stable from stretch 0.15 to 1.38 only" in words(found)
    assert "With its width held the law is stable" in words(found)


# What a foam forgets ----------------------------------------------------------------------------


def test_a_length_that_grows_under_its_load_tells_what_is_forgotten():
    first, last, gauge = 165.0, 172.0, 150.0
    hung = strip("A", look(45, first, 1), look(45, last, 1440))
    found = forgotten([hung], LAW, RULER)
    # exact by hand: ln(172/165)/ln(172/150)
    assert found.share == pytest.approx(math.log(172 / 165) / math.log(172 / 150), rel=1e-12)
    step = 1e-5
    slopes = [
        (math.log((last + a) / (first + b)) / math.log((last + a) / (gauge + c)) - found.share)
        / step
        for a, b, c in np.eye(3) * step
    ]
    # independent formula: slopes by differences, 0.5 mm either way on each of three lengths
    error = 1.6448536 * 0.5 / math.sqrt(3) * math.hypot(*slopes)
    assert found.high - found.share == pytest.approx(error, rel=1e-3)
    assert found.ways == ("load held, length read",)
    assert (found.start, found.end, found.overnight) == (1, 1440, True)


def test_a_load_that_falls_at_its_length_tells_what_is_forgotten():
    share, stretch = 0.3, 1.12
    loads = [300 * float(LAW.stress(x)) for x in (stretch, stretch ** (1 - share))]
    held = strip("A", look(loads[0], 168, 1), look(loads[1], 168, 600))
    found = forgotten([held], LAW, RULER)
    # exact: the load was made from the share
    assert found.share == pytest.approx(share, rel=1e-9)
    assert found.ways == ("length held, load read",)
    assert not found.overnight
    # and such a strip is one point for the law, not two
    assert len(held.points(RULER)) == 1


def test_creep_under_a_load_and_a_held_length_agree_for_creep_by_a_power_of_time():
    """Strain under a load grows as time to the power m; then load at a length falls as its -m."""
    m, small = 0.05, 1e-3
    soft = HyperFoam(mu=1.5 / 2.2, alpha=3.3, poisson=0.1)
    grown = strip("A", look(1, 150 * (1 + small), 1), look(1, 150 * (1 + small * 1440**m), 1440))
    # exact for small strains: creep J ~ t^m and load at a length G ~ t^-m, so the share is
    # 1 - 1440^-m both ways
    found = forgotten([grown], soft, replace(RULER, length=1e-3))
    assert found.share == pytest.approx(1 - 1440**-m, rel=2e-3)


def test_several_strips_that_forgot_are_averaged_and_their_scatter_counts():
    def hung(name, last, end=1440):
        return strip(name, look(45, 165, 1), look(45, last, end))

    one = forgotten([hung("A", 172)], LAW, RULER)
    two = forgotten([hung("A", 172), hung("B", 172)], LAW, RULER)
    # exact by hand: the same twice is known better by the root of two
    assert two.share == pytest.approx(one.share, rel=1e-12)
    assert two.high - two.share == pytest.approx((one.high - one.share) / math.sqrt(2), rel=1e-9)
    apart = forgotten([hung("A", 170), hung("B", 178)], LAW, RULER)
    assert apart.high - apart.low > 3 * (two.high - two.low)
    # a strip that was read after an hour only says nothing about the night
    assert forgotten([hung("A", 172), hung("B", 168, 60)], LAW, RULER).strips == ("A",)
    assert forgotten([on_law(0.1)], LAW, RULER) is None


def test_a_load_that_rose_forgets_less_than_nothing_within_its_error():
    held = strip("A", look(60.0, 168, 1), look(60.9, 168, 600))
    found = forgotten([held], LAW, RULER)
    assert -0.05 < found.share < 0  # exact sign: more load at the same length


def test_more_hung_on_a_strip_that_hardly_stretches_is_no_held_length():
    assert len(strip("A", look(10, 150.4), look(20, 150.9)).points(RULER)) == 2


# Coming back ------------------------------------------------------------------------------------


def test_what_is_left_of_a_stretch():
    one = strip("A", look(45, 170, 1), look(0, 153, 1), look(0, 151, 60), look(0, 150.5, 1440))
    found = recovery(one, RULER)
    # exact by hand: 3, 1 and 0.5 mm of 20
    assert [x.share for x in found.left] == pytest.approx([0.15, 0.05, 0.025], rel=1e-12)
    assert found.when("at once").share == pytest.approx(0.15)
    assert found.when("after an hour").share == pytest.approx(0.05)
    assert found.when("after a day").share == pytest.approx(0.025)
    assert (found.stretch, found.held) == (pytest.approx(170 / 150), 1)
    # exact by hand: 0.5/sqrt 3 over 20 mm, for the length now, the gauge (0.95) and the load (0.05)
    error = 1.6448536 * 0.5 / math.sqrt(3) / 20 * math.hypot(1, 0.95, 0.05)
    assert found.left[1].error == pytest.approx(error, rel=1e-6)
    assert recovery(strip("A", look(45, 170)), RULER) is None
    assert recovery(strip("A", look(45, 170), tore=True), RULER).tore


def came_back(name, stretch, share, *, error=0.02, tore=False, test="pull", time=1440):
    left = () if share is None else (Left(time=time, share=share, error=error),)
    return Recovery(strip=name, test=test, stretch=stretch, held=1, left=left, tore=tore)


@pytest.mark.parametrize(
    ("strips", "expected", "open_end"),
    [  # exact by the rule: the largest that came back, below the first that surely failed
        ([("A", 1.05, 0.0), ("B", 1.1, 0.05), ("C", 1.2, 0.3)], 1.1, False),
        ([("C", 1.2, 0.3), ("B", 1.1, 0.05), ("A", 1.05, 0.0)], 1.1, False),
        ([("A", 1.05, 0.0), ("B", 1.1, 0.05)], 1.1, True),
        ([("A", 1.05, 0.3), ("B", 1.1, 0.05)], None, None),
        ([("A", 1.05, 0.0), ("B", 1.1, 0.11), ("C", 1.2, 0.08)], 1.2, True),
        ([("A", 1.05, 0.0), ("B", 1.1, 0.11)], 1.05, True),
        ([("A", 1.1, 0.05), ("B", 1.1, 0.3)], None, None),
        ([], None, None),
    ],
)
def test_the_working_limit(strips, expected, open_end):
    limit = working_limit([came_back(*s) for s in strips], "pull")
    if expected is None:
        assert limit is None
    else:
        assert (limit.stretch, limit.open_end, limit.most_left) == (expected, open_end, 0.10)


def test_a_torn_strip_ends_the_working_limit_and_squeezes_have_their_own():
    strips = [
        came_back("A", 1.05, 0.0),
        came_back("B", 1.15, None, tore=True),
        came_back("C", 1.2, 0.02),
        came_back("D", 0.9, 0.03, test="squeeze"),
        came_back("E", 0.7, 0.4, test="squeeze"),
    ]
    assert working_limit(strips, "pull").stretch == 1.05
    assert working_limit(strips, "squeeze").stretch == 0.9
    assert working_limit(strips, "squeeze", most_left=0.5).stretch == 0.7
    with pytest.raises(ValueError, match=r"most_left must be a number from 0 to 1, got 10.0"):
        working_limit(strips, "pull", most_left=10)


def test_a_swatch_says_what_was_not_tested_and_what_cannot_be_told():
    bare = fit_swatch(ladder())
    assert bare.forgets is None
    assert bare.pull_limit is None
    assert "What the foam forgets was not tested" in words(bare)
    assert "There is no working limit" in words(bare)
    one = ladder()[1]
    let_go = replace(one, readings=(*one.readings, look(0, 151, 1440)))
    found = fit_swatch([*ladder((0.05, 0.15, 0.2)), let_go])
    assert found.pull_limit.stretch == pytest.approx(1.1)
    assert "No strip failed" in words(found)
    assert "Strip 10 % came back from 10% after 1 min under load" in words(found)
    assert "the usual limit is not raised" in words(found)
    assert "under that load overnight, let it go, and read it a day later" in words(found)
    night = replace(
        one, readings=(*one.readings, replace(one.readings[0], time=1440), look(0, 151, 1440))
    )
    assert "is not raised" not in words(fit_swatch([*ladder((0.05, 0.15, 0.2)), night]))
    # exact by hand: 1 mm of 15 is 6.7 %, 0.5 mm on two lengths makes 4.5 % either way of it
    assert "Whether strip 10 % came back is within the error of reading" in words(found)


def test_tables_have_units_in_their_heads():
    one = ladder()[3]
    let_go = replace(
        one,
        readings=(*one.readings, replace(one.readings[0], length=184, time=1440), look(0, 151, 60)),
    )
    found = fit_swatch([*ladder()[:3], let_go])
    table = found.table().set_index("quantity")
    assert table.loc["modulus at rest", "value"] == found.modulus.value
    assert table.loc["modulus at rest", "unit"] == "MPa"
    assert table.loc["share forgotten", "value"] == found.forgets.share
    assert table.loc["working limit, pulled", "value"] == found.pull_limit.stretch
    points = found.points_table()
    # exact by hand: stress in kPa is 1000 times MPa
    assert points["stress [kPa]"].iloc[0] == pytest.approx(1e3 * float(LAW.stress(1.05)), rel=1e-9)
    assert len(points) == 4
    back = found.recovery_table()
    assert back["left after an hour [%]"].iloc[0] == pytest.approx(100 * 1 / 34)
    assert back["left after a day [%]"].iloc[0] is None or np.isnan(
        back["left after a day [%]"].iloc[0]
    )
