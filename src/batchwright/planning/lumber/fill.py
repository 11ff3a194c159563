"""Filling one board with what is still wanted: the best cutting of the board, never more of a part than its demand."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from batchwright.planning.lumber.pricing import Bar, Cut, price_board
from batchwright.planning.lumber.problem import Problem, Stock
from batchwright.planning.lumber.tables import Piece, Tables, tabulate

LOOKS = 40
"""Different sections over defects that are worked out to the last strip, each time a board is cut."""
MOST_LENGTHS = 24
"""Section lengths offered to a board: each part's own, then sums of two and three parts up to the longest."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """A part where it lies [steps from the trimmed end and the marked edge]."""

    item: int
    along: int
    low: int
    strip: int
    """Width of its strip, kerf included [steps]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FilledSection:
    """A section of a board and what lies in it."""

    start: int
    length: int
    parts: tuple[Placed, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Filled:
    """A board with its sections, in order along it, and what its parts are worth."""

    board: int
    sections: tuple[FilledSection, ...]
    value: float

    @property
    def counts(self) -> Counter[int]:
        """How many of each item it gives."""
        return Counter(part.item for section in self.sections for part in section.parts)


@dataclass(slots=True, kw_only=True)
class Filler:
    """Fills boards for one set of worths; tables that were worked out are kept."""

    problem: Problem
    values: Sequence[float]
    thicker: bool = False
    """Whether parts may come from boards thicker than they are meant for."""
    bars: dict[int, Bar] = field(default_factory=dict)
    tables: dict[tuple[int, ...], Tables] = field(default_factory=dict)

    def usable(self, board: int, remaining: Sequence[int]) -> tuple[int, ...]:
        """Items still wanted that may come from a board."""
        return tuple(
            number
            for number, item in enumerate(self.problem.items)
            if remaining[number] > 0 and board in (item.usable if self.thicker else item.exact)
        )

    def fill(self, board: int, remaining: Sequence[int]) -> Filled:
        """The best cutting found for a board that takes no more than what remains."""
        bar = self._bar(board)
        left = list(remaining)
        kept: list[FilledSection] = []
        while True:
            items = self.usable(board, left)
            if not items or bar.length <= 0:
                break
            tables = self._tables(items)
            taken = tuple((section.start, section.start + section.length) for section in kept)
            cuts = price_board(bar, tables, taken, LOOKS)[1]
            fresh, again = self._accept(cuts, tables, left)
            kept += fresh
            if not again or not fresh:
                break
        kept.sort(key=lambda section: section.start)
        value = sum(self.values[part.item] for section in kept for part in section.parts)
        return Filled(board=board, sections=tuple(kept), value=value)

    def price(self, board: int) -> Filled:
        """The best cutting of a board where parts may be cut any number of times, whatever the demand."""
        bar = self._bar(board)
        items = self.usable(board, [1] * len(self.problem.items))
        items = tuple(item for item in items if self.values[item] > 0.0)
        if not items or bar.length <= 0:
            return Filled(board=board, sections=(), value=0.0)
        tables = self._tables(items)
        value, cuts = price_board(bar, tables, looks=LOOKS)
        return Filled(board=board, sections=tuple(_placed(cut, tables) for cut in cuts), value=value)

    def _bar(self, board: int) -> Bar:
        bar = self.bars.get(board)
        if bar is None:
            bar = self.bars[board] = bar_of(self.problem.boards[board], self.problem)
        return bar

    def _accept(self, cuts: tuple[Cut, ...], tables: Tables, left: list[int]) -> tuple[list[FilledSection], bool]:
        """Sections that stay within the demand, richest first; and whether some did not and should be tried anew."""
        kept: list[FilledSection] = []
        spoiled: list[FilledSection] = []
        for cut in sorted(cuts, key=lambda cut: (-cut.value / cut.length, cut.start)):
            section = _placed(cut, tables)
            wanted = Counter(part.item for part in section.parts)
            if all(count <= left[item] for item, count in wanted.items()):
                kept.append(section)
                for item, count in wanted.items():
                    left[item] -= count
            else:
                spoiled.append(section)
        if kept or not spoiled:
            return kept, bool(spoiled)
        return [_within(spoiled[0], left)], True

    def _tables(self, items: tuple[int, ...]) -> Tables:
        known = self.tables.get(items)
        if known is None:
            problem = self.problem
            pieces = tuple(
                Piece(
                    item=number,
                    length=steps_along(problem.items[number].length, problem),
                    width=steps_across(problem.items[number].width, problem),
                    value=self.values[number],
                )
                for number in items
            )
            height = max(int(self._bar(board).height.max()) for board in range(len(problem.boards)))
            known = self.tables[items] = tabulate(pieces, section_lengths(pieces), height)
        return known


def _placed(cut: Cut, tables: Tables) -> FilledSection:
    return FilledSection(
        start=cut.start,
        length=cut.length,
        parts=tuple(
            Placed(item=tables.pieces[piece].item, along=at, low=strand.low, strip=tables.widths[strand.width])
            for strand in cut.strands
            for piece, at in strand.parts
        ),
    )


def _within(section: FilledSection, left: list[int]) -> FilledSection:
    """The section without what is more than wanted; what it takes is counted off."""
    parts = []
    for part in section.parts:
        if left[part.item] > 0:
            left[part.item] -= 1
            parts.append(part)
    return FilledSection(start=section.start, length=section.length, parts=tuple(parts))


def within(filled: Filled, left: list[int]) -> Filled:
    """A filled board without what is more than wanted; what it takes is counted off."""
    sections = tuple(_within(section, left) for section in filled.sections)
    return Filled(board=filled.board, sections=tuple(each for each in sections if each.parts), value=filled.value)


def section_lengths(pieces: tuple[Piece, ...]) -> tuple[int, ...]:
    """Lengths worth crosscutting sections to: the parts' own, then sums of a few, none above the longest part."""
    own = sorted({piece.length for piece in pieces})
    sums = set(own)
    for _ in range(2):
        sums |= {a + b for a in sums for b in own if a + b <= own[-1]}
    extra = sorted(sums - set(own), reverse=True)[: max(0, MOST_LENGTHS - len(own))]
    return tuple(sorted({*own, *extra}))


def steps_along(length: int, problem: Problem) -> int:
    """A part's length with the kerf behind it, rounded up to chalk marks [steps]."""
    return math.ceil((length + problem.kerf) / problem.step_along)


def steps_across(width: int, problem: Problem) -> int:
    """A part's width with the kerf above it, rounded up to chalk marks [steps]."""
    return math.ceil((width + problem.kerf) / problem.step_across)


def bar_of(board: Stock, problem: Problem) -> Bar:
    """A board in steps: length and widths rounded down, defects outwards."""
    along, across, kerf, trim = problem.step_along, problem.step_across, problem.kerf, problem.trim
    length = max(0, (board.length - 2 * trim + kerf) // along)
    marks = [min(trim + step * along, board.length) for step in range(length + 1)]
    height = np.array([(board.width_at(mark) + kerf) // across for mark in marks], dtype=np.int64)
    blocked = tuple(
        (
            math.floor((rect.left + kerf - trim) / along),
            math.ceil((rect.right - trim) / along),
            math.floor((rect.low + kerf) / across),
            math.ceil(rect.high / across),
        )
        for rect in board.defects
    )
    return Bar(length=length, height=height, blocked=blocked)
