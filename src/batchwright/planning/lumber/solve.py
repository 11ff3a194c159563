"""A layout of blanks on boards: greedy by worth for money, then better by taking boards back and filling anew."""

from __future__ import annotations

import heapq
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

from batchwright.planning.lumber.dice import Dice
from batchwright.planning.lumber.fill import Filled, Filler
from batchwright.planning.lumber.master import column_of, worth_by_area, worths
from batchwright.planning.lumber.problem import Problem

Progress = Callable[[float], None]
_MOST_BACK = 4
"""Most boards taken back at once."""
_FRESH = 3
"""Unused boards offered when boards are filled anew."""
_SWING = 0.25
"""How far worths are shaken, for other choices to come up."""

LEAST_COST = 1e-9
"""What a board that costs nothing is taken to cost, so that worth for cost is still a number."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop:
    """When to stop: rounds of pricing the parts, rounds of taking boards back. Never by the clock.

    Where more than ten different parts may come from one board, fewer rounds of taking back are gone through.
    """

    pricing: int = 10
    rounds: int = 100


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """Boards filled, and how many of each item are not covered."""

    filled: tuple[Filled, ...]
    short: tuple[int, ...]
    cost: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Result:
    """The best layout found, what a part is worth at it, and how many rounds were gone through."""

    best: Layout
    worths: tuple[float, ...]
    rounds: int


def solve(problem: Problem, stop: Stop, seed: int, progress: Progress) -> Result:
    """The best layout found; the same for the same problem, stop and seed."""
    if not problem.items or not problem.boards:
        return Result(best=_layout(problem, []), worths=(0.0,) * len(problem.items), rounds=0)
    demand = [item.demand for item in problem.items]
    boards = range(len(problem.boards))
    by_area = worth_by_area(problem)
    start = Filler(problem=problem, values=by_area)
    first = greedy(start, list(demand), boards)
    progress(0.1)
    values, _ = worths(start, [column_of(each) for each in first], stop.pricing)
    values = [value or 1e-3 * least for value, least in zip(values, by_area, strict=True)]
    progress(0.4)
    filler = replace(start, values=values, tables={})
    second = greedy(filler, list(demand), boards)
    best = min((_layout(problem, each) for each in (second, first)), key=lambda each: _rank(each, values))
    rounds = _rounds(problem, stop)
    best = _improve(filler, best, rounds, Dice(seed), progress)
    best = _from_thicker(filler, best)
    return Result(best=best, worths=tuple(values), rounds=rounds)


def _rounds(problem: Problem, stop: Stop) -> int:
    """Rounds of refilling: fewer where many different parts compete for a board, as each round takes longer then."""
    most = max(len(_could_give(problem, board)) for board in range(len(problem.boards)))
    return max(1, round(stop.rounds / max(1.0, most / 10.0) ** 2)) if stop.rounds else 0


def _rank(layout: Layout, values: Sequence[float]) -> tuple[float, float]:
    """Layouts that cover more come first, then those that cost less."""
    missing = sum(count * value for count, value in zip(layout.short, values, strict=True))
    return round(missing, 6), round(layout.cost, 6)


def _improve(filler: Filler, layout: Layout, rounds: int, dice: Dice, progress: Progress) -> Layout:
    """Takes a few boards back and fills them, or others, anew; keeps what is no worse."""
    values = filler.values
    shaken = filler
    for turn in range(rounds):
        if not layout.filled:
            break
        if turn % 8 == 7:
            swung = [value * (1.0 + _SWING * (dice.share() - 0.5)) for value in values]
            shaken = replace(filler, values=swung, tables={})
        back = _taken_back(filler, layout, dice)
        tried = _filled_anew(shaken if turn % 2 else filler, layout, back, dice)
        if _rank(tried, values) <= _rank(layout, values):
            layout = tried
        progress(0.4 + 0.6 * (turn + 1) / rounds)
    return layout


def _taken_back(filler: Filler, layout: Layout, dice: Dice) -> list[Filled]:
    """Some boards with parts in common, rather those that lose money."""
    loss = {
        each.board: filler.problem.boards[each.board].cost
        - sum(filler.values[item] * count for item, count in each.counts.items())
        for each in layout.filled
    }
    by_loss = sorted(layout.filled, key=lambda each: (-loss[each.board], each.board))
    lead = by_loss[int(len(by_loss) * dice.share() ** 2)]
    mine = {item for item in lead.counts}
    near = [each for each in by_loss if each is not lead and mine & _could_give(filler.problem, each.board)]
    back = [lead]
    while near and len(back) < 1 + dice.below(_MOST_BACK):
        back.append(near.pop(int(len(near) * dice.share() ** 2)))
    return back


def _could_give(problem: Problem, board: int) -> set[int]:
    return {number for number, item in enumerate(problem.items) if board in item.exact}


def _filled_anew(filler: Filler, layout: Layout, back: Sequence[Filled], dice: Dice) -> Layout:
    problem = filler.problem
    gone = {each.board for each in back}
    wanted = list(layout.short)
    for each in back:
        for item, count in each.counts.items():
            wanted[item] += count
    items = {item for item, count in enumerate(wanted) if count}
    used = {each.board for each in layout.filled}
    unused = [board for board in range(len(problem.boards)) if board not in used]
    unused = [board for board in unused if items & _could_give(problem, board)]
    offered = sorted(gone)
    while unused and len(offered) < len(gone) + _FRESH:
        offered.append(unused.pop(dice.below(len(unused))))
    bias = {board: 1.0 + 0.4 * dice.share() for board in offered}
    kept = [each for each in layout.filled if each.board not in gone]
    return _layout(problem, [*kept, *greedy(filler, wanted, offered, bias)])


def _from_thicker(filler: Filler, layout: Layout) -> Layout:
    """What no board of its own thickness gives, from thicker boards that are still whole."""
    if not any(layout.short):
        return layout
    used = {each.board for each in layout.filled}
    problem = filler.problem
    thicker = replace(filler, thicker=True, tables={})
    more = greedy(thicker, list(layout.short), [board for board in range(len(problem.boards)) if board not in used])
    return _layout(problem, [*layout.filled, *more])


def _layout(problem: Problem, filled: Sequence[Filled]) -> Layout:
    given: Counter[int] = Counter()
    for each in filled:
        given.update(each.counts)
    return Layout(
        filled=tuple(sorted(filled, key=lambda each: each.board)),
        short=tuple(item.demand - given[number] for number, item in enumerate(problem.items)),
        cost=sum(problem.boards[each.board].cost for each in filled),
    )


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
