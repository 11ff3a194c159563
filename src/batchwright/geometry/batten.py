"""The bent batten: the fair curve that a springy lath takes through given points, and what is made along it."""

from __future__ import annotations

import math
from collections.abc import Sequence

from batchwright.geometry.frame import Vec2
from batchwright.geometry.root import quadratic_roots
from batchwright.geometry.segment import (
    Cubic,
    Line,
    Path,
    Segment,
    apart,
    cross2,
    curvature_at,
    minus2,
    point_at,
    second_derivative_at,
    unit2,
)
from batchwright.geometry.spline import fair_values, spline_slopes
from batchwright.geometry.strip import knot_stations, parallel, strip_outline

__all__ = [
    "batten",
    "curvature_sign_changes",
    "fair_values",
    "knot_second_derivatives",
    "knot_stations",
    "parallel",
    "strip_outline",
]

STRAIGHT = 1e-9
"""Points this near to one line lie on it [mm]."""


def batten(
    points: Sequence[Vec2],
    start_tangent: Vec2 | None = None,
    end_tangent: Vec2 | None = None,
    name: str = "",
) -> Path:
    """The curve of a batten bent through points: one segment from each point to the next, all named `name`.

    A cubic in each span, second derivative continuous, the parameter being chord length. A free end does not
    bend (natural); a tangent direction (of any length) clamps an end, its unit vector being the derivative by
    chord length. Points on one line in order, with nothing that bends them, give straight lines.

    Raises
    ------
    ValueError
        If there are fewer than two points, or two neighbours fall together.
    """
    places = [(float(u), float(v)) for u, v in points]
    if len(places) < 2:
        raise ValueError(f"a batten is bent through two or more points, not {len(places)}")
    spans = [apart(a, b) for a, b in zip(places, places[1:], strict=False)]
    if min(spans) < 1e-9:
        index = spans.index(min(spans))
        raise ValueError(f"points {index + 1} and {index + 2} of a batten fall together at {places[index]}")
    ends = (_unit_or_none(start_tangent), _unit_or_none(end_tangent))
    if _straight(places, ends):
        return tuple(Line(a, b, name) for a, b in zip(places, places[1:], strict=False))
    stations = [math.fsum(spans[:i]) for i in range(len(places))]
    mu, mv = (
        spline_slopes(
            stations,
            [place[axis] for place in places],
            None if ends[0] is None else ends[0][axis],
            None if ends[1] is None else ends[1][axis],
        )
        for axis in (0, 1)
    )
    segments: list[Segment] = []
    for i, h in enumerate(spans):
        a, b, k = places[i], places[i + 1], h / 3.0
        first = (a[0] + k * mu[i], a[1] + k * mv[i])
        second = (b[0] - k * mu[i + 1], b[1] - k * mv[i + 1])
        segments.append(Cubic(a, first, second, b, name))
    return tuple(segments)


def _unit_or_none(direction: Vec2 | None) -> Vec2 | None:
    return None if direction is None else unit2((float(direction[0]), float(direction[1])))


def _straight(places: list[Vec2], ends: tuple[Vec2 | None, Vec2 | None]) -> bool:
    """Whether the points lie on one line, in order, and no clamped end looks off it."""
    whole = minus2(places[-1], places[0])
    if math.hypot(*whole) < STRAIGHT:
        return False
    along = unit2(whole)
    offsets = [minus2(place, places[0]) for place in places]
    runs = [along[0] * o[0] + along[1] * o[1] for o in offsets]
    if any(abs(cross2(along, o)) > STRAIGHT for o in offsets) or runs != sorted(runs):
        return False
    return all(
        end is None or (abs(cross2(along, end)) <= 1e-12 and along[0] * end[0] + along[1] * end[1] > 0.0)
        for end in ends
    )


def knot_second_derivatives(path: Path) -> tuple[Vec2, ...]:
    """Second derivative by chord length at each point a batten goes through [1/mm]; a free end has (0, 0).

    At an inner point the value of the later span is given; on a batten both agree.
    """
    spans = [apart(segment.start, segment.end) for segment in path]
    out = []
    for segment, h in zip(path, spans, strict=True):
        u, v = second_derivative_at(segment, 0.0)
        out.append((u / h**2, v / h**2))
    u, v = second_derivative_at(path[-1], 1.0)
    return (*out, (u / spans[-1] ** 2, v / spans[-1] ** 2))


def curvature_sign_changes(path: Path) -> tuple[tuple[float, Vec2], ...]:
    """Where a path changes from bending one way to the other: parameter (segment index + t) and point.

    A batten meant to sweep one way has none; through few, unevenly spaced points it can bulge and have some.
    Straight pieces do not bend, so a change across one is told at its end. Corners are not looked at.
    """
    found: list[tuple[float, Vec2]] = []
    last = 0.0
    for index, segment in enumerate(path):
        knots = [0.0, *_flat_parameters(segment), 1.0]
        for low, high in zip(knots, knots[1:], strict=False):
            bend = curvature_at(segment, 0.5 * (low + high))
            if abs(bend) * max(apart(segment.start, segment.end), 1e-9) < 1e-9:
                continue
            if bend * last < 0.0:
                found.append((index + low, point_at(segment, low)))
            last = bend
    return tuple(found)


def _flat_parameters(segment: Segment) -> list[float]:
    """Parameters, 0 < t < 1, where a cubic has no curvature: P' x P'' = 0, a quadratic in t."""
    if not isinstance(segment, Cubic):
        return []
    a = minus2(segment.first, segment.start)
    b = minus2(segment.second, segment.first)
    c = minus2(segment.end, segment.second)
    ab, ac, bc = cross2(a, b), cross2(a, c), cross2(b, c)
    return [t for t in quadratic_roots(ab - ac + bc, ac - 2.0 * ab, ab) if 0.0 < t < 1.0]
