"""Values of strips and of clear sections for one set of parts, by dynamic programming; shared by boards alike.

All sizes here are steps of the chalk marks, each part with a kerf behind it and above it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
_NEVER = -1.0e30


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """A part that may be laid: its item's number, its size with a kerf [steps], its worth."""

    item: int
    length: int
    width: int
    value: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Tables:
    """Best strips and best clear sections.

    `strip[s, j]` is the best worth of parts end to end within s steps of a strip as wide as `widths[j]`;
    `section[y, c]` the best worth of strips stacked within y steps of a clear section `lengths[c]` long.
    The choices say how: the part put last, or -1 for a step left empty.
    """

    pieces: tuple[Piece, ...]
    widths: tuple[int, ...]
    lengths: tuple[int, ...]
    strip: Floats
    strip_choice: Ints
    section: Floats
    section_choice: Ints


def tabulate(pieces: tuple[Piece, ...], lengths: tuple[int, ...], height: int) -> Tables:
    """The tables for some pieces, sections of the given lengths, boards up to `height` wide [steps]."""
    widths = tuple(sorted({piece.width for piece in pieces}))
    strip, strip_choice = _strips(pieces, widths, max(lengths))
    section, section_choice = _sections(strip[np.array(lengths)], widths, height)
    return Tables(
        pieces=pieces,
        widths=widths,
        lengths=lengths,
        strip=strip,
        strip_choice=strip_choice,
        section=section,
        section_choice=section_choice,
    )


def _strips(pieces: tuple[Piece, ...], widths: tuple[int, ...], longest: int) -> tuple[Floats, Ints]:
    order = sorted(range(len(pieces)), key=lambda index: pieces[index].length)
    sizes = np.array([pieces[index].length for index in order])
    worth = np.array(
        [[pieces[index].value if pieces[index].width <= width else _NEVER for width in widths] for index in order]
    )
    best = np.zeros((longest + 1, len(widths)))
    choice = np.full((longest + 1, len(widths)), -1, dtype=np.int64)
    numbers = np.array(order)
    fitting = np.searchsorted(sizes, np.arange(longest + 1), side="right")
    for step in range(1, longest + 1):
        best[step] = best[step - 1]
        count = fitting[step]
        if count:
            tried = best[step - sizes[:count]] + worth[:count]
            at = tried.argmax(axis=0)
            top = tried.max(axis=0)
            better = top > best[step] + 1e-12
            best[step][better] = top[better]
            choice[step][better] = numbers[at[better]]
    return best, choice


def _sections(strips: Floats, widths: tuple[int, ...], height: int) -> tuple[Floats, Ints]:
    """`strips[c, j]`: worth of a strip of width j in a section of length c."""
    worth = strips.T
    sizes = np.array(widths)
    best = np.zeros((height + 1, strips.shape[0]))
    choice = np.full((height + 1, strips.shape[0]), -1, dtype=np.int64)
    fitting = np.searchsorted(sizes, np.arange(height + 1), side="right")
    for step in range(1, height + 1):
        best[step] = best[step - 1]
        count = fitting[step]
        if count:
            tried = best[step - sizes[:count]] + worth[:count]
            top = tried.max(axis=0)
            better = top > best[step] + 1e-12
            best[step][better] = top[better]
            choice[step][better] = tried.argmax(axis=0)[better]
    return best, choice


def strip_parts(tables: Tables, width: int, start: int, end: int) -> list[tuple[int, int]]:
    """The pieces of the best strip of width number `width` between two steps along: (piece, where it starts)."""
    laid: list[tuple[int, int]] = []
    room = end - start
    while room > 0:
        piece = int(tables.strip_choice[room, width])
        if piece < 0:
            room -= 1
        else:
            room -= tables.pieces[piece].length
            laid.append((piece, room))
    laid.reverse()
    # Shift the parts against the start, so that what is left over lies together at the far end.
    at, packed = start, []
    for piece, _ in laid:
        packed.append((piece, at))
        at += tables.pieces[piece].length
    return packed
