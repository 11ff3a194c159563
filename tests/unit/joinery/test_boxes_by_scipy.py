"""Two boxes apart by their separating axes, against every axis tried in turn, and against scipy's linear programme."""

from __future__ import annotations

import math
from itertools import product

import numpy as np
from scipy.optimize import linprog
from scipy.spatial.transform import Rotation

from batchwright.geometry.frame import Frame, vec3
from batchwright.joinery.measuring.boxes import SpaceBox, apart_by


def _boxes(seed: int) -> tuple[SpaceBox, SpaceBox]:
    chance = np.random.default_rng(seed)
    found = []
    for turn in Rotation.random(2, random_state=seed).as_matrix():
        mirror = -1.0 if chance.random() < 0.5 else 1.0
        frame = Frame((0.0, 0.0, 0.0), vec3(turn[0]), vec3(turn[1]), vec3(mirror * turn[2]))
        half = vec3(chance.uniform(2.0, 30.0, 3))
        found.append(SpaceBox(frame=frame, middle=vec3(chance.uniform(-30.0, 30.0, 3)), half=half))
    return found[0], found[1]


def _tried(a: SpaceBox, b: SpaceBox) -> float:
    ways = [np.array(axis) for axis in (*a.axes, *b.axes)]
    ways += [np.cross(one, two) for one, two in product(a.axes, b.axes)]
    between = np.array(b.middle) - np.array(a.middle)
    units = [way / np.linalg.norm(way) for way in ways if np.linalg.norm(way) > 1e-9]
    return max(abs(float(between @ way)) - a.reach(vec3(way)) - b.reach(vec3(way)) for way in units)


def _meet(a: SpaceBox, b: SpaceBox) -> bool:
    """Whether some point lies in both, by linear programming (scipy.optimize.linprog)."""
    rows, limits = [], []
    for box in (a, b):
        for axis, half in zip(box.axes, box.half):
            at = float(np.dot(axis, box.middle))
            rows += [axis, tuple(-value for value in axis)]
            limits += [at + half, half - at]
    return bool(linprog((0.0, 0.0, 0.0), A_ub=rows, b_ub=limits, bounds=[(None, None)] * 3).status == 0)


def test_the_clear_distance_is_that_of_the_best_axis() -> None:
    for seed in range(60):
        a, b = _boxes(seed)
        assert math.isclose(apart_by(a, b), _tried(a, b), abs_tol=1e-9)


def test_boxes_meet_where_a_point_lies_in_both() -> None:
    found = [(apart_by(a, b) < 0.0, _meet(a, b)) for a, b in (_boxes(seed) for seed in range(60))]
    assert all(one == two for one, two in found)
    assert 5 < sum(one for one, _ in found) < 55
