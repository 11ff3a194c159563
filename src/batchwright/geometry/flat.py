"""Curves as polylines: how many chords a segment needs, and the points they run through."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from batchwright.geometry.frame import Array
from batchwright.geometry.segment import (
    Cubic,
    Line,
    Path,
    Segment,
    apart,
    arc_sweep,
    point_at,
    points_at,
    second_derivative_at,
)

Indices = NDArray[np.intp]

LARGEST_BEND = 1e8
"""A curve with more second derivative than this [mm] swings over kilometres: a slip of the pen."""


@dataclass(frozen=True, slots=True)
class Polyline:
    """Points (n + 1, 2) of a flattened path; for each of the n chords its segment and its two parameters there."""

    points: Array
    segment: Indices
    low: Array
    high: Array


def chord_count(segment: Segment, tolerance: float) -> int:
    """How many chords replace a segment within `tolerance` [mm].

    Raises
    ------
    ValueError
        If the tolerance is not positive, or the curve swings over kilometres.
    """
    if not tolerance > 0.0:
        raise ValueError(f"a tolerance must be above zero, not {tolerance}")
    if isinstance(segment, Line):
        return 1
    if isinstance(segment, Cubic):
        a, b = second_derivative_at(segment, 0.0), second_derivative_at(segment, 1.0)
        bend = max(math.hypot(*a), math.hypot(*b))
        if not bend < LARGEST_BEND:
            raise ValueError(f"a curve from {segment.start} to {segment.end} is too large to be drawn in chords")
        return max(1, math.ceil(math.sqrt(bend / (8.0 * tolerance)) - 1e-9))
    sweep = abs(arc_sweep(segment))
    if sweep < 1e-9:
        return 1
    radius = 0.5 * apart(segment.start, segment.end) / math.sin(0.5 * sweep)
    step = 4.0 * math.asin(math.sqrt(min(1.0, 0.5 * tolerance / radius)))
    return max(1, math.ceil(sweep / step - 1e-9))


def flatten(path: Path, tolerance: float = 0.02) -> Array:
    """A path as a polyline, both ends included, shape (n, 2) [mm]; no chord strays farther than `tolerance`.

    Points lie on the curve at equal steps of its parameter, as many as the bound |P''| h^2 / 8 (cubics) or
    the sagitta (arcs) asks for: the same path always gives the same points.

    Raises
    ------
    ValueError
        If the path is empty or the tolerance is not positive.
    """
    if not path:
        raise ValueError("an empty path has no points")
    rows = [np.array([path[0].start], dtype=float)]
    rows += [_steps(segment, chord_count(segment, tolerance)) for segment in path]
    return np.concatenate(rows)


def flatten_with_parameters(path: Path, tolerance: float) -> Polyline:
    """A flattened path that remembers which piece of which segment each chord stands for."""
    counts = np.array([chord_count(segment, tolerance) for segment in path])
    first = np.concatenate([np.arange(count) for count in counts])
    of = np.repeat(counts, counts)
    return Polyline(flatten(path, tolerance), np.repeat(np.arange(len(path)), counts), first / of, (first + 1) / of)


def _steps(segment: Segment, count: int) -> Array:
    """The points at t = 1/count, 2/count, ... 1; the last one is the segment's end to the bit."""
    if count <= 5:
        return np.array([*(point_at(segment, i / count) for i in range(1, count)), segment.end], dtype=float)
    points = points_at(segment, np.arange(1, count + 1) / count)
    points[-1] = segment.end
    return points
