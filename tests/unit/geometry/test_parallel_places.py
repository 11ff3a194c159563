"""Where a cubic runs along a direction, against the roots of its slope that numpy finds."""

from __future__ import annotations

import numpy as np
import pytest

from batchwright.geometry.root import parallel_parameters
from batchwright.geometry.segment import Cubic


def test_places_are_the_roots_of_the_slope() -> None:
    chance = np.random.default_rng(11)
    counts = []
    for _ in range(300):
        points = chance.uniform(-50.0, 50.0, (4, 2))
        way = chance.normal(size=2)
        out = np.diff(points, axis=0) @ np.array([-way[1], way[0]])
        roots = np.roots([out[0] - 2.0 * out[1] + out[2], 2.0 * (out[1] - out[0]), out[0]])
        wanted = sorted(float(r.real) for r in roots if abs(r.imag) < 1e-12 and 0.0 < r.real < 1.0)
        cubic = Cubic(*(tuple(point) for point in points.tolist()))
        found = parallel_parameters(cubic, (float(way[0]), float(way[1])))
        assert sorted(found) == pytest.approx(wanted, abs=1e-9)
        counts.append(len(wanted))
    assert set(counts) == {0, 1, 2}
