"""Long straight parts drawn shorter: stretches where nothing is marked are left out between two break lines."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from batchwright.geometry.frame import Array, Vec2
from batchwright.sheets.scene.primitives import Item, Straight
from batchwright.sheets.scene.strokes import Stroke

BESIDE = 10.0
"""What is kept beside a joint or an end [mm on paper]."""
GAP = 4.0
"""Between the two break lines [mm on paper]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Broken:
    """Stretches left out, in order, as (low, high) along the part; `gap` is what is drawn for each [true mm]."""

    left_out: tuple[Vec2, ...] = ()
    gap: float = 0.0

    def __call__(self, x: float) -> float:
        """Where a place along the part is drawn [true mm]."""
        moved = x
        for low, high in self.left_out:
            if x >= high:
                moved -= high - low - self.gap
            elif x > low:
                moved -= (x - low) * (1.0 - self.gap / (high - low))
        return moved

    @property
    def kept(self) -> tuple[Vec2, ...]:
        """The stretches that are drawn, endless at both ends."""
        ends = [-1e9, *(value for stretch in self.left_out for value in stretch), 1e9]
        return tuple(zip(ends[::2], ends[1::2], strict=True))

    def chains(self, points: Array) -> list[Array]:
        """A chain of points (n, 2), x along the part, as what is left of it, moved; shape (m, 2) each."""
        if not self.left_out:
            return [points]
        out: list[Array] = []
        for low, high in self.kept:
            out += [np.column_stack([[self(x) for x in one[:, 0]], one[:, 1]]) for one in _clipped(points, low, high)]
        return out


def _clipped(points: Array, low: float, high: float) -> list[Array]:
    """The pieces of a chain between two places along the part."""
    chains: list[Array] = []
    current: list[Array] = []
    for a, b in zip(points, points[1:], strict=False):
        piece = _segment(a, b, low, high)
        if piece is None:
            continue
        if not current or np.abs(current[-1] - piece[0]).max() > 1e-9:
            if len(current) > 1:
                chains.append(np.array(current))
            current = [piece[0]]
        current.append(piece[1])
    if len(current) > 1:
        chains.append(np.array(current))
    return chains


def _segment(a: Array, b: Array, low: float, high: float) -> tuple[Array, Array] | None:
    run = b[0] - a[0]
    if abs(run) < 1e-12:
        return (a, b) if low < a[0] < high else None
    first, last = sorted(((low - a[0]) / run, (high - a[0]) / run))
    first, last = max(first, 0.0), min(last, 1.0)
    return (a + first * (b - a), a + last * (b - a)) if first < last else None


def broken(length: float, marks: Iterable[Vec2], scale: float, room: float) -> Broken | None:
    """What to leave out so that a part of this length fits `room` [mm on paper] at a scale; None if it cannot.

    `marks` are the stretches (low, high) along the part that something is cut in [true mm].
    """
    need = length - room / scale
    if need <= 0.0:
        return Broken()
    free = [stretch for stretch in _free(length, marks, BESIDE / scale) if stretch[1] - stretch[0] > 3 * GAP / scale]
    gap = GAP / scale
    for count in range(1, len(free) + 1):
        chosen = sorted(free, key=lambda one: one[0] - one[1])[:count]
        spare = sum(high - low - gap for low, high in chosen) - need
        if spare >= 0.0:
            return Broken(left_out=tuple(sorted(_narrowed(chosen, spare, gap))), gap=gap)
    return None


def _narrowed(chosen: list[Vec2], spare: float, gap: float) -> list[Vec2]:
    """No more left out than must be: what is spared is shared by size."""
    whole = sum(high - low - gap for low, high in chosen)
    out = []
    for low, high in chosen:
        back = spare * (high - low - gap) / whole / 2.0
        out.append((low + back, high - back))
    return out


def _free(length: float, marks: Iterable[Vec2], beside: float) -> list[Vec2]:
    free: list[Vec2] = []
    reached = beside
    for low, high in sorted(marks):
        if low - beside > reached:
            free.append((reached, low - beside))
        reached = max(reached, high + beside)
    if length - beside > reached:
        free.append((reached, length - beside))
    return free


def break_lines(cut: Broken, run: float, across: Vec2, scale: float) -> list[Item]:
    """Two zigzag lines for each stretch left out; `run` is the way x lies on paper, `across` from which y to which."""
    items: list[Item] = []
    for low, high in cut.left_out:
        for x in (cut(low), cut(high)):
            items += _zigzag(run * x, across[0] - 1.5 / scale, across[1] + 1.5 / scale, 1.2 / scale)
    return items


def _zigzag(x: float, low: float, high: float, reach: float) -> list[Item]:
    middle = (low + high) / 2.0
    places = ((x, low), (x, middle - reach), (x + reach, middle - reach / 2), (x - reach, middle + reach / 2))
    points = (*places, (x, middle + reach), (x, high))
    return [Straight(start=a, end=b, stroke=Stroke.DIMENSION) for a, b in zip(points, points[1:], strict=False)]
