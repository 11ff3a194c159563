"""Which numbers of a part's text say where it ends: what is changed when it is drawn wider, thicker or further off."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from batchwright.design.drawing.views import AXES_OF
from batchwright.design.text.names import spelled
from batchwright.design.text.tree import Mapping, Node, Scalar, Sequence, Way

AXES = ("x", "y", "z")


@dataclass(frozen=True, slots=True, kw_only=True)
class Adjustable:
    """One number of a part: where it stands, its axis, and how it moves the part's faces.

    `end` is -1 or 1 for the least or greatest end along the axis; 0 for a size that grows to both sides.
    """

    way: Way
    axis: str
    end: int


def side_of(word: str, hands: str) -> tuple[str, int] | None:
    """The axis and end that a word of the piece means: front, back, left, right, top or bottom."""
    left = 1 if hands == "as seated" else -1
    sides = {
        "front": ("y", -1), "back": ("y", 1), "bottom": ("z", -1), "top": ("z", 1),
        "left": ("x", left), "right": ("x", -left),
    }  # fmt: skip
    return sides.get(word)


def adjustables(part: Node | None, parts: Collection[str]) -> tuple[Adjustable, ...]:
    """The numbers of a part that say where it ends. An end that is the middle of another part cannot be moved alone."""
    if not isinstance(part, Mapping):
        return ()
    tapered = part.get("taper") is not None
    found = [*_of_box(part.get("box"), parts), *([] if tapered else _of_section(part.get("section")))]
    view = part.get("drawn in")
    third = AXES_OF[view.text][2] if isinstance(view, Scalar) and view.text in AXES_OF else ""
    if third:
        found += _pair(part.get("across"), third, parts)
        thickness = part.get("thickness")
        if isinstance(thickness, Scalar):
            found.append(Adjustable(way=thickness.way, axis=third, end=0))
    return tuple(found)


def _of_box(box: Node | None, parts: Collection[str]) -> list[Adjustable]:
    if not isinstance(box, Mapping):
        return []
    return [each for axis in AXES for each in _pair(box.get(axis), axis, parts)]


def _pair(node: Node | None, axis: str, parts: Collection[str]) -> list[Adjustable]:
    if not isinstance(node, Sequence) or len(node.items) != 2:
        return []
    ends = [item for item in node.items if isinstance(item, Scalar)]
    return [
        Adjustable(way=item.way, axis=axis, end=end)
        for item, end in zip(ends, (-1, 1))
        if len(ends) == 2 and spelled(item.text.strip()) not in parts
    ]


def _of_section(section: Node | None) -> list[Adjustable]:
    if not isinstance(section, Mapping):
        return []
    sizes = [(axis, section.get(axis)) for axis in AXES]
    return [Adjustable(way=node.way, axis=axis, end=0) for axis, node in sizes if isinstance(node, Scalar)]


def growing_sides(part: Node | None, parts: Collection[str], hands: str) -> tuple[str, ...]:
    """The words of the sides on which a part can be drawn larger or smaller by changing one number."""
    found = adjustables(part, parts)
    words = ("front", "back", "left", "right", "top", "bottom")
    out = []
    for word in words:
        side = side_of(word, hands)
        if side is not None and any(each.axis == side[0] and each.end in (0, side[1]) for each in found):
            out.append(word)
    return tuple(out)
