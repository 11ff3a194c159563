"""Pass (e), in one part: joints that come too near to one another: mortises, pegs, tenon tips."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from batchwright.base.fault import Fault
from batchwright.base.finding import Finding, Grade
from batchwright.geometry.frame import Frame, cross
from batchwright.joinery.cutting.bored import Bores
from batchwright.joinery.cutting.cut import tenon_tools
from batchwright.joinery.measuring.boxes import SpaceBox, apart_by
from batchwright.joinery.sizing import rules
from batchwright.joinery.sizing.meetings import bar_box, far_apart, reach_of
from batchwright.joinery.sizing.plan import Bench, Plan
from batchwright.joinery.words import BENCH, cite, say
from batchwright.model.draft import JointKind, PartId
from batchwright.model.piece import JointId, Peg
from batchwright.model.shape import Section, Tool
from batchwright.solids import kernel
from batchwright.solids.bodies import bar_body
from batchwright.solids.solid import FaceBook

FIXED = {JointKind.SCREW: "screw", JointKind.BUTTON: "slot", JointKind.GLUE: "slip"}
DEEP = 0.05
"""Tenons that overlap by less than this do not collide [mm]."""


CUT = 0.02
"""Holes nearer than this run into one another [mm]."""


@dataclass(frozen=True, slots=True)
class _Hole:
    """A mortise or a peg in a part."""

    joint: JointId
    what: str
    box: SpaceBox


def holes_by_part(plans: Sequence[Plan]) -> dict[PartId, list[_Hole]]:
    """Every mortise and peg hole, by the part it is cut in."""
    found: dict[PartId, list[_Hole]] = {}
    for plan in plans:
        into, own = plan.site.b.part.id, plan.site.a.part.id
        for _, mortise in plan.made:
            depth = min(mortise.depth, plan.depth) if mortise.through else mortise.depth
            half = (mortise.length / 2.0, mortise.width / 2.0, depth / 2.0)
            box = SpaceBox(frame=plan.frame, middle=plan.frame.to_world((*mortise.centre, depth / 2.0)), half=half)
            found.setdefault(into, []).append(_Hole(plan.id, "mortise", box))
            if plan.site.statement.kind is not JointKind.TENON:
                back = SpaceBox(
                    frame=plan.frame, middle=plan.frame.to_world((*mortise.centre, -depth / 2.0)), half=half
                )
                found.setdefault(own, []).append(_Hole(plan.id, "mortise", back))
        for peg in plan.pegs:
            found.setdefault(into, []).append(_Hole(plan.id, "peg", _peg_box(plan, peg)))
    return found


def _peg_box(plan: Plan, peg: Peg) -> SpaceBox:
    z = peg.direction
    frame = Frame(peg.point, plan.frame.x, cross(z, plan.frame.x), z)
    middle = frame.to_world((0.0, 0.0, peg.length / 2.0))
    return SpaceBox(frame=frame, middle=middle, half=(peg.diameter / 2.0, peg.diameter / 2.0, peg.length / 2.0))


def holes_too_near(plans: Sequence[Plan], bench: Bench) -> list[Finding]:
    """Holes of different joints in one part that run into one another or leave too thin a wall between."""
    by_id = {plan.id: plan for plan in plans}
    worst: dict[tuple[JointId, JointId, str, str], tuple[float, PartId]] = {}
    limits = _limits(bench)
    for part, holes in sorted(holes_by_part(plans).items()):
        for i, one in enumerate(holes):
            for two in holes[i + 1 :]:
                if one.joint == two.joint or _allowed(by_id[one.joint], one, two):
                    continue
                limit = limits[one.what == two.what == "mortise"]
                apart = apart_by(one.box, two.box, limit)
                key = (one.joint, two.joint, one.what, two.what)
                if (apart < limit - BENCH or apart <= CUT) and (key not in worst or apart < worst[key][0]):
                    worst[key] = (apart, part)
    return [_near(key, found, by_id[key[0]], bench) for key, found in worst.items()]


def fixings_in_joints(plans: Sequence[Plan], bores: Sequence[Bores], bench: Bench) -> list[Finding]:
    """Screws, buttons and slips that run into a mortise or a peg of the same part."""
    holes = holes_by_part(plans)
    found: dict[tuple[JointId, JointId], Finding] = {}
    for bored in bores:
        for part, tools in bored.cuts:
            for hole in holes.get(part, ()):
                deepest = min((apart_by(_bar_box(tool), hole.box) for tool in tools), default=0.0)
                if deepest < -DEEP:
                    found[(bored.fixing.id, hole.joint)] = _meets_hole(bored, (part, hole, -deepest), bench)
    return list(found.values())


def _bar_box(tool: Tool) -> SpaceBox:
    """The wood a tool takes, from its mouth on."""
    start = max(tool.start, 0.0)
    middle = tool.frame.to_world((0.0, 0.0, (start + tool.end) / 2.0))
    return SpaceBox(
        frame=tool.frame, middle=middle, half=(tool.width / 2.0, tool.thickness / 2.0, (tool.end - start) / 2.0)
    )


def _meets_hole(bored: Bores, found: tuple[PartId, _Hole, float], bench: Bench) -> Finding:
    part, hole, deep = found
    fixing = bored.fixing
    return Finding(
        code="fixing-meets-joint",
        grade=Grade.FAILS,
        what=f"in {part}, {fixing.id}: its {FIXED[fixing.kind]} runs {say(deep, bench.units)} into the {hole.what} of"
        f" {hole.joint}",
        why="it would hold in a tenon, or in nothing",
        mend="ask for another number of them, or move one of the parts",
        about=(fixing.id, hole.joint, part),
        place=fixing.place,
    )


def _allowed(plan: Plan, one: _Hole, two: _Hole) -> bool:
    """Mortises of a meeting lie in one another by intent."""
    return two.joint in plan.meets and one.what == two.what == "mortise"


def _limits(bench: Bench) -> dict[bool, float]:
    """The wood to leave between two mortises (True), and where a peg is one of the two (False) [mm]."""
    return {True: rules.bottom_wall().value, False: 0.5 * rules.side_wall(bench.shop, bench.outdoors).value}


def _near(key: tuple[JointId, JointId, str, str], found: tuple[float, PartId], plan: Plan, bench: Bench) -> Finding:
    one, two, first, second = key
    apart, part = found
    cut = apart <= CUT
    left = f"leaves {say(apart, bench.units)} to" if not cut else "runs into"
    mortises = first == second == "mortise"
    limit = _limits(bench)[mortises]
    move = "move one of the parts, shorten a tenon, or say how they meet with `meeting in`"
    return Finding(
        code="joints-run-into-one-another" if cut else "thin-wall-between-joints",
        grade=Grade.FAILS if cut else Grade.NEAR,
        what=f"in {part}, the {first} of {one} {left} the {second} of {two}",
        why=f"wood between two joints of one part should be {say(limit, bench.units)} or more",
        mend=move if mortises else "move the pegs, or ask for fewer or thinner ones",
        source=cite("JR16" if mortises else "JR15"),
        about=(one, two, part),
        utilisation=limit / max(apart, 0.01),
        place=plan.site.statement.place,
    )


def tenons_overlap(plans: Sequence[Plan], bench: Bench) -> list[Fault]:
    """Tenons of one part that still claim the same wood after mitring and shortening."""
    faults = []
    reaches = {plan.id: reach_of(plan) for plan in plans}
    for i, one in enumerate(plans):
        for two in plans[i + 1 :]:
            if one.site.b.part.id != two.site.b.part.id or far_apart(reaches[one.id], reaches[two.id], 0.0):
                continue
            depth = max(
                (_overlap(one, a, two, b) for a in range(len(one.made)) for b in range(len(two.made))), default=0.0
            )
            if depth > DEEP:
                faults.append(_collide(one, two, depth, bench))
    return faults


def _overlap(one: Plan, a: int, two: Plan, b: int) -> float:
    """How deep two tenons lie in one another [mm]."""
    bars = (bar_box(one, one.bars[a]), bar_box(two, two.bars[b]))
    if apart_by(*bars, enough=0.0) >= 0.0:
        return 0.0
    bodies = []
    for plan, number in ((one, a), (two, b)):
        tool = tenon_tools(plan, plan.made[number][0])[0]
        bodies.append(bar_body(replace(tool, start=0.0, section=Section.SQUARE), 0.05, FaceBook(), "tenon"))
    both = kernel.common(*bodies)
    if kernel.nothing_left(both):
        return 0.0
    return 2.0 * kernel.volume_of(both) / max(kernel.area_of(both), 1e-9)


def _collide(one: Plan, two: Plan, depth: float, bench: Bench) -> Fault:
    part = one.site.b.part.id
    return Fault(
        code="tenons-overlap",
        place=max(one.site.statement.place, two.site.statement.place),
        what=f"in {part}, the tenons of {one.site.a.part.id} and {two.site.a.part.id} overlap by"
        f" {say(depth, bench.units)}",
        why=f"they are {say(one.size('length'), bench.units)} and {say(two.size('length'), bench.units)} long",
        mend="say how they meet with `meeting in`, give shorter lengths, or move one of the parts",
    )
