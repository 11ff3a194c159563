"""Cutters for straight edges of an exact body: the section of an easing, run along each, mitred where two meet."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from batchwright.geometry.frame import Array, Plane, Vec2, unit, vec3
from batchwright.geometry.segment import Arc, Line, Path
from batchwright.model.shape import EdgeCut, EdgeKind
from batchwright.solids import brep_kernel as kernel
from batchwright.solids.brep_block import half_space
from batchwright.solids.brep_kernel import Arris, Exact

OUTSIDE = 1.0
"""How far a cutter reaches out of the wood [mm]."""
STRAIGHT = 1e-6
"""An edge is straight where none of its points lies further off its ends' line [mm]."""
LEVEL = 1e-9
"""A face is plane along an edge where its normal turns by no more [-]."""
MEETS = 1e-4
"""Ends of two edges nearer than this are one corner [mm]."""
FOLLOWS = math.cos(math.radians(30.0))
"""Two edges that turn by less follow one another, and their cutters are mitred."""


def is_straight(arris: Arris) -> bool:
    """Whether an edge is a straight line between two faces that are plane along it."""
    along = _along(arris)
    off = arris.points - arris.ends[0]
    aside = off - np.outer(off @ along, along)
    turns = max(float(np.ptp(normal, axis=0).max()) for normal in (arris.normal_a, arris.normal_b))
    return bool(np.abs(aside).max() < STRAIGHT and turns < LEVEL)


def _along(arris: Arris) -> Array:
    span: Array = arris.ends[1] - arris.ends[0]
    return span / np.linalg.norm(span)


def cutters(body: Exact, edges: Sequence[Arris], cut: EdgeCut) -> list[Exact]:
    """A cutter for each edge: on beyond its ends where there is air, mitred where another of the edges follows."""
    return [_cutter(body, number, edges, cut) for number in range(len(edges))]


def _cutter(body: Exact, number: int, edges: Sequence[Arris], cut: EdgeCut) -> Exact:
    arris = edges[number]
    along, normal_a, normal_b = _along(arris), arris.normal_a[0], arris.normal_b[0]
    into_a, into_b = np.cross(normal_a, along), np.cross(along, normal_b)
    wood = math.pi - float(arris.angle[0])
    reach = cut.size / math.tan(wood / 2.0) if cut.kind is EdgeKind.ROUND else cut.size
    length = float(np.linalg.norm(arris.ends[1] - arris.ends[0]))
    beyond = 2.0 * reach + 1.0
    ends, mitres = [0.0, length], []
    for end, way in enumerate((-along, along)):
        near = _following(arris.ends[end], way, [one for one in edges if one is not arris])
        probe = arris.ends[end] + reach * way + 0.2 * reach * (into_a + into_b)
        if near is not None:
            mitres.append((arris.ends[end], way - near))
        if near is not None or not kernel.holds(body, probe):
            ends[end] += math.copysign(beyond, end - 0.5)
    section = _section(cut, wood, reach)
    matrix = np.column_stack([into_a, -normal_a, along, arris.ends[0]])
    bar = kernel.moved(kernel.prism(section, ends[0], ends[1]), matrix)
    planes = [Plane(vec3(point), unit(vec3(normal))) for point, normal in mitres]
    return kernel.subtracted(bar, [half_space(plane, kernel.box_of(bar)) for plane in planes])


def _following(corner: Array, way: Array, others: Sequence[Arris]) -> Array | None:
    """The way back along the edge that follows at a corner (from its other end to here); None where none does."""
    for other in others:
        for here, there in ((0, 1), (1, 0)):
            if float(np.linalg.norm(other.ends[here] - corner)) < MEETS:
                onward = other.ends[there] - other.ends[here]
                onward = onward / np.linalg.norm(onward)
                if float(onward @ way) > FOLLOWS:
                    back: Array = -onward
                    return back
    return None


def _section(cut: EdgeCut, wood: float, reach: float) -> Path:
    """The section seen along the edge: x into face a, face b turned from it by the angle of the wood."""
    b = np.array([math.cos(wood), math.sin(wood)])
    out_a, out_b = np.array([0.0, -1.0]), np.array([-b[1], b[0]])
    start, end = np.array([reach, 0.0]), reach * b
    corner = _met(OUTSIDE * out_a, np.array([1.0, 0.0]), OUTSIDE * out_b, b)
    lines = [start, start + OUTSIDE * out_a, corner, end + OUTSIDE * out_b, end]
    places: list[Vec2] = [(float(x), float(y)) for x, y in lines]
    first, last = places[0], places[-1]
    if cut.kind is EdgeKind.CHAMFER:
        eased: Line | Arc = Line(last, first)
    else:
        middle = cut.size / math.sin(wood / 2.0) - cut.size
        half = (math.cos(wood / 2.0), math.sin(wood / 2.0))
        eased = Arc(last, (middle * half[0], middle * half[1]), first)
    path: tuple[Line | Arc, ...] = (*(Line(p, q) for p, q in zip(places, places[1:], strict=False)), eased)
    return _counter_clockwise(path)


def _met(p: Array, u: Array, q: Array, v: Array) -> Array:
    """Where the line through p along u meets the one through q along v."""
    s, _ = np.linalg.solve(np.column_stack([u, -v]), q - p)
    point: Array = p + s * u
    return point


def _counter_clockwise(path: tuple[Line | Arc, ...]) -> Path:
    doubled = sum(one.start[0] * one.end[1] - one.end[0] * one.start[1] for one in path)
    if doubled > 0.0:
        return path
    return tuple(
        Line(one.end, one.start) if isinstance(one, Line) else Arc(one.end, one.middle, one.start)
        for one in reversed(path)
    )
