"""Strokes joined end to end into loops: the one closed loop of an outline, or in words what was found instead."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from batchwright.design.outlines.strokes import Stroke, counted
from batchwright.geometry.curve import bounds, reversed_path
from batchwright.geometry.frame import Vec2
from batchwright.geometry.segment import Arc, Cubic, Line, Path, Segment, apart, point_at

CLOSE = 0.05
"""Gaps up to this are closed [mm]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Joined:
    """Strokes joined: closed loops, chains that stay open, places where more than two ends meet; the gaps that were
    closed and how many strokes lay on one another. Lengths in the file's units."""

    loops: tuple[Path, ...]
    chains: tuple[Path, ...]
    forks: tuple[Vec2, ...]
    gaps: tuple[float, ...]
    doubled: int


def joined(strokes: Sequence[Stroke], unit: float) -> Joined:
    """All strokes end to end; `unit` is millimetres in one unit of the file."""
    close = CLOSE / unit
    paths, doubled = _once([path for stroke in strokes if (path := _whole(stroke.path, close))], close)
    loops = [path for path in paths if _closed(path, close)]
    rest = [path for path in paths if not _closed(path, close)]
    places = _places(rest, close)
    meeting: dict[int, list[int]] = {}
    for number, pair in enumerate(places):
        for place in pair:
            meeting.setdefault(place, []).append(number)
    forks = tuple(_end_at(rest, places, place) for place, ends in meeting.items() if len(ends) > 2)
    chains: list[Path] = []
    for chain in _chains(rest, places, meeting):
        (loops if _closed(chain, close) else chains).append(chain)
    every = [_snapped(loop) for loop in loops]
    gaps = tuple(gap for _, found in every for gap in found)
    return Joined(loops=tuple(loop for loop, _ in every), chains=tuple(chains), forks=forks, gaps=gaps, doubled=doubled)


def _whole(path: Path, close: float) -> Path:
    """A stroke without pieces that have no length."""
    return tuple(s for s in path if apart(s.start, s.end) > 1e-9 or apart(s.start, point_at(s, 0.5)) > close / 10.0)


def _closed(path: Path, close: float) -> bool:
    return apart(path[0].start, path[-1].end) <= close and (len(path) > 1 or apart(path[0].start, _half(path)) > close)


def _half(path: Path) -> Vec2:
    """A point of the path that its other direction shares."""
    if len(path) % 2 == 0:
        return path[len(path) // 2].start
    return point_at(path[len(path) // 2], 0.5)


def _once(paths: list[Path], close: float) -> tuple[list[Path], int]:
    """Strokes drawn twice on one another are one."""
    kept: list[Path] = []
    for path in paths:
        if not any(_same(path, other, close) for other in kept if len(other) == len(path)):
            kept.append(path)
    return kept, len(paths) - len(kept)


def _same(one: Path, two: Path, close: float) -> bool:
    ends, others = (one[0].start, one[-1].end), (two[0].start, two[-1].end)
    straight = apart(ends[0], others[0]) <= close and apart(ends[1], others[1]) <= close
    back = apart(ends[0], others[1]) <= close and apart(ends[1], others[0]) <= close
    if not (straight or back) or apart(_half(one), _half(two)) > close:
        return False
    return all(abs(a - b) <= close for a, b in zip(bounds(one), bounds(two)))


def _places(paths: Sequence[Path], close: float) -> list[tuple[int, int]]:
    """For each path the numbers of the places where its two ends lie; ends within a gap share a place."""
    ends = np.array([end for path in paths for end in (path[0].start, path[-1].end)]).reshape(-1, 2)
    place = list(range(len(ends)))

    def head(i: int) -> int:
        while place[i] != i:
            i = place[i]
        return i

    for i in range(len(ends)):
        for j in np.nonzero(np.hypot(*(ends[i + 1 :] - ends[i]).T) <= close)[0] + i + 1:
            place[head(int(j))] = head(i)
    return [(head(2 * n), head(2 * n + 1)) for n in range(len(paths))]


def _end_at(paths: Sequence[Path], places: Sequence[tuple[int, int]], place: int) -> Vec2:
    number = next(n for n, pair in enumerate(places) if place in pair)
    return paths[number][0].start if places[number][0] == place else paths[number][-1].end


def _chains(paths: Sequence[Path], places: Sequence[tuple[int, int]], meeting: dict[int, list[int]]) -> list[Path]:
    """Paths joined where just two ends meet: from every open end first, then round the loops."""
    left = set(range(len(paths)))
    starts = [n for n in range(len(paths)) if any(len(meeting[place]) != 2 for place in places[n])]
    found = []
    for number in (*starts, *range(len(paths))):
        if number in left:
            found.append(_walk(number, paths, places, (meeting, left)))
    return found


def _walk(
    number: int, paths: Sequence[Path], places: Sequence[tuple[int, int]], state: tuple[dict[int, list[int]], set[int]]
) -> Path:
    meeting, left = state
    path = paths[number]
    first, at = places[number]
    if len(meeting[at]) != 2 and len(meeting[first]) == 2:
        path, at = reversed_path(path), first
    left.discard(number)
    while len(meeting[at]) == 2:
        following = [n for n in meeting[at] if n in left]
        if not following:
            break
        number = following[0]
        left.discard(number)
        start, end = places[number]
        path, at = (path + paths[number], end) if start == at else (path + reversed_path(paths[number]), start)
    return path


def _snapped(loop: Path) -> tuple[Path, list[float]]:
    """A loop whose segments begin exactly where the one before ends; and the gaps that were closed."""
    gaps = []
    done: list[Segment] = []
    before = loop[-1].end
    for segment in loop:
        if (gap := apart(before, segment.start)) > 0.0:
            segment = _begun(segment, before)
            gaps += [gap] if gap > 1e-6 else []
        done.append(segment)
        before = segment.end
    return tuple(done), gaps


def _begun(segment: Segment, start: Vec2) -> Segment:
    if isinstance(segment, Line):
        return Line(start, segment.end, segment.name)
    if isinstance(segment, Arc):
        return Arc(start, segment.middle, segment.end, segment.name)
    by = (start[0] - segment.start[0], start[1] - segment.start[1])
    first = (segment.first[0] + by[0], segment.first[1] + by[1])
    return Cubic(start, first, segment.second, segment.end, segment.name)


def point_words(points: Sequence[Vec2], most: int = 4) -> str:
    """`(12, 40) and (80, 40)`: places in the file's own coordinates."""
    told = [f"({u:.6g}, {v:.6g})" for u, v in points[:most]]
    more = f" and {len(points) - most} more" if len(points) > most else ""
    return (
        ", ".join(told[:-1])
        + (" and " if len(told) > 1 and not more else ", " if len(told) > 1 else "")
        + (told[-1] if told else "")
        + more
    )


def loop_words(loops: Sequence[Path], unit: float) -> str:
    """`40 x 25 mm, 12 x 12 mm`: how large each loop is."""
    told = []
    for loop in loops[:5]:
        u0, v0, u1, v1 = bounds(loop)
        told.append(f"{(u1 - u0) * unit:.1f} x {(v1 - v0) * unit:.1f} mm")
    return ", ".join(told) + (f" and {len(loops) - 5} more" if len(loops) > 5 else "")


def open_ends(chains: Sequence[Path]) -> tuple[Vec2, ...]:
    """The ends of all open chains."""
    return tuple(end for chain in chains for end in (chain[0].start, chain[-1].end))


def kinds_of(strokes: Sequence[Stroke]) -> str:
    """`3 lines, 1 arc`."""
    return counted(stroke.kind for stroke in strokes)
