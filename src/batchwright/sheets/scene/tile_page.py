"""What is printed around the window of a full-size page, and the key plan that shows how the tiles lie."""

from __future__ import annotations

import math
from dataclasses import replace

from batchwright.geometry.frame import Vec2
from batchwright.sheets.scene.extent import Box, box_of
from batchwright.sheets.scene.plain import draw_out
from batchwright.sheets.scene.primitives import (
    BODY,
    KEY,
    SMALL,
    CheckBar,
    Item,
    Level,
    Mark,
    MarkKind,
    Plain,
    Polygon,
    Side,
    Straight,
    Text,
    Weight,
)
from batchwright.sheets.scene.scene import Scene
from batchwright.sheets.scene.strokes import Fill, Stroke
from batchwright.sheets.scene.tiling import BAND_BOTTOM, BAND_LEFT, BAND_RIGHT, BAND_TOP, Tile, Tiling

CROSS = 9.0
"""Size of a register cross [mm]."""
BESIDE_BAR = 130.0
"""Where along an edge the words beyond the check bar stand [mm]."""


def window_scene(scene: Scene, drawn: tuple[Plain, ...], window: Box, crosses: tuple[Vec2, ...]) -> Scene:
    """What a window shows: the part of the drawing inside it, and the register crosses."""
    inside = [item for item in drawn if _meets(box_of(item, 1.0), window)]
    marks = [Mark(kind=MarkKind.REGISTER, at=at, size=CROSS) for at in crosses if _meets((*at, *at), window)]
    return Scene(items=(*inside, *marks), name=scene.name, about=scene.about)


def _meets(box: Box, window: Box) -> bool:
    slack = 1.0
    return (
        box[0] < window[2] + slack
        and box[2] > window[0] - slack
        and box[1] < window[3] + slack
        and box[3] > window[1] - slack
    )


def frame_scene(page: tuple[float, float], note: str, tile: Tile | None, tiling: Tiling | None) -> Scene:
    """The bands of a full-size page, in page millimetres from its lower left corner: bars, name, joins, edge."""
    width, height = page
    left, bottom, right, top = BAND_LEFT, BAND_BOTTOM, width - BAND_RIGHT, height - BAND_TOP
    bar = bottom - 6.0
    items: list[Item] = [CheckBar(at=(left, bar)), CheckBar(at=(left - 6.0, bottom), angle=math.pi / 2.0)]
    if tile is not None and tiling is not None:
        corners = ((left, bottom), (right, bottom), (right, top), (left, top))
        items.append(Polygon(rings=(corners,), stroke=Stroke.TRIM))
        at = (right, bar)
        items.append(Text(at=at, text=tile.name, size=KEY * 1.5, side=Side.END, level=Level.MIDDLE, weight=Weight.BOLD))
        items += _joins(tile, tiling, (left, bottom, right, top))
    if note:
        items.append(Text(at=(left, top + 1.2), text=note, size=SMALL))
    return Scene(items=tuple(items), name="check bars", about="100 mm and 4 in, both ways")


def _joins(tile: Tile, tiling: Tiling, box: Box) -> list[Item]:
    """The names of the neighbours, outside the edge they join at."""
    left, bottom, right, top = box
    middle = ((left + right) / 2.0, (bottom + top) / 2.0)
    names = {(other.row, other.column): other.name for other in tiling.printed}
    out: list[Item] = []
    places = (
        ((0, 1), (right + 1.5, middle[1]), math.pi / 2.0, Level.TOP),
        ((0, -1), (left - 1.2, bottom + BESIDE_BAR), math.pi / 2.0, Level.BASE),
        ((-1, 0), (middle[0], top + 1.2), 0.0, Level.BASE),
        ((1, 0), (left + BESIDE_BAR, bottom - 1.2), 0.0, Level.TOP),
    )
    for (down, across), at, angle, level in places:
        name = names.get((tile.row + down, tile.column + across))
        if name:
            text = f"joins {name}"
            out.append(Text(at=at, text=text, size=SMALL, angle=angle, side=Side.MIDDLE, level=level))
    return out


def key_plan(scene: Scene, tiling: Tiling, space: tuple[float, float]) -> Scene:
    """How the tiles lie: the drawing small, every tile's edge and name, the empty ones crossed out."""
    windows = [tile.window for tile in tiling.tiles]
    left, right = min(w[0] for w in windows), max(w[2] for w in windows)
    bottom, top = min(w[1] for w in windows), max(w[3] for w in windows)
    scale = min(1.0, space[0] / (right - left), space[1] / (top - bottom))
    items: list[Item] = []
    for item in draw_out(scene):
        if not isinstance(item, Text) and not (isinstance(item, Polygon) and item.fill is not Fill.NONE):
            items.append(replace(item, stroke=Stroke.FAINT))
    for tile in tiling.tiles:
        items += _plan_of(tile, tiling.overlap, scale)
    return Scene(items=tuple(items), name="key plan", scale=scale, about="how the tiles lie together")


def _plan_of(tile: Tile, overlap: float, scale: float) -> list[Item]:
    left, bottom, right, top = tile.window
    corners = ((left, bottom), (right, bottom), (right, top), (left, top))
    stroke = Stroke.TRIM if tile.empty else Stroke.DIMENSION
    out: list[Item] = [Polygon(rings=(corners,), stroke=stroke)]
    if tile.empty:
        out.append(Straight(start=corners[0], end=corners[2], stroke=Stroke.TRIM))
        return out
    at = (left + overlap + 1.0 / scale, top - overlap - 1.0 / scale)
    out.append(Text(at=at, text=tile.name, size=BODY, level=Level.TOP, weight=Weight.BOLD, halo=True))
    return out
