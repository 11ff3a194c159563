"""Surfaces shaped by hand: scooped, dished or pillowed; how deep, on which face, and where on it."""

from __future__ import annotations

import math

from batchwright.base.fault import Place
from batchwright.design.drawing.cuts import listed_items
from batchwright.design.drawing.lookup import Pen
from batchwright.design.drawing.points import each, items_of
from batchwright.design.text.mistake import Mistake, mistake
from batchwright.design.text.near import listed, offer
from batchwright.design.text.tree import Mapping, Node
from batchwright.design.values.reading import length_of, scalar_of
from batchwright.geometry.frame import Plane, Vec3
from batchwright.model.draft import Hands, HandShaped

KINDS = ("scooped", "dished", "pillowed")
FACES = ("upper", "lower", "front", "back", "left", "right", "inner", "outer")
_LOOKS: dict[str, Vec3] = {
    "upper": (0.0, 0.0, 1.0), "lower": (0.0, 0.0, -1.0), "front": (0.0, -1.0, 0.0), "back": (0.0, 1.0, 0.0),
}  # fmt: skip


def draw_shaped(part: Mapping, pen: Pen, middle: float) -> tuple[HandShaped, ...]:
    """What is shaped by hand on the drawn copy; `middle` is the x of its middle. Raises Mistake."""
    return tuple(each(listed_items(part.get("shaped")), lambda item: _one(item, pen, middle)))


def _one(node: Node, pen: Pen, middle: float) -> HandShaped:
    kinds = [word for word in KINDS if isinstance(node, Mapping) and node.get(word) is not None]
    if not isinstance(node, Mapping) or len(kinds) != 1:
        raise mistake(
            "shaped-form",
            node.place,
            f"a surface shaped by hand says one of {listed(KINDS)}, and how deep.",
            "write `{scooped: 3/8 in, on: upper face}`",
        )
    said = node.get(kinds[0])
    assert said is not None
    depth = length_of(said, pen, pen.desk.known, kinds[0])
    if depth <= 0.0:
        raise mistake("not-above-zero", said.place, f"`{kinds[0]}` must be above zero.", "give its depth")
    ranges = each("xyz", lambda axis: _range(node, axis, pen))
    return HandShaped(
        kind=kinds[0],
        depth=depth,
        looks=_looks(node, pen, middle),
        low=(ranges[0][0], ranges[1][0], ranges[2][0]),
        high=(ranges[0][1], ranges[1][1], ranges[2][1]),
        along=_along(node),
        place=node.place,
    )


def _looks(node: Mapping, pen: Pen, middle: float) -> Vec3:
    said = node.get("on")
    if said is None:
        raise Mistake
    scalar = scalar_of(said, "on")
    word = scalar.text.strip().removesuffix(" face")
    if word not in FACES:
        near = offer(word, FACES)
        raise mistake(
            "unknown-face",
            scalar.place,
            f"there is no face called `{scalar.text}`.",
            f"write {near.replace('`', '')} face"
            if near
            else f"write one of {listed(f'{face} face' for face in FACES)}",
        )
    if word in _LOOKS:
        return _LOOKS[word]
    if word in ("left", "right"):
        left = 1.0 if pen.desk.hands is Hands.AS_SEATED else -1.0
        return (left if word == "left" else -left, 0.0, 0.0)
    if abs(middle) < 0.5:
        raise mistake(
            "unknown-face",
            scalar.place,
            f"the part lies on the middle of the piece, so it has no {word} face.",
            "write `left face` or `right face`",
        )
    return (math.copysign(1.0, middle if word == "outer" else -middle), 0.0, 0.0)


def _range(node: Mapping, axis: str, pen: Pen) -> tuple[float, float]:
    said = node.get(axis)
    if said is None:
        return -math.inf, math.inf
    low, high = each(items_of(said, axis, 2), lambda item: length_of(item, pen, pen.desk.known, axis))
    if high - low < 0.1:
        raise _runs_back(axis, said.place, (pen.say(low), pen.say(high)))
    return low, high


def _runs_back(axis: str, place: Place, ends: tuple[str, str]) -> Mistake:
    return mistake(
        "range-runs-back",
        place,
        f"the shaped region along {axis} runs from {ends[0]} to {ends[1]}.",
        "write the smaller value first",
        "a range goes from the smaller to the greater value",
    )


def _along(node: Mapping) -> str:
    said = node.get("along")
    if said is None:
        return ""
    scalar = scalar_of(said, "along")
    if scalar.text.strip() not in ("x", "y", "z"):
        raise mistake("unknown-choice", scalar.place, f"`along: {scalar.text}` is no axis.", "write x, y or z")
    return scalar.text.strip()


def mirrored(shaped: tuple[HandShaped, ...], plane: Plane) -> tuple[HandShaped, ...]:
    """The same on a part's mirror image in a plane square to x or y."""
    return tuple(_image(one, plane) for one in shaped)


def _image(one: HandShaped, plane: Plane) -> HandShaped:
    axis = max(range(3), key=lambda i: abs(plane.normal[i]))
    about = plane.point[axis]
    low, high, looks = list(one.low), list(one.high), list(one.looks)
    low[axis], high[axis] = 2.0 * about - one.high[axis], 2.0 * about - one.low[axis]
    looks[axis] = -looks[axis]
    return HandShaped(
        kind=one.kind, depth=one.depth, looks=(looks[0], looks[1], looks[2]), low=(low[0], low[1], low[2]),
        high=(high[0], high[1], high[2]), along=one.along, place=one.place,
    )  # fmt: skip
