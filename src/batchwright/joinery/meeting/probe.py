"""How far the wood goes: where lines that start inside a solid first come out of it."""

from __future__ import annotations

import numpy as np

from batchwright.geometry.frame import Array, Vec3
from batchwright.solids import rays
from batchwright.solids.solid import Solid

NO_FACES: frozenset[int] = frozenset()


def exits(solid: Solid, origins: Array, direction: Vec3 | Array, besides: frozenset[int] = NO_FACES) -> Array:
    """Wood from each origin (n, 3) along a direction (one for all, or (n, 3)) to where it comes out, shape (n,) [mm].

    0 where the origin lies outside; infinite where it comes out by one of the faces numbered in `besides`.
    """
    if len(origins) == 0:
        return np.zeros(0)
    return rays.exits(solid, origins, direction, besides)
