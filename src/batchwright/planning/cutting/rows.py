"""The cutting list: one row for each kind, blanks for the boards, families for the planer."""

from __future__ import annotations

import math
from collections import defaultdict
from dataclasses import dataclass

from batchwright.base.finding import Finding, Grade
from batchwright.model.draft import Hand, PartId
from batchwright.model.piece import Kind, Part, Piece
from batchwright.model.shop import Shop
from batchwright.model.stock import Blank
from batchwright.model.work import Block, CuttingList, CuttingRow, Family
from batchwright.planning.cutting.hardware import hardware_of
from batchwright.planning.cutting.machines import machine_passes
from batchwright.planning.cutting.rough import SIXTEENTH, Rough, gang_length, rough_of, rounded_up

OVER = 0.3
"""A tenon that stands less over its body's edge is within it on paper [mm]; under 1/64 in."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Request:
    """What the list is made for. `spares` are (part name, how many) beyond the run."""

    piece: Piece
    shop: Shop
    copies: int = 1
    spares: tuple[tuple[str, int], ...] = ()
    grid: float = SIXTEENTH
    """Rough sizes are rounded up to whole steps of this [mm]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Line:
    """A kind with its blank, before it becomes a row."""

    kind: Kind
    part: Part
    rough: Rough
    total: int
    spares: int


def list_parts(request: Request) -> tuple[CuttingList, tuple[Finding, ...]]:
    """The cutting list of a run, and what it finds on the way (short stock, thick stock, spares of unknown parts)."""
    lines = tuple(_line(kind, request) for kind in request.piece.kinds)
    rows = tuple(_row(line, request) for line in lines)
    blanks = tuple(blank for line in lines for blank in _blanks(line, request))
    families = _families(lines, blanks, request.shop)
    listed = CuttingList(
        rows=rows,
        families=families,
        machines=machine_passes(rows, families),
        blanks=blanks,
        copies=request.copies,
        hardware=hardware_of(request.piece, request.copies),
    )
    return listed, _findings(lines, request)


def _line(kind: Kind, request: Request) -> _Line:
    part = request.piece.part(kind.parts[0])
    spares = _spares(kind, request)
    total = kind.count * request.copies + spares
    return _Line(kind=kind, part=part, rough=rough_of(part, request.shop, request.grid), total=total, spares=spares)


def _spares(kind: Kind, request: Request) -> int:
    """Spares of a name go to its first kind: a blank serves either hand until it is jointed."""
    if _first(kind, request).id != kind.id:
        return 0
    return sum(count for name, count in request.spares if name == kind.name)


def _first(kind: Kind, request: Request) -> Kind:
    return next(other for other in request.piece.kinds if other.name == kind.name)


def _spare_note(line: _Line, request: Request) -> tuple[str, ...]:
    """What a spare blank of a part with a mirror image serves, told on the rows of both."""
    kind = line.kind
    wanted = sum(count for name, count in request.spares if name == kind.name)
    if not wanted or kind.mirror_of is None:
        return ()
    serves = "its mirror image too" if kind.hand is Hand.NONE else "either hand"
    if line.spares:
        return (f"the spare blank serves {serves} until it is jointed",)
    first = _first(kind, request)
    if kind.mirror_of != first.id:
        return ()
    return (f"the spare blank counted with {first.label or first.id} serves {serves} until it is jointed",)


def _row(line: _Line, request: Request) -> CuttingRow:
    part, rough = line.part, line.rough
    return CuttingRow(
        kind=line.kind.id,
        label=line.kind.label or line.kind.id,
        hand=line.kind.hand,
        species=part.draft.wood,
        each=line.kind.count,
        copies=request.copies,
        spares=line.spares,
        finished=Block(length=part.length, width=part.width, thickness=part.thickness),
        rough=rough.block,
        shoulder_length=part.shoulder_length,
        family=_family_key(line),
        pieces=rough.pieces,
        blank_form=rough.form,
        gang=rough.gang,
        curved=part.curved,
        notes=rough.notes + _spare_note(line, request),
        body=_body(part),
        traces=rough.traces,
    )


def _body(part: Part) -> Block | None:
    """A part's own sizes where its blank is larger, to hold tenons that stand over its edges."""
    on_edges, on_sides = (sum(pair) for pair in part.tenons_over)
    if max(on_edges, on_sides) < OVER:
        return None
    return Block(length=part.length, width=part.width - on_edges, thickness=part.thickness - on_sides)


def _family_key(line: _Line) -> str:
    return f"{line.part.draft.wood}, {round(line.rough.block.thickness, 3):.1f} mm from {line.rough.quarters}"


def _blanks(line: _Line, request: Request) -> tuple[Blank, ...]:
    rough = line.rough
    sections = math.ceil(line.total / rough.gang)
    staves = rough.pieces
    ganged = f", {rough.gang} ganged" if rough.gang > 1 else ""
    return tuple(
        Blank(
            kind=line.kind.id,
            label=f"{line.kind.label or line.kind.id}{ganged}",
            length=rounded_up(gang_length(rough, request.shop), request.grid),
            width=rough.block.width,
            thickness=rough.rough_thickness,
            count=sections,
            species=line.part.draft.wood,
            stave=f"{stave + 1} of {staves}" if staves > 1 else "",
            sawn=line.part.draft.sawn,
            curved=line.part.curved,
            least_thickness=rough.block.thickness + request.shop.allowances.thickness.value if rough.coverable else 0.0,
        )
        for stave in range(staves)
    )


def _families(lines: tuple[_Line, ...], blanks: tuple[Blank, ...], shop: Shop) -> tuple[Family, ...]:
    groups: dict[str, list[_Line]] = defaultdict(list)
    for line in lines:
        groups[_family_key(line)].append(line)
    families = [_family(name, group, blanks, shop) for name, group in groups.items()]
    return tuple(sorted(families, key=lambda family: (family.species, -family.finished)))


def _family(name: str, group: list[_Line], blanks: tuple[Blank, ...], shop: Shop) -> Family:
    kinds = tuple(line.kind.id for line in group)
    mine = [blank for blank in blanks if blank.kind in kinds]
    thick = group[0].rough.rough_thickness
    net = sum(_net_area(line) * thick * line.total for line in group)
    rough = sum(blank.length * blank.width * thick * blank.count for blank in mine)
    buy = max(net / (1.0 - shop.waste.value), rough)
    return Family(
        name=name,
        species=group[0].part.draft.wood,
        finished=group[0].rough.block.thickness,
        quarters=group[0].rough.quarters,
        rough=thick,
        kinds=kinds,
        net_volume=net,
        rough_volume=rough,
        buy_volume=buy,
        waste=1.0 - net / buy,
        least_length=max(blank.length for blank in mine) + 2.0 * shop.allowances.end_trim.value,
        least_width=max(blank.width for blank in mine),
    )


def _net_area(line: _Line) -> float:
    """Finished length times width of all that is sawn from the face of a board, for one part [mm^2]."""
    layers = round(line.part.thickness / line.rough.block.thickness)
    return line.part.length * line.part.width * max(layers, 1)


def _findings(lines: tuple[_Line, ...], request: Request) -> tuple[Finding, ...]:
    names = {line.kind.name for line in lines}
    unknown = tuple(
        Finding(
            code="spare-of-unknown-part",
            grade=Grade.FAILS,
            what=f"the job asks for spares of '{name}', but the piece has no such part.",
            mend=f"name one of: {', '.join(sorted(names))}.",
        )
        for name, _ in request.spares
        if name not in names
    )
    return unknown + tuple(finding for line in lines for finding in _line_findings(line))


def _line_findings(line: _Line) -> tuple[Finding, ...]:
    about: tuple[PartId, ...] = line.kind.parts
    label = line.kind.label or line.kind.id
    found = [
        Finding(
            code="blank-glued-up" if line.rough.pieces > 1 else "stock-ganged",
            grade=Grade.NOTE,
            what=f"{label}: {note}.",
            mend="",
            about=about,
            place=line.part.draft.place,
        )
        for note in line.rough.notes
        if "no rough thickness" not in note
    ]
    found += [
        Finding(
            code="stock-too-thin",
            grade=Grade.FAILS,
            what=f"{label}: {note}.",
            mend="add a thicker stock to `quarters` in the shop file, or draw the part thinner.",
            about=about,
            place=line.part.draft.place,
        )
        for note in line.rough.notes
        if "no rough thickness" in note
    ]
    return tuple(found)
