"""Layouts of blanks on boards, and the greedy one: the board that gives most worth for its money first."""

from __future__ import annotations

import heapq
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from batchwright.planning.lumber.fill import Filled, Filler
from batchwright.planning.lumber.problem import Problem

LEAST_COST = 1e-9
"""What a board that costs nothing is taken to cost, so that worth for cost is still a number."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """Boards filled, and how many of each item are not covered."""

    filled: tuple[Filled, ...]
    short: tuple[int, ...]
    cost: float


def layout_of(problem: Problem, filled: Sequence[Filled]) -> Layout:
    """The layout of boards that are filled."""
    given: Counter[int] = Counter()
    for each in filled:
        given.update(each.counts)
    return Layout(
        filled=tuple(sorted(filled, key=lambda each: each.board)),
        short=tuple(item.demand - given[number] for number, item in enumerate(problem.items)),
        cost=sum(problem.boards[each.board].cost for each in filled),
    )


def rank(layout: Layout, values: Sequence[float]) -> tuple[float, float]:
    """Layouts that cover more come first, then those that cost less."""
    missing = sum(count * value for count, value in zip(layout.short, values, strict=True))
    return round(missing, 6), round(layout.cost, 6)


def greedy(
    filler: Filler, remaining: list[int], boards: Sequence[int], bias: Mapping[int, float] = MappingProxyType({})
) -> list[Filled]:
    """Fills boards, the one that gives most worth for its cost first; `remaining` is counted down.

    A board's cost is taken times its `bias` where it has one.
    """
    cost = [board.cost * bias.get(number, 1.0) for number, board in enumerate(filler.problem.boards)]
    heap = [(-float("inf"), cost[board], board) for board in boards]
    heapq.heapify(heap)
    done: list[Filled] = []
    while heap and any(remaining):
        _, _, board = heapq.heappop(heap)
        filled = filler.fill(board, remaining)
        if filled.value <= 0.0:
            continue
        ratio = -filled.value / max(cost[board], LEAST_COST)
        if heap and ratio > heap[0][0] + 1e-12:
            heapq.heappush(heap, (ratio, cost[board], board))
            continue
        filled = _cheapest_last(filler, remaining, filled, [each for _, _, each in heap])
        if filled.board != board:
            heap = [entry for entry in heap if entry[2] != filled.board]
            heapq.heapify(heap)
            heapq.heappush(heap, (ratio, cost[board], board))
        done.append(filled)
        for item, count in filled.counts.items():
            remaining[item] -= count
    return done


def _cheapest_last(filler: Filler, remaining: Sequence[int], filled: Filled, others: Sequence[int]) -> Filled:
    """Where a board takes all that is left of its parts, the cheapest board that does so too."""
    items = filler.usable(filled.board, remaining)
    if any(filled.counts[item] < remaining[item] for item in items):
        return filled
    cost = [board.cost for board in filler.problem.boards]
    for other in sorted(others, key=lambda each: (cost[each], each)):
        if cost[other] >= cost[filled.board]:
            break
        if set(items) <= set(filler.usable(other, remaining)):
            tried = filler.fill(other, remaining)
            if all(tried.counts[item] == remaining[item] for item in items):
                return tried
    return filled
