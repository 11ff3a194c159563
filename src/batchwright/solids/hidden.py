"""Which stretches of a drawing's lines are hidden: exact crossings with the outlines of what stands in front."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from batchwright.geometry.frame import Array
from batchwright.solids import kernel
from batchwright.solids.assembly import Assembly
from batchwright.solids.kernel import Ints

BESIDE = 0.004
"""How far beside a line the wood next to it is looked at [mm]."""

ABOVE = 0.05
"""Wood less than this in front of a line does not hide it [mm]."""

EDGE_ON = 1e-3
"""Wood that leans less than this from the line of sight (0.06 degrees) is seen edge-on: it shows no face."""

SHORTEST = 0.01
"""Stretches shorter than this are not looked at on their own [mm]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Segments:
    """Lines of a view in view coordinates (right, up, towards the viewer).

    start, end (n, 3); contour (n,): whether wood ends there; side (n, 2): whether wood that faces the viewer lies to
    the left and to the right; slope (n, 2): how fast that wood comes nearer, per mm away from the line; nearest (n, 2):
    how near the viewer it comes at all.
    """

    start: Array
    end: Array
    contour: NDArray[np.bool_]
    side: NDArray[np.bool_]
    slope: Array
    nearest: Array
    owner: Ints
    kind: Ints
    arris: NDArray[np.bool_]


@dataclass(frozen=True, slots=True, kw_only=True)
class Runs:
    """Stretches of segments: segment number (k,), start and end (k, 3), whether visible (k,)."""

    segment: Ints
    start: Array
    end: Array
    visible: NDArray[np.bool_]


def segments_of(assembly: Assembly, axes: Array) -> Segments:
    """The lines to be drawn: arrises, and where curved surfaces turn away. `axes`: rows right, up, towards (3, 3)."""
    points = assembly.vertices @ axes.T
    normals = assembly.normals @ axes.T
    front = normals[:, 2] > EDGE_ON
    left, right = assembly.edges.left, assembly.edges.right
    turns = front[left] != front[right]
    span = points[assembly.edges.ends[:, 1], :2] - points[assembly.edges.ends[:, 0], :2]
    chosen = np.nonzero((assembly.arris | turns) & (np.linalg.norm(span, axis=1) > 1e-3))[0]
    ends, left, right = assembly.edges.ends[chosen], left[chosen], right[chosen]
    start, end = points[ends[:, 0]], points[ends[:, 1]]
    along = end[:, :2] - start[:, :2]
    along /= np.linalg.norm(along, axis=1)[:, None]
    beside = np.column_stack([-along[:, 1], along[:, 0]])
    side = np.zeros((len(chosen), 2), dtype=bool)
    slope, nearest = np.zeros((len(chosen), 2)), np.full((len(chosen), 2), np.inf)
    for triangles in (left, right):
        corners = points[assembly.triangles[triangles]]
        to_left = np.einsum("ij,ij->i", corners[:, :, :2].mean(axis=1) - start[:, :2], beside) > 0.0
        n = normals[triangles]
        rise = -np.einsum("ij,ij->i", n[:, :2], beside) / np.where(front[triangles], n[:, 2], 1.0)
        for column, here in ((0, to_left & front[triangles]), (1, ~to_left & front[triangles])):
            side[here, column] = True
            slope[here, column] = rise[here] * (1.0 if column == 0 else -1.0)
            nearest[here, column] = corners[here, :, 2].max(axis=1)
    return Segments(
        start=start,
        end=end,
        contour=turns[chosen],
        side=side,
        slope=slope,
        nearest=nearest,
        owner=assembly.owner[chosen],
        kind=assembly.kind[chosen],
        arris=assembly.arris[chosen],
    )


def runs_of(assembly: Assembly, segments: Segments, axes: Array) -> Runs:
    """All segments cut where their visibility changes."""
    facing = np.nonzero(segments.side.any(axis=1))[0]
    segment, low, high = _stretches(assembly, segments, facing, axes)
    seen = _visible(assembly, segments, (segment, (low + high) / 2.0), axes)
    segment, low, high, seen = _joined_up(segment, low, high, seen)
    away = np.nonzero(~segments.side.any(axis=1))[0]
    segment = np.concatenate([segment, away])
    low, high = np.concatenate([low, np.zeros(len(away))]), np.concatenate([high, np.ones(len(away))])
    span = segments.end[segment] - segments.start[segment]
    return Runs(
        segment=segment,
        start=segments.start[segment] + low[:, None] * span,
        end=segments.start[segment] + high[:, None] * span,
        visible=np.concatenate([seen, np.zeros(len(away), dtype=bool)]),
    )


def _stretches(
    assembly: Assembly, segments: Segments, facing: Ints, axes: Array
) -> tuple[Ints, Array, Array]:
    """Segments cut where they pass behind contours or run into wood: number, from, to (shares of the segment)."""
    line, share = _crossings(segments, facing, np.nonzero(segments.contour)[0])
    pierced, where = kernel.surface_hits(
        assembly.body, segments.start[facing] @ axes, segments.end[facing] @ axes
    )
    line, share = np.concatenate([line, facing[pierced]]), np.concatenate([share, where])
    length = np.linalg.norm((segments.end - segments.start)[:, :2], axis=1)
    inside = (share * length[line] > SHORTEST) & ((1.0 - share) * length[line] > SHORTEST)
    line = np.concatenate([line[inside], facing, facing])
    share = np.concatenate([share[inside], np.zeros(len(facing)), np.ones(len(facing))])
    order = np.lexsort((share, line))
    line, share = line[order], share[order]
    same = line[1:] == line[:-1]
    wide = (share[1:] - share[:-1]) * length[line[1:]] > SHORTEST
    # a crossing told twice is dropped, but never the end of a segment
    keep = np.concatenate([[True], ~same | wide | (share[1:] >= 1.0)])
    line, share = line[keep], share[keep]
    here = np.nonzero(line[1:] == line[:-1])[0]
    return line[here], share[here], share[here + 1]


def _crossings(segments: Segments, lines: Ints, contours: Ints) -> tuple[Ints, Array]:
    """Where lines pass behind contours: line number and share of it."""
    order = lines[np.argsort(segments.start[lines, 0] + segments.end[lines, 0], kind="stable")]
    p, q = segments.start[contours], segments.end[contours]
    low, high = np.minimum(p, q)[:, :2] - 1e-3, np.maximum(p, q)[:, :2] + 1e-3
    found_lines, found_shares = [np.zeros(0, dtype=np.int64)], [np.zeros(0)]
    for first in range(0, len(order), 64):
        mine = order[first : first + 64]
        a, b = segments.start[mine], segments.end[mine]
        box_low, box_high = np.minimum(a, b)[:, :2], np.maximum(a, b)[:, :2]
        near = ((low <= box_high.max(axis=0)) & (high >= box_low.min(axis=0))).all(axis=1)
        k = np.nonzero(near)[0]
        if len(k) == 0:
            continue
        touch = ((low[k][None] <= box_high[:, None]) & (high[k][None] >= box_low[:, None])).all(axis=2)
        i, j = np.nonzero(touch)
        share, good = _meeting(a[i], b[i], p[k[j]], q[k[j]])
        found_lines.append(mine[i[good]])
        found_shares.append(share[good])
    return np.concatenate(found_lines), np.concatenate(found_shares)


def _meeting(a: Array, b: Array, p: Array, q: Array) -> tuple[Array, NDArray[np.bool_]]:
    """Share of a-b at which it passes behind p-q, and whether it does."""
    r, s, d = b - a, q - p, p - a
    across = r[:, 0] * s[:, 1] - r[:, 1] * s[:, 0]
    size = np.hypot(r[:, 0], r[:, 1]) * np.hypot(s[:, 0], s[:, 1])
    crossing = np.abs(across) > 1e-7 * size
    safe = np.where(crossing, across, 1.0)
    share = (d[:, 0] * s[:, 1] - d[:, 1] * s[:, 0]) / safe
    other = (d[:, 0] * r[:, 1] - d[:, 1] * r[:, 0]) / safe
    slack = 1e-3 / np.hypot(s[:, 0], s[:, 1])
    within = (share > 0.0) & (share < 1.0) & (other > -slack) & (other < 1.0 + slack)
    in_front = p[:, 2] + other * s[:, 2] > a[:, 2] + share * r[:, 2] - ABOVE
    return share, crossing & within & in_front


def _visible(
    assembly: Assembly, segments: Segments, at: tuple[Ints, Array], axes: Array
) -> NDArray[np.bool_]:
    """Whether the wood beside each stretch is what the viewer sees there, on either side of it."""
    segment, share = at
    span = segments.end[segment] - segments.start[segment]
    middle = segments.start[segment] + share[:, None] * span
    along = span[:, :2] / np.linalg.norm(span[:, :2], axis=1)[:, None]
    left = np.column_stack([-along[:, 1], along[:, 0]]) * BESIDE
    far = float((assembly.vertices @ axes[2]).max()) + 10.0
    # turned to the view, so that the lines of sight run along an axis: the kernel finds those many times faster
    body = kernel.moved(assembly.body, np.column_stack([axes, np.zeros(3)]))
    seen = np.zeros(len(segment), dtype=bool)
    for column, sign in ((0, 1.0), (1, -1.0)):
        asked = np.nonzero(segments.side[segment, column] & ~seen)[0]
        spot = middle[asked, :2] + sign * left[asked]
        own = middle[asked, 2] + BESIDE * segments.slope[segment[asked], column]
        depth = np.minimum(own, segments.nearest[segment[asked], column]) + ABOVE
        near = np.column_stack([spot, depth])
        away = np.column_stack([spot, np.full(len(spot), far)])
        seen[asked] = ~kernel.blocked(body, away, near)
    return seen


def _joined_up(
    segment: Ints, low: Array, high: Array, seen: NDArray[np.bool_]
) -> tuple[Ints, Array, Array, NDArray[np.bool_]]:
    """Neighbouring stretches of one segment with the same answer made one."""
    if len(segment) == 0:
        return segment, low, high, seen
    new = np.concatenate([[True], (segment[1:] != segment[:-1]) | (seen[1:] != seen[:-1])])
    first = np.nonzero(new)[0]
    last = np.append(first[1:], len(segment)) - 1
    return segment[first], low[first], high[last], seen[first]
