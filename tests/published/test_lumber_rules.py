"""Measuring lumber against the NHLA rules (read as trade summaries, rounding from memory) and PS 20."""

from __future__ import annotations

import pytest

from batchwright.handbook.grades import cutting_units, cuttings_allowed, grade_named
from batchwright.handbook.lumber import (
    FOOT,
    INCH,
    board_feet,
    board_feet_of_volume,
    factor_of_waste,
    surface_measure,
    waste_of_factor,
)
from batchwright.handbook.lumber_sizes import softwood_size, thickness_named
from printed import printed


@pytest.mark.parametrize(
    ("quarters", "width", "length", "expected"),
    [
        ("4/4", 6.0, 8.0, "4"),  # CV073, surface measure rule (read)
        ("8/4", 7.0, 10.0, "12"),  # CV074, 5.83 counts as 6 (rounding from memory)
        ("5/4", 9.0, 12.0, "11.25"),  # CV075, likewise
    ],
)
def test_board_feet_of_a_board(quarters: str, width: float, length: float, expected: str) -> None:
    rough = thickness_named(quarters).rough
    assert board_feet(width * INCH, length * FOOT, rough) == printed(expected)


def test_surface_measure_of_the_example() -> None:
    assert surface_measure(7.0 * INCH, 10.0 * FOOT) == 6


def test_thousand_board_feet_in_cubic_metres() -> None:
    """Definition: 1,000 board ft = 2.36 m3 (144 cubic inches each)."""
    assert 1000.0 / board_feet_of_volume(1000.0, 1000.0, 1000.0) == printed("2.36")


def test_cutting_units_and_cuttings() -> None:
    """NHLA rules as the AHEC summary (read)."""
    best = grade_named("FAS")
    assert cutting_units(best, 8) == 80  # CV077, of 96
    assert cuttings_allowed(best, 8) == 2  # CV078, SM/4
    assert cuttings_allowed(best, 8, extra=True) == 3  # CV078, note: SM x 11 allows one more
    assert cuttings_allowed(best, 40) == 4  # at most 4
    common = grade_named("No. 1 Common")
    assert cutting_units(common, 6) == 48  # SM x 8, 66-2/3 %
    assert cuttings_allowed(common, 8) == 3  # (SM + 1)/3
    assert cuttings_allowed(common, 60) == 5  # at most 5
    assert cuttings_allowed(grade_named("No. 2A Common"), 7) == 3  # SM/2
    assert cuttings_allowed(grade_named("No. 3A Common"), 7) is None  # any number


@pytest.mark.parametrize(
    ("grade", "width_in", "length_ft", "percent"),
    [
        # NHLA rules as the AHEC summary and a second trade summary (read)
        ("FAS", "6", "8", "83.3"),
        ("FAS One Face", "6", "8", "83.3"),
        ("Selects", "4", "6", "83.3"),
        ("No. 1 Common", "3", "4", "66.7"),
        ("No. 2A Common", "3", "4", "50.0"),
        ("No. 2B Common", "3", "4", "50.0"),
        ("No. 3A Common", "3", "4", "33.3"),
        ("No. 3B Common", "3", "4", "25.0"),
    ],
)
def test_least_board_and_yield_of_a_grade(grade: str, width_in: str, length_ft: str, percent: str) -> None:
    found = grade_named(grade)
    assert found.board_width / INCH == printed(width_in)
    assert found.board_length / FOOT == printed(length_ft)
    assert found.least_yield * 100.0 == printed(percent)


def test_least_cutting_of_no_1_common() -> None:
    """CV080: AHEC summary (read)."""
    assert grade_named("No. 1 Common").cuttings == "4 in x 2 ft or 3 in x 3 ft"


@pytest.mark.parametrize(
    ("quarters", "expected"),
    [
        ("4/4", "20.6"),  # CV081, 13/16 in (read on reference pages)
        ("5/4", "27.0"),  # CV082, 1 1/16 in (likewise)
        ("6/4", "33.3"),  # CV083, 1 5/16 in (likewise)
        ("8/4", "44.5"),  # CV084, 1 3/4 in (likewise)
        ("12/4", "69.85"),  # 2 3/4 in (likewise; the page rounds it up to 69.9)
        ("16/4", "95.3"),  # 3 3/4 in (likewise)
        ("3/4", "14.3"),  # 9/16 in (likewise)
        ("3/8", "4.8"),  # 3/16 in (likewise)
    ],
)
def test_surfaced_two_sides(quarters: str, expected: str) -> None:
    assert thickness_named(quarters).surfaced_two.value == printed(expected)


@pytest.mark.parametrize(
    ("kind", "nominal", "millimetres"),
    [
        ("thickness", "2", "38"),  # CV085, PS 20 Table 3, 1 1/2 in (read on reference pages)
        ("width", "6", "140"),  # CV085, 5 1/2 in (likewise)
        ("thickness", "1", "19"),  # 3/4 in (likewise)
        ("thickness", "4", "89"),  # 3 1/2 in (likewise)
        ("width", "3", "64"),  # 2 1/2 in (likewise)
        ("width", "4", "89"),  # 3 1/2 in (likewise)
        ("width", "8", "184"),  # 7 1/4 in (likewise)
        ("width", "10", "235"),  # 9 1/4 in (likewise)
        ("width", "12", "286"),  # 11 1/4 in (likewise)
        ("width", "14", "337"),  # 13 1/4 in (likewise)
        ("thickness", "1 1/4", "25"),  # 1 in (from memory)
        ("thickness", "1 1/2", "32"),  # 1 1/4 in (from memory)
        ("thickness", "2 1/2", "51"),  # 2 in (from memory)
        ("width", "5", "114"),  # 4 1/2 in (from memory)
        ("width", "7", "165"),  # 6 1/2 in (from memory)
        ("width", "9", "210"),  # 8 1/4 in (from memory)
    ],
)
def test_softwood_dressed_dry(kind: str, nominal: str, millimetres: str) -> None:
    assert softwood_size(kind, nominal).dry.value == printed(millimetres)


@pytest.mark.parametrize(
    ("waste", "factor"),
    [("20", "1.25"), ("25", "1.33"), ("30", "1.43"), ("33", "1.49"), ("40", "1.67"), ("50", "2.0")],
)
def test_waste_as_a_factor(waste: str, factor: str) -> None:
    """Trade page "Calculating Waste from Rough Lumber" (read)."""
    assert factor_of_waste(float(waste) / 100.0) == printed(factor)


@pytest.mark.parametrize(("added", "waste"), [("20", "17"), ("30", "23"), ("50", "33")])
def test_adding_a_percentage_as_waste(added: str, waste: str) -> None:
    """The same page (read): adding 30 % covers 23 % waste."""
    assert waste_of_factor(1.0 + float(added) / 100.0) * 100.0 == printed(waste)
