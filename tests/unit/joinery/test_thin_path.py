"""A blind square tenon of a box rail into a box leg, from the drawing to the jointed piece."""

from __future__ import annotations

import pytest

from batchwright.base.trace import By
from joinery_blocks import INCH, complete, frame_corner


def test_rail_into_leg_gives_one_joint_with_shoulder_on_the_leg() -> None:
    piece = complete(frame_corner())
    assert not piece.faults
    (joint,) = piece.joints
    assert joint.shoulder.normal == pytest.approx((1.0, 0.0, 0.0))
    assert joint.frame.origin == pytest.approx((10 * INCH, 0.75 * INCH, 13.5 * INCH))
    assert joint.out_of_square == pytest.approx(0.0, abs=1e-12)


def test_tenon_lies_inside_its_mortise_with_the_shops_clearance() -> None:
    (joint,) = complete(frame_corner()).joints
    (tenon,), (mortise,) = joint.tenons, joint.mortises
    assert mortise.width - tenon.thickness == pytest.approx(0.1)
    assert mortise.length - tenon.width == pytest.approx(0.5)
    assert mortise.depth - tenon.length == pytest.approx(INCH / 16)
    assert mortise.width == pytest.approx(3 / 8 * INCH)


def test_thickness_is_traced_to_the_maker_and_length_to_a_rule() -> None:
    (joint,) = complete(frame_corner()).joints
    sizes = dict(joint.sizes)
    assert sizes["thickness"].trace.by is By.MAKER
    assert (sizes["length"].trace.by, sizes["length"].trace.rule) == (By.RULE, "JR13")
    assert sizes["length"].value == pytest.approx(2 / 3 * 1.75 * INCH)


def test_solids_carry_the_joint() -> None:
    piece = complete(frame_corner())
    (joint,) = piece.joints
    (tenon,), (mortise,) = joint.tenons, joint.mortises
    rail, leg = piece.part("rail"), piece.part("leg")
    body = 20 * 3 * 1 * INCH**3
    assert rail.volume == pytest.approx(body + tenon.width * tenon.thickness * tenon.length)
    whole = 1.75 * 1.75 * 17 * INCH**3
    assert leg.volume == pytest.approx(whole - mortise.length * mortise.width * mortise.depth)


def test_rail_is_set_out_from_its_marks() -> None:
    piece = complete(frame_corner())
    rail = piece.part("rail")
    (joint,) = piece.joints
    assert dict(rail.marks_note) == {"reference end": "left", "face side": "front", "face edge": "top"}
    assert rail.body_length == pytest.approx(20 * INCH)
    assert rail.length == pytest.approx(20 * INCH + joint.tenons[0].length)
    (tenon,) = rail.features
    low, high = tenon.box
    assert low[0] == pytest.approx(20 * INCH)
    assert high[2] - low[2] == pytest.approx(joint.tenons[0].thickness)
