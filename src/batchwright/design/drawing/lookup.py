"""Names that mean something drawn: places and parts are drawn when they are first asked for, loops are told."""

from __future__ import annotations

from collections.abc import Callable
from collections.abc import Mapping as Table
from dataclasses import dataclass, field
from typing import TypeVar

from batchwright.base.fault import Fault, Place
from batchwright.design.drawing.bodies import Body, extent_along, middle_at, middle_of
from batchwright.design.drawing.copies import MIDDLE_X, PartRef, Side, middle_y
from batchwright.design.drawing.views import AXES, View, Wall, other_coordinate
from batchwright.design.text.mistake import Mistake, mistake
from batchwright.design.text.say import say
from batchwright.design.text.syntax import Coordinate
from batchwright.design.text.tree import Mapping, Node, Scalar
from batchwright.design.values.expression import unknown_name
from batchwright.design.values.order import loop_mistake
from batchwright.design.values.sizes import SizeBook
from batchwright.design.values.values import Value, length
from batchwright.geometry.frame import Vec2, Vec3
from batchwright.geometry.segment import Path
from batchwright.model.draft import Hands, HandShaped


@dataclass(frozen=True, slots=True, kw_only=True)
class SpacePoint:
    """A named point in space."""

    name: str
    point: Vec3


@dataclass(frozen=True, slots=True, kw_only=True)
class ViewPoint:
    """A named point of a view: seen from there it is a point, in the piece a line square to that view."""

    name: str
    view: View
    at: Vec2


Files = Table[str, bytes | Fault]
"""Drawing files by the names the maker gives them: their bytes, or the fault that kept us from them."""

Placed = SpacePoint | ViewPoint | Wall

T = TypeVar("T")


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnCopy:
    """One copy as the maker drew it: a repeat has several, any other part one."""

    body: Body
    grain: Vec3
    batten: Path = ()
    number: int = 0
    shaped: tuple[HandShaped, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnPart:
    """A part as drawn, before its mirror images: its copies, and which hand and depth it was drawn on."""

    name: str
    copies: tuple[DrawnCopy, ...]
    count: str
    side: Side


MOST_COPIES = 400
"""Copies that all repeats of one piece may make together."""


@dataclass(slots=True, kw_only=True)
class Desk:
    """What lies on the drawing desk while one piece is drawn: the text's places and parts, and what is drawn so far."""

    units: str
    hands: Hands
    book: SizeBook
    places: dict[str, tuple[Scalar, Node]]
    parts: dict[str, tuple[Scalar, Mapping]]
    refs: dict[str, PartRef]
    known: frozenset[str]
    offered: tuple[str, ...]
    """Names worth offering instead of one that is not known."""
    draw_place: Callable[[Desk, str], Placed]
    draw_part: Callable[[Desk, str], DrawnPart]
    middle: float | None = None
    copies_left: int = MOST_COPIES
    """How many more copies the repeats of this piece may make."""
    faults: list[Fault] = field(default_factory=list)
    files: Files = field(default_factory=dict)
    """The drawing files that outlines name, or why one could not be had."""
    views: dict[str, View] = field(default_factory=dict)
    coordinates: dict[int, Coordinate] = field(default_factory=dict)
    """Coordinates read so far, by their node's identity: a repeat draws the same text many times."""
    _placed: dict[str, Placed | None] = field(default_factory=dict)
    _drawn: dict[str, DrawnPart | None] = field(default_factory=dict)
    _open: list[str] = field(default_factory=list)

    @property
    def drawn(self) -> frozenset[str]:
        """Names of the parts that could be drawn."""
        return frozenset(name for name, part in self._drawn.items() if part is not None)

    def place(self, name: str) -> Placed:
        """A named place. Raises Mistake: with its faults the first time, empty afterwards."""
        return self._once(name, self._placed, self.draw_place)

    def part(self, name: str) -> DrawnPart:
        """A drawn part. Raises Mistake: with its faults the first time, empty afterwards."""
        return self._once(name, self._drawn, self.draw_part)

    def _once(self, name: str, done: dict[str, T | None], draw: Callable[[Desk, str], T]) -> T:
        if name in done:
            found = done[name]
            if found is None:
                raise Mistake
            return found
        if name in self._open:
            raise self._loop(name)
        self._open.append(name)
        try:
            done[name] = draw(self, name)
        except Mistake as wrong:
            self.faults += wrong.faults
            done[name] = None
            raise Mistake from None
        except ValueError as refused:
            self.faults.append(self._refused(name, refused))
            done[name] = None
            raise Mistake from None
        finally:
            self._open.pop()
        return self._once(name, done, draw)

    def _loop(self, name: str) -> Mistake:
        loop = (*self._open[self._open.index(name) :], name)
        keys = {each: (self.places.get(each) or self.parts[each])[0].place for each in loop}
        return loop_mistake(loop, keys, "drawing")

    def _refused(self, name: str, refused: ValueError) -> Fault:
        """The geometry below has refused what was asked, in its own words."""
        key = (self.places.get(name) or self.parts[name])[0]
        return Fault(
            code="cannot-be-drawn",
            place=key.place,
            what=f"`{name}` cannot be drawn: {refused}.",
            mend="look for points that fall together, widths of nothing, or a curve that doubles back",
        )

    def take_copies(self, count: int, place: Place) -> None:
        """Counts copies against what one piece may have. Raises Mistake when it is too much."""
        self.copies_left -= count
        if self.copies_left < 0:
            raise mistake(
                "too-many-copies",
                place,
                f"the repeats of this piece make more than {MOST_COPIES} copies together.",
                "repeat fewer, or describe one bay of the piece and build it several times",
            )

    def body(self, name: str, place: Place) -> Body:
        """The copy a name means: what it leaves unsaid is as drawn. Raises Mistake."""
        ref = self.refs[name]
        part = self.part(ref.part)
        body = _numbered(part, ref, name, place).body
        if ref.hand and ref.hand != part.side.hand:
            body = body.mirrored(MIDDLE_X)
        if ref.depth and ref.depth != part.side.depth:
            body = body.mirrored(middle_y(self.middle or 0.0))
        return body


def _numbered(part: DrawnPart, ref: PartRef, name: str, place: Place) -> DrawnCopy:
    last = len(part.copies)
    if not part.copies[0].number:
        return part.copies[0]
    if ref.number == 0:
        raise mistake(
            "which-copy",
            place,
            f"`{name}` is repeated {last} times: which copy is meant?",
            f"write its number: `{name} 1` to `{name} {last}`",
        )
    if ref.number > last:
        raise mistake(
            "no-such-copy",
            place,
            f"there is no `{name}`: the last one is {last}.",
            f"write a number from 1 to {last}, or ask for more copies in the repeat",
        )
    return part.copies[ref.number - 1]


@dataclass(frozen=True, slots=True, kw_only=True)
class Pen:
    """What expressions are worked with: the desk, and this copy's own place where the part is repeated."""

    desk: Desk
    own: Vec3 | None = None

    @property
    def units(self) -> str:
        """`in` or `mm`: what a bare number means."""
        return self.desk.units

    def say(self, millimetres: float) -> str:
        """A length for a message, in the file's units."""
        return say(length(millimetres), self.desk.units)

    def lookup(self, name: str, place: Place) -> Value:
        """A size or number by name. Raises Mistake for a part or place, which has no one value."""
        desk = self.desk
        if name in desk.places or name in desk.refs:
            kind = "place" if name in desk.places else "part"
            raise mistake(
                "no-one-value",
                place,
                f"`{name}` is a {kind}: it has no one value.",
                f"write one of its values, such as `{name}.x` or `{name} at z ...`",
            )
        if name not in desk.known:
            raise unknown_name(name, place, desk.offered)
        return desk.book.lookup(name, place)

    def name_at(self, name: str, axis: str, at: float, word: str, place: Place) -> Value:
        """`back line at z 24`, `leg at z 6.x`: a length. Raises Mistake."""
        desk = self.desk
        if name in desk.places:
            wall = desk.place(name)
            if not isinstance(wall, Wall):
                raise mistake(
                    "point-has-no-line",
                    place,
                    f"`{name}` is a point, so it has no value elsewhere.",
                    f"write `{name}.x`, `.y` or `.z`",
                )
            return length(other_coordinate(wall, axis, at, place))
        point = self.part_at(name, axis, at, place)
        if word not in AXES:
            raise mistake(
                "no-one-value",
                place,
                f"`{name} at {axis} ...` is a point in space, and one length is wanted.",
                "write .x, .y or .z after it",
            )
        return length(point["xyz".index(word)])

    def part_at(self, name: str, axis: str, at: float, place: Place) -> Vec3:
        """`leg at z 6`: the middle of a part's section there. Raises Mistake."""
        if name not in self.desk.refs:
            raise unknown_name(name, place, self.desk.offered)
        body = self.desk.body(name, place)
        point = middle_at(body, "xyz".index(axis), at)
        if point is None:
            runs = "runs level there and" if body.stick else "has no wood there: it"
            raise mistake(
                "part-not-there",
                place,
                f"`{name}` {runs} has no section at that {axis}.",
                f"give a value of {axis} that `{name}` reaches, or draw it from another direction",
            )
        return point

    def attribute(self, name: str, word: str, place: Place) -> Value:
        """`foot.x`, `rail.top`, `place.y`: a length. Raises Mistake."""
        if name == "place":
            return length(self._own("xyz".index(word), place))
        desk = self.desk
        if name in desk.places:
            return length(_coordinate_of(desk.place(name), word, place))
        if name not in desk.refs:
            raise unknown_name(name, place, desk.offered)
        body = desk.body(name, place)
        if word in AXES:
            return length(middle_of(body)["xyz".index(word)])
        axis, end = OUTERMOST[word]
        return length(extent_along(body, AXES[axis])[end])

    def _own(self, axis: int, place: Place) -> float:
        if self.own is None:
            raise mistake(
                "place-without-repeat",
                place,
                "`place` is a repeated copy's own place, and this part is not repeated.",
                "add `repeat: {count: ..., along: x, between: [...]}` to the part, or write a number",
            )
        return self.own[axis]


OUTERMOST = {"top": ("z", 1), "bottom": ("z", 0), "front": ("y", 0), "back": ("y", 1)}


def _coordinate_of(placed: Placed, word: str, place: Place) -> float:
    """`foot.x`: a coordinate of a named point. Raises Mistake."""
    if word in AXES and isinstance(placed, SpacePoint):
        return placed.point["xyz".index(word)]
    if word in AXES and isinstance(placed, ViewPoint):
        names = placed.view.axis_names()[:2]
        if word in names:
            return placed.at[names.index(word)]
        raise mistake(
            "axis-not-in-view",
            place,
            f"`{placed.name}` is a point of the {placed.view.name} view, which has no {word}.",
            f"write `{placed.name}.{names[0]}` or `{placed.name}.{names[1]}`",
        )
    kind = "line" if isinstance(placed, Wall) else "point"
    raise mistake(
        "no-such-value",
        place,
        f"`{placed.name}` is a {kind} and has no `.{word}`.",
        f"write `{placed.name} at z ...`" if kind == "line" else f"write `{placed.name}.x`, `.y` or `.z`",
    )


__all__ = ["Desk", "DrawnCopy", "DrawnPart", "Pen", "Placed", "SpacePoint", "ViewPoint"]
