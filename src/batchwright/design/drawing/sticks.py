"""Sticks: straight, along a middle line, with a section square to it, tapered, their ends square, level or upright."""

from __future__ import annotations

import math

from batchwright.design.drawing.bodies import Body
from batchwright.design.drawing.lookup import Pen
from batchwright.design.drawing.points import each, items_of, space_point
from batchwright.design.drawing.tapers import Rod, Section, size_of, stations_of
from batchwright.design.drawing.views import AXES
from batchwright.design.text.mistake import mistake
from batchwright.design.text.tree import Mapping, Sequence
from batchwright.design.values.reading import scalar_of
from batchwright.geometry.frame import Frame, Plane, Vec3, cross, dot, minus, norm, plus, unit
from batchwright.model.shape import PlaneCut, Shape, Station, Stick

SQUARE, LEVEL, UPRIGHT = "square", "level", "upright"
_Range = tuple[float, float]


def draw_stick(part: Mapping, name: str, pen: Pen) -> Body:
    """The stick of a part, in its own frame. Raises Mistake."""
    node = part.get("stick")
    assert node is not None
    items = items_of(node, "stick", 2)
    start, end = each(items, lambda item: space_point(item, pen))
    run = minus(end, start)
    length = norm(run)
    if length < 1e-6:
        raise mistake(
            "points-fall-together",
            items[1].place,
            f"the two ends of `{name}` fall together.",
            "give two points that are apart",
            "a stick needs a length",
        )
    along = unit(run)
    section = _section_of(part, name, along, pen)
    axis = AXES[section.axis]
    v = unit(plus(axis, along, -dot(axis, along)))
    rod = Rod(frame=Frame(start, along, v, cross(along, v)), length=length, section=section)
    stations = stations_of(part, rod, pen)
    kinds = _ends_of(part)
    cuts: list[PlaneCut] = []
    reach = [0.0, 0.0]
    for i, kind in enumerate(kinds):
        if kind != SQUARE:
            cut, reach[i] = _end_cut(rod, i, kind, part)
            cuts.append(cut)
    stick = Stick(stations=_reaching(stations, reach[0], reach[1]), round=section.round)
    return Body(frame=rod.frame, shape=Shape(body=stick, cuts=tuple(cuts)), length=length)


def _section_of(part: Mapping, name: str, along: Vec3, pen: Pen) -> Section:
    node = part.get("section")
    if node is None:
        said = part.key("stick")
        raise mistake(
            "section-not-said",
            said.place if said else part.place,
            f"the stick `{name}` has no section.",
            "add `section: {x: ..., y: ...}`, `section: [a, b]` or `section: {round: ...}`",
        )
    across = sorted(sorted(AXES, key=lambda axis: (round(abs(dot(AXES[axis], along)), 9), axis))[:2])
    if isinstance(node, Mapping) and node.get("round") is None:
        return _named_section(node, name, along, pen)
    if isinstance(node, Sequence):
        sizes = [size_of(item, "section", pen) for item in items_of(node, "section", 2)]
        return Section(v=sizes[0], w=sizes[1], axis=across[0], other=across[1])
    if isinstance(node, Mapping) and node.get("round") is not None:
        said_round = node.get("round")
        assert said_round is not None
        size = size_of(said_round, "round", pen)
        return Section(v=size, w=size, axis=across[0], other=across[1], round=True)
    assert not isinstance(node, Mapping)
    size = size_of(node, "section", pen)
    return Section(v=size, w=size, axis=across[0], other=across[1])


def _named_section(node: Mapping, name: str, along: Vec3, pen: Pen) -> Section:
    """`section: {x: a, z: b}`: the faces of the first-named look exactly along its axis."""
    axes = [(key, said) for key, said in node.entries if key.text in AXES]
    if len(axes) != 2:
        raise mistake(
            "section-form",
            node.place,
            f"the section of `{name}` names {len(axes)} axes; it wants two.",
            "write `section: {x: ..., y: ...}` with the two axes the stick runs least along",
        )
    for key, _ in axes:
        if abs(dot(AXES[key.text], along)) > 0.95:
            raise mistake(
                "section-along-the-stick",
                key.place,
                f"`{name}` runs along {key.text} itself.",
                "name the two axes it runs least along",
                "a section lies square to the stick",
            )
    sizes = each(axes, lambda pair: size_of(pair[1], "section", pen))
    return Section(v=sizes[0], w=sizes[1], axis=axes[0][0].text, other=axes[1][0].text)


def _ends_of(part: Mapping) -> tuple[str, str]:
    node = part.get("ends")
    if node is None:
        return SQUARE, SQUARE
    items = items_of(node, "ends", 2) if isinstance(node, Sequence) else (node, node)
    words = []
    for item in items:
        scalar = scalar_of(item, "ends")
        if scalar.text not in (SQUARE, LEVEL, UPRIGHT):
            raise mistake(
                "unknown-choice",
                scalar.place,
                f"an end is square, level or upright, not `{scalar.text}`.",
                "write `ends: level`, or `ends: [square, level]`",
            )
        words.append(scalar.text)
    return words[0], words[1]


def _end_cut(rod: Rod, end: int, kind: str, part: Mapping) -> tuple[PlaneCut, float]:
    """The plane that cuts an end level or upright, and how far the wood must reach beyond it [mm]."""
    f = rod.frame
    flat = (f.x[0], f.x[1], 0.0)
    if kind == UPRIGHT:
        looks = flat if norm(flat) > 0.05 else (0.0, 0.0, 0.0)
    else:
        looks = (0.0, 0.0, f.x[2]) if abs(f.x[2]) > 0.05 else (0.0, 0.0, 0.0)
    if norm(looks) == 0.0:
        said = part.get("ends")
        way = "level" if kind == LEVEL else "upright"
        raise mistake(
            "end-along-the-stick",
            said.place if said else part.place,
            f"the stick itself runs {way}: its end cannot be {way}.",
            "write `ends: square`",
            "an end is cut across the stick",
        )
    normal = unit(looks) if end == 1 else unit((-looks[0], -looks[1], -looks[2]))
    local = f.turn_back(normal)
    s = rod.section
    beyond = (abs(local[1]) * s.v + abs(local[2]) * s.w) / 2.0 / abs(local[0])
    at = rod.length if end == 1 else 0.0
    return PlaneCut(plane=Plane((at, 0.0, 0.0), local)), beyond + 1.0 if beyond > 1e-9 else 0.0


def _reaching(stations: list[Station], before: float, after: float) -> tuple[Station, ...]:
    """The stick carried on beyond its ends, so that the cuts there find wood; a taper goes on as it runs."""
    out = list(stations)
    if before > 0.0:
        out[0] = _carried(stations[1], stations[0], before) if len(stations) == 2 else _shift(stations[0], -before)
    if after > 0.0:
        out[-1] = _carried(stations[-2], stations[-1], after)
    return tuple(out)


def _shift(station: Station, by: float) -> Station:
    return Station(at=station.at + by, v=station.v, w=station.w)


def _carried(inner: Station, end: Station, by: float) -> Station:
    share = by / abs(end.at - inner.at)

    def on(a: _Range, b: _Range) -> _Range:
        low, high = b[0] + share * (b[0] - a[0]), b[1] + share * (b[1] - a[1])
        middle = 0.5 * (low + high)
        return (min(low, middle - 0.05), max(high, middle + 0.05))

    return Station(at=end.at + math.copysign(by, end.at - inner.at), v=on(inner.v, end.v), w=on(inner.w, end.w))
