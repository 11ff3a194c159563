"""Lengths as the trade reads and writes them: mixed fractions of an inch, feet and inches, millimetres.

Inside, a length is a float in millimetres; this module is the only place that rounds one for paper.
"""

from __future__ import annotations

import math
import re
from enum import Enum
from fractions import Fraction

from batchwright.base.misread import Misread, quoted
from batchwright.base.numeral import Numeral, numeral_at, plain, spaces_end

INCH = 25.4
"""Millimetres, exactly (international yard and pound agreement, 1959)."""
FOOT = 304.8
"""Millimetres, exactly: twelve inches."""

PER_UNIT = {"in": INCH, "ft": FOOT, "mm": 1.0, "cm": 10.0, "m": 1000.0}
"""Millimetres in one of each unit that may be typed."""

_EXACT = {"in": Fraction(127, 5), "ft": Fraction(1524, 5), "mm": Fraction(1), "cm": Fraction(10), "m": Fraction(1000)}
_MARKS = {'"': "in", "'": "ft"}
_UNIT = re.compile(r"[^\W\d_]+|\"|'")
_SLACK = 1e-9
"""Of a step: what float arithmetic may leave of an exact half."""
KNOWN_UNITS = "in, ft, mm, cm or m"


class Unit(Enum):
    """What a sheet is printed in."""

    INCHES = "in"
    MILLIMETRES = "mm"


def read_length(text: str, bare: Unit | str = Unit.INCHES) -> float | Misread:
    r"""A typed length in millimetres, or why it is none; a bare number is in `bare` (in, ft, mm, cm or m).

    Feet and inches stand together: `2'6"`, `2' 6 1/2"`, `2 ft 6 in`. Exact arithmetic, rounded to a float once.

    >>> read_length("17 1/4")
    438.15
    >>> read_length("2' 6 1/2\"")
    774.7
    >>> read_length("1.2 m")
    1200.0
    >>> print(read_length("17 1/4 inch"))
    'inch' is no unit of length here. (column 8); write in, ft, mm, cm or m
    """
    line = plain(text)
    start = spaces_end(line, 0)
    sign = -1 if line[start : start + 1] == "-" else 1
    if sign < 0:
        start = spaces_end(line, start + 1)
    first = _numeral(line, start)
    if isinstance(first, Misread):
        return first
    unit, end = unit_at(line, first.end)
    if isinstance(unit, Misread):
        return unit
    total = first.value * _EXACT[unit or (bare.value if isinstance(bare, Unit) else bare)]
    if unit == "ft" and (after := _past_hyphen(line, end)) < len(line):
        inches = _inches_after_feet(line, after, first)
        if isinstance(inches, Misread):
            return inches
        total, end = total + inches.value * _EXACT["in"], inches.end
    left = spaces_end(line, end)
    if left < len(line):
        return _left_over(line, left)
    return sign * float(total) + 0.0


def unit_at(line: str, start: int) -> tuple[str | Misread, int]:
    """The unit of length behind a number and where it ends; empty if no word stands there."""
    start = spaces_end(line, start)
    found = _UNIT.match(line, start)
    if found is None:
        return "", start
    unit = _MARKS.get(found.group(), found.group())
    if unit not in PER_UNIT:
        what = f"{quoted(found.group())} is no unit of length here."
        return Misread(what=what, mend=f"write {KNOWN_UNITS}", column=start + 1), start
    return unit, found.end()


def _numeral(line: str, start: int) -> Numeral | Misread:
    found = numeral_at(line, start)
    if found is not None:
        return found
    rest = line[start:].strip()
    what = f"{quoted(rest)} does not start with a number." if rest else "there is no length here."
    return Misread(what=what, mend="write one, such as 17 1/4 in or 440 mm", column=start + 1)


def _past_hyphen(line: str, end: int) -> int:
    """`2'-6"` is the same as `2' 6"`."""
    after = spaces_end(line, end)
    return spaces_end(line, after + 1) if line[after : after + 1] == "-" else after


def _inches_after_feet(line: str, start: int, feet: Numeral) -> Numeral | Misread:
    inches = _numeral(line, start)
    if isinstance(inches, Misread):
        return inches
    unit, end = unit_at(line, inches.end)
    if isinstance(unit, Misread):
        return unit
    if unit not in ("", "in"):
        return Misread(what=f"{unit} follows feet.", mend="write feet and inches, as 2' 6 1/2\"", column=start + 1)
    if feet.value.denominator != 1:
        what = "inches follow feet that are not whole."
        return Misread(what=what, mend="write 2' 6\", or 2 1/2 ft alone", column=feet.start + 1)
    if inches.value >= 12:
        what = f"{_mixed(inches.value)} inches follow the feet: a foot has 12."
        whole, rest = divmod(feet.value * 12 + inches.value, 12)
        return Misread(what=what, mend=f"write {whole}' {_mixed(rest)}\"", column=start + 1)
    return Numeral(value=inches.value, start=start, end=end)


def _left_over(line: str, left: int) -> Misread:
    mend = "write one length, such as 17 1/4 in or 440 mm"
    return Misread(what=f"{quoted(line[left:])} is left over behind the length.", mend=mend, column=left + 1)


def nearest_fraction(value: float, step: int = 32) -> Fraction:
    """A length [mm] in inches, to the nearest 1/step; halves go away from zero, so that left and right agree.

    >>> nearest_fraction(25.4 / 64)
    Fraction(1, 32)
    """
    return Fraction(_nearest(value / INCH * step), step)


def _nearest(steps: float) -> int:
    whole = math.floor(abs(steps) + 0.5 + _SLACK)
    return whole if steps >= 0 else -whole


def print_inches(value: float, step: int = 32, mark: bool = False, feet: bool = False) -> str:
    r"""A length [mm] as a mixed fraction of an inch, to the nearest 1/step; with `feet`, as feet and inches.

    With `mark`, a `+` behind it says that the true length is more than a quarter of a step above what is printed
    (heavy), a `-` that it is as much below (light); of a length below zero, above and below mean its size.

    >>> print_inches(438.15)
    '17 1/4'
    >>> print_inches(438.4, step=16, mark=True)
    '17 1/4'
    >>> print_inches(438.6, step=16, mark=True)
    '17 1/4+'
    >>> print_inches(774.7, feet=True)
    '2\' 6 1/2"'
    """
    rounded = nearest_fraction(value, step)
    size = abs(rounded)
    over = abs(value) / INCH * step - float(size * step)
    tail = "" if not mark or abs(over) <= 0.25 + _SLACK else "+" if over > 0 else "-"
    sign = "-" if rounded < 0 else ""
    if not feet:
        return f"{sign}{_mixed(size)}{tail}"
    whole, inches = divmod(size, 12)
    return f"{sign}{whole}' {_mixed(inches)}\"{tail}" if whole else f'{sign}{_mixed(inches)}"{tail}'


def _mixed(value: Fraction) -> str:
    whole, rest = divmod(value, 1)
    if not rest:
        return str(whole)
    fraction = f"{rest.numerator}/{rest.denominator}"
    return f"{whole} {fraction}" if whole else fraction


def print_millimetres(value: float, step: float = 0.5) -> str:
    """A length [mm] to the nearest `step` mm (0.5, 0.1, 1); halves go away from zero.

    >>> print_millimetres(438.26)
    '438.5'
    >>> print_millimetres(438.26, 0.1)
    '438.3'
    """
    grid = Fraction(str(step))
    rounded = _nearest(value / step) * grid
    decimals = len(str(step).partition(".")[2])
    text = f"{float(rounded):.{decimals}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text


def print_length(value: float, unit: Unit, step: int = 32, mark: bool = False) -> str:
    """A length [mm] for a sheet, without its unit: 1/step of an inch, or half millimetres."""
    return print_inches(value, step, mark) if unit is Unit.INCHES else print_millimetres(value)


def running(lengths: tuple[float, ...], unit: Unit, step: int = 32) -> tuple[str, ...]:
    """Distances from one datum to the end of each of a row of lengths [mm].

    Each running distance is added up true and rounded once, so that rounding never adds up along the row.

    >>> running((10.1 * 25.4 / 32,) * 3, Unit.INCHES)
    ('5/16', '5/8', '15/16')
    """
    return tuple(print_length(math.fsum(lengths[: place + 1]), unit, step) for place in range(len(lengths)))
