"""Lists as grids for a spreadsheet: lengths as numbers in the job's unit and, in inches, as fractions beside them."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import Enum

from batchwright.base.length import INCH, Unit
from batchwright.model.piece import Joint, Part, Tenon
from batchwright.model.stock import LumberPlan
from batchwright.model.work import CuttingList, CuttingRow
from batchwright.sheets.scene.grid import Cell, Field, Grid
from batchwright.sheets.views.lists import by_stock, row_notes
from batchwright.sheets.views.packet import Contents
from batchwright.sheets.views.printing import BOARD_FOOT, Printing, wood_name

CUBIC_METRE = 1e9


class Is(Enum):
    """What a column holds: words, a count, a plain number, a length [mm], a volume [mm^3], an angle [rad]."""

    WORDS = "words"
    COUNT = "count"
    NUMBER = "number"
    LENGTH = "length"
    VOLUME = "volume"
    ANGLE = "angle"


@dataclass(frozen=True, slots=True)
class Col:
    """A column before it is put in the job's unit."""

    title: str
    holds: Is = Is.WORDS
    wide: int = 12


@dataclass(frozen=True, slots=True)
class Listed:
    """A grid before its numbers are put in the job's unit. Fractions carry theirs: 7/8 would be read as a date."""

    name: str
    title: str
    columns: tuple[Col, ...]
    rows: tuple[tuple[Cell, ...], ...]
    note: str = ""

    def in_unit(self, printing: Printing) -> Grid:
        """As it is written: a column of lengths in inches becomes two."""
        fields = [field for column in self.columns for field in _fields(column, printing)]
        rows = tuple(self._row(row, printing) for row in self.rows)
        return Grid(name=self.name, title=self.title, fields=tuple(fields), rows=rows, note=self.note)

    def _row(self, row: tuple[Cell, ...], printing: Printing) -> tuple[Cell, ...]:
        pairs = zip(self.columns, row, strict=True)
        return tuple(cell for column, value in pairs for cell in _cells(column, value, printing))


def _fields(column: Col, printing: Printing) -> tuple[Field, ...]:
    inches = printing.unit is Unit.INCHES
    match column.holds:
        case Is.WORDS:
            return (Field(title=column.title, wide=column.wide),)
        case Is.LENGTH if inches:
            return (
                Field(title=f"{column.title}, in", digits=3, wide=10),
                Field(title=f"{column.title}, fraction", wide=10),
            )
        case Is.LENGTH:
            return (Field(title=f"{column.title}, mm", digits=1, wide=10),)
        case Is.VOLUME:
            return (Field(title=f"{column.title}, {'bf' if inches else 'm³'}", digits=2 if inches else 4, wide=10),)
        case Is.ANGLE:
            return (Field(title=f"{column.title}, degrees", digits=2, wide=10),)
        case _:
            return (Field(title=column.title, digits=0 if column.holds is Is.COUNT else 2, wide=9),)


def _cells(column: Col, value: Cell, printing: Printing) -> tuple[Cell, ...]:
    inches = printing.unit is Unit.INCHES
    if not isinstance(value, str) and value is not None:
        match column.holds:
            case Is.LENGTH if inches:
                return (_tidy(value / INCH), f"{printing.signed(value)} {printing.unit.value}")
            case Is.LENGTH:
                return (_tidy(value),)
            case Is.VOLUME:
                return (value / (BOARD_FOOT if inches else CUBIC_METRE),)
            case Is.ANGLE:
                return (_tidy(math.degrees(value)),)
    return (value, None) if column.holds is Is.LENGTH and inches else (value,)


def _tidy(value: float) -> float:
    """Without the dust of reckoning, and no zero with a minus."""
    return round(value, 6) + 0.0


def _lengths(*titles: str) -> tuple[Col, ...]:
    return tuple(Col(title, Is.LENGTH) for title in titles)


NAMED = (Col("No.", Is.COUNT), Col("Part", wide=24), Col("Hand", wide=8))


def cutting_grid(contents: Contents, kinds: frozenset[str]) -> Listed:
    """The cutting list of those kinds."""
    columns = (
        *NAMED,
        Col("Wood", wide=16),
        *(Col(title, Is.COUNT) for title in ("Each", "Copies", "Spares", "Make")),
        *_lengths("Thickness", "Width", "Length", "Shoulder to shoulder", "Rough width", "Rough length"),
        Col("Rough stock"),
        Col("Boards glued up", Is.COUNT),
        Col("Milled together", Is.COUNT),
        Col("Curved", wide=8),
        Col("Notes", wide=40),
    )
    cutting = contents.cutting
    rows = tuple(_cutting_row(row, cutting, contents.printing) for row in cutting.rows if row.kind in kinds)
    note = "Finished sizes, tenons included; rough: of one blank."
    return Listed("Cutting list", "cutting list", columns, rows, note)


def _cutting_row(row: CuttingRow, cutting: CuttingList, printing: Printing) -> tuple[Cell, ...]:
    quarters = next((family.quarters for family in cutting.families if row.kind in family.kinds), "")
    finished = row.finished
    return (
        printing.number_of(row.kind),
        row.label,
        row.hand.value,
        wood_name(row.species),
        *(row.each, row.copies, row.spares, row.total),
        *(finished.thickness, finished.width, finished.length, row.shoulder_length),
        *(row.rough.width, row.rough.length),
        quarters,
        *(row.pieces, row.gang),
        "yes" if row.curved else "no",
        "; ".join(row_notes(row, printing)),
    )


def buying_grid(contents: Contents) -> Listed:
    """Rough lumber to buy, by wood and thickness."""
    columns = (
        Col("Wood", wide=20),
        Col("Rough stock"),
        *(Col(title, Is.VOLUME) for title in ("Net", "Rough blanks", "To buy")),
        Col("Waste share", Is.NUMBER),
        *_lengths("Least width", "Least length"),
    )
    rows = tuple(
        (
            wood_name(family.species),
            family.quarters,
            *(family.net_volume, family.rough_volume, family.buy_volume),
            family.waste,
            *(family.least_width, family.least_length),
        )
        for family in by_stock(contents.cutting.families)
    )
    return Listed("Buying list", "lumber to buy", columns, rows)


def board_grid(contents: Contents, lumber: LumberPlan) -> Listed:
    """The boards that the plan takes."""
    used = {plan.board for plan in lumber.plans}
    columns = (
        Col("Board", wide=10),
        Col("Wood", wide=16),
        *_lengths("Thickness", "Width", "Far width", "Length"),
        Col("Volume", Is.VOLUME),
        Col("Price", Is.NUMBER),
        Col("Note", wide=30),
    )
    rows = tuple(
        (
            board.name,
            wood_name(board.species),
            *(board.thickness, board.width, board.far_width, board.length),
            board.area * board.thickness,
            board.price,
            board.note,
        )
        for board in lumber.boards
        if board.name in used
    )
    return Listed("Boards", "boards to take", columns, rows)


def hardware_grid(contents: Contents) -> Listed:
    """Small things to buy or make."""
    columns = (Col("What", wide=40), Col("Diameter", Is.LENGTH), Col("Count", Is.COUNT))
    rows = tuple((one.what, one.diameter or None, one.count) for one in contents.cutting.hardware)
    return Listed("Hardware", f"hardware for {contents.copies} copies", columns, rows)


def joint_grid(contents: Contents, joints: Iterable[Joint]) -> Listed:
    """Every tenon of those joints with its mortise."""
    columns = (
        Col("Joint", wide=40),
        Col("Kind", wide=12),
        Col("Part", wide=20),
        Col("End", wide=14),
        Col("Into", wide=20),
        Col("Form", wide=10),
        Col("Tenon", Is.COUNT),
        *_lengths("Tenon thickness", "Tenon width", "Tenon length", "Stands proud"),
        Col("Wedges", Is.COUNT),
        *_lengths("Mortise width", "Mortise length", "Mortise depth"),
        *(Col(t, Is.ANGLE) for t in ("Out of square", "Shoulder on face side", "Shoulder on face edge", "Twist")),
        Col("Pegs", Is.COUNT),
        *_lengths("Peg diameter", "Draw"),
    )
    rows = tuple(_tenon_row(joint, number, tenon) for joint in joints for number, tenon in enumerate(joint.tenons, 1))
    return Listed("Joints", "joints", columns, rows)


def _tenon_row(joint: Joint, number: int, tenon: Tenon) -> tuple[Cell, ...]:
    mortise = joint.mortises[min(number, len(joint.mortises)) - 1] if joint.mortises else None
    peg = joint.pegs[0] if joint.pegs else None
    return (
        *(joint.id, joint.kind.value, joint.part, joint.end.value, joint.into, joint.end_form),
        number,
        *(tenon.thickness, tenon.width, tenon.length, tenon.proud or None),
        tenon.wedges or None,
        *((None, None, None) if mortise is None else (mortise.width, mortise.length, mortise.depth)),
        *(joint.out_of_square, *joint.shoulder_angles, joint.twist),
        len(joint.pegs) or None,
        *((None, None) if peg is None else (peg.diameter, peg.draw)),
    )


def part_name(contents: Contents, part: Part) -> tuple[Cell, ...]:
    """Number, label and hand of a part's kind."""
    kind = contents.made.piece.kind_of(part.id)
    return (contents.printing.number_of(kind.id), kind.label or kind.id, part.hand.value)


def all_in_unit(listed: Sequence[Listed], printing: Printing) -> tuple[Grid, ...]:
    """Every list that has rows, as it is written."""
    return tuple(one.in_unit(printing) for one in listed if one.rows)
