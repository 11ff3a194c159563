"""A part on the bench: reference end, face side, face edge, lengths, outlines, and kinds."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from batchwright.geometry.frame import Frame, Plane
from batchwright.geometry.outline import area, bounds, outline
from batchwright.geometry.segment import Arc, Line
from batchwright.model.draft import DraftPart, Hand, Hands, Marks, PartId
from batchwright.model.piece import End, Part, Piece
from batchwright.model.shape import PlaneCut, Prism, RegionCut, Shape
from joinery_blocks import ACROSS_X, INCH, box, complete, mirrored, piece, stick, tenon


def marks(part: Part) -> dict[str, str]:
    return dict(part.marks_note)


def alone(part: DraftPart, **more: object) -> Part:
    return complete(replace(piece(part, joints=()), **more)).parts[0]  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("part", "expected"),
    [
        (box("leg", (10, 12), (0, 2), (0, 17), grain="z"), ("bottom", "right", "front")),
        (box("back leg", (10, 12), (10, 12), (0, 17), grain="z"), ("bottom", "right", "back")),
        (box("front rail", (-10, 10), (0, 1), (12, 15), grain="x"), ("left", "front", "top")),
        (box("back rail", (-10, 10), (11, 12), (12, 15), grain="x"), ("left", "back", "top")),
        (box("side rail", (9, 10), (0, 12), (12, 15), grain="y"), ("front", "right", "top")),
        (box("top", (-12, 12), (-1, 13), (17, 18), grain="x"), ("left", "top", "front")),
        (box("arm", (9, 12), (0, 14), (24, 25), grain="y"), ("front", "top", "right")),
    ],
)
def test_marks_by_rule(part: DraftPart, expected: tuple[str, str, str]) -> None:
    """From the front: the +x side is the right. Middle plane at y = 6 in. (docs/conventions.md, bench frame.)"""
    found = marks(alone(part))
    assert (found["reference end"], found["face side"], found["face edge"]) == expected


def test_left_is_the_sitters_left_where_the_file_says_as_seated() -> None:
    rail = box("front rail", (-10, 10), (0, 1), (12, 15), grain="x")
    part = alone(rail, hands=Hands.AS_SEATED)
    assert marks(part)["reference end"] == "left"
    assert part.bench.origin[0] == pytest.approx(10 * INCH), "the sitter's left is +x"


def test_face_marks_inside_turn_them_round() -> None:
    leg = box("leg", (10, 12), (0, 2), (0, 17), grain="z")
    found = marks(alone(leg, face_marks="inside"))
    assert (found["face side"], found["face edge"]) == ("left", "back")


def test_the_makers_own_marks_win_and_impossible_ones_are_told() -> None:
    leg = box("leg", (10, 12), (0, 2), (0, 17), grain="z", marks=Marks(reference_end="top", face_side="back"))
    assert marks(alone(leg)) == {"reference end": "top", "face side": "back", "face edge": "right"}
    wrong = box("leg", (10, 12), (0, 2), (0, 17), grain="z", marks=Marks(face_side="top"))
    made = complete(piece(wrong, joints=()))
    assert [fault.code for fault in made.faults] == ["mark-not-there"]
    assert "back, front, left, right" in made.faults[0].mend


def test_a_flat_edge_is_marked_before_a_curved_one() -> None:
    """A rail with a hollow top edge is marked on its bottom edge."""
    points = (
        Line((-254.0, 0.0), (254.0, 0.0), "bottom"),
        Line((254.0, 0.0), (254.0, 75.0), "end"),
        Arc((254.0, 75.0), (0.0, 60.0), (-254.0, 75.0), "top"),
        Line((-254.0, 75.0), (-254.0, 0.0), "other end"),
    )
    frame = Frame((0, 0, 300.0), (1, 0, 0), (0, 0, 1), (0, 1, 0))
    rail = DraftPart(
        id=PartId("rail"),
        name="rail",
        frame=frame,
        shape=Shape(body=Prism(outline=outline(points), low=0.0, high=25.0)),
        grain=(1, 0, 0),
        wood="white oak",
    )
    part = alone(rail)
    assert marks(part)["face edge"] == "bottom"
    assert part.curved
    assert part.outline is not None
    low_x, low_y, high_x, high_y = bounds(part.outline)
    assert (low_x, low_y) == pytest.approx((0.0, 0.0), abs=1e-9)
    assert (high_x, high_y) == pytest.approx((508.0, 75.0), abs=1e-9)
    assert area(part.outline) * 25.0 == pytest.approx(part.volume, rel=2e-3)


def test_long_point_of_an_oblique_end_is_the_start() -> None:
    """A leaning stick t thick cut level at its foot: its line down to the floor, and t/2 tan more to the long point."""
    lean = math.atan2(3.0, 18.0)
    leg = stick("leg", ((6.0, 1, -1.0), (3.0, 1, 17)), (1.5, 1.5))
    world = Plane((0.0, 0.0, 0.0), (0.0, 0.0, -1.0))
    cut = PlaneCut(plane=leg.frame.plane_to_local(world))
    part = alone(replace(leg, shape=replace(leg.shape, cuts=(cut,))))
    expected = 17 / math.cos(lean) + 0.75 * math.tan(lean)
    assert part.length / INCH == pytest.approx(expected, abs=1e-9)
    foot = 3.0 + 17 * math.tan(lean)
    long_point = ((foot + 0.75 / math.cos(lean)) * INCH, 1 * INCH, 0.0)
    assert part.bench.to_local(long_point)[0] == pytest.approx(0.0, abs=1e-9)


def pair_of_rails() -> Piece:
    """Two legs and a rail between them that is not its own mirror image; both legs, mirror images, with mortises."""
    leg = box("right leg", (10, 12), (0, 2), (0, 17), grain="z", name="leg", hand=Hand.RIGHT)
    other = mirrored(leg, "left leg", ACROSS_X, Hand.LEFT)
    rail = box("rail", (-11, 11), (0.25, 1.25), (12, 15), grain="x")
    return complete(piece(leg, other, rail, joints=(tenon("rail", "right leg, left leg"),)))


def test_mirror_images_are_two_kinds_that_know_one_another() -> None:
    made = pair_of_rails()
    kinds = {kind.id: kind for kind in made.kinds}
    assert set(kinds) == {"leg, left", "leg, right", "rail"}
    assert kinds["leg, left"].mirror_of == "leg, right"  # type: ignore[index]
    assert made.kind_of(PartId("left leg")).id == "leg, left"


def test_a_part_that_is_its_own_mirror_image_is_one_kind() -> None:
    """Square rails between legs, at left and right: the tenons are on the middle, so either does for both sides."""
    legs = [
        box(f"{side} {deep} leg", (x, x + 2), (y, y + 2), (0, 17), grain="z", name="leg")
        for side, x in (("left", -12), ("right", 10))
        for deep, y in (("front", 0), ("back", 10))
    ]
    rail = box("right rail", (10.5, 11.5), (1, 11), (12, 15), grain="y", name="side rail", hand=Hand.RIGHT)
    other = mirrored(rail, "left rail", ACROSS_X, Hand.LEFT)
    names = ", ".join(part.id for part in legs)
    made = complete(piece(*legs, rail, other, joints=(tenon("right rail, left rail", names),)))
    assert [kind.id for kind in made.kinds if kind.name == "side rail"] == ["side rail"]
    assert made.kind_of(PartId("left rail")).count == 2


def test_congruent_parts_of_a_four_are_labelled_with_both_places() -> None:
    front = Plane((0.0, 6.0 * INCH, 0.0), (0.0, 1.0, 0.0))
    leg = box("right front leg", (10, 12), (0, 2), (0, 17), grain="z", name="leg")
    left = mirrored(leg, "left front leg", ACROSS_X)
    back = mirrored(leg, "right back leg", front)
    other = mirrored(back, "left back leg", ACROSS_X)
    long_rail = box("front rail", (-11, 11), (0.25, 1.25), (12, 15), grain="x", name="long rail")
    far_rail = mirrored(long_rail, "back rail", front)
    end_rail = box("right rail", (10.5, 11.5), (1, 11), (9, 11), grain="y", name="end rail")
    near_rail = mirrored(end_rail, "left rail", ACROSS_X)
    legs = "right front leg, left front leg, right back leg, left back leg"
    made = complete(
        piece(
            leg,
            left,
            back,
            other,
            long_rail,
            far_rail,
            end_rail,
            near_rail,
            joints=(tenon("front rail, back rail, right rail, left rail", legs),),
        )
    )
    assert not made.faults
    labels = sorted(kind.label for kind in made.kinds if kind.name == "leg")
    assert labels == ["leg, left back = right front", "leg, left front = right back"]
    assert {kind.count for kind in made.kinds if kind.name == "leg"} == {2}


def test_parts_that_differ_are_different_kinds() -> None:
    lengths = enumerate((8, 8, 9), start=1)
    slats = [
        box(f"slat {i}", (-a, a), (i * 3, i * 3 + 2), (12, 13), grain="x", name="slat", number=i) for i, a in lengths
    ]
    made = complete(piece(*slats, joints=()))
    assert sorted(kind.label for kind in made.kinds) == ["slat, 1 = 2", "slat, 3"]


def test_lengths_overall_body_and_between_shoulders() -> None:
    made = pair_of_rails()
    rail = made.part(PartId("rail"))
    lengths = [joint.tenons[0].length for joint in made.joints]
    assert rail.shoulder_length == pytest.approx(20 * INCH)
    assert rail.body_length == pytest.approx(20 * INCH)
    assert rail.length == pytest.approx(20 * INCH + sum(lengths))
    assert {joint.end for joint in made.joints} == {End.REFERENCE, End.FAR}


def test_outline_is_told_after_the_cuts_that_are_square_to_it() -> None:
    """A board 20 by 6 in with its corner sawn straight, and a half round 1 in in radius sawn out of its edge."""
    board = box("board", (0, 20), (0, 6), (0, 1), grain="x")
    corner = PlaneCut(plane=Plane((18 * INCH, 6 * INCH, 0.0), (math.sqrt(0.5), math.sqrt(0.5), 0.0)))
    round_out = outline(
        (
            Line((9 * INCH, -INCH), (11 * INCH, -INCH)),
            Line((11 * INCH, -INCH), (11 * INCH, 0.0)),
            Arc((11 * INCH, 0.0), (10 * INCH, INCH), (9 * INCH, 0.0)),
            Line((9 * INCH, 0.0), (9 * INCH, -INCH)),
        )
    )
    cuts = (corner, RegionCut(frame=Frame(), outline=round_out))
    part = alone(replace(board, shape=replace(board.shape, cuts=cuts)))
    assert part.outline is not None
    expected = 20 * 6 - 2 * 2 / 2 - math.pi / 2
    assert area(part.outline) / INCH**2 == pytest.approx(expected, abs=2e-3)
    assert part.volume / INCH**3 == pytest.approx(expected, rel=1e-3)
