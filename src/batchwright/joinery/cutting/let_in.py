"""What one part cuts out of another: housings, grooves, notches; and the laps of `laps`."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from batchwright.base.trace import Missing, Sized
from batchwright.geometry.frame import Array, Frame, Vec3, cross, dot, minus, plus, unit, vec3
from batchwright.joinery.cutting.cut import Cuts
from batchwright.joinery.cutting.fixed import Held
from batchwright.joinery.cutting.laps import OPEN, halving_cuts
from batchwright.joinery.meeting.standing import Standing, section_axes, thick_across
from batchwright.joinery.sizing import rules
from batchwright.joinery.sizing.plan import Bench
from batchwright.joinery.sizing.swing import moves_along, swing
from batchwright.model.draft import JointKind, PartId
from batchwright.model.shape import BodyCut, Tool

HAIR = 25.4 / 64
"""Room round a notch beside what the wood moves [mm]."""


def held_cuts(held: Held, bench: Bench) -> list[tuple[PartId, Cuts]]:
    """What a pair's joint cuts, by part (world)."""
    kind = held.statement.kind
    if kind is JointKind.HOUSING:
        return [(held.b.part.id, Cuts(bodies=tuple(_body(held.a, move) for move in _moves(held))))]
    if kind is JointKind.GROOVE:
        return [(held.b.part.id, groove_cuts(held))]
    if kind is JointKind.NOTCH:
        gap = notch_gap(held, bench).value
        around = BodyCut(shape=held.b.part.shape, frame=held.b.part.frame, grow=gap)
        return [(held.a.part.id, Cuts(bodies=(around,)))]
    if kind is JointKind.HALVING:
        return halving_cuts(held)
    return []


def groove_cuts(held: Held) -> Cuts:
    """The panel's own shape, stopped where the panel ends; or a bar right through along the grooved part."""
    if held.ask.ends != "through":
        return Cuts(bodies=tuple(replace(_body(held.a, move), tenons_too=True) for move in _moves(held)))
    assert held.common is not None
    deep, along = into_way(held), held.b.grain
    thin = unit(cross(deep, along))
    low, high = _extent(held.common, (thin, deep, along))
    loose = 0.0 if isinstance(held.ask.loose, Missing) else held.ask.loose
    reach = held.b.reach
    middle = ((low[0] + high[0]) / 2.0, (low[1] - OPEN + high[1] + loose) / 2.0, (reach[0] + reach[1]) / 2.0)
    origin = vec3(middle[0] * np.array(thin) + middle[1] * np.array(deep) + middle[2] * np.array(along))
    half = (reach[1] - reach[0]) / 2.0 + OPEN
    bar = Tool(
        frame=Frame(origin, thin, cross(along, thin), along),
        width=high[0] - low[0],
        thickness=high[1] - low[1] + loose + OPEN,
        start=-half,
        end=half,
    )
    return Cuts(cuts=(bar,))


def _extent(points: Array, axes: tuple[Vec3, Vec3, Vec3]) -> tuple[Vec3, Vec3]:
    along = points @ np.array(axes).T
    return vec3(along.min(axis=0)), vec3(along.max(axis=0))


def bar_of(tool: Tool) -> tuple[Array, Vec3]:
    """Corners of the bar of a groove that runs through, without what it runs out of the wood, and the way it opens."""
    a, b = tool.width / 2.0, tool.thickness / 2.0
    corners = [(x, y, z) for x in (-a, a) for y in (-b + OPEN, b) for z in (tool.start + OPEN, tool.end - OPEN)]
    way = tool.frame.y
    return tool.frame.many_to_world(np.array(corners)), (-way[0], -way[1], -way[2])


def grooves_of(held: Sequence[Held]) -> dict[PartId, tuple[tuple[Vec3, float], ...]]:
    """For each grooved part the ways its grooves open, and how deep they are [mm]."""
    found: dict[PartId, tuple[tuple[Vec3, float], ...]] = {}
    for each in held:
        if each.statement.kind is JointKind.GROOVE and each.common is not None:
            way = into_way(each)
            loose = 0.0 if isinstance(each.ask.loose, Missing) else each.ask.loose
            deep = float(np.ptp(each.common @ np.array(way))) + loose
            opens = (-way[0], -way[1], -way[2])
            found[each.b.part.id] = (*found.get(each.b.part.id, ()), (opens, deep))
    return found


def notch_gap(held: Held, bench: Bench) -> Sized:
    """The room round what a part is notched around: as much as it moves there, and a hair."""
    if not isinstance(held.ask.gap, Missing):
        return rules.asked(held.ask.gap, "gap")
    assert held.common is not None
    middle, way = np.mean(held.a.solid.bounds, axis=0), moves_along(held.a, thin_way(held.a))
    reach = 0.0 if way is None else float(np.abs((held.common - middle) @ np.array(way)).max())
    found = swing(held.a, reach, bench.outdoors)
    return Sized(found.value + HAIR, replace(found.trace, why=f"{found.trace.why}, and 1/64 in"))


def thin_way(part: Standing) -> Vec3:
    """The way a part is thinnest."""
    return min(section_axes(part, part.grain), key=lambda axis: round(thick_across(part, axis), 6))


def notch_points(held: Held, bench: Bench) -> Array:
    """Corners of a notch: of the wood both were drawn with, and the room round it, within the part's plane (world)."""
    assert held.common is not None
    gap, thin = notch_gap(held, bench).value, thin_way(held.a)
    one, two = np.array(held.a.grain) * gap, np.array(cross(thin, held.a.grain)) * gap
    grown = np.vstack([held.common + s * one + t * two for s in (-1.0, 1.0) for t in (-1.0, 1.0)])
    frame = held.a.part.frame
    own = frame.many_to_local(held.a.solid.vertices)
    return frame.many_to_world(np.clip(frame.many_to_local(grown), own.min(axis=0), own.max(axis=0)))


def let_in_points(held: Held) -> Array:
    """Corners of the wood that the held part takes out of the other, with the room it has to move (world)."""
    assert held.common is not None
    return np.vstack([held.common + np.array(move) for move in _moves(held)])


def _body(part: Standing, move: Vec3) -> BodyCut:
    frame = part.part.frame
    moved = Frame(plus(frame.origin, move), frame.x, frame.y, frame.z)
    return BodyCut(shape=part.part.shape, frame=moved)


def _moves(held: Held) -> tuple[Vec3, ...]:
    """Where the held part's shape is cut out: a housing half its looseness to either side, across the grain; a groove
    as drawn, and as much further in as the panel is to be loose."""
    loose = 0.0 if isinstance(held.ask.loose, Missing) else held.ask.loose
    if loose <= 0.0 or held.statement.kind not in (JointKind.HOUSING, JointKind.GROOVE):
        return ((0.0, 0.0, 0.0),)
    if held.statement.kind is JointKind.GROOVE:
        way = into_way(held)
        return ((0.0, 0.0, 0.0), (way[0] * loose, way[1] * loose, way[2] * loose))
    wide = max(section_axes(held.a, held.a.grain), key=lambda axis: thick_across(held.a, axis))
    x, y, z = (value * loose / 2.0 for value in wide)
    return ((-x, -y, -z), (x, y, z))


def into_way(held: Held) -> Vec3:
    """The way a panel's edge goes into the part it is grooved in: square to that part's grain, in the panel."""
    assert held.common is not None
    middle = vec3((held.common.min(axis=0) + held.common.max(axis=0)) / 2.0)
    low, high = held.a.solid.bounds
    out = minus(middle, vec3((low + high) / 2.0))
    grain = held.b.grain
    out = plus(out, grain, -dot(out, grain))
    axes = (held.a.part.frame.x, held.a.part.frame.y, held.a.part.frame.z)
    best = max(axes, key=lambda axis: round(abs(dot(axis, out)), 6))
    return best if dot(best, out) > 0.0 else (-best[0], -best[1], -best[2])
