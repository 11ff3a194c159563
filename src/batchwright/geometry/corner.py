"""Corners of an outline rounded by an arc or chamfered by a line, between straight and curved edges alike."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np

from batchwright.geometry.curve import (
    between,
    curvature_at,
    derivative_at,
    length_of,
    parameter_at_length,
    path_point_at,
    point_at,
    reversed_path,
    tangent_at,
)
from batchwright.geometry.frame import Array, Vec2
from batchwright.geometry.segment import Arc, Line, Outline, Path, Segment, apart, cross2, minus2, unit2

CORNER = 1e-4
"""Neighbours whose directions differ by more than this make a corner [rad]."""


def turn_between(before: Segment, after: Segment) -> float:
    """The angle turned at the joint of two segments, positive to the left [rad]."""
    a, b = tangent_at(before, 1.0), tangent_at(after, 0.0)
    return math.atan2(cross2(a, b), a[0] * b[0] + a[1] * b[1])


def corners(shape: Outline) -> tuple[int, ...]:
    """The segments at whose start the outline has a corner."""
    path = shape.segments
    return tuple(i for i in range(len(path)) if abs(turn_between(path[i - 1], path[i])) > CORNER)


def round_corner(shape: Outline, at: int | Vec2, radius: float, name: str = "") -> Outline:
    """The outline with one corner rounded by an arc that runs smoothly into both edges.

    `at` is the segment that starts at the corner, or the corner's point. An edge made of several segments in
    one smooth run counts as one edge.

    Raises
    ------
    ValueError
        If there is no such corner, or the radius does not fit: it names the radius and the largest that does.
    """
    return _replaced(shape, at, lambda before, after: round_between(before, after, radius, name))


def chamfer_corner(shape: Outline, at: int | Vec2, leg: float, name: str = "") -> Outline:
    """The outline with one corner cut off straight, `leg` away from the corner along each edge.

    Raises
    ------
    ValueError
        If there is no such corner, or the leg does not fit: it names the leg and the length available.
    """
    return _replaced(shape, at, lambda before, after: chamfer_between(before, after, leg, name))


Cut = Callable[[Path, Path], tuple[Path, Segment, Path]]


def _replaced(shape: Outline, at: int | Vec2, cut: Cut) -> Outline:
    path = _two_or_more(shape.segments)
    index = at if isinstance(at, int) else _corner_at(path, at)
    if not -len(path) <= index < len(path):
        raise ValueError(f"an outline of {len(path)} segments has no corner {index}")
    path = path[index:] + path[:index]
    if abs(turn_between(path[-1], path[0])) <= CORNER:
        raise ValueError(f"the outline has no corner at {path[0].start}: it runs on smoothly")
    ahead = _smooth_run(path)
    behind = _smooth_run(reversed_path(path))
    if ahead + behind > len(path):
        ahead = (len(path) + 1) // 2
        behind = len(path) - ahead
    middle = path[ahead : len(path) - behind]
    before, new, after = cut(path[len(path) - behind :], path[:ahead])
    loop = (*after, *middle, *before, new)
    first = index % len(path)
    tail = (first - behind + len(before) if first >= behind else min(first, len(before))) + 1 if first else 0
    return Outline(loop[len(loop) - tail :] + loop[: len(loop) - tail])


def _two_or_more(path: Path) -> Path:
    return between(path, 0.0, 0.5) + between(path, 0.5, 1.0) if len(path) == 1 else path


def _corner_at(path: Path, place: Vec2) -> int:
    for index, segment in enumerate(path):
        if apart(segment.start, place) <= 1e-6:
            return index
    raise ValueError(f"the outline has no corner at ({place[0]:.6g}, {place[1]:.6g})")


def _smooth_run(path: Path) -> int:
    """How many segments from the first one on follow each other without a corner."""
    for index in range(1, len(path)):
        if abs(turn_between(path[index - 1], path[index])) > CORNER:
            return index
    return len(path)


def chamfer_between(before: Path, after: Path, leg: float, name: str = "") -> tuple[Path, Line, Path]:
    """Two edges that meet in a corner, cut back by `leg` along each, and the straight line between them.

    Raises
    ------
    ValueError
        If the leg is not positive or longer than an edge.
    """
    room = min(length_of(before), length_of(after))
    if not 0.0 < leg <= room + 1e-9:
        raise ValueError(
            f"a chamfer of {leg:.6g} mm does not fit the corner at {_spell(after[0].start)}:"
            f" {room:.6g} mm of edge is available"
        )
    back, ahead = reversed_path(before), after
    t, u = _snapped(len(back) - parameter_at_length(back, leg)), _snapped(parameter_at_length(ahead, leg))
    chamfer = Line(path_point_at(before, t), path_point_at(ahead, u), name)
    return _up_to(before, t), chamfer, _from(ahead, u)


def _snapped(parameter: float) -> float:
    """A parameter that is a joint to within rounding, as that joint."""
    return float(round(parameter)) if abs(parameter - round(parameter)) < 1e-9 else parameter


def _up_to(path: Path, parameter: float) -> Path:
    """The path up to a parameter; nothing when that is its start."""
    return between(path, 0.0, parameter) if parameter > 0.0 else ()


def _from(path: Path, parameter: float) -> Path:
    """The path from a parameter on; nothing when that is its end."""
    return between(path, parameter, float(len(path))) if parameter < len(path) else ()


def _spell(place: Vec2) -> str:
    return f"({place[0]:.6g}, {place[1]:.6g})"


def round_between(before: Path, after: Path, radius: float, name: str = "") -> tuple[Path, Arc, Path]:
    """Two edges that meet in a corner, cut back to the arc of `radius` that touches both, and that arc.

    Raises
    ------
    ValueError
        If the edges do not meet in a corner, or the radius does not fit.
    """
    corner = after[0].start
    if apart(before[-1].end, corner) > 1e-6 or abs(turn_between(before[-1], after[0])) <= CORNER:
        raise ValueError(f"the edges do not meet in a corner at {_spell(corner)}")
    touch = _touching(before, after, radius)
    if touch is None:
        least = min(length_of(before), length_of(after))
        raise ValueError(
            f"a radius of {radius:.6g} mm does not fit the corner at {_spell(corner)}: of the edges beside it"
            f" {least:.6g} mm is available, which takes a radius of {_largest(before, after, radius):.6g} mm at most"
        )
    t, u, centre = touch
    a, b = path_point_at(before, t), path_point_at(after, u)
    arc = Arc(a, _middle_of_arc(a, b, centre, unit2(minus2(corner, centre)), radius), b, name)
    return _up_to(before, t), arc, _from(after, u)


def _middle_of_arc(a: Vec2, b: Vec2, centre: Vec2, towards: Vec2, radius: float) -> Vec2:
    """The point of the arc half way between its ends, on the corner's side."""
    chord = unit2(minus2(b, a))
    across = (chord[1], -chord[0])
    if across[0] * towards[0] + across[1] * towards[1] < 0.0:
        across = (-across[0], -across[1])
    return (centre[0] + radius * across[0], centre[1] + radius * across[1])


def _largest(before: Path, after: Path, radius: float) -> float:
    """The largest radius that fits, by halving."""
    low, high = 0.0, radius
    for _ in range(24):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if _touching(before, after, middle) else (low, middle)
    return low


def _touching(before: Path, after: Path, radius: float) -> tuple[float, float, Vec2] | None:
    """Parameters of the two touching points of a circle of `radius`, and its centre; None if it does not fit."""
    side = math.copysign(radius, turn_between(before[-1], after[0]))
    t = len(before) - _samples(reversed_path(before))
    u = _samples(after)
    first = np.array([_beside(before, float(s), side, last=True) for s in t])
    second = np.array([_beside(after, float(s), side) for s in u])
    for i, x, j, y in _chord_crossings(first, second):
        found = _solved(before, after, side, (float(t[i] + x * (t[i + 1] - t[i])), float(u[j] + y * (u[j + 1] - u[j]))))
        if found:
            return found
    return None


def _samples(path: Path) -> Array:
    """Parameters from the corner on, close together near it."""
    near = np.linspace(0.0, 1.0, 33) ** 2
    rows = [near if not isinstance(path[0], Line) else np.array([0.0, 1.0])]
    for index, segment in enumerate(path[1:], start=1):
        rows.append(index + (np.array([1.0]) if isinstance(segment, Line) else np.linspace(0.0, 1.0, 33)[1:]))
    return np.concatenate(rows)


def _beside(path: Path, parameter: float, side: float, last: bool = False) -> Vec2:
    """The point `side` to the left of a path; at a joint the earlier segment speaks if `last`."""
    index = min(max(math.ceil(parameter) - 1 if last else int(parameter), 0), len(path) - 1)
    p, d = point_at(path[index], parameter - index), tangent_at(path[index], parameter - index)
    return (p[0] - side * d[1], p[1] + side * d[0])


def _chord_crossings(a: Array, b: Array) -> list[tuple[int, float, int, float]]:
    """Where two polylines cross: edge and place on it, of each, those near the start of both first."""
    p, r = a[:-1, None, :], (a[1:] - a[:-1])[:, None, :]
    q, s = b[None, :-1, :], (b[1:] - b[:-1])[None, :, :]
    off = q - p
    across = r[..., 0] * s[..., 1] - r[..., 1] * s[..., 0]
    with np.errstate(divide="ignore", invalid="ignore"):
        x = (off[..., 0] * s[..., 1] - off[..., 1] * s[..., 0]) / across
        y = (off[..., 0] * r[..., 1] - off[..., 1] * r[..., 0]) / across
    low, high = -1e-3, 1.0 + 1e-3
    i, j = np.nonzero((x > low) & (x < high) & (y > low) & (y < high))
    order = np.argsort(i + x[i, j] + j + y[i, j], kind="stable")
    return [(int(i[k]), float(x[i[k], j[k]]), int(j[k]), float(y[i[k], j[k]])) for k in order]


def _solved(before: Path, after: Path, side: float, start: tuple[float, float]) -> tuple[float, float, Vec2] | None:
    """Newton's steps on the two touching points, from near them."""
    t, u = start
    for _ in range(30):
        t, u = min(max(t, 0.0), float(len(before))), min(max(u, 0.0), float(len(after)))
        a, b = _beside(before, t, side, last=True), _beside(after, u, side)
        off = minus2(b, a)
        d, e = _beside_slope(before, t, side, last=True), _beside_slope(after, u, side)
        across = cross2(d, e)
        sharpness = abs(across) / max(math.hypot(*d) * math.hypot(*e), 1e-30)
        if math.hypot(*off) <= max(1e-10 * sharpness, 1e-13):
            fits = _slack(before, t, d, True) and _slack(after, u, e, False)
            return (_snapped(t), _snapped(u), a) if fits else None
        if across == 0.0:
            return None
        t, u = t + cross2(off, e) / across, u + cross2(off, d) / across
    return None


def _beside_slope(path: Path, parameter: float, side: float, last: bool = False) -> Vec2:
    index = min(max(math.ceil(parameter) - 1 if last else int(parameter), 0), len(path) - 1)
    d = derivative_at(path[index], parameter - index)
    forward = 1.0 - side * curvature_at(path[index], parameter - index)
    return (forward * d[0], forward * d[1])


def _slack(path: Path, parameter: float, slope: Vec2, last: bool) -> bool:
    """Whether the edge bends less than the circle where they touch (its parallel still runs forward)."""
    index = min(max(math.ceil(parameter) - 1 if last else int(parameter), 0), len(path) - 1)
    d = derivative_at(path[index], parameter - index)
    return slope[0] * d[0] + slope[1] * d[1] > 0.0
