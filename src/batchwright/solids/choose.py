"""Which arrises of a solid a maker's words mean: long, upper, front, outer edges, the top or bottom end, all."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from batchwright.geometry.frame import Array, Frame, Vec3, dot, vec3
from batchwright.geometry.outline import bounds, smallest_rectangle
from batchwright.model.shape import Prism, Shape
from batchwright.solids.edges import Arrises
from batchwright.solids.kernel import Ints
from batchwright.solids.solid import Solid

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
    long: Vec3 = (1.0, 0.0, 0.0)

    @property
    def key(self) -> tuple[float, ...]:
        """The directions, rounded."""
        return tuple(round(value, 7) + 0.0 for value in (*self.up, *self.back, *self.out))


NOTHING: Vec3 = (0.0, 0.0, 0.0)
NO_LOOKS = Looks(up=NOTHING, back=NOTHING, out=NOTHING)
_PLAIN_WORDS = ("all", "long edges")


def looks_of(shape: Shape, frame: Frame) -> Looks:
    """What `upper`, `back` and `outer` mean for a part in its own drawing frame, where an edge asks for it."""
    if not shape.edges:
        return NO_LOOKS
    if all(cut.on in _PLAIN_WORDS for cut in shape.edges):
        return NO_LOOKS
    return Looks(
        up=frame.turn_back((0.0, 0.0, 1.0)),
        back=frame.turn_back((0.0, 1.0, 0.0)),
        out=_outwards(shape, frame),
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


def why_none(on: str, looks: Looks) -> str:
    if on in ("outer edges", "inner edges") and looks.out == NOTHING:
        return "the part reaches over the middle of the piece; say front, back, upper or lower edges instead"
    if on in ("top end", "bottom end") and abs(dot(looks.up, looks.long)) < 0.5:
        return "the part lies level; say upper or lower edges, or all"
    return "the part has no such edge"


def pairs_of(arrises: Arrises) -> list[Ints]:
    """Arrises by the pair of faces they lie between."""
    if len(arrises.a) == 0:
        return []
    key = arrises.a * (int(max(arrises.a.max(), arrises.b.max())) + 1) + arrises.b
    order = np.argsort(key, kind="stable")
    cuts = np.nonzero(np.diff(key[order]))[0] + 1
    return list(np.split(order, cuts))


def is_meant(on: str, arrises: Arrises, numbers: Ints, about: tuple[Solid, Looks]) -> bool:
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
