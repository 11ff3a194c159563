"""The sizes of a piece as the page shows them: in the file's units, with their limits, and a step to move them by."""

from __future__ import annotations

import math
from collections.abc import Iterable

from batchwright.base.length import INCH, Unit, print_length
from batchwright.model.draft import SizeKind, SizeValue

INCH_STEP, MM_STEP, ANGLE_STEP = 1.0 / 16.0, 1.0, 0.5
"""Steps where the file gives none: a sixteenth, a millimetre, half a degree."""

Plain = dict[str, object]


def sizes_as_plain(sizes: Iterable[SizeValue], units: str) -> list[Plain]:
    """Every size and number of a piece, in the file's order."""
    return [_size(value, units) for value in sizes]


def _size(size: SizeValue, units: str) -> Plain:
    def number(value: float | None) -> float | None:
        return None if value is None else in_units(value, size.kind, units)

    def shown(value: float | None) -> str | None:
        return None if value is None else size_words(value, size.kind, units)

    return {
        "name": size.name,
        "kind": size.kind.value,
        "value": number(size.value),
        "low": number(size.low),
        "high": number(size.high),
        "step": number(size.step) or _step(size, units),
        "text": size.text,
        "shown": shown(size.value),
        "low_shown": shown(size.low),
        "high_shown": shown(size.high),
        "note": size.note,
        "free": size.free,
        "by": size.by.value,
        "file": size.place.file,
        "line": size.place.line,
    }


def in_units(value: float, kind: SizeKind, units: str) -> float:
    """A value of the house in the units of a file: inches or millimetres, degrees, or plain."""
    if kind is SizeKind.ANGLE:
        return round(math.degrees(value), 9) + 0.0
    if kind is SizeKind.LENGTH:
        return round(value / INCH if units == "in" else value, 9) + 0.0
    return value


def size_words(value: float, kind: SizeKind, units: str) -> str:
    """A value as it is told, with its unit."""
    if kind is SizeKind.ANGLE:
        return f"{round(math.degrees(value), 2) + 0.0:g}°"
    if kind is SizeKind.NUMBER:
        return f"{round(value, 4):g}"
    unit = Unit.INCHES if units == "in" else Unit.MILLIMETRES
    return f"{print_length(value, unit)} {unit.value}"


def _step(size: SizeValue, units: str) -> float:
    if size.kind is SizeKind.ANGLE:
        return ANGLE_STEP
    if size.kind is SizeKind.LENGTH:
        return INCH_STEP if units == "in" else MM_STEP
    whole = all(value is None or float(value).is_integer() for value in (size.value, size.low, size.high))
    return 1.0 if whole else 0.05
