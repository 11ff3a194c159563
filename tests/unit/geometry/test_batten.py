"""The bent batten: what it goes through, how its ends behave, where it bulges."""

import math

import numpy as np
import pytest

from batchwright.geometry.batten import (
    batten,
    curvature_sign_changes,
    fair_values,
    knot_second_derivatives,
    knot_stations,
)
from batchwright.geometry.curve import Cubic, Line, curvature_at, joined, point_at, tangent_at
from batchwright.geometry.spline import FairValues, spline_slopes

POINTS = [(0.0, 0.0), (90.0, 25.0), (240.0, 40.0), (300.0, 20.0), (420.0, 35.0)]


def test_a_batten_goes_through_its_points_one_span_to_each_pair() -> None:
    curve = batten(POINTS, name="bow")
    assert len(curve) == len(POINTS) - 1
    assert joined(curve, 0.0)
    assert [segment.start for segment in curve] + [curve[-1].end] == POINTS
    assert {segment.name for segment in curve} == {"bow"}


@pytest.mark.parametrize("ends", [(None, None), ((1.0, 2.0), None), (None, (3.0, -1.0)), ((0.0, 1.0), (1.0, 0.0))])
def test_direction_and_curvature_run_on_over_every_point(ends: tuple) -> None:
    curve = batten(POINTS, *ends)
    for before, after in zip(curve, curve[1:]):
        assert tangent_at(before, 1.0) == pytest.approx(tangent_at(after, 0.0), abs=1e-12)
        assert curvature_at(before, 1.0) == pytest.approx(curvature_at(after, 0.0), abs=1e-12)


def test_a_free_end_does_not_bend_and_a_clamped_one_keeps_its_direction() -> None:
    free = batten(POINTS)
    assert curvature_at(free[0], 0.0) == pytest.approx(0.0, abs=1e-12)
    assert knot_second_derivatives(free)[0] == pytest.approx((0.0, 0.0), abs=1e-12)
    assert knot_second_derivatives(free)[-1] == pytest.approx((0.0, 0.0), abs=1e-12)
    clamped = batten(POINTS, start_tangent=(0.0, 7.0), end_tangent=(5.0, 5.0))
    assert tangent_at(clamped[0], 0.0) == pytest.approx((0.0, 1.0))
    assert tangent_at(clamped[-1], 1.0) == pytest.approx((math.sqrt(0.5), math.sqrt(0.5)))


def test_two_points_are_a_straight_line_unless_an_end_is_clamped_off_it() -> None:
    assert batten([(0.0, 0.0), (30.0, 40.0)], name="edge") == (Line((0.0, 0.0), (30.0, 40.0), "edge"),)
    assert batten([(0.0, 0.0), (30.0, 40.0)], start_tangent=(3.0, 4.0)) == (Line((0.0, 0.0), (30.0, 40.0)),)
    (bent,) = batten([(0.0, 0.0), (30.0, 40.0)], start_tangent=(1.0, 0.0))
    assert isinstance(bent, Cubic)
    assert tangent_at(bent, 0.0) == pytest.approx((1.0, 0.0))


def test_points_in_order_on_one_line_give_straight_lines_one_to_a_span() -> None:
    curve = batten([(0.0, 0.0), (10.0, 5.0), (30.0, 15.0), (32.0, 16.0)])
    assert len(curve) == 3
    assert all(isinstance(segment, Line) for segment in curve)
    doubling_back = batten([(0.0, 0.0), (30.0, 0.0), (10.0, 0.0)])
    assert any(isinstance(segment, Cubic) for segment in doubling_back)


def test_a_batten_moved_and_turned_is_the_batten_of_the_moved_points() -> None:
    c, s = math.cos(0.7), math.sin(0.7)
    turned = [(c * u - s * v + 12.0, s * u + c * v - 5.0) for u, v in POINTS]
    for before, after in zip(batten(POINTS), batten(turned)):
        u, v = point_at(before, 0.37)
        assert point_at(after, 0.37) == pytest.approx((c * u - s * v + 12.0, s * u + c * v - 5.0))


@pytest.mark.parametrize("points", [[], [(1.0, 1.0)]])
def test_a_batten_needs_two_points(points: list) -> None:
    with pytest.raises(ValueError, match="two or more points"):
        batten(points)


def test_points_that_fall_together_are_named() -> None:
    with pytest.raises(ValueError, match="points 2 and 3 of a batten fall together"):
        batten([(0.0, 0.0), (10.0, 0.0), (10.0, 0.0), (20.0, 5.0)])


def test_a_direction_without_length_is_refused() -> None:
    with pytest.raises(ValueError, match="length above zero"):
        batten(POINTS, start_tangent=(0.0, 0.0))


def test_a_bow_has_no_change_of_bend_and_an_s_has_one() -> None:
    bow = batten([(0.0, 0.0), (100.0, 20.0), (200.0, 27.0), (300.0, 20.0), (400.0, 0.0)])
    assert curvature_sign_changes(bow) == ()
    ((parameter, place),) = curvature_sign_changes(
        batten([(0.0, 0.0), (100.0, 20.0), (200.0, 0.0), (300.0, -20.0), (400.0, 0.0)])
    )
    assert parameter == pytest.approx(2.0, abs=1e-9)
    assert place == pytest.approx((200.0, 0.0), abs=1e-6)


def test_a_short_span_between_long_ones_bulges_and_is_told() -> None:
    """The chords turn right at every point (slopes 0.2, 0.19, -0.2), yet the batten bends left for a while."""
    points = [(0.0, 0.0), (100.0, 20.0), (120.0, 23.8), (320.0, -16.2)]
    slopes = [(b[1] - a[1]) / (b[0] - a[0]) for a, b in zip(points, points[1:])]
    assert slopes == sorted(slopes, reverse=True)
    curve = batten(points)
    ((parameter, place),) = curvature_sign_changes(curve)
    segment, t = curve[int(parameter)], parameter - int(parameter)
    assert curvature_at(segment, t) == pytest.approx(0.0, abs=1e-9)
    assert curvature_at(segment, t - 1e-3) * curvature_at(segment, t + 1e-3) < 0.0
    assert point_at(segment, t) == pytest.approx(place)


def test_an_inflection_of_a_single_cubic_is_found_where_its_curvature_is_zero() -> None:
    s = Cubic((0.0, 0.0), (30.0, 40.0), (60.0, -40.0), (90.0, 0.0))
    ((parameter, place),) = curvature_sign_changes((s,))
    assert parameter == pytest.approx(0.5)
    assert place == pytest.approx((45.0, 0.0))


def test_knot_stations_are_chord_lengths() -> None:
    assert knot_stations(batten([(0.0, 0.0), (3.0, 4.0), (3.0, 16.0)])) == pytest.approx((0.0, 5.0, 17.0))


def test_fair_values_of_one_are_constant_and_of_two_straight() -> None:
    assert fair_values([0.0, 50.0, 80.0], [22.0])(61.0) == 22.0
    run = fair_values([0.0, 50.0], [20.0, 30.0])
    assert [run(s) for s in (0.0, 25.0, 50.0)] == pytest.approx([20.0, 25.0, 30.0])


def test_fair_values_run_on_straight_beyond_their_ends() -> None:
    fair = FairValues([0.0, 10.0, 30.0], [4.0, 9.0, 5.0])
    at = np.array([-5.0, 0.0, 30.0, 42.0])
    slopes = fair.slope(at)
    assert fair(at) == pytest.approx([4.0 - 5.0 * slopes[0], 4.0, 5.0, 5.0 + 12.0 * slopes[3]])
    assert (slopes[0], slopes[3]) == (pytest.approx(fair.slopes[0]), pytest.approx(fair.slopes[-1]))
    assert fair.stations == (0.0, 10.0, 30.0)


def test_fair_values_that_do_not_match_are_refused() -> None:
    with pytest.raises(ValueError, match="2 values do not match 3 stations"):
        fair_values([0.0, 1.0, 2.0], [1.0, 2.0])
    with pytest.raises(ValueError, match="must rise"):
        fair_values([0.0, 2.0, 1.0], [1.0, 2.0, 3.0])
    with pytest.raises(ValueError, match="two or more stations"):
        spline_slopes([0.0], [1.0])
