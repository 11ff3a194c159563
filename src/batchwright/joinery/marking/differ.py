"""How far the surface of one solid stands off another's at most: what an average over all its wood would hide."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from batchwright.geometry.frame import Array, Frame
from batchwright.solids.kernel import Ints
from batchwright.solids.solid import Solid, cross_products

AT_ONCE = 20_000
"""Points times triangles looked at together: bounds the memory taken."""
SAME = 1e-6
"""Corners this near to one another stand at one place [mm]."""
FLAT = 1e-5
"""A diagonal whose middle stands off a surface by no more lies in it [mm]."""
FIRST = 8
"""Points that look farthest off are tried before the others."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Surface:
    """A solid's surface: points (n, 3) that its triangles (m, 3) use, and which of them lie on a curved face (n,)."""

    points: Array
    triangles: Ints
    on_curve: NDArray[np.bool_]
    inside_out: bool = False
    """Whether the triangles are turned the wrong way round: a mirror image taken of the points alone."""

    @property
    def sharp(self) -> Array:
        """Points between flat faces only, which stand exactly where they are drawn (k, 3)."""
        return self.points[~self.on_curve]

    @property
    def curved(self) -> Array:
        """All other points (k, 3)."""
        return self.points[self.on_curve]


def surface_of(solid: Solid, place: Frame, middle: Array) -> Surface:
    """A solid's surface in the coordinates of a frame, counted from a middle (3,)."""
    used, triangles = np.unique(solid.triangles, return_inverse=True)
    flat = np.array([face.flat for face in solid.book])[solid.faces]
    on_curve = np.zeros(len(solid.vertices), dtype=bool)
    on_curve[solid.triangles[~flat]] = True
    points = place.many_to_world(solid.vertices[used]) - middle
    return Surface(
        points=points,
        triangles=triangles.reshape(-1, 3),
        on_curve=on_curve[used],
        inside_out=place.mirrored,
    )


def same_mesh(one: Surface, two: Surface) -> bool:
    """Whether two surfaces are the same, corner for corner and triangle for triangle."""
    if one.points.shape != two.points.shape or one.triangles.shape != two.triangles.shape:
        return False
    near, place = _nearest_points(one.points, two.points)
    if float(near.max()) > SAME or len(np.unique(place)) != len(place):
        return False
    first, second = place[one.triangles], two.triangles
    if one.inside_out != two.inside_out:
        first = first[:, ::-1]
    return bool(np.array_equal(_in_order(first, len(place)), _in_order(second, len(place))))


def same_surface(one: Surface, two: Surface) -> bool:
    """Whether two surfaces have the same corners and differ at most in how their flats are cut into triangles: every
    edge that only one of them has lies in the other."""
    if one.points.shape != two.points.shape:
        return False
    near, place = _nearest_points(one.points, two.points)
    if float(near.max()) > SAME or len(np.unique(place)) != len(place):
        return False
    first, second = _edges(place[one.triangles]), _edges(two.triangles)
    for mine, others, triangles in ((first, second, two.triangles), (second, first, place[one.triangles])):
        ends = two.points[np.array(sorted(mine - others), dtype=np.int64).reshape(-1, 2)]
        if farthest(ends.mean(axis=1), two.points[triangles]) > FLAT:
            return False
    return True


def _edges(triangles: Ints) -> set[tuple[int, int]]:
    """The edges of triangles (m, 3), the lower number first."""
    ends = np.sort(np.concatenate([triangles[:, :2], triangles[:, 1:], triangles[:, (2, 0)]]), axis=1)
    return {(low, high) for low, high in ends.tolist()}


def _in_order(triangles: Ints, points: int) -> Ints:
    """Triangles as numbers, each begun at its least corner, in order."""
    lead = triangles.argmin(axis=1)
    rows = np.arange(len(triangles))
    a, b, c = (triangles[rows, (lead + i) % 3] for i in range(3))
    ordered: Ints = np.sort((a * points + b) * points + c)
    return ordered


def _nearest_points(points: Array, others: Array) -> tuple[Array, Ints]:
    """Of each point (n, 3) the distance of the nearest of the others (m, 3), and its number."""
    squares = np.einsum("ij,ij->i", others, others)[None] - 2.0 * points @ others.T
    place = squares.argmin(axis=1)
    way = points - others[place]
    return np.sqrt(np.einsum("ij,ij->i", way, way)), place


def stands_off(points: Array, other: Surface, limit: float) -> bool:
    """Whether any of some points (n, 3) is farther from a surface than a limit [mm]."""
    if len(points) == 0:
        return False
    near, _ = _nearest_points(points, other.points)
    left = points[near > limit]
    if len(left) == 0:
        return False
    corners = other.points[other.triangles]
    first = np.argsort(-near[near > limit], kind="stable")
    if farthest(left[first[:FIRST]], corners) > limit:
        return True
    return farthest(left[first[FIRST:]], corners) > limit


def farthest(points: Array, corners: Array) -> float:
    """Greatest distance of points (n, 3) from a surface of triangles (m, 3, 3) [mm]; 0 without points."""
    if len(points) == 0:
        return 0.0
    step = max(1, AT_ONCE // max(1, len(corners)))
    return max(float(_distances(points[i : i + step], corners).max()) for i in range(0, len(points), step))


def _distances(points: Array, corners: Array) -> Array:
    """Of each point from the nearest triangle: its face where the point stands over it, else its nearest edge."""
    a, b, c = corners[:, 0], corners[:, 1], corners[:, 2]
    nearest = np.minimum(np.minimum(_from_edges(points, a, b), _from_edges(points, b, c)), _from_edges(points, c, a))
    normal = cross_products(b - a, c - a)
    size = np.sqrt(np.einsum("ij,ij->i", normal, normal))
    sound = size > 1e-12
    normal = np.where(sound[:, None], normal / np.where(sound, size, 1.0)[:, None], 0.0)
    over = np.broadcast_to(sound, nearest.shape).copy()
    for p, q in ((a, b), (b, c), (c, a)):
        inwards = cross_products(normal, q - p)
        over &= points @ inwards.T >= np.einsum("ij,ij->i", inwards, p)
    heights = np.abs(points @ normal.T - np.einsum("ij,ij->i", normal, a))
    found: Array = np.where(over, heights, nearest).min(axis=1)
    return found


def _from_edges(points: Array, start: Array, end: Array) -> Array:
    """Distance of points (n, 3) from line segments (m, 3), shape (n, m)."""
    way = end - start
    square = np.maximum(np.einsum("ij,ij->i", way, way), 1e-24)
    middle = points.mean(axis=0)  # squares of small numbers: what cancels stays under 1e-4 mm
    points, start = points - middle, start - middle
    along = points @ way.T - np.einsum("ij,ij->i", start, way)
    share = np.clip(along / square, 0.0, 1.0)
    straight = np.einsum("ij,ij->i", points, points)[:, None] - 2.0 * points @ start.T
    straight += np.einsum("ij,ij->i", start, start)
    lengths: Array = np.sqrt(np.maximum(straight - share * (2.0 * along - share * square), 0.0))
    return lengths
