"""Eased edges of an exact body: the edges that the mesh has eased, found by where they lie. What fails is told.

All at once with the kernel's own rounds and chamfers. Where those fail (at the kink where a leg's taper begins, say)
straight edges with a cutter run along them and curved ones one by one, or the other way round.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from batchwright.geometry.frame import Array, Frame
from batchwright.model.shape import EdgeCut, EdgeKind, Shape
from batchwright.solids import brep_kernel as kernel
from batchwright.solids.brep_cutter import cutters, is_straight
from batchwright.solids.brep_kernel import Arris, Exact
from batchwright.solids.build import shape_solid
from batchwright.solids.easing import removed_area
from batchwright.solids.edges import Arrises, arrises_of
from batchwright.solids.solid import Quality, Solid

ON = 0.05
"""An exact edge lies on a mesh's where it is nearer than this [mm]: the mesh follows curves to 0.01 mm."""
GONE = 0.4
"""An edge has been eased where no edge is left nearer to it than this share of the easing's size."""
LEAST, MOST = 0.6, 1.2
"""What an easing takes off, as a share of its section times the edges' length: corners share, inside curves do not."""
SAME_OFF, SAME_WHOLE = 0.02, 1e-4
"""What an easing takes off may differ from what the mesh loses by such shares of that and of the whole."""
TURNS = 0.15
"""Faces that turn by less than this (8.6 degrees) have no arris to ease [rad]."""


def ease_edges(body: Exact, shape: Shape, frame: Frame) -> tuple[Exact, list[str]]:
    """The body with its edges eased, in the order given, and a line for each easing that leaves edges sharp."""
    notes: list[str] = []
    for count, cut in enumerate(shape.edges, start=1):
        before = shape_solid(replace(shape, edges=shape.edges[: count - 1]), frame, Quality.FINE)
        after = shape_solid(replace(shape, edges=shape.edges[:count]), frame, Quality.FINE)
        lines = _lines(before), _lines(after)
        meant = [arris for arris in kernel.arrises(body) if _is_eased(arris, *lines, cut.size)]
        if not meant:
            continue
        body, sharp = _eased(body, meant, cut, before.volume - after.volume)
        if sharp:
            what = f"{cut.kind.value} of {cut.size:.3g} mm on {cut.on}"
            notes.append(f"{what}: {sharp} of {len(meant)} edges could not be eased in STEP and are left sharp there")
    return body, notes


@dataclass(frozen=True, slots=True, eq=False)
class _Lines:
    """The arrises of a mesh: their first ends (n, 3), and from there to their second ones (n, 3)."""

    start: Array
    span: Array

    def distance(self, point: Array) -> float:
        """From a point to the nearest of them [mm]."""
        if len(self.start) == 0:
            return float("inf")
        away = point - self.start
        size = np.einsum("ij,ij->i", self.span, self.span)
        share = np.clip(np.einsum("ij,ij->i", away, self.span) / np.where(size > 0.0, size, 1.0), 0.0, 1.0)
        return float(np.linalg.norm(away - share[:, None] * self.span, axis=1).min())


def _lines(solid: Solid) -> _Lines:
    found: Arrises = arrises_of(solid)
    ends = solid.vertices[found.ends]
    return _Lines(ends[:, 0], ends[:, 1] - ends[:, 0])


def _is_eased(arris: Arris, before: _Lines, after: _Lines, size: float) -> bool:
    """Whether an edge stands out, is one of the mesh's before, and lies far from every one of the mesh's after."""
    if float(np.median(arris.angle)) < TURNS:
        return False
    places = (arris.points[1], arris.points[len(arris.points) // 2], arris.points[-2])
    if max(before.distance(place) for place in places) > ON:
        return False
    return sum(after.distance(place) > GONE * size for place in places) >= 2


_Tried = tuple[Exact, int]
"""A body with edges eased, and how many of those that were meant stayed sharp."""


def _eased(body: Exact, meant: Sequence[Arris], cut: EdgeCut, off: float) -> _Tried:
    """The body with those edges eased as far as the kernel can: the first way that leaves none sharp and takes off what
    the mesh loses, else the one that leaves the fewest."""
    whole = kernel.volume(body)
    straight = [arris for arris in meant if is_straight(arris)]
    curved = [arris for arris in meant if not is_straight(arris)]
    best: _Tried = (body, len(meant))
    ways: tuple[Callable[[], _Tried], ...] = (
        lambda: _all_at_once(body, meant, cut),
        lambda: _then(_cut_along(body, straight, cut), lambda one: _one_by_one(one, curved, cut)),
        lambda: _then(_one_by_one(body, curved, cut), lambda one: _cut_along(one, straight, cut)),
        lambda: _one_by_one(body, meant, cut),
    )
    for way in ways:
        tried = way()
        if tried[1] == 0 and abs(whole - kernel.volume(tried[0]) - off) > SAME_OFF * off + SAME_WHOLE * whole:
            continue
        if tried[1] < best[1]:
            best = tried
        if best[1] == 0:
            break
    return best


def _then(first: _Tried, more: Callable[[Exact], _Tried]) -> _Tried:
    body, sharp = more(first[0])
    return body, first[1] + sharp


def _all_at_once(body: Exact, meant: Sequence[Arris], cut: EdgeCut) -> _Tried:
    try:
        return _checked(body, _kernel_eased(body, meant, cut), meant, cut), 0
    except ValueError:
        return body, len(meant)


def _kernel_eased(body: Exact, edges: Sequence[Arris], cut: EdgeCut) -> Exact:
    return (kernel.rounded if cut.kind is EdgeKind.ROUND else kernel.chamfered)(body, edges, cut.size)


def _cut_along(body: Exact, straight: Sequence[Arris], cut: EdgeCut) -> _Tried:
    if not straight:
        return body, 0
    try:
        left = kernel.subtracted(body, cutters(body, straight, cut))
        return _checked(body, left, straight, cut), 0
    except ValueError:
        return body, len(straight)


def _one_by_one(body: Exact, meant: Sequence[Arris], cut: EdgeCut) -> _Tried:
    """The longest first; edges that run on into one already eased are eased with it."""
    sharp = 0
    for arris in sorted(meant, key=_length, reverse=True):
        line = _Lines(_run(arris)[:-1], np.diff(_run(arris), axis=0))
        here = [one for one in kernel.arrises(body) if _lies_on(one, line)]
        try:
            body = _checked(body, _kernel_eased(body, here, cut), here, cut) if here else body
        except ValueError:
            sharp += 1
    return body, sharp


def _checked(before: Exact, after: Exact, edges: Sequence[Arris], cut: EdgeCut) -> Exact:
    """What was eased, if it is one sound solid and what was taken off is about what should be: the kernel may call a
    body done and sound that has lost nothing, or half of itself."""
    found = kernel.pieces(after)
    if len(found) != 1 or not kernel.is_sound(found[0]):
        raise ValueError("easing the edges leaves no sound body")
    wanted = sum(_length(one) * removed_area(cut, math.pi - float(np.median(one.angle))) for one in edges)
    off = kernel.volume(before) - kernel.volume(found[0])
    if not LEAST * wanted < off < MOST * wanted:
        raise ValueError("easing the edges takes off too little or too much")
    return found[0]


def _run(arris: Arris) -> Array:
    return np.vstack([arris.ends[:1], arris.points, arris.ends[1:]])


def _length(arris: Arris) -> float:
    return float(np.linalg.norm(np.diff(_run(arris), axis=0), axis=1).sum())


def _lies_on(arris: Arris, line: _Lines) -> bool:
    """Whether an edge is what is left of one that was there before others were eased."""
    middle = arris.points[len(arris.points) // 2]
    length = float(np.linalg.norm(line.span, axis=1).sum())
    return float(np.median(arris.angle)) > TURNS and line.distance(middle) < max(ON, 0.01 * length)
