"""How a meeting is found: which end, which face, what is a gap, what is no joint at all."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from batchwright.base.fault import Level
from batchwright.geometry.frame import Frame
from batchwright.geometry.outline import outline, polygon_outline
from batchwright.geometry.segment import Arc, Line
from batchwright.model.draft import DraftPart, JointAsk, JointStatement, Otherwise, PartId
from batchwright.model.piece import Piece
from batchwright.model.shape import Prism, Shape
from joinery_blocks import INCH, box, complete, piece, stick, tenon

LEG = ((10, 11.75), (0, 1.75), (0, 17))


def codes(made: Piece) -> list[str]:
    return [fault.code for fault in made.faults]


def found(made: Piece) -> set[str]:
    return {finding.code for finding in made.findings}


def rail_to(x: float, **more: object) -> DraftPart:
    return box("rail", (-10, x), (0.25, 1.25), (12, 15), grain="x", **more)


@pytest.mark.parametrize("gap", [0.0, 0.1, 0.4])
def test_parts_that_touch_within_half_a_millimetre_meet(gap: float) -> None:
    made = complete(piece(box("leg", *LEG, grain="z"), rail_to(10 - gap / INCH), joints=(tenon("rail", "leg"),)))
    assert len(made.joints) == 1


def test_a_gap_is_no_meeting_and_is_told_with_both_numbers() -> None:
    made = complete(piece(box("leg", *LEG, grain="z"), rail_to(9.75), joints=(tenon("rail", "leg"),)))
    (fault,) = made.faults
    assert fault.code == "meets-nothing"
    assert "rail meets no leg; it stops 1/4 in short of leg" in fault.what
    assert "1/4 in" in fault.mend


def test_one_end_that_stops_short_is_told_though_the_other_meets() -> None:
    other = box("far leg", (-11.75, -10), (0, 1.75), (0, 17), grain="z")
    rail = box("rail", (-10.5, 9.75), (0.25, 1.25), (12, 15), grain="x")
    made = complete(piece(box("leg", *LEG, grain="z"), other, rail, joints=(tenon("rail", "leg, far leg"),)))
    assert codes(made) == ["stops-short"]
    assert "rail stops 1/4 in short of leg" in made.faults[0].what


def test_a_part_that_crosses_in_its_length_is_no_tenon() -> None:
    rail = box("rail", (0, 22), (0.25, 1.25), (12, 15), grain="x")
    made = complete(piece(box("leg", *LEG, grain="z"), rail, joints=(tenon("rail", "leg"),)))
    assert codes(made) == ["crosses-in-its-length", "parts-overlap"]
    assert "(49 %)" in made.faults[0].what


def test_a_part_along_the_face_is_a_fault() -> None:
    """A batten that leans 10 degrees off the face of the post it is to be tenoned into."""
    a = math.radians(10.0)
    batten = stick("batten", ((8.4, 0.9, 0), (8.4 + 16 * math.sin(a), 0.9, 16 * math.cos(a))), (0.5, 1))
    post = box("post", (11, 13), (0, 1.75), (0, 30), grain="z")
    made = complete(piece(post, batten, joints=(tenon("batten", "post"),)))
    assert "runs-along-the-face" in codes(made)
    assert "10.0 degrees" in next(fault.what for fault in made.faults if fault.code == "runs-along-the-face")


def test_first_face_met_going_outwards_wins() -> None:
    """A rail drawn right through a leg into a post beyond is jointed into the leg alone."""
    leg, post = box("leg", *LEG, grain="z"), box("post", (11.75, 13), (0, 1.75), (0, 17), grain="z")
    made = complete(piece(leg, post, rail_to(12.5), joints=(tenon("rail", "leg, post"),)))
    assert [joint.into for joint in made.joints] == ["leg"]
    assert not made.faults


def test_expect_not_met_names_both_counts() -> None:
    statement = replace(tenon("rail", "leg"), expect=2)
    made = complete(piece(box("leg", *LEG, grain="z"), rail_to(11), joints=(statement,)))
    (fault,) = made.faults
    assert fault.code == "expect-not-met"
    assert "finds 1 meetings; it expects 2" in fault.what


def test_two_statements_on_one_end_are_told() -> None:
    leg, post = box("leg", *LEG, grain="z"), box("post", (11.75, 13), (0, 1.75), (0, 17), grain="z")
    made = complete(piece(leg, post, rail_to(12.5), joints=(tenon("rail", "leg"), tenon("rail", "post"))))
    assert "two-joints-on-one-end" in codes(made)


def test_square_end_that_only_touches_a_leaning_leg_is_told() -> None:
    """A square-ended rail 3 in high against a leg that leans 6 degrees touches with one corner: tan 6 x 3 in short."""
    lean = math.tan(math.radians(6.0))
    leg = stick("leg", ((10 + 17 * lean, 0.75, 0), (10, 0.75, 17)), (1.5, 1.5))
    face = 10 + (17 - 12) * lean - 0.75 / math.cos(math.radians(6.0))
    rail = box("rail", (-10, face - 3 * lean + 0.01), (0.25, 1.25), (12, 15), grain="x")
    made = complete(piece(leg, rail, joints=(tenon("rail", "leg"),)))
    fault = next(fault for fault in made.faults if fault.code == "stops-short-of-shoulder")
    assert "5/16 in" in fault.what, "3 tan 6 = 0.315 in less the hundredth drawn in, square to the face, to 1/32"


def round_post(radius: float) -> DraftPart:
    """A post, 6 in long, whose face towards -x is a round of that radius (in) that just reaches x = 10."""
    r = radius * INCH
    reach = 3.0 * INCH
    sag = r - math.sqrt(r * r - reach * reach)
    left, right = 10 * INCH, 14 * INCH
    path = (
        Line((right, -reach), (right, reach), "back"),
        Line((right, reach), (left + sag, reach), "side"),
        Arc((left + sag, reach), (left, 0.0), (left + sag, -reach), "round"),
        Line((left + sag, -reach), (right, -reach), "other side"),
    )
    body = Prism(outline=outline(path), low=0.0, high=20 * INCH)
    return DraftPart(
        id=PartId("post"), name="post", frame=Frame(), shape=Shape(body=body), grain=(0.0, 0.0, 1.0), wood="white oak"
    )


@pytest.mark.parametrize("radius", [6.0, 12.0, 30.0])
def test_hollow_under_a_flat_shoulder_is_the_sagitta(radius: float) -> None:
    """A shoulder w wide on a round of radius R stands off by R - sqrt(R2 - (w/2)2) at its edges (sagitta)."""
    rail = box("rail", (-10, 12), (-1, 1), (8, 11), grain="x")
    made = complete(piece(round_post(radius), rail, joints=(tenon("rail", "post", thickness=INCH / 2),)))
    (joint,) = made.joints
    half = INCH - 0.25
    sagitta = radius * INCH - math.sqrt((radius * INCH) ** 2 - half**2)
    assert joint.hollow == pytest.approx(sagitta, abs=0.012), "the outermost sight lines stand 0.25 mm inside"
    assert joint.shoulder.normal == pytest.approx((1.0, 0.0, 0.0), abs=1e-6)
    assert joint.shoulder.point[0] == pytest.approx(10 * INCH, abs=0.011), "moved to touch first"
    assert ("hollow-under-shoulder" in found(made)) == (sagitta > INCH / 64)


def test_let_in_moves_the_shoulder_to_the_bottom_of_the_hollow() -> None:
    rail = box("rail", (-10, 12), (-1, 1), (8, 11), grain="x")
    flat = complete(piece(round_post(6.0), rail, joints=(tenon("rail", "post", thickness=INCH / 2),)))
    sunk = complete(
        piece(round_post(6.0), rail, joints=(tenon("rail", "post", thickness=INCH / 2, shoulder="let in"),))
    )
    (one,), (two,) = flat.joints, sunk.joints
    assert two.shoulder.point[0] - one.shoulder.point[0] == pytest.approx(one.hollow, abs=1e-6)
    assert two.hollow == 0.0
    assert "hollow-under-shoulder" not in found(sunk)
    assert sunk.part("post").volume < flat.part("post").volume
    assert not sunk.faults


def test_scribed_shoulder_fits_the_round() -> None:
    """The rail gains the segment between the flat and the round: area of a circular segment, times its height."""
    rail = box("rail", (-10, 12), (-1, 1), (8, 11), grain="x")
    made = {
        form: complete(piece(round_post(6.0), rail, joints=(tenon("rail", "post", thickness=INCH / 2, shoulder=form),)))
        for form in ("flat", "scribed")
    }
    assert not made["scribed"].faults
    r, half = 6.0 * INCH, INCH
    angle = 2 * math.asin(half / r)
    segment = r * r / 2 * (angle - math.sin(angle))
    sagitta = r - math.sqrt(r * r - half * half)
    between = (2 * half * sagitta - segment) * 3 * INCH
    bodies = {}
    for form, each in made.items():
        (joint,) = each.joints
        (bar,) = joint.tenons
        bodies[form] = each.part("rail").volume - bar.width * bar.thickness * bar.length
    start = made["scribed"].joints[0].shoulder.point[0] - made["flat"].joints[0].shoulder.point[0]
    hidden = made["scribed"].joints[0].tenons[0].width * made["scribed"].joints[0].tenons[0].thickness * start
    assert bodies["scribed"] - bodies["flat"] == pytest.approx(between + hidden, rel=0.05)


def test_a_face_narrower_than_the_section_keeps_the_tenon_inside_by_a_quarter_inch() -> None:
    """A 4 in wide arm into a post 2 in wide on its middle: the common width is 2 in, less 1/4 in on both sides."""
    post = box("post", (-1, 1), (10, 13), (0, 30), grain="z")
    arm = box("arm", (-2, 2), (0, 11.5), (20, 21), grain="y")
    made = complete(piece(post, arm, joints=(tenon("arm", "post", thickness=3 / 8 * INCH),)))
    (joint,) = made.joints
    assert "passes-beside" in found(made)
    assert joint.tenons[0].width / INCH == pytest.approx(1.5, abs=0.07)
    assert abs(joint.tenons[0].centre[0]) < 0.1 * INCH


def test_two_faces_are_told_with_their_share() -> None:
    """A rail that comes up to a post with a corner sawn off: three quarters of it to the flat."""
    shape = polygon_outline(
        [(10 * INCH, 0), (13 * INCH, 0), (13 * INCH, 3 * INCH), (12 * INCH, 3 * INCH), (10 * INCH, 2 * INCH)]
    )
    body = Prism(outline=shape, low=0.0, high=20 * INCH)
    post = DraftPart(
        id=PartId("post"), name="post", frame=Frame(), shape=Shape(body=body), grain=(0, 0, 1), wood="white oak"
    )
    rail = box("rail", (-8, 12), (1, 2.333), (8, 11), grain="x")
    made = complete(piece(post, rail, joints=(tenon("rail", "post"),)))
    finding = next(finding for finding in made.findings if finding.code == "two-faces-at-shoulder")
    assert "75 %" in finding.what
    assert made.joints[0].shoulder.normal == pytest.approx((1.0, 0.0, 0.0), abs=1e-9)


def test_an_exception_holds_for_its_joint_alone() -> None:
    far = box("far leg", (-11.75, -10), (0, 1.75), (0, 17), grain="z")
    rail = box("rail", (-11, 11), (0.25, 1.25), (12, 15), grain="x")
    statement = tenon("rail", "leg, far leg", thickness=3 / 8 * INCH)
    item = Otherwise(ask=JointAsk(length=INCH), at=(PartId("far leg"),))
    statement = replace(statement, exceptions=(item,))
    made = complete(piece(box("leg", *LEG, grain="z"), far, rail, joints=(statement,)))
    lengths = {joint.into: joint.tenons[0].length for joint in made.joints}
    assert lengths["far leg"] == pytest.approx(INCH)
    assert lengths["leg"] != pytest.approx(INCH)
    assert all(joint.size("thickness") == pytest.approx(3 / 8 * INCH) for joint in made.joints)


def test_at_narrows_a_statement_to_one_end() -> None:
    far = box("far leg", (-11.75, -10), (0, 1.75), (0, 17), grain="z")
    rail = box("rail", (-11, 11), (0.25, 1.25), (12, 15), grain="x")
    statement: JointStatement = replace(tenon("rail", "leg, far leg"), ends=("right",))
    made = complete(piece(box("leg", *LEG, grain="z"), far, rail, joints=(statement,)))
    assert [joint.into for joint in made.joints] == ["leg"]


def test_an_exception_that_fits_nothing_is_a_warning() -> None:
    rail = box("rail", (-11, 11), (0.25, 1.25), (12, 15), grain="x")
    item = Otherwise(ask=JointAsk(length=INCH), at=(PartId("far leg"),))
    made = complete(
        piece(box("leg", *LEG, grain="z"), rail, joints=(replace(tenon("rail", "leg"), exceptions=(item,)),))
    )
    (fault,) = made.faults
    assert (fault.code, fault.level) == ("exception-fits-nothing", Level.WARNING)
    assert "far leg" in fault.what


def test_an_end_jointed_by_another_statement_does_not_stop_short() -> None:
    """The far end is jointed to a block; the far leg beyond it, named by the first statement, is not missed."""
    far = box("far leg", (-12.75, -11), (0, 1.75), (0, 17), grain="z")
    block = box("block", (-11, -9.5), (0, 1.75), (11, 16), grain="z")
    rail = box("rail", (-10.2, 11), (0.25, 1.25), (12, 15), grain="x")
    joints = (tenon("rail", "leg, far leg"), tenon("rail", "block"))
    made = complete(piece(box("leg", *LEG, grain="z"), far, block, rail, joints=joints))
    assert "stops-short" not in codes(made)
    assert len(made.joints) == 2
