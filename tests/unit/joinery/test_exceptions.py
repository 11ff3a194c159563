"""`except`: what holds at one end or at one part only, for every sort of joint that has it."""

from __future__ import annotations

import pytest

from batchwright.base.fault import Fault, Level
from batchwright.design.draft import draft_piece
from batchwright.design.shop import packaged_shop
from batchwright.design.text.read import read_tree
from batchwright.joinery.complete import complete_piece
from batchwright.model.draft import PartId
from batchwright.model.piece import Fixing, Joint, Piece
from drawing import HEAD, drawn

FRAME = """middle: 250
parts:
  leg: {count: four, box: {x: [250, 300], y: [0, 50], z: [0, 430]}}
  side rail: {count: pair, box: {x: [262, 288], y: [25, 475], z: [300, 375]}}
  slat: {box: {x: [-288, 288], y: [-25, 25], z: [375, 394]}, repeat: {count: 4, along: y, between: [75, 425]}}
joints:
  - tenon: side rail
    into: leg
    thickness: 10
    haunch: top
    pegs: {count: 1}
    except:
      - {at: back leg, length: 26, haunch: none, pegs: none}
      - {at: front end, of: left side rail, thickness: 6}
  - screw: slat
    to: side rail
    size: 4 x 38 mm
    slotted: yes
    except: [{at: left side rail, per crossing: 2, slotted: no}]
"""


def made(text: str = FRAME) -> Piece:
    return complete_piece(drawn(text), packaged_shop())


def joint(piece: Piece, name: str) -> Joint:
    return next(each for each in piece.joints if each.id == name)


def fixing(piece: Piece, name: str) -> Fixing:
    return next(each for each in piece.fixings if each.id == name)


def test_one_end_differs_and_the_other_does_not() -> None:
    piece = made()
    assert not piece.faults
    front = joint(piece, "right side rail, front end, into right front leg")
    back = joint(piece, "right side rail, back end, into right back leg")
    assert back.size("length") == 26 and front.size("length") != 26
    assert front.tenons[0].haunch_width and not back.tenons[0].haunch_width
    assert len(front.pegs) == 1 and not back.pegs
    assert joint(piece, "left side rail, front end, into left front leg").size("thickness") == 6
    assert front.size("thickness") == 10


def test_screws_at_one_part_differ() -> None:
    piece = made()
    left = fixing(piece, "slat 1, screwed to left side rail")
    right = fixing(piece, "slat 1, screwed to right side rail")
    assert (len(left.points), len(right.points)) == (2, 1)
    assert (left.slotted, right.slotted) == (False, True)
    assert "slot length" in dict(right.sizes) and "slot length" not in dict(left.sizes)
    assert piece.part(PartId("slat 1")).volume > 0


def test_a_tusk_and_its_absence_at_one_end() -> None:
    text = """parts:
  post: {count: pair, box: {x: [300, 350], y: [0, 120], z: [0, 500]}}
  bar: {box: {x: [-450, 450], y: [35, 85], z: [200, 290]}}
joints:
  - tenon: bar
    into: post
    thickness: 30
    end: through
    proud: 80
    tusk: {thickness: 12}
    except: [{at: left post, tusk: none, end: blind}]
"""
    piece = made(text)
    tusks = {each.into: each.tusk for each in piece.joints}
    assert tusks[PartId("left post")] is None and tusks[PartId("right post")] is not None


def faults_of(text: str) -> tuple[Fault, ...]:
    tree, faults = read_tree(HEAD + text, "trial.piece.yaml")
    assert tree is not None and not faults
    return draft_piece(tree, "trial.piece.yaml")[1]


@pytest.mark.parametrize(
    ("old", "new", "word"),
    [("per crossing: 2, slotted: no", "thickness: 9", "thickness"), ("length: 26,", "size: no 8 x 2,", "size")],
)
def test_words_of_another_joint_are_told(old: str, new: str, word: str) -> None:
    (fault,) = faults_of(FRAME.replace(old, new))
    assert fault.code == "word-of-another-joint" and f"`{word}`" in fault.what and "`at`" in fault.mend


def test_an_exception_that_fits_no_pair_is_a_warning() -> None:
    piece = made(FRAME.replace("{at: left side rail, per", "{of: slat 1, at: left side rail, per"))
    assert not piece.faults
    text = FRAME.replace("except: [{at: left side rail, per", "except: [{at: back leg, per")
    (fault,) = made(text).faults
    assert fault.code == "exception-fits-nothing" and fault.level is Level.WARNING
