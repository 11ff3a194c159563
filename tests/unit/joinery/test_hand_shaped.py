"""Surfaces shaped by hand: told with depth and place, known to walls and joints, not cut in the solid."""

from __future__ import annotations

import numpy as np
import pytest

from batchwright.base.fault import Fault
from batchwright.design.draft import draft_piece
from batchwright.design.shop import packaged_shop
from batchwright.design.text.read import read_tree
from batchwright.joinery.complete import complete_piece
from batchwright.joinery.measuring.worn import area_added
from batchwright.model.draft import HandShaped, PartId
from batchwright.model.piece import Piece
from drawing import HEAD, drawn

SEAT = """parts:
  seat: {box: {x: [-200, 200], y: [0, 300], z: [400, 440]}, grain: x, SHAPED}
  leg: {count: pair, box: {x: [120, 160], y: [100, 200], z: [0, 440]}}
joints:
  - {tenon: leg, into: seat, thickness: 12, length: 25}
"""


def made(shaped: str, text: str = SEAT) -> Piece:
    return complete_piece(drawn(text.replace("SHAPED", shaped)), packaged_shop())


def codes(piece: Piece) -> set[str]:
    return {finding.code for finding in piece.findings}


def wall(piece: Piece) -> float:
    return next(one.value for one in piece.joints[0].measures if one.name == "wall beyond")


def told(text: str) -> tuple[Fault, ...]:
    tree, faults = read_tree(HEAD + text, "trial.piece.yaml")
    assert tree is not None and not faults
    return draft_piece(tree, "trial.piece.yaml")[1]


def test_the_solid_keeps_its_wood_and_the_sheet_knows_the_region() -> None:
    plain, scooped = made("sawn: flat"), made("shaped: [{scooped: 8, on: upper face, x: [-100, 100], y: [50, 250]}]")
    assert scooped.part(PartId("seat")).volume == plain.part(PartId("seat")).volume
    (region,) = scooped.part(PartId("seat")).shaped
    assert (region.kind, region.depth, region.face) == ("scooped", 8, "face side")
    low, high = np.array(region.low), np.array(region.high)
    assert high - low == pytest.approx((200, 200, 8)) and low[2] == pytest.approx(0)
    assert low[0] == pytest.approx(100)


def test_a_wall_under_a_scoop_is_measured_less_its_depth() -> None:
    plain, scooped = made("sawn: flat"), made("shaped: [{scooped: 10, on: upper face}]")
    assert wall(plain) - wall(scooped) == pytest.approx(10, abs=1e-6)
    assert "thin-bottom" in codes(scooped) and "thin-bottom" not in codes(plain)
    beside = made("shaped: [{scooped: 8, on: upper face, x: [-80, 80]}]")
    assert wall(beside) == pytest.approx(wall(plain), abs=1e-6)


def test_a_scoop_that_meets_a_joint_is_told() -> None:
    deep = made("shaped: [{dished: 16, on: upper face}]")
    (finding,) = (each for each in deep.findings if each.code == "shaped-meets-joint")
    assert "16 mm" in finding.what and "leg" in finding.what
    assert "shaped-meets-joint" not in codes(made("shaped: [{dished: 16, on: upper face, x: [-80, 80]}]"))


def test_thin_wood_and_a_region_beside_the_part_are_told() -> None:
    assert "shaped-leaves-thin" in codes(made("shaped: [{dished: 36, on: upper face, x: [-80, 80]}]"))
    faults = made("shaped: [{dished: 3, on: upper face, x: [300, 400]}]").faults
    assert [fault.code for fault in faults] == ["shaped-misses-part"] and faults[0].place.line == 6


def test_a_mirrored_part_is_shaped_on_its_mirrored_face() -> None:
    text = SEAT.replace("SHAPED", "sawn: flat").replace(
        "z: [0, 440]}}", "z: [0, 440]}, shaped: {scooped: 4, on: outer face, z: [50, 200]}}"
    )
    piece = complete_piece(drawn(text), packaged_shop())
    left, right = (piece.part(PartId(f"{hand} leg")) for hand in ("left", "right"))
    assert left.shaped[0].face == right.shaped[0].face == "face side"
    assert left.shaped[0].low == pytest.approx(right.shaped[0].low)
    assert left.draft.shaped[0].looks == (1, 0, 0) and right.draft.shaped[0].looks == (-1, 0, 0)


def test_parts_that_differ_by_hand_shaping_alone_are_two_kinds() -> None:
    text = """parts:
  a: {box: {x: [0, 300], y: [0, 40], z: [0, 20]}, repeat: {count: 2, along: y, between: [0, 200]}, SHAPED}
joints: []
"""
    plain = made("sawn: flat", text)
    assert len(plain.kinds) == 1
    shaped = made("shaped: {scooped: 2, on: upper face, x: [0, place.y]}", text)
    assert len(shaped.kinds) == 2


@pytest.mark.parametrize("kind", ["scooped", "dished", "pillowed"])
def test_the_area_added_is_the_integral_of_the_shape(kind: str) -> None:
    """By quadrature of sqrt(1 + slope^2) over the rectangle, for the shapes the formula stands for."""
    a, b, d = 200.0, 120.0, 6.0
    shaped = HandShaped(kind=kind, depth=d, looks=(0, 0, 1), low=(0, 0, 0), high=(0, 0, 0))
    u, v = np.meshgrid((np.arange(800) + 0.5) / 400 - 1, (np.arange(800) + 0.5) / 400 - 1)
    zx = d * -2 * u * (2 / a) * (1 - v**2) if kind != "scooped" else 0 * u
    zy = d * -2 * v * (2 / b) * ((1 - u**2) if kind != "scooped" else 1)
    surface = float(np.sqrt(1 + zx**2 + zy**2).mean()) * a * b
    assert area_added(shaped, (0, 0, 0), (a, b, 10)) == pytest.approx(surface - a * b, rel=0.01)


@pytest.mark.parametrize(
    ("shaped", "code"),
    [("shaped: [{on: upper face}]", "shaped-form"), ("shaped: {scooped: 3, dished: 3, on: upper face}", "shaped-form"),
     ("shaped: [scooped]", "shaped-form"), ("shaped: [{scooped: 0, on: upper face}]", "not-above-zero"),
     ("shaped: [{scooped: 3, on: uper face}]", "unknown-face"),
     ("shaped: {scooped: 3, on: outer face}", "unknown-face"),
     ("shaped: [{scooped: 3, on: upper face, x: [9, 3]}]", "range-runs-back"),
     ("shaped: [{scooped: 3, on: upper face, along: w}]", "unknown-choice"),
     ("shaped: [{scooped: 3}]", "word-missing"), ("shaped: [{scooped: 3, on: upper face, depth: 3}]", "unknown-word")],
)  # fmt: skip
def test_what_is_said_wrongly_is_told(shaped: str, code: str) -> None:
    faults = told(SEAT.replace("SHAPED", shaped))
    assert [fault.code for fault in faults] == [code] and faults[0].place.line == 6
