"""The best cutting of one board for given worths of its parts: crosscut sections, strips, parts end to end.

Exact on the grid of chalk marks for sections of the lengths offered, defects and taper included, when parts may
be cut any number of times.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from batchwright.planning.lumber.tables import Floats, Ints, Tables, strip_parts


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """A board in steps: its trimmed length, its width at each step, and the places to keep clear of.

    A blocked place (left, right, low, high) is hit by what starts before `right` and ends after `left`.
    """

    length: int
    height: Ints
    """Width in steps at each step along; shape (length + 1,)."""
    blocked: tuple[tuple[int, int, int, int], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Strand:
    """A strip of a section: where it lies across, its width number, and its pieces with where they start."""

    low: int
    width: int
    parts: tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """A section: where it starts, its length, its worth and its strips."""

    start: int
    length: int
    value: float
    strands: tuple[Strand, ...]


def price_board(bar: Bar, tables: Tables, taken: tuple[tuple[int, int], ...] = ()) -> tuple[float, tuple[Cut, ...]]:
    """The best worth of a board and how it is cut; `taken` are stretches that are spoken for."""
    lengths = tables.lengths
    rows = [_row(bar, tables, number, taken) for number in range(len(lengths))]
    _value_touched(bar, tables, rows)
    values = [row.values.tolist() for row in rows]
    best = [0.0] * (bar.length + 1)
    chosen = [-1] * (bar.length + 1)
    pairs = list(zip(range(len(lengths)), lengths, values, strict=True))
    for at in range(1, bar.length + 1):
        top, which = best[at - 1], -1
        for number, length, row in pairs:
            if length > at:
                break
            tried = best[at - length] + row[at - length]
            if tried > top + 1e-12:
                top, which = tried, number
        best[at], chosen[at] = top, which
    return best[bar.length], _trace(bar, tables, chosen, values)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Row:
    """Sections of one length, by where they start: worth (known, or at least), most worth, and room across."""

    values: Floats
    most: Floats
    room: Ints
    touched: Ints
    """Starts of sections that a defect touches."""


def _row(bar: Bar, tables: Tables, number: int, taken: tuple[tuple[int, int], ...]) -> _Row:
    length = tables.lengths[number]
    count = bar.length - length + 1
    if count <= 0:
        none = np.zeros(0)
        return _Row(values=none, most=none, room=none.astype(np.int64), touched=none.astype(np.int64))
    room = np.minimum(bar.height[:count], bar.height[length:])
    room = np.maximum(room, 0)
    most = tables.section[room, number]
    starts = np.arange(count)
    hit = np.zeros(count, dtype=bool)
    for left, right, _, _ in bar.blocked:
        hit |= (starts < right) & (starts + length > left)
    for left, right in taken:
        gone = (starts < right) & (starts + length > left)
        most = np.where(gone, 0.0, most)
        hit &= ~gone
    values = most.copy()
    for start in np.flatnonzero(hit):
        values[start] = _beside_defects(bar, tables, number, int(start), int(room[start]))
    return _Row(values=values, most=most, room=room, touched=np.flatnonzero(hit))


def _touching(bar: Bar, start: int, end: int) -> list[tuple[int, int, int, int]]:
    return [each for each in bar.blocked if start < each[1] and end > each[0]]


def _beside_defects(bar: Bar, tables: Tables, number: int, start: int, room: int) -> float:
    """Worth of a section when whole bands beside its defects are used only: quick, and never too much."""
    value, low = 0.0, 0
    for _, _, bottom, top in sorted(_touching(bar, start, start + tables.lengths[number]), key=lambda each: each[2]):
        if bottom > low:
            value += float(tables.section[min(bottom, room) - low, number]) if min(bottom, room) > low else 0.0
        low = max(low, top, bottom)
    return value + (float(tables.section[room - low, number]) if room > low else 0.0)


def _value_touched(bar: Bar, tables: Tables, rows: list[_Row]) -> None:
    """Values the sections that touch a defect exactly, where they could be part of a best cutting."""
    if not any(row.touched.size for row in rows):
        return
    lengths = tables.lengths
    sure = _forward(bar.length, lengths, [row.values for row in rows])[-1]
    ahead = _forward(bar.length, lengths, [row.most for row in rows])
    behind = _forward(bar.length, lengths, [row.most[::-1] for row in rows])[::-1]
    for number, row in enumerate(rows):
        starts = row.touched
        if not starts.size:
            continue
        hope = ahead[starts] + row.most[starts] + behind[starts + lengths[number]]
        for start in starts[hope > sure + 1e-9]:
            column, _ = _across(bar, tables, number, int(start), int(row.room[start]))
            row.values[start] = column[-1]


def _forward(length: int, lengths: tuple[int, ...], rows: list[Floats]) -> Floats:
    values = [row.tolist() for row in rows]
    best = [0.0] * (length + 1)
    pairs = list(zip(lengths, values, strict=True))
    for at in range(1, length + 1):
        top = best[at - 1]
        for each, row in pairs:
            if each > at:
                break
            tried = best[at - each] + row[at - each]
            if tried > top:
                top = tried
        best[at] = top
    return np.array(best)


def _across(bar: Bar, tables: Tables, number: int, start: int, room: int) -> tuple[list[float], list[int]]:
    """Best worth of strips stacked across a section over defects, for each height; and the strip put last."""
    length = tables.lengths[number]
    hits = _touching(bar, start, start + length)
    worth = [_strip_worth(tables, width, (start, start + length), room, hits) for width in range(len(tables.widths))]
    best = [0.0] * (room + 1)
    chosen = [-1] * (room + 1)
    pairs = list(zip(range(len(worth)), tables.widths, worth, strict=True))
    for at in range(1, room + 1):
        top, which = best[at - 1], -1
        for index, width, row in pairs:
            if width > at:
                break
            tried = best[at - width] + row[at - width]
            if tried > top + 1e-12:
                top, which = tried, index
        best[at], chosen[at] = top, which
    return best, chosen


def _strip_worth(
    tables: Tables, width: int, span: tuple[int, int], room: int, hits: list[tuple[int, int, int, int]]
) -> list[float]:
    """Worth of a strip by where it lies across."""
    size = tables.widths[width]
    count = room - size + 1
    if count <= 0:
        return []
    column = tables.strip[:, width]
    worth = [float(column[span[1] - span[0]])] * count
    edges = {0, count}
    for _, _, low, high in hits:
        edges |= {min(max(low - size + 1, 0), count), min(max(high, 0), count)}
    ordered = sorted(edges)
    for low, high in zip(ordered, ordered[1:], strict=False):
        over = [each for each in hits if low < each[3] and low + size > each[2]]
        if over:
            worth[low:high] = [sum(float(column[b - a]) for a, b in _gaps(span, over))] * (high - low)
    return worth


def _gaps(span: tuple[int, int], over: list[tuple[int, int, int, int]]) -> list[tuple[int, int]]:
    """Clear stretches of a strip between the defects it runs over."""
    gaps, at = [], span[0]
    for left, right, _, _ in sorted(over):
        if left > at:
            gaps.append((at, min(left, span[1])))
        at = max(at, right, left)
    if at < span[1]:
        gaps.append((at, span[1]))
    return gaps


def _trace(bar: Bar, tables: Tables, chosen: list[int], values: list[list[float]]) -> tuple[Cut, ...]:
    cuts: list[Cut] = []
    at = bar.length
    while at > 0:
        number = chosen[at]
        if number < 0:
            at -= 1
            continue
        at -= tables.lengths[number]
        cuts.append(_cut(bar, tables, number, at, values[number][at]))
    return tuple(reversed(cuts))


def _cut(bar: Bar, tables: Tables, number: int, start: int, value: float) -> Cut:
    length = tables.lengths[number]
    end = start + length
    room = int(min(bar.height[start], bar.height[end]))
    hits = _touching(bar, start, end)
    clear = tables.section_choice[: room + 1, number].tolist()
    chosen = _across(bar, tables, number, start, room)[1] if hits else clear
    strands = []
    at = room
    while at > 0:
        width = chosen[at]
        if width < 0:
            at -= 1
            continue
        at -= tables.widths[width]
        over = [each for each in hits if at < each[3] and at + tables.widths[width] > each[2]]
        parts = [part for a, b in _gaps((start, end), over) for part in strip_parts(tables, width, a, b)]
        strands.append(Strand(low=at, width=width, parts=tuple(parts)))
    return Cut(start=start, length=length, value=value, strands=tuple(reversed(strands)))
