"""Repeats: copies in a row along an axis, or on a line or curve and turned to it, with the gaps worked out."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import dataclass, replace

from batchwright.base.fault import Place
from batchwright.design.drawing.bodies import extent_along
from batchwright.design.drawing.copies import MOST_REPEATS
from batchwright.design.drawing.lookup import DrawnCopy, Pen
from batchwright.design.drawing.places import named_wall
from batchwright.design.drawing.points import each, items_of
from batchwright.design.drawing.rests import Rest, rest_of
from batchwright.design.drawing.views import AXES
from batchwright.design.text.mistake import Mistake, mistake
from batchwright.design.text.near import listed, offer
from batchwright.design.text.tree import Mapping, Node, Scalar
from batchwright.design.values.reading import count_of, length_of, scalar_of
from batchwright.geometry.frame import Frame, Vec3

SPACINGS = ("even gaps", "touching ends", "even pitch")
_OWN_PLACE = re.compile(r"\bplace\s*\.")
_ROUNDS = 6
_FITS = 1e-6

Draw = Callable[[Pen], DrawnCopy]
_Range = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Row:
    """What the maker asks for: how many or how near, between what, spread how, and where a message points."""

    count: int
    gap: float | None
    low: float
    high: float
    spacing: str
    place: Place
    name: str
    pen: Pen

    @property
    def room(self) -> float:
        """Length there is [mm]."""
        return self.high - self.low


def repeated(node: Node, part: Mapping, name: str, pen: Pen, draw: Draw) -> tuple[tuple[DrawnCopy, Pen], ...]:
    """The copies of a repeat, numbered from 1, each with the pen that knows its own place. Raises Mistake."""
    if not isinstance(node, Mapping):
        raise mistake(
            "repeat-form",
            node.place,
            "a repeat is said with words in { }.",
            "write `repeat: {count: 5, along: x, between: [..., ...]}`",
        )
    rest = _rest(node, pen)
    row = _row(node, name, pen)
    if isinstance(rest, Rest):
        row = replace(row, low=rest.low, high=rest.high)
    own_place = _mentions_place(part)
    places, drawn = _settled(row, rest, _Drawer(draw, pen, own_place))
    out = []
    for number, (at, (copy, own)) in enumerate(zip(places, drawn), start=1):
        pose = rest.pose(at, _width(copy, rest), _sides(copy, rest))
        body = replace(copy.body, frame=copy.body.frame.within(pose))
        out.append((replace(copy, body=body, number=number), own))
    return tuple(out)


@dataclass(frozen=True, slots=True)
class _Along:
    """Along one of the piece's axes."""

    direction: Vec3
    square: Vec3 = (0.0, 0.0, 0.0)

    def pose(self, at: float, ends: _Range, sides: _Range) -> Frame:
        """Moved along the axis, not turned."""
        d = self.direction
        return Frame((at * d[0], at * d[1], at * d[2]))


_Way = _Along | Rest


@dataclass(slots=True)
class _Drawer:
    """Draws a copy at its own place; once for all where the drawing does not ask for the place."""

    draw: Draw
    pen: Pen
    own_place: bool
    only: DrawnCopy | None = None

    def at(self, place: Vec3) -> tuple[DrawnCopy, Pen]:
        own = replace(self.pen, own=place)
        if not self.own_place:
            self.only = self.only or self.draw(own)
            return self.only, own
        return self.draw(own), own


def _mentions_place(part: Mapping) -> bool:
    return any(_says_place(node) for key, node in part.entries if key.text not in ("repeat", "note"))


def _says_place(node: Node) -> bool:
    if isinstance(node, Scalar):
        return _OWN_PLACE.search(node.text) is not None
    inner = [value for _, value in node.entries] if isinstance(node, Mapping) else list(node.items)
    return any(_says_place(item) for item in inner)


def _rest(node: Mapping, pen: Pen) -> _Way:
    along, on = node.get("along"), node.get("on")
    if (along is None) == (on is None):
        said = "says both `along` and `on`" if along is not None else "does not say where the copies go"
        raise mistake(
            "repeat-form", node.place, f"the repeat {said}.", "write `along: x` (y, z), or `on:` and a line or curve"
        )
    if along is not None:
        scalar = scalar_of(along, "along")
        if scalar.text not in AXES:
            raise mistake(
                "unknown-choice",
                scalar.place,
                f"copies go along x, y or z, not `{scalar.text}`.",
                "write `along: x`, `y` or `z`, or `on:` and the name of a line",
            )
        return _Along(AXES[scalar.text])
    assert on is not None
    wall = named_wall(scalar_of(on, "on"), pen)
    low, high = _limits(node, pen)
    return rest_of(wall, low, high, _between(node).place)


def _between(node: Mapping) -> Node:
    found = node.get("between")
    if found is None:
        raise Mistake
    return found


def _limits(node: Mapping, pen: Pen) -> _Range:
    said = _between(node)
    low, high = each(items_of(said, "between", 2), lambda item: length_of(item, pen, pen.desk.known, "between"))
    if high <= low:
        raise mistake(
            "range-runs-back",
            said.place,
            f"the repeat goes from {pen.say(low)} to {pen.say(high)}.",
            "write the smaller value first, and leave room between them",
        )
    return low, high


def _row(node: Mapping, name: str, pen: Pen) -> _Row:
    count, gap, spacing = node.get("count"), node.get("gap"), node.get("spacing")
    if (count is None) == (gap is None):
        said = "says both `count` and `gap`" if count is not None else "does not say how many copies it makes"
        raise mistake(
            "repeat-form", node.place, f"the repeat {said}.", "write `count: ...`, or `gap: ...` for the least gap"
        )
    low, high = _limits(node, pen)
    words = scalar_of(spacing, "spacing") if spacing is not None else None
    if words is not None and words.text not in SPACINGS:
        near = offer(words.text, SPACINGS)
        raise mistake(
            "unknown-choice",
            words.place,
            f"copies are spaced with {listed(SPACINGS)}, not `{words.text}`.",
            f"write {near}" if near else f"write one of {listed(SPACINGS)}",
        )
    number = count_of(count, pen, pen.desk.known, "count") if count is not None else 0
    asked = count if count is not None else gap
    assert asked is not None
    if number > MOST_REPEATS:
        raise _too_many(number, asked.place)
    least = length_of(gap, pen, pen.desk.known, "gap") if gap is not None else None
    if least is not None and least < 0.0:
        raise mistake("not-above-zero", asked.place, "the least gap is below zero.", "give a gap of zero or more")
    text = words.text if words else SPACINGS[0]
    return _Row(count=number, gap=least, low=low, high=high, spacing=text, place=asked.place, name=name, pen=pen)


def _too_many(number: int, place: Place) -> Mistake:
    return mistake(
        "too-many-copies",
        place,
        f"the repeat makes {number} copies; {MOST_REPEATS} is the most.",
        f"ask for {MOST_REPEATS} or fewer, or for a larger gap",
    )


def _width(copy: DrawnCopy, way: _Way) -> _Range:
    return extent_along(copy.body, way.direction)


def _sides(copy: DrawnCopy, way: _Way) -> _Range:
    return extent_along(copy.body, way.square) if isinstance(way, Rest) else (0.0, 0.0)


def _settled(row: _Row, way: _Way, drawer: _Drawer) -> tuple[list[float], list[tuple[DrawnCopy, Pen]]]:
    """Places along the row. Where a copy's width depends on its place, both are worked until they agree."""
    middle = 0.5 * (row.low + row.high)
    first = drawer.at(_own(way, middle, None))
    count = row.count or _as_many_as_fit(row, _width(first[0], way))
    row.pen.desk.take_copies(count, row.place)
    places = _spread(row, [_width(first[0], way)] * count)
    drawn: list[tuple[DrawnCopy, Pen]] = [first] * count
    for _ in range(_ROUNDS):
        drawn = [drawer.at(_own(way, at, last[0])) for at, last in zip(places, drawn)]
        moved = _spread(row, [_width(copy, way) for copy, _ in drawn])
        change = max(abs(a - b) for a, b in zip(moved, places))
        places = moved
        if change < _FITS or not drawer.own_place:
            break
    return places, drawn


def _own(way: _Way, at: float, copy: DrawnCopy | None) -> Vec3:
    if copy is None:
        return way.pose(at, (0.0, 0.0), (0.0, 0.0)).origin
    return way.pose(at, _width(copy, way), _sides(copy, way)).origin


def _as_many_as_fit(row: _Row, width: _Range) -> int:
    """The most copies whose gaps are no less than asked. Raises Mistake where not one fits."""
    size, gap = width[1] - width[0], row.gap or 0.0
    step = max(size + gap, 1e-9)
    count = {
        "even gaps": (row.room - gap) / step,
        "touching ends": (row.room + gap) / step,
        "even pitch": row.room / step + 1.0,
    }[row.spacing]
    whole = math.floor(count + 1e-9)
    if whole < 1:
        raise mistake(
            "repeat-does-not-fit",
            row.place,
            f"not one `{row.name}` fits: it is {row.pen.say(size)} wide and there are {row.pen.say(row.room)}.",
            "make the copies narrower, the gap smaller, or the row longer",
        )
    if whole > MOST_REPEATS:
        raise _too_many(whole, row.place)
    return whole


def _spread(row: _Row, widths: list[_Range]) -> list[float]:
    """Where the drawing's zero goes for each copy. Raises Mistake where they do not fit, with the overlap."""
    n, sizes = len(widths), [high - low for low, high in widths]
    left = row.room - sum(sizes)
    if row.spacing == "even pitch":
        pitch = row.room / (n - 1) if n > 1 else 0.0
        middles = [row.low + i * pitch for i in range(n)] if n > 1 else [0.5 * (row.low + row.high)]
        gaps = [pitch - 0.5 * (a + b) for a, b in zip(sizes, sizes[1:])]
        _check_fit(row, min(gaps, default=0.0), sizes)
        return [middle - 0.5 * (low + high) for middle, (low, high) in zip(middles, widths)]
    parts = n + 1 if row.spacing == "even gaps" else max(n - 1, 1)
    gap = left / parts
    _check_fit(row, gap if n > 1 or row.spacing == "even gaps" else left, sizes)
    at = row.low + (gap if row.spacing == "even gaps" else 0.0 if n > 1 else 0.5 * left)
    out = []
    for (low, _), size in zip(widths, sizes):
        out.append(at - low)
        at += size + gap
    return out


def _check_fit(row: _Row, gap: float, sizes: list[float]) -> None:
    if gap >= -_FITS:
        return
    raise mistake(
        "repeat-does-not-fit",
        row.place,
        f"{len(sizes)} copies of `{row.name}` do not fit: together {row.pen.say(sum(sizes))} wide "
        f"in {row.pen.say(row.room)}, "
        f"each would lap over the next by {row.pen.say(-gap)}.",
        "ask for fewer, make them narrower, or make the row longer",
        f"they are spread with {row.spacing}",
    )
