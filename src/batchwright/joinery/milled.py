"""Parts as they really came out of the planer: the drawn piece with those parts made thinner, thicker or narrower.

Which face stays where it was drawn: one that another part lies against, so that what was drawn touching still touches;
else the face side (or the face edge), from which everything is marked.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from batchwright.base.fault import Fault, has_errors
from batchwright.base.finding import Finding, Grade
from batchwright.geometry.frame import Vec3, dot
from batchwright.joinery.complete import complete_piece
from batchwright.joinery.reshaped import Grown, grown_shape
from batchwright.joinery.words import say
from batchwright.model.draft import DraftPart, DraftPiece, JointKind, PartId
from batchwright.model.milled import Milled
from batchwright.model.piece import Fixing, Part, Piece
from batchwright.model.shop import Shop
from batchwright.solids.build import Quality, Solid, placed, recipe_solid

SAME = 0.2
"""Parts drawn this near to a thickness are of its family [mm]."""
TOUCH = 0.6
"""A part whose wood ends this near to a face lies against it [mm]."""
FAR_OFF = 1.0 / 3.0
"""More than this share away from the drawing, a figure is taken for a slip of the pen."""
LYING = (JointKind.REST, JointKind.SCREW, JointKind.BUTTON, JointKind.GLUE)
ALONG = 0.7
"""A screw enters a face when it runs within 45 degrees of square to it (cosine)."""
FRONT, MIDDLE, REAR = 0.0, 0.5, 1.0
"""What stays where it was drawn: the marked face, the middle, or the face opposite."""


@dataclass(frozen=True, slots=True)
class _Wanted:
    """One part's real sizes [mm]; None as drawn."""

    thickness: float | None
    width: float | None
    entry: Milled


def complete_as_milled(
    draft: DraftPiece, shop: Shop, milled: Sequence[Milled], quality: Quality = Quality.LIVE
) -> Piece:
    """The jointed piece with some parts as they were milled; joints, shoulders and lists follow from them.

    Figures that cannot be are faults of the piece; each family or part that differs from the drawing is told in a note.
    """
    drawn = complete_piece(draft, shop, quality)
    if not milled or not drawn.parts:
        return drawn
    wanted, faults = _wanted(drawn, milled)
    tries = [_try(drawn, shop, (wanted, _kept(drawn, wanted)), quality)]
    for keep in (MIDDLE, FRONT, REAR):
        if not _worse(tries[-1][0], drawn):
            break
        tries.append(_try(drawn, shop, (wanted, dict.fromkeys(wanted, (keep, keep))), quality))
    piece, refused = min(tries, key=lambda each: len(each[0].faults))
    told = _told(drawn, wanted)
    return replace(piece, faults=(*piece.faults, *faults, *refused), findings=(*piece.findings, *told))


def _worse(piece: Piece, drawn: Piece) -> bool:
    return has_errors(piece.faults) and len(piece.faults) > len(drawn.faults)


_Held = Mapping[PartId, tuple[float, float]]
"""What stays of each part, in its thickness and in its width."""


def _try(
    drawn: Piece, shop: Shop, how: tuple[Mapping[PartId, _Wanted], _Held], quality: Quality
) -> tuple[Piece, list[Fault]]:
    wanted, held = how
    refused: list[Fault] = []
    parts = []
    for part in drawn.draft.parts:
        parts.append(_milled(part, drawn, (wanted[part.id], held[part.id]), refused) if part.id in wanted else part)
    return complete_piece(replace(drawn.draft, parts=tuple(parts)), shop, quality), refused


def _milled(part: DraftPart, drawn: Piece, how: tuple[_Wanted, tuple[float, float]], refused: list[Fault]) -> DraftPart:
    """The part at its real sizes; as drawn, with a fault, where its drawing does not allow that."""
    wanted, (in_thickness, in_width) = how
    made = drawn.part(part.id)
    shape = part.shape
    over_edge, over_face = (sum(each) for each in made.tenons_over)
    asked = (
        (wanted.thickness, made.thickness - over_face, made.bench.z, in_thickness, "thickness"),
        (wanted.width, made.width - over_edge, made.bench.y, in_width, "width"),
    )
    for real, old, way, keep, word in asked:
        if real is None or abs(real - old) < 1e-6:
            continue
        grown = Grown(way=part.frame.turn_back(way), old=old, new=real, keep=keep)
        try:
            shape = grown_shape(shape, grown)
        except ValueError as why:
            if not wanted.entry.cut:
                refused.append(_refused(part.id, wanted.entry, word, why))
    return replace(part, shape=shape)


def _refused(part: PartId, entry: Milled, word: str, why: ValueError) -> Fault:
    return Fault(
        code="as-milled-not-drawn-so",
        place=entry.place,
        what=f"the {word} of {part} cannot be set from what was milled: {why}.",
        mend=f"change its {word} in the drawing itself, best by a size that `as milled` can name",
    )


def _wanted(drawn: Piece, milled: Sequence[Milled]) -> tuple[dict[PartId, _Wanted], list[Fault]]:
    """What each part really measures. Later entries win, and a part named wins over its family."""
    found: dict[PartId, _Wanted] = {}
    faults: list[Fault] = []
    for entry in sorted(milled, key=lambda each: each.family is None):
        parts = _of_family(drawn, entry.family) if entry.family is not None else entry.parts
        if not parts and entry.family is not None:
            faults.append(_no_family(drawn, entry))
        for name in parts:
            if any(part.id == name for part in drawn.parts):
                far = _far_off(drawn.part(name), entry, drawn.draft.units)
                if far and entry.cut:
                    continue
                faults += far
                before = found.get(name)
                found[name] = _Wanted(
                    thickness=entry.thickness if entry.thickness is not None or not before else before.thickness,
                    width=entry.width if entry.width is not None or not before else before.width,
                    entry=entry,
                )
    return found, list(dict.fromkeys(faults))


def _of_family(drawn: Piece, thickness: float) -> tuple[PartId, ...]:
    """Parts drawn that thick whose two faces the planer gives; what a curve makes so thick is not planed to it."""
    near = [part for part in drawn.parts if abs(part.thickness - thickness) <= SAME]
    return tuple(part.id for part in near if planed(part))


def planed(part: Part) -> bool:
    """Whether the planer gives a part its two faces, so that it can be made as thick as it was milled."""
    way = part.draft.frame.turn_back(part.bench.z)
    try:
        grown_shape(part.draft.shape, Grown(way=way, old=part.thickness, new=part.thickness, keep=0.0))
    except ValueError:
        return False
    return True


def _no_family(drawn: Piece, entry: Milled) -> Fault:
    units = drawn.draft.units
    there = sorted({round(part.thickness, 1) for part in drawn.parts})
    return Fault(
        code="as-milled-no-family",
        place=entry.place,
        what=f"no part is drawn {entry.name} thick.",
        mend=f"name a thickness of the drawing: {', '.join(say(each, units) for each in there)}",
    )


def _far_off(part: Part, entry: Milled, units: str) -> list[Fault]:
    return [
        Fault(
            code="as-milled-far-off",
            place=entry.place,
            what=f"{entry.name} is {say(real, units)} {way} as milled, but {say(old, units)} as drawn.",
            mend="look at the unit; where the part is really so, change the drawing",
            why="more than a third away from the drawing is another part",
        )
        for real, old, way in ((entry.thickness, part.thickness, "thick"), (entry.width, part.width, "wide"))
        if real is not None and abs(real - old) > FAR_OFF * old
    ]


def _kept(drawn: Piece, wanted: Mapping[PartId, _Wanted]) -> dict[PartId, tuple[float, float]]:
    """What stays of each part where it was drawn: the face another part lies against, else the marked one."""
    solids = {part.id: placed(recipe_solid(part.recipe), part.recipe.frame) for part in drawn.parts}
    found = {}
    for name in wanted:
        part = drawn.part(name)
        own = [fixing for fixing in drawn.fixings if fixing.kind in LYING and name in (fixing.part, fixing.into)]
        found[name] = (
            REAR if _lies_behind(part, own, solids, part.bench.z) else FRONT,
            REAR if _lies_behind(part, own, solids, part.bench.y) else FRONT,
        )
    return found


def _lies_behind(part: Part, fixings: Sequence[Fixing], solids: Mapping[PartId, Solid], way: Vec3) -> bool:
    """Whether a part lies against the face that `way` looks out of."""
    return any(_beyond(part.id, fixing, solids, way) for fixing in fixings)


def _beyond(name: PartId, fixing: Fixing, solids: Mapping[PartId, Solid], way: Vec3) -> bool:
    first = fixing.part == name
    if fixing.points:
        along = dot(fixing.points[0].direction, way)
        return along > ALONG if first else along < -ALONG
    other = fixing.into if first else fixing.part
    if other not in solids or name not in solids:
        return False
    return abs(solids[other].extent(way)[0] - solids[name].extent(way)[1]) <= TOUCH


def _told(drawn: Piece, wanted: Mapping[PartId, _Wanted]) -> list[Finding]:
    units = drawn.draft.units
    entries: dict[Milled, list[PartId]] = {}
    for name, each in wanted.items():
        if each.entry.cut:
            continue
        entries.setdefault(each.entry, []).append(name)
    found = []
    for entry, names in entries.items():
        part = drawn.part(names[0])
        pairs = ((entry.thickness, part.thickness, "thick"), (entry.width, part.width, "wide"))
        said = [f"{say(real, units)} {way} (drawn {say(old, units)})" for real, old, way in pairs if real is not None]
        others = f" and {len(names) - 1} more" if len(names) > 1 else ""
        found.append(
            Finding(
                code="as-milled",
                grade=Grade.NOTE,
                what=f"{names[0]}{others}: {', '.join(said)} as milled; joints and lists follow.",
                mend="",
                about=tuple(names),
                place=entry.place,
            )
        )
    return found
