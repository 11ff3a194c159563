"""Joint sizes by rule, against the numbers the rules print (joint_rules table: JR01...), and a worked mitre.

Each test names the rule and the source the table names for it. Numbers marked `from memory` in the table are tested as
the table's own, not as the source's.
"""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from batchwright.base.trace import By
from batchwright.geometry.frame import dot
from batchwright.handbook.joint_rules import joint_rule
from batchwright.joinery.sizing import rules
from batchwright.model.draft import DraftPiece, Meeting, PartId, PegsAsk
from batchwright.model.piece import Joint, Piece
from batchwright.model.shop import Cutter, Shop
from joinery_blocks import INCH, box, complete, piece, tenon
from printed import printed


def rail_into_leg(leg: float = 1.75, rail: tuple[float, float] = (1.0, 3.0), **ask: object) -> Joint:
    """The joint of a rail (thickness, width, in) into the middle of a long leg (in)."""
    thick, wide = rail
    y = (leg - thick) / 2
    post = box("leg", (10, 10 + leg), (0, leg), (0, 30), grain="z")
    part = box("rail", (-10, 10 + leg / 2), (y, y + thick), (12, 12 + wide), grain="x")
    (joint,) = complete(piece(post, part, joints=(tenon("rail", "leg", **ask),))).joints
    return joint


def trace(joint: Joint, name: str) -> tuple[By, str]:
    sized = dict(joint.sizes)[name]
    return sized.trace.by, sized.trace.rule


def test_jr01_one_third_of_equal_stock() -> None:
    """Fairham, Woodwork Joints: one third of the stock; 1 1/8 in stock on both gives 3/8 in."""
    joint = rail_into_leg(leg=1.125, rail=(1.125, 3.0))
    assert joint.size("thickness") == pytest.approx(0.375 * INCH)
    assert rules.thickness_third(30.0).value == printed("10.0")


def test_jr02_pitched_to_the_cutter_in_hand() -> None:
    """Joyce: slightly over one third. A third of 1 in is 0.333; of chisels by sixteenths the next over is 3/8 in."""
    joint = rail_into_leg(leg=1.25, rail=(1.0, 3.0))
    assert joint.size("thickness") == pytest.approx(0.375 * INCH)
    assert trace(joint, "thickness") == (By.RULE, "JR02")


def test_jr03_up_to_half_the_rail_in_a_thicker_leg() -> None:
    joint = rail_into_leg(leg=3.0, rail=(1.0, 3.0))
    assert joint.size("thickness") == pytest.approx(0.5 * INCH)
    assert trace(joint, "thickness") == (By.RULE, "JR03")


def test_jr04_haunch_takes_a_third_of_the_rail() -> None:
    """Joyce: rail width in three. A 3 in rail less its 1/16 in (1.5 mm) lower shoulder, two thirds tenon."""
    joint = rail_into_leg(haunch="top", thickness=3 / 8 * INCH)
    usable = 3 * INCH - 1.5
    (bar,) = joint.tenons
    assert bar.width == pytest.approx(2 / 3 * usable)
    assert bar.haunch_width == pytest.approx(usable / 3)
    assert bar.haunch_length == pytest.approx(3 / 8 * INCH), "JR06: about as deep as it is thick"


def test_jr07_small_shoulder_covers_the_mortise() -> None:
    assert rail_into_leg().size("shoulder bottom") == printed("1.5")


def test_jr08_mortise_deeper_than_the_tenon() -> None:
    joint = rail_into_leg()
    gap = joint.mortises[0].depth - joint.tenons[0].length
    rule = joint_rule("JR08")
    assert rule.low is not None and rule.high is not None
    assert rule.low <= gap <= rule.high


def test_jr11_and_jr12_numbers() -> None:
    assert rules.twin_number(59.0).value == 1.0
    assert rules.twin_number(61.0).value == 2.0, "a third of 61 mm exceeds 20 mm"
    assert rules.in_line_number(149.0).value == 1.0
    assert rules.in_line_number(151.0).value == 2.0, "wider than 150 mm always"
    wide = rail_into_leg(leg=2.5, rail=(1.0, 6.5))
    assert len(wide.tenons) == 2


@pytest.mark.parametrize("leg", [1.0, 1.5, 1.75, 2.0, 2.5, 3.5])
def test_jr13_to_jr16_length(leg: float) -> None:
    """Two thirds of the leg or five thicknesses, at least 25 mm and three thicknesses, and 6 mm left beyond."""
    joint = rail_into_leg(leg=leg, thickness=3 / 8 * INCH)
    depth, t = leg * INCH, 3 / 8 * INCH
    most = depth - 6.0 - INCH / 16
    expected = min(max(min(depth * 2 / 3, 5 * t), max(25.0, 3 * t)), most)
    assert joint.tenons[0].length == pytest.approx(expected)
    assert depth - joint.mortises[0].depth >= 6.0 - 1e-9


def test_jr17_wood_to_the_end_of_the_leg() -> None:
    """Noyes: a mortise must not come near the end; the table's number is 12 mm."""
    post = box("leg", (10, 11.75), (0, 1.75), (0, 17), grain="z")
    rail = box("rail", (-10, 11), (0.25, 1.25), (14, 17), grain="x")
    (joint,) = complete(piece(post, rail, joints=(tenon("rail", "leg"),))).joints
    top = joint.frame.to_world((joint.mortises[0].length / 2 + joint.mortises[0].centre[0], 0, 0))[2]
    assert 17 * INCH - top == printed("12.0")
    assert trace(joint, "shoulder top") == (By.RULE, "JR17")


def test_jr18_to_jr20_pegs() -> None:
    """6 mm for tenons of 9 to 12 mm; centre two diameters from the shoulder; three to the tenon's end; 0.8 mm draw."""
    joint = rail_into_leg(leg=2.5, thickness=3 / 8 * INCH, pegs=PegsAsk())
    assert joint.size("peg diameter") == printed("6")
    assert joint.size("peg setback") == printed("12")
    assert joint.size("peg draw") == printed("0.8")
    assert joint.tenons[0].length - joint.size("peg setback") >= 3 * 6.0


def test_jr20_setback_gives_way_to_the_tenons_end() -> None:
    assert rules.peg_setback(6.0, 40.0).value == printed("12.0")
    assert rules.peg_setback(6.0, 28.0).value == printed("10.0"), "28 less three diameters"
    assert rules.peg_setback(6.0, 20.0).value == printed("9.0"), "never under one and a half diameters"


def test_jr22_to_jr24_fits() -> None:
    cheeks = rail_into_leg()
    total = cheeks.mortises[0].width - cheeks.tenons[0].thickness
    rule = joint_rule("JR22")
    assert rule.low is not None and rule.high is not None and rule.low <= total <= rule.high
    assert total / 2 <= 0.10, "JR23: at most 0.10 a cheek"
    assert 0.5 <= Shop().fits.loose_width.value <= 1.0, "JR24"


def test_own_cutters_are_kept_to() -> None:
    shop = replace(Shop(), cutters=(Cutter(width=10.0, round_ends=True, reach=50.0),))
    post = box("leg", (10, 11.75), (0, 1.75), (0, 30), grain="z")
    rail = box("rail", (-10, 11), (0.25, 1.25), (12, 15), grain="x")
    (joint,) = complete(piece(post, rail, joints=(tenon("rail", "leg"),)), shop).joints
    assert joint.mortises[0].width == pytest.approx(10.0)
    assert joint.mortises[0].round_ends


def corner(meeting: Meeting | None) -> DraftPiece:
    """Two rails 1 in thick, set back 1/4 in, that meet in a leg 1 3/4 in square; 3/8 in tenons on their middle."""
    leg = box("leg", (10, 11.75), (0, 1.75), (0, 17), grain="z")
    front = box("front rail", (-10, 11), (0.25, 1.25), (12, 15), grain="x")
    side = box("side rail", (10.5, 11.5), (0.9, 14), (12, 15), grain="y")
    joint = tenon("front rail, side rail", "leg", thickness=3 / 8 * INCH)
    return piece(leg, front, side, joints=(joint,), meetings=(meeting,) if meeting else ())


def mitre(gap: float) -> Meeting:
    return Meeting(into=(PartId("leg"),), of=("front rail", "side rail"), by="mitre", gap=gap)


def tip_depths(joint: Joint) -> tuple[float, float]:
    """How far from the leg's face the tip reaches at its short and its long point."""
    (bar,), (plane,) = joint.tenons, joint.tenons[0].tip_planes
    found = []
    for side in (-1.0, 1.0):
        corner_point = (bar.centre[0], bar.centre[1] + side * bar.thickness / 2, 0.0)
        found.append(-plane.height(corner_point) / plane.normal[2])
    return min(found), max(found)


def test_mitred_tips_reach_about_an_inch() -> None:
    """Leg 1 3/4, rail 1 in set back 1/4 in, 3/8 tenon on its middle: the other tenon's near cheek lies 13/16 in from
    the inside face, its far cheek 1 3/16, so that tips mitred at 45 degrees with no gap meet at 1 in on their middle.

    Plain arithmetic: 1 3/4 - (1/4 + 1/2 + 3/16) = 13/16. Mitring: Fairham, Woodwork Joints, Table framing (JR10).
    """
    piece_ = complete(corner(mitre(0.0)))
    assert not piece_.faults
    for joint in piece_.joints:
        short, long = tip_depths(joint)
        fit = 0.05 / INCH
        assert short / INCH == pytest.approx(13 / 16 + fit, abs=1e-6), "the cheek is thinner by half the clearance"
        assert long / INCH == pytest.approx(1 + 3 / 16 - fit, abs=1e-6)
        assert joint.tenons[0].tip_planes[0].normal[2] == pytest.approx(math.cos(math.radians(45)))


def test_mitred_tips_keep_the_gap_between_them() -> None:
    """JR10: nearly touching, 1 to 2 mm; the two tip planes are parallel and the gap apart."""
    one, two = complete(corner(mitre(INCH / 16))).joints
    first = one.frame.plane_to_world(one.tenons[0].tip_planes[0])
    second = two.frame.plane_to_world(two.tenons[0].tip_planes[0])
    assert dot(first.normal, second.normal) == pytest.approx(-1.0)
    assert first.height(second.point) == pytest.approx(INCH / 16)


def test_tenons_that_meet_are_mitred_by_rule_where_nothing_is_said() -> None:
    piece_ = complete(corner(None))
    assert not piece_.faults
    for joint in piece_.joints:
        assert trace(joint, "length") == (By.RULE, "JR10")
        assert joint.meets


def test_one_goes_first_and_the_other_stops_at_its_cheek() -> None:
    """The near cheek lies 13/16 in from the inside face (plus half the cheek clearance); less a gap of 1/16 in: 3/4."""
    meeting = Meeting(into=(PartId("leg"),), of=("front rail", "side rail"), by="side rail", gap=INCH / 16)
    piece_: Piece = complete(corner(meeting))
    front = next(joint for joint in piece_.joints if joint.part == "front rail")
    side = next(joint for joint in piece_.joints if joint.part == "side rail")
    assert front.tenons[0].length / INCH == pytest.approx(13 / 16 - 1 / 16 + 0.05 / INCH, abs=1e-6)
    assert side.tenons[0].length == pytest.approx(2 / 3 * 1.75 * INCH)
    assert not front.tenons[0].tip_planes
