"""Lengths as the trade reads and writes them: mixed fractions of an inch, feet and inches, millimetres.

Inside, a length is a float in millimetres; this module is the only place that rounds one for paper.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction

INCH = 25.4
"""Millimetres, exactly (international inch, 1959)."""

PER_UNIT = {"in": INCH, '"': INCH, "ft": 12 * INCH, "'": 12 * INCH, "mm": 1.0, "cm": 10.0, "m": 1000.0}
"""Millimetres in one of each unit that may be typed."""


@dataclass
class LengthError(ValueError):
    """A text that is no length: why, how to mend it, and the column (from 1) where it goes wrong."""

    what: str
    mend: str
    column: int

    def __str__(self) -> str:
        return f"{self.what} (column {self.column}); {self.mend}"


class Unit(Enum):
    """What a sheet is printed in."""

    INCHES = "in"
    MILLIMETRES = "mm"


_NUMBER = r"(?:\d+\s+\d+/\d+|\d+/\d+|\d+\.\d+|\.\d+|\d+)"
_TERM = re.compile(rf"\s*(?P<number>{_NUMBER})\s*(?P<unit>in\b|ft\b|mm\b|cm\b|m\b|\"|')?\s*")


def read_length(text: str, bare: Unit = Unit.INCHES) -> float:
    """A typed length in millimetres; a bare number is in `bare`. Feet and inches add up: `2' 6 1/2"`.

    Raises
    ------
    LengthError
        With the column where the text stops making sense.

    >>> read_length("17 1/4")
    438.15
    >>> read_length("2' 6 1/2\\"")
    774.7
    >>> read_length("1.2 m")
    1200.0
    """
    sign, start = (-1.0, text.index("-") + 1) if text.strip().startswith("-") else (1.0, 0)
    if not text.strip():
        raise LengthError("there is no length here", "write one, such as 17 1/4 or 440 mm", 1)
    total, at, feet = 0.0, start, False
    while at < len(text):
        term = _TERM.match(text, at)
        if term is None or (total and not feet):
            raise LengthError(f"'{text[at:].strip()}' is no length", "write it as 17 1/4, 2' 6\" or 440 mm", at + 1)
        unit = term["unit"] or ("in" if feet else bare.value)
        total += _number(term["number"], at) * PER_UNIT[unit]
        feet = unit in ("'", "ft") and not feet
        at = term.end()
    return round(sign * total, 9)


def _number(text: str, at: int) -> float:
    if "/" not in text:
        return float(text)
    whole, fraction = text.split() if " " in text.strip() else ("0", text)
    top, bottom = (int(part) for part in fraction.split("/"))
    if bottom == 0 or (whole != "0" and top >= bottom):
        raise LengthError(f"'{text}' is no mixed fraction", "write the fraction below one, as in 1 3/4", at + 1)
    return int(whole) + top / bottom


def nearest_fraction(value: float, step: int = 32) -> Fraction:
    """A length [mm] in inches, to the nearest 1/step; halves go up."""
    return Fraction(math.floor(value / INCH * step + 0.5), step)


def print_inches(value: float, step: int = 32, mark: bool = False, feet: bool = False) -> str:
    """A length [mm] as a mixed fraction of an inch, to the nearest 1/step.

    With `mark`, `+` is added where the true length is over a quarter of a step heavier, `-` where lighter.

    >>> print_inches(438.15)
    '17 1/4'
    >>> print_inches(438.4, step=16, mark=True)
    '17 1/4'
    >>> print_inches(438.6, step=16, mark=True)
    '17 1/4+'
    """
    rounded = nearest_fraction(value, step)
    over = value / INCH * step - float(rounded) * step
    tail = "" if not mark or abs(over) <= 0.25 else "+" if over > 0 else "-"
    sign = "-" if rounded < 0 else ""
    rest = abs(rounded)
    if feet and rest >= 12:
        whole_feet, inches = divmod(rest, 12)
        return f"{sign}{whole_feet}' {_mixed(inches)}\"{tail}"
    return f"{sign}{_mixed(rest)}{tail}"


def _mixed(value: Fraction) -> str:
    whole, rest = divmod(value, 1)
    if not rest:
        return str(whole)
    fraction = f"{rest.numerator}/{rest.denominator}"
    return f"{whole} {fraction}" if whole else fraction


def print_millimetres(value: float, step: float = 0.5) -> str:
    """A length [mm] to the nearest `step` mm; halves go up.

    >>> print_millimetres(438.26)
    '438.5'
    """
    rounded = math.floor(value / step + 0.5) * step
    digits = max(0, -math.floor(math.log10(step) + 1e-9)) if step < 1 else 0
    text = f"{rounded:.{digits}f}"
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
    total, texts = 0.0, []
    for value in lengths:
        total += value
        texts.append(print_length(total, unit, step))
    return tuple(texts)
