"""Profiles laid over each other for a picture, and the layers that lie on them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from foamcalc.draw import ink
from foamcalc.draw.card_data import DrawnCover, Section
from foamcalc.shape.profile import Profile

Floats = NDArray[np.float64]


class Pose(NamedTuple):
    """A profile where it is drawn, with points close enough to be round."""

    fine: Profile
    per_arc: int
    """Points to each arc of the profile."""

    def point(self, joint: int, height: float = 0.0) -> tuple[float, float]:
        """Where a joint is, at a height over the inside [mm]."""
        return self.place(joint * self.per_arc, height)

    def place(self, index: int, height: float = 0.0) -> tuple[float, float]:
        """Where a fine point is, at a height over the inside [mm]."""
        out = self.normal(index)
        return (
            float(self.fine.x[index] + height * out[0]),
            float(self.fine.y[index] + height * out[1]),
        )

    def normal(self, index: int) -> tuple[float, float]:
        """Unit vector to the outside at a fine point."""
        heading = float(self.fine.heading[index])
        return -float(np.sin(heading)), float(np.cos(heading))


def poses(section: Section) -> tuple[Pose, Pose, Pose | None]:
    """Before, let go and next day, laid over each other.

    Open sections have their ends level and the middles of their mouths in one place. Rings lie
    on each other as well as a turn and a shift can bring them.
    """
    before, after = (_pose(p) for p in (section.before, section.after))
    later = None if section.next_day is None else _pose(section.next_day)
    if section.closed:
        before = before._replace(fine=_centred(before.fine))
        return before, _laid_over(after, before), later and _laid_over(later, before)
    return _levelled(before), _levelled(after), later and _levelled(later)


def _pose(profile: Profile) -> Pose:
    fine = ink.one_case(profile)
    return Pose(fine, (fine.x.size - 1) // (profile.x.size - 1))


def _levelled(pose: Pose) -> Pose:
    return pose._replace(fine=pose.fine.levelled())


def _spread(profile: Profile) -> Floats:
    """Points at even steps along a ring [mm], shape (2, n), its end left out."""
    along = np.append(0.0, np.cumsum(np.hypot(np.diff(profile.x), np.diff(profile.y))))
    at = np.linspace(0.0, along[-1], 720, endpoint=False)
    return np.stack([np.interp(at, along, part) for part in (profile.x, profile.y)])


def _centred(ring: Profile) -> Profile:
    x, y = _spread(ring).mean(1)
    return ring.shifted(-x, -y)


def _laid_over(pose: Pose, target: Pose) -> Pose:
    """A ring turned and shifted so that its points come as near to the target's as they can."""
    ring = _centred(pose.fine)
    (x, y), (goal_x, goal_y) = _spread(ring), _spread(target.fine)
    tilt = float(np.arctan2((x * goal_y - y * goal_x).sum(), (x * goal_x + y * goal_y).sum()))
    cos, sin = np.cos(tilt), np.sin(tilt)
    turned = cos * ring.x - sin * ring.y, sin * ring.x + cos * ring.y
    return pose._replace(fine=Profile(*turned, ring.heading + tilt))


class Piece(NamedTuple):
    """An overlay in its place."""

    number: int
    under: Profile
    """Its underside, where steps are points twice at one place."""
    thickness: float
    places: NDArray[np.int_]
    """Fine points of the base that it lies over."""


def pieces(pose: Pose, covers: Sequence[DrawnCover]) -> list[Piece]:
    """The overlays on a pose; covers that follow each other with one number are one piece."""
    found: list[Piece] = []
    arcs, end = (pose.fine.x.size - 1) // pose.per_arc, 0
    for cover in covers:
        piece = _piece(pose, cover)
        same = found and cover.number and found[-1].number == cover.number
        if same and end % arcs == cover.first % arcs:
            found[-1] = _joined(found[-1], piece)
        else:
            found.append(piece)
        end = cover.last
    return found


def _piece(pose: Pose, cover: DrawnCover) -> Piece:
    fine, count = pose.fine, pose.fine.x.size - 1
    first, last = (j * pose.per_arc for j in (cover.first, cover.last))
    places = np.arange(first, last + 1) if last > first else np.arange(first, last + count + 1)
    rounds, at = np.divmod(places, count)
    if not rounds.any() or last == count:
        rounds, at = np.zeros_like(places), places
    turned = fine.heading[at] + rounds * (fine.heading[-1] - fine.heading[0])
    on = Profile(fine.x[at], fine.y[at], turned)
    return Piece(cover.number, Profile(*on.offset(cover.height), turned), cover.thickness, at)


def _joined(one: Piece, other: Piece) -> Piece:
    """Two parts as one; where they meet at one height the point is kept once."""
    if one.thickness != other.thickness:
        raise ValueError(
            f"cover {one.number} has the thicknesses {one.thickness:g} and {other.thickness:g} mm; "
            "give its parts one thickness, or numbers of their own"
        )
    a, b = one.under, other.under
    turned = b.heading + (a.heading[-1] - b.heading[0])
    meets = np.hypot(a.x[-1] - b.x[0], a.y[-1] - b.y[0]) < 1e-9
    kept = slice(1 if meets else 0, None)
    under = Profile(
        np.append(a.x, b.x[kept]), np.append(a.y, b.y[kept]), np.append(a.heading, turned[kept])
    )
    return one._replace(under=under, places=np.append(one.places, other.places[kept]))


def height_of(pose: Pose, thickness: float, stack: Sequence[Piece]) -> Floats:
    """Height of the outermost surface over every fine point of the inside [mm]."""
    top = np.full(pose.fine.x.shape, float(thickness))
    for piece in stack:
        x, y = piece.under.offset(piece.thickness)
        over = np.hypot(x - pose.fine.x[piece.places], y - pose.fine.y[piece.places])
        np.maximum.at(top, piece.places, over)
    return top
