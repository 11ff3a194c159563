"""Measuring lumber: surface measure and board feet by the hardwood rule, exact volume, waste."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

INCH = 25.4
FOOT = 304.8
CUBIC_MM_IN_BOARD_FOOT = 144.0 * INCH**3
_EDGE = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardSize:
    """One board to be measured [mm]; thickness is the rough thickness it is sold by."""

    width: float
    length: float
    thickness: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Tally:
    """A bundle measured board by board, and its total rounded once, at the end."""

    surface_measures: tuple[int, ...]
    board_feet: tuple[float, ...]
    total: int


def _check_positive(what: str, value: float) -> None:
    if not (value > 0.0 and math.isfinite(value)):
        raise ValueError(f"{what} must be above 0, not {value:g}")


def whole_feet(length: float) -> int:
    """Length of a board as tallied: whole feet, the rest dropped.

    Parameters
    ----------
    length : float
        Measured length [mm]

    Returns
    -------
    int
        Whole feet [ft]

    Raises
    ------
    ValueError
        If the length is not positive.

    Notes
    -----
    Valid for hardwood lumber; standard lengths are 4 to 16 ft.

    Source: NHLA rules (4 to 16 ft read; dropping the fraction from memory).

    Examples
    --------
    11 ft 10 in counts as 11:

    >>> whole_feet(11 * 304.8 + 254.0)
    11
    """
    _check_positive("length", length)
    return math.floor(length / FOOT + _EDGE)


def surface_measure(width: float, length: float, half_up: bool = True) -> int:
    r"""Surface measure of a board: the area of its face in whole square feet.

    .. math:: SM = w_{in} L_{ft} / 12

    Parameters
    ----------
    width : float
        Width of the board :math:`w` [mm]
    length : float
        Length of the board; :math:`L` is its whole feet [mm]
    half_up : bool
        Whether an exact half goes up; alternate boards of a bundle go up and down [-]

    Returns
    -------
    int
        Surface measure, rounded to the nearest whole square foot [ft^2]

    Raises
    ------
    ValueError
        If width or length is not positive.

    Notes
    -----
    Valid for boards of hardwood sold by the rough board.

    Source: NHLA rules (formula read, rounding from memory).

    Examples
    --------
    7 in wide and 10 ft long is 5.83 square feet, counted as 6:

    >>> surface_measure(7 * 25.4, 10 * 304.8)
    6
    """
    _check_positive("width", width)
    exact = width / INCH * whole_feet(length) / 12.0
    below = math.floor(exact + _EDGE)
    part = exact - below
    if abs(part - 0.5) < _EDGE:
        return below + 1 if half_up else below
    return below + 1 if part > 0.5 else below


def board_feet(width: float, length: float, thickness: float, half_up: bool = True) -> float:
    r"""Board feet of one hardwood board, by surface measure.

    .. math:: BF = SM \times \max(t_{in}, 1)

    Parameters
    ----------
    width : float
        Width of the board [mm]
    length : float
        Length of the board [mm]
    thickness : float
        Rough thickness it is sold by :math:`t`, such as 50.8 for 8/4 [mm]
    half_up : bool
        Whether an exact half of the surface measure goes up [-]

    Returns
    -------
    float
        Board feet, not rounded further [board ft]

    Raises
    ------
    ValueError
        If a size is not positive.

    Notes
    -----
    Valid for hardwood sold by the board: the rough thickness is charged even if the board is bought surfaced,
    and less than 1 in counts as 1 in. A bundle is rounded once, at its total.

    Source: NHLA rules (formula read, rounding from memory).

    Examples
    --------
    An 8/4 board 7 in wide and 10 ft long:

    >>> board_feet(7 * 25.4, 10 * 304.8, 2 * 25.4)
    12.0
    """
    _check_positive("thickness", thickness)
    return surface_measure(width, length, half_up) * max(round(thickness / INCH, 6), 1.0)


def tally(boards: Sequence[BoardSize]) -> Tally:
    """Measures a bundle: exact halves go up and down in turn, the total is rounded once.

    Parameters
    ----------
    boards : sequence of BoardSize
        The boards in the order they are measured [mm]

    Returns
    -------
    Tally
        Surface measures, board feet of each board, and the total [board ft]

    Raises
    ------
    ValueError
        If a size is not positive.

    Notes
    -----
    Valid for hardwood sold by the board.

    Source: NHLA rules (formula read, rounding and alternate halves from memory).

    Examples
    --------
    Two boards of 4/4, 6 in by 9 ft, are 4.5 square feet each:

    >>> tally([BoardSize(width=152.4, length=2743.2, thickness=25.4)] * 2).surface_measures
    (5, 4)
    """
    measures: list[int] = []
    feet: list[float] = []
    up = True
    for each in boards:
        high = surface_measure(each.width, each.length, True)
        low = surface_measure(each.width, each.length, False)
        measures.append(high if up else low)
        feet.append(board_feet(each.width, each.length, each.thickness, up))
        if high != low:
            up = not up
    return Tally(surface_measures=tuple(measures), board_feet=tuple(feet), total=math.floor(sum(feet) + 0.5 + _EDGE))


def board_feet_of_volume(width: float, length: float, thickness: float) -> float:
    r"""Board feet as a plain volume: 144 cubic inches each, nothing rounded.

    .. math:: BF = w L t / 144\ \mathrm{in}^3

    Parameters
    ----------
    width : float
        Width :math:`w` [mm]
    length : float
        Length :math:`L` [mm]
    thickness : float
        Thickness :math:`t` [mm]

    Returns
    -------
    float
        Board feet [board ft]

    Raises
    ------
    ValueError
        If a size is not positive.

    Notes
    -----
    Valid as a volume; what a yard charges follows `board_feet`.

    Source: definition, 1 board ft = 144 cubic inches.

    Examples
    --------
    >>> round(board_feet_of_volume(304.8, 304.8, 25.4), 9)
    1.0
    """
    for what, value in (("width", width), ("length", length), ("thickness", thickness)):
        _check_positive(what, value)
    return width * length * thickness / CUBIC_MM_IN_BOARD_FOOT


def softwood_board_feet(width: float, length: float, thickness: float) -> float:
    r"""Board feet of softwood, by nominal sizes.

    .. math:: BF = \max(t_{in}, 1)\, w_{in} L_{ft} / 12

    Parameters
    ----------
    width : float
        Nominal width :math:`w`, such as 152.4 for a 2x6 [mm]
    length : float
        Length :math:`L` [mm]
    thickness : float
        Nominal thickness :math:`t`, such as 50.8 for a 2x6 [mm]

    Returns
    -------
    float
        Board feet [board ft]

    Raises
    ------
    ValueError
        If a size is not positive.

    Notes
    -----
    Valid for softwood sold by nominal size; less than 1 in counts as 1 in.

    Source: PS 20 (from memory).

    Examples
    --------
    A 2x6, 8 ft long:

    >>> softwood_board_feet(6 * 25.4, 8 * 304.8, 2 * 25.4)
    8.0
    """
    return round(board_feet_of_volume(width, length, max(thickness, INCH)), 9)


def factor_of_waste(waste: float) -> float:
    r"""How many times the net amount to buy, when a share of what is bought is lost.

    .. math:: f = \frac{1}{1 - w}

    Parameters
    ----------
    waste : float
        Share of the bought amount that is lost :math:`w`, as a ratio [-]

    Returns
    -------
    float
        Factor on the net amount [-]

    Raises
    ------
    ValueError
        If the waste is not 0 or more and below 1.

    Notes
    -----
    Valid as arithmetic. "30 % waste" and "add 30 %" are not the same: a waste of 30 % is a factor of 1.43.

    Source: definition.

    Examples
    --------
    >>> round(factor_of_waste(0.30), 2)
    1.43
    """
    if not 0.0 <= waste < 1.0:
        raise ValueError(f"waste must be 0 or more and below 1 as a ratio, not {waste:g}")
    return 1.0 / (1.0 - waste)


def waste_of_factor(factor: float) -> float:
    r"""Share of the bought amount that is lost, when a factor is put on the net amount.

    .. math:: w = 1 - 1/f

    Parameters
    ----------
    factor : float
        Factor on the net amount :math:`f`; "add 30 %" is 1.30 [-]

    Returns
    -------
    float
        Waste as a ratio of what is bought [-]

    Raises
    ------
    ValueError
        If the factor is below 1.

    Notes
    -----
    Valid as arithmetic.

    Source: definition.

    Examples
    --------
    Adding 30 % covers 23 % waste:

    >>> round(waste_of_factor(1.30), 2)
    0.23
    """
    if not factor >= 1.0 or not math.isfinite(factor):
        raise ValueError(f"factor must be 1 or more, not {factor:g}")
    return 1.0 - 1.0 / factor
