"""Laws of plane geometry that hold for any outline: what motions keep, what maps undo, what cuts add up to."""

import math

import numpy as np
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from batchwright.geometry.batten import batten, curvature_sign_changes, knot_stations, parallel, strip_outline
from batchwright.geometry.curve import (
    Arc,
    Line,
    Path,
    between,
    flatten,
    length_of,
    map_path,
    nearest,
    path_point_at,
    path_tangent_at,
    points_at,
    reversed_path,
)
from batchwright.geometry.outline import (
    Outline,
    area,
    bounds,
    centroid,
    contains,
    crosses_itself,
    cut_outline,
    map_outline,
    moved,
    outline,
    same_shape,
    smallest_rectangle,
    to_polygon,
    turned,
)
from batchwright.geometry.spline import FairValues

QUICK = settings(max_examples=30, deadline=None)
SLOWER = settings(max_examples=12, deadline=None)

lengths = st.floats(20.0, 400.0)
bows = st.floats(-0.45, 0.45)
angles = st.floats(-math.pi, math.pi)
shifts = st.tuples(st.floats(-500.0, 500.0), st.floats(-500.0, 500.0))


@st.composite
def outlines(draw: st.DrawFn) -> Outline:
    """A star-shaped loop of three to seven corners, its edges lines, arcs or battens with a modest bow."""
    count = draw(st.integers(3, 7))
    radii = [draw(st.floats(60.0, 120.0)) for _ in range(count)]
    around = [2.0 * math.pi * (i + draw(st.floats(-0.15, 0.15))) / count for i in range(count)]
    corners = [(r * math.cos(a), r * math.sin(a)) for r, a in zip(radii, around)]
    segments: list = []
    for i, (a, b) in enumerate(zip(corners, corners[1:] + corners[:1])):
        kind = draw(st.sampled_from(["line", "arc", "batten"]))
        bow = draw(st.floats(-0.06, 0.12).filter(lambda x: abs(x) > 0.005))
        m = (0.5 * (a[0] + b[0]) + bow * (b[1] - a[1]), 0.5 * (a[1] + b[1]) - bow * (b[0] - a[0]))
        if kind == "line":
            segments.append(Line(a, b, f"edge {i}"))
        elif kind == "arc":
            segments.append(Arc(a, m, b, f"edge {i}"))
        else:
            segments += batten([a, m, b], name=f"edge {i}")
    shape = outline(segments)
    assume(not crosses_itself(shape))
    return shape


@st.composite
def paths(draw: st.DrawFn) -> Path:
    """A batten through three to six points that goes more or less one way."""
    u, points = 0.0, []
    for _ in range(draw(st.integers(3, 6))):
        points.append((u, draw(st.floats(-60.0, 60.0))))
        u += draw(lengths)
    return batten(points, name="bow")


def close(a: Path, b: Path, slack: float) -> bool:
    assert len(a) == len(b)
    t = np.linspace(0.0, 1.0, 5)
    return all(np.abs(points_at(p, t) - points_at(q, t)).max() <= slack and p.name == q.name for p, q in zip(a, b))


@QUICK
@given(outlines(), angles, shifts)
def test_a_motion_keeps_area_length_and_inside(shape: Outline, angle: float, shift: tuple[float, float]) -> None:
    there = moved(turned(shape, angle), shift)
    assert math.isclose(area(there), area(shape), rel_tol=1e-9)
    assert math.isclose(length_of(there.segments), length_of(shape.segments), rel_tol=1e-9)
    u, v = centroid(shape)
    c, s = math.cos(angle), math.sin(angle)
    assert np.allclose(centroid(there), (c * u - s * v + shift[0], s * u + c * v + shift[1]), atol=1e-6)
    assert contains(there, (shift[0], shift[1])) == contains(shape, (0.0, 0.0))


@QUICK
@given(outlines(), st.floats(0.3, 3.0), angles, shifts, st.booleans())
def test_a_map_that_keeps_shapes_is_undone_by_its_inverse(
    shape: Outline, scale: float, angle: float, shift: tuple[float, float], mirror: bool
) -> None:
    c, s = math.cos(angle), math.sin(angle)
    m = scale * np.array([[c, -s], [s, c]]) @ np.diag([1.0, -1.0 if mirror else 1.0])
    back = np.linalg.inv(m)
    offset = tuple((-back @ np.array(shift)).tolist())
    assert close(map_path(map_path(shape.segments, m, shift), back, offset), shape.segments, 1e-8)
    mapped = map_outline(shape, m, shift)
    assert area(mapped) > 0.0
    assert math.isclose(area(mapped), scale**2 * area(shape), rel_tol=1e-9)
    assert close(map_outline(mapped, back, offset).segments, shape.segments, 1e-8)


@QUICK
@given(outlines(), st.floats(0.4, 2.5), st.floats(0.4, 2.5), st.floats(-0.8, 0.8))
def test_any_map_multiplies_the_area_by_its_determinant(shape: Outline, a: float, d: float, shear: float) -> None:
    m = np.array([[a, shear], [0.0, d]])
    assert math.isclose(area(map_outline(shape, m)), a * d * area(shape), rel_tol=2e-5)


@QUICK
@given(outlines())
def test_an_outline_is_counter_clockwise_whichever_way_it_was_drawn(shape: Outline) -> None:
    again = outline(reversed_path(shape.segments))
    assert area(again) > 0.0
    assert math.isclose(area(again), area(shape), rel_tol=1e-12)
    assert same_shape(again, shape, 0.05)


@QUICK
@given(outlines(), st.floats(0.01, 0.5))
def test_a_polygon_lies_within_its_tolerance_of_the_outline(shape: Outline, tolerance: float) -> None:
    polygon = to_polygon(shape, tolerance)
    low_u, low_v, high_u, high_v = bounds(shape)
    assert polygon[:, 0].min() >= low_u - 1e-9
    assert polygon[:, 0].max() <= high_u + 1e-9
    assert low_u + tolerance >= polygon[:, 0].min() - 1e-9
    assert polygon[:, 1].max() >= high_v - tolerance - 1e-9
    assert polygon[:, 1].min() >= low_v - 1e-9
    q = np.roll(polygon, -1, axis=0)
    by_shoelace = 0.5 * float((polygon[:, 0] * q[:, 1] - polygon[:, 1] * q[:, 0]).sum())
    assert abs(by_shoelace - area(shape)) <= tolerance * length_of(shape.segments)


@QUICK
@given(outlines(), angles, shifts)
def test_the_two_sides_of_a_cut_make_up_the_outline(shape: Outline, angle: float, shift: tuple[float, float]) -> None:
    place, d = (0.2 * shift[0], 0.2 * shift[1]), (math.cos(angle), math.sin(angle))
    left, right = cut_outline(shape, place, d), cut_outline(shape, place, (-d[0], -d[1]))
    assert math.isclose(sum(area(p) for p in left + right), area(shape), rel_tol=1e-9)
    for piece in left:
        heights = (to_polygon(piece, 0.5) - np.array(place)) @ np.array([-d[1], d[0]])
        assert heights.min() >= -1e-6


@SLOWER
@given(outlines(), angles)
def test_a_shape_is_the_same_turned_and_its_mirror_image_turned_over(shape: Outline, angle: float) -> None:
    assert same_shape(shape, turned(shape, angle), 0.05, turn=True)
    mirror = turned(map_outline(shape, np.diag([-1.0, 1.0])), angle)
    assert same_shape(shape, mirror, 0.05, mirror=True, turn=True)


@QUICK
@given(outlines(), angles)
def test_the_smallest_rectangle_turns_with_the_outline(shape: Outline, angle: float) -> None:
    long, short, _ = smallest_rectangle(shape)
    again = smallest_rectangle(turned(shape, angle))
    assert math.isclose(long * short, again[0] * again[1], rel_tol=1e-3)
    assert long * short >= area(shape)


@QUICK
@given(paths(), st.floats(0.05, 0.95), st.floats(0.05, 0.95))
def test_lengths_of_the_pieces_of_a_path_add_up(path: Path, a: float, b: float) -> None:
    low, high = sorted((a * len(path), b * len(path)))
    assume(high - low > 1e-3)
    parts = [between(path, 0.0, low), between(path, low, high), between(path, high, float(len(path)))]
    assert math.isclose(sum(length_of(part) for part in parts), length_of(path), rel_tol=1e-10)


@QUICK
@given(paths(), st.floats(0.0, 1.0))
def test_a_point_of_a_path_is_its_own_nearest(path: Path, share: float) -> None:
    assert nearest(path, path_point_at(path, share * len(path)))[2] <= 1e-9


@QUICK
@given(paths(), st.floats(-25.0, 25.0), st.floats(0.0, 1.0))
def test_a_parallel_keeps_its_distance(path: Path, distance: float, share: float) -> None:
    try:
        beside = parallel(path, distance)
    except ValueError as refused:
        assert "folds over" in str(refused)
        return
    for k in range(8):
        place = min((share + k) / 8.0, 1.0) * len(path)
        (u, v), (du, dv) = path_point_at(path, place), path_tangent_at(path, place)
        assert nearest(beside, (u - distance * dv, v + distance * du))[2] <= 0.005


@QUICK
@given(paths(), st.lists(st.floats(15.0, 60.0), min_size=6, max_size=6), st.floats(0.0, 1.0))
def test_a_strip_is_as_wide_as_its_fair_width(path: Path, widths: list[float], share: float) -> None:
    widths = widths[: len(path) + 1]
    try:
        shape = strip_outline(path, widths)
    except ValueError as refused:
        assert any(word in str(refused) for word in ("folds over", "crosses itself", "no width"))
        return
    fair, stations = FairValues(knot_stations(path), widths), knot_stations(path)
    for k in range(8):
        place = min((share + k) / 8.0, 1.0) * len(path)
        i = min(int(place), len(path) - 1)
        half = 0.5 * fair(stations[i] + (place - i) * (stations[i + 1] - stations[i]))
        (u, v), (du, dv) = path_point_at(path, place), path_tangent_at(path, place)
        for name, side in (("side left", half), ("side right", -half)):
            edge = tuple(segment for segment in shape.segments if segment.name == name)
            assert nearest(edge, (u - side * dv, v + side * du))[2] <= 0.01


@QUICK
@given(paths(), shifts)
def test_the_nearest_place_is_never_farther_than_any_vertex(path: Path, point: tuple[float, float]) -> None:
    _, _, distance = nearest(path, point)
    assert distance <= np.hypot(*(flatten(path, 0.1) - np.array(point)).T).min() + 1e-9


@QUICK
@given(st.lists(st.floats(0.05, 0.3), min_size=3, max_size=6), st.floats(30.0, 300.0))
def test_a_batten_through_even_points_of_a_circle_bends_one_way(steps: list[float], radius: float) -> None:
    step = steps[0]
    points = [(radius * math.cos(i * step), radius * math.sin(i * step)) for i in range(len(steps) + 1)]
    assert curvature_sign_changes(batten(points)) == ()


@QUICK
@given(paths())
def test_backwards_the_batten_is_the_same_batten(path: Path) -> None:
    points = [segment.start for segment in path] + [path[-1].end]
    assert close(reversed_path(path), batten(points[::-1], name="bow"), 1e-9)
