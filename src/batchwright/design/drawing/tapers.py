"""The section of a stick from end to end: its records, and how it tapers."""

from __future__ import annotations

from dataclasses import dataclass

from batchwright.base.fault import Place
from batchwright.design.drawing.lookup import Pen
from batchwright.design.drawing.points import items_of
from batchwright.design.text.mistake import Mistake, mistake
from batchwright.design.text.near import listed, offer
from batchwright.design.text.tree import Mapping, Node, Sequence
from batchwright.design.values.reading import length_of, scalar_of
from batchwright.geometry.frame import Frame, Vec3, plus
from batchwright.model.shape import Station

FACES = ("all faces", "inner faces", "outer faces", "front faces", "back faces")
_Range = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """Sizes along the two axes, in the order of the frame's v and w; `axis` is what v looks along."""

    v: float
    w: float
    axis: str
    other: str
    round: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Rod:
    """A stick's middle line, frame and section."""

    frame: Frame
    length: float
    section: Section


def size_of(node: Node, name: str, pen: Pen) -> float:
    """A length above zero [mm]. Raises Mistake."""
    size = length_of(node, pen, pen.desk.known, name)
    if size <= 0.0:
        raise mistake("not-above-zero", node.place, f"`{name}` must be above zero.", "give a size above zero")
    return size


def stations_of(part: Mapping, rod: Rod, pen: Pen) -> list[Station]:
    """The sections of a stick in order, between which it runs straight. Raises Mistake."""
    s = rod.section
    v, w = (-s.v / 2.0, s.v / 2.0), (-s.w / 2.0, s.w / 2.0)
    node = part.get("taper")
    if node is None:
        return [Station(at=0.0, v=v, w=w), Station(at=rod.length, v=v, w=w)]
    if isinstance(node, Mapping) and node.get("to") is None:
        raise Mistake
    if not isinstance(node, Mapping):
        raise mistake(
            "taper-form",
            node.place,
            "a taper is said with words in { }.",
            "write `taper: {from: ..., to: ...}`",
        )
    begins = node.get("from")
    start = length_of(begins, pen, pen.desk.known, "from") if begins is not None else 0.0
    if not 0.0 <= start < rod.length - 1e-6:
        raise mistake(
            "taper-off-the-stick",
            (begins or node).place,
            f"the taper begins {pen.say(start)} along a stick {pen.say(rod.length)} long.",
            "begin it between the two ends",
            "`from` counts along the stick from its first end",
        )
    to_v, to_w = _taper_to(node, rod, pen)
    sides = _tapered_sides(node, rod, pen)
    thin = Station(at=rod.length, v=_narrowed(v, to_v, sides[0]), w=_narrowed(w, to_w, sides[1]))
    stations = [Station(at=start, v=v, w=w), thin]
    return stations if start == 0.0 else [Station(at=0.0, v=v, w=w), *stations]


def _taper_to(node: Mapping, rod: Rod, pen: Pen) -> tuple[float, float]:
    to = node.get("to")
    assert to is not None
    if isinstance(to, Mapping):
        named = {key.text: size_of(said, "to", pen) for key, said in to.entries}
        return named.get(rod.section.axis, rod.section.v), named.get(rod.section.other, rod.section.w)
    items = items_of(to, "to", 2) if isinstance(to, Sequence) else (to, to)
    first, second = (size_of(item, "to", pen) for item in items)
    return first, second


def _tapered_sides(node: Mapping, rod: Rod, pen: Pen) -> tuple[str, str]:
    """For v and w: `both`, `none`, or the one side (`low`, `high`) that is planed away. Raises Mistake."""
    on = node.get("on")
    if on is None:
        return "both", "both"
    scalar = scalar_of(on, "on")
    text = scalar.text.strip()
    if text not in FACES:
        near = offer(text, FACES)
        raise mistake(
            "unknown-choice",
            scalar.place,
            f"a taper is on {listed(FACES)}, not on `{text}`.",
            f"write {near}" if near else "write `on: inner faces`, or leave `on` out for all four",
        )
    if text == "all faces":
        return "both", "both"
    faces = ((rod.frame.y, rod.section.axis), (rod.frame.z, rod.section.other))
    first, second = (
        _side(text.split()[0], direction, axis, _Where(rod, scalar.place, pen)) for direction, axis in faces
    )
    return first, second


@dataclass(frozen=True, slots=True)
class _Where:
    rod: Rod
    place: Place
    pen: Pen


def _side(which: str, direction: Vec3, axis: str, where: _Where) -> str:
    """Which side of v or w looks inwards, outwards, to the front or to the back."""
    along = direction["xyz".index(axis)]
    if which in ("front", "back"):
        if axis != "y":
            return "none"
        return "high" if (along > 0.0) == (which == "back") else "low"
    towards = _towards_middle(axis, where)
    return "high" if (towards * along > 0.0) == (which == "inner") else "low"


def _towards_middle(axis: str, where: _Where) -> float:
    """How far it is from the middle of the stick to the middle of the piece. Raises Mistake."""
    rod = where.rod
    middle = plus(rod.frame.origin, rod.frame.x, rod.length / 2.0)
    if axis == "x":
        return -middle[0]
    if axis == "z":
        raise mistake(
            "no-inner-face",
            where.place,
            "a stick that runs level has no inner or outer face up and down.",
            "leave `on` out for all four faces",
        )
    if where.pen.desk.middle is None:
        raise mistake(
            "middle-not-said",
            where.place,
            "which face is the inner one, front to back, is not said.",
            "add `middle: ...` at the top of the file: the y of the middle plane",
        )
    return where.pen.desk.middle - middle[1]


def _narrowed(whole: _Range, to: float, side: str) -> _Range:
    low, high = whole
    if side == "none":
        return whole
    if side == "both":
        return (-to / 2.0, to / 2.0)
    return (low, low + to) if side == "high" else (high - to, high)
