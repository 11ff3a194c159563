"""Where a joint is cut into a part: on the finished face, and on the face of the blank before it is shaped.

A mortise of a curved or tapered part is cut while the blank is square, so that its depth and its marks are wanted from
the blank's own face; what is left of it afterwards is told from the finished line. Everything in bench coordinates.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from batchwright.geometry.frame import Frame, Vec3, dot, plus
from batchwright.model.piece import Feature, FeatureKind, Part
from batchwright.model.shape import Section, Tool

SAME = 0.3
"""Marks nearer than this are one mark on paper [mm]; under 1/64 in."""
TURNED = 1.0
"""A mouth whose ends lie further apart across than this is told by its centre line [mm]; else by its four sides."""
FACE_AXIS = {"face side": 2, "back": 2, "face edge": 1, "far edge": 1}
"""The bench axis square to a long face."""
BORED = (FeatureKind.HOLE, FeatureKind.PEG_HOLE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """One mouth in bench coordinates [mm]: both ends of its centre line, and the box round the
    middles of its four sides."""

    ends: tuple[Vec3, Vec3]
    low: Vec3
    high: Vec3

    @property
    def middle(self) -> Vec3:
        """Halfway along the centre line."""
        first, last = self.ends
        return ((first[0] + last[0]) / 2.0, (first[1] + last[1]) / 2.0, (first[2] + last[2]) / 2.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Mouth:
    """What is cut into a long face of a part.

    `line` lies on the finished face, `blank` on the dressed blank's; `below` and `depth` are how deep it goes from
    each, along its own direction [mm]. `length` and `width` are those of its section; a bored one's width is its
    diameter. `turn` is the angle of its centre line to the reference edge where it lies along it, else to square
    across [rad]; `along` tells which.
    """

    feature: Feature
    line: Place
    blank: Place
    below: float
    depth: float
    length: float
    width: float
    turn: float
    along: bool
    slot: bool = False
    """Whether it is a slotted hole, routed right through the part: told by its centre and its length."""

    @property
    def turned(self) -> bool:
        """Whether its gauge lines run at an angle to the part."""
        return not self.bored and abs(math.sin(self.turn)) * self.length > TURNED

    @property
    def bored(self) -> bool:
        """Whether it is a round hole, told by centre and diameter."""
        tool = self.feature.tool
        return self.feature.kind in BORED or (tool is not None and tool.section is Section.ROUND)

    @property
    def centred(self) -> bool:
        """Whether it is set out by its centre."""
        return self.bored or (self.slot and not self.turned)

    @property
    def sunk(self) -> bool:
        """Whether the finished face lies under the blank's."""
        return self.depth - self.below > SAME

    @property
    def told(self) -> Place:
        """Where it is marked on the finished part."""
        return self.line if self.sunk else self.blank


def mouth_of(feature: Feature, part: Part) -> Mouth | None:
    """The mouth of a feature; None for a tenon and whatever else is not cut into a long face by one tool."""
    tool, axis = feature.tool, FACE_AXIS.get(feature.face)
    if tool is None or axis is None or feature.kind is FeatureKind.TENON:
        return None
    z = tool.frame.z
    if abs(z[axis]) < 0.2:
        return None
    level = {"face side": 0.0, "face edge": 0.0, "back": part.thickness, "far edge": part.width}[feature.face]
    reach = (level - tool.frame.origin[axis]) / z[axis]
    lengthwise = tool.width >= tool.thickness
    way = _in_face(tool.frame, axis, lengthwise)
    turn, along = _turn_of(way, axis)
    made = Mouth(
        feature=feature,
        line=_place(tool, lengthwise, None),
        blank=_place(tool, lengthwise, (axis, level)),
        below=feature.depth,
        depth=feature.depth - reach,
        length=max(tool.width, tool.thickness),
        width=min(tool.width, tool.thickness),
        turn=turn,
        along=along,
    )
    return replace(made, slot=feature.kind is FeatureKind.SLOT and goes_through(made, part))


def _in_face(frame: Frame, axis: int, lengthwise: bool) -> Vec3:
    """The way of the centre line as it lies on the face."""
    long = frame.x if lengthwise else frame.y
    return plus(long, frame.z, -long[axis] / frame.z[axis])


def _turn_of(way: Vec3, axis: int) -> tuple[float, bool]:
    """The angle to the nearer of the reference edge and square across [rad], and whether it is the reference edge."""
    other = way[3 - axis]
    along = abs(way[0]) >= abs(other)
    return (math.atan(other / way[0]) if along else math.atan(way[0] / other)), along


def _place(tool: Tool, lengthwise: bool, face: tuple[int, float] | None) -> Place:
    """The mouth square to the tool, or where its sides run out on a face (axis, level)."""
    half = (tool.width / 2.0, tool.thickness / 2.0)

    def at(x: float, y: float) -> Vec3:
        point = tool.frame.to_world((x, y, 0.0))
        if face is None:
            return point
        axis, level = face
        return plus(point, tool.frame.z, (level - point[axis]) / tool.frame.z[axis])

    along = [at(sign * half[0], 0.0) for sign in (-1.0, 1.0)]
    across = [at(0.0, sign * half[1]) for sign in (-1.0, 1.0)]
    ends = sorted(along if lengthwise else across, key=lambda point: point[0])
    sides = [*along, *across]
    low = (min(p[0] for p in sides), min(p[1] for p in sides), min(p[2] for p in sides))
    high = (max(p[0] for p in sides), max(p[1] for p in sides), max(p[2] for p in sides))
    return Place(ends=(ends[0], ends[1]), low=low, high=high)


def goes_through(mouth: Mouth, part: Part) -> bool:
    """Whether it comes out on the other side of the blank."""
    axis = FACE_AXIS[mouth.feature.face]
    wood = part.width if axis == 1 else part.thickness
    return mouth.depth * abs(dot(mouth.feature.frame.z, _axis(axis))) > wood - SAME


def _axis(index: int) -> Vec3:
    return (1.0 if index == 0 else 0.0, 1.0 if index == 1 else 0.0, 1.0 if index == 2 else 0.0)
