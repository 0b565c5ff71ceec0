"""What is doubtful about a swatch, said plainly, with what to measure again."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from foamcalc.foam.swatch.law import LEAST_FOR_ALPHA, SIDE_WIDTH, Bench
from foamcalc.foam.swatch.points import unlikely
from foamcalc.foam.swatch.result import MEASURED, Swatch
from foamcalc.foam.swatch.strips import ReadingErrors, Strip

_TIMES_APART = 1.5
"""Reading times farther apart than this factor are spoken of (assumed)."""
_FEW = 3
"""Points below which no slip can be seen."""
_CHANCE = 0.05
"""Chance of a scatter below which it is spoken of."""
_DRIFT = 2.5
"""Standard deviations of a drift from which it is spoken of."""
_SOFT, _STIFF = 0.3, 6.0
"""Modulus [MPa] outside which no grade of foams.csv lies."""
_UNEVEN = 0.10
"""Spread of thickness from which it is spoken of."""
_WANTED = (0.5, 1.5)
"""Stretches between which a law ought to be stable."""


def notes(
    found: Swatch, seen: Bench, strips: tuple[Strip, ...], errors: ReadingErrors
) -> tuple[str, ...]:
    """All that is doubtful, one sentence or two each."""
    return (
        *_about_points(found, seen, errors),
        *_about_scatter(found, seen),
        *_about_bench(seen, strips, errors),
        *_about_law(found),
        *_about_time(found),
    )


def _about_points(found: Swatch, seen: Bench, errors: ReadingErrors) -> Iterator[str]:
    """Too few strips, strips too narrow, and what the table had to say instead."""
    count = len(seen.strips)
    if count < _FEW:
        yield (
            f"Only {count} loads: a slip could not be seen. Hang three more fresh strips with "
            "other loads."
        )
    if len(found.alpha) == 1 and found.alpha[0].basis != MEASURED:
        yield (
            "How the foam stiffens as it is pulled is from the table; the strips do not tell it. "
            f"Hang {LEAST_FOR_ALPHA} fresh strips at least, to about 5, 10, 15 and 20 % stretch."
        )
    if any(p.basis.startswith("from the table") for p in found.poisson):
        widest = max(strip.width for strip in seen.strips)
        least = SIDE_WIDTH * errors.width
        again = f"Hang strips at least {least:.0f} mm wide and read the width as cut and now."
        if widest >= least and seen.points.side.size:
            again = "Read the widths of wide strips at 15 % stretch or more, several times."
        yield f"How much it narrows is from the table, because the widths do not tell it. {again}"
    squeezed = any(strip.sign < 0 for strip in seen.strips)
    pulled = any(strip.sign > 0 for strip in seen.strips)
    if not (squeezed and pulled):
        way, test = (
            ("squeezed", "Squeeze a block between two boards")
            if pulled
            else (
                "pulled",
                "Hang strips",
            )
        )
        yield (
            f"Nothing was {way}: on that side the law is only carried over, and foam may well be "
            f"otherwise there. {test}, with three loads at least."
        )
        return
    yield (
        "The intervals take the foam to be alike along the sheet, where strips are pulled, and "
        "through it, where blocks are squeezed. With blocks 30 % softer they hold the truth one "
        "time in three at best (derived): if only its pull counts, leave the blocks out."
    )
    if len(found.alpha) == 1:
        yield (
            "Too few pulls or squeezes for a law with two terms; three of each are wanted. One "
            "term was fitted to all."
        )


def _about_scatter(found: Swatch, seen: Bench) -> Iterator[str]:
    """Strips that differ more than they may, and strips that drift."""
    off = np.array([p.off for p in found.points])
    if unlikely(found.scatter, found.left_over, _CHANCE):
        worst = found.points[int(np.argmax(np.abs(off)))]
        word = "stiffer" if worst.off * (1 if worst.stretch > 1 else -1) > 0 else "softer"
        yield (
            f"The strips scatter {found.scatter:.1f} times as much as the stated errors allow; the "
            f"intervals are wider for it. Strip {worst.strip} is farthest off, {word} than the "
            "others: measure its thickness and its marks again, and do a fresh one beside it."
        )
    order = np.arange(off.size) - (off.size - 1) / 2
    size = np.abs(np.log(seen.points.stretch))
    if off.size < 5 or np.ptp(size) == 0 or abs(np.corrcoef(order, size)[0, 1]) > 0.8:
        return
    signs = np.array([strip.sign for strip in seen.strips])
    drift = float(order @ (off * signs) / np.sqrt(order @ order))
    if abs(drift) > _DRIFT:
        word = "stiffer" if drift > 0 else "softer"
        yield (
            f"Strips look {word} the later they stand in the record. The scale, the room or the "
            "reading time drifted: weigh the bag again, and do the first strip's load once more "
            "with a fresh strip."
        )


def _about_bench(seen: Bench, strips: tuple[Strip, ...], errors: ReadingErrors) -> Iterator[str]:
    """How the strips were cut, hung and read."""
    times = [max(r.time, 0.1) for r in seen.readings]
    if max(times) > _TIMES_APART * min(times):
        yield (
            f"First readings were taken from {min(times):g} to {max(times):g} min after loading. "
            "Foam creeps while you look: read every strip at the same minute."
        )
    stairs = [s.name for s in strips if len(s.points(errors)) > 1]
    if stairs:
        yield (
            f"Strip {_and(stairs)} carried several loads one after another, so the creep of the "
            "earlier ones is in the later readings. Take a fresh strip for each load."
        )
    short = [s.name for s in strips if s.sign > 0 and s.gauge < s.width]
    if short:
        yield (
            f"Strip {_and(short)} has its marks closer together than it is wide; its clamps hold "
            "its width and it looks too stiff. Mark at least one width, one width from each clamp."
        )
    thick = [s.thickness for s in strips if s.test == "pull"]
    if thick and max(thick) > (1 + _UNEVEN) * min(thick):
        yield (
            f"The strips are from {min(thick):g} to {max(thick):g} mm thick: this sheet is "
            "uneven, or they are of two sheets. Do not mix sheets."
        )
    bare = [s for s in strips if s.loaded and s.hangs == 0]
    if bare:
        yield (
            "No weight of a clamp or a board was given for "
            f"{'any strip' if len(bare) == len(strips) else _and([s.name for s in bare])}: it was "
            "taken to be in the loads; weigh it if it is not."
        )


def _about_law(found: Swatch) -> Iterator[str]:
    """A stiffness unlike any grade, and where the law stops."""
    if found.warmth == "warm":
        yield (
            "This is the law of warm foam at the moment of reading. How warm it was is not in the "
            "record; cool foam is stiffer, so never use it for a cold joint."
        )
    if not _SOFT <= found.modulus.value <= _STIFF:
        yield (
            f"A modulus of {found.modulus.value:.2g} MPa is outside all grades of the table "
            f"({_SOFT:g} to {_STIFF:g}). Check that the load is in the unit the record says: kg "
            "taken for N is 10 times off."
        )
    for (low, high), how in (
        (found.stable_free, "with free sides"),
        (found.stable_held, "with its width held"),
    ):
        if low > _WANTED[0] or high < _WANTED[1]:
            yield (
                f"{how.capitalize()} the law is stable from stretch {low:.2f} to {high:.2f} only; "
                "outside it would take less force for more stretch, and no answer is given there."
            )


def _about_time(found: Swatch) -> Iterator[str]:
    """Creep, coming back, and tearing."""
    if found.forgets is None:
        yield (
            "What the foam forgets was not tested. Leave one strip hanging under its load and read "
            "it after an hour and after a day."
        )
    elif not found.forgets.overnight:
        yield (
            f"What the foam forgets was read over {found.forgets.end:g} min only; glue sets "
            "overnight. Leave one strip hanging for a day."
        )
    if found.pull_limit is None:
        yield (
            "There is no working limit: no pulled strip was let go and came back. Let strips go, "
            "and read them at once, after an hour and after a day."
        )
    elif found.pull_limit.open_end:
        yield (
            f"No strip failed: the working limit may lie above stretch "
            f"{found.pull_limit.stretch:.2f}. Pull some farther, till one tears or stays long."
        )
    if found.pull_limit is not None and not found.pull_limit.overnight:
        yield (
            f"Strip {found.pull_limit.strip} came back from {found.pull_limit.stretch - 1:.0%} "
            f"after {found.pull_limit.held:g} min under load; glue holds overnight, after which "
            "foam comes back less: the usual limit is not raised for it. To raise it, leave a "
            "fresh strip under that load overnight, let it go, and read it a day later."
        )
    unsure = [
        r.strip
        for r in found.recovery
        if r.left and not r.tore and abs(r.left[-1].share - found.most_left) < r.left[-1].error
    ]
    if unsure:
        yield (
            f"Whether strip {_and(unsure)} came back is within the error of reading. Mark a longer "
            "length, and read finer."
        )


def _and(names: list[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
