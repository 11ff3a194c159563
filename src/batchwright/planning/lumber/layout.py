"""From steps on a grid to a plan in millimetres: sections, strips, and which blank each piece becomes."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Sequence

from batchwright.model.stock import Blank, BoardPlan, LaidBlank, SectionCut, Strip
from batchwright.planning.lumber.fill import Filled, FilledSection, Placed
from batchwright.planning.lumber.problem import Problem


class Handout:
    """Hands out the blanks of each item piece by piece, the staves of one part one after another."""

    def __init__(self, problem: Problem, blanks: Sequence[Blank]) -> None:
        self._queues = [self._queue(item.blanks, blanks) for item in problem.items]

    @staticmethod
    def _queue(indices: Sequence[int], blanks: Sequence[Blank]) -> list[int]:
        """Blank indices in the order they are handed out, last first."""
        kinds: dict[str, list[int]] = defaultdict(list)
        for index in indices:
            kinds[blanks[index].kind].append(index)
        queue: list[int] = []
        for same in kinds.values():
            left = Counter({index: blanks[index].count for index in same})
            while any(left.values()):
                for index in same:
                    if left[index]:
                        left[index] -= 1
                        queue.append(index)
        return queue[::-1]

    def next(self, item: int) -> int:
        """The blank that the next piece of an item becomes."""
        return self._queues[item].pop()

    def left(self) -> Counter[int]:
        """Blanks that nobody asked for, by index."""
        return Counter(index for queue in self._queues for index in queue)


def board_plans(problem: Problem, filled: Sequence[Filled], handout: Handout) -> tuple[BoardPlan, ...]:
    """The plan of each board, in the order given."""
    plans = []
    for each in filled:
        sections = tuple(_section(problem, section, handout) for section in each.sections)
        plans.append(BoardPlan(board=problem.boards[each.board].name, sections=sections))
    return tuple(plans)


def _section(problem: Problem, section: FilledSection, handout: Handout) -> SectionCut:
    strips: dict[int, list[Placed]] = defaultdict(list)
    for part in section.parts:
        strips[part.low].append(part)
    cut = tuple(_strip(problem, low, strips[low], handout) for low in sorted(strips))
    start = min(laid.x for strip in cut for laid in strip.laid)
    end = max(laid.x + laid.length for strip in cut for laid in strip.laid)
    return SectionCut(x=start, length=end - start, strips=cut)


def _strip(problem: Problem, low: int, parts: Sequence[Placed], handout: Handout) -> Strip:
    unit = problem.unit
    y = low * problem.step_across * unit
    laid = []
    for part in sorted(parts, key=lambda part: part.along):
        item = problem.items[part.item]
        laid.append(
            LaidBlank(
                blank=handout.next(part.item),
                x=(problem.trim + part.along * problem.step_along) * unit,
                y=y,
                length=item.length * unit,
                width=item.width * unit,
            )
        )
    return Strip(y=y, width=max(one.width for one in laid), laid=tuple(laid))
