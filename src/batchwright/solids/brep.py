"""From a recipe to an exact body: the same steps as the mesh, with lines, arcs and splines kept as they were drawn.

Nothing here reads the mesh but the choice of which edges are eased.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from batchwright.geometry.curve import Arc, Line
from batchwright.geometry.frame import WORLD, Array, Frame, Vec2, Vec3
from batchwright.geometry.segment import Path
from batchwright.model.shape import (
    BodyCut,
    PlaneCut,
    Prism,
    Recipe,
    RegionCut,
    Sawn,
    Section,
    Shape,
    ShoulderCut,
    Station,
    Stick,
    Tool,
)
from batchwright.solids import brep_kernel as kernel
from batchwright.solids.bodies import goes_on_straight
from batchwright.solids.brep_block import half_space, rectangle
from batchwright.solids.brep_ease import ease_edges
from batchwright.solids.brep_kernel import Exact
from batchwright.solids.grow import grown
from batchwright.solids.planes import sawn_frame

CRUMB = 0.5
"""A loose piece smaller than this is sawdust [mm^3]."""
THIN = 1e-9
"""A side of a stick narrower than this is none [mm]."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ExactPart:
    """A part's exact body in its drawing frame, and what of it could not be made, in words."""

    body: Exact
    notes: tuple[str, ...] = ()

    @property
    def solids(self) -> int:
        """How many solids it falls into: one, where all is well."""
        return len(kernel.pieces(self.body))


@dataclass(slots=True)
class _Notes:
    lines: list[str] = field(default_factory=list)


def exact_part(recipe: Recipe) -> ExactPart:
    """The finished part, joints cut.

    Raises
    ------
    ValueError
        If the kernel cannot make one of its steps, or the cuts leave nothing.
    """
    notes = _Notes()
    body = _shaped(recipe.shape, recipe.frame, notes)
    for shoulder in recipe.shoulders:
        body = _shouldered(body, shoulder)
    body = kernel.subtracted(body, [_body_tool(cut, notes) for cut in recipe.bodies if not cut.tenons_too])
    body = kernel.united(body, [_bar(tool) for tool in recipe.adds])
    later = [_body_tool(cut, notes) for cut in recipe.bodies if cut.tenons_too]
    body = kernel.subtracted(body, [*(_bar(tool) for tool in recipe.cuts), *later])
    return ExactPart(body=_whole(body), notes=tuple(dict.fromkeys(notes.lines)))


def exact_shape(shape: Shape, frame: Frame = WORLD) -> ExactPart:
    """The shaped part without joints; raises as `exact_part`."""
    notes = _Notes()
    return ExactPart(body=_whole(_shaped(shape, frame, notes)), notes=tuple(dict.fromkeys(notes.lines)))


def _whole(body: Exact) -> Exact:
    """The body without sawdust; one solid as itself."""
    kept = kernel.pieces(body)
    if len(kept) > 1:
        kept = [piece for piece in kept if kernel.volume(piece) >= CRUMB]
    if not kept:
        raise ValueError("the cuts leave nothing of the part")
    return kept[0] if len(kept) == 1 else body


def _shaped(shape: Shape, frame: Frame, notes: _Notes) -> Exact:
    body = _blank(shape.body)
    for sawn in shape.sawn:
        body = _sawn_again(body, sawn)
    for cut in shape.cuts:
        body = _cut(body, cut)
    if shape.edges:
        body = _whole(body)
        body, sharp = ease_edges(body, shape, frame)
        notes.lines += sharp
    return body


def _blank(body: Prism | Stick) -> Exact:
    if isinstance(body, Prism):
        return kernel.prism(body.outline.segments, body.low, body.high)
    stations = body.stations
    turns = [
        k
        for k in range(len(stations))
        if k in (0, len(stations) - 1) or not goes_on_straight(stations[k - 1], stations[k], stations[k + 1])
    ]
    kept = [stations[k] for k in turns]
    return _round_stick(kept) if body.round else _square_stick(kept)


def _square_stick(stations: Sequence[Station]) -> Exact:
    rings = [_corners(one) for one in stations]
    sides = [
        np.array([a[i], a[(i + 1) % 4], b[(i + 1) % 4], b[i]])
        for a, b in zip(rings, rings[1:], strict=False)
        for i in range(4)
    ]
    polygons = [_without_repeats(one) for one in (rings[0][::-1], rings[-1], *sides)]
    return kernel.polyhedron([one for one in polygons if len(one) > 2])


def _corners(station: Station) -> Array:
    (v0, v1), (w0, w1) = station.v, station.w
    return np.array([(station.at, v, w) for v, w in ((v0, w0), (v1, w0), (v1, w1), (v0, w1))])


def _without_repeats(polygon: Array) -> Array:
    kept: Array = polygon[np.linalg.norm(polygon - np.roll(polygon, -1, axis=0), axis=1) > THIN]
    return kept


def _round_stick(stations: Sequence[Station]) -> Exact:
    return kernel.rounds([(one.at, (_mean(one.v), _mean(one.w)), (_half(one.v), _half(one.w))) for one in stations])


def _mean(span: Vec2) -> float:
    return (span[0] + span[1]) / 2.0


def _half(span: Vec2) -> float:
    return (span[1] - span[0]) / 2.0


def _sawn_again(body: Exact, sawn: Sawn) -> Exact:
    frame = sawn_frame(sawn)
    low, high = kernel.box_of(body)
    along = int(np.argmax(np.abs(frame.z)))
    tool = kernel.prism(sawn.outline.segments, float(low[along]) - 5.0, float(high[along]) + 5.0)
    return kernel.common(body, kernel.moved(tool, frame.matrix()))


def _cut(body: Exact, cut: PlaneCut | RegionCut) -> Exact:
    if isinstance(cut, PlaneCut):
        return kernel.subtracted(body, [half_space(cut.plane, kernel.box_of(body))])
    low, high = kernel.box_of(body)
    middle = cut.frame.to_local(_vec(low + high))[2]
    reach = float(np.linalg.norm(high - low)) + 10.0
    tool = kernel.prism(cut.outline.segments, middle - reach, middle + reach)
    return kernel.subtracted(body, [kernel.moved(tool, cut.frame.matrix())])


def _vec(twice: Array) -> Vec3:
    x, y, z = (twice / 2.0).tolist()
    return (x, y, z)


def _shouldered(body: Exact, shoulder: ShoulderCut) -> Exact:
    """Cut off the limb beyond the plane that reaches out to the end point; other limbs of a bent part stay."""
    beyond = half_space(shoulder.plane, kernel.box_of(body))
    left = kernel.subtracted(body, [beyond])
    limbs = kernel.pieces(kernel.common(body, beyond))
    if len(limbs) < 2:
        return left
    end = np.array(shoulder.end_point)
    gone = min(range(len(limbs)), key=lambda i: _distance(limbs[i], end))
    return kernel.united(left, [limb for i, limb in enumerate(limbs) if i != gone])


def _distance(body: Exact, point: Array) -> float:
    """How far a point lies outside a body's box, then how far from its nearest edge [mm]."""
    low, high = kernel.box_of(body)
    outside = float(np.linalg.norm(np.maximum(0.0, np.maximum(low - point, point - high))))
    places = np.vstack([arris.points for arris in kernel.arrises(body)])
    return outside * 1e3 + float(np.linalg.norm(places - point, axis=1).min())


def _body_tool(cut: BodyCut, notes: _Notes) -> Exact:
    shape = grown(cut.shape, cut.grow) if cut.grow else cut.shape
    return kernel.moved(_shaped(shape, cut.frame, notes), cut.frame.matrix())


def _bar(tool: Tool) -> Exact:
    """The bar of a joint where its frame puts it."""
    body = _section(tool)
    around = (
        np.array([-tool.width, -tool.thickness, tool.start]),
        np.array([tool.width, tool.thickness, tool.end]),
    )
    cuts = [half_space(plane, around) for plane in tool.planes]
    return kernel.moved(kernel.subtracted(body, cuts), tool.frame.matrix())


def _section(tool: Tool) -> Exact:
    a, b = tool.width / 2.0, tool.thickness / 2.0
    if tool.section is Section.SQUARE:
        return kernel.prism(rectangle(tool.width, tool.thickness), tool.start, tool.end)
    if tool.section is Section.ROUND_ENDED and abs(a - b) > THIN:
        return kernel.prism(_slot(a, b), tool.start, tool.end)
    return _round_bar(tool, (a, b))


def _slot(a: float, b: float) -> Path:
    """A slot as long as 2 a and as wide as 2 b, or the other way round, with half circles at its ends."""
    turned = b > a
    a, b = max(a, b), min(a, b)

    def at(x: float, y: float) -> Vec2:
        return (-y, x) if turned else (x, y)

    c = a - b
    return (
        Line(at(-c, -b), at(c, -b)),
        Arc(at(c, -b), at(a, 0.0), at(c, b)),
        Line(at(c, b), at(-c, b)),
        Arc(at(-c, b), at(-a, 0.0), at(-c, -b)),
    )


def _round_bar(tool: Tool, half: Vec2) -> Exact:
    a, b = half
    if math.isclose(a, b, abs_tol=1e-9):
        circle = (Arc((a, 0.0), (0.0, a), (-a, 0.0)), Arc((-a, 0.0), (0.0, -a), (a, 0.0)))
        return kernel.prism(circle, tool.start, tool.end)
    body = kernel.rounds([(at, (0.0, 0.0), half) for at in (tool.start, tool.end)])
    return kernel.moved(body, np.array([(0.0, 1.0, 0.0, 0.0), (0.0, 0.0, 1.0, 0.0), (1.0, 0.0, 0.0, 0.0)]))
