"""An outline's segments as an exact kernel takes them: lines, arcs, and fair curves made one spline each."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from batchwright.geometry.frame import Vec2
from batchwright.geometry.segment import Arc, Cubic, Line, Path, apart, arc_sweep, cross2, minus2

SMOOTH = 1e-7
"""Two cubics run into one another where the joint lies this near to the line of its handles [mm]."""
SHORT = 1e-6
"""A handle shorter than this has no direction [mm]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Spline:
    """A curve of degree 3 with its speed continuous: poles; knots from 0 to 1, those between the ends double."""

    poles: tuple[Vec2, ...]
    knots: tuple[float, ...]


def exact_curves(path: Path) -> Iterator[Line | Arc | Spline]:
    """The curves of a path in order. Cubics of one name that run into one another become one spline, the same curve."""
    run: list[Cubic] = []
    for segment in path:
        if run and not (isinstance(segment, Cubic) and _flows(run[-1], segment)):
            yield _spline(run)
            run = []
        if isinstance(segment, Cubic):
            run.append(segment)
        elif isinstance(segment, Arc) and abs(arc_sweep(segment)) > 1e-9:
            yield segment
        else:
            yield Line(segment.start, segment.end, segment.name)
    if run:
        yield _spline(run)


def _flows(before: Cubic, after: Cubic) -> bool:
    a, b = minus2(before.end, before.second), minus2(after.first, after.start)
    lengths = math.hypot(*a), math.hypot(*b)
    if before.name != after.name or min(lengths) < SHORT:
        return False
    return abs(cross2(a, b)) < SMOOTH * min(lengths) and a[0] * b[0] + a[1] * b[1] > 0.0


def _spline(run: list[Cubic]) -> Spline:
    """The inner poles are the handles: the joint between two lies on their line, as their knots share it."""
    poles, knots = [run[0].start, run[0].first, run[0].second], [0.0, 1.0]
    for before, cubic in zip(run, run[1:], strict=False):
        share = apart(cubic.start, cubic.first) / apart(before.second, before.end)
        knots.append(knots[-1] + share * (knots[-1] - knots[-2]))
        poles += [cubic.first, cubic.second]
    return Spline(poles=(*poles, run[-1].end), knots=tuple(knot / knots[-1] for knot in knots))
