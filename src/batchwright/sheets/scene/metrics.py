"""How wide and high a text is, from the advance widths of the shipped fonts; and which letters they lack."""

from __future__ import annotations

import math
import re
from functools import lru_cache

from batchwright.geometry.frame import Vec2
from batchwright.sheets.scene.advances import BOLD, FIRST, REGULAR, UNITS
from batchwright.sheets.scene.primitives import Level, Side, Text, Weight

CAP_HEIGHT = 0.729
"""Height of capitals and figures over the letter size."""
DESCENT = 0.24
ASCENT = 0.77
ACCENTED = 0.96
UNKNOWN_WIDTH = 1.0

_UNSEEN = frozenset(map(chr, (*range(0x200B, 0x2010), *range(0x2028, 0x202F), *range(0x2060, 0x2070))))
"""Marks that have no shape of their own but turn or join what stands beside them: never printed."""
_MIXED = re.compile(r"(?<=\d) (?=\d+/\d|(?:in|mm|bf|kg|min|ft|lb)\b)")
_LOW = set("0123456789 .+-−'\"°×=:ABCDEFGHIKLMNOPRSTUVWXYZabcdefhiklmnorstuvwxz")
_TURNABLE = set("0 1 6 8 9 - − / . × |".replace(" ", "")) | {" "}


@lru_cache(maxsize=2)
def _widths(bold: bool) -> dict[str, float]:
    table: dict[str, float] = {}
    code = FIRST
    for run in (BOLD if bold else REGULAR).split():
        if run.startswith("+"):
            code += int(run[1:])
            continue
        width, _, times = run.partition("x")
        for _ in range(int(times or 1)):
            table[chr(code)] = int(width) / UNITS
            code += 1
    return {letter: width for letter, width in table.items() if letter not in _UNSEEN}


def text_width(text: str, size: float, weight: Weight = Weight.NORMAL) -> float:
    """Width of one line of text, kerning left out [same unit as size]."""
    widths = _widths(weight is Weight.BOLD)
    return size * sum(widths.get(letter, UNKNOWN_WIDTH) for letter in text)


def missing_letters(text: str) -> tuple[str, ...]:
    """The letters of a text that the shipped fonts cannot print, each once, in order of appearance."""
    widths = _widths(False)
    return tuple(dict.fromkeys(c for c in text if c not in widths and c not in "\n\t"))


def printable(text: str) -> str:
    """The text with every letter that the fonts lack shown as the replacement mark, controls as a space."""
    widths = _widths(False)
    return "".join(c if c in widths else " " if c in "\n\t" else "\ufffd" for c in text)


def unbroken(text: str) -> str:
    """The text with the space inside a mixed fraction, or before a unit, made one that a line never breaks at."""
    return _MIXED.sub("\u00a0", text)


def mistakable(text: str) -> bool:
    """Whether a text with a 6 or a 9 also reads as a number when it lies upside down: it gets a bar beneath.

    So 6, 9, 66, 16 and 9 1/16 are barred; 96 3/4 and "6 in" cannot be read the other way up. House rule.
    """
    return any(c in "69" for c in text) and all(c in _TURNABLE for c in text)


def text_extent(text: Text) -> tuple[float, float, float, float]:
    """Left, bottom, right, top of a text about its anchor, before turning, on paper [mm]."""
    width = text_width(text.text, text.size, text.weight)
    left = {Side.START: 0.0, Side.MIDDLE: -width / 2.0, Side.END: -width}[text.side]
    rise = {Level.BASE: 0.0, Level.MIDDLE: -CAP_HEIGHT / 2.0, Level.TOP: -CAP_HEIGHT}[text.level] * text.size
    low = -0.02 if set(text.text) <= _LOW else -0.11 if set(text.text) <= _LOW | {"/"} else -DESCENT
    if mistakable(text.text):
        low = -0.18
    high = ACCENTED if any(ord(c) > 0xBF for c in text.text) else ASCENT
    return (left, rise + low * text.size, left + width, rise + high * text.size)


def text_box(text: Text, scale: float) -> tuple[Vec2, Vec2, Vec2, Vec2]:
    """The corners of the strip a text covers, counter-clockwise, in true millimetres of a scene at `scale`."""
    left, bottom, right, top = text_extent(text)
    c, s = math.cos(text.angle) / scale, math.sin(text.angle) / scale
    u, v = text.at
    a, b, d, e = ((left, bottom), (right, bottom), (right, top), (left, top))
    return (_turned(a, c, s, u, v), _turned(b, c, s, u, v), _turned(d, c, s, u, v), _turned(e, c, s, u, v))


def _turned(point: Vec2, c: float, s: float, u: float, v: float) -> Vec2:
    return (u + c * point[0] - s * point[1], v + s * point[0] + c * point[1])
