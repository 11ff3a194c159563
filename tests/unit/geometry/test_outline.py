"""Outlines: closing, areas, polygons, points inside, crossings, maps."""

import math

import numpy as np
import pytest
import shapely

from batchwright.geometry.batten import batten, strip_outline
from batchwright.geometry.curve import Arc, Cubic, Line, length_of, point_at, points_at, tangent_at
from batchwright.geometry.outline import (
    Outline,
    area,
    bounds,
    centroid,
    contains,
    crosses_itself,
    map_outline,
    moved,
    outline,
    outline_moments,
    polygon_outline,
    to_polygon,
    to_polygon_with_edges,
    turned,
)

STRIP = strip_outline(batten([(0.0, 0.0), (100.0, 20.0), (250.0, 10.0), (300.0, 60.0)]), [30.0, 40.0, 35.0, 30.0])
DISC = outline([Arc((5.0, 2.0), (2.0, 5.0), (-1.0, 2.0), "top"), Arc((-1.0, 2.0), (2.0, -1.0), (5.0, 2.0), "low")])
TRAY = outline(
    [
        Line((0.0, 0.0), (100.0, 0.0), "low"),
        Line((100.0, 0.0), (100.0, 40.0), "right"),
        Arc((100.0, 40.0), (50.0, 20.0), (0.0, 40.0), "dished"),
        Line((0.0, 40.0), (0.0, 0.0), "left"),
    ]
)


def test_an_outline_is_closed_turned_counter_clockwise_and_freed_of_empty_segments() -> None:
    shape = outline(
        [
            Line((0.0, 0.0), (0.0, 10.0), "left"),
            Line((0.0, 10.0), (0.0, 10.0), "nothing"),
            Arc((0.0, 10.0), (0.0, 10.0), (0.0, 10.0), "nothing"),
            Cubic((0.0, 10.0), (0.0, 10.0), (0.0, 10.0), (0.0, 10.0), "nothing"),
            Line((0.0, 10.0), (10.0, 10.0), "top"),
        ],
        closing_name="slope",
    )
    assert {segment.name for segment in shape.segments} == {"left", "top", "slope"}
    assert area(shape) == 50.0
    assert all(a.end == b.start for a, b in zip(shape.segments, shape.segments[1:] + shape.segments[:1]))


def test_ends_that_meet_within_a_micrometre_are_joined() -> None:
    shape = outline(
        [
            Line((0.0, 0.0), (10.0, 0.0)),
            Cubic((10.0, 5e-7), (12.0, 3.0), (8.0, 6.0), (5.0, 9.0)),
            Arc((5.0, 9.0 + 5e-7), (1.0, 6.0), (4e-7, 0.0)),
        ]
    )
    assert len(shape.segments) == 3
    assert all(a.end == b.start for a, b in zip(shape.segments, shape.segments[1:] + shape.segments[:1]))


def test_segments_that_do_not_meet_are_named() -> None:
    with pytest.raises(ValueError, match="segments 1 and 2 do not meet"):
        outline([Line((0.0, 0.0), (10.0, 0.0)), Line((11.0, 0.0), (10.0, 10.0))])


@pytest.mark.parametrize(
    "segments", [[], [Line((1.0, 1.0), (1.0, 1.0))], [Line((0.0, 0.0), (9.0, 0.0)), Line((9.0, 0.0), (3.0, 0.0))]]
)
def test_an_outline_without_area_is_refused(segments: list) -> None:
    with pytest.raises(ValueError, match="length|encloses no area"):
        outline(segments)


@pytest.mark.parametrize("shape", [STRIP, DISC, TRAY])
def test_area_centroid_and_second_moments_agree_with_a_fine_polygon(shape: Outline) -> None:
    p = to_polygon(shape, 1e-4)
    q = np.roll(p, -1, axis=0)
    w = p[:, 0] * q[:, 1] - p[:, 1] * q[:, 0]
    polygon_area = 0.5 * w.sum()
    centre = ((p + q) * w[:, None]).sum(0) / (6.0 * polygon_area)
    m = outline_moments(shape)
    assert area(shape) == m.area == pytest.approx(polygon_area, abs=1e-4 * length_of(shape.segments))
    assert centroid(shape) == pytest.approx(tuple(centre), abs=1e-3)
    p, q = p - centre, q - centre
    w = p[:, 0] * q[:, 1] - p[:, 1] * q[:, 0]
    uu, vv = ((p**2 + p * q + q**2) * w[:, None]).sum(0) / 12.0
    uv = ((2 * p[:, 0] * p[:, 1] + 2 * q[:, 0] * q[:, 1] + p[:, 0] * q[:, 1] + q[:, 0] * p[:, 1]) * w).sum() / 24.0
    assert (m.uu, m.vv) == (pytest.approx(uu, rel=1e-4), pytest.approx(vv, rel=1e-4))
    assert m.uv == pytest.approx(uv, rel=1e-4, abs=1e-3 * (m.uu + m.vv) ** 0.5)


def test_polygon_and_its_edges_name_the_segments() -> None:
    points, edges = to_polygon_with_edges(TRAY, 0.05)
    assert len(points) == len(edges)
    assert tuple(points[0]) == TRAY.segments[0].start
    assert list(dict.fromkeys(edges.tolist())) == [0, 1, 2, 3]
    assert (np.diff(edges) >= 0).all()
    for index, segment in enumerate(TRAY.segments):
        assert tuple(points[int(np.argmax(edges == index))]) == segment.start
    assert np.array_equal(points, to_polygon(TRAY, 0.05))


@pytest.mark.parametrize("shape", [STRIP, DISC, TRAY])
def test_points_inside_agree_with_a_polygon_library(shape: Outline) -> None:
    polygon = shapely.Polygon(to_polygon(shape, 1e-4))
    low_u, low_v, high_u, high_v = bounds(shape)
    rng = np.random.default_rng(3)
    for u, v in rng.uniform((low_u - 5, low_v - 5), (high_u + 5, high_v + 5), (300, 2)):
        if polygon.exterior.distance(shapely.Point(u, v)) > 1e-3:
            assert contains(shape, (u, v)) == polygon.contains(shapely.Point(u, v))


@pytest.mark.parametrize("shape", [STRIP, DISC, TRAY])
def test_points_on_the_edge_count_as_inside(shape: Outline) -> None:
    for segment in shape.segments:
        for u, v in points_at(segment, np.array([0.0, 0.2, 0.5, 0.77])):
            assert contains(shape, (u, v))


@pytest.mark.parametrize("shape", [STRIP, DISC, TRAY])
def test_a_hair_beside_the_edge_is_told_apart(shape: Outline) -> None:
    for segment in shape.segments:
        (u, v), (du, dv) = point_at(segment, 0.37), tangent_at(segment, 0.37)
        assert contains(shape, (u - 1e-6 * dv, v + 1e-6 * du))
        assert not contains(shape, (u + 1e-6 * dv, v - 1e-6 * du))


@pytest.mark.parametrize("shape", [STRIP, DISC, TRAY])
def test_sound_outlines_do_not_cross_themselves(shape: Outline) -> None:
    assert crosses_itself(shape) == ()


def test_a_figure_of_eight_crosses_where_its_diagonals_meet() -> None:
    eight = Outline(
        (
            Line((0.0, 0.0), (10.0, 10.0)),
            Line((10.0, 10.0), (10.0, 0.0)),
            Line((10.0, 0.0), (0.0, 8.0)),
            Line((0.0, 8.0), (0.0, 0.0)),
        )
    )
    ((u, v),) = crosses_itself(eight)
    assert u == v == pytest.approx(80.0 / 18.0)


def test_a_corner_that_touches_another_edge_is_told() -> None:
    pinched = polygon_outline([(0, 0), (20, 0), (20, 10), (12, 10), (10, 0), (8, 10), (0, 10)])
    assert crosses_itself(pinched) == (pytest.approx((10.0, 0.0)),)


def test_a_curve_that_dips_through_a_far_edge_crosses_it_twice() -> None:
    """A parabola of sag 12 over a band 10 high: v = 10 - 48 s (1 - s) reaches 0 at s = (1 -+ sqrt(1/6)) / 2."""
    dip = Cubic((100.0, 10.0), (200.0 / 3, 10.0 - 16.0), (100.0 / 3, 10.0 - 16.0), (0.0, 10.0))
    shape = Outline(
        (Line((0.0, 0.0), (100.0, 0.0)), Line((100.0, 0.0), (100.0, 10.0)), dip, Line((0.0, 10.0), (0.0, 0.0)))
    )
    found = sorted(crosses_itself(shape))
    half = 50.0 * math.sqrt(1.0 / 6.0)
    assert found == [pytest.approx((50.0 - half, 0.0), abs=1e-6), pytest.approx((50.0 + half, 0.0), abs=1e-6)]


def test_an_edge_laid_back_over_itself_is_told() -> None:
    spiked = Outline(
        (
            Line((0.0, 0.0), (10.0, 0.0)),
            Line((10.0, 0.0), (10.0, 10.0)),
            Line((10.0, 10.0), (10.0, 20.0)),
            Line((10.0, 20.0), (10.0, 10.0)),
            Line((10.0, 10.0), (0.0, 0.0)),
        )
    )
    assert (10.0, 20.0) in crosses_itself(spiked)


def test_a_mirror_image_stays_counter_clockwise_and_keeps_names_with_edges() -> None:
    mirror = map_outline(TRAY, np.array([[-1.0, 0.0], [0.0, 1.0]]), (3.0, 0.0))
    assert area(mirror) == pytest.approx(area(TRAY))
    right = next(segment for segment in mirror.segments if segment.name == "right")
    assert {right.start[0], right.end[0]} == {-97.0}
    assert len(mirror.segments) == len(TRAY.segments)


def test_a_map_that_flattens_is_refused() -> None:
    with pytest.raises(ValueError, match="flattens"):
        map_outline(TRAY, np.array([[1.0, 2.0], [2.0, 4.0]]))


def test_a_stretched_outline_has_its_area_stretched() -> None:
    """An ellipse with half axes 6 and 1.5 mm: pi a b, and the arcs' stated error of 1e-4 mm round its edge."""
    ellipse = map_outline(DISC, np.diag([2.0, 0.5]))
    assert area(ellipse) == pytest.approx(math.pi * 6.0 * 1.5, abs=1e-4 * 26.0)


def test_moved_and_turned() -> None:
    u, v = centroid(TRAY)
    assert centroid(moved(TRAY, (5.0, -3.0))) == pytest.approx((u + 5.0, v - 3.0))
    quarter = turned(TRAY, 0.5 * math.pi, about=(100.0, 0.0))
    assert bounds(quarter) == pytest.approx((60.0, -100.0, 100.0, 0.0))
