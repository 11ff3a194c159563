"""Curves beside a curve: parallels, and the two sides of a strip whose width changes along it."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from batchwright.geometry.frame import Array, Vec2
from batchwright.geometry.intersection import self_crossings
from batchwright.geometry.segment import (
    Arc,
    Cubic,
    Line,
    Outline,
    Path,
    Segment,
    apart,
    arc_sweep,
    derivatives_at,
    point_at,
    points_at,
    second_derivatives_at,
    tangent_at,
    turned_back,
)
from batchwright.geometry.spline import FairValues

SIDE_ERROR = 0.001
"""Largest distance allowed between a fitted side and the true one, measured square to it [mm]; 0.005 is promised."""

KEPT = 256
"""Strips kept: what a row of slats asks for twice, and what did not change."""
GRID = 256
"""Steps at which a side is worked out on each segment; its cubics end on some of them."""

_T = np.linspace(0.0, 1.0, 9)[:, None]
_BERNSTEIN = np.hstack([(1 - _T) ** 3, 3 * _T * (1 - _T) ** 2, 3 * _T**2 * (1 - _T), _T**3])

Profile = Callable[[Array], tuple[Array, Array]]
"""Distance to the left of a segment and its derivative by t, at many t."""


@dataclass(frozen=True, slots=True)
class _Side:
    """One segment and the distance to keep to its left."""

    segment: Segment
    profile: Profile

    def at(self, t: Array) -> tuple[Array, Array, Array]:
        """Points of the side, their derivatives by t, and how far the side still runs forward (1 - curvature f)."""
        p, d = points_at(self.segment, t), derivatives_at(self.segment, t)
        e = second_derivatives_at(self.segment, t)
        speed = np.maximum(np.hypot(d[:, 0], d[:, 1]), 1e-9)
        tangent = d / speed[:, None]
        normal = np.stack([-tangent[:, 1], tangent[:, 0]], axis=1)
        curvature = (d[:, 0] * e[:, 1] - d[:, 1] * e[:, 0]) / speed**3
        f, slope = self.profile(t)
        forward = 1.0 - curvature * f
        return p + f[:, None] * normal, d * forward[:, None] + slope[:, None] * normal, forward


def parallel(path: Path, distance: float) -> Path:
    """The curve that runs `distance` to the left of a path (negative: to the right), within 0.005 mm.

    Lines and arcs stay exact; a cubic becomes as many cubics as that takes. Every piece keeps its name.

    Raises
    ------
    ValueError
        If a radius of the path is too small for the distance, or the path has a corner.
    """
    _refuse_corners(path)
    out: list[Segment] = []
    for segment in path:
        exact = _exact_parallel(segment, distance)
        out += [exact] if exact else _fitted(_Side(segment, _constant(distance)), "a parallel")
    return tuple(out)


def _constant(distance: float) -> Profile:
    return lambda t: (np.full_like(t, distance), np.zeros_like(t))


def _refuse_corners(path: Path) -> None:
    if not path:
        raise ValueError("an empty path has nothing beside it")
    for before, after in zip(path, path[1:], strict=False):
        a, b = tangent_at(before, 1.0), tangent_at(after, 0.0)
        if apart(before.end, after.start) > 1e-6:
            raise ValueError(f"the path is not in one piece: {before.end} and {after.start}")
        if math.hypot(a[0] - b[0], a[1] - b[1]) > 1e-6:
            raise ValueError(f"the path has a corner at {after.start}: no one curve runs beside it there")


def _left(segment: Segment, t: float, distance: float) -> Vec2:
    p, d = point_at(segment, t), tangent_at(segment, t)
    return (p[0] - distance * d[1], p[1] + distance * d[0])


def _exact_parallel(segment: Segment, distance: float) -> Segment | None:
    """A line's or an arc's own parallel; None for a cubic."""
    if isinstance(segment, Cubic):
        return None
    start, end = _left(segment, 0.0, distance), _left(segment, 1.0, distance)
    if isinstance(segment, Line):
        return Line(start, end, segment.name)
    sweep = arc_sweep(segment)
    if abs(sweep) > 1e-12:
        radius = abs(0.5 * apart(segment.start, segment.end) / math.sin(0.5 * sweep))
        if radius - math.copysign(distance, sweep * distance) <= 1e-9:
            _refuse("a parallel", distance, radius, point_at(segment, 0.5))
    return Arc(start, _left(segment, 0.5, distance), end, segment.name)


def _refuse(what: str, distance: float, radius: float, place: Vec2) -> None:
    raise ValueError(
        f"{what} at {abs(distance):.6g} mm folds over: the curve's radius is only {radius:.6g} mm"
        f" at ({place[0]:.6g}, {place[1]:.6g})"
    )


def _fitted(side: _Side, what: str) -> list[Segment]:
    """Cubics that share points and derivatives with a side, halved until none strays by more than allowed."""
    t = np.linspace(0.0, 1.0, GRID + 1)
    points, slopes, forward = side.at(t)
    worst = int(np.argmin(forward))
    if forward[worst] <= 1e-6:
        f = float(side.profile(t)[0][worst])
        _refuse(what, f, f / (1.0 - float(forward[worst])), point_at(side.segment, float(t[worst])))
    _refuse_turning_back(side.segment)
    return _pieces(points, slopes, 1.0, side.segment.name)


def _refuse_turning_back(segment: Segment) -> None:
    """A curve that runs to a point and back again has no one side."""
    t = np.linspace(0.0, 1.0, GRID + 1)
    d = derivatives_at(segment, t)
    back = np.nonzero((d[1:] * d[:-1]).sum(axis=1) < 0.0)[0]
    if len(back):
        u, v = point_at(segment, float(t[back[0]]))
        raise ValueError(f"the curve turns back on itself at ({u:.6g}, {v:.6g}): no one curve runs beside it there")


def _pieces(points: Array, slopes: Array, step: float, name: str) -> list[Segment]:
    """Cubics through a grid of points of one curve whose derivatives are known; `step` is the parameter it spans."""
    count = len(points) - 1
    stride = max(1, count // 8)
    seen, basis = points[::stride], _BERNSTEIN[:: 8 * stride // count]
    along = slopes[::stride] / np.maximum(np.hypot(slopes[::stride, 0], slopes[::stride, 1]), 1e-12)[:, None]
    across = np.stack([-along[:, 1], along[:, 0]], axis=1)
    control = np.stack([seen[0], seen[0] + slopes[0] * step / 3.0, seen[-1] - slopes[-1] * step / 3.0, seen[-1]])
    control = _best_handles(control, seen, across, basis)
    off = basis @ control - seen
    strays = np.abs((off * across).sum(axis=1)).max()
    if count <= 2 or (strays <= SIDE_ERROR and np.abs((off * along).sum(axis=1)).max() <= 0.1):
        return [Cubic(_pair(control[0]), _pair(control[1]), _pair(control[2]), _pair(control[3]), name)]
    middle = count // 2
    return [
        *_pieces(points[: middle + 1], slopes[: middle + 1], 0.5 * step, name),
        *_pieces(points[middle:], slopes[middle:], 0.5 * step, name),
    ]


def _best_handles(control: Array, seen: Array, across: Array, basis: Array) -> Array:
    """The handles lengthened or shortened so that the cubic strays least across the curve (least squares)."""
    u = basis[:, 1] * (across @ (control[1] - control[0]))
    v = basis[:, 2] * (across @ (control[2] - control[3]))
    ends = np.outer(basis[:, 0] + basis[:, 1], control[0]) + np.outer(basis[:, 2] + basis[:, 3], control[3])
    wanted = ((seen - ends) * across).sum(axis=1)
    uu, vv, uv, uw, vw = (float(p @ q) for p, q in ((u, u), (v, v), (u, v), (u, wanted), (v, wanted)))
    size = uu * vv - uv * uv
    if size <= 1e-6 * uu * vv or uu * vv <= 1e-24:
        return control
    first, second = (uw * vv - vw * uv) / size, (vw * uu - uw * uv) / size
    if not (0.7 < first < 1.4 and 0.7 < second < 1.4):
        return control
    handles = control[0] + first * (control[1] - control[0]), control[3] + second * (control[2] - control[3])
    return np.stack([control[0], *handles, control[3]])


def _pair(row: Array) -> Vec2:
    return (float(row[0]), float(row[1]))


def knot_stations(path: Path) -> tuple[float, ...]:
    """Chord length run up to each joint of a path, its two ends included [mm]."""
    out = [0.0]
    for segment in path:
        out.append(out[-1] + apart(segment.start, segment.end))
    return tuple(out)


def strip_outline(path: Path, widths: Sequence[float]) -> Outline:
    """The outline of a strip along a batten: `side left`, `side right`, `end start`, `end end`, within 0.01 mm.

    One width, or one for each point of the batten (its segments' ends). The width is itself a fair curve over
    chord length, measured square to the batten, half to each side. The ends are square to it.

    Raises
    ------
    ValueError
        If the widths do not match, one is not positive, or the strip folds over or crosses itself.
    """
    return _outlined(path, tuple(widths))


@lru_cache(maxsize=KEPT)
def _outlined(path: Path, widths: tuple[float, ...]) -> Outline:
    _refuse_corners(path)
    stations = knot_stations(path)
    if len(widths) not in (1, len(stations)):
        raise ValueError(f"{len(widths)} widths do not match {len(stations)} points: give one, or one for each")
    fair = FairValues(stations, widths)
    left, right = _strip_side(path, fair, 0.5, "side left"), _strip_side(path, fair, -0.5, "side right")
    ends = Line(right[-1].end, left[-1].end, "end end"), Line(left[0].start, right[0].start, "end start")
    outline = Outline((*right, ends[0], *(turned_back(segment) for segment in reversed(left)), ends[1]))
    crossed = self_crossings(outline.segments, closed=True)
    if crossed:
        u, v = crossed[0]
        raise ValueError(f"the strip crosses itself at ({u:.6g}, {v:.6g}): it is too wide for its bend")
    return outline


def _strip_side(path: Path, fair: FairValues, half: float, name: str) -> list[Segment]:
    stations = knot_stations(path)
    out: list[Segment] = []
    for i, segment in enumerate(path):
        low, step = stations[i], stations[i + 1] - stations[i]

        def profile(t: Array, low: float = low, step: float = step) -> tuple[Array, Array]:
            at = low + step * t
            return half * fair(at), half * step * fair.slope(at)

        f, slope = profile(np.linspace(0.0, 1.0, 65))
        if (f / half).min() <= 0.0:
            raise ValueError(f"the strip has no width between {segment.start} and {segment.end}")
        if np.abs(f - f[0]).max() <= 1e-9 and (exact := _exact_parallel(segment, float(f[0]))):
            out.append(_named(exact, name))
        elif isinstance(segment, Line) and np.abs(slope - slope[0]).max() <= 1e-9:
            out.append(Line(_left(segment, 0.0, float(f[0])), _left(segment, 1.0, float(f[-1])), name))
        else:
            out += [_named(piece, name) for piece in _fitted(_Side(segment, profile), "a strip with half its width")]
    return out


def _named(segment: Segment, name: str) -> Segment:
    if isinstance(segment, Line):
        return Line(segment.start, segment.end, name)
    if isinstance(segment, Arc):
        return Arc(segment.start, segment.middle, segment.end, name)
    return Cubic(segment.start, segment.first, segment.second, segment.end, name)
