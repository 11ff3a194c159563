"""Named places: points, points of a view, lines, battens, what runs beside them and where they cross."""

from __future__ import annotations

import math
from collections.abc import Callable

from batchwright.base.fault import Place
from batchwright.design.drawing.lookup import Desk, Pen, Placed, SpacePoint, ViewPoint
from batchwright.design.drawing.meet import meet
from batchwright.design.drawing.points import each, items_of, space_point, view_point
from batchwright.design.drawing.views import PLAIN, Curved, Straight, View, Wall, plane_view, true_view
from batchwright.design.text.mistake import Mistake, mistake
from batchwright.design.text.near import listed, offer
from batchwright.design.text.syntax import Name
from batchwright.design.text.tree import Mapping, Node, Scalar, Sequence
from batchwright.design.values.evaluate import evaluate
from batchwright.design.values.expression import parse
from batchwright.design.values.reading import angle_of, length_of, scalar_of
from batchwright.geometry.batten import batten, parallel
from batchwright.geometry.frame import Vec2
from batchwright.geometry.segment import Path

MOST_POINTS = 100
"""Points one curve or outline may go through."""

Ends = tuple[Vec2 | None, Vec2 | None]

KINDS = ("at", "through", "line", "curve", "beside", "crossing")
"""A place drawn in a table says one of these."""


def draw_place(desk: Desk, name: str) -> Placed:
    """One named place. Raises Mistake."""
    key, node = desk.places[name]
    pen = Pen(desk=desk)
    if not isinstance(node, Mapping):
        return _space(name, node, pen)
    kinds = [word for word in KINDS if node.get(word) is not None]
    if len(kinds) != 1:
        said = f"says {listed(kinds)} at once" if kinds else "does not say what it is"
        raise mistake(
            "place-kind",
            node.place,
            f"the place `{name}` {said}.",
            f"say one of {listed(KINDS)}",
            "a place is one point, one line or one curve",
        )
    if kinds[0] == "beside":
        return _beside(name, node, pen)
    if kinds[0] == "crossing":
        return _crossing(name, node, pen)
    view = plain_view(node.get("view"), key.place)
    return _DRAW[kinds[0]](name, node, view, pen)


def plain_view(node: Node | None, at: Place) -> View:
    """front, side or plan. Raises Mistake."""
    if node is None:
        raise mistake(
            "view-not-said", at, "this place does not say in which view it lies.", "add `view: front`, `side` or `plan`"
        )
    scalar = scalar_of(node, "view")
    if scalar.text not in PLAIN:
        near = offer(scalar.text, PLAIN)
        raise mistake(
            "unknown-view",
            scalar.place,
            f"there is no view `{scalar.text}`.",
            f"write {near}" if near else "write front, side or plan",
            "a place lies in front, side or plan",
        )
    return PLAIN[scalar.text]


def _space(name: str, node: Node, pen: Pen) -> SpacePoint:
    if isinstance(node, Sequence) and len(node.items) == 2:
        raise mistake(
            "view-not-said",
            node.place,
            f"the place `{name}` has two coordinates and no view.",
            "give three: [x, y, z], or say `{view: side, at: [...]}`",
        )
    return SpacePoint(name=name, point=space_point(node, pen))


def _at(name: str, node: Mapping, view: View, pen: Pen) -> ViewPoint:
    return ViewPoint(name=name, view=view, at=view_point(_said(node, "at"), view, pen))


def _through(name: str, node: Mapping, view: View, pen: Pen) -> Wall:
    """A point and an angle: from upright, positive back or to the right; or from level, positive rising."""
    point = view_point(_said(node, "through"), view, pen)
    angle_node = node.get("angle")
    if angle_node is None:
        raise mistake(
            "angle-not-said",
            _said(node, "through").place,
            f"the line `{name}` goes through one point and says no angle.",
            "add `angle: ... deg`, or give two points with `line: [[...], [...]]`",
        )
    turn = angle_of(angle_node, pen, pen.desk.known, "angle")
    level = _from_level(node, view)
    direction = (math.cos(turn), math.sin(turn)) if level else (math.sin(turn), math.cos(turn))
    return Wall(name=name, view=view, point=point, direction=direction)


def _from_level(node: Mapping, view: View) -> bool:
    said = node.get("from")
    if said is None:
        return False
    scalar = scalar_of(said, "from")
    if scalar.text not in ("level", "upright"):
        raise mistake(
            "unknown-choice",
            scalar.place,
            f"an angle counts from `level` or from `upright`, not from `{scalar.text}`.",
            "write `from: level`, or leave it out: upright is meant then",
        )
    if scalar.text == "level" and view.name == "plan":
        raise mistake(
            "level-in-plan",
            scalar.place,
            "everything in plan is level: an angle cannot count from it.",
            "leave `from` out: in plan an angle counts from straight back, positive to the right",
        )
    return scalar.text == "level"


def _line(name: str, node: Mapping, view: View, pen: Pen) -> Wall:
    items = items_of(node.get("line"), "line", 2)
    start, end = each(items, lambda item: view_point(item, view, pen))
    run = (end[0] - start[0], end[1] - start[1])
    size = math.hypot(*run)
    if size < 1e-6:
        raise mistake(
            "points-fall-together",
            items[1].place,
            f"the two points of `{name}` fall together.",
            "give two points that are apart",
            "a line needs a direction",
        )
    return Wall(name=name, view=view, point=start, direction=(run[0] / size, run[1] / size))


def _curve(name: str, node: Mapping, view: View, pen: Pen) -> Wall:
    said = _said(node, "curve")
    items = items_of(said, "curve")
    points = each(items, lambda item: view_point(item, view, pen))
    return Wall(name=name, view=view, path=bent(points, items, said.place, name))


def bent(points: list[Vec2], items: tuple[Node, ...], place: Place, name: str, ends: Ends = (None, None)) -> Path:
    """The batten through points. Raises Mistake where two neighbours fall together or there are too few."""
    if len(points) > MOST_POINTS:
        raise mistake(
            "too-many-points",
            place,
            f"`{name}` goes through {len(points)} points; {MOST_POINTS} is the most.",
            "a batten is fair through few points: leave out all but those that make its shape",
        )
    if len(points) < 2:
        raise mistake(
            "too-few-points",
            place,
            f"`{name}` is bent through {len(points)} point; a batten needs two or more.",
            "add another point",
        )
    for i in range(1, len(points)):
        if math.dist(points[i - 1], points[i]) < 1e-6:
            where = items[i].place if i < len(items) else place
            raise mistake(
                "points-fall-together",
                where,
                f"points {i} and {i + 1} of `{name}` fall together.",
                "move one of them, or take it out",
                "a batten cannot be bent through one point twice",
            )
    return batten(points, ends[0], ends[1], name)


def _beside(name: str, node: Mapping, pen: Pen) -> Wall:
    said = scalar_of(_said(node, "beside"), "beside")
    wall = named_wall(said, pen)
    by_node = node.get("by")
    if by_node is None:
        raise mistake(
            "distance-not-said",
            said.place,
            f"`{name}` runs beside `{wall.name}`, but not said at what distance.",
            "add `by: ...`",
        )
    by = length_of(by_node, pen, pen.desk.known, "by")
    return shifted(wall, by, name, by_node.place)


def shifted(wall: Wall, by: float, name: str, place: Place) -> Wall:
    """A wall parallel to another; a positive distance goes towards the greater other coordinate. Raises Mistake."""
    along = wall.longer()
    run = wall.direction or _chord(wall)
    left = (-run[1], run[0])
    signed = by if left[1 - along] > 0.0 else -by
    if wall.direction is not None:
        point = (wall.point[0] + signed * left[0], wall.point[1] + signed * left[1])
        return Wall(name=name, view=wall.view, point=point, direction=wall.direction)
    try:
        return Wall(name=name, view=wall.view, path=parallel(wall.path, signed))
    except ValueError as wrong:
        raise mistake(
            "parallel-folds",
            place,
            f"no curve runs beside `{wall.name}` at this distance: {wrong}.",
            "come nearer, or make the curve flatter",
            "a parallel on the hollow side cannot be further off than the smallest radius",
        ) from None


def _chord(wall: Wall) -> Vec2:
    start, end = wall.path[0].start, wall.path[-1].end
    return (end[0] - start[0], end[1] - start[1])


def _crossing(name: str, node: Mapping, pen: Pen) -> ViewPoint:
    items = items_of(node.get("crossing"), "crossing", 2)
    first, second = each(items, lambda item: named_wall(scalar_of(item, "crossing"), pen))
    if first.view is not second.view:
        raise mistake(
            "crossing-of-views",
            items[1].place,
            f"`{first.name}` lies in the {first.view.name} view and `{second.name}` in the {second.view.name} view.",
            "name two lines or curves of one view",
            "walls of two views meet in a line in space, not in a point",
        )
    loci = [Straight(w.point, w.direction) if w.direction else Curved(w.path) for w in (first, second)]
    return ViewPoint(name=name, view=first.view, at=meet(loci[0], loci[1], items[1].place))


def named_wall(scalar: Scalar, pen: Pen) -> Wall:
    """A line or curve by its name. Raises Mistake."""
    expression = parse(scalar, pen.desk.known)
    root, place = expression.root, expression.place()
    if isinstance(root, Name) and root.name in pen.desk.places:
        placed = pen.desk.place(root.name)
        if isinstance(placed, Wall):
            return placed
        raise _no_line(f"`{root.name}` is a point", place)
    if not (isinstance(root, Name) and root.name in pen.desk.refs):
        evaluate(expression, pen)
    raise _no_line(f"`{expression.text}` is no place", place)


def _no_line(what: str, place: Place) -> Mistake:
    return mistake("line-wanted", place, f"{what}, but a line or curve is wanted.", "name a line or curve of `places`")


def view_named(node: Node | None, pen: Pen, at: Place) -> View:
    """What `drawn in` says: a plain view, a named line's true view, the plane of three points. Raises Mistake."""
    if node is None:
        raise mistake(
            "view-not-said",
            at,
            "this part does not say in which view it is drawn.",
            "add `drawn in: front`, `side`, `plan` or the name of a straight line",
        )
    if isinstance(node, Mapping) and node.get("plane") is not None:
        items = items_of(node.get("plane"), "plane", 3)
        p, q, r = each(items, lambda item: space_point(item, pen))
        return plane_view("plane", (p, q, r), node.place)
    if not isinstance(node, Scalar):
        raise mistake(
            "unknown-view",
            node.place,
            "`drawn in` wants the name of a view or a line.",
            "write front, side, plan or the name of a straight line",
        )
    if node.text in PLAIN:
        return PLAIN[node.text]
    desk = pen.desk
    if node.text not in desk.places:
        near = offer(node.text, (*PLAIN, *desk.places))
        raise mistake(
            "unknown-view",
            node.place,
            f"there is no view or line `{node.text}`.",
            f"write {near}" if near else "write front, side, plan or the name of a straight line of `places`",
        )
    if node.text not in desk.views:
        desk.views[node.text] = true_view(named_wall(node, pen), node.place)
    return desk.views[node.text]


def _said(node: Mapping, word: str) -> Node:
    found = node.get(word)
    assert found is not None
    return found


_DRAW: dict[str, Callable[[str, Mapping, View, Pen], Placed]] = {
    "at": _at,
    "through": _through,
    "line": _line,
    "curve": _curve,
}
