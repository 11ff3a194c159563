"""Why a blank could not be laid, in words."""

from __future__ import annotations

from batchwright.model.shop import Shop
from batchwright.model.stock import Blank, Board
from batchwright.planning.lumber.problem import thick_enough


def why_short(blank: Blank, boards: tuple[Board, ...], shop: Shop) -> str:
    """The first reason that holds for a blank that no board gave."""
    same = [board for board in boards if board.species == blank.species]
    if not same:
        return f"no board is of {blank.species.replace('_', ' ')}"
    sawn = [board for board in same if not blank.sawn or board.sawn == blank.sawn]
    if not sawn:
        return f"no board is {blank.sawn} sawn"
    thick = [board for board in sawn if thick_enough(blank, board)]
    if not thick:
        return "no board is thick enough"
    trim = 2.0 * shop.allowances.end_trim.value
    if not [board for board in thick if board.length - trim >= blank.length]:
        return "longer than any board less its trimmed ends"
    if not [board for board in thick if max(board.width, board.far_width) >= blank.width]:
        return "wider than any board"
    return "the boards ran out"
