"""Which way the grain runs in a part, where the maker says it and where he leaves it to the rule."""

from __future__ import annotations

import math

from batchwright.design.drawing.bodies import Body
from batchwright.design.drawing.lookup import Pen
from batchwright.design.drawing.points import each, view_point
from batchwright.design.drawing.views import AXES, View
from batchwright.design.text.mistake import mistake
from batchwright.design.text.tree import Mapping, Sequence
from batchwright.design.values.reading import scalar_of
from batchwright.geometry.frame import Vec3, unit
from batchwright.geometry.outline import Outline, longest_straight_edge, smallest_rectangle
from batchwright.geometry.segment import Path, apart


def grain_of_outline(outline: Outline) -> Vec3:
    """Along the longest straight edge if it is half as long as the part or more, else along the smallest rectangle."""
    long, _, angle = smallest_rectangle(outline)
    edge = longest_straight_edge(outline)
    if edge is not None and apart(edge.start, edge.end) >= 0.5 * long - 1e-9:
        du, dv = edge.end[0] - edge.start[0], edge.end[1] - edge.start[1]
        angle = math.atan2(dv, du)
    u, v = math.cos(angle), math.sin(angle)
    return _forward((u, v, 0.0))


def grain_of_batten(path: Path) -> Vec3:
    """From a batten's first end to its last."""
    start, end = path[0].start, path[-1].end
    return unit((end[0] - start[0], end[1] - start[1], 0.0))


def _forward(direction: Vec3) -> Vec3:
    """The sense does not matter to the wood; the one that looks right, or else up, is kept."""
    u, v, w = (0.0 if abs(value) < 1e-12 else value for value in direction)
    return (u, v, w) if (u, v, w) > (0.0, 0.0, 0.0) else (-u + 0.0, -v + 0.0, -w + 0.0)


def said_grain(part: Mapping, body: Body, view: View | None, pen: Pen) -> Vec3 | None:
    """What `grain` says, in the drawing frame; None where it says nothing. Raises Mistake."""
    node = part.get("grain")
    if node is None:
        return None
    if isinstance(node, Sequence):
        if view is None or len(node.items) != 2:
            raise mistake(
                "grain-form",
                node.place,
                "the grain by two points needs a part drawn in a view, and two points.",
                "write `grain: [[...], [...]]` with two points of the view, or `grain: x`, `y`, `z` or `across`",
            )
        p, q = each(node.items, lambda item: view_point(item, view, pen))
        if math.dist(p, q) < 1e-6:
            raise mistake(
                "points-fall-together",
                node.place,
                "the two points of the grain fall together.",
                "give two points apart",
            )
        return unit((q[0] - p[0], q[1] - p[1], 0.0))
    scalar = scalar_of(node, "grain")
    if scalar.text == "across" and view is not None:
        return (0.0, 0.0, 1.0)
    if scalar.text not in AXES:
        raise mistake(
            "unknown-choice",
            scalar.place,
            f"the grain runs along x, y, z or across, not `{scalar.text}`.",
            "write `grain: x`, `y`, `z`, `across`, or two points of the view",
        )
    u, v, w = body.frame.turn_back(AXES[scalar.text])
    flat = math.hypot(u, v)
    return unit((u, v, 0.0)) if flat >= abs(w) else (0.0, 0.0, 1.0)
