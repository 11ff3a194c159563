"""True shoulder angles and lengths of splayed legs and sloping arms, against closed-form trigonometry.

Written down here from the geometry, not from the code. A leg leans by `a` seen from the front and by `b` seen from the
side: its line is s = (tan a, -tan b, -1) / L with L = sqrt(1 + tan2 a + tan2 b). Its face that looks along x, square to
the leg, has the normal n = (x - (x.s) s), made of length 1.
"""

from __future__ import annotations

import math

import pytest

from batchwright.model.draft import Hand
from batchwright.model.piece import Piece
from joinery_blocks import ACROSS_X, INCH, box, complete, mirrored, piece, stick, tenon
from printed import printed

HEIGHT, SET = 17.0, 7.0
THICK = 1.5
RAIL_MIDDLE = 12.0


def splayed(splay: float, rake: float) -> Piece:
    """Two legs that lean apart and forward, mirror images, and a level rail between them."""
    a, b = math.radians(splay), math.radians(rake)
    head = (SET, 4.0, HEIGHT)
    foot = (SET + HEIGHT * math.tan(a), 4.0 - HEIGHT * math.tan(b), 0.0)
    leg = stick("right leg", (head, foot), (THICK, THICK), name="leg", hand=Hand.RIGHT)
    other = mirrored(leg, "left leg", ACROSS_X, Hand.LEFT)
    y = 4.0 - (HEIGHT - RAIL_MIDDLE) * math.tan(b)
    reach = SET + (HEIGHT - RAIL_MIDDLE) * math.tan(a)
    rail = box("rail", (-reach, reach), (y - 0.5, y + 0.5), (RAIL_MIDDLE - 1, RAIL_MIDDLE + 1), grain="x")
    return complete(piece(leg, other, rail, joints=(tenon("rail", "right leg, left leg"),)))


ANGLES = [(4.0, 0.0), (6.0, 4.0), (10.0, 10.0), (0.0, 8.0), (12.5, 3.0)]


@pytest.mark.parametrize(("splay", "rake"), ANGLES)
def test_splayed_leg_true_length_and_lean(splay: float, rake: float) -> None:
    """True length h sqrt(1 + tan2 a + tan2 b); resultant angle tan r = sqrt(tan2 a + tan2 b)."""
    made = splayed(splay, rake)
    leg = made.part("right leg")
    a, b = math.tan(math.radians(splay)), math.tan(math.radians(rake))
    assert leg.length == pytest.approx(HEIGHT * INCH * math.sqrt(1 + a * a + b * b), abs=1e-6)
    lean = math.acos(abs(leg.bench.x[2]))
    assert math.tan(lean) == pytest.approx(math.hypot(a, b), abs=1e-9)


@pytest.mark.parametrize(("splay", "rake"), ANGLES)
def test_level_rail_meets_splayed_leg_at_the_true_angles(splay: float, rake: float) -> None:
    """Out of square asin(tan a / L); the shoulder leans tan a cos2 b on the front, tan a sin b cos b from above."""
    made = splayed(splay, rake)
    a, b = math.radians(splay), math.radians(rake)
    length = math.sqrt(1 + math.tan(a) ** 2 + math.tan(b) ** 2)
    for joint in made.joints:
        assert joint.out_of_square == pytest.approx(math.asin(math.tan(a) / length), abs=1e-9)
        face, edge = joint.shoulder_angles
        assert abs(math.tan(face)) == pytest.approx(math.tan(a) * math.cos(b) ** 2, abs=1e-9)
        assert abs(math.tan(edge)) == pytest.approx(math.tan(a) * math.sin(b) * math.cos(b), abs=1e-9)


@pytest.mark.parametrize(("splay", "rake"), ANGLES)
def test_rail_between_raked_legs_has_the_true_shoulder_length(splay: float, rake: float) -> None:
    """Half the length is the leg's middle at that height less t/2 over the cosine of the angle out of square."""
    rail = splayed(splay, rake).part("rail")
    a, b = math.tan(math.radians(splay)), math.tan(math.radians(rake))
    middle = SET + (HEIGHT - RAIL_MIDDLE) * a
    face = THICK / 2 * math.sqrt((1 + a * a + b * b) / (1 + b * b))
    assert rail.shoulder_length == pytest.approx(2 * (middle - face) * INCH, abs=1e-6)


def test_rail_between_legs_splayed_one_way_is_the_text_book_sum() -> None:
    """With no rake, half the rail is the leg's middle less t / (2 cos a)."""
    rail = splayed(5.0, 0.0).part("rail")
    a = math.radians(5.0)
    half = SET + (HEIGHT - RAIL_MIDDLE) * math.tan(a) - THICK / (2 * math.cos(a))
    assert rail.shoulder_length == pytest.approx(2 * half * INCH, abs=1e-6)


@pytest.mark.parametrize(("plan", "slope"), [(0.0, 0.0), (6.0, 0.0), (0.0, 5.0), (8.0, 3.0), (15.0, 10.0)])
def test_sloping_angled_arm_meets_an_upright_face(plan: float, slope: float) -> None:
    """An arm that turns by `plan` from straight back and rises by `slope`, into a face that looks to the front.

    With d = (sin p cos s, cos p cos s, sin s): out of square acos(cos p cos s); on its upper face the shoulder leans
    by asin(sin p cos s), on its edge by atan(sin s / (cos p cos s sqrt(1 - sin2 p cos2 s))).
    """
    p, s = math.radians(plan), math.radians(slope)
    d = (math.sin(p) * math.cos(s), math.cos(p) * math.cos(s), math.sin(s))
    start = (0.0, 0.0, 20.0)
    end = tuple(a + 16.0 * b for a, b in zip(start, d))
    post = box("post", (-6, 10), (14, 17), (0, 40), grain="z")
    arm = stick("arm", (start, end), (3, 1))  # type: ignore[arg-type]
    (joint,) = complete(piece(post, arm, joints=(tenon("arm", "post", thickness=3 / 8 * INCH),))).joints
    assert joint.out_of_square == pytest.approx(math.acos(math.cos(p) * math.cos(s)), abs=1e-9)
    face, edge = (abs(angle) for angle in joint.shoulder_angles)
    assert face == pytest.approx(math.asin(d[0]), abs=1e-9)
    assert edge == pytest.approx(math.atan(d[2] / (d[1] * math.sqrt(1 - d[0] ** 2))), abs=1e-9)


TABLE = {2: "0.035", 3: "0.052", 5: "0.087", 8: "0.141", 10: "0.176", 15: "0.268"}
"""tan(angle) to three places, from any table of tangents: how far 1 in of thickness moves the far shoulder."""


@pytest.mark.parametrize(("angle", "moves"), TABLE.items())
def test_far_shoulder_of_one_inch_stock_moves_by_the_tangent(angle: int, moves: str) -> None:
    p = math.radians(angle)
    post = box("post", (-6, 10), (14, 17), (0, 40), grain="z")
    rail = stick("rail", ((0.0, 0.0, 20.0), (16 * math.sin(p), 16 * math.cos(p), 20.0)), (1, 3))
    (joint,) = complete(piece(post, rail, joints=(tenon("rail", "post"),))).joints
    assert max(abs(math.tan(angle)) for angle in joint.shoulder_angles) == printed(moves)


def test_shoulder_angle_is_positive_when_the_far_edge_lies_further_on() -> None:
    """The rail's reference end is its left one; at the leg on the right, splayed outwards going down, the bottom edge
    of the shoulder lies further from that end than the top edge, which is the face edge."""
    made = splayed(6.0, 0.0)
    right = next(joint for joint in made.joints if joint.into == "right leg")
    rail = made.part("rail")
    assert dict(rail.marks_note)["face edge"] == "top"
    assert right.shoulder_angles[0] == pytest.approx(math.radians(6.0), abs=1e-9)
    left = next(joint for joint in made.joints if joint.into == "left leg")
    assert left.shoulder_angles[0] == pytest.approx(-math.radians(6.0), abs=1e-9)
