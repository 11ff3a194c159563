"""Meshes with numbered faces: prisms of exact outlines, straight sticks, bars of a joint, half spaces."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from batchwright.geometry.curve import Line, Segment
from batchwright.geometry.flat import flatten
from batchwright.geometry.frame import Array, Frame, Plane, Vec3, cross, vec3
from batchwright.geometry.outline import Outline
from batchwright.geometry.segment import tangent_at
from batchwright.model.shape import Section, Station, Stick, Tool
from batchwright.solids import kernel
from batchwright.solids.kernel import Body, Ints
from batchwright.solids.solid import FaceBook

SMOOTH = math.cos(math.radians(1.0))
"""Two edges of an outline whose directions differ by less than one degree join without an arris."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ring:
    """A flattened outline: points (n, 2), and for the chord that leaves each point the face it belongs to, (n,)."""

    points: Array
    faces: Ints


def edge_groups(outline: Outline) -> list[tuple[str, list[Segment]]]:
    """Consecutive segments that were drawn as one edge (the same name), with the edge's name."""
    groups: list[tuple[str, list[Segment]]] = []
    for number, segment in enumerate(outline.segments, start=1):
        if segment.name and groups and groups[-1][0] == segment.name:
            groups[-1][1].append(segment)
        else:
            groups.append((segment.name or f"side {number}", [segment]))
    if len(groups) > 1 and groups[0][0] == groups[-1][0]:
        last = groups.pop()
        groups[0] = (groups[0][0], last[1] + groups[0][1])
    return groups


def straight(segments: list[Segment]) -> bool:
    """Whether the edge is one straight line."""
    if not all(isinstance(segment, Line) for segment in segments):
        return False
    first = tangent_at(segments[0], 0.0)
    return all(abs(first[0] * t[1] - first[1] * t[0]) < 1e-9 for t in (tangent_at(s, 0.0) for s in segments))


def ring_of(outline: Outline, tolerance: float, book: FaceBook, prefix: str = "") -> Ring:
    """An outline flattened to `tolerance` [mm], its edges entered as faces named `prefix` + the edge's name."""
    groups = edge_groups(outline)
    if not groups:
        raise ValueError("an outline needs at least one edge")
    points: list[Array] = []
    faces: list[int] = []
    numbers: list[int] = []
    for name, segments in groups:
        numbers.append(book.add(f"{prefix}{name}", straight(segments)))
        for segment in segments:
            flat = flatten((segment,), tolerance)[:-1]
            points.append(flat)
            faces += [numbers[-1]] * len(flat)
    for i, (_, segments) in enumerate(groups):
        after = groups[(i + 1) % len(groups)][1]
        a, b = tangent_at(segments[-1], 1.0), tangent_at(after[0], 0.0)
        if a[0] * b[0] + a[1] * b[1] > SMOOTH:
            book.join(numbers[i], numbers[(i + 1) % len(groups)])
    ring = Ring(points=np.vstack(points), faces=np.array(faces, dtype=np.int64))
    if len(ring.points) < 3:
        raise ValueError("an outline needs at least three corners or a curve")
    return ring


def prism_body(ring: Ring, low: float, high: float, caps: tuple[int, int]) -> Body:
    """A ring extruded along z from `low` to `high`; `caps` are the numbers of its low and high face.

    Raises
    ------
    ValueError
        If it has no thickness or its outline crosses itself.
    """
    if not high - low > 1e-9:
        raise ValueError(f"a prism needs a thickness above zero: it runs from {low:g} to {high:g} mm")
    n = len(ring.points)
    filled = kernel.triangles_of_polygon([ring.points])
    vertices = np.empty((2 * n, 3))
    vertices[:n, :2] = vertices[n:, :2] = ring.points
    vertices[:n, 2], vertices[n:, 2] = low, high
    triangles = np.concatenate([_sides_of(n), filled[:, ::-1], filled + n])
    faces = np.empty(len(triangles), dtype=np.int64)
    faces[:n] = faces[n : 2 * n] = ring.faces
    faces[2 * n : 2 * n + len(filled)], faces[2 * n + len(filled) :] = caps
    return kernel.body_of(vertices, triangles, faces)


@lru_cache(maxsize=64)
def _sides_of(n: int) -> Ints:
    """The triangles round a prism of n corners, those of its low ring first, (2 n, 3). Not to be written to."""
    i = np.arange(n)
    j = (i + 1) % n
    return np.concatenate([np.column_stack([i, j, j + n]), np.column_stack([i, j + n, i + n])])


def _station_ring(station: Station, chords: int) -> Array:
    """The section's points in (v, w), shape (n, 2): four corners, or an ellipse of that many chords."""
    (v0, v1), (w0, w1) = station.v, station.w
    if v1 - v0 < -1e-9 or w1 - w0 < -1e-9:
        raise ValueError(f"a stick's section at {station.at:g} mm has no width or no thickness")
    if chords == 0:
        return np.array([(v0, w0), (v1, w0), (v1, w1), (v0, w1)])
    angle = 2.0 * math.pi * np.arange(chords) / chords
    return np.column_stack(
        [
            (v0 + v1) / 2 + (v1 - v0) / 2 * np.cos(angle),
            (w0 + w1) / 2 + (w1 - w0) / 2 * np.sin(angle),
        ]
    )


def chords_of_circle(radius: float, tolerance: float) -> int:
    """Chords, a multiple of four, that follow a circle to `tolerance` [mm]."""
    if radius <= 2.0 * tolerance:
        return 8
    return 4 * max(2, math.ceil(math.pi / (4.0 * math.acos(1.0 - tolerance / radius))))


def _checked_stations(stick: Stick) -> tuple[Station, ...]:
    if len(stick.stations) < 2:
        raise ValueError("a stick needs at least two stations")
    for before, after in zip(stick.stations, stick.stations[1:]):
        if not after.at - before.at > 1e-9:
            raise ValueError(
                f"a stick's stations must follow one another: {before.at:g}, then {after.at:g} mm"
            )
    return stick.stations


def stick_body(stick: Stick, tolerance: float, book: FaceBook) -> Body:
    """A stick along x: faces `w low`, `v high`, `w high`, `v low` (or `round`), `end low`, `end high`.

    Where it changes direction (a taper begins) the faces of each stretch are faces of their own, numbered from 2.
    """
    stations = _checked_stations(stick)
    radius = max(max(s.v[1] - s.v[0], s.w[1] - s.w[0]) for s in stations) / 2
    chords = chords_of_circle(radius, tolerance) if stick.round else 0
    rings = [_station_ring(station, chords) for station in stations]
    n = len(rings[0])
    vertices = np.vstack([np.column_stack([np.full(n, s.at), ring]) for s, ring in zip(stations, rings)])
    filled = kernel.triangles_of_polygon([rings[0] if np.ptp(rings[0], axis=0).min() > 0 else rings[-1]])
    ends = book.add("end low", True), book.add("end high", True)
    last = n * (len(rings) - 1)
    triangles, faces = [filled[:, ::-1], filled + last], [np.full(len(filled), end) for end in ends]
    i = np.arange(n)
    j = (i + 1) % n
    sides: Ints = np.zeros(n, dtype=np.int64)
    for k in range(len(rings) - 1):
        if k == 0 or not goes_on_straight(stations[k - 1], stations[k], stations[k + 1]):
            sides = _side_faces(n, stick.round, k, book)
        a, b = k * n, (k + 1) * n
        triangles += [np.column_stack([a + i, a + j, b + j]), np.column_stack([a + i, b + j, b + i])]
        faces += [sides, sides]
    return kernel.body_of(vertices, np.vstack(triangles), np.concatenate(faces))


def goes_on_straight(before: Station, here: Station, after: Station) -> bool:
    """Whether a stick does not change its taper at a station."""
    share = (here.at - before.at) / (after.at - before.at)
    return all(
        abs(a + share * (c - a) - b) < 1e-9
        for a, b, c in zip((*before.v, *before.w), (*here.v, *here.w), (*after.v, *after.w))
    )


def _side_faces(n: int, is_round: bool, stretch: int, book: FaceBook) -> Ints:
    suffix = "" if stretch == 0 else f" {stretch + 1}"
    if is_round:
        return np.full(n, book.add(f"round{suffix}", False), dtype=np.int64)
    names = ("w low", "v high", "w high", "v low")
    return np.array([book.add(name + suffix, True) for name in names], dtype=np.int64)


def half_space(plane: Plane, around: tuple[Array, Array], face: int) -> Body:
    """All that lies on the side the plane's normal looks to, as far as the box `around` (low, high) reaches.

    The face in the plane has the number `face`.
    """
    middle = (around[0] + around[1]) / 2.0
    reach = float(np.linalg.norm(around[1] - around[0])) + 10.0
    normal = np.array(plane.normal)
    away = float((middle - np.array(plane.point)) @ normal)
    origin = middle - away * normal
    x, y = across(plane.normal)
    size = reach
    depth = size + max(0.0, away)
    square = np.array([(-size, -size), (size, -size), (size, size), (-size, size)])
    ring = Ring(points=square, faces=np.full(4, face, dtype=np.int64))
    body = prism_body(ring, 0.0, depth, (face, face))
    return kernel.moved(body, np.column_stack([x, y, normal, origin]))


UNITS: tuple[Vec3, Vec3, Vec3] = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))


def across(normal: Vec3) -> tuple[Array, Array]:
    """Two directions of length 1 that make a right-handed set with `normal` as the third."""
    z = (float(normal[0]), float(normal[1]), float(normal[2]))
    least = min(range(3), key=lambda axis: abs(z[axis]))
    x = np.array(cross(UNITS[least], z))
    x /= math.sqrt(x.dot(x))
    return x, np.array(cross(z, vec3(x)))


def _bar_ring(tool: Tool, tolerance: float, book: FaceBook, name: str) -> Ring:
    """The section of a bar in its own (x, y): faces `cheek low/high` (y), `edge low/high` (x), or `round`."""
    a, b = tool.width / 2.0, tool.thickness / 2.0
    if a <= 0.0 or b <= 0.0:
        raise ValueError(f"{name} is {tool.width:g} by {tool.thickness:g} mm: both must be above zero")
    if tool.section is Section.SQUARE:
        faces = [
            book.add(f"{name} {side}", True) for side in ("cheek low", "edge high", "cheek high", "edge low")
        ]
        return Ring(points=np.array([(-a, -b), (a, -b), (a, b), (-a, b)]), faces=np.array(faces))
    chords = chords_of_circle(max(a, b) if tool.section is Section.ROUND else min(a, b), tolerance)
    if tool.section is Section.ROUND:
        angle = 2.0 * math.pi * np.arange(chords) / chords
        face = book.add(f"{name} round", False)
        return Ring(
            points=np.column_stack([a * np.cos(angle), b * np.sin(angle)]), faces=np.full(chords, face)
        )
    return _round_ended(a, b, chords // 2, (book, name))


def _round_ended(a: float, b: float, chords: int, entry: tuple[FaceBook, str]) -> Ring:
    """A slot a half-length and b half-width (or the other way round); each end is `chords` chords of a half circle."""
    book, name = entry
    turned = b > a
    a, b = max(a, b), min(a, b)
    low, end, high, start = (book.add(f"{name} {s}", f) for s, f in _SLOT_FACES)
    angle = -math.pi / 2.0 + math.pi * np.arange(chords + 1) / chords
    arc = np.column_stack([a - b + b * np.cos(angle), b * np.sin(angle)])
    points = np.vstack([arc, -arc])
    faces = [end] * chords + [high] + [start] * chords + [low]
    for one, two in ((low, end), (end, high), (high, start), (start, low)):
        book.join(one, two)
    if turned:
        points = np.column_stack([-points[:, 1], points[:, 0]])
    keep = np.linalg.norm(points - np.roll(points, -1, axis=0), axis=1) > 1e-9
    return Ring(points=points[keep], faces=np.array(faces, dtype=np.int64)[keep])


_SLOT_FACES = (("cheek low", True), ("edge high", False), ("cheek high", True), ("edge low", False))


def bar_body(tool: Tool, tolerance: float, book: FaceBook, name: str) -> Body:
    """The bar of a joint where its frame puts it. Its faces are named `name` + cheek, edge, round, root, tip, mitre.

    Raises
    ------
    ValueError
        If it has no width, thickness or length, or its planes leave nothing of it.
    """
    if not tool.end - tool.start > 1e-9:
        raise ValueError(f"{name} has no length: it runs from {tool.start:g} to {tool.end:g} mm")
    ring = _bar_ring(tool, tolerance, book, name)
    caps = book.add(f"{name} root", True), book.add(f"{name} tip", True)
    body = prism_body(ring, tool.start, tool.end, caps)
    around = (
        np.array([-tool.width, -tool.thickness, tool.start]),
        np.array([tool.width, tool.thickness, tool.end]),
    )
    for number, plane in enumerate(tool.planes, start=1):
        cut = half_space(plane, around, book.add(f"{name} mitre {number}", True))
        body = kernel.subtracted(body, [cut])
    if kernel.nothing_left(body):
        raise ValueError(f"the planes at the tip of {name} leave nothing of it")
    return kernel.moved(body, tool.frame.matrix())


def placed_prism(ring: Ring, span: tuple[float, float], caps: tuple[int, int], frame: Frame) -> Body:
    """A prism in (x, y) of `frame`, along its z from span low to high."""
    return kernel.moved(prism_body(ring, *span, caps), frame.matrix())
