"""Writing a value as the maker writes it: fractions where the value lies on a sixty-fourth, decimals elsewhere."""

from __future__ import annotations

import math

from batchwright.design.values.values import MM_OF, Kind, Value

FINEST = 64
"""The finest fraction of an inch that is written as a fraction."""

_ON_A_FRACTION = 1e-6


def say_fraction(inches: float, places: int = 4) -> str:
    """`17 1/4`, `-3/8`, `5`; a decimal where no sixty-fourth fits."""
    parts = round(abs(inches) * FINEST)
    if abs(abs(inches) * FINEST - parts) > _ON_A_FRACTION * FINEST:
        return say_decimal(inches, places)
    sign = "-" if inches < 0 and parts else ""
    whole, rest = divmod(parts, FINEST)
    if not rest:
        return f"{sign}{whole}"
    shared = math.gcd(rest, FINEST)
    fraction = f"{rest // shared}/{FINEST // shared}"
    return f"{sign}{whole} {fraction}" if whole else f"{sign}{fraction}"


def say_decimal(value: float, places: int = 3) -> str:
    """A decimal without needless noughts: `30.5`, `12`."""
    text = f"{value:.{places}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text in ("-0", "") else text


def say_bare(millimetres: float, units: str) -> str:
    """A length in the file's units, without naming them."""
    return say_fraction(millimetres / MM_OF["in"]) if units == "in" else say_decimal(millimetres)


def say(value: Value, units: str) -> str:
    """A value with its unit, in the file's units: `17 1/4 in`, `4 deg`, `7`."""
    match value.kind:
        case Kind.LENGTH:
            return f"{say_bare(value.value, units)} {units}"
        case Kind.ANGLE:
            return f"{say_decimal(math.degrees(value.value), 4)} deg"
        case _:
            return say_decimal(value.value, 6)
