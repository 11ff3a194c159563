"""What is asked of a solid with straight lines, in the solid's own frame: the same question for the left part and the
right one, wherever they stand.

Lines are rounded there before they are tried, and kept by what they were rounded to: cold or warm, an answer comes of
the same numbers.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np

from batchwright.geometry.frame import Array, Frame, Vec3
from batchwright.solids.kernel import Ints
from batchwright.solids.pair import rounded
from batchwright.solids.solid import Solid

PLACES, TURNS = 11, 13
"""Where lines begin is rounded to so many decimals of a millimetre, their direction cosines to so many."""
KEPT = 256
"""Solids whose axes are kept: those of a few revisions."""


@dataclass(frozen=True, slots=True)
class Asked:
    """Lines (origins (n, 3), ways (3,) or (n, 3)) sent at a solid in its own frame, and both as a key."""

    solid: Solid
    lines: tuple[Array, Array] = field(compare=False)
    key: tuple[bytes, bytes]


@dataclass(frozen=True, slots=True)
class AskedGrid:
    """A grid of lines along a frame's z, at every x of the first and every y of the second half of `grid`, sent at a
    solid in its own frame. turned: whether the frame's x and y look the other way than was asked, and so both rows of
    places run the other way."""

    solid: Solid
    frame: Frame
    turned: tuple[bool, bool] = field(compare=False)
    grid: tuple[Array, Array] = field(compare=False)
    key: tuple[bytes, bytes]

    @property
    def order(self) -> Ints:
        """Where each line as it was asked stands among the lines as they are sent, (n,)."""
        numbers = np.arange(len(self.grid[0]) * len(self.grid[1])).reshape(len(self.grid[0]), -1)
        numbers = numbers[::-1] if self.turned[0] else numbers
        return (numbers[:, ::-1] if self.turned[1] else numbers).ravel()


@lru_cache(maxsize=KEPT)
def _axes(solid: Solid) -> tuple[Array, Array] | None:
    """Where a solid's own frame stands, (3,), and its axes as columns, (3, 3); None for one made where it is."""
    if solid.stands is None:
        return None
    frame = solid.stands[1]
    return np.array(frame.origin), np.array([frame.x, frame.y, frame.z]).T


def asked_of(solid: Solid, origins: Array, ways: Array) -> Asked:
    """Lines in the world, sent at a solid where it stands, as a question in its own frame."""
    stands = _axes(solid)
    if stands is None or solid.stands is None:
        return Asked(solid, (origins, ways), (origins.tobytes(), ways.tobytes()))
    origins = np.round((origins - stands[0]) @ stands[1], PLACES) + 0.0
    ways = np.round(ways @ stands[1], TURNS) + 0.0
    return Asked(solid.stands[0], (origins, ways), (origins.tobytes(), ways.tobytes()))


def grid_of(solid: Solid, frame: Frame, grid: tuple[Array, Array]) -> AskedGrid:
    """The same for a grid: its frame turned so that a mirror image, and what lies end for end, is asked the same."""
    if solid.stands is None:
        return AskedGrid(solid, frame, (False, False), grid, (grid[0].tobytes(), grid[1].tobytes()))
    seen = rounded(frame.seen_from(solid.stands[1]))
    turned = (_looks_back(seen.x), _looks_back(seen.y))
    columns, rows = (_turned(np.round(each, PLACES), back) + 0.0 for each, back in zip(grid, turned))
    x, y = (_opposite(way) if back else way for way, back in zip((seen.x, seen.y), turned))
    plain = Frame(seen.origin, x, y, seen.z)
    return AskedGrid(solid.stands[0], plain, turned, (columns, rows), (columns.tobytes(), rows.tobytes()))


def _looks_back(way: Vec3) -> bool:
    """Whether a way is the opposite of the one that stands for both."""
    return max(way, key=abs) < 0.0


def _turned(places: Array, back: bool) -> Array:
    return -places[::-1] if back else places


def _opposite(way: Vec3) -> Vec3:
    return (0.0 - way[0], 0.0 - way[1], 0.0 - way[2])


def own_frame(solid: Solid, frame: Frame) -> tuple[Solid, Frame, bool]:
    """A solid in its own frame, and a frame in the world as seen from there: right-handed, so that a mirror image is
    asked what its other hand is. Whether its y was turned round for that."""
    if solid.stands is None:
        return solid, frame, False
    own, there = solid.stands
    seen = rounded(frame.seen_from(there))
    if not seen.mirrored:
        return own, seen, False
    return own, Frame(seen.origin, seen.x, _opposite(seen.y), seen.z), True
