"""Setting-out rods: one strip for height, one for width, one for depth; every mark from one datum, at full size."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from batchwright.geometry.frame import Vec3
from batchwright.model.draft import PartId
from batchwright.model.piece import Piece
from batchwright.sheets.scene.primitives import (
    BODY,
    CheckBar,
    Item,
    Level,
    Mark,
    MarkKind,
    Side,
    Straight,
    Text,
    Weight,
)
from batchwright.sheets.scene.scene import Scene
from batchwright.sheets.scene.strokes import Stroke
from batchwright.sheets.views.printing import Printing

Bounds = Mapping[PartId, tuple[Vec3, Vec3]]
"""Each part's least and greatest world coordinates, joints cut [mm]."""

LANE = 11.0
"""Height of one part's lane on the rod [mm]; room for 12 pt letters."""


@dataclass(frozen=True, slots=True)
class Direction:
    """One rod: its name, its axis, and where its datum is, in words."""

    name: str
    axis: int
    datum: str


DIRECTIONS = (
    Direction("height", 2, "the floor"),
    Direction("width", 0, "the middle of the piece"),
    Direction("depth", 1, "the front-most point of the piece"),
)


@dataclass(frozen=True, slots=True)
class _Lane:
    """Parts that lie alike along the rod."""

    label: str
    low: float
    high: float


def rod_scene(piece: Piece, bounds: Bounds, direction: Direction, printing: Printing) -> Scene:
    """One rod. Along it, a lane for each kind (parts that begin and end alike share one); marks run right across."""
    lanes = _lanes(piece, bounds, direction)
    datum = 0.0 if direction.name != "depth" else min(lane.low for lane in lanes)
    items: list[Item] = []
    low = min(0.0, *(lane.low - datum for lane in lanes))
    high = max(lane.high - datum for lane in lanes)
    tall = LANE * (len(lanes) + 2)
    for y in (0.0, tall):
        items.append(Straight(start=(low - 5.0, y), end=(high + 5.0, y), stroke=Stroke.VISIBLE))
    items.append(Straight(start=(0.0, 0.0), end=(0.0, tall), stroke=Stroke.OUTLINE))
    items.append(Mark(kind=MarkKind.DATUM, at=(0.0, 0.0), size=6.0))
    for index, lane in enumerate(lanes):
        items += _lane(lane, datum, tall - LANE * (index + 1), printing)
    items.append(_title(piece, direction, low, tall))
    items.append(CheckBar(at=(max(low, 0.0) + 8.0, -16.0)))
    about = f"rod for {direction.name}, marks from {direction.datum}"
    return Scene(items=tuple(items), name=f"rod, {direction.name}", scale=1.0, about=about)


def rod_table(piece: Piece, bounds: Bounds, direction: Direction, printing: Printing) -> tuple[tuple[str, ...], ...]:
    """The rod's marks as rows: part, from, to, both from the datum."""
    lanes = _lanes(piece, bounds, direction)
    datum = 0.0 if direction.name != "depth" else min(lane.low for lane in lanes)
    return tuple(
        (lane.label, printing.length(lane.low - datum), printing.length(lane.high - datum), "") for lane in lanes
    )


def _lanes(piece: Piece, bounds: Bounds, direction: Direction) -> tuple[_Lane, ...]:
    found: dict[tuple[str, int, int], _Lane] = {}
    for kind in piece.kinds:
        for part_id in kind.parts:
            low, high = bounds[part_id][0][direction.axis], bounds[part_id][1][direction.axis]
            if direction.name == "width" and high <= 1e-6:
                continue  # the other half is the mirror image
            key = (kind.name, round(low * 20), round(high * 20))
            found.setdefault(key, _Lane(kind.name, low, high))
    return tuple(sorted(found.values(), key=lambda lane: (lane.low, lane.high, lane.label)))


def _lane(lane: _Lane, datum: float, y: float, printing: Printing) -> list[Item]:
    low, high = lane.low - datum, lane.high - datum
    items: list[Item] = [
        Straight(start=(low, y), end=(high, y), stroke=Stroke.PATTERN),
        Straight(start=(low, y - LANE * 0.4), end=(low, y + LANE * 0.4), stroke=Stroke.PATTERN),
        Straight(start=(high, y - LANE * 0.4), end=(high, y + LANE * 0.4), stroke=Stroke.PATTERN),
    ]
    words = f"{lane.label}: {printing.length(low)} to {printing.length(high)}"
    room = high - low
    inside = room > 2.6 * len(words)
    at = (low + 2.0, y + 1.0) if inside else (high + 2.0, y - BODY * 0.35)
    items.append(Text(at=at, text=words, size=BODY, side=Side.START, level=Level.BASE))
    return items


def _title(piece: Piece, direction: Direction, low: float, tall: float) -> Text:
    words = f"{piece.draft.name}: rod for {direction.name}. Marks from {direction.datum}. Print at actual size."
    return Text(at=(max(low, 0.0) + 2.0, tall - LANE * 0.55), text=words, size=BODY, weight=Weight.BOLD)
