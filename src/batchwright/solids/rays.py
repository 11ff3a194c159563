"""Sight lines: where straight lines first strike a solid, which face, and how thick the wood is there."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from batchwright.geometry.frame import Array, Vec3
from batchwright.solids import kernel
from batchwright.solids.bodies import across
from batchwright.solids.kernel import Ints
from batchwright.solids.solid import Solid, cross_products

EDGE = 1e-9
"""A line that passes this near the border of a triangle still strikes it (a share of the triangle)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Strikes:
    """What n sight lines struck first: hit (n,); distance (n,), inf if missed [mm]; points and normals (n, 3), nan if
    missed; faces (n,): face numbers of the solid, -1 if missed."""

    hit: NDArray[np.bool_]
    distance: Array
    points: Array
    normals: Array
    faces: Ints

    @property
    def share(self) -> float:
        """Share of the lines that struck."""
        return float(self.hit.mean()) if len(self.hit) else 0.0


def cast(solid: Solid, origins: Array, direction: Vec3 | Array, least: float = -1e-6) -> Strikes:
    """First strikes of sight lines from `origins` (n, 3) along `direction` (one for all, or (n, 3)).

    Only faces looking towards the line's origin count (it enters the wood there), not nearer than `least` [mm].
    """
    origins = np.atleast_2d(np.asarray(origins, dtype=np.float64))
    ways = np.asarray(direction, dtype=np.float64)
    if ways.ndim == 1:
        return _parallel(solid, origins, ways / np.linalg.norm(ways), least)
    ways = ways / np.linalg.norm(ways, axis=1)[:, None]
    kinds, which = np.unique(np.round(ways, 12), axis=0, return_inverse=True)
    order = np.argsort(which, kind="stable")
    groups = [np.nonzero(which == k)[0] for k in range(len(kinds))]
    parts = [_parallel(solid, origins[group], ways[group[0]], least) for group in groups]
    back = np.argsort(order, kind="stable")
    return Strikes(
        hit=np.concatenate([p.hit for p in parts])[back],
        distance=np.concatenate([p.distance for p in parts])[back],
        points=np.vstack([p.points for p in parts])[back],
        normals=np.vstack([p.normals for p in parts])[back],
        faces=np.concatenate([p.faces for p in parts])[back],
    )


def _parallel(solid: Solid, origins: Array, way: Array, least: float) -> Strikes:
    n = len(origins)
    numbers, depths, lines = _crossings(solid, origins, way)
    good = depths >= least
    numbers, depths, lines = numbers[good], depths[good], lines[good]
    order = np.lexsort((depths, lines))
    first_lines, first = np.unique(lines[order], return_index=True)
    chosen = order[first]
    hit = np.zeros(n, dtype=bool)
    distance = np.full(n, np.inf)
    normals = np.full((n, 3), np.nan)
    faces = np.full(n, -1, dtype=np.int64)
    hit[first_lines] = True
    distance[first_lines] = depths[chosen]
    faces[first_lines] = solid.faces[numbers[chosen]]
    normals[first_lines] = _normals(solid, numbers[chosen])
    points = np.where(hit[:, None], origins + np.where(hit, distance, 0.0)[:, None] * way, np.nan)
    return Strikes(hit=hit, distance=distance, points=points, normals=normals, faces=faces)


def _normals(solid: Solid, numbers: Ints) -> Array:
    """Outward normals of some triangles, shape (n, 3)."""
    corners = solid.vertices[solid.triangles[numbers]]
    raw = 0.5 * cross_products(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    length = np.linalg.norm(raw, axis=1)
    unit: Array = raw / np.where(length > 0.0, length, 1.0)[:, None]
    return unit


def _crossings(solid: Solid, origins: Array, way: Array) -> tuple[Ints, Array, Ints]:
    """Triangles struck, distances, line numbers; only triangles that look against the lines."""
    x, y = across((float(way[0]), float(way[1]), float(way[2])))
    axes = np.column_stack([x, y, way])
    points = solid.vertices @ axes
    starts = origins @ axes
    low, high = starts[:, :2].min(axis=0) - 1e-6, starts[:, :2].max(axis=0) + 1e-6
    corners = points[solid.triangles]
    flat = corners[:, :, :2]
    near = ((flat.min(axis=1) <= high) & (flat.max(axis=1) >= low)).all(axis=1)
    numbers = np.nonzero(near)[0]
    a, b, c = np.moveaxis(corners[numbers], 1, 0)
    double = (b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (c[:, 0] - a[:, 0]) * (b[:, 1] - a[:, 1])
    facing = double < -1e-12
    numbers, a, b, c, double = numbers[facing], a[facing], b[facing], c[facing], double[facing]
    px = starts[:, None, 0] - a[None, :, 0]
    py = starts[:, None, 1] - a[None, :, 1]
    u = (px * (c[:, 1] - a[:, 1]) - py * (c[:, 0] - a[:, 0])) / double
    v = (py * (b[:, 0] - a[:, 0]) - px * (b[:, 1] - a[:, 1])) / double
    line, k = np.nonzero((u >= -EDGE) & (v >= -EDGE) & (u + v <= 1.0 + EDGE))
    depth = a[k, 2] + u[line, k] * (b[k, 2] - a[k, 2]) + v[line, k] * (c[k, 2] - a[k, 2]) - starts[line, 2]
    return numbers[k], depth, line


def spans(solid: Solid, origin: Vec3, direction: Vec3) -> tuple[tuple[float, float], ...]:
    """The stretches (in, out) of a line that lie in the wood: distances from the origin, in order [mm]."""
    start = np.array(origin)
    way = np.asarray(direction) / np.linalg.norm(direction)
    low, high = solid.bounds
    reach = float(np.linalg.norm((low + high) / 2.0 - start) + np.linalg.norm(high - low)) + 1.0
    distances, against = kernel.line_hits(solid.body, start - reach * way, start + reach * way)
    along = distances * 2.0 * reach - reach
    ins, outs = _told_once(along[against]), _told_once(along[~against])
    found: list[tuple[float, float]] = []
    for enter in ins:
        leave = next((out for out in outs if out > enter + 1e-9), None)
        if leave is not None and (not found or enter >= found[-1][1] - 1e-7):
            found.append((enter, leave))
    return tuple(found)


def _told_once(depths: Array) -> list[float]:
    found: list[float] = []
    for depth in sorted(depths.tolist()):
        if not found or depth - found[-1] > 1e-7:
            found.append(depth)
    return found


def thickness(solid: Solid, origin: Vec3, direction: Vec3) -> float:
    """Wood along a line from `origin` to where it first comes out; 0 if the origin is not in or on the wood [mm]."""
    for enter, leave in spans(solid, origin, direction):
        if enter <= 1e-6 < leave:
            return leave
    return 0.0


def contains(solid: Solid, point: Vec3) -> bool:
    """Whether a point lies in the wood."""
    return any(enter < 0.0 < leave for enter, leave in spans(solid, point, _ODD))


_ODD = (0.5345224838248488, 0.2672612419124244, 0.8017837257372732)
"""A direction that runs along no face a maker draws."""
