"""Numbers that look like chance but follow from a seed alone, alike on every machine."""

from __future__ import annotations

from collections.abc import Sequence

_MASK = (1 << 64) - 1


class Dice:
    """A 64-bit mixing generator (Steele, Lea, Flood: Fast splittable pseudorandom number generators, 2014)."""

    def __init__(self, seed: int) -> None:
        self._state = seed & _MASK

    def _next(self) -> int:
        self._state = (self._state + 0x9E3779B97F4A7C15) & _MASK
        mixed = self._state
        mixed = ((mixed ^ (mixed >> 30)) * 0xBF58476D1CE4E5B9) & _MASK
        mixed = ((mixed ^ (mixed >> 27)) * 0x94D049BB133111EB) & _MASK
        return mixed ^ (mixed >> 31)

    def share(self) -> float:
        """A number from 0 up to 1."""
        return self._next() / 2.0**64

    def below(self, count: int) -> int:
        """A whole number from 0 up to `count`, which must be above 0."""
        return self._next() % count

    def pick(self, things: Sequence[int]) -> int:
        """One of some numbers."""
        return things[self.below(len(things))]
