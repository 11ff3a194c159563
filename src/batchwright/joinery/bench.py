"""A part as it lies on the bench: frame, lengths, outlines, and its joints as they are set out."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from batchwright.geometry.curve import bounds
from batchwright.geometry.frame import Array, Frame, Vec2, Vec3, dot, norm, plus, vec3
from batchwright.geometry.offset import polygon_difference
from batchwright.geometry.outline import Outline, cut_outline, map_outline, polygon_outline, to_polygon
from batchwright.geometry.segment import Line
from batchwright.joinery.marks import Marks
from batchwright.joinery.standing import Standing
from batchwright.model.draft import DraftPart
from batchwright.model.piece import End, Joint
from batchwright.model.shape import PlaneCut, Prism, RegionCut, Stick
from batchwright.solids.build import Solid

SNAP = 0.15
"""A size off a mesh this near to the drawing's own is the drawing's: curves are followed by chords [mm]."""
CHORD = 0.005
"""Curves cut by curves are followed by chords this near [mm]."""
TENON_FACES = ("tenon",)


@dataclass(frozen=True, slots=True, kw_only=True)
class Laid:
    """A finished part on the bench: frame (world), overall sizes, and its body's stretch along x."""

    frame: Frame
    length: float
    width: float
    thickness: float
    body: Vec2


def lay(standing: Standing, finished: Solid, marks: Marks) -> Laid:
    """The bench frame and sizes of a part. `finished` is in the drawing frame, joints cut."""
    part = standing.part
    axes = np.array([marks.x, marks.y, marks.z])
    done = finished.vertices @ axes.T
    shaped = part.frame.many_to_local(standing.solid.vertices) @ axes.T
    exact = _exact_span(part, marks)
    spans = [_span(done[:, i], shaped[:, i], exact[i]) for i in range(3)]
    low = np.array([span[0] for span in spans])
    origin = vec3(low @ axes)
    local = Frame(origin, marks.x, marks.y, marks.z)
    body = _body_span(finished, axes[0], spans[0][0])
    return Laid(
        frame=local.within(part.frame),
        length=spans[0][1] - spans[0][0],
        width=spans[1][1] - spans[1][0],
        thickness=spans[2][1] - spans[2][0],
        body=body,
    )


def _span(done: Array, shaped: Array, exact: Vec2 | None) -> Vec2:
    """Extent of the finished part along an axis; the drawing's own figure where it agrees but for chords."""
    ends = []
    for side in (0, 1):
        value = float(done.min() if side == 0 else done.max())
        fine = float(shaped.min() if side == 0 else shaped.max())
        best = exact[side] if exact is not None and abs(exact[side] - fine) < SNAP else fine
        ends.append(best if abs(best - value) < SNAP else value)
    return ends[0], ends[1]


def _exact_span(part: DraftPart, marks: Marks) -> tuple[Vec2 | None, Vec2 | None, Vec2 | None]:
    """Extent of a prism's own outline and thickness along each bench axis; None where the drawing does not say."""
    body = part.shape.body
    if not isinstance(body, Prism):
        return (None, None, None)
    found: list[Vec2 | None] = []
    for axis in (marks.x, marks.y, marks.z):
        if abs(axis[2]) > 1.0 - 1e-9:
            found.append((body.low, body.high) if axis[2] > 0.0 else (-body.high, -body.low))
        elif abs(axis[2]) < 1e-9:
            turned = map_outline(body.outline, np.array([[axis[0], axis[1]], [-axis[1], axis[0]]]))
            low, _, high, _ = bounds(turned.segments)
            found.append((low, high))
        else:
            found.append(None)
    return (found[0], found[1], found[2])


def _body_span(finished: Solid, x: Array, start: float) -> Vec2:
    """Where the body, tenons left out, begins and ends along x."""
    tenon = [i for i, name in enumerate(finished.names) if name.startswith(TENON_FACES)]
    body = ~np.isin(finished.faces, tenon)
    corners = finished.vertices[np.unique(finished.triangles[body])] @ x
    return float(corners.min()) - start, float(corners.max()) - start


def end_of(joint_point: Vec3, laid: Laid) -> End:
    """Which end of a part a world point belongs to."""
    return End.REFERENCE if laid.frame.to_local(joint_point)[0] < laid.length / 2.0 else End.FAR


def shoulder_length(joints: Sequence[Joint], laid: Laid, curved: bool) -> float | None:
    """Between shoulders along the part's middle line; None where an end has none."""
    by_end = {joint.end: joint for joint in joints}
    if len(by_end) < 2:
        return None
    first, last = by_end[End.REFERENCE].frame.origin, by_end[End.FAR].frame.origin
    if curved:
        return norm(plus(last, first, -1.0))
    return laid.frame.to_local(last)[0] - laid.frame.to_local(first)[0]


def shoulder_angles(normal: Vec3, laid: Laid) -> tuple[float, float]:
    """Lean of a shoulder line from square across, on the face side and on the face edge [rad].

    Positive when the far edge, or the back, lies further from the reference end.
    """
    n = laid.frame.turn_back(normal)
    if abs(n[0]) < 1e-9:
        return (math.pi / 2.0, math.pi / 2.0)
    return (math.atan(-n[1] / n[0]) + 0.0, math.atan(-n[2] / n[0]) + 0.0)


def outlines_of(part: DraftPart, marks: Marks, laid: Laid) -> tuple[Outline | None, Outline | None]:
    """Exact outlines in bench (x, y) and (x, z), as sawn; None where the part is not sawn so."""
    origin = part.frame.to_local(laid.frame.origin)
    flat = edge = None
    for shape, plane in _drawn_outlines(part):
        first, second, across = plane
        if abs(dot(across, marks.z)) > 1.0 - 1e-6:
            flat = flat or _mapped(shape, (first, second), (marks.x, marks.y), origin)
        elif abs(dot(across, marks.y)) > 1.0 - 1e-6:
            edge = edge or _mapped(shape, (first, second), (marks.x, marks.z), origin)
    return flat, edge


_Plane = tuple[Vec3, Vec3, Vec3]
_U, _V, _W = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)


def _drawn_outlines(part: DraftPart) -> list[tuple[Outline, _Plane]]:
    """The outlines a part is sawn to, with the drawing axes they lie in and the one they are sawn along."""
    body = part.shape.body
    found: list[tuple[Outline, _Plane]] = []
    if isinstance(body, Prism):
        found.append((_cut_off(body.outline, part), (_U, _V, _W)))
    else:
        found += [(_silhouette(body, 0), (_U, _V, _W)), (_silhouette(body, 1), (_U, _W, _V))]
    planes = {"edge": (_U, _W, _V), "end": (_V, _W, _U)}
    found += [(sawn.outline, planes[sawn.on]) for sawn in part.shape.sawn]
    return found


def _cut_off(outline: Outline, part: DraftPart) -> Outline:
    """The outline after the cuts that are square to its plane: exact for straight ones, within 0.01 mm for curves."""
    for cut in part.shape.cuts:
        if isinstance(cut, PlaneCut) and abs(cut.plane.normal[2]) < 1e-9:
            n, p = cut.plane.normal, cut.plane.point
            left = cut_outline(outline, (p[0], p[1]), (-n[1], n[0]), "cut")
            outline = left[0] if left else outline
        elif isinstance(cut, RegionCut) and abs(cut.frame.z[2]) > 1.0 - 1e-9:
            outline = _less(outline, cut)
    return outline


def _less(outline: Outline, cut: RegionCut) -> Outline:
    frame = cut.frame
    matrix = np.array([[frame.x[0], frame.y[0]], [frame.x[1], frame.y[1]]])
    region = map_outline(cut.outline, matrix, (frame.origin[0], frame.origin[1]))
    left = polygon_difference(to_polygon(outline, CHORD), to_polygon(region, CHORD))
    return polygon_outline([(float(u), float(v)) for u, v in left[0]]) if left else outline


def _silhouette(stick: Stick, axis: int) -> Outline:
    """A stick seen square to its line: across its first (0) or second (1) section axis."""
    sides = [(s.at, s.v if axis == 0 else s.w) for s in stick.stations]
    points = [(at, side[0]) for at, side in sides] + [(at, side[1]) for at, side in reversed(sides)]
    return polygon_outline(points)


def _mapped(shape: Outline, drawn: tuple[Vec3, Vec3], bench: tuple[Vec3, Vec3], origin: Vec3) -> Outline:
    matrix = np.array([[dot(b, d) for d in drawn] for b in bench])
    return map_outline(shape, matrix, (-dot(origin, bench[0]), -dot(origin, bench[1])))


def is_curved(part: DraftPart) -> bool:
    """Whether anything of its outline is sawn to a curve."""
    body = part.shape.body
    outlines = [sawn.outline for sawn in part.shape.sawn]
    if isinstance(body, Prism):
        outlines.append(body.outline)
    return any(not isinstance(segment, Line) for outline in outlines for segment in outline.segments)
