"""Whole builds: cans, cubes, nets, rings and random solids; two full turns for anything closed.

Kinds of expected values are named beside them. Where a tolerance is not the printed digits it is a
small multiple of the rounding of float64.
"""

from __future__ import annotations

import dataclasses
import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components
from scipy.spatial import ConvexHull

from foamcalc.shape.arcs import Arcs
from foamcalc.shape.curve import Arc, TurnedLength
from foamcalc.shape.flat import FlatPiece, Loop
from foamcalc.shape.joined import joined
from foamcalc.shape.polyline import Polyline

PI = math.pi
RIGHT = PI / 2
patient = settings(deadline=None, max_examples=60)


def straight(length):
    return TurnedLength(length, 0)


def wall(round_=100 * PI, high=80.0, name="wall"):
    sides = ("bottom", round_), ("end", high), ("top", round_), ("start", high)
    return FlatPiece(name, {side: straight(long) for side, long in sides}, [RIGHT] * 4)


def lid(radius=50.0, name="lid"):
    return FlatPiece(name, {"edge": Arc(radius, 2 * PI, closed=True)})


def gore(n, name):
    """A gore with edges that are arcs, tips of 2 atan(π/n), twice as bent as its half tip."""
    half = math.atan(PI / n)
    edge = Arc(100, 2 * half)
    return FlatPiece(name, {"left": edge, "right": edge}, [2 * half, 2 * half])


def from_faces(points, faces):
    """Pieces and joins of a solid: each face is a loop of point numbers, seen from outside."""
    pieces, owner = [], {}
    for number, face in enumerate(faces):
        loop = [*face, face[0]]
        edges, angles = {}, []
        for (a, b), before in zip(pairwise(loop), [face[-1], *face[:-1]], strict=True):
            edges[f"{a}-{b}"] = straight(float(np.linalg.norm(points[b] - points[a])))
            owner[a, b] = (f"face {number}", f"{a}-{b}")
            u, v = points[b] - points[a], points[before] - points[a]
            angles.append(math.acos(u @ v / np.linalg.norm(u) / np.linalg.norm(v)))
        pieces.append(FlatPiece(f"face {number}", edges, angles))
    return pieces, [(own, owner[b, a]) for (a, b), own in owner.items() if a < b]


def point_of(meeting):
    """The number of the point of a solid, from the edges that begin there: all say the same."""
    (number,) = {int(edge.split("-")[0]) for _, edge in meeting.corners}
    return number


# Closed -----------------------------------------------------------------------------------------


def test_a_can():
    """Exact by hand: one full turn for each lid, nothing down the side or at the corners."""
    can = joined(
        [lid(), wall(), lid(name="base")],
        [
            (("lid", "edge"), ("wall", "top")),
            (("wall", "bottom"), ("base", "edge")),
            (("wall", "start"), ("wall", "end")),
        ],
    )
    assert (can.closed, can.euler, can.parts, can.rim_length) == (True, 2, 1, 0)
    np.testing.assert_allclose([seam.curvature for seam in can.seams], [2 * PI, 2 * PI, 0])
    np.testing.assert_allclose([seam.length for seam in can.seams], [100 * PI, 100 * PI, 80])
    np.testing.assert_allclose([corner.angle for corner in can.meetings], [2 * PI, 2 * PI])
    assert can.curvature == pytest.approx(4 * PI, rel=1e-14)
    assert can.misfit == pytest.approx(0, abs=1e-13)


@pytest.mark.parametrize("n", [2, 5, 8])
def test_a_ball_of_gores(n):
    """Exact by hand: a seam turns 4 atan(π/n), a pole misses 2π − 2n atan(π/n)."""
    gores = [gore(n, f"gore {i}") for i in range(n)]
    joins = [((f"gore {i}", "right"), (f"gore {(i + 1) % n}", "left")) for i in range(n)]
    ball = joined(gores, joins)
    assert (ball.closed, ball.euler, len(ball.meetings)) == (True, 2, 2)
    for seam in ball.seams:
        assert seam.curvature == pytest.approx(4 * math.atan(PI / n), rel=1e-14)
    for pole in ball.meetings:
        assert pole.curvature == pytest.approx(2 * PI - 2 * n * math.atan(PI / n), rel=1e-13)
        assert len(pole.corners) == n
    assert ball.curvature == pytest.approx(4 * PI, rel=1e-14)


def test_a_cushion_of_a_left_and_a_right_leaf():
    """Exact by hand: an uneven leaf and the same turned over, edge on edge."""
    leaf = FlatPiece(
        "left",
        {"long": Arcs([60, 50], [0.7, 0.2]), "short": straight(90), "low": Arc(40, 1.0)},
        [2.0, 0.9, PI - 1.0],
    )
    other = leaf.turned_over().named("right")
    assert list(other.edges) == ["low", "short", "long"]
    # the corner between long and low begins low there, and long here
    assert other.angles == pytest.approx([2.0, PI - 1.0, 0.9])
    both = joined([leaf, other], [(("left", e), ("right", e)) for e in leaf.edges])
    assert (both.closed, both.euler, len(both.meetings)) == (True, 2, 3)
    np.testing.assert_allclose(
        sorted(corner.angle for corner in both.meetings), 2 * np.sort(leaf.angles)
    )
    assert both.curvature == pytest.approx(4 * PI, rel=1e-13)
    assert other.turned_over() == dataclasses.replace(leaf, name="right")


NETS = {
    "cross": [(1, 0), (1, 1), (1, 2), (1, 3), (0, 2), (2, 2)],
    "stair": [(0, 0), (1, 0), (1, 1), (2, 1), (2, 2), (3, 2)],
    "two rows of three": [(0, 0), (1, 0), (2, 0), (2, 1), (3, 1), (4, 1)],
}


def folded(cells):
    """Points in space of every side of every square of a net, rolled up from the first square."""
    at = {cells[0]: np.array([[0, 0, 0], [1, 0, 0], [0, 1, 0], [0, 0, 1]])}
    queue = [cells[0]]
    while queue:
        x, y = queue.pop()
        base, u, v, n = at[x, y]  # a corner, along both sides, and into the cube
        turned = {
            (x + 1, y): (base + u, n, v, -u),
            (x - 1, y): (base + n, -n, v, u),
            (x, y + 1): (base + v, u, n, -v),
            (x, y - 1): (base + n, u, -n, v),
        }
        for cell in turned.keys() & set(cells) - at.keys():
            at[cell] = np.array(turned[cell])
            queue.append(cell)
    sides = {}
    for x, y in cells:
        base, u, v, _ = at[x, y]
        flat = [(x, y), (x + 1, y), (x + 1, y + 1), (x, y + 1), (x, y)]
        space = [tuple(p.tolist()) for p in (base, base + u, base + u + v, base + v, base)]
        for side, corners in zip(pairwise(flat), pairwise(space), strict=True):
            sides[side] = corners
    return sides


@pytest.mark.parametrize("net", NETS)
def test_a_cube_folded_from_its_net(net):
    """Exact by hand: fourteen edges in seven pairs, eight corners of the cube that miss π/2 each.

    Which edges meet is found by rolling up the net in space. The creases inside it are straight
    and add nothing.
    """
    sides = folded(NETS[net])
    outer = {a: b for a, b in sides if (b, a) not in sides}
    way = [min(outer)]
    while len(way) < len(outer):
        way.append(outer[way[-1]])
    assert len(way) == 14
    steps = np.array([*way[1:], way[0]]) - np.array(way)
    before = np.roll(steps, 1, axis=0)
    turns = before[:, 0] * steps[:, 1] - before[:, 1] * steps[:, 0]  # 1 to the left, -1, or on
    edges = {str(i): straight(1) for i in range(14)}
    piece = FlatPiece("net", edges, PI - RIGHT * turns)
    space = [sides[a, outer[a]] for a in way]
    joins = [
        (("net", str(i)), ("net", str(space.index(ends[::-1]))))
        for i, ends in enumerate(space)
        if i < space.index(ends[::-1])
    ]
    cube = joined([piece], joins)
    assert (cube.closed, cube.euler, len(cube.seams)) == (True, 2, 7)
    np.testing.assert_allclose([corner.curvature for corner in cube.meetings], [RIGHT] * 8)
    assert cube.curvature == pytest.approx(4 * PI, rel=1e-14)
    met = {space[int(corner.corners[0][1])][0] for corner in cube.meetings}
    assert len(met) == 8


def test_a_cube_from_two_bent_strips():
    """Exact by hand: three squares in a row and three more, all corners inside the one seam."""
    points = [(0, 0), (10, 0), (20, 0), (30, 0), (30, 10), (20, 10), (10, 10), (0, 10)]
    one, other = (
        FlatPiece(name, {"edge": Polyline(points[k:] + points[:k], closed=True)})
        for name, k in (("one", 0), ("other", 1))
    )
    cube = joined([one, other], [(("one", "edge"), ("other", "edge"))])
    assert (cube.closed, cube.euler) == (True, 2)
    assert cube.seams[0].curvature == pytest.approx(4 * PI, rel=1e-14)
    assert cube.misfit == pytest.approx(0, abs=1e-13)


def test_tetrahedron():
    """Exact by hand: four corners where three angles of 60 deg meet miss half a turn each."""
    points = np.array([[1, 1, 1], [1, -1, -1], [-1, 1, -1], [-1, -1, 1]]) * 20.0
    build = joined(*from_faces(points, [(0, 1, 2), (0, 2, 3), (0, 3, 1), (1, 3, 2)]))
    np.testing.assert_allclose([corner.curvature for corner in build.meetings], [PI] * 4)
    assert [seam.curvature for seam in build.seams] == [0.0] * 6
    assert build.curvature == pytest.approx(4 * PI, rel=1e-14)
    assert build.euler == 2


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_a_random_solid(seed):
    """Independent: hull by scipy, angles missing summed point by point in space."""
    points = np.random.default_rng(seed).normal(size=(40, 3)) * [50, 80, 30]
    hull = ConvexHull(points)
    faces = []
    for face, plane in zip(hull.simplices, hull.equations, strict=True):
        a, b, c = points[face]
        faces.append(tuple(face if np.cross(b - a, c - a) @ plane[:3] > 0 else face[::-1]))
    build = joined(*from_faces(points, faces))
    missing = {int(i): 2 * PI for i in hull.vertices}
    for i, j, k in (tuple(np.roll(face, turn)) for face in hull.simplices for turn in range(3)):
        across, near, far = (
            np.linalg.norm(points[p] - points[q]) for p, q in ((j, k), (i, j), (i, k))
        )
        missing[int(i)] -= math.acos((near**2 + far**2 - across**2) / (2 * near * far))
    found = {point_of(corner): corner.curvature for corner in build.meetings}
    assert found.keys() == missing.keys()
    for number, curvature in missing.items():
        assert found[number] == pytest.approx(curvature, abs=1e-10)
    assert build.euler == len(hull.vertices) - len(build.seams) + len(faces) == 2
    assert build.curvature == pytest.approx(4 * PI, rel=1e-12)


def voxel_faces(cells):
    """Points and outer faces of unit cubes, seen from outside."""
    points, faces = {}, []
    for cell in cells:
        for axis in range(3):
            for side in (0, 1):
                beside = list(cell)
                beside[axis] += 2 * side - 1
                if tuple(beside) in cells:
                    continue
                u, v = np.eye(3, dtype=int)[[(axis + 1) % 3, (axis + 2) % 3]]
                base = np.array(cell) + side * np.eye(3, dtype=int)[axis]
                loop = [base, base + u, base + u + v, base + v]
                face = [points.setdefault(tuple(p.tolist()), len(points)) for p in loop]
                faces.append(tuple(face if side else face[::-1]))
    return np.array(list(points), dtype=float), faces


def test_a_ring_of_eight_blocks():
    """Exact by hand: eight corners outside and eight inside cancel: no curvature in all."""
    cells = {(x, y, 0) for x in range(3) for y in range(3)} - {(1, 1, 0)}
    build = joined(*from_faces(*voxel_faces(cells)))
    assert (build.closed, build.euler, build.parts) == (True, 0, 1)
    assert build.curvature == pytest.approx(0, abs=1e-12)
    corners = np.round([corner.curvature / RIGHT for corner in build.meetings], 9)
    assert sorted(corners)[:8] == [-1] * 8
    assert sorted(corners)[-8:] == [1] * 8
    assert (np.sort(corners)[8:-8] == 0).all()


def test_a_sheet_joined_round_both_ways_is_a_ring():
    """Exact by hand: four right angles at the one corner there is."""
    ring = joined(
        [wall()], [(("wall", "bottom"), ("wall", "top")), (("wall", "start"), ("wall", "end"))]
    )
    assert (ring.euler, len(ring.meetings)) == (0, 1)
    assert ring.curvature == pytest.approx(0, abs=1e-14)


def test_two_lenses_are_two_shells():
    """Exact by hand: 4π for each."""
    names = [("a", "b"), ("c", "d")]
    pieces = [lid(name=name) for pair in names for name in pair]
    build = joined(pieces, [((p, "edge"), (q, "edge")) for p, q in names])
    assert (build.parts, build.euler) == (2, 4)
    assert build.curvature == pytest.approx(8 * PI, rel=1e-14)


@patient
@given(pairs=st.permutations(range(10)))
def test_a_polygon_glued_to_itself_anyhow(pairs):
    """Independent: corners by scipy's connected components; the identity holds for each of them."""
    n = len(pairs)
    polygon = FlatPiece("sheet", {str(i): straight(10) for i in range(n)}, [PI - 2 * PI / n] * n)
    joins = list(zip(pairs[::2], pairs[1::2], strict=True))
    build = joined([polygon], [(("sheet", str(i)), ("sheet", str(j))) for i, j in joins])
    rows = [k for i, j in joins for k in (i, (i + 1) % n)]
    columns = [k for i, j in joins for k in ((j + 1) % n, j)]
    graph = coo_array((np.ones(len(rows)), (rows, columns)), shape=(n, n))
    corners, label = connected_components(graph, directed=False)
    assert len(build.meetings) == corners
    assert build.euler == corners - n // 2 + 1
    groups = {frozenset(int(edge) for _, edge in corner.corners) for corner in build.meetings}
    assert groups == {frozenset(np.flatnonzero(label == k).tolist()) for k in range(corners)}
    assert build.misfit == pytest.approx(0, abs=1e-12)


# Open -------------------------------------------------------------------------------------------


def test_a_tube_open_at_both_ends():
    """Exact by hand: no curvature, two rims that are straight in the sheet."""
    tube = joined(
        [wall()],
        [(("wall", "end"), ("wall", "start"))],
        left_open=[("wall", "top"), ("wall", "bottom")],
    )
    assert (tube.closed, tube.euler, tube.curvature) == (False, 0, 0)
    assert [rim.edges for rim in tube.rims] == [(("wall", "bottom"),), (("wall", "top"),)]
    np.testing.assert_allclose([rim.turn for rim in tube.rims], 0, atol=1e-14)
    assert tube.rim_length == pytest.approx(200 * PI, rel=1e-14)
    assert [corner.on_rim for corner in tube.meetings] == [True, True]


def test_a_bowl():
    """Exact by hand: a lid on a wall, one full turn, a straight rim."""
    bowl = joined(
        [lid(), wall()],
        [(("lid", "edge"), ("wall", "bottom")), (("wall", "end"), ("wall", "start"))],
        left_open=[("wall", "top")],
    )
    assert bowl.euler == 1
    assert bowl.curvature == pytest.approx(2 * PI, rel=1e-14)
    assert bowl.rim_length == pytest.approx(100 * PI, rel=1e-14)
    assert bowl.misfit == pytest.approx(0, abs=1e-13)


def test_a_flat_piece_and_a_disc_with_a_hole():
    """Exact by hand: nothing joined; all the turning is in the rims."""
    plate = FlatPiece(
        "plate",
        {"outer": Arc(50, 2 * PI, closed=True)},
        holes=[Loop({"a": Arc(20, -PI), "b": Arc(20, -PI)}, [PI, PI])],
    )
    assert plate.euler == 0
    build = joined([plate], [], left_open=[("plate", e) for e in ("outer", "a", "b")])
    assert (build.euler, build.curvature, len(build.rims)) == (0, 0, 2)
    np.testing.assert_allclose([rim.turn for rim in build.rims], [2 * PI, -2 * PI])
    np.testing.assert_allclose([rim.length for rim in build.rims], [100 * PI, 40 * PI])
    sheet = joined([wall()], [], left_open=[("wall", e) for e in wall().edges])
    assert (sheet.euler, len(sheet.rims)) == (1, 1)
    assert sheet.rims[0].turn == pytest.approx(2 * PI, rel=1e-14)
    assert sheet.rims[0].edges == tuple(("wall", e) for e in ("end", "top", "start", "bottom"))


def test_a_dart_makes_a_point():
    """Exact by hand: a wedge of 0.4 out of a disc leaves a cone that misses 0.4 at its point."""
    disc = FlatPiece(
        "disc",
        {"in": straight(50), "out": straight(50), "rim": Arc(50, 2 * PI - 0.4)},
        [RIGHT, 2 * PI - 0.4, RIGHT],
    )
    cone = joined([disc], [(("disc", "in"), ("disc", "out"))], left_open=[("disc", "rim")])
    (point,) = (corner for corner in cone.meetings if not corner.on_rim)
    assert point.corners == (("disc", "out"),)
    assert point.curvature == pytest.approx(0.4, rel=1e-14)
    assert cone.curvature == pytest.approx(0.4, rel=1e-14)
    assert cone.rims[0].turn == pytest.approx(2 * PI - 0.4, rel=1e-14)
    assert cone.misfit == pytest.approx(0, abs=1e-14)


def test_a_roof_of_six_flat_pieces():
    """Exact by hand: tips of 0.6 leave 2π − 3.6 at the top; the rim turns by 0.6 at each seam."""
    side = {"right": straight(50), "low": straight(30), "left": straight(50)}
    base = (PI - 0.6) / 2
    gores = [FlatPiece(f"g{i}", side, [0.6, base, base]) for i in range(6)]
    joins = [((f"g{i}", "right"), (f"g{(i - 1) % 6}", "left")) for i in range(6)]
    roof = joined(gores, joins, left_open=[(g.name, "low") for g in gores])
    assert roof.curvature == pytest.approx(2 * PI - 3.6, rel=1e-14)
    np.testing.assert_allclose(
        [corner.curvature for corner in roof.meetings if corner.on_rim], [0.6] * 6
    )
    (rim,) = roof.rims
    assert rim.length == pytest.approx(180)
    assert rim.turn == pytest.approx(3.6, rel=1e-13)
    assert roof.euler == 1
    order = [int(name[1:]) for name, _ in rim.edges]
    assert (np.diff([*order, order[0]]) % 6 == 1).all()  # round the mouth, one after the other


def test_the_table_of_a_build():
    """Exact by hand: the bowl, row by row."""
    bowl = joined(
        [lid(), wall()],
        [(("lid", "edge"), ("wall", "bottom")), (("wall", "end"), ("wall", "start"))],
        left_open=[("wall", "top")],
    )
    table = bowl.table()
    assert list(table) == ["what", "edges", "length [mm]", "curvature [deg]"]
    assert table["what"].tolist() == ["seam", "seam", "corner", "corner on a rim", "rim"]
    np.testing.assert_allclose(table["curvature [deg]"], [360, 0, 0, 0, 0], atol=1e-12)
    assert table["edges"][0] == "lid: edge, wall: bottom"
    assert table["length [mm]"][4] == pytest.approx(100 * PI)


# What is refused --------------------------------------------------------------------------------

SIDE = (("wall", "start"), ("wall", "end"))
TOP = (("lid", "edge"), ("wall", "top"))


@pytest.mark.parametrize(
    ("joins", "left_open", "words"),
    [
        (
            [TOP, SIDE],
            (),
            r"^joined to nothing, 314\.2 mm in all: 'bottom' of 'wall' \(314\.2 mm\); join each",
        ),
        (
            [SIDE],
            (),
            r"^joined to nothing, 942\.5 mm in all: 'edge' of 'lid' .*, 'bottom' of 'wall'",
        ),
        (
            [TOP, SIDE, (("wall", "bottom"), ("wall", "end"))],
            (),
            r"^join 3 joins edge 'end' of 'wall' to 'bottom' of 'wall', but it is already joined "
            r"to 'start' of 'wall'; an edge is joined once$",
        ),
        ([(("lid", "edge"), ("lid", "edge"))], (), r"^join 1 joins edge 'edge' of 'lid' to itself"),
        (
            [(("lid", "edge"), ("wall", "tpo"))],
            (),
            r"^join 1: the edge of piece 'wall' must be one of .* got 'tpo'; did you mean 'top'\?$",
        ),
        ([(("lip", "edge"), SIDE[0])], (), r"^join 1: the piece must .* did you mean 'lid'\?$"),
        ([TOP], [("wall", "base")], r"^left_open: the edge of piece 'wall' must be one of"),
        (
            [TOP],
            [("wall", "top")],
            r"^edge 'top' of 'wall' is named in left_open, but it is joined",
        ),
        (
            [(("lid", "edge"), ("wall", "end"))],
            (),
            r"but in join 1 \(lid: edge, wall: end\) they are 314\.2 and 80 mm long; check the ",
        ),
        ([(TOP[0], TOP[1], SIDE[0])], (), r"^join 1 must be two edges, got"),
    ],
)
def test_joins_that_do_not_make_a_build(joins, left_open, words):
    with pytest.raises(ValueError, match=words):
        joined([lid(), wall()], joins, left_open=left_open)


def test_pieces_that_do_not_make_a_build():
    with pytest.raises(ValueError, match=r"^two pieces have the name 'lid'; give each its own$"):
        joined([lid(), wall(), lid()], [TOP])
    with pytest.raises(ValueError, match=r"^pieces must be one or more, got none$"):
        joined([], [])
    with pytest.raises(TypeError, match=r"^join 1: an edge must be named by its piece and itself"):
        joined([lid(), wall()], [("lid", 3)])
    with pytest.raises(
        TypeError, match=r"^join 1: the edge of piece 'lid' must be one of .* got 3$"
    ):
        joined([lid(), wall()], [(("lid", 3), ("wall", "top"))])
    with pytest.raises(TypeError, match=r"^join 1: an edge must be named .* got \['lid', \[\]\]$"):
        joined([lid(), wall()], [(["lid", []], ("wall", "top"))])


def test_the_corner_that_is_wrong_is_named():
    """Exact by hand: a slanted piece whose one angle was read 5 deg too small."""
    outline = np.array([(0, 0), (60, 0), (80, 40), (10, 55)])
    step = np.diff(outline, axis=0, append=outline[:1])
    names = ["bottom", "right", "top", "left"]
    edges = {n: straight(float(np.hypot(*s))) for n, s in zip(names, step, strict=True)}
    ways = np.arctan2(step[:, 1], step[:, 0])
    angles = PI - np.mod(ways - np.roll(ways, 1), 2 * PI)
    assert FlatPiece("flank", edges, angles).euler == 1
    for i, name in enumerate(names):
        wrong = angles.copy()
        wrong[i] -= np.radians(5)
        true, read = np.degrees([angles[i], wrong[i]])
        words = (
            rf"round piece 'flank' turn through 365\.0 deg, and a flat piece makes 360\.0; it "
            rf"would close with {true:.1f} deg instead of {read:.1f} at the start of edge '{name}'$"
        )
        with pytest.raises(ValueError, match=words):
            FlatPiece("flank", edges, wrong)
        assert FlatPiece("flank", edges, wrong, slack=np.radians(5.1)).euler == 1


@pytest.mark.parametrize(
    ("edges", "angles", "words"),
    [
        # an edge curved the wrong way: no single corner puts it right
        (
            {"a": Arc(100, -1), "b": Arc(100, 1)},
            [1.0, 1.0],
            r"turn through 245\.4 deg, .* check the angles, which way each edge curves",
        ),
        (
            {"a": straight(1), "b": straight(1)},
            [1.0],
            r"^piece 'p': angles must be one for each of",
        ),
        ({"a": Arc(9, 2 * PI, closed=True)}, [PI], r"angles must be none on a closed edge, got 1$"),
        (
            {"a": Arc(9, 2 * PI, closed=True), "b": straight(1)},
            [1, 1],
            r"edge 'a' is closed, so it",
        ),
        (
            {"a": straight(1), "b": straight(1)},
            [1.0, math.nan],
            r"^piece 'p': angles must be a fin",
        ),
        ({}, (), r"^piece 'p': edges must be one or more, got none$"),
    ],
)
def test_what_is_no_flat_piece(edges, angles, words):
    with pytest.raises(ValueError, match=words):
        FlatPiece("p", edges, angles)


def test_names_and_kinds_that_are_refused():
    disc = Arc(9, 2 * PI, closed=True)
    with pytest.raises(TypeError, match=r"^a piece must have a name, got ''$"):
        FlatPiece("", {"a": disc})
    with pytest.raises(TypeError, match=r"^piece 'p': an edge must have a name, got 3$"):
        FlatPiece("p", {3: disc})
    with pytest.raises(TypeError, match=r"^piece 'p': edge 'a' must be a Curve, got float$"):
        FlatPiece("p", {"a": 9.0})
    with pytest.raises(TypeError, match=r"^holes must each be a Loop, got dict$"):
        FlatPiece("p", {"a": disc}, holes=[{"b": disc}])
    hole = Loop({"a": Arc(3, -2 * PI, closed=True)})
    with pytest.raises(ValueError, match=r"^piece 'p' has two edges of the name 'a'$"):
        FlatPiece("p", {"a": disc}, holes=[hole])
    with pytest.raises(
        ValueError, match=r"turn through 360\.0 deg, and the edges of a hole make -3"
    ):
        FlatPiece("p", {"a": disc}, holes=[Loop({"b": disc})])
    with pytest.raises(ValueError, match=r"^slack must be a finite angle of 0 rad or more, got -1"):
        FlatPiece("p", {"a": disc}, slack=-1)
    with pytest.raises(TypeError):
        FlatPiece("p", {"a": disc}).edges["b"] = disc
