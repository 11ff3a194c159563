"""Hardwood grades: smallest board, smallest clear cuttings, and how much of the board they must make up."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache

from batchwright.base.source import Source
from batchwright.handbook.names import UnknownNameError, nearest_names, plain_name
from batchwright.handbook.shelf import Row, load_rows, number_in, source_in


@dataclass(frozen=True, slots=True, kw_only=True)
class Grade:
    """One hardwood grade: smallest board [mm], smallest clear cuttings in words, and its yield."""

    name: str
    board_width: float
    board_length: float
    cuttings: str
    units_per_measure: int
    """Cutting units asked for each square foot of surface measure, out of 12."""
    divisor: int | None
    plus: int
    most: int | None
    extra_units: int | None
    extra_from: int | None
    extra_to: int | None
    face: str
    source: Source
    note: str = ""

    @property
    def least_yield(self) -> float:
        """Share of the board in clear cuttings [ratio]."""
        return self.units_per_measure / 12.0


def _whole(text: str) -> int | None:
    number = number_in(text)
    return None if number is None else int(number)


def _grade_of(row: Row) -> Grade:
    return Grade(
        name=row["grade"],
        board_width=float(row["board_width_in"]) * 25.4,
        board_length=float(row["board_length_ft"]) * 304.8,
        cuttings=row["cuttings"],
        units_per_measure=int(row["yield_twelfths"]),
        divisor=_whole(row["cuttings_divisor"]),
        plus=_whole(row["cuttings_plus"]) or 0,
        most=_whole(row["cuttings_most"]),
        extra_units=_whole(row["extra_twelfths"]),
        extra_from=_whole(row["extra_from"]),
        extra_to=_whole(row["extra_to"]),
        face=row["face"],
        source=source_in(row),
        note=row["note"],
    )


@cache
def _grades() -> tuple[Grade, ...]:
    return tuple(_grade_of(row) for row in load_rows("hardwood_grades"))


def grades() -> tuple[Grade, ...]:
    """Hardwood grades from best to lowest.

    Returns
    -------
    tuple of Grade
        Eight grades [mm]

    Notes
    -----
    Valid as a summary for planning; the grader's rules have more to say (wane, pith, splits).

    Source: AHEC grade guide, after the NHLA rules (read).

    Examples
    --------
    >>> [each.name for each in grades()][:3]
    ['FAS', 'FAS One Face', 'Selects']
    """
    return _grades()


def grade_named(name: str) -> Grade:
    """Hardwood grade by its name.

    Parameters
    ----------
    name : str
        Such as ``FAS`` or ``No. 1 Common`` [text]

    Returns
    -------
    Grade
        Smallest board, cuttings and yield [mm]

    Raises
    ------
    UnknownNameError
        If there is no such grade.

    Notes
    -----
    Valid as a summary for planning.

    Source: AHEC grade guide, after the NHLA rules (read).

    Examples
    --------
    >>> grade_named("no 1 common").cuttings
    '4 in x 2 ft or 3 in x 3 ft'
    """
    for each in _grades():
        if plain_name(each.name) == plain_name(name):
            return each
    known = tuple(each.name for each in _grades())
    raise UnknownNameError("grade", name, nearest_names(name, known) or known)


def cutting_units(grade: Grade, surface_measure: int) -> int:
    """Clear cutting units a board must give to make a grade.

    Parameters
    ----------
    grade : Grade
        The grade [-]
    surface_measure : int
        Surface measure of the board [ft^2]

    Returns
    -------
    int
        Cutting units, each 12 square inches [-]

    Raises
    ------
    ValueError
        If the surface measure is below 1.

    Notes
    -----
    Valid as a summary for planning; a board of surface measure SM holds SM x 12 units.

    Source: AHEC grade guide, after the NHLA rules (multipliers read, the unit from memory).

    Examples
    --------
    >>> cutting_units(grade_named("FAS"), 8)
    80
    """
    _check_measure(surface_measure)
    return grade.units_per_measure * surface_measure


def cuttings_allowed(grade: Grade, surface_measure: int, extra: bool = False) -> int | None:
    """How many cuttings the units may be got from.

    Parameters
    ----------
    grade : Grade
        The grade [-]
    surface_measure : int
        Surface measure of the board [ft^2]
    extra : bool
        Whether the board gives the higher yield that earns one more cutting [-]

    Returns
    -------
    int or None
        Number of cuttings, None for any number [-]

    Raises
    ------
    ValueError
        If the surface measure is below 1.

    Notes
    -----
    Valid as a summary for planning.

    Source: AHEC grade guide, after the NHLA rules (read).

    Examples
    --------
    >>> cuttings_allowed(grade_named("FAS"), 8), cuttings_allowed(grade_named("FAS"), 8, extra=True)
    (2, 3)
    """
    _check_measure(surface_measure)
    if grade.divisor is None:
        return None
    count = math.floor((surface_measure + grade.plus) / grade.divisor)
    if grade.most is not None:
        count = min(count, grade.most)
    earns = grade.extra_from is not None and grade.extra_to is not None
    if extra and earns and (grade.extra_from or 0) <= surface_measure <= (grade.extra_to or 0):
        count += 1
    return count


def _check_measure(surface_measure: int) -> None:
    if surface_measure < 1:
        raise ValueError(f"surface measure must be at least 1, not {surface_measure}")
