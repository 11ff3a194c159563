"""Items drawn out to straight lines, curves, polygons and text: the one place that knows how a dimension looks."""

from __future__ import annotations

import math

from batchwright.geometry.frame import Vec2
from batchwright.sheets.scene.bench_marks import draw_check_bar, draw_mark
from batchwright.sheets.scene.directions import (
    along,
    angle_of,
    dot2,
    heading,
    left_of,
    minus2,
    reading_angle,
    unit2,
)
from batchwright.sheets.scene.hatching import draw_hatch
from batchwright.sheets.scene.metrics import CAP_HEIGHT, mistakable, text_box, text_width
from batchwright.sheets.scene.primitives import (
    Angle,
    CheckBar,
    Curve,
    Dimension,
    Group,
    Hatch,
    Item,
    Level,
    Mark,
    Note,
    Plain,
    Polygon,
    Radius,
    Running,
    Side,
    Station,
    Straight,
    Text,
)
from batchwright.sheets.scene.scene import Scene
from batchwright.sheets.scene.shapes import arc_between, arrow
from batchwright.sheets.scene.strokes import Fill, Stroke

GAP = 1.5
"""Clear space between a point measured to and its extension line [mm on paper]."""
OVER = 1.5
"""How far an extension line runs past the dimension line [mm on paper]."""
CLEAR = 0.9
"""Clear space between a line and the text on it [mm on paper]."""
SLASH = 1.3
"""Half length of the slash that ends a dimension line [mm on paper]."""


def draw_out(scene: Scene) -> tuple[Plain, ...]:
    """All items of a scene as plain ones, in drawing order, in true millimetres."""
    return tuple(plain for item in scene.items for plain in plain_items(item, scene.scale))


def plain_items(item: Item, scale: float) -> tuple[Plain, ...]:
    """One item as plain ones."""
    match item:
        case Straight() | Curve() | Polygon():
            return (item,)
        case Text():
            return _text(item, scale)
        case Dimension():
            return _dimension(item, scale)
        case Running():
            return _running(item, scale)
        case Angle():
            return _angle(item, scale)
        case Radius():
            return _radius(item, scale)
        case Note():
            return _note(item, scale)
        case Hatch():
            return draw_hatch(item, scale)
        case Mark():
            return tuple(out for part in draw_mark(item, scale) for out in plain_items(part, scale))
        case CheckBar():
            return tuple(out for part in draw_check_bar(item, scale) for out in plain_items(part, scale))
        case Group():
            return tuple(out for part in item.items for out in plain_items(part, scale))


def _text(text: Text, scale: float) -> tuple[Plain, ...]:
    """The text on its base line, with what lies under it: a strip of paper, the bar of a 6 or 9."""
    up = heading(text.angle + math.pi / 2.0)
    drop = {Level.BASE: 0.0, Level.MIDDLE: -CAP_HEIGHT / 2.0, Level.TOP: -CAP_HEIGHT}[text.level]
    based = Text(
        at=along(text.at, up, drop * text.size / scale),
        text=text.text,
        size=text.size,
        angle=text.angle,
        side=text.side,
        weight=text.weight,
    )
    out: list[Plain] = []
    if text.halo:
        out.append(Polygon(rings=(text_box(based, scale),), fill=Fill.PAPER, stroke=None))
    if mistakable(text.text):
        corners = text_box(based, scale)
        inset = 0.05 * text.size / scale
        forward = heading(text.angle)
        ends = (along(corners[0], up, inset), along(corners[1], up, inset))
        out.append(
            Straight(
                start=along(ends[0], forward, inset),
                end=along(ends[1], forward, -inset),
                stroke=Stroke.WITNESS,
            )
        )
    return (*out, based)


def dimension_line(item: Dimension, scale: float) -> tuple[Vec2, Vec2, Vec2, Vec2]:
    """The measured points in order along the direction, and where their extension lines meet the dimension line."""
    direction = unit2(item.direction or minus2(item.end, item.start))
    first, last = item.start, item.end
    if dot2(first, direction) > dot2(last, direction):
        first, last = last, first
    normal = left_of(direction)
    levels = (dot2(first, normal), dot2(last, normal))
    level = (max(levels) if item.offset >= 0.0 else min(levels)) + item.offset / scale
    return (first, last, along(first, normal, level - levels[0]), along(last, normal, level - levels[1]))


def _extension(point: Vec2, foot: Vec2, scale: float) -> tuple[Plain, ...]:
    reach = minus2(foot, point)
    length = math.hypot(reach[0], reach[1])
    if length * scale <= GAP:
        return ()
    way = unit2(reach)
    return (
        Straight(start=along(point, way, GAP / scale), end=along(foot, way, OVER / scale), stroke=Stroke.DIMENSION),
    )


def _slash(point: Vec2, direction: Vec2, scale: float) -> Straight:
    way = heading(angle_of(direction) + math.pi / 4.0)
    reach = SLASH / scale
    return Straight(start=along(point, way, -reach), end=along(point, way, reach), stroke=Stroke.WITNESS)


def label_shift(item: Dimension, scale: float) -> float:
    """How far along its line the label stands from the middle: beyond the end if the gap is too small [mm on paper]."""
    if item.shift or item.lift:
        return item.shift
    _, _, p, q = dimension_line(item, scale)
    gap = math.dist(p, q) * scale
    width = text_width(item.label, item.size, item.weight)
    return 0.0 if width + 2.0 * CLEAR <= gap else gap / 2.0 + width / 2.0 + 2.0


def dimension_text(item: Dimension, scale: float) -> Text:
    """The label of a dimension where it is printed."""
    _, _, p, q = dimension_line(item, scale)
    direction = unit2(item.direction or minus2(item.end, item.start))
    angle = reading_angle(direction)
    up = heading(angle + math.pi / 2.0)
    middle = along(((p[0] + q[0]) / 2.0, (p[1] + q[1]) / 2.0), direction, label_shift(item, scale) / scale)
    return Text(
        at=along(middle, up, (CLEAR + item.lift) / scale),
        text=item.label,
        size=item.size,
        angle=angle,
        side=Side.MIDDLE,
        weight=item.weight,
    )


def _dimension(item: Dimension, scale: float) -> tuple[Plain, ...]:
    first, last, p, q = dimension_line(item, scale)
    direction = unit2(item.direction or minus2(item.end, item.start))
    text = dimension_text(item, scale)
    shift = label_shift(item, scale) / scale
    half = text_width(item.label, item.size, item.weight) / 2.0 / scale
    middle = ((p[0] + q[0]) / 2.0, (p[1] + q[1]) / 2.0)
    low, high = p, q
    out: list[Plain] = [*_extension(first, p, scale), *_extension(last, q, scale)]
    if item.lift:
        out.append(Straight(start=middle, end=along(text.at, heading(text.angle), -half), stroke=Stroke.DIMENSION))
    elif abs(shift) + half > math.dist(p, q) / 2.0:
        if shift > 0.0:
            high = along(middle, direction, shift + half)
        else:
            low = along(middle, direction, shift - half)
    out.append(Straight(start=low, end=high, stroke=Stroke.DIMENSION))
    out += [_slash(p, direction, scale), _slash(q, direction, scale)]
    return (*out, *_text(text, scale))


def running_level(item: Running, scale: float) -> float:
    """The level of the running line, measured along the normal to the left of its direction [mm]."""
    normal = left_of(unit2(item.direction))
    levels = [dot2(point, normal) for point in (item.datum, *(s.at for s in item.stations))]
    return (max(levels) if item.offset >= 0.0 else min(levels)) + item.offset / scale


def station_text(item: Running, station: Station, scale: float) -> Text:
    """The label of one station (or of the datum) where it is printed."""
    direction = unit2(item.direction)
    normal = left_of(direction)
    side = 1.0 if item.offset >= 0.0 else -1.0
    level = running_level(item, scale)
    foot = along(station.at, normal, level - dot2(station.at, normal))
    foot = along(foot, direction, station.shift / scale)
    if item.upright:
        angle = reading_angle(direction)
        up = heading(angle + math.pi / 2.0)
        rise = 3.0 + (0.0 if dot2(up, normal) * side > 0.0 else CAP_HEIGHT * item.size)
        at = along(foot, normal, side * rise / scale)
        return Text(at=at, text=station.label, size=item.size, angle=angle, side=Side.MIDDLE)
    outwards = (normal[0] * side, normal[1] * side)
    angle = reading_angle(outwards)
    end = Side.START if dot2(heading(angle), outwards) > 0.0 else Side.END
    at = along(foot, outwards, 5.0 / scale)
    return Text(at=at, text=station.label, size=item.size, angle=angle, side=end, level=Level.MIDDLE)


def _running(item: Running, scale: float) -> tuple[Plain, ...]:
    direction = unit2(item.direction)
    normal = left_of(direction)
    level = running_level(item, scale)
    side = 1.0 if item.offset >= 0.0 else -1.0

    def foot(point: Vec2) -> Vec2:
        return along(point, normal, level - dot2(point, normal))

    origin = foot(item.datum)
    out: list[Plain] = list(_extension(item.datum, origin, scale))
    ends = [origin]
    for station in item.stations:
        base = foot(station.at)
        out += _extension(station.at, base, scale)
        heading_out = direction if dot2(minus2(base, origin), direction) >= 0.0 else (-direction[0], -direction[1])
        out.append(arrow(base, heading_out, 2.6 / scale, 0.9 / scale))
        kink = along(along(base, direction, station.shift / scale), normal, side * 4.2 / scale)
        out.append(Straight(start=along(base, normal, side * OVER / scale), end=kink, stroke=Stroke.DIMENSION))
        ends.append(base)
    ends.sort(key=lambda point: dot2(point, direction))
    out.append(Straight(start=ends[0], end=ends[-1], stroke=Stroke.DIMENSION))
    ring = arc_between(origin, 1.4 / scale, 0.0, 2.0 * math.pi)
    out.append(Curve(path=ring, stroke=Stroke.WITNESS, closed=True, fill=Fill.PAPER))
    labels = [station_text(item, station, scale) for station in item.stations]
    if item.datum_label:
        labels.append(station_text(item, Station(at=item.datum, label=item.datum_label), scale))
    return (*out, *(part for label in labels for part in _text(label, scale)))


def angle_text(item: Angle, scale: float) -> Text:
    """The label of an angle where it is printed: outside its arc, on the line that halves it."""
    first = angle_of(item.first)
    sweep = (angle_of(item.second) - first) % (2.0 * math.pi)
    way = heading(first + sweep / 2.0 + item.turned)
    width = text_width(item.label, item.size)
    clear = item.radius + 1.5 + abs(way[0]) * width / 2.0 + abs(way[1]) * CAP_HEIGHT * item.size / 2.0
    at = along(item.corner, way, clear / scale)
    return Text(at=at, text=item.label, size=item.size, side=Side.MIDDLE, level=Level.MIDDLE)


def _angle(item: Angle, scale: float) -> tuple[Plain, ...]:
    first = angle_of(item.first)
    sweep = (angle_of(item.second) - first) % (2.0 * math.pi)
    reach = item.radius / scale
    out: list[Plain] = []
    for way in (unit2(item.first), unit2(item.second)):
        start = along(item.corner, way, GAP / scale)
        out.append(Straight(start=start, end=along(item.corner, way, reach + OVER / scale), stroke=Stroke.DIMENSION))
    before = min(0.0, item.turned + sweep / 2.0)
    beyond = max(0.0, item.turned - sweep / 2.0)
    arc = arc_between(item.corner, reach, first + before, sweep - before + beyond)
    out.append(Curve(path=arc, stroke=Stroke.DIMENSION))
    return (*out, *_text(angle_text(item, scale), scale))


def radius_text(item: Radius, scale: float) -> Text:
    """The label of a radius where it is printed."""
    way = unit2(item.direction)
    tail = along(item.at, way, item.reach / scale)
    side = Side.START if way[0] >= 0.0 else Side.END
    at = (tail[0] + (1.0 if way[0] >= 0.0 else -1.0) / scale, tail[1])
    return Text(at=at, text=item.label, size=item.size, side=side, level=Level.MIDDLE)


def _radius(item: Radius, scale: float) -> tuple[Plain, ...]:
    way = unit2(item.direction)
    tail = along(item.at, way, item.reach / scale)
    point = arrow(item.at, (-way[0], -way[1]), 2.6 / scale, 0.9 / scale)
    return (
        Straight(start=item.at, end=tail, stroke=Stroke.DIMENSION),
        point,
        *_text(radius_text(item, scale), scale),
    )


def note_text(item: Note, scale: float) -> Text:
    """The text of a note where it is printed."""
    forward = 1.0 if item.dx >= 0.0 else -1.0
    at = (item.tip[0] + (item.dx + 3.0 * forward) / scale, item.tip[1] + item.dy / scale)
    side = Side.START if forward > 0.0 else Side.END
    return Text(at=at, text=item.text, size=item.size, side=side, level=Level.MIDDLE, weight=item.weight)


def _note(item: Note, scale: float) -> tuple[Plain, ...]:
    forward = 1.0 if item.dx >= 0.0 else -1.0
    elbow = (item.tip[0] + item.dx / scale, item.tip[1] + item.dy / scale)
    shelf = (elbow[0] + 2.0 * forward / scale, elbow[1])
    way = unit2(minus2(item.tip, elbow))
    tip: Plain = arrow(item.tip, way, 2.6 / scale, 0.9 / scale)
    if item.dot:
        tip = Curve(path=arc_between(item.tip, 0.6 / scale, 0.0, 2.0 * math.pi), closed=True, fill=Fill.SOLID)
    lines = (
        Straight(start=item.tip, end=elbow, stroke=Stroke.DIMENSION),
        Straight(start=elbow, end=shelf, stroke=Stroke.DIMENSION),
    )
    return (*lines, tip, *_text(note_text(item, scale), scale))
