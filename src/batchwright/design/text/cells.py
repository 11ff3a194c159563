"""A table of text with a heading line: rows of cells, each with its place, parted by commas or semicolons."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field

from batchwright.base.fault import Fault, Level, Place
from batchwright.design.text.near import listed, offer
from batchwright.design.values.values import MM_OF

MOST_ROWS = 20_000
LONGEST_TABLE = 4_000_000
MOST_FAULTS = 100
"""Faults told of one table; a wrong heading would otherwise repeat itself in every row."""

_HEADING = re.compile(r"^(?P<name>[^\[\]()]*?)\s*(?:[\[(](?P<unit>[^\[\]()]*)[\])])?$")
_SHARES = ("moisture",)
"""Columns of shares; the unit of any other is one of length."""


@dataclass(frozen=True, slots=True)
class Column:
    """What a table may have in a column: its word, meaning and example; whether it must be there."""

    word: str
    says: str
    example: str
    required: bool = False


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell: its text without surrounding spaces, and its place."""

    text: str
    place: Place


@dataclass(slots=True)
class Row:
    """One line of a table, cut into cells when they are asked for."""

    line: int
    file: str
    texts: tuple[str, ...]
    raw: str
    separator: str
    order: dict[str, int]

    def text(self, word: str) -> str:
        """The text of a cell, empty where the column or the cell is missing."""
        index = self.order.get(word)
        return self.texts[index] if index is not None and index < len(self.texts) else ""

    def cell(self, word: str) -> Cell:
        """A cell with its place; the line itself where the column is missing."""
        index = self.order.get(word)
        if index is None or index >= len(self.texts):
            return Cell("", Place(self.file, self.line, 1))
        start = _starts(self.raw, self.separator)[index]
        return Cell(self.texts[index], Place(self.file, self.line, start + 1))


@dataclass(slots=True)
class Sheet:
    """A table read: its rows, the unit each heading names, and its faults."""

    rows: list[Row] = field(default_factory=list)
    units: dict[str, str] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)
    sound: bool = True
    """Whether the heading can be relied on."""


def read_sheet(text: str, file: str, columns: tuple[Column, ...]) -> Sheet:
    """The rows of a table under its heading line. Empty lines are passed over."""
    sheet = Sheet()
    if len(text) > LONGEST_TABLE:
        sheet.faults.append(
            _fault("too-long", Place(file), "the table has more than 4 million characters.", "split it")
        )
        sheet.sound = False
        return sheet
    lines = list(_lines(text.removeprefix("\ufeff")))
    if not lines:
        words = ", ".join(column.word for column in columns)
        what = "the table is empty."
        sheet.faults.append(_fault("empty-file", Place(file), what, f"begin it with a line of headings: {words}"))
        sheet.sound = False
        return sheet
    (first, heading), body = lines[0], lines[1:]
    separator = max((",", ";", "\t"), key=heading.count)
    order = _Headings(heading, first, file, separator, sheet).order(columns)
    width = len(_cut(heading, separator))
    for line, raw in body[:MOST_ROWS]:
        texts = _cut(raw, separator)
        if not any(texts):
            continue
        sheet.rows.append(Row(line, file, texts, raw, separator, order))
        if len(texts) > width and any(texts[width:]) and len(sheet.faults) < MOST_FAULTS:
            first_over = next(index for index in range(width, len(texts)) if texts[index])
            place = Place(file, line, _starts(raw, separator)[first_over] + 1)
            what = f"the line has {len(texts)} cells, but there are {width} headings."
            mend = "put a cell that holds a comma into double quotation marks, or name the column"
            sheet.faults.append(_fault("too-many-cells", place, what, mend))
    if len(body) > MOST_ROWS:
        place = Place(file, body[MOST_ROWS][0], 1)
        sheet.faults.append(_fault("too-many-rows", place, f"the table has more than {MOST_ROWS} rows.", "split it"))
    return sheet


def limited(faults: list[Fault], file: str, full: bool) -> list[Fault]:
    """The faults of a table; where reading stopped because there were too many, a last line that says so."""
    if not full:
        return faults
    last = max(fault.place.line for fault in faults)
    what = f"more than {MOST_FAULTS} faults; nothing below line {last} was read."
    return [
        *faults,
        _fault("more-faults", Place(file, last + 1, 1), what, "mend those above first"),
    ]


def _lines(text: str) -> Iterator[tuple[int, str]]:
    """Lines with their numbers; a quoted cell may not run over lines. Empty lines are left out."""
    for number, line in enumerate(re.split(r"\r\n|\r|\n", text), start=1):
        if line.strip():
            yield number, line


@dataclass(frozen=True, slots=True)
class _Headings:
    """The heading line of a table."""

    heading: str
    line: int
    file: str
    separator: str
    sheet: Sheet

    def order(self, columns: tuple[Column, ...]) -> dict[str, int]:
        """Which column stands where; units and faults go to the sheet."""
        order: dict[str, int] = {}
        words = [column.word for column in columns]
        starts = _starts(self.heading, self.separator)
        for index, text in enumerate(_cut(self.heading, self.separator)):
            self._take(text, index, Place(self.file, self.line, starts[index] + 1), order, words)
        missing = [column for column in columns if column.required and column.word not in order]
        for column in missing:
            what = f"the column `{column.word}` is missing."
            mend = f"add the heading `{column.word}`; {column.says}, for example {column.example}"
            self.sheet.faults.append(_fault("column-missing", Place(self.file, self.line, 1), what, mend))
        self.sheet.sound = not missing
        return order

    def _take(self, text: str, index: int, place: Place, order: dict[str, int], words: list[str]) -> None:
        found = _HEADING.match(text)
        name = " ".join((found.group("name") if found else text).split()).casefold()
        unit = (found.group("unit") or "").strip() if found else ""
        if name in order:
            what = f"the column `{name}` is given twice."
            self.sheet.faults.append(_fault("column-given-twice", place, what, "keep one"))
        elif name in words:
            order[name] = index
            self._unit(name, unit, place)
        elif name:
            self.sheet.faults.append(_unknown_column(name, place, words))

    def _unit(self, name: str, unit: str, place: Place) -> None:
        known = ("%",) if name in _SHARES else tuple(MM_OF)
        if unit in known or name == "price":
            self.sheet.units[name] = unit
        elif unit:
            what = f"the heading `{name} [{unit}]` names a unit that is not known."
            self.sheet.faults.append(_fault("unknown-unit", place, what, f"write one of {listed(known)}"))


def _unknown_column(name: str, place: Place, words: list[str]) -> Fault:
    near = offer(name, words)
    what = f"the column `{name}` is not known; it is kept and not used."
    return Fault(
        code="unknown-column",
        place=place,
        what=what,
        mend=f"if you mean {near}, write that" if near else "nothing, if it is for your own use",
        level=Level.WARNING,
    )


def _cut(raw: str, separator: str) -> tuple[str, ...]:
    """The texts of a line's cells."""
    if '"' not in raw:
        return tuple(text.strip() for text in raw.split(separator))
    return tuple(_unquoted(raw[start:end]) for start, end in _spans(raw, separator))


def _unquoted(text: str) -> str:
    text = text.strip()
    if len(text) >= 2 and text[0] == text[-1] == '"':
        return text[1:-1].replace('""', '"').strip()
    return text


def _starts(raw: str, separator: str) -> list[int]:
    """Where each cell's own text begins in the line."""
    return [start + len(raw[start:end]) - len(raw[start:end].lstrip()) for start, end in _spans(raw, separator)]


def _spans(raw: str, separator: str) -> list[tuple[int, int]]:
    """From and to of each cell. A cell is quoted only if it begins with `"`: `8 1/2"` is inches."""
    spans: list[tuple[int, int]] = []
    start = 0
    while True:
        body = start + len(raw[start:]) - len(raw[start:].lstrip(" "))
        end = _quote_end(raw, body) if raw[body : body + 1] == '"' else start
        found = raw.find(separator, end)
        if found < 0:
            return [*spans, (start, len(raw))]
        spans.append((start, found))
        start = found + 1


def _quote_end(raw: str, at: int) -> int:
    """Behind the closing quotation mark of a cell that opens at `at`; its start where it is never closed."""
    end = at + 1
    while end < len(raw):
        if raw[end] == '"':
            if raw[end + 1 : end + 2] != '"':
                return end + 1
            end += 1
        end += 1
    return at


def _fault(code: str, place: Place, what: str, mend: str) -> Fault:
    return Fault(code=code, place=place, what=what, mend=mend)
