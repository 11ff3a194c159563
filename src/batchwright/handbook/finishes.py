"""Finishes by kind: how far a litre goes, coats, waiting, and when it must be done again. No product is meant."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from batchwright.base.source import Source
from batchwright.handbook.names import UnknownNameError, nearest_names, plain_name
from batchwright.handbook.shelf import Row, load_rows, number_in, source_in

Range = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Finish:
    """One kind of finish; each range is (low, high), None where nothing is known."""

    key: str
    name: str
    exposure: str
    film: str
    coverage: Range | None
    """Of one coat [m2/L]."""
    coats: Range | None
    recoat_time: Range | None
    """Between coats [h]."""
    life: Range | None
    """Years until it must be done again [years]."""
    life_source: Source
    source: Source
    note: str = ""


def _range(row: Row, column: str) -> Range | None:
    low, high = number_in(row[f"{column}_lo"]), number_in(row[f"{column}_hi"])
    return None if low is None or high is None else (low, high)


def _finish_of(row: Row) -> Finish:
    return Finish(
        key=row["key"],
        name=row["name"],
        exposure=row["exposure"],
        film=row["film"],
        coverage=_range(row, "coverage_m2_per_l"),
        coats=_range(row, "coats"),
        recoat_time=_range(row, "recoat_h"),
        life=_range(row, "maintenance_years"),
        life_source=source_in(row, "life_"),
        source=source_in(row),
        note=row["note"],
    )


@cache
def _finishes() -> tuple[Finish, ...]:
    return tuple(_finish_of(row) for row in load_rows("finishes"))


def finishes() -> tuple[Finish, ...]:
    """Every kind of finish, outdoors first.

    Returns
    -------
    tuple of Finish
        Eighteen kinds [m2/L]

    Notes
    -----
    Valid as defaults; the label on the tin comes first. Lives are for upright faces: tops last much less.

    Source: Wood Handbook 2010, Table 16-5, lives of five exterior kinds (read); the rest common practice.

    Examples
    --------
    >>> len(finishes())
    18
    """
    return _finishes()


def finish_named(name: str) -> Finish:
    """One kind of finish.

    Parameters
    ----------
    name : str
        Key or name, such as ``exterior_oil`` [text]

    Returns
    -------
    Finish
        Coverage, coats, waiting and life [m2/L]

    Raises
    ------
    UnknownNameError
        If there is no such kind.

    Notes
    -----
    Valid as defaults; the label on the tin comes first.

    Source: Wood Handbook 2010, Table 16-5, lives of five exterior kinds (read); the rest common practice.

    Examples
    --------
    >>> finish_named("semi_stain").life
    (4.0, 8.0)
    """
    for each in _finishes():
        if plain_name(name) in (plain_name(each.key), plain_name(each.name)):
            return each
    near = nearest_names(name, [each.key for each in _finishes()])
    raise UnknownNameError("finish", name, near or tuple(each.key for each in _finishes()))
