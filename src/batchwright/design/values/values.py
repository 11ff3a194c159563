"""The four kinds of value of the language, and turning one into what a key wants."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum

from batchwright.base.fault import Place
from batchwright.design.text.mistake import Mistake, mistake

MM_OF = {"in": 25.4, "ft": 304.8, "mm": 1.0, "cm": 10.0, "m": 1000.0}
"""Millimetres in a unit of length. Inch and foot exact: international yard and pound agreement, 1959."""

LONGEST_MM = 100_000.0
"""No length of furniture passes 100 m: what does is a slip, and is told."""

LARGEST_NUMBER = 1e9
LARGEST_ANGLE = 2.0 * math.pi


class Kind(Enum):
    """What a value measures; `BARE` is a number whose unit is not said yet."""

    LENGTH = "a length"
    ANGLE = "an angle"
    NUMBER = "a plain number"
    BARE = "a bare number"


@dataclass(frozen=True, slots=True)
class Value:
    """A value: millimetres, radians, a plain number, or a bare number as written."""

    kind: Kind
    value: float


def length(value: float) -> Value:
    """A length [mm]."""
    return Value(Kind.LENGTH, value)


def angle(value: float) -> Value:
    """An angle [rad]."""
    return Value(Kind.ANGLE, value)


def number(value: float) -> Value:
    """A plain number."""
    return Value(Kind.NUMBER, value)


def bare(value: float) -> Value:
    """A number whose unit is not said yet."""
    return Value(Kind.BARE, value)


@dataclass(frozen=True, slots=True)
class About:
    """What a value is for, for messages: the key's or size's name, its place, and the text it was worked from."""

    name: str
    place: Place
    text: str = ""

    @property
    def says(self) -> str:
        """`thickness: 4 deg` in quotation marks, or the name alone."""
        return f"`{self.name}: {self.text}`" if self.text else f"`{self.name}`"


def as_length(value: Value, units: str, about: About) -> float:
    """The value as a length [mm]; a bare number is in the file's units. Raises Mistake."""
    if value.kind is Kind.BARE:
        return within(length(value.value * MM_OF[units]), about).value
    if value.kind is not Kind.LENGTH:
        why = _A_PROPORTION if value.kind is Kind.NUMBER else ""
        raise _wrong_kind(value, "a length", about, f"write a length, for example `2 {units}`", why)
    return within(value, about).value


def as_angle(value: Value, about: About) -> float:
    """The value as an angle [rad]. A bare number is no angle: its unit must be said. Raises Mistake."""
    if value.kind is not Kind.ANGLE:
        raise _wrong_kind(value, "an angle", about, "write degrees or a slope, for example `4 deg` or `1 in 8`")
    return within(value, about).value


def as_number(value: Value, about: About) -> float:
    """The value as a plain number. Raises Mistake."""
    if value.kind in (Kind.LENGTH, Kind.ANGLE):
        raise _wrong_kind(value, "a plain number", about, "write a number without a unit")
    return within(value, about).value


def as_count(value: Value, about: About, least: int = 1, most: int = 10_000) -> int:
    """The value as a whole number of things, within limits. Raises Mistake."""
    amount = as_number(value, about)
    whole = round(amount)
    if abs(amount - whole) > 1e-9:
        raise mistake(
            "not-whole",
            about.place,
            f"{about.says} is {amount:g}, but a whole number is wanted.",
            "write a whole number, or bring it to one with `round( )`, `floor( )` or `ceil( )`",
        )
    if not least <= whole <= most:
        raise mistake(
            "count-out-of-range",
            about.place,
            f"{about.says} is {whole}, but {least} is the least and {most} the most.",
            f"write a whole number from {least} to {most}",
        )
    return whole


def within(value: Value, about: About) -> Value:
    """The value itself, if it is finite and of a believable size. Raises Mistake."""
    kind = value.kind
    most = LONGEST_MM if kind is Kind.LENGTH else LARGEST_ANGLE if kind is Kind.ANGLE else LARGEST_NUMBER
    if math.isfinite(value.value) and abs(value.value) <= most * (1 + 1e-12):
        return value
    limit = {Kind.LENGTH: "100 m", Kind.ANGLE: "360 degrees"}.get(value.kind, "1 000 000 000")
    raise mistake(
        "value-too-large",
        about.place,
        f"{about.says} comes to {_roughly(value)}; the limit is {limit}.",
        "look for a lost decimal point, a wrong unit, or a division by something close to zero",
    )


def _roughly(value: Value) -> str:
    if not math.isfinite(value.value):
        return "no finite number"
    match value.kind:
        case Kind.LENGTH:
            return f"{value.value / 1000:.4g} m"
        case Kind.ANGLE:
            return f"{math.degrees(value.value):.4g} degrees"
        case _:
            return f"{value.value:.4g}"


def _wrong_kind(value: Value, wanted: str, about: About, mend: str, why: str = "") -> Mistake:
    return mistake("wrong-kind", about.place, f"{about.says} is {value.kind.value}, but {wanted} is wanted.", mend, why)


_A_PROPORTION = (
    "a length divided by a length is a plain number, and a unit belongs to the number before it: "
    "`width/2 in` is width divided by 2 in"
)
