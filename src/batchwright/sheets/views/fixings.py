"""Screws, buttons and slips as a map of points: where each enters its part, from the reference end and a face."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

from batchwright.geometry.frame import Vec3
from batchwright.model.draft import JointKind
from batchwright.model.piece import Fixing, Part, Piece
from batchwright.sheets.scene.sheet import Block, Caution, Column, Paragraph, Table
from batchwright.sheets.views.naming import face_words
from batchwright.sheets.views.printing import Printing

CARE = "Bore clearance and lead holes to the screw's own shank and root; try one in an offcut of the same wood first."
AHEAD = ("reference end", "far end", "face edge", "far edge", "face side", "back")


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """One point of a fixing on the part it is fixed through: bench coordinates, and the face it enters."""

    at: Vec3
    face: str
    fixing: Fixing


def fixing_spots(part: Part, piece: Piece) -> tuple[Spot, ...]:
    """Every screw, button or slip of a part, from the reference end on."""
    spots = [
        Spot(at=part.bench.to_local(point.point), face=_face(part.bench.turn_back(point.direction)), fixing=fixing)
        for fixing in piece.fixings
        if fixing.part == part.id
        for point in fixing.points
    ]
    return tuple(sorted(spots, key=lambda spot: (round(spot.at[0], 1), spot.at[1], spot.at[2])))


def _face(way: Vec3) -> str:
    """The face that something going this way enters by: it looks against the way."""
    axis = max(range(3), key=lambda index: abs(way[index]))
    return AHEAD[2 * axis + (0 if way[axis] > 0.0 else 1)]


def fixing_blocks(part: Part, piece: Piece, printing: Printing) -> list[Block]:
    """The points of one part, for its sheet."""
    spots = fixing_spots(part, piece)
    if not spots:
        return []
    rows = tuple(_row(spot, piece, printing) for spot in spots)
    return [Table(columns=_columns("Fixings"), rows=rows)]


def _row(spot: Spot, piece: Piece, printing: Printing) -> tuple[str, ...]:
    return (_what(spot.fixing, piece, printing), *place_words(spot.at, spot.face, printing), "")


def _columns(first: str) -> tuple[Column, ...]:
    return (
        Column(title=first, share=2.4),
        Column(title="Enters at", share=1.0),
        Column(title="From reference end", share=1.0, number=True),
        Column(title="Across", share=1.4, number=True),
        Column(title="Done", share=0.4, ticks=1),
    )


def place_words(at: Vec3, face: str, printing: Printing) -> tuple[str, str, str]:
    """Where a point of a part is set out: the face, from the reference end, and across that face."""
    x, y, z = at
    edge, side = f"{printing.length(y)} from face edge", f"{printing.length(z)} from face side"
    across = edge if face in ("face side", "back") else side
    if face in ("reference end", "far end"):
        across = f"{edge}\n{side}"
    return (face_words(face), printing.length(x), across)


def _what(fixing: Fixing, piece: Piece, printing: Printing) -> str:
    size = f" {printing.screws(fixing.size)}" if fixing.size else ""
    kind = "slip" if fixing.kind is JointKind.GLUE else fixing.kind.value
    return f"{kind}{size} into {piece.part(fixing.into).draft.name}{_cut_words(fixing, printing)}"


def _cut_words(fixing: Fixing, printing: Printing) -> str:
    """What is cut for it: a slotted hole's length, a counterbore, the slot of a button or a slip."""
    sizes = {name: printing.length(sized.value) for name, sized in fixing.sizes}
    told = []
    if fixing.slotted:
        told.append(f"slotted hole {sizes['slot length']} long" if "slot length" in sizes else "slotted hole")
    if "counterbore" in sizes:
        told.append(f"counterbore {sizes['counterbore diameter']} × {sizes['counterbore']} deep")
    if "slot height" in sizes:
        told.append(f"slot {sizes['slot length']} × {sizes['slot height']} × {sizes['slot depth']} deep")
    if "slip slot width" in sizes:
        slot = (sizes["slip slot length"], sizes["slip slot width"], sizes["slip slot depth"])
        told.append(f"slot {' × '.join(slot)} deep in each")
    return f", {'; '.join(told)}" if told else ""


def fixing_map(piece: Piece, printing: Printing) -> tuple[Block, ...]:
    """All fixings of the piece by kind of part, mirror images and equal parts once; and those without points."""
    rows: list[tuple[str, ...]] = []
    groups: list[tuple[int, str]] = []
    for kind in piece.kinds:
        spots = fixing_spots(piece.part(kind.parts[0]), piece)
        if not spots:
            continue
        count = f", {kind.count} a piece" if kind.count > 1 else ""
        groups.append((len(rows), f"{printing.number_of(kind.id)}  {kind.label or kind.id}{count}"))
        rows += _merged([_row(spot, piece, printing) for spot in spots])
    blocks: list[Block] = []
    if rows:
        blocks += [Table(columns=_columns("What"), rows=tuple(rows), groups=tuple(groups)), Caution(text=CARE)]
    plain = _without_points(piece)
    if plain:
        blocks.append(Paragraph(text=f"Held without points: {'; '.join(plain)}."))
    return tuple(blocks)


def _merged(rows: list[tuple[str, ...]]) -> list[tuple[str, ...]]:
    """Rows that differ only in where along the part they stand, as one: `2, 8 1/2, 15`."""
    kept: dict[tuple[str, ...], list[str]] = {}
    for what, face, along, across, done in rows:
        places = kept.setdefault((what, face, across, done), [])
        if along not in places:
            places.append(along)
    return [(what, face, ", ".join(places), across, done) for (what, face, across, done), places in kept.items()]


def _without_points(piece: Piece) -> list[str]:
    counted: dict[str, int] = defaultdict(int)
    for fixing in piece.fixings:
        if not fixing.points:
            first, second = (piece.part(part_id).draft.name for part_id in (fixing.part, fixing.into))
            counted[f"{fixing.kind.value}, {first} and {second}"] += 1
    return [f"{words} ({count})" if count > 1 else words for words, count in counted.items()]
