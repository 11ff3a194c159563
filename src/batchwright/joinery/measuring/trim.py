"""The mortised part as its own shoulders leave it: what lies past them is no wood beside a mortise."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from batchwright.joinery.cutting.cut import Cuts, in_part, on_tenoned
from batchwright.joinery.meeting.standing import Standing
from batchwright.joinery.sizing.plan import Plan
from batchwright.model.draft import PartId
from batchwright.model.shape import Recipe, ShoulderCut
from batchwright.solids.build import Quality, placed, recipe_solid

NEAR = 100.0
"""A mortise this near to a shoulder of its own part is looked at with that end cut off [mm]."""


def trimmed(plans: Sequence[Plan]) -> tuple[Plan, ...]:
    """The plans, each mortised part cut back to its shoulders where one lies near the joint."""
    shoulders: dict[PartId, list[ShoulderCut]] = {}
    for plan in plans:
        shoulders.setdefault(plan.site.a.part.id, []).extend(on_tenoned(plan).shoulders)
    cut: dict[PartId, Standing] = {}
    done = []
    for plan in plans:
        part = plan.site.b.part.id
        near = [each for each in shoulders.get(part, []) if abs(each.plane.height(plan.frame.origin)) < NEAR]
        if near and part not in cut:
            cut[part] = _cut_back(plan.site.b, shoulders[part])
        done.append(_with_part(plan, cut[part]) if near else plan)
    return tuple(done)


def _cut_back(standing: Standing, shoulders: Sequence[ShoulderCut]) -> Standing:
    part = standing.part
    local = in_part(Cuts(shoulders=tuple(shoulders)), part)
    recipe = Recipe(shape=part.shape, frame=part.frame, shoulders=local.shoulders)
    try:
        return replace(standing, solid=placed(recipe_solid(recipe, Quality.FINE), part.frame))
    except ValueError:
        return standing


def _with_part(plan: Plan, part: Standing) -> Plan:
    return replace(plan, seat=replace(plan.seat, site=replace(plan.site, b=part)))
