"""A packet as plain data and pictures, ready for the typesetter. Words stay data; no word becomes markup."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace

from batchwright.sheets.render.columns import column_widths
from batchwright.sheets.render.svg import render_svg
from batchwright.sheets.scene.extent import drawn_bounds
from batchwright.sheets.scene.metrics import missing_letters, mistakable, printable, text_width, unbroken
from batchwright.sheets.scene.plain import draw_out
from batchwright.sheets.scene.primitives import Plain as Drawn
from batchwright.sheets.scene.primitives import Text, Weight
from batchwright.sheets.scene.scene import Scene
from batchwright.sheets.scene.sheet import (
    BOTTOM,
    SIDE,
    TOP,
    Beside,
    Blanks,
    Block,
    Caution,
    Drawing,
    FullSize,
    Heading,
    KeyNumber,
    KeyNumbers,
    Packet,
    PageBreak,
    Paragraph,
    Sheet,
    Table,
    TickList,
    page_size,
    room,
)
from batchwright.sheets.scene.tile_page import frame_scene, key_plan, window_scene
from batchwright.sheets.scene.tiling import (
    BAND_LEFT,
    BAND_TOP,
    Tile,
    Tiling,
    full_bounds,
    lay_tiles,
    roll_page,
    window_size,
    without_bars,
)

DRAWING_MARGIN = 1.0
"""Clear paper kept round a drawing, so that half a stroke is never cut [mm]."""
SLACK = 0.01
POINT = 25.4 / 72.0
GUTTER = 6.0
TITLE, LEAST_TITLE = 18.0, 11.0
"""Size of a sheet's title, and the least it shrinks to when it is long [pt]."""

Plain = dict[str, object]


@dataclass(slots=True)
class Typesetting:
    """What is handed to the typesetter, gathered: pictures by name, and the letters that cannot be printed."""

    pictures: dict[str, str] = field(default_factory=dict)
    missing: dict[str, str] = field(default_factory=dict)
    sheet: str = ""

    def words(self, text: str) -> str:
        """The text as it can be printed; what cannot is remembered with the sheet it stands on."""
        for letter in missing_letters(text):
            self.missing.setdefault(letter, self.sheet)
        return "\n".join(printable(unbroken(line)) for line in text.split("\n"))

    def picture(self, svg: str) -> str:
        """The name under which a picture is handed over; equal pictures are handed over once."""
        name = f"drawing-{len(self.pictures)}.svg"
        return self.pictures.setdefault(svg, name)

    def drawn(self, scene: Scene) -> tuple[Drawn, ...]:
        """The scene drawn out; its letters that cannot be printed are remembered."""
        drawn = draw_out(scene)
        for item in drawn:
            if isinstance(item, Text):
                self.words(item.text)
        return drawn


def packet_data(packet: Packet, setting: Typesetting) -> Plain:
    """The packet as plain values; pictures and missing letters go into `setting`."""
    return {
        "title": setting.words(packet.title),
        "side": SIDE,
        "top": TOP,
        "bottom": BOTTOM,
        "sheets": [_sheet(sheet, setting) for sheet in packet.sheets],
    }


def _sheet(sheet: Sheet, setting: Typesetting) -> Plain:
    setting.sheet = sheet.key
    said = ("key", "title", "job", "revision", "date", "units", "hand")
    out: Plain = {name: setting.words(getattr(sheet, name)) for name in said}
    full = any(isinstance(block, FullSize) for block in sheet.blocks)
    parts = [part for block in sheet.blocks for part in _block(block, sheet, setting, room(sheet))]
    wide = text_width(sheet.title, POINT, Weight.BOLD)
    points = max(LEAST_TITLE, min(TITLE, (page_size(sheet)[0] - 2.0 * SIDE - 40.0) / max(wide, 1.0)))
    return {**out, "points": points, "page": page_size(sheet), "exact": sheet.exact or full, "parts": parts}


def _block(block: Block, sheet: Sheet, setting: Typesetting, space: tuple[float, float]) -> Iterator[Plain]:
    match block:
        case Drawing():
            yield _drawing(block, sheet, setting, space)
        case Beside():
            yield _beside(block, sheet, setting, space)
        case FullSize():
            yield from _full_size(block, sheet, setting)
        case _:
            yield _simple(block, setting, space[0])


def _simple(block: Block, setting: Typesetting, wide: float = 0.0) -> Plain:
    say = setting.words
    match block:
        case Heading(text=text):
            return {"kind": "heading", "text": say(text)}
        case Paragraph(text=text, small=small):
            return {"kind": "paragraph", "text": say(text), "small": small}
        case Caution(text=text):
            return {"kind": "caution", "text": say(text)}
        case KeyNumber():
            return _numbers((block,), say, wide)
        case KeyNumbers(numbers=numbers):
            return _numbers(numbers, say, wide)
        case TickList(items=items, numbered=numbered):
            return {"kind": "ticks", "items": [say(item) for item in items], "numbered": numbered}
        case Blanks(labels=labels):
            return {"kind": "blanks", "labels": [say(label) for label in labels]}
        case Table():
            return _table(block, say, wide)
        case _:
            return {"kind": "page-break"}


def _numbers(numbers: tuple[KeyNumber, ...], say: Callable[[str], str], wide: float) -> Plain:
    """Key numbers side by side, as many in a row as their figures leave room for."""
    widest = max((text_width(n.value, n.points * POINT, Weight.BOLD) for n in numbers), default=1.0)
    across = max(1, min(len(numbers), int((wide + GUTTER) / (widest + GUTTER))))
    return {"kind": "key-numbers", "across": across, "numbers": [_number(number, say) for number in numbers]}


def _number(number: KeyNumber, say: Callable[[str], str]) -> Plain:
    value = {"text": say(number.value), "bar": mistakable(number.value)}
    return {"label": say(number.label), "value": value, "note": say(number.note), "points": number.points}


def _table(table: Table, say: Callable[[str], str], wide: float) -> Plain:
    table = replace(table, rows=tuple(tuple(unbroken(cell) for cell in row) for row in table.rows))
    columns = [
        {"title": say(c.title), "width": width, "number": c.number, "key": c.key, "ticks": c.ticks}
        for c, width in zip(table.columns, column_widths(table, wide), strict=True)
    ]
    heads = dict(table.groups)
    rows: list[Plain] = []
    for index, row in enumerate(table.rows):
        if index in heads:
            rows.append({"group": say(heads[index])})
        rows.append({"group": None, "cells": [say(cell) for cell in row]})
    return {"kind": "table", "columns": columns, "rows": rows, "caption": say(table.caption)}


def _drawing(block: Drawing, sheet: Sheet, setting: Typesetting, space: tuple[float, float]) -> Plain:
    scene = block.scene
    pad = DRAWING_MARGIN / scene.scale
    left, bottom, right, top = drawn_bounds(setting.drawn(scene), scene.scale)
    window = (left - pad, bottom - pad, right + pad, top + pad)
    width, height = ((window[axis + 2] - window[axis]) * scene.scale for axis in (0, 1))
    if width > space[0] + SLACK or height > space[1] + SLACK:
        raise ValueError(
            f"sheet {sheet.key!r}: drawing {scene.name!r} takes {width:.1f} x {height:.1f} mm on paper, "
            f"there is room for {space[0]:.1f} x {space[1]:.1f} mm"
        )
    return {
        "kind": "drawing",
        "file": setting.picture(render_svg(scene, window=window)),
        "width": width,
        "caption": setting.words(block.caption),
        "alt": setting.words(block.alt or scene.about or scene.name),
    }


def _beside(block: Beside, sheet: Sheet, setting: Typesetting, space: tuple[float, float]) -> Plain:
    wide = space[0] - GUTTER
    halves = ((block.left, wide * block.share), (block.right, wide * (1.0 - block.share)))
    left, right = (
        [part for inner in blocks for part in _block(inner, sheet, setting, (width, space[1]))]
        for blocks, width in halves
    )
    return {"kind": "beside", "left": left, "right": right, "share": block.share}


def _full_size(block: FullSize, sheet: Sheet, setting: Typesetting) -> Iterator[Plain]:
    block = replace(block, scene=without_bars(block.scene))
    drawn = setting.drawn(block.scene)
    if block.roll:
        page = roll_page(block.scene)
        left, bottom, _, _ = full_bounds(block.scene)
        size = window_size(page)
        window = (left, bottom, left + size[0], bottom + size[1])
        whole = Tile(name="", row=0, column=0, window=window, empty=False)
        scene = window_scene(block.scene, drawn, window, ())
        yield _page(block, setting, page, scene, (whole, None))
        return
    page = page_size(sheet)
    tiling = lay_tiles(block.scene, page, block.overlap)
    if block.plan and len(tiling.printed) > 1:
        yield from _key_page(block, sheet, setting, tiling)
    for tile in tiling.printed:
        scene = window_scene(block.scene, drawn, tile.window, tiling.crosses)
        yield _page(block, setting, page, scene, (tile, tiling))


def _page(
    block: FullSize,
    setting: Typesetting,
    page: tuple[float, float],
    scene: Scene,
    place: tuple[Tile, Tiling | None],
) -> Plain:
    tile, tiling = place
    frame = frame_scene(page, setting.words(block.note), tile if tiling else None, tiling)
    name = f"{block.scene.name}, tile {tile.name}" if tile.name else block.scene.name
    return {
        "kind": "full",
        "page": page,
        "at": (BAND_LEFT, BAND_TOP),
        "width": tile.window[2] - tile.window[0],
        "file": setting.picture(render_svg(scene, window=tile.window)),
        "frame": setting.picture(render_svg(frame, window=(0.0, 0.0, *page))),
        "alt": setting.words(name),
        "bars": "check bars of 100 mm and 4 in, both ways",
    }


def _key_page(block: FullSize, sheet: Sheet, setting: Typesetting, tiling: Tiling) -> Iterator[Plain]:
    """The page before the tiles: how they lie, and how to bring them together."""
    space = room(sheet)
    plan = key_plan(block.scene, tiling, (space[0] - 2.0 * DRAWING_MARGIN, space[1] - 75.0))
    yield from _block(Drawing(scene=plan, alt=f"key plan of {len(tiling.printed)} tiles"), sheet, setting, space)
    empty = [tile.name for tile in tiling.tiles if tile.empty]
    left_out = f" Nothing is on {', '.join(empty)}: not printed." if empty else ""
    steps = (
        "Print at actual size, never “fit to page”.",
        "Lay a rule on both check bars of every page: 100\u00a0mm and 4\u00a0in.",
        f"Trim along the dotted edge on one side of each join; neighbours overlap by {tiling.overlap:g}\u00a0mm.",
        "Bring the crosses over each other and glue or tape.",
    )
    count = len(tiling.printed)
    yield _simple(Paragraph(text=f"{count} tiles.{left_out}"), setting)
    yield _simple(TickList(items=steps), setting)
    yield _simple(PageBreak(), setting)
