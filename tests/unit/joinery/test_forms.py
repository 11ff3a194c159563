"""Forms of the joint: shoulders, haunch, twin, in line, through, wedged, loose, dowels, in line with the part, pegs."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from batchwright.base.trace import By
from batchwright.model.draft import JointKind, PegsAsk
from batchwright.model.piece import Joint, Piece
from batchwright.solids.build import placed, recipe_solid
from batchwright.solids.meet import overlap
from joinery_blocks import INCH, box, complete, piece, stick, tenon


def rail_piece(leg: float = 2.0, rail: tuple[float, float] = (1.0, 3.0), top: float = 15.0, **ask: object) -> Piece:
    """A rail (thickness, width in in) on the middle of a leg 17 in long; its top at a height."""
    thick, wide = rail
    y = (leg - thick) / 2
    post = box("leg", (10, 10 + leg), (0, leg), (0, 17), grain="z")
    part = box("rail", (-10, 10 + leg / 2), (y, y + thick), (top - wide, top), grain="x")
    kind = ask.pop("kind", JointKind.TENON)
    statement = replace(tenon("rail", "leg", **ask), kind=kind)  # type: ignore[arg-type]
    return complete(piece(post, part, joints=(statement,)))


def rail_joint(**ask: object) -> Joint:
    made = rail_piece(**ask)  # type: ignore[arg-type]
    assert not made.faults, [str(fault) for fault in made.faults]
    return made.joints[0]


def overlap_of(made: Piece, a: str, b: str) -> float:
    solids = [placed(recipe_solid(made.part(n).recipe), made.part(n).draft.frame) for n in (a, b)]  # type: ignore[arg-type]
    return overlap(*solids).depth


def test_shoulders_asked_for_leave_that_wood() -> None:
    joint = rail_joint(shoulders=(("top", INCH / 2), ("bottom", INCH / 4)))
    (bar,) = joint.tenons
    assert bar.width == pytest.approx(3 * INCH - 0.75 * INCH)
    assert bar.centre[0] == pytest.approx(-INCH / 8), "x looks up: the middle moves down by half the difference"
    assert dict(joint.sizes)["shoulder top"].trace.by is By.MAKER


def test_a_shoulder_in_the_thickness_moves_the_tenon() -> None:
    joint = rail_joint(thickness=3 / 8 * INCH, shoulders=(("front", INCH / 4),))
    middle = joint.frame.to_world((*joint.tenons[0].centre, 0.0))
    front_of_rail = 0.5 * INCH
    assert middle[1] == pytest.approx(front_of_rail + INCH / 4 + 3 / 16 * INCH)


def test_both_shoulders_in_the_thickness_give_it() -> None:
    joint = rail_joint(shoulders=(("front", INCH / 4), ("back", INCH / 4)))
    assert joint.size("thickness") == pytest.approx(INCH / 2)


def test_all_round_shoulders() -> None:
    joint = rail_joint(shoulders=(("all", INCH / 4),))
    assert joint.tenons[0].width == pytest.approx(2.5 * INCH)
    assert joint.size("thickness") == pytest.approx(INCH / 2)


def test_outside_is_away_from_the_middle_of_the_piece() -> None:
    """The piece's middle plane lies at y = 6 in: for a rail in front of it the outside is the front."""
    joint = rail_joint(thickness=3 / 8 * INCH, shoulders=(("outside", INCH / 8),))
    middle = joint.frame.to_world((*joint.tenons[0].centre, 0.0))
    assert middle[1] == pytest.approx(0.5 * INCH + INCH / 8 + 3 / 16 * INCH)


def test_a_side_the_tenon_does_not_have_is_told() -> None:
    made = rail_piece(shoulders=(("left", INCH / 4),))
    (fault,) = made.faults
    assert fault.code == "shoulder-not-beside"
    assert "back, bottom, front, top" in fault.why


def test_haunch_reaches_the_rails_edge_and_is_cut_in_both_parts() -> None:
    joint = rail_joint(haunch="top", thickness=3 / 8 * INCH, top=17.0)
    (bar,) = joint.tenons
    top_edge = joint.frame.to_world((bar.centre[0] + bar.width / 2 + bar.haunch_width, 0, 0))[2]
    assert top_edge == pytest.approx(17 * INCH)
    made = rail_piece(haunch="top", thickness=3 / 8 * INCH, top=17.0)
    assert overlap_of(made, "rail", "leg") < 0.01
    labels = [feature.label for feature in made.part("leg").features]  # type: ignore[arg-type]
    assert labels == ["haunch A", "mortise A"]


def test_twin_tenons_share_the_thickness_with_equal_spaces() -> None:
    joint = rail_joint(leg=3.0, rail=(2.0, 3.0), side_by_side=2, thickness=3 / 8 * INCH)
    first, second = sorted(bar.centre[1] for bar in joint.tenons)
    space = (2 * INCH - 2 * 3 / 8 * INCH) / 3
    assert second - first == pytest.approx(space + 3 / 8 * INCH)
    assert first == pytest.approx(-second)
    assert len(joint.mortises) == 2


def test_two_in_line_leave_a_gap_of_at_least_the_thickness() -> None:
    joint = rail_joint(rail=(1.0, 5.0), thickness=3 / 8 * INCH, in_line=2, top=16.0)
    low, high = sorted(joint.tenons, key=lambda bar: bar.centre[0])
    gap = (high.centre[0] - high.width / 2) - (low.centre[0] + low.width / 2)
    assert gap >= 3 / 8 * INCH - 1e-9
    assert low.width == pytest.approx(high.width)


def test_width_asked_for_is_kept_and_centred() -> None:
    joint = rail_joint(width=2 * INCH)
    assert joint.tenons[0].width == pytest.approx(2 * INCH)
    assert joint.tenons[0].centre[0] == pytest.approx(0.0, abs=1e-9)


def test_too_thick_and_too_wide_are_faults_with_both_numbers() -> None:
    thick = rail_piece(thickness=1.25 * INCH)
    assert [fault.code for fault in thick.faults] == ["tenon-thicker-than-part"]
    assert "1 1/4 in" in thick.faults[0].what and "1 in thick" in thick.faults[0].what
    wide = rail_piece(width=4 * INCH)
    assert [fault.code for fault in wide.faults] == ["no-room-for-tenon"]
    assert "4 in wide" in wide.faults[0].what and "3 in wide" in wide.faults[0].what


def test_through_tenon_comes_out_flush() -> None:
    made = rail_piece(end="through")
    (joint,) = made.joints
    assert joint.tenons[0].length == pytest.approx(2 * INCH)
    assert joint.mortises[0].through
    assert joint.size("end clearance") == 0.0
    assert made.part("rail").length == pytest.approx((20 + 2) * INCH)  # type: ignore[arg-type]


def test_through_tenon_left_proud() -> None:
    joint = rail_joint(end="through", proud=INCH)
    assert joint.tenons[0].length == pytest.approx(3 * INCH)
    assert joint.closing.travel == pytest.approx(3 * INCH)


def test_through_tenon_in_a_leaning_leg_is_trimmed_to_its_far_face() -> None:
    """Square to the near face it leaves by the far one, parallel to it; on a tapered leg the far face slopes to it."""
    joint = rail_joint(end="wedged")
    assert joint.tenons[0].wedges == 2
    leg = box("leg", (10, 12), (0, 2), (0, 17), grain="z")
    slope = stick("rail", ((-10, 1, 13), (11, 1, 14)), (1, 2))
    made = complete(piece(leg, slope, joints=(tenon("rail", "leg", end="through", angle_in="mortise"),)))
    (joint,) = made.joints
    (plane,) = joint.tenons[0].tip_planes
    world = joint.frame.plane_to_world(plane)
    assert world.normal == pytest.approx((1.0, 0.0, 0.0), abs=1e-6)
    assert world.point[0] == pytest.approx(12 * INCH, abs=1e-6)
    rail = placed(recipe_solid(made.part("rail").recipe), made.part("rail").draft.frame)  # type: ignore[arg-type]
    assert rail.bounds[1][0] == pytest.approx(12 * INCH, abs=1e-6)


def test_angle_in_mortise_keeps_the_tenon_in_line_with_its_part() -> None:
    post = box("post", (10, 13), (0, 2), (0, 30), grain="z")
    brace = stick("brace", ((2, 1, 10), (11.5, 1, 18)), (1, 2))
    forms = {
        form: complete(piece(post, brace, joints=(tenon("brace", "post", angle_in=form),)))
        for form in ("tenon", "mortise")
    }
    way = (9.5 / math.hypot(9.5, 8), 0.0, 8 / math.hypot(9.5, 8))
    assert forms["tenon"].joints[0].frame.z == pytest.approx((1.0, 0.0, 0.0))
    assert forms["mortise"].joints[0].frame.z == pytest.approx(way)
    assert "steep-tenon" in {finding.code for finding in forms["tenon"].findings}
    for made in forms.values():
        assert not made.faults
        assert overlap_of(made, "brace", "post") < 0.05, "no wedge-shaped sliver is left at the mouth"


def test_loose_tenon_is_mortised_into_both() -> None:
    made = rail_piece(kind=JointKind.LOOSE_TENON, thickness=3 / 8 * INCH, length=1.25 * INCH)
    (joint,) = made.joints
    assert joint.size("end clearance") == pytest.approx(0.8), "JR24: 0.5 to 1 mm in width"
    rail, leg = made.part("rail"), made.part("leg")  # type: ignore[arg-type]
    assert [feature.label for feature in rail.features] == ["mortise A"]
    (mortise,) = joint.mortises
    hole = mortise.length * mortise.width * mortise.depth
    assert rail.volume == pytest.approx(20 * 3 * INCH**3 - hole)
    assert leg.volume == pytest.approx(2 * 2 * 17 * INCH**3 - hole)
    assert rail.features[0].face == "far end"


def test_dowels_stand_in_a_row() -> None:
    made = rail_piece(kind=JointKind.DOWEL, diameter=3 / 8 * INCH, count=2, length=INCH)
    (joint,) = made.joints
    assert len(joint.tenons) == 2
    first, second = sorted(bar.centre[0] for bar in joint.tenons)
    assert second - first == pytest.approx(3 * INCH - 3 * 3 / 8 * INCH), "one and a half diameters from each edge"
    leg = made.part("leg")  # type: ignore[arg-type]
    hole = math.pi / 4 * (3 / 8 * INCH) ** 2 * (INCH + INCH / 16)
    assert leg.volume == pytest.approx(2 * 2 * 17 * INCH**3 - 2 * hole, rel=2e-4)


def test_pegs_stand_back_from_the_shoulder_and_draw_towards_it() -> None:
    made = rail_piece(leg=2.5, pegs=PegsAsk(count=2, diameter=INCH / 4, draw=INCH / 32))
    (joint,) = made.joints
    assert len(joint.pegs) == 2
    for peg in joint.pegs:
        local = joint.frame.to_local(peg.point)
        assert local[2] == pytest.approx(INCH / 2), "JR20: two diameters"
        assert peg.direction == pytest.approx((0.0, 1.0, 0.0)), "driven from the outside, which is the front"
        assert peg.point[1] == pytest.approx(0.0, abs=1e-6)
    rail = made.part("rail")  # type: ignore[arg-type]
    holes = [feature for feature in rail.features if feature.kind.value == "peg hole"]
    assert [round(hole.frame.origin[0] - 20 * INCH, 4) for hole in holes] == [round(INCH / 2 - INCH / 32, 4)] * 2
    assert {hole.face for hole in holes} == {"face side"}


def test_square_section_turns_its_mortise_with_the_grain() -> None:
    leg = box("leg", (10, 12), (0, 2), (0, 17), grain="z")
    bar = box("bar", (-10, 11), (0.5, 1.5), (9.5, 10.5), grain="x")
    (joint,) = complete(piece(leg, bar, joints=(tenon("bar", "leg"),))).joints
    assert abs(joint.frame.x[2]) == pytest.approx(1.0)
    assert joint.twist == pytest.approx(0.0)
    (turned,) = complete(piece(leg, bar, joints=(tenon("bar", "leg", turned="across"),))).joints
    assert turned.twist == pytest.approx(math.pi / 2)


def test_closing_is_straight_along_the_tenon() -> None:
    joint = rail_joint()
    assert joint.closing.direction == pytest.approx((1.0, 0.0, 0.0))
    assert joint.closing.travel == pytest.approx(joint.tenons[0].length)
    assert joint.closing.half_angle == 0.0, "a blind square tenon is free only straight back"


def test_clearance_asked_for_overrides_the_shops_fit() -> None:
    joint = rail_joint(clearance=0.2, thickness=3 / 8 * INCH)
    assert joint.mortises[0].width - joint.tenons[0].thickness == pytest.approx(0.2)
    assert dict(joint.sizes)["cheek clearance"].trace.by is By.MAKER


def test_haunch_in_a_leaning_leg_does_not_stand_over_the_rails_edge() -> None:
    """Square to a face that leans 8 degrees a haunch would rise by its length times the sine; it is trimmed level."""
    lean = math.tan(math.radians(8.0))
    leg = stick("leg", ((10 + 18 * lean, 1, -1), (10, 1, 17)), (1.75, 1.75))
    rail = box("rail", (-10, 10.2), (0.5, 1.5), (13, 16.5), grain="x")
    made = complete(piece(leg, rail, joints=(tenon("rail", "leg", haunch="top", thickness=3 / 8 * INCH),)))
    solid = placed(recipe_solid(made.part("rail").recipe), made.part("rail").draft.frame)  # type: ignore[arg-type]
    assert made.joints[0].tenons[0].haunch_width > 0.0
    assert solid.bounds[1][2] == pytest.approx(16.5 * INCH, abs=1e-6)
