"""Copies of a part and their names: left and right, front and back, one to so many; which copy a name means."""

from __future__ import annotations

from dataclasses import dataclass

from batchwright.geometry.frame import Plane
from batchwright.model.draft import Hand, Hands

PAIR, FRONT_AND_BACK, FOUR = "pair", "front and back", "four"
COUNTS = (PAIR, FRONT_AND_BACK, FOUR)

MOST_REPEATS = 200
"""Copies one repeat may make."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PartRef:
    """What a name says of a copy: the part, and the hand, depth and number where it says them."""

    part: str
    hand: str = ""
    depth: str = ""
    number: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Side:
    """Which of the mirrored copies one is."""

    hand: str = ""
    depth: str = ""

    def words(self) -> str:
        """`left back `, as it stands before the part's name."""
        return "".join(f"{word} " for word in (self.hand, self.depth) if word)


def sides_of(count: str) -> tuple[Side, ...]:
    """The copies a count makes, in the order of their names."""
    hands = ("left", "right") if count in (PAIR, FOUR) else ("",)
    depths = ("front", "back") if count in (FRONT_AND_BACK, FOUR) else ("",)
    return tuple(Side(hand=hand, depth=depth) for depth in depths for hand in hands)


def copy_names(part: str, count: str, repeated: bool) -> dict[str, PartRef]:
    """Every name that means this part or some of its copies; `left leg` of a four means both left ones."""
    hands = ("", "left", "right") if count in (PAIR, FOUR) else ("",)
    depths = ("", "front", "back") if count in (FRONT_AND_BACK, FOUR) else ("",)
    names = {
        f"{Side(hand=hand, depth=depth).words()}{part}": PartRef(part=part, hand=hand, depth=depth)
        for hand in hands
        for depth in depths
    }
    if not repeated:
        return names
    numbered = {
        f"{name} {n}": PartRef(part=part, hand=ref.hand, depth=ref.depth, number=n)
        for name, ref in names.items()
        for n in range(1, MOST_REPEATS + 1)
    }
    return names | numbered


def copy_name(part: str, side: Side, number: int) -> str:
    """`left back leg`, `back slat 3`, `top`."""
    return f"{side.words()}{part}" + (f" {number}" if number else "")


def hand_at(x: float, hands: Hands) -> str:
    """The hand of a part whose middle lies at x."""
    return "left" if (x > 0.0) == (hands is Hands.AS_SEATED) else "right"


def hand_of(word: str) -> Hand:
    """The record's hand for a word."""
    return Hand(word)


MIDDLE_X = Plane((0.0, 0.0, 0.0), (1.0, 0.0, 0.0))
"""A pair is mirrored in this plane."""


def middle_y(middle: float) -> Plane:
    """Front and back copies are mirrored in this plane."""
    return Plane((0.0, middle, 0.0), (0.0, 1.0, 0.0))
