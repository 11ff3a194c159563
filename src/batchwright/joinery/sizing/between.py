"""The tenon kept between the walls of its mortise (JR15): moved off a thin one, or made thinner by rule."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from batchwright.base.trace import By
from batchwright.geometry.frame import Vec2
from batchwright.joinery.measuring.wall_mends import asked_sides
from batchwright.joinery.meeting.probe import exits
from batchwright.joinery.meeting.sites import is_set_in
from batchwright.joinery.sizing import rules
from batchwright.joinery.sizing.across import size_across
from batchwright.joinery.sizing.along import size_along
from batchwright.joinery.sizing.plan import Bench, Plan, open_faces
from batchwright.model.draft import JointKind

EQUAL = 0.02
"""Walls short by less than this are as the rule asks [mm]."""
COVER = 1.5
"""A tenon is moved only so far that this shoulder is left beside it [mm]."""
THIN = 6.0
"""No rule makes a tenon thinner than a third of its stock or this, whichever is less [mm]."""


def sized(plan: Plan, bench: Bench) -> Plan:
    """A joint sized across and along, its tenon between the thinnest points of its mortise's walls."""
    seat = plan.seat
    plan = size_along(size_across(plan, bench), bench)
    asked = asked_sides(plan, bench) & {"+y", "-y"}
    if asked or not plan.bars or plan.depth <= 0.0 or plan.site.statement.kind is JointKind.DOWEL:
        return plan
    wall = rules.side_wall(bench.shop, bench.outdoors).value
    free = _between(plan, wall)
    whole = _whole(plan)
    if free is None or (_low(plan) >= free[0] - EQUAL and _low(plan) + whole <= free[1] + EQUAL):
        return plan
    thick = plan.sized("thickness")
    room = min(free[1], seat.high[1] - COVER) - max(free[0], seat.low[1] + COVER)
    if whole > room + EQUAL and thick is not None and thick.trace.by is By.RULE and len(plan.bars) == 1:
        ceiling = max(room, min(seat.stock / 3.0, THIN))
        if ceiling < thick.value - EQUAL:
            plan = size_along(size_across(Plan(seat=seat), bench, ceiling), bench)
            free = _between(plan, wall) or free
    return _moved(plan, free, bench)


def _low(plan: Plan) -> float:
    return plan.low[1] - plan.size("cheek clearance") / 2.0


def _whole(plan: Plan) -> float:
    """From the outer cheek of the first mortise to that of the last [mm]."""
    return plan.high[1] - plan.low[1] + plan.size("cheek clearance")


def _between(plan: Plan, wall: float) -> Vec2 | None:
    """The span of the joint's y that leaves the walls all along the mortise; None where there is no telling."""
    end = plan.size("end clearance") / 2.0
    y = min(max((plan.low[1] + plan.high[1]) / 2.0, plan.seat.room_low[1]), plan.seat.room_high[1])
    deep = plan.depth if plan.passes_through else min(plan.size("depth"), plan.depth)
    shallow = 1.0 + (0.0 if is_set_in(plan.site) else plan.site.contact.hollow)
    if deep <= shallow:
        return None
    xs = np.linspace(plan.low[0] - end, plan.high[0] + end, 3).tolist()
    zs = np.linspace(shallow, deep - 0.05, 4).tolist()
    points = plan.frame.many_to_world(np.array([(x, y, z) for x in xs for z in zs]))
    besides = open_faces(plan)
    reach = []
    ways = np.repeat([plan.seat.side("-y"), plan.seat.side("+y")], len(points), axis=0)
    for woods in exits(plan.site.b.solid, np.concatenate([points, points]), ways, besides).reshape(2, -1):
        inside = woods[(woods > 0.0) & np.isfinite(woods)]
        reach.append(float(inside.min()) if len(inside) else math.inf)
    return (y - reach[0] + wall, y + reach[1] - wall)


def _moved(plan: Plan, free: Vec2, bench: Bench) -> Plan:
    """The tenons moved across: as little as the walls ask, between them where there is no room, kept in their part."""
    low, whole = _low(plan), _whole(plan)
    if free[1] - free[0] >= whole - EQUAL:
        to = min(max(low, free[0]), free[1] - whole)
    else:
        to = (free[0] + free[1] - whole) / 2.0
    to = min(max(to, plan.seat.low[1] + COVER), plan.seat.high[1] - COVER - whole)
    way = to - low
    if not math.isfinite(way) or abs(way) <= EQUAL:
        return plan
    bars = tuple(replace(bar, centre=(bar.centre[0], bar.centre[1] + way)) for bar in plan.bars)
    plan = replace(plan, bars=bars)
    side = "-y" if way > 0.0 else "+y"
    edge = plan.low[1] if side == "-y" else -plan.high[1]
    word = bench.compass.word_of(plan.seat.side(side))
    sized_by = rules.ruled(plan.seat.edge(side) + edge, "JR15", "moved off the thinnest point of the wall on that side")
    return plan.decide(f"shoulder {word}", sized_by)
