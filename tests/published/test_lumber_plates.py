"""The cutting of one board over its defects against public plates with defects.

Instances: Afsharian, Niknejad, Waescher (2014; title and journal from memory, see the file). The proven optima in
the file are another, general solver's, for a wider model in which a narrower part may lie at either edge of its
strip: never below ours, and the same on 15 of the 20.
"""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest

from batchwright.planning.lumber.pricing import Bar, price_board
from batchwright.planning.lumber.tables import Piece, tabulate

PLATES = json.loads((Path(__file__).parent / "lumber_plates.json").read_text(encoding="utf-8"))["plates"]


@pytest.mark.parametrize("name", sorted(PLATES))
def test_best_cutting_of_a_plate_with_defects(name: str) -> None:
    plate = PLATES[name]
    pieces = tuple(
        Piece(item=number, length=length, width=width, value=float(profit))
        for number, (length, width, profit) in enumerate(plate["items"])
    )
    shortest = min(piece.length for piece in pieces)
    tables = tabulate(pieces, tuple(range(shortest, plate["length"] + 1)), plate["width"])
    bar = Bar(
        length=plate["length"],
        height=np.full(plate["length"] + 1, plate["width"]),
        blocked=tuple(tuple(each) for each in plate["defects"]),
    )
    value, cuts = price_board(bar, tables)
    assert value == plate["most"] if plate["equal"] else value <= plate["most"]
    assert value == _worth_of(cuts, pieces, bar)


def _worth_of(cuts: object, pieces: tuple[Piece, ...], bar: Bar) -> float:
    """The worth of what is laid, cell by cell on an empty plate: nothing twice, nothing on a defect."""
    free = np.ones((bar.length, int(bar.height[0])), dtype=bool)
    for left, right, low, high in bar.blocked:
        free[left:right, low:high] = False
    worth = 0.0
    for cut in cuts:  # type: ignore[attr-defined]
        for strand in cut.strands:
            for piece, at in strand.parts:
                cells = free[at : at + pieces[piece].length, strand.low : strand.low + pieces[piece].width]
                assert cells.shape == (pieces[piece].length, pieces[piece].width)
                assert cells.all()
                cells[:] = False
                worth += pieces[piece].value
    return worth
