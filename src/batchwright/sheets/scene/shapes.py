"""The small shapes that marks and dimensions are put together from: arrowheads, arcs, dots."""

from __future__ import annotations

import math

from batchwright.geometry.curve import Arc, Path
from batchwright.geometry.frame import Vec2
from batchwright.sheets.scene.directions import along, heading, left_of, unit2
from batchwright.sheets.scene.primitives import Polygon
from batchwright.sheets.scene.strokes import Fill


def arrow(tip: Vec2, direction: Vec2, length: float, width: float) -> Polygon:
    """A slim filled arrowhead that points along `direction` and ends at `tip`; sizes in true millimetres."""
    way = unit2(direction)
    tail = along(tip, way, -length)
    side = left_of(way)
    return Polygon(
        rings=((tip, along(tail, side, width / 2.0), along(tail, side, -width / 2.0)),),
        fill=Fill.SOLID,
        stroke=None,
    )


def arc_between(centre: Vec2, radius: float, first: float, sweep: float) -> Path:
    """The arc about `centre` from angle `first` through `sweep` [rad], as arcs of a half turn or less."""
    pieces = max(1, math.ceil(abs(sweep) / math.pi - 1e-9))
    step = sweep / pieces

    def point(angle: float) -> Vec2:
        return along(centre, heading(angle), radius)

    return tuple(
        Arc(
            start=point(first + index * step),
            middle=point(first + (index + 0.5) * step),
            end=point(first + (index + 1) * step),
        )
        for index in range(pieces)
    )
