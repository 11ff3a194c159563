"""The items of an outline joined up to one path: straight from item to item, curves bent where neighbours are known."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from batchwright.base.fault import Place
from batchwright.design.drawing.places import bent
from batchwright.design.text.mistake import Mistake, mistake
from batchwright.design.text.tree import Node
from batchwright.geometry.curve import map_path, reversed_path
from batchwright.geometry.frame import Vec2
from batchwright.geometry.segment import Arc, Cubic, Line, Path, Segment, arc_sweep

SAME = 1e-6
"""Points this near are one [mm]."""


@dataclass(frozen=True, slots=True)
class Corner:
    """A point the outline goes to in a straight line."""

    point: Vec2


@dataclass(frozen=True, slots=True)
class Bend:
    """A batten through points; it starts where the outline has got to. `smooth` ties its start, end or both."""

    points: tuple[Vec2, ...]
    items: tuple[Node, ...]
    place: Place
    smooth: str


@dataclass(frozen=True, slots=True)
class ArcTo:
    """An arc of a circle through one point to another; it starts where the outline has got to."""

    through: Vec2
    to: Vec2


@dataclass(frozen=True, slots=True)
class Edge:
    """A path that is already there."""

    path: Path


Item = Corner | Bend | ArcTo | Edge


def joined_up(items: list[Item], mirror: float | None) -> Path:
    """All items as one path, open at its end; `mirror` is the line a half is mirrored in. Raises Mistake."""
    path: list[Segment] = []
    at: Vec2 | None = None
    for index, item in enumerate(items):
        name = f"edge {index + 1}"
        pieces = _pieces(items, index, at, mirror, name)
        if pieces and at is not None and math.dist(at, pieces[0].start) > SAME:
            path.append(Line(at, pieces[0].start, f"{name} lead"))
        path += pieces
        at = last_point(item)
    return tuple(path)


def _pieces(items: list[Item], index: int, at: Vec2 | None, mirror: float | None, name: str) -> Path:
    item = items[index]
    match item:
        case Corner(point=point):
            return (Line(at, point, name),) if at is not None and math.dist(at, point) > SAME else ()
        case Bend():
            return _bend(items, index, at, mirror)
        case ArcTo(through=through, to=to):
            return (_arc(at, through, to, name),)
        case Edge(path=path):
            return tuple(renamed(segment, name) for segment in path)


def _arc(at: Vec2 | None, through: Vec2, to: Vec2, name: str) -> Segment:
    """An arc, or a straight line where the three points lie on one."""
    if at is None:
        return Line(through, to, name)
    arc = Arc(at, through, to, name)
    try:
        sweep = arc_sweep(arc)
    except ValueError:
        sweep = 0.0
    return arc if abs(sweep) > 1e-9 else Line(at, to, name)


def _bend(items: list[Item], index: int, at: Vec2 | None, mirror: float | None) -> Path:
    bend = items[index]
    assert isinstance(bend, Bend)
    points, places = list(bend.points), bend.items
    if at is not None and math.dist(at, points[0]) > SAME:
        points.insert(0, at)
        places = (bend.items[0], *bend.items)
    start = end = None
    if bend.smooth in ("start", "both"):
        start = _straight_before(items, index, points[0], bend.place)
    if bend.smooth in ("end", "both"):
        end = _straight_after(items, index, points[-1], bend.place)
    if mirror is not None and len(points) > 1:
        if start is None and abs(points[0][0] - mirror) < SAME:
            start = (points[1][0] - points[0][0], 0.0)
        if end is None and abs(points[-1][0] - mirror) < SAME:
            end = (points[-1][0] - points[-2][0], 0.0)
    return bent(points, places, bend.place, f"edge {index + 1}", (start, end))


def _straight_before(items: list[Item], index: int, at: Vec2, place: Place) -> Vec2:
    """Direction of the straight edge that comes to where a curve starts."""
    before: Vec2 | None = None
    if index == 0 or isinstance(items[index - 1], Corner):
        before = last_point(items[index - 2] if index else items[-1])
    if before is None or math.dist(before, at) < SAME:
        raise _no_straight("start", place)
    return (at[0] - before[0], at[1] - before[1])


def _straight_after(items: list[Item], index: int, at: Vec2, place: Place) -> Vec2:
    """Direction of the straight edge that goes on where a curve ends."""
    following = items[(index + 1) % len(items)]
    after: Vec2 | None = None
    if isinstance(following, Corner):
        after = following.point
    elif isinstance(following, Edge) and following.path:
        after = following.path[0].start
    if after is None or math.dist(after, at) < SAME:
        raise _no_straight("end", place)
    return (after[0] - at[0], after[1] - at[1])


def _no_straight(end: str, place: Place) -> Mistake:
    return mistake(
        "nothing-to-be-smooth-with",
        place,
        f"`smooth: {end}` ties the curve to the straight beside it, but there is none.",
        f"put a straight edge at the {end} of the curve, or leave `smooth` out",
    )


def last_point(item: Item) -> Vec2 | None:
    """Where the outline has got to behind an item."""
    match item:
        case Corner(point=point):
            return point
        case Bend(points=points):
            return points[-1]
        case ArcTo(to=to):
            return to
        case Edge(path=path):
            return path[-1].end if path else None


def both_halves(path: Path, mirror: float) -> Path:
    """The half and its image in the line u = mirror, joined straight where the half does not reach the line."""
    if not path:
        return path
    flip = np.array([[-1.0, 0.0], [0.0, 1.0]])
    image = reversed_path(map_path(path, flip, (2.0 * mirror, 0.0)))
    named = tuple(renamed(segment, f"{segment.name} image") for segment in image)
    bridge: Path = ()
    if math.dist(path[-1].end, named[0].start) > SAME:
        bridge = (Line(path[-1].end, named[0].start, "across end"),)
    return _merged(path + bridge + named, mirror)


def _merged(path: Path, mirror: float) -> Path:
    """An edge that crosses the mirror line is one edge: its image keeps its name."""
    names: dict[str, str] = {}
    for a, b in zip(path, (*path[1:], path[0])):
        if abs(a.end[0] - mirror) < SAME and math.dist(a.end, b.start) < SAME:
            if a.name and b.name == f"{a.name} image":
                names[b.name] = a.name
            elif b.name and a.name == f"{b.name} image":
                names[a.name] = b.name
    return tuple(renamed(segment, names.get(segment.name, segment.name)) for segment in path)


def renamed(segment: Segment, name: str) -> Segment:
    """The same segment under another name."""
    match segment:
        case Line(start=a, end=b):
            return Line(a, b, name)
        case Arc(start=a, middle=m, end=b):
            return Arc(a, m, b, name)
        case Cubic(start=a, first=f, second=g, end=b):
            return Cubic(a, f, g, b, name)
