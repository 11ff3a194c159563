"""How far the wood goes: where parallel lines that start inside a solid first come out of it."""

from __future__ import annotations

import numpy as np

from batchwright.geometry.frame import Array, Vec3
from batchwright.solids.bodies import across
from batchwright.solids.solid import Solid

EDGE = 1e-9
LEAST = 1e-6


NO_FACES: frozenset[int] = frozenset()


def exits(solid: Solid, origins: Array, direction: Vec3, besides: frozenset[int] = NO_FACES) -> Array:
    """Wood from each origin (n, 3) along a direction to where it first comes out, shape (n,) [mm].

    0 where the origin lies outside: the first face ahead is then one the line enters by, or there is none. Infinite
    where it comes out by one of the faces numbered in `besides`: the mouth of a sloping mortise is no wall.
    """
    if len(origins) == 0:
        return np.zeros(0)
    x, y = across(direction)
    axes = np.column_stack([x, y, direction])
    points, starts = solid.vertices @ axes, origins @ axes
    low, high = starts[:, :2].min(axis=0) - 1e-6, starts[:, :2].max(axis=0) + 1e-6
    corners = points[solid.triangles]
    flat = corners[:, :, :2]
    near = ((flat.min(axis=1) <= high) & (flat.max(axis=1) >= low)).all(axis=1)
    near &= corners[:, :, 2].max(axis=1) >= starts[:, 2].min() - 1e-6
    a, b, c = np.moveaxis(corners[near], 1, 0)
    double = (b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (c[:, 0] - a[:, 0]) * (b[:, 1] - a[:, 1])
    upright = np.abs(double) > 1e-12
    a, b, c, double = a[upright], b[upright], c[upright], double[upright]
    px, py = starts[:, None, 0] - a[None, :, 0], starts[:, None, 1] - a[None, :, 1]
    u = (px * (c[:, 1] - a[:, 1]) - py * (c[:, 0] - a[:, 0])) / double
    v = (py * (b[:, 0] - a[:, 0]) - px * (b[:, 1] - a[:, 1])) / double
    depth = a[:, 2] + u * (b[:, 2] - a[:, 2]) + v * (c[:, 2] - a[:, 2]) - starts[:, None, 2]
    struck = (u >= -EDGE) & (v >= -EDGE) & (u + v <= 1.0 + EDGE) & (depth > LEAST)
    depth = np.where(struck, depth, np.inf)
    if depth.shape[1] == 0:
        return np.zeros(len(origins))
    first = depth.argmin(axis=1)
    found = depth[np.arange(len(origins)), first]
    leaving = double[first] > 0.0
    wood: Array = np.where(np.isfinite(found) & leaving, found, 0.0)
    if besides:
        by = solid.faces[np.nonzero(near)[0][upright]][first]
        wood[(wood > 0.0) & np.isin(by, list(besides))] = np.inf
    return wood
