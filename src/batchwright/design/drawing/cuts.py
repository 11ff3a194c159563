"""What is sawn off a part before its joints: level, upright, or along a named line or curve; and its eased edges."""

from __future__ import annotations

from batchwright.base.fault import Place
from batchwright.design.drawing.bodies import Body, extent_along
from batchwright.design.drawing.lookup import Pen
from batchwright.design.drawing.places import named_wall
from batchwright.design.drawing.points import each
from batchwright.design.drawing.views import AXES, Wall
from batchwright.design.text.mistake import Mistake, mistake
from batchwright.design.text.near import listed, offer
from batchwright.design.text.tree import Mapping, Node, Scalar, Sequence
from batchwright.design.values.reading import length_of, scalar_of
from batchwright.geometry.frame import Plane, Vec2, Vec3, plus, unit
from batchwright.geometry.outline import outline
from batchwright.geometry.segment import Line, Segment
from batchwright.model.shape import EdgeCut, EdgeKind, PlaneCut, RegionCut

KEEPS = {"above": ("z", 1.0), "below": ("z", -1.0), "front": ("y", -1.0), "back": ("y", 1.0)}
EDGES = (
    "long edges",
    "upper edges",
    "lower edges",
    "front edges",
    "back edges",
    "outer edges",
    "inner edges",
    "top end",
    "bottom end",
    "all",
)


def listed_items(node: Node | None) -> tuple[Node, ...]:
    """One item, or a list of them."""
    if node is None:
        return ()
    return node.items if isinstance(node, Sequence) else (node,)


def draw_cuts(part: Mapping, body: Body, pen: Pen) -> tuple[PlaneCut | RegionCut, ...]:
    """The cuts of a part, in its drawing frame, in their order. Raises Mistake."""
    return tuple(each(listed_items(part.get("cut")), lambda item: _cut(item, body, pen)))


def _cut(node: Node, body: Body, pen: Pen) -> PlaneCut | RegionCut:
    if not isinstance(node, Mapping):
        raise mistake("cut-form", node.place, "a cut is said with words in { }.", "write `{level: ..., keep: above}`")
    kinds = [word for word in ("level", "upright", "line") if node.get(word) is not None]
    if len(kinds) != 1:
        raise mistake(
            "cut-form",
            node.place,
            "a cut says one of `level`, `upright` and `line`.",
            "write `{level: ..., keep: above}`",
        )
    said = node.get(kinds[0])
    assert said is not None
    allowed = {"level": ("above", "below"), "upright": ("front", "back"), "line": tuple(KEEPS)}[kinds[0]]
    keep = _keep(node, allowed)
    axis, sign = KEEPS[keep.text]
    if kinds[0] == "line":
        wall = named_wall(scalar_of(said, "line"), pen)
        if wall.straight:
            return _straight_cut(wall, keep, body)
        return _curved_cut(wall, keep, body, said.place)
    at = length_of(said, pen, pen.desk.known, kinds[0])
    out = AXES[axis]
    normal: Vec3 = (-sign * out[0], -sign * out[1], -sign * out[2])
    return PlaneCut(plane=body.frame.plane_to_local(Plane((at * out[0], at * out[1], at * out[2]), normal)))


def _keep(node: Mapping, allowed: tuple[str, ...]) -> Scalar:
    said = node.get("keep")
    if said is None:
        raise Mistake
    scalar = scalar_of(said, "keep")
    if scalar.text not in allowed:
        near = offer(scalar.text, allowed)
        raise mistake(
            "unknown-choice",
            scalar.place,
            f"this cut keeps {listed(allowed)}, not `{scalar.text}`.",
            f"write {near or listed(allowed)}",
        )
    return scalar


def _straight_cut(wall: Wall, keep: Scalar, body: Body) -> PlaneCut:
    assert wall.direction is not None
    axis, sign = KEEPS[keep.text]
    f, d = wall.view.frame, wall.direction
    square = unit(plus((-d[1] * f.x[0], -d[1] * f.x[1], -d[1] * f.x[2]), f.y, d[0]))
    height = square["xyz".index(axis)]
    if abs(height) < 1e-6:
        raise _no_such_side(wall, keep)
    away = -1.0 if height * sign > 0.0 else 1.0
    normal = (away * square[0], away * square[1], away * square[2])
    return PlaneCut(plane=body.frame.plane_to_local(Plane(wall.view.point(wall.point), normal)))


def _no_such_side(wall: Wall, keep: Scalar) -> Exception:
    return mistake(
        "no-such-side",
        keep.place,
        f"`{wall.name}` has no side that is {keep.text} of it.",
        "keep the other pair: above or below, front or back",
        "the line itself runs that way",
    )


def _curved_cut(wall: Wall, keep: Scalar, body: Body, place: Place) -> RegionCut:
    """The region between a curve and the far side, sawn away square to the curve's view."""
    axis, sign = KEEPS[keep.text]
    names, along = wall.view.axis_names()[:2], wall.longer()
    other = 1 - along
    if names[other] != axis:
        raise _no_such_side(wall, keep)
    frame = wall.view.frame
    low, high = extent_along(body, frame.x if along == 0 else frame.y)
    start, end = wall.path[0].start, wall.path[-1].end
    if min(start[along], end[along]) > low + 1e-6 or max(start[along], end[along]) < high - 1e-6:
        raise mistake(
            "off-the-curve",
            place,
            f"`{wall.name}` ends before it has crossed the part.",
            "carry the curve on by another point",
            "a cut goes right across the part",
        )
    under, over = extent_along(body, frame.x if other == 0 else frame.y)
    far = (under - 1000.0) if sign > 0.0 else (over + 1000.0)

    def out(p: Vec2) -> Vec2:
        return (p[0], far) if other == 1 else (far, p[1])

    around: list[Segment] = [*wall.path, Line(end, out(end)), Line(out(end), out(start)), Line(out(start), start)]
    return RegionCut(frame=frame.seen_from(body.frame), outline=outline(around))


def draw_edges(part: Mapping, pen: Pen) -> tuple[EdgeCut, ...]:
    """Eased edges. Raises Mistake."""
    return tuple(each(listed_items(part.get("edges")), lambda item: _edge(item, pen)))


def _edge(node: Node, pen: Pen) -> EdgeCut:
    kinds = [kind for kind in EdgeKind if isinstance(node, Mapping) and node.get(kind.value) is not None]
    if not isinstance(node, Mapping) or len(kinds) != 1:
        raise mistake(
            "edge-form",
            node.place,
            "an eased edge says `round` or `chamfer`.",
            "write `{round: 1/8 in, on: long edges}`",
        )
    said = node.get(kinds[0].value)
    assert said is not None
    size = length_of(said, pen, pen.desk.known, kinds[0].value)
    if size <= 0.0:
        raise mistake("not-above-zero", said.place, f"`{kinds[0].value}` must be above zero.", "give a size above zero")
    on = node.get("on")
    text = "all"
    if on is not None:
        scalar = scalar_of(on, "on")
        text = scalar.text
        if text not in EDGES:
            near = offer(text, EDGES)
            raise mistake(
                "unknown-edges",
                scalar.place,
                f"there are no edges called `{text}`.",
                f"write {near}" if near else f"write one of {listed(EDGES)}",
            )
    return EdgeCut(kind=kinds[0], size=size, on=text)
