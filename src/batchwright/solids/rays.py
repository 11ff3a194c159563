"""Sight lines: where straight lines first strike a solid, which face, and how thick the wood is there."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from batchwright.geometry.frame import Array, Vec3
from batchwright.solids import kernel
from batchwright.solids.kernel import Ints
from batchwright.solids.solid import Solid, cross_products
from batchwright.solids.targets import Crossings, crossings, parallel_crossings, target_of

NO_FACES: frozenset[int] = frozenset()
LEAST = 1e-6
"""A line that starts in a face does not come out there [mm]."""


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
    ways = ways / np.sqrt((ways * ways).sum(axis=-1, keepdims=True))
    return _first(solid, (origins, ways), _crossed(solid, origins, ways, only_in=True), least)


def _first(solid: Solid, lines: tuple[Array, Array], found: Crossings, least: float) -> Strikes:
    """The nearest face each line (origins, ways) goes in by, not nearer than the least."""
    origins, ways = lines
    nearest = _nearest(found, len(origins), np.where(found.entering & (found.depth >= least), found.depth, np.inf))
    hit = nearest >= 0
    struck = found.triangle[nearest[hit]]
    distance = np.full(len(origins), np.inf)
    distance[hit] = found.depth[nearest[hit]]
    faces = np.full(len(origins), -1, dtype=np.int64)
    faces[hit] = solid.faces[struck]
    normals = np.full((len(origins), 3), np.nan)
    normals[hit] = _normals(solid, struck)
    points = np.where(hit[:, None], origins + np.where(hit, distance, 0.0)[:, None] * ways, np.nan)
    return Strikes(hit=hit, distance=distance, points=points, normals=normals, faces=faces)


def _nearest(found: Crossings, lines: int, depth: Array) -> Ints:
    """For each line the number of its crossing of least depth (k,), the first of equals; -1 where none is finite."""
    there = np.nonzero(depth < np.inf)[0]
    order = there[np.lexsort((found.triangle[there], depth[there], found.line[there]))]
    line = found.line[order]
    leads = np.ones(len(line), dtype=bool)
    leads[1:] = line[1:] != line[:-1]
    chosen = np.full(lines, -1, dtype=np.int64)
    chosen[line[leads]] = order[leads]
    return chosen


def _normals(solid: Solid, numbers: Ints) -> Array:
    """Outward normals of some triangles, shape (n, 3)."""
    corners = solid.vertices[solid.triangles[numbers]]
    raw = 0.5 * cross_products(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    length = np.sqrt(np.einsum("ij,ij->i", raw, raw))
    unit: Array = raw / np.where(length > 0.0, length, 1.0)[:, None]
    return unit


def exits(solid: Solid, origins: Array, direction: Vec3 | Array, besides: frozenset[int] = NO_FACES) -> Array:
    """Wood from each origin (n, 3) along a direction (one for all, or (n, 3); of length 1) to where it first comes out,
    shape (n,) [mm].

    0 where the origin lies outside: the first face ahead is then one the line enters by, or there is none. Infinite
    where it comes out by one of the faces numbered in `besides`: the mouth of a sloping mortise is no wall.
    """
    found = _crossed(solid, origins, np.asarray(direction, dtype=np.float64))
    nearest = _nearest(found, len(origins), np.where(found.depth > LEAST, found.depth, np.inf))
    out = np.nonzero(nearest >= 0)[0]
    out = out[~found.entering[nearest[out]]]
    wood = np.zeros(len(origins))
    wood[out] = found.depth[nearest[out]]
    if besides:
        by = solid.faces[found.triangle[nearest[out]]]
        wood[out[np.isin(by, list(besides))]] = np.inf
    return wood


def _crossed(solid: Solid, origins: Array, ways: Array, only_in: bool = False) -> Crossings:
    if ways.ndim == 1:
        return parallel_crossings(target_of(solid), origins, ways, only_in)
    return crossings(target_of(solid), origins, ways)


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
