"""Parts held without a tenon: which pairs meet, and what is cut for a housing, a groove or a halving."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from batchwright.base.fault import Fault
from batchwright.base.trace import Missing
from batchwright.geometry.frame import Array, Frame, Vec3, cross, dot, minus, norm, plus, unit, vec3
from batchwright.joinery.cutting.cut import Cuts
from batchwright.joinery.meeting.gaps import nothing_met
from batchwright.joinery.meeting.sites import TOUCH, ask_at
from batchwright.joinery.meeting.standing import Standing, section_axes, thick_across
from batchwright.joinery.sizing.plan import Bench
from batchwright.joinery.words import Compass
from batchwright.model.draft import JointAsk, JointKind, JointStatement, PartId
from batchwright.model.piece import JointId
from batchwright.model.shape import BodyCut, Tool
from batchwright.solids import kernel
from batchwright.solids.meet import least_distance

CUT_IN = (JointKind.HOUSING, JointKind.GROOVE, JointKind.HALVING)
TOUCHES = (JointKind.REST, JointKind.SCREW, JointKind.BUTTON, JointKind.GLUE)
WORDS = {
    JointKind.HOUSING: "housed in",
    JointKind.GROOVE: "in a groove of",
    JointKind.HALVING: "halved with",
    JointKind.REST: "resting on",
    JointKind.SCREW: "screwed to",
    JointKind.BUTTON: "buttoned to",
    JointKind.GLUE: "glued to",
}
CROSSING = 0.2588190451025207
"""Parts of a halving cross at 15 degrees or more (sine)."""
Parts = Mapping[PartId, Standing]


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """One pair of parts held without a tenon. `common` holds the corners of the wood both were drawn with."""

    id: JointId
    statement: JointStatement
    ask: JointAsk
    a: Standing
    b: Standing
    common: Array | None


def find_held(statements: Sequence[JointStatement], parts: Parts, bench: Bench) -> tuple[tuple[Held, ...], list[Fault]]:
    """Every pair of every such statement, in order of name, and what meets nothing."""
    found: list[Held] = []
    faults: list[Fault] = []
    for statement in statements:
        if statement.kind not in (*CUT_IN, *TOUCHES):
            continue
        pairs = _pairs(statement, parts)
        if statement.kind is JointKind.HALVING:
            faults += [_not_crossing(held) for held in pairs if not _crosses(held)]
        found += [held for held in pairs if statement.kind is not JointKind.HALVING or _crosses(held)]
        faults += _unmet(statement, parts, pairs, bench.compass)
        faults += _not_expected(statement, len(pairs))
    return tuple(sorted(found, key=lambda held: held.id)), faults


def _crosses(held: Held) -> bool:
    way = cross(held.a.grain, held.b.grain)
    return norm(way) > CROSSING


def _not_crossing(held: Held) -> Fault:
    return Fault(
        code="halving-not-crossing",
        place=held.statement.place,
        what=f"{held.a.part.id} and {held.b.part.id} run the same way: they cannot be halved where they cross",
        why="each part of a halving keeps half of the wood both share at a crossing",
        mend="use `glue` or `screw`, or turn one of the two",
    )


def _pairs(statement: JointStatement, parts: Parts) -> list[Held]:
    found: list[Held] = []
    seen: set[frozenset[PartId]] = set()
    for a in (parts[name] for name in statement.of if name in parts):
        for b in (parts[name] for name in statement.into if name in parts and name != a.part.id):
            key = frozenset((a.part.id, b.part.id))
            if key in seen or (statement.at and b.part.id not in statement.at):
                continue
            common = _common(a, b)
            meets = common is not None if statement.kind in CUT_IN else _touch(a, b)
            if meets:
                seen.add(key)
                found.append(_held(statement, (a, b), common))
    return found


def _held(statement: JointStatement, pair: tuple[Standing, Standing], common: Array | None) -> Held:
    a, b = pair
    return Held(
        id=JointId(f"{a.part.id}, {WORDS[statement.kind]} {b.part.id}"),
        statement=statement,
        ask=ask_at(statement, a.part.id, b.part.id, ""),
        a=a,
        b=b,
        common=common,
    )


def _common(a: Standing, b: Standing) -> Array | None:
    """Corners of the wood that both were drawn with; None where there is less than a hair."""
    if not _boxes_meet(a, b):
        return None
    both = kernel.common(a.solid.body, b.solid.body)
    if kernel.nothing_left(both) or kernel.volume_of(both) < 0.02 * kernel.area_of(both) / 2.0:
        return None
    return kernel.mesh_of(both)[0]


def _boxes_meet(a: Standing, b: Standing) -> bool:
    (a_low, a_high), (b_low, b_high) = a.solid.bounds, b.solid.bounds
    return bool((a_low <= b_high + TOUCH).all() and (b_low <= a_high + TOUCH).all())


def _touch(a: Standing, b: Standing) -> bool:
    return _boxes_meet(a, b) and least_distance(a.solid, b.solid, 2.0 * TOUCH) <= TOUCH


def _unmet(statement: JointStatement, parts: Parts, pairs: Sequence[Held], compass: Compass) -> list[Fault]:
    """A fault for each copy of A that meets no copy of B (a glued row counts on either side)."""
    met = {held.a.part.id for held in pairs} | {held.b.part.id for held in pairs}
    faults = []
    for name in statement.of:
        if name in parts and name not in met:
            others = [parts[b] for b in statement.into if b in parts and b != name]
            faults.append(nothing_met(statement, parts[name], others, compass))
    return faults


def _not_expected(statement: JointStatement, count: int) -> list[Fault]:
    expect = statement.expect
    if isinstance(expect, Missing) or expect == count:
        return []
    return [
        Fault(
            code="expect-not-met",
            place=dict(statement.places).get("expect", statement.place),
            what=f"joint {statement.number} ({statement.words[0]}, {statement.words[1]}) finds {count} meetings;"
            f" it expects {expect}",
            why="the drawing and the statement do not agree",
            mend=f"draw the parts together where one is missing, or write `expect: {count}`",
        )
    ]


def held_cuts(held: Held, bench: Bench) -> list[tuple[PartId, Cuts]]:
    """What a pair's joint cuts, by part (world)."""
    kind = held.statement.kind
    if kind in (JointKind.HOUSING, JointKind.GROOVE):
        return [(held.b.part.id, Cuts(bodies=tuple(_body(held.a, move) for move in _moves(held))))]
    if kind is JointKind.HALVING:
        return _halving(held, bench)
    return []


def let_in_points(held: Held) -> Array:
    """Corners of the wood that the held part takes out of the other, with the room it has to move (world)."""
    assert held.common is not None
    return np.vstack([held.common + np.array(move) for move in _moves(held)])


def notch_of(held: Held, tool: Tool) -> tuple[Array, Vec3]:
    """Corners of a halving's notch, and the way it opens (world)."""
    assert held.common is not None
    local, half = tool.frame.many_to_local(held.common), tool.thickness / 2.0
    up = bool(local[:, 1].min() < -half - 1e-6)
    local[:, 1] = np.clip(local[:, 1], -half, half)
    way = tool.frame.y
    return tool.frame.many_to_world(local), way if up else (-way[0], -way[1], -way[2])


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
        way = _into(held)
        return ((0.0, 0.0, 0.0), (way[0] * loose, way[1] * loose, way[2] * loose))
    wide = max(section_axes(held.a, held.a.grain), key=lambda axis: thick_across(held.a, axis))
    x, y, z = (value * loose / 2.0 for value in wide)
    return ((-x, -y, -z), (x, y, z))


def _into(held: Held) -> Vec3:
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


def _halving(held: Held, bench: Bench) -> list[tuple[PartId, Cuts]]:
    """Each part loses half of the wood they share: the one named `on top` keeps the upper (or front) half."""
    assert held.common is not None
    normal = _up_or_front(unit(cross(held.a.grain, held.b.grain)))
    on_top = held.ask.on_top
    a_keeps_top = on_top in (held.a.part.id, held.a.part.name) or not on_top
    level = held.common @ np.array(normal)
    half = (float(level.min()) + float(level.max())) / 2.0
    cuts = []
    for part, other, keeps_top in ((held.a, held.b, a_keeps_top), (held.b, held.a, not a_keeps_top)):
        tool = _half_bar(held.common, (other, normal), half, below=keeps_top)
        cuts.append((part.part.id, Cuts(cuts=(tool,))))
    return cuts


def _up_or_front(way: Vec3) -> Vec3:
    looks = way[2] if abs(way[2]) > 0.3 else (-way[1] if abs(way[1]) > 0.3 else way[0])
    return way if looks > 0.0 else (-way[0], -way[1], -way[2])


def _half_bar(common: Array, bar: tuple[Standing, Vec3], half: float, below: bool) -> Tool:
    """The other part's bar through the shared wood, on one side of the level at half."""
    other, normal = bar
    z = other.grain
    x = unit(cross(normal, z))
    n = cross(z, x)
    along, wide, deep = (common @ np.array(axis) for axis in (z, x, n))
    level = half * dot(n, normal)
    low, high = float(deep.min()), float(deep.max())
    low, high = (low - 1.0, level) if below == (dot(n, normal) > 0.0) else (level, high + 1.0)
    middle = ((wide.min() + wide.max()) / 2.0, (low + high) / 2.0, (along.min() + along.max()) / 2.0)
    origin = vec3(middle[0] * np.array(x) + middle[1] * np.array(n) + middle[2] * np.array(z))
    reach = float(np.ptp(along)) / 2.0 + 1.0
    return Tool(
        frame=Frame(origin, x, n, z),
        width=float(np.ptp(wide)),
        thickness=high - low,
        start=-reach,
        end=reach,
    )
