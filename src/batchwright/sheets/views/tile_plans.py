"""How the tiles of all full-size outlines lie together: one sheet for all of them, before the tiles."""

from __future__ import annotations

from batchwright.sheets.scene.sheet import Beside, Block, Drawing, FullSize, Sheet, TickList, page_size
from batchwright.sheets.scene.tile_page import key_plan
from batchwright.sheets.scene.tiling import lay_tiles, without_bars

ROOM = (84.0, 36.0)
"""Paper room of one plan: two stand side by side on the narrowest sheet [mm]."""


def plan_blocks(sheets: list[Sheet]) -> tuple[Block, ...]:
    """A small plan for each outline that takes more than one tile, two in a row; none where no outline does."""
    plans = [(sheet, block) for sheet in sheets for block in sheet.blocks if isinstance(block, FullSize)]
    drawn = [plan for sheet, block in plans for plan in _plan(sheet, block)]
    if not drawn:
        return ()
    overlap = plans[0][1].overlap
    steps = (
        "Print at actual size, never “fit to page”.",
        "Lay a rule on both check bars of every page: 100\u00a0mm and 4\u00a0in.",
        f"Trim along the dotted edge on one side of each join; neighbours overlap by {overlap:g}\u00a0mm.",
        "Bring the crosses over each other and glue or tape.",
    )
    rows = [
        Beside(left=drawn[at], right=drawn[at + 1] if at + 1 < len(drawn) else ()) for at in range(0, len(drawn), 2)
    ]
    return (TickList(items=steps), *rows)


def _plan(sheet: Sheet, block: FullSize) -> list[tuple[Block, ...]]:
    scene = without_bars(block.scene)
    tiling = lay_tiles(scene, page_size(sheet), block.overlap)
    count = len(tiling.printed)
    if count < 2:
        return []
    empty = [tile.name for tile in tiling.tiles if tile.empty]
    left_out = f" ({', '.join(empty)} empty, not printed)" if empty else ""
    words = f"{scene.name}: {count} tiles{left_out}"
    alt = f"how the {count} tiles of {scene.name} lie"
    return [(Drawing(scene=key_plan(scene, tiling, ROOM), caption=words, alt=alt),)]
