"""Where a plane cuts a solid, in full 64-bit: closed loops of points, chained by the edges they lie on."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from batchwright.geometry.frame import Array, Frame
from batchwright.solids.asked import own_frame
from batchwright.solids.kernel import Ints
from batchwright.solids.solid import Solid

TURNED = np.array([1.0, -1.0])
KEPT = 256
"""Sections kept: those of a few revisions."""
Edge = int
"""The edge between two vertices: the lower number times their count, plus the higher."""


def loops_at(solid: Solid, frame: Frame) -> list[Array]:
    """Closed loops (n, 2) in the frame's (x, y) where its plane z = 0 cuts a solid, in no special order."""
    own, seen, turned = own_frame(solid, frame)
    loops = _loops(own, seen)
    return [loop * TURNED for loop in loops] if turned else list(loops)


@lru_cache(maxsize=KEPT)
def _loops(solid: Solid, frame: Frame) -> tuple[Array, ...]:
    local = frame.many_to_local(solid.vertices)
    above = local[:, 2] >= 0.0
    sides = above[solid.triangles]
    sum_above = sides.sum(axis=1)
    crossing = (sum_above > 0) & (sum_above < 3)
    corners, sides = solid.triangles[crossing], sides[crossing]
    low, high = np.minimum(corners, np.roll(corners, -1, axis=1)), np.maximum(corners, np.roll(corners, -1, axis=1))
    size = len(local)
    ends = (low * size + high)[sides != np.roll(sides, -1, axis=1)].reshape(-1, 2)
    steps: dict[Edge, list[Edge]] = {}
    for one, two in ends.tolist():
        steps.setdefault(one, []).append(two)
        steps.setdefault(two, []).append(one)
    return tuple([_points(np.array(chain), local) for chain in _chains(steps) if len(chain) >= 3])


def _chains(steps: dict[Edge, list[Edge]]) -> list[list[Edge]]:
    """Each closed walk over the edges that the plane crosses."""
    chains = []
    while steps:
        here = next(iter(steps))
        chain: list[Edge] = []
        ways: list[Edge] | None = steps.pop(here)
        while ways is not None:
            chain.append(here)
            here = next((way for way in ways if way in steps), here)
            ways = steps.pop(here, None)
        chains.append(chain)
    return chains


def _points(chain: Ints, local: Array) -> Array:
    """The points where edges cross the plane, those in line with their neighbours left out."""
    low, high = local[chain // len(local)], local[chain % len(local)]
    share = low[:, 2] / (low[:, 2] - high[:, 2])
    points = low[:, :2] + share[:, None] * (high[:, :2] - low[:, :2])
    before, after = np.concatenate([points[-1:], points[:-1]]), np.concatenate([points[1:], points[:1]])
    run = after - before
    bend = (points[:, 0] - before[:, 0]) * run[:, 1] - (points[:, 1] - before[:, 1]) * run[:, 0]
    keep = np.abs(bend) > 1e-9 * np.maximum(1.0, np.sqrt((run * run).sum(axis=1)))
    kept: Array = points[keep]
    return kept if len(kept) >= 3 else points
