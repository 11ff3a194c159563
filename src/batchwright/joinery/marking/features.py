"""What is cut on a part, as it is set out at the bench: tenons, mortises, haunches, peg holes, housings."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from batchwright.geometry.frame import Array, Frame, Plane, Vec3, cross, vec3
from batchwright.joinery.marking.bench import Laid
from batchwright.joinery.marking.setout import Face, set_out, set_out_points, struck_face
from batchwright.model.piece import Feature, FeatureKind, JointId
from batchwright.model.shape import Tool
from batchwright.solids.solid import Solid

FACES = (("reference end", "far end"), ("face edge", "far edge"), ("face side", "back"))


def face_towards(way: Vec3) -> str:
    """The bench face that looks a way (bench coordinates): the reference end looks to -x, the face edge to -y."""
    axis = max(range(3), key=lambda i: round(abs(way[i]), 9))
    return FACES[axis][0] if way[axis] < 0.0 else FACES[axis][1]


def tilts(way: Vec3, axis: int | None = None) -> tuple[float, float]:
    """Tilt of a direction from square to the face it enters: along the part, and across it [rad].

    `axis` is the bench axis square to the face; without it, the one the direction goes along most.
    """
    if axis is None:
        axis = max(range(3), key=lambda i: round(abs(way[i]), 9))
    others = [i for i in range(3) if i != axis]
    return (math.atan2(way[others[0]], abs(way[axis])), math.atan2(way[others[1]], abs(way[axis])))


@dataclass(frozen=True, slots=True, kw_only=True)
class Bored:
    """One bar cut or left on a part (world): its mouth is where its z is zero. `on` is the plane it is set out on; None
    leaves it to the part's own face, where the bar's middle line goes in."""

    kind: FeatureKind
    tool: Tool
    joint: JointId
    on: Plane | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class LetIn:
    """Corners of the wood another part takes out of one (world), the way it opens, and the fixing."""

    points: Array
    opens: Vec3
    joint: JointId
    kind: FeatureKind = FeatureKind.HOUSING


def feature_of(bored: Bored, laid: Laid, shaped: Solid) -> Feature:
    """One bar cut or left on a part. `shaped` is the part in the world, before joints."""
    tool, kind = bored.tool, bored.kind
    frame = tool.frame.seen_from(laid.frame)
    own = replace(tool, frame=frame)
    mouth = _mouth(own)
    out = kind in (FeatureKind.TENON, FeatureKind.HAUNCH) and tool.start < 0.0 and bored.on is not None
    looks = frame.z if out else (-frame.z[0], -frame.z[1], -frame.z[2])
    struck = struck_face(shaped, tool) if bored.on is None else None
    if struck is not None:
        looks = laid.frame.turn_back(struck.normal)
    axis = Face(plane=Plane((0.0, 0.0, 0.0), looks)).axis
    feature = Feature(
        kind=kind,
        joint=bored.joint,
        face=face_towards(looks),
        box=(vec3(mouth.min(axis=0)), vec3(mouth.max(axis=0))),
        frame=frame,
        depth=tool.end,
        angles=tilts(frame.z, axis),
        tool=own,
    )
    plane = bored.on or struck or Plane(tool.frame.origin, tool.frame.z)
    return set_out(feature, laid.frame.plane_to_local(plane))


def housing_of(let_in: LetIn, laid: Laid) -> Feature:
    """Where another part is let into this one."""
    local = laid.frame.many_to_local(let_in.points)
    low, high = local.min(axis=0), local.max(axis=0)
    way = laid.frame.turn_back(let_in.opens)
    sizes = (laid.length, laid.width, laid.thickness)
    at_face = [(0.0 if way[i] < 0.0 else sizes[i]) for i in range(3)]
    touching = [i for i in range(3) if abs((low[i] if way[i] < 0.0 else high[i]) - at_face[i]) < 0.1]
    axis = max(touching or range(3), key=lambda i: round(abs(way[i]), 9))
    into = [0.0, 0.0, 0.0]
    into[axis] = 1.0 if way[axis] < 0.0 else -1.0
    middle = (low + high) / 2.0
    middle[axis] = low[axis] if way[axis] < 0.0 else high[axis]
    x = (1.0, 0.0, 0.0) if axis != 0 else (0.0, 1.0, 0.0)
    z = vec3(into)
    out = (-z[0], -z[1], -z[2])
    feature = Feature(
        kind=let_in.kind,
        joint=let_in.joint,
        face=face_towards(out),
        box=(vec3(low), vec3(high)),
        frame=Frame(vec3(middle), x, cross(z, x), z),
        depth=float(high[axis] - low[axis]),
    )
    return set_out_points(feature, local, Plane(vec3(middle), out))


def _mouth(tool: Tool) -> np.ndarray:
    a, b = tool.width / 2.0, tool.thickness / 2.0
    corners = np.array([(-a, -b, 0.0), (a, -b, 0.0), (a, b, 0.0), (-a, b, 0.0)])
    return tool.frame.many_to_world(corners)


def labelled(features: Sequence[Feature]) -> tuple[Feature, ...]:
    """In order along the part, each with its letter per kind: tenon A, mortise A, mortise B."""
    order = sorted(
        features,
        key=lambda f: (
            f.kind.value,
            round(f.box[0][0], 3),
            f.face,
            round(f.box[0][1], 3),
            round(f.box[0][2], 3),
            f.joint,
        ),
    )
    count: dict[FeatureKind, int] = {}
    out = []
    for feature in order:
        number = count.get(feature.kind, 0)
        count[feature.kind] = number + 1
        out.append(replace(feature, label=f"{feature.kind.value} {letter(number)}"))
    return tuple(out)


def letter(number: int) -> str:
    """A, B, ... Z, AA, AB: letters I and O left out, which read as one and nought."""
    letters = "ABCDEFGHJKLMNPQRSTUVWXYZ"
    text = ""
    number += 1
    while number > 0:
        number, rest = divmod(number - 1, len(letters))
        text = letters[rest] + text
    return text
