"""Lengths in a sentence, told in the units of the piece: what was worked in millimetres, as a maker reads it."""

from __future__ import annotations

import re

from batchwright.base.length import Unit, print_length

_BOTH = re.compile(r"(?P<mm>[\d.]+ mm) \((?P<inches>[\d/ ]+ in)\)")
_LENGTH = re.compile(r"(?<![\w.])(?P<number>-?\d+(?:\.\d+)?(?:e[-+]?\d+)?) mm\b")
_POINT = re.compile(r"\((?P<x>-?\d+(?:\.\d+)?(?:e[-+]?\d+)?), (?P<y>-?\d+(?:\.\d+)?(?:e[-+]?\d+)?)\)")
_FRACTION = re.compile(r"(?<![\w./])(?P<whole>\d+ )?(?P<above>\d+)/(?P<below>\d+) in\b")
_SMALL = 25.4 / 4
"""Lengths below this are told in 64ths of an inch, others in 32nds [mm]."""


def told_in(units: str, text: str) -> str:
    """A sentence with its lengths and points in these units (`in` or `mm`), rounded as a bench reads them.

    `text` gives lengths as `33.297 mm`, points as `(301.082, 361.659)` in millimetres, and may give a length in both
    units, `6 mm (1/4 in)`, of which one is kept. A fraction of an inch is one by its stroke.

    >>> told_in("in", "a strip of 33.297 mm folds over at (301.082, 361.659); wood of 6 mm (1/4 in) is left")
    'a strip of 1 5/16 in folds over at (11 27/32, 14 1/4); wood of 1/4 in is left'
    >>> told_in("mm", "a strip of 33.297 mm; wood of 6 mm (1/4 in) is left")
    'a strip of 33.5 mm; wood of 6 mm is left'
    """
    text = _BOTH.sub(lambda found: found["mm" if units == "mm" else "inches"], text)
    if units == "mm":
        text = _FRACTION.sub(_fraction, text)
    text = _LENGTH.sub(lambda found: f"{_said(float(found['number']), units)} {units}", text)
    return _POINT.sub(lambda found: f"({', '.join(_said(float(found[axis]), units) for axis in ('x', 'y'))})", text)


def _fraction(found: re.Match[str]) -> str:
    inches = int(found["whole"] or 0) + int(found["above"]) / int(found["below"])
    return f"{inches * 25.4:g} mm"


def _said(length: float, units: str) -> str:
    if units == "mm":
        return print_length(length, Unit.MILLIMETRES) if abs(length) >= 2.0 else f"{length:.2f}".rstrip("0").rstrip(".")
    near = round(length * 16.0 / 25.4)
    if abs(near) >= 4 and float(length).is_integer() and abs(length - near * 25.4 / 16.0) < 0.5:
        return print_length(length, Unit.INCHES, 16)
    return print_length(length, Unit.INCHES, 64 if abs(length) < _SMALL else 32)
