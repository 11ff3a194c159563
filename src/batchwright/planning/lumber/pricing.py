"""The best cutting of one board for given worths of its parts: crosscut sections, strips, parts end to end.

Exact on the grid of chalk marks for sections of the lengths offered, defects and taper included, when parts may
be cut any number of times.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from batchwright.planning.lumber.tables import Floats, Ints, Tables, strip_parts

Blocked = tuple[int, int, int, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """A board in steps: its trimmed length, its width at each step, and the places to keep clear of.

    A blocked place (left, right, low, high) is hit by what starts before `right` and ends after `left`.
    """

    length: int
    height: Ints
    """Width in steps at each step along; shape (length + 1,)."""
    blocked: tuple[Blocked, ...]
    stacks: dict[tuple[tuple[int, ...], int, tuple[Blocked, ...]], _Stack] = field(default_factory=dict, compare=False)
    """Ways to stack strips over defects, kept once worked out."""
    spans: dict[int, _Span] = field(default_factory=dict, compare=False)
    """Room across, and defects touched, by section length, kept once worked out."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Span:
    """Sections of one length along a board. Those that a defect touches, in order of their starts, are told apart in
    groups that have the same room across and touch the same defects."""

    room: Ints
    """Room across, by start; shape (starts,)."""
    starts: Ints
    """Starts of those touched; shape (touched,)."""
    group: Ints
    """The group of each; shape (touched,)."""
    bands: Ints
    """Whole bands beside the defects of each group, filled up with noughts; shape (groups, bands)."""
    gaps: Ints
    """Clear steps before and behind each defect of those touched, filled up with noughts; shape (touched, gaps)."""


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


def price_board(
    bar: Bar, tables: Tables, taken: tuple[tuple[int, int], ...] = (), looks: int | None = None
) -> tuple[float, tuple[Cut, ...]]:
    """The best worth of a board and how it is cut; `taken` are stretches that are spoken for.

    With `looks`, no more than so many different sections over defects are worked out to the last strip, the most
    promising first; the others count for the whole bands beside their defects, so the worth may be a little low.
    """
    rows = [_row(bar, tables, number, taken) for number in range(len(tables.lengths))]
    _value_touched(bar, tables, rows, looks)
    values = [row.values for row in rows]
    best = best_in_line(bar.length, tables.lengths, values)
    return float(best[-1]), _trace(bar, tables, best, values)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Row:
    """Sections of one length, by where they start: worth (known, or at least) and most worth."""

    values: Floats
    most: Floats
    span: _Span


def _row(bar: Bar, tables: Tables, number: int, taken: tuple[tuple[int, int], ...]) -> _Row:
    length = tables.lengths[number]
    span = _span(bar, length)
    column = tables.section[:, number]
    most = column[span.room]
    for left, right in taken:
        most[max(0, left - length + 1) : right] = 0.0
    values = most.copy()
    if len(span.starts):
        beside = column[span.bands].sum(axis=1)[span.group]
        values[span.starts] = np.where(most[span.starts] > 0.0, beside, 0.0)
    return _Row(values=values, most=most, span=span)


def _span(bar: Bar, length: int) -> _Span:
    """Sections of a length along a board; kept with the board."""
    known = bar.spans.get(length)
    if known is None:
        count = max(0, bar.length - length + 1)
        room = np.maximum(np.minimum(bar.height[:count], bar.height[length : length + count]), 0)
        near = {at for each in bar.blocked for at in range(max(0, each[0] - length + 1), min(count, each[1]))}
        known = bar.spans[length] = _grouped(bar, length, room, sorted(near))
    return known


def _grouped(bar: Bar, length: int, room: Ints, near: list[int]) -> _Span:
    groups: dict[tuple[int, tuple[Blocked, ...]], int] = {}
    group, gaps = [], []
    for at in near:
        hits = _touching(bar, at, at + length)
        group.append(groups.setdefault((int(room[at]), hits), len(groups)))
        gaps.append([max(0, gap) for hit in hits for gap in (hit[0] - at, at + length - hit[1])])
    return _Span(
        room=room,
        starts=np.array(near, dtype=np.int64),
        group=np.array(group, dtype=np.int64),
        bands=_filled_up([_bands(*each) for each in groups]),
        gaps=_filled_up(gaps),
    )


def _filled_up(rows: list[list[int]]) -> Ints:
    """Rows of different lengths as one array, noughts behind the shorter ones."""
    full = np.zeros((len(rows), max(map(len, rows), default=0)), dtype=np.int64)
    for number, row in enumerate(rows):
        full[number, : len(row)] = row
    return full


def _touching(bar: Bar, start: int, end: int) -> tuple[Blocked, ...]:
    return tuple(each for each in bar.blocked if start < each[1] and end > each[0])


def _bands(room: int, hits: tuple[Blocked, ...]) -> list[int]:
    """Widths of the whole bands beside a section's defects: to use these alone is quick, and never worth too much."""
    bands, low = [], 0
    for _, _, bottom, top in sorted(hits, key=lambda each: each[2]):
        if min(bottom, room) > low:
            bands.append(min(bottom, room) - low)
        low = max(low, top, bottom)
    return [*bands, room - low] if room > low else bands


def _value_touched(bar: Bar, tables: Tables, rows: list[_Row], looks: int | None) -> None:
    """Values the sections that touch a defect exactly, where they could be part of a best cutting."""
    touched = [number for number, row in enumerate(rows) if len(row.span.starts)]
    if not touched:
        return
    lengths = tables.lengths
    sure = best_in_line(bar.length, lengths, [row.values for row in rows])[-1]
    ahead = best_in_line(bar.length, lengths, [row.most for row in rows])
    behind = best_in_line(bar.length, lengths, [row.most[::-1] for row in rows])[::-1]
    groups: dict[tuple[int, int, bytes], list[int]] = {}
    hopes: dict[tuple[int, int, bytes], float] = {}
    for number in touched:
        row = rows[number]
        starts, most = row.span.starts, row.most[row.span.starts]
        hope = ahead[starts] + most + behind[starts + lengths[number]]
        worth_it = np.nonzero((hope > sure + 1e-9) & (most > row.values[starts]))[0]
        each = zip(starts[worth_it].tolist(), hope[worth_it].tolist(), _alike(tables, row.span, worth_it), strict=True)
        for start, hoped, (group, steps) in each:
            key = (number, group, steps)
            groups.setdefault(key, []).append(start)
            if hoped > hopes.get(key, 0.0):
                hopes[key] = hoped
    order = list(groups) if looks is None else sorted(groups, key=lambda key: -hopes[key])[:looks]
    for key in order:
        row, alike = rows[key[0]], groups[key]
        worth = _across(bar, tables, key[0], alike[0], int(row.span.room[alike[0]]))[0][-1]
        row.values[alike] = worth


def _alike(tables: Tables, span: _Span, chosen: Ints) -> list[tuple[int, bytes]]:
    """The same for sections over the same defects whose strips have the same worth before and behind each."""
    steps = np.ascontiguousarray(tables.plateau[span.gaps[chosen]])
    size = steps.shape[1] * steps.itemsize
    flat = steps.tobytes()
    marks = [flat[at : at + size] for at in range(0, len(flat), size)]
    return list(zip(span.group[chosen].tolist(), marks, strict=True))


def best_in_line(length: int, lengths: tuple[int, ...], rows: list[Floats]) -> Floats:
    """Best worth of sections one behind another up to each step; a stretch as long as the shortest at a time."""
    best = np.zeros(length + 1)
    shortest = max(1, lengths[0])
    for start in range(shortest, length + 1, shortest):
        end = min(start + shortest, length + 1)
        best[start:end] = best[start - 1]
        for each, row in zip(lengths, rows, strict=True):
            first = max(start, each)
            if first >= end:
                break
            part = slice(first - each, end - each)
            np.maximum(best[first:end], best[part] + row[part], out=best[first:end])
        np.maximum.accumulate(best[start:end], out=best[start:end])
    return best


def _across(bar: Bar, tables: Tables, number: int, start: int, room: int) -> tuple[list[float], list[int]]:
    """Best worth of strips stacked across a section over defects, for each height; and the strip put last."""
    length = tables.lengths[number]
    hits = _touching(bar, start, start + length)
    span = (start, start + length)
    clear = tables.strip[length].tolist()
    worth: dict[tuple[int, tuple[int, ...]], float] = {}
    best = [0.0] * (room + 1)
    chosen = [-1] * (room + 1)
    for low, high, width, over in _stacking(bar, tables.widths, room, hits):
        if width < 0:
            tried = best[low]
        elif not over:
            tried = best[low] + clear[width]
        else:
            known = worth.get((width, over))
            if known is None:
                gaps = _gaps(span, [hits[each] for each in over])
                known = worth[width, over] = sum(float(tables.strip[b - a, width]) for a, b in gaps)
            tried = best[low] + known
        if tried > best[high] + 1e-12 or (width < 0 and tried >= best[high]):
            best[high], chosen[high] = tried, width
    return best, chosen


_Stack = tuple[tuple[int, int, int, tuple[int, ...]], ...]


def _stacking(bar: Bar, widths: tuple[int, ...], room: int, hits: tuple[Blocked, ...]) -> _Stack:
    """Ways to go up a section over defects: (from, to, width number or -1 for leaving a gap, defects run over).

    Strips lie against the edge, against another strip, or against a defect's upper side: moved down as far as
    they go, no strip loses anything. Kept with the board, as the same defects are met by many sections.
    """
    key = (widths, room, hits)
    known = bar.stacks.get(key)
    if known is not None:
        return known
    marks = {0, room} | {max(0, high) for _, _, _, high in hits if high < room}
    queue = sorted(marks)
    while queue:
        at = queue.pop()
        fresh = {at + width for width in widths if at + width <= room} - marks
        marks |= fresh
        queue += sorted(fresh)
    ordered = sorted(marks)
    ways: list[tuple[int, int, int, tuple[int, ...]]] = []
    for at, above in zip(ordered, [*ordered[1:], room], strict=True):
        for index, width in enumerate(widths):
            if at + width <= room:
                over = tuple(each for each, hit in enumerate(hits) if at < hit[3] and at + width > hit[2])
                ways.append((at, at + width, index, over))
        if above > at:
            ways.append((at, above, -1, ()))
    result = bar.stacks[key] = tuple(ways)
    return result


def _gaps(span: tuple[int, int], over: list[Blocked]) -> list[tuple[int, int]]:
    """Clear stretches of a strip between the defects it runs over."""
    gaps, at = [], span[0]
    for left, right, _, _ in sorted(over):
        if left > at:
            gaps.append((at, min(left, span[1])))
        at = max(at, right, left)
    if at < span[1]:
        gaps.append((at, span[1]))
    return gaps


def _trace(bar: Bar, tables: Tables, best: Floats, values: list[Floats]) -> tuple[Cut, ...]:
    cuts: list[Cut] = []
    at = bar.length
    while best[at] > 0.0:
        at = int(np.searchsorted(best, best[at]))
        number, start = next(
            (number, at - length)
            for number, length in enumerate(tables.lengths)
            if length <= at and best[at - length] + values[number][at - length] == best[at]
        )
        cuts.append(_cut(bar, tables, number, start, float(values[number][start])))
        at = start
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
