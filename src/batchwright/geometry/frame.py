"""Points, directions, frames and planes in space. Millimetres; tuples in records, numpy inside."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Vec2 = tuple[float, float]
Vec3 = tuple[float, float, float]
Array = NDArray[np.float64]


def vec3(values: Array | tuple[float, ...] | list[float]) -> Vec3:
    """Three floats out of an array or sequence, minus zeros made plain zeros."""
    x, y, z = (float(value) + 0.0 for value in values)
    return (x, y, z)


def dot(a: Vec3, b: Vec3) -> float:
    """Scalar product."""
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def cross(a: Vec3, b: Vec3) -> Vec3:
    """Vector product, right-handed."""
    return (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])


def plus(a: Vec3, b: Vec3, times: float = 1.0) -> Vec3:
    """a + times * b."""
    return (a[0] + times * b[0], a[1] + times * b[1], a[2] + times * b[2])


def minus(a: Vec3, b: Vec3) -> Vec3:
    """a - b."""
    return (a[0] - b[0], a[1] - b[1], a[2] - b[2])


def norm(a: Vec3) -> float:
    """Length of a vector."""
    return math.sqrt(dot(a, a))


def unit(a: Vec3) -> Vec3:
    """The same direction, length 1.

    Raises
    ------
    ValueError
        If the vector has no length.
    """
    length = norm(a)
    if length < 1e-12:
        raise ValueError("a direction needs a length above zero")
    return (a[0] / length, a[1] / length, a[2] / length)


def angle_between(a: Vec3, b: Vec3) -> float:
    """Angle between two directions, 0 to pi [rad]."""
    return math.atan2(norm(cross(a, b)), dot(a, b))


@dataclass(frozen=True, slots=True)
class Plane:
    """A plane through `point`; `normal` has length 1 and looks out of the wood it bounds."""

    point: Vec3
    normal: Vec3

    def height(self, point: Vec3) -> float:
        """Signed distance of a point, positive on the side the normal looks to [mm]."""
        return dot(minus(point, self.point), self.normal)


@dataclass(frozen=True, slots=True)
class Frame:
    """An orthonormal frame: origin and three axes of length 1. May be left-handed (a mirror image).

    `to_world` takes a point in the frame's coordinates to the coordinates the axes are given in; `to_local` back.
    """

    origin: Vec3 = (0.0, 0.0, 0.0)
    x: Vec3 = (1.0, 0.0, 0.0)
    y: Vec3 = (0.0, 1.0, 0.0)
    z: Vec3 = (0.0, 0.0, 1.0)

    @property
    def mirrored(self) -> bool:
        """Whether the frame is left-handed."""
        return dot(cross(self.x, self.y), self.z) < 0.0

    def matrix(self) -> Array:
        """The 3 x 4 matrix whose columns are x, y, z, origin (what the kernel's transform takes)."""
        return np.array([self.x, self.y, self.z, self.origin]).T

    def to_world(self, point: Vec3) -> Vec3:
        """A point of this frame in outer coordinates."""
        return plus(plus(plus(self.origin, self.x, point[0]), self.y, point[1]), self.z, point[2])

    def to_local(self, point: Vec3) -> Vec3:
        """An outer point in this frame's coordinates."""
        d = minus(point, self.origin)
        return (dot(d, self.x), dot(d, self.y), dot(d, self.z))

    def turn(self, direction: Vec3) -> Vec3:
        """A direction of this frame in outer coordinates."""
        return plus(plus(plus((0.0, 0.0, 0.0), self.x, direction[0]), self.y, direction[1]), self.z, direction[2])

    def turn_back(self, direction: Vec3) -> Vec3:
        """An outer direction in this frame's coordinates."""
        return (dot(direction, self.x), dot(direction, self.y), dot(direction, self.z))

    def many_to_world(self, points: Array) -> Array:
        """Points of shape (n, 3) in outer coordinates, shape (n, 3)."""
        moved: Array = points @ np.array([self.x, self.y, self.z]) + np.array(self.origin)
        return moved

    def many_to_local(self, points: Array) -> Array:
        """Outer points of shape (n, 3) in this frame's coordinates, shape (n, 3)."""
        back: Array = (points - np.array(self.origin)) @ np.array([self.x, self.y, self.z]).T
        return back

    def within(self, outer: Frame) -> Frame:
        """This frame, given in `outer`'s coordinates, expressed where `outer` itself is expressed."""
        return Frame(outer.to_world(self.origin), outer.turn(self.x), outer.turn(self.y), outer.turn(self.z))

    def seen_from(self, other: Frame) -> Frame:
        """This frame expressed in the coordinates of `other` (both given in the same outer coordinates)."""
        return Frame(
            other.to_local(self.origin), other.turn_back(self.x), other.turn_back(self.y), other.turn_back(self.z)
        )

    def mirror_image(self, plane: Plane) -> Frame:
        """The frame reflected in a plane: the same local coordinates give the mirrored point."""

        def reflect(direction: Vec3) -> Vec3:
            return plus(direction, plane.normal, -2.0 * dot(direction, plane.normal))

        origin = plus(self.origin, plane.normal, -2.0 * plane.height(self.origin))
        return Frame(origin, reflect(self.x), reflect(self.y), reflect(self.z))

    def plane_to_world(self, plane: Plane) -> Plane:
        """A plane of this frame in outer coordinates; its normal still looks out of the wood."""
        return Plane(self.to_world(plane.point), self.turn(plane.normal))

    def plane_to_local(self, plane: Plane) -> Plane:
        """An outer plane in this frame's coordinates."""
        return Plane(self.to_local(plane.point), self.turn_back(plane.normal))


WORLD = Frame()
