"""A part's solid as it is shown on a screen: triangles with soft and sharp normals, and the lines drawn on it."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from batchwright.geometry.frame import Array
from batchwright.solids.edges import Twins, twins_of
from batchwright.solids.kernel import Ints
from batchwright.solids.solid import Solid

FLOW = float(np.cos(np.radians(50.0)))
"""Facets of one curved face that turn by less than this are shaded as one curve."""

SHARP = float(np.cos(np.radians(12.0)))
"""Different faces that turn by more than this have a line between them."""

LEVEL = float(np.cos(np.radians(1.0)))
"""Faces of a joint nearer to one plane than this have no line between them."""

SAME = float(np.cos(np.radians(0.05)))
"""Facets nearer to one plane than this are one facet, whatever their faces."""

OUTLINED = ("mortise", "tenon", "shoulder", "housing")
"""Faces of joints, by the first word of their names: outlined wherever they leave the rest of the part."""

SHORTEST = 0.02
"""A line shorter than this is not drawn [mm]."""

SLIVER = 0.1
"""A triangle less high than this over its longest side says nothing sure about the way its face looks [mm]."""

CACHE = 320
"""Meshes kept: a few revisions of a large piece."""

Single = NDArray[np.float32]
Bools = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class DisplayMesh:
    """What a screen needs to show a part, in its drawing frame. Arrays must not be written to.

    key: the same for the same content, good for addresses and JSON; positions, normals (n, 3) [mm], [-]; indices
    (m, 3), counter-clockwise seen from outside; edges (k, 2, 3): the ends of the lines to draw [mm]; tenons: how many
    triangles, the last ones, are faces of tenons; soft: how many lines, the last ones, are where a rounded edge begins
    and ends: to be drawn fainter than an arris.
    """

    key: str
    positions: Single
    normals: Single
    indices: NDArray[np.uint32]
    edges: Single
    tenons: int
    soft: int

    @property
    def nbytes(self) -> int:
        """Size of all four arrays [bytes]."""
        return self.positions.nbytes + self.normals.nbytes + self.indices.nbytes + self.edges.nbytes


@lru_cache(maxsize=CACHE)
def display_mesh(solid: Solid) -> DisplayMesh:
    """A solid made ready for a screen; the same solid gives the same mesh again from a cache.

    Normals run smoothly over a curved face and from a rounded edge into its neighbours, and break at arrises.
    """
    flat = np.array([face.flat for face in solid.book], dtype=bool)
    vectors = solid.area_vectors
    turned = _Turned(solid, flat, vectors)
    twins = twins_of(solid.triangles)
    relation = _relation_of(solid, turned, twins)
    positions, normals, indices = _shaded(solid, turned, (twins, relation.flows))
    tenon = _of_tenons(solid)
    indices = np.ascontiguousarray(indices[np.argsort(tenon, kind="stable")])
    lines = np.vstack([twins.ends[relation.drawn], twins.ends[relation.soft]])
    edges = np.ascontiguousarray(solid.vertices[lines], dtype=np.float32)
    arrays = (positions, normals, indices, edges)
    return DisplayMesh(
        key=_key_of(arrays),
        positions=positions,
        normals=normals,
        indices=indices,
        edges=edges,
        tenons=int(tenon.sum()),
        soft=int(relation.soft.sum()),
    )


def _of_tenons(solid: Solid) -> Bools:
    """Which triangles are faces of tenons, shape (m,)."""
    named = np.array([face.name.startswith("tenon") for face in solid.book], dtype=bool)
    found: Bools = named[solid.faces]
    return found


def _key_of(arrays: tuple[NDArray[np.generic], ...]) -> str:
    digest = hashlib.blake2b(digest_size=12)
    for array in arrays:
        digest.update(len(array).to_bytes(8, "little"))
        digest.update(array.tobytes())
    return digest.hexdigest()


class _Turned:
    """Which way every triangle looks: a flat face's triangles all as the face does, so that slivers do not matter."""

    def __init__(self, solid: Solid, flat: Bools, vectors: Array) -> None:
        self.flat = flat
        self.breadth = _breadth(solid, vectors)
        faces = len(solid.book)
        self.face_ways = _unit(_sums(solid.faces, vectors, faces))
        self.plane = flat[solid.faces]
        self.ways: Array = np.where(self.plane[:, None], self.face_ways[solid.faces], _unit(vectors))


def _sums(numbers: Ints, vectors: Array, count: int) -> Array:
    """The vectors (n, 3) added up by number, shape (count, 3)."""
    out: Array = np.empty((count, 3))
    for axis in range(3):
        out[:, axis] = np.bincount(numbers, vectors[:, axis], count)
    return out


def _unit(vectors: Array) -> Array:
    length = np.sqrt(np.einsum("ij,ij->i", vectors, vectors))
    unit: Array = vectors / np.where(length > 0.0, length, 1.0)[:, None]
    return unit


@dataclass(frozen=True, slots=True)
class _Relation:
    """Of every mesh edge (k,): whether shading flows over it, whether it is drawn, or as the end of a rounding."""

    flows: Bools
    drawn: Bools
    soft: Bools


def _relation_of(solid: Solid, turned: _Turned, twins: Twins) -> _Relation:
    one, two = solid.faces[twins.left], solid.faces[twins.right]
    turn = np.einsum("ij,ij->i", turned.ways[twins.left], turned.ways[twins.right])
    same = one == two
    joined = same | _joined(solid, one, two)
    eased = np.array([face.name.startswith("eased") for face in solid.book], dtype=bool) & ~turned.flat
    rounded = eased[one] != eased[two]
    broad = turned.breadth > SLIVER
    both_flat = turned.flat[one] & turned.flat[two]
    flows = np.where(joined, turn > FLOW, turn > SHARP) & ~(both_flat & ~same)
    kinds = _kinds(solid)
    outline = (kinds[one] != kinds[two]) & (turn < LEVEL)
    drawn = np.where(joined, ~flows & ~same, outline | (turn < SHARP))
    drawn |= same & ~turned.flat[one] & ~flows & broad[twins.left] & broad[twins.right]
    span = solid.vertices[twins.ends[:, 1]] - solid.vertices[twins.ends[:, 0]]
    long = np.einsum("ij,ij->i", span, span) > SHORTEST**2
    soft = rounded & flows & (turn < SAME) & long
    return _Relation(flows, drawn & long & ~soft, soft)


def _joined(solid: Solid, one: Ints, two: Ints) -> Bools:
    size = len(solid.book)
    pairs = np.array([i * size + j for i, j in solid.joins], dtype=np.int64)
    return np.isin(np.minimum(one, two) * size + np.maximum(one, two), pairs)


def _kinds(solid: Solid) -> Ints:
    """A number for every joint that a face belongs to, the same for all its faces; 0 for the part's own."""
    numbers: dict[str, int] = {}
    found = np.zeros(len(solid.book), dtype=np.int64)
    for i, face in enumerate(solid.book):
        words = face.name.split(" ")
        if words[0] in OUTLINED:
            found[i] = numbers.setdefault(" ".join(words[:2]), len(numbers) + 1)
    return found


def _breadth(solid: Solid, vectors: Array) -> Array:
    """Height of every triangle over its longest side, shape (m,) [mm]: of a sliver next to nothing."""
    sides = _sides(solid)
    longest = np.sqrt(np.einsum("ijk,ijk->ij", sides, sides).max(axis=1))
    breadth: Array = 2.0 * np.sqrt(np.einsum("ij,ij->i", vectors, vectors)) / np.where(longest > 0.0, longest, 1.0)
    return breadth


def _sides(solid: Solid) -> Array:
    """From each corner of each triangle to the next, shape (m, 3, 3) [mm]."""
    corners = solid.corners
    sides: Array = np.roll(corners, -1, axis=1) - corners
    return sides


def _corner_weights(solid: Solid, breadth: Array) -> Array:
    """How much each corner's triangle says about the normal there: its angle; slivers hardly anything. Shape (m, 3)."""
    sides = _sides(solid)
    before = np.roll(sides, 1, axis=1)
    length = np.sqrt(np.einsum("ijk,ijk->ij", sides, sides))
    both = length * np.roll(length, 1, axis=1)
    cosine = -np.einsum("ijk,ijk->ij", sides, before) / np.where(both > 0.0, both, 1.0)
    angles: Array = np.arccos(np.clip(cosine, -1.0, 1.0))
    return angles * np.minimum(breadth / SLIVER, 1.0)[:, None]


_Flow = tuple[Twins, Bools]


def _shaded(solid: Solid, turned: _Turned, flow: _Flow) -> tuple[Single, Single, NDArray[np.uint32]]:
    """Positions and normals of the corners that differ, and the triangles that use them."""
    roots = _roots(solid, flow)
    count = len(roots)
    owner = np.repeat(np.arange(len(solid.triangles)), 3)
    plane = turned.plane[owner]
    weights = _corner_weights(solid, turned.breadth).ravel()[:, None] * turned.ways[owner]
    level, whole = _sums(roots, np.where(plane[:, None], turned.ways[owner], 0.0), count), _sums(roots, weights, count)
    has_plane = np.bincount(roots, plane, count) > 0
    smooth = _unit(np.where(has_plane[:, None], level, whole))[roots]
    normals = np.where(plane[:, None], turned.ways[owner], smooth)
    vertex = solid.triangles.ravel()
    size = max(len(solid.vertices), 1)
    label = np.where(plane, solid.faces[owner] * size + vertex, len(solid.book) * size + roots)
    _, first, indices = np.unique(label, return_index=True, return_inverse=True)
    return (
        np.ascontiguousarray(solid.vertices[vertex[first]], dtype=np.float32),
        np.ascontiguousarray(_whole(normals[first]), dtype=np.float32),
        np.ascontiguousarray(indices.reshape(-1, 3), dtype=np.uint32),
    )


def _whole(normals: Array) -> Array:
    """Normals of length 1 throughout: slivers without a direction look up."""
    lost = np.einsum("ij,ij->i", normals, normals) < 0.5
    return np.where(lost[:, None], np.array([0.0, 0.0, 1.0]), normals)


def _roots(solid: Solid, flow: _Flow) -> Ints:
    """For each corner of each triangle (3 m,) the least corner that shading reaches from it round the same vertex."""
    twins, flows = flow
    ends, left, right = twins.ends[flows], twins.left[flows], twins.right[flows]
    links = [
        (left * 3 + _corner(solid, left, ends[:, i]), right * 3 + _corner(solid, right, ends[:, i])) for i in (0, 1)
    ]
    a = np.concatenate([pair[0] for pair in links])
    b = np.concatenate([pair[1] for pair in links])
    root = np.arange(3 * len(solid.triangles))
    while len(a):
        low, high = np.minimum(root[a], root[b]), np.maximum(root[a], root[b])
        apart = low != high
        if not apart.any():
            break
        a, b = a[apart], b[apart]
        np.minimum.at(root, high[apart], low[apart])
        while True:
            onward = root[root]
            if (onward == root).all():
                break
            root = onward
    return root


def _corner(solid: Solid, triangles: Ints, vertices: Ints) -> Ints:
    """Which corner (0, 1, 2) of each triangle stands on the given vertex."""
    corners = solid.triangles[triangles]
    found: Ints = np.where(corners[:, 0] == vertices, 0, np.where(corners[:, 1] == vertices, 1, 2))
    return found
