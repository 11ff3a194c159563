"""Pass (e), in one joint: wood beside and beyond each mortise, to the end of the part, and tenons that break out."""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np

from batchwright.base.finding import Finding, Grade
from batchwright.base.trace import By
from batchwright.geometry.frame import Array, Plane, Vec3, dot
from batchwright.handbook.joint_rules import joint_rule
from batchwright.joinery.measuring.wall_mends import NEAR, Wall, mend_of, off_middle
from batchwright.joinery.meeting.probe import exits
from batchwright.joinery.meeting.seat import SIDES
from batchwright.joinery.meeting.sites import is_set_in
from batchwright.joinery.meeting.standing import Standing, line_at
from batchwright.joinery.sizing import rules
from batchwright.joinery.sizing.plan import Bench, Plan, open_faces
from batchwright.joinery.words import BENCH, HAIR, cite, say, say_against
from batchwright.model.draft import JointKind
from batchwright.model.piece import Measure, Mortise
from batchwright.model.shape import Tool
from batchwright.solids import kernel
from batchwright.solids.bodies import bar_body
from batchwright.solids.solid import FaceBook

PAST = 3.0
"""A tenon is looked at for breaking out from this far past its shoulder [mm]."""
EQUAL = 0.05
"""A wall this near to its limit is as the rule asks [mm]."""
MOUTH = 1.0
"""Walls beside a mortise are measured from this far below its mouth [mm]."""
OUT = 0.1
"""A tenon whose waste outside, spread over its cheek, is thinner than this does not break out [mm]."""


def measure_walls(plan: Plan, bench: Bench) -> tuple[tuple[Measure, ...], tuple[Finding, ...]]:
    """Least wood round the joint's mortises in the shaped part, and what is too little."""
    walls: list[Wall] = []
    for _, mortise in plan.made:
        walls += _beside(plan, mortise, bench)
        beyond = None if mortise.through else _beyond(plan, mortise)
        walls += [beyond] if beyond is not None else []
        walls += _in_own_part(plan, mortise, bench) if plan.site.statement.kind is JointKind.LOOSE_TENON else []
    least: dict[str, Wall] = {}
    for wall in walls:
        if wall.name not in least or wall.value < least[wall.name].value:
            least[wall.name] = wall
    measures = tuple(
        Measure(name=w.name, value=w.value, limit=w.limit, source=f"{w.rule}: {cite(w.rule)}") for w in least.values()
    )
    findings = [_thin(plan, wall, least, bench) for wall in least.values() if _worth_a_word(plan, wall)]
    out = _break_out(plan, plan.site.b, least)
    if plan.site.statement.kind is not JointKind.TENON:
        out += _break_out(plan, plan.site.a, {}, own=True)
    return measures, tuple(findings + out)


def _worth_a_word(plan: Plan, wall: Wall) -> bool:
    """Under its limit, by as much as a bench can tell; or a little over it, where the maker gave the size that decides
    it. The bottom under a tenon that is short as it is has its word there."""
    if wall.value <= wall.limit + EQUAL:
        return wall.value < wall.limit - BENCH
    short = wall.rule == "JR16" and plan.size("length") < rules.least_length(plan.size("thickness"))
    return wall.value <= wall.limit * NEAR and _by_maker(plan, wall) and not short


def _by_maker(plan: Plan, wall: Wall) -> bool:
    """Whether a size the maker gave decides the wall: the length of a bottom's, the width of an end's, the thickness
    of a side's, or the shoulder on that side."""
    deciding = {"": "length", "x": "width", "y": "thickness"}[wall.side[1:]]
    names = (deciding, f"shoulder {wall.word}")
    return any(sized.trace.by is By.MAKER for name in names if (sized := plan.sized(name)) is not None)


def _beside(plan: Plan, mortise: Mortise, bench: Bench) -> list[Wall]:
    """Wood from each side of a mortise outwards, at its mouth, middle and bottom; to the end along the grain."""
    found = []
    depth = plan.depth if mortise.through else mortise.depth
    points = [_side_points(plan, mortise, side, depth) for side in SIDES]
    along = line_at(plan.site.b, plan.frame.origin, 1)
    ways = [_outwards(plan, side, along) for side in SIDES]
    each = np.concatenate([np.repeat([way], len(own), axis=0) for own, way in zip(points, ways)])
    woods = exits(plan.site.b.solid, np.concatenate(points), each, open_faces(plan))
    first = 0
    for side, own in zip(SIDES, points):
        value = float(woods[first : first + len(own)].min(initial=math.inf))
        first += len(own)
        if not math.isfinite(value):
            continue
        value, word = max(0.0, value - HAIR), bench.compass.word_of(plan.seat.side(side))
        if _to_end(plan, side):
            found.append(Wall(f"wood to the end, {word}", value, rules.relish().value, "JR17", side, word))
        else:
            limit = rules.side_wall(bench.shop, bench.outdoors).value
            found.append(Wall(f"wall, {word}", value, limit, "JR15", side, word))
    return found


def _in_own_part(plan: Plan, mortise: Mortise, bench: Bench) -> list[Wall]:
    """Wood beside the mortise that a loose tenon has in the end of its own part."""
    found = []
    limit = rules.side_wall(bench.shop, bench.outdoors).value
    for side in SIDES:
        points = _own_points(plan, mortise, side)
        way = plan.seat.side(side)
        woods = exits(plan.site.a.solid, points, np.repeat([way], len(points), axis=0))
        value = float(woods.min(initial=math.inf))
        if math.isfinite(value):
            word = bench.compass.word_of(way)
            name = f"wall in {plan.site.a.part.id}, {word}"
            found.append(Wall(name, max(0.0, value - HAIR), limit, "JR15", side, word, own=True))
    return found


def _own_points(plan: Plan, mortise: Mortise, side: str) -> Array:
    """Points on a side of that mortise, a hair inside it: 3 along by 4 deep, shape (12, 3), world."""
    half = (mortise.length / 2.0 - HAIR, mortise.width / 2.0 - HAIR)
    sign = 1.0 if side[0] == "+" else -1.0
    points = []
    for r in (-1.0, 0.0, 1.0):
        x = mortise.centre[0] + (sign * half[0] if side[1] == "x" else r * half[0])
        y = mortise.centre[1] + (sign * half[1] if side[1] == "y" else r * half[1])
        mouth = _mouth_at(plan, x, y) - MOUTH
        points += [(x, y, mouth - i * (mouth + mortise.depth - 0.05) / 3.0) for i in range(4)]
    return plan.frame.many_to_world(np.array(points))


def _to_end(plan: Plan, side: str) -> bool:
    """Whether the wood on a side is that to the part's end, along its grain."""
    return side[1] == "x" and plan.seat.twist < math.radians(30.0)


def _outwards(plan: Plan, side: str, along: Vec3) -> Vec3:
    """The way the wood beside a mortise is measured: square to its side; to the part's end along the part."""
    way = plan.seat.side(side)
    if not _to_end(plan, side):
        return way
    return along if dot(way, plan.site.b.grain) > 0.0 else (-along[0], -along[1], -along[2])


def _side_points(plan: Plan, mortise: Mortise, side: str, depth: float) -> Array:
    """Points on a side of a mortise, a hair inside it: 3 along by 4 deep, shape (12, 3), world."""
    half = (mortise.length / 2.0 - HAIR, mortise.width / 2.0 - HAIR)
    sign = 1.0 if side[0] == "+" else -1.0
    hollow = MOUTH + (0.0 if is_set_in(plan.site) else plan.site.contact.hollow)
    points = []
    for r in (-1.0, 0.0, 1.0):
        x = mortise.centre[0] + (sign * half[0] if side[1] == "x" else r * half[0])
        y = mortise.centre[1] + (sign * half[1] if side[1] == "y" else r * half[1])
        mouth = _mouth_at(plan, x, y) + hollow
        if mouth < depth - 0.1:
            step = (depth - 0.05 - mouth) / 3.0
            points += [_opened(mortise, side, (x, y, mouth + i * step)) for i in range(4)]
    return plan.frame.many_to_world(np.array(points).reshape(-1, 3))


def _opened(mortise: Mortise, side: str, point: Vec3) -> Vec3:
    """A point on a mortise's side, further out where the mortise is flared for wedges."""
    x, y, z = point
    if not mortise.flare or z <= mortise.flare_from or (side[1] == "y") is not mortise.wedged_across:
        return point
    out = mortise.flare * (z - mortise.flare_from) / (mortise.depth - mortise.flare_from)
    out = out if side[0] == "+" else -out
    return (x, y + out, z) if mortise.wedged_across else (x + out, y, z)


def _mouth_at(plan: Plan, x: float, y: float) -> float:
    """How deep the shoulder plane lies under a point of the joint's (x, y): a sloping mouth [mm]."""
    normal = plan.frame.turn_back(plan.site.contact.plane.normal)
    return -(normal[0] * x + normal[1] * y) / normal[2]


def _beyond(plan: Plan, mortise: Mortise) -> Wall | None:
    steps = (-0.495, 0.0, 0.495)
    places = [
        (mortise.centre[0] + u * mortise.length, mortise.centre[1] + v * mortise.width) for u in steps for v in steps
    ]
    bottom = mortise.depth - 0.01
    points = [(x, y, bottom) for x, y in places if _mouth_at(plan, x, y) < bottom - MOUTH]
    if not points:
        return None
    woods = exits(plan.site.b.solid, plan.frame.many_to_world(np.array(points)), plan.frame.z)
    return Wall("wall beyond", max(0.0, float(woods.min()) - 0.01), rules.bottom_wall().value, "JR16")


def _thin(plan: Plan, wall: Wall, walls: Mapping[str, Wall], bench: Bench) -> Finding:
    into, broken = (plan.site.a if wall.own else plan.site.b).part.id, wall.value <= 0.02
    codes = {"JR17": "near-the-end", "JR16": "thin-bottom", "JR15": "thin-wall"}
    told = "breaks out" if broken else _left(wall, bench)
    where = wall.name if wall.own else f"{wall.name} in {into}"
    off = off_middle(plan, wall, walls, bench)
    return Finding(
        code="mortise-breaks-out" if broken else codes[wall.rule],
        grade=Grade.FAILS if wall.value < wall.limit else Grade.NEAR,
        what=f"the mortise of {plan.id} {told} ({where}){off}",
        why=joint_rule(wall.rule).rule,
        mend=mend_of(plan, wall, walls, bench),
        source=cite(wall.rule),
        about=(plan.id, into),
        utilisation=wall.limit / max(wall.value, 0.01),
        place=plan.site.statement.place,
    )


def _left(wall: Wall, bench: Bench) -> str:
    """What is left, against the least: too little of it, or so much more and no more."""
    value, limit = say_against(wall.value, wall.limit, bench.units)
    if wall.value < wall.limit:
        return f"leaves {value}, where the rule asks {limit} or more"
    more = wall.value - wall.limit
    if more < BENCH:
        return f"leaves hardly more than {limit}, the least by the rule"
    return f"leaves {value}, only {say(more, bench.units)} more than the least by the rule"


def _break_out(plan: Plan, part: Standing, walls: dict[str, Wall], own: bool = False) -> list[Finding]:
    """The tenon from 3 mm past its shoulder, square to it, less the part's shape."""
    if walls and all(wall.value > 0.05 for wall in walls.values()):
        return []
    sign = -1.0 if own else 1.0
    normal = plan.frame.turn_back(plan.site.contact.plane.normal)
    way = (-sign * normal[0], -sign * normal[1], -sign * normal[2])
    found = []
    for tenon, mortise in plan.made:
        end = min(tenon.length, plan.depth - PAST) if mortise.through else tenon.length
        near = (-PAST * way[0] - tenon.centre[0], -PAST * way[1] - tenon.centre[1], -PAST * way[2])
        span = (-end, end) if own else (-tenon.width, end)
        tool = Tool(
            frame=plan.frame,
            width=tenon.width,
            thickness=tenon.thickness,
            start=min(span) if own else span[0],
            end=tenon.width if own else span[1],
            planes=(Plane(near, way),),
        )
        volume, outside = _outside(plan, tool, tenon.centre, part)
        if outside > OUT * tenon.width * max(end - PAST, 1.0):
            found.append(_breaks(plan, part, outside / volume, sign))
    return found


def _outside(plan: Plan, tool: Tool, centre: tuple[float, float], part: Standing) -> tuple[float, float]:
    """Volume of a bar, and how much of it lies outside a part [mm^3]."""
    try:
        body = kernel.moved(bar_body(tool, 0.05, FaceBook(), "tenon"), _shift(plan, centre))
    except ValueError:
        return 1.0, 0.0
    left = kernel.subtracted(body, [part.solid.body])
    return kernel.volume_of(body), 0.0 if kernel.nothing_left(left) else kernel.volume_of(left)


def _shift(plan: Plan, centre: tuple[float, float]) -> Array:
    way: Vec3 = plan.frame.turn((centre[0], centre[1], 0.0))
    return np.column_stack([np.eye(3), way])


def _breaks(plan: Plan, part: Standing, share: float, sign: float) -> Finding:
    where = "its own part" if sign < 0 else part.part.id
    return Finding(
        code="tenon-breaks-out",
        grade=Grade.FAILS,
        what=f"{100.0 * share:.0f} % of the tenon of {plan.id} comes out of {where}",
        why="looked at from 3 mm past its shoulder, on the shaped part",
        mend="a shorter or thinner tenon, a shoulder on that side, or `angle in: mortise` where it slopes",
        about=(plan.id, part.part.id),
        place=plan.site.statement.place,
    )
