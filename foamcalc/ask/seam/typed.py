"""What a maker typed about a seam, read: texts to millimetres, radians, and edges."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from foamcalc.ask.rules import bare_beside_inches
from foamcalc.ask.seam.build import EdgePiece, joined
from foamcalc.ask.seam.drawing import DrawnSeam, Wanted, drawn_seam, seam_in
from foamcalc.ask.seam.places import checked_places, loose_places, place_texts, read_places
from foamcalc.ask.seam.tape import EDGES, read_turns, taped_edge, words_of
from foamcalc.ask.swatch_record import modulus_spread, read_swatch, swatch_notes, swatch_said
from foamcalc.fit.seam import Seam, SeamEdge
from foamcalc.fit.stack import Face, Piece
from foamcalc.foam.grades import foam, foam_entries
from foamcalc.foam.swatch import Swatch, fit_swatch
from foamcalc.guards import positive
from foamcalc.shape.pattern import Pattern
from foamcalc.tables import look_up
from foamcalc.units import Reading, System, angle, is_inch, length, read_length

if TYPE_CHECKING:
    from foamcalc.ask.seam.question import SeamQuestion

_LENGTHS = ("thickness", "other_thickness", "depth", "other_depth")


class Typed:
    """A question with its texts read.

    Parameters
    ----------
    question : SeamQuestion
        As typed.
    pattern : Pattern or None
        The drawing that the edges are in; None where they were read off tapes.
    """

    def __init__(self, question: SeamQuestion, pattern: Pattern | None) -> None:
        self.question = question
        self.drawn = None if pattern is None else self._drawn(pattern)
        self.readings = self._readings() if pattern is None else {}
        self._refuse_mixed()

    @cached_property
    def seam(self) -> Seam:
        """The two edges, joined."""
        q = self.question
        if self.drawn is None:
            return joined(*self._taped(), reverse=True if q.reverse else None)
        return seam_in(
            self.drawn,
            pieces=self.pieces,
            held=self._held,
            by_order=q.by_order,
            reverse=True if q.reverse else None,
        )

    @cached_property
    def pieces(self) -> tuple[EdgePiece, EdgePiece]:
        """The pieces behind the edges; the second is like the first where nothing else is said."""
        return self._piece(other=False), self._piece(other=True)

    @property
    def system(self) -> System:
        """Inches if a place along an edge was read in inches."""
        read = [r for places in self.readings.values() for r in places]
        return "in" if any(is_inch(r.text) for r in read) else "mm"

    @property
    def notes(self) -> tuple[str, ...]:
        """What must be said of the readings, or of the drawing."""
        return (*loose_places(self.readings), *(() if self.drawn is None else self.drawn.notes))

    @property
    def bevel(self) -> float | None:
        """The cut of both edges from square [rad]."""
        q = self.question
        if q.bevel is None:
            return None
        if self.seam.a.turns is None or self.seam.b.turns is None:
            how = (
                "--turn and --other-turn, how much each edge turns between its ends; '0 deg' "
                "where it is straight"
                if self.drawn is None
                else "--outside and --other-outside: on which side of an open line no foam lies"
            )
            raise ValueError(f"bevel: say with it {how}; without it no one knows the longer face")
        return angle(q.bevel, name="bevel")

    @property
    def cut_back(self) -> Face:
        """The face that is set back: the inside at a ridge, the outside in a valley."""
        return "outside" if self.question.valley else "inside"

    @property
    def most_stretch(self) -> float | None:
        """Most that an edge may stretch cold [1]."""
        percent = self.question.most_stretch
        return None if percent is None else float(positive(percent, "most stretch", "1")) / 100

    @property
    def _held(self) -> tuple[bool, bool]:
        return self.question.held == "first", self.question.held == "second"

    @cached_property
    def _swatch(self) -> Swatch | None:
        """The maker's own test, of the first piece and of the second if it is like it."""
        q = self.question
        return None if q.swatch is None else fit_swatch(read_swatch(q.swatch), grade=q.foam)

    @cached_property
    def _called(self) -> tuple[str, str]:
        """What the two edges are called."""
        one, two = self.question.edge or EDGES[0], self.question.other_edge or EDGES[1]
        if one == two:
            raise ValueError(f"both edges are called {one!r}; give each its own name")
        return one, two

    def _readings(self) -> dict[str, tuple[Reading, ...]]:
        """The places along each edge, by the name of the edge."""
        texts = (self.question.first or "", self.question.second or "")
        both = zip(self._called, texts, strict=True)
        return {name: read_places(text, name=name) for name, text in both}

    def _refuse_mixed(self) -> None:
        """A bare number beside a reading in inches is taken for nothing: it must be said."""
        texts = place_texts(self.readings)
        for name in _LENGTHS:
            text = getattr(self.question, name)
            if text is not None:
                said = name.replace("_", " ")
                read_length(text, name=said)
                texts[said] = text
        mixed = bare_beside_inches(texts)
        if mixed is not None:
            raise ValueError(" ".join(mixed))

    def _taped(self) -> tuple[SeamEdge, SeamEdge]:
        q, pieces = self.question, self.pieces
        names = None if q.names is None else words_of(q.names, name="names")
        turns = [
            None if text is None else read_turns(text, name=name)
            for text, name in ((q.turn, "turn"), (q.other_turn, "other turn"))
        ]
        one, two = (
            taped_edge(
                name=name,
                piece=piece.piece,
                places=checked_places(self.readings[name], name=name),
                names=marks,
                turns=turn,
                depth=piece.depth,
                held=held,
            )
            for name, piece, marks, turn, held in zip(
                self._called, pieces, (names, None), turns, self._held, strict=True
            )
        )
        return one, two

    def _drawn(self, pattern: Pattern) -> DrawnSeam:
        q = self.question
        left = () if q.leave_out is None else words_of(q.leave_out, name="leave out")
        return drawn_seam(
            pattern,
            Wanted(str(q.edge), q.start, q.end, q.outside),
            Wanted(str(q.other_edge), q.other_start, q.other_end, q.other_outside),
            by_order=q.by_order,
            leave_out=left,
        )

    def _piece(self, *, other: bool) -> EdgePiece:
        """The piece behind one edge."""
        q, which = self.question, "other " if other else ""
        thickness, said = self._thickness(other)
        grade = q.other_foam if other and q.other_foam is not None else q.foam
        swatch = None if other and q.other_foam is not None else self._swatch
        depth = q.other_depth if other else q.depth
        name = f"{which}depth"
        piece = Piece(
            thickness=thickness,
            law=foam(grade) if swatch is None else swatch.law,
            modulus_spread=modulus_spread(swatch),
        )
        lines = (
            (f"foam {grade}: {row.describe()}" for row in foam_entries(grade))
            if swatch is None
            else (f"your swatch: {line}" for line in swatch_said(swatch))
        )
        return EdgePiece(
            piece=piece,
            depth=np.inf if depth is None else float(positive(length(depth, name=name), name)),
            swatch=swatch,
            rests_on=(*said, *lines),
            notes=() if swatch is None else swatch_notes(swatch),
        )

    def _thickness(self, other: bool) -> tuple[float, tuple[str, ...]]:
        """A thickness in mm, and where it comes from if it was not said."""
        q = self.question
        name, text = "thickness", q.thickness
        if other and q.other_thickness is not None:
            name, text = "other thickness", q.other_thickness
        if text is not None:
            return float(positive(length(text, name=name), name)), ()
        row = look_up("limits", "default", "default_base_thickness")
        said = f"foam {row.printed} mm thick ({row.basis}); measure it: --thickness"
        return row.in_unit("mm"), (said,)
