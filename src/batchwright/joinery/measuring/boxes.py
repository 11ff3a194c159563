"""Bars in space: do two of them come within a gap of one another, and where does one first meet the other."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product

from batchwright.geometry.frame import Frame, Vec3, cross, dot, norm


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
    for way in _ways(a, b):
        farthest = max(farthest, abs(dot(between, way)) - a.reach(way) - b.reach(way))
        if farthest >= enough:
            break
    return farthest


def _ways(a: SpaceBox, b: SpaceBox) -> Iterator[Vec3]:
    """The directions that can part two boxes, the likely ones first."""
    yield from a.axes
    yield from b.axes
    for one, two in product(a.axes, b.axes):
        way = cross(one, two)
        if (length := norm(way)) > 1e-9:
            yield (way[0] / length, way[1] / length, way[2] / length)


def near_face_distance(point: Vec3, way: Vec3, box: SpaceBox) -> float:
    """How far a point is from the plane of the box's face that looks most against a direction, along it [mm]."""
    face = max(
        (axis for each in box.axes for axis in (each, (-each[0], -each[1], -each[2]))), key=lambda n: -dot(n, way)
    )
    on_face = tuple(m + box.reach(face) * n for m, n in zip(box.middle, face))
    between = (on_face[0] - point[0], on_face[1] - point[1], on_face[2] - point[2])
    return dot(between, face) / dot(way, face)
