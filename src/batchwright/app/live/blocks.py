"""What stands on a sheet, as plain values: for a screen reader, and for reading without pictures."""

from __future__ import annotations

from urllib.parse import quote

from batchwright.sheets.render.svg import render_svg
from batchwright.sheets.scene.scene import Scene
from batchwright.sheets.scene.sheet import (
    Beside,
    Blanks,
    Block,
    Caution,
    Drawing,
    FullSize,
    Heading,
    KeyNumber,
    KeyNumbers,
    PageBreak,
    Paragraph,
    Sheet,
    Table,
    TickList,
)

Plain = dict[str, object]


def blocks_as_plain(sheet: Sheet, revision: int) -> list[Plain]:
    """Every block of a sheet in order; drawings by number, with the address of each as a picture."""
    return _Told(sheet.key, revision).blocks(sheet.blocks)


def drawing_of(sheet: Sheet, number: int) -> str | None:
    """One drawing of a sheet as SVG, counted from 1 in the order of its blocks; None where there is none."""
    scenes = _scenes(sheet.blocks)
    return render_svg(scenes[number - 1]) if 1 <= number <= len(scenes) else None


def _scenes(blocks: tuple[Block, ...]) -> list[Scene]:
    found: list[Scene] = []
    for block in blocks:
        if isinstance(block, Drawing | FullSize):
            found.append(block.scene)
        elif isinstance(block, Beside):
            found += [*_scenes(block.left), *_scenes(block.right)]
    return found


class _Told:
    def __init__(self, key: str, revision: int) -> None:
        self._key = key
        self._revision = revision
        self._drawings = 0

    def blocks(self, blocks: tuple[Block, ...]) -> list[Plain]:
        return [self.block(block) for block in blocks if not isinstance(block, PageBreak)]

    def block(self, block: Block) -> Plain:
        match block:
            case Heading(text=text):
                return {"kind": "heading", "text": text}
            case Paragraph(text=text):
                return {"kind": "paragraph", "text": text}
            case Caution(text=text):
                return {"kind": "caution", "text": text}
            case KeyNumber():
                return {"kind": "key-numbers", "numbers": [_number(block)]}
            case KeyNumbers(numbers=numbers):
                return {"kind": "key-numbers", "numbers": [_number(one) for one in numbers]}
            case TickList(items=items, numbered=numbered):
                return {"kind": "ticks", "items": list(items), "numbered": numbered}
            case Blanks(labels=labels):
                return {"kind": "blanks", "labels": list(labels)}
            case Table():
                return _table(block)
            case Beside(left=left, right=right):
                columns = [{"blocks": self.blocks(left)}, {"blocks": self.blocks(right)}]
                return {"kind": "columns", "columns": columns}
            case Drawing(scene=scene, caption=caption, alt=alt):
                return self.drawing(scene.name, caption, alt or scene.about)
            case FullSize(scene=scene, note=note):
                return self.drawing(scene.name, note, scene.about)
            case PageBreak():
                return {"kind": "paragraph", "text": ""}

    def drawing(self, name: str, caption: str, alt: str) -> Plain:
        self._drawings += 1
        address = f"/api/drawing?key={quote(self._key, safe='')}&number={self._drawings}&revision={self._revision}"
        return {"kind": "drawing", "title": caption or name, "alt": alt, "svg": address}


def _number(one: KeyNumber) -> Plain:
    return {"label": one.label, "value": one.value, "note": one.note}


def _table(table: Table) -> Plain:
    columns = [{"title": one.title, "number": one.number, "ticks": one.ticks} for one in table.columns]
    groups = dict(table.groups)
    rows: list[object] = []
    for index, row in enumerate(table.rows):
        if index in groups:
            rows.append({"group": groups[index]})
        rows.append(list(row))
    return {"kind": "table", "columns": columns, "rows": rows, "caption": table.caption}
