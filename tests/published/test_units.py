"""Units against what defines them.

NIST SP 811 (2008), Guide for the Use of the International System of Units, appendix B.8 (factors, from memory; the
ones for inch, foot, square foot, cubic foot, gallon, pound, pound-force and psi also read in a published structural
design guide's appendix of conversions). International yard and pound agreement, 1959: 1 yd = 0.9144 m exactly,
1 lb = 0.453 592 37 kg exactly.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from batchwright.base.length import INCH, read_length
from batchwright.base.quantity import read_quantity, to_unit
from batchwright.base.units import FACTORS, Dimension
from printed import printed


def test_the_inch_is_a_thirty_sixth_of_the_yard_of_1959() -> None:
    assert Fraction("0.9144") * 1000 / 36 == FACTORS[Dimension.LENGTH]["in"]
    assert Decimal(str(INCH)) == Decimal("25.4")
    assert read_length("3 ft") == 914.4


# unit, what it measures, NIST SP 811 factor to the SI unit as printed, SI unit in house units
ROWS = [
    ("in", Dimension.LENGTH, "2.54e-2", 1e3),
    ("ft", Dimension.LENGTH, "3.048e-1", 1e3),
    ("in2", Dimension.AREA, "6.4516e-4", 1e6),
    ("ft2", Dimension.AREA, "9.290304e-2", 1e6),
    ("in3", Dimension.VOLUME, "1.638706e-5", 1e9),
    ("ft3", Dimension.VOLUME, "2.831685e-2", 1e9),
    ("bf", Dimension.VOLUME, "2.359737e-3", 1e9),
    ("gal", Dimension.VOLUME, "3.785412e-3", 1e9),
    ("in4", Dimension.INERTIA, "4.162314e-7", 1e12),
    ("lb", Dimension.MASS, "4.535924e-1", 1.0),
    ("oz", Dimension.MASS, "2.834952e-2", 1.0),
    ("lb/ft3", Dimension.DENSITY, "1.601846e1", 1.0),
    ("lbf", Dimension.FORCE, "4.448222", 1.0),
    ("kgf", Dimension.FORCE, "9.80665", 1.0),
    ("lbf/ft", Dimension.LINE_LOAD, "1.459390e1", 1e-3),
    ("lbf/in", Dimension.LINE_LOAD, "1.751268e2", 1e-3),
    ("psi", Dimension.STRESS, "6.894757e3", 1e-6),
    ("ksi", Dimension.STRESS, "6.894757e6", 1e-6),
    ("psf", Dimension.STRESS, "4.788026e1", 1e-6),
    ("lbf in", Dimension.MOMENT, "1.129848e-1", 1e3),
    ("lbf ft", Dimension.MOMENT, "1.355818", 1e3),
    ("deg", Dimension.ANGLE, "1.745329e-2", 1.0),
]


@pytest.mark.parametrize(("unit", "kind", "factor", "scale"), ROWS, ids=[row[0] for row in ROWS])
def test_factor_is_as_printed(unit: str, kind: Dimension, factor: str, scale: float) -> None:
    value = read_quantity(f"1 {unit}", kind)
    assert isinstance(value, float)
    assert value / scale == printed(factor)


def test_a_board_foot_is_144_cubic_inches() -> None:
    # Wood Handbook (USDA FPL), glossary: a board 12 in by 12 in by 1 in (from memory).
    assert FACTORS[Dimension.VOLUME]["bf"] == 144 * FACTORS[Dimension.VOLUME]["in3"]
    assert to_unit(1e9, Dimension.VOLUME, "bf") == printed("423.776"), "board feet in a cubic metre, read"


@pytest.mark.parametrize(
    ("fahrenheit", "celsius"), [("32 F", "0"), ("212 F", "100"), ("-40 F", "-40"), ("98.6 F", "37.0"), ("70 F", "21.1")]
)
def test_fahrenheit_meets_celsius(fahrenheit: str, celsius: str) -> None:
    # NIST SP 811, B.8: t/C = (t/F - 32)/1.8.
    assert read_quantity(fahrenheit, Dimension.TEMPERATURE) == printed(celsius)
