"""Where screws of other parts come into a part: the places of their lead holes, and so of the slats they hold."""

from __future__ import annotations

from dataclasses import dataclass

from batchwright.geometry.frame import Vec3, plus
from batchwright.model.draft import JointKind
from batchwright.model.piece import Fixing, JointId, Part, Piece
from batchwright.sheets.views.naming import letter
from batchwright.sheets.views.ordinates import ordinate_at


@dataclass(frozen=True, slots=True, kw_only=True)
class Landing:
    """One fixing of another part as it enters this one: bench coordinates, and the face it enters."""

    at: Vec3
    face: str
    fixing: Fixing


def landings(part: Part, piece: Piece) -> list[Landing]:
    """Every screw that goes into a part out of another one, from the reference end on."""
    found: list[Landing] = []
    for fixing in piece.fixings:
        if fixing.into != part.id or fixing.kind is not JointKind.SCREW:
            continue
        for point in fixing.points:
            at, way = part.bench.to_local(point.point), part.bench.turn_back(point.direction)
            axis = 1 if abs(way[1]) >= abs(way[2]) else 2
            if abs(way[axis]) < 0.3:
                continue
            names = ("face edge", "far edge") if axis == 1 else ("face side", "back")
            face = names[0] if way[axis] > 0.0 else names[1]
            found.append(Landing(at=_entered(at, way, face, part), face=face, fixing=fixing))
    return sorted(found, key=lambda one: (round(one.at[0], 1), one.at[1], one.at[2]))


def landing_letters(found: list[Landing]) -> dict[JointId, str]:
    """A small letter for the lead holes of each fixing, in their order along the part: capitals are its own joints."""
    letters: dict[JointId, str] = {}
    for one in found:
        letters.setdefault(one.fixing.id, letter(len(letters)).lower())
    return letters


def _entered(at: Vec3, way: Vec3, face: str, part: Part) -> Vec3:
    """Where a line comes to a face of the finished part, which may be curved: three rounds of looking come within
    a hundredth of a millimetre on any curve a slat lies on."""
    axis = 1 if face in ("face edge", "far edge") else 2
    outline = part.outline if axis == 1 else part.edge_outline
    level = 0.0 if face in ("face edge", "face side") else part.width if axis == 1 else part.thickness
    found = at
    for _ in range(4):
        found = plus(at, way, (level - at[axis]) / way[axis])
        ordinate = ordinate_at(outline, found[0]) if outline is not None else None
        if ordinate is None:
            break
        level = ordinate.near if face in ("face edge", "face side") else ordinate.far
    return found
