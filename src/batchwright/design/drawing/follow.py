"""An edge that follows a named line or curve, from one of its own coordinates to another."""

from __future__ import annotations

from batchwright.base.fault import Place
from batchwright.design.drawing.lookup import Pen
from batchwright.design.drawing.places import named_wall, shifted
from batchwright.design.drawing.views import Straight, View, Wall, curve_mistake, trace
from batchwright.design.text.mistake import mistake
from batchwright.design.text.tree import Mapping, Node
from batchwright.design.values.reading import length_of, scalar_of
from batchwright.geometry.curve import between, crossings_with_line
from batchwright.geometry.frame import Vec2
from batchwright.geometry.segment import Line, Path


def followed(node: Mapping, view: View, pen: Pen) -> Path:
    """`{follow: seat curve, from: 18, to: 1, by: 3/4}`, as the view's plane meets it. Raises Mistake."""
    said = node.get("follow")
    assert said is not None
    name = scalar_of(said, "follow")
    wall = named_wall(name, pen)
    by = node.get("by")
    if by is not None:
        wall = shifted(wall, length_of(by, pen, pen.desk.known, "by"), wall.name, by.place)
    low, high = (_limit(node, word, wall, pen) for word in ("from", "to"))
    if low[0] is not None and low[0] == high[0]:
        raise mistake(
            "points-fall-together",
            high[1],
            f"`from` and `to` of `{wall.name}` are the same.",
            "let the edge follow the line for some way",
            "an edge needs a length",
        )
    if wall.direction is not None:
        return _straight_piece(wall, low, high, view)
    piece = between(wall.path, _parameter(wall, low, 0.0), _parameter(wall, high, float(len(wall.path))))
    met = trace(Wall(name=wall.name, view=wall.view, path=piece), view, name.place)
    return () if isinstance(met, Straight) else met.path


_Limit = tuple[float | None, Place]


def _limit(node: Mapping, word: str, wall: Wall, pen: Pen) -> _Limit:
    said: Node | None = node.get(word)
    if said is not None:
        return length_of(said, pen, pen.desk.known, word), said.place
    if wall.straight:
        raise mistake(
            "limit-not-said",
            node.place,
            f"`{wall.name}` goes on without end, and `{word}` is not said.",
            "say both `from` and `to`",
        )
    return None, node.place


def _parameter(wall: Wall, limit: _Limit, default: float) -> float:
    at, place = limit
    if at is None:
        return default
    along = wall.longer()
    origin, direction = ((at, 0.0), (0.0, 1.0)) if along == 0 else ((0.0, at), (1.0, 0.0))
    found = crossings_with_line(wall.path, origin, direction)
    if len(found) != 1:
        raise curve_mistake(wall.name, len(found), place)
    return min(max(found[0][0], 0.0), float(len(wall.path)))


def _straight_piece(wall: Wall, low: _Limit, high: _Limit, view: View) -> Path:
    assert wall.direction is not None
    along, d = wall.longer(), wall.direction
    ends: list[Vec2] = []
    for at, _ in (low, high):
        assert at is not None
        t = (at - wall.point[along]) / d[along]
        ends.append((wall.point[0] + t * d[0], wall.point[1] + t * d[1]))
    piece = Wall(name=wall.name, view=wall.view, path=(Line(ends[0], ends[1]),))
    met = trace(piece, view, low[1])
    return () if isinstance(met, Straight) else met.path
