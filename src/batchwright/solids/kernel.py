"""The solid kernel: closed triangle meshes in, booleans, closed triangle meshes out.

The only module that knows the kernel library. Vertices are 64-bit; every triangle carries the number of the face it
came from, through all booleans. Errors of the kernel come out as ValueError with words.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, TypeAlias

import numpy as np
from manifold3d import CrossSection, Error, FillRule, Manifold, Mesh64, OpType, triangulate
from numpy.typing import NDArray

from batchwright.geometry.frame import Array, Vec3

Ints = NDArray[np.int64]
Body: TypeAlias = Any
"""A closed body of the kernel: opaque above this module."""


ROUNDING = 1e-12
"""A direction cosine under this is a zero [-]."""


def body_of(vertices: Array, triangles: Ints, faces: Ints) -> Body:
    """A closed body from vertices (n, 3) [mm], triangles (m, 3) seen counter-clockwise from outside, faces (m,).

    Raises
    ------
    ValueError
        If the mesh is empty, not finite, not closed or inside out.
    """
    if len(triangles) == 0:
        raise ValueError("a solid needs at least four faces, and this one has none")
    if not np.isfinite(vertices).all():
        raise ValueError("a solid's points must be finite numbers")
    mesh = Mesh64(
        vert_properties=np.ascontiguousarray(vertices, dtype=np.float64),
        tri_verts=np.ascontiguousarray(triangles, dtype=np.uint64),
        face_id=np.ascontiguousarray(faces, dtype=np.uint64),
    )
    return sound(Manifold(mesh))


def sound(body: Body) -> Body:
    """The same body, after the kernel has said that it is closed."""
    status = body.status()
    if status != Error.NoError:
        raise ValueError(f"the faces do not close up into one solid ({status.name})")
    return body


def mesh_of(body: Body) -> tuple[Array, Ints, Ints]:
    """Vertices (n, 3) [mm], triangles (m, 3), face numbers (m,) of a body."""
    mesh = body.to_mesh64()
    vertices = np.array(mesh.vert_properties, dtype=np.float64)[:, :3]
    triangles = np.array(mesh.tri_verts, dtype=np.int64)
    faces = np.array(mesh.face_id, dtype=np.int64)
    same_from = np.array(mesh.merge_from_vert, dtype=np.int64)
    if len(same_from):
        same = np.arange(len(vertices))
        same[same_from] = np.array(mesh.merge_to_vert, dtype=np.int64)
        triangles = same[triangles]
    return vertices, triangles.reshape(-1, 3), faces


def united(bodies: Sequence[Body]) -> Body:
    """All the wood of several bodies."""
    return Manifold.batch_boolean(list(bodies), OpType.Add) if len(bodies) > 1 else bodies[0]


def subtracted(body: Body, tools: Sequence[Body]) -> Body:
    """What the tools leave of a body."""
    return Manifold.batch_boolean([body, *tools], OpType.Subtract) if tools else body


def parted(body: Body, tool: Body) -> tuple[Body, Body]:
    """The wood of a body that lies in a tool, and what the tool leaves of it."""
    within, left = body.split(tool)
    return within, left


def common(a: Body, b: Body) -> Body:
    """The wood that lies in both."""
    return a ^ b


def moved(body: Body, matrix: Array) -> Body:
    """A body moved by a 3 x 4 matrix; a mirroring one turns the triangles as it must.

    Direction cosines that are nothing but rounding are made plain zeros: turned by 1e-18, faces that lie on one another
    no longer do for the kernel, and it finds wood in both.
    """
    plain = np.array(matrix, dtype=np.float64)
    turn = plain[:, :3]
    turn[np.abs(turn) < ROUNDING] = 0.0
    return body.transform(np.ascontiguousarray(plain))


def separate(body: Body) -> list[Body]:
    """The pieces of wood that do not hang together."""
    return list(body.decompose())


CRUMB = 0.5
"""A loose piece smaller than this is sawdust [mm^3]."""


def without_crumbs(body: Body) -> Body:
    """A body without the loose specks that cuts on nearly touching surfaces leave; all of it if it is that small."""
    found = separate(body)
    if len(found) < 2:
        return body
    kept = [piece for piece in found if piece.volume() >= CRUMB]
    if not kept or len(kept) == len(found):
        return body
    return kept[0] if len(kept) == 1 else Manifold.compose(kept)


def nothing_left(body: Body) -> bool:
    """Whether a body is empty."""
    return bool(body.is_empty())


def volume_of(body: Body) -> float:
    """Volume [mm^3]."""
    return float(body.volume())


def area_of(body: Body) -> float:
    """Surface [mm^2]."""
    return float(body.surface_area())


def box_of(body: Body) -> tuple[Array, Array]:
    """Low and high corner, shape (3,) each [mm]."""
    box = np.array(body.bounding_box(), dtype=np.float64)
    return box[:3], box[3:]


def clear_distance(a: Body, b: Body, within: float) -> float:
    """Least distance between two bodies, `within` at most [mm]."""
    return float(a.min_gap(b, within))


def slice_at_zero(body: Body) -> list[Array]:
    """Closed loops (n, 2) where the plane z = 0 cuts a body: outer ones counter-clockwise, holes clockwise."""
    return [np.array(loop, dtype=np.float64) for loop in body.slice(0.0).to_polygons()]


def triangles_of_polygon(loops: Sequence[Array]) -> Ints:
    """Triangles (m, 3) that fill a polygon (n, 2) with its holes; numbers count through the loops in order.

    Raises
    ------
    ValueError
        If the polygon crosses itself.
    """
    if len(loops) == 1 and _is_plain_quad(loops[0]):
        return np.array([(0, 1, 2), (0, 2, 3)], dtype=np.int64)
    try:
        found = triangulate([np.ascontiguousarray(loop, dtype=np.float64) for loop in loops])
    except RuntimeError as error:
        raise ValueError(f"an outline cannot be filled: {error}") from error
    triangles = np.array(found, dtype=np.int64).reshape(-1, 3)
    points = np.vstack(loops)
    a, b, c = np.moveaxis(points[triangles], 1, 0)
    double = (b - a)[:, 0] * (c - a)[:, 1] - (b - a)[:, 1] * (c - a)[:, 0]
    wanted = sum(
        float((p[:, 0] * np.roll(p[:, 1], -1) - np.roll(p[:, 0], -1) * p[:, 1]).sum()) for p in loops
    )
    if abs(float(np.abs(double).sum()) - wanted) > 1e-6 * max(1.0, abs(wanted)):
        raise ValueError("an outline crosses itself, so it encloses no piece of wood")
    return triangles


def _is_plain_quad(loop: Array) -> bool:
    """Whether a loop (n, 2) has four corners and turns left at each of them."""
    if len(loop) != 4:
        return False
    ways = loop[[1, 2, 3, 0]] - loop
    after = ways[[1, 2, 3, 0]]
    return bool((ways[:, 0] * after[:, 1] - ways[:, 1] * after[:, 0] > 0.0).all())


def beyond_plane(body: Body, normal: Vec3, offset: float) -> Body:
    """What lies where position . normal > offset. Its new face has no number of ours."""
    return body.trim_by_plane(normal, offset)


def shared_area(a: Array, b: Array) -> tuple[float, Array]:
    """Area [mm^2] and middle (2,) that two sets of counter-clockwise triangles (n, 3, 2) in a plane have in common."""
    first = CrossSection([np.ascontiguousarray(t) for t in a], FillRule.NonZero)
    second = CrossSection([np.ascontiguousarray(t) for t in b], FillRule.NonZero)
    both = first ^ second
    area = float(both.area())
    if area <= 0.0:
        return 0.0, np.zeros(2)
    points = np.vstack([np.array(loop) for loop in both.to_polygons()])
    middle: Array = (points.min(axis=0) + points.max(axis=0)) / 2.0
    return area, middle


def line_hits(body: Body, start: Array, end: Array) -> tuple[Array, NDArray[np.bool_]]:
    """Where a line from `start` to `end` crosses the surface: shares of its length (n,), and whether it enters (n,)."""
    hits = body.ray_cast(start.tolist(), end.tolist())
    shares = np.array([hit.distance for hit in hits], dtype=np.float64)
    normals = np.array([tuple(hit.normal) for hit in hits], dtype=np.float64).reshape(-1, 3)
    return shares, normals @ (end - start) < 0.0


def side_by_side(bodies: Sequence[Body]) -> Body:
    """Several bodies as one, not united: good for sight lines only."""
    return Manifold.compose(list(bodies))


def blocked(body: Body, starts: Array, ends: Array) -> NDArray[np.bool_]:
    """Whether anything lies on each line from starts (n, 3) to ends (n, 3), shape (n,)."""
    cast = body.ray_cast
    found = [bool(cast(a, b)) for a, b in zip(starts.tolist(), ends.tolist())]
    return np.array(found, dtype=bool)


def surface_hits(body: Body, starts: Array, ends: Array) -> tuple[Ints, Array]:
    """All crossings of lines with a surface: number of the line (k,), share of its length (k,)."""
    cast = body.ray_cast
    found = [
        (i, hit.distance)
        for i, (a, b) in enumerate(zip(starts.tolist(), ends.tolist()))
        for hit in cast(a, b)
    ]
    numbers = np.array([i for i, _ in found], dtype=np.int64)
    return numbers, np.array([share for _, share in found], dtype=np.float64)
