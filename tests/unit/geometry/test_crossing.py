"""Where paths meet lines, and paths meet paths."""

import math

import numpy as np
import pytest

from batchwright.geometry.crossing import crossings_with_line, path_at_coordinate
from batchwright.geometry.curve import Arc, Cubic, Line, Path, path_crossings, path_point_at
from batchwright.geometry.intersection import self_crossings
from batchwright.geometry.root import quadratic_roots

HALF = Arc((10.0, 0.0), (0.0, 10.0), (-10.0, 0.0))
S_CURVE = Cubic((0.0, -1.0), (1.0, 3.0), (2.0, -3.0), (3.0, 1.0))


def test_a_line_across_a_circle_cuts_a_chord() -> None:
    """Closed form: at height h a circle of radius r is 2 sqrt(r^2 - h^2) wide."""
    low, high = crossings_with_line((HALF,), (3.0, 6.0), (2.0, 0.0))
    assert low[1:] == (pytest.approx(-11.0), pytest.approx((-8.0, 6.0)))
    assert high[1:] == (pytest.approx(5.0), pytest.approx((8.0, 6.0)))
    assert low[0] > high[0]


def test_a_line_touching_a_circle_is_one_crossing() -> None:
    ((t, distance, place),) = crossings_with_line((HALF,), (0.0, 10.0), (1.0, 0.0))
    assert (t, distance) == (pytest.approx(0.5), pytest.approx(0.0, abs=1e-9))
    assert place == pytest.approx((0.0, 10.0))
    assert crossings_with_line((HALF,), (0.0, 10.001), (1.0, 0.0)) == ()


def test_an_s_curve_meets_its_middle_line_three_times() -> None:
    """v(t) = -1 + 12 t - 30 t^2 + 20 t^3 = (2t - 1)(10 t^2 - 10 t + 1): roots 1/2 and 1/2 +- sqrt(15)/10."""
    found = crossings_with_line((S_CURVE,), (0.0, 0.0), (1.0, 0.0))
    roots = [0.5 - math.sqrt(15.0) / 10.0, 0.5, 0.5 + math.sqrt(15.0) / 10.0]
    assert [t for t, _, _ in found] == pytest.approx(roots, abs=1e-12)
    assert [distance for _, distance, _ in found] == pytest.approx([3.0 * t for t in roots])


def test_a_joint_is_told_once_also_where_a_loop_closes() -> None:
    square: Path = tuple(
        Line(a, b)
        for a, b in zip(
            [(0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0)],
            [(4.0, 0.0), (4.0, 4.0), (0.0, 4.0), (0.0, 0.0)],
            strict=True,
        )
    )
    found = crossings_with_line(square, (0.0, 0.0), (1.0, 1.0))
    assert [place for _, _, place in found] == [(0.0, 0.0), (4.0, 4.0)]
    along = crossings_with_line(square, (0.0, 4.0), (1.0, 0.0))
    assert [place for _, _, place in along] == [(0.0, 4.0), (4.0, 4.0)]


def test_path_at_coordinate_gives_every_point_in_order() -> None:
    low, high = path_at_coordinate((HALF,), 1, 6.0)
    assert low == pytest.approx((-8.0, 6.0))
    assert high == pytest.approx((8.0, 6.0))
    assert low[1] == high[1] == 6.0
    ((u, v),) = path_at_coordinate((HALF,), 0, 6.0)
    assert (u, v) == (6.0, pytest.approx(8.0))
    assert path_at_coordinate((HALF,), 0, 10.5) == ()


def test_a_line_without_direction_is_refused() -> None:
    with pytest.raises(ValueError, match="length above zero"):
        crossings_with_line((HALF,), (0.0, 0.0), (0.0, 0.0))


@pytest.mark.parametrize(
    ("a", "b", "c", "roots"),
    [
        (1.0, -3.0, 2.0, (1.0, 2.0)),
        (1.0, -2.0, 1.0, (1.0,)),
        (1.0, 0.0, 1.0, ()),
        (0.0, 2.0, -3.0, (1.5,)),
        (0.0, 0.0, 1.0, ()),
        (0.0, 0.0, 0.0, ()),
        (1.0, 0.0, 0.0, (0.0,)),
        (1.0, -1e8, 1.0, (1e-8, 1e8)),
    ],
)
def test_roots_of_a_quadratic(a: float, b: float, c: float, roots: tuple[float, ...]) -> None:
    assert quadratic_roots(a, b, c) == pytest.approx(roots, rel=1e-12)


def test_two_circles_meet_where_their_common_chord_says() -> None:
    """Circles of radius 5 about (0, 0) and (6, 0): at u = 3, v = 4. Closed form."""
    left = Arc((5.0, 0.0), (0.0, 5.0), (-5.0, 0.0))
    right = Arc((11.0, 0.0), (6.0, 5.0), (1.0, 0.0))
    ((t, u, place),) = path_crossings((left,), (right,))
    assert place == pytest.approx((3.0, 4.0), abs=1e-9)
    assert path_point_at((left,), t) == pytest.approx(place)
    assert path_point_at((right,), u) == pytest.approx(place, abs=1e-7)


def test_a_line_ending_on_a_curve_meets_it() -> None:
    """The chord of the curve falls short of the line's end: found all the same."""
    ((_, u, place),) = path_crossings((HALF,), (Line((0.0, 30.0), (6.0, 8.0)),))
    assert (u, place) == (pytest.approx(1.0), pytest.approx((6.0, 8.0), abs=1e-7))


def test_curves_that_pass_close_by_do_not_meet() -> None:
    assert path_crossings((HALF,), (Line((-20.0, 10.001), (20.0, 10.001)),)) == ()
    assert len(path_crossings((HALF,), (Line((-20.0, 9.999), (20.0, 9.999)),))) == 2
    touching = path_crossings((HALF,), (Line((-20.0, 10.0), (20.0, 10.0)),))
    assert touching
    assert all(place == pytest.approx((0.0, 10.0), abs=0.02) for _, _, place in touching)


def test_lines_on_top_of_each_other_give_the_ends_of_what_they_share() -> None:
    found = path_crossings((Line((0.0, 0.0), (10.0, 0.0)),), (Line((15.0, 0.0), (4.0, 0.0)),))
    assert [place for _, _, place in found] == [pytest.approx((4.0, 0.0)), pytest.approx((10.0, 0.0))]


def test_two_s_curves_meet_where_dense_search_says() -> None:
    other = Cubic((0.0, 0.5), (1.0, -2.0), (2.0, 2.0), (3.0, -0.5))
    found = path_crossings((S_CURVE,), (other,))
    t = np.linspace(0.0, 1.0, 200_000)
    gap = (-1 + 12 * t - 30 * t**2 + 20 * t**3) - (0.5 - 7.5 * t + 19.5 * t**2 - 13 * t**3)
    crossing = 3.0 * t[:-1][gap[:-1] * gap[1:] < 0.0]
    assert [place[0] for _, _, place in found] == pytest.approx(crossing.tolist(), abs=1e-4)


def test_a_looping_cubic_crosses_itself_once() -> None:
    """Symmetric about u = 50: the crossing lies on that line. (0,0) (150,100) (-50,100) (100,0)."""
    loop = Cubic((0.0, 0.0), (150.0, 100.0), (-50.0, 100.0), (100.0, 0.0))
    ((u, v),) = self_crossings((loop,), closed=False)
    assert u == pytest.approx(50.0, abs=1e-6)
    assert 0.0 < v < 75.0
    assert self_crossings((S_CURVE,), closed=False) == ()


def test_a_path_that_turns_straight_back_is_told() -> None:
    spike: Path = (Line((0.0, 0.0), (10.0, 0.0)), Line((10.0, 0.0), (4.0, 0.0)))
    assert (10.0, 0.0) in self_crossings(spike, closed=False)
