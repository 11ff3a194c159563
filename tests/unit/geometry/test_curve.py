"""Paths measured and reshaped: length, flattening, bounds, maps, pieces."""

import math

import numpy as np
import pytest

from batchwright.geometry.curve import (
    Arc,
    Cubic,
    Line,
    Path,
    arc_to_cubics,
    between,
    bounds,
    chord_count,
    circle_of,
    flatten,
    joined,
    length_of,
    map_path,
    nearest,
    parameter_at_length,
    path_point_at,
    path_tangent_at,
    point_at,
    points_at,
    reversed_path,
    split,
)

QUARTER = Arc((50.0, 0.0), (50.0 * math.sqrt(0.5), 50.0 * math.sqrt(0.5)), (0.0, 50.0), "rim")
WAVE = Cubic((0.0, 50.0), (-30.0, 90.0), (-70.0, 10.0), (-100.0, 40.0), "wave")
PATH: Path = (Line((80.0, -10.0), (50.0, 0.0), "straight"), QUARTER, WAVE)


def farthest_from_chords(path: Path, points: np.ndarray) -> float:
    """Greatest distance of dense points of the true curve from the polyline."""
    worst = 0.0
    for segment in path:
        for p in points_at(segment, np.linspace(0.0, 1.0, 801)):
            d = points[1:] - points[:-1]
            t = np.clip(((p - points[:-1]) * d).sum(1) / (d * d).sum(1), 0.0, 1.0)
            worst = max(worst, float(np.hypot(*(points[:-1] + t[:, None] * d - p).T).min()))
    return worst


@pytest.mark.parametrize("tolerance", [1.0, 0.1, 0.02, 0.005])
def test_flatten_keeps_its_tolerance_and_both_ends(tolerance: float) -> None:
    points = flatten(PATH, tolerance)
    assert tuple(points[0]) == PATH[0].start
    assert tuple(points[-1]) == PATH[-1].end
    assert farthest_from_chords(PATH, points) <= tolerance
    assert np.array_equal(points, flatten(PATH, tolerance))


def test_flatten_spends_no_more_chords_than_a_circle_needs() -> None:
    """Closed form: a chord over the angle a strays by r (1 - cos(a / 2))."""
    r, tolerance = 50.0, 0.02
    need = math.ceil(0.5 * math.pi / (2.0 * math.acos(1.0 - tolerance / r)))
    assert chord_count(QUARTER, tolerance) == need


def test_flatten_refuses_what_makes_no_sense() -> None:
    with pytest.raises(ValueError, match="empty path"):
        flatten(())
    with pytest.raises(ValueError, match="above zero"):
        flatten(PATH, 0.0)
    for far in (1e12, math.inf, math.nan):
        with pytest.raises(ValueError, match="too large"):
            flatten((Cubic((0.0, 0.0), (far, 0.0), (1.0, 1.0), (9.0, 9.0)),))


def test_bounds_of_a_cubic_are_those_of_dense_points() -> None:
    low_u, low_v, high_u, high_v = bounds(WAVE)
    dense = points_at(WAVE, np.linspace(0.0, 1.0, 200_001))
    assert (low_u, low_v) == pytest.approx(tuple(dense.min(axis=0)), abs=1e-7)
    assert (high_u, high_v) == pytest.approx(tuple(dense.max(axis=0)), abs=1e-7)


def test_bounds_of_an_arc_take_the_quadrants_it_passes() -> None:
    most = Arc((3.0, 4.0), (-5.0, 0.0), (3.0, -4.0))
    assert bounds(most) == pytest.approx((-5.0, -5.0, 3.0, 5.0))
    assert bounds((most, Line((3.0, -4.0), (9.0, -8.0)))) == pytest.approx((-5.0, -8.0, 9.0, 5.0))


@pytest.mark.parametrize("turn", [0.0, 0.6, 2.5])
@pytest.mark.parametrize("mirror", [1.0, -1.0])
def test_arcs_stay_arcs_where_shapes_are_kept(turn: float, mirror: float) -> None:
    c, s = math.cos(turn), math.sin(turn)
    matrix = 1.7 * np.array([[c, -s], [s, c]]) @ np.diag([1.0, mirror])
    (moved,) = map_path((QUARTER,), matrix, (10.0, -4.0))
    assert isinstance(moved, Arc)
    circle = circle_of(moved)
    assert circle.radius == pytest.approx(85.0)
    assert circle.centre == pytest.approx((10.0, -4.0), abs=1e-9)
    assert circle.sweep == pytest.approx(mirror * 0.5 * math.pi)


def test_arcs_stretched_one_way_follow_the_ellipse_within_a_tenth_of_a_micrometre() -> None:
    moved = map_path((QUARTER,), np.diag([3.0, 0.5]), (7.0, 1.0))
    assert all(isinstance(piece, Cubic) and piece.name == "rim" for piece in moved)
    assert joined(moved)
    for piece in moved:
        p = points_at(piece, np.linspace(0.0, 1.0, 101))
        u, v = (p[:, 0] - 7.0) / 3.0, (p[:, 1] - 1.0) / 0.5
        assert np.abs(np.hypot(u, v) - 50.0).max() * 3.0 <= 1e-4


@pytest.mark.parametrize("sweep", [0.2, -1.5, 3.1, 6.2])
@pytest.mark.parametrize("tolerance", [1e-2, 1e-4, 1e-7])
def test_cubics_for_an_arc_stay_within_the_tolerance_asked_for(sweep: float, tolerance: float) -> None:
    r = 400.0
    ends = [(r * math.cos(a), r * math.sin(a)) for a in (0.0, 0.5 * sweep, sweep)]
    pieces = arc_to_cubics(Arc(ends[0], ends[1], ends[2]), tolerance)
    stray = max(float(np.abs(np.hypot(*points_at(piece, np.linspace(0.0, 1.0, 201)).T) - r).max()) for piece in pieces)
    assert stray <= tolerance * 1.01 + 1e-12
    assert pieces[0].start == pytest.approx(ends[0])
    assert pieces[-1].end == ends[2]


@pytest.mark.parametrize("segment", PATH)
@pytest.mark.parametrize("t", [0.2, 0.77])
def test_the_two_pieces_of_a_split_lie_on_the_whole(segment: Line | Arc | Cubic, t: float) -> None:
    before, after = split(segment, t)
    assert before.end == after.start
    assert before.name == after.name == segment.name
    for s in (0.0, 0.4, 1.0):
        assert point_at(before, s) == pytest.approx(point_at(segment, t * s), abs=1e-9)
        assert point_at(after, s) == pytest.approx(point_at(segment, t + (1.0 - t) * s), abs=1e-9)


def test_split_at_an_end_is_refused() -> None:
    with pytest.raises(ValueError, match="between its ends"):
        split(WAVE, 1.0)


def test_between_cuts_a_piece_out_of_a_path_and_may_turn_it_round() -> None:
    piece = between(PATH, 0.5, 2.25)
    assert [segment.name for segment in piece] == ["straight", "rim", "wave"]
    assert piece[0].start == pytest.approx(path_point_at(PATH, 0.5))
    assert piece[-1].end == pytest.approx(path_point_at(PATH, 2.25))
    assert joined(piece)
    assert between(PATH, 2.25, 0.5) == reversed_path(piece)
    assert between(PATH, 1.0, 2.0) == (QUARTER,)
    inner = between(PATH, 2.2, 2.7)
    assert inner[0].start == pytest.approx(path_point_at(PATH, 2.2))
    assert inner[0].end == pytest.approx(path_point_at(PATH, 2.7))
    with pytest.raises(ValueError, match="between two parameters"):
        between(PATH, 0.0, 3.5)


def test_place_by_length_runs_evenly_along_the_curve() -> None:
    whole = length_of(PATH)
    for share in (0.0, 0.1, 0.5, 0.93, 1.0):
        parameter = parameter_at_length(PATH, share * whole)
        run = length_of(between(PATH, 0.0, parameter)) if parameter > 0.0 else 0.0
        assert run == pytest.approx(share * whole, abs=1e-8)
    for bad in (-1.0, whole + 1.0):
        with pytest.raises(ValueError, match="does not lie on a path"):
            parameter_at_length(PATH, bad)


def test_direction_of_a_path_at_a_joint_is_that_of_the_later_segment() -> None:
    assert path_tangent_at(PATH, 1.0) == pytest.approx((0.0, 1.0))
    assert path_tangent_at(PATH, 3.0) == pytest.approx(tuple(np.array([-30.0, 30.0]) / math.hypot(30, 30)))


def test_reversed_twice_is_the_same_path() -> None:
    assert reversed_path(reversed_path(PATH)) == PATH
    assert reversed_path(PATH)[0].start == PATH[-1].end


def test_nearest_place_agrees_with_dense_points() -> None:
    rng = np.random.default_rng(7)
    for point in rng.uniform((-130.0, -60.0), (110.0, 130.0), (60, 2)):
        index, t, distance = nearest(PATH, (point[0], point[1]))
        assert distance == pytest.approx(math.dist(point_at(PATH[index], t), point), abs=1e-9)
        dense = min(
            float(np.hypot(*(points_at(segment, np.linspace(0.0, 1.0, 4001)) - point).T).min()) for segment in PATH
        )
        assert distance <= dense + 1e-12
        assert distance == pytest.approx(dense, abs=1e-3)


def test_nearest_place_to_an_arc_and_to_a_nearly_straight_one() -> None:
    index, t, distance = nearest((QUARTER,), (60.0, 60.0))
    assert (index, t) == (0, pytest.approx(0.5))
    assert distance == pytest.approx(60.0 * math.sqrt(2.0) - 50.0)
    flat = Arc((0.0, 0.0), (500.0, 1e-6), (1000.0, 0.0))
    assert nearest((flat,), (250.0, 30.0)) == (0, pytest.approx(0.25), pytest.approx(30.0 - 0.75e-6))
    with pytest.raises(ValueError, match="empty path"):
        nearest((), (0.0, 0.0))
