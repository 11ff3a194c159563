"""Wood left around a bar: the walls of a mortise or a hole, measured on the shaped part before it is cut."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from batchwright.geometry.frame import Array, Vec3, vec3
from batchwright.model.shape import Section, Tool
from batchwright.solids import kernel
from batchwright.solids.bodies import bar_body
from batchwright.solids.rays import spans
from batchwright.solids.solid import FaceBook, Quality, Solid, solid_from


@dataclass(frozen=True, slots=True, kw_only=True)
class Walls:
    """Least wood [mm] beside each face of a bar; 0 where it breaks out. cheeks: towards -y and +y of the bar's frame;
    edges: towards -x and +x; tip: beyond its end. mouth: where its middle line enters the wood, along its z; None if
    it does not meet the wood, and then all others are infinite."""

    cheek_low: float
    cheek_high: float
    edge_low: float
    edge_high: float
    tip: float
    mouth: float | None

    @property
    def least(self) -> float:
        """The thinnest wall, the tip's included [mm]."""
        return min(self.cheek_low, self.cheek_high, self.edge_low, self.edge_high, self.tip)


def bar_solid(tool: Tool, name: str = "bar", quality: Quality = Quality.LIVE) -> Solid:
    """A bar on its own, where its frame puts it."""
    book = FaceBook()
    return solid_from(bar_body(tool, quality.tolerance, book, name), book, f"{name} has no wood")


def walls(shaped: Solid, tool: Tool, skip: float = 3.0) -> Walls:
    """Wood left around a bar cut into a shaped part; both in the same coordinates.

    Looked at on a grid over each face, from `skip` [mm] past the mouth to the tip, along the face's own normal.
    """
    frame = tool.frame
    inside = [
        (a, b) for a, b in spans(shaped, frame.to_world((0.0, 0.0, 0.0)), frame.z) if b > tool.start + 1e-6
    ]
    if not inside or inside[0][0] >= tool.end:
        return Walls(
            cheek_low=math.inf,
            cheek_high=math.inf,
            edge_low=math.inf,
            edge_high=math.inf,
            tip=math.inf,
            mouth=None,
        )
    mouth = max(inside[0][0], tool.start)
    levels = np.linspace(min(mouth + skip, (mouth + tool.end) / 2.0), tool.end, 5)
    a, b = tool.width / 2.0, tool.thickness / 2.0
    flat_a, flat_b = (a, b) if tool.section is Section.SQUARE else (max(a - b, 0.0), max(b - a, 0.0))
    found = {
        name: _least(shaped, tool, _face(levels, along, out), out)
        for name, along, out in (
            ("cheek_low", (flat_a, 0.0), (0.0, -b)),
            ("cheek_high", (flat_a, 0.0), (0.0, b)),
            ("edge_low", (0.0, flat_b), (-a, 0.0)),
            ("edge_high", (0.0, flat_b), (a, 0.0)),
        )
    }
    return Walls(**found, tip=_tip(shaped, tool, (flat_a, flat_b)), mouth=mouth)


def _face(levels: Array, along: tuple[float, float], out: tuple[float, float]) -> Array:
    """Points on a side of the bar, in its frame, shape (25, 3)."""
    shares = np.linspace(-1.0, 1.0, 5)
    flat = np.array(out)[None] + shares[:, None] * np.array(along)[None]
    return np.array([(x, y, z) for z in levels for x, y in flat])


def _least(shaped: Solid, tool: Tool, points: Array, out: tuple[float, float]) -> float:
    way = np.array([out[0], out[1], 0.0])
    return _wood_beyond(shaped, tool, points, way / np.linalg.norm(way))


def _tip(shaped: Solid, tool: Tool, half: tuple[float, float]) -> float:
    """Wood beyond the tip, where its planes leave one: along the bar from a grid over its section."""
    shares = np.linspace(-1.0, 1.0, 5)
    points = np.array([(x * half[0], y * half[1], tool.end) for x in shares for y in shares])
    for plane in tool.planes:
        slope = float(np.dot(plane.normal, (0.0, 0.0, 1.0)))
        if slope > 1e-6:
            heights = (points - np.array(plane.point)) @ np.array(plane.normal)
            points[:, 2] -= np.maximum(heights, 0.0) / slope
    return _wood_beyond(shaped, tool, points, np.array([0.0, 0.0, 1.0]))


def _wood_beyond(shaped: Solid, tool: Tool, points: Array, way: Array) -> float:
    """Least stretch of wood from points of the bar's frame along a direction; 0 where a point is not in the wood."""
    starts = tool.frame.many_to_world(points)
    direction = np.array(tool.frame.turn(vec3(way)))
    low, high = shaped.bounds
    reach = float(np.linalg.norm(high - low)) + 1.0
    lengths = [_first_out(shaped, start, start + reach * direction) for start in starts]
    return min(lengths) * reach


def _first_out(shaped: Solid, start: Array, end: Array) -> float:
    """Share of a line at which it first leaves the wood; 0 if it begins outside."""
    shares, entering = kernel.line_hits(shaped.body, start, end)
    if len(shares) == 0:
        return 0.0
    first = int(np.argmin(shares))
    return 0.0 if entering[first] else float(shares[first])


def centre_depth(shaped: Solid, origin: Vec3, direction: Vec3) -> float:
    """Depth of the wood along a line from where it first enters to where it first leaves; 0 if it misses [mm]."""
    stretches = [(a, b) for a, b in spans(shaped, origin, direction) if b > 1e-6]
    return stretches[0][1] - max(stretches[0][0], 0.0) if stretches else 0.0
