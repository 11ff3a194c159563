"""Pegs: how many, how thick, how far from the shoulder, how much draw, and where they stand in the joint."""

from __future__ import annotations

from dataclasses import replace

from batchwright.base.finding import Finding, Grade
from batchwright.base.mend import Mend
from batchwright.base.trace import Missing, Sized
from batchwright.geometry.frame import Vec3, plus
from batchwright.joinery.meeting.seat import side_of_word, wood_from
from batchwright.joinery.offering import asks
from batchwright.joinery.sizing import rules
from batchwright.joinery.sizing.plan import Bench, Plan
from batchwright.joinery.words import cite, say, written
from batchwright.model.piece import Peg

WIDE = 50.0
"""From this width on a tenon is given two pegs (common practice, no source) [mm]."""
FAR_WALL = 2.0 / 3.0
"""Share of the wall beyond the tenon that a peg runs into (common practice, no source)."""

LEAST_PEG = 4.0
"""No mend asks for a peg thinner than this [mm]."""


def peg(plan: Plan, bench: Bench) -> Plan:
    """The plan with its pegs, if the maker asks for any."""
    ask = plan.site.ask.pegs
    if ask is None or ask.count == 0 or not plan.bars:
        return plan
    t, length = plan.size("thickness"), plan.size("length")
    count = _count(plan) if isinstance(ask.count, Missing) else rules.asked(ask.count, "pegs count")
    thick = rules.peg_diameter(t) if isinstance(ask.diameter, Missing) else rules.asked(ask.diameter, "pegs diameter")
    draw = rules.peg_draw() if isinstance(ask.draw, Missing) else rules.asked(ask.draw, "pegs draw")
    back = rules.peg_setback(thick.value, length)
    for name, sized in (("count", count), ("diameter", thick), ("draw", draw), ("setback", back)):
        plan = plan.decide(f"peg {name}", sized)
    side = side_of_word(plan.seat, "outside", bench.compass) or "+y"
    if side[1] != "y":
        side = "+y"
    pegs = tuple(_peg_at(plan, x, side) for x in _places(plan, int(count.value)))
    return _end_of_tenon(replace(plan, pegs=pegs), bench)


def _end_of_tenon(plan: Plan, bench: Bench) -> Plan:
    """JR20: three diameters of wood between a peg and the tenon's end, on its middle where it is mitred."""
    middle = plan.frame.to_local(plan.middle())
    ends = [-tip.height((middle[0], middle[1], 0.0)) / tip.normal[2] for tip in plan.tips]
    left = min([plan.size("length"), *ends]) - plan.size("peg setback")
    wanted = 3.0 * plan.size("peg diameter")
    if left >= wanted - 0.05:
        return plan
    return plan.find(
        Finding(
            code="peg-near-tenon-end",
            grade=Grade.NEAR,
            what=f"a peg of {plan.id} leaves {say(left, bench.units)} to the tenon's end; the rule asks"
            f" {say(wanted, bench.units)}",
            why="three diameters keep the draw from shearing the tenon's end out (JR20)",
            mend="a thinner peg, a longer tenon, or less draw",
            mends=_thinner(plan, left, bench),
            source=cite("JR20"),
            about=(plan.id,),
            utilisation=wanted / max(left, 0.01),
            place=plan.place("pegs"),
        )
    )


def _thinner(plan: Plan, left: float, bench: Bench) -> tuple[Mend, ...]:
    """The thickest peg that leaves three of its diameters; none where that would be no peg any more."""
    most = left / 3.0
    if most < LEAST_PEG:
        return ()
    return asks(plan.site.statement, ("pegs/diameter", written(most, bench.units, up=False)))


def _count(plan: Plan) -> Sized:
    wide = plan.high[0] - plan.low[0]
    number = 2.0 if wide >= WIDE else 1.0
    return rules.drawn(number, f"one peg, two from a width of {WIDE:.0f} mm on (common practice, no source)")


def _places(plan: Plan, count: int) -> tuple[float, ...]:
    """Along the tenon's width: evenly; one in each of several in line first."""
    spans = sorted({(bar.centre[0] - bar.width / 2.0, bar.centre[0] + bar.width / 2.0) for bar in plan.bars})
    if len(spans) > 1:
        each = [count // len(spans) + (1 if i < count % len(spans) else 0) for i in range(len(spans))]
        return tuple(low + (k + 0.5) / n * (high - low) for (low, high), n in zip(spans, each) for k in range(n))
    low, high = spans[0]
    return tuple(low + (k + 0.5) / count * (high - low) for k in range(count))


def _peg_at(plan: Plan, x: float, side: str) -> Peg:
    y = (plan.low[1] + plan.high[1]) / 2.0
    inside = plan.frame.to_world((x, y, plan.size("peg setback")))
    out = plan.seat.side(side)
    near = wood_from(plan.seat, inside, out)
    far = wood_from(plan.seat, inside, _back(out))
    half = (plan.high[1] - plan.low[1]) / 2.0
    beyond = max(0.0, far - half)
    return Peg(
        point=plus(inside, out, near),
        direction=_back(out),
        diameter=plan.size("peg diameter"),
        length=near + half + beyond * FAR_WALL,
        draw=plan.size("peg draw"),
    )


def _back(way: Vec3) -> Vec3:
    return (-way[0], -way[1], -way[2])
