"""What an outline measures: radii, extents, the smallest rectangle round it, its longest straight edge."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from batchwright.geometry.flat import flatten
from batchwright.geometry.frame import Array, Vec2
from batchwright.geometry.root import parallel_parameters
from batchwright.geometry.segment import (
    Arc,
    Cubic,
    Line,
    Outline,
    Path,
    Segment,
    apart,
    cross2,
    curvature_at,
    point_at,
    tangent_at,
    unit2,
)

CORNER = 1e-4
"""Neighbours whose directions differ by more than this make a corner [rad]."""


@dataclass(frozen=True, slots=True)
class Radius:
    """A radius [mm], where on the outline it is, and on which segment. A corner has radius 0."""

    radius: float
    place: Vec2
    segment: int


def smallest_inside_radius(shape: Outline, corners: bool = True) -> Radius | None:
    """The smallest radius where the outline is hollow; None if it is hollow nowhere.

    A hollow corner counts as radius 0 unless `corners` is False.
    """
    return _smallest(shape, -1.0, corners)


def smallest_outside_radius(shape: Outline, corners: bool = False) -> Radius | None:
    """The smallest radius where the outline is crowned; None if every edge is straight or hollow.

    Corners are left out unless `corners` is True.
    """
    return _smallest(shape, 1.0, corners)


def _smallest(shape: Outline, sign: float, corners: bool) -> Radius | None:
    path = shape.segments
    if corners:
        for index, segment in enumerate(path):
            turn = sign * cross2(tangent_at(path[index - 1], 1.0), tangent_at(segment, 0.0))
            if math.asin(max(-1.0, min(1.0, turn))) > CORNER:
                return Radius(0.0, segment.start, index)
    bends = [(sign * curvature_at(s, 0.5), i, 0.5) for i, s in enumerate(path) if isinstance(s, Arc)]
    sharpest = _sharpest_cubic(path, sign)
    if sharpest:
        bends.append(sharpest)
    bend, index, t = max(bends, key=lambda b: b[0], default=(0.0, 0, 0.0))
    return Radius(1.0 / bend, point_at(path[index], t), index) if bend > 1e-12 else None


def _sharpest_cubic(path: Path, sign: float) -> tuple[float, int, float] | None:
    """The greatest curvature of the given sign on any cubic: curvature, segment index, parameter."""
    indices = [i for i, s in enumerate(path) if isinstance(s, Cubic)]
    if not indices:
        return None
    control = np.array([(s.start, s.first, s.second, s.end) for s in path if isinstance(s, Cubic)])
    t = np.linspace(0.0, 1.0, 33)[:, None, None]
    a, b, c = (control[None, :, k + 1] - control[None, :, k] for k in range(3))
    d = 3.0 * (a * (1 - t) ** 2 + 2.0 * b * t * (1 - t) + c * t**2)
    e = 6.0 * ((b - a) * (1 - t) + (c - b) * t)
    speed = np.maximum(np.hypot(d[..., 0], d[..., 1]), 1e-9)
    bends = sign * (d[..., 0] * e[..., 1] - d[..., 1] * e[..., 0]) / speed**3
    k, which = divmod(int(np.argmax(bends)), len(indices))
    if bends[k, which] <= 0.0:
        return None
    index = indices[which]
    segment = path[index]
    at = _peak(segment, sign, max(k - 1, 0) / 32.0, min(k + 1, 32) / 32.0)
    return max((sign * curvature_at(segment, s), index, s) for s in (at, k / 32.0))


def _peak(segment: Segment, sign: float, low: float, high: float) -> float:
    """Where the curvature is greatest between two parameters: golden section."""
    ratio = 0.5 * (math.sqrt(5.0) - 1.0)
    a, b = high - ratio * (high - low), low + ratio * (high - low)
    fa, fb = sign * curvature_at(segment, a), sign * curvature_at(segment, b)
    for _ in range(40):
        if fa < fb:
            low, a, fa = a, b, fb
            b = low + ratio * (high - low)
            fb = sign * curvature_at(segment, b)
        else:
            high, b, fb = b, a, fa
            a = high - ratio * (high - low)
            fa = sign * curvature_at(segment, a)
    return 0.5 * (low + high)


def extent(shape: Outline, direction: Vec2) -> tuple[float, float]:
    """Least and greatest coordinate along a direction (of any length), from the origin, exact to rounding [mm]."""
    along = unit2(direction)
    across = (-along[1], along[0])
    heights = []
    for segment in shape.segments:
        places = [segment.start, *(point_at(segment, t) for t in parallel_parameters(segment, across))]
        heights += [along[0] * p[0] + along[1] * p[1] for p in places]
    return (min(heights), max(heights))


def convex_hull(points: Array) -> Array:
    """The corners of the convex hull of points (n, 2), counter-clockwise, shape (m, 2)."""
    order = points[np.lexsort((points[:, 1], points[:, 0]))].tolist()

    def chain(rows: list[list[float]]) -> list[list[float]]:
        out: list[list[float]] = []
        for p in rows:
            while len(out) > 1 and _left_turn(out[-2], out[-1], p) <= 0.0:
                out.pop()
            out.append(p)
        return out[:-1]

    return np.array(chain(order) + chain(order[::-1]))


def _left_turn(a: list[float], b: list[float], c: list[float]) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def smallest_rectangle(shape: Outline) -> tuple[float, float, float]:
    """Long side, short side [mm] and the direction of the long side, -pi/2 < angle <= pi/2 [rad].

    The rectangle of least area round the outline; one of its sides lies on an edge of the convex hull. Hull
    edges come from a polygon within 0.005 mm, the sides are then measured on the curves. Of equals, the one
    whose long side is most nearly level.
    """
    hull = convex_hull(flatten(shape.segments, 0.005))
    edges = np.roll(hull, -1, axis=0) - hull
    angles = np.arctan2(edges[:, 1], edges[:, 0])
    c, s = np.cos(angles), np.sin(angles)
    along = hull @ np.stack([c, s])
    across = hull @ np.stack([-s, c])
    areas = np.ptp(along, axis=0) * np.ptp(across, axis=0)
    near = np.nonzero(areas <= areas.min() * (1.0 + 1e-9))[0]
    return min((_rectangle_at(shape, float(angles[i])) for i in near), key=lambda r: (abs(r[2]), -r[2]))


def _rectangle_at(shape: Outline, angle: float) -> tuple[float, float, float]:
    low, high = extent(shape, (math.cos(angle), math.sin(angle)))
    under, over = extent(shape, (-math.sin(angle), math.cos(angle)))
    long, short = high - low, over - under
    if short > long * (1.0 + 1e-12):
        long, short, angle = short, long, angle + 0.5 * math.pi
    angle = math.remainder(angle, math.pi)
    return (long, short, angle + math.pi if angle <= -0.5 * math.pi + 1e-12 else angle + 0.0)


def longest_straight_edge(shape: Outline) -> Line | None:
    """The longest straight run of the outline, lines that go on in line taken together; None if it has no line.

    Of runs equally long, the first; it keeps the name of its first line.
    """
    path = shape.segments
    first = next((i for i in range(len(path)) if not _goes_on(path[i - 1], path[i])), 0)
    runs: list[Line] = []
    for segment in (*path[first:], *path[:first]):
        if not isinstance(segment, Line):
            continue
        if runs and runs[-1].end == segment.start and _goes_on(runs[-1], segment):
            runs[-1] = Line(runs[-1].start, segment.end, runs[-1].name)
        else:
            runs.append(segment)
    return max(runs, key=lambda run: round(apart(run.start, run.end), 9), default=None)


def _goes_on(before: Segment, after: Segment) -> bool:
    if not (isinstance(before, Line) and isinstance(after, Line)):
        return False
    a, b = tangent_at(before, 1.0), tangent_at(after, 0.0)
    return abs(cross2(a, b)) < 1e-9 and a[0] * b[0] + a[1] * b[1] > 0.0
