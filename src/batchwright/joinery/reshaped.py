"""A drawn shape made thicker, thinner, wider or narrower along one of its own axes, as a planer or a rip saw does."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from batchwright.geometry.frame import Vec2, Vec3
from batchwright.geometry.outline import Outline, map_outline, to_polygon
from batchwright.geometry.segment import Line
from batchwright.model.shape import Prism, Shape, Station, Stick

SQUARE_ON = 0.999
"""The way must run along an axis of the drawing this nearly (cosine)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Grown:
    """A change of size along `way` (length 1, in the part's drawing frame, from the marked face into the wood), from
    `old` to `new` [mm]; `keep` is the share of the way across that stays put: 0 the marked face, 1 the other."""

    way: Vec3
    old: float
    new: float
    keep: float

    @property
    def moves(self) -> Vec2:
        """How far the marked face and the face opposite move along `way` [mm]."""
        more = self.new - self.old
        return (-more * self.keep, more * (1.0 - self.keep))


def grown_shape(shape: Shape, grown: Grown) -> Shape:
    """The shape at its new size.

    Raises
    ------
    ValueError
        If its drawing does not give that size by two faces that can simply move; the message says what does.
    """
    axis = int(np.argmax(np.abs(grown.way)))
    if abs(grown.way[axis]) < SQUARE_ON:
        raise ValueError("it lies askew to the lines the part is drawn with")
    _no_other_outline(shape, axis)
    turned = _along(grown, grown.way[axis] > 0.0)
    if isinstance(shape.body, Stick):
        return replace(shape, body=_stick(shape.body, axis, turned))
    if axis == 2:
        low, high = shape.body.low + turned[0], shape.body.high + turned[1]
        return replace(shape, body=replace(shape.body, low=low, high=high))
    return replace(shape, body=replace(shape.body, outline=_stretched(shape.body, axis, turned)))


def _along(grown: Grown, forward: bool) -> Vec2:
    """How far the lower and the upper limit move along the axis."""
    near, far = grown.moves
    return (near, far) if forward else (-far, -near)


def _no_other_outline(shape: Shape, axis: int) -> None:
    ways = {"edge": (0, 2), "end": (1, 2)}
    if any(axis in ways[sawn.on] for sawn in shape.sawn):
        raise ValueError("a second outline sawn on the same blank gives it")


def _stretched(body: Prism, axis: int, moves: Vec2) -> Outline:
    """A straight-sided outline stretched between its two limits on the axis."""
    if not all(isinstance(segment, Line) for segment in body.outline.segments):
        raise ValueError("its outline has curves that give it")
    points = to_polygon(body.outline)[:, axis]
    low, high = float(points.min()), float(points.max())
    by = (high - low + moves[1] - moves[0]) / (high - low)
    matrix = np.eye(2)
    matrix[axis, axis] = by
    offset = [0.0, 0.0]
    offset[axis] = low + moves[0] - by * low
    return map_outline(body.outline, matrix, (offset[0], offset[1]))


def _stick(stick: Stick, axis: int, moves: Vec2) -> Stick:
    if axis == 0:
        raise ValueError("that is its length")
    if stick.round:
        more = moves[1] - moves[0]
        return replace(stick, stations=tuple(_rounder(station, more) for station in stick.stations))
    return replace(stick, stations=tuple(_moved(station, axis, moves) for station in stick.stations))


def _moved(station: Station, axis: int, moves: Vec2) -> Station:
    if axis == 1:
        return replace(station, v=(station.v[0] + moves[0], station.v[1] + moves[1]))
    return replace(station, w=(station.w[0] + moves[0], station.w[1] + moves[1]))


def _rounder(station: Station, more: float) -> Station:
    half = more / 2.0
    return replace(station, v=(station.v[0] - half, station.v[1] + half), w=(station.w[0] - half, station.w[1] + half))
