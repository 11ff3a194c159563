"""Offsets of outlines and questions about polygons."""

import math

import numpy as np
import pytest

from batchwright.geometry.batten import batten, strip_outline
from batchwright.geometry.curve import Arc, nearest
from batchwright.geometry.offset import (
    offset_outline,
    offset_polygon,
    polygon_contains,
    polygon_difference,
    polygon_distance,
    polygon_intersection,
    polygon_overlap_area,
    polygon_union,
)
from batchwright.geometry.outline import outline, polygon_outline

DISC = outline([Arc((50.0, 0.0), (0.0, 50.0), (-50.0, 0.0)), Arc((-50.0, 0.0), (0.0, -50.0), (50.0, 0.0))])
SQUARE = np.array([(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)])
LEG = strip_outline(batten([(0.0, 0.0), (180.0, 30.0), (390.0, 20.0), (600.0, 90.0)]), [40.0, 55.0, 50.0, 38.0])


def shoelace(p: np.ndarray) -> float:
    q = np.roll(p, -1, axis=0)
    return 0.5 * float((p[:, 0] * q[:, 1] - p[:, 1] * q[:, 0]).sum())


@pytest.mark.parametrize("distance", [20.0, 3.0, -12.0, -49.0])
def test_an_offset_circle_is_a_circle(distance: float) -> None:
    (ring,) = offset_outline(DISC, distance)
    assert np.abs(np.hypot(*ring.T) - (50.0 + distance)).max() <= 0.005
    middles = 0.5 * (ring + np.roll(ring, -1, axis=0))
    assert np.abs(np.hypot(*middles.T) - (50.0 + distance)).max() <= 0.005
    assert shoelace(ring) > 0.0


def test_what_shrinks_away_is_gone() -> None:
    assert offset_outline(DISC, -50.5) == ()


@pytest.mark.parametrize("distance", [12.0, 1.0, -6.0])
def test_every_point_of_an_offset_keeps_its_distance(distance: float) -> None:
    (ring,) = offset_outline(LEG, distance)
    gaps = [nearest(LEG.segments, (u, v))[2] for u, v in np.concatenate([ring, 0.5 * (ring + np.roll(ring, -1, 0))])]
    assert np.abs(np.array(gaps) - abs(distance)).max() <= 0.005


def test_joins_at_a_corner() -> None:
    round_, mitre, bevel = (shoelace(offset_polygon(SQUARE, 2.0, join)[0]) for join in ("round", "mitre", "bevel"))
    assert mitre == pytest.approx(196.0)
    assert round_ == pytest.approx(100.0 + 80.0 + 4.0 * math.pi, abs=0.0025 * 4.0 * math.pi)
    assert bevel == pytest.approx(100.0 + 80.0 + 8.0)


def test_a_waisted_shape_shrinks_into_two() -> None:
    waisted = polygon_outline(
        [(0, 0), (20, 0), (30, 9), (40, 0), (60, 0), (60, 20), (35, 20), (30, 11), (25, 20), (0, 20)]
    )
    pieces = offset_outline(waisted, -3.0)
    assert len(pieces) == 2
    assert shoelace(pieces[0]) >= shoelace(pieces[1]) > 0.0


def test_overlap_difference_union_and_distance_of_two_squares() -> None:
    other = SQUARE + np.array([6.0, 7.0])
    assert polygon_overlap_area(SQUARE, other) == pytest.approx(12.0)
    assert [shoelace(p) for p in polygon_intersection(SQUARE, other)] == pytest.approx([12.0])
    assert [shoelace(p) for p in polygon_difference(SQUARE, other)] == pytest.approx([88.0])
    assert [shoelace(p) for p in polygon_union([SQUARE, other])] == pytest.approx([188.0])
    assert polygon_distance(SQUARE, other) == 0.0
    far = SQUARE + np.array([13.0, 14.0])
    assert polygon_distance(SQUARE, far) == pytest.approx(5.0)
    assert polygon_overlap_area(SQUARE, far) == 0.0
    assert polygon_intersection(SQUARE, far) == ()


def test_touching_squares_share_no_area() -> None:
    assert polygon_intersection(SQUARE, SQUARE + np.array([10.0, 0.0])) == ()


def test_one_polygon_in_another() -> None:
    inner = 0.5 * SQUARE + 1.0
    assert polygon_contains(SQUARE, inner)
    assert not polygon_contains(inner, SQUARE)
    assert polygon_contains(SQUARE, SQUARE)
    assert not polygon_contains(SQUARE, SQUARE + np.array([0.01, 0.0]))
    assert polygon_contains(SQUARE, SQUARE + np.array([0.01, 0.0]), slack=0.02)


def test_a_polygon_that_crosses_itself_is_refused() -> None:
    with pytest.raises(ValueError, match="not sound"):
        polygon_overlap_area(np.array([(0.0, 0.0), (1.0, 1.0), (1.0, 0.0), (0.0, 1.0)]), SQUARE)
