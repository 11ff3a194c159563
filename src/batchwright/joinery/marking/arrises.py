"""A part's four arrises: how far its edges are from square to the face side, and from shoulder to shoulder on each."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from batchwright.geometry.frame import Array, Frame, Vec2, Vec3, minus, norm, plus, vec3
from batchwright.joinery.marking.bench import Laid
from batchwright.joinery.meeting.slice import loops_at
from batchwright.joinery.meeting.standing import Standing, stand
from batchwright.model.draft import DraftPart
from batchwright.model.piece import End, Joint, ShoulderLine
from batchwright.model.shape import Stick
from batchwright.solids.bodies import across

WITHIN = 1e-4
"""A part may end just at its shoulder: it is looked at so far before it [mm]."""
SQUARE = math.radians(0.05)
"""An edge this nearly square to the face side is called square: no fence is set finer (common practice, no source)."""
MOSTLY = 0.7
ARRISES: tuple[tuple[str, float, float], ...] = (
    ("face edge, face side", 1.0, 1.0),
    ("far edge, face side", -1.0, 1.0),
    ("face edge, back", 1.0, -1.0),
    ("far edge, back", -1.0, -1.0),
)
"""Name; which way along the section's width and thickness (bench y, z) its corner lies: 1 towards zero."""


def sharp(standing: Standing) -> Standing:
    """The part before its edges are eased: marks are gauged from its arrises."""
    part = standing.part
    if not part.shape.edges:
        return standing
    try:
        return stand(replace(part, shape=replace(part.shape, edges=())))
    except ValueError:
        return standing


def edge_bevels(standing: Standing, laid: Laid) -> Vec2:
    """How far the face edge and the far edge are from square to the face side [rad]; a sharp corner is positive."""
    if _is_round(standing.part):
        return (0.0, 0.0)
    face = _looks(standing, laid, (0.0, 0.0, -1.0))
    found = []
    for way in ((0.0, -1.0, 0.0), (0.0, 1.0, 0.0)):
        edge = _looks(standing, laid, way)
        if face is None or edge is None:
            found.append(0.0)
            continue
        turn = math.atan2(abs(face[0] * edge[1] - face[1] * edge[0]), face[0] * edge[0] + face[1] * edge[1])
        bevel = turn - math.pi / 2.0
        found.append(bevel if abs(bevel) > SQUARE else 0.0)
    return (found[0], found[1])


def _is_round(part: DraftPart) -> bool:
    return isinstance(part.shape.body, Stick) and part.shape.body.round


def _looks(standing: Standing, laid: Laid, way: Vec3) -> Vec2 | None:
    """Where the long face on one side looks, in bench (y, z): its largest plane's way, or the mean of a curved one."""
    solid = standing.solid
    bench = np.array([laid.frame.x, laid.frame.y, laid.frame.z])
    vectors: Array = solid.area_vectors @ bench.T
    areas = solid.areas
    mine = (vectors @ np.array(way) > 0.5 * areas) & (np.abs(vectors[:, 0]) < MOSTLY * areas) & (areas > 0.0)
    if not mine.any():
        return None
    flat = [
        (float(areas[mine & (solid.faces == face)].sum()), face)
        for face in np.unique(solid.faces[mine]).tolist()
        if solid.book[face].flat
    ]
    if flat and max(flat)[0] >= MOSTLY * float(areas[mine].sum()):
        mine &= solid.faces == max(flat)[1]
    total = vectors[mine].sum(axis=0)
    return (float(total[1]), float(total[2]))


def shoulder_lines(standing: Standing, joints: Sequence[Joint], laid: Laid) -> tuple[ShoulderLine, ...]:
    """Between shoulders along the middle and the four arrises; `standing` before its edges are eased."""
    by_end = {joint.end: joint for joint in joints}
    if len(by_end) < 2:
        return ()
    first, last = by_end[End.REFERENCE], by_end[End.FAR]
    start, end = (laid.frame.to_local(joint.frame.origin) for joint in (first, last))
    lines = [_line("middle", start, end)]
    one, two = _corners(standing, first, laid), _corners(standing, last, laid)
    if one and two and not _is_round(standing.part):
        lines += [_line(name, a, b) for (name, _, _), a, b in zip(ARRISES, one, two)]
    return tuple(lines)


def _line(name: str, start: Vec3, end: Vec3) -> ShoulderLine:
    return ShoulderLine(name=name, length=norm(minus(end, start)), start=vec3(start), end=vec3(end))


def _corners(standing: Standing, joint: Joint, laid: Laid) -> list[Vec3]:
    """Where a shoulder's plane meets the four arrises, in bench coordinates; none where it does not cut the part."""
    normal = joint.shoulder.normal
    x, y = across(normal)
    frame = Frame(plus(joint.shoulder.point, normal, -WITHIN), vec3(x), vec3(y), normal)
    loops = loops_at(standing.solid, frame)
    if not loops:
        return []
    middle = np.array(frame.to_local(joint.frame.origin)[:2])
    loop = min(loops, key=lambda each: float(np.linalg.norm((each.min(axis=0) + each.max(axis=0)) / 2.0 - middle)))
    world = frame.many_to_world(np.column_stack([loop, np.full(len(loop), WITHIN)]))
    points = laid.frame.many_to_local(world)
    low, high = points.min(axis=0), points.max(axis=0)
    share = (points - low) / np.maximum(high - low, 1e-9)
    return [vec3(points[int(np.argmin(a * share[:, 1] + b * share[:, 2]))]) for _, a, b in ARRISES]
