"""Eased edges: which edges of a solid are meant, and their easing. One that cannot be made is told in a note."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from batchwright.geometry.frame import Array, Frame, Vec3, vec3
from batchwright.geometry.outline import bounds, smallest_rectangle
from batchwright.model.shape import EdgeCut, Prism, Shape
from batchwright.solids import kernel
from batchwright.solids.easing import Sweep, folds, lengthened, reach_of, removed_area, sweep_of, tool_of
from batchwright.solids.edges import Arrises, Chain, arrises_of, chains_of
from batchwright.solids.kernel import Body, Ints
from batchwright.solids.rays import contains, thickness
from batchwright.solids.solid import FaceBook, Quality, Solid, solid_from

LOOKS = math.cos(math.radians(46.0))
"""A face looks up if it leans less than this from level, and so for the other directions."""

NEAR_END = 0.15
"""An edge is at an end of a part if it lies within this share of its length of it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Looks:
    """Directions of the piece, and the part's long way, in its drawing frame."""

    up: Vec3
    back: Vec3
    out: Vec3
    """Away from the middle of the piece, to the left or right; no length where the part reaches over the middle."""
    long: Vec3

    @property
    def key(self) -> tuple[float, ...]:
        """The directions, rounded."""
        return tuple(round(value, 7) + 0.0 for value in (*self.up, *self.back, *self.out))


NOTHING: Vec3 = (0.0, 0.0, 0.0)
NO_LOOKS = Looks(up=NOTHING, back=NOTHING, out=NOTHING, long=(1.0, 0.0, 0.0))
_PLAIN_WORDS = ("all", "long edges")


def looks_of(shape: Shape, frame: Frame) -> Looks:
    """What `upper`, `back`, `outer` and `long` mean for a part in its own drawing frame, where an edge asks for it."""
    if not shape.edges:
        return NO_LOOKS
    long = long_way(shape)
    if all(cut.on in _PLAIN_WORDS for cut in shape.edges):
        return replace(NO_LOOKS, long=long)
    return Looks(
        up=frame.turn_back((0.0, 0.0, 1.0)),
        back=frame.turn_back((0.0, 1.0, 0.0)),
        out=_outwards(shape, frame),
        long=long,
    )


def _box(shape: Shape) -> tuple[Array, Array]:
    body = shape.body
    if isinstance(body, Prism):
        low_u, low_v, high_u, high_v = bounds(body.outline)
        return np.array([low_u, low_v, body.low]), np.array([high_u, high_v, body.high])
    first, last = body.stations[0], body.stations[-1]
    return np.array([first.at, first.v[0], first.w[0]]), np.array([last.at, first.v[1], first.w[1]])


def _outwards(shape: Shape, frame: Frame) -> Vec3:
    low, high = _box(shape)
    middle = frame.to_world(vec3((low + high) / 2.0))[0]
    half = float(np.abs(np.array([frame.x[0], frame.y[0], frame.z[0]])) @ (high - low)) / 2.0
    if abs(middle) <= half:
        return NOTHING
    return frame.turn_back((math.copysign(1.0, middle), 0.0, 0.0))


def long_way(shape: Shape) -> Vec3:
    """The direction in which a shape is longest, in its drawing frame."""
    body = shape.body
    if not isinstance(body, Prism):
        return (1.0, 0.0, 0.0)
    width, height, angle = smallest_rectangle(body.outline)
    if body.high - body.low >= max(width, height):
        return (0.0, 0.0, 1.0)
    turned = angle if width >= height else angle + math.pi / 2.0
    return (math.cos(turned), math.sin(turned), 0.0)


def ease_edges(solid: Solid, shape: Shape, looks: Looks, quality: Quality) -> Solid:
    """The solid with its edges eased, in the order given; what could not be eased is told in its notes."""
    for cut in shape.edges:
        solid = _eased(solid, cut, looks, quality)
    return solid


def _eased(solid: Solid, cut: EdgeCut, looks: Looks, quality: Quality) -> Solid:
    what = f"{cut.kind.value} of {cut.size:.3g} mm on {cut.on}"
    if cut.size <= 0.0:
        return _noted(solid, f"{what}: the size must be above zero")
    arrises = arrises_of(solid)
    pairs = _pairs(arrises)
    chosen = [numbers for numbers in pairs if _is_meant(cut.on, arrises, numbers, (solid, looks))]
    if not chosen:
        return _noted(solid, f"{what}: {_why_none(cut.on, looks)}")
    book = FaceBook()
    book.faces, book.joins, book.notes = list(solid.book), set(solid.joins), list(solid.notes)
    tools: list[Body] = []
    for chain in chains_of(arrises, np.sort(np.concatenate(chosen)), solid):
        tools += _chain_tools((solid, arrises, chain), cut, book, quality)
    if not tools:
        return replace(solid, notes=tuple(book.notes))
    left = kernel.subtracted(solid.body, tools)
    if kernel.nothing_left(left):
        return _noted(solid, f"{what}: it would leave nothing of the part, so it is left out")
    return solid_from(left, book, "easing the edges leaves nothing of the part")


def _noted(solid: Solid, note: str) -> Solid:
    return replace(solid, notes=(*solid.notes, note))


def _why_none(on: str, looks: Looks) -> str:
    if on in ("outer edges", "inner edges") and looks.out == NOTHING:
        return "the part reaches over the middle of the piece; say front, back, upper or lower edges instead"
    if on in ("top end", "bottom end") and abs(_dot(looks.up, looks.long)) < 0.5:
        return "the part lies level; say upper or lower edges, or all"
    return "the part has no such edge"


def _dot(a: Vec3, b: Vec3) -> float:
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def _pairs(arrises: Arrises) -> list[Ints]:
    """Arrises by the pair of faces they lie between."""
    if len(arrises.a) == 0:
        return []
    key = arrises.a * (int(max(arrises.a.max(), arrises.b.max())) + 1) + arrises.b
    order = np.argsort(key, kind="stable")
    cuts = np.nonzero(np.diff(key[order]))[0] + 1
    return list(np.split(order, cuts))


def _is_meant(on: str, arrises: Arrises, numbers: Ints, about: tuple[Solid, Looks]) -> bool:
    """Whether the arrises between one pair of faces are among those the word `on` means."""
    solid, looks = about
    if on == "all":
        return True
    weight = arrises.length[numbers][:, None]
    normals = [(side[numbers] * weight).sum(axis=0) for side in (arrises.normal_a, arrises.normal_b)]
    normals = [normal / max(float(np.linalg.norm(normal)), 1e-12) for normal in normals]
    way = {
        "upper edges": looks.up,
        "lower edges": _minus(looks.up),
        "back edges": looks.back,
        "front edges": _minus(looks.back),
        "outer edges": looks.out,
        "inner edges": _minus(looks.out),
    }.get(on)
    if way is not None:
        return max(float(normal @ np.array(way)) for normal in normals) > LOOKS
    long = np.array(looks.long)
    low, high = solid.extent(long)
    middle = float((solid.vertices[arrises.ends[numbers]].mean(axis=(0, 1))) @ long)
    chord = (arrises.along[numbers] * weight).sum(axis=0)
    across = abs(float(chord @ long)) < math.cos(math.pi / 4) * max(float(np.linalg.norm(chord)), 1e-9)
    at_low, at_high = middle - low < NEAR_END * (high - low), high - middle < NEAR_END * (high - low)
    if on == "long edges":
        return not (across and (at_low or at_high))
    upright = float(np.array(looks.up) @ long)
    if on not in ("top end", "bottom end") or abs(upright) < 0.5:
        return False
    return across and (at_high if (upright > 0) == (on == "top end") else at_low)


def _minus(a: Vec3) -> Vec3:
    return (-a[0], -a[1], -a[2])


_Run = tuple[Solid, Arrises, Chain]


def _chain_tools(run: _Run, cut: EdgeCut, book: FaceBook, quality: Quality) -> list[Body]:
    """The tools for one chain; a note and none if the wood there is too thin for it."""
    solid, arrises, chain = run
    first = chain.arrises[len(chain.arrises) // 2]
    a, b = int(arrises.a[first]), int(arrises.b[first])
    name = f"{solid.book[a].name} / {solid.book[b].name}"
    sweep = sweep_of(arrises, chain, solid.vertices)
    reach = max(reach_of(cut, float(angle)) for angle in sweep.angle)
    room = _room(solid, arrises, first)
    if reach > room + 1e-6:
        book.notes.append(
            f"{cut.kind.value} of {cut.size:.3g} mm on {cut.on}: the edge between {name} has only {room:.1f} mm of"
            f" wood beside it and {reach:.1f} mm are needed, so it is left sharp"
        )
        return []
    face = book.add(f"eased {name}", cut.kind.value == "chamfer" and len(sweep.points) == 2)
    if cut.kind.value == "round":
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


def expected_volume(solid: Solid, cut: EdgeCut) -> float:
    """What easing all arrises of a solid would take off, corners not counted twice [mm^3]."""
    arrises = arrises_of(solid)
    cosine = np.einsum("ij,ij->i", arrises.normal_a, arrises.normal_b)
    angles = math.pi - np.arccos(np.clip(cosine, -1.0, 1.0))
    return float(
        sum(length * removed_area(cut, angle) for length, angle in zip(arrises.length, angles.tolist()))
    )
