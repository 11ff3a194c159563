"""Outlines item by item: corners, curves, arcs, edges that follow a line, rounded corners, halves mirrored."""

from __future__ import annotations

import numpy as np

from batchwright.base.fault import Fault, Place
from batchwright.design.drawing.follow import followed
from batchwright.design.drawing.lookup import Pen
from batchwright.design.drawing.places import MOST_POINTS
from batchwright.design.drawing.points import each, items_of, view_point
from batchwright.design.drawing.sketch import SAME, ArcTo, Bend, Corner, Edge, Item, both_halves, joined_up
from batchwright.design.drawing.views import View
from batchwright.design.outlines.from_file import path_from_file
from batchwright.design.text.mistake import Mistake, mistake
from batchwright.design.text.tree import Mapping, Node
from batchwright.design.values.reading import length_of, scalar_of
from batchwright.geometry.curve import flatten
from batchwright.geometry.flat import chord_count
from batchwright.geometry.frame import Vec2
from batchwright.geometry.intersection import self_crossings
from batchwright.geometry.outline import Outline, chamfer_corner, crosses_itself, outline, round_corner
from batchwright.geometry.segment import Line, Path

_COARSE, _MOST_CHORDS = 0.05, 8000
"""An outline that takes more chords than this within 0.05 mm is no part of furniture."""

_Ease = tuple[str, Vec2, float, Place]
"""round or chamfer, the corner, its size, where it is said."""


def draw_outline(node: Node, mirror: float | None, view: View, pen: Pen) -> Outline:
    """The closed outline of a part in its view; with `mirror`, the half drawn and its image. Raises Mistake."""
    if isinstance(node, Mapping) and node.key("file") is not None:
        return _from_file(node, mirror, view, pen)
    items = items_of(node, "outline")
    if len(items) < 2:
        raise mistake("outline-too-short", node.place, "an outline of one item encloses nothing.", "add more corners")
    if len(items) > MOST_POINTS:
        raise mistake(
            "too-many-points",
            node.place,
            f"the outline has {len(items)} items; {MOST_POINTS} is the most.",
            "draw its curves as battens through few points: `{curve: [...]}`",
        )
    read = each(items, lambda item: _read_item(item, view, pen))
    eases = [ease for _, ease in read if ease is not None]
    path = joined_up([item for item, _ in read], mirror)
    if mirror is not None:
        path = both_halves(path, mirror)
        eases += [(w, (2.0 * mirror - p[0], p[1]), r, at) for w, p, r, at in eases if abs(p[0] - mirror) > SAME]
    shape = closed(path, node.place, pen)
    for ease in eases:
        shape = _eased(shape, ease)
    return shape


def _from_file(node: Mapping, mirror: float | None, view: View, pen: Pen) -> Outline:
    """The closed loop of a drawing file. Raises Mistake."""
    if mirror is not None:
        raise mistake(
            "outline-file-mirrored",
            node.place,
            "an outline from a drawing file is whole: it cannot be mirrored here.",
            "take `mirror` out, and draw both halves in the file",
            "one closed loop is read from it",
        )
    path = path_from_file(node, view, pen)
    return closed(path, node.place, pen)


def _read_item(node: Node, view: View, pen: Pen) -> tuple[Item, _Ease | None]:
    if not isinstance(node, Mapping):
        return Corner(view_point(node, view, pen)), None
    at, curve, arc = node.get("at"), node.get("curve"), node.get("arc")
    if at is not None:
        point = view_point(at, view, pen)
        return Corner(point), _ease_of(node, point, pen)
    if curve is not None:
        items = items_of(curve, "curve")
        points = each(items, lambda item: view_point(item, view, pen))
        if not points:
            raise mistake("too-few-points", curve.place, "this curve goes through no point.", "add a point or more")
        return Bend(tuple(points), items, curve.place, _smooth_of(node)), None
    if arc is not None:
        through, to = each(items_of(arc, "arc", 2), lambda item: view_point(item, view, pen))
        return ArcTo(through, to), None
    if node.get("follow") is not None:
        return Edge(followed(node, view, pen)), None
    raise mistake(
        "outline-item",
        node.place,
        "this item of the outline does not say what it draws.",
        "write a corner in [ ], or one of `at`, `curve`, `arc`, `follow`",
    )


def _ease_of(node: Mapping, point: Vec2, pen: Pen) -> _Ease | None:
    for word in ("round", "chamfer"):
        said = node.get(word)
        if said is not None:
            size = length_of(said, pen, pen.desk.known, word)
            if size <= 0.0:
                raise mistake(
                    "not-above-zero", said.place, f"`{word}` must be above zero.", f"give a size, or leave `{word}` out"
                )
            return word, point, size, said.place
    return None


def _smooth_of(node: Mapping) -> str:
    said = node.get("smooth")
    if said is None:
        return ""
    scalar = scalar_of(said, "smooth")
    if scalar.text not in ("start", "end", "both"):
        raise mistake(
            "unknown-choice",
            scalar.place,
            f"`smooth` ties the start, the end or both, not `{scalar.text}`.",
            "write `smooth: start`, `end` or `both`",
        )
    return scalar.text


def closed(path: Path, place: Place, pen: Pen) -> Outline:
    """The path closed to an outline that does not cross itself. Raises Mistake."""
    if sum(chord_count(segment, _COARSE) for segment in path) > _MOST_CHORDS:
        raise mistake(
            "outline-too-long",
            place,
            "the outline is longer, or bends more often, than that of any part of furniture.",
            "look for a lost decimal point or a wrong unit in its points",
        )
    try:
        shape = outline(path, "closing edge")
    except ValueError:
        last = () if path[-1].end == path[0].start else (Line(path[-1].end, path[0].start),)
        crossed = self_crossings(path + last, closed=True) if len(path) > 2 else ()
        if crossed and not _flat(path):
            raise Mistake(crossing_fault(crossed, place, pen)) from None
        raise mistake(
            "outline-encloses-nothing",
            place,
            "the outline encloses nothing.",
            "give it three or more corners that are not on one line",
        ) from None
    crossed = crosses_itself(shape)
    if crossed:
        raise Mistake(crossing_fault(crossed, place, pen))
    return shape


def _flat(path: Path) -> bool:
    """Whether all of it lies on one line."""
    points = flatten(path, 0.1)
    spread = np.linalg.svd(points - points.mean(axis=0), compute_uv=False)
    return bool(spread[-1] < SAME)


def crossing_fault(crossed: tuple[Vec2, ...], place: Place, pen: Pen) -> Fault:
    """The fault of an outline that crosses itself."""
    u, v = crossed[0]
    more = f" and {len(crossed) - 1} more times" if len(crossed) > 1 else ""
    return Fault(
        code="outline-crosses-itself",
        place=place,
        what=f"the outline crosses itself, first at ({pen.say(u)}, {pen.say(v)}){more}.",
        why="wood can only be on one side of an edge",
        mend="look at the order of its corners, and for a curve that swings past its neighbour",
    )


def _eased(shape: Outline, ease: _Ease) -> Outline:
    word, point, size, place = ease
    name = f"{word} at {point[0]:.3f}, {point[1]:.3f}"
    try:
        return (round_corner if word == "round" else chamfer_corner)(shape, point, size, name)
    except ValueError as wrong:
        raise mistake(
            "corner-does-not-fit",
            place,
            f"this corner cannot be eased: {wrong}.",
            "make it smaller, or leave it out",
            "the arc or chamfer must touch both edges beside the corner",
        ) from None
