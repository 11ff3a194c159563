"""A solid made ready for sight lines: its triangles' edges as lines in space, so that many lines are tried at once.

A straight line passes inside a triangle where it runs round all three edges the same way. How it runs round an edge is
a product of the two lines' coordinates (Pluecker), so all lines against all edges are one product of two matrices.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from batchwright.geometry.frame import Array
from batchwright.solids.bodies import across
from batchwright.solids.kernel import Ints
from batchwright.solids.solid import Solid, cross_products

EDGE = 1e-9
"""A line that passes this near the border of a triangle still strikes it (a share of the triangle)."""
SLACK = 1e-6
"""Lines that pass outside an edge by less are looked at closely (a distance times the edge's length) [mm^2]."""
GRAZING = 1e-12
"""A triangle seen by a line with less than this of its (double) area is seen edge on [mm^2]."""
HANDFUL = 4
"""So few triangles are tried against every line."""
NEAR = 1e-6
"""Boxes that come this near are looked at [mm]."""
SOME, FEW = 100, 30_000
"""So many lines, and lines times triangles, are tried at once, without looking which are near."""
KEPT = 128
"""Solids kept ready: those of a few revisions."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Target:
    """middle: (3,); corners: c, a, b of each triangle (m, 3, 3), from it; normals (m, 3): outward, twice as long as the
    area; edges (6, 4m): moments then directions of a-b of all triangles, of b-c, of c-a, then the normals; numbers (m,)
    of the triangles; low, high (m, 3): their boxes."""

    middle: Array
    corners: Array
    normals: Array
    edges: Array
    numbers: Ints
    low: Array
    high: Array

    def within(self, low: Array, high: Array) -> Target:
        """The same with only those triangles whose boxes come into a box (3,), (3,) of outer coordinates."""
        low, high = low - self.middle, high - self.middle
        near = np.nonzero(((self.low <= high) & (self.high >= low)).all(axis=1))[0]
        if len(near) == len(self.numbers):
            return self
        return Target(
            middle=self.middle,
            corners=self.corners[near],
            normals=self.normals[near],
            edges=self.edges.reshape(6, 4, -1)[:, :, near].reshape(6, -1),
            numbers=self.numbers[near],
            low=self.low[near],
            high=self.high[near],
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Crossings:
    """Where lines pass through triangles, k of them in order of line and triangle: line (k,), triangle (k,), depth (k,)
    along the line's direction of length 1 [mm], and whether the line goes in there (k,)."""

    line: Ints
    triangle: Ints
    depth: Array
    entering: NDArray[np.bool_]


@lru_cache(maxsize=KEPT)
def target_of(solid: Solid) -> Target:
    """A solid ready for sight lines."""
    low, high = solid.bounds
    middle = (low + high) / 2.0
    corners = (solid.vertices - middle)[solid.triangles]
    a, b, c = corners[:, 0], corners[:, 1], corners[:, 2]
    starts, ends = np.concatenate([a, b, c]), np.concatenate([b, c, a])
    normals = cross_products(b - a, c - a)
    edges = np.zeros((6, 4 * len(a)))
    edges[:3, : 3 * len(a)] = cross_products(starts, ends).T
    edges[3:, : 3 * len(a)] = (ends - starts).T
    edges[:3, 3 * len(a) :] = normals.T
    return Target(
        middle=middle,
        corners=np.ascontiguousarray(corners[:, (2, 0, 1)]),
        normals=normals,
        edges=edges,
        numbers=np.arange(len(solid.triangles)),
        low=np.minimum(np.minimum(a, b), c) - NEAR,
        high=np.maximum(np.maximum(a, b), c) + NEAR,
    )


def crossings(target: Target, origins: Array, ways: Array) -> Crossings:
    """All triangles that lines from `origins` (n, 3) along `ways` (n, 3; length 1) pass through, behind them too."""
    starts = origins - target.middle
    lines = np.concatenate([ways, cross_products(starts, ways)], axis=1)
    rounds = (lines @ target.edges).reshape(len(lines), 4, -1)
    ab, bc, ca, facing = (rounds[:, i] for i in range(4))
    inside = np.minimum(np.minimum(ab, bc), ca) >= -SLACK
    inside |= np.maximum(np.maximum(ab, bc), ca) <= SLACK
    line, k = np.nonzero(inside)
    seen = facing[line, k]
    share = rounds[line, :3, k] / np.where(np.abs(seen) > GRAZING, seen, np.nan)[:, None]
    sure = np.nonzero((share >= -EDGE).all(axis=1))[0]
    line, k, seen, share = line[sure], k[sure], seen[sure], share[sure]
    heights = (target.corners[k] * ways[line, None, :]).sum(axis=2)
    depth = (share * heights).sum(axis=1) - (starts * ways).sum(axis=1)[line]
    return Crossings(line=line, triangle=target.numbers[k], depth=depth, entering=seen < 0.0)


def parallel_crossings(target: Target, origins: Array, way: Array, only_in: bool = False) -> Crossings:
    """The same for parallel lines, one way (3,) for all, but not behind where they begin: many of them are tried only
    on the triangles near them, and where asked only on those they go in by."""
    if len(origins) <= SOME and len(origins) * len(target.numbers) <= FEW:
        return crossings(target, origins, np.broadcast_to(way, origins.shape))
    axes = _square_to(way)
    starts = (origins - target.middle) @ axes.T
    double = target.normals @ way
    seen = np.nonzero(double < -GRAZING if only_in else np.abs(double) > GRAZING)[0]
    turned = (target.corners[seen].reshape(-1, 3) @ axes.T).reshape(-1, 3, 3)
    low, high = turned.min(axis=1) - NEAR, turned.max(axis=1) + NEAR
    first, last = starts.min(axis=0), starts.max(axis=0)
    near = ((low[:, :2] <= last[:2]) & (high >= first)[:, :2]).all(axis=1) & (high[:, 2] >= first[2] - NEAR)
    line, k = _pairs_near(starts, low[near, :2], high[near, :2])
    return _crossed(starts, (turned[near], double[seen[near]], target.numbers[seen[near]]), (line, k))


def _crossed(starts: Array, triangles: tuple[Array, Array, Ints], pairs: tuple[Ints, Ints]) -> Crossings:
    """Of pairs of a line and a triangle (k,), those where the line passes through; all seen along the lines."""
    (corners, double, numbers), (line, k) = triangles, pairs
    c, a, b = (corners[:, i] for i in range(3))
    facing, flat = double[k], starts[line, :2]
    ab, bc, from_a, from_b = (b - a)[k, :2], (c - b)[k, :2], flat - a[k, :2], flat - b[k, :2]
    on_c = (ab[:, 0] * from_a[:, 1] - ab[:, 1] * from_a[:, 0]) / facing
    on_a = (bc[:, 0] * from_b[:, 1] - bc[:, 1] * from_b[:, 0]) / facing
    inside = np.nonzero((on_a >= -EDGE) & (on_c >= -EDGE) & (on_a + on_c <= 1.0 + EDGE))[0]
    on_a, on_c, line, k = on_a[inside], on_c[inside], line[inside], k[inside]
    height = on_a * a[k, 2] + (1.0 - on_a - on_c) * b[k, 2] + on_c * c[k, 2]
    return Crossings(line=line, triangle=numbers[k], depth=height - starts[line, 2], entering=double[k] < 0.0)


def _square_to(way: Array) -> Array:
    """Rows: two directions square to a way, right-handed with it, and the way."""
    x, y = across((float(way[0]), float(way[1]), float(way[2])))
    return np.array([x, y, way])


def _pairs_near(starts: Array, low: Array, high: Array) -> tuple[Ints, Ints]:
    """Lines (n, 3) and boxes (m, 2), seen along the lines, that come together: looked up along the better axis."""
    if len(low) <= HANDFUL:
        return np.tile(np.arange(len(starts)), len(low)), np.repeat(np.arange(len(low)), len(starts))
    wide = (high - low).sum(axis=0) * np.ptp(starts[:, 1::-1], axis=0)
    axis = int(wide[1] < wide[0])
    order = np.argsort(starts[:, axis], kind="stable")
    along = starts[order, axis]
    first = np.searchsorted(along, low[:, axis], "left")
    count = np.searchsorted(along, high[:, axis], "right") - first
    k = np.repeat(np.arange(len(count)), count)
    line = order[np.arange(len(k)) - np.repeat(np.cumsum(count) - count - first, count)]
    other = starts[line, 1 - axis]
    near = np.nonzero((other >= low[k, 1 - axis]) & (other <= high[k, 1 - axis]))[0]
    return line[near], k[near]
