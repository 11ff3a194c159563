"""Several solids in one: all their mesh edges found once, ready to be seen from any side."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from batchwright.geometry.frame import Array, Vec3
from batchwright.solids import kernel
from batchwright.solids.edges import Twins, twins_of
from batchwright.solids.kernel import Body, Ints
from batchwright.solids.solid import Solid

KINDS = ("shape", "eased", "shoulder", "housing", "mortise", "tenon", "section")
"""What a line belongs to: the later word wins where two faces meet."""

SAME_PLANE = math.cos(math.radians(0.5))
"""Plane faces nearer to one another than this have no line between them."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Assembly:
    """Solids seen together. Per edge (k,): whether it is an arris or lies inside a curved surface; its owner's index
    and its kind's. Normals (m, 3) are those of the drawn plane where a face is one."""

    owners: tuple[str, ...]
    vertices: Array
    triangles: Ints
    normals: Array
    edges: Twins
    arris: NDArray[np.bool_]
    owner: Ints
    kind: Ints
    body: Body = field(repr=False)


def assembled(solids: Sequence[tuple[str, Solid]]) -> Assembly:
    """Named solids, each where it stands, ready for views.

    Raises
    ------
    ValueError
        If there is none.
    """
    if not solids:
        raise ValueError("a view needs at least one part")
    parts = [_edges_of(solid) for _, solid in solids]
    firsts = np.cumsum([0, *(len(solid.vertices) for _, solid in solids)])
    tri_firsts = np.cumsum([0, *(len(solid.triangles) for _, solid in solids)])
    edges = Twins(
        np.vstack([p.ends + first for p, first in zip(parts, firsts)]),
        np.concatenate([p.left + first for p, first in zip(parts, tri_firsts)]),
        np.concatenate([p.right + first for p, first in zip(parts, tri_firsts)]),
    )
    return Assembly(
        owners=tuple(name for name, _ in solids),
        vertices=np.vstack([solid.vertices for _, solid in solids]),
        triangles=np.vstack([solid.triangles + first for (_, solid), first in zip(solids, firsts)]),
        normals=np.vstack([p.normals for p in parts]),
        edges=edges,
        arris=np.concatenate([p.arris for p in parts]),
        owner=np.repeat(np.arange(len(parts)), [len(p.ends) for p in parts]),
        kind=np.concatenate([p.kind for p in parts]),
        body=kernel.side_by_side([solid.body for _, solid in solids]),
    )


def drawn_apart(solids: Sequence[tuple[str, Solid]], offsets: Sequence[Vec3]) -> list[tuple[str, Solid]]:
    """The same solids, each moved by its offset [mm]."""
    moved = []
    for (name, solid), offset in zip(solids, offsets, strict=True):
        matrix = np.column_stack([np.eye(3), np.array(offset)])
        body = kernel.moved(solid.body, matrix)
        moved.append((name, replace(solid, vertices=solid.vertices + np.array(offset), body=body)))
    return moved


@dataclass(frozen=True, slots=True, kw_only=True)
class _Edges:
    ends: Ints
    left: Ints
    right: Ints
    arris: NDArray[np.bool_]
    kind: Ints
    normals: Array


def _edges_of(solid: Solid) -> _Edges:
    twins = twins_of(solid.triangles)
    flat = np.array([face.flat for face in solid.book], dtype=bool)
    normals = _drawn_normals(solid, flat)
    one, two = solid.faces[twins.left], solid.faces[twins.right]
    same = one == two
    arris = ~same & ~_joined(solid, one, two)
    level = np.einsum("ij,ij->i", normals[twins.left], normals[twins.right]) > SAME_PLANE
    arris &= ~(flat[one] & flat[two] & level)
    inside = ~arris & ~(same & flat[one]) & ~(flat[one] & flat[two])
    keep = arris | inside
    kinds = np.array([_kind(face.name) for face in solid.book], dtype=np.int64)
    return _Edges(
        ends=twins.ends[keep],
        left=twins.left[keep],
        right=twins.right[keep],
        arris=arris[keep],
        kind=np.maximum(kinds[one], kinds[two])[keep],
        normals=normals,
    )


def _kind(name: str) -> int:
    first = name.split(" ", 1)[0]
    return KINDS.index(first) if first in KINDS else 0


def _joined(solid: Solid, one: Ints, two: Ints) -> NDArray[np.bool_]:
    size = len(solid.book)
    pairs = np.array([i * size + j for i, j in solid.joins], dtype=np.int64)
    return np.isin(np.minimum(one, two) * size + np.maximum(one, two), pairs)


def _drawn_normals(solid: Solid, flat: NDArray[np.bool_]) -> Array:
    """Triangle normals; on a plane face the face's own, so that slivers do not matter."""
    vectors = solid.area_vectors
    sums = np.zeros((len(solid.book), 3))
    np.add.at(sums, solid.faces, vectors)
    chosen = np.where(flat[solid.faces][:, None], sums[solid.faces], vectors)
    length = np.linalg.norm(chosen, axis=1)
    normals: Array = chosen / np.where(length > 0.0, length, 1.0)[:, None]
    return normals
