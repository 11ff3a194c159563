"""Where the two coordinates of a point meet: each allows a line, a curve, or the middle of a part."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from batchwright.base.fault import Place
from batchwright.design.drawing.bodies import Body
from batchwright.design.drawing.views import Curved, Straight
from batchwright.design.text.mistake import Mistake, mistake
from batchwright.geometry.curve import bounds, crossings_with_line, path_at_coordinate
from batchwright.geometry.frame import Vec2
from batchwright.geometry.intersection import path_crossings


@dataclass(frozen=True, slots=True)
class Middle:
    """To the middle of a part along coordinate `slot`, by the other coordinate; None where it has no wood."""

    name: str
    slot: int
    at: Callable[[float], float | None]
    guess: Callable[[], Vec2]
    """A point near it, to begin a search from."""


@dataclass(frozen=True, slots=True)
class Free:
    """A part named where a coordinate in space is wanted."""

    name: str
    body: Body


Locus = Straight | Curved | Middle


def meet(first: Locus, second: Locus, place: Place) -> Vec2:
    """The one point that both coordinates allow. Raises Mistake where there is none, or more than one."""
    if isinstance(first, Middle):
        return _on_middle(first, second, place)
    if isinstance(second, Middle):
        return _on_middle(second, first, place)
    if isinstance(first, Straight) and isinstance(second, Straight):
        return _lines(first, second, place)
    if isinstance(first, Curved) and isinstance(second, Curved):
        found = [point for _, _, point in path_crossings(first.path, second.path)]
    else:
        curve, line = (first, second) if isinstance(first, Curved) else (second, first)
        assert isinstance(curve, Curved) and isinstance(line, Straight)
        found = [point for _, _, point in crossings_with_line(curve.path, line.point, line.direction)]
    if len(found) == 1:
        return found[0]
    raise _not_once(len(found), place)


def _not_once(count: int, place: Place) -> Mistake:
    if count:
        return mistake(
            "curve-met-twice",
            place,
            f"the two coordinates meet in {count} points.",
            "give one of them as a number",
            "a point needs one place",
        )
    return mistake(
        "off-the-curve",
        place,
        "the two coordinates do not meet: the curve ends before it gets there.",
        "carry the curve on by another point, or give a value between its ends",
        "a curve ends where it ends",
    )


def _lines(a: Straight, b: Straight, place: Place) -> Vec2:
    det = a.direction[0] * b.direction[1] - a.direction[1] * b.direction[0]
    if abs(det) < 1e-9:
        raise mistake(
            "coordinates-run-alongside",
            place,
            "the two coordinates run alongside each other and never meet.",
            "give one of them as a number along the other direction",
            "two lines that run the same way do not fix a point",
        )
    du, dv = b.point[0] - a.point[0], b.point[1] - a.point[1]
    t = (du * b.direction[1] - dv * b.direction[0]) / det
    return (a.point[0] + t * a.direction[0], a.point[1] + t * a.direction[1])


def _on_middle(middle: Middle, other: Locus, place: Place) -> Vec2:
    """The point of a locus that lies in the middle of a part: a secant search on the other coordinate."""
    slot = middle.slot

    def step(v: float) -> float:
        """From the other coordinate to the middle there, and on the locus back to the other coordinate."""
        u = _middle_value(middle, v, place)
        return _other_value(other, slot, u, v, place)

    if isinstance(other, Straight) and abs(other.direction[1 - slot]) < 1e-12:
        at = other.point[1 - slot]
    else:
        at = _solved(step, middle.guess()[1 - slot], place)
    u = _middle_value(middle, at, place)
    if isinstance(other, Curved):
        box = bounds(other.path)
        if not box[slot] - 1e-6 <= u <= box[slot + 2] + 1e-6:
            raise _not_once(0, place)
    return (u, at) if slot == 0 else (at, u)


def _middle_value(middle: Middle, at: float, place: Place) -> float:
    u = middle.at(at)
    if u is None:
        raise mistake(
            "part-not-there",
            place,
            f"`{middle.name}` has no wood at this level: there is no middle to go to.",
            f"draw `{middle.name}` so that it reaches here, or give a number",
        )
    return u


def _other_value(locus: Locus, slot: int, u: float, near: float, place: Place) -> float:
    """The other coordinate of a locus where coordinate `slot` is u."""
    if isinstance(locus, Middle):
        return _middle_value(locus, u, place)
    if isinstance(locus, Straight):
        if abs(locus.direction[slot]) < 1e-9:
            raise mistake(
                "coordinates-run-alongside",
                place,
                "the two coordinates run alongside each other and never meet.",
                "give one of them as a number along the other direction",
            )
        return locus.point[1 - slot] + locus.direction[1 - slot] * (u - locus.point[slot]) / locus.direction[slot]
    box = bounds(locus.path)
    inside = min(max(u, box[slot]), box[slot + 2])
    found = path_at_coordinate(locus.path, slot, inside)
    if not found:
        raise _not_once(0, place)
    return min((p[1 - slot] for p in found), key=lambda value: abs(value - near))


def _solved(step: Callable[[float], float], start: float, place: Place) -> float:
    a, fa = start, step(start) - start
    b = a + fa
    for _ in range(60):
        fb = step(b) - b
        if abs(fb) < 1e-10:
            return b
        slope = (fb - fa) / (b - a) if b != a else -1.0
        if not math.isfinite(slope) or abs(slope) < 1e-9:
            slope = -1.0
        a, fa, b = b, fb, b - fb / slope
    if abs(fa) < 1e-6:
        return a
    raise mistake(
        "no-crossing-found",
        place,
        "the line does not meet the middle of the part in one point.",
        "give one of the two coordinates as a number",
    )
