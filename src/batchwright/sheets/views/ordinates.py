"""Curved outlines as measures from a straight line: so that a part can be drawn without the full-size print."""

from __future__ import annotations

import math
from dataclasses import dataclass

from batchwright.base.length import INCH, Unit
from batchwright.geometry.crossing import path_at_coordinate
from batchwright.geometry.frame import Vec2
from batchwright.geometry.outline import Outline, bounds

STEPS_IN = (0.5, 1.0, 2.0, 3.0, 4.0, 6.0)
STEPS_MM = (10.0, 20.0, 25.0, 50.0, 100.0, 150.0)
MOST = 13
"""Ordinates along a part, at most."""


@dataclass(frozen=True, slots=True)
class Ordinate:
    """At bench x: the nearer and the farther line of the outline, from the straight reference [mm]."""

    x: float
    near: float
    far: float


def ordinates(outline: Outline, unit: Unit, length: float) -> tuple[Ordinate, ...]:
    """Ordinates at even steps from the reference end to `length`, both ends included.

    The reference is the straight line of the face edge (or face side): nothing of the outline lies before it.
    """
    left, _, right, _ = bounds(outline)
    low, high = max(left, 0.0), min(right, length)
    steps = [step * INCH for step in STEPS_IN] if unit is Unit.INCHES else list(STEPS_MM)
    step = next((one for one in steps if (high - low) / one <= MOST - 2), (high - low) / (MOST - 2))
    first = math.floor(low / step) + 1
    inner = [index * step for index in range(first, math.ceil(high / step)) if index * step - low > step * 0.15]
    inner = [x for x in inner if high - x > step * 0.15]
    hair = 1e-3
    found = [ordinate_at(outline, x) for x in (low + hair, *inner, high - hair)]
    return tuple(one for one in found if one is not None)


def ordinate_at(outline: Outline, x: float) -> Ordinate | None:
    """Where the outline crosses a place along the part; None beyond its ends."""
    heights = [point[1] for point in path_at_coordinate(outline.segments, 0, x)]
    return Ordinate(x, min(heights), max(heights)) if heights else None


@dataclass(frozen=True, slots=True)
class Section:
    """The section of a straight part at bench x: width and thickness there [mm]."""

    x: float
    width: float
    thickness: float


def tapers(width: Outline | None, thickness: Outline | None, size: tuple[float, float]) -> tuple[Section, ...]:
    """Where a straight-sided part changes its taper, and its section there; empty where it is even throughout.

    `size` is the part's width and thickness, for a side that has no outline of its own [mm]. Ends may be cut at an
    angle: the section is then that of the long sides, followed on to the outermost corner.
    """
    outlines = [one for one in (width, thickness) if one is not None]
    corners = sorted(segment.start[0] for one in outlines for segment in one.segments)
    if len(corners) < 2:
        return ()
    slant = max(_slant(one, size[0] if one is width else size[1]) for one in outlines)
    places = [corners[0]]
    for x in corners:
        if x - corners[0] > slant + 6.0 and corners[-1] - x > slant + 6.0 and x - places[-1] > 12.0:
            places.append(x)
    places.append(corners[-1])
    found = tuple(Section(x, _across(width, x, size[0], slant), _across(thickness, x, size[1], slant)) for x in places)
    wide, thick = [one.width for one in found], [one.thickness for one in found]
    even = max(wide) - min(wide) < 0.4 and max(thick) - min(thick) < 0.4
    return () if even else found


def _slant(outline: Outline, across: float) -> float:
    """How far the ends of an outline lean, along the part [mm]."""
    runs = [abs(one.end[0] - one.start[0]) for one in outline.segments]
    rises = [abs(one.end[1] - one.start[1]) for one in outline.segments]
    return max((run for run, rise in zip(runs, rises, strict=True) if rise > run and rise > 0.3 * across), default=0.0)


def sides_at(outline: Outline, x: float, slant: float = 0.0) -> Vec2 | None:
    """Second coordinates of the two long sides at x; near an end, followed straight on from inside of it [mm]."""
    left, _, right, _ = bounds(outline)
    inside = slant + 1e-3
    at = min(max(x, left + inside), right - inside)
    step = 2.0 if at < (left + right) / 2.0 else -2.0
    first, second = ordinate_at(outline, at), ordinate_at(outline, at + step)
    if first is None or second is None:
        return None
    over = (x - at) / step
    return (first.near + (second.near - first.near) * over, first.far + (second.far - first.far) * over)


def _across(outline: Outline | None, x: float, otherwise: float, slant: float) -> float:
    at = None if outline is None else sides_at(outline, x, slant)
    return otherwise if at is None else at[1] - at[0]
