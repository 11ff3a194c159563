"""From a piece as drawn to a piece jointed: the passes, in order; everything wrong collected, nothing raised."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from batchwright.base.fault import Fault, in_file_order
from batchwright.base.finding import Finding
from batchwright.base.told import told_in
from batchwright.geometry.frame import vec3
from batchwright.joinery.cutting.assemble import (
    Finished,
    PartCuts,
    add_bores,
    add_cuts,
    cuts_of,
    joint_of,
    joint_on_bench,
    part_of,
    recipe_of,
)
from batchwright.joinery.cutting.cut import made
from batchwright.joinery.cutting.fixed import find_held
from batchwright.joinery.cutting.fixings import fixings_of, with_contact
from batchwright.joinery.cutting.laps import sound_laps
from batchwright.joinery.cutting.let_in import grooves_of, held_cuts
from batchwright.joinery.marking.kinds import candidate, kinds_of
from batchwright.joinery.marking.marks import Marks, marks_of
from batchwright.joinery.measuring.collide import fixings_in_joints, holes_too_near, tenons_overlap
from batchwright.joinery.measuring.gather import gathered, mark_findings
from batchwright.joinery.measuring.section_left import section_left
from batchwright.joinery.measuring.stays import left_behind
from batchwright.joinery.measuring.trim import trimmed
from batchwright.joinery.measuring.walls import measure_walls
from batchwright.joinery.measuring.whole import measure_whole, world_of
from batchwright.joinery.measuring.worn import Pocket, pockets_of, regions_of, shaped_findings, worn_plans
from batchwright.joinery.meeting.find import find_sites
from batchwright.joinery.meeting.seat import seat_of
from batchwright.joinery.meeting.standing import Standing, stand
from batchwright.joinery.mending import mended_fault, mended_finding, spots_of
from batchwright.joinery.sizing.along import short_tenon
from batchwright.joinery.sizing.between import sized
from batchwright.joinery.sizing.driven import driven
from batchwright.joinery.sizing.meetings import make_room
from batchwright.joinery.sizing.pegs import peg
from batchwright.joinery.sizing.plan import Bench, Plan
from batchwright.joinery.sizing.shoulders import set_in, short_of_shoulder, shoulder_findings
from batchwright.joinery.words import Compass, compass_of, told_sizes
from batchwright.model.draft import DraftPart, DraftPiece, Hand, PartId
from batchwright.model.piece import End, Joint, Piece
from batchwright.model.shop import Shop
from batchwright.solids.build import Quality, recipe_solid

Parts = Mapping[PartId, Standing]


@dataclass(slots=True)
class Told:
    """Faults and findings, gathered on the way."""

    faults: list[Fault]
    findings: list[Finding]
    units: str


def complete_piece(draft: DraftPiece, shop: Shop, quality: Quality = Quality.LIVE) -> Piece:
    """The piece with every joint found, sized, cut and measured. Wrong input comes back as faults of the piece."""
    told = Told([], [], draft.units)
    parts = _standing(draft, told)
    if not parts:
        return Piece(draft=draft, parts=(), kinds=(), joints=(), fixings=(), faults=in_file_order(told.faults))
    bench = Bench(shop=shop, outdoors=draft.outdoors, compass=_compass(draft, parts))
    held, faults = find_held(draft.joints, parts, bench)
    held, closed_in = sound_laps(held, bench)
    told.faults += faults + closed_in
    bench = replace(bench, grooves=grooves_of(held))
    plans = _plans(draft, parts, bench, told)
    pockets, misses = pockets_of(parts)
    told.faults += misses
    cuts = cuts_of(plans)
    for each in held:
        for part, cut in held_cuts(each, bench):
            add_cuts(cuts, part, cut, each, bench)
    bores, findings = fixings_of(held, plans, bench)
    told.findings += findings
    for bored in bores:
        add_bores(cuts, bored)
    told.findings += fixings_in_joints(plans, bores, bench)
    fixings = tuple(replace(b.fixing, sizes=told_sizes(b.fixing.sizes, bench.units)) for b in bores)
    finished = _finished(parts, (cuts, _marks(parts, bench.compass, told)), quality, told)
    told.findings += shaped_findings(pockets, {name: (c.features, c.housings) for name, c in cuts.items()}, bench)
    joints = _joints(worn_plans(trimmed(plans), pockets), bench, told)
    piece = _laid(draft, finished, joints, (bench, pockets))
    piece = _measured(replace(piece, fixings=fixings), finished, plans, (bench, told))
    told.findings += left_behind(draft.parts, told.faults, told.findings)
    spots = spots_of(plans, held, bench.compass, draft)
    read = [replace(finding, why=told_in(draft.units, finding.why)) for finding in gathered(told.findings)]
    mended = tuple(mended_finding(finding, spots) for finding in read)
    return replace(piece, findings=mended, faults=in_file_order([mended_fault(each, spots) for each in told.faults]))


def _joints(plans: Sequence[Plan], bench: Bench, told: Told) -> list[Joint]:
    """The joints' records, walls measured."""
    joints = []
    for plan in plans:
        measures, findings = measure_walls(plan, bench)
        told.findings += (*findings, *section_left(plan, bench))
        joint = joint_of(plan, End.FAR)
        joints.append(replace(joint, measures=measures, sizes=told_sizes(joint.sizes, bench.units)))
    return joints


def _measured(piece: Piece, finished: Sequence[Finished], plans: Sequence[Plan], desk: tuple[Bench, Told]) -> Piece:
    """Pass (e): only looking, nothing changed but the fixings' contact."""
    bench, told = desk
    told.findings += holes_too_near(plans, bench)
    told.faults += tenons_overlap(plans, bench)
    world = world_of(piece.draft, finished, piece.joints, piece.fixings)
    faults, findings = measure_whole(world, bench)
    told.faults += faults
    told.findings += findings
    told.findings += [
        finding for each in finished for finding in mark_findings(each, piece.part(each.standing.part.id), bench.units)
    ]
    return replace(piece, fixings=with_contact(piece.fixings, world.solids))


def _standing(draft: DraftPiece, told: Told) -> dict[PartId, Standing]:
    """Every part that can be built, shaped, in its place."""
    found: dict[PartId, Standing] = {}
    for part in sorted(draft.parts, key=lambda each: each.id):
        try:
            found[part.id] = stand(part)
        except ValueError as error:
            told.faults.append(_cannot_be_built(part, error, draft.units))
    return found


def _cannot_be_built(part: DraftPart, error: ValueError, units: str) -> Fault:
    return Fault(
        code="shape-cannot-be-built",
        place=part.place,
        what=f"{part.id} cannot be built: {told_in(units, str(error))}",
        mend="look at its outline, its section and its cuts; one of them leaves no sound piece of wood",
    )


def _compass(draft: DraftPiece, parts: Parts) -> Compass:
    low = np.min([standing.solid.bounds[0] for standing in parts.values()], axis=0)
    high = np.max([standing.solid.bounds[1] for standing in parts.values()], axis=0)
    return compass_of(draft, vec3(low), vec3(high))


def _plans(draft: DraftPiece, parts: Parts, bench: Bench, told: Told) -> tuple[Plan, ...]:
    """Every tenoned joint, found and sized."""
    found = find_sites(draft.joints, parts, bench.compass)
    told.faults += found.faults
    plans = [Plan(seat=seat_of(set_in(site))) for site in found.sites]
    plans = [sized(plan, bench) for plan in plans]
    met, faults = make_room(plans, draft.meetings, bench)
    told.faults += faults
    plans = [made(driven(peg(short_tenon(plan, bench), bench), bench)) for plan in met]
    plans = [short_of_shoulder(shoulder_findings(plan, bench), bench) for plan in plans]
    for plan in plans:
        told.faults += plan.faults
        told.findings += plan.findings
    return tuple(plans)


def _marks(parts: Parts, compass: Compass, told: Told) -> dict[PartId, Marks]:
    """The marks of every part: by rule on the drawn copy, and on its mirror images the mirror image."""
    drawn: dict[tuple[str, int], Marks] = {}
    for standing in parts.values():
        part = standing.part
        if part.drawn:
            marks = marks_of(standing, compass)
            told.faults += marks.faults
            drawn[(part.name, part.number)] = marks
    return {
        name: drawn.get((standing.part.name, standing.part.number)) or marks_of(standing, compass)
        for name, standing in parts.items()
    }


_CutsAndMarks = tuple[Mapping[PartId, PartCuts], Mapping[PartId, Marks]]


def _finished(parts: Parts, done: _CutsAndMarks, quality: Quality, told: Told) -> list[Finished]:
    """Every part with its joints cut."""
    cuts, marks = done
    found = []
    for name, standing in parts.items():
        recipe = recipe_of(standing, cuts.get(name))
        try:
            solid = recipe_solid(recipe, quality)
        except ValueError as error:
            told.faults.append(_cannot_be_built(standing.part, error, told.units))
            continue
        found.append(Finished(standing=standing, recipe=recipe, solid=solid, marks=marks[name], cuts=cuts.get(name)))
    return found


def _laid(
    draft: DraftPiece, finished: Sequence[Finished], joints: Sequence[Joint], desk: tuple[Bench, Sequence[Pocket]]
) -> Piece:
    """Parts on the bench, their kinds, and the joints with their angles."""
    bench, pockets = desk
    candidates, placed = [], []
    for each in finished:
        own = [joint for joint in joints if joint.part == each.standing.part.id]
        part, laid = part_of(each, own, bench.compass)
        part = replace(part, shaped=regions_of(pockets, part.id, laid)) if pockets else part
        candidates.append(candidate(part, laid, each.solid, bench.compass))
        placed += [joint_on_bench(joint, laid) for joint in own]
    kinds, kind_of = kinds_of(candidates, bench.shop.tolerances.same_part.value)
    hands = {kind.id: kind.hand for kind in kinds}
    parts = []
    for one in candidates:
        kind = kind_of[str(one.part.id)]
        hand = one.part.hand if one.part.hand is not Hand.NONE else hands[kind]
        parts.append(replace(one.part, kind=kind, hand=hand))
    return Piece(
        draft=draft,
        parts=tuple(parts),
        kinds=kinds,
        joints=tuple(sorted(placed, key=lambda joint: joint.id)),
        fixings=(),
    )
