"""The cubic spline: a fair curve through values at stations, its second derivative continuous."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import overload

import numpy as np

from batchwright.geometry.frame import Array


def spline_slopes(
    stations: Sequence[float],
    values: Sequence[float],
    start_slope: float | None = None,
    end_slope: float | None = None,
) -> tuple[float, ...]:
    """First derivatives at the stations of the C2 cubic spline through the values.

    An end whose slope is not given is natural: no bending there (second derivative 0).
    Source: closed form; de Boor, A Practical Guide to Splines, chapter IV (from memory); tested against
    an independent library.

    Raises
    ------
    ValueError
        If there are fewer than two stations, or they do not rise, or the counts differ.
    """
    n = len(stations)
    if n < 2 or len(values) != n:
        raise ValueError(f"a fair curve needs two or more stations and a value for each: {n} and {len(values)}")
    h = [b - a for a, b in zip(stations, stations[1:], strict=False)]
    if min(h) <= 0.0:
        raise ValueError(f"the stations of a fair curve must rise: {tuple(stations)}")
    d = [(b - a) / step for a, b, step in zip(values, values[1:], h, strict=False)]
    low, middle, high = [0.0] * n, [0.0] * n, [0.0] * n
    right = [0.0] * n
    if start_slope is None:
        middle[0], high[0], right[0] = 2.0, 1.0, 3.0 * d[0]
    else:
        middle[0], right[0] = 1.0, start_slope
    for i in range(1, n - 1):
        before, after = 1.0 / h[i - 1], 1.0 / h[i]
        low[i], middle[i], high[i] = before, 2.0 * (before + after), after
        right[i] = 3.0 * (d[i - 1] * before + d[i] * after)
    if end_slope is None:
        low[-1], middle[-1], right[-1] = 1.0, 2.0, 3.0 * d[-1]
    else:
        middle[-1], right[-1] = 1.0, end_slope
    return _solved(low, middle, high, right)


def _solved(low: list[float], middle: list[float], high: list[float], right: list[float]) -> tuple[float, ...]:
    """A tridiagonal system that is diagonally dominant, by elimination."""
    n = len(middle)
    for i in range(1, n):
        factor = low[i] / middle[i - 1]
        middle[i] -= factor * high[i - 1]
        right[i] -= factor * right[i - 1]
    out = [0.0] * n
    out[-1] = right[-1] / middle[-1]
    for i in range(n - 2, -1, -1):
        out[i] = (right[i] - high[i] * out[i + 1]) / middle[i]
    return tuple(out)


class FairValues:
    """A fair curve of numbers over stations, ready to be asked; beyond its ends it runs on straight."""

    __slots__ = ("_slopes", "_stations", "_values")

    def __init__(self, stations: Sequence[float], values: Sequence[float]) -> None:
        one = len(values) == 1
        self._stations = (0.0, 1.0) if one else tuple(float(s) for s in stations)
        self._values = (float(values[0]),) * 2 if one else tuple(float(v) for v in values)
        self._slopes = spline_slopes(self._stations, self._values)

    @property
    def stations(self) -> tuple[float, ...]:
        """Where the values stand."""
        return self._stations

    @property
    def slopes(self) -> tuple[float, ...]:
        """First derivatives at the stations."""
        return self._slopes

    @overload
    def __call__(self, station: float) -> float: ...
    @overload
    def __call__(self, station: Array) -> Array: ...
    def __call__(self, station: float | Array) -> float | Array:
        """The value at a station, or at many."""
        out = self._evaluated(np.asarray(station, dtype=float), 0)
        return float(out) if out.ndim == 0 else out

    def slope(self, station: Array) -> Array:
        """First derivative at many stations."""
        return self._evaluated(np.asarray(station, dtype=float), 1)

    def _evaluated(self, at: Array, derivative: int) -> Array:
        s, v, m = (np.array(row) for row in (self._stations, self._values, self._slopes))
        inside = np.clip(at, s[0], s[-1])
        i = np.clip(np.searchsorted(s, inside, side="right") - 1, 0, len(s) - 2)
        h = s[i + 1] - s[i]
        t, rise = (inside - s[i]) / h, v[i + 1] - v[i]
        c2 = 3.0 * rise - h * (2.0 * m[i] + m[i + 1])
        c3 = h * (m[i] + m[i + 1]) - 2.0 * rise
        slope: Array = m[i] + (2.0 * c2 * t + 3.0 * c3 * t * t) / h
        if derivative:
            return slope
        out: Array = v[i] + t * (h * m[i] + t * (c2 + t * c3)) + (at - inside) * slope
        return out


def fair_values(stations: Sequence[float], values: Sequence[float]) -> Callable[[float], float]:
    """A fair curve of numbers (strip widths, say): natural cubic spline through values at rising stations.

    One value is a constant, two are a straight run. Beyond the ends it goes on straight.

    Raises
    ------
    ValueError
        If stations and values do not match or the stations do not rise.
    """
    if len(values) != 1 and len(values) != len(stations):
        raise ValueError(f"{len(values)} values do not match {len(stations)} stations: give one, or one for each")
    return FairValues(stations, values)
