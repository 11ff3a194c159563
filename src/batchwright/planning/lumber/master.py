"""What each part is worth: prices of parts at which whole-board cuttings just pay for their boards.

Column generation (Gilmore and Gomory, A linear programming approach to the cutting-stock problem, Operations Research
9, 1961): a linear program over cuttings found so far prices the parts; at these prices each board is cut best; what
earns more than its board costs joins the program.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
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


def worths(first: Filler, columns: Sequence[Column], rounds: int) -> tuple[list[float], list[Column]]:
    """Worths of the items after some rounds from first worths and columns, and all columns found."""
    problem = first.problem
    pool = list(dict.fromkeys(columns))
    demand = np.array([item.demand for item in problem.items], dtype=float)
    dear = np.array([_DEAR * _rate(problem, number, dear=True) for number in range(len(problem.items))])
    boards = sorted({board for item in problem.items for board in item.exact})
    centre, best = np.array(first.values), -np.inf
    for _ in range(rounds):
        prices = _prices(problem, pool, demand, dear)
        tried = _LEAN * centre + (1.0 - _LEAN) * prices
        filler = replace(first, values=[float(price) for price in tried], tables={})
        bound, fresh = _priced(filler, boards, tried, demand)
        if bound > best:
            centre, best = tried, bound
        known = set(pool)
        added = [column for column in fresh if column not in known]
        pool += added
        if not added and np.allclose(tried, prices):
            break
    return [float(value) for value in centre], pool


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


def _priced(filler: Filler, boards: Sequence[int], prices: Floats, demand: Floats) -> tuple[float, list[Column]]:
    """The bound that some prices prove on this grid, and the best cutting of each board that pays."""
    bound = float(prices @ demand)
    columns = []
    for board in boards:
        value, counts = filler.price(board)
        spare = filler.problem.boards[board].cost - value
        bound += min(0.0, spare)
        if spare < 0.0:
            columns.append(Column(board=board, counts=tuple(sorted(Counter(counts).items()))))
    return bound, columns
