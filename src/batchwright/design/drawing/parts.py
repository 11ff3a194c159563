"""One part as the maker drew it: box, stick, strip or outline; sawn again, cut, eased; counted or repeated."""

from __future__ import annotations

from dataclasses import replace

from batchwright.base.fault import Place
from batchwright.design.drawing.bodies import Body, extent_along
from batchwright.design.drawing.boxes import check_range, draw_box
from batchwright.design.drawing.copies import COUNTS, FOUR, FRONT_AND_BACK, PAIR, Side, hand_at
from batchwright.design.drawing.cuts import draw_cuts, draw_edges, listed_items
from batchwright.design.drawing.grain import grain_of_batten, grain_of_outline, said_grain
from batchwright.design.drawing.lookup import Desk, DrawnCopy, DrawnPart, Pen
from batchwright.design.drawing.outlines import draw_outline
from batchwright.design.drawing.places import view_named
from batchwright.design.drawing.points import each, gathered, items_of
from batchwright.design.drawing.repeats import repeated
from batchwright.design.drawing.shaped import draw_shaped
from batchwright.design.drawing.sticks import draw_stick
from batchwright.design.drawing.strips import draw_strip
from batchwright.design.drawing.views import View, sawn_view
from batchwright.design.text.mistake import Mistake, mistake
from batchwright.design.text.near import listed, offer
from batchwright.design.text.tree import Mapping, Node
from batchwright.design.values.reading import length_of, scalar_of
from batchwright.geometry.frame import Vec3
from batchwright.geometry.outline import Outline
from batchwright.geometry.segment import Path
from batchwright.model.draft import HandShaped
from batchwright.model.shape import EdgeCut, PlaneCut, Prism, RegionCut, Sawn, Shape

DRAWINGS = ("box", "stick", "strip", "outline")
ON_ITS_MIDDLE = 0.5
"""A part whose middle lies this near to its mirror plane is centred on it [mm]."""


def draw_part(desk: Desk, name: str) -> DrawnPart:
    """One part with its cuts and edges, in the copies the maker drew. Raises Mistake."""
    key, node = desk.parts[name]
    count = count_of_part(node)
    kinds = [word for word in DRAWINGS if node.get(word) is not None]
    if len(kinds) != 1:
        said = f"is drawn as {listed(kinds)} at once" if kinds else "is not drawn"
        raise mistake(
            "part-not-drawn",
            key.place,
            f"the part `{name}` {said}.",
            f"draw it as one of {listed(DRAWINGS)}",
            "a part is one of four drawings",
        )

    def draw(pen: Pen) -> DrawnCopy:
        return _drawn(node, name, kinds[0], pen)

    pen = Pen(desk=desk)
    repeat = node.get("repeat")
    raw = repeated(repeat, node, name, pen, draw) if repeat is not None else ((draw(pen), pen),)
    copies = tuple(_finished(node, copy, own) for copy, own in raw)
    return DrawnPart(name=name, copies=copies, count=count, side=_side(copies, count, name, key.place, desk))


def count_of_part(node: Mapping) -> str:
    """pair, front and back, four, or nothing. Raises Mistake."""
    said = node.get("count")
    if said is None:
        return ""
    scalar = scalar_of(said, "count")
    if scalar.text not in COUNTS:
        near = offer(scalar.text, COUNTS)
        raise mistake(
            "unknown-count",
            scalar.place,
            f"a part is counted as {listed(COUNTS)}, not `{scalar.text}`.",
            f"write {near}" if near else "use `repeat: {count: ...}` for more copies in a row",
        )
    return scalar.text


def _drawn(node: Mapping, name: str, kind: str, pen: Pen) -> DrawnCopy:
    """The body before cuts and edges, and its grain."""
    view: View | None = None
    batten: Path = ()
    if kind == "box":
        body, grain = draw_box(node, name, pen)
    elif kind == "stick":
        body, grain = draw_stick(node, name, pen), (1.0, 0.0, 0.0)
    else:
        body, view, batten = _prism(node, kind, pen)
        assert isinstance(body.shape.body, Prism)
        grain = grain_of_batten(batten) if batten else grain_of_outline(body.shape.body.outline)
    return DrawnCopy(body=body, grain=said_grain(node, body, view, pen) or grain, batten=batten)


def _prism(node: Mapping, kind: str, pen: Pen) -> tuple[Body, View, Path]:
    drawing = node.get(kind)
    assert drawing is not None
    view = view_named(node.get("drawn in"), pen, node.place if node.key(kind) is None else _key_place(node, kind))
    found: dict[str, tuple[Outline, Path]] = {}

    def flat() -> None:
        found["flat"] = _flat(node, drawing, kind, view, pen)

    ranges: list[tuple[float, float]] = []
    sawn: list[Sawn] = []
    gathered((flat, lambda: ranges.append(_across(node, view, pen)), lambda: sawn.extend(_sawn_again(node, view, pen))))
    outline, batten = found["flat"]
    low, high = ranges[0]
    prism = Prism(outline=outline, low=low, high=high)
    body = Body(frame=view.frame, shape=Shape(body=prism, sawn=tuple(sawn)))
    return body, view, batten


def _key_place(node: Mapping, word: str) -> Place:
    key = node.key(word)
    return key.place if key else node.place


def _flat(node: Mapping, drawing: Node, kind: str, view: View, pen: Pen) -> tuple[Outline, Path]:
    if kind == "strip":
        return draw_strip(drawing, view, pen)
    said = node.get("mirror")
    mirror = length_of(said, pen, pen.desk.known, "mirror") if said is not None else None
    return draw_outline(drawing, mirror, view, pen), ()


def _across(node: Mapping, view: View, pen: Pen) -> tuple[float, float]:
    """The range of the third coordinate: `across: [a, b]`, or `thickness: t` centred on the view's plane."""
    across, thickness = node.get("across"), node.get("thickness")
    if (across is None) == (thickness is None):
        said = "says both `across` and `thickness`" if across is not None else "does not say how thick it is"
        place = across.place if across is not None else _key_place(node, "drawn in")
        raise mistake(
            "thickness-not-said",
            place,
            f"the part {said}.",
            "write `across: [from, to]`, or `thickness: ...`",
            f"`across` counts along {view.axis_names()[2]}; `thickness` is centred on the view's plane",
        )
    if thickness is not None:
        size = length_of(thickness, pen, pen.desk.known, "thickness")
        check_range((-0.5 * size, 0.5 * size), "the part", thickness.place, pen)
        return -0.5 * size, 0.5 * size
    assert across is not None
    low, high = each(items_of(across, "across", 2), lambda item: length_of(item, pen, pen.desk.known, "across"))
    check_range((low, high), "the part across its view", across.place, pen)
    return low, high


def _sawn_again(node: Mapping, view: View, pen: Pen) -> list[Sawn]:
    return each(listed_items(node.get("also sawn")), lambda item: _one_sawn(item, view, pen))


def _one_sawn(item: Node, view: View, pen: Pen) -> Sawn:
    kinds = [word for word in ("strip", "outline") if isinstance(item, Mapping) and item.get(word) is not None]
    if not isinstance(item, Mapping) or len(kinds) != 1:
        raise mistake(
            "sawn-form",
            item.place,
            "`also sawn` says a side of the blank and one drawing on it.",
            "write `{on: edge, strip: {...}}` or `{on: end, outline: [...]}`",
        )
    said = item.get("on")
    on = scalar_of(said, "on") if said is not None else None
    if on is None or on.text not in ("edge", "end"):
        raise mistake(
            "sawn-form",
            on.place if on else item.place,
            "`also sawn` is on the edge or on the end of the blank.",
            "write `on: edge` (first and third coordinate) or `on: end` (second and third)",
        )
    drawing = item.get(kinds[0])
    assert drawing is not None
    shape, _ = _flat(item, drawing, kinds[0], sawn_view(view, on.text), pen)
    return Sawn(on=on.text, outline=shape)


def _finished(node: Mapping, copy: DrawnCopy, pen: Pen) -> DrawnCopy:
    """Cuts and edges, worked in the copy's own place."""
    cuts: list[PlaneCut | RegionCut] = []
    edges: list[EdgeCut] = []
    shaped: list[HandShaped] = []
    low, high = extent_along(copy.body, (1.0, 0.0, 0.0))
    gathered(
        (
            lambda: cuts.extend(draw_cuts(node, copy.body, pen)),
            lambda: edges.extend(draw_edges(node, pen)),
            lambda: shaped.extend(draw_shaped(node, pen, (low + high) / 2.0)),
        )
    )
    shape = replace(copy.body.shape, cuts=copy.body.shape.cuts + tuple(cuts), edges=tuple(edges))
    return replace(copy, body=replace(copy.body, shape=shape), shaped=tuple(shaped))


def _side(copies: tuple[DrawnCopy, ...], count: str, name: str, place: Place, desk: Desk) -> Side:
    """Which of its mirrored copies was drawn. Raises Mistake for a part centred on its own mirror plane."""
    hand = depth = ""
    if count in (PAIR, FOUR):
        x = _middle(copies, (1.0, 0.0, 0.0))
        if abs(x) <= ON_ITS_MIDDLE:
            raise _centred(name, count, "x = 0", place)
        hand = hand_at(x, desk.hands)
    if count in (FRONT_AND_BACK, FOUR):
        if desk.middle is None:
            raise mistake(
                "middle-not-said",
                place,
                f"`{name}` is counted {count}, but the file does not say where the middle is.",
                "add `middle: ...` at the top: the y of the plane halfway between front and back",
            )
        y = _middle(copies, (0.0, 1.0, 0.0)) - desk.middle
        if abs(y) <= ON_ITS_MIDDLE:
            raise _centred(name, count, "the middle plane", place)
        depth = "front" if y < 0.0 else "back"
    return Side(hand=hand, depth=depth)


def _middle(copies: tuple[DrawnCopy, ...], axis: Vec3) -> float:
    ranges = [extent_along(copy.body, axis) for copy in copies]
    return 0.5 * (min(low for low, _ in ranges) + max(high for _, high in ranges))


def _centred(name: str, count: str, plane: str, place: Place) -> Mistake:
    return mistake(
        "centred-on-its-mirror",
        place,
        f"`{name}` is counted {count}, but it lies right on {plane}.",
        "draw it to one side, or leave `count` out",
        "a part and its mirror image cannot stand in the same place",
    )
