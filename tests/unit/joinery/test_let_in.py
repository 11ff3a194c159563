"""Laps, grooves and notches: the wood each part loses, against closed forms."""

from __future__ import annotations

import pytest

from batchwright.design.shop import packaged_shop
from batchwright.handbook.movement import Cut, movement, ring_angle_of
from batchwright.handbook.species import species_named
from batchwright.joinery.complete import complete_piece
from batchwright.model.draft import PartId
from batchwright.model.piece import FeatureKind, Piece
from drawing import drawn
from piece_soundness import untold

LAP = """parts:
  a: {box: {x: [0, 500], y: [0, 80], z: [0, 40]}}
  b: {box: {x: [BX], y: [BY], z: [0, 40]}, grain: y}
joints:
  - {halving: a, with: b, on top: a}
"""
FRAME = """parts:
  stile: {count: pair, box: {x: [250, 300], y: [0, 25], z: [0, 700]}}
  rail: {box: {x: [right stile, left stile], y: [0, 25], z: [0, 80]}}
  top rail: {box: {x: [right stile, left stile], y: [0, 25], z: [620, 700]}}
  panel: {box: {x: [-259, 259], y: [9, 16], z: [71, 629]}}
joints:
  - {tenon: [rail, top rail], into: stile}
  - {groove: panel, into: [stile, rail, top rail], loose: 1.5, ends: ENDS}
"""
SHELF = """middle: 250
parts:
  leg: {count: four, box: {x: [250, 300], y: [0, 50], z: [0, 700]}}
  shelf: {box: {x: [-275, 275], y: [25, 475], z: [200, 220]}}
joints:
  - {notch: shelf, around: leg GAP}
"""


def made(text: str) -> Piece:
    piece = complete_piece(drawn(text), packaged_shop())
    assert not piece.faults, [str(fault) for fault in piece.faults]
    assert not [str(each) for each in untold(piece)]
    return piece


def volume(piece: Piece, name: str) -> float:
    return piece.part(PartId(name)).volume


@pytest.mark.parametrize(
    ("sort", "bx", "by", "shared"),
    [("cross", (200, 280), (-200, 300), 80 * 80), ("end", (0, 80), (0, 400), 80 * 80),
     ("corner", (420, 500), (-300, 80), 80 * 80), ("T", (200, 280), (0, 400), 80 * 80),
     ("stopped T", (200, 280), (40, 400), 80 * 40)],
)  # fmt: skip
def test_each_part_of_a_lap_loses_half_of_what_both_share(
    sort: str, bx: tuple[int, int], by: tuple[int, int], shared: int
) -> None:
    piece = made(LAP.replace("BX", f"{bx[0]}, {bx[1]}").replace("BY", f"{by[0]}, {by[1]}"))
    assert 500 * 80 * 40 - volume(piece, "a") == pytest.approx(shared * 20, rel=1e-9)
    assert (by[1] - by[0]) * 80 * 40 - volume(piece, "b") == pytest.approx(shared * 20, rel=1e-9)
    (fixing,) = piece.fixings
    assert dict(fixing.sizes)["depth"].value == pytest.approx(20)
    assert {each.kind for part in piece.parts for each in part.features} == {FeatureKind.LAP}


THIN = LAP.replace("z: [0, 40]}, grain", "z: [10, 40]}, grain").replace("BX", "200, 280").replace("BY", "-99, 300")


def test_parts_of_unequal_thickness_share_what_they_have_in_common() -> None:
    piece = made(THIN.replace("on top: a", "on top: b"))
    assert 500 * 80 * 40 - volume(piece, "a") == pytest.approx(80 * 80 * 15, rel=1e-9)
    assert 399 * 80 * 30 - volume(piece, "b") == pytest.approx(80 * 80 * 15, rel=1e-9)


def test_a_notch_closed_in_by_wood_is_a_fault() -> None:
    piece = complete_piece(drawn(THIN), packaged_shop())
    (fault,) = (each for each in piece.faults if each.code == "lap-closed-in")
    assert "10 mm" in fault.what and "`on top: b`" in fault.mend


def test_a_stopped_groove_is_as_long_as_its_panel() -> None:
    piece = made(FRAME.replace("ENDS", "stopped"))
    groove = next(each for each in piece.part(PartId("rail")).features if each.kind is FeatureKind.GROOVE)
    assert groove.length == pytest.approx(518) and groove.width == pytest.approx(7)
    assert groove.depth == pytest.approx(9 + 1.5)


def test_a_groove_through_takes_its_bar_out_of_the_whole_part() -> None:
    """The stiles, 700 long, in place of 558: by 142 x 7 x 10.5, less what the mortises have taken there already."""
    stopped, through = made(FRAME.replace("ENDS", "stopped")), made(FRAME.replace("ENDS", "through"))
    groove = next(each for each in through.part(PartId("left stile")).features if each.kind is FeatureKind.GROOVE)
    assert groove.length == pytest.approx(700)
    mortise = through.joints[0].mortises[0]
    shared = min(mortise.width, 7.0) * 10.5
    free = 700 - 558
    taken = volume(stopped, "left stile") - volume(through, "left stile")
    assert taken <= free * 7 * 10.5 and taken >= free * 7 * 10.5 - 2 * shared * 71


def test_a_tenon_beside_a_groove_is_narrower_by_it() -> None:
    """JR05: what the groove takes off the rail's edge is no tenon."""
    piece = made(FRAME.replace("ENDS", "through"))
    for joint in piece.joints:
        side = "top" if joint.part == "rail" else "bottom"
        sized = dict(joint.sizes)[f"shoulder {side}"]
        assert sized.value == pytest.approx(10.5) and sized.trace.rule == "JR05"


def test_a_notch_leaves_the_gap_said_all_round() -> None:
    piece = made(SHELF.replace("GAP", ", gap: 3"))
    assert 550 * 450 * 20 - volume(piece, "shelf") == pytest.approx(4 * 28 * 28 * 20, rel=1e-6)
    notches = [each for each in piece.part(PartId("shelf")).features if each.kind is FeatureKind.NOTCH]
    assert len(notches) == 4 and all((n.length, n.width) == pytest.approx((28, 28)) for n in notches)


def test_a_notch_without_a_gap_has_room_for_the_shelf_to_move() -> None:
    """The Wood Handbook's equation over the way from the shelf's middle to the leg's, and 1/64 in."""
    piece = made(SHELF.replace("GAP", ""))
    grows = movement(225, species_named("white oak"), ring_angle_of(Cut.FLAT), 0.06, 0.12).change
    for fixing in piece.fixings:
        gap = dict(fixing.sizes)["gap"]
        assert gap.value == pytest.approx(grows + 25.4 / 64) and gap.trace.rule == "JR38"


def test_what_meets_nothing_is_a_fault_here_too() -> None:
    text = SHELF.replace("GAP", "").replace("z: [200, 220]", "z: [800, 820]")
    piece = complete_piece(drawn(text), packaged_shop())
    assert {fault.code for fault in piece.faults} & {"meets-nothing", "stops-short"}
