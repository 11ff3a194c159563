"""Full-size outlines of parts: the exact curve, every joint on it, grain, marks, hand: what is drawn round."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from batchwright.geometry.cut import cut_outline
from batchwright.geometry.frame import Vec2
from batchwright.geometry.outline import Outline
from batchwright.model.draft import Hand
from batchwright.model.piece import End, FeatureKind, Kind, Part, Piece
from batchwright.model.shape import Tool
from batchwright.model.work import Block
from batchwright.sheets.scene.metrics import text_box, text_width
from batchwright.sheets.scene.primitives import (
    BODY,
    SMALL,
    CheckBar,
    Curve,
    Group,
    Item,
    Level,
    Mark,
    MarkKind,
    Note,
    Polygon,
    Side,
    Straight,
    Text,
    Weight,
)
from batchwright.sheets.scene.scene import Scene
from batchwright.sheets.scene.settle import settle
from batchwright.sheets.scene.strokes import Fill, Stroke
from batchwright.sheets.scene.tiling import lay_tiles, without_bars
from batchwright.sheets.views.bench_view import BenchView, Seen, bench_view
from batchwright.sheets.views.bevels import bevels
from batchwright.sheets.views.naming import Lettered, clear_stretches, face_words, lettered
from batchwright.sheets.views.ordinates import ordinate_at
from batchwright.sheets.views.printing import Printing

Box = tuple[float, float, float, float]
WORDS = "words"
CUT_IN = (FeatureKind.MORTISE, FeatureKind.SLOT, FeatureKind.KERF, FeatureKind.TUSK_HOLE)
"""Told by how deep they are cut from their face."""
"""The name of a block of words that may be moved sideways as one."""
COLUMN = 125.0
EDGE = 3.0
ROUNDS = 4
"""Width of a block of words, and how far it keeps from the edge of a tile [mm]; moved words may move the tiles, so that
they are looked at again, this often at most."""

REFERENCE = "heavy arrow: reference end"
CARE = (
    "Joints first, while the blank is square. Saw outside the line, clean up to it.",
    "Band saw, router: guards and hold-downs as the machine's manual says; cut from the high of a curve downhill.",
)
"""Printed under every outline."""


def needs_outline(part: Part) -> bool:
    """Whether a part is worth a full-size pattern: its outline or its edge is curved."""
    return part.curved and (part.outline is not None or part.edge_outline is not None)


def outline_scenes(
    part: Part, kind: Kind, piece: Piece, printing: Printing, rough: Block | None = None
) -> tuple[Scene, ...]:
    """The pattern on the face side and, where the edge is sawn as well, the one on the face edge. Scale 1.

    `rough` is the blank as on the cutting list; without it the blank is drawn as large as the part.
    """
    faces = ((part.outline, Seen.FACE_SIDE), (part.edge_outline, Seen.FACE_EDGE))
    items = lettered(part, piece)
    twice = part.outline is not None and part.edge_outline is not None
    return tuple(
        _scene(
            Pattern(
                part=part,
                kind=kind,
                piece=piece,
                outline=outline,
                view=bench_view(part, seen),
                items=items,
                twice=twice,
                rough=rough,
            ),
            printing,
        )
        for outline, seen in faces
        if outline is not None
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Pattern:
    """What one outline is drawn from; `twice` where the part is sawn on two faces."""

    part: Part
    kind: Kind
    piece: Piece
    outline: Outline
    view: BenchView
    items: tuple[Lettered, ...]
    twice: bool
    rough: Block | None = None

    @property
    def box(self) -> Box:
        """The blank on paper, its reference edge on the part's, what is over in length shared by both ends [mm]."""
        part, rough, on_side = self.part, self.rough, self.view.seen.on_side
        across = part.width if on_side else part.thickness
        if rough is None or rough.length < part.length:
            return _on_paper((0.0, 0.0, part.length, across), self.view)
        over = (rough.length - part.length) / 2.0
        wide = max(across, rough.width if on_side else rough.thickness)
        return _on_paper((-over, 0.0, part.length + over, wide), self.view)

    @property
    def finished(self) -> Outline:
        """The outline as it ends on the face seen: at its shoulders, else no further than the part is long."""
        shape = self.outline
        for bevel in bevels(self.part, self.piece):
            if bevel.shoulder:
                first, second = bevel.points
                if not self.view.seen.on_side:
                    first, second = (bevel.marks[0], 0.0), (bevel.marks[2], self.part.thickness)
                shape = _ended(shape, first, second, bevel.end)
        shape = _ended(shape, (0.0, 0.0), (0.0, 1.0), End.REFERENCE)
        return _ended(shape, (self.part.length, 0.0), (self.part.length, 1.0), End.FAR)


def _ended(shape: Outline, first: Vec2, second: Vec2, end: End) -> Outline:
    """What lies on the part's side of a line across it that runs away from the reference edge."""
    sign = 1.0 if end is End.FAR else -1.0
    way = (sign * (second[0] - first[0]), sign * (second[1] - first[1]))
    left = cut_outline(shape, first, way, "end")
    return left[0] if left else shape


def _scene(pattern: Pattern, printing: Printing) -> Scene:
    part, kind, view, box = pattern.part, pattern.kind, pattern.view, pattern.box
    items: list[Item] = [_blank(box)]
    items.append(Curve(path=view.path(pattern.finished.segments), stroke=Stroke.PATTERN, closed=True))
    items += _shoulders(pattern)
    for one in pattern.items:
        items += _feature(one, view, printing)
    items += _bench_marks(pattern)
    items += _words(pattern, printing)
    items.append(CheckBar(at=(box[0] + 6.0, box[1] - 44.0)))
    hand = f", {kind.hand.value}" if kind.hand is not Hand.NONE else ""
    about = f"full-size outline of {kind.name}{hand}, seen on the {view.seen.value}"
    name = f"{part.kind}, {view.seen.value}"
    return settle(Scene(items=tuple(items), name=name, scale=1.0, about=about))


def _on_paper(box: Box, view: BenchView) -> Box:
    first, second = view.pair(box[0], box[1]), view.pair(box[2], box[3])
    return (
        min(first[0], second[0]),
        min(first[1], second[1]),
        max(first[0], second[0]),
        max(first[1], second[1]),
    )


def _blank(box: Box) -> Polygon:
    ring: tuple[Vec2, ...] = ((box[0], box[1]), (box[2], box[1]), (box[2], box[3]), (box[0], box[3]))
    return Polygon(rings=(ring,), fill=Fill.NONE, stroke=Stroke.BLANK)


def _shoulders(pattern: Pattern) -> list[Item]:
    """Every shoulder across the part, and the warning that an eased edge stops there."""
    items: list[Item] = []
    for bevel in bevels(pattern.part, pattern.piece):
        if not bevel.shoulder:
            continue
        first, second = bevel.points
        if pattern.view.seen is Seen.FACE_EDGE:
            first, second = (bevel.marks[0], 0.0), (bevel.marks[2], pattern.part.thickness)
        a, b = pattern.view.pair(*first), pattern.view.pair(*second)
        items.append(Straight(start=a, end=b, stroke=Stroke.WITNESS))
        inner = 1.0 if bevel.end.value == "reference end" else -1.0
        turn = pattern.view.run * inner
        words = Text(
            at=((a[0] + b[0]) / 2.0 + turn * 2.0, (a[1] + b[1]) / 2.0),
            text="shoulder: no rounding past here",
            size=SMALL,
            angle=math.pi / 2.0,
            side=Side.MIDDLE,
            level=Level.TOP if turn > 0.0 else Level.BASE,
            loose=True,
        )
        if abs(a[1] - b[1]) > 58.0:
            items.append(words)
        else:
            tip = ((a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0)
            items.append(Note(tip=tip, text="shoulder: no rounding past here", size=SMALL, dx=turn * 10.0, dy=14.0))
    return items


def _feature(one: Lettered, view: BenchView, printing: Printing) -> list[Item]:
    """A joint as the shadow of its tool: full line where it is cut in the face seen, dashed where in another."""
    feature = one.feature
    shown = feature.face == view.seen.value or feature.kind is FeatureKind.TENON
    ring = _shadow(feature.tool, view) if feature.tool is not None else _box_ring(one, view)
    stroke = Stroke.WITNESS if shown else Stroke.HIDDEN
    items: list[Item] = [Polygon(rings=(ring,), fill=Fill.NONE, stroke=stroke)]
    if feature.kind is FeatureKind.HAUNCH:
        return items
    low, high = view.point(feature.box[0]), view.point(feature.box[1])
    middle = ((low[0] + high[0]) / 2.0, (low[1] + high[1]) / 2.0)
    if feature.kind in CUT_IN:
        items.append(Mark(kind=MarkKind.CENTRE, at=middle, size=4.0))
        words = f"{one.letter}  {face_words(feature.face)}, {printing.length(feature.depth)} deep"
    else:
        what = "" if feature.kind is FeatureKind.TENON else f"{feature.kind.value}, "
        words = f"{one.letter}  {what}{printing.length(feature.depth)} long"
        xs = [point[0] for point in ring]
        middle = ((min(xs) + max(xs)) / 2.0, middle[1])
    items.append(Note(tip=middle, text=words, dx=8.0, dy=9.0, dot=True, size=BODY))
    return items


def _box_ring(one: Lettered, view: BenchView) -> tuple[Vec2, ...]:
    low, high = view.point(one.feature.box[0]), view.point(one.feature.box[1])
    return (low, (high[0], low[1]), high, (low[0], high[1]))


def _shadow(tool: Tool, view: BenchView) -> tuple[Vec2, ...]:
    """The outline of a bar seen square to the face: the convex hull of its eight corners."""
    corners = [
        view.point(tool.frame.to_world((x * tool.width / 2.0, y * tool.thickness / 2.0, z)))
        for x in (-1.0, 1.0)
        for y in (-1.0, 1.0)
        for z in (tool.start, tool.end)
    ]
    return convex_hull(corners)


def convex_hull(points: list[Vec2]) -> tuple[Vec2, ...]:
    """The smallest convex polygon round points, counter-clockwise (Andrew's monotone chain, 1979)."""
    ordered = sorted({(round(x, 6), round(y, 6)) for x, y in points})

    def half(chain: list[Vec2]) -> list[Vec2]:
        out: list[Vec2] = []
        for point in chain:
            while len(out) > 1 and _turn(out[-2], out[-1], point) <= 1e-9:
                out.pop()
            out.append(point)
        return out[:-1]

    return (*half(ordered), *half(ordered[::-1]))


def _turn(a: Vec2, b: Vec2, c: Vec2) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _bench_marks(pattern: Pattern) -> list[Item]:
    """On the wood: the face mark with its tail to the face edge, the grain; at the reference end its arrow."""
    view, part = pattern.view, pattern.part
    low, high = clear_stretches(part, pattern.items)[0]
    face, grain = (_middle_at(pattern, low + (high - low) * share) for share in (0.2, 0.6))
    kind = MarkKind.FACE_SIDE if view.seen is Seen.FACE_SIDE else MarkKind.FACE_EDGE
    turned = math.pi if view.seen is Seen.FACE_SIDE else 0.0
    ahead = 0.0 if view.run > 0.0 else math.pi
    return [
        Mark(kind=kind, at=face, size=10.0, angle=turned),
        Mark(kind=MarkKind.GRAIN, at=grain, size=18.0),
        Text(at=(grain[0], grain[1] + 5.0), text="grain", size=SMALL, side=Side.MIDDLE, loose=True),
        Mark(kind=MarkKind.DATUM, at=(0.0, pattern.box[3] + 5.0), size=6.0, angle=ahead),
    ]


def _middle_at(pattern: Pattern, x: float) -> Vec2:
    at = ordinate_at(pattern.outline, x)
    across = pattern.part.width / 2.0 if at is None else (at.near + at.far) / 2.0
    return pattern.view.pair(x, across)


def _words(pattern: Pattern, printing: Printing) -> list[Item]:
    """The name of the line, the hand, the face; what the broken line is; cautions."""
    part, kind, box = pattern.part, pattern.kind, pattern.box
    hand = f", {kind.hand.value.upper()} HAND" if kind.hand is not Hand.NONE else ""
    seen = pattern.view.seen.value
    title = f"{printing.number_of(kind.id)}  {kind.name}{hand}: PART OUTLINE, {seen} up"
    size = printing.block(part.thickness, part.width, part.length).replace("\u00a0", " ")
    again = "; sawn twice: see its other outline" if pattern.twice else ""
    second = f"{size}; make {printing.total_of(kind.id)}; {printing.hand_line()}{again}"
    across = part.width if pattern.view.seen.on_side else part.thickness
    sizes = (across, part.length)
    listed = "" if pattern.rough is None else " as on the cutting list"
    if pattern.rough is not None:
        sizes = (max(across, box[3] - box[1]), pattern.rough.length)
    block = printing.block(*sizes).replace("\u00a0", " ")
    blank = f"BLANK OUTLINE (long dashes), {block}{listed}; {REFERENCE}"
    above = [
        *((line, BODY * 1.25, Weight.BOLD) for line in wrapped(title, BODY * 1.25, Weight.BOLD)),
        *((line, BODY, Weight.NORMAL) for line in wrapped(second, BODY, Weight.NORMAL)),
        *((line, BODY, Weight.BOLD) for line in wrapped(blank, BODY, Weight.BOLD)),
    ]
    top = box[3] + 17.0 + 7.0 * (len(above) - 1)
    words = [
        Text(at=(box[0], top - 7.0 * index), text=text, size=size, weight=weight)
        for index, (text, size, weight) in enumerate(above)
    ]
    below = [line for text in CARE for line in wrapped(text, SMALL, Weight.NORMAL)]
    care = [Text(at=(box[0], box[1] - 8.0 - 5.0 * index), text=text, size=SMALL) for index, text in enumerate(below)]
    return [Group(name=WORDS, items=tuple(words)), Group(name=WORDS, items=tuple(care))]


def wrapped(text: str, size: float, weight: Weight, room: float = COLUMN) -> list[str]:
    """A text in lines no wider than `room` [mm]; a longer word stands alone."""
    lines = [""]
    for word in text.split(" "):
        longer = f"{lines[-1]} {word}".strip()
        if lines[-1] and text_width(longer, size, weight) > room:
            lines.append(word)
        else:
            lines[-1] = longer
    return lines


def whole_words(scene: Scene, page: Vec2, overlap: float = 15.0) -> Scene:
    """The same full-size scene with its blocks of words moved sideways, so that each lies whole on one tile.

    `page` is the width and height of the pages it will be tiled over [mm].
    """
    for _ in range(ROUNDS):
        windows = [tile.window for tile in lay_tiles(without_bars(scene), page, overlap).printed]
        moved = replace(scene, items=tuple(_whole(item, windows) for item in scene.items))
        if moved == scene:
            break
        scene = moved
    return scene


def _whole(item: Item, windows: list[Box]) -> Item:
    if not isinstance(item, Group) or item.name != WORDS:
        return item
    corners = [corner for one in item.items if isinstance(one, Text) for corner in text_box(one, 1.0)]
    left, right = min(corner[0] for corner in corners), max(corner[0] for corner in corners)
    moves = [
        min(max(left, window[0] + EDGE), window[2] - EDGE - (right - left)) - left
        for window in windows
        if window[2] - window[0] - 2.0 * EDGE >= right - left
    ]
    if not moves:
        return item
    move = min(moves, key=abs)
    moved = (replace(one, at=(one.at[0] + move, one.at[1])) if isinstance(one, Text) else one for one in item.items)
    return replace(item, items=tuple(moved))
