"""Pieces of lines made into a drawing: nothing drawn twice, pieces strung into polylines, no short ticks."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np

from batchwright.geometry.frame import Array, Vec2

Group = tuple[int, int, bool, bool]
"""Owner, kind, visible, arris."""

TICK = 0.3
"""Polylines shorter than this are left out [mm]."""

SILHOUETTE_TICK = 1.0
"""The same where a curved surface turns away: there the facets of the mesh can make short strays [mm]."""


@dataclass(frozen=True, slots=True)
class Piece:
    """A straight piece on paper, how near the viewer it lies, and the group it is drawn with."""

    start: Vec2
    end: Vec2
    depth: float
    group: Group


def without_doubles(pieces: Iterable[Piece]) -> list[Piece]:
    """What is left when a stretch under another one is not drawn again: visible before hidden, near before far."""
    on_line: dict[tuple[int, int, int], list[Piece]] = defaultdict(list)
    for piece in pieces:
        on_line[_line_key(piece)].append(piece)
    found: list[Piece] = []
    for group in on_line.values():
        found += group if len(group) == 1 else _first_come(group)
    return found


def _line_key(piece: Piece) -> tuple[int, int, int]:
    """Pieces on the same straight line share a key: its direction, and how far it passes from the origin."""
    (x0, y0), (x1, y1) = piece.start, piece.end
    dx, dy = x1 - x0, y1 - y0
    length = math.hypot(dx, dy)
    dx, dy = dx / length, dy / length
    if dx < -1e-9 or (abs(dx) <= 1e-9 and dy < 0.0):
        dx, dy = -dx, -dy
    offset = x0 * dy - y0 * dx
    return (round(dx * 4093.7 + 0.217), round(dy * 4093.7 + 0.217), round(offset / 0.0317 + 0.217))


def _first_come(group: list[Piece]) -> list[Piece]:
    (x0, y0), (x1, y1) = group[0].start, group[0].end
    length = math.hypot(x1 - x0, y1 - y0)
    way = ((x1 - x0) / length, (y1 - y0) / length)

    def along(point: Vec2) -> float:
        return (point[0] - x0) * way[0] + (point[1] - y0) * way[1]

    taken: list[tuple[float, float]] = []
    found = []
    for piece in sorted(
        group, key=lambda p: (not p.group[2], -round(p.depth, 3), not p.group[3], p.group[0])
    ):
        s, e = along(piece.start), along(piece.end)
        low, high = min(s, e), max(s, e)
        for a, b in _free(low, high, taken):
            if b - a > 0.02:
                ends = [_between(piece, (s, e), t) for t in ((a, b) if e > s else (b, a))]
                found.append(Piece(ends[0], ends[1], piece.depth, piece.group))
        taken.append((low, high))
    return found


def _between(piece: Piece, ends: tuple[float, float], at: float) -> Vec2:
    if at == ends[0]:
        return piece.start
    if at == ends[1]:
        return piece.end
    t = (at - ends[0]) / (ends[1] - ends[0])
    (x0, y0), (x1, y1) = piece.start, piece.end
    return (x0 + t * (x1 - x0), y0 + t * (y1 - y0))


def _free(low: float, high: float, taken: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """Stretches of low..high that none of the taken stretches covers."""
    free = [(low, high)]
    for a, b in taken:
        if a < high and b > low:
            free = [
                part for x, y in free for part in ((x, min(y, a)), (max(x, b), y)) if part[1] - part[0] > 1e-9
            ]
    return free


def polylines(pieces: Iterable[Piece]) -> Iterator[tuple[Group, Array]]:
    """Pieces of one group strung together where exactly two meet, straight runs simplified, ticks left out."""
    by_group: dict[Group, list[Piece]] = defaultdict(list)
    for piece in pieces:
        by_group[piece.group].append(piece)
    for group in sorted(by_group):
        least = TICK if group[3] else SILHOUETTE_TICK
        for points in _strung(by_group[group]):
            line = _simplified(np.array(points))
            if float(np.linalg.norm(np.diff(line, axis=0), axis=1).sum()) >= least:
                yield group, line


def _node(point: Vec2) -> tuple[int, int]:
    return (round(point[0] * 200.0 + 0.17), round(point[1] * 200.0 + 0.17))


def _strung(pieces: list[Piece]) -> Iterator[list[Vec2]]:
    at: dict[tuple[int, int], list[int]] = defaultdict(list)
    for number, piece in enumerate(pieces):
        at[_node(piece.start)].append(number)
        at[_node(piece.end)].append(number)
    used = [False] * len(pieces)
    for number, piece in enumerate(pieces):
        if used[number]:
            continue
        used[number] = True
        forward = _followed(piece.end, pieces, (at, used))
        backward = _followed(piece.start, pieces, (at, used))
        yield [*reversed(backward), piece.start, piece.end, *forward]


_Net = tuple[dict[tuple[int, int], list[int]], list[bool]]


def _followed(point: Vec2, pieces: list[Piece], net: _Net) -> list[Vec2]:
    at, used = net
    found: list[Vec2] = []
    while True:
        node = _node(point)
        here = at[node]
        following = [number for number in here if not used[number]]
        if len(here) != 2 or len(following) != 1:
            return found
        used[following[0]] = True
        piece = pieces[following[0]]
        point = piece.end if _node(piece.start) == node else piece.start
        found.append(point)


def _simplified(points: Array) -> Array:
    """Points that lie on the straight line between their neighbours left out (within 0.002 mm)."""
    if len(points) < 3:
        return points
    before, here, after = points[:-2], points[1:-1], points[2:]
    way = after - before
    length = np.hypot(way[:, 0], way[:, 1])
    off = np.abs(way[:, 0] * (here[:, 1] - before[:, 1]) - way[:, 1] * (here[:, 0] - before[:, 0]))
    ahead = np.einsum("ij,ij->i", here - before, after - here) > 0.0
    drop = (off <= 0.002 * length) & ahead & (length > 0.0)
    # of two neighbours on one gentle curve only one goes
    drop[1:] &= ~(drop[:-1] & (off[1:] > 1e-6 * length[1:]))
    keep = np.concatenate([[True], ~drop, [True]])
    kept: Array = points[keep]
    return kept
