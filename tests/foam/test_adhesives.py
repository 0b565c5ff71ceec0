"""Adhesives from the tables, and what may follow what."""

from __future__ import annotations

import csv
import shutil

import pytest

from foamcalc.fit.seam.ways import SeamSituation
from foamcalc.foam.adhesives import ORDER, adhesive, adhesive_named, may_follow
from foamcalc.tables import folder, look_up, subjects


@pytest.mark.parametrize("name", subjects("adhesives"))
def test_an_adhesive_has_the_numbers_of_its_rows(name):
    found = adhesive(name)
    rows = {"open_time": found.open_time, "set_time": found.set_time, "bead_thickness": found.bead}
    for quantity, value in rows.items():
        # exact: the number of the row, unchanged
        assert value == look_up("adhesives", name, quantity).value
    assert found.grabs is (look_up("adhesives", name, "grab_at_one_touch").value == 1)
    assert found.caution.strip() and len(found.describe()) == len(found.entries)


@pytest.mark.parametrize(
    ("word", "name"),
    [
        ("contact cement", "contact adhesive"),
        (" Contact-Cement ", "contact adhesive"),
        ("hot melt", "hot glue"),
        ("hot glue", "hot glue"),
        ("hot glu", "hot glu"),
    ],
)
def test_a_glue_may_be_named_as_makers_name_it(word, name):
    # common practice: the words of the bench
    assert adhesive_named(word) == name
    if name in subjects("adhesives"):
        assert adhesive(word) == adhesive(name)
        assert SeamSituation(already_cut=True, adhesive=word).adhesive == name


@pytest.mark.parametrize("word", ["super glue", "Superglue", "CA glue", "spray adhesive", "epoxy"])
def test_a_glue_of_which_nothing_is_known_is_said_so(word):
    with pytest.raises(ValueError, match=r"nothing is known here of .*'contact adhesive'"):
        adhesive_named(word)


def test_hot_glue_and_contact_adhesive_differ_where_it_matters():
    hot, contact = adhesive("hot glue"), adhesive("contact adhesive")
    # common practice and from memory, as the rows say
    assert contact.grabs and not hot.grabs
    assert hot.lets_go == look_up("adhesives", "hot glue", "lets_go_temperature").value
    assert contact.lets_go is None and contact.creeps_warm and not hot.creeps_warm
    assert contact.forms_after and not hot.forms_after
    assert hot.bead > contact.bead


@pytest.mark.parametrize(
    ("step", "after", "answer", "word"),
    [
        ("warm forming", "hot glue", "no", "Hot glue lets go near 70 °C."),
        ("hot car", "hot glue", "no", "70 °C"),
        ("hot car", "contact adhesive", "with care", "warm day"),
        ("warm forming", "contact adhesive", "with care", "vapour"),
        ("hot glue", "contact adhesive", "with care", "vapour"),
        ("hot glue", "warm forming", "yes", "Nothing"),
        ("contact adhesive", "hot glue", "yes", "Nothing"),
        ("trim", "hot glue", "yes", "Nothing"),
        ("punch", "contact adhesive", "yes", "Nothing"),
        ("bevel", "contact adhesive", "with care", "before contact adhesive"),
        ("hot glue", "hot glue", "yes", "Nothing"),
        ("warm forming", "warm forming", "yes", "Nothing"),
    ],
)
def test_what_may_follow_what(step, after, answer, word):
    # common practice, by hand
    found = may_follow(step, after)
    assert found.answer == answer
    assert word in found.reason and found.basis


def test_the_worst_of_all_that_was_done_counts():
    done = ["mark", "warm forming", "contact adhesive", "hot glue", "trim"]
    # by hand: contact adhesive asks for care, hot glue says no
    assert may_follow("warm forming", done).answer == "no"
    assert may_follow("warm forming", done[:3]).answer == "with care"
    assert may_follow("warm forming", []).answer == "yes"


def test_the_order_of_work_is_itself_allowed():
    glued = ["contact adhesive" if step == "glue" else step for step in ORDER[:-1]]
    for i, step in enumerate(glued):
        assert may_follow(step, glued[:i]).answer == "yes", step


@pytest.mark.parametrize(
    ("step", "after", "message"),
    [
        ("warm form", "hot glue", "step must be one of .* did you mean 'warm forming'"),
        ("trim", "hot glu", "step done must be one of .* did you mean 'hot glue'"),
    ],
)
def test_an_unknown_step_is_refused(step, after, message):
    with pytest.raises(ValueError, match=message):
        may_follow(step, after)


def test_an_unknown_adhesive_is_refused():
    with pytest.raises(ValueError, match=r"unknown adhesive 'hot glew'.* did you mean 'hot glue'"):
        adhesive("hot glew")


def test_a_row_of_the_workshop_changes_the_answer(tmp_path):
    place = tmp_path / "tables"
    shutil.copytree(folder(), place)
    table = place / "adhesives.csv"
    with table.open(encoding="utf-8", newline="") as file:
        heads, *rows = csv.reader(file)
    new = dict(zip(heads, rows[-1], strict=True)) | {
        "row_id": "adh-hot-warm-forming-ours",
        "subject": "hot glue",
        "quantity": "warm_forming_afterwards",
        "value": "1",
        "unit": "1",
        "basis": "measured",
        "note": "Invented for this test.",
    }
    low = new | {
        "row_id": "adh-hot-lets-go-ours",
        "quantity": "lets_go_temperature",
        "value": "95",
        "low": "",
        "high": "",
        "unit": "degC",
    }
    with table.open("a", encoding="utf-8", newline="") as file:
        csv.DictWriter(file, heads, lineterminator="\n").writerows([new, low])
    # exact: the lowest row counts
    assert adhesive("hot glue", where=place).forms_after
    assert "95 °C" in may_follow("hot car", "hot glue", where=place).reason
    assert may_follow("warm forming", "hot glue").answer == "no"  # the shipped table is as it was
