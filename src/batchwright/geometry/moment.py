"""Area, centroid and second moments of a closed loop, exact for lines and cubics, to rounding for arcs."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from batchwright.geometry.frame import Array, Vec2
from batchwright.geometry.segment import (
    Arc,
    Cubic,
    Path,
    Segment,
    arc_sweep,
    cross2,
    derivatives_at,
    minus2,
    points_at,
)

_SIX: tuple[Array, Array] = np.polynomial.legendre.leggauss(6)
_TWELVE: tuple[Array, Array] = np.polynomial.legendre.leggauss(12)


@dataclass(frozen=True, slots=True)
class Moments:
    """Area [mm^2], centroid [mm] and second moments about axes through the centroid [mm^4] of a closed loop."""

    area: float
    centroid: Vec2
    uu: float
    vv: float
    uv: float


def signed_area(path: Path) -> float:
    """Area of a closed path, positive when it runs counter-clockwise [mm^2]. Green's theorem, exact."""
    origin = path[0].start
    return math.fsum(_swept(segment, origin) for segment in path)


def _swept(segment: Segment, origin: Vec2) -> float:
    """Area swept by the ray from `origin` along a segment."""
    a, b = minus2(segment.start, origin), minus2(segment.end, origin)
    if isinstance(segment, Cubic):
        f, g = minus2(segment.first, origin), minus2(segment.second, origin)
        outer = 6.0 * (cross2(a, f) + cross2(g, b)) + 3.0 * (cross2(a, g) + cross2(f, g) + cross2(f, b))
        return (outer + cross2(a, b)) / 20.0
    return 0.5 * cross2(a, b) + (_cap(segment) if isinstance(segment, Arc) else 0.0)


def _cap(arc: Arc) -> float:
    """Area between an arc and its chord, positive when it turns left."""
    sweep = arc_sweep(arc)
    square = (arc.end[0] - arc.start[0]) ** 2 + (arc.end[1] - arc.start[1]) ** 2
    if abs(sweep) < 1e-3:
        return square * sweep / 12.0 * (1.0 + sweep * sweep / 30.0)
    half = math.sin(0.5 * sweep)
    return square * (sweep - math.sin(sweep)) / (8.0 * half * half)


def moments(path: Path) -> Moments:
    """Area, centroid and second moments of a closed path; counter-clockwise counts positive.

    Raises
    ------
    ValueError
        If the path encloses no area.
    """
    area = signed_area(path)
    origin = path[0].start
    rows = np.array([_integrals(segment, origin) for segment in path])
    u, v, uu, vv, uv = rows.sum(axis=0).tolist()
    if abs(area) < 1e-12:
        raise ValueError("a loop without area has no centroid")
    cu, cv = u / area, v / area
    centroid = (origin[0] + cu, origin[1] + cv)
    return Moments(area, centroid, uu - area * cu * cu, vv - area * cv * cv, uv - area * cu * cv)


def _integrals(segment: Segment, origin: Vec2) -> list[float]:
    """First and second moments of the area swept from the v axis: integrals of powers over dv and du (Green)."""
    if isinstance(segment, Arc):
        pieces, (x, w) = 1 + int(abs(arc_sweep(segment)) / 0.8), _TWELVE
    else:
        pieces, (x, w) = 1, _SIX
    t = np.concatenate([(k + 0.5 * (x + 1.0)) / pieces for k in range(pieces)])
    weight = np.tile(0.5 * w / pieces, pieces)
    p: Array = points_at(segment, t) - np.array(origin)
    d = derivatives_at(segment, t)
    u, v, du, dv = p[:, 0], p[:, 1], d[:, 0] * weight, d[:, 1] * weight
    return [
        float(0.5 * (u * u) @ dv),
        float(-0.5 * (v * v) @ du),
        float((u**3) @ dv / 3.0),
        float(-(v**3) @ du / 3.0),
        float(0.5 * (u * u * v) @ dv),
    ]
