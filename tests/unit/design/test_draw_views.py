"""Views and true views against trigonometry worked by hand. Conventions: docs/conventions.md.

A plane that leans by an angle a to the back, through (y0, z0) of the side view, holds the points
(x, y0 + v sin a, z0 + v cos a); square to it, behind, lies (0, cos a, -sin a).
"""

# ruff: noqa: E501 - piece files read best with a thing to a line
from __future__ import annotations

import math

import pytest

from batchwright.base.fault import NOWHERE
from batchwright.design.drawing.views import PLAIN, Curved, Straight, Wall, trace, true_view
from batchwright.geometry.batten import batten
from batchwright.geometry.curve import point_at
from batchwright.geometry.frame import Vec3, cross, dot
from batchwright.model.shape import Prism
from drawing import drawn, part


def corners(piece_part) -> list[Vec3]:  # type: ignore[no-untyped-def]
    """The corners of a prism's outline on its low side, in the piece."""
    body = piece_part.shape.body
    assert isinstance(body, Prism)
    return [piece_part.frame.to_world((*segment.start, body.low)) for segment in body.outline.segments]


def test_plain_views_have_the_coordinates_on_paper() -> None:
    assert PLAIN["front"].frame.to_world((1.0, 2.0, 3.0)) == (1.0, 3.0, 2.0)
    assert PLAIN["side"].frame.to_world((1.0, 2.0, 3.0)) == (3.0, 1.0, 2.0)
    assert PLAIN["plan"].frame.to_world((1.0, 2.0, 3.0)) == (1.0, 2.0, 3.0)


@pytest.mark.parametrize("degrees", [-12.0, 0.0, 8.0, 14.0, 30.0])
def test_raked_back_is_read_like_the_front_and_counts_from_the_first_point(degrees: float) -> None:
    a = math.radians(degrees)
    text = (
        f"places: {{back line: {{view: side, through: [450, 420], angle: {degrees} deg}}}}\n"
        "parts:\n  rail: {drawn in: back line, outline: [[-200, 100], [200, 100], [200, 160], [-200, 160]], across: [5, 30]}\n"
    )
    found = corners(part(drawn(text), "rail"))
    for (x, v), point in zip([(-200, 100), (200, 100), (200, 160), (-200, 160)], found, strict=True):
        expected = (x, 450 + v * math.sin(a) + 5 * math.cos(a), 420 + v * math.cos(a) - 5 * math.sin(a))
        assert point == pytest.approx(expected, abs=1e-9)


@pytest.mark.parametrize("degrees", [0.0, 9.0, 22.0])
def test_plain_axis_in_a_true_view_needs_no_trigonometry(degrees: float) -> None:
    text = (
        f"places: {{back line: {{view: side, through: [450, 420], angle: {degrees} deg}}}}\n"
        "parts:\n  rail: {drawn in: back line, outline: [[-200, z 800], [200, z 800], [200, z 880], [-200, z 880]], thickness: 20}\n"
    )
    rail = part(drawn(text), "rail")
    assert isinstance(rail.shape.body, Prism)
    heights = sorted({round(segment.start[1], 9) for segment in rail.shape.body.outline.segments})
    a = math.radians(degrees)
    assert heights == pytest.approx([380 / math.cos(a), 460 / math.cos(a)], abs=1e-6)


def test_rail_angled_in_plan_is_read_like_the_side_and_comes_out_longer() -> None:
    """From (280, 25) to (250, 475): over 450 front to back it runs 30 inwards; its length is sqrt(450^2 + 30^2)."""
    text = (
        "places:\n  rail line: {view: plan, line: [[280, 25], [250, 475]]}\n"
        "  seat line: {view: side, line: [[0, 400], [500, 380]]}\n"
        "parts:\n  rail: {drawn in: rail line, outline: [[0, 330], [y 475, 330], {follow: seat line, from: 475, to: 25}], thickness: 20}\n"
    )
    rail = part(drawn(text), "rail")
    assert isinstance(rail.shape.body, Prism)
    path = rail.shape.body.outline.segments
    run = math.hypot(450, 30)
    ends = [segment.end for segment in path]
    assert max(u for u, _ in ends) == pytest.approx(run, abs=1e-9)
    upper = next(segment for segment in path if segment.name == "edge 3")
    assert upper.start == pytest.approx((run, 400 - 20 * 475 / 500), abs=1e-9)
    assert upper.end == pytest.approx((0.0, 400 - 20 * 25 / 500), abs=1e-9)
    assert dot(rail.frame.z, (1.0, 0.0, 0.0)) == pytest.approx(450 / run)  # outwards


def test_leaning_end_frame_and_sloping_arm_are_read_like_side_and_plan() -> None:
    lean = true_view(Wall(name="lean", view=PLAIN["front"], point=(200.0, 0.0), direction=(0.1, 1.0)), NOWHERE)
    assert lean.like == "side"
    assert lean.frame.x == (0.0, 1.0, 0.0)
    slope = true_view(Wall(name="slope", view=PLAIN["side"], point=(-40.0, 640.0), direction=(1.0, -0.04)), NOWHERE)
    assert slope.like == "plan"
    assert slope.frame.x == (1.0, 0.0, 0.0)
    assert slope.frame.z[2] > 0.0
    wide = true_view(Wall(name="wide", view=PLAIN["plan"], point=(-40.0, 9.0), direction=(1.0, 0.2)), NOWHERE)
    assert wide.like == "front"
    assert wide.frame.z[1] > 0.0


def test_curve_of_the_side_view_stays_an_exact_cubic_on_an_angled_plane() -> None:
    curve = batten([(-25.0, 400.0), (230.0, 375.0), (480.0, 388.0)])
    wall = Wall(name="seat curve", view=PLAIN["side"], path=curve)
    view = true_view(Wall(name="rail", view=PLAIN["plan"], point=(280.0, 25.0), direction=(-0.0665, 0.9978)), NOWHERE)
    met = trace(wall, view, NOWHERE)
    assert isinstance(met, Curved)
    for mapped, own in zip(met.path, curve, strict=True):
        for t in (0.0, 0.3, 0.71, 1.0):
            x, y, z = view.point(point_at(mapped, t))
            assert (y, z) == pytest.approx(point_at(own, t), abs=1e-9)
            assert dot(view.frame.turn_back((x - 280.0, y - 25.0, 0.0)), (0.0, 0.0, 1.0)) == pytest.approx(
                0.0, abs=1e-6
            )


def test_line_of_the_side_view_lies_straight_across_the_front_view() -> None:
    """Through y = 450, z = 420 at 14 degrees it passes y = 0 at z = 420 - 450 / tan 14 deg."""
    a = math.radians(14.0)
    wall = Wall(name="back line", view=PLAIN["side"], point=(450.0, 420.0), direction=(math.sin(a), math.cos(a)))
    met = trace(wall, PLAIN["front"], NOWHERE)
    assert isinstance(met, Straight)
    assert met.point[1] == pytest.approx(420.0 - 450.0 / math.tan(a), abs=1e-9)
    assert abs(met.direction[1]) < 1e-12


def test_plane_of_three_points_holds_them() -> None:
    text = (
        "parts:\n  brace:\n    drawn in: {plane: [[100, 0, 0], [100, 300, 0], [0, 0, 400]]}\n"
        "    outline: [[0, 0], [200, 0], [0, 300]]\n    thickness: 20\n"
    )
    frame = part(drawn(text), "brace").frame
    normal = cross((0.0, 300.0, 0.0), (-100.0, 0.0, 400.0))
    assert frame.origin == (100.0, 0.0, 0.0)
    assert frame.x == (0.0, 1.0, 0.0)
    assert abs(dot(frame.z, normal)) == pytest.approx(math.sqrt(dot(normal, normal)))
    assert frame.z[0] > 0.0  # most nearly the side view: positive outwards


def test_level_and_upright_angles() -> None:
    text = (
        "places:\n  seat: {view: side, through: [0, 400], angle: -4 deg, from: level}\n"
        "  lean: {view: front, through: [200, 0], angle: 6 deg}\n  flare: {view: plan, through: [200, 0], angle: -3 deg}\n"
        "parts:\n  a: {box: {x: [0, lean at z 100], y: [0, 10], z: [0, seat at y 100]}}\n"
        "  b: {box: {x: [0, flare at y 100], y: [0, 10], z: [0, 10]}}\n"
    )
    piece = drawn(text)
    body = part(piece, "a").shape.body
    assert isinstance(body, Prism)
    ends = [segment.end for segment in body.outline.segments]
    assert max(u for u, _ in ends) == pytest.approx(200 + 100 * math.tan(math.radians(6)))
    assert max(v for _, v in ends) == pytest.approx(400 - 100 * math.tan(math.radians(4)))
    body = part(piece, "b").shape.body
    assert isinstance(body, Prism)
    assert max(max(segment.end) for segment in body.outline.segments) == pytest.approx(
        200 - 100 * math.tan(math.radians(3))
    )
