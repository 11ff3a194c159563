"""Setting-out rods: one strip for height, one for width, one for depth; every mark from one datum, at full size."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from batchwright.geometry.frame import Vec3
from batchwright.model.draft import PartId
from batchwright.model.piece import Piece
from batchwright.sheets.scene.metrics import text_width
from batchwright.sheets.scene.primitives import (
    BODY,
    CheckBar,
    Item,
    Polygon,
    Side,
    Straight,
    Text,
    Weight,
)
from batchwright.sheets.scene.scene import Scene
from batchwright.sheets.scene.strokes import Fill, Stroke
from batchwright.sheets.views.printing import Printing

Bounds = Mapping[PartId, tuple[Vec3, Vec3]]
"""Each part's least and greatest world coordinates, joints cut [mm]."""

LANE = 10.0
"""Height of one part's lane on the rod [mm]; room for 12 pt letters."""
END = 0.38
"""Half the height of the mark that ends a lane, of the lane."""


@dataclass(frozen=True, slots=True)
class Direction:
    """One rod: its name, its axis, and where its datum is, in words."""

    name: str
    axis: int
    datum: str


DIRECTIONS = (
    Direction("height", 2, "the floor"),
    Direction("width", 0, "the middle of the piece"),
    Direction("depth", 1, "the drawing's 0 front to back, − before it"),
)


@dataclass(frozen=True, slots=True)
class _Lane:
    """Parts that lie alike along the rod, counted from its datum; `both` where they reach as far on either side."""

    label: str
    low: float
    high: float
    both: bool = False

    def words(self, printing: Printing) -> str:
        """`front leg: 11 to 12 3/4`; `crest rail: 10 3/4 each side`."""
        if self.both:
            return f"{self.label}: {printing.length(self.high)} each side"
        return f"{self.label}: {printing.signed(self.low)} to {printing.signed(self.high)}"


def rod_scene(piece: Piece, bounds: Bounds, direction: Direction, printing: Printing) -> Scene:
    """One rod. Along it, a lane for each kind (parts that begin and end alike share one), all from a bold datum."""
    lanes = _lanes(piece, bounds, direction)
    high = max(lane.high for lane in lanes)
    low = min(0.0, *(lane.low for lane in lanes))
    tall = LANE * (len(lanes) + 2)
    items: list[Item] = []
    for y in (0.0, tall):
        items.append(Straight(start=(low - 5.0, y), end=(high + 5.0, y), stroke=Stroke.VISIBLE))
    items.append(Polygon(rings=(((-1.2, 0.0), (0.0, 0.0), (0.0, tall), (-1.2, tall)),), fill=Fill.SOLID, stroke=None))
    items.append(Straight(start=(0.0, 0.0), end=(0.0, tall), stroke=Stroke.OUTLINE))
    items.append(Text(at=(2.0, 3.0), text=f"0 = {direction.datum}", size=BODY, weight=Weight.BOLD))
    for index, lane in enumerate(lanes):
        items += _lane(lane, tall - LANE * (index + 1.6), high, printing)
    items.append(_title(piece, direction, tall))
    items.append(CheckBar(at=(8.0, -14.0)))
    about = f"rod for {direction.name}, marks from {direction.datum}"
    return Scene(items=tuple(items), name=f"rod, {direction.name}", scale=1.0, about=about)


def rod_table(piece: Piece, bounds: Bounds, direction: Direction, printing: Printing) -> tuple[tuple[str, ...], ...]:
    """The rod's marks as rows: part, from, to, both from the datum."""
    return tuple(
        (
            lane.label,
            "each side" if lane.both else printing.signed(lane.low),
            printing.signed(lane.high),
            "",
        )
        for lane in _lanes(piece, bounds, direction)
    )


def _lanes(piece: Piece, bounds: Bounds, direction: Direction) -> tuple[_Lane, ...]:
    axis = direction.axis
    found: dict[tuple[str, int, int], _Lane] = {}
    for kind in piece.kinds:
        for part_id in kind.parts:
            low, high = bounds[part_id][0][axis], bounds[part_id][1][axis]
            if direction.name == "width" and high <= 1e-6:
                continue  # the other half is the mirror image
            both = direction.name == "width" and abs(low + high) < 0.05
            key = (kind.name, round(low * 20), round(high * 20))
            found.setdefault(key, _Lane(_named(piece, part_id, kind.name), 0.0 if both else low, high, both))
    return tuple(sorted(found.values(), key=lambda lane: (lane.low, lane.high, lane.label)))


def _named(piece: Piece, part_id: PartId, name: str) -> str:
    """The part's name, with its number where it is one of a repeat."""
    number = piece.part(part_id).draft.number
    return f"{name} {number}" if number else name


def _lane(lane: _Lane, y: float, reach: float, printing: Printing) -> list[Item]:
    """The lane between its two marks; its words beyond it where there is room on the rod, before it, or on it."""
    items: list[Item] = [Straight(start=(lane.low, y), end=(lane.high, y), stroke=Stroke.PATTERN)]
    for x in (lane.low, lane.high):
        items.append(Straight(start=(x, y - LANE * END), end=(x, y + LANE * END), stroke=Stroke.PATTERN))
    words = lane.words(printing)
    wide = text_width(words, BODY) + 4.0
    level = y - BODY * 0.36
    clear = max(lane.low, 0.0)
    if lane.high <= 0.0:
        items.append(Text(at=(lane.low - 2.0, level), text=words, side=Side.END))
    elif lane.high + wide < reach:
        items.append(Text(at=(lane.high + 2.0, level), text=words))
    elif lane.low > wide + 2.0:
        items.append(Text(at=(lane.low - 2.0, level), text=words, side=Side.END))
    elif lane.high - clear > wide:
        items.append(Text(at=(clear + 2.0, y + 1.2), text=words))
    else:
        items.append(Text(at=(lane.high + 2.0, level), text=words))
    return items


def _title(piece: Piece, direction: Direction, tall: float) -> Text:
    words = f"{piece.draft.name}: rod for {direction.name}, marks from {direction.datum}. Print at actual size."
    return Text(at=(2.0, tall - LANE * 0.62), text=words, size=BODY, weight=Weight.BOLD)
