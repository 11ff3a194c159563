"""Whether two outlines are the same shape, as drawn, turned or mirrored."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from batchwright.geometry.curve import length_of, map_path
from batchwright.geometry.flat import flatten
from batchwright.geometry.frame import Array, Vec2
from batchwright.geometry.moment import Moments, moments
from batchwright.geometry.segment import Outline, Path

MIRROR = np.array([[1.0, 0.0], [0.0, -1.0]])


@dataclass(frozen=True, slots=True)
class Match:
    """How the first outline is laid on the second: mirrored in its u axis or not, turned [rad], then shifted."""

    mirrored: bool
    angle: float
    offset: Vec2


def same_shape(a: Outline, b: Outline, tolerance: float, mirror: bool = False, turn: bool = False) -> bool:
    """Whether two outlines agree within `tolerance` [mm] when one is laid on the other.

    Position never counts. With `turn` the one may be turned by any angle, with `mirror` also turned over.
    How the outlines are divided into segments, and their names, do not count.
    """
    return match_shape(a, b, tolerance, mirror, turn) is not None


def match_shape(a: Outline, b: Outline, tolerance: float, mirror: bool = False, turn: bool = False) -> Match | None:
    """How `a` is laid on `b` so that they agree within `tolerance` [mm]; None if they do not. Plain ways first."""
    mb = moments(b.segments)
    for mirrored in (False, True) if mirror else (False,):
        path = map_path(a.segments, MIRROR) if mirrored else a.segments
        ma = moments(a.segments)
        if not _alike(path, ma, b.segments, mb, tolerance):
            return None
        if mirrored:
            ma = Moments(ma.area, (ma.centroid[0], -ma.centroid[1]), ma.uu, ma.vv, -ma.uv)
        found = _laid(path, ma, b.segments, mb, (tolerance, turn))
        if found:
            return Match(mirrored, *found)
    return None


def _alike(a: Path, ma: Moments, b: Path, mb: Moments, tolerance: float) -> bool:
    """Whether areas and second moments leave any chance."""
    girth = max(length_of(a), length_of(b))
    if abs(ma.area - mb.area) > girth * tolerance * 1.1:
        return False
    reach = girth * 0.5
    return abs(ma.uu + ma.vv - mb.uu - mb.vv) <= 2.0 * girth * tolerance * reach**2


def _laid(a: Path, ma: Moments, b: Path, mb: Moments, ask: tuple[float, bool]) -> tuple[float, Vec2] | None:
    tolerance, turn = ask
    fine = min(0.02, 0.25 * tolerance)
    p = flatten(a, fine)[:-1] - np.array(ma.centroid)
    q = flatten(b, fine)[:-1] - np.array(mb.centroid)
    for angle in _angles(p, ma, q, mb, tolerance) if turn else (0.0,):
        turned = p @ _turn(angle).T
        if max(np.abs(np.ptp(turned, axis=0) - np.ptp(q, axis=0))) > 2.0 * tolerance:
            continue
        for shift in ((0.0, 0.0), _box_shift(turned, q)):
            laid = turned + np.array(shift)
            if all(_farthest(*pair) <= tolerance for pair in ((laid[::16], q), (laid, q), (q, laid))):
                u, v = (_turn(angle) @ np.array(ma.centroid)).tolist()
                return angle, (mb.centroid[0] - u + shift[0], mb.centroid[1] - v + shift[1])
    return None


def _box_shift(p: Array, q: Array) -> Vec2:
    """The shift that brings the middles of two boxes together."""
    d = 0.5 * (q.min(axis=0) + q.max(axis=0) - p.min(axis=0) - p.max(axis=0))
    return (float(d[0]), float(d[1]))


def _turn(angle: float) -> Array:
    c, s = math.cos(angle), math.sin(angle)
    return np.array([[c, -s], [s, c]])


def _angles(p: Array, ma: Moments, q: Array, mb: Moments, tolerance: float) -> list[float]:
    """Turns worth trying: main axes on main axes; where the shape has none, its farthest point on b's."""
    spread = math.hypot(ma.uu - ma.vv, 2.0 * ma.uv)
    if spread > 1e-3 * (ma.uu + ma.vv):
        half = 0.5 * (math.atan2(2.0 * mb.uv, mb.uu - mb.vv) - math.atan2(2.0 * ma.uv, ma.uu - ma.vv))
        return sorted((_plain(half + k * math.pi) for k in (0, 1)), key=abs)
    far_p, far_q = np.hypot(p[:, 0], p[:, 1]), np.hypot(q[:, 0], q[:, 1])
    k = int(np.argmax(far_p))
    near = np.nonzero(np.abs(far_q - far_p[k]) <= 2.0 * tolerance)[0]
    start = math.atan2(p[k, 1], p[k, 0])
    angles = [_plain(math.atan2(q[i, 1], q[i, 0]) - start) for i in near]
    return sorted(angles, key=abs)[:64]


def _plain(angle: float) -> float:
    """The same turn, more than -pi and up to pi."""
    rest = math.remainder(angle, 2.0 * math.pi)
    return rest + 2.0 * math.pi if rest <= -math.pi + 1e-12 else rest


def _farthest(points: Array, polygon: Array) -> float:
    """The greatest distance of any of the points from a polygon's edges."""
    start = polygon[None, :, :]
    d = np.roll(polygon, -1, axis=0)[None, :, :] - start
    square = np.maximum((d * d).sum(axis=2), 1e-30)
    worst = 0.0
    rows = max(1, 200_000 // len(polygon))
    for first in range(0, len(points), rows):
        off = points[first : first + rows, None, :] - start
        t = np.clip((off * d).sum(axis=2) / square, 0.0, 1.0)
        gap = off - t[..., None] * d
        worst = max(worst, float((gap * gap).sum(axis=2).min(axis=1).max()))
    return math.sqrt(worst)
