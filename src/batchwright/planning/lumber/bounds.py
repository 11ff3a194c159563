"""Least board area, and least money, that any layout of the blanks must take, cut crosscut-first with this saw.

Crosscut first means: sections no longer than the longest blank that may come from the board, strips ripped from
them, blanks end to end in a strip.

Two needs hold for the boards of every layout, for each set of blanks that can come from no other boards:

- Area. Each blank with a kerf behind it and above it is a piece of a board that is a kerf longer and wider. These
  pieces do not overlap, so their areas add up to no more than the room of the boards.
- Worth. Give each blank any worth: the boards can hold at least the worth of all blanks. What one board can hold is
  bounded by the best cutting of the board without its defects, with blanks measured a little small and the board a
  little large.

Then the least that whole boards can cost which meet all these needs. Nothing here rests on a layout being found.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from batchwright.planning.lumber.linear import Floats, Program, bound_whole
from batchwright.planning.lumber.pricing import best_in_line
from batchwright.planning.lumber.problem import Problem, Stock
from batchwright.planning.lumber.tables import Ints, stack

STEP_ALONG = 2.0
STEP_ACROSS = 0.25
"""Steps of the worth bound [mm]: blanks rounded down, boards up."""
_NODES = 300


@dataclass(frozen=True, slots=True, kw_only=True)
class Demand:
    """What is to be held: of each item how many, from which boards it may come, and sets of worths, of any size, one
    for each item: the bound is the best that all of them prove together."""

    counts: tuple[int, ...]
    boards: tuple[frozenset[int], ...]
    worths: tuple[tuple[float, ...], ...]


def least_sums(problem: Problem, demand: Demand, quick: bool = False) -> tuple[float, float]:
    """Lower bounds on the summed cost, and on the summed area [mm^2], of boards that hold what is wanted.

    Where the boards have prices, a quick bound on the area counts parts of boards too.
    """
    rows, least = _needs(problem, demand)
    if not rows:
        return 0.0, 0.0
    costs = np.array([board.cost for board in problem.boards])
    areas = np.array([board.area for board in problem.boards])
    cost = _least(costs, rows, least)
    return cost, _least(areas, rows, least, whole=not quick) if problem.priced else cost


def _least(costs: Floats, rows: list[Floats], least: list[float], whole: bool = True) -> float:
    scale = float(costs.max())
    program = Program(
        costs=costs / scale, rows=np.array(rows), least=np.array(least) * (1.0 - 1e-9), most=np.ones(len(costs))
    )
    bound = bound_whole(program, _NODES if whole else 0)
    return 0.0 if bound is None else max(0.0, bound * scale * (1.0 - 1e-9))


def _needs(problem: Problem, demand: Demand) -> tuple[list[Floats], list[float]]:
    """Needs that the boards used must meet: shares of it that each board has, adding up to 1 or more."""
    rows: list[Floats] = []
    room = np.array([room_of(board, problem) for board in problem.boards])
    wanted = [number for number, count in enumerate(demand.counts) if count > 0]
    for boards in _closed({demand.boards[number] for number in wanted}):
        mine = [number for number in wanted if demand.boards[number] <= boards]
        here = np.array([float(board in boards) for board in range(len(problem.boards))])
        area = sum(demand.counts[number] * _swept(problem, number) for number in mine)
        rows.append(here * room / area)
        near = [number for number in wanted if demand.boards[number] & boards]
        longest = max(problem.items[number].true_length for number in near)
        for worths in dict.fromkeys(demand.worths):
            worth = sum(demand.counts[number] * worths[number] for number in mine)
            if worth > 0.0:
                pieces = _Pieces(items=tuple(mine), worths=worths, boards=boards, longest=longest)
                rows.append(here * _most_worth(problem, pieces) / worth)
    return rows, [1.0] * len(rows)


def _closed(sets: set[frozenset[int]]) -> list[frozenset[int]]:
    """The sets of boards, and the unions of those that share boards: blanks that compete are weighed together."""
    joined: list[frozenset[int]] = []
    for each in sorted(sets, key=sorted):
        apart = [other for other in joined if not other & each]
        together = [other for other in joined if other & each]
        joined = [*apart, each.union(*together)]
    return sorted(sets | set(joined), key=sorted)


def _swept(problem: Problem, number: int) -> float:
    """Area of a blank with a kerf behind it and above it [mm^2]."""
    item = problem.items[number]
    return (item.true_length + problem.true_kerf) * (item.true_width + problem.true_kerf)


def room_of(board: Stock, problem: Problem) -> float:
    """Most area of blanks, each with its kerfs, that a board can hold [mm^2]."""
    kerf, trim = problem.true_kerf, problem.true_trim
    length = board.true_length
    sound = length - 2.0 * trim
    if sound <= 0.0:
        return 0.0
    lean = (board.true_far_width - board.true_width) / length
    middle = board.true_width + lean * (trim + (sound + kerf) / 2.0)
    # Where the board narrows, the kerf behind a blank may lie beside wood narrower than the blank.
    return (sound + kerf) * (middle + kerf + max(0.0, -lean) * kerf) - _dead(board, problem)


def _dead(board: Stock, problem: Problem) -> float:
    """Area inside defects that neither a blank nor its kerfs can reach, overlaps counted once [mm^2]."""
    kerf, trim = problem.true_kerf, problem.true_trim
    least = min(board.true_width, board.true_far_width)
    rects = [
        (max(left + kerf, trim), min(right, board.true_length - trim), low + kerf, min(high, least))
        for left, right, low, high in board.true_defects
    ]
    rects = [rect for rect in rects if rect[1] > rect[0] and rect[3] > rect[2]]
    edges = sorted({edge for rect in rects for edge in rect[:2]})
    area = 0.0
    for start, end in zip(edges, edges[1:], strict=False):
        spans = sorted((low, high) for left, right, low, high in rects if left < end and right > start)
        top = -math.inf
        for low, high in spans:
            area += max(0.0, high - max(low, top)) * (end - start)
            top = max(top, high)
    return area


@dataclass(frozen=True, slots=True, kw_only=True)
class _Pieces:
    items: tuple[int, ...]
    worths: tuple[float, ...]
    boards: frozenset[int]
    longest: float
    """Longest section [mm]."""


def _most_worth(problem: Problem, pieces: _Pieces) -> Floats:
    """For each board, a worth that no crosscut-first cutting of it into these items can exceed; shape (boards,)."""
    kerf = problem.true_kerf
    along = [math.floor((problem.items[number].true_length + kerf) / STEP_ALONG + 1e-9) for number in pieces.items]
    across = [math.floor((problem.items[number].true_width + kerf) / STEP_ACROSS + 1e-9) for number in pieces.items]
    widths = sorted(set(across))
    worths = [pieces.worths[number] for number in pieces.items]
    gain = np.array([[worth if wide <= width else -1e30 for width in widths] for worth, wide in zip(worths, across)])
    rooms = {board: _rooms(problem.boards[board], problem) for board in sorted(pieces.boards)}
    longest = max(1, math.floor((pieces.longest + kerf) / STEP_ALONG + 1e-9))
    tallest = max((int(room.max()) for room in rooms.values()), default=0)
    strip, _ = stack([max(1, each) for each in along], gain, longest)
    section, _ = stack([max(1, width) for width in widths], np.ascontiguousarray(strip.T), tallest)
    alike = np.concatenate([[0], np.cumsum(np.any(section[1:] != section[:-1], axis=1))])
    telling: dict[int, list[int]] = {}
    worth = np.zeros(len(problem.boards))
    for board, room in rooms.items():
        lengths: set[int] = set()
        for level in np.unique(room):
            kind = int(alike[level])
            if kind not in telling:
                telling[kind] = _telling(section[level])
            lengths.update(telling[kind])
        worth[board] = _in_line(section, room, sorted(lengths))
    return worth


def _rooms(board: Stock, problem: Problem) -> Ints:
    """Most room across at each step along, a kerf more than the width [steps]; a place is rounded to its wider side.

    A section that starts at step a and is s steps long starts less than a step after it and ends, less its kerf, no
    sooner than step a + s: it has no more room than either of these places.
    """
    kerf, trim = problem.true_kerf, problem.true_trim
    steps = math.ceil((max(0.0, board.true_length - 2.0 * trim) + kerf) / STEP_ALONG - 1e-9)
    places = trim + np.arange(steps + 1) * STEP_ALONG
    lean = (board.true_far_width - board.true_width) / board.true_length
    slack = abs(lean) * (STEP_ALONG + kerf)
    room = board.true_width + lean * np.minimum(places, board.true_length) + slack + kerf
    whole: Ints = np.maximum(0, np.ceil(room / STEP_ACROSS - 1e-9)).astype(np.int64)
    return whole


def _telling(row: Floats) -> list[int]:
    """Lengths whose one section is worth more than any shorter sections in a line; `row[s]`: worth by length."""
    best = row.copy()
    found: list[int] = []
    sizes = np.zeros(0, dtype=np.int64)
    for at in range(1, len(row)):
        top = float(best[at - 1])
        if found:
            top = max(top, float((best[at - sizes] + row[sizes]).max()))
        if row[at] > top + 1e-12:
            found.append(at)
            sizes = np.array(found)
        best[at] = max(top, row[at])
    return found


def _in_line(section: Floats, room: Ints, lengths: list[int]) -> float:
    """Best worth of sections in a line along a board whose room changes along it."""
    most = len(room) - 1
    lengths = [size for size in lengths if size <= most]
    if not lengths:
        return 0.0
    rows = [section[np.minimum(room[: most + 1 - size], room[size:]), size] for size in lengths]
    return float(best_in_line(most, tuple(lengths), rows)[-1])
