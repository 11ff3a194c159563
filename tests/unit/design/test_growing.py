"""Parts drawn larger on a side or moved: literals anew, plain sizes raised, expressions carried on."""

from __future__ import annotations

import pytest

from batchwright.base.mend import Change
from batchwright.design.draft import draft_piece
from batchwright.design.editing.apply import apply_changes
from batchwright.design.text.read import read_tree

FILE = "a.piece.yaml"
PIECE = """piece: A
units: in
wood: white oak
hands: from the front
sizes:
  thick: {is: 1 3/4, from: 1}   # of the leg
  width: 20
  half: width/2
parts:
  leg: {stick: [[8, 1, 16], [8, 1, 0]], section: {x: thick, y: 1 1/2}}
  rail: {box: {x: [-half, half], y: [1, 2], z: [12, 15 1/4]}}
  end: {box: {x: [leg, 9], y: [1, 12], z: [0, 5]}}
  board: {drawn in: side, outline: [[0, 0], [9, 0], [9, 4]], thickness: 7/8}
  back: {drawn in: front, outline: [[0, 0], [9, 0], [9, 4]], across: [2, 2 1/2]}
  foot: {stick: [[8, 1, 3], [8, 1, 0]], section: {x: 2, y: 2}, taper: {to: 1}}
"""


def changed(change: Change, piece: str = PIECE) -> list[tuple[str, str]]:
    out, faults = apply_changes({FILE: piece}, FILE, [change])
    assert out is not None, [str(fault) for fault in faults]
    pairs = zip(piece.split("\n"), out[FILE].split("\n"), strict=True)
    return [(old.strip(), new.strip()) for old, new in pairs if old != new]


def grow(part: str, side: str, text: str) -> Change:
    return Change(do="grow part", of=part, side=side, text=text)


def move(part: str, side: str, text: str) -> Change:
    return Change(do="move part", of=part, side=side, text=text)


@pytest.mark.parametrize(
    ("change", "old", "new"),
    [
        (grow("rail", "front", "1/4 in"), "y: [1, 2]", "y: [3/4, 2]"),
        (grow("rail", "back", "1/4"), "y: [1, 2]", "y: [1, 2 1/4]"),
        (grow("rail", "top", "-1/4 in"), "z: [12, 15 1/4]", "z: [12, 15]"),
        (grow("rail", "right", "3/8 in"), "x: [-half, half]", "x: [-half, half + 3/8]"),
        (grow("rail", "left", "3/8 in"), "x: [-half, half]", "x: [-half - 3/8, half]"),
        (grow("end", "right", "1 in"), "x: [leg, 9]", "x: [leg, 10]"),
        (grow("leg", "left", "1/4 in"), "{is: 1 3/4, from: 1}", "{is: 2, from: 1}"),
        (grow("leg", "back", "1/8 in"), "y: 1 1/2}", "y: 1 5/8}"),
        (grow("board", "right", "1/8 in"), "thickness: 7/8", "thickness: 1"),
        (grow("back", "back", "1/4 in"), "across: [2, 2 1/2]", "across: [2, 2 3/4]"),
        (move("rail", "back", "1/2 in"), "y: [1, 2]", "y: [1 1/2, 2 1/2]"),
        (move("rail", "bottom", "6.35 mm"), "z: [12, 15 1/4]", "z: [11 3/4, 15]"),
        (move("back", "front", "1 in"), "across: [2, 2 1/2]", "across: [1, 1 1/2]"),
    ],
)
def test_a_number_is_changed_and_nothing_else(change: Change, old: str, new: str) -> None:
    ((before, after),) = changed(change)
    assert old in before and after == before.replace(old, new)


@pytest.mark.parametrize(
    ("change", "code"),
    [
        (grow("end", "left", "1"), "no-such-entry"),
        (move("end", "left", "1"), "no-such-entry"),
        (grow("leg", "top", "1"), "no-such-entry"),
        (grow("foot", "left", "1"), "no-such-entry"),
        (grow("board", "top", "1"), "no-such-entry"),
        (grow("rail", "inside", "1"), "not-a-change"),
        (grow("rial", "left", "1"), "unknown-name"),
        (grow("rail", "left", "wide"), "no-names-here"),
    ],
)
def test_what_no_one_number_says_is_refused(change: Change, code: str) -> None:
    out, faults = apply_changes({FILE: PIECE}, FILE, [change])
    assert out is None and faults[0].code == code and faults[0].mend


def test_a_part_knows_the_sides_on_which_it_can_be_drawn_larger() -> None:
    tree, _ = read_tree(PIECE, FILE)
    assert tree is not None
    draft, faults = draft_piece(tree, FILE)
    assert draft is not None, faults
    told = {part.name: part.grows for part in draft.parts}
    every = ("front", "back", "left", "right", "top", "bottom")
    assert told["rail"] == every
    assert told["end"] == ("front", "back", "right", "top", "bottom")
    assert told["leg"] == ("front", "back", "left", "right")
    assert told["board"] == ("left", "right") and told["back"] == ("front", "back") and told["foot"] == ()
    for part in draft.parts:
        for side in part.grows:
            assert changed(grow(part.name, side, "1/16 in"))


def test_left_is_where_the_piece_says_it_is() -> None:
    seated = PIECE.replace("from the front", "as seated")
    assert "half + 1]" in changed(grow("rail", "left", "1 in"), seated)[0][1]
