"""What cannot be right in a strip: lengths that go the wrong way, units that are a thousand off."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np

from foamcalc.foam.swatch.strips import ReadingErrors, Strip, StripReading

SOFTEST, STIFFEST = 0.05, 50.0
"""Modulus [MPa] outside which no sheet of foam is taken for real (assumed)."""
THINNEST = 1.0
"""Thickness of a strip [mm] below which it is taken for one typed in cm (assumed)."""
FARTHEST = (0.2, 4.0)
"""Stretch outside which a length is taken for a slip (assumed)."""
_LIKELY = (0.2, 9.0)
"""Modulus [MPa] that a slip of 1000 would have to lead back to (assumed)."""
_APART = 6.0
"""How many times as stiff as the others a strip may look before a unit is suspected (assumed)."""


class StripFault(NamedTuple):
    """What is wrong with a strip."""

    reading: int | None
    """The reading, from 0; None: the strip as a whole."""
    what: str
    """The column: thickness, load, length or width now."""
    text: str
    """What is wrong, with the value and the remedy."""


def strip_faults(strip: Strip, errors: ReadingErrors) -> Iterator[StripFault]:
    """Everything in one strip that cannot be right."""
    if strip.let_go and not strip.loaded:
        yield StripFault(None, "load", "was let go but never had a load; write the loaded reading")
    if strip.thickness < THINNEST:
        yield StripFault(
            None,
            "thickness",
            f"{strip.thickness:g} mm is thinner than foam sheet is sold; if it is "
            f"{10 * strip.thickness:g} mm, write that, or thickness [cm] in the head",
        )
        return
    wrong = False
    for i, reading in sorted(enumerate(strip.readings), key=lambda pair: pair[1].load == 0):
        if not reading.load and wrong:
            return  # what was left is only worth checking against a sound reading
        for what, text in (
            ("length", _length_fault(strip, reading, errors)),
            ("load", _unit_fault(strip, reading, errors)),
            ("width now", _width_fault(strip, reading, errors)),
        ):
            if text:
                wrong = True
                yield StripFault(i, what, text)
                break


def _length_fault(strip: Strip, reading: StripReading, errors: ReadingErrors) -> str:
    """What is wrong with a length; empty if there is nothing to say."""
    off, stretch = 2 * errors.length, strip.stretch(reading)
    if not FARTHEST[0] <= stretch <= FARTHEST[1]:
        return (
            f"{reading.length:g} mm is {stretch:.3g} times the gauge length of {strip.gauge:g} mm, "
            "which no foam gives; check both lengths"
        )
    if reading.load:
        if strip.sign * (reading.length - strip.gauge) >= -off:
            return ""
        word, other = ("shorter", "squeeze") if strip.sign > 0 else ("longer", "pull")
        return (
            f"{reading.length:g} mm is {word} than the gauge length of {strip.gauge:g} mm under "
            f"a {strip.test}; read it again, or write {other}"
        )
    farthest = max((strip.sign * r.length for r in strip.loaded), default=math.inf)
    if strip.sign * reading.length <= farthest + off:
        return ""
    return (
        f"{reading.length:g} mm after it was let go is farther out than under its load; read it "
        "again, and count its time from letting go"
    )


def _width_fault(strip: Strip, reading: StripReading, errors: ReadingErrors) -> str:
    """What is wrong with a width now; empty if there is nothing to say."""
    if reading.width_now is None or not reading.load:
        return ""
    grew = strip.sign * (reading.width_now - strip.width)
    if grew <= 2 * errors.width + 0.02 * strip.width:
        return ""
    word = "wider" if strip.sign > 0 else "narrower"
    return (
        f"{reading.width_now:g} mm is {word} than the {strip.width:g} mm as cut under a "
        f"{strip.test}; read it again half way between the marks"
    )


def _unit_fault(strip: Strip, reading: StripReading, errors: ReadingErrors) -> str:
    """What a modulus that no foam has says about the units; empty if there is nothing to say."""
    strain, off = abs(strip.stretch(reading) - 1), 2 * errors.length / strip.gauge
    stress = abs(strip.stress(reading))
    if stress > STIFFEST * (strain + off):
        modulus, factor, slip = stress / (strain + off), 1 / 1000, "g typed where kg is meant"
    elif reading.load and stress < SOFTEST * (strain - off):
        modulus, factor, slip = stress / (strain - off), 1000.0, "kg typed where g is meant"
    else:
        return ""
    text = (
        f"{reading.load:.4g} N on {strip.width:g} x {strip.thickness:g} mm for a strain of "
        f"{strain:.1%} makes a modulus of about {modulus:.2g} MPa; foam sheet lies between "
        f"{SOFTEST:g} and {STIFFEST:g}"
    )
    if _LIKELY[0] <= modulus * factor <= _LIKELY[1]:
        return f"{text}: about 1000 times off, {slip}?"
    return f"{text}; check the units of load, width, thickness and length"


def odd_ones(strips: Sequence[Strip], errors: ReadingErrors) -> Iterator[tuple[Strip, str]]:
    """Strips whose stiffness is so far from that of the others that a unit must be wrong."""
    for test in ("pull", "squeeze"):
        found = [
            (strip, modulus) for strip, modulus in moduli(strips, errors) if strip.test == test
        ]
        if len(found) < 3:
            continue
        usual = float(np.median([modulus for _, modulus in found]))
        for strip, modulus in found:
            if 1 / _APART <= modulus / usual <= _APART:
                continue
            times = max(modulus / usual, usual / modulus)
            word = "stiff" if modulus > usual else "soft"
            yield (
                strip,
                f"looks {times:.2g} times as {word} as the others in this test; check the unit "
                "of its load (N, g or kg), its thickness and its lengths",
            )


def moduli(strips: Sequence[Strip], errors: ReadingErrors) -> list[tuple[Strip, float]]:
    """Stress over strain [MPa] of each strip at its first load, where the strain can be told."""
    found = []
    for strip in strips:
        for reading in strip.points(errors)[:1]:
            strain = abs(strip.stretch(reading) - 1)
            if strain > 2 * errors.length / strip.gauge:
                found.append((strip, abs(strip.stress(reading)) / strain))
    return found
