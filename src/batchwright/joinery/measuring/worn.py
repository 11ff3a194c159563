"""Surfaces shaped by hand, for the checks: all wood down to their depth counts as gone, as it may be anywhere there.

The solid of the part keeps it: how a scoop runs out is in the maker's hands.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from batchwright.base.fault import Fault
from batchwright.base.finding import Finding, Grade
from batchwright.geometry.frame import Frame, Vec3, vec3
from batchwright.geometry.outline import polygon_outline
from batchwright.joinery.marking.bench import Laid
from batchwright.joinery.marking.features import Bored, LetIn, face_towards
from batchwright.joinery.meeting.probe import exits
from batchwright.joinery.meeting.standing import Standing
from batchwright.joinery.sizing import rules
from batchwright.joinery.sizing.plan import Bench, Plan
from batchwright.joinery.words import cite, say
from batchwright.model.draft import HandShaped, PartId
from batchwright.model.piece import JointId, ShapedRegion
from batchwright.solids import kernel
from batchwright.solids.bodies import bar_body, placed_prism, ring_of
from batchwright.solids.kernel import Body
from batchwright.solids.solid import FaceBook, solid_from

REACH = 10.0
"""A region without limits goes this far beyond its part [mm]."""
TOUCHED = 1.0
"""A joint that shares less wood with a scoop does not meet it [mm^3]."""
GRID = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class Pocket:
    """One shaped surface of one part: the wood down to its depth, in the world; and its box there."""

    part: Standing
    shaped: HandShaped
    body: Body
    low: Vec3
    high: Vec3


def pockets_of(parts: Mapping[PartId, Standing]) -> tuple[tuple[Pocket, ...], list[Fault]]:
    """The shaped surfaces of all parts, and those that miss theirs."""
    found: list[Pocket] = []
    faults: list[Fault] = []
    for standing in parts.values():
        for shaped in standing.part.shaped:
            pocket = _pocket(standing, shaped)
            if pocket is None:
                faults.append(_misses(standing, shaped))
            else:
                found.append(pocket)
    return tuple(found), faults


def _pocket(standing: Standing, shaped: HandShaped) -> Pocket | None:
    """The skin of a part under the faces that look a way, as deep as it is shaped, within its region."""
    solid = standing.solid
    shift = np.column_stack([np.eye(3), np.array(shaped.looks) * -shaped.depth])
    skin = kernel.subtracted(solid.body, [kernel.moved(solid.body, shift)])
    low = np.maximum(np.array(shaped.low), solid.bounds[0] - REACH)
    high = np.minimum(np.array(shaped.high), solid.bounds[1] + REACH)
    if (high - low <= 0.1).any():
        return None
    body = kernel.common(skin, _block(vec3(low), vec3(high)))
    if kernel.nothing_left(body) or kernel.volume_of(body) < TOUCHED:
        return None
    box = kernel.box_of(body)
    return Pocket(part=standing, shaped=shaped, body=body, low=vec3(box[0]), high=vec3(box[1]))


def _block(low: Vec3, high: Vec3) -> Body:
    outline = polygon_outline([(low[0], low[1]), (high[0], low[1]), (high[0], high[1]), (low[0], high[1])])
    book = FaceBook()
    ring = ring_of(outline, 0.1, book)
    return placed_prism(ring, (low[2], high[2]), (book.add("low", True), book.add("high", True)), Frame())


def _misses(standing: Standing, shaped: HandShaped) -> Fault:
    return Fault(
        code="shaped-misses-part",
        place=shaped.place,
        what=f"what is {shaped.kind} on {standing.part.id} lies beside it: no face looks that way in that region",
        why="x, y and z of a shaped region are the piece's own, for the copy that was drawn",
        mend="look at its ranges and its face, or leave the ranges out for the whole face",
    )


def worn_plans(plans: Sequence[Plan], pockets: Sequence[Pocket]) -> tuple[Plan, ...]:
    """The plans with what is shaped by hand taken off their mortised parts."""
    by_part: dict[PartId, list[Pocket]] = {}
    for pocket in pockets:
        by_part.setdefault(pocket.part.part.id, []).append(pocket)
    return tuple(_worn(plan, by_part.get(plan.site.b.part.id, ())) for plan in plans)


def _worn(plan: Plan, pockets: Sequence[Pocket]) -> Plan:
    if not pockets:
        return plan
    solid = plan.site.b.solid
    book = FaceBook()
    book.faces, book.joins, book.notes = list(solid.book), set(solid.joins), list(solid.notes)
    left = kernel.subtracted(solid.body, [pocket.body for pocket in pockets])
    try:
        worn = solid_from(left, book, "nothing is left")
    except ValueError:
        return plan
    part = replace(plan.site.b, solid=worn)
    return replace(plan, seat=replace(plan.seat, site=replace(plan.site, b=part)))


def shaped_findings(
    pockets: Sequence[Pocket], bored: Mapping[PartId, tuple[Sequence[Bored], Sequence[LetIn]]], bench: Bench
) -> list[Finding]:
    """Where a shaped surface meets a joint, and where it leaves thin wood."""
    found: list[Finding] = []
    for pocket in pockets:
        tools, let_in = bored.get(pocket.part.part.id, ((), ()))
        joints = {one.joint for one in tools if _meets(pocket, one)}
        joints |= {one.joint for one in let_in if _within(pocket, one)}
        found += [_meets_joint(pocket, joint, bench) for joint in sorted(joints)]
        left = _least_left(pocket)
        if left < rules.bottom_wall().value:
            found.append(_thin(pocket, left, bench))
    return found


def _meets(pocket: Pocket, one: Bored) -> bool:
    try:
        tool = bar_body(replace(one.tool, start=max(one.tool.start, 0.0)), 0.1, FaceBook(), "joint")
    except ValueError:
        return False
    both = kernel.common(tool, pocket.body)
    return not kernel.nothing_left(both) and kernel.volume_of(both) > TOUCHED


def _within(pocket: Pocket, one: LetIn) -> bool:
    """Whether a corner of what is let in lies in the pocket's box."""
    inside = (one.points >= np.array(pocket.low) - 1e-6) & (one.points <= np.array(pocket.high) + 1e-6)
    return bool(inside.all(axis=1).any())


def _least_left(pocket: Pocket) -> float:
    """Least wood under the shaped surface [mm]."""
    looks = np.array(pocket.shaped.looks)
    low, high = np.array(pocket.low), np.array(pocket.high)
    steps = [np.linspace(0.1, 0.9, GRID) * (b - a) + a for a, b in zip(low, high)]
    axis = int(np.argmax(np.abs(looks)))
    steps[axis] = np.array([(low[axis] + high[axis]) / 2.0])
    points = np.array([(x, y, z) for x in steps[0] for y in steps[1] for z in steps[2]])
    back = (-pocket.shaped.looks[0], -pocket.shaped.looks[1], -pocket.shaped.looks[2])
    up, down = exits(pocket.part.solid, points, pocket.shaped.looks), exits(pocket.part.solid, points, back)
    whole = (up + down)[(up > 0.0) & np.isfinite(up) & np.isfinite(down)]
    return float(whole.min()) - pocket.shaped.depth if len(whole) else math.inf


def _meets_joint(pocket: Pocket, joint: JointId, bench: Bench) -> Finding:
    part, shaped = pocket.part.part, pocket.shaped
    return Finding(
        code="shaped-meets-joint",
        grade=Grade.FAILS,
        what=f"{part.id} is {shaped.kind} {say(shaped.depth, bench.units)} deep where {joint} is cut",
        why="a mouth must lie on a face that can be marked and closed; shape runs out before it",
        mend="draw the shaped region off the joint (`x`, `y`, `z`), or less deep",
        about=(joint, part.id),
        place=shaped.place,
    )


def _thin(pocket: Pocket, left: float, bench: Bench) -> Finding:
    part, limit = pocket.part.part, rules.bottom_wall().value
    return Finding(
        code="shaped-leaves-thin",
        grade=Grade.FAILS if left < limit / 2.0 else Grade.NEAR,
        what=f"{part.id} keeps {say(max(left, 0.0), bench.units)} under what is {pocket.shaped.kind} there",
        why=f"as under a mortise, {say(limit, bench.units)} should stay",
        mend="shape it less deep, or draw the part thicker",
        source=cite("JR16"),
        about=(part.id,),
        utilisation=limit / max(left, 0.01),
        place=pocket.shaped.place,
    )


def regions_of(pockets: Sequence[Pocket], part: PartId, laid: Laid) -> tuple[ShapedRegion, ...]:
    """What is shaped on a part, in its bench coordinates."""
    found = []
    for pocket in (each for each in pockets if each.part.part.id == part):
        points = laid.frame.many_to_local(kernel.mesh_of(pocket.body)[0])
        low, high = vec3(points.min(axis=0)), vec3(points.max(axis=0))
        face = face_towards(laid.frame.turn_back(pocket.shaped.looks))
        found.append(
            ShapedRegion(
                kind=pocket.shaped.kind,
                depth=pocket.shaped.depth,
                face=face,
                low=low,
                high=high,
                area_added=area_added(pocket.shaped, pocket.low, pocket.high),
            )
        )
    return tuple(found)


def area_added(shaped: HandShaped, low: Vec3, high: Vec3) -> float:
    """How much larger a flat region becomes when it is shaped [mm^2], small slopes taken.

    Dished and pillowed as z = d (1 - u^2)(1 - v^2) over its rectangle a by b: half the integral of the slope squared is
    64/45 d^2 (a/b + b/a). Scooped along one way as an arc of height d over the other: 8/3 d^2/b over the length a.
    Source: closed forms, tested by quadrature.
    """
    axis = max(range(3), key=lambda i: abs(shaped.looks[i]))
    (i, a), (j, b) = ((k, high[k] - low[k]) for k in range(3) if k != axis)
    d = shaped.depth
    if shaped.kind != "scooped":
        return 64.0 / 45.0 * d * d * (a / b + b / a)
    runs = "xyz".index(shaped.along) if shaped.along else (i if a >= b else j)
    long, wide = (a, b) if runs == i else (b, a)
    return 8.0 / 3.0 * d * d / wide * long
