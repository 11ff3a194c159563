"""Every fault a drawing can have: its code, its place to the column, and what its lines say. Cause and effect together.

The expected places are counted in the text shown; nothing here is our own output.
"""

# ruff: noqa: E501 - a table of faults reads best with one to a line
from __future__ import annotations

import pytest

from batchwright.base.fault import Fault
from batchwright.design.draft import draft_piece
from batchwright.design.text.read import read_tree

HEAD = """piece: Trial
units: in
wood: white oak
hands: as seated
"""
SIZES = "sizes: {width: 20, depth: 12}\n"
PLACES = """places:
  head: [8, 2, 16]
  knee: {view: side, at: [17, 16]}
  back line: {view: side, through: [18, 16], angle: 14 deg}
  seat curve: {view: side, curve: [[-1, 16], [9, 15], [19, 15 1/2]]}
  arch: {view: front, curve: [[-8, 4], [0, 8], [8, 4]]}
"""
LEG = "  leg: {count: pair, stick: [[9, 2, 16], [10, 1, 0]], section: {x: 2, y: 2}}\n"


def faults_of(text: str) -> tuple[Fault, ...]:
    tree, faults = read_tree(text, "trial.piece.yaml")
    assert tree is not None, faults
    assert not faults
    return draft_piece(tree, "trial.piece.yaml")[1]


def at(text: str, mark: str) -> tuple[int, int]:
    """Line and column (from 1) of the place marked in the text, by counting."""
    before = text[: text.index(mark)]
    return before.count("\n") + 1, len(before) - (before.rfind("\n") + 1) + 1


CASES = [
    # code, places/parts text with the place of the fault marked by the sign, words of `what`, words of `mend`
    ("place-kind", "places:\n  head: ^{view: side}\nparts:\n" + LEG, "does not say what it is", "`at`"),
    ("place-kind", "places:\n  head: ^{view: side, at: [1, 2], line: [[0, 0], [1, 1]]}\nparts:\n" + LEG, "`at`, `line` at once", "say one"),
    ("view-not-said", "places:\n  head: ^[1, 2]\nparts:\n" + LEG, "two coordinates and no view", "[x, y, z]"),
    ("view-not-said", "places:\n  ^head: {at: [1, 2]}\nparts:\n" + LEG, "in which view", "front"),
    ("unknown-view", "places:\n  head: {view: ^sied, at: [1, 2]}\nparts:\n" + LEG, "no view `sied`", "`side`"),
    ("unknown-view", PLACES + "parts:\n  rail: {drawn in: ^back lin, outline: [[0, 0], [1, 0], [1, 1]], thickness: 1}\n", "`back lin`", "`back line`"),
    ("angle-not-said", "places:\n  lean: {view: side, through: ^[1, 2]}\nparts:\n" + LEG, "says no angle", "angle: ..."),
    ("level-in-plan", "places:\n  lean: {view: plan, through: [1, 2], angle: 4 deg, from: ^level}\nparts:\n" + LEG, "in plan is level", "leave `from` out"),
    ("points-fall-together", "places:\n  lean: {view: side, line: [[1, 2], ^[1, 2]]}\nparts:\n" + LEG, "fall together", "apart"),
    ("points-fall-together", "places:\n  lean: {view: side, curve: [[1, 2], [3, 4], ^[3, 4]]}\nparts:\n" + LEG, "points 2 and 3", "take it out"),
    ("too-few-points", "places:\n  lean: {view: side, curve: ^[[1, 2]]}\nparts:\n" + LEG, "1 point", "another point"),
    ("distance-not-said", PLACES + "  other: {beside: ^back line}\nparts:\n" + LEG, "at what distance", "by: ..."),
    ("parallel-folds", "places:\n  tight: {view: side, curve: [[0, 0], [1, 2], [2, 0]]}\n  inner: {beside: tight, by: ^-4}\nparts:\n" + LEG, "beside `tight`", "flatter"),
    ("crossing-of-views", PLACES + "  over: {crossing: [back line, ^arch]}\nparts:\n" + LEG, "front view", "of one view"),
    ("line-wanted", PLACES + "  other: {beside: ^head, by: 1}\nparts:\n" + LEG, "`head` is a point", "line or curve"),
    ("unknown-name", PLACES + "  other: {beside: ^bak line, by: 1}\nparts:\n" + LEG, "`bak line`", "`back line`"),
    ("loop", "places:\n  ^a: {beside: b, by: 1}\n  b: {beside: a, by: 1}\nparts:\n" + LEG, "a -> b -> a", "value of its own"),
    ("loop", "parts:\n  ^rail: {box: {x: [-8, 8], y: [0, 1], z: [post, 14]}}\n  post: {box: {x: [-1, 1], y: [0, 2], z: [0, rail]}}\n", "rail -> post -> rail", "line 6"),
    ("true-view-of-a-curve", PLACES + "parts:\n  rail: {drawn in: ^seat curve, outline: [[0, 0], [1, 0], [1, 1]], thickness: 1}\n", "is a curve", "straight line"),
    ("true-view-drawn-backwards", "places:\n  down: {view: side, line: [[5, 9], [4, 0]]}\nparts:\n  rail: {drawn in: ^down, outline: [[0, 0], [1, 0], [1, 1]], thickness: 1}\n", "drawn downwards", "other way round"),
    ("curve-used-straight-across", PLACES + "parts:\n  rail: {drawn in: front, outline: [[0, 0], [1, 0], [1, ^seat curve]], thickness: 1}\n", "curve of the side view", "seat curve at y"),
    ("curve-met-twice", PLACES + "parts:\n  rail: {drawn in: front, outline: [[0, 0], [9, 0], ^[arch, 6]], thickness: 1}\n", "2 points", "number"),
    ("off-the-curve", PLACES + "parts:\n  rail: {drawn in: side, outline: [[0, 0], [9, 0], ^[40, seat curve]], thickness: 1}\n", "do not meet", "another point"),
    ("off-the-curve", PLACES + "parts:\n  rail: {box: {x: [-1, 1], y: [0, 1], z: [0, ^seat curve at y 40]}}\n", "does not reach", "between its ends"),
    ("axis-not-in-view", PLACES + "parts:\n  rail: {box: {x: [-1, 1], y: [0, 1], z: [0, ^back line at x 4]}}\n", "has no x", "back line at y"),
    ("axis-not-in-view", PLACES + "parts:\n  rail: {drawn in: side, outline: [[0, 0], [9, 0], [9, x ^4]], thickness: 1}\n", "x is the same everywhere", "value of y or z"),
    ("coordinates-run-alongside", PLACES + "parts:\n  rail: {drawn in: side, outline: [[0, 0], [9, 0], ^[back line, back line]], thickness: 1}\n", "alongside", "number"),
    ("two-coordinates-wanted", "parts:\n  rail: {drawn in: side, outline: [[0, 0], [9, 0], ^[9, 4, 2]], thickness: 1}\n", "not 3", "[y, z]"),
    ("three-coordinates-wanted", "parts:\n  leg: {stick: [^[9, 2], [9, 2, 16]], section: [2, 2]}\n", "not 2", "[x, y, z]"),
    ("space-point-wanted", PLACES + "parts:\n  leg: {stick: [^knee, [9, 2, 16]], section: [2, 2]}\n", "side view only", "[x, y, z]"),
    ("point-wanted", SIZES + "parts:\n  leg: {stick: [^width, [9, 2, 16]], section: [2, 2]}\n", "single value", "[ ]"),
    ("point-wanted", PLACES + "parts:\n  rail: {drawn in: side, outline: [[0, 0], [9, 0], ^back line], thickness: 1}\n", "is a line", "one of two"),
    ("no-one-value", PLACES + "parts:\n  rail: {box: {x: [-1, 1], y: [0, 1], z: [0, ^head + 1]}}\n", "no one value", "head.x"),
    ("no-such-value", PLACES + "parts:\n  rail: {box: {x: [-1, 1], y: [0, 1], z: [0, ^back line.x]}}\n", "no `.x`", "back line at z"),
    ("point-has-no-line", PLACES + "parts:\n  rail: {box: {x: [-1, 1], y: [0, 1], z: [0, ^head at y 4]}}\n", "is a point", ".x"),
    ("part-not-there", "parts:\n  post: {box: {x: [-1, 1], y: [0, 2], z: [0, 9]}}\n  rail: {stick: [^post at z 12, [9, 2, 12]], section: [1, 1]}\n", "no wood there", "reaches"),
    ("place-without-repeat", "parts:\n  rail: {box: {x: [-1, 1], y: [0, 1], z: [0, ^place.x]}}\n", "not repeated", "repeat"),
    ("part-not-drawn", "parts:\n  ^rail: {wood: white oak}\n" + LEG, "is not drawn", "`box`"),
    ("part-not-drawn", "parts:\n  ^rail: {box: {x: [0, 1], y: [0, 1], z: [0, 9]}, stick: [[0, 0, 0], [0, 0, 9]]}\n", "`box`, `stick` at once", "one of"),
    ("part-form", "parts:\n  rail: ^wide\n" + LEG, "`wide`", "box"),
    ("word-missing", "parts:\n  rail: {box: ^{x: [0, 1], y: [0, 1]}}\n", "`z`", "z:"),
    ("box-form", "parts:\n  rail: {box: ^[0, 1]}\n", "three ranges", "x: [..., ...]"),
    ("list-wanted", "parts:\n  rail: {box: {x: ^4, y: [0, 1], z: [0, 9]}}\n", "list of 2", "[ ]"),
    ("no-thickness", "parts:\n  rail: {box: {x: [0, 8], y: ^[1, 1], z: [0, 9]}}\n", "along y", "thickness"),
    ("range-runs-back", "parts:\n  rail: {box: {x: ^[8, 0], y: [0, 1], z: [0, 9]}}\n", "back to", "smaller value first"),
    ("thickness-not-said", "parts:\n  rail: {^drawn in: side, outline: [[0, 0], [9, 0], [9, 4]]}\n", "how thick", "across"),
    ("thickness-not-said", "parts:\n  rail: {drawn in: side, outline: [[0, 0], [9, 0], [9, 4]], thickness: 1, across: ^[0, 1]}\n", "both", "across"),
    ("outline-crosses-itself", "parts:\n  rail: {drawn in: side, outline: ^[[0, 0], [9, 4], [9, 0], [0, 4]], thickness: 1}\n", "(4 1/2 in, 2 in)", "order of its corners"),
    ("outline-encloses-nothing", "parts:\n  rail: {drawn in: side, outline: ^[[0, 0], [9, 0], [4, 0]], thickness: 1}\n", "encloses nothing", "three or more"),
    ("outline-too-short", "parts:\n  rail: {drawn in: side, outline: ^[[0, 0]], thickness: 1}\n", "one item", "more corners"),
    ("outline-item", "parts:\n  rail: {drawn in: side, outline: [[0, 0], ^{round: 1}, [9, 4]], thickness: 1}\n", "does not say what it draws", "`curve`"),
    ("corner-does-not-fit", "parts:\n  rail: {drawn in: side, outline: [[0, 0], {at: [9, 0], round: ^6}, [9, 4]], thickness: 1}\n", "radius of 6 in", "smaller"),
    ("nothing-to-be-smooth-with", "parts:\n  rail: {drawn in: side, outline: [[0, 0], {curve: ^[[4, 1], [9, 0]], smooth: end}, {curve: [[8, 3], [0, 4]]}], thickness: 1}\n", "smooth: end", "straight edge"),
    ("limit-not-said", PLACES + "parts:\n  rail: {drawn in: side, outline: [[0, 0], [9, 0], ^{follow: back line, from: 4}], thickness: 1}\n", "`to` is not said", "both"),
    ("strip-folds", "parts:\n  arm: {drawn in: side, strip: ^{through: [[0, 0], [1, 1], [2, 0]], wide: 3}, thickness: 1}\n", "cannot be sawn", "narrower"),
    ("widths-do-not-match", "parts:\n  arm: {drawn in: side, strip: {through: [[0, 0], [9, 1], [18, 0]], wide: ^[2, 3]}, thickness: 1}\n", "3 points and has 2 widths", "3: one for each"),
    ("line-has-no-ends", PLACES + "parts:\n  arm: {drawn in: side, strip: {through: ^back line, wide: 2}, thickness: 1}\n", "without ends", "two points"),
    ("not-above-zero", "parts:\n  arm: {drawn in: side, strip: {through: [[0, 0], [9, 1]], wide: ^0}, thickness: 1}\n", "wider than nothing", "above zero"),
    ("section-not-said", "parts:\n  leg: {^stick: [[9, 2, 16], [9, 2, 0]]}\n", "no section", "section: [a, b]"),
    ("section-along-the-stick", "parts:\n  leg: {stick: [[9, 2, 16], [9, 2, 0]], section: {x: 2, ^z: 2}}\n", "runs along z", "least along"),
    ("section-form", "parts:\n  leg: {stick: [[9, 2, 16], [9, 2, 0]], section: ^{x: 2}}\n", "1 axes", "two axes"),
    ("end-along-the-stick", "parts:\n  rail: {stick: [[0, 0, 4], [9, 0, 4]], section: [1, 1], ends: ^level}\n", "cannot be level", "square"),
    ("taper-off-the-stick", "parts:\n  leg: {stick: [[9, 2, 16], [9, 2, 0]], section: [2, 2], taper: {from: ^20, to: 1}}\n", "16 in long", "between the two ends"),
    ("middle-not-said", "parts:\n  leg: {stick: [[9, 2, 16], [9, 2, 0]], section: [2, 2], taper: {to: 1, on: ^inner faces}}\n", "front to back", "middle: ..."),
    ("middle-not-said", "parts:\n  ^leg: {count: four, stick: [[9, 2, 16], [9, 2, 0]], section: [2, 2]}\n", "where the middle is", "middle: ..."),
    ("centred-on-its-mirror", "parts:\n  ^rail: {count: pair, box: {x: [-8, 8], y: [0, 1], z: [0, 4]}}\n", "right on x = 0", "one side"),
    ("unknown-count", "parts:\n  rail: {count: ^pairs, box: {x: [4, 8], y: [0, 1], z: [0, 4]}}\n", "`pairs`", "`pair`"),
    ("name-of-a-copy", "parts:\n  leg: {count: pair, box: {x: [4, 8], y: [0, 1], z: [0, 4]}}\n  ^left leg: {box: {x: [0, 1], y: [0, 1], z: [0, 4]}}\n", "copy of `leg` (line 6)", "something else"),
    ("repeat-does-not-fit", "parts:\n  slat: {box: {x: [-2, 2], y: [0, 1], z: [0, 9]}, repeat: {count: ^6, along: x, between: [-10, 10]}}\n", "lap over the next by 0.5714 in", "fewer"),
    ("repeat-does-not-fit", "parts:\n  slat: {box: {x: [-2, 2], y: [0, 1], z: [0, 9]}, repeat: {gap: ^1, along: x, between: [-1, 1]}}\n", "not one `slat` fits", "narrower"),
    ("repeat-form", "parts:\n  slat: {box: {x: [-2, 2], y: [0, 1], z: [0, 9]}, repeat: ^{count: 3, between: [-1, 1]}}\n", "where the copies go", "along: x"),
    ("too-many-copies", "parts:\n  slat: {box: {x: [-2, 2], y: [0, 1], z: [0, 9]}, repeat: {count: ^500, along: x, between: [-1, 1]}}\n", "500 copies", "200"),
    ("which-copy", "parts:\n  slat: {box: {x: [-1, 1], y: [0, 1], z: [0, 9]}, repeat: {count: 3, along: x, between: [-9, 9]}}\n  cap: {box: {x: [-9, 9], y: [0, 1], z: [^slat, 12]}}\n", "3 times", "`slat 1`"),
    ("no-such-copy", "parts:\n  slat: {box: {x: [-1, 1], y: [0, 1], z: [0, 9]}, repeat: {count: 3, along: x, between: [-9, 9]}}\n  cap: {box: {x: [-9, 9], y: [0, 1], z: [^slat 4, 12]}}\n", "no `slat 4`", "1 to 3"),
    ("no-such-side", PLACES + "parts:\n  leg: {stick: [[9, 2, 16], [9, 2, 0]], section: [2, 2], cut: [{line: seat curve, keep: ^back}]}\n", "no side", "above or below"),
    ("cut-form", "parts:\n  leg: {stick: [[9, 2, 16], [9, 2, 0]], section: [2, 2], cut: [^{keep: above}]}\n", "one of `level`", "level: ..."),
    ("unknown-edges", "parts:\n  leg: {stick: [[9, 2, 16], [9, 2, 0]], section: [2, 2], edges: [{round: 1/8, on: ^long edgs}]}\n", "`long edgs`", "`long edges`"),
    ("sawn-form", "parts:\n  rail: {drawn in: side, outline: [[0, 0], [9, 0], [9, 4]], thickness: 1, also sawn: {on: ^face, outline: [[0, 0], [9, 0], [9, 1]]}}\n", "edge or on the end", "on: edge"),
    ("grain-form", "parts:\n  rail: {box: {x: [0, 8], y: [0, 1], z: [0, 9]}, grain: ^[[0, 0], [1, 1]]}\n", "drawn in a view", "across"),
    ("plane-points-on-a-line", "parts:\n  rail: {drawn in: ^{plane: [[0, 0, 0], [1, 0, 0], [2, 0, 0]]}, outline: [[0, 0], [9, 0], [9, 4]], thickness: 1}\n", "on one line", "not on one line"),
    ("unknown-wood", "parts:\n  rail: {wood: ^whit oak, box: {x: [0, 8], y: [0, 1], z: [0, 9]}}\n", "`whit oak`", "`white oak`"),
    ("unknown-choice", "parts:\n  rail: {sawn: ^rifted, box: {x: [0, 8], y: [0, 1], z: [0, 9]}}\n", "`sawn: rifted`", "`rift`"),
    ("joint-kind", "parts:\n" + LEG + "joints:\n  - ^{into: leg}\n", "joint 1", "`tenon`"),
    ("joint-form", "parts:\n" + LEG + "joints:\n  - ^leg\n", "words in { }", "tenon: rail"),
    ("unknown-name", "parts:\n" + LEG + "joints:\n  - {rest: ^legg, on: leg}\n", "no part is called `legg`", "`leg`"),
    ("joined-to-itself", "parts:\n" + LEG + "joints:\n  - {tenon: left leg, into: ^left leg}\n", "to itself", "other part"),
    ("meeting-by", "parts:\n" + LEG + "  rail: {box: {x: [0, 9], y: [1, 2], z: [0, 9]}}\njoints:\n  - {meeting in: leg, of: [rail, leg], by: ^rail before}\n", "`rail before`", "`rail first`"),
    ("meeting-of-one", "parts:\n" + LEG + "joints:\n  - {meeting in: leg, of: ^[leg], by: mitre}\n", "two parts", "[front rail"),
    ("exception-form", "parts:\n" + LEG + "  rail: {box: {x: [0, 9], y: [1, 2], z: [0, 9]}}\njoints:\n  - {tenon: rail, into: leg, except: [^{length: 1}]}\n", "where it holds", "at: back leg"),
    ("not-above-zero", "parts:\n" + LEG + "  rail: {box: {x: [0, 9], y: [1, 2], z: [0, 9]}}\njoints:\n  - {tenon: rail, into: leg, thickness: ^-1/4}\n", "-1/4 in", "above zero"),
    ("unknown-choice", "parts:\n" + LEG + "  rail: {box: {x: [0, 9], y: [1, 2], z: [0, 9]}}\njoints:\n  - {tenon: rail, into: leg, end: ^wedge}\n", "`end: wedge`", "`wedged`"),
    ("unknown-use", "use: [outdoors, ^sofa 2]\nparts:\n" + LEG, "`sofa 2`", "seat 1"),
    ("coordinate-wanted", "parts:\n  rail: {drawn in: side, outline: [[0, 0], [9, 0], [9, ^[4]]], thickness: 1}\n", "a list", "length"),
    ("edge-form", "parts:\n  rail: {box: {x: [0, 8], y: [0, 1], z: [0, 9]}, edges: [^{on: all}]}\n", "`round` or `chamfer`", "long edges"),
    ("line-never-there", "places:\n  wall: {view: side, line: [[5, 0], [5, 9]]}\nparts:\n  rail: {box: {x: [0, 8], y: [0, 1], z: [0, ^wall at y 5]}}\n", "square to y", "wall at z"),
    ("line-never-met", "places:\n  wall: {view: side, line: [[5, 0], [5, 9]]}\nparts:\n  rail: {drawn in: front, outline: [[0, 0], [9, 0], [9, ^wall]], thickness: 1}\n", "never meets it", "another line"),
    ("no-inner-face", "middle: 6\nparts:\n  rail: {stick: [[1, 2, 4], [9, 2, 4]], section: [2, 2], taper: {to: 1, on: ^inner faces}}\n", "runs level", "all four"),
    ("outline-file-not-given", "parts:\n  rail: {drawn in: side, outline: {file: ^leg.dxf}, thickness: 1}\n", "not handed in", "project folder"),
    ("part-wanted", "parts:\n" + LEG + "joints:\n  - {tenon: ^[], into: leg}\n", "names no part", "one part"),
    ("strip-form", "parts:\n  arm: {drawn in: side, strip: ^[4, 5], thickness: 1}\n", "words in { }", "through"),
    ("taper-form", "parts:\n  leg: {stick: [[9, 2, 16], [9, 2, 0]], section: [2, 2], taper: ^1}\n", "words in { }", "from"),
    ("table-wanted", "parts:\n" + LEG + "  rail: {box: {x: [0, 9], y: [1, 2], z: [0, 9]}}\njoints:\n  - {tenon: rail, into: leg, pegs: ^2}\n", "words in { }", "count: 2"),
]  # fmt: skip


@pytest.mark.parametrize(("code", "text", "what", "mend"), CASES, ids=[f"{i}-{c[0]}" for i, c in enumerate(CASES)])
def test_fault_says_what_where_and_how_to_mend(code: str, text: str, what: str, mend: str) -> None:
    whole = HEAD + text
    line, column = at(whole, "^")
    found = faults_of(whole.replace("^", "", 1))
    told = [fault for fault in found if fault.code == code]
    assert told, [str(fault) for fault in found]
    fault = told[0]
    assert (fault.place.line, fault.place.column) == (line, column), str(fault)
    assert what in fault.what, str(fault)
    assert mend in fault.mend, str(fault)
    assert fault.place.file == "trial.piece.yaml"
    assert len(found) == 1, [str(each) for each in found]


def test_many_faults_are_told_at_once_in_file_order() -> None:
    found = faults_of(
        HEAD
        + "parts:\n"
        + "  rail: {box: {x: [8, 0], y: [1, 1], z: [0, nowhere]}}\n"
        + "  slat: {drawn in: sidd, outline: [[0, 0], [9, 0], [9, 4]], thickness: 1}\n"
        + "  top: {box: {x: [0, 1], y: [0, 1], z: [0, rail.top]}}\n"
    )
    assert [(fault.place.line, fault.code) for fault in found] == [(6, "unknown-name"), (7, "unknown-view")]


def test_what_can_be_drawn_is_drawn_beside_what_cannot() -> None:
    text = HEAD + "parts:\n" + LEG + "  rail: {box: {x: [0, 9], y: [1, 1], z: [0, 9]}}\n"
    tree, _ = read_tree(text, "trial.piece.yaml")
    assert tree is not None
    piece, faults = draft_piece(tree, "trial.piece.yaml")
    assert piece is not None
    assert [part.id for part in piece.parts] == ["left leg", "right leg"]
    assert [fault.code for fault in faults] == ["no-thickness"]


def test_what_would_take_for_ever_is_refused_at_once() -> None:
    many = ", ".join(f"[{i}, {i % 2}]" for i in range(101))
    wide = ", ".join(f"[{40 * i}, {1500 * (i % 2)}]" for i in range(1, 40))
    row = "{box: {x: [-1, 1], y: [0, 1], z: [0, 9]}, repeat: {count: 150, along: x, between: [-900, 900]}}"
    found = faults_of(
        HEAD
        + f"places:\n  bow: {{view: side, curve: [{many}]}}\nparts:\n"
        + f"  rail: {{drawn in: side, outline: [[0, 0], {{curve: [{wide}]}}, [1600, -9]], thickness: 1}}\n"
        + "".join(f"  slat {word}: {row}\n" for word in ("one", "two", "three"))
    )
    assert [(fault.place.line, fault.code) for fault in found] == [
        (6, "too-many-points"),
        (8, "outline-too-long"),
        (11, "too-many-copies"),
    ]
