"""The marks of the bench, drawn: face side, face edge, grain, centre, register, datum, number, check bar."""

from __future__ import annotations

import math
from collections.abc import Callable

from batchwright.geometry.curve import Cubic
from batchwright.geometry.frame import Vec2
from batchwright.sheets.scene.primitives import (
    SMALL,
    CheckBar,
    Curve,
    Level,
    Mark,
    MarkKind,
    Polygon,
    Side,
    Straight,
    Text,
    Weight,
)
from batchwright.sheets.scene.shapes import arc_between
from batchwright.sheets.scene.strokes import Fill, Stroke

_Drawn = tuple[Straight | Curve | Polygon | Text, ...]
_Place = Callable[[float, float], Vec2]

CHECK_MM = 100.0
CHECK_IN = 4.0 * 25.4


def _placer(at: Vec2, angle: float, unit: float) -> _Place:
    """A function from a mark's own coordinates (in `unit` true millimetres) to the scene."""
    c, s = math.cos(angle) * unit, math.sin(angle) * unit

    def place(u: float, v: float) -> Vec2:
        return (at[0] + c * u - s * v, at[1] + s * u + c * v)

    return place


def draw_mark(mark: Mark, scale: float) -> _Drawn:
    """The lines of a mark."""
    return _MARKS[mark.kind](mark, _placer(mark.at, mark.angle, mark.size / scale), scale)


def _lines(place: _Place, stroke: Stroke, *points: tuple[float, float]) -> tuple[Straight, ...]:
    return tuple(
        Straight(start=place(*a), end=place(*b), stroke=stroke) for a, b in zip(points, points[1:], strict=False)
    )


def _ring(mark: Mark, radius: float, scale: float, fill: Fill = Fill.NONE, stroke: Stroke = Stroke.WITNESS) -> Curve:
    path = arc_between(mark.at, radius * mark.size / scale, mark.angle, 2.0 * math.pi)
    return Curve(path=path, stroke=stroke, closed=True, fill=fill)


def _face_side(mark: Mark, place: _Place, scale: float) -> _Drawn:
    """A pencilled loop, its two tails crossing on the way to the face edge; it cannot be read as a figure."""
    path = (
        Cubic(place(-0.34, -0.5), place(-0.1, -0.12), place(0.36, 0.1), place(0.27, 0.36)),
        Cubic(place(0.27, 0.36), place(0.2, 0.55), place(-0.2, 0.55), place(-0.27, 0.36)),
        Cubic(place(-0.27, 0.36), place(-0.36, 0.1), place(0.1, -0.12), place(0.34, -0.5)),
    )
    return (Curve(path=path, stroke=Stroke.WITNESS),)


def _face_edge(mark: Mark, place: _Place, scale: float) -> _Drawn:
    return _lines(place, Stroke.WITNESS, (-0.32, 0.45), (0.0, -0.45), (0.32, 0.45))


def _grain(mark: Mark, place: _Place, scale: float) -> _Drawn:
    return (
        *_lines(place, Stroke.GRAIN, (-1.0, 0.0), (1.0, 0.0)),
        *_lines(place, Stroke.GRAIN, (0.72, 0.16), (1.0, 0.0), (0.72, -0.16)),
        *_lines(place, Stroke.GRAIN, (-0.72, 0.16), (-1.0, 0.0), (-0.72, -0.16)),
        *_lines(place, Stroke.FAINT, (-0.45, 0.13), (0.45, 0.13)),
        *_lines(place, Stroke.FAINT, (-0.45, -0.13), (0.45, -0.13)),
    )


def _cross(mark: Mark, place: _Place, scale: float) -> _Drawn:
    return (
        *_lines(place, Stroke.DIMENSION, (-0.5, 0.0), (0.5, 0.0)),
        *_lines(place, Stroke.DIMENSION, (0.0, -0.5), (0.0, 0.5)),
    )


def _centre(mark: Mark, place: _Place, scale: float) -> _Drawn:
    return (*_cross(mark, place, scale), _ring(mark, 0.22, scale, stroke=Stroke.DIMENSION))


def _register(mark: Mark, place: _Place, scale: float) -> _Drawn:
    return (
        *_lines(place, Stroke.REGISTER, (-0.5, 0.0), (0.5, 0.0)),
        *_lines(place, Stroke.REGISTER, (0.0, -0.5), (0.0, 0.5)),
        _ring(mark, 0.3, scale, stroke=Stroke.REGISTER),
    )


def _datum(mark: Mark, place: _Place, scale: float) -> _Drawn:
    """A heavy arrow that stands on the datum line; it points the way the mark is turned."""
    head = (place(0.0, 0.0), place(-0.45, 0.28), place(-0.45, -0.28))
    return (
        Polygon(rings=(head,), fill=Fill.SOLID, stroke=None),
        *_lines(place, Stroke.CUT, (0.0, -0.6), (0.0, 0.6)),
        *_lines(place, Stroke.WITNESS, (-0.45, 0.0), (-1.0, 0.0)),
    )


def _triangle(mark: Mark, place: _Place, scale: float) -> _Drawn:
    return _lines(place, Stroke.WITNESS, (-0.5, -0.4), (0.5, -0.4), (0.0, 0.5), (-0.5, -0.4))


def _number(mark: Mark, place: _Place, scale: float) -> _Drawn:
    size = mark.size * (0.56 if len(mark.text) < 3 else 0.4)
    text = Text(
        at=mark.at,
        text=mark.text,
        size=size,
        angle=mark.angle,
        side=Side.MIDDLE,
        level=Level.MIDDLE,
        weight=Weight.BOLD,
    )
    return (_ring(mark, 0.5, scale, Fill.PAPER, Stroke.VISIBLE), text)


_MARKS: dict[MarkKind, Callable[[Mark, _Place, float], _Drawn]] = {
    MarkKind.FACE_SIDE: _face_side,
    MarkKind.FACE_EDGE: _face_edge,
    MarkKind.GRAIN: _grain,
    MarkKind.CROSS: _cross,
    MarkKind.CENTRE: _centre,
    MarkKind.REGISTER: _register,
    MarkKind.DATUM: _datum,
    MarkKind.TRIANGLE: _triangle,
    MarkKind.NUMBER: _number,
}


def draw_check_bar(bar: CheckBar, scale: float) -> _Drawn:
    """100 mm above its line in tens, 4 in below it in inches, black and white by turns; lengths true, never scaled."""
    paper = 1.0 / scale
    high = 1.6 * paper
    place = _placer(bar.at, bar.angle, 1.0)
    out: list[Straight | Curve | Polygon | Text] = []
    for count, step, side in ((10, CHECK_MM / 10.0, 1.0), (4, CHECK_IN / 4.0, -1.0)):
        for index in range(count):
            low, end = index * step, (index + 1) * step
            ring = (place(low, 0.0), place(end, 0.0), place(end, side * high), place(low, side * high))
            fill = Fill.SOLID if index % 2 == 0 else Fill.NONE
            out.append(Polygon(rings=(ring,), fill=fill, stroke=Stroke.DIMENSION))
    for length, label, side in ((CHECK_MM, "100 mm", 1.0), (CHECK_IN, "4 in", -1.0)):
        for end in (0.0, length):
            out += _lines(place, Stroke.DIMENSION, (end, 0.0), (end, side * 3.4 * paper))
        at = place(CHECK_IN + 1.5 * paper, (0.3 if side > 0.0 else -0.3 - 0.729 * SMALL) * paper)
        out.append(Text(at=at, text=label, size=SMALL, angle=bar.angle, level=Level.BASE))
    return tuple(out)
