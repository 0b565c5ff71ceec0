"""Layers over one another: the length each needs, and the layer a piece becomes."""

from __future__ import annotations

import math
from datetime import date

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from foamcalc.fit.detail import drawn, places_before
from foamcalc.fit.ends import End, end_of
from foamcalc.fit.overlay import Overlay
from foamcalc.fit.pierced import pierced
from foamcalc.fit.seam.edge import SeamEdge
from foamcalc.fit.shell import Cover, Shell
from foamcalc.fit.stack import Piece, needed_lengths
from foamcalc.fit.trim.band import Band
from foamcalc.fit.trim.binding import Binding
from foamcalc.fit.trim.rim import Rim
from foamcalc.fit.trim.slit import SlitStrip
from foamcalc.fit.trim.web import Web
from foamcalc.foam.law import Linear
from foamcalc.shape.curve import Arc

FOAM = Linear(1.5)
HALF_TURN = math.pi


def piece(thickness: float, **rest: float) -> Piece:
    return Piece(thickness=thickness, law=FOAM, **rest)


def test_two_layers_round_half_a_turn():
    need = needed_lengths([piece(10), piece(5)], inside_length=50 * math.pi, turn=HALF_TURN)
    # exact by hand: the middles lie at radius 55 and 62.5
    assert need == pytest.approx([55 * math.pi, 62.5 * math.pi], rel=1e-14)
    # exact by hand: 7.5 mm of offset over half a turn, 23.562 to the printed digits
    assert need[1] - need[0] == pytest.approx(23.562, abs=5e-4)


@pytest.mark.parametrize(("below", "above"), [(0.5, 0.5), (0.545, 0.48), (0.0, 1.0), (1.0, 0.0)])
def test_gap_of_an_overlay_cut_like_its_base(below, above):
    pieces = [piece(10, fibre=below), piece(5, fibre=above)]
    need = needed_lengths(pieces, inside_length=90.0, turn=1.2)
    # exact by hand: turn ((1 - k1) t1 + k2 t2)
    assert need[1] - need[0] == pytest.approx(1.2 * ((1 - below) * 10 + above * 5), rel=1e-12)


def test_three_layers_with_glue_between():
    pieces = [piece(10), piece(5, fibre=0.4), piece(2)]
    need = needed_lengths(pieces, inside_length=100.0, turn=2.0, bead=0.5)
    # exact by hand: heights 5, 10.5 + 2 and 16 + 1
    assert need == pytest.approx([110.0, 125.0, 134.0], rel=1e-14)


def test_in_a_hollow_the_upper_layer_is_the_shorter_one():
    need = needed_lengths([piece(10), piece(5)], inside_length=200.0, turn=-1.0)
    # exact by hand: 200 - 5 and 200 - 12.5
    assert need == pytest.approx([195.0, 187.5], rel=1e-14)


def test_many_spans_at_once():
    lengths, turns = np.array([50.0, 80.0, 20.0]), np.array([0.5, 0.0, -0.2])
    need = needed_lengths([piece(10), piece(4)], inside_length=lengths, turn=turns)
    assert need.shape == (2, 3)
    # exact by hand: heights 5 and 12
    assert need[0] == pytest.approx([52.5, 80.0, 19.0], rel=1e-14)
    assert need[1] == pytest.approx([56.0, 80.0, 17.6], rel=1e-14)


@given(
    turn=st.floats(0.05, 3.0), factor=st.floats(0.1, 2.0), thick=st.tuples(*[st.floats(1, 12)] * 2)
)
@settings(max_examples=50, deadline=None)
def test_the_gap_is_in_proportion_to_the_turn(turn, factor, thick):
    pieces = [piece(t) for t in thick]
    gaps = [
        float(np.diff(needed_lengths(pieces, inside_length=150.0, turn=t))[0])
        for t in (turn, factor * turn)
    ]
    # exact by hand: the gap is turn times offset
    assert gaps[1] == pytest.approx(factor * gaps[0], rel=1e-9)


# The layer a piece becomes --------------------------------------------------------------------


@pytest.mark.parametrize(("formed", "fibre"), [(0.0, 0.5), (0.5, 0.5), (1.0, 0.5), (1.0, 0.4)])
def test_a_formed_piece_is_longer_outside(formed, fibre):
    layer = piece(10, formed=formed, fibre=fibre).layer(100.0, 0.8)
    inner, outer = float(layer.inner_length), float(layer.outer_length)
    # exact by hand: the faces differ by formed x thickness x turn, the fibre keeps its length
    assert outer - inner == pytest.approx(formed * 8.0, abs=1e-12)
    assert inner + fibre * (outer - inner) == pytest.approx(100.0, rel=1e-14)


def test_a_layer_keeps_thickness_foam_and_width():
    layer = piece(6, width=35.0).layer([100.0, 90.0], 0.3)
    # exact by hand
    assert float(layer.thickness) == 6.0
    assert float(layer.width) == 35.0
    assert layer.law is FOAM
    assert layer.inner_length.shape == (2,)


# Bad input ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("thickness", 0.0),
        ("thickness", math.nan),
        ("width", -1.0),
        ("formed", 1.2),
        ("formed", -0.1),
        ("fibre", 1.01),
    ],
)
def test_a_piece_that_cannot_be_is_refused_by_name(name, value):
    with pytest.raises(ValueError, match=f"^{name} must be .*got {value}"):
        Piece(**{"thickness": 5.0, "law": FOAM, name: value})


@pytest.mark.parametrize(
    ("fault", "words"), [({"inside_length": 0.0}, "inside length"), ({"turn": math.inf}, "turn")]
)
def test_a_stack_that_cannot_be_is_refused_by_name(fault, words):
    with pytest.raises(ValueError, match=f"^{words} must be"):
        needed_lengths([piece(5)], **{"inside_length": 100.0, "turn": 1.0, **fault})


def test_a_cut_length_of_nothing_is_refused():
    with pytest.raises(ValueError, match=r"^cut length must be .*got 0\.0"):
        piece(5).layer(0.0, 1.0)


@pytest.mark.parametrize("wrong", [[1, 2], b"x", None, date(2020, 1, 1), 10**400, "eva"])
def test_what_is_no_law_no_piece_and_no_number_is_refused_in_words(wrong):
    """Common practice."""
    law, curve = Linear(1.5), Arc(50, math.pi)
    piece = Piece(thickness=5, law=law)
    for ask in (
        lambda: Piece(thickness=5, law=wrong),
        lambda: Piece(thickness=wrong, law=law),
        lambda: Piece(thickness=5, law=law, hole=wrong),
        lambda: End(thickness=5, law=wrong, stretch=1.1),
        lambda: drawn(wrong, strain=0.1, width=5, thickness=5),
        lambda: places_before(wrong, along=1, across=1, strain=0.1),
        lambda: pierced(wrong, lengths=[1, 2], widths=[1, 2], thickness=5, strain=0.1),
        lambda: Web(law=wrong, thickness=5, depth=3, pitch=5),
        lambda: Overlay.from_curve(curve, base=wrong, overlay=piece),
        lambda: Overlay.from_curve(curve, base=piece, overlay=wrong),
        lambda: Overlay.from_tape(cut=150, needed=160, base=wrong, overlay=piece),
        lambda: Overlay.from_curve(curve, base=piece, overlay=piece, cut=wrong or 1j),
        lambda: Cover(piece=wrong),
        lambda: Shell(base=wrong, curve=curve),
        lambda: Shell(base=piece, curve=curve, covers=(wrong,)),
        lambda: end_of(wrong),
        lambda: Band(curve=curve, strip=wrong),
        lambda: Rim(curve=curve, strip=wrong),
        lambda: Binding(curve=curve, strip=wrong, edge=5, legs=(10, 10)),
        lambda: SlitStrip(piece=wrong, depth=3),
        lambda: SeamEdge(name="a", piece=wrong, places=[0, 100]),
    ):
        with pytest.raises(TypeError, match="must be"):
            ask()
