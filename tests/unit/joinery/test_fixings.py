"""Parts held without a tenon: housings, grooves, halvings, rests, screws, buttons, glue."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from batchwright.joinery.cutting.screws import read_size
from batchwright.model.draft import DraftPiece, JointKind, JointStatement
from batchwright.model.piece import Piece
from batchwright.solids.build import placed, recipe_solid
from batchwright.solids.meet import overlap
from joinery_blocks import INCH, box, complete, piece, tenon


def held(kind: JointKind, of: str, to: str, **ask: object) -> JointStatement:
    return replace(tenon(of, to, **ask), kind=kind)


def clear(made: Piece, a: str, b: str) -> bool:
    one, two = (placed(recipe_solid(made.part(n).recipe), made.part(n).draft.frame) for n in (a, b))  # type: ignore[arg-type]
    return overlap(one, two).depth < 1e-3


def codes(made: Piece) -> set[str]:
    return {finding.code for finding in made.findings}


def test_housing_takes_the_shelfs_shape_out_of_the_side() -> None:
    side = box("side", (0, 0.75), (0, 10), (0, 30), grain="z")
    shelf = box("shelf", (0.5, 20), (0, 9), (12, 12.75), grain="x")
    made = complete(piece(side, shelf, joints=(held(JointKind.HOUSING, "shelf", "side"),)))
    assert not made.faults
    (fixing,) = made.fixings
    assert dict(fixing.sizes)["depth"].value == pytest.approx(0.25 * INCH)
    assert made.part("side").volume == pytest.approx((0.75 * 10 * 30 - 0.25 * 9 * 0.75) * INCH**3)  # type: ignore[arg-type]
    assert made.part("shelf").volume == pytest.approx(19.5 * 9 * 0.75 * INCH**3)  # type: ignore[arg-type]
    bottom, ends = 9 * 0.75, 0.25 * (9 + 9 + 0.75)
    assert fixing.contact == pytest.approx((bottom + ends) * INCH**2, rel=1e-6)
    assert clear(made, "side", "shelf")
    (feature,) = made.part("side").features  # type: ignore[arg-type]
    assert feature.kind.value == "housing"
    assert feature.depth == pytest.approx(0.25 * INCH)
    low, high = feature.box
    assert (low[0], high[0]) == pytest.approx((12 * INCH, 12.75 * INCH)), "from the reference end, which is the bottom"
    assert feature.face in ("face side", "back")


def test_a_housing_that_finds_no_overlap_is_told() -> None:
    side = box("side", (0, 0.75), (0, 10), (0, 30), grain="z")
    shelf = box("shelf", (1, 20), (0, 9), (12, 12.75), grain="x")
    made = complete(piece(side, shelf, joints=(held(JointKind.HOUSING, "shelf", "side"),)))
    (fault,) = made.faults
    assert fault.code == "meets-nothing"
    assert "it stops 1/4 in short of side" in fault.what


def test_groove_leaves_the_panel_room_to_move() -> None:
    stile = box("stile", (0, 2), (0, 0.75), (0, 30), grain="z")
    panel = box("panel", (1.625, 10), (0.25, 0.5), (5, 25), grain="z")
    made = complete(piece(stile, panel, joints=(held(JointKind.GROOVE, "panel", "stile", loose=INCH / 16),)))
    assert not made.faults
    taken = (3 / 8 + 1 / 16) * 0.25 * 20
    assert made.part("stile").volume == pytest.approx((2 * 0.75 * 30 - taken) * INCH**3)  # type: ignore[arg-type]


def test_halving_takes_half_from_each() -> None:
    rail = box("rail", (-10, 10), (0, 2), (10, 11), grain="x")
    cross = box("cross", (-1, 1), (-8, 8), (10, 11), grain="y")
    made = complete(piece(rail, cross, joints=(held(JointKind.HALVING, "rail", "cross", on_top="rail"),)))
    assert not made.faults
    half = 2 * 2 * 0.5 * INCH**3
    assert made.part("rail").volume == pytest.approx(20 * 2 * INCH**3 - half)  # type: ignore[arg-type]
    assert made.part("cross").volume == pytest.approx(16 * 2 * INCH**3 - half)  # type: ignore[arg-type]
    assert clear(made, "rail", "cross")
    (notch,) = made.part("rail").features  # type: ignore[arg-type]
    assert notch.kind.value == "lap"


def slat_on_rail(**ask: object) -> DraftPiece:
    rail = box("rail", (8, 9), (0, 20), (10, 13), grain="y")
    slat = box("slat", (-10, 10), (4, 6), (13, 13.75), grain="x")
    return piece(rail, slat, joints=(held(JointKind.SCREW, "slat", "rail", **ask),))


def test_two_screws_a_crossing_stand_on_the_rails_middle() -> None:
    made = complete(slat_on_rail(per_crossing=2, size="no 8 x 1 1/2"))
    (fixing,) = made.fixings
    holes = 2 * math.pi / 4 * dict(fixing.sizes)["clearance hole"].value ** 2
    assert fixing.contact == pytest.approx(2 * 1 * INCH**2 - holes, rel=0.002), "the bed less its holes"
    xs = {round(point.point[0] / INCH, 2) for point in fixing.points}
    ys = sorted(point.point[1] / INCH for point in fixing.points)
    assert xs == {8.5}
    assert ys == pytest.approx([4.5, 5.5], abs=0.02)
    assert all(point.direction == pytest.approx((0.0, 0.0, -1.0)) for point in fixing.points)
    assert all(point.point[2] == pytest.approx(13.75 * INCH, abs=0.01) for point in fixing.points)
    assert "screws-in-narrow-part" in codes(made)
    holes = [feature for feature in made.part("slat").features if feature.kind.value == "hole"]  # type: ignore[arg-type]
    assert [hole.depth for hole in holes] == pytest.approx([0.75 * INCH] * 2, abs=0.01)
    assert {hole.face for hole in holes} == {"face side"}


def test_thread_in_the_second_part_and_the_rule() -> None:
    """JR36: six diameters in the main member. No 8 is 0.164 in (Wood Handbook table 8-9): 0.984 in are wanted."""
    made = complete(slat_on_rail(per_crossing=1, size="no 8 x 1 1/2"))
    (fixing,) = made.fixings
    measures = {each.name: each for each in fixing.measures}
    assert measures["thread in the second part"].value == pytest.approx(0.75 * INCH, abs=0.01)
    assert measures["thread in the second part"].limit == pytest.approx(6 * 0.164 * INCH, abs=0.1)
    assert "screw-too-short" in codes(made)
    assert "screw-too-short" not in codes(complete(slat_on_rail(per_crossing=1, size="no 8 x 2")))


def test_a_screw_that_comes_out_below_is_told() -> None:
    assert "screw-comes-through" in codes(complete(slat_on_rail(per_crossing=1, size="no 10 x 4")))


def test_screws_near_the_end_are_told() -> None:
    rail = box("rail", (9.25, 10), (0, 20), (10, 13), grain="y")
    slat = box("slat", (-10, 10), (4, 6), (13, 13.75), grain="x")
    made = complete(piece(rail, slat, joints=(held(JointKind.SCREW, "slat", "rail", size="no 8 x 2"),)))
    assert "screw-near-end" in codes(made)


def test_sizes_of_screws_are_read() -> None:
    read = read_size("no 8 x 1 1/2", "in")
    assert read is not None
    assert read[0] == pytest.approx(0.164 * INCH, abs=0.02)
    assert read[1] == pytest.approx(1.5 * INCH)
    assert read_size("5 mm x 40 mm", "in") == pytest.approx((5.0, 40.0))
    assert read_size("the long ones", "in") is None


def test_buttons_are_spaced_along_a_rail_between_its_shoulders() -> None:
    """Three inches from the shoulders and at most a foot apart: a rail of 30 in between shoulders takes three."""
    legs = [box(f"leg {i}", (x, x + 1.5), (0, 1.5), (0, 17), grain="z", name="leg") for i, x in enumerate((-16.5, 15))]
    rail = box("rail", (-15.5, 15.5), (0.25, 1.0), (13, 17), grain="x")
    top = box("top", (-18, 18), (-1, 13), (17, 18), grain="x")
    joints = (
        tenon("rail", "leg 0, leg 1"),
        held(JointKind.BUTTON, "rail", "top"),
        held(JointKind.REST, "leg 0, leg 1", "top"),
    )
    made = complete(piece(*legs, rail, top, joints=joints))
    buttons = next(fixing for fixing in made.fixings if fixing.kind is JointKind.BUTTON)
    xs = sorted(point.point[0] / INCH for point in buttons.points)
    assert xs == pytest.approx([-12.0, 0.0, 12.0], abs=1e-6)
    assert all(point.point[1] == pytest.approx(INCH) for point in buttons.points), "on the inner face"
    assert len([fixing for fixing in made.fixings if fixing.kind is JointKind.REST]) == 2
    assert "not-joined" not in codes(made)


def test_boards_glued_to_one_another_are_each_pair_once() -> None:
    boards = [box(f"board {i}", (0, 40), (6 * i, 6 * i + 6), (0, 1), grain="x", name="board") for i in range(3)]
    names = ", ".join(f"board {i}" for i in range(3))
    made = complete(piece(*boards, joints=(held(JointKind.GLUE, names, names, slips=(3 / 8 * INCH, 6)),)))
    assert [fixing.id for fixing in made.fixings] == ["board 0, glued to board 1", "board 1, glued to board 2"]
    sizes = {name: sized.value for name, sized in made.fixings[0].sizes}
    long, wide = sizes["slip slot length"], sizes["slip slot width"]
    slots = 6 * ((long - wide) * wide + math.pi / 4 * wide**2)
    assert made.fixings[0].contact == pytest.approx(40 * 1 * INCH**2 - slots, rel=0.002), "the edge less its slots"
    assert dict(made.fixings[0].sizes)["slips"].value == 6
    assert not made.faults


def test_a_rest_that_does_not_reach_tells_the_gap() -> None:
    leg, top = box("leg", (2, 4), (2, 4), (0, 16.5), grain="z"), box("top", (0, 12), (0, 12), (17, 18), grain="x")
    made = complete(piece(leg, top, joints=(held(JointKind.REST, "leg", "top"),)))
    assert "it stops 1/2 in short of top" in made.faults[0].what


def test_a_halving_of_parts_that_run_the_same_way_is_told() -> None:
    one = box("one", (-10, 10), (0, 2), (10, 11), grain="x")
    two = box("two", (-8, 12), (1, 3), (10, 11), grain="x")
    made = complete(piece(one, two, joints=(held(JointKind.HALVING, "one", "two"),)))
    assert "halving-not-crossing" in {fault.code for fault in made.faults}
