"""Sticks against closed forms: a leg that splays by s and rakes by r leans by atan(sqrt(tan^2 s + tan^2 r))."""

from __future__ import annotations

import math

import pytest

from batchwright.design.drawing.bodies import Body, extent_along
from batchwright.geometry.frame import angle_between, dot
from batchwright.model.draft import DraftPart
from batchwright.model.shape import PlaneCut, Stick
from drawing import HEAD, drawn, part

STOOL = """middle: 150
places:
  head: [150, 50, 400]
  foot: [head.x + 400 mm*tan(SPLAY), head.y - 400 mm*tan(RAKE), 0]
  rake line: {view: side, line: [[foot.y, 0], [head.y, 400]]}
parts:
  leg: {count: four, stick: [head, foot], section: {x: 40, y: 36}, ends: level}
  rail:
    count: front and back
    drawn in: rake line
    outline: [[left leg, z 320], [right leg, z 320], [right leg, z 380], [left leg, z 380]]
    thickness: 22
  low: {count: pair, stick: [leg at z 100, back leg at z 100], section: {x: 20, z: 30}}
  cross: {stick: [left low at y 150, right low at y 150], section: {y: 20, z: 30}}
"""


def stick_of(one: DraftPart) -> Stick:
    assert isinstance(one.shape.body, Stick)
    return one.shape.body


@pytest.mark.parametrize(("splay", "rake"), [(6.0, 4.0), (0.0, 10.0), (10.0, 0.0), (9.0, 9.0)])
def test_compound_angle_of_a_splayed_leg(splay: float, rake: float) -> None:
    s, r = math.radians(splay), math.radians(rake)
    piece = drawn(STOOL.replace("SPLAY", f"{splay} deg").replace("RAKE", f"{rake} deg"))
    leg = part(piece, "left front leg")
    lean = math.atan(math.hypot(math.tan(s), math.tan(r)))
    assert angle_between(leg.frame.x, (0.0, 0.0, -1.0)) == pytest.approx(lean, abs=1e-12)
    cuts = [cut.plane for cut in leg.shape.cuts if isinstance(cut, PlaneCut)]
    ends = [leg.frame.plane_to_world(plane) for plane in cuts]
    assert [plane.point[2] for plane in ends] == pytest.approx([400.0, 0.0])
    assert dot(ends[0].point, (1, 0, 0)) == pytest.approx(150.0)
    assert [plane.normal[2] for plane in ends] == pytest.approx([1.0, -1.0])
    axis = math.dist(ends[0].point, ends[1].point)
    assert axis == pytest.approx(400.0 / math.cos(lean))


def test_first_named_face_looks_along_its_axis() -> None:
    """v is x made square to the stick: no part of it lies square to the plane of x and the stick."""
    piece = drawn(STOOL.replace("SPLAY", "7 deg").replace("RAKE", "5 deg"))
    f = part(piece, "left front leg").frame
    assert dot(f.x, f.y) == pytest.approx(0.0, abs=1e-12)
    assert f.y[0] > 0.99
    assert dot(f.z, (1.0, 0.0, 0.0)) == pytest.approx(0.0, abs=1e-12)
    assert not f.mirrored


def test_rail_in_the_leaning_plane_goes_to_the_middle_of_the_legs() -> None:
    s, r = math.radians(6.0), math.radians(4.0)
    piece = drawn(STOOL.replace("SPLAY", "6 deg").replace("RAKE", "4 deg"))
    rail = part(piece, "front rail")
    segments = rail.shape.body.outline.segments  # type: ignore[union-attr]
    for height in (320.0, 380.0):
        half = 150.0 + (400.0 - height) * math.tan(s)
        along = height / math.cos(r)  # the rake line's first point is on the floor
        assert any(p.start == pytest.approx((half, along), abs=1e-9) for p in segments)
        assert any(p.start == pytest.approx((-half, along), abs=1e-9) for p in segments)


def test_stretchers_run_between_middles() -> None:
    s, r = math.tan(math.radians(6.0)), math.tan(math.radians(4.0))
    piece = drawn(STOOL.replace("SPLAY", "6 deg").replace("RAKE", "4 deg"))
    low = part(piece, "left low")
    x = 150.0 + 300.0 * s
    assert low.frame.origin == pytest.approx((x, 50.0 - 300.0 * r, 100.0))
    assert stick_of(low).stations[-1].at == pytest.approx(200.0 + 600.0 * r)
    cross = part(piece, "cross")
    assert cross.frame.origin == pytest.approx((x, 150.0, 100.0))
    assert stick_of(cross).stations[-1].at == pytest.approx(2.0 * x)


def test_level_ends_leave_the_height_exact() -> None:
    leg = part(drawn(STOOL.replace("SPLAY", "8 deg").replace("RAKE", "6 deg")), "left front leg")
    low, high = extent_along(Body(frame=leg.frame, shape=leg.shape), (0.0, 0.0, 1.0))
    assert (low, high) == pytest.approx((0.0, 400.0), abs=1e-9)


def test_taper_on_inner_faces_leaves_the_outer_ones_straight() -> None:
    text = (
        "middle: 160\nparts:\n  leg: {count: four, stick: [[380, 20, 700], [380, 20, 0]], section: [40, 40], "
        "taper: {from: 120, to: 22, on: inner faces}}\n"
    )
    leg = part(drawn(text), "left front leg")
    body = Body(frame=leg.frame, shape=leg.shape)
    assert extent_along(body, (1.0, 0.0, 0.0)) == pytest.approx((360.0, 400.0))
    stations = stick_of(leg).stations
    assert [station.at for station in stations] == [0.0, 120.0, 700.0]
    tip = stations[-1]
    ends = [leg.frame.to_world((700.0, v, w)) for v in tip.v for w in tip.w]
    assert (min(p[0] for p in ends), max(p[0] for p in ends)) == pytest.approx((378.0, 400.0))
    assert (min(p[1] for p in ends), max(p[1] for p in ends)) == pytest.approx((0.0, 22.0))


def test_taper_all_round_and_round_sticks() -> None:
    piece = drawn(
        "parts:\n  leg: {stick: [[0, 0, 700], [0, 0, 0]], section: {x: 40, y: 30}, taper: {to: [20, 16]}}\n"
        "  rung: {stick: [[0, 0, 100], [300, 0, 100]], section: {round: 25}}\n"
    )
    tip = stick_of(part(piece, "leg")).stations[-1]
    assert (tip.v, tip.w) == ((-10.0, 10.0), (-8.0, 8.0))
    rung = part(piece, "rung")
    assert stick_of(rung).round
    assert extent_along(Body(frame=rung.frame, shape=rung.shape), (0.0, 0.0, 1.0)) == pytest.approx((87.5, 112.5))


@pytest.mark.parametrize("hands", ["as seated", "from the front"])
def test_hands_name_the_plus_x_side(hands: str) -> None:
    head = HEAD.replace("as seated", hands)
    piece = drawn("parts:\n  leg: {count: pair, box: {x: [90, 100], y: [0, 9], z: [0, 99]}}\n", head)
    named = {one.id: one for one in piece.parts}
    plus = named["left leg" if hands == "as seated" else "right leg"]
    minus = named["right leg" if hands == "as seated" else "left leg"]
    assert plus.drawn and not minus.drawn
    assert extent_along(Body(frame=plus.frame, shape=plus.shape), (1.0, 0.0, 0.0)) == pytest.approx((90.0, 100.0))
    assert extent_along(Body(frame=minus.frame, shape=minus.shape), (1.0, 0.0, 0.0)) == pytest.approx((-100.0, -90.0))
    assert minus.frame.mirrored != plus.frame.mirrored
    assert minus.shape == plus.shape


def test_bug_middle_of_a_section_follows_a_taper_on_two_faces() -> None:
    """A leg 40 mm square tapered to 20 mm on its inner faces over its whole length: half way down it is 30 mm, and the
    middle stands 5 mm further out than the stick's line (closed form)."""
    text = """
middle: 150
parts:
  leg:
    count: four
    stick: [[180, 20, 400], [180, 20, 0]]
    section: {x: 40, y: 40}
    taper: {from: 0, to: 20, on: inner faces}
  rail:
    count: pair
    stick: [leg at z 200, back leg at z 200]
    section: {x: 10, z: 20}
"""
    rail = part(drawn(text), "left rail")
    assert rail.frame.origin == pytest.approx((185.0, 15.0, 200.0))
