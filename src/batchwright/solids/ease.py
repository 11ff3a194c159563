"""Eased edges: rounds and chamfers cut along the arrises that are meant. One that cannot be made is told in a note."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from batchwright.geometry.frame import vec3
from batchwright.model.shape import EdgeCut, EdgeKind, Shape
from batchwright.solids import kernel
from batchwright.solids.choose import Looks, is_meant, long_way, pairs_of, why_none
from batchwright.solids.easing import Sweep, folds, lengthened, reach_of, sweep_of, tool_of
from batchwright.solids.edges import Arrises, Chain, arrises_of, chains_of
from batchwright.solids.kernel import Body, Ints
from batchwright.solids.rays import contains, thickness
from batchwright.solids.solid import FaceBook, Quality, Solid, solid_from


def ease_edges(solid: Solid, shape: Shape, looks: Looks, quality: Quality) -> Solid:
    """The solid with its edges eased, in the order given; what could not be eased is told in its notes."""
    looks = replace(looks, long=long_way(shape))
    for cut in shape.edges:
        solid = _eased(solid, cut, looks, quality)
    return solid


def _eased(solid: Solid, cut: EdgeCut, looks: Looks, quality: Quality) -> Solid:
    if cut.size <= 0.0:
        return _noted(solid, f"{_what(cut)}: the size must be above zero")
    before = solid
    for word in _passes(solid, cut):
        solid = _pass(solid, cut, (word, looks), quality)
    if solid is before:
        return _noted(solid, f"{_what(cut)}: {why_none(cut.on, looks)}")
    return replace(solid, notes=tuple(dict.fromkeys(solid.notes)))


def _passes(solid: Solid, cut: EdgeCut) -> tuple[str, ...]:
    """The words of one easing, in turn. Where all is square the ends are rounded after the long edges, so that the
    cutter goes round the rounded corners and leaves them like a ball."""
    if cut.kind is EdgeKind.CHAMFER or cut.on != "all":
        return (cut.on,)
    arrises = arrises_of(solid)
    square = np.abs(np.einsum("ij,ij->i", arrises.normal_a, arrises.normal_b)) < 0.02
    plain = all(solid.book[number].flat for number in np.unique(solid.faces).tolist())
    return ("long edges", "all") if plain and bool(square.all()) else ("all",)


def _what(cut: EdgeCut) -> str:
    return f"{cut.kind.value} of {cut.size:.3g} mm on {cut.on}"


def _pass(solid: Solid, cut: EdgeCut, meant: tuple[str, Looks], quality: Quality) -> Solid:
    """The arrises of one word eased; the same solid if there are none."""
    arrises = arrises_of(solid)
    chosen = [
        numbers for numbers in pairs_of(arrises) if is_meant(meant[0], arrises, numbers, (solid, meant[1]))
    ]
    if not chosen:
        return solid
    book = FaceBook()
    book.faces, book.joins, book.notes = list(solid.book), set(solid.joins), list(solid.notes)
    tools: list[Body] = []
    first = len(book.faces)
    for chain in chains_of(arrises, np.sort(np.concatenate(chosen)), solid):
        tools += _chain_tools((solid, arrises, chain), cut, book, quality)
    if cut.kind is EdgeKind.ROUND:
        for one in range(first, len(book.faces)):
            for other in range(first, one):
                book.join(one, other)
    if not tools:
        return replace(solid, notes=tuple(book.notes))
    left = kernel.subtracted(solid.body, tools)
    if kernel.nothing_left(left):
        return _noted(solid, f"{_what(cut)}: it would leave nothing of the part, so it is left out")
    return solid_from(left, book, "easing the edges leaves nothing of the part")


def _noted(solid: Solid, note: str) -> Solid:
    return replace(solid, notes=(*solid.notes, note))


_Run = tuple[Solid, Arrises, Chain]


def _chain_tools(run: _Run, cut: EdgeCut, book: FaceBook, quality: Quality) -> list[Body]:
    """The tools for one chain; a note and none if the wood there is too thin for it."""
    solid, arrises, chain = run
    first = max(chain.arrises, key=lambda number: float(arrises.length[number]))
    a, b = int(arrises.a[first]), int(arrises.b[first])
    name = f"{solid.book[a].name} / {solid.book[b].name}"
    sweep = sweep_of(arrises, chain, solid.vertices)
    reach = max(reach_of(cut, float(angle)) for angle in sweep.angle)
    room = _room(solid, arrises, first)
    if reach > room + 1e-6:
        book.notes.append(
            f"{_what(cut)}: the edge between {name} has only {room:.1f} mm of"
            f" wood beside it and {reach:.1f} mm are needed, so it is left sharp"
        )
        return []
    face = book.add(f"eased {name}", cut.kind is EdgeKind.CHAMFER and len(sweep.points) == 2)
    if cut.kind is EdgeKind.ROUND:
        for number in chain.arrises:
            book.join(face, int(arrises.a[number]))
            book.join(face, int(arrises.b[number]))
    pieces = _unfolded(chain, folds(sweep, arrises, chain, reach))
    return [_tool((solid, arrises, piece), cut, (face, reach), quality.tolerance) for piece in pieces]


def _room(solid: Solid, arrises: Arrises, number: int) -> float:
    """Wood beside the middle of an arris, on the narrower of its two faces [mm]."""
    a, b = arrises.inner_a[number], arrises.inner_b[number]
    middle = solid.vertices[arrises.ends[number]].mean(axis=0) + 0.02 * (a + b)
    return min(thickness(solid, vec3(middle), vec3(a)), thickness(solid, vec3(middle), vec3(b))) + 0.02


def _unfolded(chain: Chain, bad: Ints) -> list[Chain]:
    """A chain cut up so that every arris over which it would fold stands alone."""
    if len(bad) == 0:
        return [chain]
    alone = set(bad.tolist())
    runs: list[list[int]] = [[]]
    for place, number in enumerate(chain.arrises):
        if place in alone:
            runs += [[number], []]
        else:
            runs[-1].append(number)
    return [Chain(tuple(run), closed=False) for run in runs if run]


def _tool(run: _Run, cut: EdgeCut, entry: tuple[int, float], tolerance: float) -> Body:
    solid, arrises, chain = run
    face, reach = entry
    sweep = sweep_of(arrises, chain, solid.vertices)
    if not sweep.closed:
        beyond = 2.0 * reach + 0.5
        sweep = lengthened(
            sweep, *(beyond if _open_end(solid, sweep, end, reach) else 0.0 for end in (0, -1))
        )
    return tool_of(sweep, cut, tolerance, face)


def _open_end(solid: Solid, sweep: Sweep, end: int, reach: float) -> bool:
    """Whether there is air where a sweep would go on beyond its end."""
    out = -sweep.along[0] if end == 0 else sweep.along[1]
    beyond = sweep.points[end] + reach * out + 0.2 * reach * (sweep.into_a[end] + sweep.into_b[end])
    return not contains(solid, vec3(beyond))
