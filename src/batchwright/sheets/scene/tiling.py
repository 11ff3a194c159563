"""Full-size drawings over several pages: which tiles, where they overlap, and the crosses that bring them together."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from batchwright.geometry.frame import Array, Vec2
from batchwright.sheets.scene.extent import Box, box_of, chain_of, joined_box
from batchwright.sheets.scene.metrics import text_box
from batchwright.sheets.scene.overlap import first_crossing, straight_pieces
from batchwright.sheets.scene.plain import draw_out
from batchwright.sheets.scene.primitives import CheckBar, Group, Item, Plain, Text
from batchwright.sheets.scene.scene import Scene
from batchwright.sheets.scene.sheet import BOTTOM, TOP, Orientation, Paper

PAD = 4.0
"""Clear paper around the drawing [mm]."""
BAND_LEFT = 20.0
BAND_RIGHT = 12.0
BAND_BOTTOM = BOTTOM + 13.0
BAND_TOP = TOP + 5.0
"""What lies around the window of a tile: check bars, tile name, joins, header and footer [mm]."""
LONGEST_PAGE = 5080.0
"""The longest side of a page in the paper format, 14 400 points [mm]. Source: ISO 32000-1, annex C."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tile:
    """One page of a full-size drawing: its name, place in the grid, and the part of the scene it shows [true mm]."""

    name: str
    row: int
    column: int
    window: Box
    empty: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Tiling:
    """All tiles of a grid, row by row from the top left, the empty ones too; `crosses` are register crosses."""

    tiles: tuple[Tile, ...]
    rows: int
    columns: int
    crosses: tuple[Vec2, ...]
    overlap: float

    @property
    def printed(self) -> tuple[Tile, ...]:
        """The tiles with something on them."""
        return tuple(tile for tile in self.tiles if not tile.empty)


def without_bars(scene: Scene) -> Scene:
    """The scene without check bars of its own: a full-size page has them round its window."""

    def kept(items: tuple[Item, ...]) -> tuple[Item, ...]:
        rest = (item for item in items if not isinstance(item, CheckBar))
        return tuple(replace(item, items=kept(item.items)) if isinstance(item, Group) else item for item in rest)

    return replace(scene, items=kept(scene.items))


def window_size(page: tuple[float, float]) -> tuple[float, float]:
    """Width and height that a page leaves for the drawing itself [mm]."""
    return (page[0] - BAND_LEFT - BAND_RIGHT, page[1] - BAND_TOP - BAND_BOTTOM)


def roll_page(scene: Scene) -> tuple[float, float]:
    """The page that holds a full-size scene in one piece [mm]."""
    left, bottom, right, top = full_bounds(scene)
    width = max(210.0, right - left + BAND_LEFT + BAND_RIGHT)
    height = max(210.0, top - bottom + BAND_TOP + BAND_BOTTOM)
    if max(width, height) > LONGEST_PAGE:
        raise ValueError(
            f"{scene.name!r} needs a page of {max(width, height):.0f} mm; {LONGEST_PAGE:.0f} mm is the most"
        )
    return (width, height)


def full_bounds(scene: Scene) -> Box:
    """Bounds of a full-size scene and the clear paper around it [true mm]."""
    if scene.scale != 1.0:
        raise ValueError(f"{scene.name!r} is drawn at scale {scene.scale}, a full-size sheet needs 1")
    left, bottom, right, top = joined_box([box_of(plain, 1.0) for plain in draw_out(scene)])
    return (left - PAD, bottom - PAD, right + PAD, top + PAD)


def lay_tiles(scene: Scene, page: tuple[float, float], overlap: float = 15.0) -> Tiling:
    """The tiles that cover a full-size scene on pages of one size.

    Where the grid has room to spare it is moved so that fewest tiles have anything on them, the drawing in the
    middle if that is as good.
    """
    window = window_size(page)
    if overlap < 5.0 or overlap * 3.0 > min(window):
        raise ValueError(f"an overlap of {overlap} mm does not suit a window of {window[0]:.0f} x {window[1]:.0f} mm")
    box = full_bounds(scene)
    pieces = _all_pieces(draw_out(scene))
    across = _steps((box[0], box[2]), window[0], overlap)
    up = _steps((box[1], box[3]), window[1], overlap)
    grids = [_grid(lefts, bottoms, window, pieces) for lefts in across for bottoms in up]
    tiles = min(grids, key=lambda grid: sum(not tile.empty for tile in grid))
    lefts = sorted({tile.window[0] for tile in tiles})
    bottoms = sorted({tile.window[1] for tile in tiles})
    crosses = _crosses(lefts, bottoms, window, overlap)
    return Tiling(tiles=tiles, rows=len(bottoms), columns=len(lefts), crosses=crosses, overlap=overlap)


def _grid(lefts: list[float], bottoms: list[float], window: tuple[float, float], pieces: Array) -> tuple[Tile, ...]:
    tiles = []
    for row, low in enumerate(reversed(bottoms)):
        for column, left in enumerate(lefts):
            view = (left, low, left + window[0], low + window[1])
            empty = first_crossing(_corners(view), pieces, 0.0) is None
            tiles.append(Tile(name=f"{_letters(row)}{column + 1}", row=row, column=column, window=view, empty=empty))
    return tuple(tiles)


def best_orientation(scene: Scene, paper: Paper, overlap: float = 15.0) -> Orientation:
    """The way to lay the paper that takes fewer tiles; upright when equal."""
    scene = without_bars(scene)
    upright = len(lay_tiles(scene, (paper.width, paper.height), overlap).printed)
    across = len(lay_tiles(scene, (paper.height, paper.width), overlap).printed)
    return Orientation.ACROSS if across < upright else Orientation.UPRIGHT


def _steps(stretch: tuple[float, float], window: float, overlap: float) -> list[list[float]]:
    """Where the windows that cover a stretch begin, for the spare room shared out, all after, all before."""
    low, high = stretch
    count = max(1, math.ceil((high - low - overlap) / (window - overlap) - 1e-9))
    spare = count * (window - overlap) + overlap - (high - low)
    parts = (0.5, 0.0, 1.0, 0.25, 0.75) if count > 1 else (0.5,)
    return [[low - part * spare + index * (window - overlap) for index in range(count)] for part in parts]


def _letters(row: int) -> str:
    return chr(ord("A") + row) if row < 26 else _letters(row // 26 - 1) + chr(ord("A") + row % 26)


def _corners(box: Box) -> Array:
    left, bottom, right, top = box
    return np.array([(left, bottom), (right, bottom), (right, top), (left, top)])


def _all_pieces(plain: tuple[Plain, ...]) -> Array:
    """Straight pieces of everything printed, texts by their boxes, shape (n, 2, 2)."""
    chains: list[tuple[Vec2, ...]] = []
    for item in plain:
        if isinstance(item, Text):
            corners = text_box(item, 1.0)
            chains.append((*corners, corners[0]))
        else:
            chains += chain_of(item, 0.1)
    return straight_pieces(chains)


def _crosses(lefts: list[float], bottoms: list[float], window: tuple[float, float], overlap: float) -> tuple[Vec2, ...]:
    """A cross in the middle of each overlap where four tiles meet, and two along each side that two tiles share."""
    us = [left + overlap / 2.0 for left in lefts[1:]]
    vs = [bottom + overlap / 2.0 for bottom in bottoms[1:]]
    found = [(u, v) for u in us for v in vs]
    for part in (0.25, 0.75):
        found += [(u, bottom + part * window[1]) for u in us for bottom in bottoms]
        found += [(left + part * window[0], v) for v in vs for left in lefts]
    return tuple(sorted(found))
