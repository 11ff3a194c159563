"""A closed outline of exact segments, counter-clockwise, and what can be asked of it."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from batchwright.geometry import curve
from batchwright.geometry.corner import chamfer_between, chamfer_corner, corners, round_between, round_corner
from batchwright.geometry.cut import cut_outline
from batchwright.geometry.flat import Indices, chord_count, flatten
from batchwright.geometry.frame import Array, Vec2
from batchwright.geometry.inside import contains
from batchwright.geometry.intersection import self_crossings
from batchwright.geometry.match import Match, match_shape, same_shape
from batchwright.geometry.moment import Moments, moments, signed_area
from batchwright.geometry.segment import Arc, Cubic, Line, Outline, Path, Segment, apart
from batchwright.geometry.shape import (
    Radius,
    extent,
    longest_straight_edge,
    smallest_inside_radius,
    smallest_outside_radius,
    smallest_rectangle,
)

__all__ = [
    "Match",
    "Moments",
    "Outline",
    "Radius",
    "area",
    "bounds",
    "centroid",
    "chamfer_between",
    "chamfer_corner",
    "contains",
    "corners",
    "crosses_itself",
    "cut_outline",
    "extent",
    "longest_straight_edge",
    "map_outline",
    "match_shape",
    "moved",
    "outline",
    "outline_moments",
    "polygon_outline",
    "round_between",
    "round_corner",
    "same_shape",
    "smallest_inside_radius",
    "smallest_outside_radius",
    "smallest_rectangle",
    "to_polygon",
    "to_polygon_with_edges",
    "turned",
]

GAP = 1e-6
"""Ends this near to each other are joined without asking [mm]."""


def outline(segments: Sequence[Segment], closing_name: str = "") -> Outline:
    """An outline from segments in order, either way round: closed, counter-clockwise, without empty segments.

    Where the last segment does not come back to the start of the first, a straight line closes it.

    Raises
    ------
    ValueError
        If segments do not meet end to start, or enclose no area.
    """
    path = [segment for segment in segments if not _empty(segment)]
    if not path:
        raise ValueError("an outline needs segments that have a length")
    for i in range(1, len(path)):
        gap = apart(path[i - 1].end, path[i].start)
        if gap > GAP:
            raise ValueError(f"segments {i} and {i + 1} do not meet: {path[i - 1].end} and {path[i].start}")
        path[i] = _starting(path[i], path[i - 1].end)
    if apart(path[-1].end, path[0].start) > GAP:
        path.append(Line(path[-1].end, path[0].start, closing_name))
    else:
        path[0] = _starting(path[0], path[-1].end)
    closed = tuple(path)
    enclosed = signed_area(closed)
    if abs(enclosed) < 1e-9:
        raise ValueError(f"an outline of {len(closed)} segments from {closed[0].start} encloses no area")
    return Outline(closed if enclosed > 0.0 else curve.reversed_path(closed))


def _empty(segment: Segment) -> bool:
    points = [segment.start, segment.end]
    if isinstance(segment, Cubic):
        points += [segment.first, segment.second]
    elif isinstance(segment, Arc):
        points.append(segment.middle)
    return all(apart(points[0], p) < 1e-9 for p in points)


def _starting(segment: Segment, start: Vec2) -> Segment:
    if segment.start == start:
        return segment
    if isinstance(segment, Line):
        return Line(start, segment.end, segment.name)
    if isinstance(segment, Arc):
        return Arc(start, segment.middle, segment.end, segment.name)
    return Cubic(start, segment.first, segment.second, segment.end, segment.name)


def polygon_outline(points: Sequence[Vec2] | Array, name: str = "") -> Outline:
    """An outline of straight lines through points (n, 2) in order, closed."""
    places: list[Vec2] = [(float(p[0]), float(p[1])) for p in points]
    return outline([Line(a, b, name) for a, b in zip(places, places[1:] + places[:1], strict=True)])


def area(shape: Outline) -> float:
    """Area, exact to rounding [mm^2]."""
    return signed_area(shape.segments)


def outline_moments(shape: Outline) -> Moments:
    """Area, centroid and second moments about the centroid, exact to rounding."""
    return moments(shape.segments)


def centroid(shape: Outline) -> Vec2:
    """Centre of area [mm]."""
    return moments(shape.segments).centroid


def bounds(shape: Outline) -> tuple[float, float, float, float]:
    """Least u, least v, greatest u, greatest v, exact to rounding [mm]."""
    return curve.bounds(shape.segments)


def to_polygon(shape: Outline, tolerance: float = 0.02) -> Array:
    """The outline as a polygon, counter-clockwise, the first point not repeated, shape (n, 2) [mm]."""
    return flatten(shape.segments, tolerance)[:-1]


def to_polygon_with_edges(shape: Outline, tolerance: float = 0.02) -> tuple[Array, Indices]:
    """The polygon (n, 2) and, for each of its n edges (point i to the next), the index of its segment."""
    counts = [chord_count(segment, tolerance) for segment in shape.segments]
    return to_polygon(shape, tolerance), np.repeat(np.arange(len(counts)), counts)


def crosses_itself(shape: Outline) -> tuple[Vec2, ...]:
    """The points at which the outline crosses or touches itself; none for a sound one.

    Loops smaller than 0.1 mm, and crossings of neighbours that near to their joint, are not looked at.
    """
    return self_crossings(shape.segments, closed=True)


def map_outline(shape: Outline, matrix: Array, offset: Vec2 = (0.0, 0.0)) -> Outline:
    """The outline under p -> matrix p + offset; a mirror image is run through the other way, so it stays CCW.

    Raises
    ------
    ValueError
        If the matrix flattens the plane.
    """
    m = np.asarray(matrix, dtype=float)
    size = float(m[0, 0] * m[1, 1] - m[0, 1] * m[1, 0])
    if abs(size) < 1e-12:
        raise ValueError("this map flattens the outline to a line")
    path: Path = curve.map_path(shape.segments, m, offset)
    return Outline(path if size > 0.0 else curve.reversed_path(path))


def moved(shape: Outline, offset: Vec2) -> Outline:
    """The outline shifted."""
    return map_outline(shape, np.eye(2), offset)


def turned(shape: Outline, angle: float, about: Vec2 = (0.0, 0.0)) -> Outline:
    """The outline turned to the left by an angle [rad] about a point."""
    c, s = math.cos(angle), math.sin(angle)
    u, v = about
    return map_outline(shape, np.array([[c, -s], [s, c]]), (u - c * u + s * v, v - s * u - c * v))
