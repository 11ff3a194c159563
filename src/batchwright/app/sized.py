"""A size as a maker reads it: its text, its value in the piece's units, and its limits."""

from __future__ import annotations

import math
from dataclasses import dataclass

from batchwright.base.length import INCH
from batchwright.model.draft import SizeKind, SizeValue

_PLACES = 9
"""Decimals told of a size in the piece's units: far finer than any rule, and free of the noise of conversion."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Size:
    """A named size or number. `value`, `low` and `high` are in the piece's own units: inches or mm, degrees, plain."""

    name: str
    kind: str
    """`length`, `angle` or `number`."""
    value: float
    text: str
    """As the file has it."""
    low: float | None
    high: float | None
    free: bool
    """Whether it may be changed; False where it is worked out from others."""
    note: str


def size_of(value: SizeValue, units: str) -> Size:
    """A size in the piece's units."""
    own = _unit(value.kind, units)

    def shown(number: float | None) -> float | None:
        return None if number is None else round(number / own, _PLACES)

    return Size(
        name=value.name,
        kind=value.kind.value,
        value=round(value.value / own, _PLACES),
        text=value.text,
        low=shown(value.low),
        high=shown(value.high),
        free=value.free,
        note=value.note,
    )


def _unit(kind: SizeKind, units: str) -> float:
    """The house value of one of the piece's own units."""
    if kind is SizeKind.ANGLE:
        return math.pi / 180.0
    return INCH if kind is SizeKind.LENGTH and units == "in" else 1.0
