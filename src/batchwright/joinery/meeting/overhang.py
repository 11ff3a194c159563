"""How far a part's section stands over the face it comes up to, on which side, and what brings it inside."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from batchwright.geometry.frame import Array, Vec2, Vec3
from batchwright.joinery.meeting.contact import BEFORE, INSET, sight_grid, sighted_faces
from batchwright.joinery.meeting.sites import Site
from batchwright.joinery.sizing.plan import Bench
from batchwright.joinery.words import OPPOSITE, at_least

FINE = (97, 97)
"""Sight lines where the edge of a face is looked for."""
NO_FACES: frozenset[int] = frozenset()


@dataclass(frozen=True, slots=True)
class Over:
    """A side of a section that stands over: the way it looks (world), by how much, and whether moving back helps, which
    is looked at where it is the only side."""

    way: Vec3
    by: float
    movable: bool
    alone: bool
    """Whether narrowing it on this side brings the whole section inside."""


def overhangs(site: Site, faces: frozenset[int] = NO_FACES) -> tuple[Over, ...]:
    """Sides on which A's section passes beside B, or beside some faces of it; each by its greatest depth [mm]."""
    grid, _ = sight_grid(site.section, *FINE)
    inside = _struck(site, faces)
    frame = site.section.frame
    found = []
    for axis, way in ((0, frame.x), (1, frame.y)):
        for sign in (-1.0, 1.0):
            by = _over(grid[:, axis] * sign, grid[:, 1 - axis], inside)
            if by > 0.0:
                within = grid[:, axis] * sign <= (grid[:, axis] * sign).max() + INSET - by + 1e-6
                found.append((Over(_times(way, sign), by, False, bool(inside[within].all())), axis, sign))
    alone = [each for each in found if each[0].alone]
    told = [min(alone, key=lambda each: each[0].by)] if alone else found
    if len(told) == 1:
        over, axis, sign = told[0]
        back = (-sign * over.by, 0.0) if axis == 0 else (0.0, -sign * over.by)
        return (replace(over, movable=bool(_struck(site, faces, back).all())),)
    return tuple(over for over, _, _ in told)


def _times(way: Vec3, sign: float) -> Vec3:
    return (way[0] * sign, way[1] * sign, way[2] * sign)


def _struck(site: Site, faces: frozenset[int], moved: Vec2 = (0.0, 0.0)) -> NDArray[np.bool_]:
    """Which sight lines of A's section strike B, or some of its faces; of the section moved in its own (x, y)."""
    reach = BEFORE + site.depth_drawn + 4.0 * (site.section.width + site.section.thickness)
    struck = sighted_faces(site.b.solid, site.section, FINE, moved, reach=reach)
    good: NDArray[np.bool_] = np.isin(struck, list(faces)) if faces else struck >= 0
    return good


def _over(along: Array, rows: Array, inside: NDArray[np.bool_]) -> float:
    """Depth from the side's edge of the points not inside, the deepest row counting [mm].

    Nothing where a row is not inside at all: the overhang is then on another side.
    """
    edge, step = float(along.max()) + INSET, float(np.ptp(along)) / (FINE[0] - 1)
    _, row = np.unique(rows, return_inverse=True)
    last = np.full(int(row.max()) + 1, -np.inf)
    np.maximum.at(last, row[inside], along[inside])
    gaps = edge - last[np.isfinite(last)]
    deep = gaps[gaps > INSET + 0.5 * step]
    return float(deep.max()) if len(deep) else 0.0


def over_mends(site: Site, over: tuple[Over, ...], bench: Bench) -> list[str]:
    """Narrower on that side, or moved to the other."""
    a, mends = site.a.part.id, []
    for each in over:
        word, by = bench.compass.word_of(each.way), at_least(each.by, bench.units)
        mends.append(f"make {a} narrower by {by} on its {word} side")
        if each.movable and len(over) == 1:
            mends.append(f"move {a} to the {OPPOSITE[word]} by {by}")
    return [" and ".join(mends)] if len(over) > 1 else mends
