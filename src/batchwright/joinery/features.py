"""What is cut on a part, as it is set out at the bench: tenons, mortises, haunches, peg holes, housings."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from batchwright.geometry.frame import Vec3, vec3
from batchwright.joinery.bench import Laid
from batchwright.model.piece import Feature, FeatureKind, JointId
from batchwright.model.shape import Tool

FACES = (("reference end", "far end"), ("face edge", "far edge"), ("face side", "back"))


def face_towards(way: Vec3) -> str:
    """The bench face that looks a way (bench coordinates): the reference end looks to -x, the face edge to -y."""
    axis = max(range(3), key=lambda i: round(abs(way[i]), 9))
    return FACES[axis][0] if way[axis] < 0.0 else FACES[axis][1]


def tilts(way: Vec3) -> tuple[float, float]:
    """Tilt of a direction from square to the face it enters: along the part, and across it [rad]."""
    axis = max(range(3), key=lambda i: round(abs(way[i]), 9))
    others = [i for i in range(3) if i != axis]
    return (math.atan2(way[others[0]], abs(way[axis])), math.atan2(way[others[1]], abs(way[axis])))


def feature_of(kind: FeatureKind, tool: Tool, joint: JointId, laid: Laid) -> Feature:
    """One bar cut or left on a part. `tool` is in world coordinates; its mouth is where its z is zero."""
    frame = tool.frame.seen_from(laid.frame)
    own = replace(tool, frame=frame)
    mouth = _mouth(own)
    out = kind in (FeatureKind.TENON, FeatureKind.HAUNCH) and tool.start < 0.0
    looks = frame.z if out else (-frame.z[0], -frame.z[1], -frame.z[2])
    return Feature(
        kind=kind,
        joint=joint,
        face=face_towards(looks),
        box=(vec3(mouth.min(axis=0)), vec3(mouth.max(axis=0))),
        frame=frame,
        depth=tool.end,
        angles=tilts(frame.z),
        tool=own,
    )


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
