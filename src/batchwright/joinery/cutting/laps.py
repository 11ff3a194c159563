"""Laps: two parts that cross, or lap at their ends, each cut half away of the wood both were drawn with."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from batchwright.base.fault import Fault
from batchwright.geometry.frame import Array, Frame, Vec3, cross, dot, norm, unit, vec3
from batchwright.joinery.cutting.cut import Cuts
from batchwright.joinery.cutting.fixed import Held
from batchwright.joinery.meeting.probe import exits
from batchwright.joinery.meeting.standing import Standing
from batchwright.joinery.offering import instead
from batchwright.joinery.sizing.plan import Bench, place_of
from batchwright.joinery.words import say
from batchwright.model.draft import JointKind, PartId
from batchwright.model.shape import Tool

CROSSING = 0.2588190451025207
"""Parts of a halving cross at 15 degrees or more (sine)."""
OPEN = 1.0
"""How far a tool runs out of the wood [mm]."""
ENCLOSED = 0.5
"""Wood over a notch thinner than this is none [mm]."""


def crosses(held: Held) -> bool:
    way = cross(held.a.grain, held.b.grain)
    return norm(way) > CROSSING


def _not_crossing(held: Held) -> Fault:
    return Fault(
        code="halving-not-crossing",
        place=held.statement.place,
        what=f"{held.a.part.id} and {held.b.part.id} run the same way: they cannot be halved where they cross",
        why="each part of a halving keeps half of the wood both share at a crossing",
        mend="use `glue` or `screw`, or turn one of the two",
        mends=(instead(held.statement, JointKind.GLUE), instead(held.statement, JointKind.SCREW)),
    )


def halving_cuts(held: Held) -> list[tuple[PartId, Cuts]]:
    """Each part loses half of the wood they share: the one named `on top` keeps the upper (or front) half."""
    assert held.common is not None
    normal, half = lap_way(held), _half(held)
    cuts = []
    for part, other, keeps_top in _both(held):
        tool = _half_bar(held.common, (part, other, normal), half, below=keeps_top)
        cuts.append((part.part.id, Cuts(cuts=(tool,))))
    return cuts


def _both(held: Held) -> tuple[tuple[Standing, Standing, bool], ...]:
    """Each part with the other, and whether it keeps its upper half."""
    on_top = held.ask.on_top
    a_keeps_top = on_top in (held.a.part.id, held.a.part.name) or not on_top
    return ((held.a, held.b, a_keeps_top), (held.b, held.a, not a_keeps_top))


def _half(held: Held) -> float:
    assert held.common is not None
    level = held.common @ np.array(lap_way(held))
    return (float(level.min()) + float(level.max())) / 2.0


def sound_laps(held: Sequence[Held], bench: Bench) -> tuple[tuple[Held, ...], list[Fault]]:
    """The pairs whose laps can be cut, with all that are no laps, and the faults of the others."""
    wrong = {each.id: found for each in held if (found := _lap_faults(each, bench))}
    return tuple(each for each in held if each.id not in wrong), [fault for found in wrong.values() for fault in found]


def _lap_faults(held: Held, bench: Bench) -> list[Fault]:
    """What keeps two parts from being halved: they do not cross, or a notch would be closed in by wood."""
    if held.statement.kind is not JointKind.HALVING:
        return []
    if not crosses(held):
        return [_not_crossing(held)]
    assert held.common is not None
    normal, half = np.array(lap_way(held)), _half(held)
    level = held.common @ normal
    middle = (held.common.min(axis=0) + held.common.max(axis=0)) / 2.0
    found = []
    for part, _, keeps_top in _both(held):
        way, edge = (-normal, float(level.min())) if keeps_top else (normal, float(level.max()))
        start = middle + (half - float(middle @ normal)) * normal
        wood = float(exits(part.solid, start[None], vec3(way))[0])
        if wood > abs(edge - half) + ENCLOSED:
            found.append(_closed_in(held, (part, wood - abs(edge - half)), bench))
    return found[:1]


def _closed_in(held: Held, found: tuple[Standing, float], bench: Bench) -> Fault:
    part, over = found
    other = held.b if part is held.a else held.a
    return Fault(
        code="lap-closed-in",
        place=place_of(held.statement, "on top"),
        what=f"the notch of {part.part.id} for {other.part.id} would have {say(over, bench.units)} of wood over it",
        why="the two halves could not be put together",
        mend=f"write `on top: {other.part.name}`, or draw both to one face",
    )


def notch_of(held: Held, tool: Tool) -> tuple[Array, Vec3]:
    """Corners of a halving's notch, and the way it opens (world)."""
    assert held.common is not None
    local, half = tool.frame.many_to_local(held.common), tool.thickness / 2.0
    up = bool(local[:, 1].min() < -half - 1e-6)
    local[:, 1] = np.clip(local[:, 1], -half, half)
    way = tool.frame.y
    return tool.frame.many_to_world(local), way if up else (-way[0], -way[1], -way[2])


def lap_way(held: Held) -> Vec3:
    """Square to both parts of a halving: up, or to the front."""
    return _up_or_front(unit(cross(held.a.grain, held.b.grain)))


def _up_or_front(way: Vec3) -> Vec3:
    looks = way[2] if abs(way[2]) > 0.3 else (-way[1] if abs(way[1]) > 0.3 else way[0])
    return way if looks > 0.0 else (-way[0], -way[1], -way[2])


def _half_bar(common: Array, bar: tuple[Standing, Standing, Vec3], half: float, below: bool) -> Tool:
    """The other part's bar through the shared wood, on one side of the level at half. Where that part ends within this
    one the bar ends with it; elsewhere it runs out of the wood."""
    part, other, normal = bar
    z = other.grain
    x = unit(cross(normal, z))
    n = cross(z, x)
    along, wide, deep = (common @ np.array(axis) for axis in (z, x, n))
    level = half * dot(n, normal)
    low, high = float(deep.min()), float(deep.max())
    low, high = (low - OPEN, level) if below == (dot(n, normal) > 0.0) else (level, high + OPEN)
    middle = ((wide.min() + wide.max()) / 2.0, (low + high) / 2.0, (along.min() + along.max()) / 2.0)
    origin = vec3(middle[0] * np.array(x) + middle[1] * np.array(n) + middle[2] * np.array(z))
    reach, own = float(np.ptp(along)) / 2.0, part.solid.extent(z)
    ends = (float(along.min()) - own[0] > 0.05, own[1] - float(along.max()) > 0.05)
    return Tool(
        frame=Frame(origin, x, n, z),
        width=float(np.ptp(wide)),
        thickness=high - low,
        start=-reach - (0.0 if ends[0] else OPEN),
        end=reach + (0.0 if ends[1] else OPEN),
    )
