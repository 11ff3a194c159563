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
    plateau: Ints
    """Numbers the stretches over which no strip's worth changes; shape (longest + 1,)."""


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
        plateau=np.concatenate([[0], np.cumsum(np.any(strip[1:] != strip[:-1], axis=1))]),
    )


def _strips(pieces: tuple[Piece, ...], widths: tuple[int, ...], longest: int) -> tuple[Floats, Ints]:
    worth = np.array([[piece.value if piece.width <= width else _NEVER for width in widths] for piece in pieces])
    return stack([piece.length for piece in pieces], worth, longest)


def _sections(strips: Floats, widths: tuple[int, ...], height: int) -> tuple[Floats, Ints]:
    """`strips[c, j]`: worth of a strip of width j in a section of length c."""
    return stack(list(widths), strips.T, height)


def stack(sizes: list[int], worth: Floats, most: int) -> tuple[Floats, Ints]:
    """Best worth of things laid one behind another within 0 to `most` steps, for many sets of worths at once.

    `worth[i, k]` is the worth of thing i in set k. Worked out a stretch at a time, as long as the smallest thing:
    what fits within such a stretch depends on earlier stretches only, save that more room is never worth less.
    """
    sets = worth.shape[1]
    best = np.zeros((most + 1, sets))
    choice = np.full((most + 1, sets), -1, dtype=np.int64)
    smallest = max(1, min(sizes))
    for start in range(1, most + 1, smallest):
        end = min(start + smallest, most + 1)
        best[start:end] = best[start - 1]
        for index, size in enumerate(sizes):
            first = max(start, size)
            if first >= end:
                continue
            tried = best[first - size : end - size] + worth[index]
            better = tried > best[first:end] + 1e-12
            best[first:end][better] = tried[better]
            choice[first:end][better] = index
        carried = np.maximum.accumulate(best[start:end], axis=0)
        choice[start:end][carried > best[start:end]] = -1
        best[start:end] = carried
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
