"""Tenons that meet in one part: mitred, or one goes first and the others stop at its cheek; each with a trace."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from batchwright.base.fault import Fault
from batchwright.base.mend import Change, Mend
from batchwright.base.trace import By, Missing, Sized, Trace
from batchwright.geometry.frame import Plane, Vec3, cross, dot, minus, norm, plus, unit
from batchwright.joinery.measuring.boxes import SpaceBox, apart_by, near_face_distance
from batchwright.joinery.sizing import rules
from batchwright.joinery.sizing.along import set_length
from batchwright.joinery.sizing.plan import Bar, Bench, Plan
from batchwright.joinery.words import cite
from batchwright.model.draft import Meeting, PartId
from batchwright.model.piece import JointId

SAME_WAY = 0.5
"""Two tenons whose directions agree more than this (cosine) lie beside one another: no mitre parts them."""
SHORTEST = 6.0
"""A tenon is not shortened below this [mm]; what still overlaps then is a fault."""

Plans = dict[JointId, Plan]


@dataclass(frozen=True, slots=True)
class _Pair:
    """Two joints of one part, what the maker says of their meeting, and the gap to leave."""

    one: JointId
    two: JointId
    meeting: Meeting | None
    gap: Sized


def make_room(plans: Sequence[Plan], meetings: Sequence[Meeting], bench: Bench) -> tuple[tuple[Plan, ...], list[Fault]]:
    """Every pair of tenons of one part given room for one another, in order of name."""
    current: Plans = {plan.id: plan for plan in plans}
    used: set[int] = set()
    reaches = {plan.id: reach_of(plan) for plan in plans}
    for one, two in _pairs_in_one_part(plans):
        number, meeting = _declared(current[one], current[two], meetings)
        pair = _Pair(one, two, meeting, _gap(meeting, bench))
        if number is not None:
            used.add(number)
        if not far_apart(reaches[one], reaches[two], pair.gap.value):
            _settle(current, pair)
    faults = [_meets_nowhere(meeting) for i, meeting in enumerate(meetings) if i not in used]
    return tuple(current[plan.id] for plan in plans), faults


def _pairs_in_one_part(plans: Sequence[Plan]) -> list[tuple[JointId, JointId]]:
    by_part: dict[PartId, list[Plan]] = {}
    for plan in sorted(plans, key=lambda each: each.id):
        by_part.setdefault(plan.site.b.part.id, []).append(plan)
    return [
        (one.id, two.id)
        for part in sorted(by_part)
        for i, one in enumerate(by_part[part])
        for two in by_part[part][i + 1 :]
    ]


def _declared(one: Plan, two: Plan, meetings: Sequence[Meeting]) -> tuple[int | None, Meeting | None]:
    for number, meeting in enumerate(meetings):
        if one.site.b.part.id in meeting.into and _named(one, meeting) and _named(two, meeting):
            return number, meeting
    return None, None


def _named(plan: Plan, meeting: Meeting) -> bool:
    part = plan.site.a.part
    return part.name in meeting.of or part.id in meeting.of


def _gap(meeting: Meeting | None, bench: Bench) -> Sized:
    if meeting is not None and not isinstance(meeting.gap, Missing):
        return rules.asked(meeting.gap, "gap")
    return bench.shop.fits.mitre_gap


def _settle(current: Plans, pair: _Pair) -> None:
    """Give one pair room, if they come near one another."""
    one, two = current[pair.one], current[pair.two]
    mitred = pair.meeting is not None and pair.meeting.by == "mitre"
    if not one.bars or not two.bars or not _near(_grown(one, mitred), _grown(two, mitred), pair.gap.value):
        return
    current[one.id] = replace(one, meets=(*one.meets, two.id))
    current[two.id] = replace(two, meets=(*two.meets, one.id))
    if pair.meeting is not None and not mitred:
        _one_first(current, pair, pair.meeting.by)
    elif pair.meeting is not None:
        _mitre(current, pair)
    else:
        _by_rule(current, pair)


def _by_rule(current: Plans, pair: _Pair) -> None:
    """No word of the maker's: a length he gave, or a through tenon, goes first; else both are mitred (JR10)."""
    one, two = current[pair.one], current[pair.two]
    if dot(one.frame.z, two.frame.z) > SAME_WAY:
        return
    fixed = [plan for plan in (one, two) if _is_fixed(plan)]
    if len(fixed) == 1:
        _shorten(current, pair, fixed[0].id)
    else:
        _mitre(current, pair)


def _is_fixed(plan: Plan) -> bool:
    return plan.passes_through or not isinstance(plan.site.ask.length, Missing)


def _grown(plan: Plan, full: bool) -> Plan:
    """The plan with its tenon as long as the part allows: what a mitre may use."""
    if not full or plan.passes_through or not isinstance(plan.site.ask.length, Missing):
        return plan
    longest = _longest(plan)
    return set_length(plan, replace(rules.bottom_wall(), value=longest)) if longest > plan.size("length") else plan


def _longest(plan: Plan) -> float:
    """The longest blind tenon: clearance and wall left beyond it [mm]."""
    return plan.depth - plan.size("depth clearance") - rules.bottom_wall().value


def bar_box(plan: Plan, bar: Bar, length: float | None = None) -> SpaceBox:
    """A tenon's bar in space, from its shoulder to its end."""
    long = plan.size("length") if length is None else length
    middle = plan.frame.to_world((*bar.centre, long / 2.0))
    return SpaceBox(frame=plan.frame, middle=middle, half=(bar.width / 2.0, bar.thickness / 2.0, long / 2.0))


def _near(one: Plan, two: Plan, gap: float) -> bool:
    least = gap - 1e-9
    return any(apart_by(bar_box(one, a), bar_box(two, b), least) < least for a in one.bars for b in two.bars)


Reach = tuple[Vec3, float]
"""A point, and how far from it the tenons of a joint can come [mm]."""


def reach_of(plan: Plan) -> Reach:
    """How far a joint's tenons can come from the middle of its shoulder, as long as its room may make them [mm]."""
    across = max((math.hypot(*bar.centre) + (bar.width + bar.thickness) / 2.0 for bar in plan.bars), default=0.0)
    return plan.frame.origin, across + max(plan.depth, plan.size("length")) + plan.size("proud")


def far_apart(one: Reach, two: Reach, gap: float) -> bool:
    """Whether the tenons of two joints cannot come within a gap of one another."""
    return math.dist(one[0], two[0]) >= one[1] + two[1] + gap


def _one_first(current: Plans, pair: _Pair, name: str) -> None:
    first = [
        plan.id
        for plan in (current[pair.one], current[pair.two])
        if name in (plan.site.a.part.name, plan.site.a.part.id)
    ]
    if len(first) == 1:
        _shorten(current, pair, first[0])
    else:
        _mitre(current, pair)


def _shorten(current: Plans, pair: _Pair, first: JointId) -> None:
    """The other stops at the near cheek of the first, less the gap."""
    other = current[pair.two if first == pair.one else pair.one]
    keeps = current[first]
    way = other.frame.z
    reached = []
    for bar in other.bars:
        for corner in _root_corners(other, bar):
            for box in (bar_box(keeps, each) for each in keeps.bars):
                reached.append(near_face_distance(corner, way, box))
    length = max(SHORTEST, min(reached) - pair.gap.value)
    if length >= other.size("length"):
        return
    why = f"stops at the near cheek of {keeps.site.a.part.id}, {pair.gap.value:.1f} mm short of it"
    current[other.id] = set_length(other, Sized(length, _trace(pair, why)))


def _trace(pair: _Pair, why: str) -> Trace:
    if pair.meeting is not None:
        return Trace(by=By.MAKER, rule=f"meeting in, by {pair.meeting.by}", why=why)
    return Trace(by=By.RULE, rule="JR10", why=why, source=cite("JR10"))


def _root_corners(plan: Plan, bar: Bar) -> list[Vec3]:
    a, b, (x, y) = bar.width / 2.0, bar.thickness / 2.0, bar.centre
    return [plan.frame.to_world((x + sx * a, y + sy * b, 0.0)) for sx in (-1, 1) for sy in (-1, 1)]


def _mitre(current: Plans, pair: _Pair) -> None:
    """Both cut on the plane halfway between their directions, through the point where they cross, less half the gap."""
    one, two = current[pair.one], current[pair.two]
    across = minus(one.frame.z, two.frame.z)
    if norm(across) < 1e-6:
        return
    normal = unit(across)
    point = _crossing(one, two)
    half = pair.gap.value / 2.0
    current[one.id] = _cut_tip(one, Plane(plus(point, normal, -half), normal), (two, pair))
    back = (-normal[0], -normal[1], -normal[2])
    current[two.id] = _cut_tip(two, Plane(plus(point, normal, half), back), (one, pair))


def _cut_tip(plan: Plan, plane: Plane, other: tuple[Plan, _Pair]) -> Plan:
    """The tip cut by a plane; the tenon as long as its long point, where wall and maker allow."""
    against, pair = other
    reached = [_until(corner, plan.frame.z, plane) for bar in plan.bars for corner in _root_corners(plan, bar)]
    longest, shortest = max(reached), min(reached)
    limit = longest if plan.passes_through else min(longest, _longest(plan))
    length = plan.size("length")
    asked = not isinstance(plan.site.ask.length, Missing) or plan.passes_through
    already_cut = bool(plan.tips)
    wanted = min(length, longest) if asked or already_cut else limit
    if wanted <= shortest + 1e-9:
        return plan if wanted >= length - 1e-9 else set_length(plan, Sized(wanted, _trace(pair, "held by the wall")))
    why = (
        f"mitred against {against.site.a.part.id} with {pair.gap.value:.1f} mm between the tips:"
        f" {max(shortest, 0.0):.1f} mm at the short point, {longest:.1f} mm at the long"
    )
    left = Sized(wanted, _trace(pair, why))
    cut = set_length(plan, left) if not plan.passes_through else plan.decide("length", left)
    cut = cut.decide("tip gap", pair.gap)
    return replace(cut, tips=(*cut.tips, plan.frame.plane_to_local(plane)))


def _until(point: Vec3, way: Vec3, plane: Plane) -> float:
    return -plane.height(point) / dot(way, plane.normal)


def _crossing(one: Plan, two: Plan) -> Vec3:
    """The point halfway between the two tenons' middle lines where they pass nearest to one another."""
    a, b, u, v = one.middle(), two.middle(), one.frame.z, two.frame.z
    w = cross(u, v)
    if norm(w) < 1e-6:
        return plus(a, u, dot(minus(b, a), u) / 2.0)
    system = np.column_stack([u, [-x for x in v], w])
    s, t, _ = np.linalg.solve(system, np.array(minus(b, a))).tolist()
    first, second = plus(a, u, s), plus(b, v, t)
    return (
        (first[0] + second[0]) / 2.0,
        (first[1] + second[1]) / 2.0,
        (first[2] + second[2]) / 2.0,
    )


def _line_out(meeting: Meeting) -> tuple[Mend, ...]:
    if not meeting.number:
        return ()
    return (Mend(say="take the line out", changes=(Change(do="remove joint", joint=meeting.number - 1),)),)


def _meets_nowhere(meeting: Meeting) -> Fault:
    into, of = ", ".join(meeting.into), " and ".join(meeting.of)
    return Fault(
        code="meeting-finds-nothing",
        place=meeting.place,
        what=f"no tenons of {of} meet in {into}",
        why="a meeting needs two tenons in one and the same part, of the names it gives",
        mend="give both parts a tenon into it, or take the line out",
        mends=_line_out(meeting),
    )
