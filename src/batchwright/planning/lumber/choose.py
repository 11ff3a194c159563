"""Which of the cuttings found so far to take, all boards weighed together: a whole-number program."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from batchwright.planning.lumber.fill import Filled, within
from batchwright.planning.lumber.greedy import Layout
from batchwright.planning.lumber.linear import Floats, Program, choose_whole
from batchwright.planning.lumber.master import Column, column_of
from batchwright.planning.lumber.problem import Problem

MOST = 300
"""Cuttings that are weighed together: those that lose least money."""
_NODES = 1


def choose(problem: Problem, pool: Mapping[Column, Filled], prices: Sequence[float], best: Layout) -> list[Filled]:
    """Filled boards that together cost least, what they leave uncovered counted at a price for each item. They give
    no more than is wanted; `best` is a layout to start from."""
    known = dict(pool) | {column_of(each): each for each in best.filled}
    columns = _worth_weighing(problem, list(known), prices)
    taken = {column_of(each) for each in best.filled}
    columns = list(dict.fromkeys([*columns, *(each for each in known if each in taken)]))
    first = np.array([float(column in taken) for column in columns])
    program = _program(problem, columns, prices)
    found = choose_whole(program, np.concatenate([first, np.array(best.short, dtype=float)]), _NODES)
    left = [item.demand for item in problem.items]
    chosen = [within(known[column], left) for column, take in zip(columns, found, strict=False) if take > 0.5]
    return [each for each in chosen if each.sections]


def _worth_weighing(problem: Problem, columns: list[Column], prices: Sequence[float]) -> list[Column]:
    loss = [_loss(problem, column, prices) for column in columns]
    order = sorted(range(len(columns)), key=lambda at: (loss[at], at))[:MOST]
    return [columns[at] for at in sorted(order)]


def _loss(problem: Problem, column: Column, prices: Sequence[float]) -> float:
    """What a board costs beyond what its parts are worth."""
    gives = sum(prices[item] * min(count, problem.items[item].demand) for item, count in column.counts)
    return problem.boards[column.board].cost - gives


def _program(problem: Problem, columns: Sequence[Column], prices: Sequence[float]) -> Program:
    """Each cutting taken or not, then what is left uncovered of each item; each board is taken once at most."""
    items, boards = len(problem.items), len(problem.boards)
    rows = np.zeros((items + boards, len(columns) + items))
    for at, column in enumerate(columns):
        for item, count in column.counts:
            rows[item, at] = min(count, problem.items[item].demand)
        rows[items + column.board, at] = -1.0
    rows[:items, len(columns) :] = np.eye(items)
    demand: Floats = np.array([item.demand for item in problem.items], dtype=float)
    costs = [problem.boards[column.board].cost for column in columns]
    return Program(
        costs=np.concatenate([costs, prices]),
        rows=rows,
        least=np.concatenate([demand, np.full(boards, -1.0)]),
        most=np.concatenate([np.ones(len(columns)), demand]),
    )
