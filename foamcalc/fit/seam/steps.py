"""The order of work for a seam: cut, mark, pin, glue, with cautions and what haste would do."""

from __future__ import annotations

from foamcalc.fit.end_words import in_time, till_words, warm_words
from foamcalc.fit.limits import tape_reading
from foamcalc.fit.order import HEAT, KNIFE, Step
from foamcalc.fit.seam.joined import Seam
from foamcalc.fit.seam.order import gluing_order, wrong_order
from foamcalc.fit.seam.remedies import Amount, SeamWay
from foamcalc.fit.seam.ways import SeamChoice
from foamcalc.fit.seam.words import amount_words, begin, direction_words, fine
from foamcalc.foam.adhesives import Adhesive, adhesive
from foamcalc.units import System

_CUTS = ("trim", "add", "dart", "let in", "new length")


def seam_steps(choice: SeamChoice, system: System = "mm") -> list[Step]:
    """The steps from the knife to the last bit of glue, with cautions where they belong.

    Parameters
    ----------
    choice : SeamChoice
        From `foamcalc.fit.seam.ways.choose_seam`.
    system : {"mm", "in"}
        Units to speak in.

    Returns
    -------
    list of Step
        In order: cut, warm, mark, pin dry, glue.

    Examples
    --------
    >>> from foamcalc.fit.seam import SeamEdge, SeamSituation, choose_seam
    >>> from foamcalc.fit.stack import Piece
    >>> from foamcalc.foam.grades import foam
    >>> eva = Piece(thickness=10, law=foam("EVA medium"))
    >>> seam = Seam(a=SeamEdge(name="front", piece=eva, places=(0, 50, 100, 150)),
    ...             b=SeamEdge(name="back", piece=eva, places=(0, 51.5, 102, 153)))
    >>> steps = seam_steps(choose_seam(seam, SeamSituation(already_cut=True)))
    >>> print(steps[0].what)
    back is taken to run the same way as front: no names tell it. If it was walked from the other \
end, say so. Pin dry, mark to mark: start, end, 1, 2.
    """
    way = choice.chosen
    steps = [
        _step(amount, choice.seam, KNIFE, system) for amount in way.amounts if amount.what in _CUTS
    ]
    steps += [
        _step(amount, choice.seam, HEAT, system)
        for amount in way.amounts
        if amount.what == "stretch warm"
    ]
    marks = [a for a in way.amounts if a.what in ("move", "extra marks")]
    steps += [_step(amount, choice.seam, "", system) for amount in marks]
    order = ", ".join(way.seam.a.labels[i] for i in gluing_order(way.seam.a.places))
    steps.append(Step(f"{direction_words(choice.seam)} Pin dry, mark to mark: {order}."))
    glue = adhesive(choice.situation.adhesive)
    steps.append(Step(_gluing(way, glue, system), glue.caution))
    return steps


def _step(amount: Amount, seam: Seam, caution: str, system: System) -> Step:
    return Step(f"{begin(amount_words(amount, seam, system))}.", caution)


def _gluing(way: SeamWay, glue: Adhesive, system: System) -> str:
    pulled = bool(way.seam.intervals.unequal.any())
    if glue.grabs:
        how = (
            "What touches is fixed at once: both ends first, then the marks in the order they were "
            "pinned, then the middle between two marks, and so on."
        )
    else:
        how = (
            "It slides till then, and sets: glue from mark to mark, in the order they were pinned, "
            "and hold each bit with its difference shared out before the next."
        )
    said = [
        f"Glue with {glue.name}: {in_time(glue, 'edges')}.",
        how,
        haste_words(way.seam, system=system),
    ]
    if pulled:
        said.append(f"Hold or tape the seam{till_words(glue)}.")
    said.append(warm_words(glue, pulled=pulled))
    return " ".join(filter(None, said))


def haste_words(seam: Seam, *, system: System = "mm") -> str:
    """What comes of gluing a seam without its marks, or of leaving a gap to the last."""
    between = seam.intervals
    if not between.unequal.any():
        return ""
    found, labels = wrong_order(seam), seam.a.labels
    apart = float(abs(found.apart[found.farthest]))
    said = []
    if apart > tape_reading():
        said.append(
            f"Glued from {labels[0]} on without the marks, {labels[found.farthest]} would be "
            f"{fine(apart, system)} out."
        )
    said.append(
        f"From {between.name(found.worst)}, {100 * found.shared:.1f} % shared out evenly becomes "
        f"{100 * found.last:.0f} % if it is left to the last quarter."
    )
    return " ".join(said)
