"""Joinery's messages: lengths and angles as the maker reads them, and the words of a direction in the piece."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import lru_cache

from batchwright.base.length import Unit, print_length
from batchwright.base.told import told_in
from batchwright.base.trace import Sized
from batchwright.geometry.frame import Vec3
from batchwright.handbook.joint_rules import joint_rule
from batchwright.model.draft import DraftPiece, Hands

Sizes = tuple[tuple[str, Sized], ...]

EXACT = 25.4 / 2000
BENCH = 25.4 / 32 - 0.05
"""A bench works to 1/32 in at best (common practice, no source) [mm], and a finding is not made of less; sight lines
and clearances take a little off it. Below this a fraction of an inch says too little, unless it is one."""
FINE = 25.4 / 4
"""Up to this 64ths of an inch are told where a length is a whole number of them [mm]."""
TIE = 1e-6
"""Two directions' cosines within this are one: a way at 45 degrees has one word."""
HAIR = 0.01
"""Two numbers within this are one [mm]."""


def say(length: float, units: str) -> str:
    """A length [mm] as a bench reads it: `1 3/4 in`, to 1/32; `44.5 mm`. Small ones in 64ths, or in thousandths or
    hundredths."""
    if units == "mm":
        return f"{length:.2f} mm" if abs(length) < 2.0 else f"{print_length(length, Unit.MILLIMETRES)} mm"
    off = abs(length * 64.0 / 25.4 - round(length * 64.0 / 25.4)) * 25.4 / 64.0
    if abs(length) < BENCH and off > EXACT:
        return f"{length / 25.4:.3f} in"
    return f"{print_length(length, Unit.INCHES, 64 if abs(length) < FINE and off < HAIR else 32)} in"


def say_limit(limit: float, units: str) -> str:
    """A limit [mm] in round numbers: one that is no whole number of 64ths of an inch to the nearest 1/16."""
    off = abs(limit * 64.0 / 25.4 - round(limit * 64.0 / 25.4))
    if units == "mm" or off < 0.002 or limit < 2.0 * BENCH:
        return say(limit, units)
    return f"{print_length(limit, Unit.INCHES, 16)} in"


def say_against(value: float, limit: float, units: str) -> tuple[str, str]:
    """A value and its limit [mm]; where both print alike, both to 1/32, or the value finer, with heavy or light."""
    value_said = say(value, units)
    for limit_said in (say_limit(limit, units), say(limit, units)):
        if value_said != limit_said:
            return value_said, limit_said
    if units == "mm":
        return f"{value:.2f} mm", limit_said
    return f"{limit_said} {'light' if value < limit else 'heavy'} ({value / 25.4:.3f} in)", limit_said


def rounded(length: float, units: str, up: bool = True) -> float:
    """A length [mm] to the 1/16 in or half millimetre above it, or below: what is asked of a bench."""
    step = 0.5 if units == "mm" else 25.4 / 16.0
    return step * (math.ceil(length / step - 1e-6) if up else math.floor(length / step + 1e-6))


def written(length: float, units: str, up: bool = True) -> str:
    """A length [mm] as a maker would write it in his file, rounded as a bench is asked."""
    return print_length(rounded(length, units, up), Unit.MILLIMETRES if units == "mm" else Unit.INCHES, 16)


def exactly(length: float, units: str) -> str:
    """A length [mm] as it stands, for a file: a fraction of an inch where it is one, else in millimetres."""
    steps = length * 64.0 / 25.4
    if units == "mm":
        return f"{length:g}"
    return print_length(length, Unit.INCHES, 64) if abs(steps - round(steps)) < 0.02 else f"{length:g} mm"


def at_least(length: float, units: str) -> str:
    """An amount [mm] that is enough, with its unit: rounded up."""
    return f"{written(length, units)} {units}"


def say_volume(volume: float, units: str) -> str:
    """A volume [mm^3] in cubic inches, or cubic centimetres, to two figures or more."""
    size, name = (volume / 25.4**3, "cu in") if units == "in" else (volume / 1000.0, "cm3")
    return f"{size:.2g} {name}" if size < 10.0 else f"{size:.0f} {name}"


def say_area(area: float, units: str) -> str:
    """An area [mm^2] in square inches, or square centimetres."""
    return f"{area / 25.4**2:.1f} sq in" if units == "in" else f"{area / 100.0:.1f} cm2"


def told_sizes(sizes: Sizes, units: str) -> Sizes:
    """Sizes whose traces tell lengths in the piece's units; the rules work in millimetres."""
    return tuple((name, _told(size, units)) for name, size in sizes)


def _told(size: Sized, units: str) -> Sized:
    why = told_in(units, size.trace.why)
    return size if why == size.trace.why else replace(size, trace=replace(size.trace, why=why))


def say_angle(angle: float) -> str:
    """An angle [rad] in degrees to a tenth."""
    return f"{math.degrees(angle):.1f} degrees"


def say_share(share: float) -> str:
    """A ratio as a percentage."""
    return f"{100.0 * share:.0f} %"


@lru_cache(maxsize=128)
def cite(rule_id: str) -> str:
    """The source of a joint rule with its marks, for a trace or a finding."""
    rule = joint_rule(rule_id)
    numbers = "" if rule.number_mark is rule.source.mark else f"; its numbers: {rule.number_mark.value}"
    return f"{rule.source}{numbers}"


WORDS = ("left", "right", "front", "back", "top", "bottom")
OPPOSITE = {"left": "right", "front": "back", "top": "bottom", "right": "left", "back": "front", "bottom": "top"}
"""The word of the other way."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Compass:
    """Words for directions of the piece, as its file's `hands` says, and where its middle is."""

    hands: Hands
    middle: Vec3
    units: str
    inside: bool = False
    """Whether face marks look towards the middle."""

    @property
    def left(self) -> Vec3:
        """The direction called left."""
        return (1.0, 0.0, 0.0) if self.hands is Hands.AS_SEATED else (-1.0, 0.0, 0.0)

    def towards(self, word: str) -> Vec3 | None:
        """The direction of a word of the piece; None for inside and outside, which depend on where one stands."""
        x = self.left[0]
        ways: dict[str, Vec3] = {
            "left": (x, 0.0, 0.0),
            "right": (-x, 0.0, 0.0),
            "front": (0.0, -1.0, 0.0),
            "back": (0.0, 1.0, 0.0),
            "top": (0.0, 0.0, 1.0),
            "bottom": (0.0, 0.0, -1.0),
        }
        return ways.get(word)

    def word_of(self, direction: Vec3) -> str:
        """The word nearest to a direction; of two as near, the sooner in their order, whatever the last digits say."""
        x, (_, y, z) = self.left[0] * direction[0], direction
        along = (x, -x, -y, y, z, -z)
        least = max(along) - TIE
        return WORDS[next(i for i, value in enumerate(along) if value > least)]


def compass_of(draft: DraftPiece, low: Vec3, high: Vec3) -> Compass:
    """The piece's compass; `low` and `high` are the corners of the box round all its parts."""
    deep = draft.middle if draft.middle is not None else (low[1] + high[1]) / 2.0
    return Compass(
        hands=draft.hands,
        middle=(0.0, deep, (low[2] + high[2]) / 2.0),
        units=draft.units,
        inside=draft.face_marks == "inside",
    )
