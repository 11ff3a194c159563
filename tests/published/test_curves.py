"""Plane curves against what has long been proved of them, and against an independent library's splines.

Sources: Archimedes, Quadrature of the Parabola, proposition 24, and Measurement of a Circle, proposition 1;
Euclid, Elements, book III, propositions 20 and 31; Pappus's centroid theorem; Steiner's formula for parallel
bodies (all closed forms, from memory); the cubic splines of SciPy, run here as the referee.
"""

import math

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.interpolate import CubicSpline

from batchwright.geometry.batten import batten, fair_values, knot_second_derivatives, parallel, strip_outline
from batchwright.geometry.curve import (
    Arc,
    Cubic,
    Line,
    Path,
    arc_sweep,
    circle_of,
    length_of,
    map_path,
    points_at,
)
from batchwright.geometry.offset import offset_outline
from batchwright.geometry.outline import (
    Outline,
    area,
    centroid,
    outline,
    outline_moments,
    polygon_outline,
    round_corner,
)

BOWS = [
    [(0.0, 0.0), (100.0, 20.0), (250.0, 10.0), (300.0, 60.0)],
    [(0.0, 0.0), (40.0, 90.0), (150.0, 160.0), (330.0, 150.0), (420.0, 40.0), (430.0, -60.0)],
    [(-12.7, 533.4), (355.6, 482.6), (558.8, 540.0), (940.0, 660.4)],
    [(0.0, 0.0), (30.0, 10.0), (0.0, 20.0)],
]


def chord_lengths(points: list[tuple[float, float]]) -> np.ndarray:
    return np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(np.array(points), axis=0).T))])


def check_against(spline: CubicSpline, curve: Path, stations: np.ndarray) -> None:
    """Equal points all along, span by span, and equal second derivatives at the points bent through."""
    t = np.linspace(0.0, 1.0, 33)
    for i, segment in enumerate(curve):
        s = stations[i] + t * (stations[i + 1] - stations[i])
        assert points_at(segment, t) == pytest.approx(spline(s), abs=1e-9)
    assert np.array(knot_second_derivatives(curve)) == pytest.approx(spline(stations, 2), abs=1e-12)


@pytest.mark.parametrize("points", BOWS)
def test_a_free_batten_is_the_natural_cubic_spline(points: list) -> None:
    s = chord_lengths(points)
    check_against(CubicSpline(s, np.array(points), bc_type="natural"), batten(points), s)


@pytest.mark.parametrize("points", BOWS)
@pytest.mark.parametrize("angles", [(0.3, -0.4), (1.6, 2.0)])
def test_a_batten_clamped_at_both_ends_is_the_clamped_cubic_spline(points: list, angles: tuple) -> None:
    s = chord_lengths(points)
    tangents = [(math.cos(a), math.sin(a)) for a in angles]
    referee = CubicSpline(s, np.array(points), bc_type=((1, np.array(tangents[0])), (1, np.array(tangents[1]))))
    check_against(referee, batten(points, *tangents), s)


@pytest.mark.parametrize("points", BOWS)
def test_a_batten_clamped_at_one_end_is_free_at_the_other(points: list) -> None:
    s = chord_lengths(points)
    referee = CubicSpline(s, np.array(points), bc_type=((1, np.array([0.6, 0.8])), (2, np.zeros(2))))
    check_against(referee, batten(points, start_tangent=(3.0, 4.0)), s)


@pytest.mark.parametrize("sag", [0.0, 0.2, 0.4, 0.49])
def test_a_clamped_batten_gives_a_cubic_back_exactly(sag: float) -> None:
    """P(s) = (a s + b s^3, c s^2), -1 <= s <= 1, through s = -1, 0, 1.

    A clamped spline returns the cubic its data come from. Here chord lengths equal the steps of s when
    (a + b)^2 + c^2 = 1, and the end derivatives have length 1 when (a + 3 b)^2 + 4 c^2 = 1: closed form.
    """
    c = sag
    one, three = math.sqrt(1.0 - c * c), math.sqrt(1.0 - 4.0 * c * c)
    b = 0.5 * (three - one)
    a = one - b
    size = 250.0
    points = [(size * (a * s + b * s**3), size * c * s * s) for s in (-1.0, 0.0, 1.0)]
    curve = batten(points, start_tangent=(three, -2.0 * c), end_tangent=(three, 2.0 * c))
    t = np.linspace(0.0, 1.0, 21)
    for segment, low in zip(curve, (-1.0, 0.0)):
        s = low + t
        exact = size * np.stack([a * s + b * s**3, c * s * s], axis=1)
        assert points_at(segment, t) == pytest.approx(exact, abs=1e-10)


def test_fair_widths_are_the_natural_cubic_spline() -> None:
    stations, widths = [0.0, 180.0, 390.0, 640.0], [41.0, 57.0, 51.0, 38.0]
    at = np.linspace(0.0, 640.0, 201)
    fair = fair_values(stations, widths)
    referee = CubicSpline(stations, widths, bc_type="natural")
    assert [fair(s) for s in at] == pytest.approx(referee(at).tolist(), abs=1e-10)


def test_area_of_a_parabola_segment_is_two_thirds_of_its_box() -> None:
    """Archimedes: four thirds of the inscribed triangle, which is half the box. Box 120 by 45."""
    bow = Cubic((60.0, 0.0), (20.0, 60.0), (-20.0, 60.0), (-60.0, 0.0))
    shape = outline([bow])
    assert area(shape) == pytest.approx(2.0 / 3.0 * 120.0 * 45.0, rel=1e-14)
    assert area(shape) == pytest.approx(4.0 / 3.0 * 0.5 * 120.0 * 45.0, rel=1e-14)
    assert centroid(shape) == pytest.approx((0.0, 0.4 * 45.0), abs=1e-10)


def test_second_moments_of_a_parabola_segment() -> None:
    """About its own centre: integral of v^2 minus A (2h/5)^2 = b h^3 (16/105 - 8/75); integral of u^2 = h b^3 / 30."""
    b, h = 120.0, 45.0
    m = outline_moments(outline([Cubic((60.0, 0.0), (20.0, 60.0), (-20.0, 60.0), (-60.0, 0.0))]))
    assert m.vv == pytest.approx(b * h**3 * (16.0 / 105.0 - 8.0 / 75.0), rel=1e-12)
    assert m.uu == pytest.approx(h * b**3 / 30.0, rel=1e-12)


@pytest.mark.parametrize("sweep", [0.4, 1.5, math.pi, 4.6, 6.0])
def test_area_and_centroid_of_a_circle_sector(sweep: float) -> None:
    """Archimedes: half the arc times the radius. Centroid at 4 r sin(a/2) / 3 a on its middle line."""
    r = 85.0
    ends = [(r * math.cos(k * sweep), r * math.sin(k * sweep)) for k in (0.0, 0.5, 1.0)]
    sector = outline([Line((0.0, 0.0), ends[0]), Arc(ends[0], ends[1], ends[2]), Line(ends[2], (0.0, 0.0))])
    assert length_of(Arc(ends[0], ends[1], ends[2])) == pytest.approx(r * sweep, rel=1e-13)
    assert area(sector) == pytest.approx(0.5 * r * r * sweep, rel=1e-13)
    away = 4.0 * r * math.sin(0.5 * sweep) / (3.0 * sweep)
    assert centroid(sector) == pytest.approx((away * math.cos(0.5 * sweep), away * math.sin(0.5 * sweep)), abs=1e-9)


def test_an_angle_in_a_half_circle_is_right_and_an_angle_at_the_rim_half_the_one_at_the_centre() -> None:
    for angle in (0.2, 1.0, 2.9):
        half = Arc((10.0, 0.0), (10.0 * math.cos(angle), 10.0 * math.sin(angle)), (-10.0, 0.0))
        assert arc_sweep(half) == pytest.approx(math.pi, abs=1e-12)
        assert circle_of(half).centre == pytest.approx((0.0, 0.0), abs=1e-12)


def test_length_of_a_parabola() -> None:
    """v = a u^2 from 0 to b: (b q + asinh(2 a b) / 2 a) / 2 with q = sqrt(1 + 4 a^2 b^2)."""
    a, b = 0.02, 90.0
    curve = Cubic((0.0, 0.0), (b / 3.0, 0.0), (2.0 * b / 3.0, a * b * b / 3.0), (b, a * b * b))
    q = math.sqrt(1.0 + 4.0 * a * a * b * b)
    assert length_of(curve) == pytest.approx(0.5 * (b * q + math.asinh(2.0 * a * b) / (2.0 * a)), abs=1e-9)


def test_length_of_a_half_cubic_parabola_with_its_cusp() -> None:
    """(t^2, t^3) from 0 to 1, scaled: ((13^1.5) - 8) / 27 of the scale. Its speed vanishes at the cusp."""
    size = 100.0
    curve = Cubic((0.0, 0.0), (0.0, 0.0), (size / 3.0, 0.0), (size, size))
    assert length_of(curve) == pytest.approx(size * (13.0**1.5 - 8.0) / 27.0, abs=1e-9)


@pytest.mark.parametrize("points", BOWS)
def test_length_of_a_batten_agrees_with_adaptive_quadrature(points: list) -> None:
    s = chord_lengths(points)
    spline = CubicSpline(s, np.array(points), bc_type="natural")
    spans = [
        quad(lambda x: float(np.hypot(*spline(x, 1))), a, b, epsabs=1e-11, epsrel=1e-12)[0] for a, b in zip(s, s[1:])
    ]
    assert length_of(batten(points)) == pytest.approx(sum(spans), abs=1e-9)


def test_area_of_an_ellipse() -> None:
    """pi a b, for a circle stretched by 3 and by 1/2 (arcs become cubics within 1e-4 mm)."""
    disc = [Arc((50.0, 0.0), (0.0, 50.0), (-50.0, 0.0)), Arc((-50.0, 0.0), (0.0, -50.0), (50.0, 0.0))]
    ellipse = outline(map_path(tuple(disc), np.diag([3.0, 0.5])))
    perimeter = length_of(ellipse.segments)
    assert area(ellipse) == pytest.approx(math.pi * 150.0 * 25.0, abs=1e-4 * perimeter)


def convex() -> Outline:
    shape = polygon_outline([(0, 0), (120, 10), (150, 70), (60, 110), (-10, 60)])
    return round_corner(round_corner(shape, (150.0, 70.0), 20.0), (0.0, 0.0), 9.0)


@pytest.mark.parametrize("distance", [2.0, 11.1, 40.0])
def test_growing_a_convex_outline_follows_steiner(distance: float) -> None:
    """Area A + L d + pi d^2, girth L + 2 pi d."""
    shape = convex()
    (ring,) = offset_outline(shape, distance)
    grown = polygon_outline(ring)
    girth = length_of(shape.segments)
    slack = 0.005 * (girth + 2.0 * math.pi * distance)
    assert area(grown) == pytest.approx(area(shape) + girth * distance + math.pi * distance**2, abs=slack)
    assert length_of(grown.segments) == pytest.approx(girth + 2.0 * math.pi * distance, abs=0.04)


@pytest.mark.parametrize("distance", [6.0, -6.0, 25.0])
def test_a_parallel_is_longer_or_shorter_by_the_angle_it_turns_times_its_distance(distance: float) -> None:
    """The plane case of Steiner's formula: L - d (direction at the end less that at the start)."""
    bow = batten([(0.0, 0.0), (100.0, 30.0), (210.0, 35.0), (330.0, -10.0)])
    turn = 0.0
    for segment in bow:
        assert isinstance(segment, Cubic)
        first = np.subtract(segment.first, segment.start)
        last = np.subtract(segment.end, segment.second)
        turn += math.atan2(first[0] * last[1] - first[1] * last[0], float(first @ last))
    assert length_of(parallel(bow, distance)) == pytest.approx(length_of(bow) - distance * turn, abs=0.01)


def test_area_of_a_bent_strip_is_its_width_times_the_length_of_its_middle() -> None:
    """Pappus's theorem in the plane, for any curve and one width."""
    for points in BOWS[:3]:
        middle = batten(points)
        assert area(strip_outline(middle, [20.0])) == pytest.approx(20.0 * length_of(middle), rel=5e-6)


def test_a_ring_segment_bent_to_an_arc() -> None:
    """A strip 30 wide along a quarter circle of radius 200: (pi / 4) (215^2 - 185^2)."""
    quarter = (Arc((200.0, 0.0), (200.0 * math.sqrt(0.5), 200.0 * math.sqrt(0.5)), (0.0, 200.0)),)
    assert area(strip_outline(quarter, [30.0])) == pytest.approx(0.25 * math.pi * (215.0**2 - 185.0**2), rel=1e-13)
