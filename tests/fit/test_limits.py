"""Limits: what the tables say, in the units the joints count in."""

from __future__ import annotations

import math

import pytest

from foamcalc.fit.choice import Situation, choose
from foamcalc.fit.limits import Check, Limit, default_limits, opening_limit
from foamcalc.fit.overlay import Overlay
from foamcalc.fit.shell import Shell
from foamcalc.fit.stack import Piece
from foamcalc.foam.law import Linear
from foamcalc.shape.curve import Arc
from foamcalc.tables import look_up


def overlay(thickness: float) -> Piece:
    return Piece(thickness=thickness, law=Linear(1.5))


@pytest.mark.parametrize(("thickness", "stretch"), [(2, 0.05), (4.99, 0.05), (5, 0.08), (12, 0.08)])
def test_sheet_of_5_mm_and_more_may_be_pulled_harder(thickness, stretch):
    # regression: common practice in limits.csv, 5 % and 8 %
    assert default_limits(overlay(thickness))["stretch"].value == pytest.approx(stretch, rel=1e-14)


def test_every_limit_has_the_value_unit_basis_and_reason_of_its_row():
    rows = {
        "stretch": ("cold_pull_hard", "1"),
        "warm": ("warm_hold", "1"),
        "mouth": ("mouth_opening", "mm"),
        "girth": ("girth_change", "mm"),
        "round": ("out_of_round", "mm"),
        "force": ("hand_force", "N"),
        "end": ("end_peel", "N/mm"),
        "let in": ("let_in_narrowest", "mm"),
    }
    limits = default_limits(overlay(5))
    assert set(limits) == set(rows)
    for name, (quantity, unit) in rows.items():
        row = look_up("limits", "limit", quantity)
        limit = limits[name]
        # exact by hand: per cent becomes a fraction, everything else stays
        assert limit.unit == unit
        assert limit.value == pytest.approx(row.value / (100 if row.unit == "%" else 1))
        assert (limit.basis, limit.reason) == (row.basis, row.note)
        assert limit.reason


@pytest.mark.parametrize(
    ("radius", "turn", "closed", "most", "basis"),
    [
        # exact by hand: 5 % of a mouth of 2 R, at least 10 mm
        (50, math.pi, False, 10, "common practice"),
        (150, math.pi, False, 15, "assumed"),
        (300, math.pi / 3, False, 15, "assumed"),
        # exact by hand: 1.5 % of a girth of 2 pi R, at least 5 mm
        (40, 2 * math.pi, True, 5, "assumed"),
        (100, 2 * math.pi, True, 3 * math.pi, "assumed"),
    ],
)
def test_a_large_shell_may_open_farther(radius, turn, closed, most, basis):
    base = Piece(thickness=10, law=Linear(1.5), formed=1)
    shell = Shell(base=base, curve=Arc(radius, turn, closed=closed), face="inside")
    limit = default_limits(overlay(5), shell)["girth" if closed else "mouth"]
    assert limit.value == pytest.approx(most, rel=1e-9)
    assert (limit.unit, limit.basis) == ("mm", basis)
    assert limit == opening_limit(shell)


def test_a_mouth_of_300_mm_that_opens_by_13_mm_does_not_cost_a_piece():
    base = Piece(thickness=10, law=Linear(1.5), formed=1)
    said = {"base": base, "overlay": overlay(2), "turn": math.radians(120)}
    joint = Overlay.from_tape(cut=389, needed=390, **said)
    choice = choose(joint, Situation(already_cut=True))
    # exact by hand: past 10 mm, within 5 % of its mouth
    opening, mouth = choice.chosen.outcome.opening, choice.chosen.outcome.size_before
    assert 10 < opening < 0.05 * mouth and 290 < mouth < 310
    assert choice.choice == "stretch"


def test_an_unknown_limit_is_refused_with_the_nearest_name():
    with pytest.raises(ValueError, match=r"'mouth_openin'.*did you mean 'mouth_opening'"):
        Limit.from_table("mouth_openin")


@pytest.mark.parametrize(
    ("found", "met"), [(0.0, True), (10.0, True), (10.001, False), (-10.0, True), (-10.5, False)]
)
def test_a_limit_is_kept_up_to_its_value_either_way(found, met):
    # exact by hand: a mouth that closes too far is as bad as one that opens too far
    limit = Limit(value=10.0, unit="mm", basis="your own", reason="As you said.")
    assert Check("opening of the mouth", found, limit).met is met


def test_what_was_not_found_does_not_keep_a_limit():
    limit = Limit(value=10.0, unit="N", basis="your own", reason="As you said.")
    # exact by hand: not a number is never within a limit
    assert not Check("pull", float("nan"), limit).met
