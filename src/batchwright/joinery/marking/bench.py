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
from batchwright.joinery.marking.marks import Marks
from batchwright.joinery.meeting.standing import Standing
from batchwright.model.draft import DraftPart
from batchwright.model.piece import End, Joint
from batchwright.model.shape import PlaneCut, Prism, RegionCut, Stick
from batchwright.solids.build import Solid

SNAP = 0.15
"""A size off a mesh this near to the drawing's own is the drawing's: curves are followed by chords [mm]."""
CHORD = 0.005
"""Curves cut by curves are followed by chords this near [mm]."""
TENON_FACES = ("tenon",)
JOINT_FACES = ("tenon", "shoulder")
SAME = 1e-6
"""Nearer than this two points of a mesh stand at one place [mm]."""
OVER = 0.3
"""A tenon that stands over its part's edge by less is not told: bent parts are followed by chords [mm]."""
LEAST_LEAN = 0.3
"""A cut that lies flatter in an outline's plane than this (sine) bounds its thickness, not its outline."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Laid:
    """A finished part on the bench: frame (world), overall sizes, and its body's stretch along x."""

    frame: Frame
    length: float
    width: float
    thickness: float
    body: Vec2
    over: tuple[Vec2, Vec2] = ((0.0, 0.0), (0.0, 0.0))
    """How far tenons stand over (face edge, far edge) and (face side, back) [mm]."""


def lay(standing: Standing, finished: Solid, marks: Marks) -> Laid:
    """The bench frame and sizes of a part. `finished` is in the drawing frame, joints cut."""
    part = standing.part
    axes = np.array([marks.x, marks.y, marks.z])
    done = finished.vertices @ axes.T
    shaped = part.frame.many_to_local(standing.solid.vertices) @ axes.T
    exact = _exact_span(part, marks)
    spans = [_span(done[:, i], shaped[:, i], exact[i]) for i in range(3)]
    spans[0] = _jointed_span(finished, done[:, 0], spans[0])
    low = np.array([span[0] for span in spans])
    origin = vec3(low @ axes)
    local = Frame(origin, marks.x, marks.y, marks.z)
    corners = _body_corners(finished) @ axes.T
    body = (float(corners[:, 0].min()) - spans[0][0], float(corners[:, 0].max()) - spans[0][0])
    over = (_tenons_over(corners[:, 1], spans[1]), _tenons_over(corners[:, 2], spans[2]))
    return Laid(
        frame=local.within(part.frame),
        length=spans[0][1] - spans[0][0],
        width=spans[1][1] - spans[1][0],
        thickness=spans[2][1] - spans[2][0],
        body=body,
        over=over,
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


def _jointed_span(finished: Solid, along: Array, span: Vec2) -> Vec2:
    """The stretch along x, its ends taken off the solid where a joint makes them: a tip that by chance lies near to
    where the part was drawn to is not that."""
    joint = [i for i, name in enumerate(finished.names) if name.startswith(JOINT_FACES)]
    ends = along[np.unique(finished.triangles[np.isin(finished.faces, joint)])]
    if len(ends) == 0:
        return span
    low, high = float(along.min()), float(along.max())
    return (
        low if float(ends.min()) - low < SAME else span[0],
        high if high - float(ends.max()) < SAME else span[1],
    )


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


def _body_corners(finished: Solid) -> Array:
    """Corners of all faces but the tenons', shape (n, 3)."""
    tenon = [i for i, name in enumerate(finished.names) if name.startswith(TENON_FACES)]
    body = ~np.isin(finished.faces, tenon)
    corners: Array = finished.vertices[np.unique(finished.triangles[body])]
    return corners


def _tenons_over(corners: Array, span: Vec2) -> Vec2:
    """How far tenons stand out over the body's corners (n,) on both sides of an axis across the part; nothing below a
    chord's rise."""
    over = (float(corners.min()) - span[0], span[1] - float(corners.max()))
    return (over[0] if over[0] > OVER else 0.0, over[1] if over[1] > OVER else 0.0)


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
        found.append((body.outline, (_U, _V, _W)))
    else:
        found += [(_silhouette(body, 0), (_U, _V, _W)), (_silhouette(body, 1), (_U, _W, _V))]
    planes = {"edge": (_U, _W, _V), "end": (_V, _W, _U)}
    found += [(sawn.outline, planes[sawn.on]) for sawn in part.shape.sawn]
    return [(_cut_off(outline, plane, part), plane) for outline, plane in found]


def _cut_off(outline: Outline, plane: _Plane, part: DraftPart) -> Outline:
    """The outline after the part's cuts, seen along the way it is sawn: exact for straight ones, within 0.01 mm for
    curves. A cut that leans leaves a bevel; its outline is that of the face that keeps more wood."""
    first, second, across = plane
    outline = _within(outline, plane, part)
    for cut in part.shape.cuts:
        if isinstance(cut, PlaneCut):
            n = (dot(cut.plane.normal, first), dot(cut.plane.normal, second))
            lean, size = dot(cut.plane.normal, across), math.hypot(*n)
            if size < LEAST_LEAN:
                continue
            level = max(dot(cut.plane.normal, cut.plane.point) - lean * w for w in _thick_at(part, cut, across))
            point = (n[0] * level / size**2, n[1] * level / size**2)
            left = cut_outline(outline, point, (-n[1], n[0]), "cut")
            outline = left[0] if left else outline
        elif abs(dot(cut.frame.z, across)) > 1.0 - 1e-9:
            outline = _less(outline, cut, plane)
    return outline


def _thick_at(part: DraftPart, cut: PlaneCut, across: Vec3) -> Vec2:
    """The body's extent along a drawing axis where a plane crosses its line: a tapered stick has less at its foot."""
    body, n = part.shape.body, cut.plane.normal
    if not isinstance(body, Stick) or abs(n[0]) < LEAST_LEAN:
        return _reach(part, across)
    at = dot(n, cut.plane.point) / n[0]
    places = [station.at for station in body.stations]
    sides = [station.v if abs(across[1]) > 0.5 else station.w for station in body.stations]
    low, high = (float(np.interp(at, places, [side[k] for side in sides])) for k in (0, 1))
    return low, high


def _within(outline: Outline, plane: _Plane, part: DraftPart) -> Outline:
    """An outline sawn again, often drawn longer than its blank, as far as there is wood."""
    if not part.shape.sawn:
        return outline
    for axis, ways in ((plane[0], ((0.0, 1.0), (0.0, -1.0))), (plane[1], ((-1.0, 0.0), (1.0, 0.0)))):
        along = (1.0, 0.0) if axis is plane[0] else (0.0, 1.0)
        for end, way in zip(reversed(_reach(part, axis)), ways):
            left = cut_outline(outline, (along[0] * end, along[1] * end), way, "end")
            outline = left[0] if left else outline
    return outline


def _reach(part: DraftPart, across: Vec3) -> Vec2:
    """The body's extent along one of its drawing axes, sawn again but not yet cut [mm]."""
    body, axis = part.shape.body, max(range(3), key=lambda i: abs(across[i]))
    spans: list[Vec2] = []
    if isinstance(body, Prism):
        low_u, low_v, high_u, high_v = bounds(body.outline.segments)
        spans.append(((low_u, high_u), (low_v, high_v), (body.low, body.high))[axis])
    else:
        sides = [((s.at, s.at), s.v, s.w)[axis] for s in body.stations]
        spans.append((min(low for low, _ in sides), max(high for _, high in sides)))
    for sawn in part.shape.sawn:
        low_a, low_b, high_a, high_b = bounds(sawn.outline.segments)
        lies = {"edge": {0: (low_a, high_a), 2: (low_b, high_b)}, "end": {1: (low_a, high_a), 2: (low_b, high_b)}}
        spans += [lies[sawn.on][axis]] if axis in lies[sawn.on] else []
    return max(low for low, _ in spans), min(high for _, high in spans)


def _less(outline: Outline, cut: RegionCut, plane: _Plane) -> Outline:
    frame, (first, second, _) = cut.frame, plane
    matrix = np.array([[dot(axis, frame.x), dot(axis, frame.y)] for axis in (first, second)])
    region = map_outline(cut.outline, matrix, (dot(frame.origin, first), dot(frame.origin, second)))
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
