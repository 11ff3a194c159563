"""Fixings written out: points, sizes, contact, what is measured; from the pairs held without a tenon."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from batchwright.base.finding import Finding
from batchwright.base.trace import By, Missing, Sized, Trace
from batchwright.geometry.frame import dot
from batchwright.joinery.cutting.fixed import Held
from batchwright.joinery.cutting.screws import (
    BUTTON_DOWN,
    WOOD,
    bed_of,
    button_points,
    check_screws,
    read_size,
    screw_points,
)
from batchwright.joinery.meeting.standing import Standing
from batchwright.joinery.sizing import rules
from batchwright.joinery.sizing.plan import Bench, Plan
from batchwright.model.draft import JointKind, PartId
from batchwright.model.piece import Fixing, FixingPoint
from batchwright.solids.build import Solid
from batchwright.solids.meet import contact_area


def fixings_of(held: Sequence[Held], plans: Sequence[Plan], bench: Bench) -> tuple[tuple[Fixing, ...], list[Finding]]:
    """Every fixing with its points and measures, and what there is to say of them; contact comes later."""
    fixings: list[Fixing] = []
    findings: list[Finding] = []
    for each in held:
        fixing, found = _fixing(each, plans, bench)
        fixings.append(fixing)
        findings += found
    return tuple(fixings), findings


def with_contact(fixings: Sequence[Fixing], solids: Mapping[PartId, Solid]) -> tuple[Fixing, ...]:
    """The fixings with their contact areas; `solids` are the finished parts in the world."""
    done = []
    for fixing in fixings:
        a, b = solids.get(fixing.part), solids.get(fixing.into)
        done.append(fixing if a is None or b is None else replace(fixing, contact=contact_area(a, b)))
    return tuple(done)


def screw_hole(fixing: Fixing, units: str) -> tuple[float, float] | None:
    """Shank diameter and depth of a screw's hole in the first part [mm]; None where the size is not readable."""
    size = read_size(fixing.size, units) if fixing.kind is JointKind.SCREW and fixing.points else None
    wood = next((each.value for each in fixing.measures if each.name == WOOD), None)
    return None if size is None or wood is None else (size[0], wood)


def _fixing(held: Held, plans: Sequence[Plan], bench: Bench) -> tuple[Fixing, list[Finding]]:
    kind = held.statement.kind
    bare = Fixing(
        id=held.id,
        kind=kind,
        part=held.a.part.id,
        into=held.b.part.id,
        contact=0.0,
        size="" if isinstance(held.ask.size, Missing) else held.ask.size,
        slotted=held.ask.slotted,
        sizes=_sizes(held),
        statement=held.statement.number,
        place=held.statement.place,
    )
    if kind is JointKind.SCREW:
        return _screwed(held, bare, bench)
    if kind is JointKind.BUTTON:
        points, count = button_points(held, between_shoulders(held.a, plans), bench.compass.middle)
        down = Sized(BUTTON_DOWN, Trace(by=By.DEFAULT, why="slot under the top", source="common practice, no source"))
        return replace(bare, points=points, sizes=(*bare.sizes, ("count", count), ("below the top", down))), []
    return bare, []


def _screwed(held: Held, bare: Fixing, bench: Bench) -> tuple[Fixing, list[Finding]]:
    bed = bed_of(held)
    if bed is None:
        return bare, []
    points: tuple[FixingPoint, ...] = screw_points(held, bed)
    checked = check_screws(held, bed, points, bench)
    return replace(bare, points=points, measures=tuple(checked.measures)), checked.findings


def _sizes(held: Held) -> tuple[tuple[str, Sized], ...]:
    """How deep a housing or groove is, how loose, how many slips: what the statement or the drawing gives."""
    found: list[tuple[str, Sized]] = []
    ask = held.ask
    if held.common is not None:
        frame = held.b.part.frame
        local = frame.many_to_local(held.common)
        found.append(("depth", rules.drawn(float(np.ptp(local, axis=0).min()), "as deep as it is drawn")))
    if not isinstance(ask.loose, Missing):
        found.append(("loose", rules.asked(ask.loose, "loose")))
    if not isinstance(ask.per_crossing, Missing):
        found.append(("per crossing", rules.asked(float(ask.per_crossing), "per crossing")))
    if ask.slips is not None:
        found.append(("slip thickness", rules.asked(ask.slips[0], "slips thickness")))
        found.append(("slips", rules.asked(float(ask.slips[1]), "slips count")))
    return tuple(found)


def between_shoulders(part: Standing, plans: Sequence[Plan]) -> tuple[float, float]:
    """A part's stretch along its grain between its shoulders; to its drawn end where it has none [mm]."""
    low, high = part.reach
    for plan in plans:
        if plan.site.a.part.id == part.part.id:
            at = dot(plan.frame.origin, part.grain)
            if plan.site.sign > 0:
                high = min(high, at)
            else:
                low = max(low, at)
    return low, high
