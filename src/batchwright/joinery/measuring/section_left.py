"""Pass (e), in one part: how much of its section the mortises of a joint take away."""

from __future__ import annotations

import math

import numpy as np

from batchwright.base.finding import Finding, Grade
from batchwright.geometry.frame import cross, norm, unit
from batchwright.joinery.meeting.probe import exits
from batchwright.joinery.sizing.plan import Bench, Plan
from batchwright.joinery.words import say, say_share
from batchwright.model.draft import JointKind

MOST = 0.5
"""Of the section across a part's grain the mortises of one joint take no more than this, or it is told (common
practice, no source)."""

LEAST_TURN = 0.1
"""A tenon that runs this nearly along the grain of the part it goes into (sine) leaves no fibres beside it to count."""


def section_left(plan: Plan, bench: Bench) -> tuple[Finding, ...]:
    """A note where a joint's mortises take more than half of the section of the part they are cut in."""
    if plan.site.statement.kind is JointKind.DOWEL or not plan.made or not plan.depth:
        return ()
    taken, high = _taken(plan), _high(plan)
    share = taken[0] * taken[1] / (high * plan.depth) if high > 0.0 else 0.0
    if share <= MOST:
        return ()
    into, units = plan.site.b.part.id, bench.units
    return (
        Finding(
            code="mortise-takes-the-section",
            grade=Grade.NOTE,
            what=f"the mortise of {plan.id} takes {say_share(share)} of the section of {into}:"
            f" {say(taken[0], units)} of {say(high, units)}, {say(taken[1], units)} deep in {say(plan.depth, units)}",
            why="fibres that are cut through carry nothing; more than half of a loaded part should run on (common"
            " practice, no source)",
            mend="a narrower or shorter tenon (`width`, `length`), or a part that is larger there",
            about=(plan.id, into),
            utilisation=share / MOST,
            place=plan.site.statement.place,
        ),
    )


def _taken(plan: Plan) -> tuple[float, float]:
    """How much of the section the mortises take across the grain, those beside one another along the grain once, and
    how deep [mm]."""
    lean, turn = abs(math.cos(plan.seat.twist)), abs(math.sin(plan.seat.twist))
    along_x = turn > lean
    spans = {
        round(mortise.centre[0 if along_x else 1], 3): mortise.length * turn + mortise.width * lean
        for _, mortise in plan.made
    }
    depth = max(plan.depth if mortise.through else mortise.depth for _, mortise in plan.made)
    return sum(spans.values()), min(depth, plan.depth)


def _high(plan: Plan) -> float:
    """The part's extent across its grain at the joint, beside the tenon's way [mm]; 0 for a mortise in end grain."""
    across = cross(plan.site.b.grain, plan.frame.z)
    if norm(across) < LEAST_TURN:
        return 0.0
    way = unit(across)
    start = np.array([plan.middle(plan.depth / 2.0)] * 2)
    woods = exits(plan.site.b.solid, start, np.array([way, tuple(-value for value in way)]))
    return float(woods.sum()) if np.isfinite(woods).all() else 0.0
