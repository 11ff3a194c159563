"""Surfaces that differ only in how their flats are cut into triangles are the same; anything else is not."""

from __future__ import annotations

import numpy as np

from batchwright.joinery.marking.differ import Surface, same_mesh, same_surface

CORNERS = np.array([(x, y, z) for z in (0.0, 30.0) for y in (0.0, 20.0) for x in (0.0, 50.0)])
QUADS = ((0, 2, 3, 1), (4, 5, 7, 6), (0, 1, 5, 4), (2, 6, 7, 3), (0, 4, 6, 2), (1, 3, 7, 5))


def _box(points: np.ndarray, turned: tuple[int, ...] = ()) -> Surface:
    """A box whose sides are cut along one diagonal, or along the other."""
    triangles = []
    for number, (a, b, c, d) in enumerate(QUADS):
        triangles += [(b, c, d), (b, d, a)] if number in turned else [(a, b, c), (a, c, d)]
    return Surface(points=points, triangles=np.array(triangles), on_curve=np.zeros(len(points), dtype=bool))


def test_other_diagonals_are_the_same_surface() -> None:
    order = np.random.default_rng(2).permutation(8)
    back = np.argsort(order)
    shuffled = Surface(
        points=CORNERS[order], triangles=back[_box(CORNERS, (1, 4)).triangles], on_curve=np.zeros(8, dtype=bool)
    )
    assert not same_mesh(_box(CORNERS), shuffled)
    assert same_surface(_box(CORNERS), shuffled)


def test_a_warped_side_cut_the_other_way_is_another_surface() -> None:
    warped = CORNERS.copy()
    warped[7] += (0.0, 0.0, 0.01)
    assert same_surface(_box(warped), _box(warped))
    assert not same_surface(_box(warped), _box(warped, (1,)))


def test_corners_elsewhere_are_another_surface() -> None:
    moved = CORNERS.copy()
    moved[6] += (0.0, 0.001, 0.0)
    assert not same_surface(_box(CORNERS), _box(moved))
    assert not same_surface(_box(CORNERS), _box(np.vstack([CORNERS, CORNERS[:1]])))
