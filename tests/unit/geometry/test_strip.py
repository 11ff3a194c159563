"""Parallels and strips, held against the definition: every point at its distance, square to the curve."""

import math

import numpy as np
import pytest

from batchwright.geometry.batten import batten, parallel, strip_outline
from batchwright.geometry.curve import (
    Arc,
    Cubic,
    Line,
    Path,
    circle_of,
    joined,
    length_of,
    nearest,
    points_at,
    tangent_at,
)
from batchwright.geometry.outline import area, crosses_itself
from batchwright.geometry.spline import FairValues

BOW = batten([(0.0, 0.0), (120.0, 40.0), (260.0, 55.0), (430.0, 10.0)], name="bow")
TIGHT = batten([(0.0, 0.0), (60.0, 70.0), (150.0, 90.0), (220.0, 30.0), (330.0, 40.0)])


def dense(path: Path, count: int = 41) -> np.ndarray:
    return np.concatenate([points_at(segment, np.linspace(0.0, 1.0, count)) for segment in path])


@pytest.mark.parametrize("curve", [BOW, TIGHT])
@pytest.mark.parametrize("distance", [12.0, -12.0, 0.5, -30.0])
def test_every_point_of_a_parallel_keeps_its_distance(curve: Path, distance: float) -> None:
    beside = parallel(curve, distance)
    assert joined(beside, 1e-9)
    gaps = [nearest(curve, (u, v))[2] for u, v in dense(beside)[1:-1]]
    assert np.abs(np.array(gaps) - abs(distance)).max() <= 0.005
    first = np.array(beside[0].start) - np.array(curve[0].start)
    d = tangent_at(curve[0], 0.0)
    assert first == pytest.approx([-distance * d[1], distance * d[0]])


def test_parallels_of_lines_and_arcs_are_lines_and_arcs() -> None:
    path = (
        Line((0.0, 0.0), (50.0, 0.0), "a"),
        Arc((50.0, 0.0), (50 + 30 * math.sin(1), 30 - 30 * math.cos(1)), (80.0, 30.0), "b"),
    )
    left, right = parallel(path, 10.0), parallel(path, -10.0)
    assert left[0] == Line((0.0, 10.0), (50.0, 10.0), "a")
    assert isinstance(left[1], Arc)
    assert circle_of(left[1]).radius == pytest.approx(20.0)
    assert isinstance(right[1], Arc)
    assert circle_of(right[1]).radius == pytest.approx(40.0)
    assert circle_of(right[1]).centre == pytest.approx((50.0, 30.0))


def test_a_radius_too_small_for_the_distance_is_named() -> None:
    arc = (Arc((30.0, 0.0), (0.0, 30.0), (-30.0, 0.0)),)
    with pytest.raises(ValueError, match=r"a parallel at 31 mm folds over: the curve's radius is only 30 mm"):
        parallel(arc, 31.0)
    assert parallel(arc, 29.0)
    with pytest.raises(ValueError, match="folds over"):
        parallel(TIGHT, -200.0)


def test_the_radius_named_is_the_curves_own() -> None:
    """A parabola v = u^2 / 100 has radius 50 at its vertex (closed form 1 / 2a)."""
    parabola = (Cubic((-50.0, 25.0), (-50.0 / 3, -25.0 / 3), (50.0 / 3, -25.0 / 3), (50.0, 25.0)),)
    assert parallel(parabola, 49.9)
    with pytest.raises(ValueError, match="radius is only 50 mm"):
        parallel(parabola, 50.5)


def test_a_path_with_a_corner_or_a_gap_has_no_parallel() -> None:
    with pytest.raises(ValueError, match="has a corner at"):
        parallel((Line((0.0, 0.0), (10.0, 0.0)), Line((10.0, 0.0), (10.0, 10.0))), 1.0)
    with pytest.raises(ValueError, match="not in one piece"):
        parallel((Line((0.0, 0.0), (10.0, 0.0)), Line((11.0, 0.0), (20.0, 0.0))), 1.0)
    with pytest.raises(ValueError, match="empty path"):
        parallel((), 1.0)


def test_a_batten_that_turns_back_on_itself_has_no_sides() -> None:
    """Three points on one line, the third between the others: the batten runs to a point and back."""
    there_and_back = batten([(0.0, 0.0), (30.0, 0.0), (10.0, 0.0)])
    with pytest.raises(ValueError, match="turns back on itself"):
        parallel(there_and_back, 2.0)
    with pytest.raises(ValueError, match="turns back on itself"):
        strip_outline(there_and_back, [5.0])


def true_sides(path: Path, widths: list[float]) -> tuple[np.ndarray, np.ndarray]:
    """The two sides by their definition: centre line plus and minus half the fair width, square to it."""
    chords = [math.dist(s.start, s.end) for s in path]
    stations = np.concatenate([[0.0], np.cumsum(chords)])
    fair = FairValues(stations.tolist(), widths)
    left, right = [], []
    for i, segment in enumerate(path):
        for t in np.linspace(0.0, 1.0, 161)[1 if i else 0 :]:
            p = points_at(segment, np.array([t]))[0]
            d = tangent_at(segment, float(t))
            half = 0.5 * fair(float(stations[i] + t * chords[i]))
            left.append((p[0] - half * d[1], p[1] + half * d[0]))
            right.append((p[0] + half * d[1], p[1] - half * d[0]))
    return np.array(left), np.array(right)


@pytest.mark.parametrize(
    ("path", "widths"), [(BOW, [40.0, 58.0, 50.0, 36.0]), (TIGHT, [30.0, 24.0, 36.0, 30.0, 20.0]), (BOW, [45.0])]
)
def test_the_sides_of_a_strip_are_where_their_definition_says(path: Path, widths: list[float]) -> None:
    outline = strip_outline(path, widths)
    for name, points in zip(("side left", "side right"), true_sides(path, widths)):
        side = tuple(segment for segment in outline.segments if segment.name == name)
        strays = [nearest(side, (u, v))[2] for u, v in points[::4]]
        assert max(strays) <= 0.01
        for u, v in dense(side, 9):
            d = points[1:] - points[:-1]
            t = np.clip((((u, v) - points[:-1]) * d).sum(1) / (d * d).sum(1), 0.0, 1.0)
            assert float(np.hypot(*(points[:-1] + t[:, None] * d - (u, v)).T).min()) <= 0.012


def test_a_strip_is_closed_and_counter_clockwise_with_square_ends() -> None:
    outline = strip_outline(BOW, [40.0, 58.0, 50.0, 36.0])
    assert area(outline) > 0.0
    assert crosses_itself(outline) == ()
    ends = {s.name: s for s in outline.segments if s.name.startswith("end")}
    start, end = ends["end start"], ends["end end"]
    assert math.dist(start.start, start.end) == pytest.approx(40.0)
    assert math.dist(end.start, end.end) == pytest.approx(36.0)
    for line, segment, t in ((start, BOW[0], 0.0), (end, BOW[-1], 1.0)):
        a, b = tangent_at(line, 0.5), tangent_at(segment, t)
        assert a[0] * b[0] + a[1] * b[1] == pytest.approx(0.0, abs=1e-12)
    names = [s.name for s in outline.segments]
    assert list(dict.fromkeys(names)) == ["side right", "end end", "side left", "end start"]


def test_a_straight_strip_of_one_width_is_a_rectangle() -> None:
    outline = strip_outline(batten([(0.0, 0.0), (100.0, 0.0)]), [20.0])
    assert set(outline.segments) == {
        Line((0.0, -10.0), (100.0, -10.0), "side right"),
        Line((100.0, -10.0), (100.0, 10.0), "end end"),
        Line((100.0, 10.0), (0.0, 10.0), "side left"),
        Line((0.0, 10.0), (0.0, -10.0), "end start"),
    }


def test_a_straight_strip_between_two_widths_is_a_taper() -> None:
    outline = strip_outline(batten([(0.0, 0.0), (100.0, 0.0)]), [20.0, 30.0])
    assert all(isinstance(segment, Line) for segment in outline.segments)
    assert area(outline) == pytest.approx(2500.0)


def test_a_straight_strip_with_a_fair_width_is_exact() -> None:
    """Widths 20, 26, 20 at 0, 50, 100: each side is the natural spline itself, a cubic."""
    line = batten([(0.0, 0.0), (50.0, 0.0), (100.0, 0.0)])
    outline = strip_outline(line, [20.0, 26.0, 20.0])
    fair = FairValues([0.0, 50.0, 100.0], [20.0, 26.0, 20.0])
    for segment in outline.segments:
        if segment.name == "side left":
            p = points_at(segment, np.linspace(0.0, 1.0, 21))
            assert p[:, 1] == pytest.approx(0.5 * np.array(fair(p[:, 0])), abs=1e-9)
    assert len(outline.segments) == 6


def test_a_strip_that_cannot_be_is_refused_with_its_place() -> None:
    with pytest.raises(ValueError, match="3 widths do not match 4 points"):
        strip_outline(BOW, [10.0, 20.0, 30.0])
    with pytest.raises(ValueError, match="no width between"):
        strip_outline(BOW, [10.0, -5.0, 10.0, 10.0])
    with pytest.raises(ValueError, match="half its width .* folds over: the curve's radius is only"):
        strip_outline(TIGHT, [400.0])
    start = (50.0 * math.cos(0.2), -50.0 * math.sin(0.2))
    hairpin = (Arc(start, (0.0, 50.0), (0.0, -50.0)), Line((0.0, -50.0), (60.0, -50.0)))
    with pytest.raises(ValueError, match="crosses itself"):
        strip_outline(hairpin, [99.0])


def test_the_width_may_not_vanish_between_its_points() -> None:
    line = batten([(0.0, 0.0), (50.0, 0.0), (100.0, 0.0), (150.0, 0.0)])
    with pytest.raises(ValueError, match="no width between"):
        strip_outline(line, [60.0, 1.0, 1.0, 60.0])


def test_area_of_a_constant_strip_is_width_times_length_of_the_middle() -> None:
    """Pappus's second theorem in the plane: what one side gains the other loses."""
    assert area(strip_outline(BOW, [40.0])) == pytest.approx(40.0 * length_of(BOW), rel=1e-5)
