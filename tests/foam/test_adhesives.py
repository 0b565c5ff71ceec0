"""Adhesives from the tables, the words that makers have for them, and what warmth does to them."""

from __future__ import annotations

import pytest

from foamcalc.foam.adhesives import adhesive, adhesive_named
from foamcalc.tables import look_up, subjects


@pytest.mark.parametrize("name", subjects("adhesives"))
def test_an_adhesive_has_the_numbers_of_its_rows(name):
    found = adhesive(name)
    rows = {"open_time": found.open_time, "set_time": found.set_time, "bead_thickness": found.bead}
    for quantity, value in rows.items():
        # exact: the number of the row, unchanged, and what it rests on
        assert value == look_up("adhesives", name, quantity).value
        assert found.basis(quantity) == look_up("adhesives", name, quantity).basis
    assert found.grabs is (look_up("adhesives", name, "grab_at_one_touch").value == 1)
    assert found.caution.strip()


@pytest.mark.parametrize(
    ("word", "name"),
    [
        ("contact cement", "contact adhesive"),
        (" Contact-Cement ", "contact adhesive"),
        ("hot melt", "hot glue"),
        ("hot glue", "hot glue"),
    ],
)
def test_a_glue_may_be_named_as_makers_name_it(word, name):
    # common practice: the words of the bench
    assert adhesive_named(word) == name
    assert adhesive(word) == adhesive(name)


@pytest.mark.parametrize("word", ["super glue", "Superglue", "CA glue", "spray adhesive", "epoxy"])
def test_a_glue_of_which_nothing_is_known_is_said_so(word):
    with pytest.raises(ValueError, match=r"nothing is known here of .*'contact adhesive'"):
        adhesive_named(word)


def test_an_unknown_adhesive_is_refused():
    with pytest.raises(ValueError, match=r"unknown adhesive 'hot glew'.* did you mean 'hot glue'"):
        adhesive("hot glew")


def test_hot_glue_and_contact_adhesive_differ_where_it_matters():
    hot, contact = adhesive("hot glue"), adhesive("contact adhesive")
    # common practice and from memory, as the rows say
    assert contact.grabs and not hot.grabs
    assert hot.lets_go == look_up("adhesives", "hot glue", "lets_go_temperature").value
    assert contact.lets_go is None and contact.creeps_warm and not hot.creeps_warm
    assert contact.forms_after and not hot.forms_after
    assert hot.bead > contact.bead


@pytest.mark.parametrize(
    ("name", "step", "answer", "word"),
    [
        ("hot glue", "warm forming", "no", "Hot glue lets go near 70 °C."),
        ("hot glue", "hot car", "no", "70 °C"),
        ("contact adhesive", "hot car", "with care", "warm day"),
        ("contact adhesive", "warm forming", "with care", "vapour"),
    ],
)
def test_what_warmth_does_to_a_joint(name, step, answer, word):
    # common practice and from memory, as the rows say
    found = adhesive(name).warmed(step)
    assert found.answer == answer
    assert word in found.reason and found.basis
