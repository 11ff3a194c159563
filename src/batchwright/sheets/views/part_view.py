"""A part drawn square on its face side or its face edge: finished, hidden lines, marks and running dimensions."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from batchwright.geometry.curve import Line
from batchwright.geometry.frame import Vec2, Vec3
from batchwright.model.piece import FeatureKind, Part
from batchwright.sheets.scene.dimensioning import running_along
from batchwright.sheets.scene.primitives import (
    BODY,
    Curve,
    Item,
    Level,
    Mark,
    MarkKind,
    Running,
    Side,
    Straight,
    Text,
    Weight,
)
from batchwright.sheets.scene.scene import Scene
from batchwright.sheets.scene.settle import settle
from batchwright.sheets.scene.strokes import Stroke
from batchwright.sheets.views.bench_view import BenchView, Seen, bench_view
from batchwright.sheets.views.bevels import Bevel
from batchwright.sheets.views.breaks import Broken, break_lines, broken
from batchwright.sheets.views.fixings import fixing_spots
from batchwright.sheets.views.handwork import hand_shaped
from batchwright.sheets.views.landing import Landing, landing_letters, landings
from batchwright.sheets.views.made import Made
from batchwright.sheets.views.mouths import BORED, SAME, Mouth, mouth_of
from batchwright.sheets.views.naming import Lettered, clear_stretches, face_words
from batchwright.sheets.views.printing import Printing
from batchwright.sheets.views.scales import REDUCTIONS, chosen_scale
from batchwright.solids.view import Axes, View, view

ROOM = (146.0, 36.0)
ROOM_ALONE, ROOM_FEW = (146.0, 60.0), (146.0, 27.0)
ROOM_ACROSS = (205.0, 48.0)
"""Paper room of one view of a part, dimensions left out: on an upright sheet, there where one view is all and where all
is to stand on one page, and on a sheet that lies across [mm]."""
FEW = 2
"""Up to this many joints a straight part's sheet is one page."""
ENDS = ("reference end", "far end")
_AT_END = (FeatureKind.TENON, FeatureKind.HAUNCH)
BROKEN_FROM = 2.0
"""A straight part is broken rather than drawn smaller than one to this."""

_SEEN_IN = {seen: ((seen.value, *ENDS), (seen.behind.value,)) for seen in Seen}
"""The faces whose joints are dimensioned below a view, and above it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """How a part is drawn: both views share scale and breaks."""

    part: Part
    items: tuple[Lettered, ...]
    bevels: tuple[Bevel, ...]
    scale: float
    cut: Broken
    ordinates: tuple[float, ...] = ()
    """Where ordinates are ruled across a curved part, bench x [mm]."""


def lies_across(part: Part) -> bool:
    """Whether the sheet of a part lies across: a long curved part, that cannot be drawn shortened."""
    return part.curved and part.length / ROOM[0] > 3.0


def faces_seen(part: Part, items: tuple[Lettered, ...], bevels: tuple[Bevel, ...]) -> tuple[Seen, ...]:
    """The faces a part is drawn on: of each pair of opposite faces the one that joints are cut in, both where both
    are cut; face side and face edge where neither is. A hole shows in either; the edge of a plain board is left out."""
    cut = {one.feature.face for one in items if one.feature.kind not in BORED}
    drawn: list[Seen] = []
    for first in (Seen.FACE_SIDE, Seen.FACE_EDGE):
        both = [seen for seen in (first, first.behind) if seen.value in cut]
        drawn += both or [first]
    faces = {one.feature.face for one in items}
    plain = not part.curved and part.edge_outline is None and all(one.square for one in bevels)
    if plain and not faces & {"face edge", "far edge", *ENDS}:
        drawn.pop()
    return tuple(drawn)


def _room_of(part: Part, items: tuple[Lettered, ...], bevels: tuple[Bevel, ...]) -> Vec2:
    if lies_across(part):
        return ROOM_ACROSS
    if len(faces_seen(part, items, bevels)) == 1:
        return ROOM_ALONE
    return ROOM_FEW if len(items) <= FEW and not part.curved else ROOM


def look_at(part: Part, items: tuple[Lettered, ...], bevels: tuple[Bevel, ...], at: tuple[float, ...] = ()) -> Look:
    """The largest usual scale; a long straight part is broken where nothing is marked."""
    tall = max(part.width, part.thickness)
    room = _room_of(part, items, bevels)
    scale = chosen_scale((part.length, tall), room)
    cut = Broken()
    if not part.curved and scale < 1.0 / BROKEN_FROM:
        marks = [(one.feature.box[0][0], one.feature.box[1][0]) for one in items]
        for times in REDUCTIONS:
            if 1.0 / times <= scale:
                break
            found = broken(part.length, marks, 1.0 / times, room[0]) if tall <= room[1] * times else None
            if found is not None and times >= BROKEN_FROM:
                scale, cut = 1.0 / times, found
                break
    return Look(part=part, items=items, bevels=bevels, scale=scale, cut=cut, ordinates=at)


def part_scene(look: Look, made: Made, seen: Seen, printing: Printing) -> Scene:
    """The finished part in bench coordinates, dimensions along and across it."""
    part, scale = look.part, look.scale
    paper = bench_view(part, seen)
    drawn = view([(part.id, made.solids[part.id])], _axes(part, paper))
    items: list[Item] = _lines(look, paper, drawn)
    across = sorted((0.0, paper.rise * _across(part, paper)))
    items += break_lines(look.cut, paper.run, (across[0], across[1]), scale)
    items += _ordinates(look, paper, seen)
    items += _letters(look, paper, seen, landings(part, made.piece))
    items += _centre_lines(look, paper)
    items += hand_shaped(part, paper, look.cut, printing)
    items += [
        Mark(kind=MarkKind.CENTRE, at=paper.point((look.cut(spot.at[0]), spot.at[1], spot.at[2])), size=4.0)
        for spot in fixing_spots(part, made.piece)
        if spot.face in (*_SEEN_IN[seen][0], *_SEEN_IN[seen][1])
    ]
    items += _face_marks(look, paper)
    items += _along(look, paper, seen, printing)
    items.append(_across_running(look, paper, seen, printing))
    face = face_words(seen.value)
    return settle(
        Scene(items=tuple(items), name=f"{part.kind}, {face}", scale=scale, about=f"{part.id} seen on its {face}")
    )


def _axes(part: Part, paper: BenchView) -> Axes:
    def times(direction: Vec3, factor: float) -> Vec3:
        return (direction[0] * factor, direction[1] * factor, direction[2] * factor)

    bench = part.bench
    up, towards = (bench.y, bench.z) if paper.seen.on_side else (bench.z, bench.y)
    near = -1.0 if paper.seen in (Seen.FACE_SIDE, Seen.FACE_EDGE) else 1.0
    return Axes(right=times(bench.x, paper.run), up=times(up, paper.rise), towards=times(towards, near))


def _lines(look: Look, paper: BenchView, drawn: View) -> list[Item]:
    """Hidden lines first; what the part's own outline hides of its back is left out unless it belongs to a joint."""
    origin = drawn.axes.on_paper(np.array([look.part.bench.origin]))[0]
    hidden: list[Item] = []
    full: list[Item] = []
    for line in drawn.lines:
        if not line.visible and line.kind in ("shape", "eased"):
            continue
        local = (line.points - origin) * np.array([paper.run, 1.0])
        stroke = Stroke.VISIBLE if line.visible else Stroke.HIDDEN
        for chain in look.cut.chains(local):
            points = [(float(paper.run * x), float(y)) for x, y in chain]
            path = tuple(Line(a, b) for a, b in zip(points, points[1:], strict=False))
            (full if line.visible else hidden).append(Curve(path=path, stroke=stroke))
    return [*hidden, *full]


def _across(part: Part, paper: BenchView) -> float:
    return part.width if paper.second == 1 else part.thickness


def _edges(look: Look, paper: BenchView) -> Vec2:
    """Lower and upper edge of the part on paper [true mm]."""
    far = paper.rise * _across(look.part, paper)
    return (min(0.0, far), max(0.0, far))


def _ordinates(look: Look, paper: BenchView, seen: Seen) -> list[Item]:
    outline = look.part.outline if seen.on_side else look.part.edge_outline
    if outline is None:
        return []
    low, high = _edges(look, paper)
    return [Straight(start=(paper.run * x, low), end=(paper.run * x, high), stroke=Stroke.GRID) for x in look.ordinates]


def _letters(look: Look, paper: BenchView, seen: Seen, landed: list[Landing]) -> list[Item]:
    """Joint letters over the part, what lies at one place sharing one text; small ones for lead holes."""
    groups: list[tuple[float, list[str]]] = []
    faces = (*_SEEN_IN[seen][0], *_SEEN_IN[seen][1])
    small = landing_letters(landed)
    told = [
        (_middle(one), one.letter)
        for one in look.items
        if one.feature.face in faces and one.feature.kind is not FeatureKind.HAUNCH
    ]
    told += [(one.at[0], small[one.fixing.id]) for one in landed if one.face in faces]
    for at, name in sorted(told, key=lambda one: paper.run * one[0]):
        middle = paper.run * look.cut(at)
        if groups and abs(middle - groups[-1][0]) * look.scale < 6.0:
            if name not in groups[-1][1]:
                groups[-1][1].append(name)
        else:
            groups.append((middle, [name]))
    top = _edges(look, paper)[1] + 2.5 / look.scale
    return [
        Text(at=(x, top), text=" ".join(names), size=BODY, side=Side.MIDDLE, level=Level.BASE, weight=Weight.BOLD)
        for x, names in groups
    ]


def _middle(one: Lettered) -> float:
    low, high = one.feature.box
    reach = 0.0
    if one.feature.kind is FeatureKind.TENON:
        reach = one.feature.depth / 2.0 * (1.0 if one.feature.face == "far end" else -1.0)
    return (low[0] + high[0]) / 2.0 + reach


def _face_marks(look: Look, paper: BenchView) -> list[Item]:
    """The mark of the face that looks at the reader, its tail to the face edge, and the way of the grain: on the wood
    where there is room, else above it."""
    low, high = _edges(look, paper)
    tall = (high - low) * look.scale
    middle = (low + high) / 2.0 if tall > 6.0 else high + 5.0 / look.scale
    free = sorted(_clear(look), key=lambda one: one[0] - one[1])
    first = free[0]
    wide = (first[1] - first[0]) * look.scale
    second = free[1] if len(free) > 1 and (free[1][1] - free[1][0]) * look.scale > min(20.0, wide / 2.0) else None
    at = _part_way(first, 0.5 if second else 0.25)
    size = min(8.0, 0.75 * tall) if tall > 6.0 else 5.0
    marks: list[Item] = []
    if paper.seen in (Seen.FACE_SIDE, Seen.FACE_EDGE):
        turned = math.pi if paper.seen is Seen.FACE_SIDE else 0.0
        kind = MarkKind.FACE_SIDE if paper.seen is Seen.FACE_SIDE else MarkKind.FACE_EDGE
        marks.append(Mark(kind=kind, at=(paper.run * at, middle), size=size, angle=turned))
    if paper.seen.on_side:
        grain = _part_way(second, 0.5) if second else _part_way(first, 0.7)
        marks.append(Mark(kind=MarkKind.GRAIN, at=(paper.run * grain, middle), size=9.0))
    return marks


def _part_way(stretch: Vec2, share: float) -> float:
    return stretch[0] + (stretch[1] - stretch[0]) * share


def _clear(look: Look) -> list[Vec2]:
    """The stretches of the drawing that nothing is cut or left out in, as drawn [true mm]."""
    out: list[Vec2] = []
    for low, high in clear_stretches(look.part, look.items):
        cuts = sorted((max(a, low), min(b, high)) for a, b in look.cut.left_out if b > low and a < high)
        reached = low
        for first, last in (*cuts, (high, high)):
            out.append((look.cut(reached), look.cut(first)))
            reached = last
    return out


def _along(look: Look, paper: BenchView, seen: Seen, printing: Printing) -> list[Item]:
    """From the reference end, below the part: what is cut in the face seen and in the opposite one, both ends and
    shoulders. Where that crowds, what is cut in the opposite face stands above the part."""
    seen_faces, opposite = _SEEN_IN[seen]
    low, high = _edges(look, paper)
    own = [*_stations(look, seen_faces), *_bevel_marks(look, seen), look.part.length]
    behind = _stations(look, opposite)
    together = _once([*own, *behind], printing)
    if len(together) * 5.2 < look.cut(look.part.length) * look.scale:
        return [_running(look, paper, together, (low, -6.0), printing)]
    below = _running(look, paper, _once(own, printing), (low, -6.0), printing)
    return [below, _running(look, paper, _once(behind, printing), (high, 9.0), printing)] if behind else [below]


def _stations(look: Look, faces: tuple[str, ...]) -> list[float]:
    """Both ends of what is cut in these faces, of a turned one those of its centre line, of a hole its centre; a tenon
    is told by its shoulder, a haunch by its outer end."""
    found: list[float] = []
    for one in look.items:
        if one.feature.face not in faces or (one.feature.face in ENDS and one.feature.kind in _AT_END):
            continue
        low, high = _reach(one, look.part, 0)
        if one.feature.kind is FeatureKind.HAUNCH:
            found.append(high if high > look.part.length / 2.0 else low)
        else:
            found += [low, high]
    return found


def _reach(one: Lettered, part: Part, axis: int) -> Vec2:
    """From where to where something is marked along a bench axis."""
    mouth = mouth_of(one.feature, part)
    if mouth is None:
        return (one.feature.box[0][axis], one.feature.box[1][axis])
    if mouth.centred:
        return (mouth.told.middle[axis], mouth.told.middle[axis])
    if mouth.turned:
        first, last = mouth.told.ends
        return (min(first[axis], last[axis]), max(first[axis], last[axis]))
    return (mouth.told.low[axis], mouth.told.high[axis])


def _centre_lines(look: Look, paper: BenchView) -> list[Item]:
    """The centre lines of turned mortises in the face seen or the one behind it."""
    items: list[Item] = []
    for mouth in _mouths(look):
        if mouth.turned and mouth.feature.face in (paper.seen.value, paper.seen.behind.value):
            a, b = ((look.cut(point[0]), point[1], point[2]) for point in mouth.told.ends)
            items.append(Straight(start=paper.point(a), end=paper.point(b), stroke=Stroke.CENTRE))
    return items


def _mouths(look: Look) -> list[Mouth]:
    found = (mouth_of(one.feature, look.part) for one in look.items)
    return [mouth for mouth in found if mouth is not None]


def _bevel_marks(look: Look, seen: Seen) -> list[float]:
    """Where shoulders and ends meet the two arrises of the face seen."""
    arrises = {Seen.FACE_SIDE: (0, 1), Seen.FACE_EDGE: (0, 2), Seen.OPPOSITE: (2, 3), Seen.FAR_EDGE: (1, 3)}[seen]
    return [bevel.marks[index] for bevel in look.bevels for index in arrises]


def _once(values: Iterable[float], printing: Printing) -> list[float]:
    """In order, each printed number once."""
    kept: list[float] = []
    for value in sorted(values):
        if value > SAME and (not kept or printing.length(value) != printing.length(kept[-1])):
            kept.append(value)
    return kept


def _running(look: Look, paper: BenchView, values: list[float], line: Vec2, printing: Printing) -> Running:
    level, offset = line
    points = tuple(((paper.run * look.cut(value), level), printing.length(value)) for value in values)
    datum = (0.0, level)
    return running_along(points, datum, (paper.run, 0.0), look.scale, paper.run * offset)


def _across_running(look: Look, paper: BenchView, seen: Seen, printing: Printing) -> Running:
    """From face edge or face side: both sides of every joint seen; at the far end of the part."""
    index, across = paper.second, _across(look.part, paper)
    faces = (*_SEEN_IN[seen][0], *_SEEN_IN[seen][1])
    inside: list[float] = []
    for wanted in (faces, ENDS):
        spans = [_reach(one, look.part, index) for one in look.items if one.feature.face in wanted]
        values = [across, *(value for span in spans for value in span)]
        inside = [value for value in _once(values, printing) if value < across + SAME]
        if len(inside) * 5.2 < across * look.scale + 24.0:
            break
    x = paper.run * look.cut(look.part.length)
    points = tuple(((x, paper.rise * value), printing.length(value)) for value in inside)
    offset = 8.0 if paper.run * paper.rise < 0 else -8.0
    return running_along(points, (x, 0.0), (0.0, paper.rise), look.scale, offset)
