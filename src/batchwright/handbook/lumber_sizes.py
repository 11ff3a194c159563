"""Sizes lumber is sold in: hardwood thickness by quarters, softwood by nominal size."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from batchwright.base.source import Source
from batchwright.handbook.names import UnknownNameError, nearest_names, plain_name
from batchwright.handbook.published import Published
from batchwright.handbook.shelf import MARKS, Row, inches_in, load_rows, source_in


@dataclass(frozen=True, slots=True, kw_only=True)
class Thickness:
    """One hardwood thickness as sold, `8/4`: rough, and surfaced on one or both sides [mm]."""

    name: str
    rough: float
    surfaced_one: Published
    surfaced_two: Published
    note: str = ""


@cache
def _thicknesses() -> tuple[Thickness, ...]:
    return tuple(_thickness_of(row) for row in load_rows("hardwood_thickness"))


def _thickness_of(row: Row) -> Thickness:
    source = source_in(row)
    rough = inches_in(row["rough_in"])
    if rough is None:
        raise ValueError(f"no rough thickness for {row['name']}")
    return Thickness(
        name=row["name"],
        rough=rough,
        surfaced_one=Published(value=inches_in(row["surfaced_one_in"]), unit="mm", source=source),
        surfaced_two=Published(value=inches_in(row["surfaced_two_in"]), unit="mm", source=source),
        note=row["note"],
    )


def thicknesses() -> tuple[Thickness, ...]:
    """Hardwood thicknesses from thin to thick.

    Returns
    -------
    tuple of Thickness
        3/8 in to 16/4 [mm]

    Notes
    -----
    Valid for the grading standard; a board is always measured before it is relied on.

    Source: Hardwood thickness pages (read); 10/4 and 14/4 NHLA rules (from memory).

    Examples
    --------
    >>> [each.name for each in thicknesses()][4:8]
    ['4/4', '5/4', '6/4', '8/4']
    """
    return _thicknesses()


def thickness_named(name: str) -> Thickness:
    """Hardwood thickness by its name.

    Parameters
    ----------
    name : str
        Quarters, such as ``8/4``, or a fraction for thin stock, such as ``3/4`` [text]

    Returns
    -------
    Thickness
        Rough and surfaced sizes [mm]

    Raises
    ------
    UnknownNameError
        If there is no such thickness.

    Notes
    -----
    Valid for the grading standard; a board is always measured before it is relied on.

    Source: Hardwood thickness pages (read); 10/4 and 14/4 NHLA rules (from memory).

    Examples
    --------
    >>> thickness_named("8/4").rough, thickness_named("8/4").surfaced_two.value
    (50.8, 44.45)
    """
    for each in _thicknesses():
        if plain_name(each.name) == plain_name(name):
            return each
    known = tuple(each.name for each in _thicknesses())
    raise UnknownNameError("thickness", name, nearest_names(name, known) or known[4:8])


def thickness_for(rough: float) -> Thickness | None:
    """Thinnest standard thickness whose rough size is at least the one asked for.

    Parameters
    ----------
    rough : float
        Rough thickness wanted [mm]

    Returns
    -------
    Thickness or None
        None if nothing sold is thick enough [mm]

    Raises
    ------
    ValueError
        If the thickness is not positive.

    Notes
    -----
    Valid from 3/8 in to 16/4.

    Source: Hardwood thickness pages (read); 10/4 and 14/4 NHLA rules (from memory).

    Examples
    --------
    >>> found = thickness_for(40.0)
    >>> found.name if found else None
    '8/4'
    """
    if not rough > 0.0:
        raise ValueError(f"thickness must be above 0, not {rough:g}")
    return next((each for each in _thicknesses() if each.rough >= rough - 1e-6), None)


@dataclass(frozen=True, slots=True, kw_only=True)
class SoftwoodSize:
    """One nominal softwood size, thickness or width: dressed dry and green [mm]."""

    kind: str
    nominal: str
    dry: Published
    green: Published


def _softwood_of(row: Row) -> SoftwoodSize:
    dry = Source(text=row["source"], where=row["where"], mark=MARKS[row["dry_mark"]])
    green = Source(text=row["source"], where=row["where"], mark=MARKS[row["green_mark"]])
    return SoftwoodSize(
        kind=row["kind"],
        nominal=row["nominal_in"],
        dry=Published(value=inches_in(row["dry_in"]), unit="mm", source=dry),
        green=Published(value=inches_in(row["green_in"]), unit="mm", source=green),
    )


@cache
def _softwoods() -> tuple[SoftwoodSize, ...]:
    return tuple(_softwood_of(row) for row in load_rows("softwood_sizes"))


def softwood_sizes() -> tuple[SoftwoodSize, ...]:
    """Softwood sizes, thickness first, then width.

    Returns
    -------
    tuple of SoftwoodSize
        Nominal size in inches, dressed sizes [mm]

    Notes
    -----
    Valid as the least dressed sizes of the standard.

    Source: PS 20, Table 3 (dry read on reference pages where marked, the rest from memory).

    Examples
    --------
    >>> len(softwood_sizes())
    18
    """
    return _softwoods()


def softwood_size(kind: str, nominal: str) -> SoftwoodSize:
    """One nominal softwood size.

    Parameters
    ----------
    kind : str
        ``thickness`` or ``width`` [text]
    nominal : str
        Nominal size in inches, such as ``1 1/4`` [text]

    Returns
    -------
    SoftwoodSize
        Dressed dry and green [mm]

    Raises
    ------
    UnknownNameError
        If the standard has no such size.

    Notes
    -----
    Valid as the least dressed sizes of the standard.

    Source: PS 20, Table 3 (dry read on reference pages where marked, the rest from memory).

    Examples
    --------
    >>> softwood_size("width", "6").dry.value
    139.7
    """
    for each in _softwoods():
        if each.kind == kind and plain_name(each.nominal) == plain_name(nominal):
            return each
    known = tuple(each.nominal for each in _softwoods() if each.kind == kind)
    raise UnknownNameError(f"softwood {kind}", nominal, known)
