"""Pass (c), second half: how far a tenon goes in, how deep its mortise is, and its pegs."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from batchwright.base.fault import Fault
from batchwright.base.finding import Finding, Grade
from batchwright.base.trace import By, Missing, Sized, Trace
from batchwright.geometry.frame import Plane, vec3
from batchwright.joinery.meeting.seat import depth_of
from batchwright.joinery.sizing import rules
from batchwright.joinery.sizing.pins import dowel_length
from batchwright.joinery.sizing.plan import Bench, Plan
from batchwright.joinery.words import BENCH, at_least, cite, exactly, say, say_against, say_limit, written
from batchwright.model.draft import JointKind


def size_along(plan: Plan, bench: Bench) -> Plan:
    """Decide the tenon's length and the mortise's depth, before neighbours in the same part are looked at."""
    depths = depth_of(plan.seat, plan.low, plan.high)
    if not depths:
        return replace(plan, depth=0.0).fault(_nothing_behind(plan))
    plan = replace(plan, depth=min(depths), depth_most=max(depths))
    plan = plan.decide("depth clearance", rules.depth_clearance(bench.shop))
    ask = plan.site.ask
    if plan.passes_through:
        return _through(plan, bench)
    if not isinstance(ask.length, Missing):
        length = rules.asked(ask.length, "length")
    elif plan.site.statement.kind is JointKind.DOWEL:
        length = dowel_length(plan)
    else:
        length = rules.length_in(plan.depth, plan.size("thickness"), plan.size("depth clearance"))
        length = _within_reach(plan, length, bench)
    if length.value < 1.0:
        plan = plan.fault(_too_thin(plan, bench))
        length = replace(length, value=max(1.0, plan.depth / 2.0))
    return set_length(plan, length)


def set_length(plan: Plan, length: Sized) -> Plan:
    """The plan with a tenon length, and the mortise's depth that follows from it."""
    clearance = plan.sized("depth clearance")
    extra = clearance.value if clearance else 0.0
    depth = Sized(length.value + extra, Trace(by=By.GEOMETRY, why="tenon length and the clearance beyond it"))
    return plan.decide("length", length).decide("depth", depth)


def _within_reach(plan: Plan, length: Sized, bench: Bench) -> Sized:
    cutter = rules.cutter_for(plan.size("thickness"), rules.cutters_of(bench.shop), length.value)
    most = cutter.reach - plan.size("depth clearance") if cutter else length.value
    if most >= length.value:
        return length
    why = f"the cutter of that width reaches {say(most, bench.units)} less the clearance"
    return Sized(most, Trace(by=By.SHOP, why=why, source=length.trace.source))


def _through(plan: Plan, bench: Bench) -> Plan:
    """Out on the far side: as long as the part is deep at its deepest, and proud if asked."""
    proud = plan.site.ask.proud
    if isinstance(proud, Missing):
        stands = Sized(0.0, Trace(by=By.DEFAULT, why="trimmed flush"))
    else:
        stands = rules.asked(proud, "proud")
    plan = plan.decide("proud", stands)
    whole = plan.depth_most + stands.value
    length = Sized(whole, Trace(by=By.GEOMETRY, why="through the part, and as far beyond as it stands proud"))
    plan = plan.decide("length", length)
    if stands.value == 0.0:
        plan = replace(plan, tips=_flush(plan))
    through = Sized(plan.depth_most, Trace(by=By.GEOMETRY, why="right through the part"))
    return plan.decide("depth", through)


def _flush(plan: Plan) -> tuple[Plane, ...]:
    """Where the far face slopes to the tenon, its end is trimmed to that face; in the joint's frame."""
    if plan.depth_most - plan.depth < 0.02:
        return ()
    places = [(x, y) for x in (plan.low[0], plan.high[0]) for y in (plan.low[1], plan.high[1])]
    points = np.array([(x, y, depth) for x, y in places for depth in depth_of(plan.seat, (x, y), (x, y))[:1]])
    if len(points) < 4:
        return ()
    middle = points.mean(axis=0)
    _, spread, axes = np.linalg.svd(points - middle)
    if spread[2] > 0.2:
        return ()
    normal = axes[2] if axes[2][2] > 0.0 else -axes[2]
    return (Plane(vec3(middle), vec3(normal)),)


def _nothing_behind(plan: Plan) -> Fault:
    return Fault(
        code="no-wood-behind-shoulder",
        place=plan.site.statement.place,
        what=f"the tenon of {plan.id} finds no wood of {plan.site.b.part.id} behind its shoulder",
        why="all its lines pass beside the part",
        mend="draw the two parts with more in common, or give the tenon a shoulder on the side that overhangs",
    )


def _too_thin(plan: Plan, bench: Bench) -> Fault:
    wall = rules.bottom_wall().value + plan.size("depth clearance")
    return Fault(
        code="part-too-thin-for-tenon",
        place=plan.place("length"),
        what=f"{plan.site.b.part.id} is {say(plan.depth, bench.units)} deep behind {plan.id}, and the wall and"
        f" clearance alone want {say(wall, bench.units)}",
        why="a blind mortise leaves wood beyond it (JR16)",
        mend="make it thicker there, let the tenon go through (`end: through`), or give its length",
    )


def short_tenon(plan: Plan, bench: Bench) -> Plan:
    """Say it where a tenon is shorter than the rule's floor (JR14)."""
    least = rules.least_length(plan.size("thickness"))
    length = plan.size("length")
    if plan.passes_through:
        return _stops_inside(plan, bench)
    never = length <= 0.0 or plan.site.statement.kind is JointKind.DOWEL
    if never or length > least - BENCH:
        return plan
    said = say_against(length, least, bench.units)
    return plan.find(
        Finding(
            code="short-tenon",
            grade=Grade.NEAR,
            what=f"the tenon of {plan.id} is {said[0]} long; the rule asks {said[1]}{_room_for(plan, bench)}",
            why=f"{say_limit(rules.low_of('JR14'), bench.units)}, or three times its thickness, is the least in a joint"
            " that carries (JR14)",
            mend=_longer(plan, least, bench),
            source=cite("JR14"),
            about=(plan.id,),
            utilisation=least / length,
            place=plan.place("length"),
        )
    )


def _stops_inside(plan: Plan, bench: Bench) -> Plan:
    """Say it where a through tenon is cut short by another before it comes out."""
    left = min(_left_at(plan, x, y) for x in (plan.low[0], plan.high[0]) for y in (plan.low[1], plan.high[1]))
    if not plan.meets or left >= plan.depth - SAME_LENGTH:
        return plan
    said = say(max(left, 0.0), bench.units)
    first = f"`by: {plan.site.a.part.name} first` in their `meeting in`"
    return plan.find(
        Finding(
            code="through-tenon-stops-inside",
            grade=Grade.FAILS,
            what=f"the tenon of {plan.id} is to go through and does not come out: {said} of it is"
            f" left, in {say(plan.depth, bench.units)} of {plan.site.b.part.id}",
            why="another tenon in the same part takes its way",
            mend=f"take `end` out, so that it ends inside, or {first} lets it pass",
            about=(plan.id,),
            place=plan.place("end"),
        )
    )


def _left_at(plan: Plan, x: float, y: float) -> float:
    """How far a tenon goes in at one of its corners, its tips cut [mm]."""
    cut = [-plane.height((x, y, 0.0)) / plane.normal[2] for plane in plan.tips if plane.normal[2] > 1e-6]
    return min([plan.size("length"), *cut])


SAME_LENGTH = 0.4
"""Lengths within this are one on paper [mm]; 1/64 in."""
GAIN = 25.4 / 8
"""A longer tenon is not worth an offer for less than this [mm]."""
MORE_WOOD = 1.0 / 3.0
"""Nor is a part drawn thicker by more than this share of it (common practice, no source)."""


def longest_blind(plan: Plan, bench: Bench) -> float:
    """The longest blind tenon: clearance and wall left beyond it, and within the cutter's reach [mm]."""
    clearance = plan.size("depth clearance")
    most = plan.depth - clearance - rules.bottom_wall().value
    cutter = rules.cutter_for(plan.size("thickness"), rules.cutters_of(bench.shop), most)
    return min(most, cutter.reach - clearance) if cutter else most


def _room_for(plan: Plan, bench: Bench) -> str:
    most = longest_blind(plan, bench)
    if most <= 0.0:
        return ""
    if plan.size("length") > most - SAME_LENGTH:
        return f"; it takes all the room there is in {plan.site.b.part.id}"
    return f"; {plan.site.b.part.id} has room for {written(most, bench.units, up=False)} {bench.units}"


def _longer(plan: Plan, least: float, bench: Bench) -> str:
    """What gives more: the length the room allows, the meeting, a thinner tenon, going through, thicker wood."""
    most, units, into = longest_blind(plan, bench), bench.units, plan.site.b.part.id
    length, asked = plan.size("length"), not isinstance(plan.site.ask.length, Missing)
    offers = []
    if asked and most >= least:
        offers.append(f"`length: {written(least, units)}`")
    elif asked and most > length + GAIN:
        offers.append(f"`length: {written(most, units, up=False)}`, the longest that leaves the wall, gains a little")
    elif plan.meets and most > length + GAIN:
        first = f"`by: {plan.site.a.part.name} first`"
        offers.append(f"{first} in their `meeting in` gives this one the length and takes it from the other")
    offers += _thin_enough(plan, bench)
    if plan.depth >= least and not plan.meets and not (asked and most >= least):
        offers.append(f"through, {written(plan.depth, units, up=False)} {units} long (`end: through`)")
    if most < least <= most + plan.depth * MORE_WOOD:
        offers.append(f"{into} thicker there by {at_least(least - most, units)}")
    return ", or ".join(offers) or f"leave it where it only holds {into} in its place; a peg or a screw must carry more"


def _thin_enough(plan: Plan, bench: Bench) -> list[str]:
    """A thinner tenon, long enough for its thickness at the length it has: three times as long as thick, and 25 mm."""
    length, thick = plan.size("length"), plan.size("thickness")
    widths = [width for width in rules.widths_in(bench.shop, bench.units) if 3.0 * width <= length + 0.05]
    best = max(widths, default=0.0)
    if length < rules.low_of("JR14") - 0.05 or best < thick / 2.0:
        return []
    return [f"a thinner tenon (`thickness: {exactly(best, bench.units)}`)"]
