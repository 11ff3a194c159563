"""Parts that a statement names but that do not meet: how far they stop short, copy by copy."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from batchwright.base.fault import Fault
from batchwright.base.mend import Mend
from batchwright.geometry.frame import Vec3, vec3
from batchwright.joinery.meeting.sites import TOUCH, Site
from batchwright.joinery.meeting.standing import Standing, line_at
from batchwright.joinery.offering import drawn_longer, name_taken_out
from batchwright.joinery.words import Compass, at_least, say
from batchwright.model.draft import JointStatement, PartId
from batchwright.solids.meet import least_distance
from batchwright.solids.rays import cast

AHEAD = 60.0
"""A part this near before an end was meant to be met [mm]."""
FAR = 2000.0
Parts = Mapping[PartId, Standing]


def meets_nothing(
    statement: JointStatement, parts: Parts, met: tuple[set[PartId], Sequence[Site]], compass: Compass
) -> list[Fault]:
    """A fault for each copy of A that meets no copy of B at all."""
    touched, _ = met
    faults = []
    for name in statement.of:
        if name in touched or name not in parts:
            continue
        others = [parts[b] for b in statement.into if b in parts and b != name]
        faults.append(nothing_met(statement, parts[name], others, compass))
    return faults


def nothing_met(statement: JointStatement, a: Standing, others: Sequence[Standing], compass: Compass) -> Fault:
    _, word = statement.words
    what = f"joint {statement.number}: {a.part.id} meets no {word or 'part'}"
    if not others:
        return Fault(code="meets-nothing", place=statement.place, what=what, mend="draw the part it should meet")
    gap, near = min((least_distance(a.solid, b.solid, FAR), b.part.id) for b in others)
    return Fault(
        code="meets-nothing",
        place=statement.place,
        what=f"{what}; it stops {say(gap, compass.units)} short of {near}",
        why=f"parts meet when they are drawn into one another or touch within {say(TOUCH, compass.units)}",
        mend=f"draw {a.part.id} at least {say(gap, compass.units)} longer, into {near}, or take it out of the joint",
        mends=name_taken_out(statement, a.part.id, a.part.name),
    )


def gap_ahead(statement: JointStatement, parts: Parts, met: set[tuple[PartId, int]], compass: Compass) -> list[Fault]:
    """A fault for each end that stops just short of a part the statement names, though its other end meets one.

    `met` holds every jointed end, of all statements.
    """
    faults = []
    if statement.ends or statement.at:
        return []
    for name in sorted(name for name in statement.of if name in parts):
        for sign in (-1, 1):
            if (name, sign) in met or (name, -sign) not in met:
                continue
            near = _ahead(parts[name], [parts[b] for b in statement.into if b in parts and b != name], sign)
            if near is not None:
                short = _short(statement, parts[name], near, compass)
                faults.append(replace(short, mends=_carried_on(parts[name], parts, (sign, near[0]), compass)))
    return faults


def _ahead(a: Standing, others: Sequence[Standing], sign: int) -> tuple[float, PartId] | None:
    """The nearest part straight ahead of an end, and how far."""
    tip = _end_middle(a, sign)
    way = line_at(a, tip, sign)
    back = np.array(tip) - 1.0 * np.array(way)
    found = []
    for b in others:
        strike = cast(b.solid, back[None], way)
        distance = float(strike.distance[0]) - 1.0
        if strike.hit[0] and TOUCH < distance < AHEAD:
            found.append((distance, b.part.id))
    return min(found) if found else None


def _carried_on(a: Standing, parts: Parts, end: tuple[int, float], compass: Compass) -> tuple[Mend, ...]:
    """The part drawn on to where it meets the other, where one number of its drawing does that."""
    sign, gap = end
    side = compass.word_of(line_at(a, _end_middle(a, sign), sign))
    alike = [each.part for each in parts.values() if each.part.name == a.part.name]
    return drawn_longer(a.part, alike, side, at_least(gap, compass.units))


def _end_middle(a: Standing, sign: int) -> Vec3:
    along = a.solid.vertices @ np.array(a.grain)
    edge = a.reach[1] if sign > 0 else a.reach[0]
    return vec3(a.solid.vertices[np.abs(along - edge) < 0.01].mean(axis=0))


def _short(statement: JointStatement, a: Standing, near: tuple[float, PartId], compass: Compass) -> Fault:
    gap, other = near
    return Fault(
        code="stops-short",
        place=statement.place,
        what=f"joint {statement.number}: {a.part.id} stops {say(gap, compass.units)} short of {other}",
        why=f"a gap is no meeting; parts meet when drawn into one another, or within {say(TOUCH, compass.units)}",
        mend=f"draw it into {other}, or narrow the joint with `at` to the end that meets",
    )
