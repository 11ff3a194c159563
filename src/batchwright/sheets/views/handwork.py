"""Surfaces shaped by hand on a part's sheet: hatched where they lie, with their depth, and told in words."""

from __future__ import annotations

from batchwright.geometry.frame import Vec2
from batchwright.model.piece import Part, ShapedRegion
from batchwright.sheets.scene.primitives import SMALL, Hatch, HatchKind, Item, Note, Polygon
from batchwright.sheets.scene.strokes import Fill, Stroke
from batchwright.sheets.views.bench_view import BenchView
from batchwright.sheets.views.breaks import Broken
from batchwright.sheets.views.naming import face_words
from batchwright.sheets.views.printing import Printing

DOWN = {"scooped": "deep", "dished": "deep", "pillowed": "down at its edges"}


def hand_shaped(part: Part, paper: BenchView, cut: Broken, printing: Printing) -> list[Item]:
    """The regions shaped on the face that looks at the reader."""
    items: list[Item] = []
    for one in part.shaped:
        if one.face == paper.seen.value:
            items += _region(one, paper, (cut, cut(part.length) / 2.0), printing)
    return items


def _region(one: ShapedRegion, paper: BenchView, along: tuple[Broken, float], printing: Printing) -> list[Item]:
    """Hatched, its words written towards the part's middle, where there is paper for them."""
    (cut, half), across = along, paper.second
    low, high = (cut(one.low[0]), one.low[across]), (cut(one.high[0]), one.high[across])
    corners = ((low[0], low[1]), (high[0], low[1]), (high[0], high[1]), (low[0], high[1]))
    ring: tuple[Vec2, ...] = tuple(paper.pair(x, y) for x, y in corners)
    middle = paper.pair((low[0] + high[0]) / 2.0, (low[1] + high[1]) / 2.0)
    words = f"{one.kind} {printing.length(one.depth)}"
    inwards = paper.run if (low[0] + high[0]) / 2.0 < half else -paper.run
    return [
        Hatch(rings=(ring,), kind=HatchKind.WASTE),
        Polygon(rings=(ring,), fill=Fill.NONE, stroke=Stroke.WITNESS),
        Note(tip=middle, text=words, dx=8.0 * inwards, dy=12.0, dot=True, size=SMALL),
    ]


def handwork_notes(part: Part, printing: Printing) -> list[str]:
    """A sentence for each surface shaped by hand: how, how deep, where, and that nothing else draws it."""
    return [_words(one, part, printing) for one in part.shaped]


def _words(one: ShapedRegion, part: Part, printing: Printing) -> str:
    axis = 1 if one.face in ("face side", "back") else 2
    name, wide = ("face edge", part.width) if axis == 1 else ("face side", part.thickness)
    told = []
    if one.low[0] > 0.5 or one.high[0] < part.length - 0.5:
        told.append(f"{printing.pair(one.low[0], one.high[0])} from the reference end")
    if one.low[axis] > 0.5 or one.high[axis] < wide - 0.5:
        told.append(f"{printing.pair(one.low[axis], one.high[axis])} from the {name}")
    where = f", {' and '.join(told)}" if told else ", all of it"
    deep = f"{printing.length_unit(one.depth)} {DOWN[one.kind]}"
    after = ", after the joints" if part.features else ""
    return (
        f"By hand{after}: the {face_words(one.face)} {one.kind} {deep}{where}; no section shows it. It makes the "
        f"surface about {one.area_added / 100.0:.1f} cm² larger."
    )
