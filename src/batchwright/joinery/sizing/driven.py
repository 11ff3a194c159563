"""Wedges and tusks: saw kerfs, the mortise's flare, and the tusk through a tenon that stands out of its part."""

from __future__ import annotations

from dataclasses import replace

from batchwright.base.fault import Fault
from batchwright.base.finding import Finding, Grade
from batchwright.base.mend import Mend
from batchwright.base.trace import By, Missing, Sized, Trace
from batchwright.geometry.frame import Frame
from batchwright.joinery.offering import asks
from batchwright.joinery.sizing import rules
from batchwright.joinery.sizing.plan import Bench, Plan
from batchwright.joinery.words import at_least, cite, say, written
from batchwright.model.piece import Tusk

PRACTICE = "common practice, no source"
KERF = 1.5
"""What a hand saw takes [mm]."""
KERF_SHARE = 2.0 / 3.0
"""How far a wedge's kerf runs into the wood that the tenon passes, as a share of it."""
SPREAD = 1.0 / 16.0
MOST_FLARE = 25.4 / 8.0
"""The mortise opens at either end by one in sixteen over the kerf's depth, and at most so far [mm]."""
BESIDE = 4.0
"""Wood that stays beside every kerf [mm]."""
ROOM = 6.0
"""Wood that stays beside a tusk [mm]."""
ACROSS = 0.7853981633974483
"""From this twist on a mortise runs across the grain, and its tenon is spread along its thickness [rad]."""
TUSK_SHARE, TUSK_THICK = 0.4, 1.5
"""A tusk is one and a half times as wide as thick, at most two fifths of what stands out."""
TUSK_TAPER = 1.0 / 10.0
TUSK_PULL = 25.4 / 16.0
"""The hole begins so far inside the face, so that the tusk pulls the shoulder home [mm]."""
TUSK_OVER = 25.4
"""A tusk stands out so far on both sides of its tenon [mm]."""
UPRIGHT = 0.5


def driven(plan: Plan, bench: Bench) -> Plan:
    """The plan with its wedges or its tusk, where the maker asks for them."""
    if not plan.bars:
        return plan
    ask = plan.site.ask
    if not isinstance(ask.wedges, Missing) and plan.end_form != "wedged":
        plan = plan.fault(_not_wedged(plan))
    if plan.end_form == "wedged":
        plan = _wedged(plan, bench)
    return plan if isinstance(ask.tusk, Missing) or ask.tusk <= 0.0 else _tusked(plan, ask.tusk, bench)


def _by_default(value: float, why: str) -> Sized:
    return Sized(value, Trace(by=By.DEFAULT, why=why, source=PRACTICE))


def spreads_across(plan: Plan) -> bool:
    """Whether wedges spread a tenon along its thickness: always along the mortised part's grain, or they split it."""
    return plan.seat.twist > ACROSS


def _wedged(plan: Plan, bench: Bench) -> Plan:
    wedges, bar = plan.site.ask.wedges, plan.bars[0]
    size = bar.thickness if spreads_across(plan) else bar.width
    usual = 2.0 if size / 3.0 >= BESIDE else 1.0
    number = (
        rules.asked(float(wedges), "wedges") if isinstance(wedges, int) else _by_default(usual, "two, where they fit")
    )
    if size / (number.value + 1.0) < BESIDE:
        return plan.fault(_too_many(plan, (int(number.value), size), bench))
    deep = plan.depth * KERF_SHARE
    flare = min(deep * SPREAD, MOST_FLARE)
    thick = KERF + 2.0 * flare / number.value
    proud = plan.size("proud")
    plan = plan.decide("wedges", number)
    plan = plan.decide("wedge kerf", _by_default(KERF, "what a saw takes"))
    kerf = _by_default(deep + proud, "two thirds of the wood it passes, from the tenon's end")
    plan = plan.decide("kerf depth", kerf)
    plan = plan.decide("flare", _by_default(flare, "at either end: one in sixteen over the kerf, at most 1/8 in"))
    spread = Trace(by=By.GEOMETRY, why="the kerf, and what the flare opens, shared by the wedges")
    plan = plan.decide("wedge thickness", Sized(thick, spread))
    return plan.decide("wedge length", Sized(deep + proud, Trace(by=By.GEOMETRY, why="as deep as the kerf; trimmed")))


def _not_wedged(plan: Plan) -> Fault:
    return Fault(
        code="wedges-not-through",
        place=plan.place("wedges"),
        what=f"{plan.id} asks for wedges, but its end is {plan.end_form}",
        why="wedges are driven from the far side into a tenon that comes through",
        mend="add `end: wedged`, or take `wedges` out",
    )


def _too_many(plan: Plan, found: tuple[int, float], bench: Bench) -> Fault:
    count, size = found
    return Fault(
        code="too-many-wedges",
        place=plan.place("wedges"),
        what=f"{count} wedges do not fit the tenon of {plan.id}, {say(size, bench.units)} along the way they spread it",
        why=f"{say(BESIDE, bench.units)} of wood stay beside every kerf",
        mend="ask for fewer wedges, or a wider tenon",
        mends=_fewer(plan, int(size / BESIDE) - 1),
    )


def _fewer(plan: Plan, most: int) -> tuple[Mend, ...]:
    """As many wedges as leave their wood, where one does."""
    return asks(plan.site.statement, ("wedges", str(most))) if most >= 1 else ()


def _tusked(plan: Plan, thick: float, bench: Bench) -> Plan:
    proud = plan.size("proud")
    if plan.end_form != "through" or proud <= 0.0:
        return plan.fault(_stands_not_out(plan, thick, bench))
    way = _way(plan, thick)
    if way is None:
        return plan.fault(_too_thick(plan, thick, bench))
    low, high = (plan.low[0], plan.high[0]) if way == "x" else (plan.low[1], plan.high[1])
    tall, across = high - low, _across(plan, way)
    wide = min(TUSK_THICK * thick, TUSK_SHARE * proud)
    top = wide + tall / 2.0 * TUSK_TAPER
    left = proud + TUSK_PULL - top
    plan = plan.decide("tusk thickness", rules.asked(thick, "tusk"))
    plan = plan.decide("tusk width", _by_default(wide, "1 1/2 of its thickness, at most 2/5 of what stands out"))
    plan = plan.decide("tusk taper", _by_default(TUSK_TAPER, "in one, on its outer edge"))
    plan = plan.decide("tusk length", _by_default(tall + 2.0 * TUSK_OVER, "stands out 1 in on both sides"))
    pull = _by_default(TUSK_PULL, "the hole begins so far inside the face, so that the tusk pulls")
    plan = plan.decide("tusk pull", pull)
    plan = plan.decide("wood beyond the tusk", rules.drawn(left, "to the tenon's end, on the tusk's wide side"))
    tusk = Tusk(frame=_frame(plan, way, (low, high)), thickness=thick, width=wide, taper=TUSK_TAPER, through=tall)
    plan = replace(plan, tusk=tusk)
    return plan if left >= max(wide, thick) - 0.05 else plan.find(_near_end(plan, (left, wide, across), bench))


def _across(plan: Plan, way: str) -> float:
    return plan.high[1] - plan.low[1] if way == "x" else plan.high[0] - plan.low[0]


def _way(plan: Plan, thick: float) -> str | None:
    """The tenon's axis that a tusk goes along: the upright one where the tenon is thick enough for it, so that the tusk
    drops as it wears; else the other. None where a tusk leaves no wood beside it either way."""
    upright = "x" if abs(plan.frame.x[2]) >= abs(plan.frame.y[2]) else "y"
    other = "y" if upright == "x" else "x"
    for way in (upright, other):
        if thick <= _across(plan, way) / 2.0 and _across(plan, way) - thick >= 2.0 * ROOM - 1e-9:
            return way
    return None


def _frame(plan: Plan, way: str, span: tuple[float, float]) -> Frame:
    """z: the way the tusk is driven, down where it can; x: out along the tenon; origin: on the tenon's face where it
    goes in, at the hole's inner side."""
    axis = plan.frame.x if way == "x" else plan.frame.y
    down = axis[2] < -UPRIGHT or (abs(axis[2]) <= UPRIGHT and sum(axis) > 0.0)
    z = axis if down else (-axis[0], -axis[1], -axis[2])
    middle = (plan.low[1] + plan.high[1]) / 2.0 if way == "x" else (plan.low[0] + plan.high[0]) / 2.0
    enters = span[0] if down else span[1]
    deep = plan.depth - TUSK_PULL
    point = (enters, middle, deep) if way == "x" else (middle, enters, deep)
    x = plan.frame.z
    y = (z[1] * x[2] - z[2] * x[1], z[2] * x[0] - z[0] * x[2], z[0] * x[1] - z[1] * x[0])
    return Frame(plan.frame.to_world(point), x, y, z)


def _stands_not_out(plan: Plan, thick: float, bench: Bench) -> Fault:
    return Fault(
        code="tusk-without-proud",
        place=plan.place("tusk"),
        what=f"the tusk of {plan.id} finds no tenon to go through beyond {plan.site.b.part.id}",
        why="a tusk goes through the part of a through tenon that stands out",
        mend="add `end: through` and `proud: ...`, four times the tusk's thickness or more",
        mends=asks(plan.site.statement, ("end", "through"), ("proud", written(4.0 * thick, bench.units))),
    )


def _too_thick(plan: Plan, thick: float, bench: Bench) -> Fault:
    most = max(min(_across(plan, way) / 2.0, _across(plan, way) - 2.0 * ROOM) for way in ("x", "y"))
    return Fault(
        code="tusk-too-thick",
        place=plan.place("tusk"),
        what=f"a tusk {say(thick, bench.units)} thick leaves too little beside it in the tenon of {plan.id}",
        why="its hole takes half of the tenon at most (common practice)",
        mend=f"make it {say(most, bench.units)} thick at most, or the tenon thicker",
        mends=asks(plan.site.statement, ("tusk/thickness", written(most, bench.units, up=False))),
    )


def _near_end(plan: Plan, found: tuple[float, float, float], bench: Bench) -> Finding:
    left, wide, _ = found
    wanted = max(wide, plan.size("tusk thickness"))
    return Finding(
        code="tusk-near-end",
        grade=Grade.NEAR if left > wanted / 2.0 else Grade.FAILS,
        what=f"{say(left, bench.units)} of wood stay between the tusk of {plan.id} and the tenon's end",
        why=f"as much as the tusk is wide, {say(wanted, bench.units)}, keeps the end from shearing out",
        mend=f"let the tenon stand out by {at_least(wanted - left, bench.units)} more (`proud`)",
        mends=asks(plan.site.statement, ("proud", written(plan.size("proud") + wanted - left, bench.units))),
        source=cite("JR17"),
        about=(plan.id,),
        utilisation=wanted / max(left, 0.01),
        place=plan.place("tusk"),
    )
