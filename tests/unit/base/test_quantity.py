"""Quantities: typed with their unit, refused with a reason, printed in any unit of their kind."""

from __future__ import annotations

import math

import pytest

from batchwright.base.misread import Misread
from batchwright.base.quantity import (
    board_feet,
    offered,
    print_angle,
    print_quantity,
    print_slope,
    read_quantity,
    to_unit,
)
from batchwright.base.units import FACTORS, HOUSE_UNIT, OFFERED, Dimension, folded


@pytest.mark.parametrize(
    ("text", "kind", "value"),
    [
        ("10C", Dimension.TEMPERATURE, 10.0),
        ("50 °F", Dimension.TEMPERATURE, 10.0),
        ("-40 deg F", Dimension.TEMPERATURE, -40.0),
        ("273.15 K", Dimension.TEMPERATURE, 0.0),
        ("80%", Dimension.RATIO, 0.8),
        ("0.8", Dimension.RATIO, 0.8),
        ("12 1/2 percent", Dimension.RATIO, 0.125),
        ("12 in", Dimension.LENGTH, 304.8),
        ("2' 6\"", Dimension.LENGTH, 762.0),
        ("30 MPa", Dimension.STRESS, 30.0),
        ("30 N/mm²", Dimension.STRESS, 30.0),
        ("4 deg", Dimension.ANGLE, math.radians(4)),
        ("-4.5°", Dimension.ANGLE, -math.radians(4.5)),
        ("1 in 8", Dimension.ANGLE, math.atan(1 / 8)),
        ("-1 1/2 in 12", Dimension.ANGLE, -math.atan(1 / 8)),
        ("1 bf", Dimension.VOLUME, 144 * 25.4**3),
        ("2 board feet", Dimension.VOLUME, 288 * 25.4**3),
        ("1 m^3", Dimension.VOLUME, 1e9),
        ("6 m²", Dimension.AREA, 6e6),
        ("1 1/2 h", Dimension.TIME, 90.0),
        ("7", Dimension.NUMBER, 7.0),
    ],
)
def test_read_quantity_gives_house_units(text: str, kind: Dimension, value: float) -> None:
    assert read_quantity(text, kind) == pytest.approx(value, rel=1e-15, abs=1e-12)


def test_a_pound_is_mass_or_force_as_expected() -> None:
    assert read_quantity("1 lb", Dimension.MASS) == pytest.approx(0.45359237)
    assert read_quantity("1 lb", Dimension.FORCE) == pytest.approx(0.45359237 * 9.80665)


def test_a_bare_number_takes_the_unit_that_is_said() -> None:
    assert read_quantity("12", Dimension.LENGTH, "in") == 304.8
    assert read_quantity("50", Dimension.TEMPERATURE, "F") == 10.0
    assert read_quantity("12 mm", Dimension.LENGTH, "in") == 12.0


@pytest.mark.parametrize(
    ("text", "kind", "column", "says", "mends"),
    [
        ("", Dimension.STRESS, 1, "no stress here", "MPa"),
        ("strong", Dimension.STRESS, 1, "'strong' is no stress", "MPa"),
        ("10", Dimension.TEMPERATURE, 3, "needs its unit", "C, F or K"),
        ("10", Dimension.LENGTH, 3, "needs its unit", "mm"),
        ("30 kg", Dimension.STRESS, 4, "'kg' does not measure a stress", "psi"),
        ("30 kg", Dimension.AREA, 4, "does not measure an area", "ft2"),
        ("30 smoots", Dimension.STRESS, 4, "no known unit", "MPa"),
        ("10 min", Dimension.LENGTH, 4, "'min' does not measure a length", "ft"),
        ("3 mm", Dimension.NUMBER, 3, "does not measure a number", "plain number"),
        ("1 in", Dimension.ANGLE, 5, "second number", "1 in 8"),
        ("1 in 8 mm", Dimension.ANGLE, 5, "second number", "1 in 8"),
        ("1 in 0", Dimension.ANGLE, 6, "upright", "90 deg"),
        ("1 in 7/0", Dimension.ANGLE, 6, "divides by nothing", "7/8"),
        ("1 7/4 C", Dimension.TEMPERATURE, 3, "not below one", "2 3/4"),
        ("17,5 C", Dimension.TEMPERATURE, 3, "comma", "17.5"),
    ],
)
def test_read_quantity_says_what_is_wrong(text: str, kind: Dimension, column: int, says: str, mends: str) -> None:
    wrong = read_quantity(text, kind)
    assert isinstance(wrong, Misread)
    assert wrong.column == column
    assert says in wrong.what
    assert mends in wrong.mend


def test_every_dimension_has_a_house_unit_and_offers_only_units_it_reads() -> None:
    for kind in Dimension:
        assert folded(HOUSE_UNIT[kind]) in FACTORS[kind]
        assert FACTORS[kind][folded(HOUSE_UNIT[kind])] == 1
        for unit in OFFERED[kind]:
            if not unit.startswith("a "):
                assert isinstance(read_quantity(f"1 {unit}", kind), float), unit
        assert offered(kind)


def test_to_unit_refuses_another_kind() -> None:
    with pytest.raises(ValueError, match="does not measure"):
        to_unit(1.0, Dimension.LENGTH, "kg")


def test_print_quantity_rounds_to_digits_and_keeps_whole_numbers_whole() -> None:
    assert print_quantity(10.0, Dimension.TEMPERATURE, "F") == "50 F"
    assert print_quantity(0.1234567, Dimension.RATIO, "%", 3) == "12.3 %"
    assert print_quantity(12345.6, Dimension.STRESS) == "12346 MPa"
    assert print_quantity(0.8, Dimension.RATIO) == "0.8"
    assert print_quantity(-0.0, Dimension.LENGTH) == "0 mm"
    assert print_quantity(2.0e18, Dimension.VOLUME) == "2e+18 mm^3"


def test_slopes_and_angles_print_as_they_are_set() -> None:
    assert print_angle(math.radians(4.04)) == "4.0°"
    assert print_angle(-1e-9) == "0.0°"
    assert print_slope(math.atan(1 / 8)) == "1 in 8"
    assert print_slope(-math.atan(1 / 8)) == "-1 in 8"
    assert print_slope(0.0) == "0 in 8"
    assert print_slope(math.atan(0.5 / 8)) == "1/2 in 8"
    with pytest.raises(ValueError, match="right angle"):
        print_slope(math.pi / 2)


def test_board_feet_of_a_plank() -> None:
    # 8 ft of 1 in by 6 in is 4 board feet: thickness x width x length in inches over 144 (common practice, no source).
    assert board_feet(25.4 * 6 * 25.4 * 96 * 25.4) == pytest.approx(4.0, abs=1e-12)
