"""Outlines item by item: corners, curves, arcs, edges that follow a line, rounded corners, halves mirrored."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np

from batchwright.base.fault import Fault, Place
from batchwright.design.follow import followed
from batchwright.design.lookup import Pen
from batchwright.design.mistake import Mistake, mistake
from batchwright.design.places import bent
from batchwright.design.points import gathered, items_of, view_point
from batchwright.design.reading import length_of, scalar_of
from batchwright.design.tree import Mapping, Node, Sequence
from batchwright.design.views import View
from batchwright.geometry.curve import map_path, reversed_path
from batchwright.geometry.frame import Vec2
from batchwright.geometry.outline import Outline, chamfer_corner, crosses_itself, outline, round_corner
from batchwright.geometry.segment import Arc, Line, Path, Segment, arc_sweep

_SAME = 1e-6

_Corner = tuple[str, Vec2, float, Place]
"""round or chamfer, the corner, its size, where it is said."""


@dataclass(frozen=True, slots=True)
class _Bend:
    """A curve still to be bent: its points, the first being where it starts, and which ends are tied."""

    points: list[Vec2]
    items: tuple[Node, ...]
    place: Place
    smooth: str


_Item = Vec2 | _Bend | Path
"""A corner, a curve to be bent, or a path that is already there."""


@dataclass(slots=True)
class _Sketch:
    items: list[_Item] = field(default_factory=list)
    corners: list[_Corner] = field(default_factory=list)


def draw_outline(node: Node, mirror: float | None, view: View, pen: Pen) -> Outline:
    """The closed outline of a part in its view; with `mirror`, the half drawn and its image. Raises Mistake."""
    sketch = _Sketch()
    items = items_of(node, "outline")
    if isinstance(node, Sequence) and len(items) < 2:
        raise mistake("outline-too-short", node.place, "an outline of one item encloses nothing.", "add more corners")
    read = gathered((lambda item=item: _read_item(item, view, pen)) for item in items)
    for item, corner in read:
        sketch.items.append(item)
        if corner is not None:
            sketch.corners.append(corner)
    path = _joined_up(sketch, mirror)
    if mirror is not None:
        path = _both_halves(path, mirror)
        images = [(w, (2.0 * mirror - p[0], p[1]), r, at) for w, p, r, at in sketch.corners if abs(p[0] - mirror) > _SAME]
        sketch.corners += images
    shape = closed(path, node.place, "outline")
    for corner in sketch.corners:
        shape = _eased(shape, corner)
    return shape


def _read_item(node: Node, view: View, pen: Pen) -> tuple[_Item, _Corner | None]:
    if not isinstance(node, Mapping):
        return view_point(node, view, pen), None
    at = node.get("at")
    if at is not None:
        point = view_point(at, view, pen)
        return point, _corner_of(node, point, pen)
    curve = node.get("curve")
    if curve is not None:
        points = gathered((lambda item=item: view_point(item, view, pen)) for item in items_of(curve, "curve"))
        return _Bend(points, items_of(curve, "curve"), curve.place, _smooth_of(node)), None
    arc = node.get("arc")
    if arc is not None:
        through, to = gathered((lambda item=item: view_point(item, view, pen)) for item in items_of(arc, "arc", 2))
        return (Arc(through, through, to),), None
    if node.get("follow") is not None:
        return followed(node, view, pen), None
    raise mistake(
        "outline-item", node.place, "this item of the outline does not say what it draws.",
        "write a corner in [ ], or one of `at`, `curve`, `arc`, `follow`",
    )


def _corner_of(node: Mapping, point: Vec2, pen: Pen) -> _Corner | None:
    for word in ("round", "chamfer"):
        said = node.get(word)
        if said is not None:
            size = length_of(said, pen, pen.desk.known, word)
            if size <= 0.0:
                raise mistake(
                    "not-above-zero", said.place, f"`{word}` must be above zero.", f"give a size, or leave `{word}` out"
                )
            return word, point, size, said.place
    return None


def _smooth_of(node: Mapping) -> str:
    said = node.get("smooth")
    if said is None:
        return ""
    scalar = scalar_of(said, "smooth")
    if scalar.text not in ("start", "end", "both"):
        raise mistake(
            "unknown-word", scalar.place, f"`smooth` ties the start, the end or both, not `{scalar.text}`.",
            "write `smooth: start`, `end` or `both`",
        )
    return scalar.text


def _joined_up(sketch: _Sketch, mirror: float | None) -> Path:
    """All items as one path: straight from item to item, curves bent where their neighbours are known."""
    items = sketch.items
    path: list[Segment] = []
    at: Vec2 | None = None
    for index, item in enumerate(items):
        name = f"edge {index + 1}"
        if isinstance(item, _Bend):
            pieces = _bend(items, index, at, mirror, name)
        elif _is_point(item):
            pieces = (Line(at, item, name),) if at is not None and math.dist(at, item) > _SAME else ()
        else:
            pieces = _placed_piece(item, at, name)
        if pieces and at is not None and math.dist(at, pieces[0].start) > _SAME:
            path.append(Line(at, pieces[0].start, f"{name} lead"))
        path += pieces
        if _is_point(item):
            at = item  # type: ignore[assignment]
        elif pieces:
            at = pieces[-1].end
    return tuple(path)


def _is_point(item: _Item) -> bool:
    return isinstance(item, tuple) and len(item) == 2 and isinstance(item[0], float)


def _placed_piece(item: _Item, at: Vec2 | None, name: str) -> Path:
    """A followed path, or an arc that starts where the outline has got to."""
    assert isinstance(item, tuple)
    out: list[Segment] = []
    for segment in item:
        if isinstance(segment, Arc) and segment.start == segment.middle:
            if at is None:
                return (Line(segment.middle, segment.end, name),)
            out.append(_arc_from(at, segment, name))
        else:
            assert isinstance(segment, Segment)
            out.append(_renamed(segment, name))
    return tuple(out)


def _arc_from(at: Vec2, segment: Arc, name: str) -> Segment:
    arc = Arc(at, segment.middle, segment.end, name)
    try:
        sweep = arc_sweep(arc)
    except ValueError:
        sweep = 0.0
    return arc if abs(sweep) > 1e-9 else Line(at, segment.end, name)


def _bend(items: list[_Item], index: int, at: Vec2 | None, mirror: float | None, name: str) -> Path:
    bend = items[index]
    assert isinstance(bend, _Bend)
    points = list(bend.points)
    if at is not None and math.dist(at, points[0]) > _SAME:
        points.insert(0, at)
        places = (bend.items[0], *bend.items)
    else:
        places = bend.items
    start = end = None
    if bend.smooth in ("start", "both"):
        start = _straight_before(items, index, points[0], bend.place)
    if bend.smooth in ("end", "both"):
        end = _straight_after(items, index, points[-1], bend.place)
    if mirror is not None:
        if start is None and abs(points[0][0] - mirror) < _SAME:
            start = (points[1][0] - points[0][0], 0.0)
        if end is None and abs(points[-1][0] - mirror) < _SAME:
            end = (points[-1][0] - points[-2][0], 0.0)
    return bent(points, places, bend.place, name, (start, end))


def _straight_before(items: list[_Item], index: int, at: Vec2, place: Place) -> Vec2:
    """Direction of the straight edge that comes to where a curve starts."""
    if index == 0:
        before: Vec2 | None = _last_point(items[-1])
    elif index == 1 and _is_point(items[0]):
        before = _last_point(items[-1])
    else:
        before = _last_point(items[index - 2]) if _is_point(items[index - 1]) else None
    if before is None or math.dist(before, at) < _SAME:
        raise _no_straight("start", place)
    return (at[0] - before[0], at[1] - before[1])


def _straight_after(items: list[_Item], index: int, at: Vec2, place: Place) -> Vec2:
    following = items[(index + 1) % len(items)]
    after = _first_point(following)
    if after is None or math.dist(after, at) < _SAME:
        raise _no_straight("end", place)
    return (after[0] - at[0], after[1] - at[1])


def _no_straight(end: str, place: Place) -> Mistake:
    return mistake(
        "nothing-to-be-smooth-with", place, f"`smooth: {end}` ties the curve to the straight beside it, but there is none.",
        f"put a straight edge at the {end} of the curve, or leave `smooth` out",
    )


def _last_point(item: _Item) -> Vec2 | None:
    if isinstance(item, _Bend):
        return item.points[-1]
    if _is_point(item):
        return item  # type: ignore[return-value]
    return item[-1].end  # type: ignore[union-attr]


def _first_point(item: _Item) -> Vec2 | None:
    """Where the next item begins, if a straight edge leads to it."""
    if isinstance(item, _Bend):
        return None
    if _is_point(item):
        return item  # type: ignore[return-value]
    first = item[0]
    assert isinstance(first, Segment)
    return None if isinstance(first, Arc) and first.start == first.middle else first.start


def _both_halves(path: Path, mirror: float) -> Path:
    """The half and its image in the line u = mirror, joined straight where the half does not reach the line."""
    if not path:
        return path
    flip = np.array([[-1.0, 0.0], [0.0, 1.0]])
    image = reversed_path(map_path(path, flip, (2.0 * mirror, 0.0)))
    named = tuple(_renamed(segment, f"{segment.name} image") for segment in image)
    bridge: Path = ()
    if math.dist(path[-1].end, named[0].start) > _SAME:
        bridge = (Line(path[-1].end, named[0].start, "across end"),)
    return _merged(path + bridge + named, mirror)


def _merged(path: Path, mirror: float) -> Path:
    """A smooth curve that crosses the mirror line is one edge: its image keeps its name."""
    names: dict[str, str] = {}
    for a, b in zip(path, (*path[1:], path[0])):
        if abs(a.end[0] - mirror) < _SAME and math.dist(a.end, b.start) < _SAME:
            if a.name and b.name == f"{a.name} image":
                names[b.name] = a.name
            elif b.name and a.name == f"{b.name} image":
                names[a.name] = b.name
    return tuple(_renamed(segment, names.get(segment.name, segment.name)) for segment in path)


def _renamed(segment: Segment, name: str) -> Segment:
    if isinstance(segment, Line):
        return Line(segment.start, segment.end, name)
    if isinstance(segment, Arc):
        return Arc(segment.start, segment.middle, segment.end, name)
    return type(segment)(segment.start, segment.first, segment.second, segment.end, name)


def closed(path: Path, place: Place, what: str) -> Outline:
    """The path closed to an outline that does not cross itself. Raises Mistake."""
    try:
        shape = outline(path, "closing edge")
    except ValueError as wrong:
        raise mistake(
            "outline-encloses-nothing", place, f"the {what} encloses nothing: {wrong}.",
            "give it three or more corners that are not on one line",
        ) from None
    crossed = crosses_itself(shape)
    if crossed:
        raise Mistake(crossing_fault(crossed, place, what))
    return shape


def crossing_fault(crossed: tuple[Vec2, ...], place: Place, what: str) -> Fault:
    """The fault of an outline that crosses itself."""
    u, v = crossed[0]
    return Fault(
        code="outline-crosses-itself", place=place,
        what=f"the {what} crosses itself, first at ({u:.1f}, {v:.1f}) mm"
        + (f" and {len(crossed) - 1} more times." if len(crossed) > 1 else "."),
        why="wood can only be on one side of an edge",
        mend="look at the order of its corners, and for a curve that swings past its neighbour",
    )


def _eased(shape: Outline, corner: _Corner) -> Outline:
    word, point, size, place = corner
    try:
        if word == "round":
            return round_corner(shape, point, size, f"round at {point[0]:.3f}, {point[1]:.3f}")
        return chamfer_corner(shape, point, size, f"chamfer at {point[0]:.3f}, {point[1]:.3f}")
    except ValueError as wrong:
        raise mistake(
            "corner-does-not-fit", place, f"this corner cannot be eased: {wrong}.",
            "make it smaller, or leave it out", "the arc or chamfer must touch both edges beside the corner",
        ) from None
