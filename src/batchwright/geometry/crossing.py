"""Where a path meets a straight line, and the place on a path nearest to a point."""

from __future__ import annotations

import math

import numpy as np

from batchwright.geometry.frame import Vec2
from batchwright.geometry.root import parallel_parameters, roots_in_unit
from batchwright.geometry.segment import (
    Arc,
    Cubic,
    Line,
    Path,
    Segment,
    apart,
    arc_sweep,
    circle_of,
    cross2,
    derivative_at,
    minus2,
    point_at,
    second_derivative_at,
    unit2,
)

TOUCH = 1e-9
"""A curve this near to a line touches it [mm]."""

Crossing = tuple[float, float, Vec2]
"""Parameter on the path (segment index + t), distance along the line [mm], the point itself."""


def crossings_with_line(path: Path, point: Vec2, direction: Vec2) -> tuple[Crossing, ...]:
    """Where the endless line through `point` along `direction` meets a path, ordered along the line.

    Distances count from `point`, positive along `direction` (of any length). A touch counts once; where a straight
    segment lies in the line its two ends are given.

    Raises
    ------
    ValueError
        If the direction has no length.
    """
    along = unit2(direction)
    found: list[Crossing] = []
    for index, segment in enumerate(path):
        for t in _line_parameters(segment, point, along):
            place = point_at(segment, t)
            offset = minus2(place, point)
            found.append((index + t, offset[0] * along[0] + offset[1] * along[1], place))
    closed = bool(path) and apart(path[-1].end, path[0].start) <= 1e-7
    return _told_once(found, float(len(path)) if closed else math.inf)


def _line_parameters(segment: Segment, point: Vec2, along: Vec2) -> list[float]:
    def height(t: float) -> float:
        return cross2(along, minus2(point_at(segment, t), point))

    def slope(t: float) -> float:
        return cross2(along, derivative_at(segment, t))

    if isinstance(segment, Line):
        low, high = height(0.0), height(1.0)
        ends = [t for t, value in ((0.0, low), (1.0, high)) if abs(value) <= TOUCH]
        return ends or ([low / (low - high)] if low * high < 0.0 else [])
    return roots_in_unit(height, slope, parallel_parameters(segment, along), TOUCH)


def _told_once(found: list[Crossing], whole: float) -> tuple[Crossing, ...]:
    """Sorted along the line; a joint that both of its segments report is one crossing. `whole`: round a loop."""
    found.sort(key=lambda crossing: (crossing[1], crossing[0]))
    kept: list[Crossing] = []
    for crossing in found:
        twins = [old for old in kept[-2:] if apart(crossing[2], old[2]) <= 1e-7]
        steps = [abs(crossing[0] - old[0]) for old in twins]
        if not any(min(step, abs(whole - step)) < 1e-3 for step in steps):
            kept.append(crossing)
    return tuple(kept)


def path_at_coordinate(path: Path, axis: int, value: float) -> tuple[Vec2, ...]:
    """All points of a path whose coordinate 0 or 1 equals `value`, ordered by the other coordinate."""
    if axis == 0:
        return tuple((value, place[1]) for _, _, place in crossings_with_line(path, (value, 0.0), (0.0, 1.0)))
    return tuple((place[0], value) for _, _, place in crossings_with_line(path, (0.0, value), (1.0, 0.0)))


def nearest(path: Path, point: Vec2) -> tuple[int, float, float]:
    """Segment index, parameter and distance of the place on a path nearest to a point; the first one of equals.

    Raises
    ------
    ValueError
        If the path is empty.
    """
    if not path:
        raise ValueError("an empty path has no nearest place")
    best = (0, 0.0, math.inf)
    for index, segment in enumerate(path):
        if _least_possible(segment, point) >= best[2]:
            continue
        for t in (0.0, *_foot_parameters(segment, point), 1.0):
            distance = apart(point_at(segment, t), point)
            if distance < best[2]:
                best = (index, t, distance)
    return best


def _least_possible(segment: Segment, point: Vec2) -> float:
    """A distance the segment cannot come under: to the box round its control points. 0 for an arc."""
    if isinstance(segment, Arc):
        return 0.0
    corners = [segment.start, segment.end]
    if isinstance(segment, Cubic):
        corners += [segment.first, segment.second]
    out = []
    for axis in (0, 1):
        low, high = min(c[axis] for c in corners), max(c[axis] for c in corners)
        out.append(max(low - point[axis], point[axis] - high, 0.0))
    return math.hypot(out[0], out[1])


def _foot_parameters(segment: Segment, point: Vec2) -> list[float]:
    """Candidates for the foot of the perpendicular, 0 < t < 1."""
    if isinstance(segment, Line) or (isinstance(segment, Arc) and abs(arc_sweep(segment)) < 1e-6):
        d, v = minus2(segment.end, segment.start), minus2(point, segment.start)
        square = d[0] * d[0] + d[1] * d[1]
        candidates = [(d[0] * v[0] + d[1] * v[1]) / square] if square > 0.0 else []
    elif isinstance(segment, Arc):
        circle = circle_of(segment)
        angle = math.atan2(point[1] - circle.centre[1], point[0] - circle.centre[0]) - circle.start_angle
        candidates = [(math.copysign(1.0, circle.sweep) * angle) % (2.0 * math.pi) / abs(circle.sweep)]
    else:
        candidates = _cubic_feet(segment, point)
    if not isinstance(segment, Line):
        candidates = [_polished(segment, point, t) for t in candidates]
    return [t for t in candidates if 0.0 < t < 1.0]


def _cubic_feet(cubic: Cubic, point: Vec2) -> list[float]:
    """Real roots in 0..1 of (P - point) . P' = 0, a polynomial of degree five."""
    control = np.array([cubic.start, cubic.first, cubic.second, cubic.end]) - np.array(point)
    to_power = np.array([[-1.0, 3.0, -3.0, 1.0], [3.0, -6.0, 3.0, 0.0], [-3.0, 3.0, 0.0, 0.0], [1.0, 0.0, 0.0, 0.0]])
    power = to_power @ control
    slope = power[:3] * np.array([[3.0], [2.0], [1.0]])
    product = np.convolve(power[:, 0], slope[:, 0]) + np.convolve(power[:, 1], slope[:, 1])
    product[np.abs(product) < 1e-14 * np.abs(product).max(initial=0.0)] = 0.0
    roots = np.roots(product)
    return [float(r.real) for r in roots if abs(r.imag) < 1e-4 and -1e-6 < r.real < 1.0 + 1e-6]


def _polished(segment: Segment, point: Vec2, t: float) -> float:
    """A few Newton steps on (P - point) . P' = 0, kept only where they come nearer."""
    for _ in range(3):
        off, d, e = minus2(point_at(segment, t), point), derivative_at(segment, t), second_derivative_at(segment, t)
        steep = d[0] * d[0] + d[1] * d[1] + off[0] * e[0] + off[1] * e[1]
        if steep <= 0.0:
            return t
        new = t - (off[0] * d[0] + off[1] * d[1]) / steep
        if not 0.0 <= new <= 1.0 or apart(point_at(segment, new), point) > math.hypot(*off):
            return t
        t = new
    return t
