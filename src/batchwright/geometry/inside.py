"""Whether a point lies inside an outline: the turns the outline makes round it, counted on the exact curves."""

from __future__ import annotations

import math

from batchwright.geometry.frame import Vec2
from batchwright.geometry.segment import (
    Arc,
    Cubic,
    Line,
    Outline,
    Segment,
    apart,
    arc_sweep,
    cross2,
    derivative_at,
    minus2,
    point_at,
)

EDGE = 1e-9
"""A point this near to the outline lies on it [mm]."""


def contains(shape: Outline, point: Vec2) -> bool:
    """Whether a point lies in the outline or on its edge."""
    whole = 0.0
    for segment in shape.segments:
        angle = _angle_round(segment, point)
        if angle is None:
            return True
        whole += angle
    return round(whole / (2.0 * math.pi)) != 0


def _angle_round(segment: Segment, point: Vec2) -> float | None:
    """The angle a segment runs through as seen from a point; None when the point lies on it."""
    total = 0.0
    stack = [(segment, 0)]
    while stack:
        piece, depth = stack.pop()
        hull = _hull(piece)
        if _on_chord(piece, point) and (isinstance(piece, Line) or _size(hull) < 1e-8 or depth > 60):
            return None
        if isinstance(piece, Line) or not _in_box(hull, point) or depth > 60:
            total += _angle(minus2(piece.start, point), minus2(piece.end, point))
        else:
            before, after = _halves(piece)
            if apart(before.end, point) <= EDGE:
                return None
            stack += [(before, depth + 1), (after, depth + 1)]
    return total


def _angle(a: Vec2, b: Vec2) -> float:
    return math.atan2(cross2(a, b), a[0] * b[0] + a[1] * b[1])


def _hull(segment: Segment) -> tuple[Vec2, ...]:
    """Points whose box holds the whole segment (arcs of at most a quarter; longer ones a box of their own)."""
    a, b = segment.start, segment.end
    if isinstance(segment, Line):
        return (a, b)
    if isinstance(segment, Cubic):
        return (a, segment.first, segment.second, b)
    sweep = arc_sweep(segment)
    if abs(sweep) > 0.5 * math.pi:
        size = math.hypot(*derivative_at(segment, 0.0))
        return ((a[0] - size, a[1] - size), (a[0] + size, a[1] + size))
    d = derivative_at(segment, 0.0)
    k = math.tan(0.5 * sweep) / sweep if abs(sweep) > 1e-9 else 0.5
    return (a, (a[0] + k * d[0], a[1] + k * d[1]), b)


def _size(hull: tuple[Vec2, ...]) -> float:
    return max(apart(hull[0], p) for p in hull)


def _in_box(hull: tuple[Vec2, ...], point: Vec2) -> bool:
    return all(min(p[axis] for p in hull) - EDGE <= point[axis] <= max(p[axis] for p in hull) + EDGE for axis in (0, 1))


def _on_chord(segment: Segment, point: Vec2) -> bool:
    """Whether a point lies on the chord of a segment."""
    a, b = segment.start, segment.end
    d, v = minus2(b, a), minus2(point, a)
    square = d[0] * d[0] + d[1] * d[1]
    if square == 0.0:
        return apart(a, point) <= EDGE
    t = min(1.0, max(0.0, (d[0] * v[0] + d[1] * v[1]) / square))
    return math.hypot(v[0] - t * d[0], v[1] - t * d[1]) <= EDGE


def _halves(segment: Segment) -> tuple[Segment, Segment]:
    m = point_at(segment, 0.5)
    if isinstance(segment, Line):
        return Line(segment.start, m), Line(m, segment.end)
    if isinstance(segment, Arc):
        return (
            Arc(segment.start, point_at(segment, 0.25), m),
            Arc(m, point_at(segment, 0.75), segment.end),
        )
    a, f, g, b = segment.start, segment.first, segment.second, segment.end
    af, fg, gb = _middle(a, f), _middle(f, g), _middle(g, b)
    return Cubic(a, af, _middle(af, fg), m), Cubic(m, _middle(fg, gb), gb, b)


def _middle(a: Vec2, b: Vec2) -> Vec2:
    return (0.5 * (a[0] + b[0]), 0.5 * (a[1] + b[1]))
