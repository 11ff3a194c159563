"""Lines of a view of solids, made into drawing primitives."""

from __future__ import annotations

from collections.abc import Callable

from batchwright.geometry.curve import Line
from batchwright.geometry.frame import Array, Vec2
from batchwright.sheets.scene.primitives import Curve, Item, Polygon
from batchwright.sheets.scene.strokes import Fill, Stroke
from batchwright.solids.view import View, ViewLine

StrokeOf = Callable[[ViewLine], Stroke | None]
"""Which stroke a line gets; None leaves it out."""


def plain_stroke(line: ViewLine) -> Stroke | None:
    """Visible lines full, hidden ones dashed."""
    return Stroke.VISIBLE if line.visible else Stroke.HIDDEN


def visible_only(line: ViewLine) -> Stroke | None:
    """Hidden lines left out."""
    return Stroke.VISIBLE if line.visible else None


def light_joints(line: ViewLine) -> Stroke | None:
    """Visible lines full; of the hidden ones only tenons, mortises and housings, and those faint."""
    if line.visible:
        return Stroke.VISIBLE
    return Stroke.FAINT if line.kind in ("tenon", "mortise", "housing") else None


def lit(names: frozenset[str]) -> StrokeOf:
    """Parts of these names heavy, all others faint: where a part sits in the piece."""

    def stroke(line: ViewLine) -> Stroke | None:
        if line.owner in names:
            return Stroke.OUTLINE if line.visible else Stroke.HIDDEN
        return Stroke.FAINT if line.visible else None

    return stroke


def line_items(view: View, stroke_of: StrokeOf = plain_stroke, shift: Vec2 = (0.0, 0.0)) -> tuple[Item, ...]:
    """The view's lines as curves; hidden ones first, so that full lines lie over dashed ones."""
    drawn: list[tuple[int, Item]] = []
    for line in view.lines:
        stroke = stroke_of(line)
        if stroke is not None:
            rank = 0 if stroke in (Stroke.HIDDEN, Stroke.FAINT) else 1
            drawn.append((rank, _curve(line.points, stroke, shift)))
    return tuple(item for _, item in sorted(drawn, key=lambda pair: pair[0]))


def _curve(points: Array, stroke: Stroke, shift: Vec2) -> Curve:
    moved = [(float(x) + shift[0], float(y) + shift[1]) for x, y in points]
    return Curve(path=tuple(Line(a, b) for a, b in zip(moved, moved[1:])), stroke=stroke)


def ring(points: Array, shift: Vec2 = (0.0, 0.0)) -> tuple[Vec2, ...]:
    """A closed loop (n, 2) as a ring of points."""
    return tuple((float(x) + shift[0], float(y) + shift[1]) for x, y in points)


def loops_polygon(loops: tuple[Array, ...], fill: Fill, stroke: Stroke | None, shift: Vec2 = (0.0, 0.0)) -> Polygon:
    """Closed loops as one polygon with holes."""
    return Polygon(rings=tuple(ring(loop, shift) for loop in loops), fill=fill, stroke=stroke)
