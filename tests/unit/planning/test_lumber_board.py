"""One board: its best cutting against plain recursion that tries everything, cell by cell, on small boards."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from batchwright.planning.lumber.pricing import Bar, price_board
from batchwright.planning.lumber.tables import Piece, tabulate

Rect = tuple[int, int, int, int]


def everything_tried(heights: list[int], pieces: tuple[Piece, ...], defects: list[Rect]) -> float:
    """Best worth over all sections, strips and parts, each part clear over its strip's whole width."""

    def clear(left: int, right: int, low: int, high: int) -> bool:
        return not any(left < d[1] and right > d[0] and low < d[3] and high > d[2] for d in defects)

    @cache
    def strip(at: int, end: int, low: int, width: int) -> float:
        best = strip(at + 1, end, low, width) if at < end else 0.0
        for piece in pieces:
            if piece.width <= width and at + piece.length <= end and clear(at, at + piece.length, low, low + width):
                best = max(best, piece.value + strip(at + piece.length, end, low, width))
        return best

    @cache
    def section(start: int, end: int, low: int, room: int) -> float:
        best = section(start, end, low + 1, room) if low < room else 0.0
        for width in {piece.width for piece in pieces}:
            if low + width <= room:
                best = max(best, strip(start, end, low, width) + section(start, end, low + width, room))
        return best

    @cache
    def board(at: int) -> float:
        if at >= len(heights) - 1:
            return 0.0
        best = board(at + 1)
        for end in range(at + 1, len(heights)):
            best = max(best, section(at, end, 0, min(heights[at], heights[end])) + board(end))
        return best

    return board(0)


SIZES = st.tuples(st.integers(1, 6), st.integers(1, 4), st.integers(1, 9))
DEFECTS = st.tuples(st.integers(0, 10), st.integers(1, 3), st.integers(0, 5), st.integers(1, 2))


@given(
    sizes=st.lists(SIZES, min_size=1, max_size=3),
    spots=st.lists(DEFECTS, max_size=2),
    widths=st.tuples(st.integers(3, 6), st.integers(3, 6)),
    length=st.integers(4, 11),
)
def test_no_cutting_is_worth_more(
    sizes: list[tuple[int, int, int]], spots: list[Rect], widths: tuple[int, int], length: int
) -> None:
    pieces = tuple(Piece(item=n, length=a, width=b, value=float(c)) for n, (a, b, c) in enumerate(sizes))
    heights = [widths[0] + (widths[1] - widths[0]) * step // length for step in range(length + 1)]
    defects = [(x, x + a, y, y + b) for x, a, y, b in spots]
    lengths = tuple(range(min(piece.length for piece in pieces), length + 1)) or (1,)
    if min(lengths) > length:
        return
    tables = tabulate(pieces, lengths, max(heights))
    bar = Bar(length=length, height=np.array(heights), blocked=tuple(defects))
    value, cuts = price_board(bar, tables)
    assert value == pytest.approx(everything_tried(heights, pieces, defects))
    laid = sum(pieces[piece].value for cut in cuts for strand in cut.strands for piece, _ in strand.parts)
    assert laid == pytest.approx(value)
