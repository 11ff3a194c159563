"""How far a part may move across its grain over a year, and the room that fixings and notches leave it for that."""

from __future__ import annotations

from batchwright.base.trace import By, Sized, Trace
from batchwright.geometry.frame import Vec3, cross, dot, norm, plus, unit
from batchwright.handbook.movement import Cut, movement, ring_angle_of
from batchwright.handbook.published import GapError
from batchwright.handbook.species import find_species
from batchwright.joinery.meeting.standing import Standing
from batchwright.joinery.words import cite, say_share

INDOORS, OUTDOORS = (0.06, 0.12), (0.08, 0.18)
"""Moisture of the driest and the wettest month, where the file says no place (common practice, no source)."""
UNKNOWN = 0.02
"""Share that a part moves where nothing is published for its wood (common practice, no source)."""


def swing(part: Standing, reach: float, outdoors: bool) -> Sized:
    """How much a stretch of a part across its grain grows from the driest to the wettest month [mm]."""
    dry, wet = OUTDOORS if outdoors else INDOORS
    draft = part.part
    cut = Cut(draft.sawn) if draft.sawn in {each.value for each in Cut} else Cut.FLAT
    species = find_species(draft.wood)
    wood = f"{draft.wood.replace('_', ' ')}, {cut.value}-sawn"
    over = f"{reach:.0f} mm of {wood}, from {say_share(dry)} to {say_share(wet)}"
    change, source = UNKNOWN * reach, "common practice, no source"
    if species is not None and reach > 0.0:
        try:
            found = movement(reach, species, ring_angle_of(cut), dry, wet)
            change, source = found.change, f"{found.equation}; {cite('JR38')}"
        except GapError:
            pass
    return Sized(change, Trace(by=By.RULE, rule="JR38", why=f"movement of {over}", source=source))


def moves_along(part: Standing, square_to: Vec3) -> Vec3 | None:
    """The way a part moves within a plane square to a direction: across its grain; None where the grain stands square
    to the plane, so that it moves every way."""
    grain = plus(part.grain, square_to, -dot(part.grain, square_to))
    return unit(cross(square_to, grain)) if norm(grain) > 0.2 else None
