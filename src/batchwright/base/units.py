"""The units a quantity may be typed in: what each measures and how many house units it holds, exactly.

House units: mm, mm^2, mm^3, mm^4, kg, N, N mm, N/mm, MPa, kg/m3, minutes, degrees C, radians, ratios 0 to 1.
Definitions: international yard and pound agreement 1959 (1 yd = 0.9144 m, 1 lb = 0.45359237 kg); standard gravity
9.80665 m/s^2; one US gallon 231 cubic inches; one board foot 144 cubic inches. Source: NIST SP 811 (2008), appendix B.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from enum import Enum
from fractions import Fraction
from typing import Final


class Dimension(Enum):
    """What a quantity measures."""

    LENGTH = "length"
    AREA = "area"
    VOLUME = "volume"
    INERTIA = "inertia"
    ANGLE = "angle"
    RATIO = "ratio"
    NUMBER = "number"
    TEMPERATURE = "temperature"
    MASS = "mass"
    DENSITY = "density"
    FORCE = "force"
    LINE_LOAD = "line load"
    STRESS = "stress"
    MOMENT = "moment"
    TIME = "time"


HOUSE_UNIT: Final[Mapping[Dimension, str]] = {
    Dimension.LENGTH: "mm",
    Dimension.AREA: "mm^2",
    Dimension.VOLUME: "mm^3",
    Dimension.INERTIA: "mm^4",
    Dimension.ANGLE: "rad",
    Dimension.RATIO: "",
    Dimension.NUMBER: "",
    Dimension.TEMPERATURE: "C",
    Dimension.MASS: "kg",
    Dimension.DENSITY: "kg/m3",
    Dimension.FORCE: "N",
    Dimension.LINE_LOAD: "N/mm",
    Dimension.STRESS: "MPa",
    Dimension.MOMENT: "N mm",
    Dimension.TIME: "min",
}
"""The unit that a plain float of each dimension is in."""

_INCH = Fraction(127, 5)
_FOOT = 12 * _INCH
_POUND = Fraction(45359237, 100_000_000)
_POUND_FORCE = _POUND * Fraction(980665, 100_000)
_BOARD_FOOT = 144 * _INCH**3

Scale = Fraction | float

FACTORS: Final[Mapping[Dimension, Mapping[str, Scale]]] = {
    Dimension.LENGTH: {"mm": Fraction(1), "cm": Fraction(10), "m": Fraction(1000), "in": _INCH, "ft": _FOOT},
    Dimension.AREA: {
        "mm2": Fraction(1),
        "cm2": Fraction(100),
        "m2": Fraction(10**6),
        "in2": _INCH**2,
        "ft2": _FOOT**2,
    },
    Dimension.VOLUME: {
        "mm3": Fraction(1),
        "cm3": Fraction(1000),
        "m3": Fraction(10**9),
        "in3": _INCH**3,
        "ft3": _FOOT**3,
        "bf": _BOARD_FOOT,
        "board ft": _BOARD_FOOT,
        "board feet": _BOARD_FOOT,
        "board foot": _BOARD_FOOT,
        "ml": Fraction(1000),
        "l": Fraction(10**6),
        "gal": 231 * _INCH**3,
    },
    Dimension.INERTIA: {"mm4": Fraction(1), "cm4": Fraction(10**4), "in4": _INCH**4},
    Dimension.ANGLE: {"rad": Fraction(1), "deg": math.pi / 180.0, "degrees": math.pi / 180.0, "°": math.pi / 180.0},
    Dimension.RATIO: {"": Fraction(1), "%": Fraction(1, 100), "percent": Fraction(1, 100)},
    Dimension.NUMBER: {"": Fraction(1)},
    Dimension.TEMPERATURE: {"c": Fraction(1), "f": Fraction(5, 9), "k": Fraction(1)},
    Dimension.MASS: {
        "kg": Fraction(1),
        "g": Fraction(1, 1000),
        "t": Fraction(1000),
        "lb": _POUND,
        "lbs": _POUND,
        "oz": _POUND / 16,
    },
    Dimension.DENSITY: {
        "kg/m3": Fraction(1),
        "g/cm3": Fraction(1000),
        "lb/ft3": _POUND / (_FOOT / 1000) ** 3,
        "pcf": _POUND / (_FOOT / 1000) ** 3,
    },
    Dimension.FORCE: {
        "n": Fraction(1),
        "kn": Fraction(1000),
        "kgf": Fraction(980665, 100_000),
        "lb": _POUND_FORCE,
        "lbf": _POUND_FORCE,
    },
    Dimension.LINE_LOAD: {
        "n/mm": Fraction(1),
        "kn/m": Fraction(1),
        "n/m": Fraction(1, 1000),
        "lbf/in": _POUND_FORCE / _INCH,
        "lb/in": _POUND_FORCE / _INCH,
        "lbf/ft": _POUND_FORCE / _FOOT,
        "lb/ft": _POUND_FORCE / _FOOT,
    },
    Dimension.STRESS: {
        "mpa": Fraction(1),
        "n/mm2": Fraction(1),
        "pa": Fraction(1, 10**6),
        "kpa": Fraction(1, 1000),
        "gpa": Fraction(1000),
        "psi": _POUND_FORCE / _INCH**2,
        "ksi": 1000 * _POUND_FORCE / _INCH**2,
        "psf": _POUND_FORCE / _FOOT**2,
    },
    Dimension.MOMENT: {
        "n mm": Fraction(1),
        "nm": Fraction(1000),
        "n m": Fraction(1000),
        "kn m": Fraction(10**6),
        "lbf in": _POUND_FORCE * _INCH,
        "in lbf": _POUND_FORCE * _INCH,
        "lbf ft": _POUND_FORCE * _FOOT,
        "ft lbf": _POUND_FORCE * _FOOT,
    },
    Dimension.TIME: {
        "min": Fraction(1),
        "s": Fraction(1, 60),
        "h": Fraction(60),
        "hours": Fraction(60),
        "day": Fraction(1440),
        "days": Fraction(1440),
    },
}
"""House units in one of each unit, under its folded name."""

ZERO: Final[Mapping[str, Fraction]] = {"c": Fraction(0), "f": Fraction(32), "k": Fraction(27315, 100)}
"""What each scale of temperature reads at 0 degrees C."""

OFFERED: Final[Mapping[Dimension, tuple[str, ...]]] = {
    Dimension.LENGTH: ("mm", "cm", "m", "in", "ft"),
    Dimension.AREA: ("mm2", "cm2", "m2", "in2", "ft2"),
    Dimension.VOLUME: ("mm3", "cm3", "m3", "in3", "ft3", "bf", "ml", "l", "gal"),
    Dimension.INERTIA: ("mm4", "cm4", "in4"),
    Dimension.ANGLE: ("deg", "rad", "a slope like 1 in 8"),
    Dimension.RATIO: ("%", "a plain ratio like 0.8"),
    Dimension.NUMBER: ("a plain number",),
    Dimension.TEMPERATURE: ("C", "F", "K"),
    Dimension.MASS: ("kg", "g", "lb", "oz"),
    Dimension.DENSITY: ("kg/m3", "g/cm3", "lb/ft3"),
    Dimension.FORCE: ("N", "kN", "kgf", "lbf"),
    Dimension.LINE_LOAD: ("N/mm", "N/m", "kN/m", "lbf/in", "lbf/ft"),
    Dimension.STRESS: ("MPa", "N/mm2", "kPa", "GPa", "psi", "ksi"),
    Dimension.MOMENT: ("N mm", "N m", "lbf in", "lbf ft"),
    Dimension.TIME: ("min", "s", "h", "days"),
}
"""What a message offers, as it is usually written."""


def folded(unit: str) -> str:
    """A unit's name as the table writes it: lower case, one space, `mm²` and `mm^2` as `mm2`, `°C` as `c`.

    >>> folded(" kg / m^3"), folded("°F"), folded("degC"), folded("N·mm")
    ('kg/m3', 'f', 'c', 'n mm')
    """
    text = " ".join(unit.casefold().split()).replace("^", "").replace(" / ", "/").replace("·", " ").replace("*", " ")
    text = text.translate({ord("²"): "2", ord("³"): "3", ord("⁴"): "4", ord("º"): "°"})
    for prefix in ("°", "° ", "deg ", "deg"):
        if text.startswith(prefix) and text[len(prefix) :] in ZERO:
            return text[len(prefix) :]
    return text
