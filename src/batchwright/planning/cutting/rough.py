"""From a finished size to the rough blank it is made from: allowances, thickness, gluing up, ganging."""

from __future__ import annotations

import math
from dataclasses import dataclass

from batchwright.base.trace import Trace
from batchwright.model.piece import Part
from batchwright.model.shop import MM_IN, Shop
from batchwright.model.work import Block

PRACTICE = "common practice, no source"
SIXTEENTH = MM_IN / 16
"""Rough sizes are marked to the sixteenth: rounded up, so that list, board sketch and saw all say the same [mm]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rough:
    """How one part's blank is made: one rough piece, how many are glued up, how many are ganged."""

    block: Block
    pieces: int
    form: str
    gang: int
    quarters: str
    rough_thickness: float
    traces: tuple[tuple[str, Trace], ...]
    notes: tuple[str, ...]
    coverable: bool = True


def quarter_thickness(name: str) -> float:
    """Rough thickness of a quarter name, `8/4` = 50.8 [mm].

    >>> quarter_thickness("5/4")
    31.75
    """
    top, bottom = name.split("/")
    return int(top) / int(bottom) * MM_IN


def rounded_up(value: float, grid: float) -> float:
    """The next whole step of the grid [mm].

    >>> rounded_up(100.2, 1.0)
    101.0
    """
    return math.ceil(value / grid - 1e-6) * grid


def rough_of(part: Part, shop: Shop, grid: float = SIXTEENTH) -> Rough:
    """The rough blank of one part, by the shop's allowances, length and width rounded up to the grid."""
    width, width_trace = _rough_width(part, shop)
    layers, quarters, planed, thick_note = _layers(part, shop)
    staves, stave_width, stave_note = _staves(part, width, shop)
    length = rounded_up(part.length + shop.allowances.length.value, grid)
    gang, gang_note = _gang(length, shop)
    form = "laminated" if layers > 1 else "edge-glued" if staves > 1 else part.draft.blank or "one board"
    if layers > 1:
        stave_width += shop.allowances.width.value
    traces = (
        ("length", shop.allowances.length.trace),
        ("width", width_trace),
        ("thickness", shop.allowances.thickness.trace),
    )
    notes = tuple(note for note in (thick_note, stave_note, gang_note) if note)
    block = Block(length=length, width=rounded_up(stave_width, grid), thickness=planed)
    return Rough(
        block=block,
        pieces=staves * layers,
        form=form,
        gang=gang,
        quarters=quarters,
        rough_thickness=quarter_thickness(quarters),
        traces=traces,
        notes=notes,
        coverable=bool(shop.quarters),
    )


def _rough_width(part: Part, shop: Shop) -> tuple[float, Trace]:
    """A curved edge is sawn outside its line; a straight one is jointed and ripped."""
    if not part.curved:
        return part.width + shop.allowances.width.value, shop.allowances.width.trace
    line = shop.allowances.saw_line
    return part.width + 2.0 * line.value, line.trace


def _layers(part: Part, shop: Shop) -> tuple[int, str, float, str]:
    """Layers to laminate, the quarter each is sawn from, what one is planed to, and a note."""
    needed = part.thickness + shop.allowances.thickness.value
    sorted_quarters = sorted(shop.quarters, key=quarter_thickness)
    asked = 2 if part.draft.blank == "laminated" else 1
    for layers in range(asked, 9):
        planed = part.thickness / layers
        wanted = planed + shop.allowances.thickness.value
        fitting = [name for name in sorted_quarters if quarter_thickness(name) >= wanted - 1e-6]
        if fitting:
            note = "" if layers == 1 else f"laminated from {layers} layers"
            return layers, fitting[0], planed, note
    thickest = sorted_quarters[-1] if sorted_quarters else "16/4"
    return 1, thickest, part.thickness, f"no rough thickness of the shop gives {needed:.1f} mm"


def _staves(part: Part, width: float, shop: Shop) -> tuple[int, float, str]:
    """How many boards are glued edge to edge, and how wide each is ripped, jointing allowed for."""
    widest = shop.widest_board.value
    asked = 2 if part.draft.blank == "edge-glued" else 1
    if part.draft.blank == "one board" or (asked == 1 and width <= widest):
        return 1, width, ""
    joint = shop.allowances.width.value
    count = max(asked, math.ceil(part.width / max(widest - joint, joint)))
    return count, part.width / count + joint, f"edge-glued from {count} boards"


def _gang(length: float, shop: Shop) -> tuple[int, str]:
    """How many parts are milled end to end, where one alone is too short for the planer."""
    planer = shop.machine("planer")
    if planer is None or planer.least_length is None or length >= planer.least_length.value:
        return 1, ""
    saw = shop.machine("crosscut saw")
    kerf = saw.kerf.value if saw is not None and saw.kerf is not None else MM_IN / 8
    count = math.ceil((planer.least_length.value + kerf) / (length + kerf))
    return max(count, 2), f"too short to plane alone: mill {max(count, 2)} in one length, then crosscut"


def gang_length(rough: Rough, shop: Shop) -> float:
    """Length of the board section that is milled at once, snipe allowed for at both ends when ganged [mm]."""
    if rough.gang == 1:
        return rough.block.length
    saw = shop.machine("crosscut saw")
    kerf = saw.kerf.value if saw is not None and saw.kerf is not None else MM_IN / 8
    return rough.gang * (rough.block.length + kerf) - kerf + 2.0 * shop.allowances.snipe.value
