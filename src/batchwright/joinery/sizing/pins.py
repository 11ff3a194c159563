"""Dowels: how thick, how many, how long, and where they stand across the joint."""

from __future__ import annotations

import math
from dataclasses import replace

from batchwright.base.trace import By, Missing, Sized, Trace
from batchwright.joinery.sizing import rules
from batchwright.joinery.sizing.plan import Bar, Bench, Plan

APART = 50.0
"""Dowels stand at most so far apart (common practice, no source) [mm]."""
PRACTICE = "common practice, no source"


def dowels_across(plan: Plan, bench: Bench) -> Plan:
    """Round pins in a row along the joint's width, on the middle of the thickness."""
    ask, seat = plan.site.ask, plan.seat
    if isinstance(ask.diameter, Missing):
        target = rules.drawn(seat.stock / 2.0, f"half of the stock ({PRACTICE})")
        thick = rules.thickness_to_cutter(target, seat.stock / 2.0, rules.cutters_of(bench.shop))
    else:
        thick = rules.asked(ask.diameter, "diameter")
    low, high = seat.room_low[0] + 1.5 * thick.value, seat.room_high[0] - 1.5 * thick.value
    if isinstance(ask.count, Missing):
        number = max(2, 1 + math.ceil(max(0.0, high - low) / APART))
        count = Sized(
            float(number), Trace(by=By.DEFAULT, why=f"two or more, at most {APART:.0f} mm apart", source=PRACTICE)
        )
    else:
        count = rules.asked(float(ask.count), "count")
    n = int(count.value)
    middle = (seat.room_low[1] + seat.room_high[1]) / 2.0
    xs = [low + i * (high - low) / (n - 1) for i in range(n)] if n > 1 else [(low + high) / 2.0]
    bars = tuple(Bar(centre=(x, middle), width=thick.value, thickness=thick.value) for x in xs)
    plan = plan.decide("thickness", thick).decide("width", thick).decide("count", count)
    plan = plan.decide("cheek clearance", rules.drawn(0.0, "a dowel fills its hole"))
    plan = plan.decide("end clearance", rules.drawn(0.0, "a dowel fills its hole"))
    return replace(plan, bars=bars, round_ends=True)


def dowel_length(plan: Plan) -> Sized:
    """Four diameters, where the wall beyond the hole is left."""
    most = plan.depth - rules.bottom_wall().value - plan.size("depth clearance")
    four = 4.0 * plan.size("thickness")
    if four <= most:
        return Sized(four, Trace(by=By.DEFAULT, why="four diameters into each part", source=PRACTICE))
    return rules.ruled(most, "JR16", f"as deep as leaves the wall beyond it in {plan.depth:.1f} mm")
