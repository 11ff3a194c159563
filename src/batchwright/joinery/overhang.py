"""How far a part's section stands over the face it comes up to, on which side, and what brings it inside."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from batchwright.geometry.frame import Array, Vec3
from batchwright.joinery.contact import BEFORE, sight_grid
from batchwright.joinery.plan import Bench
from batchwright.joinery.sites import Site
from batchwright.joinery.words import OPPOSITE, say
from batchwright.solids.rays import cast

FINE = (97, 97)
"""Sight lines where the edge of a face is looked for."""
NO_FACES: frozenset[int] = frozenset()


@dataclass(frozen=True, slots=True)
class Over:
    """A side of a section that stands over: the way it looks (world), by how much, and whether moving back helps."""

    way: Vec3
    by: float
    movable: bool


def overhangs(site: Site, faces: frozenset[int] = NO_FACES) -> tuple[Over, ...]:
    """Sides on which A's section passes beside B, or beside some faces of it; each by its greatest depth [mm]."""
    grid, _ = sight_grid(site.section, *FINE)
    inside = _struck(site, grid, faces)
    frame = site.section.frame
    found = []
    for axis, way in ((0, frame.x), (1, frame.y)):
        for sign in (-1.0, 1.0):
            by = _over(grid[:, axis] * sign, grid[:, 1 - axis], inside)
            if by > 0.0:
                back = grid.copy()
                back[:, axis] -= sign * by
                found.append(Over(_times(way, sign), by, bool(_struck(site, back, faces).all())))
    least = min((each.by for each in found), default=0.0)
    return tuple(each for each in found if each.by <= 4.0 * least)


def _times(way: Vec3, sign: float) -> Vec3:
    return (way[0] * sign, way[1] * sign, way[2] * sign)


def _struck(site: Site, grid: Array, faces: frozenset[int]) -> NDArray[np.bool_]:
    """Which sight lines of A's section (n, 2) strike B, or some of its faces."""
    origins = site.section.frame.many_to_world(np.column_stack([grid, np.zeros(len(grid))]))
    strikes = cast(site.b.solid, origins, site.direction)
    reach = BEFORE + site.depth_drawn + 4.0 * (site.section.width + site.section.thickness)
    hit: NDArray[np.bool_] = strikes.hit & (strikes.distance <= reach)
    return hit & np.isin(strikes.faces, list(faces)) if faces else hit


def _over(along: Array, rows: Array, inside: NDArray[np.bool_]) -> float:
    """Depth from the side's edge of the points not inside, the deepest row counting; a step of the grid is added [mm].

    Nothing where a row is not inside at all: the overhang is then on another side.
    """
    edge, step = float(along.max()), float(np.ptp(along)) / (FINE[0] - 1)
    deepest = 0.0
    for row in np.unique(rows):
        here = rows == row
        if not inside[here].any():
            continue
        last = float(along[here & inside].max())
        if edge - last > 1.5 * step:
            deepest = max(deepest, edge - last + step)
    return deepest


def over_mends(site: Site, over: tuple[Over, ...], bench: Bench) -> list[str]:
    """Narrower on that side, or moved to the other."""
    a, mends = site.a.part.id, []
    for each in over:
        word, by = bench.compass.word_of(each.way), say(each.by, bench.units)
        mends.append(f"make {a} {by} narrower on its {word} side")
        if each.movable and len(over) == 1:
            mends.append(f"move {a} {by} to the {OPPOSITE[word]}")
    return [" and ".join(mends)] if len(over) > 1 else mends
