"""Quantities read and printed: temperatures, percents, slopes, board feet, stresses, loads, and the rest.

Typed text goes in, a float in house units comes out (units.HOUSE_UNIT), or why it cannot be read.
"""

from __future__ import annotations

import math
from fractions import Fraction

from batchwright.base.length import read_length
from batchwright.base.misread import Misread, quoted
from batchwright.base.numeral import Numeral, numeral_at, plain, spaces_end
from batchwright.base.units import FACTORS, HOUSE_UNIT, OFFERED, ZERO, Dimension, folded


def read_quantity(text: str, expected: Dimension, bare: str | None = None) -> float | Misread:
    """A typed quantity in house units, or why it is none; a number without a unit is in `bare`, if that is given.

    >>> read_quantity("50 F", Dimension.TEMPERATURE)
    10.0
    >>> read_quantity("80%", Dimension.RATIO)
    0.8
    >>> read_quantity("12 in", Dimension.LENGTH)
    304.8
    >>> print(read_quantity("12 in", Dimension.STRESS))
    'in' does not measure a stress. (column 4); write MPa, N/mm2, kPa, GPa, psi or ksi
    """
    line = plain(text)
    if expected is Dimension.ANGLE and isinstance(slope := _slope(line), float | Misread):
        return slope
    number, sign = _signed_numeral(line)
    if number is None:
        return Misread(
            what=f"{quoted(text)} is no {expected.value}." if text.strip() else f"there is no {expected.value} here.",
            mend=f"write a number with {offered(expected)}",
            column=spaces_end(line, 0) + 1,
        )
    if isinstance(number, Misread):
        return number
    column = spaces_end(line, number.end) + 1
    shown = line[number.end :].strip()
    if expected is Dimension.LENGTH and (shown or bare in FACTORS[Dimension.LENGTH]):
        return _length(line, bare or "mm", shown, column)
    unit = folded(shown) if shown or bare is None else folded(bare)
    return _in_house_units(sign * number.value, unit, shown, column, expected)


def _signed_numeral(line: str) -> tuple[Numeral | Misread | None, int]:
    start = spaces_end(line, 0)
    if line[start : start + 1] == "-":
        return numeral_at(line, spaces_end(line, start + 1)), -1
    return numeral_at(line, start), 1


def _length(line: str, bare: str, shown: str, column: int) -> float | Misread:
    """A length, feet and inches included; a unit of something else is named as such."""
    others = [kind for kind in FACTORS if kind is not Dimension.LENGTH and folded(shown) in FACTORS[kind]]
    if shown and others:
        return _wrong_unit(shown, column, Dimension.LENGTH)
    return read_length(line, bare)


def _in_house_units(value: Fraction, unit: str, shown: str, column: int, expected: Dimension) -> float | Misread:
    factors = FACTORS[expected]
    if unit not in factors:
        if not shown:
            what = f"a {expected.value} needs its unit."
            return Misread(what=what, mend=f"write it with {offered(expected)}", column=column)
        return _wrong_unit(shown, column, expected)
    zero = ZERO[unit] if expected is Dimension.TEMPERATURE else Fraction(0)
    factor = factors[unit]
    return float((value - zero) * factor) if isinstance(factor, Fraction) else float(value - zero) * factor


def _wrong_unit(shown: str, column: int, expected: Dimension) -> Misread:
    known = any(folded(shown) in factors for factors in FACTORS.values())
    article = "an" if expected.value[0] in "aeiou" else "a"
    wrong = f"does not measure {article} {expected.value}." if known else "is no known unit."
    return Misread(what=f"{quoted(shown)} {wrong}", mend=f"write {offered(expected)}", column=column)


def offered(expected: Dimension) -> str:
    """The units a quantity may be written in, as a phrase."""
    *first, last = OFFERED[expected]
    return f"{', '.join(first)} or {last}" if first else last


def _slope(line: str) -> float | Misread | None:
    """`1 in 8`, the angle whose tangent is 1/8; None if the text is not written so."""
    rise, sign = _signed_numeral(line)
    if not isinstance(rise, Numeral):
        return None
    start = spaces_end(line, rise.end)
    if line[start : start + 2] != "in":
        return None
    run = numeral_at(line, spaces_end(line, start + 2))
    if isinstance(run, Misread):
        return run
    if run is None or spaces_end(line, run.end) < len(line):
        what = "a slope needs a second number, and nothing behind it."
        return Misread(what=what, mend="write it as 1 in 8", column=start + 3)
    if run.value == 0:
        return Misread(what="a slope in nothing is upright.", mend="write 90 deg", column=run.start + 1)
    return sign * math.atan(float(rise.value / run.value))


def to_unit(value: float, dimension: Dimension, unit: str) -> float:
    """A value in house units as a number of `unit`.

    Raises
    ------
    ValueError
        If the unit does not measure that dimension.

    >>> round(to_unit(10.0, Dimension.TEMPERATURE, "F"), 9)
    50.0
    """
    name = folded(unit)
    if name not in FACTORS[dimension]:
        raise ValueError(f"{unit!r} does not measure a {dimension.value}")
    zero = float(ZERO[name]) if dimension is Dimension.TEMPERATURE else 0.0
    factor = FACTORS[dimension][name]
    # A fraction's own division keeps exact units exact: 2540 mm are 100 in, not 99.99999999999999.
    number = float(Fraction(value) / factor) if isinstance(factor, Fraction) else value / factor
    return number + zero


def print_quantity(value: float, dimension: Dimension, unit: str | None = None, digits: int = 4) -> str:
    """A value in house units printed in `unit` (default: the house unit) with `digits` significant digits.

    >>> print_quantity(0.125, Dimension.RATIO, "%")
    '12.5 %'
    >>> print_quantity(2359737.216, Dimension.VOLUME, "bf")
    '1 bf'
    """
    name = HOUSE_UNIT[dimension] if unit is None else unit
    number = to_unit(value, dimension, name)
    whole_digits = len(str(int(abs(number)))) if math.isfinite(number) else 0
    text = f"{number:.{max(digits, whole_digits)}g}" if abs(number) < 1e15 else f"{number:.{digits}g}"
    return f"{'0' if text == '-0' else text} {name}".strip()


def print_angle(value: float, digits: int = 1) -> str:
    """An angle [rad] in degrees, to `digits` decimals.

    >>> print_angle(0.0698132)
    '4.0°'
    """
    text = f"{math.degrees(value):.{digits}f}"
    return f"{text.removeprefix('-') if not float(text) else text}°"


def print_slope(value: float, run: int = 8) -> str:
    """An angle [rad] from square as a rise in `run`, to the nearest 1/16, for a bevel gauge set from a rule.

    >>> import math
    >>> print_slope(math.atan(1 / 8))
    '1 in 8'
    >>> print_slope(math.radians(10), 12)
    '2 1/8 in 12'

    Raises
    ------
    ValueError
        If the angle is a right angle or more.
    """
    if abs(value) >= math.pi / 2:
        raise ValueError("a slope lies within a right angle of square")
    whole, rest = divmod(round(abs(math.tan(value)) * run * 16), 16)
    fraction = Fraction(rest, 16)
    parts = [str(whole)] if whole or not rest else []
    parts += [f"{fraction.numerator}/{fraction.denominator}"] if rest else []
    sign = "-" if value < 0 and (whole or rest) else ""
    return f"{sign}{' '.join(parts)} in {run}"


def board_feet(volume: float) -> float:
    """A volume [mm^3] in board feet of 144 cubic inches.

    >>> board_feet(25.4 * 304.8 * 304.8)
    1.0
    """
    return to_unit(volume, Dimension.VOLUME, "bf")
