"""A layout of blanks on boards that gets better step by step, and never dearer: any step is a good one to stop at."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from batchwright.planning.lumber.choose import choose
from batchwright.planning.lumber.fill import Filled, Filler
from batchwright.planning.lumber.greedy import Layout, greedy, layout_of, rank
from batchwright.planning.lumber.master import Pricing, worth_by_area
from batchwright.planning.lumber.problem import Problem
from batchwright.planning.lumber.refill import Refiller, could_give

Progress = Callable[[float], None]
_FIRST, _EARLY, _LATE = 8, (2, 4, 6), (10, 12)
"""Rounds of pricing before the first layout; rounds at whose prices, earlier and later ones, layouts are tried too."""
_UNCOVERED = (1.3, 3.0)
"""What a part left uncovered counts where boards are weighed together, in times of its worth: little, then much."""
_REFILLS = 100
"""Steps of filling boards anew between two weighings of all boards together."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop:
    """When to stop: after so many steps. Never by the clock, and with more steps never with a dearer layout.

    The first step makes the first layout. In the others layouts are made at other prices, boards are weighed together,
    and boards are filled anew: not in every step where more than ten different parts may come from one board.
    """

    steps: int = 1 + len(_EARLY) + len(_LATE) + len(_UNCOVERED) + _REFILLS


QUICK = Stop(steps=1)
"""The first layout, while somebody waits."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Result:
    """The best layout found, and sets of worths of the items, for the bound."""

    best: Layout
    worths: tuple[tuple[float, ...], ...]


def solve(problem: Problem, stop: Stop, seed: int, progress: Progress) -> Result:
    """The best layout found; the same for the same problem, stop and seed."""
    if not problem.items or not problem.boards:
        return Result(best=layout_of(problem, []), worths=())
    search = _Search(problem, seed)
    steps = search.steps(progress)
    for step in range(max(1, stop.steps)):
        next(steps)
        progress((step + 1) / max(1, stop.steps))
    return Result(best=search.best, worths=(tuple(search.pricing.worths), search.pricing.dear))


class _Search:
    """The best layout so far, and what it was found with. Layouts are compared at one set of worths throughout."""

    def __init__(self, problem: Problem, seed: int) -> None:
        self.problem = problem
        self.best = layout_of(problem, [])
        self._seed = seed
        self._area = worth_by_area(problem)
        self.pricing = Pricing(Filler(problem=problem, values=self._area))

    def steps(self, progress: Progress) -> Iterator[None]:
        """One step after another, without end; the order is the same whatever the number of steps."""
        early = []
        for number in range(_FIRST):
            self.pricing.round()
            if number + 1 in _EARLY:
                early.append(self.pricing.worths)
            progress(0.0)
        self._fill(self.pricing.worths)
        yield
        for before, until in zip((_FIRST, *_LATE), _LATE, strict=False):
            for _ in range(before, until):
                self.pricing.round()
            self._fill(self.pricing.worths)
            yield
        for worths in early:
            self._fill(worths)
            yield
        for times in _UNCOVERED:
            self._weigh(times)
            yield
        yield from self._refilled()

    def _filler(self, worths: Sequence[float]) -> Filler:
        return Filler(problem=self.problem, values=worths, bars=self.pricing.bars)

    def _fill(self, worths: Sequence[float]) -> None:
        """The greedy layout at some worths."""
        self._offer([], self._filler(worths))

    def _weigh(self, times: float) -> None:
        """All cuttings found so far weighed together, what they leave uncovered found boards for."""
        worths = self.pricing.worths
        prices = [times * worth for worth in worths]
        self._offer(choose(self.problem, self.pricing.pool, prices, self.best), self._filler(worths))

    def _offer(self, filled: Sequence[Filled], filler: Filler) -> None:
        """A layout of some filled boards, and of others for what they leave uncovered."""
        problem = self.problem
        for one in (filler, replace(filler, thicker=True, tables={})):
            short = list(layout_of(problem, filled).short)
            used = {each.board for each in filled}
            if any(short):
                more = greedy(one, short, [board for board in range(len(problem.boards)) if board not in used])
                filled = [*filled, *more]
        self._take(layout_of(problem, filled))

    def _take(self, layout: Layout) -> None:
        """Keep what is no worse."""
        self.pricing.note(layout.filled)
        if not self.best.filled or rank(layout, self._area) <= rank(self.best, self._area):
            self.best = layout

    def _refilled(self) -> Iterator[None]:
        """Boards filled anew, less often where many different parts compete for a board, as that takes longer then;
        and all boards weighed together again from time to time."""
        most = max(len(could_give(self.problem, board)) for board in range(len(self.problem.boards)))
        often = 1.0 / max(1.0, most / 10.0) ** 2
        refiller = Refiller(self._filler(self.pricing.worths), self._seed)
        step = 0
        while True:
            step += 1
            if int(step * often) > int((step - 1) * often):
                self._take(refiller.tried(self.best))
            yield
            if step % _REFILLS == 0:
                self._weigh(_UNCOVERED[-1])
                yield
