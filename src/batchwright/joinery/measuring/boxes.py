"""Bars in space: do two of them come within a gap of one another, and where does one first meet the other."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product

from batchwright.geometry.frame import Frame, Vec3, dot, norm


@dataclass(frozen=True, slots=True, kw_only=True)
class SpaceBox:
    """A box along a frame's axes: middle (world) and half sizes."""

    frame: Frame
    middle: Vec3
    half: Vec3

    @property
    def axes(self) -> tuple[Vec3, Vec3, Vec3]:
        """Its three directions."""
        return (self.frame.x, self.frame.y, self.frame.z)

    def reach(self, way: Vec3) -> float:
        """Half its extent along a direction [mm]."""
        frame, half = self.frame, self.half
        return abs(dot(frame.x, way)) * half[0] + abs(dot(frame.y, way)) * half[1] + abs(dot(frame.z, way)) * half[2]


ROUND = ((0, 1, 2), (1, 2, 0), (2, 0, 1))
"""Each axis with the two after it."""


def apart_by(a: SpaceBox, b: SpaceBox, enough: float = math.inf) -> float:
    """Clear distance of two boxes along the direction that parts them most; negative: how deep they overlap [mm].

    From `enough` on it may be told too small, but not under `enough`.
    Source: separating axes of two boxes (Gottschalk, Lin, Manocha, OBBTree, 1996; from memory): face normals of both
    and the products of their edges.
    """
    between = (b.middle[0] - a.middle[0], b.middle[1] - a.middle[1], b.middle[2] - a.middle[2])
    farthest = norm(between) - norm(a.half) - norm(b.half)
    if farthest >= enough:
        return farthest
    farthest = -math.inf
    for apart in _clearances(a, b, between):
        farthest = max(farthest, apart)
        if farthest >= enough:
            break
    return farthest


def _clearances(a: SpaceBox, b: SpaceBox, between: Vec3) -> Iterator[float]:
    """What lies between two boxes along each direction that can part them, the likely ones first [mm]."""
    turn = [[dot(one, two) for two in b.axes] for one in a.axes]
    size = [[abs(value) for value in row] for row in turn]
    here, there = [dot(between, way) for way in a.axes], [dot(between, way) for way in b.axes]
    for i in range(3):
        row = size[i]
        yield abs(here[i]) - a.half[i] - b.half[0] * row[0] - b.half[1] * row[1] - b.half[2] * row[2]
    for j in range(3):
        yield abs(there[j]) - b.half[j] - sum(a.half[i] * size[i][j] for i in range(3))
    for (i, p, q), (j, r, s) in product(ROUND, ROUND):
        length = math.hypot(turn[p][j], turn[q][j])
        if length > 1e-9:
            run = abs(here[q] * turn[p][j] - here[p] * turn[q][j])
            mine = a.half[p] * size[q][j] + a.half[q] * size[p][j]
            yield (run - mine - b.half[r] * size[i][s] - b.half[s] * size[i][r]) / length


def near_face_distance(point: Vec3, way: Vec3, box: SpaceBox) -> float:
    """How far a point is from the plane of the box's face that looks most against a direction, along it [mm]."""
    face = max(
        (axis for each in box.axes for axis in (each, (-each[0], -each[1], -each[2]))), key=lambda n: -dot(n, way)
    )
    on_face = tuple(m + box.reach(face) * n for m, n in zip(box.middle, face))
    between = (on_face[0] - point[0], on_face[1] - point[1], on_face[2] - point[2])
    return dot(between, face) / dot(way, face)
