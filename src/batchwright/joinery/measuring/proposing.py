"""Which joint two parts could have that touch or overlap and have none: what their directions and places say."""

from __future__ import annotations

import numpy as np

from batchwright.base.mend import Mend
from batchwright.joinery.meeting.sites import ENDS
from batchwright.joinery.offering import join
from batchwright.model.draft import DraftPart, JointKind
from batchwright.solids.build import Solid

ENDWISE = 0.85
"""A contact that looks along a part's grain more than this (cosine) is on its end."""
LEVEL = 0.7
BEYOND = 1.0
"""An end that stands out further than this on the far side does not end in the other part [mm]."""

Standing = tuple[DraftPart, Solid]
Vector = tuple[float, float, float]


def joints_that_fit(
    first: Standing, second: Standing, at: Vector, normal: Vector | None, every: bool = False
) -> tuple[Mend, ...]:
    """Statements that could join two parts, the likeliest first; with `every`, all their copies that meet.

    `at` is the middle of their contact, or of the wood they share; `normal` looks across the contact, None where they
    overlap.
    """
    ends = [pair for pair in ((first, second), (second, first)) if _ends_there(pair, at, normal)]
    ends.sort(key=lambda pair: abs(_grain(pair[0][0])[2]))
    found = [(JointKind.TENON, *pair) for pair in ends[:1]]
    if normal is None:
        if not ends and _crosses(first[0], second[0]):
            found.append((JointKind.HALVING, first, second))
        return _said(found, every)
    low, high = sorted((first, second), key=lambda each: float(each[1].vertices[:, 2].mean()))
    flat = abs(normal[2]) > LEVEL
    thin, thick = sorted((first, second), key=lambda each: _thickness(each[1], normal))
    if not ends and not _crosses(first[0], second[0]):
        found.append((JointKind.GLUE, first, second))
    if not ends and _crosses(first[0], second[0]):
        found.append((JointKind.SCREW, thin, thick))
    found.append((JointKind.REST, *((low, high) if flat else (first, second))))
    return _said(found, every)


def _said(found: list[tuple[JointKind, Standing, Standing]], every: bool) -> tuple[Mend, ...]:
    def name(each: Standing) -> str:
        return each[0].name if every else each[0].id

    return tuple(join(kind, name(of), name(to)) for kind, of, to in found)


def _grain(part: DraftPart) -> Vector:
    return part.frame.turn(part.grain)


def _crosses(a: DraftPart, b: DraftPart) -> bool:
    return abs(float(np.dot(_grain(a), _grain(b)))) < LEVEL


def _ends_there(pair: tuple[Standing, Standing], at: Vector, normal: Vector | None) -> bool:
    """Whether the first part comes up to the second with an end, which does not stand out beyond it."""
    (part, solid), (_, other) = pair
    grain = _grain(part)
    (low, high), (near, far) = solid.extent(grain), other.extent(grain)
    share = (float(np.dot(at, grain)) - low) / max(high - low, 1e-9)
    endwise = normal is None or abs(float(np.dot(normal, grain))) > ENDWISE
    inside = high <= far + BEYOND if share > 0.5 else low >= near - BEYOND
    return endwise and inside and not ENDS < share < 1.0 - ENDS


def _thickness(solid: Solid, normal: Vector) -> float:
    low, high = solid.extent(normal)
    return high - low
