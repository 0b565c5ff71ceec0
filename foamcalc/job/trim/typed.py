"""What a maker typed about a strip, read: texts to millimetres, radians, an edge and its ends."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from foamcalc.fit.limits import Limit
from foamcalc.fit.stack import Piece
from foamcalc.fit.trim.ends import BUTT, EndKind, Joining, StripEnd
from foamcalc.fit.trim.rim_cut import rim_limits
from foamcalc.fit.trim.strips import Ends
from foamcalc.foam.adhesives import adhesive
from foamcalc.foam.grades import foam, foam_entries
from foamcalc.foam.swatch import Swatch, fit_swatch
from foamcalc.guards import positive
from foamcalc.job.rules import bare_beside_inches, own_limit
from foamcalc.job.seam.places import loose_places, place_texts, read_places
from foamcalc.job.swatch.record import read_swatch
from foamcalc.job.swatch.words import modulus_spread, stretch_limit, swatch_said
from foamcalc.job.trim.edge import WAYS, NamedPlace, TrimEdge, drawn_edge, measured_edge
from foamcalc.shape.pattern import Pattern
from foamcalc.tables import look_up
from foamcalc.units import System, angle, is_inch, length, read_length

if TYPE_CHECKING:
    from foamcalc.job.trim.question import TrimQuestion

_LENGTHS = (
    "length",
    "radius",
    "round",
    "width",
    "thickness",
    "spare",
    "wrap",
    "edge_thickness",
    "lap",
    "longest",
    "cut",
    "depth",
    "pitch",
    "slit_width",
)


class TypedTrim:
    """A question with its texts read.

    Parameters
    ----------
    question : TrimQuestion
        As typed, complete for its kind.
    pattern : Pattern or None
        The drawing that the edge is in; None where it was measured.
    edge : TrimEdge, optional
        The edge, where it is known already.

    Raises
    ------
    ValueError
        For readings in unlike units, one of them bare; each part raises what is wrong with it.
    """

    def __init__(
        self, question: TrimQuestion, pattern: Pattern | None, *, edge: TrimEdge | None = None
    ) -> None:
        self.question = question
        self.lists = {
            name: read_places(text, name=name)
            for name in ("marks", "legs")
            if (text := getattr(question, name)) is not None
        }
        self._refuse_mixed()
        if edge is None:
            edge = self._measured() if pattern is None else self._drawn(pattern)
        self.edge = edge

    def mm(self, name: str) -> float | None:
        """A length that must be above 0, in mm; None where it was not said."""
        text = getattr(self.question, name)
        if text is None:
            return None
        said = name.replace("_", " ")
        return float(positive(length(text, name=said), said))

    def needed(self, name: str) -> float:
        """A length that the kind cannot do without [mm]."""
        value = self.mm(name)
        if value is None:
            raise ValueError(f"{name.replace('_', ' ')} is missing")
        return value

    @cached_property
    def swatch(self) -> Swatch | None:
        """The maker's own test of the foam."""
        q = self.question
        return None if q.swatch is None else fit_swatch(read_swatch(q.swatch), grade=q.foam)

    @cached_property
    def strip(self) -> Piece:
        """Thickness, foam, and the width where it was said."""
        thickness = self.mm("thickness")
        if thickness is None:
            thickness = look_up("limits", "default", "default_overlay_thickness").in_unit("mm")
        law = foam(self.question.foam) if self.swatch is None else self.swatch.law
        wide = self.mm("width")
        return Piece(
            thickness=thickness,
            law=law,
            width=Piece.width if wide is None else wide,
            modulus_spread=modulus_spread(self.swatch),
        )

    @cached_property
    def bead(self) -> float:
        """Thickness of the glue [mm]."""
        return adhesive(self.question.adhesive).bead

    @property
    def legs(self) -> tuple[float, float]:
        """How far a binding reaches over each face [mm]."""
        both = [reading.value for reading in self.lists["legs"]]
        if len(both) > 2:
            raise ValueError(f"legs must be one length or two, got {len(both)}")
        return both[0], both[-1]

    @property
    def own_marks(self) -> tuple[float, ...]:
        """Places of the marks that are not in a drawing [mm]."""
        return tuple(reading.value for reading in self.lists.get("marks", ()))

    @cached_property
    def marks(self) -> tuple[NamedPlace, ...]:
        """The marks along the edge, those of the drawing and those typed, in order.

        Raises
        ------
        ValueError
            For typed ones out of order.
        """
        own = [NamedPlace("", place) for place in self.own_marks]
        if self.edge.marks:
            return tuple(sorted([*self.edge.marks, *own], key=lambda m: m.place))
        return tuple(own)

    @property
    def places(self) -> tuple[float, ...]:
        """Places of the marks [mm]."""
        return tuple(mark.place for mark in self.marks)

    @property
    def ends(self) -> Ends | None:
        """What is done at the two ends; None where nothing was said.

        Raises
        ------
        ValueError
            For more than two ends, and for a spare or a wrap that belongs to none of them.
        """
        kinds, spare, wrap = self.question.ends, self.mm("spare"), self.mm("wrap")
        if len(kinds) > 2:
            raise ValueError(f"ends must be one word, or one for each end, got {len(kinds)}")
        for name, value, kind in (("spare", spare, "free"), ("wrap", wrap, "wrapped")):
            if value is not None and kind not in kinds:
                raise ValueError(f"--{name} goes with --ends {kind}; leave it out, or add that")
        if "wrapped" in kinds and wrap is None:
            raise ValueError(
                "--wrap is missing: what is glued down behind a wrapped end, such as 15"
            )
        if not kinds:
            return None
        made = [self._end(kind, spare=spare, wrap=wrap) for kind in kinds]
        return made[0], made[-1]

    def _end(self, kind: EndKind, *, spare: float | None, wrap: float | None) -> StripEnd:
        if kind == "wrapped" and wrap is not None:
            return StripEnd(kind=kind, leg=wrap, over=self.mm("edge_thickness") or 0.0)
        return StripEnd(kind=kind, spare=spare if kind == "free" else None)

    @property
    def joining(self) -> Joining:
        """How lengths are joined."""
        lap, longest = self.mm("lap"), self.mm("longest")
        if lap is None and longest is None:
            return BUTT
        return Joining(
            kind="butt" if lap is None else "lap", lap=lap or 0.0, longest=longest or np.inf
        )

    @property
    def limits(self) -> dict[str, Limit]:
        """Limits that were tested or said, in place of the usual ones."""
        most = self.question.most_stretch
        if most is not None:
            share = float(positive(most, "most stretch", "1")) / 100
            return {"stretch": own_limit(share, "1")}
        usual = rim_limits(self.strip)["stretch"]
        tested = stretch_limit(self.swatch, usual)
        return {} if tested is usual else {"stretch": tested}

    @property
    def pull(self) -> float:
        """Pull of a band [1]; 0 leaves it open."""
        share = self.question.pull
        return 0.0 if share is None else share

    @property
    def system(self) -> System:
        """Inches if a length was read in inches."""
        texts = (getattr(self.question, name) for name in _LENGTHS)
        read = [text for text in texts if text is not None]
        read += [r.text for places in self.lists.values() for r in places]
        return "in" if any(is_inch(text) for text in read) else "mm"

    @property
    def notes(self) -> tuple[str, ...]:
        """What must be said of the readings."""
        lifted: tuple[str, ...] = ()
        if self.question.kind in ("slit", "toothed") and self.bead:
            lifted = (
                f"the bead of {self.question.adhesive} lifts the strip by {self.bead:g} mm; that "
                f"is not counted: {self.bead * self.edge.curve.turn:+.1f} mm more",
            )
        return (
            *loose_places(self.lists),
            *lifted,
            *(() if self.swatch is None else self.swatch.notes),
        )

    @property
    def rests_on(self) -> tuple[str, ...]:
        """What the answer rests on."""
        q = self.question
        found = [self.edge.describe(q.units or self.system)]
        if q.thickness is None:
            row = look_up("limits", "default", "default_overlay_thickness")
            found.append(f"strip {row.printed} mm thick ({row.basis}); measure it: --thickness")
        if self.swatch is None:
            found += [f"foam {q.foam}: {row.describe()}" for row in foam_entries(q.foam)]
        else:
            found += [f"your swatch: {line}" for line in swatch_said(self.swatch)]
        return tuple(found)

    def _measured(self) -> TrimEdge:
        q = self.question
        return measured_edge(
            length=self.mm("length"),
            turn=None if q.turn is None else angle(q.turn, name="turn"),
            radius=self.mm("radius"),
            girth=self.mm("round"),
            around=q.around,
        )

    def _drawn(self, pattern: Pattern) -> TrimEdge:
        q = self.question
        if q.edge is None:
            raise ValueError(f"--edge NAME is missing: say the edge, {WAYS}")
        return drawn_edge(
            pattern, q.edge, start=q.start, end=q.end, outside=q.outside, around=q.around
        )

    def _refuse_mixed(self) -> None:
        """A bare number beside a reading in inches is taken for nothing: it must be said."""
        texts = place_texts(self.lists)
        for name in _LENGTHS:
            text = getattr(self.question, name)
            if text is not None:
                said = name.replace("_", " ")
                read_length(text, name=said)
                texts[said] = text
        mixed = bare_beside_inches(texts)
        if mixed is not None:
            raise ValueError(" ".join(mixed))
