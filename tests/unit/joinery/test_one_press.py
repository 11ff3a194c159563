"""Mends made with one press: made in the file, the fault or finding they belong to is gone and no fault is new."""

from __future__ import annotations

import re
from dataclasses import dataclass

import pytest

from batchwright.base.fault import Fault, Level
from batchwright.base.finding import Finding
from batchwright.base.mend import Mend
from batchwright.design.editing.apply import apply_changes
from piece_files import example_files, jointed

FILE = "press.piece.yaml"
LEG = "{box: {x: [10, 11 3/4], y: [0, 1 3/4], z: [0, 17]}}"
RAIL = "{box: {x: [-10, 10 7/8], y: [3/8, 1 3/8], z: [12, 15]}, grain: x}"
POST = "{box: {x: [-11 3/4, -10], y: [0, 1 3/4], z: [0, 17]}}"


@dataclass(frozen=True)
class Case:
    """A piece with the finding or fault, and the mends that must be offered, by words that they say."""

    code: str
    joints: str
    offers: tuple[str, ...]
    leg: str = LEG
    rail: str = RAIL
    more: str = ""
    about: str = ""


def text_of(case: Case) -> str:
    return f"""piece: Press
units: in
wood: white oak
use: [indoors]
hands: from the front
middle: 6
parts:
  leg: {case.leg}
  rail: {case.rail}
{case.more}joints:
{case.joints}
"""


def told(text: str, code: str = "", about: str = "") -> list[Fault | Finding]:
    made = jointed(text.encode(), FILE)
    found: list[Fault | Finding] = [*made.faults, *(made.piece.findings if made.piece else ())]
    return [each for each in found if code in ("", each.code) and about in each.what]


def errors(text: str) -> list[str]:
    return [each.code for each in told(text) if isinstance(each, Fault) and each.level is Level.ERROR]


def pressed(text: str, mend: Mend) -> str:
    out, faults = apply_changes({FILE: text}, FILE, mend.changes)
    assert out is not None, [str(fault) for fault in faults]
    return out[FILE]


TENON = "  - {tenon: rail, into: leg, thickness: 3/8%s}"
SMALL = "{box: {x: [10, 11], y: [0, 4], z: [0, 17]}}"
TALL = "{box: {x: [10, 11 3/4], y: [0, 1 3/4], z: [0, 15 1/4]}}"
SLAT = "{box: {x: [9, 13], y: [-6, 6], z: [17, 17 3/4]}, grain: y}"
ACROSS = "{box: {x: [-12, 12], y: [3/8, 1 3/8], z: [16, 18]}, grain: x}"
CASES = {
    "short: length": Case("short-tenon", TENON % ", length: 3/4", ("`length: 1 1/8`",)),
    "short: through": Case(
        "short-tenon", "  - {tenon: rail, into: leg, thickness: 1/4}", ("`end: through`",), SMALL,
        RAIL.replace("10 7/8", "10 1/2"),
    ),
    "short: thinner": Case("short-tenon", TENON % ", length: 1 1/16", ("`thickness: 5/16`",)),
    "thin wall: moved": Case(
        "thin-wall", TENON % ", shoulders: {front: 1/8}", ("`shoulders: {front: 1/4}`",), LEG,
        RAIL.replace("[3/8, 1 3/8]", "[1/16, 1 1/16]"),
    ),
    "bottom": Case("thin-bottom", TENON % ", length: 1 5/8", ("`length: 1 3/8`", "`end: through`")),
    "end: wider shoulder": Case(
        "near-the-end", TENON % ", shoulders: {top: 1/16}", ("`shoulders: {top: 5/16}`",), TALL
    ),
    "end: narrower": Case("near-the-end", TENON % ", width: 2 7/8", ("`width: 2 1/2`",), TALL),
    "wide tenon": Case(
        "wide-tenon", TENON % "", ("`in line: 2`",), LEG, RAIL.replace("[12, 15]", "[10 1/2, 15]")
    ),
    "expect": Case("expect-not-met", TENON % ", expect: 2", ("`expect: 1`",)),
    "too thick": Case("tenon-thicker-than-part", "  - {tenon: rail, into: leg, thickness: 1}", ("`thickness: ",)),
    "no cutter": Case("no-cutter-of-that-width", "  - {tenon: rail, into: leg, thickness: 11/32}", ("`thickness: ",)),
    "shoulder not beside": Case(
        "shoulder-not-beside", "  - {tenon: leg, into: slat, thickness: 3/8, shoulders: {top: 1/4}}",
        ("`shoulders: front: 1/4`",), more=f"  slat: {SLAT}\n",
    ),
    "no such exception": Case(
        "exception-fits-nothing", TENON % ", except: [{at: rail, length: 1}]", ("take the exception out",)
    ),
    "pegs": Case(
        "peg-near-tenon-end", TENON % ", length: 1 1/8, pegs: {count: 1, diameter: 3/8}", ("`pegs: diameter: ",)
    ),
    "wedges": Case("too-many-wedges", TENON % ", end: wedged, wedges: 30", ("`wedges: ",)),
    "wedges of a blind tenon": Case(
        "wedges-not-through", TENON % ", wedges: 2", ("`end: wedged`", "take `wedges` out")
    ),
    "tusk without proud": Case(
        "tusk-without-proud", "  - {tenon: rail, into: leg, thickness: 5/8, tusk: {thickness: 5/16}}",
        ("`end: through` and `proud: 1 1/4`",), LEG, RAIL.replace("1 3/8]", "1 5/8]"),
    ),
    "tusk too thick": Case(
        "tusk-too-thick", TENON % ", end: through, proud: 6, tusk: {thickness: 2}", ("`tusk: thickness: ",)
    ),
    "tusk near end": Case(
        "tusk-near-end", TENON % ", end: through, proud: 7/16, tusk: {thickness: 3/8}", ("`proud: ",)
    ),
    "crosses": Case(
        "crosses-in-its-length", "  - {tenon: rail, into: leg}", ("`halving` instead",),
        "{box: {x: [-1, 1], y: [3/8, 1 3/8], z: [0, 17]}}",
    ),
    "meets nothing": Case(
        "meets-nothing", "  - {tenon: rail, into: leg}\n  - {tenon: [rail, post], into: leg}", ("take post out",),
        more=f"  post: {POST}\n", about="post",
    ),
    "meets nothing, alone": Case(
        "meets-nothing", "  - {tenon: rail, into: leg}\n  - {tenon: post, into: leg}", ("take the joint out",),
        more=f"  post: {POST}\n", about="post",
    ),
    "meeting": Case(
        "meeting-finds-nothing", TENON % "" + "\n  - {meeting in: leg, of: [rail, post], by: mitre}",
        ("take the line out",), more=f"  post: {POST}\n",
    ),
    "overlap at an end": Case("parts-overlap", "  - {rest: post, on: rail}", ("`tenon: rail, into: leg`",),
                              more="  post: {box: {x: [-11 3/4, -10], y: [0, 1 3/4], z: [0, 17]}}\n"),
    "overlap across": Case(
        "parts-overlap", "  - {rest: leg, on: post}", ("`halving: leg, with: rail`",),
        "{box: {x: [-1, 1], y: [3/8, 1 3/8], z: [0, 17]}}",
        more="  post: {box: {x: [-1, 1], y: [1 3/8, 2], z: [0, 9]}}\n",
    ),
    "touch: an end on a face": Case(
        "touch-with-no-joint", TENON % "", ("`rest: leg, on: slat`",), more=f"  slat: {SLAT}\n", about="leg and slat"
    ),
    "touch: crossing": Case(
        "touch-with-no-joint", TENON % "", ("`screw: slat, to: rail`", "`rest: rail, on: slat`"),
        rail=RAIL.replace("[12, 15]", "[14, 17]"), more=f"  slat: {SLAT.replace('x: [9, 13]', 'x: [-2, 2]')}\n",
        about="rail and slat",
    ),
    "touch: side by side": Case(
        "touch-with-no-joint", TENON % "", ("`glue: board, to: rail`",),
        more="  board: {box: {x: [-10, 8], y: [3/8, 1 3/8], z: [15, 18]}, grain: x}\n", about="board and rail",
    ),
    "mark": Case(
        "mark-not-there", TENON % "", ("`face side: back`", "leave the face side to the rule"),
        rail=RAIL.replace("grain: x", "grain: x, face side: left"),
    ),
    "screw too short": Case(
        "screw-too-short", TENON % "" + "\n  - {screw: slat, to: rail, size: no 8 x 1}", ("`size: no 8 x ",),
        rail=RAIL.replace("[12, 15]", "[14, 17]"), more=f"  slat: {SLAT.replace('x: [9, 13]', 'x: [-2, 2]')}\n",
    ),
    "screw comes through": Case(
        "screw-comes-through", TENON % "" + "\n  - {screw: slat, to: rail, size: no 8 x 4}", ("`size: no 8 x ",),
        rail=RAIL.replace("[12, 15]", "[14, 17]"), more=f"  slat: {SLAT.replace('x: [9, 13]', 'x: [-2, 2]')}\n",
    ),
    "steep": Case(
        "steep-tenon", TENON % "", ("`angle in: mortise`",), LEG,
        "{drawn in: front, outline: [[-10, 5], [10 7/8, 11], [10 7/8, 13], [-10, 7]], across: [3/8, 1 3/8]}",
    ),
    "hollow": Case(
        "hollow-under-shoulder", "  - {tenon: rail, into: leg, thickness: 1/4}",
        ("`shoulder: let in`", "`shoulder: scribed`"),
        "{drawn in: front, across: [0, 1 3/4], outline: [[11 3/4, 0], [11 3/4, 17], [10, 17], "
        "{curve: [[9, 12], [10, 0]]}]}",
    ),
    "halving along": Case(
        "halving-not-crossing", TENON % "" + "\n  - {halving: board, with: rail}",
        ("`glue` instead", "`screw` instead"),
        more="  board: {box: {x: [-10, 8], y: [1 1/8, 2 3/8], z: [12, 15]}, grain: x}\n",
    ),
    "slips": Case(
        "slip-too-thick", TENON % "" + "\n  - {glue: board, to: rail, slips: {thickness: 5/8, count: 4}}",
        ("`slips: thickness: ",),
        more="  board: {box: {x: [-10, 8], y: [3/8, 1 3/8], z: [15, 18]}, grain: x}\n",
    ),
    "too thin": Case(
        "part-too-thin-for-tenon", "  - {tenon: rail, into: leg, thickness: 1/4}", ("`end: through`",),
        "{box: {x: [10, 10 1/4], y: [0, 1 3/4], z: [0, 17]}}", RAIL.replace("10 7/8", "10 1/8"),
    ),
    "screw near an end": Case(
        "screw-near-end", TENON % "" + "\n  - {screw: slat, to: rail, size: no 10 x 1 3/4}", ("`size: no ",),
        rail=RAIL.replace("[12, 15]", "[14, 17]"),
        more=f"  slat: {SLAT.replace('x: [9, 13]', 'x: [-2, 2]').replace('y: [-6, 6]', 'y: [-1/4, 9]')}\n",
    ),
    "screws in a narrow part": Case(
        "screws-in-narrow-part", TENON % "" + "\n  - {screw: slat, to: rail, per crossing: 2}", ("`per crossing: 1`",),
        rail=RAIL.replace("[12, 15]", "[14, 17]"), more=f"  slat: {SLAT.replace('x: [9, 13]', 'x: [-1, 1]')}\n",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", CASES)
def test_every_mend_offered_clears_what_it_belongs_to(name: str) -> None:
    case = CASES[name]
    text = text_of(case)
    found = told(text, case.code, case.about)
    assert found, f"no {case.code}: {[(each.code, each.what) for each in told(text)]}"
    offered = [mend.say for mend in found[0].mends]
    for offer in case.offers:
        assert any(offer in say for say in offered), (offer, offered, found[0].mend)
    before = errors(text)
    for mend in found[0].mends:
        after = pressed(text, mend)
        assert found[0].what not in [each.what for each in told(after, case.code)], (mend.say, after)
        new = [code for code in errors(after) if code not in before]
        assert not new, (mend.say, [str(each) for each in told(after) if each.code in new])


def test_a_mend_for_some_joints_of_a_statement_is_an_exception() -> None:
    text = text_of(
        Case(
            "thin-bottom", "  - {tenon: [rail, low], into: [leg, post], thickness: 3/8, length: 1 5/8}", (),
            leg="{box: {x: [10, 12 1/2], y: [0, 1 3/4], z: [0, 17]}}",
            more=f"  post: {POST}\n  low: {{box: {{x: [-10 7/8, 10 7/8], y: [3/8, 1 3/8], z: [4, 6]}}, grain: x}}\n",
        )
    )  # fmt: skip
    (finding,) = told(text, "thin-bottom")
    shorter = next(mend for mend in finding.mends if "length" in mend.say)
    after = pressed(text, shorter)
    assert "length: 1 5/8, except: [{at: post, length: 1 3/8}]}" in after
    assert not told(after, "thin-bottom")
    longer = after.replace("length: 1 3/8", "length: 1 19/32")
    again = next(mend for mend in told(longer, "thin-bottom")[0].mends if "len" in mend.say)
    assert pressed(longer, again) == after


@pytest.mark.parametrize("path", example_files(), ids=lambda path: path.name)
def test_every_mend_of_the_examples_clears_its_finding(path) -> None:  # type: ignore[no-untyped-def]
    text = path.read_text(encoding="utf-8")
    found = told(text)
    for each in found:
        for mend in each.mends[:1]:
            after = told(pressed(text, mend))
            assert each.what not in [other.what for other in after], (each.code, mend.say)
            assert not [o for o in after if isinstance(o, Fault) and o.level is Level.ERROR], (each.code, mend.say)


NARROW = "{box: {x: [10, 11 3/4], y: [0, 15/16], z: [0, 17]}}"
IN_IT = "{box: {x: [-10, 10 7/8], y: [3/32, 27/32], z: [12, 15]}, grain: x}"
DRAWN = {
    "wider": Case(
        "thin-wall", "  - {tenon: rail, into: leg, thickness: 1/2}", ("draw leg wider at the ",), NARROW, IN_IT
    ),
    "thicker": Case(
        "short-tenon", "  - {tenon: rail, into: leg, thickness: 1/4}", ("leg thicker there by ",),
        "{box: {x: [10, 11], y: [0, 4], z: [0, 17]}}", RAIL.replace("10 7/8", "10 1/2"),
    ),
    "lower": Case("near-the-end", TENON % ", width: 2 7/8", ("rail further to the bottom by ",), TALL),
    "narrower": Case(
        "passes-beside", TENON % "", ("make rail narrower by 5/16 in on its back side",), LEG,
        RAIL.replace("1 3/8]", "2]"),
    ),
    "longer": Case(
        "stops-short", "  - {tenon: rail, into: [leg, post], thickness: 3/8}",
        ("draw rail longer at the left by 1/4 in",), LEG, RAIL.replace("[-10,", "[-9 3/4,"), f"  post: {POST}\n",
    ),
    "longer, a mirror image": Case(
        "stops-short", "  - {tenon: [rail, low], into: [leg, post], thickness: 3/8}",
        ("draw back low longer at the left by 1/4 in", "draw front low longer at the left by 1/4 in"), LEG,
        RAIL.replace("[-10,", "[-10 1/2,"),
        "  post: {count: front and back, box: {x: [-11 3/4, -10], y: [0, 1 3/4], z: [0, 17]}}\n"
        "  foot: {box: {x: [10, 11 3/4], y: [10 1/4, 12], z: [0, 17]}}\n"
        "  low: {count: front and back, box: {x: [-9 3/4, 10 7/8], y: [3/8, 1 3/8], z: [4, 6]}, grain: x}\n",
    ),
    "joined at last": Case(
        "not-joined", TENON % "", ("`rest: leg, on: slat`",), more=f"  slat: {SLAT}\n",
    ),
    "first in a meeting": Case(
        "short-tenon", "  - {tenon: [rail, end], into: leg, thickness: 3/8}\n"
        "  - {meeting in: leg, of: [rail, end], by: mitre}", ("`by: rail first`", "`by: end first`"),
        more="  end: {box: {x: [10 3/8, 11 3/8], y: [7/8, 9], z: [12, 15]}, grain: y}\n",
    ),
    "moved": Case(
        "passes-beside", TENON % "", ("move rail to the front by 5/16 in",), LEG,
        RAIL.replace("[3/8, 1 3/8]", "[1, 2]"),
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", DRAWN)
def test_a_mend_of_the_drawing_clears_what_it_belongs_to(name: str) -> None:
    case = DRAWN[name]
    text = text_of(case)
    found = told(text, case.code)
    assert found, [(each.code, each.what) for each in told(text)]
    mends = [mend for each in found for mend in each.mends if any(offer in mend.say for offer in case.offers)]
    assert mends, [(each.mend, [mend.say for mend in each.mends]) for each in found]
    for mend in mends:
        owner = next(each for each in found if mend in each.mends)
        after = pressed(text, mend)
        assert owner.what not in [each.what for each in told(after, case.code)], after
        assert not set(errors(after)) - set(errors(text)), after


def test_a_size_that_is_the_thickness_is_raised_and_a_mirror_image_is_drawn_on_its_own_side() -> None:
    text = """piece: Press
units: in
wood: white oak
use: [indoors]
hands: as seated
sizes: {thick: {is: 1, from: 1/2, to: 4}, reach: 10}
parts:
  leg: {count: pair, stick: [[10, 2, 17], [10, 2, 0]], section: {x: thick, y: 1 3/4}}
  rail: {box: {x: [right leg, left leg], y: [1 1/2, 2 1/2], z: [12, 15]}}
  low: {box: {x: [-reach + 1/2, reach - 1/2], y: [1 1/2, 2 1/2], z: [4, 6]}}
joints:
  - {tenon: [rail, low], into: leg, thickness: 1/4}
"""
    (finding,) = told(text, "short-tenon")
    mend = next(mend for mend in finding.mends if "thicker" in mend.say)
    after = pressed(text, mend)
    assert re.search(r"thick: \{is: 1 \d+/\d+, from: 1/2, to: 4\}", after)
    assert not told(after, "short-tenon")
