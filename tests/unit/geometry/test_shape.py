"""What an outline measures, and when two outlines are the same."""

import math

import numpy as np
import pytest

from batchwright.geometry.batten import batten, strip_outline
from batchwright.geometry.curve import Arc, Cubic, Line, between, derivatives_at, point_at, second_derivatives_at
from batchwright.geometry.outline import (
    Outline,
    bounds,
    extent,
    longest_straight_edge,
    map_outline,
    match_shape,
    moved,
    outline,
    polygon_outline,
    same_shape,
    smallest_inside_radius,
    smallest_outside_radius,
    smallest_rectangle,
    to_polygon,
    turned,
)

MIRROR = np.array([[1.0, 0.0], [0.0, -1.0]])
TRAY = outline(
    [
        Line((0.0, 0.0), (100.0, 0.0), "low"),
        Line((100.0, 0.0), (100.0, 40.0), "right"),
        Arc((100.0, 40.0), (50.0, 15.0), (0.0, 40.0), "dished"),
        Line((0.0, 40.0), (0.0, 0.0), "left"),
    ]
)
LEG = strip_outline(batten([(0.0, 0.0), (180.0, 30.0), (390.0, 20.0), (600.0, 90.0)]), [40.0, 55.0, 50.0, 38.0])
ELL = polygon_outline([(0, 0), (60, 0), (60, 20), (20, 20), (20, 60), (0, 60)])


def test_radius_of_a_dished_edge_is_that_of_its_circle() -> None:
    """Chord 100, sagitta 25: r = c^2 / 8 s + s / 2 = 62.5. Closed form."""
    found = smallest_inside_radius(TRAY)
    assert found is not None
    assert found.radius == pytest.approx(62.5)
    assert TRAY.segments[found.segment].name == "dished"
    assert smallest_outside_radius(TRAY) is None


def test_radius_of_a_parabola_is_smallest_at_its_vertex() -> None:
    """v = u^2 / 80 on -60..60: radius 40 at u = 0. The inside of a hollow, the outside of a crown."""
    bowl = [Cubic((60.0, 45.0), (20.0, -15.0), (-20.0, -15.0), (-60.0, 45.0), "bowl")]
    hollow = outline(
        [
            Line((-60.0, 45.0), (-60.0, -20.0)),
            Line((-60.0, -20.0), (60.0, -20.0)),
            Line((60.0, -20.0), (60.0, 45.0)),
            *bowl,
        ]
    )
    crown = outline(bowl)
    for found in (smallest_inside_radius(hollow), smallest_outside_radius(crown)):
        assert found is not None
        assert found.radius == pytest.approx(40.0, rel=1e-9)
        assert found.place == pytest.approx((0.0, 0.0), abs=1e-4)
    assert smallest_inside_radius(crown) is None
    assert smallest_outside_radius(hollow) is None


def test_the_sharpest_place_is_found_between_the_samples() -> None:
    """v = u^2 / 80 again, but from -50 to 73: the vertex falls at no even share of the parameter."""
    a, b, k = -50.0, 73.0, 1.0 / 80.0
    step = (b - a) / 3.0
    bow = Cubic((b, k * b * b), (b - step, k * b * (b - 2 * step)), (a + step, k * a * (a + 2 * step)), (a, k * a * a))
    assert point_at(bow, b / (b - a)) == pytest.approx((0.0, 0.0), abs=1e-9)
    found = smallest_outside_radius(outline([bow]))
    assert found is not None
    assert found.radius == pytest.approx(40.0, rel=1e-12)
    assert found.place == pytest.approx((0.0, 0.0), abs=1e-4)


def test_corners_are_radius_nothing_when_they_count() -> None:
    hollow = smallest_inside_radius(ELL)
    assert hollow is not None
    assert (hollow.radius, hollow.place) == (0.0, (20.0, 20.0))
    assert smallest_inside_radius(ELL, corners=False) is None
    crowned = smallest_outside_radius(ELL, corners=True)
    assert crowned is not None
    assert crowned.radius == 0.0
    assert smallest_outside_radius(ELL) is None


def test_smallest_radius_agrees_with_dense_points() -> None:
    t = np.linspace(0.0, 1.0, 20001)
    bends = []
    for segment in LEG.segments:
        d, e = derivatives_at(segment, t), second_derivatives_at(segment, t)
        bends.append((d[:, 0] * e[:, 1] - d[:, 1] * e[:, 0]) / np.hypot(d[:, 0], d[:, 1]) ** 3)
    inside, outside = smallest_inside_radius(LEG, corners=False), smallest_outside_radius(LEG)
    assert inside is not None
    assert outside is not None
    assert inside.radius == pytest.approx(-1.0 / np.min(bends), rel=1e-6)
    assert outside.radius == pytest.approx(1.0 / np.max(bends), rel=1e-6)


def test_extent_along_a_direction() -> None:
    assert extent(TRAY, (2.0, 0.0)) == pytest.approx((0.0, 100.0))
    assert extent(TRAY, (0.0, -1.0)) == pytest.approx((-40.0, 0.0))
    disc = outline([Arc((10.0, 0.0), (0.0, 10.0), (-10.0, 0.0)), Arc((-10.0, 0.0), (0.0, -10.0), (10.0, 0.0))])
    for angle in (0.1, 1.0, 2.2):
        assert extent(disc, (math.cos(angle), math.sin(angle))) == pytest.approx((-10.0, 10.0))
    low, high = extent(LEG, (3.0, 4.0))
    heights = to_polygon(LEG, 1e-4) @ np.array([0.6, 0.8])
    assert (low, high) == (pytest.approx(heights.min(), abs=1e-4), pytest.approx(heights.max(), abs=1e-4))


@pytest.mark.parametrize("angle", [0.0, 0.3, -1.2, 1.5, 0.5 * math.pi])
def test_the_smallest_rectangle_of_a_turned_board_is_the_board(angle: float) -> None:
    long, short, found = smallest_rectangle(turned(polygon_outline([(0, 0), (90, 0), (90, 35), (0, 35)]), angle))
    assert (long, short, found) == (pytest.approx(90.0), pytest.approx(35.0), pytest.approx(angle))


def test_no_other_direction_gives_a_smaller_rectangle() -> None:
    long, short, angle = smallest_rectangle(LEG)
    areas = []
    for other in np.linspace(0.0, 0.5 * math.pi, 1801):
        c, s = math.cos(other), math.sin(other)
        (a, b), (d, e) = extent(LEG, (c, s)), extent(LEG, (-s, c))
        areas.append((b - a) * (e - d))
    assert long * short <= min(areas) * (1.0 + 1e-5)
    c, s = math.cos(angle), math.sin(angle)
    low, high = extent(LEG, (c, s))
    assert high - low == pytest.approx(long)


def test_a_square_lies_level() -> None:
    assert smallest_rectangle(polygon_outline([(0, 0), (8, 0), (8, 8), (0, 8)])) == (8.0, 8.0, 0.0)


def test_longest_straight_edge_takes_lines_in_line_together() -> None:
    low = polygon_outline([(0, 0), (30, 0), (70, 0), (70, 50), (0, 50), (0, 20)])
    line = longest_straight_edge(low)
    assert line is not None
    assert {line.start, line.end} in ({(0.0, 0.0), (70.0, 0.0)}, {(70.0, 50.0), (0.0, 50.0)})
    split_at_start = polygon_outline([(40, 0), (90, 0), (90, 30), (0, 30), (0, 0)])
    line = longest_straight_edge(split_at_start)
    assert line is not None
    assert math.dist(line.start, line.end) == 90.0
    assert longest_straight_edge(TRAY) == Line((0.0, 0.0), (100.0, 0.0), "low")
    disc = outline([Arc((10.0, 0.0), (0.0, 10.0), (-10.0, 0.0)), Arc((-10.0, 0.0), (0.0, -10.0), (10.0, 0.0))])
    assert longest_straight_edge(disc) is None


@pytest.mark.parametrize("shape", [LEG, TRAY, ELL])
def test_a_shape_matches_itself_wherever_it_lies(shape: Outline) -> None:
    placed = moved(turned(shape, 2.1), (40.0, -900.0))
    assert same_shape(shape, moved(shape, (3.0, 4.0)), 0.01)
    assert not same_shape(shape, placed, 0.01)
    found = match_shape(shape, placed, 0.01, turn=True)
    assert found is not None
    laid = moved(turned(shape, found.angle), found.offset)
    assert bounds(laid) == pytest.approx(bounds(placed), abs=0.01)


def test_left_and_right_match_only_when_turned_over() -> None:
    right = map_outline(LEG, MIRROR, (7.0, 2.0))
    assert not same_shape(LEG, right, 0.05, turn=True)
    assert same_shape(LEG, right, 0.05, mirror=True)
    found = match_shape(LEG, turned(right, -0.4), 0.05, mirror=True, turn=True)
    assert found is not None
    assert found.mirrored
    laid = moved(turned(map_outline(LEG, MIRROR), found.angle), found.offset)
    assert bounds(laid) == pytest.approx(bounds(turned(right, -0.4)), abs=0.05)


def test_a_symmetrical_shape_is_not_called_mirrored() -> None:
    found = match_shape(TRAY, turned(TRAY, math.pi), 0.01, mirror=True, turn=True)
    assert found is not None
    assert not found.mirrored
    assert abs(found.angle) == pytest.approx(math.pi)


def test_how_an_edge_is_divided_does_not_matter() -> None:
    divided = Outline(
        tuple(piece for s in LEG.segments for piece in (*between((s,), 0.0, 0.3), *between((s,), 0.3, 1.0)))
    )
    assert same_shape(LEG, divided, 0.01)


@pytest.mark.parametrize("change", [0.05, 0.3, 3.0])
def test_a_difference_beyond_the_tolerance_is_seen(change: float) -> None:
    wider = polygon_outline([(0, 0), (60, 0), (60, 20 + change), (20, 20 + change), (20, 60), (0, 60)])
    assert not same_shape(ELL, wider, 0.4 * change, mirror=True, turn=True)
    assert same_shape(ELL, wider, 1.1 * change)


def test_a_square_turned_matches_by_its_corners() -> None:
    square = polygon_outline([(0, 0), (8, 0), (8, 8), (0, 8)])
    assert same_shape(square, turned(square, 0.4), 0.01, turn=True)
    assert not same_shape(square, turned(square, 0.4), 0.01)
    disc = outline([Arc((10.0, 0.0), (0.0, 10.0), (-10.0, 0.0)), Arc((-10.0, 0.0), (0.0, -10.0), (10.0, 0.0))])
    assert same_shape(disc, turned(disc, 1.1), 0.05)
