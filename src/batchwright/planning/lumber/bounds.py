"""Least board area, and least money, that any layout of the blanks must take: true for every way of cutting.

Each blank with a kerf behind it and above it is a piece of a board that is a kerf longer and wider; these pieces do
not overlap, so their areas add up. What no blank can reach is not counted: ends trimmed off, and the inside of
defects. Then whole boards: the least that boards can cost whose areas hold the blanks, thickness by thickness.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from batchwright.planning.lumber.problem import Problem, Stock


def room_of(board: Stock, problem: Problem) -> float:
    """Most area of blanks, each with its kerfs, that a board can hold [units^2]."""
    kerf, trim = problem.kerf, problem.trim
    sound = board.length - 2 * trim
    if sound <= 0:
        return 0.0
    # Where the board narrows, a kerf behind a blank may lie beside wood that is wider than itself.
    lean = max(0.0, (board.width - board.far_width) * kerf / board.length)
    middle = board.width + (board.far_width - board.width) * (trim + (sound + kerf) / 2.0) / board.length
    return (sound + kerf) * (middle + 1.0 + kerf + lean) - _dead(board, problem)


def _dead(board: Stock, problem: Problem) -> float:
    """Area inside defects that neither a blank nor its kerfs can reach, overlaps counted once [units^2]."""
    kerf, trim = problem.kerf, problem.trim
    least = min(board.width, board.far_width)
    rects = [
        (max(rect.left + kerf, trim), min(rect.right, board.length - trim), rect.low + kerf, min(rect.high, least))
        for rect in board.defects
    ]
    rects = [rect for rect in rects if rect[1] > rect[0] and rect[3] > rect[2]]
    edges = sorted({edge for rect in rects for edge in rect[:2]})
    area = 0.0
    for start, end in zip(edges, edges[1:], strict=False):
        spans = sorted((low, high) for left, right, low, high in rects if left < end and right > start)
        covered, top = 0.0, -math.inf
        for low, high in spans:
            covered += max(0.0, high - max(low, top))
            top = max(top, high)
        area += covered * (end - start)
    return area


def least_cost(problem: Problem, counts: Sequence[int], costs: Sequence[float]) -> float:
    """Least sum of `costs` over boards that could hold `counts` of the items."""
    usable = {item.usable for number, item in enumerate(problem.items) if counts[number] > 0}
    room = [room_of(board, problem) for board in problem.boards]
    bound = 0.0
    for boards in usable:
        need = sum(
            counts[number] * (item.length + problem.kerf) * (item.width + problem.kerf)
            for number, item in enumerate(problem.items)
            if counts[number] > 0 and item.usable <= boards
        )
        bound = max(bound, _fractional(need, [(costs[board], room[board]) for board in boards]))
    return bound


def _fractional(need: float, boards: list[tuple[float, float]]) -> float:
    """Least cost of a share of boards whose rooms come to the need."""
    cost = 0.0
    for price, room in sorted((each for each in boards if each[1] > 0.0), key=lambda each: each[0] / each[1]):
        if need <= 0.0:
            break
        share = min(1.0, need / room)
        cost += share * price
        need -= share * room
    return cost
