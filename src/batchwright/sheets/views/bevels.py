"""Ends and shoulders as they are set out: the mark on each of the four arrises, and the lean from square.

Angles as in the conventions: how far the line leans from square across, seen on the face side and on the face edge;
positive when the far edge (the back) lies further from the reference end.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from batchwright.geometry.crossing import crossings_with_line
from batchwright.geometry.frame import Plane, Vec2, Vec3
from batchwright.geometry.outline import Outline
from batchwright.geometry.segment import derivative_at
from batchwright.model.piece import End, Part, Piece
from batchwright.solids.planes import planes_of

SQUARE = math.radians(0.05)
"""Less lean than this is square [rad]."""
STEEPEST = math.cos(math.radians(60.0))
"""An end may lean by this much and still be an end and not an edge."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bevel:
    """An end or a shoulder of a part. `marks`: bench x where its plane meets face side and face edge, face side and
    far edge, back and face edge, back and far edge [mm]. Leans [rad]. `points`: where it crosses the face side."""

    name: str
    end: End
    side_lean: float
    edge_lean: float
    marks: tuple[float, float, float, float]
    points: tuple[Vec2, Vec2]
    shoulder: bool = False

    @property
    def square(self) -> bool:
        """Whether it is square both ways."""
        return abs(self.side_lean) < SQUARE and abs(self.edge_lean) < SQUARE


def bevels(part: Part, piece: Piece) -> tuple[Bevel, ...]:
    """The shoulders of a part, and its ends that carry no tenon, from the reference end on."""
    found: list[Bevel] = []
    taken: set[End] = set()
    for joint in piece.joints:
        if joint.part == part.id:
            taken.add(joint.end)
            plane = part.bench.plane_to_local(joint.shoulder)
            bevel = bevel_of(f"shoulder, {joint.end.value}", joint.end, plane, part, True)
            if bevel is not None and bevel not in found:
                found.append(bevel)
    for named in planes_of(part.recipe.shape):
        plane = part.bench.plane_to_local(part.recipe.frame.plane_to_world(named.plane))
        if abs(plane.normal[0]) < STEEPEST:
            continue
        end = End.FAR if plane.normal[0] > 0.0 else End.REFERENCE
        own = bevel_of(end.value, end, plane, part, False)
        if end not in taken and own is not None and _real(own, part):
            found.append(own)
    return tuple(sorted(_one_an_end(found), key=lambda bevel: bevel.marks[0]))


def _one_an_end(found: list[Bevel]) -> list[Bevel]:
    """A level cut hides the square end of the stick it was made from: of several ends the innermost counts."""
    kept: dict[tuple[End, str], Bevel] = {}
    for bevel in found:
        key = (bevel.end, bevel.name if bevel.shoulder else "")
        other = kept.get(key)
        inner = min if bevel.end is End.FAR else max
        if other is None or bevel.shoulder or inner(bevel.marks[0], other.marks[0]) == bevel.marks[0]:
            kept[key] = bevel
    return list(kept.values())


def _real(bevel: Bevel, part: Part) -> bool:
    """Whether the plane bounds the finished part: no arris mark further out than the part is long."""
    return all(-1.0 < mark < part.length + 1.0 for mark in bevel.marks)


def bevel_of(name: str, end: End, plane: Plane, part: Part, shoulder: bool) -> Bevel | None:
    """The lean and the marks of a plane given in bench coordinates; None where it runs along the part."""
    n = plane.normal
    if abs(n[0]) < 1e-6:
        return None
    reach = sum(a * b for a, b in zip(n, plane.point, strict=True))
    top, bottom = _arrises(n, reach, part.outline, part.width, end)
    front, back = _arrises((n[0], n[2], n[1]), reach, part.edge_outline, part.thickness, end)

    def x(y: float, z: float) -> float:
        return (reach - n[1] * y - n[2] * z) / n[0]

    return Bevel(
        name=name,
        end=end,
        side_lean=math.atan(-n[1] / n[0]),
        edge_lean=math.atan(-n[2] / n[0]),
        marks=(x(top, front), x(bottom, front), x(top, back), x(bottom, back)),
        points=((x(top, front), top), (x(bottom, front), bottom)),
        shoulder=shoulder,
    )


def _arrises(n: Vec3, reach: float, outline: Outline | None, width: float, end: End) -> Vec2:
    """Where the plane's line on the first face meets the two long edges: their second coordinates [mm].

    The outline may itself end at the plane, or short of it on this face; so the long edges are found a little inside
    the part and followed straight on.
    """
    if outline is None:
        return (0.0, width)
    middle, along = (reach / n[0] - n[1] / n[0] * width / 2.0, width / 2.0), (-n[1], n[0])
    direct = _long_edges(outline, middle, along)
    if len(direct) > 1:
        return (direct[0][0][1], direct[-1][0][1])
    inside = (5.0 + abs(n[1] / n[0]) * width) * (1.0 if end is End.REFERENCE else -1.0)
    found = _long_edges(outline, (middle[0] + inside, middle[1]), along)
    if len(found) < 2:
        return (0.0, width)
    a, b = (_followed(point, way, middle, along) for point, way in (found[0], found[-1]))
    return (a, b)


def _long_edges(outline: Outline, point: Vec2, along: Vec2) -> list[tuple[Vec2, Vec2]]:
    """Where a line crosses edges that run along the part: the point and the edge's direction, by second coordinate."""
    found = []
    for at, _, place in crossings_with_line(outline.segments, point, along):
        index = min(int(at), len(outline.segments) - 1)
        way = derivative_at(outline.segments[index], at - index)
        if abs(way[0]) > abs(way[1]):
            found.append((place, way))
    return sorted(found, key=lambda one: one[0][1])


def _followed(point: Vec2, way: Vec2, line: Vec2, along: Vec2) -> float:
    """The second coordinate where a line from a point meets another line."""
    turn = way[0] * along[1] - way[1] * along[0]
    off = (line[0] - point[0], line[1] - point[1])
    return point[1] + way[1] * (off[0] * along[1] - off[1] * along[0]) / turn


def between(leans: tuple[Bevel, ...]) -> tuple[float, float, float, float] | None:
    """Between the innermost shoulders of both ends, along the four arrises as in `Bevel.marks` [mm]; None unless both
    ends have one."""
    near = [one for one in leans if one.shoulder and one.end is End.REFERENCE]
    far = [one for one in leans if one.shoulder and one.end is End.FAR]
    if not near or not far:
        return None
    first = max(near, key=lambda one: sum(one.marks))
    last = min(far, key=lambda one: sum(one.marks))
    a, b, c, d = (high - low for low, high in zip(first.marks, last.marks, strict=True))
    return (a, b, c, d)
