"""A bevel in a maker's words: how to cut it, which face is longer, and where the knife can hurt."""

from __future__ import annotations

from foamcalc.fit.bevel import bevel_check
from foamcalc.fit.bevel_faces import FaceLengths
from foamcalc.fit.order import Step
from foamcalc.units import System, format_angle, format_length

__all__ = ["bevel_angle", "bevel_words"]

_KNIFE = (
    "Fresh long blade, cutting mat, the other hand behind the blade. A slanted blade slides off "
    "towards the hand that holds the foam: cut away from you in several light strokes."
)


def bevel_angle(faces: FaceLengths) -> str:
    """The angle of a bevel, to half a degree."""
    return format_angle(faces.bevel, resolution=0.5).replace(".0°", "°")


def bevel_words(faces: FaceLengths, *, system: System = "mm") -> Step:
    """How to cut a bevelled edge, and how long its faces are, in a maker's words."""
    size = format_length(faces.set_back, system=system)
    name = faces.edge.name
    if faces.bevel == 0:
        return Step(f"Cut {name} square: both faces are alike.", _KNIFE)
    lean = "stands back" if faces.cut_back != faces.drawn else "runs past it by"
    other = "inside" if faces.drawn == "outside" else "outside"
    said = [
        f"Cut {name} at {bevel_angle(faces)} from square, along the line on the {faces.drawn}; "
        f"the {other} {lean} {size}."
    ]
    outside, inside = (
        format_length(float(x.sum()), system=system) for x in (faces.outside, faces.inside)
    )
    if outside == inside:
        said.append(f"Both faces are {outside} long.")
    else:
        said.append(
            f"The outside is {outside} long, the inside {inside}: draw for the {faces.drawn}, and "
            "match marks on the face that is glued first."
        )
    check = bevel_check(faces.bevel)
    if not check.met:
        said.append(
            f"By hand no more than {format_angle(check.limit.value)} ({check.limit.basis}): take "
            "thinner sheet, or glue one edge square on the face of the other piece."
        )
    return Step(" ".join(said), _KNIFE)
