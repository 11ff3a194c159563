"""Dimensions laid out: labels of running dimensions kept apart, linear dimensions stacked in tiers. No search."""

from __future__ import annotations

from dataclasses import replace

from batchwright.geometry.frame import Vec2
from batchwright.sheets.scene.directions import dot2, left_of, unit2
from batchwright.sheets.scene.metrics import text_width
from batchwright.sheets.scene.plain import CLEAR, dimension_line
from batchwright.sheets.scene.primitives import Dimension, Running, Station

LABEL_GAP = 0.8
"""Clear space between two labels side by side [mm on paper]."""
FIRST_TIER = 9.0
"""How far the first dimension line stands off the wood [mm on paper]."""
TIER = 8.0
"""How far apart dimension lines stand [mm on paper]."""


def running_along(
    points: tuple[tuple[Vec2, str], ...], datum: Vec2, direction: Vec2, scale: float, offset: float = 14.0
) -> Running:
    """Running dimensions to points with their labels, in order, equal stations told once, labels kept apart.

    Parameters
    ----------
    points : tuple of (point, label)
        Points measured to [true mm] and what is printed there
    datum : Vec2
        The end all measures start from [true mm]
    direction : Vec2
        The way the measures run
    scale : float
        Scale of the scene: mm on paper for one true mm [-]
    offset : float
        Where the line stands, to the left of the direction [mm on paper]
    """
    way = unit2(direction)
    told: dict[tuple[float, str], Vec2] = {}
    for point, label in points:
        told.setdefault((round(dot2(point, way) - dot2(datum, way), 4), label), point)
    ordered = sorted(told.items())
    stations = tuple(Station(at=point, label=label) for (at, label), point in ordered if abs(at) > 1e-3)
    return spread(Running(datum=datum, direction=direction, stations=stations, offset=offset), scale)


def spread(running: Running, scale: float) -> Running:
    """The same running dimensions with labels moved along the line, as little as can be, so that none overlap.

    The moves are the least in the sum of their squares (isotonic regression by pooling neighbours), on each side of
    the datum, whose own label stays where it is.
    """
    way = unit2(running.direction)
    origin = dot2(running.datum, way)
    measured = [(dot2(station.at, way) - origin) * scale for station in running.stations]
    room = [label_room(running, station.label) for station in running.stations]
    shifts = [0.0] * len(measured)
    for sign in (1.0, -1.0):
        order = sorted(
            (i for i, at in enumerate(measured) if (at >= 0.0) == (sign > 0.0)), key=lambda i: abs(measured[i])
        )
        placed = keep_apart(
            [abs(measured[i]) for i in order],
            [room[i] for i in order],
            label_room(running, running.datum_label) / 2.0 if running.datum_label else None,
        )
        for i, at in zip(order, placed, strict=True):
            shifts[i] = sign * (at - abs(measured[i]))
    stations = tuple(replace(station, shift=shift) for station, shift in zip(running.stations, shifts, strict=True))
    return replace(running, stations=stations)


def label_room(running: Running, label: str) -> float:
    """How much of the line a label takes, clear space included [mm on paper]."""
    if running.upright:
        return text_width(label, running.size) + 2.5
    return running.size * 0.95 + LABEL_GAP


def keep_apart(wanted: list[float], widths: list[float], floor: float | None) -> list[float]:
    """Places as near as can be to `wanted` (in order), so that strips of these widths do not overlap.

    `floor`: no strip may begin below it. Least sum of squares: with the widths taken off, the places have only to be
    in order; neighbours out of order are pooled at their mean (pool adjacent violators), then held above the floor.
    """
    taken, bases = 0.0, []
    for index, width in enumerate(widths):
        if index:
            taken += (widths[index - 1] + width) / 2.0
        bases.append(taken)
    pools: list[tuple[float, int]] = []
    for place, base in zip(wanted, bases, strict=True):
        total, count = place - base, 1
        while pools and pools[-1][0] / pools[-1][1] > total / count:
            earlier = pools.pop()
            total, count = total + earlier[0], count + earlier[1]
        pools.append((total, count))
    level = [total / count for total, count in pools for _ in range(count)]
    if floor is not None and widths:
        level = [max(value, floor + widths[0] / 2.0) for value in level]
    return [value + base for value, base in zip(level, bases, strict=True)]


def tiers(dimensions: tuple[Dimension, ...], scale: float, first: float = FIRST_TIER) -> tuple[Dimension, ...]:
    """Parallel dimensions of one side, stacked: the shortest nearest the wood, none over another, in given order.

    The side is that of the first dimension's offset; all lie off the farthest point of any of them.
    """
    if not dimensions:
        return ()
    way = unit2(
        dimensions[0].direction
        or (dimensions[0].end[0] - dimensions[0].start[0], dimensions[0].end[1] - dimensions[0].start[1])
    )
    normal = left_of(way)
    side = 1.0 if dimensions[0].offset >= 0.0 else -1.0
    reach = max(side * dot2(point, normal) for item in dimensions for point in (item.start, item.end))
    spans = [_span(item, way, scale) for item in dimensions]
    level: list[int] = [0] * len(dimensions)
    for i in sorted(range(len(dimensions)), key=lambda i: (spans[i][1] - spans[i][0], i)):
        below = [level[j] for j in range(len(dimensions)) if level[j] and _meet(spans[i], spans[j])]
        level[i] = max(below, default=0) + 1
    out = []
    for item, tier in zip(dimensions, level, strict=True):
        own = max(side * dot2(point, normal) for point in (item.start, item.end))
        offset = side * ((reach - own) * scale + first + TIER * (tier - 1))
        out.append(replace(item, direction=way, offset=offset))
    return tuple(out)


def _span(item: Dimension, way: Vec2, scale: float) -> tuple[float, float]:
    """What a dimension takes of its line, label included [true mm]."""
    first, last, _, _ = dimension_line(replace(item, direction=way), scale)
    low, high = dot2(first, way), dot2(last, way)
    width = (text_width(item.label, item.size, item.weight) + 2.0 * CLEAR) / scale
    return (low, high) if width <= high - low else (low, high + width + 2.0 / scale)


def _meet(a: tuple[float, float], b: tuple[float, float]) -> bool:
    return min(a[1], b[1]) - max(a[0], b[0]) > 1e-6
