"""Labels kept apart, held against scipy's isotonic regression; dimensions stacked in tiers."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import isotonic_regression

from batchwright.sheets.scene.dimensioning import keep_apart, label_room, running_along, spread, tiers
from batchwright.sheets.scene.overlap import overlaps
from batchwright.sheets.scene.plain import dimension_line
from batchwright.sheets.scene.primitives import Dimension, Running, Station
from batchwright.sheets.scene.scene import Scene

places = st.lists(st.tuples(st.floats(0.0, 300.0), st.floats(1.0, 12.0)), min_size=1, max_size=14)


@given(places)
@settings(max_examples=60, deadline=None)
def test_keep_apart_is_the_least_move(rows: list[tuple[float, float]]) -> None:
    """Reference: scipy.optimize.isotonic_regression on the places less the widths before them."""
    rows = sorted(rows)
    wanted, widths = [row[0] for row in rows], [row[1] for row in rows]
    got = np.array(keep_apart(wanted, widths, None))
    bases = np.concatenate([[0.0], np.cumsum((np.array(widths[:-1]) + np.array(widths[1:])) / 2.0)])
    reference = isotonic_regression(np.array(wanted) - bases).x + bases
    assert got == pytest.approx(reference, abs=1e-9)
    gaps = np.diff(got) - (np.array(widths[:-1]) + np.array(widths[1:])) / 2.0
    assert (gaps >= -1e-9).all()


@given(places, st.floats(0.0, 20.0))
@settings(max_examples=40, deadline=None)
def test_keep_apart_stays_above_its_floor_and_apart(rows: list[tuple[float, float]], floor: float) -> None:
    rows = sorted(rows)
    widths = [row[1] for row in rows]
    got = keep_apart([row[0] for row in rows], widths, floor)
    assert got[0] - widths[0] / 2.0 >= floor - 1e-9
    for a, b, wa, wb in zip(got, got[1:], widths, widths[1:], strict=False):
        assert b - a >= (wa + wb) / 2.0 - 1e-9


@given(st.lists(st.floats(-200.0, 800.0), min_size=1, max_size=12, unique=True), st.sampled_from([1.0, 0.5, 0.1]))
@settings(max_examples=40, deadline=None)
def test_running_labels_never_overlap(ats: list[float], scale: float) -> None:
    points = tuple(((0.0, at), f"{at:.0f} 15/16") for at in ats)
    running = running_along(points, (0.0, 0.0), (0.0, 1.0), scale, offset=-12.0)
    scene = Scene(items=(running,), name="rod", scale=scale)
    assert [c for c in overlaps(scene) if c.other != "outline"] == []


def test_running_labels_with_room_do_not_move() -> None:
    stations = (Station(at=(100.0, 0.0), label="100"), Station(at=(200.0, 0.0), label="200"))
    running = Running(datum=(0.0, 0.0), direction=(1.0, 0.0), stations=stations)
    assert spread(running, 1.0) == running


def test_equal_stations_are_told_once_and_the_datum_not_at_all() -> None:
    points = (((0.0, 0.0), "0"), ((5.0, 40.0), "40"), ((9.0, 40.0), "40"), ((0.0, 10.0), "10"))
    running = running_along(points, (0.0, 0.0), (0.0, 1.0), 1.0)
    assert [station.label for station in running.stations] == ["10", "40"]
    assert label_room(running, "10") > 4.0


def test_tiers_put_the_short_ones_inside_and_let_neighbours_share() -> None:
    whole = Dimension(start=(0.0, 0.0), end=(300.0, 0.0), label="300", offset=-1.0)
    left = Dimension(start=(0.0, 0.0), end=(100.0, 0.0), label="100", offset=-1.0)
    right = Dimension(start=(100.0, -5.0), end=(300.0, 0.0), label="200", offset=-1.0)
    stacked = tiers((whole, left, right), 1.0)
    assert [item.label for item in stacked] == ["300", "100", "200"]
    levels = [dimension_line(item, 1.0)[2][1] for item in stacked]
    assert levels[1] == pytest.approx(levels[2])
    assert levels[0] == pytest.approx(levels[1] - 8.0)
    assert levels[1] == pytest.approx(-5.0 - 9.0)
    assert tiers((), 1.0) == ()


def test_a_label_longer_than_its_gap_takes_its_own_room_in_the_stack() -> None:
    tight = Dimension(start=(0.0, 0.0), end=(6.0, 0.0), label="15/16", offset=5.0)
    beside = Dimension(start=(6.0, 0.0), end=(40.0, 0.0), label="1 5/16", offset=5.0)
    scene = Scene(items=tiers((tight, beside), 1.0), name="tight")
    assert overlaps(scene) == ()
