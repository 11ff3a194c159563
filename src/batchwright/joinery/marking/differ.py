"""How far the surface of one solid stands off another's at most: what an average over all its wood would hide."""

from __future__ import annotations

import numpy as np

from batchwright.geometry.frame import Array
from batchwright.solids.solid import Solid

AT_ONCE = 20_000
"""Points times triangles looked at together: bounds the memory taken."""


def farthest(points: Array, corners: Array) -> float:
    """Greatest distance of points (n, 3) from a surface of triangles (m, 3, 3) [mm]; 0 without points."""
    if len(points) == 0:
        return 0.0
    step = max(1, AT_ONCE // max(1, len(corners)))
    return max(float(_distances(points[i : i + step], corners).max()) for i in range(0, len(points), step))


def sharp_vertices(solid: Solid) -> tuple[Array, Array]:
    """Vertices between flat faces only, which stand exactly where they are drawn, and all others; (n, 3) each."""
    flat = np.array([face.flat for face in solid.book])[solid.faces]
    on_curve = np.zeros(len(solid.vertices), dtype=bool)
    on_curve[np.unique(solid.triangles[~flat])] = True
    used = np.zeros(len(solid.vertices), dtype=bool)
    used[np.unique(solid.triangles)] = True
    return solid.vertices[used & ~on_curve], solid.vertices[used & on_curve]


def _distances(points: Array, corners: Array) -> Array:
    """Of each point from the nearest triangle: its face where the point stands over it, else its nearest edge."""
    a, b, c = corners[:, 0], corners[:, 1], corners[:, 2]
    nearest = np.minimum(np.minimum(_from_edges(points, a, b), _from_edges(points, b, c)), _from_edges(points, c, a))
    normal = np.cross(b - a, c - a)
    size = np.linalg.norm(normal, axis=1)
    sound = size > 1e-12
    normal = np.where(sound[:, None], normal / np.where(sound, size, 1.0)[:, None], 0.0)
    over = np.broadcast_to(sound, nearest.shape).copy()
    for p, q in ((a, b), (b, c), (c, a)):
        inwards = np.cross(normal, q - p)
        over &= points @ inwards.T >= np.einsum("ij,ij->i", inwards, p)
    heights = np.abs(points @ normal.T - np.einsum("ij,ij->i", normal, a))
    found: Array = np.where(over, heights, nearest).min(axis=1)
    return found


def _from_edges(points: Array, start: Array, end: Array) -> Array:
    """Distance of points (n, 3) from line segments (m, 3), shape (n, m)."""
    way = end - start
    square = np.maximum(np.einsum("ij,ij->i", way, way), 1e-24)
    middle = points.mean(axis=0)  # squares of small numbers: what cancels stays under 1e-4 mm
    points, start = points - middle, start - middle
    along = points @ way.T - np.einsum("ij,ij->i", start, way)
    share = np.clip(along / square, 0.0, 1.0)
    straight = np.einsum("ij,ij->i", points, points)[:, None] - 2.0 * points @ start.T
    straight += np.einsum("ij,ij->i", start, start)
    lengths: Array = np.sqrt(np.maximum(straight - share * (2.0 * along - share * square), 0.0))
    return lengths
