"""Joint statements: which copies they mean, what they ask, what is left a hole, where each word stands."""

from __future__ import annotations

import pytest

from batchwright.base.trace import MISSING
from batchwright.model.draft import DraftPiece, JointAsk, JointKind, JointStatement, PegsAsk
from drawing import drawn

PARTS = """middle: 150
parts:
  leg: {count: four, box: {x: [160, 200], y: [0, 40], z: [0, 400]}}
  long rail: {count: front and back, box: {x: [right leg, left leg], y: [10, 30], z: [300, 380]}}
  end rail: {count: pair, box: {x: [170, 190], y: [leg, back leg], z: [300, 380]}}
  slat: {box: {x: [-20, 20], y: [0, 300], z: [400, 410]}, repeat: {count: 3, along: x, between: [-200, 200]}}
  top: {box: {x: [-210, 210], y: [-10, 310], z: [410, 430]}}
joints:
"""


def joined(line: str) -> DraftPiece:
    return drawn(PARTS + f"  - {line}\n")


def only(line: str) -> JointStatement:
    piece = joined(line)
    assert len(piece.joints) == 1
    return piece.joints[0]


def test_bare_name_means_every_copy_and_words_narrow_it() -> None:
    joint = only("{tenon: [long rail, left end rail], into: front leg}")
    assert joint.kind is JointKind.TENON
    assert joint.of == ("front long rail", "back long rail", "left end rail")
    assert joint.into == ("left front leg", "right front leg")
    assert joint.words == ("long rail, left end rail", "front leg")


def test_copies_of_a_repeat_are_named_with_and_without_number() -> None:
    assert only("{screw: slat, to: end rail}").of == ("slat 1", "slat 2", "slat 3")
    assert only("{screw: slat 2, to: end rail}").of == ("slat 2",)


def test_what_is_not_said_is_a_hole() -> None:
    assert only("{tenon: long rail, into: leg}").ask == JointAsk()
    assert only("{tenon: long rail, into: leg}").expect is MISSING


def test_every_word_of_a_tenon_is_read() -> None:
    joint = only(
        "{tenon: long rail, into: leg, thickness: 10, width: 60, length: 25, side by side: 2, in line: 3, "
        "angle in: mortise, end: wedged, proud: 3, wedges: 2, tusk: {thickness: 15}, shoulder: let in, "
        "shoulders: {top: 12, outside: 6}, turned: across, haunch: top, clearance: 0.2, "
        "pegs: {count: 2, diameter: 6, draw: 1}, expect: 4}"
    )
    assert joint.ask == JointAsk(
        thickness=10.0, width=60.0, length=25.0, side_by_side=2, in_line=3, angle_in="mortise", end="wedged",
        proud=3.0, wedges=2, tusk=15.0, shoulder="let in", shoulders=(("top", 12.0), ("outside", 6.0)), turned="across",
        haunch="top", clearance=0.2, pegs=PegsAsk(count=2, diameter=6.0, draw=1.0),
    )  # fmt: skip
    assert joint.expect == 4


def test_other_kinds_and_their_words() -> None:
    assert only(
        "{screw: slat, to: [end rail, long rail], per crossing: 2, size: no 8 x 1 1/2, slotted: yes}"
    ).ask == JointAsk(per_crossing=2, size="no 8 x 1 1/2", slotted=True)
    assert only("{button: [long rail, end rail], to: top, count: 3}").ask == JointAsk(count=3)
    assert only("{rest: leg, on: top}").into == ("top",)
    assert only("{housing: slat, into: end rail, loose: 1.5}").ask == JointAsk(loose=1.5)
    assert only("{halving: long rail, with: end rail, on top: long rail}").ask == JointAsk(on_top="long rail")
    assert only("{glue: slat, to: slat, slips: {thickness: 9, count: 6}}").ask == JointAsk(slips=(9.0, 6))
    assert only("{dowel: end rail, into: leg, diameter: 8, count: 2, length: 20}").ask == JointAsk(
        diameter=8.0, count=2, length=20.0
    )
    assert only("{loose tenon: end rail, into: leg}").kind is JointKind.LOOSE_TENON


def test_exceptions_and_ends() -> None:
    joint = only(
        "{tenon: end rail, into: leg, at: [front end, left back leg], "
        "except: [{at: back leg, length: 20}, {of: left end rail, at: back end, shoulder: scribed}]}"
    )
    assert joint.ends == ("front",)
    assert joint.at == ("left back leg",)
    first, second = joint.exceptions
    assert first.at == ("left back leg", "right back leg") and first.ask == JointAsk(length=20.0)
    assert second.of == ("left end rail",) and second.ends == ("back",) and second.ask == JointAsk(shoulder="scribed")


def test_meetings_are_kept_apart() -> None:
    piece = joined("{meeting in: leg, of: [long rail, end rail], by: mitre, gap: 2}")
    assert piece.joints == ()
    meeting = piece.meetings[0]
    assert len(meeting.into) == 4 and meeting.of == ("long rail", "end rail")
    assert (meeting.by, meeting.gap) == ("mitre", 2.0)
    assert joined("{meeting in: leg, of: [long rail, end rail], by: end rail first}").meetings[0].by == "end rail"


def test_places_of_words_are_kept() -> None:
    joint = only("{tenon: long rail, into: leg, thickness: 10}")
    places = dict(joint.places)
    assert set(places) == {"tenon", "into", "thickness"}
    assert joint.place.line == places["thickness"].line == 13
    assert places["thickness"].column == "  - {tenon: long rail, into: leg, thickness: 10}".index("10}") + 1


@pytest.mark.parametrize("length", ["1 in", "25.4", "2.54 cm"])
def test_lengths_are_read_in_any_unit(length: str) -> None:
    assert only(f"{{tenon: end rail, into: leg, length: {length}}}").ask.length == pytest.approx(25.4)
