"""Movement, shrinkage and density against the Wood Handbook, FPL-GTR-282 (2021) and FPL-GTR-190 (2010)."""

from __future__ import annotations

import pytest

from batchwright.handbook.density import (
    density,
    gravity_at,
    gravity_estimated,
    most_moisture,
    sinking_moisture,
)
from batchwright.handbook.movement import (
    Cut,
    change_by_coefficient,
    change_by_shrinkage,
    movement,
    ring_angle_of,
    shrinkage_to,
)
from batchwright.handbook.species import species_named, value_of
from printed import printed


def test_worked_example_of_a_floor_board() -> None:
    """CV020: FPL-GTR-190 ch. 13, p. 13-17 (read): white fir 9.15 in wide, CT 0.00245, 8 to 11 % MC."""
    change_mm = change_by_coefficient(9.15 * 25.4, 0.00245, 0.08, 0.11)
    assert change_mm / 25.4 == printed("0.067")


@pytest.mark.parametrize(
    ("wood", "cut", "width", "start", "end", "expected"),
    [
        ("white oak", Cut.FLAT, 300.0, 0.06, 0.14, "8.76"),  # CV021, Table 13-5, CT 0.00365 (read)
        ("white oak", Cut.QUARTER, 300.0, 0.06, 0.14, "4.32"),  # CV022, Table 13-5, CR 0.00180 (read)
        ("black locust", Cut.FLAT, 100.0, 0.12, 0.08, "-1.008"),  # CV024, Table 13-5 (read)
        ("American beech", Cut.FLAT, 150.0, 0.08, 0.13, "3.23"),  # CV025, Table 13-5 (read)
        ("black walnut", Cut.FLAT, 400.0, 0.07, 0.11, "4.38"),  # CV026, Table 13-5 (read)
    ],
)
def test_movement_by_table_13_5(wood: str, cut: Cut, width: float, start: float, end: float, expected: str) -> None:
    answer = movement(width, species_named(wood), ring_angle_of(cut), start, end)
    assert answer.equation == "eq. 13-2"
    assert answer.change == printed(expected)


@pytest.mark.parametrize(
    ("shrinkage", "end", "expected"),
    [
        (0.105, 0.08, "-7.7"),  # CV027, white oak, eq. 13-3 (rule read, form from memory)
        (0.050, 0.12, "-3.0"),  # CV028, western redcedar, eq. 13-3 (likewise)
    ],
)
def test_movement_of_green_wood_by_eq_13_3(shrinkage: float, end: float, expected: str) -> None:
    assert change_by_shrinkage(100.0, shrinkage, 0.30, end) == printed(expected)


@pytest.mark.parametrize(
    ("wood", "moisture", "expected"),
    [
        ("white oak", 0.12, "6.3"),  # CV030, eq. 4-9 and Table 4-3 (read)
        ("black cherry", 0.08, "5.21"),  # CV031, likewise
        ("Douglas-fir coast", 0.15, "3.8"),  # CV032, likewise
        ("yellow birch", 0.06, "7.6"),  # CV033, likewise
    ],
)
def test_shrinkage_by_eq_4_9(wood: str, moisture: float, expected: str) -> None:
    whole = value_of(species_named(wood), "shrink_tangential").value
    assert whole is not None
    assert shrinkage_to(whole, moisture) * 100.0 == printed(expected)


def test_shrinkage_and_movement_agree_for_green_wood() -> None:
    """Eq. 13-3 from 30 % MC is eq. 4-9: two equations of two chapters."""
    for moisture in (0.0, 0.06, 0.12, 0.20):
        assert change_by_shrinkage(100.0, 0.105, 0.30, moisture) == pytest.approx(
            -100.0 * shrinkage_to(0.105, moisture)
        )


@pytest.mark.parametrize(
    ("gravity", "expected"),
    [
        pytest.param(0.3, "267", marks=pytest.mark.xfail(reason="printed anchor fits 1.5; eq. 4-3 prints 1.54: 268.4")),
        pytest.param(0.9, "44", marks=pytest.mark.xfail(reason="printed anchor fits 1.5; eq. 4-3 prints 1.54: 46.2")),
    ],
)
def test_most_moisture_against_printed_anchors(gravity: float, expected: str) -> None:
    """CV034 and CV035: FPL-GTR-282, eq. 4-3 and the anchors printed beside it (read); they disagree."""
    assert most_moisture(gravity) * 100.0 == printed(expected)


@pytest.mark.parametrize(("gravity", "expected"), [(0.3, "268.4"), (0.9, "46.2")])
def test_most_moisture_by_the_equation_as_printed(gravity: float, expected: str) -> None:
    """FPL-GTR-282, eq. 4-3 with 1.54 (read), worked apart."""
    assert most_moisture(gravity) * 100.0 == printed(expected)


def test_sinking_moisture() -> None:
    """CV036: FPL-GTR-282, eq. 4-4 (read), worked apart."""
    assert sinking_moisture(0.6) * 100.0 == printed("66.7")


@pytest.mark.parametrize(
    ("gravity", "expected"),
    [
        (0.68, "761.6"),  # CV037, white oak at 12 %, eq. 4-14 (read)
        (0.32, "358.4"),  # CV038, western redcedar at 12 %, eq. 4-14 (read)
    ],
)
def test_density_by_eq_4_14(gravity: float, expected: str) -> None:
    assert density(gravity, 0.12) == printed(expected)


def test_gravity_by_eq_4_11() -> None:
    """CV039: white oak, FPL-GTR-282 eq. 4-11 (read), worked apart."""
    assert gravity_at(0.60, 0.12, 0.163) == printed("0.665")


@pytest.mark.xfail(reason="Table 5-3b prints 0.68 for white oak at 12 %; eq. 4-11 gives 0.665, 2 % less")
def test_gravity_by_eq_4_11_against_table_5_3b() -> None:
    assert gravity_at(0.60, 0.12, 0.163) == printed("0.68")


def test_gravity_by_eq_4_13() -> None:
    """CV040: teak, FPL-GTR-282 eq. 4-13 (read), worked apart."""
    assert gravity_estimated(0.55, 0.12) == printed("0.603")
