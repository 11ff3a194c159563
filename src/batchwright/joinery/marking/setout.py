"""A joint's mouth as it is set out on the face it is cut in: its centre, its centre line, its true size, its turn."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from batchwright.geometry.frame import Array, Plane, Vec3, cross, dot, minus, norm, plus, unit, vec3
from batchwright.geometry.outline import polygon_outline, smallest_rectangle
from batchwright.geometry.shape import convex_hull
from batchwright.model.piece import Feature
from batchwright.model.shape import Section, Tool
from batchwright.solids.rays import entry_near
from batchwright.solids.solid import Solid

NEAR = 40.0
"""A mouth this far before or behind the place where the joint was laid out is not its own [mm]."""
LEAST = 0.05
"""A bar that lies flatter to a face than this (sine) has no mouth on it."""
AXES: tuple[Vec3, Vec3, Vec3] = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))


@dataclass(frozen=True, slots=True, kw_only=True)
class Face:
    """A face's plane in bench coordinates, and the two bench axes it is measured along: x first, y first on an end."""

    plane: Plane

    @property
    def axis(self) -> int:
        """The bench axis it looks along most."""
        return max(range(3), key=lambda i: round(abs(self.plane.normal[i]), 9))

    @property
    def ways(self) -> tuple[Vec3, Vec3]:
        """Directions of length 1 in the face: along its first bench axis, and square to that towards its second."""
        n = self.plane.normal
        one, two = (AXES[i] for i in range(3) if i != self.axis)
        first = unit(plus(one, n, -dot(n, one)))
        second = cross(n, first)
        return first, second if dot(second, two) > 0.0 else (-second[0], -second[1], -second[2])


def struck_face(solid: Solid, tool: Tool) -> Plane | None:
    """The plane of a solid where a bar's middle line goes in, nearest to its z = 0; None where there is no wood.

    Solid, bar and plane in the same coordinates; the plane's normal looks out of the wood.
    """
    found = entry_near(solid, tool.frame.origin, tool.frame.z, NEAR)
    return None if found is None else Plane(found[0], unit(found[1]))


def set_out(feature: Feature, plane: Plane) -> Feature:
    """A bar with the set-out of its mouth on a plane (bench coordinates)."""
    tool = feature.tool
    if tool is None or abs(dot(tool.frame.z, plane.normal)) < LEAST:
        return feature
    half = (tool.width / 2.0, tool.thickness / 2.0)
    centre = _onto(plane, tool, (0.0, 0.0, 0.0))
    if tool.section is Section.ROUND:
        return replace(feature, centre=centre, ends=(centre, centre), length=tool.width, width=tool.width)
    along = minus(_onto(plane, tool, (half[0], 0.0, 0.0)), _onto(plane, tool, (-half[0], 0.0, 0.0)))
    over = minus(_onto(plane, tool, (0.0, half[1], 0.0)), _onto(plane, tool, (0.0, -half[1], 0.0)))
    return _lined(feature, Face(plane=plane), centre, (along, norm(cross(along, over)) / norm(along)))


def _onto(plane: Plane, tool: Tool, point: Vec3) -> Vec3:
    """A point of a bar moved along the bar onto a plane."""
    start = tool.frame.to_world(point)
    return plus(start, tool.frame.z, -plane.height(start) / dot(plane.normal, tool.frame.z))


def _lined(feature: Feature, face: Face, centre: Vec3, size: tuple[Vec3, float]) -> Feature:
    """The feature with its centre line: a vector from end to end, and the width square to it."""
    along, width = size
    first, second = face.ways
    a, b = dot(along, first), dot(along, second)
    if a < -1e-9 or (abs(a) <= 1e-9 and b < 0.0):
        along, a, b = (-along[0], -along[1], -along[2]), -a, -b
    ends = (vec3(plus(centre, along, -0.5)), vec3(plus(centre, along, 0.5)))
    turn = math.atan2(b, a) + 0.0
    return replace(feature, centre=vec3(centre), ends=ends, length=norm(along), width=width, turn=turn)


def set_out_points(feature: Feature, points: Array, plane: Plane) -> Feature:
    """A housing with the set-out of its mouth: the least rectangle round the corners (n, 3) of its wood, on a plane."""
    face = Face(plane=plane)
    first, second = face.ways
    start = np.array(plane.point)
    seen = np.column_stack([(points - start) @ np.array(first), (points - start) @ np.array(second)])
    long, short, angle = smallest_rectangle(polygon_outline(convex_hull(seen)))
    c, s = math.cos(angle), math.sin(angle)
    turned = seen @ np.array([[c, -s], [s, c]])
    u, v = (turned.min(axis=0) + turned.max(axis=0)) / 2.0
    centre = plus(plus(plane.point, first, float(u * c - v * s)), second, float(u * s + v * c))
    along = plus((c * first[0], c * first[1], c * first[2]), second, s)
    return _lined(feature, face, centre, ((along[0] * long, along[1] * long, along[2] * long), short))
