"""Better layouts by small steps: a few boards are taken back, and they, or others, filled anew."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from batchwright.planning.lumber.dice import Dice
from batchwright.planning.lumber.fill import Filled, Filler
from batchwright.planning.lumber.greedy import Layout, greedy, layout_of
from batchwright.planning.lumber.problem import Problem

_MOST_BACK = 4
"""Most boards taken back at once."""
_FRESH = 3
"""Unused boards offered when boards are filled anew."""
_SWING = 0.25
"""How far worths are shaken, for other choices to come up."""


class Refiller:
    """Tries one change after another; which ones follows from the seed alone."""

    def __init__(self, filler: Filler, seed: int) -> None:
        self._filler = filler
        self._shaken = filler
        self._dice = Dice(seed)
        self._turn = 0

    def tried(self, layout: Layout) -> Layout:
        """The layout with a few boards filled anew: better or worse."""
        turn, self._turn = self._turn, self._turn + 1
        if turn % 8 == 7:
            swung = [value * (1.0 + _SWING * (self._dice.share() - 0.5)) for value in self._filler.values]
            self._shaken = replace(self._filler, values=swung, tables={})
        if not layout.filled:
            return layout
        back = taken_back(self._filler, layout, self._dice)
        return filled_anew(self._shaken if turn % 2 else self._filler, layout, back, self._dice)


def taken_back(filler: Filler, layout: Layout, dice: Dice) -> list[Filled]:
    """Some boards with parts in common, rather those that lose money."""
    loss = {
        each.board: filler.problem.boards[each.board].cost
        - sum(filler.values[item] * count for item, count in each.counts.items())
        for each in layout.filled
    }
    by_loss = sorted(layout.filled, key=lambda each: (-loss[each.board], each.board))
    lead = by_loss[int(len(by_loss) * dice.share() ** 2)]
    mine = {item for item in lead.counts}
    near = [each for each in by_loss if each is not lead and mine & could_give(filler.problem, each.board)]
    back = [lead]
    while near and len(back) < 1 + dice.below(_MOST_BACK):
        back.append(near.pop(int(len(near) * dice.share() ** 2)))
    return back


def could_give(problem: Problem, board: int) -> set[int]:
    """Items that may come from a board of the thickness they are meant for."""
    return {number for number, item in enumerate(problem.items) if board in item.exact}


def filled_anew(filler: Filler, layout: Layout, back: Sequence[Filled], dice: Dice) -> Layout:
    """The layout with those boards, or some unused ones in their place, filled anew."""
    problem = filler.problem
    gone = {each.board for each in back}
    wanted = list(layout.short)
    for each in back:
        for item, count in each.counts.items():
            wanted[item] += count
    items = {item for item, count in enumerate(wanted) if count}
    used = {each.board for each in layout.filled}
    unused = [board for board in range(len(problem.boards)) if board not in used]
    unused = [board for board in unused if items & could_give(problem, board)]
    offered = sorted(gone)
    while unused and len(offered) < len(gone) + _FRESH:
        offered.append(unused.pop(dice.below(len(unused))))
    bias = {board: 1.0 + 0.4 * dice.share() for board in offered}
    kept = [each for each in layout.filled if each.board not in gone]
    return layout_of(problem, [*kept, *greedy(filler, wanted, offered, bias)])
