"""From a recipe to a solid, in the part's drawing frame: blank, shape, cuts, eased edges, shoulders, tenons, mortises.

Equal recipes give the same solid again from a cache; where a part stands does not matter, except through the edges
that are chosen by the way they look in the piece.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np

from batchwright.geometry.curve import Line
from batchwright.geometry.frame import WORLD, Frame, Vec3
from batchwright.model.shape import (
    BodyCut,
    PlaneCut,
    Prism,
    Recipe,
    RegionCut,
    Sawn,
    Shape,
    ShoulderCut,
    Stick,
)
from batchwright.solids import kernel
from batchwright.solids.bodies import bar_body, half_space, placed_prism, prism_body, ring_of, stick_body
from batchwright.solids.choose import Looks, looks_of
from batchwright.solids.ease import ease_edges
from batchwright.solids.grow import grown
from batchwright.solids.kernel import Body
from batchwright.solids.key import kept_key
from batchwright.solids.planes import sawn_frame
from batchwright.solids.solid import FaceBook, Quality, Solid, placed, solid_from

CACHE = 160
"""Solids kept: a few revisions of a large piece."""

__all__ = ["Quality", "Solid", "placed", "recipe_solid", "shape_solid"]


@dataclass(frozen=True, slots=True)
class _Work:
    """What a solid is made from; two works are equal when their keys are."""

    key: object
    recipe: Recipe = field(compare=False)
    looks: Looks = field(compare=False)
    quality: Quality = field(compare=False)


def shape_solid(shape: Shape, frame: Frame = WORLD, quality: Quality = Quality.LIVE) -> Solid:
    """The shaped part without joints, in its drawing frame.

    `frame` (the drawing frame in the world) matters only where edges are chosen by the way they look.

    Raises
    ------
    ValueError
        If the shape is empty, has no thickness, or its outline crosses itself.
    """
    looks = looks_of(shape, frame)
    quality = Quality.LIVE if straight_sided(shape) else quality
    work = _Work((kept_key(shape), looks.key, quality), Recipe(shape=shape, frame=frame), looks, quality)
    return _shaped(work)


def straight_sided(shape: Shape) -> bool:
    """Whether nothing of a shape is curved: it is then the same solid however finely curves are followed."""
    outlines = [sawn.outline for sawn in shape.sawn] + [cut.outline for cut in shape.cuts if isinstance(cut, RegionCut)]
    if isinstance(shape.body, Prism):
        outlines.append(shape.body.outline)
    elif shape.body.round:
        return False
    return not shape.edges and all(isinstance(s, Line) for outline in outlines for s in outline.segments)


def recipe_solid(recipe: Recipe, quality: Quality = Quality.LIVE) -> Solid:
    """The finished part, joints cut, in its drawing frame.

    Raises
    ------
    ValueError
        If the shape is empty, or the cuts leave nothing of it.
    """
    looks = looks_of(recipe.shape, recipe.frame)
    return _jointed(_Work((recipe_key(recipe), looks.key, quality), recipe, looks, quality))


def recipe_key(recipe: Recipe) -> object:
    """What a recipe makes in its drawing frame, as a key: equal keys are equal wood, but for edges chosen by how they
    look in the piece."""
    return kept_key(recipe)


def clear_cache() -> None:
    """Forget all solids kept."""
    _shaped.cache_clear()
    _jointed.cache_clear()


@lru_cache(maxsize=CACHE)
def _shaped(work: _Work) -> Solid:
    shape, tolerance = work.recipe.shape, work.quality.tolerance
    book = FaceBook()
    body = _blank(shape.body, tolerance, book)
    for number, sawn in enumerate(shape.sawn, start=1):
        body = _sawn_again(body, sawn, (tolerance, book, number))
    for number, cut in enumerate(shape.cuts, start=1):
        body = _cut(body, cut, (tolerance, book, number))
    solid = solid_from(body, book, "the cuts leave nothing of the part")
    return ease_edges(solid, shape, work.looks, work.quality) if shape.edges else solid


def _blank(body: Prism | Stick, tolerance: float, book: FaceBook) -> Body:
    if isinstance(body, Stick):
        return stick_body(body, tolerance, book)
    ring = ring_of(body.outline, tolerance, book)
    caps = book.add("low", True), book.add("high", True)
    return prism_body(ring, body.low, body.high, caps)


_Entry = tuple[float, FaceBook, int]


def _sawn_again(body: Body, sawn: Sawn, entry: _Entry) -> Body:
    tolerance, book, _ = entry
    frame = sawn_frame(sawn)
    low, high = kernel.box_of(body)
    along = int(np.argmax(np.abs(frame.z)))
    ring = ring_of(sawn.outline, tolerance, book, "sawn ")
    caps = book.add("sawn low", True), book.add("sawn high", True)
    tool = placed_prism(ring, (float(low[along]) - 5.0, float(high[along]) + 5.0), caps, frame)
    left = kernel.common(body, tool)
    if kernel.nothing_left(left):
        raise ValueError("the outline sawn on the same blank leaves nothing of the part")
    return left


def _cut(body: Body, cut: PlaneCut | RegionCut, entry: _Entry) -> Body:
    tolerance, book, number = entry
    box = kernel.box_of(body)
    if isinstance(cut, PlaneCut):
        return kernel.subtracted(body, [half_space(cut.plane, box, book.add(f"cut {number}", True))])
    middle = cut.frame.to_local(_middle(box))[2]
    reach = float(np.linalg.norm(box[1] - box[0])) + 10.0
    ring = ring_of(cut.outline, tolerance, book, f"cut {number} ")
    caps = book.add(f"cut {number} low", True), book.add(f"cut {number} high", True)
    tool = placed_prism(ring, (middle - reach, middle + reach), caps, cut.frame)
    return kernel.subtracted(body, [tool])


def _middle(box: tuple[np.ndarray, np.ndarray]) -> Vec3:
    x, y, z = ((box[0] + box[1]) / 2.0).tolist()
    return (x, y, z)


@lru_cache(maxsize=CACHE)
def _jointed(work: _Work) -> Solid:
    recipe, quality = work.recipe, work.quality
    shaped = shape_solid(recipe.shape, recipe.frame, quality)
    if not (recipe.shoulders or recipe.adds or recipe.cuts or recipe.bodies):
        return shaped
    book = FaceBook()
    book.faces, book.joins, book.notes = list(shaped.book), set(shaped.joins), list(shaped.notes)
    body = shaped.body
    for number, shoulder in enumerate(recipe.shoulders, start=1):
        body = _shoulder(body, shoulder, book.add(f"shoulder {number}", True))
    body = kernel.subtracted(body, [_body_tool(cut, quality, book) for cut in recipe.bodies if not cut.tenons_too])
    adds = [bar_body(t, quality.tolerance, book, f"tenon {i}") for i, t in enumerate(recipe.adds, start=1)]
    cuts = [bar_body(t, quality.tolerance, book, f"mortise {i}") for i, t in enumerate(recipe.cuts, start=1)]
    cuts += [_body_tool(cut, quality, book) for cut in recipe.bodies if cut.tenons_too]
    body = kernel.subtracted(kernel.united([body, *adds]), cuts)
    return solid_from(body, book, "the joints leave nothing of the part")


def _body_tool(cut: BodyCut, quality: Quality, book: FaceBook) -> Body:
    """Another part's shape as a tool, its faces named `housing ...`."""
    shape = grown(cut.shape, cut.grow) if cut.grow else cut.shape
    solid = placed(shape_solid(shape, cut.frame, quality), cut.frame)
    return kernel.body_of(solid.vertices, solid.triangles, book.take(solid, "housing"))


def _shoulder(body: Body, shoulder: ShoulderCut, face: int) -> Body:
    """Cut off the limb beyond the plane that reaches out to the end point; other limbs of a bent part stay."""
    beyond = half_space(shoulder.plane, kernel.box_of(body), face)
    gone_with, left = kernel.parted(body, beyond)
    limbs = kernel.separate(gone_with)
    if len(limbs) < 2:
        return left
    end = np.array(shoulder.end_point)
    gone = min(range(len(limbs)), key=lambda i: _distance(limbs[i], end))
    return kernel.united([left, *(limb for i, limb in enumerate(limbs) if i != gone)])


def _distance(body: Body, point: np.ndarray) -> float:
    """How far a point lies outside a body's box, then how far from its nearest corner [mm]."""
    low, high = kernel.box_of(body)
    outside = float(np.linalg.norm(np.maximum(0.0, np.maximum(low - point, point - high))))
    vertices, _, _ = kernel.mesh_of(body)
    return outside * 1e3 + float(np.linalg.norm(vertices - point, axis=1).min())
