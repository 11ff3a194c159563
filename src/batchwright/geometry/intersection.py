"""Where curves meet curves: two paths, or a path with itself. Found on polylines, then exactly on the curves."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from batchwright.geometry.crossing import nearest
from batchwright.geometry.flat import Indices, Polyline, flatten_with_parameters
from batchwright.geometry.frame import Array, Vec2
from batchwright.geometry.segment import (
    Line,
    Path,
    Segment,
    apart,
    cross2,
    derivative_at,
    minus2,
    point_at,
    tangent_at,
)

COARSE = 0.05
"""Polylines this near to the curves show where to look [mm]."""

SAME = 1e-7
"""Curves this near to each other touch; places this near are one [mm]."""

MOST_PAIRS = 1_000_000
"""Chord pairs looked at in one go, so that long paths do not fill the memory."""


@dataclass(frozen=True, slots=True)
class Meeting:
    """One place where segment `i` at `t` meets segment `j` at `u`."""

    i: int
    t: float
    j: int
    u: float
    place: Vec2


def path_crossings(a: Path, b: Path) -> tuple[tuple[float, float, Vec2], ...]:
    """Where two paths meet: parameter on `a`, parameter on `b` (segment index + t), and the point; along `a`.

    Touches count. Straight pieces that run on top of each other give the ends of what they share.
    """
    first, second = flatten_with_parameters(a, COARSE), flatten_with_parameters(b, COARSE)
    meetings = [m for pair in _near_pairs(first, second) for m in _meetings(a, b, first, second, pair)]
    kept: list[Meeting] = []
    for m in sorted(meetings, key=lambda m: (m.i + m.t, m.j + m.u)):
        if not any(apart(m.place, old.place) <= 100.0 * SAME for old in kept):
            kept.append(m)
    return tuple((m.i + m.t, m.j + m.u, m.place) for m in kept)


def self_crossings(path: Path, closed: bool) -> tuple[Vec2, ...]:
    """The points at which a path crosses or touches itself.

    Neighbouring segments may share their joint, unless the path turns straight back there. What happens
    within 0.1 mm of a joint, and loops smaller than that, are not looked at.
    """
    line = flatten_with_parameters(path, COARSE)
    kept = _turnings_back(path, closed)
    sharp = {(i, j) for i, j, _, _ in _sharp_joints(path, closed)}
    around = len(line.low) - 1 if closed else -1
    for pair in _near_pairs(line, line):
        beside = pair[1] - pair[0] in (1, around)
        if beside and (int(line.segment[pair[0]]), int(line.segment[pair[1]])) not in sharp:
            continue
        for m in _meetings(path, path, line, line, pair):
            if not _only_joint(path, m, closed) and all(apart(m.place, old) > 100.0 * SAME for old in kept):
                kept.append(m.place)
    return tuple(kept)


def _sharp_joints(path: Path, closed: bool) -> list[tuple[int, int, float, Vec2]]:
    """Joints at which the path nearly turns back: both segments (lower index first), sine of the angle, place."""
    out = []
    for j, after in enumerate(path):
        if j == 0 and not closed:
            continue
        before = path[j - 1]
        a, b = tangent_at(before, 1.0), tangent_at(after, 0.0)
        sine = abs(cross2(a, b))
        if sine < 0.5 and a[0] * b[0] + a[1] * b[1] < 0.0:
            i = (j - 1) % len(path)
            out.append((min(i, j), max(i, j), sine, before.end))
    return out


def _turnings_back(path: Path, closed: bool) -> list[Vec2]:
    """Joints at which the path goes back along the way it came."""
    joints = _sharp_joints(path, closed)
    return [place for i, j, sine, place in joints if sine < 1e-9 and _runs_back(path[i], path[j], place)]


def _runs_back(a: Segment, b: Segment, joint: Vec2) -> bool:
    """Whether two segments that meet at a joint lie on each other there, and do not only touch."""
    t = 0.01 if apart(a.start, joint) <= SAME else 0.99
    place = point_at(a, t)
    foot = nearest((b,), place)
    return foot[2] <= SAME


def _near_pairs(a: Polyline, b: Polyline) -> list[tuple[int, int]]:
    """Chord pairs that come within twice the coarse tolerance of each other; of one line with itself, each once."""
    margin = 2.0 * COARSE
    low_b, high_b = _boxes(b)
    found: list[tuple[int, int]] = []
    rows = max(1, MOST_PAIRS // max(1, len(low_b)))
    low_a, high_a = _boxes(a)
    for first in range(0, len(low_a), rows):
        low, high = low_a[first : first + rows, None], high_a[first : first + rows, None]
        near = (low[..., 0] <= high_b[:, 0] + margin) & (low_b[:, 0] <= high[..., 0] + margin)
        near &= (low[..., 1] <= high_b[:, 1] + margin) & (low_b[:, 1] <= high[..., 1] + margin)
        i, j = np.nonzero(np.triu(near, first + 1) if a is b else near)
        i += first
        keep = ~(_one_side(a, i, b, j, margin) | _one_side(b, j, a, i, margin))
        found += zip(i[keep].tolist(), j[keep].tolist(), strict=True)
    return found


def _boxes(line: Polyline) -> tuple[Array, Array]:
    p, q = line.points[:-1], line.points[1:]
    return np.minimum(p, q), np.maximum(p, q)


def _one_side(a: Polyline, i: Indices, b: Polyline, j: Indices, margin: float) -> NDArray[np.bool_]:
    """Which chords of `b` lie wholly to one side of the line of their chord of `a`."""
    p, d = a.points[i], a.points[i + 1] - a.points[i]
    length = np.hypot(d[:, 0], d[:, 1])
    heights = []
    for end in (b.points[j], b.points[j + 1]):
        off = end - p
        heights.append((d[:, 0] * off[:, 1] - d[:, 1] * off[:, 0]) / np.maximum(length, 1e-12))
    h, k = heights
    clear: NDArray[np.bool_] = ((h > margin) & (k > margin)) | ((h < -margin) & (k < -margin))
    return clear


def _meetings(a: Path, b: Path, first: Polyline, second: Polyline, pair: tuple[int, int]) -> list[Meeting]:
    """The exact meetings that a pair of near chords stands for."""
    k, m = pair
    i, j = int(first.segment[k]), int(second.segment[m])
    p, q = _tuple(first.points[k]), _tuple(first.points[k + 1])
    r, s = _tuple(second.points[m]), _tuple(second.points[m + 1])
    out = []
    for x, y in _near_places(p, q, r, s):
        t = float(first.low[k] + x * (first.high[k] - first.low[k]))
        u = float(second.low[m] + y * (second.high[m] - second.low[m]))
        t, u = _polished(a[i], b[j], t, u)
        place = point_at(a[i], t)
        if apart(place, point_at(b[j], u)) <= SAME:
            out.append(Meeting(i, t, j, u, place))
    return out


def _tuple(row: Array) -> Vec2:
    return (float(row[0]), float(row[1]))


def _near_places(p: Vec2, q: Vec2, r: Vec2, s: Vec2) -> list[tuple[float, float]]:
    """Where two chords cross, else where an end of one comes near the other: parameters 0..1 on each.

    Of two that share an end, only the far ends are looked at.
    """
    d, e, off = minus2(q, p), minus2(s, r), minus2(r, p)
    if q == r:
        return [(0.0, _foot(p, r, e)), (_foot(s, p, d), 1.0)]
    if p == s:
        return [(1.0, _foot(q, r, e)), (_foot(r, p, d), 0.0)]
    across = cross2(d, e)
    if abs(across) > 1e-12 * math.hypot(*d) * math.hypot(*e):
        x, y = cross2(off, e) / across, cross2(off, d) / across
        if 0.0 <= x <= 1.0 and 0.0 <= y <= 1.0:
            return [(x, y)]
    options = [(0.0, _foot(p, r, e)), (1.0, _foot(q, r, e)), (_foot(r, p, d), 0.0), (_foot(s, p, d), 1.0)]

    def gap(option: tuple[float, float]) -> float:
        x, y = option
        return math.hypot(p[0] + x * d[0] - r[0] - y * e[0], p[1] + x * d[1] - r[1] - y * e[1])

    return [option for option in options if gap(option) <= 2.0 * COARSE]


def _foot(point: Vec2, start: Vec2, d: Vec2) -> float:
    square = d[0] * d[0] + d[1] * d[1]
    if square == 0.0:
        return 0.0
    return min(1.0, max(0.0, ((point[0] - start[0]) * d[0] + (point[1] - start[1]) * d[1]) / square))


def _polished(a: Segment, b: Segment, t: float, u: float) -> tuple[float, float]:
    """Newton's steps on A(t) = B(u), held within 0..1."""
    for _ in range(40):
        off = minus2(point_at(b, u), point_at(a, t))
        gap = math.hypot(*off)
        d, e = derivative_at(a, t), derivative_at(b, u)
        across = cross2(d, e)
        if gap <= 1e-12 or abs(across) <= 1e-12 * math.hypot(*d) * math.hypot(*e):
            break
        new_t = min(1.0, max(0.0, t + cross2(off, e) / across))
        new_u = min(1.0, max(0.0, u + cross2(off, d) / across))
        if new_t == t and new_u == u:
            break
        t, u = new_t, new_u
    return t, u


def _only_joint(path: Path, m: Meeting, closed: bool) -> bool:
    """Whether a meeting is nothing but a joint of neighbours, or a place with itself."""
    near = 2.0 * COARSE
    if m.i == m.j:
        d = derivative_at(path[m.i], m.t)
        return isinstance(path[m.i], Line) or abs(m.t - m.u) * math.hypot(*d) < near
    following = m.j == m.i + 1 or (closed and (m.j + 1) % len(path) == m.i)
    if not following:
        return False
    joints = [path[m.i].end] if m.j == m.i + 1 else []
    if closed and (m.j + 1) % len(path) == m.i:
        joints.append(path[m.j].end)
    return any(apart(m.place, joint) < near for joint in joints)
