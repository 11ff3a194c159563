"""Segments evaluated: closed forms of lines, circles and cubics, and derivatives against small differences."""

import math

import numpy as np
import pytest

from batchwright.geometry.segment import (
    Arc,
    Cubic,
    Line,
    arc_sweep,
    circle_of,
    curvature_at,
    derivative_at,
    derivatives_at,
    point_at,
    points_at,
    second_derivative_at,
    second_derivatives_at,
    tangent_at,
    turned_back,
)


def on_circle(centre: tuple[float, float], radius: float, angle: float) -> tuple[float, float]:
    return (centre[0] + radius * math.cos(angle), centre[1] + radius * math.sin(angle))


def arc(centre: tuple[float, float], radius: float, start: float, sweep: float, at: float = 0.4) -> Arc:
    return Arc(*(on_circle(centre, radius, start + sweep * k) for k in (0.0, at, 1.0)), "bow")


LINE = Line((3.0, -2.0), (40.0, 25.0), "edge")
CUBIC = Cubic((0.0, 0.0), (30.0, 40.0), (70.0, -30.0), (100.0, 10.0), "bow")
ARCS = [arc((5.0, -3.0), 20.0, 0.7, sweep) for sweep in (0.3, -1.2, 3.0, -5.5, 6.0)]


@pytest.mark.parametrize("sweep", [0.001, 0.5, -0.5, math.pi, -math.pi, 5.0, -6.2])
@pytest.mark.parametrize("middle", [0.02, 0.5, 0.9])
def test_circle_of_recovers_the_circle_whichever_point_of_the_arc_is_given(sweep: float, middle: float) -> None:
    circle = circle_of(arc((12.0, 7.0), 250.0, 1.1, sweep, middle))
    assert circle.centre == pytest.approx((12.0, 7.0), abs=1e-5)
    assert circle.radius == pytest.approx(250.0, abs=1e-5)
    assert circle.sweep == pytest.approx(sweep, abs=1e-9)
    assert math.cos(circle.start_angle - 1.1) == pytest.approx(1.0)


@pytest.mark.parametrize("curve", ARCS)
@pytest.mark.parametrize("t", [0.0, 0.25, 0.5, 0.99, 1.0])
def test_points_of_an_arc_run_evenly_round_its_circle(curve: Arc, t: float) -> None:
    expected = on_circle((5.0, -3.0), 20.0, 0.7 + arc_sweep(curve) * t)
    assert point_at(curve, t) == pytest.approx(expected, abs=1e-9)
    assert abs(curvature_at(curve, t)) == pytest.approx(1.0 / 20.0)
    assert math.copysign(1.0, curvature_at(curve, t)) == math.copysign(1.0, arc_sweep(curve))


def test_a_flat_arc_keeps_its_figures() -> None:
    """Sagitta 1e-6 mm over a metre: radius c^2 / 8 s = 1.25e11 mm. The middle still comes out to a nanometre."""
    flat = Arc((0.0, 0.0), (500.0, 1e-6), (1000.0, 0.0))
    assert point_at(flat, 0.5) == pytest.approx((500.0, 1e-6), abs=1e-9)
    assert point_at(flat, 0.25) == pytest.approx((250.0, 0.75e-6), abs=1e-9)
    assert curvature_at(flat, 0.3) == pytest.approx(-8.0 * 1e-6 / 1000.0**2, rel=1e-9)


def test_three_points_on_one_line_are_a_straight_arc_without_a_circle() -> None:
    straight = Arc((0.0, 0.0), (3.0, 3.0), (10.0, 10.0))
    assert arc_sweep(straight) == 0.0
    assert point_at(straight, 0.5) == pytest.approx((5.0, 5.0))
    with pytest.raises(ValueError, match="lie on one line"):
        circle_of(straight)


@pytest.mark.parametrize("middle", [(20.0, 0.0), (-5.0, 0.0), (0.0, 0.0), (10.0, 0.0)])
def test_an_arc_whose_middle_is_not_between_its_ends_is_refused(middle: tuple[float, float]) -> None:
    with pytest.raises(ValueError, match="three different points"):
        arc_sweep(Arc((0.0, 0.0), middle, (10.0, 0.0)))


def test_an_arc_that_ends_where_it_starts_is_refused() -> None:
    with pytest.raises(ValueError, match="three different points"):
        arc_sweep(Arc((0.0, 0.0), (5.0, 5.0), (0.0, 0.0)))


@pytest.mark.parametrize("curve", [LINE, CUBIC, *ARCS])
@pytest.mark.parametrize("t", [0.1, 0.5, 0.83])
def test_derivatives_agree_with_small_differences(curve: Line | Arc | Cubic, t: float) -> None:
    h = 1e-5
    before, here, after = (np.array(point_at(curve, s)) for s in (t - h, t, t + h))
    assert np.array(derivative_at(curve, t)) == pytest.approx((after - before) / (2 * h), abs=1e-5)
    second = (np.array(derivative_at(curve, t + h)) - np.array(derivative_at(curve, t - h))) / (2 * h)
    assert np.array(second_derivative_at(curve, t)) == pytest.approx(second, abs=1e-4)
    assert before + 2 * h * np.array(derivative_at(curve, t)) == pytest.approx(after, abs=1e-6)
    assert here == pytest.approx(points_at(curve, np.array([t]))[0])


@pytest.mark.parametrize("curve", [LINE, CUBIC, *ARCS])
def test_many_parameters_at_once_give_the_same_as_one_by_one(curve: Line | Arc | Cubic) -> None:
    t = np.linspace(0.0, 1.0, 7)
    for many, one in (
        (points_at, point_at),
        (derivatives_at, derivative_at),
        (second_derivatives_at, second_derivative_at),
    ):
        assert many(curve, t) == pytest.approx(np.array([one(curve, float(s)) for s in t]), abs=1e-9)


def test_curvature_of_a_parabola_at_its_vertex_is_twice_its_coefficient() -> None:
    """y = a x^2 from -1 to 1 as a cubic (degree raised): curvature 2a at x = 0. Closed form."""
    a = 0.3
    control = [(-1.0, a), (0.0, -a), (1.0, a)]
    raised = Cubic(control[0], (-1 / 3, -a / 3), (1 / 3, -a / 3), control[2])
    assert curvature_at(raised, 0.5) == pytest.approx(2.0 * a)


def test_tangent_at_an_end_whose_handle_has_no_length_is_the_limit() -> None:
    curve = Cubic((0.0, 0.0), (0.0, 0.0), (10.0, 10.0), (20.0, 10.0))
    assert tangent_at(curve, 0.0) == pytest.approx((math.sqrt(0.5), math.sqrt(0.5)))
    assert tangent_at(curve, 1.0) == pytest.approx((1.0, 0.0))
    stub = Cubic((0.0, 0.0), (10.0, 0.0), (20.0, 10.0), (20.0, 10.0))
    assert tangent_at(stub, 1.0) == pytest.approx((math.sqrt(0.5), math.sqrt(0.5)))
    with pytest.raises(ValueError, match="no length"):
        tangent_at(Cubic((1.0, 1.0), (1.0, 1.0), (1.0, 1.0), (1.0, 1.0)), 0.0)


def test_a_cusp_has_infinite_curvature() -> None:
    cusp = Cubic((0.0, 0.0), (10.0, 10.0), (0.0, 10.0), (10.0, 0.0))
    assert derivative_at(cusp, 0.5) == pytest.approx((0.0, 0.0))
    assert abs(curvature_at(cusp, 0.5)) in (0.0, math.inf)
    assert abs(curvature_at(cusp, 0.5 + 1e-5)) > 1e3


@pytest.mark.parametrize("curve", [LINE, CUBIC, *ARCS])
def test_travelled_backwards_a_curve_has_the_same_points_and_name(curve: Line | Arc | Cubic) -> None:
    back = turned_back(curve)
    assert back.name == curve.name
    assert turned_back(back) == curve
    for t in (0.0, 0.3, 1.0):
        assert point_at(back, t) == pytest.approx(point_at(curve, 1.0 - t), abs=1e-9)
    assert curvature_at(back, 0.3) == pytest.approx(-curvature_at(curve, 0.7))
