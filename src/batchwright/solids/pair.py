"""Two solids of one piece, seen from the first: what a mirrored pair, or one moved as a whole, has in common.

What two parts do to one another depends on their own shapes and on where the one stands as seen from the other. Worked
out there, and kept by that, it is found again for the other hand and for every copy, and it is the same number however
often the piece has been made before: both ways go through the same reckoning.
"""

from __future__ import annotations

from dataclasses import dataclass

from batchwright.geometry.frame import WORLD, Frame, Vec3
from batchwright.solids import kernel
from batchwright.solids.kernel import Body
from batchwright.solids.solid import Solid

PLACES = 9
"""Where the second stands, seen from the first, to a millionth of a micrometre."""
TURNS = 12
"""Direction cosines are rounded to this many decimals."""


@dataclass(frozen=True, slots=True)
class Pair:
    """Two solids in their own frames, and where the second one's frame stands in the first one's."""

    one: Solid
    two: Solid
    place: Frame

    @property
    def body(self) -> Body:
        """The second solid's body where it stands, in the first one's frame."""
        return kernel.moved(self.two.body, self.place.matrix())


def pair_of(a: Solid, b: Solid) -> tuple[Pair, Frame]:
    """Two solids of one piece as a pair, and the frame of the first in the piece."""
    one, here = a.stands or (a, WORLD)
    two, there = b.stands or (b, WORLD)
    return Pair(one, two, rounded(there.seen_from(here))), here


def rounded(place: Frame) -> Frame:
    """A place without arithmetic's dust."""
    return Frame(
        _rounded(place.origin, PLACES), _rounded(place.x, TURNS), _rounded(place.y, TURNS), _rounded(place.z, TURNS)
    )


def _rounded(values: Vec3, decimals: int) -> Vec3:
    x, y, z = (round(value, decimals) + 0.0 for value in values)
    return (x, y, z)
