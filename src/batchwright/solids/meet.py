"""Where solids meet: candidate pairs, overlaps judged by depth, faces that touch, pieces, clear distances."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from batchwright.geometry.frame import Array, Plane, Vec3, vec3
from batchwright.solids import kernel
from batchwright.solids.bodies import across
from batchwright.solids.kernel import Body
from batchwright.solids.pair import Pair, pair_of
from batchwright.solids.solid import Solid, cross_products, placed

KEPT = 512
"""Pairs kept: those of a few revisions."""
NOISE = 1e-3
"""An overlap smaller than this is arithmetic, not wood [mm^3]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Overlap:
    """Wood that two solids both claim.

    volume [mm^3]; depth = volume over contact area, of the deepest spot [mm]; area: contact area, seen along the
    direction in which the overlap is thinnest [mm^2]; at: its middle; direction: that thinnest direction.
    """

    volume: float
    depth: float
    area: float
    at: Vec3
    direction: Vec3


NO_OVERLAP = Overlap(volume=0.0, depth=0.0, area=0.0, at=(0.0, 0.0, 0.0), direction=(0.0, 0.0, 1.0))


@dataclass(frozen=True, slots=True, kw_only=True)
class Contact:
    """Plane faces of two solids that lie on one another: area [mm^2], middle, normal out of the first solid."""

    area: float
    at: Vec3
    normal: Vec3
    faces: tuple[str, str]


def boxes_overlap(solids: Sequence[Solid], margin: float = 0.0) -> tuple[tuple[int, int], ...]:
    """Pairs (i, j), i < j, whose boxes come within `margin` [mm] of one another, in order."""
    if len(solids) < 2:
        return ()
    low = np.array([solid.bounds[0] for solid in solids]) - margin / 2.0
    high = np.array([solid.bounds[1] for solid in solids]) + margin / 2.0
    meet = ((low[:, None] <= high[None]) & (low[None] <= high[:, None])).all(axis=2)
    first, second = np.nonzero(np.triu(meet, 1))
    return tuple(zip(first.tolist(), second.tolist()))


def overlap(a: Solid, b: Solid) -> Overlap:
    """The wood that two solids both claim; its depth is that of its deepest spot (0 if they only touch)."""
    if not _boxes_meet(a, b):
        return NO_OVERLAP
    pair, frame = pair_of(a, b)
    found = _overlap(pair)
    if found is NO_OVERLAP:
        return found
    return replace(found, at=frame.to_world(found.at), direction=frame.turn(found.direction))


@lru_cache(maxsize=KEPT)
def _overlap(pair: Pair) -> Overlap:
    both = kernel.common(pair.one.body, pair.body)
    if kernel.nothing_left(both) or kernel.volume_of(both) < NOISE:
        return NO_OVERLAP
    spots = [_spot(body) for body in kernel.separate(both) if kernel.volume_of(body) > NOISE]
    if not spots:
        return NO_OVERLAP
    worst = max(spots, key=lambda spot: spot.depth)
    return Overlap(
        volume=sum(spot.volume for spot in spots),
        depth=worst.depth,
        area=sum(spot.area for spot in spots),
        at=worst.at,
        direction=worst.direction,
    )


@dataclass(frozen=True, slots=True, eq=False)
class Lump:
    """A piece of wood that two solids both claim: its corners (n, 3), its volume [mm^3] and its surface [mm^2]."""

    corners: Array
    volume: float
    area: float


def lumps(a: Solid, b: Solid) -> tuple[Lump, ...]:
    """The pieces of wood that two solids both claim, each by itself."""
    if not _boxes_meet(a, b):
        return ()
    pair, frame = pair_of(a, b)
    return tuple([Lump(frame.many_to_world(each.corners), each.volume, each.area) for each in _lumps(pair)])


@lru_cache(maxsize=KEPT)
def _lumps(pair: Pair) -> tuple[Lump, ...]:
    both = kernel.common(pair.one.body, pair.body)
    if kernel.nothing_left(both):
        return ()
    return tuple(
        [Lump(kernel.mesh_of(body)[0], kernel.volume_of(body), kernel.area_of(body)) for body in kernel.separate(both)]
    )


def _boxes_meet(a: Solid, b: Solid, margin: float = 0.0) -> bool:
    (a_low, a_high), (b_low, b_high) = a.bounds, b.bounds
    return bool((a_low <= b_high + margin).all() and (b_low <= a_high + margin).all())


def _spot(body: Body) -> Overlap:
    vertices, triangles, _ = kernel.mesh_of(body)
    corners = vertices[triangles]
    a = corners[:, 0]
    vectors = 0.5 * cross_products(corners[:, 1] - a, corners[:, 2] - a)
    areas = np.sqrt((vectors * vectors).sum(axis=1))
    order = np.argsort(-areas, kind="stable")[:12]
    order = order[areas[order] > 0.0]
    ways = vectors[order] / areas[order, None]
    shadows = np.maximum(ways @ vectors.T, 0.0).sum(axis=1)
    best = int(np.argmax(shadows))
    volume = kernel.volume_of(body)
    return Overlap(
        volume=volume,
        depth=volume / float(shadows[best]),
        area=float(shadows[best]),
        at=vec3((vertices.min(axis=0) + vertices.max(axis=0)) / 2.0),
        direction=vec3(ways[best]),
    )


def contacts(a: Solid, b: Solid, tolerance: float = 0.05) -> tuple[Contact, ...]:
    """Plane faces of `a` and `b` that lie on one another within `tolerance` [mm], largest first."""
    if not _boxes_meet(a, b, tolerance):
        return ()
    pair, frame = pair_of(a, b)
    return tuple(
        [
            replace(each, at=frame.to_world(each.at), normal=frame.turn(each.normal))
            for each in _contacts(pair, tolerance)
        ]
    )


@lru_cache(maxsize=KEPT)
def _contacts(pair: Pair, tolerance: float) -> tuple[Contact, ...]:
    a, b = pair.one, placed(pair.two, pair.place)
    found = []
    b_planes = _flat_faces(b)
    for i, (a_point, a_normal) in _flat_faces(a).items():
        for j, (b_point, b_normal) in b_planes.items():
            if a_normal @ b_normal < -0.99999 and abs((b_point - a_point) @ a_normal) <= tolerance:
                area, at = _shared(a, i, b, j, (a_point, a_normal))
                if area > 0.01:
                    faces = (a.book[i].name, b.book[j].name)
                    found.append(Contact(area=area, at=at, normal=vec3(a_normal), faces=faces))
    return tuple(sorted(found, key=lambda contact: -contact.area))


def contact_area(a: Solid, b: Solid, tolerance: float = 0.05) -> float:
    """Area of all plane faces that lie on one another [mm^2]."""
    return sum(contact.area for contact in contacts(a, b, tolerance))


@lru_cache(maxsize=KEPT)
def _flat_faces(solid: Solid) -> dict[int, tuple[Array, Array]]:
    """A point and the normal of each plane face that is still there."""
    sums = np.zeros((len(solid.book), 3))
    np.add.at(sums, solid.faces, solid.area_vectors)
    lengths = np.sqrt((sums * sums).sum(axis=1)).tolist()
    numbers, firsts = np.unique(solid.faces, return_index=True)
    return {
        number: (solid.vertices[solid.triangles[first, 0]], sums[number] / lengths[number])
        for number, first in zip(numbers.tolist(), firsts.tolist())
        if solid.book[number].flat and lengths[number] > 1e-6
    }


def _shared(a: Solid, i: int, b: Solid, j: int, plane: tuple[Array, Array]) -> tuple[float, Vec3]:
    point, normal = plane
    x, y = across(vec3(normal))
    axes = np.column_stack([x, y])

    def flat(solid: Solid, face: int) -> Array:
        seen: Array = (solid.corners[solid.faces == face] - point) @ axes
        return seen

    area, middle = kernel.shared_area(flat(a, i), flat(b, j)[:, ::-1])
    return area, vec3(point + axes @ middle)


def pieces(solid: Solid) -> int:
    """How many pieces of wood a solid is: 1 if all is well."""
    return len(kernel.separate(solid.body))


def piece_volumes(solid: Solid) -> tuple[float, ...]:
    """Volumes of the pieces that do not hang together, largest first [mm^3]."""
    return _piece_volumes(solid.stands[0] if solid.stands else solid)


@lru_cache(maxsize=KEPT)
def _piece_volumes(solid: Solid) -> tuple[float, ...]:
    found = kernel.separate(solid.body)
    volumes = [solid.volume] if len(found) == 1 else [kernel.volume_of(body) for body in found]
    return tuple(sorted(volumes, reverse=True))


def volume_outside(a: Solid, b: Solid) -> float:
    """How much of `a` lies outside `b` [mm^3]."""
    left = kernel.subtracted(a.body, [b.body])
    return 0.0 if kernel.nothing_left(left) else kernel.volume_of(left)


def least_distance(a: Solid, b: Solid, within: float = 100.0) -> float:
    """Least distance between two solids, at most `within` [mm]; 0 where they touch or overlap."""
    return kernel.clear_distance(a.body, b.body, within)


def part_beyond(solid: Solid, plane: Plane) -> tuple[float, tuple[Array, Array] | None]:
    """Volume [mm^3] and box (low, high) of what lies on the side the plane's normal looks to."""
    offset = float(np.dot(plane.point, plane.normal))
    beyond = kernel.beyond_plane(solid.body, plane.normal, offset)
    if kernel.nothing_left(beyond):
        return 0.0, None
    return kernel.volume_of(beyond), kernel.box_of(beyond)
