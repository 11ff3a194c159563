"""Adhesives by kind: how long there is to close a joint, clamp time, pressure. No product is meant or named."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from batchwright.base.source import Source
from batchwright.handbook.names import UnknownNameError, nearest_names, plain_name
from batchwright.handbook.shelf import Row, load_rows, number_in, source_in

Range = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Adhesive:
    """One kind of adhesive at 21 degrees C and 50 % humidity; each range is (low, high)."""

    key: str
    name: str
    water: str
    use: str
    open_time: Range
    """Glue spread, joint still open [min]."""
    assembly_time: Range
    """From spreading to pressure, open and closed together [min]."""
    clamp_time: Range
    """[min]"""
    cure_time: Range
    """To full strength [h]."""
    least_temperature: float
    """Of glue, wood and air [degC]."""
    pressure_softwood: Range
    """[MPa]"""
    pressure_hardwood: Range
    """[MPa]"""
    spread: Range
    """Glue on one face [g/m2]."""
    widest_gap: float
    """[mm]"""
    creep: str
    conditions: str
    source: Source
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class AdhesiveRule:
    """One thing that is true of gluing whatever the adhesive, in words."""

    key: str
    name: str
    rule: str
    source: Source


def _range(row: Row, column: str, factor: float = 1.0) -> Range:
    low, high = (number_in(row[f"{column}_{end}"]) for end in ("lo", "hi"))
    if low is None or high is None:
        raise ValueError(f"{row['key']} has no {column}")
    return (low * factor, high * factor)


def _adhesive_of(row: Row) -> Adhesive:
    return Adhesive(
        key=row["key"],
        name=row["name"],
        water=row["water_resistance"],
        use=row["use"],
        open_time=_range(row, "open_assembly_min"),
        assembly_time=_range(row, "total_assembly_min"),
        clamp_time=_range(row, "clamp_time_min"),
        cure_time=_range(row, "full_cure_h"),
        least_temperature=float(row["min_use_temp_c"]),
        pressure_softwood=_range(row, "pressure_softwood_kpa", 0.001),
        pressure_hardwood=_range(row, "pressure_hardwood_kpa", 0.001),
        spread=_range(row, "spread_g_m2"),
        widest_gap=float(row["max_gap_mm"]),
        creep=row["creep"],
        conditions=row["reference_conditions"],
        source=source_in(row),
        note=row["note"],
    )


@cache
def _adhesives() -> tuple[Adhesive, ...]:
    return tuple(_adhesive_of(row) for row in load_rows("adhesives"))


@cache
def _rules() -> tuple[AdhesiveRule, ...]:
    return tuple(
        AdhesiveRule(key=row["key"], name=row["name"], rule=row["rule"], source=source_in(row))
        for row in load_rows("adhesive_rules")
    )


def adhesives() -> tuple[Adhesive, ...]:
    """Every kind of adhesive.

    Returns
    -------
    tuple of Adhesive
        Twelve kinds, times at 21 degrees C and 50 % humidity [min]

    Notes
    -----
    Valid as defaults; the label on the bottle comes first.

    Source: common practice, no source.

    Examples
    --------
    >>> len(adhesives())
    12
    """
    return _adhesives()


def adhesive_named(name: str) -> Adhesive:
    """One kind of adhesive.

    Parameters
    ----------
    name : str
        Key or name, such as ``pva_type1`` [text]

    Returns
    -------
    Adhesive
        Times, pressures and limits [min]

    Raises
    ------
    UnknownNameError
        If there is no such kind.

    Notes
    -----
    Valid as defaults; the label on the bottle comes first.

    Source: common practice, no source.

    Examples
    --------
    >>> adhesive_named("pva_type1").open_time
    (8.0, 10.0)
    """
    for each in _adhesives():
        if plain_name(name) in (plain_name(each.key), plain_name(each.name)):
            return each
    near = nearest_names(name, [each.key for each in _adhesives()])
    raise UnknownNameError("adhesive", name, near or tuple(each.key for each in _adhesives()))


def adhesive_rules() -> tuple[AdhesiveRule, ...]:
    """Rules of gluing in words: what shortens open time, pressure, moisture, end grain.

    Returns
    -------
    tuple of AdhesiveRule
        Eight rules [text]

    Notes
    -----
    Valid as guidance; the label on the bottle comes first.

    Source: Wood Handbook 2010, ch. 10 (read and from memory), and common practice; see each mark.

    Examples
    --------
    >>> adhesive_rules()[0].key
    'open_vs_closed'
    """
    return _rules()
