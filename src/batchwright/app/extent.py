"""How large a piece may be: its rods and outlines must go on a page."""

from __future__ import annotations

from batchwright.base.fault import Fault, Place
from batchwright.base.length import Unit, print_length
from batchwright.model.piece import Piece
from batchwright.sheets.views.made import make

LARGEST = 4572.0
"""15 ft over all, in each direction [mm]: a page of a PDF is at most 14 400 points, 5080 mm, long (ISO 32000-1 C)."""
DIRECTIONS = ("wide", "deep", "high")


def extent_faults(piece: Piece) -> list[Fault]:
    """A fault for each direction in which the piece is larger than its rod could be drawn."""
    boxes = list(make(piece).bounds.values())
    faults = []
    for axis, word in enumerate(DIRECTIONS):
        extent = max((high[axis] for _, high in boxes), default=0.0) - min((low[axis] for low, _ in boxes), default=0.0)
        if extent > LARGEST:
            faults.append(_too_large(piece, word, extent))
    return faults


def _too_large(piece: Piece, word: str, extent: float) -> Fault:
    inches = piece.draft.units == "in"

    def told(length: float) -> str:
        return f"{print_length(length, Unit.INCHES if inches else Unit.MILLIMETRES)} {piece.draft.units}"

    return Fault(
        code="piece-too-large",
        place=Place(piece.draft.file),
        what=f"the piece is {told(extent)} {word}; {told(LARGEST)} is the most that is planned.",
        why="its rod is drawn at full size on one page, and no page is longer.",
        mend="look for a size in the wrong unit or a part drawn far off; plan what is longer in sections.",
    )
