"""Little piece files for the tests of drawing: text in, a drawn piece without faults out."""

from __future__ import annotations

from batchwright.design.draft import draft_piece
from batchwright.design.text.read import read_tree
from batchwright.model.draft import DraftPart, DraftPiece

HEAD = "piece: Trial\nunits: mm\nwood: white oak\nhands: as seated\n"


def drawn(text: str, head: str = HEAD, **overrides: str) -> DraftPiece:
    """The piece of a text that has no fault."""
    tree, faults = read_tree(head + text, "trial.piece.yaml")
    assert tree is not None and not faults, [str(fault) for fault in faults]
    piece, told = draft_piece(tree, "trial.piece.yaml", overrides or None)
    assert piece is not None and not told, [str(fault) for fault in told]
    return piece


def part(piece: DraftPiece, name: str) -> DraftPart:
    """A part by its full name."""
    return next(each for each in piece.parts if each.id == name)
