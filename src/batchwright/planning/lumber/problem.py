"""The problem of laying blanks on boards, in whole units of the job's grid: blanks rounded up, boards down."""

from __future__ import annotations

import math
from collections import defaultdict
from dataclasses import dataclass

from batchwright.model.shop import MM_IN, Shop
from batchwright.model.stock import Blank, Board

THIRTY_SECOND = MM_IN / 32.0
TENTH = 0.1
"""The two grids: a thirty-second of an inch, a tenth of a millimetre."""
NOMINAL_SLACK = MM_IN / 16.0
"""A board may measure this much under its nominal quarter where a blank does not say what it needs."""
_EDGE = 1e-6
_STEP_ALONG = MM_IN / 8.0
_STEP_ACROSS = MM_IN / 16.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """Blanks that are the same to the saw, merged [units]."""

    length: int
    width: int
    demand: int
    blanks: tuple[int, ...]
    """Indices of the blanks merged here."""
    exact: frozenset[int]
    """Boards of the thickness the blank is meant for, by index; where there are none, all that will do."""
    usable: frozenset[int]
    """All boards that will do: those of its thickness, and thicker ones."""
    true_length: float
    true_width: float
    """As asked, before rounding [mm]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rect:
    """A place to keep clear of [units]; along from `left` to `right`, across from `low` to `high`."""

    left: int
    right: int
    low: int
    high: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """A board [units]: what is left of its length when both ends are trimmed starts at `trim`."""

    name: str
    length: int
    width: int
    far_width: int
    defects: tuple[Rect, ...]
    cost: float
    """What is minimised: the board's price, or its area where prices are not known."""
    area: float
    """Face area [mm^2]."""
    true_length: float
    true_width: float
    true_far_width: float
    true_defects: tuple[tuple[float, float, float, float], ...]
    """As measured, before rounding [mm]; defects as start, end, low, high."""

    def width_at(self, along: int) -> int:
        """Width at a distance from the marked end, rounded down [units]."""
        return self.width + math.floor((self.far_width - self.width) * along / self.length)


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """Items to be got out of boards. `step_along` and `step_across` are the spacings of chalk marks [units]."""

    items: tuple[Item, ...]
    boards: tuple[Stock, ...]
    kerf: int
    trim: int
    unit: float
    step_along: int
    step_across: int
    priced: bool
    true_kerf: float
    true_trim: float
    """As the shop has them, before rounding [mm]."""


def rough_quarters(thickness: float) -> int:
    """The rough thickness a measured board is sold as, in quarters of an inch; a little over stays the same.

    >>> [rough_quarters(inches * 25.4) for inches in (1.0, 1.0625, 1.125, 1.3125, 2.125)]
    [4, 4, 4, 5, 8]
    """
    return math.ceil(thickness / (MM_IN / 4.0) - 0.5 - 1e-9)


def needed_thickness(blank: Blank) -> float:
    """Least measured thickness that a board must have for a blank [mm]."""
    return blank.least_thickness or blank.thickness - NOMINAL_SLACK


def thick_enough(blank: Blank, board: Board) -> bool:
    """Whether a board's measured thickness does for a blank."""
    return board.thickness >= needed_thickness(blank) - 0.01


def usable_for(blank: Blank, board: Board) -> bool:
    """Whether a blank may come from a board: thickness, species, and the way it was sawn."""
    sawn = not blank.sawn or blank.sawn == board.sawn
    return sawn and blank.species == board.species and thick_enough(blank, board)


def saw_kerf(shop: Shop) -> float:
    """The wider kerf of the two saws that cut boards up [mm]."""
    kerfs = [
        machine.kerf.value
        for kind in ("crosscut saw", "rip saw")
        if (machine := shop.machine(kind)) is not None and machine.kerf is not None
    ]
    return max(kerfs, default=MM_IN / 8.0)


def set_problem(blanks: tuple[Blank, ...], boards: tuple[Board, ...], shop: Shop, unit: float) -> Problem:
    """The problem in whole units; boards keep their indices."""
    priced = all(board.price is not None for board in boards)
    return Problem(
        items=_items(blanks, boards, unit),
        boards=tuple(_stock(board, unit, priced) for board in boards),
        kerf=_up(saw_kerf(shop), unit),
        trim=_up(shop.allowances.end_trim.value, unit),
        unit=unit,
        step_along=max(1, round(_STEP_ALONG / unit)),
        step_across=max(1, round(_STEP_ACROSS / unit)),
        priced=priced,
        true_kerf=saw_kerf(shop),
        true_trim=shop.allowances.end_trim.value,
    )


def _items(blanks: tuple[Blank, ...], boards: tuple[Board, ...], unit: float) -> tuple[Item, ...]:
    merged: dict[tuple[int, int, frozenset[int], frozenset[int]], list[int]] = defaultdict(list)
    for index, blank in enumerate(blanks):
        if blank.count > 0:
            usable = frozenset(number for number, board in enumerate(boards) if usable_for(blank, board))
            meant = rough_quarters(blank.thickness)
            exact = frozenset(number for number in usable if rough_quarters(boards[number].thickness) <= meant)
            merged[_up(blank.length, unit), _up(blank.width, unit), exact or usable, usable].append(index)
    items = [
        Item(
            length=length,
            width=width,
            demand=sum(blanks[index].count for index in indices),
            blanks=tuple(indices),
            exact=exact,
            usable=usable,
            true_length=min(blanks[index].length for index in indices),
            true_width=min(blanks[index].width for index in indices),
        )
        for (length, width, exact, usable), indices in merged.items()
    ]
    return tuple(sorted(items, key=lambda item: (-item.length, -item.width, item.blanks)))


def _stock(board: Board, unit: float, priced: bool) -> Stock:
    defects = tuple(
        Rect(
            left=_down(defect.start, unit),
            right=_up(defect.end, unit),
            low=_down(defect.low, unit),
            high=_up(defect.high, unit),
        )
        for defect in board.defects
    )
    return Stock(
        name=board.name,
        length=_down(board.length, unit),
        width=_down(board.width, unit),
        far_width=_down(board.far_width, unit),
        defects=defects,
        cost=board.price if priced and board.price is not None else board.area,
        area=board.area,
        true_length=board.length,
        true_width=board.width,
        true_far_width=board.far_width,
        true_defects=tuple((defect.start, defect.end, defect.low, defect.high) for defect in board.defects),
    )


def _up(value: float, unit: float) -> int:
    return math.ceil(value / unit - _EDGE)


def _down(value: float, unit: float) -> int:
    return math.floor(value / unit + _EDGE)
