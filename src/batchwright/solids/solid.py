"""A part's solid as a record: mesh arrays in 64-bit, a name for every face, the kernel's body behind it."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from enum import Enum
from functools import lru_cache

import numpy as np

from batchwright.geometry.frame import WORLD, Array, Frame, Vec3, plus
from batchwright.solids import kernel
from batchwright.solids.kernel import Body, Ints


class Quality(Enum):
    """How finely curves are followed: `live` to 0.1 mm for the screen and for checks, `fine` to 0.01 mm."""

    LIVE = "live"
    FINE = "fine"

    @property
    def tolerance(self) -> float:
        """Greatest distance between a curve and its chords [mm]."""
        return 0.1 if self is Quality.LIVE else 0.01


KEPT = 256
"""Solids kept where they stand, and their boxes: those of a few revisions."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Face:
    """One drawn face: its name, and whether it is a plane."""

    name: str
    flat: bool


def cross_products(a: Array, b: Array) -> Array:
    """Of vectors (n, 3), row by row: what the library's own does, without its many turns for small arrays."""
    out: Array = np.empty(a.shape)
    out[:, 0] = a[:, 1] * b[:, 2] - a[:, 2] * b[:, 1]
    out[:, 1] = a[:, 2] * b[:, 0] - a[:, 0] * b[:, 2]
    out[:, 2] = a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]
    return out


Joins = frozenset[tuple[int, int]]
"""Pairs of face numbers (low, high) that run into one another without an arris."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Solid:
    """A closed solid. Arrays must not be written to.

    vertices: (n, 3) [mm]; triangles: (m, 3), counter-clockwise seen from outside; faces: (m,), each triangle's index
    into `book`; joins: faces that meet without an arris; notes: easings that could not be made, in words.
    """

    vertices: Array
    triangles: Ints
    faces: Ints
    book: tuple[Face, ...]
    joins: Joins
    body: Body = field(repr=False)
    notes: tuple[str, ...] = ()
    stands: tuple[Solid, Frame] | None = field(default=None, repr=False)
    """The solid it is, in its own frame, and where that frame stands; None for one made where it is."""

    @property
    def names(self) -> tuple[str, ...]:
        """Face names, in the order that `faces` counts."""
        return tuple(face.name for face in self.book)

    @property
    def corners(self) -> Array:
        """The triangles' corner points, shape (m, 3, 3) [mm]."""
        points: Array = self.vertices[self.triangles]
        return points

    @property
    def normals(self) -> Array:
        """Outward normals of length 1 (0 for a triangle without area), shape (m, 3)."""
        return _areas(self)[2]

    @property
    def area_vectors(self) -> Array:
        """Outward normals, each as long as its triangle's area, shape (m, 3) [mm^2]."""
        return _areas(self)[0]

    @property
    def areas(self) -> Array:
        """The triangles' areas, shape (m,) [mm^2]."""
        return _areas(self)[1]

    @property
    def volume(self) -> float:
        """Volume [mm^3]."""
        return _volume(self)

    @property
    def area(self) -> float:
        """Surface [mm^2]."""
        return float(self.areas.sum())

    @property
    def centroid(self) -> Array:
        """Middle of the volume, shape (3,) [mm]."""
        base = self.vertices.mean(axis=0)
        corners = self.corners - base
        a, b, c = corners[:, 0], corners[:, 1], corners[:, 2]
        weights = np.einsum("ij,ij->i", a, cross_products(b, c)) / 6.0
        middle: Array = base + (weights[:, None] * (a + b + c) / 4.0).sum(axis=0) / weights.sum()
        return middle

    @property
    def bounds(self) -> tuple[Array, Array]:
        """Low and high corner of the box around it, shape (3,) each [mm]."""
        return _bounds(self)

    def extent(self, direction: Array | tuple[float, float, float]) -> tuple[float, float]:
        """Least and greatest distance along a direction of length 1 [mm]."""
        along = self.vertices @ np.asarray(direction, dtype=np.float64)
        return float(along.min()), float(along.max())

    def face_numbers(self, name: str) -> tuple[int, ...]:
        """Numbers of the faces whose name is or begins with `name`."""
        return tuple(i for i, face in enumerate(self.book) if face.name.startswith(name))

    def area_of_faces(self, name: str) -> float:
        """Area of all faces whose name is or begins with `name` [mm^2]."""
        wanted = np.isin(self.faces, self.face_numbers(name))
        return float(np.linalg.norm(self.area_vectors[wanted], axis=1).sum())


@lru_cache(maxsize=KEPT)
def _bounds(solid: Solid) -> tuple[Array, Array]:
    return solid.vertices.min(axis=0), solid.vertices.max(axis=0)


@lru_cache(maxsize=KEPT)
def _volume(solid: Solid) -> float:
    if len(solid.triangles) == 0:
        return 0.0
    corners = solid.corners - solid.vertices.mean(axis=0)
    return float(np.einsum("ij,ij->", corners[:, 0], cross_products(corners[:, 1], corners[:, 2])) / 6.0)


@lru_cache(maxsize=KEPT)
def _areas(solid: Solid) -> tuple[Array, Array, Array]:
    """Area vectors (m, 3), areas (m,) and normals (m, 3) of a solid's triangles."""
    corners = solid.corners
    a, b, c = corners[:, 0], corners[:, 1], corners[:, 2]
    vectors = 0.5 * cross_products(b - a, c - a)
    areas = np.sqrt((vectors * vectors).sum(axis=1))
    return vectors, areas, vectors / np.where(areas > 0.0, areas, 1.0)[:, None]


class FaceBook:
    """Faces being numbered while a solid is built: the only thing here that grows."""

    def __init__(self) -> None:
        self.faces: list[Face] = []
        self.joins: set[tuple[int, int]] = set()
        self.notes: list[str] = []

    def add(self, name: str, flat: bool) -> int:
        """Number of a new face."""
        self.faces.append(Face(name=name, flat=flat))
        return len(self.faces) - 1

    def join(self, a: int, b: int) -> None:
        """Two faces run into one another without an arris."""
        if a != b:
            self.joins.add((min(a, b), max(a, b)))

    def take(self, other: Solid, prefix: str) -> Ints:
        """Another solid's faces entered under new names; its triangles' faces by their new numbers, shape (m,)."""
        first = len(self.faces)
        self.faces += [replace(face, name=f"{prefix} {face.name}") for face in other.book]
        self.joins |= {(a + first, b + first) for a, b in other.joins}
        return other.faces + first


def solid_from(body: Body, book: FaceBook, nothing: str) -> Solid:
    """The record of a finished body.

    Raises
    ------
    ValueError
        With the words `nothing` if there is no wood left, or with the kernel's complaint.
    """
    kernel.sound(body)
    if kernel.nothing_left(body):
        raise ValueError(nothing)
    body = kernel.without_crumbs(body)
    vertices, triangles, faces = kernel.mesh_of(body)
    return Solid(
        vertices=vertices,
        triangles=triangles,
        faces=faces,
        book=tuple(book.faces),
        joins=frozenset(book.joins),
        body=body,
        notes=tuple(book.notes),
    )


@lru_cache(maxsize=KEPT)
def placed(solid: Solid, frame: Frame) -> Solid:
    """A solid of a part's drawing frame where the part stands. A mirrored frame gives the mirror image."""
    triangles = solid.triangles[:, ::-1] if frame.mirrored else solid.triangles
    return replace(
        solid,
        vertices=frame.many_to_world(solid.vertices),
        triangles=np.ascontiguousarray(triangles),
        body=kernel.moved(solid.body, frame.matrix()),
        stands=(solid, frame),
    )


def shifted(solid: Solid, way: Vec3) -> Solid:
    """A solid of a piece moved by a vector [mm]."""
    own, frame = solid.stands or (solid, WORLD)
    return placed(own, Frame(plus(frame.origin, way), frame.x, frame.y, frame.z))
