"""Where a plane cuts a solid, in full 64-bit: closed loops of points, chained by the edges they lie on."""

from __future__ import annotations

import numpy as np

from batchwright.geometry.frame import Array, Frame
from batchwright.solids.solid import Solid

Edge = tuple[int, int]


def loops_at(solid: Solid, frame: Frame) -> list[Array]:
    """Closed loops (n, 2) in the frame's (x, y) where its plane z = 0 cuts a solid, in no special order."""
    local = frame.many_to_local(solid.vertices)
    above = local[:, 2] >= 0.0
    sides = above[solid.triangles]
    crossing = solid.triangles[(sides.any(axis=1)) & (~sides.all(axis=1))]
    steps: dict[Edge, list[Edge]] = {}
    for a, b, c in crossing.tolist():
        ends = [_key(p, q) for p, q in ((a, b), (b, c), (c, a)) if above[p] != above[q]]
        steps.setdefault(ends[0], []).append(ends[1])
        steps.setdefault(ends[1], []).append(ends[0])
    return [_points(chain, local) for chain in _chains(steps) if len(chain) >= 3]


def _key(p: int, q: int) -> Edge:
    return (p, q) if p < q else (q, p)


def _chains(steps: dict[Edge, list[Edge]]) -> list[list[Edge]]:
    """Each closed walk over the edges that the plane crosses."""
    left = dict(steps)
    chains = []
    while left:
        here = next(iter(left))
        chain: list[Edge] = []
        while here in left:
            chain.append(here)
            ways = left.pop(here)
            here = next((way for way in ways if way in left), here)
        chains.append(chain)
    return chains


def _points(chain: list[Edge], local: Array) -> Array:
    """The points where edges cross the plane, those in line with their neighbours left out."""
    low, high = local[[a for a, _ in chain]], local[[b for _, b in chain]]
    share = low[:, 2] / (low[:, 2] - high[:, 2])
    points = low[:, :2] + share[:, None] * (high[:, :2] - low[:, :2])
    before, after = np.roll(points, 1, axis=0), np.roll(points, -1, axis=0)
    run = after - before
    bend = (points[:, 0] - before[:, 0]) * run[:, 1] - (points[:, 1] - before[:, 1]) * run[:, 0]
    keep = np.abs(bend) > 1e-9 * np.maximum(1.0, np.linalg.norm(run, axis=1))
    kept: Array = points[keep]
    return kept if len(kept) >= 3 else points
