"""Reading the lists of boards and of their defects."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import TypeVar

from batchwright.base.fault import Fault, Level, Place, in_file_order
from batchwright.design.text.cells import MOST_FAULTS, Column, Row, Sheet, limited, read_sheet
from batchwright.design.text.mistake import Mistake, mistake
from batchwright.design.text.near import listed, offer
from batchwright.design.text.say import say_fraction
from batchwright.design.values.amounts import money_in, positive_length, quarters_in, scalar_at, share_in
from batchwright.design.words.known import unknown_species
from batchwright.handbook.grades import grade_named
from batchwright.handbook.lumber import board_feet, board_feet_of_volume
from batchwright.handbook.names import UnknownNameError
from batchwright.handbook.species import find_species
from batchwright.model.stock import Board, Defect

T = TypeVar("T")

BOARD_COLUMNS: tuple[Column, ...] = (
    Column("name", "what is chalked on the board", "W1", True),
    Column("species", "by its name in the handbook", "white oak", True),
    Column("length", "along the board", "10'2\"", True),
    Column("width", "at the marked end", "7 1/2", True),
    Column("width at far end", "where it differs", "7"),
    Column("thickness", "as measured, or in quarters", "8/4", True),
    Column("grade", "by the hardwood rules", "No. 1 Common"),
    Column("price", "in the shop's money", "9.50"),
    Column("price per", "`bf`, `m3` or `board`", "bf"),
    Column("sawn", "`rift`, `quarter` or `flat`", "flat"),
    Column("moisture", "moisture content", "8 %"),
    Column("note", "anything", "from the yard by the bridge"),
)

DEFECT_COLUMNS: tuple[Column, ...] = (
    Column("board", "the name of the board", "W1", True),
    Column("from", "along the board from its marked end; empty: from that end", "31", True),
    Column("to", "along the board; empty: to the far end", "34", True),
    Column("low", "across it from its marked edge; empty: from that edge", "0"),
    Column("high", "across it; empty: to the far edge", "2 1/2"),
    Column("face", "`both`, `face` or `back`", "both"),
    Column("kind", "knot, split, wane, sapwood, anything", "knot"),
    Column("note", "anything", "sound"),
)

_PER = ("bf", "m3", "board")
_SAWN = ("rift", "quarter", "flat")
_FACES = ("both", "face", "back")
_QUARTER = 25.4 / 4.0
_FOOT = 304.8
MOST_MOISTURE = 0.30
"""Above about 30 % wood is green: it is not worked into furniture (fibre saturation, Wood Handbook ch. 4)."""
_LONGEST = 20_000.0
_WIDEST = 2_000.0
_THICKEST = 300.0
_SHORT = 305.0
_THIN = 4.0
_OVER = 1.6
"""A defect measured a sixteenth past the board's end is a defect at its end [mm]."""


@dataclass(slots=True)
class _Reader:
    """One table on its way to records; values that repeat are worked out once."""

    sheet: Sheet
    file: str
    units: str
    faults: list[Fault]
    errors: int = 0
    short_told: bool = False
    thin_told: bool = False
    lengths: dict[tuple[str, str], float] = field(default_factory=dict)
    species: dict[str, str | None] = field(default_factory=dict)
    grades: dict[str, str] = field(default_factory=dict)

    def length(self, row: Row, word: str, otherwise: float, or_zero: bool = False) -> float:
        """A length cell [mm]; `otherwise` where it is empty. Raises Mistake."""
        text = row.text(word)
        if not text:
            return otherwise
        known = self.lengths.get((word, text))
        if known is None:
            known = self._length(row, word, text, or_zero)
            self.lengths[(word, text)] = known
        return known

    def _length(self, row: Row, word: str, text: str, or_zero: bool) -> float:
        quarters = quarters_in(text) if word == "thickness" else None
        if quarters is not None:
            return quarters
        plain = text.replace(",", ".") if row.separator == ";" else text
        units = self.sheet.units.get(word, self.units)
        return positive_length(scalar_at(plain, row.cell(word).place), units, word, or_zero)

    def one_of(self, row: Row, word: str, choices: tuple[str, ...], otherwise: str) -> str:
        """A cell that holds one of a few words. Raises Mistake."""
        text = row.text(word).casefold()
        if not text:
            return otherwise
        if text in choices:
            return text
        near = offer(text, choices)
        raise mistake(
            "unknown-choice",
            row.cell(word).place,
            f"`{word}` is `{text}`, which is not one of {listed(choices)}.",
            f"write {near or listed(choices)}",
        )

    def tell(self, fault: Fault) -> None:
        """Keep a fault."""
        self.faults.append(fault)
        self.errors += fault.level is Level.ERROR

    @property
    def full(self) -> bool:
        """Whether there are so many faults that more would hide the first."""
        return self.errors >= MOST_FAULTS

    def attempt(self, work: Callable[[], T], otherwise: T) -> T:
        """What `work` gives; `otherwise` where it meets a mistake, whose faults are kept."""
        try:
            return work()
        except Mistake as stop:
            for fault in stop.faults:
                self.tell(fault)
            return otherwise


def read_boards(text: str, file: str, units: str) -> tuple[tuple[Board, ...], tuple[Fault, ...]]:
    """The boards of a table, and everything wrong with it. A bare length is in its heading's unit, else in `units`."""
    sheet = read_sheet(text, file, BOARD_COLUMNS)
    reader = _Reader(sheet, file, units, list(sheet.faults))
    boards: list[Board] = []
    lines: dict[str, int] = {}
    for row in sheet.rows if sheet.sound else ():
        if reader.full:
            break
        board = _board(row, reader)
        if board is None:
            continue
        if board.name in lines:
            what = f"a board called `{board.name}` stands at line {lines[board.name]} already."
            reader.tell(_fault("board-given-twice", row.cell("name").place, what, "give each board its own name"))
            continue
        lines[board.name] = row.line
        boards.append(board)
    return tuple(boards), in_file_order(limited(reader.faults, file, reader.full))


def _board(row: Row, reader: _Reader) -> Board | None:
    """The board of a row, or None where a cell is at fault."""
    told = reader.errors
    width = reader.attempt(lambda: _size(row, "width", reader), 1.0)
    per = reader.attempt(lambda: reader.one_of(row, "price per", _PER, ""), "")
    board = Board(
        name=reader.attempt(lambda: _name(row), ""),
        species=reader.attempt(lambda: _species(row, reader), ""),
        length=reader.attempt(lambda: _size(row, "length", reader), 1.0),
        width=width,
        far_width=reader.attempt(lambda: reader.length(row, "width at far end", width), width),
        thickness=reader.attempt(lambda: _size(row, "thickness", reader), 1.0),
        grade=_grade(row, reader),
        sawn=reader.attempt(lambda: reader.one_of(row, "sawn", _SAWN, ""), ""),
        moisture=reader.attempt(lambda: _moisture(row, reader), None),
        note=row.text("note"),
        place=Place(row.file, row.line, 1),
    )
    if reader.errors > told:
        return None
    reader.attempt(lambda: _check_sizes(board, row), None)
    priced = reader.attempt(lambda: _priced(board, row, per), board)
    _warn_if_short(board, row, reader)
    _warn_if_thin(board, row, reader)
    return priced if reader.errors == told else None


def _name(row: Row) -> str:
    name = row.text("name")
    if name:
        return name
    raise mistake("cell-empty", row.cell("name").place, "the board has no name.", "write the name chalked on it")


def _size(row: Row, word: str, reader: _Reader) -> float:
    if row.text(word):
        return reader.length(row, word, 0.0)
    place = row.cell(word).place
    raise mistake("cell-empty", place, f"board `{row.text('name')}` has no {word}.", "measure it and write it down")


def _species(row: Row, reader: _Reader) -> str:
    text, place = row.text("species"), row.cell("species").place
    if not text:
        raise mistake("cell-empty", place, f"board `{row.text('name')}` has no species.", "write the wood it is of")
    if text not in reader.species:
        found = find_species(text)
        reader.species[text] = found.key if found else None
    key = reader.species[text]
    if key is None:
        raise unknown_species(text, place)
    return key


def _grade(row: Row, reader: _Reader) -> str:
    text = row.text("grade")
    if text and text not in reader.grades:
        try:
            reader.grades[text] = grade_named(text).name
        except UnknownNameError as unknown:
            reader.grades[text] = text
            what = f"the grade `{text}` is not one of the hardwood grades; it is kept as written."
            mend = f"write one of {listed(unknown.near)}, if it is graded"
            place = row.cell("grade").place
            reader.tell(Fault(code="unknown-grade", place=place, what=what, mend=mend, level=Level.WARNING))
    return reader.grades.get(text, "")


def _moisture(row: Row, reader: _Reader) -> float | None:
    text = row.text("moisture")
    if not text:
        return None
    if reader.sheet.units.get("moisture") == "%" and "%" not in text:
        text += " %"
    return share_in(text.replace(",", "."), row.cell("moisture").place, "moisture", MOST_MOISTURE)


def _check_sizes(board: Board, row: Row) -> None:
    for word, found, most in (
        ("length", board.length, _LONGEST),
        ("width", board.width, _WIDEST),
        ("width at far end", board.far_width, _WIDEST),
        ("thickness", board.thickness, _THICKEST),
    ):
        if found > most:
            raise mistake(
                "board-too-large",
                row.cell(word).place,
                f"the {word} of board `{board.name}` comes to {found / 1000:.3g} m; {most / 1000:.3g} m is the most.",
                f"check the unit; a heading may say it: `{word} [in]`",
            )
    if board.thickness > min(board.width, board.far_width) + 1e-6:
        raise mistake(
            "board-thicker-than-wide",
            row.cell("thickness").place,
            f"board `{board.name}` is thicker ({board.thickness:.1f} mm) than wide "
            f"({min(board.width, board.far_width):.1f} mm).",
            "check the two cells: width across the face, thickness through it",
        )


def _warn_if_short(board: Board, row: Row, reader: _Reader) -> None:
    if board.length >= _SHORT or reader.short_told:
        return
    reader.short_told = True
    reader.tell(
        Fault(
            code="board-short",
            place=row.cell("length").place,
            what=f"board `{board.name}` is only {board.length / 25.4:.3g} in long.",
            mend="if that is feet, write `10 ft`, or the heading `length [ft]`",
            level=Level.WARNING,
        )
    )


def _warn_if_thin(board: Board, row: Row, reader: _Reader) -> None:
    if board.thickness >= _THIN or reader.thin_told:
        return
    reader.thin_told = True
    reader.tell(
        Fault(
            code="board-thin",
            place=row.cell("thickness").place,
            what=f"board `{board.name}` is only {board.thickness:.3g} mm thick.",
            mend="if its sizes are inches, write the headings `width [in]` and `thickness [in]`",
            why="where neither the cell nor its heading says a unit, the unit that the job prints in holds",
            level=Level.WARNING,
        )
    )


def _priced(board: Board, row: Row, per: str) -> Board:
    """The board with the price of the whole of it. By the board foot: surface measure times the nearest quarter."""
    text = row.text("price")
    if not text:
        return board
    place = row.cell("price").place
    amount = money_in(text.replace(",", ".") if row.separator == ";" else text, place, "price")
    if not per:
        raise mistake(
            "price-per-missing",
            place,
            f"board `{board.name}` has a price, but not what it is the price of.",
            "add `bf`, `m3` or `board` in the column `price per`",
        )
    if per == "board":
        return replace(board, price=amount, price_text=f"{text} the board")
    width = 0.5 * (board.width + board.far_width)
    if per == "m3":
        volume = width * board.length * board.thickness * 1e-9
        return replace(board, price=amount * volume, price_text=f"{text} per m3, {volume:.4f} m3")
    feet = charged_feet(board)
    return replace(board, price=amount * feet, price_text=f"{text} per bf, {feet:g} bf", charged_feet=feet)


def charged_feet(board: Board) -> float:
    """Board feet that a board is charged for: surface measure times the rough thickness nearest to the measured."""
    width = 0.5 * (board.width + board.far_width)
    quarters = max(4.0, math.ceil(board.thickness / _QUARTER - 0.5 - 1e-9))
    feet = board_feet(width, board.length, quarters * _QUARTER) if board.length >= _FOOT else 0.0
    return feet or round(board_feet_of_volume(width, board.length, quarters * _QUARTER), 2)


def read_defects(
    text: str, file: str, units: str, boards: tuple[Board, ...]
) -> tuple[tuple[Board, ...], tuple[Fault, ...]]:
    """The boards with their defects, and everything wrong with the table of defects."""
    sheet = read_sheet(text, file, DEFECT_COLUMNS)
    reader = _Reader(sheet, file, units, list(sheet.faults))
    by_name = {board.name: board for board in boards}
    found: dict[str, list[Defect]] = {}
    for row in sheet.rows if sheet.sound else ():
        if reader.full:
            break
        board = reader.attempt(lambda row=row: _board_of(row, by_name), None)  # type: ignore[misc]
        if board is None:
            continue
        defect = _defect(row, board, reader)
        if defect is not None:
            found.setdefault(board.name, []).append(defect)
    kept = tuple(replace(board, defects=(*board.defects, *found.get(board.name, ()))) for board in boards)
    return kept, in_file_order(limited(reader.faults, file, reader.full))


def _board_of(row: Row, by_name: dict[str, Board]) -> Board:
    name = row.text("board")
    board = by_name.get(name)
    if board is not None:
        return board
    place = row.cell("board").place
    if not name:
        raise mistake("cell-empty", place, "the defect names no board.", "write the name of the board")
    near = offer(name, by_name)
    mend = f"write {near}" if near else "add the board to the list of boards, or take the defect out"
    raise mistake("unknown-board", place, f"no board is called `{name}`.", mend)


def _defect(row: Row, board: Board, reader: _Reader) -> Defect | None:
    told = reader.errors
    widest = max(board.width, board.far_width)
    defect = Defect(
        start=reader.attempt(lambda: reader.length(row, "from", 0.0, True), 0.0),
        end=reader.attempt(lambda: reader.length(row, "to", board.length), 1.0),
        low=reader.attempt(lambda: reader.length(row, "low", 0.0, True), 0.0),
        high=reader.attempt(lambda: reader.length(row, "high", widest), 1.0),
        face=reader.attempt(lambda: reader.one_of(row, "face", _FACES, "both"), "both"),
        kind=row.text("kind"),
        note=row.text("note"),
        place=Place(row.file, row.line, 1),
    )
    if reader.errors == told:
        reader.attempt(lambda: _check_extent(row, "from", "to", (defect.start, defect.end, board.length)), None)
        reader.attempt(lambda: _check_extent(row, "low", "high", (defect.low, defect.high, widest)), None)
    if reader.errors > told:
        return None
    return replace(defect, end=min(defect.end, board.length), high=min(defect.high, widest))


def _check_extent(row: Row, low: str, high: str, extent: tuple[float, float, float]) -> None:
    start, end, most = extent
    if start >= end:
        raise mistake(
            "defect-turned-round",
            row.cell(low).place,
            f"the defect runs from {row.text(low) or 0} to {row.text(high)}: `{low}` must be less than `{high}`.",
            f"change `{low}` and `{high}` round",
        )
    if end > most + _OVER:
        raise mistake(
            "defect-outside",
            row.cell(high).place,
            f"the defect reaches to {row.text(high)}, but board `{row.text('board')}` ends at "
            f"{say_fraction(round(most / 25.4 * 64) / 64)} in ({most:.0f} mm).",
            "measure from the marked end and the marked edge; check the unit",
        )


def _fault(code: str, place: Place, what: str, mend: str) -> Fault:
    return Fault(code=code, place=place, what=what, mend=mend)
