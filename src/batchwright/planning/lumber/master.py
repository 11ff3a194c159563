"""What each part is worth: prices of parts at which whole-board cuttings just pay for their boards.

Column generation (Gilmore and Gomory, A linear programming approach to the cutting-stock problem, Operations Research
9, 1961): a linear program over cuttings found so far prices the parts; at these prices each board is cut best; what
earns more than its board costs joins the program.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from batchwright.planning.lumber.fill import Filled, Filler
from batchwright.planning.lumber.linear import Floats, Program, minimise
from batchwright.planning.lumber.problem import Problem

_LEAN = 0.5
"""How far prices keep to the best ones so far: they swing less, and settle in fewer rounds."""
_DEAR = 3.0
"""A part not covered counts this many times what its area costs on the dearest board that could give it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """A cutting of a board: how many of each item."""

    board: int
    counts: tuple[tuple[int, int], ...]


def column_of(filled: Filled) -> Column:
    """The counts of a board that is filled."""
    return Column(board=filled.board, counts=tuple(sorted(filled.counts.items())))


def worth_by_area(problem: Problem) -> list[float]:
    """First worths: what a part's area costs on the boards meant for it."""
    return [_rate(problem, number, dear=False) for number in range(len(problem.items))]


def _rate(problem: Problem, number: int, dear: bool) -> float:
    item = problem.items[number]
    rates = [problem.boards[board].cost / problem.boards[board].area for board in sorted(item.exact or item.usable)]
    rate = (max(rates) if dear else sum(rates) / len(rates)) if rates else 0.0
    return rate * item.length * item.width * problem.unit**2


class Pricing:
    """Prices of the items, better with each round; and every cutting of a board that paid at some of them."""

    def __init__(self, first: Filler) -> None:
        self._first = first
        problem = first.problem
        self._demand = np.array([item.demand for item in problem.items], dtype=float)
        self.dear = tuple(_DEAR * _rate(problem, number, dear=True) for number in range(len(problem.items)))
        """What a part that is not covered counts."""
        self._boards = sorted({board for item in problem.items for board in item.exact})
        self._best, self._bound = np.array(first.values), -np.inf
        self.pool: dict[Column, Filled] = {}
        self.bars = first.bars
        self.settled = False
        """Whether a further round would change nothing."""

    @property
    def worths(self) -> list[float]:
        """The prices that prove most so far; a little where a price is nought, as every part is wanted."""
        return [float(price) or 1e-3 * least for price, least in zip(self._best, self._first.values, strict=True)]

    def round(self) -> None:
        """Prices from the cuttings found so far, and the best cutting of each board at them."""
        if self.settled:
            return
        prices = _prices(self._first.problem, list(self.pool), self._demand, np.array(self.dear))
        tried = _LEAN * self._best + (1.0 - _LEAN) * prices
        filler = replace(self._first, values=[float(price) for price in tried], tables={})
        bound, fresh = _priced(filler, self._boards, tried, self._demand)
        if bound > self._bound:
            self._best, self._bound = tried, bound
        before = len(self.pool)
        self.note(fresh)
        self.settled = len(self.pool) == before and np.allclose(tried, prices)

    def note(self, cuttings: Iterable[Filled]) -> None:
        """Keep cuttings that were found elsewhere too."""
        for each in cuttings:
            self.pool.setdefault(column_of(each), each)


def _prices(problem: Problem, pool: Sequence[Column], demand: Floats, dear: Floats) -> Floats:
    """Prices of the items in the linear program over the cuttings found so far."""
    items, boards = len(problem.items), len(problem.boards)
    rows = np.zeros((items + boards, len(pool) + items))
    for at, column in enumerate(pool):
        for item, count in column.counts:
            rows[item, at] = count
        rows[items + column.board, at] = -1.0
    rows[:items, len(pool) :] = np.eye(items)
    costs = np.concatenate([[problem.boards[column.board].cost for column in pool], dear])
    least = np.concatenate([demand, np.full(boards, -1.0)])
    answer = minimise(Program(costs=costs, rows=rows, least=least, most=np.full(len(costs), np.inf)))
    return answer.worths[:items]


def _priced(filler: Filler, boards: Sequence[int], prices: Floats, demand: Floats) -> tuple[float, list[Filled]]:
    """The bound that some prices prove on this grid, and the best cutting of each board that pays."""
    bound = float(prices @ demand)
    cuttings = []
    for board in boards:
        cutting = filler.price(board)
        spare = filler.problem.boards[board].cost - cutting.value
        bound += min(0.0, spare)
        if spare < 0.0:
            cuttings.append(cutting)
    return bound, cuttings
