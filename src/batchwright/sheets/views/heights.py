"""How tall blocks stand on paper, on the safe side: to put several things on one sheet without parting any."""

from __future__ import annotations

import math

from batchwright.sheets.scene.extent import paper_size
from batchwright.sheets.scene.metrics import text_width
from batchwright.sheets.scene.primitives import BODY, SMALL, Weight
from batchwright.sheets.scene.sheet import Block, Caution, Drawing, Heading, Paragraph, Table

ROW, LINE, TABLE_HEAD = 7.2, 5.6, 9.0
"""A row of a table with a box to tick, each further line of it, and a head of one line with the space round it [mm]."""
CELL = 3.6
"""Clear paper in a cell, both sides [mm]."""
HEADING = 9.0
HEADING_SIZE = 14.0 * 25.4 / 72.0
AROUND = 3.5
"""Space round a drawing or a paragraph [mm]."""
SIGN = 18.0
"""What a caution takes beside and round its words [mm]."""


def block_height(block: Block, wide: float) -> float:
    """The height a block takes on a sheet with this much width [mm]; others than words, tables, drawings: 0."""
    match block:
        case Drawing(scene=scene, caption=caption):
            return paper_size(scene, 1.0)[1] + AROUND + (LINE if caption else 0.0)
        case Table():
            return table_height(block, wide)
        case Heading(text=text):
            return HEADING + LINE * (lines(text, HEADING_SIZE, wide, Weight.BOLD) - 1)
        case Paragraph(text=text, small=small):
            size = SMALL if small else BODY
            return size * 1.5 * lines(text, size, wide) + AROUND - 1.5
        case Caution(text=text):
            return LINE * lines(text, BODY, wide - SIGN) + AROUND + 6.0
        case _:
            return 0.0


def lines(text: str, size: float, wide: float, weight: Weight = Weight.NORMAL) -> int:
    """Lines a text takes; a twentieth of the width is lost where words break."""
    return max(1, math.ceil(text_width(text, size, weight) / (0.95 * wide)))


def table_height(table: Table, wide: float) -> float:
    """The rows; one that is wider than the sheet takes a second line, or as many as it needs."""
    tall = TABLE_HEAD + ROW * len(table.groups)
    for row in table.rows:
        needed = sum(text_width(cell, BODY) + CELL for cell in row) + 10.0 * sum(one.ticks for one in table.columns)
        tall += ROW + LINE * (math.ceil(needed / wide) - 1)
    return tall
