"""Lengths, angles, frames and traced sizes as the plain values of plan.json: millimetres and degrees, rounded."""

from __future__ import annotations

import math

from batchwright.base.trace import By, Sized
from batchwright.geometry.frame import Frame, Plane

Plain = dict[str, object]


def sized(sized: Sized) -> Plain:
    """A size with who decided it."""
    trace = sized.trace
    return {
        "value": mm(sized.value),
        "by": trace.by.value,
        "rule": trace.rule,
        "why": trace.why,
        "source": trace.source,
        "default": trace.by is By.DEFAULT,
    }


def frame(frame: Frame) -> Plain:
    """A frame's origin and directions."""
    return {
        "origin": point(frame.origin),
        "x": point(frame.x, 6),
        "y": point(frame.y, 6),
        "z": point(frame.z, 6),
    }


def plane(plane: Plane) -> Plain:
    """A plane."""
    return {"point": point(plane.point), "normal": point(plane.normal, 6)}


def point(point: tuple[float, float, float], digits: int = 3) -> list[float]:
    """A point or direction, rounded."""
    return [round(value, digits) + 0.0 for value in point]


def mm(value: float) -> float:
    """A length to a thousandth [mm]."""
    return round(value, 3) + 0.0


def deg(value: float) -> float:
    """An angle [rad] in degrees."""
    return round(math.degrees(value), 4) + 0.0
