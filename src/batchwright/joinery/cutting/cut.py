"""Pass (d): what a sized joint cuts and leaves on its two parts, as tools of their recipes."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from batchwright.geometry.frame import Frame, Plane, Vec2, Vec3, dot, plus
from batchwright.joinery.cutting.driven_cuts import flare_tool, kerf_tools, tusk_tool
from batchwright.joinery.meeting.standing import end_point
from batchwright.joinery.sizing.driven import spreads_across
from batchwright.joinery.sizing.plan import Bar, Plan
from batchwright.model.draft import DraftPart, JointKind
from batchwright.model.piece import Mortise, Tenon
from batchwright.model.shape import BodyCut, Section, ShoulderCut, Tool
from batchwright.solids.planes import plane_named
from batchwright.solids.rays import cast

ROOT = 1.0
"""How far a tenon's bar runs back into its own part, and a mortise's out of the mouth, square to the shoulder [mm]."""
BEYOND = 1.0
"""How far a through mortise's tool runs out on the far side [mm]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cuts:
    """What one joint does to one part, in world coordinates."""

    shoulders: tuple[ShoulderCut, ...] = ()
    adds: tuple[Tool, ...] = ()
    cuts: tuple[Tool, ...] = ()
    bodies: tuple[BodyCut, ...] = ()


def made(plan: Plan) -> Plan:
    """The plan with its tenons and mortises written out."""
    pairs = tuple((tenon_of(plan, bar), mortise_of(plan, bar)) for bar in plan.bars)
    return replace(plan, made=pairs)


def tenon_of(plan: Plan, bar: Bar) -> Tenon:
    """One tenon, in the joint's frame."""
    wide = _haunch_of(plan, bar)
    wedges, across = int(plan.size("wedges")), spreads_across(plan)
    size = bar.thickness if across else bar.width
    return Tenon(
        centre=bar.centre,
        width=bar.width,
        thickness=bar.thickness,
        length=plan.size("length"),
        tip_planes=plan.tips,
        haunch_width=wide,
        haunch_length=plan.size("haunch length") if wide else 0.0,
        wedges=wedges,
        proud=plan.size("proud"),
        kerf=plan.size("wedge kerf"),
        kerf_depth=plan.size("kerf depth"),
        kerf_places=tuple(((i + 0.5) / wedges - 0.5) * size for i in range(wedges)),
        wedged_across=across and wedges > 0,
    )


def _haunch_of(plan: Plan, bar: Bar) -> float:
    """Width of the haunch beside a tenon, signed along the joint's x; only beside the outermost one."""
    if not plan.haunch_side:
        return 0.0
    sign = 1.0 if plan.haunch_side == "+x" else -1.0
    outermost = max(sign * other.centre[0] for other in plan.bars)
    return sign * plan.size("haunch width") if sign * bar.centre[0] > outermost - 1e-6 else 0.0


def mortise_of(plan: Plan, bar: Bar) -> Mortise:
    """The mortise of one tenon, in the joint's frame."""
    if plan.site.statement.kind is JointKind.DOWEL:
        return Mortise(
            centre=bar.centre,
            length=plan.size("thickness"),
            width=plan.size("thickness"),
            depth=plan.size("depth"),
            round_ends=True,
        )
    return Mortise(
        centre=bar.centre,
        length=bar.width + plan.size("end clearance"),
        width=bar.thickness + plan.size("cheek clearance"),
        depth=plan.size("depth"),
        round_ends=plan.round_ends,
        through=plan.passes_through,
        flare=plan.size("flare"),
        flare_from=plan.depth / 3.0 if plan.size("flare") else 0.0,
        wedged_across=spreads_across(plan) and plan.size("flare") > 0.0,
    )


def on_tenoned(plan: Plan) -> Cuts:
    """What the joint does to the part that bears the tenon (world)."""
    site = plan.site
    shoulder = ShoulderCut(plane=site.contact.plane, end_point=end_point(site.a, site.direction, plan.frame.origin))
    bodies: tuple[BodyCut, ...] = ()
    if _scribed(plan):
        bodies = (BodyCut(shape=site.b.part.shape, frame=site.b.part.frame),)
    if site.statement.kind is JointKind.TENON:
        adds = tuple(tool for tenon, _ in plan.made for tool in tenon_tools(plan, tenon))
        holes = (*_peg_holes(plan, drawn=True), *driven_holes(plan))
        return Cuts(shoulders=(shoulder,), adds=adds, cuts=holes, bodies=bodies)
    own = tuple(_own_mortise(plan, mortise) for _, mortise in plan.made)
    return Cuts(shoulders=(shoulder,), cuts=own, bodies=bodies)


def driven_holes(plan: Plan) -> tuple[Tool, ...]:
    """Kerfs and the tusk's hole in the tenoned part (world)."""
    kerfs = tuple(tool for tenon, _ in plan.made for tool in kerf_tools(plan, tenon))
    return kerfs if plan.tusk is None else (*kerfs, tusk_tool(plan.tusk))


def _scribed(plan: Plan) -> bool:
    return plan.site.ask.shoulder == "scribed"


def on_mortised(plan: Plan) -> Cuts:
    """What the joint does to the part that bears the mortise (world)."""
    tools = [tool for tenon, mortise in plan.made for tool in mortise_tools(plan, tenon, mortise)]
    if plan.site.ask.shoulder == "let in" and max(plan.site.contact.hollow, plan.site.contact.proud) > 0.0:
        tools.append(_pocket(plan))
    tools += [flare_tool(plan, mortise) for _, mortise in plan.made if mortise.flare]
    return Cuts(cuts=(*tools, *_peg_holes(plan, drawn=False)))


def tenon_tools(plan: Plan, tenon: Tenon) -> tuple[Tool, ...]:
    """The bars of a tenon and its haunch (world)."""
    form = Section.ROUND_ENDED if plan.round_ends else Section.SQUARE
    shape = _Box(tenon.centre, tenon.width, tenon.thickness)
    start = root_start(plan, shape, own=True)
    tenon_bar = _tool(plan, shape, (start, tenon.length), form)
    bars = [replace(tenon_bar, planes=tuple(_shifted(plane, tenon.centre) for plane in tenon.tip_planes))]
    if tenon.haunch_width:
        haunch = _haunch_box(tenon, 0.0)
        bar = _tool(plan, haunch, (root_start(plan, haunch, own=True), tenon.haunch_length), Section.SQUARE)
        edge = bar.frame.plane_to_local(own_edge(plan, 1.0 if tenon.haunch_width > 0.0 else -1.0))
        bars.append(replace(bar, planes=(edge,)))
    return tuple(bars)


def own_edge(plan: Plan, sign: float) -> Plane:
    """The part's own edge on the +x or -x side of the tenon, carried on past the shoulder: a haunch square to a
    leaning leg's face is trimmed to it, or it would stand over the edge."""
    site, section = plan.site, plan.site.section
    axes = ((section.frame.x, section.width), (section.frame.y, section.thickness))
    axis, size = max(axes, key=lambda item: abs(dot(item[0], plan.frame.x)))
    way = sign if dot(axis, plan.frame.x) > 0.0 else -sign
    normal = (way * axis[0], way * axis[1], way * axis[2])
    edge = plus(section.frame.origin, normal, size / 2.0)
    inwards = (-normal[0], -normal[1], -normal[2])
    strike = cast(site.a.solid, np.array([plus(edge, normal, 5.0)]), inwards)
    if strike.hit[0] and strike.distance[0] < 5.0 + size / 4.0:
        drawn = plane_named(site.a.part.shape, site.a.solid.book[int(strike.faces[0])].name)
        if drawn is not None:
            return site.a.part.frame.plane_to_world(drawn)
    return Plane(edge, normal)


def mortise_tools(plan: Plan, tenon: Tenon, mortise: Mortise) -> tuple[Tool, ...]:
    """The bars that cut a mortise and the groove of its haunch (world)."""
    shape = _Box(mortise.centre, mortise.length, mortise.width)
    form = _mortise_form(plan, mortise)
    end = mortise.depth + (BEYOND if mortise.through else 0.0)
    tools = [_tool(plan, shape, (root_start(plan, shape, own=False), end), form)]
    if tenon.haunch_width:
        groove = _haunch_box(replace(tenon, thickness=mortise.width), plan.size("end clearance") / 2.0)
        depth = tenon.haunch_length + plan.size("depth clearance")
        tools.append(_tool(plan, groove, (root_start(plan, groove, own=False), depth), Section.SQUARE))
    return tuple(tools)


def _mortise_form(plan: Plan, mortise: Mortise) -> Section:
    if plan.site.statement.kind is JointKind.DOWEL:
        return Section.ROUND
    return Section.ROUND_ENDED if mortise.round_ends else Section.SQUARE


@dataclass(frozen=True, slots=True)
class _Box:
    """A bar's section in the joint's (x, y)."""

    centre: Vec2
    width: float
    thickness: float

    @property
    def corners(self) -> tuple[Vec2, ...]:
        """Its four corners."""
        a, b, (x, y) = self.width / 2.0, self.thickness / 2.0, self.centre
        return ((x - a, y - b), (x + a, y - b), (x + a, y + b), (x - a, y + b))


def _haunch_box(tenon: Tenon, slack: float) -> _Box:
    """The haunch beside a tenon; it runs a little into it, and `slack` further out."""
    sign = 1.0 if tenon.haunch_width > 0.0 else -1.0
    inner = tenon.centre[0] + sign * (tenon.width / 2.0 - 0.5)
    outer = tenon.centre[0] + sign * (tenon.width / 2.0 + slack) + tenon.haunch_width
    return _Box(((inner + outer) / 2.0, tenon.centre[1]), abs(outer - inner), tenon.thickness)


def _tool(plan: Plan, box: _Box, span: Vec2, form: Section) -> Tool:
    origin = plan.frame.to_world((*box.centre, 0.0))
    frame = Frame(origin, plan.frame.x, plan.frame.y, plan.frame.z)
    return Tool(frame=frame, width=box.width, thickness=box.thickness, start=span[0], end=span[1], section=form)


def _shifted(plane: Plane, centre: Vec2) -> Plane:
    """A plane of the joint's frame in a bar's own."""
    return Plane((plane.point[0] - centre[0], plane.point[1] - centre[1], plane.point[2]), plane.normal)


def root_start(plan: Plan, box: _Box, own: bool) -> float:
    """Where a bar starts along the joint's z, so that no sliver is left at a sloping shoulder.

    In line with its part at a steep angle the bar starts where the shoulder plane lies lowest under it: half its width
    times the tangent of the angle, at most its width. Square to a face, a tenon's bar runs back only so far that it
    does not come out of its own part's side. Where the shoulder is set in or scribed, the face stands before it.
    """
    normal = plan.frame.turn_back(plan.site.contact.plane.normal)
    lowest = min(-(normal[0] * x + normal[1] * y) / normal[2] for x, y in box.corners)
    lowest = max(lowest, -2.0 * max(box.width, box.thickness))
    if plan.site.ask.shoulder in ("let in", "scribed"):
        return min(0.0, lowest) - plan.site.contact.hollow - ROOT
    if not own or plan.seat.angle_in == "mortise":
        return min(0.0, lowest) - ROOT
    beside = min(
        (
            plan.seat.high[0] - box.centre[0] - box.width / 2.0,
            box.centre[0] - box.width / 2.0 - plan.seat.low[0],
            plan.seat.high[1] - box.centre[1] - box.thickness / 2.0,
            box.centre[1] - box.thickness / 2.0 - plan.seat.low[1],
        )
    )
    tilt = math.tan(plan.seat.out_of_square)
    back = ROOT if tilt < 1e-6 else min(ROOT, 0.9 * max(beside, 0.0) / tilt)
    return -max(back, 0.02)


def _own_mortise(plan: Plan, mortise: Mortise) -> Tool:
    """The mortise of a loose tenon in the part's own end: the same, the other way."""
    box = _Box(mortise.centre, mortise.length, mortise.width)
    turned = Frame(
        plan.frame.to_world((*mortise.centre, 0.0)),
        plan.frame.x,
        (-plan.frame.y[0], -plan.frame.y[1], -plan.frame.y[2]),
        (-plan.frame.z[0], -plan.frame.z[1], -plan.frame.z[2]),
    )
    normal = plan.frame.turn_back(plan.site.contact.plane.normal)
    highest = max(-(normal[0] * x + normal[1] * y) / normal[2] for x, y in box.corners)
    start = -max(0.0, highest) - ROOT
    return Tool(
        frame=turned,
        width=box.width,
        thickness=box.thickness,
        start=start,
        end=mortise.depth,
        section=_mortise_form(plan, mortise),
    )


def _pocket(plan: Plan) -> Tool:
    """The flat let into the mortised part, in the shape of A's section, down to the shoulder plane."""
    section, plane = plan.site.section, plan.site.contact.plane
    tilt = abs(dot(section.frame.z, plane.normal))
    slope = (section.width + section.thickness) / 2.0 * math.tan(math.acos(min(1.0, tilt)))
    frame = Frame(plan.frame.origin, section.frame.x, section.frame.y, section.frame.z)
    return Tool(
        frame=frame,
        width=section.width,
        thickness=section.thickness,
        start=-plan.site.contact.hollow - plan.site.contact.proud - slope - 2.0,
        end=slope + 1.0,
        section=Section.ROUND if section.round else Section.SQUARE,
        planes=(frame.plane_to_local(plane),),
    )


def _peg_holes(plan: Plan, drawn: bool) -> tuple[Tool, ...]:
    """Holes for the pegs; in the tenon they lie nearer the shoulder by the draw."""
    tools = []
    for peg in plan.pegs:
        back = -peg.draw if drawn else 0.0
        point = plus(peg.point, plan.frame.z, back)
        frame = Frame(point, plan.frame.x, _cross(peg.direction, plan.frame.x), peg.direction)
        tools.append(
            Tool(
                frame=frame,
                width=peg.diameter,
                thickness=peg.diameter,
                start=-BEYOND,
                end=peg.length,
                section=Section.ROUND,
            )
        )
    return tuple(tools)


def at_cheek(plan: Plan, tool: Tool) -> Tool:
    """A peg's hole as the tenon has it: from its near cheek to its far one."""
    y = plan.frame.to_local(tool.frame.origin)[1]
    middle, half = (plan.low[1] + plan.high[1]) / 2.0, (plan.high[1] - plan.low[1]) / 2.0
    near = abs(y - middle) - half
    origin = plus(tool.frame.origin, tool.frame.z, near)
    frame = Frame(origin, tool.frame.x, tool.frame.y, tool.frame.z)
    return replace(tool, frame=frame, start=-BEYOND, end=2.0 * half)


def _cross(a: Vec3, b: Vec3) -> Vec3:
    return (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])


def in_part(cuts: Cuts, part: DraftPart) -> Cuts:
    """World tools in a part's drawing frame."""
    frame = part.frame

    def tool(each: Tool) -> Tool:
        return replace(each, frame=each.frame.seen_from(frame))

    return Cuts(
        shoulders=tuple(
            ShoulderCut(plane=frame.plane_to_local(each.plane), end_point=frame.to_local(each.end_point))
            for each in cuts.shoulders
        ),
        adds=tuple(tool(each) for each in cuts.adds),
        cuts=tuple(tool(each) for each in cuts.cuts),
        bodies=tuple(replace(each, frame=each.frame.seen_from(frame)) for each in cuts.bodies),
    )
