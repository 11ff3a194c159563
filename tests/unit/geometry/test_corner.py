"""Corners rounded and chamfered, between lines and curves."""

import math

import pytest

from batchwright.geometry.batten import batten
from batchwright.geometry.curve import Arc, Cubic, Line, circle_of, length_of, nearest, tangent_at
from batchwright.geometry.outline import (
    Outline,
    area,
    chamfer_between,
    chamfer_corner,
    corners,
    crosses_itself,
    outline,
    polygon_outline,
    round_between,
    round_corner,
)

BOARD = polygon_outline([(0, 0), (100, 0), (100, 50), (0, 50)])
CROWN = outline(
    [
        Line((0.0, 0.0), (200.0, 0.0), "low"),
        Line((200.0, 0.0), (200.0, 40.0), "right"),
        *batten([(200.0, 40.0), (150.0, 66.0), (100.0, 74.0), (50.0, 66.0), (0.0, 40.0)], name="crown"),
        Line((0.0, 40.0), (0.0, 0.0), "left"),
    ]
)


def the_arc(shape: Outline, name: str) -> Arc:
    (arc,) = (segment for segment in shape.segments if segment.name == name)
    assert isinstance(arc, Arc)
    return arc


def check_smooth(shape: Outline, arc: Arc, radius: float) -> None:
    """The arc has the radius asked for and runs into both neighbours in one direction."""
    assert circle_of(arc).radius == pytest.approx(radius, abs=1e-7)
    i = shape.segments.index(arc)
    before, after = shape.segments[i - 1], shape.segments[(i + 1) % len(shape.segments)]
    assert before.end == pytest.approx(arc.start, abs=1e-9)
    assert after.start == pytest.approx(arc.end, abs=1e-9)
    assert tangent_at(before, 1.0) == pytest.approx(tangent_at(arc, 0.0), abs=1e-6)
    assert tangent_at(arc, 1.0) == pytest.approx(tangent_at(after, 0.0), abs=1e-6)


def test_a_square_corner_loses_what_the_closed_form_says() -> None:
    """A rounded right angle loses r^2 (1 - pi / 4)."""
    shape = round_corner(BOARD, (100.0, 50.0), 12.0, "ease")
    check_smooth(shape, the_arc(shape, "ease"), 12.0)
    assert area(BOARD) - area(shape) == pytest.approx(144.0 * (1.0 - 0.25 * math.pi))
    assert shape.segments[0].start == BOARD.segments[0].start


@pytest.mark.parametrize("degrees", [25.0, 60.0, 90.0, 120.0, 165.0])
def test_a_corner_of_any_angle_is_cut_back_by_r_over_tan_half_the_angle(degrees: float) -> None:
    a = math.radians(degrees)
    before, after = (Line((200.0, 0.0), (0.0, 0.0)),), (Line((0.0, 0.0), (200 * math.cos(a), 200 * math.sin(a))),)
    kept, arc, rest = round_between(before, after, 10.0)
    back = 10.0 / math.tan(0.5 * a)
    assert length_of(kept) == pytest.approx(200.0 - back)
    assert length_of(rest) == pytest.approx(200.0 - back)
    assert length_of((arc,)) == pytest.approx(10.0 * (math.pi - a))


def test_a_hollow_corner_is_filled_by_its_arc() -> None:
    ell = polygon_outline([(0, 0), (60, 0), (60, 20), (20, 20), (20, 60), (0, 60)])
    shape = round_corner(ell, (20.0, 20.0), 8.0, "fillet")
    check_smooth(shape, the_arc(shape, "fillet"), 8.0)
    assert area(shape) - area(ell) == pytest.approx(64.0 * (1.0 - 0.25 * math.pi))


@pytest.mark.parametrize("radius", [0.5, 3.0, 12.0, 30.0])
@pytest.mark.parametrize("corner", [(200.0, 40.0), (0.0, 40.0)])
def test_a_corner_between_a_line_and_a_batten_of_many_cubics(corner: tuple, radius: float) -> None:
    shape = round_corner(CROWN, corner, radius, "ease")
    arc = the_arc(shape, "ease")
    check_smooth(shape, arc, radius)
    assert crosses_itself(shape) == ()
    centre = circle_of(arc).centre
    for name in ("crown", "left" if corner[0] == 0.0 else "right"):
        edge = tuple(segment for segment in CROWN.segments if segment.name == name)
        assert nearest(edge, centre)[2] == pytest.approx(radius, abs=1e-7)


def test_all_corners_of_a_crown_rail_one_after_the_other() -> None:
    shape = CROWN
    for place in [CROWN.segments[i].start for i in corners(CROWN)]:
        shape = round_corner(shape, place, 6.0, "ease")
    assert corners(shape) == ()
    assert [s.name for s in shape.segments].count("ease") == 4
    assert crosses_itself(shape) == ()


def test_four_quarter_rounds_use_up_the_ends_of_a_board() -> None:
    shape = BOARD
    for place in [(0, 0), (100, 0), (100, 50), (0, 50)]:
        shape = round_corner(shape, (float(place[0]), float(place[1])), 25.0)
    assert len(shape.segments) == 6
    assert area(shape) == pytest.approx(50.0 * 50.0 + math.pi * 625.0)


def test_a_corner_between_two_curves() -> None:
    lens = outline(
        [
            Cubic((0.0, 0.0), (30.0, -30.0), (70.0, -30.0), (100.0, 0.0), "low"),
            Arc((100.0, 0.0), (50.0, 30.0), (0.0, 0.0), "high"),
        ]
    )
    shape = round_corner(round_corner(lens, (0.0, 0.0), 5.0, "a"), (100.0, 0.0), 5.0, "b")
    check_smooth(shape, the_arc(shape, "a"), 5.0)
    check_smooth(shape, the_arc(shape, "b"), 5.0)
    assert 0.0 < area(shape) < area(lens)


def test_a_drop_with_one_corner_is_rounded_too() -> None:
    drop = outline([Cubic((0.0, 0.0), (90.0, -80.0), (90.0, 80.0), (0.0, 0.0), "drop")])
    shape = round_corner(drop, 0, 4.0, "nose")
    check_smooth(shape, the_arc(shape, "nose"), 4.0)


def test_a_radius_that_does_not_fit_names_itself_and_the_largest_that_does() -> None:
    with pytest.raises(
        ValueError, match=r"radius of 60 mm does not fit .*\(100, 0\): .* 50 mm is available.* 50 mm at most"
    ):
        round_corner(BOARD, (100.0, 0.0), 60.0)
    with pytest.raises(ValueError, match="does not fit the corner"):
        round_corner(CROWN, (200.0, 40.0), 90.0)


def test_an_edge_that_bends_tighter_than_the_arc_is_refused() -> None:
    """A half disc of radius 20: the arc beside the corner takes a radius of less than 20, and less than 10 fits.

    A circle in the corner touches the base and the rim from inside when (20 - r)^2 = x^2 + r^2, its centre at
    x between 0 and 20: r = 10 touches in the middle. Closed form.
    """
    half = outline([Line((-20.0, 0.0), (20.0, 0.0), "base"), Arc((20.0, 0.0), (0.0, 20.0), (-20.0, 0.0), "rim")])
    shape = round_corner(half, (20.0, 0.0), 4.0, "ease")
    centre = circle_of(the_arc(shape, "ease")).centre
    assert centre == pytest.approx((math.sqrt(16.0**2 - 16.0), 4.0))
    for radius in (21.0, 30.0):
        with pytest.raises(ValueError, match="does not fit"):
            round_corner(half, (20.0, 0.0), radius)


def test_what_is_no_corner_is_refused() -> None:
    with pytest.raises(ValueError, match="no corner at"):
        round_corner(BOARD, (50.0, 0.0), 5.0)
    with pytest.raises(ValueError, match="no corner 7"):
        round_corner(BOARD, 7, 5.0)
    smooth = next(s.start for i, s in enumerate(CROWN.segments) if i not in corners(CROWN))
    with pytest.raises(ValueError, match="runs on smoothly"):
        round_corner(CROWN, smooth, 5.0)
    with pytest.raises(ValueError, match="do not meet in a corner"):
        round_between((Line((0.0, 0.0), (9.0, 0.0)),), (Line((9.0, 0.0), (20.0, 0.0)),), 1.0)


def test_a_chamfer_takes_half_the_square_of_its_leg() -> None:
    shape = chamfer_corner(BOARD, (100.0, 50.0), 8.0, "chamfer")
    assert area(BOARD) - area(shape) == pytest.approx(32.0)
    assert next(s for s in shape.segments if s.name == "chamfer") == Line((100.0, 42.0), (92.0, 50.0), "chamfer")


def test_a_chamfer_on_a_curve_is_measured_along_it() -> None:
    shape = chamfer_corner(CROWN, (200.0, 40.0), 9.0, "chamfer")
    crown = [s for s in shape.segments if s.name == "crown"]
    before = [s for s in CROWN.segments if s.name == "crown"]
    assert length_of(tuple(before)) - length_of(tuple(crown)) == pytest.approx(9.0, abs=1e-6)


def test_a_chamfer_may_use_up_an_edge_but_no_more() -> None:
    kept, line, rest = chamfer_between((Line((0.0, 0.0), (9.0, 0.0)),), (Line((9.0, 0.0), (9.0, 30.0)),), 9.0)
    assert kept == ()
    assert line == Line((0.0, 0.0), (9.0, 9.0))
    assert rest == (Line((9.0, 9.0), (9.0, 30.0)),)
    with pytest.raises(ValueError, match=r"chamfer of 60 mm does not fit .* 50 mm of edge is available"):
        chamfer_corner(BOARD, (0.0, 0.0), 60.0)
