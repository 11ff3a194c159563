"""Where everything is marked on the parts, as grids for a spreadsheet: all from the reference end, edge and side."""

from __future__ import annotations

from collections.abc import Sequence

from batchwright.model.piece import Part
from batchwright.sheets.scene.grid import Cell
from batchwright.sheets.views.fixings import fixing_spots
from batchwright.sheets.views.grids import NAMED, Col, Is, Listed, part_name
from batchwright.sheets.views.mouths import FACE_AXIS, mouth_of
from batchwright.sheets.views.naming import Lettered, face_words, lettered
from batchwright.sheets.views.packet import Contents

COLUMNS = (
    *NAMED,
    Col("Letter", wide=7),
    Col("What", wide=34),
    Col("Cut in", wide=24),
    *(Col(title, Is.LENGTH) for title in ("From reference end", "To")),
    Col("Across from", wide=11),
    *(Col(title, Is.LENGTH) for title in ("Across, first", "Across, last", "Deep", "Deep in the blank")),
    Col("Turned", Is.ANGLE),
)


def setout_grid(contents: Contents, parts: Sequence[Part]) -> Listed:
    """Every mortise, hole, housing and tenon of those parts: finished part, first and last mark."""
    rows = [
        (*part_name(contents, part), *_row(one, part))
        for part in parts
        for one in lettered(part, contents.made.piece)
    ]
    note = "Marks on the finished part; a turned mortise by both ends of its middle; letters as on the part's sheet."
    return Listed("Setting out", "setting out", COLUMNS, tuple(rows), note)


def _row(one: Lettered, part: Part) -> tuple[Cell, ...]:
    mouth = mouth_of(one.feature, part)
    names = (one.letter, one.words, face_words(one.feature.face))
    if mouth is None:
        low, high = one.feature.box
        axis = 2 if FACE_AXIS.get(one.feature.face) == 1 else 1
        across = ("face side" if axis == 2 else "face edge", low[axis], high[axis])
        return (*names, low[0], high[0], *across, one.feature.depth, None, None)
    axis = 3 - FACE_AXIS[one.feature.face]
    told = mouth.told
    if mouth.bored:
        first = last = told.middle
    elif mouth.turned:
        first, last = told.ends
    else:
        first, last = told.low, told.high
    across = ("face side" if axis == 2 else "face edge", first[axis], last[axis])
    deep = (mouth.below if mouth.sunk else mouth.depth, mouth.depth if mouth.sunk else None)
    return (*names, first[0], last[0], *across, *deep, mouth.turn if mouth.turned else None)


def fixing_grid(contents: Contents, parts: Sequence[Part]) -> Listed:
    """Every screw, button and slip: where it enters its part."""
    columns = (
        *NAMED,
        Col("Fixing", wide=24),
        Col("Into", wide=20),
        Col("Enters at", wide=24),
        *(Col(title, Is.LENGTH) for title in ("From reference end", "From face edge", "From face side")),
    )
    rows = [
        (
            *part_name(contents, part),
            f"{spot.fixing.kind.value} {spot.fixing.size}".strip(),
            spot.fixing.into,
            face_words(spot.face),
            *spot.at,
        )
        for part in parts
        for spot in fixing_spots(part, contents.made.piece)
    ]
    return Listed("Fixings", "screws, buttons and slips", columns, tuple(rows))
