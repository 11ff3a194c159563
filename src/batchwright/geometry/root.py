"""Real roots of the small equations that curves ask: quadratics, and smooth functions between their turning points."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from batchwright.geometry.frame import Vec2
from batchwright.geometry.segment import Arc, Cubic, Line, Segment, arc_sweep, cross2, minus2

Function = Callable[[float], float]


def quadratic_roots(a: float, b: float, c: float) -> tuple[float, ...]:
    """Real roots of a t^2 + b t + c, without loss of figures, ascending; none if it is constant."""
    scale = max(abs(a), abs(b), abs(c))
    if scale == 0.0:
        return ()
    if abs(a) <= 1e-14 * scale:
        return (-c / b,) if abs(b) > 1e-14 * scale else ()
    inside = b * b - 4.0 * a * c
    if inside < 0.0:
        return (-0.5 * b / a,) if inside > -1e-14 * b * b else ()
    q = -0.5 * (b + math.copysign(math.sqrt(inside), b))
    roots = {q / a, c / q} if q != 0.0 else {0.0}
    return tuple(sorted(roots))


def root_between(function: Function, slope: Function, low: float, high: float) -> float:
    """The root of a function that changes sign once between low and high: Newton's steps kept inside the bracket."""
    rising = function(high) > 0.0
    t = 0.5 * (low + high)
    for _ in range(100):
        value = function(t)
        if value == 0.0:
            return t
        if (value > 0.0) == rising:
            high = t
        else:
            low = t
        steep = slope(t)
        new = t - value / steep if steep != 0.0 else low
        if not low < new < high:
            new = 0.5 * (low + high)
        if abs(new - t) <= 1e-15 or high - low <= 1e-15:
            return new
        t = new
    return t


def roots_in_unit(function: Function, slope: Function, turning: Sequence[float], touch: float) -> list[float]:
    """All roots on 0..1 of a function that is monotone between its turning points.

    A value within `touch` of zero at an end or a turning point counts as one root there.
    """
    knots = [0.0, *sorted(t for t in turning if 0.0 < t < 1.0), 1.0]
    values = [function(t) for t in knots]
    values = [0.0 if abs(value) <= touch else value for value in values]
    roots = []
    for i, (t, value) in enumerate(zip(knots, values, strict=True)):
        if value == 0.0:
            roots.append(t)
        if i + 1 < len(knots) and value * values[i + 1] < 0.0:
            roots.append(root_between(function, slope, t, knots[i + 1]))
    return roots


def parallel_parameters(segment: Segment, direction: Vec2) -> tuple[float, ...]:
    """The parameters, 0 < t < 1, at which a segment runs along `direction`. None for a straight line."""
    if isinstance(segment, Line):
        return ()
    if isinstance(segment, Cubic):
        a, f, g, b = segment.start, segment.first, segment.second, segment.end
        u, v, w = _slopes(direction, (a, f, g, b))
        if (u > 0.0 and v > 0.0 and w > 0.0) or (u < 0.0 and v < 0.0 and w < 0.0):
            return ()
        found = quadratic_roots(u - 2.0 * v + w, 2.0 * (v - u), u)
    else:
        found = _arc_parallel(segment, direction)
    return tuple(t for t in found if 0.0 < t < 1.0)


def _slopes(direction: Vec2, control: tuple[Vec2, Vec2, Vec2, Vec2]) -> tuple[float, float, float]:
    """How far each stretch between control points leaves a direction: where all three leave it to one side, so does
    the curve all along (it stays within what its slope's own control points span)."""
    (x, y), ((ax, ay), (fx, fy), (gx, gy), (bx, by)) = direction, control
    return (
        x * (fy - ay) - y * (fx - ax),
        x * (gy - fy) - y * (gx - fx),
        x * (by - gy) - y * (bx - gx),
    )


def _arc_parallel(arc: Arc, direction: Vec2) -> tuple[float, ...]:
    sweep = arc_sweep(arc)
    if abs(sweep) < 1e-9:
        return ()
    chord = minus2(arc.end, arc.start)
    off = math.atan2(cross2(chord, direction), chord[0] * direction[0] + chord[1] * direction[1])
    return tuple(sorted(0.5 + (off + k * math.pi) / sweep for k in range(-3, 4)))
