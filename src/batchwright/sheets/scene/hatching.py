"""Hatching as clipped lines: an even-odd sweep over rings, the same in every writer."""

from __future__ import annotations

import math

from batchwright.geometry.frame import Vec2
from batchwright.sheets.scene.primitives import Hatch, HatchKind, Plain, Straight
from batchwright.sheets.scene.strokes import Stroke

_FAMILIES: dict[HatchKind, tuple[tuple[float, float], ...]] = {
    HatchKind.CUT: ((45.0, 2.2),),
    HatchKind.CUT_OTHER: ((-45.0, 3.0),),
    HatchKind.WASTE: ((-60.0, 4.5),),
    HatchKind.END_GRAIN: ((75.0, 1.5),),
    HatchKind.DEFECT: ((45.0, 2.4), (-45.0, 2.4)),
}
"""Angle [deg] and spacing [mm on paper] of the lines of each kind."""


def draw_hatch(hatch: Hatch, scale: float) -> tuple[Plain, ...]:
    """The lines of a hatch, clipped to its rings."""
    lines: list[Plain] = []
    for angle, spacing in _FAMILIES[hatch.kind]:
        for start, end in hatch_lines(hatch.rings, math.radians(angle), spacing / scale):
            lines.append(Straight(start=start, end=end, stroke=Stroke.HATCH))
    return tuple(lines)


def hatch_lines(rings: tuple[tuple[Vec2, ...], ...], angle: float, spacing: float) -> tuple[tuple[Vec2, Vec2], ...]:
    """Parallel lines inside rings (even-odd), `spacing` apart, at `angle` [rad]; one of them runs through (0, 0)."""
    c, s = math.cos(angle), math.sin(angle)
    turned = [[(c * u + s * v, -s * u + c * v) for u, v in ring] for ring in rings]
    heights = [v for ring in turned for _, v in ring]
    if not heights:
        return ()
    lines: list[tuple[Vec2, Vec2]] = []
    for index in range(math.ceil(min(heights) / spacing), math.floor(max(heights) / spacing) + 1):
        level = index * spacing
        crossings = sorted(cross for ring in turned for cross in _crossings(ring, level))
        for low, high in zip(crossings[::2], crossings[1::2], strict=False):
            if high - low > 1e-9:
                lines.append(((c * low - s * level, s * low + c * level), (c * high - s * level, s * high + c * level)))
    return tuple(lines)


def _crossings(ring: list[Vec2], level: float) -> list[float]:
    found = []
    for (u0, v0), (u1, v1) in zip(ring, [*ring[1:], ring[0]], strict=True):
        if (v0 <= level) != (v1 <= level):
            found.append(u0 + (level - v0) / (v1 - v0) * (u1 - u0))
    return found
