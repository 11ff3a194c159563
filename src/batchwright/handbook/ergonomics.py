"""Sizes that fit people: seats, tables, benches, bodies. Lengths in mm; angles as printed, in degrees."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from batchwright.base.source import Source
from batchwright.handbook.names import UnknownNameError, nearest_names, plain_name
from batchwright.handbook.shelf import Row, load_rows, number_in, source_in


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """One size of one thing: least, usual, most, each None where the source gives none; `unit` is mm or deg."""

    item: str
    measure: str
    low: float | None
    usual: float | None
    high: float | None
    unit: str
    source: Source
    note: str = ""


def _measure_of(row: Row) -> Measure:
    return Measure(
        item=row["item"],
        measure=row["measure"],
        low=number_in(row["low"]),
        usual=number_in(row["usual"]),
        high=number_in(row["high"]),
        unit=row["unit"],
        source=source_in(row),
        note=row["note"],
    )


@cache
def _measures() -> tuple[Measure, ...]:
    return tuple(_measure_of(row) for row in load_rows("ergonomics"))


def measures() -> tuple[Measure, ...]:
    """Every size, in table order.

    Returns
    -------
    tuple of Measure
        46 rows [mm or deg, as each says]

    Notes
    -----
    Valid as guidance for adults; local rules on public seating come first.

    Source: ADA 2010, Joyce, Time-Saver Standards (read); Panero and Zelnik, Humanscale (from memory); see marks.

    Examples
    --------
    >>> len(measures())
    46
    """
    return _measures()


def measures_of(item: str) -> tuple[Measure, ...]:
    """Sizes of one thing.

    Parameters
    ----------
    item : str
        Such as ``dining chair`` or ``garden bench`` [text]

    Returns
    -------
    tuple of Measure
        Its rows; the same size may stand there from two sources [mm or deg, as each says]

    Raises
    ------
    UnknownNameError
        If the table has no such thing.

    Notes
    -----
    Valid as guidance for adults.

    Source: see each row's source and mark.

    Examples
    --------
    >>> [each.usual for each in measures_of("garden bench") if each.measure == "seat height"]
    [430.0]
    """
    found = tuple(each for each in _measures() if plain_name(each.item) == plain_name(item))
    if found:
        return found
    known = tuple(dict.fromkeys(each.item for each in _measures()))
    raise UnknownNameError("thing", item, nearest_names(item, known) or known)
