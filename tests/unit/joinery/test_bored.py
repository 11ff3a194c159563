"""Screws, buttons and slips: what is bored and slotted in both parts, against closed forms; slots by movement."""

from __future__ import annotations

import math

import pytest

from batchwright.design.shop import packaged_shop
from batchwright.handbook.movement import Cut, movement, ring_angle_of
from batchwright.handbook.species import species_named
from batchwright.joinery.complete import complete_piece
from batchwright.model.draft import PartId
from batchwright.model.piece import FeatureKind, Fixing, Piece
from batchwright.planning.cutting.hardware import hardware_of
from drawing import drawn
from piece_soundness import untold

TOP = """use: [USE]
parts:
  bearer: {box: {x: [-250, 250], y: [0, 80], z: [0, 25]}}
  top: {box: {x: [-300, 300], y: [-250, 250], z: [25, 50]}, grain: y}
  rail: {box: {x: [-250, 250], y: [150, 175], z: [-60, 25]}}
joints:
  - {screw: bearer, to: top, per crossing: 3, size: 4 x 45 mm, WORDS}
  - {button: rail, to: top, count: 2}
"""
BEARER, RAIL, WHOLE = 500 * 80 * 25.0, 500 * 25 * 85.0, 600 * 500 * 25.0
BOARDS = """parts:
  board: {box: {x: [0, 900], y: [-70, 70], z: [0, 30]},
          repeat: {count: 3, along: y, between: [0, 420], spacing: touching ends}}
joints:
  - {glue: board, to: board, slips: {thickness: 10, count: 4}}
"""


def made(text: str) -> Piece:
    piece = complete_piece(drawn(text), packaged_shop())
    assert not piece.faults, [str(fault) for fault in piece.faults]
    assert not [str(each) for each in untold(piece)]
    return piece


def top(words: str, use: str = "indoors") -> Piece:
    return made(TOP.replace("WORDS", words).replace("USE", use))


def fixing(piece: Piece, kind: str) -> Fixing:
    return next(each for each in piece.fixings if each.kind.value == kind)


def size(fixing: Fixing, name: str) -> float:
    return dict(fixing.sizes)[name].value


def volume(piece: Piece, name: str) -> float:
    return piece.part(PartId(name)).volume


def test_a_screw_bores_its_shank_through_the_one_and_its_lead_into_the_other() -> None:
    """Shank: pi/4 4^2 by 25. Lead, JR37: nine tenths of a root of two thirds of the shank, in hardwood; 20 mm deep."""
    piece = top("slotted: no")
    assert BEARER - volume(piece, "bearer") == pytest.approx(3 * math.pi / 4 * 16 * 25, rel=0.05)
    screw = fixing(piece, "screw")
    assert size(screw, "lead hole") == pytest.approx(0.9 * 4 * 2 / 3)
    assert size(screw, "lead hole depth") == pytest.approx(20, abs=1e-3)
    lead = 3 * math.pi / 4 * (0.9 * 4 * 2 / 3) ** 2 * 20
    assert WHOLE - volume(piece, "top") == pytest.approx(lead, rel=0.11), "eight chords follow so thin a hole"


def test_softwood_takes_a_thinner_lead_hole() -> None:
    """JR37: seven tenths of the root in softwood."""
    text = TOP.replace("grain: y}", "grain: y, wood: western redcedar}").replace("WORDS", "slotted: no")
    piece = complete_piece(drawn(text.replace("USE", "indoors")), packaged_shop())
    assert size(fixing(piece, "screw"), "lead hole") == pytest.approx(0.7 * 4 * 2 / 3)


def test_slots_are_as_long_as_the_top_moves_there() -> None:
    """The Wood Handbook's equation over the way from the top's middle, either way, and the screw's own thickness; one
    setting for all of them, the longest."""
    piece = top("slotted: yes")
    slots = sorted(
        (each for each in piece.part(PartId("bearer")).features if each.kind is FeatureKind.SLOT),
        key=lambda each: each.centre[0],
    )
    reach = abs(fixing(piece, "screw").points[0].point[0])
    grows = movement(reach, species_named("white oak"), ring_angle_of(Cut.FLAT), 0.06, 0.12).change
    assert [round(each.length, 3) for each in slots] == pytest.approx([4 + 2 * grows] * 3, abs=1e-3)
    assert size(fixing(piece, "screw"), "slot length") == pytest.approx(4 + 2 * grows)
    for slot in slots:
        assert abs(slot.ends[0][1] - slot.ends[1][1]) < 1e-9, "along the top's width, which is along the bearer"
    ends = sum((each.length - 4) * 4 + math.pi * 4 for each in slots)
    assert BEARER - volume(piece, "bearer") == pytest.approx(ends * 25, rel=0.03)


def test_outdoors_slots_are_longer_and_a_stated_length_holds() -> None:
    pieces = [top("slotted: yes", use) for use in ("indoors", "outdoors")]
    indoors, outdoors = (size(fixing(piece, "screw"), "slot length") - 4 for piece in pieces)
    assert outdoors > 1.5 * indoors
    stated = dict(fixing(top("slotted: 15"), "screw").sizes)["slot length"]
    assert stated.value == 15 and stated.trace.by.value == "the maker"


def test_a_counterbore_sinks_the_head_and_brings_the_thread_further_in() -> None:
    plain, sunk = top("slotted: no"), top("slotted: no, counterbore: 8")
    assert size(fixing(sunk, "screw"), "lead hole depth") - size(fixing(plain, "screw"), "lead hole depth") == 8
    wide = size(fixing(sunk, "screw"), "counterbore diameter")
    more = 3 * math.pi / 4 * (wide**2 - 16) * 8
    assert volume(plain, "bearer") - volume(sunk, "bearer") == pytest.approx(more, rel=0.04)


def test_a_buttons_slot_lets_the_top_move_along_the_rail() -> None:
    piece = top("slotted: no")
    button = fixing(piece, "button")
    reach = abs(button.points[0].point[0])
    grows = movement(reach, species_named("white oak"), ring_angle_of(Cut.FLAT), 0.06, 0.12).change
    assert size(button, "slot length") == pytest.approx(31.75 + 2 * grows)
    taken = 2 * size(button, "slot length") * size(button, "slot height") * size(button, "slot depth")
    assert RAIL - volume(piece, "rail") == pytest.approx(taken, rel=1e-6)


def test_a_rail_along_the_tops_grain_has_deeper_slots_instead() -> None:
    turned = TOP.replace("grain: y}", "grain: x}").replace("WORDS", "slotted: no").replace("USE", "indoors")
    button = fixing(made(turned), "button")
    assert size(button, "slot length") == pytest.approx(31.75)
    assert size(button, "slot depth") > 12.7


def test_slips_are_slotted_into_both_edges() -> None:
    """A slot with round ends in each board for every slip: (long - wide) wide + pi/4 wide^2, times its depth."""
    piece = made(BOARDS)
    glue = fixing(piece, "glue")
    long, wide, deep = (size(glue, f"slip slot {word}") for word in ("length", "width", "depth"))
    slot = ((long - wide) * wide + math.pi / 4 * wide**2) * deep
    board = 900 * 140 * 30.0
    assert board - volume(piece, "board 1") == pytest.approx(4 * slot, rel=0.01)
    assert board - volume(piece, "board 2") == pytest.approx(8 * slot, rel=0.01)
    assert {kind.count for kind in piece.kinds} == {1, 2}, "the outer boards are one kind, turned round"
    ((slips),) = (one for one in hardware_of(piece, 2) if one.what == "slip")
    assert slips.count == 2 * 8 and slips.sizes == (10.0, size(glue, "slip length"), 50.0)


def test_slips_too_thick_and_slots_too_shallow_are_told() -> None:
    piece = complete_piece(drawn(BOARDS.replace("thickness: 10", "thickness: 20")), packaged_shop())
    assert "slip-too-thick" in {finding.code for finding in piece.findings}
    wide = (
        TOP.replace("y: [-250, 250]", "y: [-700, 700]")
        .replace("grain: y}", "grain: x}")
        .replace("[150, 175]", "[640, 660]")
    )
    text = wide.replace("WORDS", "slotted: no").replace("USE", "outdoors")
    piece = complete_piece(drawn(text), packaged_shop())
    assert "button-slot-shallow" in {finding.code for finding in piece.findings}


def test_a_screw_that_runs_into_a_mortise_is_told() -> None:
    text = """parts:
  post: {box: {x: [-20, 20], y: [20, 60], z: [-400, 25]}}
  bearer: {box: {x: [-250, 250], y: [0, 80], z: [0, 25]}, grain: x}
  top: {box: {x: [-300, 300], y: [-250, 250], z: [25, 50]}, grain: y}
joints:
  - {tenon: post, into: bearer, end: through, thickness: 12}
  - {screw: bearer, to: top, per crossing: COUNT, size: 4 x 45 mm}
"""
    for count, told in (("3", True), ("2", False)):
        piece = complete_piece(drawn(text.replace("COUNT", count)), packaged_shop())
        assert ("fixing-meets-joint" in {finding.code for finding in piece.findings}) is told
