"""What a drawing file holds: strokes as our own curves, in the file's own units and y upwards, and what they lie on."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import dataclass

import numpy as np

from batchwright.geometry.curve import map_path
from batchwright.geometry.frame import Vec2
from batchwright.geometry.segment import Arc, Cubic, Path, apart, point_at

MOST_STROKES = 4000
"""More strokes than this in a file are no outline of a part."""
NEAR = 2e-3
"""Curves of other sorts are followed by cubics this near [mm]."""
DEEPEST = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class Stroke:
    """One thing drawn: an open or closed path; the layers (in SVG: groups and names) it lies on; what it is called."""

    path: Path
    layers: tuple[str, ...]
    kind: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """All that a drawing file holds. `unit`: millimetres in one of its units, None where it does not say; `besides`:
    (layer, kind) of everything that is no line or curve."""

    form: str
    strokes: tuple[Stroke, ...]
    unit: float | None
    unit_said: str
    besides: tuple[tuple[str, str], ...] = ()

    def layers(self) -> tuple[str, ...]:
        """Names of all layers that have a stroke, in order of the alphabet."""
        return tuple(sorted({layer for stroke in self.strokes for layer in stroke.layers}))

    def on(self, layer: str | None) -> tuple[Stroke, ...]:
        """The strokes of one layer, or all."""
        return tuple(stroke for stroke in self.strokes if layer is None or layer in stroke.layers)


class Unreadable(Exception):  # noqa: N818 - a file of the maker's that says nothing we can read, not an error of ours
    """The bytes are no drawing of this form; the words say what was found instead, and the mend."""

    def __init__(self, what: str, mend: str) -> None:
        super().__init__(what)
        self.what, self.mend = what, mend


def counted(kinds: Iterable[str]) -> str:
    """`3 lines, 1 arc`: how many of each, the most frequent first."""
    found = Counter(kinds)
    words = [
        f"{n} {kind}{'' if n == 1 or kind.endswith('s') else 's'}" for kind, n in sorted(found.items(), key=_order)
    ]
    return ", ".join(words) or "nothing"


def _order(item: tuple[str, int]) -> tuple[int, str]:
    return -item[1], item[0]


def on_layers(strokes: Iterable[Stroke]) -> str:
    """`'outline': 3 lines, 1 arc; 'holes': 2 circles`: what lies on which layer."""
    kinds: dict[str, list[str]] = {}
    for stroke in strokes:
        for layer in stroke.layers[-1:] or ("",):
            kinds.setdefault(layer, []).append(stroke.kind)
    told = [f"'{layer}': {counted(found)}" if layer else counted(found) for layer, found in sorted(kinds.items())]
    more = f"; and {len(told) - 6} layers more" if len(told) > 6 else ""
    return "; ".join(told[:6]) + more


Where = Callable[[float], Vec2]


def followed_by_cubics(
    where: Where, way: Where, span: tuple[float, float], tolerance: float, name: str
) -> tuple[Cubic, ...]:
    """A smooth curve given by its point and its derivative over a parameter's span, followed by cubics within a
    tolerance [the curve's own units], each tangent to it at both ends.

    Halved until the greatest distance at seven inner parameters is under the tolerance: both the cubic and the curve
    go through the same places at the same parameters there, which over-states their true distance.
    """
    return _followed(where, way, span, (tolerance, name, DEEPEST))


def _followed(where: Where, way: Where, span: tuple[float, float], how: tuple[float, str, int]) -> tuple[Cubic, ...]:
    tolerance, name, depth = how
    low, high = span
    third = (high - low) / 3.0
    a, b, d, e = where(low), where(high), way(low), way(high)
    first = (a[0] + d[0] * third, a[1] + d[1] * third)
    cubic = Cubic(a, first, (b[0] - e[0] * third, b[1] - e[1] * third), b, name)
    off = max(apart(point_at(cubic, i / 8.0), where(low + (high - low) * i / 8.0)) for i in range(1, 8))
    if off <= tolerance or depth == 0:
        return (cubic,)
    middle = (low + high) / 2.0
    less = (tolerance, name, depth - 1)
    return _followed(where, way, (low, middle), less) + _followed(where, way, (middle, high), less)


def raised(points: tuple[Vec2, ...], name: str) -> Cubic:
    """A Bezier curve of degree 1, 2 or 3 as a cubic, exactly.

    Source: degree elevation, closed form: each point of the next degree is i/(n+1) and 1 - i/(n+1) of two neighbours.
    """
    while len(points) < 4:
        n = len(points)
        inner = [
            (
                points[i - 1][0] * i / n + points[i][0] * (1.0 - i / n),
                points[i - 1][1] * i / n + points[i][1] * (1.0 - i / n),
            )
            for i in range(1, n)
        ]
        points = (points[0], *inner, points[-1])
    return Cubic(points[0], points[1], points[2], points[3], name)


def elliptical(ellipse: tuple[Vec2, tuple[Vec2, Vec2]], span: tuple[float, float], name: str) -> Path:
    """Part of an ellipse, centre and two half axes, over a span of its parameter [rad]: the unit circle's arc under the
    map that makes the ellipse of it. A circle's stays arcs, another's are cubics within 1e-4 [file's units].
    """
    centre, (one, two) = ellipse
    low, high = span
    count = max(1, math.ceil(abs(high - low) / math.pi - 1e-9))
    steps = [low + (high - low) * i / (2 * count) for i in range(2 * count + 1)]
    points = [(math.cos(t), math.sin(t)) for t in steps]
    if abs(abs(high - low) - 2.0 * math.pi) < 1e-12:
        points[-1] = points[0]
    arcs = tuple(Arc(points[2 * i], points[2 * i + 1], points[2 * i + 2], name) for i in range(count))
    return map_path(arcs, np.array([[one[0], two[0]], [one[1], two[1]]]), centre)
