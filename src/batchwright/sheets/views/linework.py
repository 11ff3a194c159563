"""Lines of a view of solids, made into drawing primitives."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from batchwright.geometry.curve import Line
from batchwright.geometry.frame import Array, Vec2
from batchwright.sheets.scene.primitives import Curve, Item
from batchwright.sheets.scene.strokes import Stroke
from batchwright.solids.view import View, ViewLine

StrokeOf = Callable[[ViewLine], Stroke | None]
"""Which stroke a line gets; None leaves it out."""
NEAR = 1e-6
"""A line that lies so near the edge of a box is in it [mm]."""


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


def loops_box(loops: tuple[Array, ...]) -> tuple[Vec2, Vec2]:
    """The box round closed loops: its low and its high corner."""
    points = np.concatenate(loops)
    low, high = points.min(axis=0), points.max(axis=0)
    return (float(low[0]), float(low[1])), (float(high[0]), float(high[1]))


def inside_box(points: Array, box: tuple[Vec2, Vec2]) -> list[Array]:
    """What of a chain of points (n, 2) lies in a box, each piece a chain (m, 2) (Liang and Barsky, 1984)."""
    chains: list[list[Array]] = []
    for a, b in zip(points, points[1:], strict=False):
        part = _clipped(a, b, box)
        if part is None:
            continue
        if chains and np.allclose(chains[-1][-1], part[0]):
            chains[-1].append(part[1])
        else:
            chains.append([*part])
    return [np.array(chain) for chain in chains]


def _clipped(a: Array, b: Array, box: tuple[Vec2, Vec2]) -> tuple[Array, Array] | None:
    first, last = 0.0, 1.0
    for axis in (0, 1):
        run = float(b[axis] - a[axis])
        for limit, sign in ((box[0][axis], 1.0), (box[1][axis], -1.0)):
            reach, way = sign * (limit - float(a[axis])), sign * run
            if abs(way) < 1e-12:
                if reach > NEAR:
                    return None
            elif way > 0.0:
                first = max(first, reach / way)
            else:
                last = min(last, reach / way)
    return (a + first * (b - a), a + last * (b - a)) if last - first > 1e-9 else None
