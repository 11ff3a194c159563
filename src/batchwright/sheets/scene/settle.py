"""Labels settled: each movable label takes the first place where it lies on no other text and on no wood."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from typing import TypeGuard

import numpy as np

from batchwright.geometry.frame import Array
from batchwright.sheets.scene.dimensioning import spread
from batchwright.sheets.scene.directions import along, angle_of, heading, unit2
from batchwright.sheets.scene.extent import chain_of
from batchwright.sheets.scene.metrics import text_box, text_width
from batchwright.sheets.scene.overlap import TOUCH, boxes_overlap, first_crossing, heavy_pieces, straight_pieces
from batchwright.sheets.scene.plain import dimension_line, plain_items
from batchwright.sheets.scene.primitives import (
    Angle,
    Dimension,
    Group,
    Item,
    Note,
    Plain,
    Polygon,
    Radius,
    Running,
    Text,
)
from batchwright.sheets.scene.scene import Scene, each_item
from batchwright.sheets.scene.strokes import HEAVY

_Movable = Dimension | Running | Angle | Radius | Note | Text
_ON_WOOD, _ON_TEXT, _ON_LINE, _LINE_THROUGH = 100.0, 100.0, 15.0, 15.0
_STEP = 0.5
_FIXED = -1
"""What each kind of clash costs, and each step away from the first place asked for."""


@dataclass(slots=True)
class _Table:
    """What lies on the drawing, by owner: boxes of texts and straight pieces of thin lines; and all wood."""

    wood: Array
    slack: float
    boxes: dict[int, list[Array]] = field(default_factory=dict)
    lines: dict[int, Array] = field(default_factory=dict)

    def rest(self, owner: int) -> _Rest:
        """Everything on the drawing but what one item draws."""
        boxes = [box for key, held in self.boxes.items() if key != owner for box in held]
        lines = [pieces for key, pieces in self.lines.items() if key != owner and len(pieces)]
        thin = np.concatenate(lines) if lines else np.zeros((0, 2, 2))
        spans = np.array([_span(box) for box in boxes]).reshape(-1, 4)
        return _Rest(wood=self.wood, thin=thin, boxes=boxes, spans=spans, slack=self.slack)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Rest:
    """What an item must keep clear of; `spans` are the upright boxes around `boxes`."""

    wood: Array
    thin: Array
    boxes: list[Array]
    spans: Array
    slack: float

    def cost(self, boxes: list[Array], lines: Array, limit: float) -> float:
        """How badly boxes and lines clash with the rest; counting stops once `limit` is passed."""
        total = 0.0
        for box in boxes:
            total += _ON_TEXT * sum(boxes_overlap(box, self.boxes[i], self.slack) for i in self.near(_span(box)))
            total += _ON_WOOD * (first_crossing(box, self.wood, self.slack) is not None)
            total += _ON_LINE * (first_crossing(box, self.thin, self.slack) is not None)
            if total >= limit:
                return total
        if not len(lines):
            return total
        crossed = (first_crossing(self.boxes[i], lines, self.slack) for i in self.near(_span(lines.reshape(-1, 2))))
        return total + _LINE_THROUGH * sum(hit is not None for hit in crossed)

    def near(self, span: Array) -> list[int]:
        """Which boxes can be met at all by what lies in an upright box."""
        if not self.boxes:
            return []
        apart = (self.spans[:, :2] > span[2:]) | (self.spans[:, 2:] < span[:2])
        return [int(i) for i in np.flatnonzero(~apart.any(axis=1))]


def _span(points: Array) -> Array:
    """Left, bottom, right, top of points, shape (4,)."""
    return np.concatenate([points.min(axis=0), points.max(axis=0)])


def _moves(item: Item) -> TypeGuard[_Movable]:
    return isinstance(item, Dimension | Running | Angle | Radius | Note) or (isinstance(item, Text) and item.loose)


def settle(scene: Scene, passes: int = 2) -> Scene:
    """The same scene with the labels of dimensions, angles, radii and notes moved out of each other's way.

    Texts move only where they are loose; everything else stays. The order of the items decides who moves first; the
    same scene settles the same way. What cannot be settled stays in its best place, and `overlaps` tells of it.
    """
    items = [_spread(item, scene.scale) for item in each_item(scene.items)]
    drawn = tuple(part for item in items for part in plain_items(item, scene.scale))
    table = _Table(wood=heavy_pieces(drawn, scene.scale), slack=TOUCH / scene.scale)
    table.boxes[_FIXED], table.lines[_FIXED] = _parts(_fixed(items), scene.scale)
    for turn in range(passes):
        for index, item in enumerate(items):
            if _moves(item):
                items[index] = _best(item, index, table, scene.scale, turn)
                table.boxes[index], table.lines[index] = _parts(items[index], scene.scale)
    return replace(scene, items=_rebuilt(scene.items, iter(items)))


def _fixed(items: list[Item]) -> Group:
    """All that no settling moves, as one."""
    return Group(name="", items=tuple(item for item in items if not _moves(item)))


def _rebuilt(items: tuple[Item, ...], settled: Iterator[Item]) -> tuple[Item, ...]:
    return tuple(
        replace(item, items=_rebuilt(item.items, settled)) if isinstance(item, Group) else next(settled)
        for item in items
    )


def _spread(item: Item, scale: float) -> Item:
    return spread(item, scale) if isinstance(item, Running) else item


def _best(item: _Movable, owner: int, table: _Table, scale: float, turn: int) -> Item:
    rest = table.rest(owner)
    if turn and rest.cost(*_parts(item, scale), math.inf) < _ON_LINE:
        return item
    best, least = item, math.inf
    for step, candidate in enumerate(_places(item, scale)):
        if step * _STEP >= least:
            break
        cost = step * _STEP + rest.cost(*_parts(candidate, scale), least - step * _STEP)
        if cost < least - 1e-9:
            best, least = candidate, cost
    return best


def _parts(item: Item, scale: float) -> tuple[list[Array], Array]:
    """The boxes of an item's texts and the straight pieces of its thin lines."""
    plain = plain_items(item, scale)
    boxes = [np.array(text_box(part, scale)) for part in plain if isinstance(part, Text) and part.text.strip()]
    return boxes, straight_pieces([chain for part in plain if _thin(part) for chain in chain_of(part, 0.2 / scale)])


def _thin(part: Plain) -> bool:
    return not isinstance(part, Text | Polygon) and part.stroke not in HEAVY


def _places(item: _Movable, scale: float) -> Iterator[_Movable]:
    """Where an item's label may go, the best first."""
    yield item
    match item:
        case Dimension():
            yield from _dimension_places(item, scale)
        case Running():
            for more in (8.0, 16.0, 24.0, 32.0):
                yield replace(item, offset=item.offset + math.copysign(more, item.offset))
        case Angle():
            yield from _angle_places(item)
        case Radius():
            yield from _radius_places(item)
        case Note():
            yield from _note_places(item)
        case Text():
            yield from _text_places(item, scale)


def _dimension_places(item: Dimension, scale: float) -> Iterator[Dimension]:
    _, _, p, q = dimension_line(item, scale)
    gap, width = math.dist(p, q) * scale, text_width(item.label, item.size, item.weight)
    inside = gap / 2.0 - width / 2.0 - 1.0
    beyond = gap / 2.0 + width / 2.0 + 2.0
    shifts = [part * inside for part in (0.5, -0.5, 1.0, -1.0)] if inside > 1.0 else []
    shifts += [beyond, -beyond]
    for more in (0.0, 8.0, 16.0, 24.0):
        moved = replace(item, offset=item.offset + math.copysign(more, item.offset))
        if more:
            yield moved
        for shift in shifts:
            yield replace(moved, shift=shift)
    for lift in (6.0, 12.0, -10.0, -16.0):
        for shift in (beyond, -beyond, 0.0):
            yield replace(item, shift=shift, lift=lift)


def _angle_places(item: Angle) -> Iterator[Angle]:
    sweep = (angle_of(item.second) - angle_of(item.first)) % (2.0 * math.pi)
    for times in (1.0, 1.4, 1.8, 2.4, 3.2, 0.7):
        for turned in (0.0, -sweep / 2.0 - 0.5, sweep / 2.0 + 0.5):
            yield replace(item, radius=item.radius * times, turned=turned)


def _radius_places(item: Radius) -> Iterator[Radius]:
    way = unit2(item.direction)
    base = math.atan2(way[1], way[0])
    for turned in (0.0, 0.35, -0.35, 0.7, -0.7, math.pi, math.pi + 0.35, math.pi - 0.35):
        for times in (1.0, 1.6, 2.4, 3.5):
            yield replace(item, direction=heading(base + turned), reach=item.reach * times)


def _note_places(item: Note) -> Iterator[Note]:
    for times in (1.0, 1.6, 2.4, 3.4):
        for flip in ((1.0, 1.0), (1.0, -1.0), (-1.0, 1.0), (-1.0, -1.0)):
            for lean in (1.0, 0.4, 1.8):
                yield replace(item, dx=item.dx * flip[0] * times, dy=item.dy * flip[1] * times * lean)


def _text_places(item: Text, scale: float) -> Iterator[Text]:
    """Round the place asked for, in rings that widen by a line of text."""
    for ring in range(1, 9):
        reach = ring * item.size * 1.2 / scale
        for turn in range(8):
            way = heading(math.pi / 2.0 + turn * math.pi / 4.0)
            yield replace(item, at=along(item.at, way, reach))
