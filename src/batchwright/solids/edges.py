"""Arrises of a solid: the mesh edges between two drawn faces, grouped by face pair and strung into chains."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from batchwright.geometry.frame import Array
from batchwright.solids.kernel import Ints
from batchwright.solids.solid import Solid

SHARPEST_LINK = math.cos(math.radians(25.0))
"""Two stretches of an arris that turn by less than this follow one another in one sweep."""

FLAT_ENOUGH = math.cos(math.radians(10.0))
"""Faces that meet at a flatter angle than this have no arris to ease."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrises:
    """Convex mesh edges between faces without a smooth join.

    ends (n, 2): vertices, so that face a lies to the left seen from outside; along (n, 3): unit direction; length (n,)
    [mm]; a, b (n,): face numbers; normal_a, normal_b (n, 3); inner_a, inner_b (n, 3): unit directions from the edge
    into each face.
    """

    ends: Ints
    along: Array
    length: Array
    a: Ints
    b: Ints
    normal_a: Array
    normal_b: Array

    @property
    def inner_a(self) -> Array:
        """Directions into face a, square to the edge, shape (n, 3)."""
        inner: Array = np.cross(self.normal_a, self.along)
        return inner

    @property
    def inner_b(self) -> Array:
        """Directions into face b, square to the edge, shape (n, 3)."""
        inner: Array = np.cross(self.along, self.normal_b)
        return inner


@dataclass(frozen=True, slots=True)
class Twins:
    """Every mesh edge once: ends (n, 2), the triangle that runs along it and the one that runs against it (n,)."""

    ends: Ints
    left: Ints
    right: Ints


def twins_of(triangles: Ints) -> Twins:
    """Edges of a closed mesh with the triangle on either side."""
    count = len(triangles)
    start = triangles.ravel()
    end = np.roll(triangles, -1, axis=1).ravel()
    owner = np.repeat(np.arange(count), 3)
    size = int(triangles.max()) + 1
    forward = start < end
    low, high = np.minimum(start, end), np.maximum(start, end)
    order = np.lexsort((~forward, low * size + high))
    key = (low * size + high)[order]
    first = order[::2]
    second = order[1::2]
    if not (len(key) % 2 == 0 and (key[::2] == key[1::2]).all()):
        raise ValueError("the mesh of a solid is not closed")
    return Twins(np.column_stack([start[first], end[first]]), owner[first], owner[second])


def arrises_of(solid: Solid) -> Arrises:
    """All convex arrises of a solid; face a is the plane one of the two, else the later numbered."""
    twins = twins_of(solid.triangles)
    faces_l, faces_r = solid.faces[twins.left], solid.faces[twins.right]
    apart = (faces_l != faces_r) & ~_joined(solid, faces_l, faces_r)
    ends, left, right = twins.ends[apart], twins.left[apart], twins.right[apart]
    flat = np.array([face.flat for face in solid.book], dtype=bool)
    rank = flat * len(solid.book) + np.arange(len(solid.book))
    swap = rank[solid.faces[right]] > rank[solid.faces[left]]
    ends = np.where(swap[:, None], ends[:, ::-1], ends)
    left, right = np.where(swap, right, left), np.where(swap, left, right)
    span = solid.vertices[ends[:, 1]] - solid.vertices[ends[:, 0]]
    length = np.linalg.norm(span, axis=1)
    normals = solid.normals
    along = span / np.where(length > 0.0, length, 1.0)[:, None]
    n_a, n_b = normals[left], normals[right]
    convex = np.einsum("ij,ij->i", np.cross(n_a, n_b), along) > 1e-9
    good = convex & (length > 1e-7) & (np.einsum("ij,ij->i", n_a, n_b) < FLAT_ENOUGH)
    return Arrises(
        ends=ends[good],
        along=along[good],
        length=length[good],
        a=solid.faces[left[good]],
        b=solid.faces[right[good]],
        normal_a=n_a[good],
        normal_b=n_b[good],
    )


def _joined(solid: Solid, one: Ints, two: Ints) -> NDArray[np.bool_]:
    size = len(solid.book)
    pairs = np.array([i * size + j for i, j in solid.joins], dtype=np.int64)
    return np.isin(np.minimum(one, two) * size + np.maximum(one, two), pairs)


@dataclass(frozen=True, slots=True)
class Chain:
    """Arrises end to end, by number; closed if the last runs into the first."""

    arrises: tuple[int, ...]
    closed: bool


def chains_of(arrises: Arrises, chosen: Ints, solid: Solid) -> tuple[Chain, ...]:
    """The chosen arrises strung together wherever one runs on into the next on the same faces."""
    starts: dict[int, list[int]] = {}
    for k in chosen.tolist():
        starts.setdefault(int(arrises.ends[k, 0]), []).append(k)
    follows: dict[int, int] = {}
    taken: set[int] = set()
    for k in chosen.tolist():
        after = [
            m
            for m in starts.get(int(arrises.ends[k, 1]), [])
            if m not in taken and _runs_on(arrises, k, m, solid)
        ]
        if after:
            follows[k] = max(after, key=lambda m: float(arrises.along[k] @ arrises.along[m]))
            taken.add(follows[k])
    heads = [k for k in chosen.tolist() if k not in taken]
    found, seen = [], set()
    for k in [*heads, *chosen.tolist()]:
        if k in seen:
            continue
        run = [k]
        while run[-1] in follows and follows[run[-1]] not in run:
            run.append(follows[run[-1]])
        seen.update(run)
        found.append(Chain(tuple(run), follows.get(run[-1]) == run[0]))
    return tuple(found)


def _runs_on(arrises: Arrises, k: int, m: int, solid: Solid) -> bool:
    """Whether arris m carries on where k ends: nearly straight on, on the same faces or such as join them or hardly
    turn from them; or round an inside corner of a face."""

    def same(one: int, two: int) -> bool:
        return one == two or (min(one, two), max(one, two)) in solid.joins

    level_a = float(arrises.normal_a[k] @ arrises.normal_a[m]) > FLAT_ENOUGH
    level_b = float(arrises.normal_b[k] @ arrises.normal_b[m]) > FLAT_ENOUGH
    same_a = same(int(arrises.a[k]), int(arrises.a[m]))
    same_b = same(int(arrises.b[k]), int(arrises.b[m]))
    straight_on = float(arrises.along[k] @ arrises.along[m])
    if (same_a or level_a) and (same_b or level_b) and straight_on > SHARPEST_LINK:
        return True
    turn = np.cross(arrises.along[k], arrises.along[m])
    if same_a and level_a:
        inside = float(turn @ arrises.normal_a[k]) < 0.0
    elif same_b and level_b:
        inside = float(turn @ arrises.normal_b[k]) > 0.0
    else:
        return False
    return inside and straight_on > -0.7
