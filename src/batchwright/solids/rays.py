"""Sight lines: where straight lines first strike a solid, which face, and how thick the wood is there."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from batchwright.geometry.frame import Array, Frame, Vec3, vec3
from batchwright.solids.asked import Asked, AskedGrid, asked_of, grid_of
from batchwright.solids.kernel import Ints
from batchwright.solids.raster import grid_crossings
from batchwright.solids.solid import Solid
from batchwright.solids.targets import SOME, Crossings, Target, crossings, parallel_crossings, target_of

NO_FACES: frozenset[int] = frozenset()
AROUND = 80.0
"""Faces this far round where lines begin are tried before all others [mm]."""
MANY = 4_000
"""Lines times triangles, from which that is worth its while."""
KEPT = 2048
"""Questions whose answer is kept, of up to a hundred lines each: those of a few revisions."""
KEPT_GRIDS = 256
"""Whole grids kept."""
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

    def some(self, chosen: NDArray[np.bool_]) -> Strikes:
        """Those of some of the lines (n,)."""
        return Strikes(
            hit=self.hit[chosen],
            distance=self.distance[chosen],
            points=self.points[chosen],
            normals=self.normals[chosen],
            faces=self.faces[chosen],
        )

    @property
    def share(self) -> float:
        """Share of the lines that struck."""
        return float(self.hit.mean()) if len(self.hit) else 0.0


def cast(
    solid: Solid, origins: Array, direction: Vec3 | Array, least: float = -1e-6, within: float = math.inf
) -> Strikes:
    """First strikes of sight lines from `origins` (n, 3) along `direction` (one for all, or (n, 3)).

    Only faces looking towards the line's origin count (it enters the wood there), not nearer than `least`, and only
    those within a distance [mm].
    """
    origins = np.atleast_2d(np.asarray(origins, dtype=np.float64))
    ways = np.asarray(direction, dtype=np.float64)
    ways = ways / np.sqrt((ways * ways).sum(axis=-1, keepdims=True))
    asked = asked_of(solid, origins, ways)
    struck = _cast(asked, (least, within)) if len(origins) > SOME else _kept_cast(asked, (least, within))
    return _in_place(solid, (origins, ways), struck)


@lru_cache(maxsize=KEPT)
def _kept_cast(asked: Asked, span: tuple[float, float]) -> _Struck:
    return _cast(asked, span)


def _cast(asked: Asked, span: tuple[float, float]) -> _Struck:
    (origins, ways), (least, within) = asked.lines, span
    target = target_of(asked.solid)
    if within < math.inf:
        ends = np.concatenate([origins + least * ways, origins + within * ways])
        target = target.within(ends.min(axis=0), ends.max(axis=0))
    return _first(asked.solid, len(origins), _crossed(target, origins, ways, only_in=True), span)


def cast_grid(solid: Solid, frame: Frame, grid: tuple[Array, Array], within: float = math.inf) -> Strikes:
    """First strikes of sight lines from a frame's plane z = 0 along its z, within a distance [mm]: one from every x of
    the first and every y of the second half of `grid`, both in order; column by column."""
    asked = grid_of(solid, frame, grid)
    struck = _kept_grid(asked, within)
    struck = struck.some(asked.order) if any(asked.turned) else struck
    return _in_place(solid, (frame.many_to_world(_flat(*grid)), np.array(frame.z)), struck)


def faces_of_grid(solid: Solid, frame: Frame, grid: tuple[Array, Array], within: float = math.inf) -> Ints:
    """Only the faces that such a grid strikes, -1 where a line misses, (n,): a fine grid that asks no more is let off
    the rest."""
    asked = grid_of(solid, frame, grid)
    struck = _kept_grid(asked, within)
    faces = np.full(len(struck.hit), -1, dtype=np.int64)
    faces[struck.hit] = solid.faces[struck.triangle]
    return faces[asked.order] if any(asked.turned) else faces


def _flat(columns: Array, rows: Array) -> Array:
    """The places of a grid, column by column, in its frame's plane, (n, 3)."""
    flat = np.zeros((len(columns) * len(rows), 3))
    flat[:, 0], flat[:, 1] = np.repeat(columns, len(rows)), np.tile(rows, len(columns))
    return flat


@lru_cache(maxsize=KEPT_GRIDS)
def _kept_grid(asked: AskedGrid, within: float) -> _Struck:
    (columns, rows), frame, solid = asked.grid, asked.frame, asked.solid
    lines = len(columns) * len(rows)
    if lines <= SOME:
        few = Asked(solid, (frame.many_to_world(_flat(columns, rows)), np.array(frame.z)), asked.key)
        return _cast(few, (-LEAST, within))
    target = target_of(solid)
    if within < math.inf:
        ends = frame.many_to_world(_flat(columns[[0, -1]], rows[[0, -1]]))
        box = np.concatenate([ends, ends + within * np.array(frame.z)])
        target = target.within(box.min(axis=0), box.max(axis=0))
    return _first(solid, lines, grid_crossings(target, frame, columns, rows), (-LEAST, within))


@dataclass(frozen=True, slots=True, eq=False)
class _Struck:
    """What n lines struck first, wherever the solid stands: hit (n,); of the k that did, their distances (k,) [mm] and
    the triangles struck (k,)."""

    hit: NDArray[np.bool_]
    distance: Array
    triangle: Ints

    def some(self, chosen: Ints) -> _Struck:
        """Those of some of the lines, in another order (n,)."""
        hit, place = self.hit[chosen], (np.cumsum(self.hit) - 1)[chosen]
        return _Struck(hit, self.distance[place[hit]], self.triangle[place[hit]])


def _first(solid: Solid, lines: int, found: Crossings, span: tuple[float, float]) -> _Struck:
    """The nearest face each line goes in by, within a span of distances."""
    good = found.entering & (found.depth >= span[0]) & (found.depth <= span[1])
    nearest = _nearest(found, lines, np.where(good, found.depth, np.inf))
    hit = nearest >= 0
    return _Struck(hit, found.depth[nearest[hit]], found.triangle[nearest[hit]])


def _in_place(solid: Solid, lines: tuple[Array, Array], struck: _Struck) -> Strikes:
    """What lines (origins, ways) strike, told where the solid stands."""
    (origins, ways), hit = lines, struck.hit.copy()
    distance = np.full(len(origins), np.inf)
    distance[hit] = struck.distance
    faces = np.full(len(origins), -1, dtype=np.int64)
    faces[hit] = solid.faces[struck.triangle]
    normals, points = np.full((len(origins), 3), np.nan), np.full((len(origins), 3), np.nan)
    normals[hit] = solid.normals[struck.triangle]
    points[hit] = origins[hit] + struck.distance[:, None] * (ways if ways.ndim == 1 else ways[hit])
    return Strikes(hit=hit, distance=distance, points=points, normals=normals, faces=faces)


def _nearest(found: Crossings, lines: int, depth: Array) -> Ints:
    """For each line the number of its crossing of least depth (k,), the first of equals; -1 where none is finite."""
    least = np.full(lines, np.inf)
    np.minimum.at(least, found.line, depth)
    best = np.nonzero((depth == least[found.line]) & (depth < np.inf))[0][::-1]
    chosen = np.full(lines, -1, dtype=np.int64)
    chosen[found.line[best]] = best
    return chosen


def exits(solid: Solid, origins: Array, direction: Vec3 | Array, besides: frozenset[int] = NO_FACES) -> Array:
    """Wood from each origin (n, 3) along a direction (one for all, or (n, 3); of length 1) to where it first comes out,
    shape (n,) [mm].

    0 where the origin lies outside: the first face ahead is then one the line enters by, or there is none. Infinite
    where it comes out by one of the faces numbered in `besides`: the mouth of a sloping mortise is no wall.
    """
    ways = np.asarray(direction, dtype=np.float64)
    asked = asked_of(solid, origins, ways)
    return _exits(asked, besides) if len(origins) > SOME else _kept_exits(asked, besides).copy()


@lru_cache(maxsize=KEPT)
def _kept_exits(asked: Asked, besides: frozenset[int]) -> Array:
    return _exits(asked, besides)


def _exits(asked: Asked, besides: frozenset[int]) -> Array:
    (origins, ways), solid, target = asked.lines, asked.solid, target_of(asked.solid)
    if len(origins) * len(target.numbers) <= MANY:
        return _out(solid, _crossed(target, origins, ways), len(origins), besides)[0]
    low, high = origins.min(axis=0) - AROUND, origins.max(axis=0) + AROUND
    wood, sure = _out(solid, _crossed(target.within(low, high), origins, ways), len(origins), besides)
    ends = origins + np.where(np.isfinite(wood), wood, 0.0)[:, None] * ways
    unsure = np.nonzero(~(sure & (ends >= low).all(axis=1) & (ends <= high).all(axis=1)))[0]
    if len(unsure):
        some = ways if ways.ndim == 1 else ways[unsure]
        wood[unsure] = _out(solid, _crossed(target, origins[unsure], some), len(unsure), besides)[0]
    return wood


def _out(solid: Solid, found: Crossings, lines: int, besides: frozenset[int]) -> tuple[Array, NDArray[np.bool_]]:
    """Wood of each line as `exits` says, (n,); and whether any face was met, (n,)."""
    nearest = _nearest(found, lines, np.where(found.depth > LEAST, found.depth, np.inf))
    out = np.nonzero(nearest >= 0)[0]
    out = out[~found.entering[nearest[out]]]
    wood = np.zeros(lines)
    wood[out] = found.depth[nearest[out]]
    if besides:
        by = solid.faces[found.triangle[nearest[out]]]
        wood[out[np.isin(by, list(besides))]] = np.inf
    return wood, nearest >= 0


def _crossed(target: Target, origins: Array, ways: Array, only_in: bool = False) -> Crossings:
    if ways.ndim == 1:
        return parallel_crossings(target, origins, ways, only_in)
    return crossings(target, origins, ways)


def entry_near(solid: Solid, origin: Vec3, direction: Vec3, within: float) -> tuple[Vec3, Vec3] | None:
    """Where a line enters the wood nearest to its origin, before or behind it, and the normal of the face there; None
    if it does not within a distance [mm]."""
    start, way = np.array([origin]), np.array([direction])
    found = _kept_entry(asked_of(solid, start, way / np.linalg.norm(way)), within)
    if found is None:
        return None
    depth, triangle = found
    return vec3(start[0] + depth * way[0]), vec3(solid.normals[triangle])


@lru_cache(maxsize=KEPT)
def _kept_entry(asked: Asked, within: float) -> tuple[float, int] | None:
    found = crossings(target_of(asked.solid), *asked.lines)
    ins = np.nonzero(found.entering & (np.abs(found.depth) < within))[0]
    if len(ins) == 0:
        return None
    best = ins[np.argmin(np.abs(found.depth[ins]))]
    return float(found.depth[best]), int(found.triangle[best])


Spans = tuple[tuple[float, float], ...]
"""Stretches (in, out) of a line that lie in the wood: distances from its origin, in order [mm]."""


def spans(solid: Solid, origin: Vec3, direction: Vec3) -> Spans:
    """The stretches of a line that lie in the wood."""
    return many_spans(solid, np.array([origin]), direction)[0]


def many_spans(solid: Solid, origins: Array, direction: Vec3) -> list[Spans]:
    """The stretches of each of some parallel lines from `origins` (n, 3) that lie in the wood."""
    way = np.asarray(direction, dtype=np.float64)
    way = way / math.sqrt(way @ way)
    return list(_kept_spans(asked_of(solid, np.asarray(origins, dtype=np.float64), way)))


@lru_cache(maxsize=KEPT)
def _kept_spans(asked: Asked) -> tuple[Spans, ...]:
    origins, way = asked.lines
    found = crossings(target_of(asked.solid), origins, np.broadcast_to(way, origins.shape))
    depths: list[tuple[list[float], list[float]]] = [([], []) for _ in origins]
    for line, depth, entering in zip(found.line.tolist(), found.depth.tolist(), found.entering.tolist()):
        depths[line][0 if entering else 1].append(depth)
    return tuple([_paired(_told_once(ins), _told_once(outs)) for ins, outs in depths])


def _paired(ins: list[float], outs: list[float]) -> Spans:
    found: list[tuple[float, float]] = []
    for enter in ins:
        leave = next((out for out in outs if out > enter + 1e-9), None)
        if leave is not None and (not found or enter >= found[-1][1] - 1e-7):
            found.append((enter, leave))
    return tuple(found)


def _told_once(depths: list[float]) -> list[float]:
    found: list[float] = []
    for depth in sorted(depths):
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
