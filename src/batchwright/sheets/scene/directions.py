"""Small plane arithmetic of the drawing: directions, normals, points along a curve."""

from __future__ import annotations

import math

from batchwright.geometry.frame import Vec2


def along(point: Vec2, direction: Vec2, distance: float) -> Vec2:
    """The point `distance` further in a direction."""
    return (point[0] + direction[0] * distance, point[1] + direction[1] * distance)


def unit2(vector: Vec2) -> Vec2:
    """The same direction, length 1; a vector without length reads as along u."""
    length = math.hypot(vector[0], vector[1])
    return (vector[0] / length, vector[1] / length) if length > 1e-12 else (1.0, 0.0)


def left_of(direction: Vec2) -> Vec2:
    """The direction a quarter turn to the left."""
    return (-direction[1], direction[0])


def dot2(a: Vec2, b: Vec2) -> float:
    """Scalar product."""
    return a[0] * b[0] + a[1] * b[1]


def minus2(a: Vec2, b: Vec2) -> Vec2:
    """a - b."""
    return (a[0] - b[0], a[1] - b[1])


def angle_of(direction: Vec2) -> float:
    """The angle of a direction from the u axis [rad]."""
    return math.atan2(direction[1], direction[0])


def reading_angle(direction: Vec2) -> float:
    """The angle to write along a line so that it reads from below or from the right [rad]."""
    angle = angle_of(direction)
    if angle > math.pi / 2.0 + 1e-9:
        return angle - math.pi
    if angle <= -math.pi / 2.0 + 1e-9:
        return angle + math.pi
    return angle


def heading(angle: float) -> Vec2:
    """The direction of an angle, clean at the quarters."""
    return (_clean(math.cos(angle)), _clean(math.sin(angle)))


def _clean(value: float) -> float:
    return round(value) + 0.0 if abs(value - round(value)) < 1e-12 else value
