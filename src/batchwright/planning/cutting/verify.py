"""Counts a cutting list again from the piece itself; shares no code with what made it."""

from __future__ import annotations

from collections import Counter

from batchwright.base.finding import Finding, Grade
from batchwright.model.piece import Piece
from batchwright.model.work import CuttingList


def check_cutting_list(piece: Piece, listed: CuttingList) -> tuple[Finding, ...]:
    """Nothing missing, nothing twice, every blank large enough for its part."""
    return tuple(
        Finding(
            code="cutting-list-wrong",
            grade=Grade.FAILS,
            what=what,
            mend="report this: the list was made wrongly.",
        )
        for what in [*_counts(piece, listed), *_sizes(listed), *_blanks(listed)]
    )


def _counts(piece: Piece, listed: CuttingList) -> list[str]:
    in_piece = Counter(part.kind for part in piece.parts)
    in_list = Counter({row.kind: row.each for row in listed.rows})
    return [
        f"{kind}: the piece has {in_piece[kind]}, the list {in_list[kind]}."
        for kind in sorted({*in_piece, *in_list})
        if in_piece[kind] != in_list[kind]
    ]


def _sizes(listed: CuttingList) -> list[str]:
    wrong = []
    for row in listed.rows:
        if row.rough.length < row.finished.length or row.rough.width * row.pieces < row.finished.width:
            wrong.append(f"{row.label}: the rough blank is smaller than the finished part.")
        if row.shoulder_length is not None and row.shoulder_length > row.finished.length + 1e-6:
            wrong.append(f"{row.label}: longer between shoulders than overall.")
    return wrong


def _blanks(listed: CuttingList) -> list[str]:
    got: Counter[str] = Counter()
    for blank in listed.blanks:
        got[blank.kind] += blank.count
    wrong = []
    for row in listed.rows:
        parts = got[row.kind] * row.gang // row.pieces
        if parts < row.each * listed.copies + row.spares:
            wrong.append(f"{row.label}: blanks for {parts}, but {row.total} are wanted.")
    return wrong
