"""From a piece as drawn to a piece jointed: the passes, in order; everything wrong collected, nothing raised."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from batchwright.base.fault import Fault, in_file_order
from batchwright.base.finding import Finding
from batchwright.geometry.frame import vec3
from batchwright.joinery.across import size_across
from batchwright.joinery.along import short_tenon, size_along
from batchwright.joinery.assemble import Finished, PartCuts, cuts_of, joint_of, joint_on_bench, part_of, recipe_of
from batchwright.joinery.cut import made
from batchwright.joinery.find import find_sites
from batchwright.joinery.kinds import Candidate, kinds_of
from batchwright.joinery.marks import Marks, marks_of
from batchwright.joinery.plan import Bench, Plan
from batchwright.joinery.seat import seat_of
from batchwright.joinery.standing import Standing, stand
from batchwright.joinery.words import Compass, compass_of
from batchwright.model.draft import DraftPart, DraftPiece, PartId
from batchwright.model.piece import End, Joint, Piece
from batchwright.model.shop import Shop
from batchwright.solids.build import Quality, recipe_solid

Parts = Mapping[PartId, Standing]


@dataclass(slots=True)
class Told:
    """Faults and findings, gathered on the way."""

    faults: list[Fault]
    findings: list[Finding]


def complete_piece(draft: DraftPiece, shop: Shop, quality: Quality = Quality.LIVE) -> Piece:
    """The piece with every joint found, sized, cut and measured. Wrong input comes back as faults of the piece."""
    told = Told([], [])
    parts = _standing(draft, told)
    if not parts:
        return Piece(draft=draft, parts=(), kinds=(), joints=(), fixings=(), faults=in_file_order(told.faults))
    compass = _compass(draft, parts)
    bench = Bench(shop=shop, outdoors=draft.outdoors, compass=compass)
    plans = _plans(draft, parts, bench, told)
    marks = _marks(parts, compass, told)
    finished = _finished(parts, (cuts_of(plans), marks), quality, told)
    laid = _laid(draft, finished, [joint_of(plan, End.FAR) for plan in plans], bench)
    return replace(laid, findings=(*laid.findings, *told.findings), faults=in_file_order([*laid.faults, *told.faults]))


def _standing(draft: DraftPiece, told: Told) -> dict[PartId, Standing]:
    """Every part that can be built, shaped, in its place."""
    found: dict[PartId, Standing] = {}
    for part in sorted(draft.parts, key=lambda each: each.id):
        try:
            found[part.id] = stand(part)
        except ValueError as error:
            told.faults.append(_cannot_be_built(part, error))
    return found


def _cannot_be_built(part: DraftPart, error: ValueError) -> Fault:
    return Fault(
        code="shape-cannot-be-built",
        place=part.place,
        what=f"{part.id} cannot be built: {error}",
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
    plans = [size_across(Plan(seat=seat_of(site)), bench) for site in found.sites]
    plans = [short_tenon(size_along(plan, bench), bench) for plan in plans]
    plans = [made(plan) for plan in plans]
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
            told.faults.append(_cannot_be_built(standing.part, error))
            continue
        found.append(Finished(standing=standing, recipe=recipe, solid=solid, marks=marks[name], cuts=cuts.get(name)))
    return found


def _laid(draft: DraftPiece, finished: Sequence[Finished], joints: Sequence[Joint], bench: Bench) -> Piece:
    """Parts on the bench, their kinds, and the joints with their angles."""
    candidates, placed = [], []
    for each in finished:
        own = [joint for joint in joints if joint.part == each.standing.part.id]
        part, laid = part_of(each, own, bench.compass)
        candidates.append(Candidate(part=part, laid=laid, finished=each.solid))
        placed += [joint_on_bench(joint, laid) for joint in own]
    kinds, kind_of = kinds_of(candidates, bench.shop.tolerances.same_part.value)
    parts = tuple(replace(each.part, kind=kind_of[str(each.part.id)]) for each in candidates)
    return Piece(
        draft=draft,
        parts=parts,
        kinds=kinds,
        joints=tuple(sorted(placed, key=lambda joint: joint.id)),
        fixings=(),
    )
