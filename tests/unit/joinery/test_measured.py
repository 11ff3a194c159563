"""What is measured after cutting: walls, ends, break-outs, collisions, overlaps, loose parts, free ends."""

from __future__ import annotations

from dataclasses import replace

import pytest

from batchwright.base.finding import Finding, Grade
from batchwright.geometry.frame import Frame
from batchwright.geometry.outline import polygon_outline
from batchwright.model.draft import DraftPart, JointKind, PartId, PegsAsk
from batchwright.model.piece import Piece
from batchwright.model.shape import Prism, Shape
from joinery_blocks import INCH, box, complete, piece, stick, tenon


def corner(leg: float = 1.75, top: float = 15.0, thick: float = 1.0, **ask: object) -> Piece:
    y = (leg - thick) / 2
    post = box("leg", (10, 10 + leg), (0, leg), (0, 17), grain="z")
    rail = box("rail", (-10, 10 + leg / 2), (y, y + thick), (top - 3, top), grain="x")
    return complete(piece(post, rail, joints=(tenon("rail", "leg", **ask),)))


def measure(made: Piece, name: str) -> float:
    (joint,) = made.joints
    return next(each.value for each in joint.measures if each.name == name)


def codes(made: Piece) -> set[str]:
    return {finding.code for finding in made.findings}


def finding(made: Piece, code: str) -> Finding:
    return next(each for each in made.findings if each.code == code)


def test_walls_beside_and_beyond_are_what_plain_arithmetic_says() -> None:
    made = corner(thickness=3 / 8 * INCH, length=INCH)
    wall = (1.75 - 3 / 8) / 2 * INCH
    assert measure(made, "wall, front") == pytest.approx(wall, abs=0.02)
    assert measure(made, "wall, back") == pytest.approx(wall, abs=0.02)
    assert measure(made, "wall beyond") == pytest.approx(0.75 * INCH - INCH / 16, abs=0.02)
    top = 17 * INCH - (15 * INCH - 1.5 + 0.25)
    assert measure(made, "wood to the end, top") == pytest.approx(top, abs=0.02)


def test_a_wall_under_the_rule_fails_with_both_numbers() -> None:
    made = corner(leg=0.9375, thick=0.75, thickness=INCH / 2)
    thin = finding(made, "thin-wall")
    assert thin.grade is Grade.FAILS
    assert "leaves 7/32 in" in thin.what and "the rule asks 1/4 in" in thin.what
    assert thin.utilisation == pytest.approx(8 / 7, rel=0.01)


def test_outdoors_asks_more_of_a_wall() -> None:
    """JR15: 1/4 in indoors, 5/16 in outdoors; a wall of 9/32 in is enough only indoors."""
    post = box("leg", (10, 11.75), (0, 0.9375), (0, 17), grain="z")
    rail = box("rail", (-10, 11), (0.09375, 0.84375), (12, 15), grain="x")
    drawn = piece(post, rail, joints=(tenon("rail", "leg", thickness=3 / 8 * INCH),))
    assert "thin-wall" not in {f.code for f in complete(drawn).findings if f.grade is Grade.FAILS}
    assert "thin-wall" in {f.code for f in complete(replace(drawn, outdoors=True)).findings if f.grade is Grade.FAILS}


def test_a_mortise_that_goes_right_through_is_told() -> None:
    made = corner(length=1.74 * INCH)
    assert finding(made, "mortise-breaks-out").grade is Grade.FAILS


def test_walls_are_measured_on_the_shaped_part_and_not_on_the_blank() -> None:
    """The same joint in a leg sawn hollow behind it: the wall beyond shrinks by the depth of the hollow."""
    shape = polygon_outline(
        [
            (x * INCH, z * INCH)
            for x, z in [(10, 0), (11.75, 0), (11.75, 10), (11.5, 12), (11.5, 15), (11.75, 17), (10, 17)]
        ]
    )
    frame = Frame((0, 0, 0), (1, 0, 0), (0, 0, 1), (0, 1, 0))
    leg = DraftPart(
        id=PartId("leg"),
        name="leg",
        frame=frame,
        shape=Shape(body=Prism(outline=shape, low=0.0, high=1.75 * INCH)),
        grain=(0, 1, 0),
        wood="white oak",
    )
    rail = box("rail", (-10, 10.8), (0.375, 1.375), (12, 15), grain="x")
    made = complete(piece(leg, rail, joints=(tenon("rail", "leg", thickness=3 / 8 * INCH, length=INCH),)))
    assert measure(made, "wall beyond") == pytest.approx(0.5 * INCH - INCH / 16, abs=0.02)
    plain = corner(thickness=3 / 8 * INCH, length=INCH)
    assert measure(plain, "wall beyond") - measure(made, "wall beyond") == pytest.approx(INCH / 4, abs=0.02)


def test_a_tenon_longer_than_its_part_is_told() -> None:
    """A tenon 1 1/2 in long in a post 3/4 in thick: looked at from 3 mm past its shoulder."""
    post = box("post", (10, 10.75), (0, 2), (0, 30), grain="z")
    rail = box("rail", (-2, 10.4), (0.5, 1.5), (12, 15), grain="x")
    made = complete(piece(post, rail, joints=(tenon("rail", "post", length=1.5 * INCH),)))
    assert {"mortise-breaks-out", "tenon-breaks-out"} <= codes(made)
    past, beyond = 1.5 * INCH - 3.0, 1.5 * INCH - 0.75 * INCH
    assert f"{100 * beyond / past:.0f} % of the tenon" in finding(made, "tenon-breaks-out").what


def two_rails(level: float, length: float) -> Piece:
    leg = box("leg", (10, 11.75), (0, 1.75), (0, 20), grain="z")
    front = box("front rail", (-10, 11), (0.375, 1.375), (12, 14), grain="x")
    side = box("side rail", (10.375, 11.375), (1, 14), (level, level + 2), grain="y")
    return complete(
        piece(
            leg,
            front,
            side,
            joints=(tenon("front rail, side rail", "leg", thickness=3 / 8 * INCH, length=length * INCH),),
        )
    )


def test_mortises_one_above_another_leave_a_wall_or_are_told() -> None:
    clear, near = two_rails(14.5, 1.1), two_rails(14.1, 1.1)
    assert "thin-wall-between-joints" not in codes(clear)
    told = finding(near, "thin-wall-between-joints")
    assert "leg" in told.about
    assert not any(joint.meets for joint in near.joints), "their tenons do not come within the gap"


def test_a_peg_that_runs_into_the_neighbours_mortise_is_told() -> None:
    leg = box("leg", (10, 11.75), (0, 1.75), (0, 20), grain="z")
    front = box("front rail", (-10, 11), (0.375, 1.375), (12, 14), grain="x")
    side = box("side rail", (10, 11), (1, 14), (12, 14), grain="y")
    pegged = tenon(
        "front rail", "leg", thickness=3 / 8 * INCH, length=0.5 * INCH, pegs=PegsAsk(count=1, diameter=INCH / 4)
    )
    plain = tenon("side rail", "leg", thickness=3 / 8 * INCH, length=0.75 * INCH)
    made = complete(piece(leg, front, side, joints=(pegged, plain)))
    assert "joints-run-into-one-another" in codes(made)


def test_tenons_that_cannot_be_parted_are_a_fault() -> None:
    """Two rails beside one another, into the same face, drawn through one another: no mitre parts those."""
    leg = box("leg", (10, 13), (0, 3), (0, 20), grain="z")
    one = box("one", (-10, 11), (0.5, 1.5), (12, 14), grain="x")
    two = box("two", (0, 11), (0.75, 1.75), (12, 14), grain="x")
    made = complete(piece(leg, one, two, joints=(tenon("one, two", "leg", thickness=3 / 8 * INCH),)))
    assert "tenons-overlap" in {fault.code for fault in made.faults}


def test_an_overlap_no_joint_explains_is_a_fault_by_depth() -> None:
    leg = box("leg", (10, 11.75), (0, 1.75), (0, 17), grain="z")
    for into, wrong in ((0.05, False), (0.5, True)):
        shelf = box("shelf", (0, 10 + into / INCH), (0, 1.75), (5, 6), grain="x")
        made = complete(piece(leg, shelf, joints=()))
        assert ("parts-overlap" in {fault.code for fault in made.faults}) == wrong
    assert "by 0.020 in" in next(f.what for f in made.faults if f.code == "parts-overlap")


def test_a_rest_excuses_an_overlap_up_to_a_sixty_fourth() -> None:
    top = box("top", (0, 12), (0, 12), (17, 18), grain="x")
    for into, wrong in ((0.3, False), (0.6, True)):
        leg = box("leg", (2, 4), (2, 4), (0, 17 + into / INCH), grain="z")
        rest = replace(tenon("leg", "top"), kind=JointKind.REST)
        made = complete(piece(leg, top, joints=(rest,)))
        assert ("parts-overlap" in {fault.code for fault in made.faults}) == wrong


def test_parts_that_touch_with_no_joint_and_parts_joined_to_nothing_are_told() -> None:
    leg = box("leg", (10, 11.75), (0, 1.75), (0, 17), grain="z")
    block = box("block", (8, 10), (0, 1.75), (5, 6), grain="x")
    made = complete(piece(leg, block, joints=()))
    assert "touch-with-no-joint" in codes(made)
    assert finding(made, "not-joined").about in (("block",), ("leg",))


def test_a_free_end_is_told_and_one_on_the_floor_is_not() -> None:
    leg = box("leg", (10, 11.75), (0, 1.75), (0, 17), grain="z")
    rail = box("rail", (-10, 11), (0.25, 1.25), (12, 15), grain="x")
    made = complete(piece(leg, rail, joints=(tenon("rail", "leg"),)))
    assert "left end of rail" in finding(made, "end-meets-nothing").what
    brace = stick("brace", ((2, 0.75, 0), (10.5, 0.75, 12)), (1, 1.5))
    stood = complete(piece(leg, brace, joints=(tenon("brace", "leg"),)))
    assert "end-meets-nothing" not in codes(stood)


def test_a_part_cut_in_two_is_a_fault() -> None:
    """A mortise as wide and as long as its part, right through it."""
    bar = box("bar", (0, 20), (0, 0.5), (10, 11), grain="x")
    post = box("post", (9, 11), (-10, 0.25), (9, 12), grain="y")
    made = complete(piece(bar, post, joints=(replace(tenon("post", "bar"), kind=JointKind.HOUSING),)))
    assert not made.faults
    wide = box("post", (9, 11), (-10, 0.6), (9, 12), grain="y")
    made = complete(piece(bar, wide, joints=(replace(tenon("post", "bar"), kind=JointKind.HOUSING),)))
    assert "part-in-pieces" in {fault.code for fault in made.faults}


def test_alike_findings_of_one_statement_are_said_once() -> None:
    legs = [box(f"leg {i}", (x, x + 1), (0, 1.0), (0, 17), grain="z", name="leg") for i, x in enumerate((-11, 10))]
    rail = box("rail", (-10.5, 10.5), (0.125, 0.875), (12, 15), grain="x")
    made = complete(piece(*legs, rail, joints=(tenon("rail", "leg 0, leg 1", thickness=9 / 16 * INCH),)))
    thin = [each for each in made.findings if each.code == "thin-wall"]
    assert len(thin) == 1
    assert {"leg 0", "leg 1"} <= set(thin[0].about)


def test_wood_to_the_end_stops_at_the_parts_own_shoulder() -> None:
    """A bar tenoned into a side rail 2 in from that rail's shoulder: what was drawn into the post does not count."""
    post = box("post", (-1, 1), (-3, 0), (0, 20), grain="z")
    rail = box("side", (-0.5, 0.5), (-2, 20), (8, 11), grain="y")
    bar = box("bar", (0, 14), (2, 3.5), (9, 10), grain="x")
    joints = (tenon("side", "post"), tenon("bar", "side", width=INCH, turned="with the grain"))
    made = complete(piece(post, rail, bar, joints=joints))
    joint = next(joint for joint in made.joints if joint.into == "side")
    front = next(each.value for each in joint.measures if each.name == "wood to the end, front")
    assert front == pytest.approx(2.75 * INCH - INCH / 2 - 0.25, abs=0.02)


def test_a_peg_too_near_the_tenons_end_is_told() -> None:
    made = corner(thickness=3 / 8 * INCH, length=INCH, pegs=PegsAsk(count=1, diameter=3 / 8 * INCH))
    assert "peg-near-tenon-end" in codes(made)
