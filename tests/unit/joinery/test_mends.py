"""Every mend a finding offers is made in the piece file, and the finding is gone: changed text against told words."""

from __future__ import annotations

from dataclasses import dataclass

import pytest

from batchwright.base.finding import Finding
from piece_files import jointed

LEG = "box: {x: [10, 11 3/4], y: [0, 1 3/4], z: [0, 17]}"
RAIL = "box: {x: [-10, 10 7/8], y: [3/8, 1 3/8], z: [12, 15]}"
ASK = "thickness: 3/8"


@dataclass(frozen=True)
class Mend:
    """A piece, the finding it has, what the mend must say, and the mend as a change of the text."""

    code: str
    leg: str
    rail: str
    ask: str
    says: str
    change: tuple[str, str]
    more: str = ""
    joint: str = "tenon: rail, into: leg"


def text_of(case: Mend) -> str:
    return f"""piece: Mends
units: in
wood: white oak
use: [indoors]
hands: from the front
middle: 6
parts:
  leg:
    {case.leg}
  rail:
    {case.rail}
    grain: x
joints:
  - {{{case.joint}, {case.ask}}}
"""


def findings(text: str, code: str) -> list[Finding]:
    made = jointed(text.encode(), "mends.piece.yaml")
    assert made.piece is not None and not made.faults, [str(fault) for fault in made.faults]
    return [each for each in made.piece.findings if each.code == code]


NARROW = "box: {x: [10, 11 3/4], y: [0, 15/16], z: [0, 17]}"
IN_IT = "box: {x: [-10, 10 7/8], y: [3/32, 27/32], z: [12, 15]}"
TALL = "box: {x: [10, 11 3/4], y: [0, 1 3/4], z: [0, 15 1/4]}"
SMALL = "box: {x: [10, 11], y: [0, 4], z: [0, 17]}"
CASES = {
    "short tenon: length": Mend(
        "short-tenon", LEG, RAIL, f"{ASK}, length: 3/4", "`length: 1 1/8`", ("length: 3/4", "length: 1 1/8")
    ),
    "short tenon: through": Mend(
        "short-tenon", SMALL, RAIL.replace("10 7/8", "10 1/2"), "thickness: 1/4", "`end: through`",
        ("thickness: 1/4", "thickness: 1/4, end: through"),
    ),
    "short tenon: thicker": Mend(
        "short-tenon", SMALL, RAIL.replace("10 7/8", "10 1/2"), "thickness: 1/4", "leg thicker there by 5/16 in",
        ("x: [10, 11]", "x: [10, 11 5/16]"),
    ),
    "short tenon: thinner": Mend(
        "short-tenon", LEG, RAIL, "thickness: 3/8, length: 1 1/16", "`thickness: 5/16`",
        ("thickness: 3/8", "thickness: 5/16"),
    ),
    "side wall: thinner": Mend(
        "thin-wall", NARROW, IN_IT, "thickness: 1/2", "`thickness: 5/16`", ("thickness: 1/2", "thickness: 5/16")
    ),
    "side wall: moved": Mend(
        "thin-wall", LEG, RAIL.replace("[3/8, 1 3/8]", "[1/16, 1 1/16]"), f"{ASK}, shoulders: {{front: 1/8}}",
        "`shoulders: {front: 1/4}`", ("front: 1/8", "front: 1/4"),
    ),
    "side wall: wider": Mend(
        "thin-wall", NARROW, IN_IT, "thickness: 1/2", "leg wider at the back by 1/8 in",
        ("y: [0, 15/16]", "y: [-1/8, 1 1/16]"),
    ),
    "bottom: shorter": Mend(
        "thin-bottom", LEG, RAIL, f"{ASK}, length: 1 5/8", "`length: 1 3/8`", ("length: 1 5/8", "length: 1 3/8")
    ),
    "bottom: through": Mend(
        "thin-bottom", LEG, RAIL, f"{ASK}, length: 1 5/8", "`end: through`", ("length: 1 5/8", "end: through")
    ),
    "end: wider shoulder": Mend(
        "near-the-end", TALL, RAIL, f"{ASK}, shoulders: {{top: 1/16}}", "`shoulders: {top: 5/16}`",
        ("top: 1/16", "top: 5/16"),
    ),
    "end: narrower": Mend(
        "near-the-end", TALL, RAIL, f"{ASK}, width: 2 7/8", "`width: 2 1/2`", ("width: 2 7/8", "width: 2 1/2")
    ),
    "end: part lower": Mend(
        "near-the-end", TALL, RAIL, f"{ASK}, width: 2 7/8", "rail further to the bottom by",
        ("z: [12, 15]", "z: [11 3/4, 14 3/4]")
    ),
    "beside: narrower": Mend(
        "passes-beside", LEG, RAIL.replace("1 3/8]", "2]"), ASK, "narrower by 5/16 in on its back side",
        ("y: [3/8, 2]", "y: [3/8, 1 11/16]")
    ),
    "beside: moved": Mend(
        "passes-beside", LEG, RAIL.replace("[3/8, 1 3/8]", "[1, 2]"), ASK, "move rail to the front by 5/16 in",
        ("y: [1, 2]", "y: [11/16, 1 11/16]")
    ),
    "wide tenon": Mend(
        "wide-tenon", LEG, RAIL.replace("[12, 15]", "[10 1/2, 15]"), ASK, "`in line: 2`", (ASK, f"{ASK}, in line: 2")
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", CASES)
def test_bug_a_mend_clears_its_finding(name: str) -> None:
    case = CASES[name]
    text = text_of(case)
    told = findings(text, case.code)
    assert told, "the case has no such finding"
    print(told[0])
    assert case.says and case.says in told[0].mend, told[0].mend
    assert case.change[0] in text
    assert not findings(text.replace(*case.change), case.code)
