"""Strips: a bent batten with a width, one or one for each of its points."""

from __future__ import annotations

import math

from batchwright.design.drawing.lookup import Pen
from batchwright.design.drawing.places import bent, named_wall
from batchwright.design.drawing.points import each, gathered, items_of, view_point
from batchwright.design.drawing.views import Straight, View, trace
from batchwright.design.text.mistake import Mistake, mistake
from batchwright.design.text.tree import Mapping, Node, Scalar, Sequence
from batchwright.design.values.reading import length_of, scalar_of
from batchwright.geometry.batten import strip_outline
from batchwright.geometry.frame import Vec2
from batchwright.geometry.outline import Outline
from batchwright.geometry.segment import Path


def draw_strip(node: Node, view: View, pen: Pen) -> tuple[Outline, Path]:
    """The strip's outline and the batten it was drawn along. Raises Mistake."""
    if not isinstance(node, Mapping):
        raise mistake(
            "strip-form",
            node.place,
            "a strip is drawn with words in { }.",
            "write `strip: {through: [...], wide: ...}`",
        )
    through, wide = node.get("through"), node.get("wide")
    if through is None or wide is None:
        raise Mistake
    path, widths = gathered_pair(node, through, wide, view, pen)
    if len(widths) not in (1, len(path) + 1):
        raise mistake(
            "widths-do-not-match",
            wide.place,
            f"the strip goes through {len(path) + 1} points and has {len(widths)} widths.",
            f"give one width, or {len(path) + 1}: one for each point",
        )
    try:
        shape = strip_outline(path, widths)
    except ValueError as wrong:
        raise mistake(
            "strip-folds",
            node.place,
            f"the strip cannot be sawn: {wrong}.",
            "make it narrower, or bend the batten less sharply",
            "the hollow side needs a radius larger than half the width",
        ) from None
    return shape, path


def gathered_pair(node: Mapping, through: Node, wide: Node, view: View, pen: Pen) -> tuple[Path, list[float]]:
    """The batten and its widths; the mistakes of both together. Raises Mistake."""
    paths: list[Path] = []
    widths: list[float] = []
    gathered((lambda: paths.append(_batten(node, through, view, pen)), lambda: widths.extend(_widths(wide, pen))))
    return paths[0], widths


def _batten(node: Mapping, through: Node, view: View, pen: Pen) -> Path:
    if isinstance(through, Scalar):
        wall = named_wall(scalar_of(through, "through"), pen)
        met = trace(wall, view, through.place)
        if isinstance(met, Straight):
            raise mistake(
                "line-has-no-ends",
                through.place,
                f"`{wall.name}` is a straight line without ends.",
                "give the strip two points: `through: [[...], [...]]`",
                "a strip ends where its batten ends",
            )
        return met.path
    items = items_of(through, "through")
    points = each(items, lambda item: view_point(item, view, pen))
    return bent(points, items, through.place, "the strip", _tied(node, points, view, pen))


def _tied(node: Mapping, points: list[Vec2], view: View, pen: Pen) -> tuple[Vec2 | None, Vec2 | None]:
    """`along: back line` ties both ends to a line's direction, `along: [a, b]` one each."""
    along = node.get("along")
    if along is None or len(points) < 2:
        return None, None
    both = along.items if isinstance(along, Sequence) else (along, along)
    if len(both) != 2:
        raise mistake(
            "list-wanted",
            along.place,
            f"`along` names {len(both)} lines; it takes one, or two for the two ends.",
            "write `along: line` or `along: [first, last]`",
        )
    start, end = (_direction(item, view, pen) for item in both)
    return (
        _facing(start, points[0], points[1]) if start else None,
        _facing(end, points[-2], points[-1]) if end else None,
    )


def _direction(node: Node, view: View, pen: Pen) -> Vec2 | None:
    wall = named_wall(scalar_of(node, "along"), pen)
    met = trace(wall, view, node.place)
    if not isinstance(met, Straight):
        raise mistake(
            "line-wanted",
            node.place,
            f"`{wall.name}` is a curve: an end is tied along a straight line.",
            "name a straight line",
        )
    return met.direction


def _facing(direction: Vec2, start: Vec2, end: Vec2) -> Vec2:
    """The direction turned to look the way the batten runs."""
    run = (end[0] - start[0], end[1] - start[1])
    forward = direction[0] * run[0] + direction[1] * run[1]
    return direction if forward >= 0.0 else (-direction[0], -direction[1])


def _widths(wide: Node, pen: Pen) -> list[float]:
    items = wide.items if isinstance(wide, Sequence) else (wide,)
    widths = each(items, lambda item: length_of(item, pen, pen.desk.known, "wide"))
    for item, width in zip(items, widths):
        if width <= 0.0 or not math.isfinite(width):
            raise mistake(
                "not-above-zero", item.place, "a strip must be wider than nothing.", "give a width above zero"
            )
    return widths
