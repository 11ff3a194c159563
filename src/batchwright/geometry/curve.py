"""Exact plane curves: straight lines, arcs of circles, cubics (Bezier form). Millimetres."""

from __future__ import annotations

import math

import numpy as np

from batchwright.geometry.crossing import Crossing, crossings_with_line, nearest, path_at_coordinate
from batchwright.geometry.flat import chord_count, flatten
from batchwright.geometry.frame import Array, Vec2
from batchwright.geometry.intersection import path_crossings
from batchwright.geometry.root import parallel_parameters, root_between
from batchwright.geometry.segment import (
    Arc,
    Circle,
    Cubic,
    Line,
    Path,
    Segment,
    apart,
    arc_sweep,
    circle_of,
    curvature_at,
    derivative_at,
    derivatives_at,
    point_at,
    points_at,
    second_derivative_at,
    second_derivatives_at,
    tangent_at,
    turned_back,
)

__all__ = [
    "Arc",
    "Circle",
    "Crossing",
    "Cubic",
    "Line",
    "Path",
    "Segment",
    "arc_sweep",
    "arc_to_cubics",
    "between",
    "bounds",
    "chord_count",
    "circle_of",
    "crossings_with_line",
    "curvature_at",
    "derivative_at",
    "derivatives_at",
    "flatten",
    "joined",
    "length_of",
    "map_path",
    "nearest",
    "parameter_at_length",
    "path_at_coordinate",
    "path_crossings",
    "path_point_at",
    "path_tangent_at",
    "point_at",
    "points_at",
    "reversed_path",
    "second_derivative_at",
    "second_derivatives_at",
    "split",
    "tangent_at",
]

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(16)
LENGTH_ERROR = 1e-10
"""Two estimates of a length that agree this well are taken as exact [mm]."""


def length_of(curve: Segment | Path) -> float:
    """Length of a segment or path [mm], exact for lines and arcs, to 1e-9 mm for cubics (Gauss, halved as needed)."""
    if isinstance(curve, tuple):
        return math.fsum(length_of(segment) for segment in curve)
    if isinstance(curve, Line):
        return apart(curve.start, curve.end)
    if isinstance(curve, Arc):
        half = 0.5 * arc_sweep(curve)
        return apart(curve.start, curve.end) * (half / math.sin(half) if abs(half) > 1e-9 else 1.0)
    return _cubic_length(curve, 0.0, 1.0)


def _gauss_length(cubic: Cubic, low: float, high: float) -> float:
    half = 0.5 * (high - low)
    d = derivatives_at(cubic, half * _NODES + 0.5 * (low + high))
    return half * float(np.hypot(d[:, 0], d[:, 1]) @ _WEIGHTS)


def _cubic_length(cubic: Cubic, low: float, high: float) -> float:
    """Panels are halved until the two halves agree with the whole."""
    total, stack = [], [(low, high, _gauss_length(cubic, low, high), 0)]
    while stack:
        a, b, whole, depth = stack.pop()
        m = 0.5 * (a + b)
        left, right = _gauss_length(cubic, a, m), _gauss_length(cubic, m, b)
        if abs(left + right - whole) <= LENGTH_ERROR * (b - a) or depth >= 40:
            total.append(left + right)
        else:
            stack += [(a, m, left, depth + 1), (m, b, right, depth + 1)]
    return math.fsum(total)


def bounds(curve: Segment | Path) -> tuple[float, float, float, float]:
    """Least u, least v, greatest u, greatest v of a segment or path, exact to rounding [mm].

    Raises
    ------
    ValueError
        If the path is empty.
    """
    path = curve if isinstance(curve, tuple) else (curve,)
    if not path:
        raise ValueError("an empty path has no bounds")
    places: list[Vec2] = []
    for segment in path:
        places += [segment.start, segment.end]
        for axis in ((1.0, 0.0), (0.0, 1.0)):
            places += [point_at(segment, t) for t in parallel_parameters(segment, axis)]
    us, vs = [p[0] for p in places], [p[1] for p in places]
    return (min(us), min(vs), max(us), max(vs))


def reversed_path(path: Path) -> Path:
    """The same path travelled from its end to its start."""
    return tuple(turned_back(segment) for segment in reversed(path))


def map_path(path: Path, matrix: Array, offset: Vec2 = (0.0, 0.0)) -> Path:
    """The path under p -> matrix p + offset, matrix of shape (2, 2).

    Lines and cubics map exactly. An arc stays an arc where the matrix keeps shapes (turn, mirror, even scale);
    otherwise it becomes cubics within 1e-4 mm.
    """
    m = np.asarray(matrix, dtype=float)
    (a, b), (c, d) = m.tolist()
    u, v = offset

    def move(p: Vec2) -> Vec2:
        return (a * p[0] + b * p[1] + u, c * p[0] + d * p[1] + v)

    even = max(abs(a * b + c * d), abs(a * a + c * c - b * b - d * d)) <= 1e-12 * (a * a + b * b + c * c + d * d)
    stretch = float(np.linalg.norm(m, 2))
    moved: list[Segment] = []
    for segment in path:
        if isinstance(segment, Line):
            moved.append(Line(move(segment.start), move(segment.end), segment.name))
        elif isinstance(segment, Arc) and even:
            moved.append(Arc(move(segment.start), move(segment.middle), move(segment.end), segment.name))
        else:
            cubics = (segment,) if isinstance(segment, Cubic) else arc_to_cubics(segment, 1e-4 / max(stretch, 1e-12))
            moved += [Cubic(move(k.start), move(k.first), move(k.second), move(k.end), k.name) for k in cubics]
    return tuple(moved)


def arc_to_cubics(arc: Arc, tolerance: float = 1e-4) -> tuple[Cubic, ...]:
    """Cubics that stay within `tolerance` of an arc [mm], tangent to it where they join.

    Handles of 4/3 tan(angle/4); the radial error of a piece is 2/27 sin^6(angle/4) / cos^2(angle/4) of the radius.
    Source: closed form, tested against dense points of the circle.
    """
    sweep = arc_sweep(arc)
    radius = length_of(arc) / abs(sweep) if abs(sweep) > 1e-9 else math.inf
    count = max(1, math.ceil(abs(sweep) / (0.5 * math.pi)))

    def error(pieces: int) -> float:
        quarter = 0.25 * abs(sweep) / pieces
        return (2.0 / 27.0) * radius * math.sin(quarter) ** 6 / math.cos(quarter) ** 2

    while math.isfinite(radius) and error(count) > tolerance:
        count += 1
    handle = math.tan(0.25 * sweep / count) * 4.0 / 3.0 / (sweep / count) if abs(sweep) > 1e-9 else 1.0 / 3.0
    pieces = []
    for i in range(count):
        low, high = i / count, (i + 1) / count
        p, q = point_at(arc, low), point_at(arc, high) if i + 1 < count else arc.end
        d, e = derivative_at(arc, low), derivative_at(arc, high)
        k = handle / count
        pieces.append(Cubic(p, (p[0] + k * d[0], p[1] + k * d[1]), (q[0] - k * e[0], q[1] - k * e[1]), q, arc.name))
    return tuple(pieces)


def split(segment: Segment, t: float) -> tuple[Segment, Segment]:
    """The two pieces of a segment either side of t, each exact and keeping the name.

    Raises
    ------
    ValueError
        If t is not strictly between 0 and 1.
    """
    if not 0.0 < t < 1.0:
        raise ValueError(f"a segment is split between its ends (0 < t < 1), not at t = {t}")
    m = point_at(segment, t)
    if isinstance(segment, Line):
        return Line(segment.start, m, segment.name), Line(m, segment.end, segment.name)
    if isinstance(segment, Arc):
        before, after = point_at(segment, 0.5 * t), point_at(segment, 0.5 * (1.0 + t))
        return Arc(segment.start, before, m, segment.name), Arc(m, after, segment.end, segment.name)

    def mix(p: Vec2, q: Vec2) -> Vec2:
        return ((1.0 - t) * p[0] + t * q[0], (1.0 - t) * p[1] + t * q[1])

    af, fg, gb = mix(segment.start, segment.first), mix(segment.first, segment.second), mix(segment.second, segment.end)
    left, right = mix(af, fg), mix(fg, gb)
    return Cubic(segment.start, af, left, m, segment.name), Cubic(m, right, gb, segment.end, segment.name)


def between(path: Path, low: float, high: float) -> Path:
    """The piece of a path between two of its parameters (segment index + t); reversed when `high` is the smaller.

    Raises
    ------
    ValueError
        If a parameter lies outside the path, or the two are the same.
    """
    if high < low:
        return reversed_path(between(path, high, low))
    if not 0.0 <= low < high <= len(path):
        raise ValueError(f"a piece of this path lies between two parameters of 0 to {len(path)}, not {low} and {high}")
    pieces: list[Segment] = []
    for index in range(int(low), min(len(path), math.ceil(high))):
        segment, a, b = path[index], max(low - index, 0.0), min(high - index, 1.0)
        if b < 1.0 and b > 0.0:
            segment = split(segment, b)[0]
        if a > 0.0 and a < b:
            segment = split(segment, a / b)[1]
        if a < b:
            pieces.append(segment)
    return tuple(pieces)


def _at(path: Path, parameter: float) -> tuple[Segment, float]:
    index = min(max(int(parameter), 0), len(path) - 1)
    return path[index], parameter - index


def path_point_at(path: Path, parameter: float) -> Vec2:
    """The point of a path at segment index + t."""
    return point_at(*_at(path, parameter))


def path_tangent_at(path: Path, parameter: float) -> Vec2:
    """Direction of travel of a path at segment index + t, length 1 (at a joint, that of the later segment)."""
    return tangent_at(*_at(path, parameter))


def parameter_at_length(path: Path, length: float) -> float:
    """The parameter (segment index + t) at which a path has run `length` from its start [mm].

    Raises
    ------
    ValueError
        If the length is negative or longer than the path.
    """
    rest, whole = length, 0.0
    for index, segment in enumerate(path):
        own = length_of(segment)
        whole += own
        if rest <= own:
            return index + _parameter_on(segment, max(rest, 0.0), own) if rest > -1e-9 else _beyond(length, whole)
        rest -= own
    return float(len(path)) if rest <= 1e-9 else _beyond(length, whole)


def _beyond(length: float, whole: float) -> float:
    raise ValueError(f"a length of {length:g} mm does not lie on a path {whole:g} mm long")


def _parameter_on(segment: Segment, length: float, own: float) -> float:
    if not isinstance(segment, Cubic):
        return length / own if own > 0.0 else 0.0
    if length <= 0.0 or length >= own:
        return 0.0 if length <= 0.0 else 1.0

    def missing(t: float) -> float:
        return _cubic_length(segment, 0.0, t) - length

    return root_between(missing, lambda t: math.hypot(*derivative_at(segment, t)), 0.0, 1.0)


def joined(path: Path, gap: float = 1e-6) -> bool:
    """Whether each segment starts where the one before it ends, within `gap` [mm]."""
    return all(apart(a.end, b.start) <= gap for a, b in zip(path, path[1:], strict=False))
