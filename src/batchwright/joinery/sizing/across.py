"""Pass (c), first half: a tenon's size and place across the joint: thickness, number, shoulders, width, haunch."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from batchwright.base.fault import Fault
from batchwright.base.finding import Finding, Grade
from batchwright.base.mend import Mend
from batchwright.base.trace import By, Missing, Sized, Trace
from batchwright.geometry.frame import Vec2, dot
from batchwright.joinery.meeting.probe import exits
from batchwright.joinery.meeting.seat import SIDES, Seat, side_of_word, wood_from
from batchwright.joinery.offering import asks
from batchwright.joinery.sizing import rules
from batchwright.joinery.sizing.pins import dowels_across
from batchwright.joinery.sizing.plan import Bar, Bench, Plan
from batchwright.joinery.words import cite, exactly, say, written
from batchwright.model.draft import JointKind

DEPTHS = (3.0, 10.0, 20.0)
"""Where the wood beside a mortise is looked at before its depth is known [mm]."""
LEAST_SHARE = 0.4
"""Walls and ends take no more of a part's width than leaves this share for the tenon."""
GROOVED = 0.9
"""A groove opens to a side of the tenon where their directions agree more than this (cosine)."""
LEAST = 1.0
"""A tenon thinner or narrower than this is none [mm]."""


def size_across(plan: Plan, bench: Bench, ceiling: float = math.inf) -> Plan:
    """Decide all that lies in the shoulder plane; a thickness by rule stays under a ceiling [mm]."""
    if plan.site.statement.kind is JointKind.DOWEL:
        return dowels_across(plan, bench)
    plan, shoulders = _asked_shoulders(plan, bench)
    plan = _thickness(_number_side_by_side(plan), shoulders, (bench, ceiling))
    middles = _across_thickness(plan, shoulders)
    plan, span = _width(plan, shoulders, bench)
    plan, spans = _in_line(plan, span)
    return _bars(plan, middles, spans, bench)


def _asked_shoulders(plan: Plan, bench: Bench) -> tuple[Plan, dict[str, Sized]]:
    """Shoulders the maker asks for, by side of the tenon."""
    found: dict[str, Sized] = {}
    for word, value in plan.site.ask.shoulders:
        sides = SIDES if word == "all" else (side_of_word(plan.seat, word, bench.compass),)
        for side in sides:
            if side is None:
                plan = plan.fault(_no_such_side(plan, word, bench))
            elif word != "all" or side not in found:
                found[side] = rules.asked(value, f"shoulders {word}")
    return plan, found


def _no_such_side(plan: Plan, word: str, bench: Bench) -> Fault:
    seat = plan.seat
    sides = ", ".join(sorted({bench.compass.word_of(seat.side(side)) for side in SIDES}))
    return Fault(
        code="shoulder-not-beside",
        place=plan.place("shoulders"),
        what=f"the tenon of {plan.id} has no side that looks to the {word}",
        why=f"its sides look {sides}",
        mend=f"name one of {sides}, inside, outside or all",
        mends=_other_sides(plan, word, bench),
    )


def _other_sides(plan: Plan, word: str, bench: Bench) -> tuple[Mend, ...]:
    """The same shoulder on each of the sides that the tenon has."""
    said = dict(plan.site.statement.ask.shoulders)
    if word not in said:
        return ()
    looks = {bench.compass.word_of(plan.seat.side(side)) for side in SIDES} & {"top", "bottom", "front", "back"}
    sides = sorted(looks - set(said))
    text = exactly(said[word], bench.units)
    statement = plan.site.statement
    return tuple(m for side in sides for m in asks(statement, (f"shoulders/{word}", None), (f"shoulders/{side}", text)))


def _number_side_by_side(plan: Plan) -> Plan:
    ask, seat = plan.site.ask, plan.seat
    beside = ask.side_by_side
    number = rules.twin_number(seat.stock) if isinstance(beside, Missing) else rules.asked(beside, "side by side")
    return plan.decide("side by side", number)


def _thickness(plan: Plan, shoulders: dict[str, Sized], desk: tuple[Bench, float]) -> Plan:
    """The tenon's nominal thickness: that of its mortise's cutter."""
    (bench, most), ask, seat = desk, plan.site.ask, plan.seat
    if not isinstance(ask.thickness, Missing):
        sized = rules.asked(ask.thickness, "thickness")
    elif "+y" in shoulders and "-y" in shoulders:
        left = seat.stock - shoulders["+y"].value - shoulders["-y"].value
        sized = rules.asked(left, "shoulders")
    else:
        sized = _thickness_by_rule(plan, bench, most)
    plan = plan.decide("thickness", sized)
    count = int(plan.size("side by side"))
    if sized.value < LEAST or count * sized.value > seat.stock - 0.5:
        instead = replace(sized, value=seat.stock / (2 * count + 1))
        plan = plan.fault(_too_thick(plan, sized, bench)).decide("thickness", instead)
    return _cutter(plan, bench)


def _thickness_by_rule(plan: Plan, bench: Bench, most: float) -> Sized:
    seat, cutters = plan.seat, rules.cutters_of(bench.shop)
    count = int(plan.size("side by side"))
    walls = _wood_across(seat)
    wall = rules.side_wall(bench.shop, bench.outdoors).value
    ceiling = min(seat.stock - 2.0 * 1.5, 2.0 * (min(walls) - wall), seat.room_high[1] - seat.room_low[1])
    ceiling = min(most, max(ceiling, min(seat.stock / 3.0, 6.0)))
    if count > 1:
        share = seat.stock / (2 * count + 1)
        target = rules.ruled(share, "JR11", f"{count} tenons and {count + 1} equal spaces in {seat.stock:.1f} mm")
        return rules.thickness_to_cutter(target, min(ceiling, share * 1.5), cutters)
    half = rules.thickness_in_thicker(seat.stock, sum(walls))
    if half is not None:
        limit = min(ceiling, half.value, _as_long_as_three(plan, bench))
        widths = [cutter.width for cutter in cutters if cutter.width <= limit + 0.01]
        if widths and max(widths) >= seat.stock / 3.0 - 0.01:
            return replace(half, value=max(widths))
    return rules.thickness_to_cutter(rules.thickness_third(seat.stock), ceiling, cutters)


def _as_long_as_three(plan: Plan, bench: Bench) -> float:
    """The thickness that a tenon as long as B allows is still three times as long as (JR14, JR16)."""
    depth = wood_from(plan.seat, plan.seat.frame.to_world((0.0, 0.0, 1.0)), plan.seat.frame.z) + 1.0
    return (depth - rules.bottom_wall().value - rules.depth_clearance(bench.shop).value) / 3.0


def _wood_across(seat: Seat) -> tuple[float, float]:
    """Least wood of B from the joint's middle to both sides in the thickness, near the mouth."""
    points = np.array([seat.frame.to_world((0.0, 0.0, depth)) for depth in DEPTHS])
    ways = np.repeat([seat.side("+y"), seat.side("-y")], len(DEPTHS), axis=0)
    woods = exits(seat.site.b.solid, np.concatenate([points, points]), ways).reshape(2, -1)
    above, below = (min(row[row > 0.0].tolist(), default=seat.stock / 2.0) for row in woods)
    return above, below


def _too_thick(plan: Plan, sized: Sized, bench: Bench) -> Fault:
    count, stock = int(plan.size("side by side")), plan.seat.stock
    many, do = (f"{count} tenons of ", "do") if count > 1 else ("a tenon of ", "does")
    return Fault(
        code="tenon-thicker-than-part",
        place=plan.place("thickness"),
        what=f"{many}{say(sized.value, bench.units)} {do} not fit {plan.site.a.part.id}, "
        f"{say(stock, bench.units)} thick at {plan.id}",
        why="a tenon needs a shoulder beside it",
        mend=f"make the thickness at most {say(stock / (count + 0.5), bench.units)}, or fewer side by side",
        mends=_thinner(plan, stock / (count + 0.5), bench),
    )


def _thinner(plan: Plan, most: float, bench: Bench) -> tuple[Mend, ...]:
    """The thickest tenon that a cutter makes and that leaves its shoulders."""
    widths = [width for width in rules.widths_in(bench.shop, bench.units) if width <= most]
    text = exactly(max(widths), bench.units) if widths else written(most, bench.units, up=False)
    return asks(plan.site.statement, ("thickness", text))


def _cutter(plan: Plan, bench: Bench) -> Plan:
    """The cutter that makes the mortise: square or round ends."""
    thickness = plan.size("thickness")
    cutter = rules.cutter_for(thickness, rules.cutters_of(bench.shop))
    if cutter is not None:
        return replace(plan, round_ends=cutter.round_ends)
    owned = [c.width for c in rules.cutters_of(bench.shop)]
    near = min(owned, key=lambda width: abs(width - thickness))
    return plan.find(
        Finding(
            code="no-cutter-of-that-width",
            grade=Grade.NOTE,
            what=f"no cutter is {say(thickness, bench.units)} wide, as the mortise of {plan.id} wants",
            why="the thickness is the maker's own" if _by_maker(plan, "thickness") else "",
            mend=f"cut it in two passes, or make the thickness {say(near, bench.units)}",
            mends=asks(plan.site.statement, ("thickness", exactly(near, bench.units))),
            source=cite("JR02"),
            about=(plan.id,),
            place=plan.place("thickness"),
        )
    )


def _by_maker(plan: Plan, name: str) -> bool:
    sized = plan.sized(name)
    return sized is not None and sized.trace.by is By.MAKER


def _across_thickness(plan: Plan, shoulders: dict[str, Sized]) -> tuple[float, ...]:
    """Middles of the tenons side by side, along the joint's y."""
    seat, t = plan.seat, plan.size("thickness")
    count = int(plan.size("side by side"))
    space = (seat.stock - count * t) / (count + 1)
    whole = count * t + (count - 1) * space
    middle = (seat.low[1] + seat.high[1]) / 2.0
    if "+y" in shoulders and "-y" not in shoulders:
        middle = seat.high[1] - shoulders["+y"].value - whole / 2.0
    elif "-y" in shoulders:
        middle = seat.low[1] + shoulders["-y"].value + whole / 2.0
    elif seat.room_high[1] - seat.room_low[1] >= whole:
        middle = min(max(middle, seat.room_low[1] + whole / 2.0), seat.room_high[1] - whole / 2.0)
    else:
        middle = (seat.room_low[1] + seat.room_high[1]) / 2.0
    first = middle - whole / 2.0 + t / 2.0
    return tuple(first + i * (t + space) for i in range(count))


def _side_shoulders(plan: Plan, shoulders: dict[str, Sized], haunch: str, bench: Bench) -> dict[str, Sized]:
    """Shoulder on each side in the width: asked, or by rule: a covering one, wood to B's end, the common area."""
    found: dict[str, Sized] = {}
    ruled = [side for side in ("+x", "-x") if side not in shoulders and side != haunch]
    beyond = _wood_beyond(plan, ruled) if ruled else {}
    for side in ("+x", "-x"):
        if side in shoulders:
            found[side] = shoulders[side]
        elif side == haunch:
            found[side] = rules.drawn(0.0, "the haunch runs to the edge")
        else:
            found[side] = _shoulder_by_rule(plan, side, (bench, beyond))
    return found


def _shoulder_by_rule(plan: Plan, side: str, desk: tuple[Bench, dict[str, float]]) -> Sized:
    seat, (bench, beyond) = plan.seat, desk
    best = rules.small_shoulder()
    if plan.site.statement.kind is JointKind.LOOSE_TENON:
        best = rules.ruled(rules.side_wall(bench.shop, bench.outdoors).value, "JR15", "wood left beside its mortise")
    if seat.site.section.round:
        chord = 1.0 - math.sqrt(max(0.0, 1.0 - (plan.size("thickness") / seat.stock) ** 2))
        value = best.value + seat.width * chord / 2.0
        best = rules.drawn(value, "so that the tenon's corners stay inside the round")
    grooved = _grooved(plan, side, bench)
    if grooved > best.value:
        best = rules.ruled(grooved, "JR05", "what the groove along that edge takes off")
    beside = seat.edge(side) - (seat.room_high[0] if side == "+x" else -seat.room_low[0])
    if beside > best.value:
        best = rules.drawn(beside, "kept 1/4 in inside the area where both parts meet")
    wood, keep = beyond[side], _keep(plan, bench)
    needed = seat.edge(side) - (wood - keep.value - bench.shop.fits.ends.value / 2.0)
    needed = min(needed, seat.edge(side) - seat.width * LEAST_SHARE / 2.0)
    if wood > 0.0 and needed > best.value:
        best = replace(keep, value=needed)
    return best


def _grooved(plan: Plan, side: str, bench: Bench) -> float:
    """How deep the groove is that runs along the tenoned part on one side of the tenon [mm]; 0 without."""
    ways = bench.grooves.get(plan.site.a.part.id, ())
    return max((deep for way, deep in ways if dot(way, plan.seat.side(side)) > GROOVED), default=0.0)


def _keep(plan: Plan, bench: Bench) -> Sized:
    """Wood to keep beyond a mortise's end: to the end of B along its grain (JR17), a wall across it (JR15)."""
    if plan.seat.twist < math.radians(30.0):
        return rules.relish()
    wall = rules.side_wall(bench.shop, bench.outdoors)
    return rules.ruled(wall.value, "JR15", "wood left beside the mortise, which runs across the grain")


def _wood_beyond(plan: Plan, sides: list[str]) -> dict[str, float]:
    """Least wood of B from the joint's middle along the mortise's length on some sides, over its likely depth [mm]."""
    seat = plan.seat
    t = plan.size("thickness") / 2.0
    depth = wood_from(seat, seat.frame.to_world((0.0, 0.0, seat.site.contact.hollow + 0.5)), seat.frame.z)
    asked = plan.site.ask.length
    deep = depth * 2.0 / 3.0 if isinstance(asked, Missing) else min(asked, depth)
    points = np.array([(0.0, y, z) for y in (-t, 0.0, t) for z in (1.0, deep / 2.0, deep + 1.5)])
    starts = np.tile(seat.frame.many_to_world(points), (len(sides), 1))
    ways = np.repeat([seat.side(side) for side in sides], len(points), axis=0)
    woods = exits(seat.site.b.solid, starts, ways, seat.site.contact.faces).reshape(len(sides), -1)
    inside = [row[(row > 0.0) & np.isfinite(row)] for row in woods]
    return {side: float(row.min()) if len(row) else 0.0 for side, row in zip(sides, inside)}


def _width(plan: Plan, shoulders: dict[str, Sized], bench: Bench) -> tuple[Plan, Vec2]:
    """The tenon's span along the joint's x: between its shoulders, beside a haunch, or as wide as asked."""
    seat, ask = plan.seat, plan.site.ask
    haunch = "" if isinstance(ask.haunch, Missing) else side_of_word(seat, ask.haunch, bench.compass) or ""
    sides = _side_shoulders(plan, shoulders, haunch, bench)
    low, high = seat.low[0] + sides["-x"].value, seat.high[0] - sides["+x"].value
    for side, sized in sides.items():
        plan = plan.decide(f"shoulder {bench.compass.word_of(seat.side(side))}", sized)
    if not isinstance(ask.width, Missing):
        width = rules.asked(ask.width, "width")
    elif haunch:
        width = rules.width_beside_haunch(high - low)
    else:
        width = Sized(high - low, Trace(by=By.GEOMETRY, why="what the shoulders leave of the part's width"))
    span = _anchored((low, high), width.value, (haunch, frozenset(shoulders)))
    plan = plan.decide("width", width)
    if width.value < LEAST or width.value > seat.width + 0.01:
        return plan.fault(_no_width(plan, width.value, bench)), (seat.low[0], seat.high[0])
    return _haunched(plan, span, (low, high), haunch), span


def _anchored(limits: Vec2, width: float, said: tuple[str, frozenset[str]]) -> Vec2:
    """Where a tenon of a width lies between its shoulders: against the one the maker gave, away from a haunch."""
    (low, high), (haunch, asked) = limits, said
    if haunch == "+x" or ("-x" in asked and "+x" not in asked):
        return low, low + width
    if haunch == "-x" or ("+x" in asked and "-x" not in asked):
        return high - width, high
    middle = (low + high) / 2.0
    return middle - width / 2.0, middle + width / 2.0


def _haunched(plan: Plan, span: Vec2, limits: Vec2, haunch: str) -> Plan:
    if not haunch:
        return plan
    wide = limits[1] - span[1] if haunch == "+x" else span[0] - limits[0]
    if wide < LEAST:
        return plan
    plan = plan.decide("haunch width", rules.drawn(wide, "what the tenon leaves of the rail"))
    plan = plan.decide("haunch length", rules.haunch_length(plan.size("thickness")))
    return replace(plan, haunch_side=haunch)


def _no_width(plan: Plan, width: float, bench: Bench) -> Fault:
    seat, units = plan.seat, bench.units
    room = seat.room_high[0] - seat.room_low[0]
    return Fault(
        code="no-room-for-tenon",
        place=plan.place("width"),
        what=f"{plan.id}: a tenon {say(width, units)} wide does not fit; the part is {say(seat.width, units)} wide"
        f" there and {say(room, units)} of it come up to {plan.site.b.part.id}",
        why="shoulders and the wood to the end of the mortised part take the rest",
        mend="draw the parts with more in common, ask for smaller shoulders, or give the width",
    )


def _in_line(plan: Plan, span: Vec2) -> tuple[Plan, tuple[Vec2, ...]]:
    """One tenon, or several one above another with equal gaps."""
    ask, whole = plan.site.ask, span[1] - span[0]
    number = rules.in_line_number(whole) if isinstance(ask.in_line, Missing) else rules.asked(ask.in_line, "in line")
    plan = plan.decide("in line", number)
    count = int(number.value)
    if count < 2:
        return _advise_split(plan, whole), (span,)
    gap = max(plan.size("thickness"), whole / (3.0 * count - 1.0))
    each = (whole - (count - 1) * gap) / count
    plan = plan.decide("gap in line", rules.ruled(gap, "JR12", "half of each tenon, at least its thickness"))
    plan = plan.decide("width of each", rules.drawn(each, "what the gaps leave"))
    return plan, tuple((span[0] + i * (each + gap), span[0] + i * (each + gap) + each) for i in range(count))


def _advise_split(plan: Plan, width: float) -> Plan:
    advised = rules.advised_width(plan.size("thickness"))
    if width <= max(advised, rules.low_of("JR12")) or isinstance(plan.site.ask.in_line, int):
        return plan
    return plan.find(
        Finding(
            code="wide-tenon",
            grade=Grade.NOTE,
            what=f"the tenon of {plan.id} is {width / plan.size('thickness'):.1f} times as wide as thick",
            why="across the grain of the mortised part a wide tenon moves and its glue line is strained (JR12)",
            mend="`in line: 2` makes two of it; glue one fully and let the other float",
            source=cite("JR12"),
            about=(plan.id,),
            utilisation=width / advised,
            place=plan.place("width"),
        )
    )


def _bars(plan: Plan, ys: tuple[float, ...], spans: tuple[Vec2, ...], bench: Bench) -> Plan:
    """The tenons' own sizes, clearances taken off the thickness."""
    ask = plan.site.ask
    fit = bench.shop.fits
    cheeks = fit.cheeks if isinstance(ask.clearance, Missing) else rules.asked(ask.clearance, "clearance")
    ends = fit.loose_width if plan.site.statement.kind is JointKind.LOOSE_TENON else fit.ends
    if plan.passes_through:
        ends = Sized(0.0, Trace(by=By.DEFAULT, why="a through tenon shows: it fills its mortise's length"))
    plan = plan.decide("cheek clearance", cheeks).decide("end clearance", ends)
    thin = plan.size("thickness") - cheeks.value
    bars = tuple(
        Bar(centre=((low + high) / 2.0, y), width=high - low, thickness=thin) for low, high in spans for y in ys
    )
    return replace(plan, bars=bars)
