"""Kinds of the three examples, checked from outside: solids laid on one another by a rigid move, and by a mirror's.

The move is found from the solids' principal axes of inertia alone (closed form, sums over tetrahedra); what then stays
apart is measured from every corner of the one to the surface of the other, in barycentric coordinates.
"""

from __future__ import annotations

from itertools import combinations, product
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from batchwright.geometry.frame import Frame, Plane
from batchwright.model.draft import Hand, PartId
from batchwright.model.piece import Kind, Part, Piece
from batchwright.solids.build import Quality, recipe_solid
from piece_files import example_files, jointed

Array = NDArray[np.float64]
SAME, OTHER = 0.1, 0.3
"""Vertices this near are the same wood (chords included); a part that stands off by more is another [mm]."""


def moments(points: Array, triangles: NDArray[np.int64]) -> tuple[Array, Array]:
    """Centre of mass and principal axes (columns, right-handed), by sums over tetrahedra of the origin."""
    start = points.mean(axis=0)
    a, b, c = (points[triangles[:, k]] - start for k in range(3))
    volume = np.einsum("ij,ij->i", a, np.cross(b, c)) / 6.0
    middle = (volume[:, None] * (a + b + c)).sum(axis=0) / 4.0 / volume.sum()
    total = a + b + c
    second = (
        np.einsum("n,ni,nj->ij", volume, total, total)
        + sum(np.einsum("n,ni,nj->ij", volume, each, each) for each in (a, b, c))
    ) / 20.0 - volume.sum() * np.outer(middle, middle)
    _, axes = np.linalg.eigh(second)
    axes[:, 2] *= np.linalg.det(axes)
    return middle + start, axes


def from_surface(points: Array, surface: Array) -> float:
    """Greatest distance of points from triangles (m, 3, 3), by barycentric coordinates, clamped edge by edge."""
    a, e, f = surface[:, 0], surface[:, 1] - surface[:, 0], surface[:, 2] - surface[:, 0]
    ee, ef, ff = (np.einsum("ij,ij->i", p, q) for p, q in ((e, e), (e, f), (f, f)))
    room = np.maximum(ee * ff - ef * ef, 1e-12)
    worst = 0.0
    for point in points:
        d = point - a
        de, df = np.einsum("ij,ij->i", d, e), np.einsum("ij,ij->i", d, f)
        s, t = (ff * de - ef * df) / room, (ee * df - ef * de) / room
        inside = (s >= 0.0) & (t >= 0.0) & (s + t <= 1.0)
        g = f - e
        along = np.clip(np.einsum("ij,ij->i", d - e, g) / np.maximum(np.einsum("ij,ij->i", g, g), 1e-12), 0.0, 1.0)
        first, second = np.clip(de / np.maximum(ee, 1e-12), 0.0, 1.0), np.clip(df / np.maximum(ff, 1e-12), 0.0, 1.0)
        places = [(s, t, inside), (first, 0.0 * t, True), (0.0 * s, second, True), (1.0 - along, along, True)]
        gaps = [
            np.where(good, np.linalg.norm(d - p[:, None] * e - q[:, None] * f, axis=1), np.inf) for p, q, good in places
        ]
        worst = max(worst, float(np.min(gaps)))
    return worst


def apart(one: tuple[Array, NDArray[np.int64]], two: tuple[Array, NDArray[np.int64]], sign: float) -> float:
    """How far two solids stay apart when the one is laid on the other by its principal axes [mm]."""
    (middle, axes), (other, others) = moments(*one), moments(*two)
    best = np.inf
    for signs in product((1.0, -1.0), repeat=3):
        if np.prod(signs) == sign:
            placed = (one[0] - middle) @ axes @ np.diag(signs) @ others.T + other
            gap = from_surface(placed, two[0][two[1]])
            best = min(best, gap if gap > OTHER else max(gap, from_surface(two[0], placed[one[1]])))
    return best


def mesh(part: Part) -> tuple[Array, NDArray[np.int64]]:
    solid = recipe_solid(part.recipe, Quality.LIVE)
    return part.draft.frame.many_to_world(solid.vertices), (
        solid.triangles[:, ::-1] if part.draft.frame.mirrored else solid.triangles
    )


@pytest.fixture(scope="module", params=[path.name for path in example_files()])
def example(request: pytest.FixtureRequest) -> Piece:
    path: Path = next(path for path in example_files() if path.name == request.param)
    made = jointed(path.read_bytes(), path.name).piece
    assert made is not None
    return made


def test_bug_parts_of_one_kind_are_congruent_by_a_turn_and_mirror_images_are_not(example: Piece) -> None:
    """Back slats 1 and 7 lean opposite ways at the crest: they were one kind, and half of them would not close."""
    kinds = {kind.id: kind for kind in example.kinds}
    meshes = {part.id: mesh(part) for part in example.parts}
    for a, b in combinations(example.parts, 2):
        if a.draft.name != b.draft.name:
            continue
        turned = apart(meshes[a.id], meshes[b.id], 1.0)
        assert (a.kind == b.kind) == (turned < SAME), (a.id, b.id, turned)
        assert turned < SAME or turned > OTHER, (a.id, b.id, turned)
        mirror = kinds[a.kind].mirror_of == b.kind
        mirrored = apart(meshes[a.id], meshes[b.id], -1.0)
        assert a.kind == b.kind or mirror == (mirrored < SAME), (a.id, b.id, mirrored)


def test_kinds_that_mirror_one_another_know_it_both_ways(example: Piece) -> None:
    kinds: dict[str, Kind] = {kind.id: kind for kind in example.kinds}
    for kind in example.kinds:
        if kind.mirror_of is not None:
            assert kinds[kind.mirror_of].mirror_of == kind.id
    assert len(kinds) == len(example.kinds), "no two kinds share a name"
    assert sum(kind.count for kind in example.kinds) == len(example.parts)


def mirrored_lie(one: Frame, two: Frame) -> float:
    """How far the mirror image of one bench frame in x = 0 is from another [mm and ratios]."""
    image = one.mirror_image(Plane((0.0, 0.0, 0.0), (1.0, 0.0, 0.0)))
    return float(np.abs(image.matrix() - two.matrix()).max())


def test_bug_hands_of_repeats_and_their_mirrored_bench_frames() -> None:
    """As seated the +x side is the left; slats are numbered from -x, so slat 1 is a right one, slat 7 its left."""
    path = next(path for path in example_files() if "armchair" in path.name)
    made = jointed(path.read_bytes(), path.name).piece
    assert made is not None
    for low, high in ((1, 7), (2, 6), (3, 5)):
        one, two = (made.part(PartId(f"back slat {number}")) for number in (low, high))
        kind, other = made.kind_of(one.id), made.kind_of(two.id)
        assert (kind.hand, other.hand) == (Hand.RIGHT, Hand.LEFT)
        assert (one.hand, two.hand) == (Hand.RIGHT, Hand.LEFT)
        assert (kind.label, other.label) == (f"back slat {low}, right", f"back slat {high}, left")
        assert (kind.mirror_of, other.mirror_of) == (other.id, kind.id)
        assert one.bench.mirrored != two.bench.mirrored
        assert mirrored_lie(one.bench, two.bench) < 1e-3
        assert (one.length, one.width, one.thickness) == pytest.approx((two.length, two.width, two.thickness), abs=1e-3)
    assert made.kind_of(PartId("back slat 4")).mirror_of is None
