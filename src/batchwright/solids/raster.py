"""A grid of parallel sight lines: which of them each triangle of a solid is passed by, column by column.

A triangle, seen along the lines, covers one stretch of each column of the grid. So no line is tried against a triangle
it does not strike, and a fine grid costs little more than its strikes.
"""

from __future__ import annotations

import numpy as np

from batchwright.geometry.frame import Array, Frame
from batchwright.solids.kernel import Ints
from batchwright.solids.targets import GRAZING, Crossings, Target

HAIR = 1e-9
"""A line that passes this near beside a triangle still strikes it [mm]."""


def grid_crossings(target: Target, frame: Frame, columns: Array, rows: Array) -> Crossings:
    """Where lines along a frame's z go into the wood, in front of its plane z = 0 and behind. The lines stand at every
    x of `columns` (i,) and every y of `rows` (j,) of the frame, both in order, and are numbered column by column."""
    axes = np.array([frame.x, frame.y, frame.z])
    facing = target.normals @ axes[2]
    seen = np.nonzero(facing < -GRAZING)[0]
    base = axes @ (target.middle - np.array(frame.origin))
    corners = (target.corners[seen].reshape(-1, 3) @ axes.T + base).reshape(-1, 3, 3)
    flat = corners[:, :, :2]
    low, high = flat.min(axis=1), flat.max(axis=1)
    ends = (columns[0], rows[0]), (columns[-1], rows[-1])
    near = np.nonzero(((low <= np.array(ends[1]) + HAIR) & (high >= np.array(ends[0]) - HAIR)).all(axis=1))[0]
    corners, seen = corners[near], seen[near]
    triangle, column, first, count = _stretches(corners[:, :, :2], columns, rows)
    k = np.repeat(triangle, count)
    row = np.arange(len(k)) - np.repeat(np.cumsum(count) - count - first, count)
    place = np.repeat(column, count)
    depth = _heights(corners, (target.normals[seen] @ axes.T), (k, columns[place], rows[row]))
    return Crossings(
        line=place * len(rows) + row,
        triangle=target.numbers[seen[k]],
        depth=depth,
        entering=np.ones(len(k), dtype=bool),
    )


def _stretches(flat: Array, columns: Array, rows: Array) -> tuple[Ints, Ints, Ints, Ints]:
    """For each triangle (m, 3, 2) and column it covers: both their numbers, the first row and how many, (k,) each."""
    start, end = flat, flat[:, (1, 2, 0)]
    x0, x1 = start[:, None, :, 0], end[:, None, :, 0]
    run = x1 - x0
    upright = np.abs(run) < 1e-12
    share = (columns[None, :, None] - x0) / np.where(upright, 1.0, run)
    spans = np.where(upright, np.abs(columns[None, :, None] - x0) <= HAIR, np.abs(share - 0.5) <= 0.5 + 1e-9)
    rise = end[:, None, :, 1] - start[:, None, :, 1]
    at = start[:, None, :, 1] + np.clip(share, 0.0, 1.0) * rise
    other = np.where(upright, start[:, None, :, 1] + np.where(share > 0.5, 0.0, 1.0) * rise, at)
    at = np.where(upright, start[:, None, :, 1] + np.where(share > 0.5, 1.0, 0.0) * rise, at)
    low = np.where(spans, np.minimum(at, other), np.inf).min(axis=2)
    high = np.where(spans, np.maximum(at, other), -np.inf).max(axis=2)
    first = np.searchsorted(rows, low - HAIR, "left")
    count = np.maximum(np.searchsorted(rows, high + HAIR, "right") - first, 0)
    triangle, column = np.nonzero(count)
    return triangle, column, first[triangle, column], count[triangle, column]


def _heights(corners: Array, normals: Array, at: tuple[Ints, Array, Array]) -> Array:
    """The height of triangles over points of the grid, within each triangle's own [mm]."""
    k, x, y = at
    base = corners[:, 0]
    slope_x, slope_y = -normals[:, 0] / normals[:, 2], -normals[:, 1] / normals[:, 2]
    level = base[:, 2] - slope_x * base[:, 0] - slope_y * base[:, 1]
    heights = level[k] + slope_x[k] * x + slope_y[k] * y
    low, high = corners[:, :, 2].min(axis=1), corners[:, :, 2].max(axis=1)
    clipped: Array = np.clip(heights, low[k], high[k])
    return clipped
