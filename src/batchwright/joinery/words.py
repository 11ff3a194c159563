"""Joinery's messages: lengths and angles as the maker reads them, and the words of a direction in the piece."""

from __future__ import annotations

import math
from dataclasses import dataclass

from batchwright.base.length import Unit, print_length
from batchwright.geometry.frame import Vec3
from batchwright.handbook.joint_rules import joint_rule
from batchwright.model.draft import DraftPiece, Hands

SLIGHT = 25.4 / 16
"""Below this a fraction of an inch says too little, unless it is one: thousandths are told instead [mm]."""
EXACT = 25.4 / 2000


def say(length: float, units: str) -> str:
    """A length [mm] in the piece's units: `1 3/4 in`, `44.5 mm`; small ones in thousandths or hundredths."""
    if units == "mm":
        return f"{length:.2f} mm" if abs(length) < 2.0 else f"{print_length(length, Unit.MILLIMETRES)} mm"
    off = abs(length * 64.0 / 25.4 - round(length * 64.0 / 25.4)) * 25.4 / 64.0
    if abs(length) < SLIGHT and off > EXACT:
        return f"{length / 25.4:.3f} in"
    return f"{print_length(length, Unit.INCHES, 64)} in"


def say_against(value: float, limit: float, units: str) -> tuple[str, str]:
    """A value and its limit [mm] as `say` has them; where both print alike, the value finer, with heavy or light."""
    said = say(value, units), say(limit, units)
    if said[0] != said[1]:
        return said
    if units == "mm":
        return f"{value:.2f} mm", said[1]
    return f"{said[1]} {'light' if value < limit else 'heavy'} ({value / 25.4:.3f} in)", said[1]


def written(length: float, units: str, up: bool = True) -> str:
    """A length [mm] as a maker would write it in his file, to the 1/64 in or half millimetre above it, or below."""
    step = 0.5 if units == "mm" else 25.4 / 64.0
    steps = math.ceil(length / step - 1e-6) if up else math.floor(length / step + 1e-6)
    return print_length(steps * step, Unit.MILLIMETRES if units == "mm" else Unit.INCHES, 64)


def at_least(length: float, units: str) -> str:
    """An amount [mm] that is enough, with its unit: rounded up."""
    return f"{written(length, units)} {units}"


def written_width(width: float, units: str) -> str:
    """A cutter's width [mm] as a maker would write it: exactly, in the other unit where it was made in that."""
    steps = width * 64.0 / 25.4
    if units == "mm":
        return f"{width:g}"
    return written(width, units) if abs(steps - round(steps)) < 0.02 else f"{width:g} mm"


def say_angle(angle: float) -> str:
    """An angle [rad] in degrees to a tenth."""
    return f"{math.degrees(angle):.1f} degrees"


def say_share(share: float) -> str:
    """A ratio as a percentage."""
    return f"{100.0 * share:.0f} %"


def cite(rule_id: str) -> str:
    """The source of a joint rule with its marks, for a trace or a finding."""
    rule = joint_rule(rule_id)
    numbers = "" if rule.number_mark is rule.source.mark else f"; its numbers: {rule.number_mark.value}"
    return f"{rule.source}{numbers}"


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
        """The word nearest to a direction."""
        words = ("left", "right", "front", "back", "top", "bottom")
        return max(words, key=lambda word: _along(self.towards(word), direction))


def _along(a: Vec3 | None, b: Vec3) -> float:
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2] if a else -2.0


def compass_of(draft: DraftPiece, low: Vec3, high: Vec3) -> Compass:
    """The piece's compass; `low` and `high` are the corners of the box round all its parts."""
    deep = draft.middle if draft.middle is not None else (low[1] + high[1]) / 2.0
    return Compass(
        hands=draft.hands,
        middle=(0.0, deep, (low[2] + high[2]) / 2.0),
        units=draft.units,
        inside=draft.face_marks == "inside",
    )
