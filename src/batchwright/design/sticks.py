"""Sticks: straight, along a middle line, with a section square to it, tapered, their ends square, level or upright."""

from __future__ import annotations

import math
from dataclasses import dataclass

from batchwright.base.fault import Place
from batchwright.design.bodies import Body
from batchwright.design.lookup import Pen
from batchwright.design.mistake import mistake
from batchwright.design.points import each, items_of, space_point
from batchwright.design.reading import length_of, scalar_of
from batchwright.design.tree import Mapping, Node, Scalar, Sequence
from batchwright.design.views import AXES
from batchwright.geometry.frame import Frame, Plane, Vec3, cross, dot, minus, norm, plus, unit
from batchwright.model.shape import PlaneCut, Shape, Station, Stick

SQUARE, LEVEL, UPRIGHT = "square", "level", "upright"
_Range = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Section:
    """Sizes along the two axes, in the order of the frame's v and w; `axis` is what v looks along."""

    v: float
    w: float
    axis: str
    other: str
    round: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class _Rod:
    """A stick's middle line, frame and section."""

    frame: Frame
    length: float
    section: _Section


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
    rod = _Rod(frame=Frame(start, along, v, cross(along, v)), length=length, section=section)
    stations = _stations(part, rod, pen)
    kinds = _ends_of(part)
    cuts: list[PlaneCut] = []
    reach = [0.0, 0.0]
    for i, kind in enumerate(kinds):
        if kind != SQUARE:
            cut, reach[i] = _end_cut(rod, i, kind, part)
            cuts.append(cut)
    stick = Stick(stations=_reaching(stations, reach[0], reach[1]), round=section.round)
    return Body(frame=rod.frame, shape=Shape(body=stick, cuts=tuple(cuts)), length=length)


def _section_of(part: Mapping, name: str, along: Vec3, pen: Pen) -> _Section:
    node = part.get("section")
    if node is None:
        said = part.key("stick")
        raise mistake(
            "section-not-said",
            said.place if said else part.place,
            f"the stick `{name}` has no section.",
            "add `section: {x: ..., y: ...}`, `section: [a, b]` or `section: {round: ...}`",
        )
    least = sorted(AXES, key=lambda axis: (round(abs(dot(AXES[axis], along)), 9), axis))[:2]
    across = sorted(least)
    if isinstance(node, Sequence):
        sizes = [_size(item, "section", pen) for item in items_of(node, "section", 2)]
        return _Section(v=sizes[0], w=sizes[1], axis=across[0], other=across[1])
    if isinstance(node, Mapping) and node.get("round") is not None:
        said_round = node.get("round")
        assert said_round is not None
        size = _size(said_round, "round", pen)
        return _Section(v=size, w=size, axis=across[0], other=across[1], round=True)
    if not isinstance(node, Mapping):
        size = _size(node, "section", pen)
        return _Section(v=size, w=size, axis=across[0], other=across[1])
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
                f"name {across[0]} and {across[1]}",
                "a section lies square to the stick",
            )
    sizes = each(axes, lambda pair: _size(pair[1], "section", pen))
    return _Section(v=sizes[0], w=sizes[1], axis=axes[0][0].text, other=axes[1][0].text)


def _size(node: Node, name: str, pen: Pen) -> float:
    size = length_of(node, pen, pen.desk.known, name)
    if size <= 0.0:
        raise mistake("not-above-zero", node.place, f"`{name}` must be above zero.", "give a size above zero")
    return size


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
                "unknown-word",
                scalar.place,
                f"an end is square, level or upright, not `{scalar.text}`.",
                "write `ends: level`, or `ends: [square, level]`",
            )
        words.append(scalar.text)
    return words[0], words[1]


def _end_cut(rod: _Rod, end: int, kind: str, part: Mapping) -> tuple[PlaneCut, float]:
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


def _stations(part: Mapping, rod: _Rod, pen: Pen) -> list[Station]:
    s = rod.section
    v, w = (-s.v / 2.0, s.v / 2.0), (-s.w / 2.0, s.w / 2.0)
    node = part.get("taper")
    if node is None:
        return [Station(at=0.0, v=v, w=w), Station(at=rod.length, v=v, w=w)]
    if not isinstance(node, Mapping) or node.get("to") is None:
        raise mistake(
            "taper-form",
            node.place,
            "the taper does not say to what size it goes.",
            "write `taper: {from: ..., to: ...}`",
        )
    begins = node.get("from")
    start = length_of(begins, pen, pen.desk.known, "from") if begins is not None else 0.0
    if not 0.0 <= start < rod.length - 1e-6:
        raise mistake(
            "taper-off-the-stick",
            (begins or node).place,
            f"the taper begins {start:.1f} mm along a stick {rod.length:.1f} mm long.",
            "begin it between the two ends",
            "`from` counts along the stick from its first end",
        )
    to_v, to_w = _taper_to(node, rod, pen)
    sides = _tapered_sides(node, rod, pen)
    thin = Station(at=rod.length, v=_narrowed(v, to_v, sides[0]), w=_narrowed(w, to_w, sides[1]))
    stations = [Station(at=start, v=v, w=w), thin]
    return stations if start == 0.0 else [Station(at=0.0, v=v, w=w), *stations]


def _taper_to(node: Mapping, rod: _Rod, pen: Pen) -> tuple[float, float]:
    to = node.get("to")
    assert to is not None
    if isinstance(to, Mapping):
        named = {key.text: _size(said, "to", pen) for key, said in to.entries}
        return named.get(rod.section.axis, rod.section.v), named.get(rod.section.other, rod.section.w)
    items = items_of(to, "to", 2) if isinstance(to, Sequence) else (to, to)
    first, second = (_size(item, "to", pen) for item in items)
    return first, second


def _tapered_sides(node: Mapping, rod: _Rod, pen: Pen) -> tuple[str, str]:
    """For v and w: `both`, or the one side (`low`, `high`) that is planed away."""
    on = node.get("on")
    if on is None:
        return "both", "both"
    scalar = scalar_of(on, "on")
    if scalar.text not in ("inner faces", "outer faces", "all"):
        raise mistake(
            "unknown-word",
            scalar.place,
            f"a taper is on `inner faces`, `outer faces` or `all`, not `{scalar.text}`.",
            "write `on: inner faces`, or leave `on` out for all four",
        )
    if scalar.text == "all":
        return "both", "both"
    inner = [_inner_side(direction, axis, rod, scalar, pen) for direction, axis in _faces(rod)]
    if scalar.text == "outer faces":
        inner = [{"low": "high", "high": "low"}[side] for side in inner]
    return inner[0], inner[1]


def _faces(rod: _Rod) -> tuple[tuple[Vec3, str], tuple[Vec3, str]]:
    return (rod.frame.y, rod.section.axis), (rod.frame.z, rod.section.other)


def _inner_side(direction: Vec3, axis: str, rod: _Rod, scalar: Scalar, pen: Pen) -> str:
    """Which side of v or w looks to the middle of the piece."""
    index = "xyz".index(axis)
    middle = plus(rod.frame.origin, rod.frame.x, rod.length / 2.0)
    if axis == "x":
        towards = -middle[0]
    elif axis == "y" and pen.desk.middle is not None:
        towards = pen.desk.middle - middle[1]
    else:
        raise _no_inner(axis, scalar.place)
    return "high" if towards * direction[index] > 0.0 else "low"


def _no_inner(axis: str, place: Place) -> Exception:
    if axis == "y":
        return mistake(
            "middle-not-said",
            place,
            "which face is the inner one, front to back, is not said.",
            "add `middle: ...` at the top of the file: the y of the middle plane",
        )
    return mistake(
        "unknown-word",
        place,
        "a stick that runs level has no inner face up or down.",
        "leave `on` out for all four faces",
    )


def _narrowed(whole: _Range, to: float, side: str) -> _Range:
    low, high = whole
    if side == "both":
        return (-to / 2.0, to / 2.0)
    return (low, low + to) if side == "high" else (high - to, high)


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
