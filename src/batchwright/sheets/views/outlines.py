"""Full-size outlines of parts: the exact curve, every joint on it, grain, marks, hand: what is drawn round."""

from __future__ import annotations

from batchwright.geometry.frame import Vec2
from batchwright.geometry.outline import Outline, bounds
from batchwright.model.draft import Hand
from batchwright.model.piece import Feature, FeatureKind, Kind, Part
from batchwright.sheets.scene.primitives import (
    BODY,
    CheckBar,
    Curve,
    Item,
    Mark,
    MarkKind,
    Polygon,
    Side,
    Text,
    Weight,
)
from batchwright.sheets.scene.scene import Scene
from batchwright.sheets.scene.strokes import Fill, Stroke
from batchwright.sheets.views.bench_view import BenchView, Seen, bench_view
from batchwright.sheets.views.printing import Printing

Box = tuple[float, float, float, float]


def needs_outline(part: Part) -> bool:
    """Whether a part is worth a full-size pattern: its outline or its edge is curved."""
    return part.curved and (part.outline is not None or part.edge_outline is not None)


def outline_scenes(part: Part, kind: Kind, printing: Printing) -> tuple[Scene, ...]:
    """The pattern on the face side and, where the edge is sawn as well, the one on the face edge. Scale 1."""
    scenes = []
    if part.outline is not None:
        scenes.append(_scene(part, kind, part.outline, bench_view(part, Seen.FACE_SIDE), printing))
    if part.edge_outline is not None:
        scenes.append(_scene(part, kind, part.edge_outline, bench_view(part, Seen.FACE_EDGE), printing))
    return tuple(scenes)


def _scene(part: Part, kind: Kind, outline: Outline, view: BenchView, printing: Printing) -> Scene:
    box = _on_paper(bounds(outline), view)
    low_x, low_y, high_x, high_y = box
    items: list[Item] = [_blank(box)]
    items.append(Curve(path=view.path(outline.segments), stroke=Stroke.PATTERN, closed=True))
    for feature in part.features:
        items += _feature(feature, view)
    items.append(Mark(kind=MarkKind.GRAIN, at=((low_x + high_x) / 2.0, high_y + 10.0), size=40.0))
    items.append(Mark(kind=MarkKind.DATUM, at=(view.run * 0.0, high_y), size=6.0))
    items += _title(part, kind, view.seen, box, printing)
    items.append(CheckBar(at=(low_x + 10.0, low_y - 24.0)))
    hand = f", {kind.hand.value}" if kind.hand is not Hand.NONE else ""
    about = f"full-size outline of {kind.name}{hand}, seen on the {view.seen.value}"
    return Scene(items=tuple(items), name=f"{kind.id}, {view.seen.value}", scale=1.0, about=about)


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


def _feature(feature: Feature, view: BenchView) -> list[Item]:
    """A joint as its window: full line where it is cut in the face seen, dashed where it lies in another."""
    low, high = view.point(feature.box[0]), view.point(feature.box[1])
    ring: tuple[Vec2, ...] = (low, (high[0], low[1]), high, (low[0], high[1]))
    stroke = Stroke.WITNESS if feature.face == view.seen.value else Stroke.HIDDEN
    items: list[Item] = [Polygon(rings=(ring,), fill=Fill.NONE, stroke=stroke)]
    if feature.kind is FeatureKind.MORTISE:
        middle = ((low[0] + high[0]) / 2.0, (low[1] + high[1]) / 2.0)
        items.append(Mark(kind=MarkKind.CENTRE, at=middle, size=4.0))
    return items


def _title(part: Part, kind: Kind, seen: Seen, box: Box, printing: Printing) -> list[Item]:
    hand = f", {kind.hand.value.upper()}" if kind.hand is not Hand.NONE else ""
    first = f"{printing.number_of(kind.id)}  {kind.name}{hand}: part outline, {seen.value} up"
    size = " × ".join(printing.length(value) for value in (part.length, part.width, part.thickness))
    second = f"{size} thick; make {printing.total_of(kind.id)}; {printing.hand_line()}"
    at = (box[0], box[3] + 20.0)
    return [
        Text(at=(at[0], at[1] + BODY * 1.6), text=first, size=BODY * 1.3, weight=Weight.BOLD, side=Side.START),
        Text(at=at, text=second, size=BODY, side=Side.START),
    ]
