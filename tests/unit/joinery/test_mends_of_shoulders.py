"""Mends of shoulders, screws and marks, and joints on tapered parts: made in the piece file, and measured again."""

from __future__ import annotations

import pytest

from batchwright.base.finding import Finding, Grade
from batchwright.joinery.words import say_against
from piece_files import EXAMPLES, jointed

HEAD = "piece: Mends\nunits: in\nwood: white oak\nuse: [indoors]\nhands: from the front\nmiddle: 6\n"
CURVED = HEAD + """parts:
  leg:
    drawn in: front
    outline:
      - [10, 0]
      - [12, 0]
      - [12, 20]
      - [10, 20]
      - {curve: [[9, 10], [10, 0]]}
    across: [0, 2]
  rail:
    box: {x: [-10, 11], y: [1/2, 1 1/2], z: [12, 15]}
    grain: x
joints:
  - {tenon: rail, into: leg, thickness: 3/8, length: 1}
"""
FLAT = CURVED.replace(
    "      - {curve: [[9, 10], [10, 0]]}\n",
    """      - {curve: [[9 1/2, 17 3/4], [9 1/4, 15 1/16]]}
      - [9 1/4, 11 15/16]
      - {curve: [[9 1/4, 8], [10, 0]]}
""",
)
TWO_FACES = HEAD + """parts:
  leg:
    drawn in: plan
    outline: [[10, 0], [12, 0], [12, 2], [10 1/8, 2], [10, 1 3/4]]
    across: [0, 20]
    grain: z
  rail:
    box: {x: [-10, 11], y: [7/8, 1 7/8], z: [12, 15]}
    grain: x
joints:
  - {tenon: rail, into: leg, thickness: 3/8}
"""
SCREWED = HEAD + """parts:
  rail:
    box: {x: [-10, 10], y: [0, 1], z: [0, 3]}
    grain: x
  slat:
    box: {x: [-1, 1], y: [-1/2, 12], z: [3, 3 3/4]}
    grain: y
joints:
  - {screw: slat, to: rail, size: no 8 x 1 1/4}
"""


def findings(text: str, code: str) -> list[Finding]:
    made = jointed(text.encode(), "mends.piece.yaml")
    assert made.piece is not None and not made.faults, [str(fault) for fault in made.faults]
    return [each for each in made.piece.findings if each.code == code]


def example(name: str) -> str:
    return (EXAMPLES / name / f"{name}.piece.yaml").read_text()


@pytest.mark.parametrize("said", ["let in", "scribed"])
def test_bug_a_hollow_shoulder_closes_when_let_in_or_scribed(said: str) -> None:
    (told,) = findings(CURVED, "hollow-under-shoulder")
    assert f"`shoulder: {said}`" in told.mend
    assert not findings(CURVED.replace("length: 1}", f"length: 1, shoulder: {said}}}"), "hollow-under-shoulder")


def test_bug_a_flat_left_on_the_pattern_closes_a_shoulder() -> None:
    (told,) = findings(CURVED, "hollow-under-shoulder")
    assert "leave a flat of 3 1/8 in" in told.mend
    assert not findings(FLAT, "hollow-under-shoulder")


def test_bug_a_shoulder_let_in_closes_on_two_faces() -> None:
    (told,) = findings(TWO_FACES, "two-faces-at-shoulder")
    assert "`shoulder: let in`" in told.mend
    assert not findings(TWO_FACES.replace("3/8}", "3/8, shoulder: let in}"), "two-faces-at-shoulder")
    assert "narrower by" in told.mend and "on its back side" in told.mend
    assert not findings(TWO_FACES.replace("[7/8, 1 7/8]", "[7/8, 1 45/64]"), "two-faces-at-shoulder")


def test_bug_let_in_is_not_offered_where_the_other_face_lies_far_behind() -> None:
    """A notch an inch deep beside the face: no shoulder is let in as deep as that."""
    deep = TWO_FACES.replace("[10 1/8, 2], [10, 1 3/4]", "[11 1/4, 2], [11 1/4, 1 3/4], [10, 1 3/4]")
    (told,) = findings(deep, "two-faces-at-shoulder")
    assert "let in" not in told.mend and "narrower by" in told.mend


def test_bug_a_screw_near_the_end_says_how_much_longer() -> None:
    """Seven diameters of a no 8 screw (0.164 in, Wood Handbook table 8-9) are 1.148 in; 1/2 in is there."""
    text = SCREWED.replace("y: [-1/2, 12]", "y: [0, 12]")
    (told,) = findings(text, "screw-near-end")
    assert "longer at that end by 11/16 in" in told.mend
    assert not findings(text.replace("y: [0, 12]", "y: [-11/16, 12]"), "screw-near-end")


def test_bug_a_screw_too_short_says_which_length_holds() -> None:
    """3/4 in of slat and six diameters, 0.984 in: 1 3/4 in is the next quarter of an inch."""
    (told,) = findings(SCREWED, "screw-too-short")
    assert told.mend == "a screw 1 3/4 in long"
    assert not findings(SCREWED.replace("x 1 1/4", "x 1 3/4"), "screw-too-short")


def test_bug_a_through_tenon_in_a_tapered_leg_is_not_near_the_end() -> None:
    table = example("hall-table").replace("{tenon: low rail, into: leg,", "{tenon: low rail, into: leg, end: through,")
    assert not findings(table, "near-the-end")
    stool = example("splayed-stool").replace("into: leg, thickness: 3/8}", "into: leg, thickness: 3/8, end: through}")
    assert stool.count("end: through") == 1
    assert not findings(stool, "near-the-end")


@pytest.mark.parametrize("thick", ["", ", thickness: 1/4", ", thickness: 3/8"])
def test_bug_a_tenon_in_a_tapered_leg_keeps_the_wall_at_its_thinnest(thick: str) -> None:
    """The leg tapers on the side its rail is nearest to: the tenon is moved off the wall there, where there is room."""
    text = HEAD + f"""parts:
  leg:
    stick: [[11, 0, 20], [11, 0, 0]]
    section: [2, 2]
    taper: {{from: 2, to: 1}}
  rail:
    box: {{x: [-10, 11], y: [-3/4, 1/4], z: [2, 5]}}
    grain: x
joints:
  - {{tenon: rail, into: leg{thick}}}
"""
    assert not [each for each in findings(text, "thin-wall") if each.grade is Grade.FAILS]


def test_bug_a_wall_beside_its_limit_prints_unlike_it() -> None:
    assert say_against(7.80, 7.9375, "in") == ("5/16 in light (0.307 in)", "5/16 in")
    assert say_against(8.05, 7.9375, "in") == ("5/16 in heavy (0.317 in)", "5/16 in")
    assert say_against(7.9, 8.0, "mm") == ("7.90 mm", "8 mm")
    assert say_against(6.0, 8.0, "mm") == ("6 mm", "8 mm")


def test_bug_a_curved_face_side_is_chosen_anew() -> None:
    text = CURVED.replace("across: [0, 2]", "across: [0, 2]\n    face side: left")
    (told,) = findings(text, "face-side-curved")
    assert "`face side`" in told.mend
    assert not findings(text.replace("face side: left", "face side: front"), "face-side-curved")
