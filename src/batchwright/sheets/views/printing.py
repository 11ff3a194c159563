"""How numbers and names are put on this packet's sheets: one unit, one rounding, one numbering."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from batchwright.base.length import INCH, Unit, print_length, read_length
from batchwright.base.misread import Misread
from batchwright.handbook.fasteners import screw_diameter
from batchwright.handbook.species import find_species
from batchwright.model.draft import Hands
from batchwright.model.piece import KindId
from batchwright.model.work import Hardware

BOARD_FOOT = 144.0 * 25.4**3
"""One board foot [mm^3]: 144 cubic inches."""
NO_BREAK = "\u00a0"
INCH_SCREW = re.compile(r"no\s*(?P<gauge>\d+)\s*x\s*(?P<long>\d+(?:[ -]\d+/\d+)?|\d+/\d+|\d*\.\d+) in\b")
"""`no 8 x 1 7/8 in`: a screw by gauge number and length."""
SQUARE = math.radians(0.05)
"""Less lean than this prints as square [rad]."""


def wood_name(key: str) -> str:
    """A wood's common name, in running text."""
    return named.name.lower() if (named := find_species(key)) else key


@dataclass(frozen=True, slots=True, kw_only=True)
class Printing:
    """The house of one packet's numbers. `numbers` and `totals` are by kind, the same on every sheet."""

    unit: Unit
    hands: Hands
    numbers: dict[KindId, int]
    totals: dict[KindId, int]
    step: int = 32
    currency: str = "$"

    def length(self, value: float) -> str:
        """A length [mm] without its unit, to the sheet's rounding."""
        return print_length(value, self.unit, self.step)

    def signed(self, value: float) -> str:
        """A length [mm] on either side of a datum: before it with a minus."""
        shown = self.length(abs(value))
        return f"−{shown}" if value < 0.0 and shown != self.length(0.0) else shown

    def length_unit(self, value: float) -> str:
        """A length [mm] with its unit, for running text."""
        return f"{self.length(value)} {self.unit.value}"

    def heavy_light(self, value: float) -> str:
        """A length [mm] with + or - where the true one is heavier or lighter by over a quarter of the rounding."""
        return print_length(value, self.unit, self.step, mark=True)

    def pair(self, low: float, high: float) -> str:
        """From and to: `4 1/2 to 6`; one number where both are the same on paper."""
        first, last = self.length(low), self.length(high)
        return first if first == last else f"{first} to {last}"

    def block(self, *sizes: float) -> str:
        """Sizes joined by ×, each kept whole: `24 × 1 7/8 × 3/4`."""
        return f" ×{NO_BREAK}".join(self.length(size) for size in sizes)

    def fine(self, value: float) -> str:
        """A small gap [mm] with its unit: under a thirty-second, in thousandths of an inch; or tenths of a mm."""
        if self.unit is Unit.MILLIMETRES:
            return f"{value:.1f} mm"
        return f"{value / INCH:.3f} in" if abs(value) < INCH / 34.0 else f"{self.length(value)} in"

    def beside(self, value: float, limit: float) -> tuple[str, str]:
        """Two lengths [mm] as finely as it takes to tell them apart, rounding never hiding which is the less."""
        for step in (self.step, 2 * self.step):
            shown = (print_length(value, self.unit, step, mark=True), print_length(limit, self.unit, step))
            if shown[0].rstrip("+-") != shown[1]:
                return shown
        per = 1.0 if self.unit is Unit.MILLIMETRES else INCH
        for digits in (2, 3, 4):
            shown = (f"{value / per:.{digits}f}", f"{limit / per:.{digits}f}")
            if shown[0] != shown[1]:
                break
        return shown

    def bevel(self, lean: float) -> str:
        """A lean from square [rad] as a maker sets it: the lean with its sign, and the bevel's opening beneath 90°."""
        if abs(lean) < SQUARE:
            return "square"
        sign = "+" if lean > 0.0 else "−"
        degrees = abs(math.degrees(lean))
        return f"{sign}{degrees:.1f}° ({90.0 - degrees:.1f}°)"

    def angle(self, value: float) -> str:
        """An angle [rad] in degrees, to a tenth."""
        degrees = round(math.degrees(value), 1) + 0.0
        return f"{degrees:g}°"

    def volume(self, value: float) -> str:
        """A volume of lumber [mm^3]: board feet to a tenth on inch sheets, cubic metres to a litre on metric ones."""
        if self.unit is Unit.INCHES:
            return f"{value / BOARD_FOOT:.1f} bf"
        return f"{value / 1e9:.3f} m³"

    def money(self, value: float) -> str:
        """An amount of the shop's currency."""
        return f"{self.currency}{value:,.2f}"

    def wood(self, key: str) -> str:
        """The wood's common name, in running text."""
        return wood_name(key)

    def hardware(self, one: Hardware) -> str:
        """A thing to buy or make with its diameter and its other sizes, if it has any."""
        what = self.screws(one.what)
        told = [self.length(size) for size in ((one.diameter,) if one.diameter else ()) + one.sizes]
        if len(told) == 1:
            return f"{what}, {self.length_unit(one.diameter or one.sizes[0])}"
        return f"{what}, {' × '.join(told)}" if told else what

    def screws(self, words: str) -> str:
        """Words with every screw of inch size told in millimetres too, on sheets in millimetres: shank × length."""
        return words if self.unit is Unit.INCHES else INCH_SCREW.sub(self._in_millimetres, words)

    def _in_millimetres(self, found: re.Match[str]) -> str:
        length = read_length(f"{found['long']} in", Unit.INCHES)
        try:
            thick = screw_diameter(int(found["gauge"]))
        except ValueError:
            return found[0]
        return found[0] if isinstance(length, Misread) else f"{found[0]} ({thick:.1f} × {length:.0f} mm)"

    @staticmethod
    def slope(ratio: float) -> str:
        """A ratio as a slope: `1 in 10`."""
        return f"1 in {1.0 / ratio:g}" if ratio > 0.0 else "none"

    def number_of(self, kind: KindId) -> int:
        """The number of a kind, as on the cutting list."""
        return self.numbers[kind]

    def total_of(self, kind: KindId) -> int:
        """How many of a kind are made over the run, spares included."""
        return self.totals[kind]

    def hand_line(self) -> str:
        """What left and right mean in this packet."""
        if self.hands is Hands.AS_SEATED:
            return "left and right as seated"
        return "left and right as seen from the front"

    def units_line(self) -> str:
        """What the numbers are in."""
        if self.unit is Unit.INCHES:
            return f"inches, to 1/{self.step}"
        return "millimetres, to a half"

    @staticmethod
    def in_order(name: str) -> tuple[tuple[int, int | str], ...]:
        """A key that puts board 2 before board 10."""
        parts = re.split(r"(\d+)", name)
        return tuple((0, int(part)) if part.isdigit() else (1, part) for part in parts if part)
