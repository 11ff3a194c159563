"""Points as they are written: two coordinates of a view, three in space, a named point, the middle of a part."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import TypeVar

from batchwright.base.fault import Fault, Place
from batchwright.design.drawing.bodies import Body, extent_along, middle_of, section_extent, sight
from batchwright.design.drawing.lookup import Pen, Placed, SpacePoint, ViewPoint
from batchwright.design.drawing.meet import Free, Locus, Middle, meet
from batchwright.design.drawing.views import AXES, Curved, Straight, View, Wall, between_views, trace
from batchwright.design.text.mistake import Mistake, mistake
from batchwright.design.text.syntax import At, Coordinate, Expression, Name
from batchwright.design.text.tree import Node, Scalar, Sequence, form_of
from batchwright.design.values.evaluate import evaluate
from batchwright.design.values.expression import parse, parse_coordinate
from batchwright.design.values.reading import scalar_of
from batchwright.design.values.values import About, as_length
from batchwright.geometry.frame import Plane, Vec2, Vec3, dot, plus

S = TypeVar("S")
T = TypeVar("T")


def gathered(makers: Iterable[Callable[[], T]]) -> list[T]:
    """The results of several readings; the mistakes of all of them together. Raises Mistake."""
    out: list[T] = []
    faults: list[Fault] = []
    failed = False
    for make in makers:
        try:
            out.append(make())
        except Mistake as wrong:
            faults += wrong.faults
            failed = True
    if failed:
        raise Mistake(*faults)
    return out


def each(items: Iterable[S], read: Callable[[S], T]) -> list[T]:
    """Every item read; the mistakes of all of them together. Raises Mistake."""
    return gathered((lambda item=item: read(item)) for item in items)  # type: ignore[misc]


def items_of(node: Node | None, name: str, count: int = 0, at: Place | None = None) -> tuple[Node, ...]:
    """The items of a list, of the given number where it matters. Raises Mistake."""
    if isinstance(node, Sequence) and (not count or len(node.items) == count):
        return node.items
    place = node.place if node is not None else at
    assert place is not None
    found = "nothing" if node is None else form_of(node)
    if isinstance(node, Sequence):
        found = f"a list of {len(node.items)}"
    wanted = f"a list of {count}" if count else "a list"
    raise mistake("list-wanted", place, f"`{name}` is {found}, but {wanted} is wanted.", f"write {wanted} in [ ]")


def view_point(node: Node, view: View, pen: Pen) -> Vec2:
    """A point of a view: `[12, back line]`, `head`, `leg at z 5`, `back leg`. Raises Mistake."""
    if isinstance(node, Sequence):
        if len(node.items) != 2:
            names = view.axis_names()
            raise mistake(
                "two-coordinates-wanted",
                node.place,
                f"a point of this view has two coordinates, not {len(node.items)}.",
                f"write [{names[0]}, {names[1]}]",
            )
        first, second = each((0, 1), lambda i: coordinate(node.items[i], i, view, pen))
        return meet(first, second, node.place)
    expression = parse(scalar_of(node, "a point"), pen.desk.known)
    root, place = expression.root, expression.place()
    if isinstance(root, At) and not root.word and root.name in pen.desk.refs:
        return view.seen(point_at(expression, root, pen))
    if isinstance(root, Name) and root.name in pen.desk.places:
        return seen_point(pen.desk.place(root.name), view, place)
    if isinstance(root, Name) and root.name in pen.desk.refs:
        return _cut_middle(pen.desk.body(root.name, place), root.name, view, place)
    raise not_a_point(expression, pen, place)


def not_a_point(expression: Expression, pen: Pen, place: Place) -> Mistake:
    """The fault of something that is no point; an unknown name tells its own. Raises Mistake."""
    evaluate(expression, pen)
    return mistake(
        "point-wanted",
        place,
        f"`{expression.text}` is a single value, but a point is wanted.",
        "write a point in [ ], the name of a point, or a part",
    )


def point_at(expression: Expression, root: At, pen: Pen) -> Vec3:
    """`leg at z 6`. Raises Mistake."""
    by = replace(expression, root=root.by)
    at = as_length(evaluate(by, pen), pen.units, About(expression.words(root.by), by.place()))
    return pen.part_at(root.name, root.axis, at, expression.place())


def seen_point(placed: Placed, view: View, place: Place) -> Vec2:
    """A named point as a view sees it. Raises Mistake."""
    if isinstance(placed, SpacePoint):
        return view.seen(placed.point)
    if isinstance(placed, ViewPoint):
        locus = _point_locus(placed, view)
        if isinstance(locus, tuple):
            return locus
    kind = "a line" if isinstance(placed, Wall) else f"a point of the {placed.view.name} view, seen here as a line"
    raise mistake(
        "point-wanted",
        place,
        f"`{placed.name}` is {kind}, but a point is wanted.",
        f"write it as one of two coordinates: [..., {placed.name}]",
    )


def _point_locus(placed: ViewPoint, view: View) -> Vec2 | None:
    """Where the line square to the point's own view meets this view's plane; None where it runs alongside."""
    m, c = between_views(view, placed.view)
    det = m[0][0] * m[1][1] - m[0][1] * m[1][0]
    if abs(det) < 1e-9:
        return None
    p, q = placed.at[0] - c[0], placed.at[1] - c[1]
    return ((m[1][1] * p - m[0][1] * q) / det, (m[0][0] * q - m[1][0] * p) / det)


def coordinate(node: Node, slot: int, view: View, pen: Pen) -> Locus:
    """All points of the view that one written coordinate allows. Raises Mistake."""
    if not isinstance(node, Scalar):
        raise mistake(
            "coordinate-wanted",
            node.place,
            f"a coordinate is {form_of(node)}, but one value is wanted.",
            "write a length, a line, a part, or an axis and a value such as `z 13`",
        )
    read = pen.desk.coordinates.get(id(node))
    if read is None:
        read = parse_coordinate(scalar_of(node, "a coordinate"), pen.desk.known)
        pen.desk.coordinates[id(node)] = read
    place = read.expression.place()
    if read.axis:
        return _axis_locus(read, view, pen, place)
    root = read.expression.root
    if isinstance(root, Name) and root.name in pen.desk.places:
        placed = pen.desk.place(root.name)
        if isinstance(placed, Wall):
            return trace(placed, view, place)
        return _slot_line(seen_point(placed, view, place)[slot], slot)
    if isinstance(root, Name) and root.name in pen.desk.refs:
        return part_locus(pen.desk.body(root.name, place), root.name, slot, view)
    about = About(_slot_name(view, slot), place, read.expression.text)
    return _slot_line(as_length(evaluate(read.expression, pen), pen.units, about), slot)


def _slot_name(view: View, slot: int) -> str:
    return f"{view.axis_names()[slot]} of a point"


def _slot_line(value: float, slot: int) -> Straight:
    return Straight((value, 0.0), (0.0, 1.0)) if slot == 0 else Straight((0.0, value), (1.0, 0.0))


def _axis_locus(read: Coordinate, view: View, pen: Pen, place: Place) -> Straight:
    """`z 13`: the line of the view on which a plain axis has a value."""
    axis, f = AXES[read.axis], view.frame
    a, b = dot(axis, f.x), dot(axis, f.y)
    size = a * a + b * b
    about = About(read.axis, place, read.expression.text)
    at = as_length(evaluate(read.expression, pen), pen.units, about) - dot(axis, f.origin)
    if size < 1e-12:
        raise mistake(
            "axis-not-in-view",
            place,
            f"{read.axis} is the same everywhere in `{view.name}`.",
            f"write a value of {view.axis_names()[0]} or {view.axis_names()[1]}",
        )
    return Straight((a * at / size, b * at / size), (-b / size**0.5, a / size**0.5))


def part_locus(body: Body, name: str, slot: int, view: View) -> Locus:
    """To the middle of a part, along one coordinate of a view; a stick's middle line is carried on beyond its ends."""
    if body.stick:
        point, run = body.middle_line()
        p, q = view.seen(point), view.seen(plus(point, run))
        d = (q[0] - p[0], q[1] - p[1])
        size = (d[0] ** 2 + d[1] ** 2) ** 0.5
        if size > 1e-6:
            return Straight(p, (d[0] / size, d[1] / size))
        return _slot_line(p[slot], slot)
    along, other = (view.frame.x, view.frame.y) if slot == 0 else (view.frame.y, view.frame.x)
    origin = view.frame.origin

    def middle(at: float) -> float | None:
        start = plus(origin, other, at)
        found = sight(body, start, along) if view.true else None
        if found is None:
            found = section_extent(body, Plane(start, other), along)
            if found is None:
                return None
            base = dot(origin, along)
            return 0.5 * (found[0] + found[1]) - base
        return 0.5 * (found[0] + found[1])

    return Middle(name, slot, middle, lambda: view.seen(middle_of(body)))


def _cut_middle(body: Body, name: str, view: View, place: Place) -> Vec2:
    """A part as a whole point: its middle where the view's plane cuts it; in a plain view, of its overall size."""
    if body.stick:
        point, run = body.middle_line()
        u, v, w = view.frame.to_local(point)
        d = view.frame.turn_back(run)
        if view.true and abs(d[2]) > 1e-6:
            t = -w / d[2]
            return (u + t * d[0], v + t * d[1])
        return view.seen(middle_of(body))
    if not view.true:
        return view.seen(middle_of(body))
    plane = Plane(view.frame.origin, view.frame.z)
    out = []
    for axis in (view.frame.x, view.frame.y):
        found = section_extent(body, plane, axis)
        if found is None:
            raise mistake(
                "part-not-there",
                place,
                f"the plane of `{view.name}` does not cut `{name}`.",
                "give the point by its two coordinates",
                "a part as a whole point is its middle where the plane cuts it",
            )
        out.append(0.5 * (found[0] + found[1]) - dot(view.frame.origin, axis))
    return (out[0], out[1])


def space_point(node: Node, pen: Pen) -> Vec3:
    """A point in space: `[x, y, z]`, a named one, `leg at z 5`, or the middle of a part. Raises Mistake."""
    if isinstance(node, Sequence):
        if len(node.items) != 3:
            raise mistake(
                "three-coordinates-wanted",
                node.place,
                f"a point in space has three coordinates, not {len(node.items)}.",
                "write [x, y, z]; a point of one view goes under `places` with `{view: ..., at: [...]}`",
            )
        return _three(node, pen)
    expression = parse(scalar_of(node, "a point"), pen.desk.known)
    root, place = expression.root, expression.place()
    if isinstance(root, At) and not root.word and root.name in pen.desk.refs:
        return point_at(expression, root, pen)
    if isinstance(root, Name) and root.name in pen.desk.places:
        placed = pen.desk.place(root.name)
        if isinstance(placed, SpacePoint):
            return placed.point
        kind = "a line" if isinstance(placed, Wall) else f"a point of the {placed.view.name} view only"
        raise mistake(
            "space-point-wanted",
            place,
            f"`{root.name}` is {kind}, but a point in space is wanted.",
            "give the point as [x, y, z], with `.x`, `.y`, `.z` or `at` of what is drawn",
        )
    if isinstance(root, Name) and root.name in pen.desk.refs:
        return middle_of(pen.desk.body(root.name, place))
    raise not_a_point(expression, pen, place)


def _three(node: Sequence, pen: Pen) -> Vec3:
    """Three coordinates; one that names a part is that part's middle where the other two are."""
    reads = each(node.items, lambda item: _one_of_three(item, pen))
    known = {i: read for i, read in enumerate(reads) if isinstance(read, float)}
    out = dict(known)
    for i, read in enumerate(reads):
        if not isinstance(read, float):
            out[i] = middle_along(read.body, i, known)
    return (out[0], out[1], out[2])


def _one_of_three(node: Node, pen: Pen) -> float | Free:
    scalar = scalar_of(node, "a coordinate")
    expression = parse(scalar, pen.desk.known)
    root, place = expression.root, expression.place()
    if isinstance(root, Name) and root.name in pen.desk.refs:
        return Free(root.name, pen.desk.body(root.name, place))
    return as_length(evaluate(expression, pen), pen.units, About("a coordinate", place, expression.text))


def coordinate_or_part(node: Node, pen: Pen) -> float | Free:
    """One coordinate in space, or a part to whose middle it goes. Raises Mistake."""
    return _one_of_three(node, pen)


def middle_along(body: Body, axis: int, known: dict[int, float]) -> float:
    """The middle of a part along x, y or z (0, 1, 2), where its other coordinates are known as far as they are."""
    axes = tuple(AXES.values())
    if body.stick:
        point, run = body.middle_line()
        for other in sorted(known, key=lambda i: -abs(run[i])):
            if abs(run[other]) > 1e-3:
                return point[axis] + run[axis] * (known[other] - point[other]) / run[other]
        return middle_of(body)[axis]
    if len(known) == 2:
        start = tuple(known.get(i, 0.0) for i in range(3))
        found = sight(body, (start[0], start[1], start[2]), axes[axis])
        if found:
            return 0.5 * (found[0] + found[1])
    for other, at in known.items():
        normal = axes[other]
        section = section_extent(body, Plane((at * normal[0], at * normal[1], at * normal[2]), normal), axes[axis])
        if section:
            return 0.5 * (section[0] + section[1])
    return 0.5 * sum(extent_along(body, axes[axis]))


__all__ = ["Curved", "coordinate", "coordinate_or_part", "gathered", "items_of", "space_point", "view_point"]
