"""How far the wood goes: where lines that start inside a solid first come out of it."""

from __future__ import annotations

import numpy as np

from batchwright.geometry.frame import Array, Vec3
from batchwright.solids import rays
from batchwright.solids.solid import Solid

NO_FACES: frozenset[int] = frozenset()


def exits(solid: Solid, origins: Array, direction: Vec3, besides: frozenset[int] = NO_FACES) -> Array:
    """Wood from each origin (n, 3) along one direction to where it first comes out, shape (n,) [mm].

    0 where the origin lies outside; infinite where it comes out by one of the faces numbered in `besides`.
    """
    if len(origins) == 0:
        return np.zeros(0)
    return rays.exits(solid, origins, direction, besides)
