"""Where a drawn part is: its overall size, its middles and its sections, from its outlines, before any joint."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from batchwright.geometry.curve import crossings_with_line
from batchwright.geometry.frame import Array, Frame, Plane, Vec2, Vec3, dot
from batchwright.geometry.outline import bounds, extent, to_polygon
from batchwright.model.shape import PlaneCut, Prism, Shape, Stick

_FINE = 0.001
"""Chord error of the polygons that stand in for curves where nothing exact is at hand [mm]."""
_SQUARE = 1e-9

Range = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Body:
    """A shape in its place. `line` is the middle line of a stick, in its frame: from u = 0 to u = length."""

    frame: Frame
    shape: Shape
    length: float = 0.0

    def mirrored(self, plane: Plane) -> Body:
        """Its mirror image."""
        return replace(self, frame=self.frame.mirror_image(plane))

    @property
    def stick(self) -> bool:
        """Whether it has a middle line."""
        return isinstance(self.shape.body, Stick)

    def middle_line(self) -> tuple[Vec3, Vec3]:
        """First end and direction of a stick's middle line, in the piece."""
        return self.frame.origin, self.frame.x


def extent_along(body: Body, direction: Vec3) -> Range:
    """Least and greatest value of a drawn part along a direction of length 1, from the piece's origin [mm]."""
    shape = body.shape
    if not shape.cuts and isinstance(shape.body, Prism):
        return _prism_extent(body, shape.body, direction)
    points = _kept_points(body)
    heights = points @ np.array(direction)
    return float(heights.min()), float(heights.max())


def _prism_extent(body: Body, prism: Prism, direction: Vec3) -> Range:
    a, b, c = body.frame.turn_back(direction)
    base = dot(body.frame.origin, direction)
    low, high = _depth(body, prism)
    flat = extent(prism.outline, (a, b)) if abs(a) + abs(b) > _SQUARE else (0.0, 0.0)
    size = float(np.hypot(a, b))
    ends = (c * low, c * high)
    return base + size * flat[0] + min(ends), base + size * flat[1] + max(ends)


def _depth(body: Body, prism: Prism) -> Range:
    """The third coordinate's range, narrowed by an outline sawn on the edge."""
    low, high = prism.low, prism.high
    for sawn in body.shape.sawn:
        _, under, _, over = bounds(sawn.outline)
        low, high = max(low, under), min(high, over)
    return (low, high) if low < high else (prism.low, prism.high)


def middle_of(body: Body) -> Vec3:
    """The middle of a part's overall size, along x, y and z."""
    x, y, z = (sum(extent_along(body, axis)) / 2.0 for axis in ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)))
    return (x, y, z)


def _kept_points(body: Body) -> Array:
    """Corners of the part that its plane cuts leave, and where its edges go through those planes, shape (n, 3)."""
    corners, edges = _wires(body)
    planes = [cut.plane for cut in body.shape.cuts if isinstance(cut, PlaneCut)]
    for plane in planes:
        heights = (corners - np.array(plane.point)) @ np.array(plane.normal)
        a, b = heights[edges[:, 0]], heights[edges[:, 1]]
        through = (a * b) < 0.0
        share = (a[through] / (a[through] - b[through]))[:, None]
        p, q = corners[edges[through, 0]], corners[edges[through, 1]]
        kept = heights <= 1e-9
        stays = kept[edges[:, 0]] & kept[edges[:, 1]]
        number = np.cumsum(kept) - 1
        crossing = p + share * (q - p)
        inner = np.where(kept[edges[through, 0]], edges[through, 0], edges[through, 1])
        new = np.arange(len(crossing)) + int(kept.sum())
        short = np.column_stack([number[inner], new]) if len(crossing) else np.zeros((0, 2), dtype=int)
        corners, edges = np.vstack([corners[kept], crossing]), np.vstack([number[edges[stays]], short])
        if not len(corners):
            return body.frame.many_to_world(_wires(body)[0])
    return body.frame.many_to_world(corners)


def _wires(body: Body) -> tuple[Array, Array]:
    """Corners (n, 3) in the drawing frame and the edges between them (m, 2)."""
    shape = body.shape.body
    if isinstance(shape, Prism):
        flat = to_polygon(shape.outline, _FINE)
        low, high = _depth(body, shape)
        rings = [np.column_stack([flat, np.full(len(flat), w)]) for w in (low, high)]
    else:
        rings = []
        for s in shape.stations:
            around = [(s.v[0], s.w[0]), (s.v[1], s.w[0]), (s.v[1], s.w[1]), (s.v[0], s.w[1])]
            if shape.round:
                turns = np.linspace(0.0, 2.0 * np.pi, 65)[:-1]
                mv, mw, rv, rw = sum(s.v) / 2, sum(s.w) / 2, (s.v[1] - s.v[0]) / 2, (s.w[1] - s.w[0]) / 2
                around = list(zip(mv + rv * np.cos(turns), mw + rw * np.sin(turns), strict=True))
            rings.append(np.array([(s.at, v, w) for v, w in around]))
    n = len(rings[0])
    near = np.arange(n)
    ring = np.column_stack([near, (near + 1) % n])
    edges = [ring + k * n for k in range(len(rings))]
    edges += [np.column_stack([near + k * n, near + (k + 1) * n]) for k in range(len(rings) - 1)]
    return np.vstack(rings), np.vstack(edges)


def sight(body: Body, point: Vec3, direction: Vec3) -> Range | None:
    """First and last distance at which a line of sight is inside the part, or None when it misses [mm]."""
    prism = body.shape.body
    if not isinstance(prism, Prism):
        return None
    p, d = body.frame.to_local(point), body.frame.turn_back(direction)
    flat = float(np.hypot(d[0], d[1]))
    if flat < _SQUARE:
        return None
    found = [t / flat for _, t, _ in crossings_with_line(prism.outline.segments, (p[0], p[1]), (d[0], d[1]))]
    if len(found) < 2:
        return None
    first, last = found[0], found[-1]
    if abs(d[2]) < _SQUARE:
        return (first, last) if prism.low - 1e-9 <= p[2] <= prism.high + 1e-9 else None
    enter, leave = sorted(((prism.low - p[2]) / d[2], (prism.high - p[2]) / d[2]))
    first, last = max(first, enter), min(last, leave)
    return (first, last) if first < last else None


def section_extent(body: Body, plane: Plane, direction: Vec3) -> Range | None:
    """Extent along a direction of the part's section by a plane that holds that direction; None when they miss."""
    prism = body.shape.body
    if not isinstance(prism, Prism):
        return None
    n, d = body.frame.turn_back(plane.normal), body.frame.turn_back(direction)
    base = dot(body.frame.origin, direction)
    if abs(n[0]) + abs(n[1]) < 1e-9:
        return _prism_extent(body, prism, direction)
    p = body.frame.to_local(plane.point)
    if abs(n[2]) < _SQUARE:
        run: Vec2 = (-n[1], n[0])
        found = [q for _, _, q in crossings_with_line(prism.outline.segments, (p[0], p[1]), run)]
        ends = [d[0] * q[0] + d[1] * q[1] for q in found]
        across = sorted((d[2] * prism.low, d[2] * prism.high))
        return (base + min(ends) + across[0], base + max(ends) + across[1]) if len(ends) > 1 else None
    return _oblique_extent(body, Plane(p, n), d, base)


def _oblique_extent(body: Body, plane: Plane, d: Vec3, base: float) -> Range | None:
    """The same for a plane that is oblique to the prism: its edges, within a micrometre, struck by the plane."""
    corners, edges = _wires(replace(body, shape=replace(body.shape, cuts=(), sawn=())))
    heights = (corners - np.array(plane.point)) @ np.array(plane.normal)
    a, b = heights[edges[:, 0]], heights[edges[:, 1]]
    through = (a * b) <= 0.0
    through &= np.abs(a - b) > 1e-12
    if int(through.sum()) < 2:
        return None
    share = (a[through] / (a[through] - b[through]))[:, None]
    p, q = corners[edges[through, 0]], corners[edges[through, 1]]
    along = (p + share * (q - p)) @ np.array(d)
    return base + float(along.min()), base + float(along.max())


def middle_at(body: Body, axis: int, at: float) -> Vec3 | None:
    """`leg at z 6`: the middle of the part's section where x, y or z (axis 0, 1, 2) has a value [mm]."""
    axes: list[Vec3] = [(1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)]
    if body.stick:
        if abs(body.frame.x[axis]) < 1e-6:
            return None
        return _on_section_middles(body, axis, at)
    normal = axes[axis]
    plane = Plane((at * normal[0], at * normal[1], at * normal[2]), normal)
    out = [0.0, 0.0, 0.0]
    for other in range(3):
        found = (at, at) if other == axis else section_extent(body, plane, axes[other])
        if found is None:
            return None
        out[other] = 0.5 * (found[0] + found[1])
    return (out[0], out[1], out[2])


def _on_section_middles(body: Body, axis: int, at: float) -> Vec3:
    """Where the middles of a stick's sections reach a value of x, y or z: off its own line where a taper leans over."""
    frame, along = body.frame, (at - body.frame.origin[axis]) / body.frame.x[axis]
    met = frame.origin
    for _ in range(8):
        met = frame.to_world((along, *_section_middle(body, along)))
        along += (at - met[axis]) / frame.x[axis]
    exact = list(met)
    exact[axis] = at
    return (exact[0], exact[1], exact[2])


def _section_middle(body: Body, along: float) -> tuple[float, float]:
    """Middle of a stick's section in (v, w), at a distance along it; beyond its ends as at the end."""
    stick = body.shape.body
    if not isinstance(stick, Stick):
        return (0.0, 0.0)
    stations = [station.at for station in stick.stations]
    across = [sum(station.v) / 2.0 for station in stick.stations]
    through = [sum(station.w) / 2.0 for station in stick.stations]
    return float(np.interp(along, stations, across)), float(np.interp(along, stations, through))
