"""Moisture content against the Wood Handbook, FPL-GTR-282 (2021) and FPL-GTR-190 (2010)."""

from __future__ import annotations

import pytest

from batchwright.base.source import Mark
from batchwright.handbook.climate import all_places, find_place, place_named
from batchwright.handbook.moisture import emc, emc_glass
from printed import printed

# Table 4-2, moisture content in percent, from memory: rows by temperature in F, columns by humidity in percent.
TABLE_4_2 = """
         5   10   15   20   25   30   35   40   45   50   55   60   65   70   75   80   85   90   95
  30   1.4  2.6  3.7  4.6  5.5  6.3  7.1  7.9  8.7  9.5 10.4 11.3 12.4 13.5 14.9 16.5 18.5 21.0 24.3
  40   1.4  2.6  3.7  4.6  5.5  6.3  7.1  7.9  8.7  9.5 10.4 11.3 12.3 13.5 14.9 16.5 18.5 21.0 24.3
  50   1.4  2.6  3.6  4.6  5.5  6.3  7.1  7.9  8.7  9.5 10.3 11.2 12.3 13.4 14.8 16.4 18.4 20.9 24.3
  60   1.3  2.5  3.6  4.6  5.4  6.2  7.0  7.8  8.6  9.4 10.2 11.1 12.1 13.3 14.6 16.2 18.2 20.7 24.1
  70   1.3  2.5  3.5  4.5  5.4  6.2  6.9  7.7  8.5  9.2 10.1 11.0 12.0 13.1 14.4 16.0 17.9 20.5 23.9
  80   1.3  2.4  3.5  4.4  5.3  6.1  6.8  7.6  8.3  9.1  9.9 10.8 11.7 12.9 14.2 15.7 17.7 20.2 23.6
  90   1.2  2.3  3.4  4.3  5.1  5.9  6.7  7.4  8.1  8.9  9.7 10.5 11.5 12.6 13.9 15.4 17.3 19.8 23.3
 100   1.2  2.3  3.3  4.2  5.0  5.8  6.5  7.2  7.9  8.7  9.5 10.3 11.2 12.3 13.6 15.1 17.0 19.5 22.9
 110   1.1  2.2  3.2  4.0  4.9  5.6  6.3  7.0  7.7  8.4  9.2 10.0 11.0 12.0 13.2 14.7 16.6 19.1 22.4
 120   1.1  2.1  3.0  3.9  4.7  5.4  6.1  6.8  7.5  8.2  8.9  9.7 10.6 11.7 12.9 14.4 16.2 18.6 22.0
 130   1.0  2.0  2.9  3.7  4.5  5.2  5.9  6.6  7.2  7.9  8.7  9.4 10.3 11.3 12.5 14.0 15.8 18.2 21.5
 140   0.9  1.9  2.8  3.6  4.3  5.0  5.7  6.3  7.0  7.7  8.4  9.1 10.0 11.0 12.1 13.6 15.3 17.7 21.0
 150   0.9  1.8  2.6  3.4  4.1  4.8  5.5  6.1  6.7  7.4  8.1  8.8  9.7 10.6 11.8 13.1 14.9 17.2 20.4
 160   0.8  1.6  2.4  3.2  3.9  4.6  5.2  5.8  6.4  7.1  7.8  8.5  9.3 10.3 11.4 12.7 14.4 16.7 19.9
"""


def grid_cells() -> list[tuple[float, float, str]]:
    """Temperature in F, humidity in percent and the printed cell, for every cell of the table."""
    head, *rows = (line.split() for line in TABLE_4_2.strip().splitlines())
    return [(float(row[0]), float(h), cell) for row in rows for h, cell in zip(head, row[1:], strict=True)]


def celsius(fahrenheit: float) -> float:
    return (fahrenheit - 32.0) / 1.8


# Cells (from memory) that the equation misses by 0.050 to 0.056 % MC, so by a little more than half a digit.
BEYOND_HALF_A_DIGIT = {(30, 70), (60, 30), (70, 85), (90, 85), (90, 90), (110, 95), (130, 60), (150, 95)}


def test_the_grid_has_every_cell() -> None:
    assert len(grid_cells()) == 266


@pytest.mark.parametrize(
    ("fahrenheit", "percent", "cell"),
    [
        pytest.param(
            *each,
            marks=[pytest.mark.xfail(reason="equation 4-5 is 0.050 to 0.056 % MC off this cell (from memory)")]
            if each[:2] in BEYOND_HALF_A_DIGIT
            else [],
        )
        for each in grid_cells()
    ],
)
def test_equation_4_5_gives_table_4_2(fahrenheit: float, percent: float, cell: str) -> None:
    assert emc(celsius(fahrenheit), percent / 100.0) * 100.0 == printed(cell)


def test_equation_4_5_is_never_more_than_0_06_off_table_4_2() -> None:
    """Measured over all 266 cells, which are from memory; the printed tolerance is 0.05."""
    worst = max(abs(emc(celsius(f), h / 100.0) * 100.0 - float(cell)) for f, h, cell in grid_cells())
    assert 0.05 < worst < 0.06


@pytest.mark.parametrize(
    ("fahrenheit", "percent", "cell"),
    [
        (30, 90, "21.0"),  # CV001, Table 4-2, from memory
        (40, 80, "16.5"),  # CV002, Table 4-2, from memory
        (60, 40, "7.8"),  # CV003, Table 4-2, from memory
        (70, 30, "6.2"),  # CV004, Table 4-2, from memory
        (70, 50, "9.2"),  # CV005, Table 4-2, from memory
        (70, 65, "12.0"),  # CV006, Table 4-2, from memory
        (80, 90, "20.2"),  # CV007, Table 4-2, from memory
        (100, 30, "5.8"),  # CV008, Table 4-2, from memory
    ],
)
def test_emc_gives_printed_cells(fahrenheit: float, percent: float, cell: str) -> None:
    assert emc(celsius(fahrenheit), percent / 100.0) * 100.0 == printed(cell)


@pytest.mark.parametrize(
    ("temperature", "percent", "expected"),
    [
        (20.0, 65, "12.0"),  # CV010, eq. 4-5 (read), worked apart
        (30.0, 40, "7.47"),  # CV012, eq. 4-5 (read), worked apart
    ],
)
def test_equation_4_5_worked_apart(temperature: float, percent: float, expected: str) -> None:
    assert emc(temperature, percent / 100.0) * 100.0 == printed(expected)


def test_equation_4_6_worked_apart() -> None:
    """CV013: Glass 2014, eq. 4-6 (read), worked apart at 21 C and 50 %."""
    assert emc_glass(21.0, 0.50) * 100.0 == printed("9.42")


def fahrenheit_form(fahrenheit: float, humidity: float) -> float:
    """Equation 4-5 with the coefficients for degrees F (from memory), written apart from ours."""
    f, h = fahrenheit, humidity
    w, k = 330 + 0.452 * f + 0.00415 * f * f, 0.791 + 0.000463 * f - 0.000000844 * f * f
    k1, k2 = 6.34 + 0.000775 * f - 0.0000935 * f * f, 1.09 + 0.0284 * f - 0.0000904 * f * f
    a = k * h
    return 1800 / w * (a / (1 - a) + (k1 * a + 2 * k1 * k2 * a * a) / (1 + k1 * a + k1 * k2 * a * a))


def test_celsius_and_fahrenheit_forms_agree() -> None:
    """Two printings of the same equation: no further apart than 0.02 % MC over the grid (0.013 measured)."""
    apart = max(abs(emc(celsius(f), h / 100) * 100 - fahrenheit_form(f, h / 100)) for f, h, _ in grid_cells())
    assert apart < 0.02


@pytest.mark.parametrize(
    ("place", "month", "expected"),
    [
        ("Phoenix AZ", "Jun", "4.6"),  # CV014, FPL-GTR-190 Table 13-1, from memory
        ("Seattle-Tacoma WA", "Dec", "16.5"),  # CV015, Table 13-1, from memory
        ("Madison WI", "Sep", "14.9"),  # CV016, Table 13-1, from memory
        ("Las Vegas NV", "Jun", "4.0"),  # CV017, Table 13-1, from memory
        ("New Orleans LA", "Aug", "15.3"),  # CV018, Table 13-1, from memory
    ],
)
def test_outdoor_table_gives_printed_months(place: str, month: str, expected: str) -> None:
    row = place_named(place)
    assert row.in_month(month) * 100.0 == printed(expected)
    assert row.source.mark is Mark.MEMORY


COMPUTED = [row for row in all_places() if row.source.mark is Mark.COMPUTED]


@pytest.mark.parametrize("row", COMPUTED, ids=lambda row: row.name)
def test_computed_rows_follow_equation_4_5(row) -> None:  # type: ignore[no-untyped-def]
    """Means are kept to 0.1 C and 1 % humidity: half a percent of humidity either way bounds each month."""
    for value, temperature, humidity in zip(row.monthly, row.temperature, row.humidity, strict=True):
        low = emc(temperature, humidity - 0.0055)
        high = emc(temperature, humidity + 0.0055)
        assert low - 0.0006 <= value <= high + 0.0006


def test_there_are_33_computed_rows_and_49_from_memory() -> None:
    assert len(COMPUTED) == 33
    assert len(all_places()) - len(COMPUTED) == 49


@pytest.mark.parametrize(
    ("place", "state", "year"),
    [
        ("Chicago", "IL", "13.3"),  # mean of the year, FPL-GTR-190 Table 13-1, from memory
        ("Denver", "CO", "10.1"),  # likewise
        ("Atlanta", "GA", "13.0"),  # likewise
    ],
)
def test_typical_year_agrees_with_table_13_1_within_1_percent_mc(place: str, state: str, year: str) -> None:
    """Two sources of the same thing: weather of typical years against 30-year normals."""
    computed = find_place(f"{place} {state}")
    assert computed is not None and computed.source.mark is Mark.COMPUTED
    from_table = next(
        row for row in all_places() if (row.place, row.state, row.source.mark) == (place, state, Mark.MEMORY)
    )
    assert from_table.mean * 100.0 == printed(year, slack=0.005, because="mean of twelve rounded months")
    assert abs(computed.mean - from_table.mean) < 0.010
    assert max(abs(a - b) for a, b in zip(computed.monthly, from_table.monthly, strict=True)) < 0.03
