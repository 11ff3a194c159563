"""Fixings written out: points, sizes, contact, what is measured; from the pairs held without a tenon."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from batchwright.base.finding import Finding
from batchwright.base.trace import By, Missing, Sized, Trace
from batchwright.geometry.frame import cross, dot
from batchwright.joinery.cutting.bored import Bores, bores_of, is_slotted, slip_points
from batchwright.joinery.cutting.fixed import CUT_IN, Held
from batchwright.joinery.cutting.laps import lap_way
from batchwright.joinery.cutting.let_in import into_way, notch_gap
from batchwright.joinery.cutting.screws import (
    BUTTON_DOWN,
    bed_of,
    button_points,
    check_screws,
    screw_points,
)
from batchwright.joinery.meeting.standing import Standing
from batchwright.joinery.sizing import rules
from batchwright.joinery.sizing.plan import Bench, Plan
from batchwright.model.draft import JointKind, PartId
from batchwright.model.piece import Fixing, FixingPoint
from batchwright.solids.build import Solid
from batchwright.solids.meet import contact_area


def fixings_of(held: Sequence[Held], plans: Sequence[Plan], bench: Bench) -> tuple[tuple[Bores, ...], list[Finding]]:
    """Every fixing with its points, sizes, measures and what it cuts, and what there is to say; contact comes later."""
    bores: list[Bores] = []
    findings: list[Finding] = []
    for each in held:
        bored, found = _fixing(each, plans, bench)
        bores.append(bored)
        findings += [*found, *bored.findings]
    return tuple(bores), findings


def with_contact(fixings: Sequence[Fixing], solids: Mapping[PartId, Solid]) -> tuple[Fixing, ...]:
    """The fixings with their contact areas; `solids` are the finished parts in the world."""
    done = []
    for fixing in fixings:
        a, b = solids.get(fixing.part), solids.get(fixing.into)
        done.append(fixing if a is None or b is None else replace(fixing, contact=contact_area(a, b)))
    return tuple(done)


def _fixing(held: Held, plans: Sequence[Plan], bench: Bench) -> tuple[Bores, list[Finding]]:
    kind = held.statement.kind
    bare = Fixing(
        id=held.id,
        kind=kind,
        part=held.a.part.id,
        into=held.b.part.id,
        contact=0.0,
        size="" if isinstance(held.ask.size, Missing) else held.ask.size,
        slotted=is_slotted(held),
        sizes=_sizes(held, bench),
        statement=held.statement.number,
        place=held.statement.place,
    )
    if kind is JointKind.SCREW:
        return _screwed(held, bare, bench)
    if kind is JointKind.BUTTON:
        points, count = button_points(held, between_shoulders(held.a, plans), bench.compass.middle)
        down = Sized(BUTTON_DOWN, Trace(by=By.DEFAULT, why="slot under the top", source="common practice, no source"))
        placed = replace(bare, points=points, sizes=(*bare.sizes, ("count", count), ("below the top", down)))
        return bores_of(held, placed, None, bench), []
    if kind is JointKind.GLUE and held.ask.slips is not None:
        bed = bed_of(held)
        placed = bare if bed is None else replace(bare, points=slip_points(held, bed))
        return bores_of(held, placed, bed, bench), []
    return Bores(fixing=bare), []


def _screwed(held: Held, bare: Fixing, bench: Bench) -> tuple[Bores, list[Finding]]:
    bed = bed_of(held)
    if bed is None:
        return Bores(fixing=bare), []
    points: tuple[FixingPoint, ...] = screw_points(held, bed)
    checked = check_screws(held, bed, points, bench)
    placed = replace(bare, points=points, measures=tuple(checked.measures))
    return bores_of(held, placed, bed, bench), checked.findings


def _sizes(held: Held, bench: Bench) -> tuple[tuple[str, Sized], ...]:
    """How deep a housing or groove is, how loose, how many slips: what the statement or the drawing gives."""
    found: list[tuple[str, Sized]] = [*_let_in(held, bench)]
    ask = held.ask
    if not isinstance(ask.loose, Missing):
        found.append(("loose", rules.asked(ask.loose, "loose")))
    if not isinstance(ask.per_crossing, Missing):
        found.append(("per crossing", rules.asked(float(ask.per_crossing), "per crossing")))
    if ask.slips is not None:
        found.append(("slip thickness", rules.asked(ask.slips[0], "slips thickness")))
        found.append(("slips", rules.asked(float(ask.slips[1]), "slips count")))
    return tuple(found)


def _let_in(held: Held, bench: Bench) -> list[tuple[str, Sized]]:
    """Depth, width and room of what one part cuts out of the other."""
    kind = held.statement.kind
    if held.common is None or kind not in CUT_IN:
        return []
    if kind is JointKind.NOTCH:
        return [("gap", notch_gap(held, bench))]
    if kind is JointKind.HALVING:
        deep = float(np.ptp(held.common @ np.array(lap_way(held)))) / 2.0
        return [("depth", rules.drawn(deep, "half of the wood that both were drawn with"))]
    if kind is JointKind.GROOVE:
        ways = (into_way(held), cross(into_way(held), held.b.grain))
        sizes = [float(np.ptp(held.common @ np.array(way))) for way in ways]
        return [
            ("depth", rules.drawn(sizes[0], "as deep as the panel is drawn; its looseness beyond")),
            ("groove width", rules.drawn(sizes[1], "as thick as the panel")),
        ]
    local = held.b.part.frame.many_to_local(held.common)
    return [("depth", rules.drawn(float(np.ptp(local, axis=0).min()), "as deep as it is drawn"))]


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
