"""How a copy lies on a curve: turned to it, on its two arrises where it is hollow, on its middle where crowned."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from batchwright.base.fault import Place
from batchwright.design.drawing.views import View, Wall, curve_mistake
from batchwright.geometry.curve import (
    between,
    crossings_with_line,
    length_of,
    path_point_at,
    path_tangent_at,
    reversed_path,
)
from batchwright.geometry.frame import Array, Frame, Vec2, Vec3, dot, plus
from batchwright.geometry.segment import Line, Path, Segment, apart, derivatives_at

_Range = tuple[float, float]


PANELS = 64
"""Pieces of each segment that a ruler measures one by one."""

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(6)


@dataclass(frozen=True, slots=True)
class Ruler:
    """Lengths run along a path at many of its parameters, to find the parameter at a length between them.

    Between two marks the parameter is a cubic of the length with the right slope at both: within 1e-7 mm on the fair
    curves of furniture.
    """

    lengths: Array
    parameters: Array
    slopes: Array

    @property
    def whole(self) -> float:
        """Length of the path [mm]."""
        return float(self.lengths[-1])

    def parameter(self, at: float) -> float:
        """The parameter (segment index + t) where the path has run a length [mm]."""
        k = min(max(int(np.searchsorted(self.lengths, at)) - 1, 0), len(self.lengths) - 2)
        low, step = float(self.lengths[k]), float(self.lengths[k + 1] - self.lengths[k])
        x = (at - low) / step
        a, b = float(self.parameters[k]), float(self.parameters[k + 1])
        rise, fall = float(self.slopes[k, 0]) * step, float(self.slopes[k, 1]) * step
        return a + (b - a) * x * x * (3.0 - 2.0 * x) + x * (1.0 - x) * (rise * (1.0 - x) - fall * x)


def ruler_of(path: Path) -> Ruler:
    """Every segment measured in equal steps of its parameter (Gauss, six points to a step)."""
    lengths, slopes = [np.zeros(1)], []
    edges = np.linspace(0.0, 1.0, PANELS + 1)
    inner = (edges[:-1, None] + (0.5 * (_NODES + 1.0))[None, :] / PANELS).ravel()
    for segment in path:
        speed = _speeds(segment, inner).reshape(PANELS, -1)
        run = speed @ _WEIGHTS * (0.5 / PANELS)
        lengths.append(lengths[-1][-1] + np.cumsum(run))
        ends = 1.0 / np.maximum(_speeds(segment, edges), 1e-12)
        slopes.append(np.column_stack([ends[:-1], ends[1:]]))
    marks = np.arange(len(path) * PANELS + 1) / PANELS
    return Ruler(np.concatenate(lengths), marks, np.concatenate(slopes))


def _speeds(segment: Segment, t: Array) -> Array:
    d = derivatives_at(segment, t)
    speeds: Array = np.hypot(d[:, 0], d[:, 1])
    return speeds


@dataclass(frozen=True, slots=True, kw_only=True)
class Rest:
    """A line or curve that copies lie on. Distances run along it from its start; `low` and `high` are the limits."""

    view: View
    path: Path
    ruler: Ruler
    low: float
    high: float
    along: int
    """Which of the view's coordinates it runs along: the copies' own first direction."""

    @property
    def direction(self) -> Vec3:
        """What a copy's width is measured along, as drawn."""
        return self.view.frame.x if self.along == 0 else self.view.frame.y

    @property
    def square(self) -> Vec3:
        """What is up from the curve, as drawn."""
        return self.view.frame.y if self.along == 0 else self.view.frame.x

    def pose(self, at: float, ends: _Range, sides: _Range) -> Frame:
        """Where a copy's drawing goes whose zero lies at a distance along the curve."""
        origin, run = self._lying(at, ends, 1.0 if sides[0] + sides[1] >= 0.0 else -1.0)
        f = self.view.frame
        if self.along == 0:
            u, v = run, (-run[1], run[0])
        else:
            u, v = (run[1], -run[0]), run
        turned = tuple(self._turned(axis, u, v) for axis in ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)))
        return Frame(f.to_world((origin[0], origin[1], 0.0)), turned[0], turned[1], turned[2])

    def _turned(self, axis: Vec3, u: Vec2, v: Vec2) -> Vec3:
        """An axis of the piece after the turn that takes the view's own axes to u and v."""
        f = self.view.frame
        a, b, c = dot(axis, f.x), dot(axis, f.y), dot(axis, f.z)
        p, q = a * u[0] + b * v[0], a * u[1] + b * v[1]
        return plus(plus((p * f.x[0], p * f.x[1], p * f.x[2]), f.y, q), f.z, c)

    def _lying(self, at: float, ends: _Range, side: float) -> tuple[Vec2, Vec2]:
        """Where the copy's zero goes, and the direction it lies along."""
        low, high = ends
        middle = at + 0.5 * (low + high)
        tangent = self._run(middle)
        if high - low > 1e-9:
            p, q = self._point(at + low), self._point(at + high)
            chord = apart(p, q)
            if chord > 1e-9 and self._hollow(p, q, self._point(middle), side):
                p, q = self._arrises(at, low, high)
                chord = apart(p, q)
                run = ((q[0] - p[0]) / chord, (q[1] - p[1]) / chord)
                return (p[0] - low * run[0], p[1] - low * run[1]), run
        on = self._point(middle)
        back = 0.5 * (low + high)
        return (on[0] - back * tangent[0], on[1] - back * tangent[1]), tangent

    def _hollow(self, p: Vec2, q: Vec2, m: Vec2, side: float) -> bool:
        """Whether the curve falls away under the middle of the copy."""
        left = ((q[0] - p[0]) * (m[1] - p[1]) - (q[1] - p[1]) * (m[0] - p[0])) / apart(p, q)
        up = left if self.along == 0 else -left
        return side * up < -1e-9

    def _arrises(self, at: float, low: float, high: float) -> tuple[Vec2, Vec2]:
        """Two points of the curve exactly as far apart as the copy is wide."""
        width, stretch = high - low, 1.0
        for _ in range(20):
            p, q = self._point(at + low * stretch), self._point(at + high * stretch)
            chord = apart(p, q)
            if abs(chord - width) < 1e-10:
                break
            stretch *= width / chord
        return p, q

    def _point(self, at: float) -> Vec2:
        if 0.0 <= at <= self.ruler.whole:
            return path_point_at(self.path, self._parameter(at))
        return self._beyond(at)

    def _parameter(self, at: float) -> float:
        return self.ruler.parameter(min(max(at, 0.0), self.ruler.whole))

    def _beyond(self, at: float) -> Vec2:
        """A hair past the curve's end, straight on."""
        end = self.path[0].start if at < 0.0 else self.path[-1].end
        run, over = self._run(at), at if at < 0.0 else at - self.ruler.whole
        return (end[0] + over * run[0], end[1] + over * run[1])

    def _run(self, at: float) -> Vec2:
        return path_tangent_at(self.path, self._parameter(at))


def rest_of(wall: Wall, low: float, high: float, place: Place) -> Rest:
    """A wall to lie copies on, between two of its own longer-running coordinates. Raises Mistake."""
    along = wall.longer()
    if wall.direction is not None:
        path = _straight(wall, wall.direction, low, high, along)
        return Rest(view=wall.view, path=path, ruler=ruler_of(path), low=0.0, high=length_of(path), along=along)
    path = wall.path
    if path[0].start[along] > path[-1].end[along]:
        path = reversed_path(path)
    at = []
    for value in (low, high):
        origin, direction = ((value, 0.0), (0.0, 1.0)) if along == 0 else ((0.0, value), (1.0, 0.0))
        found = crossings_with_line(path, origin, direction)
        if len(found) != 1:
            raise curve_mistake(wall.name, len(found), place)
        at.append(_length_to(path, found[0][0]))
    return Rest(view=wall.view, path=path, ruler=ruler_of(path), low=at[0], high=at[1], along=along)


def _length_to(path: Path, parameter: float) -> float:
    return length_of(between(path, 0.0, parameter)) if parameter > 1e-12 else 0.0


def _straight(wall: Wall, direction: Vec2, low: float, high: float, along: int) -> Path:
    ends = []
    for value in (low, high):
        t = (value - wall.point[along]) / direction[along]
        ends.append((wall.point[0] + t * direction[0], wall.point[1] + t * direction[1]))
    assert math.dist(ends[0], ends[1]) > 0.0
    return (Line(ends[0], ends[1]),)
