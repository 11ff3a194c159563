"""Exact plane curves: straight lines, arcs of circles, cubics (Bezier form). Millimetres."""

from __future__ import annotations

from dataclasses import dataclass

from batchwright.geometry.frame import Vec2


@dataclass(frozen=True, slots=True)
class Line:
    """A straight line from `start` to `end`."""

    start: Vec2
    end: Vec2
    name: str = ""


@dataclass(frozen=True, slots=True)
class Arc:
    """An arc of a circle from `start` through `middle` (any point of it between the ends) to `end`."""

    start: Vec2
    middle: Vec2
    end: Vec2
    name: str = ""


@dataclass(frozen=True, slots=True)
class Cubic:
    """A cubic in Bezier form: from `start`, leaving towards `first`, arriving from `second`, to `end`."""

    start: Vec2
    first: Vec2
    second: Vec2
    end: Vec2
    name: str = ""


Segment = Line | Arc | Cubic
Path = tuple[Segment, ...]
"""Segments end to start, not closed. `name` groups segments that were drawn as one edge (one fair curve)."""
