"""Why a blank could not be laid, and what board to look for, in words."""

from __future__ import annotations

import math

from batchwright.base.length import print_inches
from batchwright.model.shop import Shop
from batchwright.model.stock import Blank, Board
from batchwright.planning.lumber.problem import needed_thickness, thick_enough

_EIGHTH = 25.4 / 8.0
_SLACK = 0.01


def say_length(value: float) -> str:
    """A length to look for: inches to the next eighth, and whole millimetres, both rounded up.

    >>> say_length(600.0)
    '23 5/8 in (600 mm)'
    """
    inches = print_inches(math.ceil(value / _EIGHTH - 1e-6) * _EIGHTH, step=8)
    return f"{inches} in ({math.ceil(value - 1e-6)} mm)"


def why_short(blank: Blank, boards: tuple[Board, ...], shop: Shop) -> str:
    """The first reason that holds for a blank that no board gave."""
    wood = blank.species.replace("_", " ")
    same = [board for board in boards if board.species == blank.species]
    if not same:
        return f"no board is of {wood}"
    sawn = [board for board in same if not blank.sawn or board.sawn == blank.sawn]
    if not sawn:
        return f"no board of {wood} is said to be {blank.sawn} sawn"
    thick = [board for board in sawn if thick_enough(blank, board)]
    if not thick:
        most = max(board.thickness for board in sawn)
        needed = say_length(needed_thickness(blank))
        return f"no board is thick enough: it takes {needed} as measured, the thickest has {most:.1f} mm"
    return _why_no_place(blank, thick, shop.allowances.end_trim.value)


def _why_no_place(blank: Blank, boards: list[Board], trim: float) -> str:
    longest = max(board.length - 2.0 * trim for board in boards)
    if blank.length > longest + _SLACK:
        return f"longer than any board with its ends trimmed: it takes {say_length(blank.length)}"
    widest = max(max(board.width, board.far_width) for board in boards)
    if blank.width > widest + _SLACK:
        return f"wider than any board: it takes {say_length(blank.width)}"
    if not any(fits(blank, board, trim) for board in boards):
        size = f"{say_length(blank.length)} by {say_length(blank.width)}"
        return f"no board has a clear place of {size} between its defects"
    return "the boards ran out: those that could give it went to other blanks"


def fits(blank: Blank, board: Board, trim: float) -> bool:
    """Whether one blank has a clear place on a board that has nothing else laid on it."""
    last = board.length - trim - blank.length
    starts = [trim, last, *(defect.end for defect in board.defects), *(d.start - blank.length for d in board.defects)]
    lows = [0.0, *(defect.high for defect in board.defects)]
    return any(
        _clear(blank, board, start, low) for start in starts if trim - _SLACK <= start <= last + _SLACK for low in lows
    )


def _clear(blank: Blank, board: Board, start: float, low: float) -> bool:
    end, high = start + blank.length, low + blank.width
    if high > min(board.width_at(start), board.width_at(end)) + _SLACK:
        return False
    return all(
        end <= defect.start + _SLACK
        or start >= defect.end - _SLACK
        or high <= defect.low + _SLACK
        or low >= defect.high - _SLACK
        for defect in board.defects
    )


def look_for(blank: Blank, shop: Shop) -> str:
    """The least board that would give one more."""
    length = say_length(blank.length + 2.0 * shop.allowances.end_trim.value)
    sawn = f"{blank.sawn} sawn " if blank.sawn else ""
    thickness = say_length(needed_thickness(blank))
    return (
        f"look for {sawn}{blank.species.replace('_', ' ')} at least {length} long, {say_length(blank.width)} wide "
        f"clear of defects, and {thickness} thick as measured."
    )
