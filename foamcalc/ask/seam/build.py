"""From two edges to an answer: limits, bevelled faces, and what must be said of the readings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from foamcalc.ask.rules import UNLIKELY, own_limit
from foamcalc.ask.swatch_record import stretch_limit
from foamcalc.fit.bevel_faces import FaceLengths, bevelled
from foamcalc.fit.limits import Limit
from foamcalc.fit.seam import Seam, SeamEdge
from foamcalc.fit.seam.joined import SIDES
from foamcalc.fit.seam.limits import seam_limits
from foamcalc.fit.stack import Face, Piece
from foamcalc.foam.swatch import Swatch
from foamcalc.tables import look_up


@dataclass(frozen=True, kw_only=True)
class EdgePiece:
    """The piece behind an edge."""

    piece: Piece
    depth: float
    """Its width behind the edge [mm]; infinite where it was not said."""
    swatch: Swatch | None = None
    """The maker's own test of its foam."""
    rests_on: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()


def joined(a: SeamEdge, b: SeamEdge, *, reverse: bool | None) -> Seam:
    """Two edges as a seam."""
    seam = Seam(a=a, b=b, reverse=reverse)
    ratio = b.length / a.length
    if not 1 / UNLIKELY <= ratio <= UNLIKELY:
        raise ValueError(
            f"{b.name}, {b.length:.4g} mm, is {ratio:.2g} times {a.name}, {a.length:.4g} mm: no "
            "foam takes that; is one of them in inches, mistyped, or another stretch than is meant?"
        )
    return seam


def limits_for(
    seam: Seam, *, swatches: Sequence[Swatch | None], most_stretch: float | None
) -> dict[str, Limit]:
    """The usual limits of a seam, with what was tested or said in their place."""
    limits = seam_limits(seam)
    for side, swatch in zip(SIDES, swatches, strict=True):
        usual = limits[f"stretch {side}"]
        limits[f"stretch {side}"] = (
            stretch_limit(swatch, usual) if most_stretch is None else own_limit(most_stretch, "1")
        )
    return limits


def bevels_of(
    seam: Seam, *, bevel: float | None, drawn: Face, cut_back: Face
) -> tuple[FaceLengths, ...]:
    """Both faces of both edges, each as it was walked; nothing where no bevel is wanted."""
    if bevel is None:
        return ()
    edges = (seam.a, seam.b)
    return tuple(bevelled(e, bevel=bevel, drawn=drawn, cut_back=cut_back) for e in edges)


def tape_said() -> str:
    """How good a tape reading is."""
    row = look_up("limits", "habit", "tape_reading")
    return f"places read off a tape, each good to ± {row.printed} mm ({row.basis})"


def drawing_said(file: str) -> str:
    """What lengths out of a drawing rest on."""
    return f"lengths and marks as they are drawn in {file}; the cut edge is as good as the knife"


def depth_said(seam: Seam, better: str) -> str:
    """What was taken for the width of the pieces behind the seam, where it was not said."""
    deep = [edge.name for edge in (seam.a, seam.b) if edge.depth == float("inf")]
    if not deep:
        return ""
    return (
        f"{' and '.join(deep)} taken as wide behind the seam (assumed); a narrow piece gives more: "
        f"{better}"
    )
