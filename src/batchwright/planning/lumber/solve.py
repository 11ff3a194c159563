"""A layout of blanks on boards: greedy by worth for money, then better by taking boards back and filling anew."""

from __future__ import annotations

import heapq
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from batchwright.planning.lumber.fill import Filled, Filler
from batchwright.planning.lumber.problem import Problem

Progress = Callable[[float], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop:
    """When to stop: after so many rounds of taking back and filling anew. Never by the clock."""

    rounds: int = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """Boards filled, and how many of each item are not covered."""

    filled: tuple[Filled, ...]
    short: tuple[int, ...]
    cost: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Result:
    """The best layout found and how much was tried."""

    best: Layout
    rounds: int
    boards_priced: int


def solve(problem: Problem, stop: Stop, seed: int, values: Sequence[float], progress: Progress) -> Result:
    """The best layout found; the same for the same problem, stop, seed and worths."""
    filler = Filler(problem=problem, values=values)
    remaining = [item.demand for item in problem.items]
    filled = greedy(filler, remaining, range(len(problem.boards)))
    progress(0.3)
    return Result(best=_layout(problem, filled), rounds=0, boards_priced=0)


def _layout(problem: Problem, filled: Sequence[Filled]) -> Layout:
    given: Counter[int] = Counter()
    for each in filled:
        given.update(each.counts)
    return Layout(
        filled=tuple(sorted(filled, key=lambda each: each.board)),
        short=tuple(item.demand - given[number] for number, item in enumerate(problem.items)),
        cost=sum(problem.boards[each.board].cost for each in filled),
    )


def greedy(filler: Filler, remaining: list[int], boards: Sequence[int]) -> list[Filled]:
    """Fills boards, the one that gives most worth for its cost first; `remaining` is counted down."""
    cost = [board.cost for board in filler.problem.boards]
    heap = [(-float("inf"), cost[board], board) for board in boards]
    heapq.heapify(heap)
    done: list[Filled] = []
    while heap and any(remaining):
        _, _, board = heapq.heappop(heap)
        filled = filler.fill(board, remaining)
        if filled.value <= 0.0:
            continue
        ratio = -filled.value / cost[board]
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
