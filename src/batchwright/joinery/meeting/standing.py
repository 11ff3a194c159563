"""A shaped part where it stands in the piece, before any joint is cut: its solid, its line, its sections."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from batchwright.geometry.crossing import nearest
from batchwright.geometry.frame import Array, Frame, Vec2, Vec3, cross, dot, plus, unit, vec3
from batchwright.geometry.segment import Path, tangent_at
from batchwright.joinery.meeting.slice import loops_at
from batchwright.model.draft import DraftPart
from batchwright.model.shape import Prism, Stick
from batchwright.solids.build import Quality, Solid, placed, shape_solid

PLACES = 9
"""Where a part's way is asked for is rounded to so many decimals [mm] in its own frame: both hands ask the same."""
KEPT = 256
"""Ways kept: those of a few revisions."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """A shaped part in the world. `reach` is its extent along its grain (least, greatest)."""

    part: DraftPart
    solid: Solid
    grain: Vec3
    reach: Vec2

    @property
    def length(self) -> float:
        """Along the grain, as drawn [mm]."""
        return self.reach[1] - self.reach[0]


def stand(part: DraftPart, quality: Quality = Quality.FINE) -> Standing:
    """Build a part's shape and set it in its place.

    Raises
    ------
    ValueError
        If the shape cannot be built.
    """
    solid = placed(shape_solid(part.shape, part.frame, quality), part.frame)
    grain = unit(part.frame.turn(part.grain))
    return Standing(part=part, solid=solid, grain=grain, reach=solid.extent(grain))


def line_at(standing: Standing, near: Vec3, sign: int) -> Vec3:
    """The way the part runs at a point, looking out of the end with that sign: the grain; a strip's own tangent.

    Source: language of the piece file, `how a meeting is found`; a strip is a bent batten.
    """
    out = standing.grain if sign > 0 else vec3((-standing.grain[0], -standing.grain[1], -standing.grain[2]))
    tangent = _batten_tangent(standing.part, near)
    if tangent is None:
        return out
    way = unit(standing.part.frame.turn((tangent[0], tangent[1], 0.0)))
    return way if dot(way, out) >= 0.0 else (-way[0], -way[1], -way[2])


def _batten_tangent(part: DraftPart, near: Vec3) -> Vec2 | None:
    """Tangent in (u, v) of a strip's batten nearest to a world point; None for what is not a strip."""
    u, v, _ = part.frame.to_local(near)
    u, v = round(u, PLACES) + 0.0, round(v, PLACES) + 0.0
    if part.line:
        return _tangent_near(part.line, (u, v))
    body = part.shape.body
    if not isinstance(body, Prism):
        return None
    sides = [tuple(s for s in body.outline.segments if s.name == name) for name in ("side left", "side right")]
    if not all(sides):
        return None
    one, two = (_tangent_near(side, (u, v)) for side in sides)
    if one[0] * two[0] + one[1] * two[1] < 0.0:
        two = (-two[0], -two[1])
    total = (one[0] + two[0], one[1] + two[1])
    size = math.hypot(*total)
    return (total[0] / size, total[1] / size)


@lru_cache(maxsize=KEPT)
def _tangent_near(path: Path, point: Vec2) -> Vec2:
    index, t, _ = nearest(path, point)
    return tangent_at(path[index], t)


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """A part's section square to a direction: frame (z = the direction, x = its wide way, origin = its middle),
    width along x, thickness along y; `loop` is its outline in (x, y), shape (n, 2)."""

    frame: Frame
    width: float
    thickness: float
    loop: Array
    round: bool

    @property
    def square(self) -> bool:
        """Whether neither way is the wide one."""
        return self.round or abs(self.width - self.thickness) <= 0.01 * max(self.width, self.thickness)


def section_at(standing: Standing, point: Vec3, direction: Vec3, near: Vec3) -> Section | None:
    """The section of a part by the plane through `point` square to `direction`: of its limb nearest to `near`."""
    first, second = section_axes(standing, direction)
    frame = Frame(point, first, second, direction)
    loops = loops_at(standing.solid, frame)
    if not loops:
        return None
    x, y, _ = frame.to_local(near)
    loop = min(loops, key=lambda each: _loop_distance(each, (x, y)))
    low, high = loop.min(axis=0), loop.max(axis=0)
    middle = frame.to_world((float(low[0] + high[0]) / 2.0, float(low[1] + high[1]) / 2.0, 0.0))
    spans = (float(high[0] - low[0]), float(high[1] - low[1]))
    turned = loop - (low + high) / 2.0
    wide = Frame(middle, first, second, direction)
    if spans[1] > spans[0] * 1.0001:
        wide = Frame(middle, second, (-first[0], -first[1], -first[2]), direction)
        turned = np.column_stack([turned[:, 1], -turned[:, 0]])
        spans = (spans[1], spans[0])
    body = standing.part.shape.body
    is_round = isinstance(body, Stick) and body.round
    return Section(frame=wide, width=spans[0], thickness=spans[1], loop=turned, round=is_round)


def _loop_distance(loop: Array, point: Vec2) -> float:
    low, high = loop.min(axis=0), loop.max(axis=0)
    outside = np.maximum(0.0, np.maximum(low - np.array(point), np.array(point) - high))
    return float(np.linalg.norm(outside)) + 1e-6 * float(np.linalg.norm((low + high) / 2.0 - np.array(point)))


def section_axes(standing: Standing, direction: Vec3) -> tuple[Vec3, Vec3]:
    """Two axes square to a direction, right-handed with it, the first along the part's own drawing axis that is
    most nearly square to it (so that they follow the part's faces)."""
    frame = standing.part.frame
    own = min((frame.z, frame.y, frame.x), key=lambda axis: round(abs(dot(axis, direction)), 9))
    first = unit(plus(own, direction, -dot(own, direction)))
    return first, cross(direction, first)


def thick_across(standing: Standing, direction: Vec3) -> float:
    """Extent of the whole part along a direction [mm]."""
    low, high = standing.solid.extent(direction)
    return high - low


def end_point(standing: Standing, direction: Vec3, start: Vec3) -> Vec3:
    """The outermost point of the part beyond `start` along `direction`."""
    along = standing.solid.vertices @ np.array(direction)
    beyond = along >= along.max() - 1e-6
    return vec3(standing.solid.vertices[beyond].mean(axis=0)) if beyond.any() else start


def part_axis(standing: Standing) -> tuple[Vec3, Vec3]:
    """A point in the middle of the part's box along its own axes, and its grain."""
    frame = standing.part.frame
    local = frame.many_to_local(standing.solid.vertices)
    return frame.to_world(vec3((local.min(axis=0) + local.max(axis=0)) / 2.0)), standing.grain
