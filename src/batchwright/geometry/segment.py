"""The records of exact plane curves, and what one segment knows of itself at a parameter 0 to 1. Millimetres."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from batchwright.geometry.frame import Array, Vec2


@dataclass(frozen=True, slots=True)
class Line:
    """A straight line from `start` to `end`."""

    start: Vec2
    end: Vec2
    name: str = ""


@dataclass(frozen=True, slots=True)
class Arc:
    """An arc of a circle from `start` through `middle` (any point of it between the ends) to `end`."""

    start: Vec2
    middle: Vec2
    end: Vec2
    name: str = ""


@dataclass(frozen=True, slots=True)
class Cubic:
    """A cubic in Bezier form: from `start`, leaving towards `first`, arriving from `second`, to `end`."""

    start: Vec2
    first: Vec2
    second: Vec2
    end: Vec2
    name: str = ""


Segment = Line | Arc | Cubic
Path = tuple[Segment, ...]
"""Segments end to start, not closed. `name` groups segments that were drawn as one edge (one fair curve)."""


@dataclass(frozen=True, slots=True)
class Outline:
    """A closed loop of segments, counter-clockwise, that does not cross itself.

    Each named edge is one face when extruded.
    """

    segments: Path


@dataclass(frozen=True, slots=True)
class Circle:
    """The circle an arc lies on, the angle at which it starts and the angle it sweeps, positive to the left [rad]."""

    centre: Vec2
    radius: float
    start_angle: float
    sweep: float


def cross2(a: Vec2, b: Vec2) -> float:
    """The area spanned by two plane vectors, positive when `b` lies to the left of `a`."""
    return a[0] * b[1] - a[1] * b[0]


def minus2(a: Vec2, b: Vec2) -> Vec2:
    """a - b."""
    return (a[0] - b[0], a[1] - b[1])


def apart(a: Vec2, b: Vec2) -> float:
    """Distance of two plane points [mm]."""
    return math.hypot(a[0] - b[0], a[1] - b[1])


def unit2(a: Vec2) -> Vec2:
    """The same direction, length 1.

    Raises
    ------
    ValueError
        If the vector has no length.
    """
    length = math.hypot(a[0], a[1])
    if length < 1e-12:
        raise ValueError("a direction needs a length above zero")
    return (a[0] / length, a[1] / length)


def arc_sweep(arc: Arc) -> float:
    """The angle an arc turns through, positive to the left, 0 when its three points lie on one line [rad].

    Twice the turn from the first chord to the second (angle at the circumference), which stays accurate for the
    flattest arcs because it never asks for the centre. Source: Euclid, Elements, book III, proposition 20.

    Raises
    ------
    ValueError
        If two of the three points fall together, or the middle lies on the line of the ends, beyond them.
    """
    ax, ay = arc.middle[0] - arc.start[0], arc.middle[1] - arc.start[1]
    bx, by = arc.end[0] - arc.middle[0], arc.end[1] - arc.middle[1]
    turned, along = ax * by - ay * bx, ax * bx + ay * by
    size = ax * ax + ay * ay + bx * bx + by * by
    if (along <= 0.0 and abs(turned) <= 1e-13 * size) or arc.start == arc.end:
        raise ValueError(
            f"an arc needs three different points, its middle between the ends: {arc.start}, {arc.middle}, {arc.end}"
        )
    return 2.0 * math.atan2(turned, along)


def circle_of(arc: Arc) -> Circle:
    """Centre, radius, start angle and sweep of an arc.

    Raises
    ------
    ValueError
        If its three points lie on one line.
    """
    sweep = arc_sweep(arc)
    chord = minus2(arc.end, arc.start)
    length = math.hypot(*chord)
    if abs(sweep) < 1e-12:
        raise ValueError(f"the points {arc.start}, {arc.middle}, {arc.end} lie on one line: no circle holds them")
    half = 0.5 * sweep
    rise = 0.5 / math.tan(half)
    centre = (
        0.5 * (arc.start[0] + arc.end[0]) - chord[1] * rise,
        0.5 * (arc.start[1] + arc.end[1]) + chord[0] * rise,
    )
    angle = math.atan2(arc.start[1] - centre[1], arc.start[0] - centre[0])
    return Circle(centre, abs(0.5 * length / math.sin(half)), angle, sweep)


def _arc_stretch(sweep: float) -> float:
    """Arc length over chord length."""
    half = 0.5 * sweep
    return half / math.sin(half) if abs(half) > 1e-9 else 1.0


def point_at(segment: Segment, t: float) -> Vec2:
    """The point at parameter t, 0 at the start and 1 at the end."""
    a, b, s = segment.start, segment.end, 1.0 - t
    if isinstance(segment, Line):
        return (s * a[0] + t * b[0], s * a[1] + t * b[1])
    if isinstance(segment, Cubic):
        wa, wf, ws, wb = s * s * s, 3.0 * s * s * t, 3.0 * s * t * t, t * t * t
        f, g = segment.first, segment.second
        return (wa * a[0] + wf * f[0] + ws * g[0] + wb * b[0], wa * a[1] + wf * f[1] + ws * g[1] + wb * b[1])
    sweep = arc_sweep(segment)
    k = math.sin(0.5 * sweep * t) / math.sin(0.5 * sweep) if abs(sweep) > 1e-9 else t
    x, y = _turned(minus2(b, a), -0.5 * sweep * s)
    return (a[0] + k * x, a[1] + k * y)


def derivative_at(segment: Segment, t: float) -> Vec2:
    """First derivative of the point with respect to t [mm]."""
    a, b = segment.start, segment.end
    if isinstance(segment, Line):
        return minus2(b, a)
    if isinstance(segment, Cubic):
        s = 1.0 - t
        f, g = segment.first, segment.second
        u, v, w = 3.0 * s * s, 6.0 * s * t, 3.0 * t * t
        return (
            u * (f[0] - a[0]) + v * (g[0] - f[0]) + w * (b[0] - g[0]),
            u * (f[1] - a[1]) + v * (g[1] - f[1]) + w * (b[1] - g[1]),
        )
    sweep = arc_sweep(segment)
    k = _arc_stretch(sweep)
    x, y = _turned(minus2(b, a), sweep * (t - 0.5))
    return (k * x, k * y)


def second_derivative_at(segment: Segment, t: float) -> Vec2:
    """Second derivative of the point with respect to t [mm]."""
    if isinstance(segment, Line):
        return (0.0, 0.0)
    if isinstance(segment, Cubic):
        a, f, g, b = segment.start, segment.first, segment.second, segment.end
        s = 1.0 - t
        return (
            6.0 * (s * (g[0] - 2.0 * f[0] + a[0]) + t * (b[0] - 2.0 * g[0] + f[0])),
            6.0 * (s * (g[1] - 2.0 * f[1] + a[1]) + t * (b[1] - 2.0 * g[1] + f[1])),
        )
    sweep = arc_sweep(segment)
    x, y = derivative_at(segment, t)
    return (-sweep * y, sweep * x)


def _turned(vector: Vec2, angle: float) -> Vec2:
    c, s = math.cos(angle), math.sin(angle)
    return (c * vector[0] - s * vector[1], s * vector[0] + c * vector[1])


def tangent_at(segment: Segment, t: float) -> Vec2:
    """Direction of travel at t, length 1; at an end where a cubic's handle has no length, the limit direction.

    Raises
    ------
    ValueError
        If the segment has no length.
    """
    d = derivative_at(segment, t)
    if d[0] * d[0] + d[1] * d[1] > 1e-18 or not isinstance(segment, Cubic):
        return unit2(d)
    if t >= 0.5:
        x, y = tangent_at(Cubic(segment.end, segment.second, segment.first, segment.start), 1.0 - t)
        return (-x, -y)
    for towards in (segment.second, segment.end):
        if apart(segment.start, towards) > 1e-9:
            return unit2(minus2(towards, segment.start))
    raise ValueError(f"a curve at {segment.start} has no length")


def curvature_at(segment: Segment, t: float) -> float:
    """Signed curvature at t, positive where the curve turns left [1/mm]; infinite at a cusp."""
    if isinstance(segment, Line):
        return 0.0
    if isinstance(segment, Arc):
        sweep = arc_sweep(segment)
        return sweep / (apart(segment.start, segment.end) * _arc_stretch(sweep))
    d, e = derivative_at(segment, t), second_derivative_at(segment, t)
    speed = math.hypot(d[0], d[1])
    bend = cross2(d, e)
    if speed < 1e-12:
        return math.copysign(math.inf, bend) if abs(bend) > 0.0 else 0.0
    return bend / speed**3


def points_at(segment: Segment, t: Array) -> Array:
    """Points at many parameters, shape (n, 2) [mm]."""
    if isinstance(segment, Cubic):
        a, f, g, b = segment.start, segment.first, segment.second, segment.end
        columns = []
        for i in (0, 1):
            c1, c2 = 3.0 * (f[i] - a[i]), 3.0 * (g[i] - 2.0 * f[i] + a[i])
            c3 = b[i] - a[i] + 3.0 * (f[i] - g[i])
            columns.append(((c3 * t + c2) * t + c1) * t + a[i])
        return np.stack(columns, axis=1)
    a, d = segment.start, minus2(segment.end, segment.start)
    if isinstance(segment, Arc) and abs(sweep := arc_sweep(segment)) > 1e-9:
        k, angle = np.sin(0.5 * sweep * t) / math.sin(0.5 * sweep), 0.5 * sweep * (t - 1.0)
        c, s = k * np.cos(angle), k * np.sin(angle)
        return np.stack([a[0] + c * d[0] - s * d[1], a[1] + s * d[0] + c * d[1]], axis=1)
    return np.stack([a[0] + t * d[0], a[1] + t * d[1]], axis=1)


def derivatives_at(segment: Segment, t: Array) -> Array:
    """First derivatives at many parameters, shape (n, 2) [mm]."""
    a, b = segment.start, segment.end
    if isinstance(segment, Cubic):
        f, g = segment.first, segment.second
        columns = []
        for i in (0, 1):
            c1, c2 = 3.0 * (f[i] - a[i]), 3.0 * (g[i] - 2.0 * f[i] + a[i])
            c3 = b[i] - a[i] + 3.0 * (f[i] - g[i])
            columns.append((3.0 * c3 * t + 2.0 * c2) * t + c1)
        return np.stack(columns, axis=1)
    d = minus2(b, a)
    sweep = arc_sweep(segment) if isinstance(segment, Arc) else 0.0
    k, angle = _arc_stretch(sweep), sweep * (t - 0.5)
    c, s = k * np.cos(angle), k * np.sin(angle)
    return np.stack([c * d[0] - s * d[1], s * d[0] + c * d[1]], axis=1)


def second_derivatives_at(segment: Segment, t: Array) -> Array:
    """Second derivatives at many parameters, shape (n, 2) [mm]."""
    if isinstance(segment, Cubic):
        ends: Array = np.array([second_derivative_at(segment, 0.0), second_derivative_at(segment, 1.0)])
        mixed: Array = ends[0] + t[:, None] * (ends[1] - ends[0])
        return mixed
    sweep = arc_sweep(segment) if isinstance(segment, Arc) else 0.0
    d = derivatives_at(segment, t)
    turned: Array = sweep * np.stack([-d[:, 1], d[:, 0]], axis=1)
    return turned


def turned_back(segment: Segment) -> Segment:
    """The same curve travelled from its end to its start."""
    if isinstance(segment, Line):
        return Line(segment.end, segment.start, segment.name)
    if isinstance(segment, Arc):
        return Arc(segment.end, segment.middle, segment.start, segment.name)
    return Cubic(segment.end, segment.second, segment.first, segment.start, segment.name)
