"""Every plane face of a shape, exactly, from the drawing and not from a mesh: what a shoulder is snapped to."""

from __future__ import annotations

import math
from dataclasses import dataclass

from batchwright.geometry.curve import Line
from batchwright.geometry.frame import Frame, Plane, Vec2, Vec3, unit
from batchwright.geometry.outline import Outline
from batchwright.model.shape import PlaneCut, Prism, RegionCut, Sawn, Shape, Station, Stick
from batchwright.solids.bodies import edge_groups, goes_on_straight, straight


@dataclass(frozen=True, slots=True, kw_only=True)
class NamedPlane:
    """A plane face of a shape, named as the solid's faces are; the normal looks out of the wood."""

    name: str
    plane: Plane


def planes_of(shape: Shape) -> tuple[NamedPlane, ...]:
    """All plane faces of a shape in its drawing frame, in the order the solid numbers them."""
    body = shape.body
    found = _prism_planes(body) if isinstance(body, Prism) else _stick_planes(body)
    for sawn in shape.sawn:
        found += _sawn_planes(sawn)
    for number, cut in enumerate(shape.cuts, start=1):
        found += _cut_planes(cut, number)
    return tuple(found)


def plane_named(shape: Shape, name: str) -> Plane | None:
    """The plane of the face with that name, or None if that face is not a plane."""
    return next((found.plane for found in planes_of(shape) if found.name == name), None)


def nearest_plane(shape: Shape, point: Vec3, normal: Vec3, tolerance: float = 0.2) -> NamedPlane | None:
    """The plane face of a shape that a point struck on its solid lies on: within `tolerance` [mm] and one degree."""
    fitting = [
        (abs(found.plane.height(point)), number, found)
        for number, found in enumerate(planes_of(shape))
        if sum(a * b for a, b in zip(found.plane.normal, normal)) > math.cos(math.radians(1.0))
    ]
    near = [item for item in fitting if item[0] <= tolerance]
    return min(near)[2] if near else None


def _outline_planes(outline: Outline, frame: Frame, prefix: str, inside_out: bool) -> list[NamedPlane]:
    """The straight edges of an outline in (x, y) of `frame`, sawn along its z."""
    found = []
    for name, segments in edge_groups(outline):
        if not straight(segments) or not isinstance(segments[0], Line):
            continue
        start, end = segments[0].start, segments[-1].end
        length = math.dist(start, end)
        out: Vec2 = ((end[1] - start[1]) / length, -(end[0] - start[0]) / length)
        if inside_out:
            out = (-out[0], -out[1])
        plane = Plane(frame.to_world((*start, 0.0)), frame.turn((*out, 0.0)))
        found.append(NamedPlane(name=f"{prefix}{name}", plane=plane))
    return found


def _prism_planes(prism: Prism) -> list[NamedPlane]:
    sides = _outline_planes(prism.outline, Frame(), "", inside_out=False)
    low = NamedPlane(name="low", plane=Plane((0.0, 0.0, prism.low), (0.0, 0.0, -1.0)))
    high = NamedPlane(name="high", plane=Plane((0.0, 0.0, prism.high), (0.0, 0.0, 1.0)))
    return [*sides, low, high]


_SAWN_FRAMES = {
    "edge": Frame((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0), (0.0, 1.0, 0.0)),
    "end": Frame((0.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0)),
}


def sawn_frame(sawn: Sawn) -> Frame:
    """Where a second outline lies, in (u, v, w): its first and second coordinate, and the way it is sawn through.

    Raises
    ------
    ValueError
        If it is sawn on neither the edge nor the end.
    """
    if sawn.on not in _SAWN_FRAMES:
        raise ValueError(f"a part is sawn again on its `edge` or its `end`, not on `{sawn.on}`")
    return _SAWN_FRAMES[sawn.on]


def _sawn_planes(sawn: Sawn) -> list[NamedPlane]:
    return _outline_planes(sawn.outline, sawn_frame(sawn), "sawn ", inside_out=False)


def _cut_planes(cut: PlaneCut | RegionCut, number: int) -> list[NamedPlane]:
    if isinstance(cut, PlaneCut):
        inward = cut.plane.normal
        return [NamedPlane(name=f"cut {number}", plane=Plane(cut.plane.point, inward))]
    return _outline_planes(cut.outline, cut.frame, f"cut {number} ", inside_out=True)


def _stick_planes(stick: Stick) -> list[NamedPlane]:
    first, last = stick.stations[0], stick.stations[-1]
    ends = [
        NamedPlane(name="end low", plane=Plane((first.at, 0.0, 0.0), (-1.0, 0.0, 0.0))),
        NamedPlane(name="end high", plane=Plane((last.at, 0.0, 0.0), (1.0, 0.0, 0.0))),
    ]
    if stick.round:
        return ends
    for k, (a, b) in enumerate(zip(stick.stations, stick.stations[1:])):
        if k and goes_on_straight(stick.stations[k - 1], a, b):
            continue
        suffix = "" if k == 0 else f" {k + 1}"
        ends += [NamedPlane(name=name + suffix, plane=plane) for name, plane in _stretch_planes(a, b)]
    return ends


def _stretch_planes(a: Station, b: Station) -> list[tuple[str, Plane]]:
    run = b.at - a.at
    return [
        ("w low", Plane((a.at, a.v[0], a.w[0]), unit(((b.w[0] - a.w[0]), 0.0, -run)))),
        ("v high", Plane((a.at, a.v[1], a.w[0]), unit((-(b.v[1] - a.v[1]), run, 0.0)))),
        ("w high", Plane((a.at, a.v[0], a.w[1]), unit((-(b.w[1] - a.w[1]), 0.0, run)))),
        ("v low", Plane((a.at, a.v[0], a.w[0]), unit(((b.v[0] - a.v[0]), -run, 0.0)))),
    ]
