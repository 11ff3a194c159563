"""Boxes: three ranges along x, y and z; an end that names a part stops in the middle of it."""

from __future__ import annotations

from batchwright.base.fault import Place
from batchwright.design.drawing.bodies import Body
from batchwright.design.drawing.lookup import Pen
from batchwright.design.drawing.meet import Free
from batchwright.design.drawing.points import coordinate_or_part, each, items_of, middle_along
from batchwright.design.drawing.views import AXES_OF, PLAIN
from batchwright.design.text.mistake import Mistake, mistake
from batchwright.design.text.tree import Mapping, Node, form_of
from batchwright.geometry.frame import Vec3
from batchwright.geometry.outline import Outline
from batchwright.geometry.segment import Line
from batchwright.model.shape import Prism, Shape

_End = float | Free
_THINNEST = 0.1
"""No part is thinner than this [mm]."""


def draw_box(part: Mapping, name: str, pen: Pen) -> tuple[Body, Vec3]:
    """The box of a part, drawn in the view that looks at its broad face, and its grain. Raises Mistake."""
    node = part.get("box")
    assert node is not None
    if not isinstance(node, Mapping):
        raise mistake(
            "box-form",
            node.place,
            f"the box `{name}` is {form_of(node)}, but three ranges are wanted.",
            "write `box: {x: [..., ...], y: [..., ...], z: [..., ...]}`",
        )
    if any(node.get(axis) is None for axis in "xyz"):
        raise Mistake
    said_ranges = [node.get(axis) for axis in "xyz"]
    ranges = each(list(zip("xyz", said_ranges)), lambda pair: _range(pair[1], pair[0], pen))
    solved = _solved(ranges)
    for axis, range_node, (low, high) in zip("xyz", said_ranges, solved):
        if range_node is not None:
            check_range((low, high), f"the box `{name}` along {axis}", range_node.place, pen)
    sizes = [high - low for low, high in solved]
    thin = min(range(3), key=lambda i: (round(sizes[i], 6), i))
    view = next(PLAIN[like] for like, names in AXES_OF.items() if names[2] == "xyz"[thin])
    u, v, w = ("xyz".index(axis) for axis in view.axis_names())
    outline = rectangle(solved[u], solved[v])
    prism = Prism(outline=outline, low=solved[w][0], high=solved[w][1])
    grain: Vec3 = (1.0, 0.0, 0.0) if sizes[u] >= sizes[v] else (0.0, 1.0, 0.0)
    return Body(frame=view.frame, shape=Shape(body=prism)), grain


def rectangle(u: tuple[float, float], v: tuple[float, float]) -> Outline:
    """A rectangle's outline, its edges named by where they lie on paper."""
    a, b, c, d = (u[0], v[0]), (u[1], v[0]), (u[1], v[1]), (u[0], v[1])
    return Outline((Line(a, b, "lower"), Line(b, c, "right"), Line(c, d, "upper"), Line(d, a, "left")))


def check_range(ends: tuple[float, float], what: str, place: Place, pen: Pen) -> None:
    """Raises Mistake where a range runs backwards or is empty."""
    low, high = ends
    if high - low >= _THINNEST:
        return
    if high < low - 1e-9:
        raise mistake(
            "range-runs-back",
            place,
            f"{what} runs from {pen.say(low)} back to {pen.say(high)}.",
            "write the smaller value first",
            "a range goes from the smaller to the greater value",
        )
    raise mistake(
        "no-thickness",
        place,
        f"{what} is only {pen.say(high - low)} thick.",
        "give it some thickness",
        "no part is thinner than 0.1 mm",
    )


def _range(node: Node | None, axis: str, pen: Pen) -> tuple[_End, _End]:
    assert node is not None
    items = items_of(node, axis, 2)
    low, high = each(items, lambda item: coordinate_or_part(item, pen))
    return low, high


def _solved(ranges: list[tuple[_End, _End]]) -> list[tuple[float, float]]:
    """Ends that name parts, brought to those parts' middles where the box's other two ranges have theirs."""
    middles: dict[int, float] = {}
    for i, (low, high) in enumerate(ranges):
        if isinstance(low, float) and isinstance(high, float):
            middles[i] = 0.5 * (low + high)
    out: list[tuple[float, float]] = []
    for i, ends in enumerate(ranges):
        known = {axis: at for axis, at in middles.items() if axis != i}
        low, high = (end if isinstance(end, float) else middle_along(end.body, i, known) for end in ends)
        out.append((low, high))
    return out
