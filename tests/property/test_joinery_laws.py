"""Laws of joinery: mirror images, order, units, tenons inside their mortises, no wood claimed twice."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from batchwright.design.draft import draft_piece
from batchwright.design.text.read import read_tree
from batchwright.model.draft import DraftPiece, Hand
from batchwright.model.piece import Piece
from batchwright.solids.build import placed, recipe_solid
from batchwright.solids.meet import overlap
from joinery_blocks import ACROSS_X, INCH, box, complete, mirrored, piece, stick, tenon

angles = st.floats(0.0, 12.0).map(lambda value: round(value, 2))
thick = st.sampled_from([1.25, 1.5, 1.75, 2.0])
heights = st.floats(6.0, 13.0).map(lambda value: round(value, 2))


def frame(splay: float, rake: float, section: float, height: float) -> DraftPiece:
    """Two splayed legs, mirror images; a rail between them; a stretcher from each to a back post, mirror images."""
    a, b = math.tan(math.radians(splay)), math.tan(math.radians(rake))
    head, foot = (7.0, 4.0, 17.0), (7.0 + 17.0 * a, 4.0 - 17.0 * b, 0.0)
    leg = stick("right leg", (head, foot), (section, section), name="leg", hand=Hand.RIGHT)
    drop = 17.0 - height
    at = (7.0 + drop * a, 4.0 - drop * b, height)
    rail = box("rail", (-at[0], at[0]), (at[1] - 0.5, at[1] + 0.5), (height - 1, height + 1), grain="x")
    post = box("right post", (6, 8), (14, 16), (0, 17), grain="z", name="post", hand=Hand.RIGHT)
    low = height - 3.0
    start = (7.0 + (17.0 - low) * a, 4.0 - (17.0 - low) * b, low)
    side = stick("right side", (start, (7.0, 15.0, low)), (0.75, 1.5), name="side", hand=Hand.RIGHT)
    others = [mirrored(part, part.id.replace("right", "left"), ACROSS_X, Hand.LEFT) for part in (leg, post, side)]
    joints = (
        tenon("rail", "right leg, left leg"),
        tenon("right side, left side", "right leg, left leg, right post, left post"),
    )
    return piece(leg, post, side, rail, *others, joints=joints)


frames = st.builds(frame, angles, angles, thick, heights)


def swapped(text: str) -> str:
    return text.replace("left", "LEFT").replace("right", "left").replace("LEFT", "right")


@given(frames)
@settings(max_examples=12)
def test_mirrored_parts_have_mirrored_joints_with_equal_numbers(draft: DraftPiece) -> None:
    made = complete(draft)
    parts = {part.id: part for part in made.parts}
    for part in made.parts:
        if not part.id.startswith("left "):
            continue
        other = parts[swapped(part.id)]  # type: ignore[index]
        assert part.bench.mirrored != other.bench.mirrored
        for name in ("length", "width", "thickness", "body_length", "volume"):
            assert getattr(part, name) == pytest.approx(getattr(other, name), abs=1e-6)
        assert len(part.features) == len(other.features) > 0
        for one, two in zip(part.features, other.features):
            assert (one.kind, one.face, one.label) == (two.kind, two.face, two.label)
            assert one.box[0] == pytest.approx(two.box[0], abs=1e-6)
            assert one.box[1] == pytest.approx(two.box[1], abs=1e-6)
            assert one.angles == pytest.approx(two.angles, abs=1e-9)
            assert swapped(one.joint) == two.joint


@given(frames)
@settings(max_examples=12)
def test_every_tenon_lies_in_its_mortise_with_the_stated_clearance(draft: DraftPiece) -> None:
    made = complete(draft)
    for joint in made.joints:
        for bar, mortise in zip(joint.tenons, joint.mortises):
            assert bar.centre == mortise.centre
            assert mortise.width - bar.thickness == pytest.approx(joint.size("cheek clearance"))
            assert mortise.length - bar.width == pytest.approx(joint.size("end clearance"))
            assert mortise.depth - bar.length == pytest.approx(joint.size("depth clearance"))
            assert joint.size("cheek clearance") > 0.0 and joint.size("depth clearance") > 0.0


@given(frames)
@settings(max_examples=8)
def test_no_two_finished_parts_claim_the_same_wood(draft: DraftPiece) -> None:
    """Cut solids, not the joints' records: nothing overlaps deeper than 0.1 mm."""
    made = complete(draft)
    solids = [placed(recipe_solid(part.recipe), part.draft.frame) for part in made.parts]
    for i, one in enumerate(solids):
        for two in solids[i + 1 :]:
            assert overlap(one, two).depth < 0.1


def numbers(made: Piece) -> list[tuple[object, ...]]:
    """All that a maker reads off a piece, without the statements' numbers."""
    joints = [(j.id, j.tenons, j.mortises, j.sizes, j.shoulder_angles, j.measures, j.meets) for j in made.joints]
    parts = [(p.id, p.kind, p.length, p.width, p.thickness, p.shoulder_length, p.features) for p in made.parts]
    return [*joints, *parts]


@given(frames, st.randoms(use_true_random=False))
@settings(max_examples=8)
def test_order_of_parts_and_statements_changes_nothing(draft: DraftPiece, chance: object) -> None:
    parts, joints = list(draft.parts), list(draft.joints)
    chance.shuffle(parts)  # type: ignore[attr-defined]
    chance.shuffle(joints)  # type: ignore[attr-defined]
    joints = [replace(joint, of=joint.of[::-1], into=joint.into[::-1]) for joint in joints]
    again = replace(draft, parts=tuple(parts), joints=tuple(joints))
    assert numbers(complete(again)) == numbers(complete(draft))


INCHES = """
piece: Frame
units: in
wood: white oak
hands: from the front
middle: 6
parts:
  leg: {count: four, box: {x: [8, 9 1/2], y: [0, 1 1/2], z: [0, 16]}}
  long rail: {count: front and back, box: {x: [left leg, right leg], y: [3/8, 1 1/8], z: [12, 15]}}
  end rail: {count: pair, box: {x: [8 3/8, 9 1/8], y: [leg, back leg], z: [12, 15]}}
joints:
  - {tenon: [long rail, end rail], into: leg, expect: 8}
"""
MILLIMETRES = """
piece: Frame
units: mm
wood: white oak
hands: from the front
middle: 152.4
parts:
  leg: {count: four, box: {x: [203.2, 241.3], y: [0, 38.1], z: [0, 406.4]}}
  long rail: {count: front and back, box: {x: [left leg, right leg], y: [9.525, 28.575], z: [304.8, 381]}}
  end rail: {count: pair, box: {x: [212.725, 231.775], y: [leg, back leg], z: [304.8, 381]}}
joints:
  - {tenon: [long rail, end rail], into: leg, expect: 8}
"""


def from_text(text: str) -> Piece:
    tree, faults = read_tree(text, "frame.piece.yaml")
    assert tree is not None and not faults
    draft, faults = draft_piece(tree, "frame.piece.yaml")
    assert draft is not None and not faults
    return complete(draft)


def test_inches_and_millimetres_give_the_same_piece() -> None:
    inches, millimetres = from_text(INCHES), from_text(MILLIMETRES)
    assert [part.id for part in inches.parts] == [part.id for part in millimetres.parts]
    for one, two in zip(inches.joints, millimetres.joints, strict=True):
        assert [name for name, _ in one.sizes] == [name for name, _ in two.sizes]
        assert [size.value for _, size in one.sizes] == pytest.approx([size.value for _, size in two.sizes], abs=1e-6)
    for one_part, two_part in zip(inches.parts, millimetres.parts, strict=True):
        assert one_part.length == pytest.approx(two_part.length, abs=1e-6)
    assert {kind.id: kind.count for kind in inches.kinds} == {kind.id: kind.count for kind in millimetres.kinds}


@given(st.floats(0.5, 6.0))
@settings(max_examples=10)
def test_drawing_a_part_further_in_changes_nothing(reach: float) -> None:
    """What lies past the shoulder is cut away: half an inch or six inches into and through the leg."""
    leg = box("leg", (10, 11.75), (0, 1.75), (0, 17), grain="z")
    rails = [box("rail", (-10, 10 + into), (0.25, 1.25), (12, 15), grain="x") for into in (0.5, reach)]
    first, second = (complete(piece(leg, rail, joints=(tenon("rail", "leg"),))) for rail in rails)
    assert not second.faults
    assert first.joints[0].tenons == second.joints[0].tenons
    assert first.part("rail").length == pytest.approx(second.part("rail").length, abs=1e-6)
    assert first.part("rail").volume == pytest.approx(second.part("rail").volume, rel=1e-9)
    assert first.part("rail").length == pytest.approx(20 * INCH + first.joints[0].tenons[0].length)
