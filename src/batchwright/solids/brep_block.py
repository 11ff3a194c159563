"""Exact blocks to cut with: half spaces and rectangles."""

from __future__ import annotations

import numpy as np

from batchwright.geometry.curve import Line
from batchwright.geometry.frame import Array, Plane, Vec2
from batchwright.geometry.segment import Path
from batchwright.solids import brep_kernel as kernel
from batchwright.solids.bodies import across
from batchwright.solids.brep_kernel import Exact


def half_space(plane: Plane, around: tuple[Array, Array]) -> Exact:
    """All that lies on the side the plane's normal looks to, as far as the box `around` (low, high) reaches."""
    reach = float(np.linalg.norm(around[1] - around[0])) + 10.0
    middle = (around[0] + around[1]) / 2.0
    normal = np.array(plane.normal)
    away = float((middle - np.array(plane.point)) @ normal)
    x, y = across(plane.normal)
    block = kernel.prism(rectangle(2.0 * reach, 2.0 * reach), 0.0, reach + max(0.0, away))
    return kernel.moved(block, np.column_stack([x, y, normal, middle - away * normal]))


def rectangle(wide: float, high: float) -> Path:
    """A rectangle about the origin."""
    a, b = wide / 2.0, high / 2.0
    corners: list[Vec2] = [(-a, -b), (a, -b), (a, b), (-a, b)]
    return tuple(Line(p, q) for p, q in zip(corners, corners[1:] + corners[:1], strict=True))
