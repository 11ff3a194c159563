"""Reads the packaged tables, and the marks and sources in their rows. The only reader of files here."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from fractions import Fraction
from functools import cache
from importlib import resources

from batchwright.base.source import Mark, Source

MARKS: Mapping[str, Mark] = {
    "read": Mark.READ,
    "memory": Mark.MEMORY,
    "computed": Mark.COMPUTED,
    "derived": Mark.DERIVED,
    "practice": Mark.COMMON_PRACTICE,
    "house": Mark.HOUSE,
}
Row = Mapping[str, str]


@cache
def _rows(name: str) -> tuple[Row, ...]:
    """All rows of a packaged table, as text, in file order."""
    text = resources.files("batchwright.handbook.tables").joinpath(f"{name}.csv").read_text(encoding="utf-8")
    return tuple(csv.DictReader(io.StringIO(text)))


def load_rows(name: str) -> tuple[Row, ...]:
    """Rows of one packaged table, as the text that stands in it.

    Parameters
    ----------
    name : str
        File name without its ending [text]

    Returns
    -------
    tuple of mapping
        One mapping of column to text for each row [text]

    Raises
    ------
    FileNotFoundError
        If the package holds no such table.

    Notes
    -----
    Valid for the tables packaged with this release.

    Source: house rule, tables are read in one place.

    Examples
    --------
    >>> len(load_rows("species"))
    44
    """
    return _rows(name)


def number_in(text: str) -> float | None:
    """Number of a table cell; an empty cell is a gap.

    Parameters
    ----------
    text : str
        The cell [text]

    Returns
    -------
    float or None
        The number as printed, None for a gap [-]

    Raises
    ------
    ValueError
        If the cell holds something that is no number.

    Notes
    -----
    Valid for plain decimal numbers.

    Source: house rule, gaps are never filled.

    Examples
    --------
    >>> number_in("0.68"), number_in("")
    (0.68, None)
    """
    stripped = text.strip()
    return float(stripped) if stripped else None


def inches_in(text: str) -> float | None:
    """Length of a table cell printed in inches and fractions; an empty cell is a gap.

    Parameters
    ----------
    text : str
        Inches as whole numbers and fractions parted by spaces, such as ``1 13/16`` [text]

    Returns
    -------
    float or None
        The length, None for a gap [mm]

    Raises
    ------
    ValueError
        If the cell holds something else.

    Notes
    -----
    Valid for the cells of the lumber tables.

    Source: definition, 1 in = 25.4 mm.

    Examples
    --------
    >>> inches_in("1 3/4")
    44.45
    """
    if not text.strip():
        return None
    return float(sum(Fraction(each) for each in text.split()) * Fraction(254, 10))


def source_in(row: Row, prefix: str = "") -> Source:
    """Citation that stands in a row, from its columns `source`, `where` and `mark`.

    Parameters
    ----------
    row : mapping
        One table row [text]
    prefix : str
        Put before the column names, such as ``shrink_`` [text]

    Returns
    -------
    Source
        The citation with its mark [text]

    Raises
    ------
    KeyError
        If the row has no such columns or an unknown mark.

    Notes
    -----
    Valid for tables whose rows carry a mark.

    Source: house rule, every value carries its source.

    Examples
    --------
    >>> print(source_in({"source": "Wood Handbook 2021", "where": "Table 5-3b", "mark": "read"}))
    Wood Handbook 2021, Table 5-3b (read)
    """
    mark = MARKS[row[f"{prefix}mark"]]
    return Source(text=row.get(f"{prefix}source", ""), mark=mark, where=row.get(f"{prefix}where", ""))
