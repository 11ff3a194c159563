"""One sheet for a part kind: key sizes, the part seen on face side and face edge with every joint, where it sits."""

from __future__ import annotations

import string
from collections.abc import Callable, Iterable

import numpy as np

from batchwright.base.length import Unit
from batchwright.geometry.frame import Vec3
from batchwright.model.draft import Hand
from batchwright.model.piece import Feature, FeatureKind, Kind, Part
from batchwright.sheets.scene.primitives import (
    BODY,
    Item,
    Level,
    Mark,
    MarkKind,
    Running,
    Side,
    Station,
    Text,
    Weight,
)
from batchwright.sheets.scene.scene import Scene
from batchwright.sheets.scene.settle import settle
from batchwright.sheets.scene.sheet import (
    Beside,
    Block,
    Column,
    Drawing,
    KeyNumber,
    KeyNumbers,
    Paragraph,
    Table,
    TickList,
    fitting_scale,
)
from batchwright.sheets.views.bench_view import BenchView, Seen, bench_view
from batchwright.sheets.views.linework import line_items, lit, plain_stroke
from batchwright.sheets.views.made import Made
from batchwright.sheets.views.printing import Printing
from batchwright.solids.view import Axes, View, view

ROOM = (150.0, 62.0)
"""Paper room of one view of a part, dimensions left out [mm]."""
SAME = 0.3
"""Marks nearer than this are one mark on paper [mm]; under 1/64 in."""


def part_blocks(part: Part, kind: Kind, made: Made, printing: Printing, where: View) -> tuple[Block, ...]:
    """All that is needed to set the part out; `where` is the pictorial view of the whole piece."""
    lettered = letter_features(part)
    picture = Drawing(scene=_where(kind, where), alt=f"where {kind.label or kind.id} sits in the piece")
    views = [
        Drawing(
            scene=part_scene(part, made, seen, printing), caption=_caption(seen, part), alt=f"{kind.id}, {seen.value}"
        )
        for seen in (Seen.FACE_SIDE, Seen.FACE_EDGE)
    ]
    blocks: list[Block] = [
        Beside(left=(_key_numbers(part, printing), *_mark_words(part, kind, printing)), right=(picture,), share=0.62),
        *views,
    ]
    if lettered:
        blocks.append(_joint_table(lettered, printing))
    notes = _notes(part, kind)
    blocks += [Paragraph(text=note) for note in notes]
    if kind.count * 1 <= 12:
        blocks.append(TickList(items=tuple(_copy_words(kind, printing))))
    return tuple(blocks)


def _drawing(part: Part, made: Made, seen: Seen, printing: Printing) -> Drawing:
    scene = part_scene(part, made, seen, printing)
    return Drawing(scene=scene, caption=_caption(seen, part), alt=scene.about)


def letter_features(part: Part) -> tuple[tuple[str, Feature], ...]:
    """Every joint of the part with a letter, from the reference end on; the same on drawing and table."""
    ordered = sorted(part.features, key=lambda feature: (round(feature.box[0][0], 1), feature.face, feature.joint))
    letters = string.ascii_uppercase.replace("I", "").replace("O", "")
    pairs = [first + second for first in letters for second in letters]
    names = [*letters, *pairs][: len(ordered)]
    return tuple(zip(names, ordered, strict=True))


def _key_numbers(part: Part, printing: Printing) -> KeyNumbers:
    shoulder = "no shoulders" if part.shoulder_length is None else printing.length(part.shoulder_length)
    return KeyNumbers(
        numbers=(
            KeyNumber(label="overall", value=printing.length(part.length), points=22.0),
            KeyNumber(label="between shoulders", value=shoulder, points=18.0),
            KeyNumber(label="width", value=printing.length(part.width), points=22.0),
            KeyNumber(label="thickness", value=printing.length(part.thickness), points=22.0),
        )
    )


def _mark_words(part: Part, kind: Kind, printing: Printing) -> tuple[Block, ...]:
    marks = "; ".join(f"{name}: {where}" for name, where in part.marks_note)
    hand = f"This is the {kind.hand.value.upper()} one, {printing.hand_line()}. " if kind.hand is not Hand.NONE else ""
    made = f"Make {printing.total_of(kind.id)}, {printing.wood(part.draft.wood)}. "
    return (Paragraph(text=f"{hand}{made}{marks}."),)


def _caption(seen: Seen, part: Part) -> str:
    end = "right" if part.bench.mirrored else "left"
    return f"Seen on the {seen.value}; reference end to the {end}. All marks from the reference end."


def _where(kind: Kind, where: View) -> Scene:
    low_x, low_y, high_x, high_y = where.bounds
    scale = min(58.0 / (high_x - low_x), 62.0 / (high_y - low_y))
    return Scene(items=line_items(where, lit(frozenset(kind.parts))), name=f"where {kind.id} sits", scale=scale)


def part_scene(part: Part, made: Made, seen: Seen, printing: Printing) -> Scene:
    """The finished part with hidden lines, in bench coordinates, with running dimensions along and across it."""
    paper = bench_view(part, seen)
    drawn = view([(part.id, made.solids[part.id])], _axes(part, paper))
    origin = _origin(part, drawn.axes)
    shift = (-origin[0], -origin[1])
    inches = printing.unit is Unit.INCHES
    scale = fitting_scale((part.length, _across(part, paper)), ROOM, inches)
    items: list[Item] = list(line_items(drawn, plain_stroke, shift))
    items += _marks(part, paper, scale)
    items += _letters(part, paper, scale)
    items.append(_along(part, paper, printing))
    items.append(_across_running(part, paper, printing))
    about = f"{part.id} seen on its {seen.value}"
    return settle(Scene(items=tuple(items), name=f"{part.kind}, {seen.value}", scale=scale, about=about))


def _axes(part: Part, paper: BenchView) -> Axes:
    def times(direction: Vec3, factor: float) -> Vec3:
        return (direction[0] * factor, direction[1] * factor, direction[2] * factor)

    bench = part.bench
    up, towards = (bench.y, bench.z) if paper.seen is Seen.FACE_SIDE else (bench.z, bench.y)
    return Axes(right=times(bench.x, paper.run), up=times(up, paper.rise), towards=times(towards, -1.0))


def _origin(part: Part, axes: Axes) -> tuple[float, float]:
    at = axes.on_paper(np.array([part.bench.origin]))[0]
    return float(at[0]), float(at[1])


def _across(part: Part, paper: BenchView) -> float:
    return part.width if paper.second == 1 else part.thickness


def _marks(part: Part, paper: BenchView, scale: float) -> list[Item]:
    """Grain arrow over the part, the datum at the reference end, the mark of the face that looks at the reader."""
    half = _across(part, paper) / 2.0
    middle = paper.pair(part.length / 2.0, half)
    top = max(paper.pair(0.0, 0.0)[1], paper.pair(0.0, 2.0 * half)[1])
    kind = MarkKind.FACE_SIDE if paper.seen is Seen.FACE_SIDE else MarkKind.FACE_EDGE
    return [
        Mark(kind=MarkKind.GRAIN, at=(middle[0], top + 12.0 / scale), size=24.0),
        Mark(kind=kind, at=(middle[0] + paper.run * 24.0 / scale, top + 12.0 / scale), size=6.0),
    ]


def _letters(part: Part, paper: BenchView, scale: float) -> list[Item]:
    """Joint letters over the part, joints at one place sharing one text."""
    groups: list[tuple[float, list[str]]] = []
    for letter, feature in letter_features(part):
        middle = paper.run * (feature.box[0][0] + feature.box[1][0]) / 2.0
        if groups and abs(middle - groups[-1][0]) * scale < 5.0:
            groups[-1][1].append(letter)
        else:
            groups.append((middle, [letter]))
    across = _across(part, paper)
    top = max(0.0, paper.rise * across) + 3.0 / scale
    return [
        Text(at=(x, top), text=" ".join(names), size=BODY, side=Side.MIDDLE, level=Level.BASE, weight=Weight.BOLD)
        for x, names in groups
    ]


def _along(part: Part, paper: BenchView, printing: Printing) -> Running:
    """From the reference end: both ends of every mortise, every shoulder, the overall length; below the part."""
    values = [0.0, part.length]
    for _, feature in letter_features(part):
        values += [feature.box[0][0], feature.box[1][0]]
    low = min(0.0, paper.rise * _across(part, paper))
    stations = _stations(values, lambda value: (paper.run * value, low), printing)
    return Running(datum=(0.0, low), direction=(paper.run, 0.0), stations=stations, offset=-paper.run * 8.0)


def _across_running(part: Part, paper: BenchView, printing: Printing) -> Running:
    """From face edge or face side: both sides of every joint; at the far end of the part."""
    index, across = paper.second, _across(part, paper)
    values = [across]
    for _, feature in letter_features(part):
        values += [feature.box[0][index], feature.box[1][index]]
    inside = [value for value in values if -SAME < value < across + SAME]
    x = paper.run * part.length
    stations = _stations(inside, lambda value: (x, paper.rise * value), printing)
    offset = 8.0 if paper.run * paper.rise < 0 else -8.0
    return Running(datum=(x, 0.0), direction=(0.0, paper.rise), stations=stations, offset=offset)


def _stations(
    values: Iterable[float], at: Callable[[float], tuple[float, float]], printing: Printing
) -> tuple[Station, ...]:
    """One station for each distinct value above zero, in order."""
    kept: list[float] = []
    for value in sorted(values):
        if value > SAME and (not kept or value - kept[-1] > SAME):
            kept.append(value)
    return tuple(Station(at=at(value), label=printing.length(value)) for value in kept)


def _joint_table(lettered: tuple[tuple[str, Feature], ...], printing: Printing) -> Table:
    rows = tuple(_joint_row(letter, feature, printing) for letter, feature in lettered)
    columns = (
        Column(title="", share=0.4, key=True),
        Column(title="What", share=2.6),
        Column(title="In", share=1.2),
        Column(title="From reference end", share=1.9, number=True),
        Column(title="From face edge", share=1.7, number=True),
        Column(title="From face side", share=1.7, number=True),
        Column(title="Deep / long", share=1.0, number=True),
        Column(title="Angle", share=1.0, number=True),
    )
    return Table(columns=columns, rows=rows)


def _joint_row(letter: str, feature: Feature, printing: Printing) -> tuple[str, ...]:
    low, high = feature.box

    def span(axis: int) -> str:
        return f"{printing.length(low[axis])} – {printing.length(high[axis])}"

    angles = " / ".join(printing.angle(angle) for angle in feature.angles if abs(angle) > 1e-4)
    what = f"{feature.kind.value}: {feature.label or feature.joint}"
    return (letter, what, feature.face, span(0), span(1), span(2), printing.length(feature.depth), angles or "square")


def _notes(part: Part, kind: Kind) -> list[str]:
    notes = []
    if part.draft.note:
        notes.append(part.draft.note)
    if kind.mirror_of is not None:
        notes.append("Its other hand has a sheet of its own, mirrored: do not cut one from the other's sheet.")
    if any(feature.kind is FeatureKind.MORTISE for feature in part.features) and part.curved:
        notes.append("Cut the joints while the blank still has its straight reference edges, then shape.")
    return notes


def _copy_words(kind: Kind, printing: Printing) -> list[str]:
    return [f"{printing.total_of(kind.id)} set out", "joints cut", "shaped", "checked against this sheet"]
