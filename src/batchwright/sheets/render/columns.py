"""How wide the columns of a table are: a number is never broken, words wrap, the rest is shared out."""

from __future__ import annotations

from batchwright.sheets.scene.metrics import text_width
from batchwright.sheets.scene.primitives import BODY, KEY, Weight
from batchwright.sheets.scene.sheet import Column, Table

TITLE = 10.5 * 25.4 / 72.0
"""Size of the titles of columns [mm]."""
INSET = 1.5
"""Clear paper at either side of a cell [mm]."""
TICK, TICK_GAP, AFTER_TICKS = 5.0, 1.6, 2.0
"""A box to tick, the space between two, and before words that follow [mm]."""
SAFE = 0.4
"""Widths are known to a hair only: kerning is left out [mm]."""


def column_widths(table: Table, space: float) -> tuple[float, ...]:
    """The width of each column of a table that fills `space` [mm].

    Each gets what its longest unbreakable piece needs; what is left goes to those whose lines would wrap, the least
    in want first; what is left after that is shared by the columns' `share`. Where even the least does not fit, all
    are narrowed alike.
    """
    cells = [tuple(row[index] for row in table.rows) for index in range(len(table.columns))]
    sizes = [_least_and_whole(column, held) for column, held in zip(table.columns, cells, strict=True)]
    least = [size[0] for size in sizes]
    over = space - sum(least)
    if over <= 0.0:
        return tuple(width * space / sum(least) for width in least)
    widths = list(least)
    wanting = sorted(range(len(sizes)), key=lambda index: sizes[index][1] - sizes[index][0])
    for place, index in enumerate(wanting):
        given = min(sizes[index][1] - sizes[index][0], over / (len(wanting) - place))
        widths[index] += given
        over -= given
    rest, shares = space - sum(widths), sum(column.share for column in table.columns)
    return tuple(width + rest * column.share / shares for width, column in zip(widths, table.columns, strict=True))


def _least_and_whole(column: Column, cells: tuple[str, ...]) -> tuple[float, float]:
    """The least width of a column, and the width at which nothing of it wraps [mm]."""
    size, weight = (KEY, Weight.BOLD) if column.key else (BODY, Weight.NORMAL)
    boxes = column.ticks * TICK + max(0, column.ticks - 1) * TICK_GAP
    least = whole = 0.0
    for cell in cells:
        for line in cell.split("\n"):
            width = text_width(line, size, weight)
            whole = max(whole, width + boxes + AFTER_TICKS * (column.ticks > 0 and bool(line)))
            pieces = [line] if column.number or column.key else line.split(" ")
            least = max(least, boxes, *(text_width(piece, size, weight) for piece in pieces))
    for word in column.title.split():
        least = max(least, text_width(word, TITLE, Weight.BOLD))
    edge = 2.0 * INSET + SAFE
    return (max(least, boxes) + edge, max(whole, least, boxes) + edge)
