"""Faults of the maker's text that can be mended with one press: pressed, the fault is gone and no other is new."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest

from batchwright.base.fault import Fault
from batchwright.design.boards import read_boards
from batchwright.design.draft import draft_piece
from batchwright.design.editing.apply import apply_changes
from batchwright.design.editing.mends import with_mends
from batchwright.design.job import check_job_names, read_job
from batchwright.design.shop import read_shop
from batchwright.design.text.read import read_tree

PAGE = (Path(__file__).parents[3] / "docs" / "faults.md").read_text(encoding="utf-8")
PIECE, JOB, SHOP, BOARDS = "a.piece.yaml", "a.job.yaml", "shop.yaml", "boards.csv"
Read = Callable[[str], tuple[Fault, ...]]


def of_piece(text: str) -> tuple[Fault, ...]:
    tree, faults = read_tree(text, PIECE)
    return faults if tree is None else (*faults, *draft_piece(tree, PIECE)[1])


def of_job(text: str) -> tuple[Fault, ...]:
    job, faults = read_job(text, JOB)
    return faults if job is None else (*faults, *check_job_names(job, {"width"}, {"leg", "rail"}))


READERS: dict[str, Read] = {
    PIECE: of_piece,
    JOB: of_job,
    SHOP: lambda text: read_shop(text, SHOP)[1],
    BOARDS: lambda text: read_boards(text, BOARDS, "in")[1],
}

HEAD = "piece: Trial\nunits: in\nwood: white oak\nhands: as seated\nmiddle: 6\n"
SIZES = "sizes: {width: 20, depth: 12, rake: 4 deg}\nnumbers: {boards: 3}\n"
LEG = "  leg: {count: pair, stick: [[9, 2, 16], [10, 1, 0]], section: {x: 2, y: 2}}\n"
RAIL = "  rail: {box: {x: [right leg, left leg], y: [1, 2], z: [6, 9]}}\n"


def piece(parts: str = "", sizes: str = SIZES, places: str = "", joints: str = "{tenon: rail, into: leg}") -> str:
    return f"{HEAD}{sizes}{places}parts:\n{LEG}{RAIL}{parts}joints:\n  - {joints}\n"


def sized(expression: str) -> str:
    return piece(sizes=f"sizes:\n  width: 20\n  rake: 4 deg\n  tried: {expression}\nnumbers: {{boards: 3}}\n")


LINES = """places:
  back line: {view: side, line: [[16, 0], [18, 16]]}
  down: {view: side, line: [[18, 16], [16, 0]]}
  arch: {view: front, curve: [[-8, 4], [0, 8], [8, 4]]}
"""

CASES: list[tuple[str, str, str, list[str]]] = [
    # file, text, code, the mends that are offered
    (PIECE, piece(joints="{tenon: rail, into: lag}"), "unknown-name", ["write `leg`"]),
    (PIECE, piece(joints="{tenon: rail, intoo: leg}"), "unknown-word", ["write `into`"]),
    (PIECE, piece(joints="{tenon: rail, into: leg, colour: red}"), "unknown-word", ["take it out"]),
    (PIECE, piece(joints="{tenon: rail, into: leg, end: thrugh}"), "unknown-choice", ["write `through`"]),
    (PIECE, piece(joints="{tenon: rail, into: leg, thickness: -1}"), "not-above-zero", ["take `thickness` out"]),
    (PIECE, piece(joints="{meeting in: leg, of: [rail, leg], by: both}"), "meeting-by",
     ["`by: mitre`", "`by: rail first`", "`by: leg first`"]),
    (PIECE, sized("wdth/2"), "unknown-name", ["write `width`"]),
    (PIECE, sized("width − 2"), "unknown-character", ["write a plain minus, `-`"]),
    (PIECE, sized("17½"), "unknown-character", ["write `1/2`"]),
    (PIECE, sized("4°"), "unknown-character", ["write `deg`, for example `4 deg`"]),
    (PIECE, sized("4,5"), "comma", ["write `.`"]),
    (PIECE, sized("min(width, 3)").replace("min(", "'min(").replace(", 3)", ", 3)'"), "comma", ["write `;`"]),
    (PIECE, sized("(width - 2"), "bracket-not-closed", ["add `)` at its end"]),
    (PIECE, sized("width - 2)"), "bracket-not-opened", ["take `)` out"]),
    (PIECE, sized("17-1/4"), "fraction-with-dash", ["write `17 1/4`"]),
    (PIECE, sized("width/2 1/4"), "fraction-needs-brackets", ["write `/(2 1/4)`"]),
    (PIECE, sized("1 7/4"), "fraction-not-proper", ["write `7/4`"]),
    (PIECE, sized("2' 6"), "inch-mark-missing", ["write `2' 6\"`"]),
    (PIECE, sized("width*2 in").replace("width*2 in", "(width) in"), "unit-without-number", ["take `in` out"]),
    (PIECE, sized("2*boards"), "wrong-kind", ["put `tried` under `numbers`"]),
    (PIECE, piece(sizes="sizes:\n  width: {is: 25, from: 12, to: 20}\n"), "outside-limits",
     ["make `width` 20 in", "`to: 25 in`"]),
    (PIECE, piece(sizes="sizes:\n  width: {is: 10, from: 12, to: 20}\n"), "outside-limits",
     ["make `width` 12 in", "`from: 10 in`"]),
    (PIECE, piece(sizes="sizes:\n  width: {is: 15, from: 20, to: 12}\n"), "limits-crossed",
     ["change `from` and `to` round"]),
    (PIECE, piece(sizes="sizes:\n  width: 20\n  width: 21\n"), "word-given-twice", ["take the second out"]),
    (PIECE, piece(sizes="sizes: {width: 20, width: 21, depth: 2}\n"), "word-given-twice", ["take the second out"]),
    (PIECE, piece() + "joints:\n  - {rest: leg, on: rail}\n  # a remark\n\n", "word-given-twice",
     ["take the second out"]),
    (PIECE, piece(sizes="sizes: {arch: 20}\n", places="places: {arch: [0, 0, 1]}\n"), "name-taken",
     ["call it `arch line`"]),
    (PIECE, piece(sizes="sizes: {set in: 20}\n"), "reserved-word", ["call it `set`"]),
    (PIECE, piece(sizes="sizes: {leg-thick: 20}\n"), "bad-name", ["call it `leg thick`"]),
    (PIECE, piece().replace("units: in", "unitz: in"), "word-missing", ["`units: in`", "`units: mm`"]),
    (PIECE, piece().replace("hands: as seated", "hands: as seatd"), "unknown-choice", ["write `as seated`"]),
    (PIECE, piece().replace("white oak", "whit oak"), "unknown-wood", ["write `white oak`", "write `white ash`"]),
    (PIECE, piece().replace("units: in", "units:\tin"), "tab", ["write spaces instead of tabs"]),
    (PIECE, piece().replace("units: in", "units: in\x07"), "control-character", ["delete it"]),
    (PIECE, piece().replace("units: in", "units: &u in"), "anchor", ["take it out"]),
    (PIECE, piece().replace("units: in", "units: !!str in"), "tag", ["take it out"]),
    (PIECE, "%YAML 1.2\n---\n" + piece(), "directive", ["take the line out"]),
    (PIECE, piece("  top: {box: {x: [8, 0], y: [0, 12], z: [16, 17]}}\n"), "range-runs-back", ["the other way round"]),
    (PIECE, piece("  top: {count: pairs, box: {x: [8, 9], y: [0, 12], z: [16, 17]}}\n"), "unknown-count",
     ["write `pair`"]),
    (PIECE, piece("  top: {count: pair, box: {x: [-8, 8], y: [0, 12], z: [16, 17]}}\n"), "centred-on-its-mirror",
     ["take `count` out"]),
    (PIECE, piece("  top: {stick: [[0, 0, 4], [9, 0, 4]], section: [1, 1], ends: level}\n"), "end-along-the-stick",
     ["`ends: square`"]),
    (PIECE, piece("  top: {drawn in: down, outline: [[0, 0], [1, 0], [1, 1]], thickness: 1}\n", places=LINES),
     "true-view-drawn-backwards", ["the other way round"]),
    (PIECE, piece("  top: {drawn in: back lin, outline: [[0, 0], [1, 0], [1, 1]], thickness: 1}\n", places=LINES),
     "unknown-view", ["write `back line`"]),
    (PIECE, piece(places="places:\n  head: {at: [1, 2]}\n"), "view-not-said",
     ["`view: front`", "`view: side`", "`view: plan`"]),
    (PIECE, piece("  top: {box: {x: [0, 8], y: [0, 1], z: [leg.hight, 19]}}\n"), "unknown-word-behind-point",
     ["write `.x`"]),
    (PIECE, piece("  slat: {box: {x: [-1, 1], y: [0, 1], z: [0, 9]}, repeat: {count: 3, along: x, between: [-9, 9]}}\n"
                  "  top: {box: {x: [-9, 9], y: [0, 1], z: [slat, 12]}}\n"), "which-copy", ["write `slat 1`"]),
    (PIECE, piece("  slat: {box: {x: [-1, 1], y: [0, 1], z: [0, 9]}, repeat: {count: 3, along: x, between: [-9, 9]}}\n"
                  "  top: {box: {x: [-9, 9], y: [0, 1], z: [slat 4, 12]}}\n"), "no-such-copy", ["write `slat 3`"]),
    (PIECE, piece("  arm: {count: pair, box: {x: [6, 7], y: [0, 9], z: [0, 1]}}\n"
                  "  left arm: {box: {x: [6, 7], y: [0, 9], z: [2, 3]}}\n"), "name-of-a-copy",
     ["draw `arm` without `count`"]),
    (PIECE, piece("  top: {drawn in: side, outline: [[0, 0], [9, 0], [9, 4]], thickness: 1, across: [0, 1]}\n"),
     "thickness-not-said", ["take `across` out", "take `thickness` out"]),
    (PIECE, piece("  slat: {box: {x: [-1, 1], y: [0, 1], z: [0, 9]}, repeat: {count: 3, between: [-9, 9]}}\n"),
     "repeat-form", ["`along: x`"]),
    (PIECE, piece("  slat: {box: {x: [-1, 1], y: [0, 1], z: [0, place + 9]}, repeat: {count: 3, along: x, "
                  "between: [2, 9]}}\n"), "place-alone", ["write `place.x`"]),
    (JOB, "job: A\npiece: a.piece.yaml\nsizes: {widht: 4}\n", "unknown-name", ["write `width`"]),
    (JOB, "job: A\npiece: a.piece.yaml\nspares: {rial: 1}\n", "unknown-name", ["write `rail`"]),
    (JOB, "job: A\npiece: a.piece.yaml\ncopys: 4\n", "unknown-word", ["write `copies`"]),
    (JOB, "job: A\npiece: a.piece.yaml\ncopies: 0\n", "count-out-of-range", ["write `1`"]),
    (JOB, "job: A\npiece: a.piece.yaml\nwood moisture now: 80 %\n", "share-out-of-range", ["write `30 %`"]),
    (JOB, "job: A\npiece: a.piece.yaml\nwhere: Portland\n", "unknown-place", ["write `Portland ME`"]),
    (JOB, "job: A\npiece: a.piece.yaml\nglue: PVA\n", "unknown-glue", ["write `PVA emulsion, interior"]),
    (JOB, "job: A\npiece: a.piece.yaml\nwhere: Portland ME\nindoors: [30 %, 40 %]\n", "climate-said-twice",
     ["keep the first"]),
    (JOB, "job: A\npiece: a.piece.yaml\ndefects: d.csv\n", "defects-without-boards", ["take `defects` out"]),
    (SHOP, "units: in\nmachines: {plainer: {most width: 12}}\n", "unknown-word", ["write `planer`"]),
    (BOARDS, "name,species,length [ell],width,thickness\nA,white oak,90,6,1\n", "unknown-unit", ["write `in`"]),
    (BOARDS, "name,specis,length,width,thickness\nA,white oak,90,6,1\n", "unknown-column", ["write `species`"]),
]  # fmt: skip


@pytest.mark.parametrize(("file", "text", "code", "offers"), CASES, ids=[f"{n}-{c[2]}" for n, c in enumerate(CASES)])
def test_every_mend_offered_clears_its_fault(file: str, text: str, code: str, offers: list[str]) -> None:
    read = READERS[file]
    before = with_mends(read(text), {file: text})
    fault = next(fault for fault in before if fault.code == code)
    said = [mend.say for mend in fault.mends]
    assert [offer for offer in offers if not any(each.startswith(offer) for each in said)] == [], (said, fault.mend)
    for mend in fault.mends:
        out, refused = apply_changes({file: text}, file, mend.changes)
        assert out is not None, (mend.say, refused)
        after = read(out[file])
        if code in ("unknown-word-behind-point", "unknown-unit"):
            after = tuple(each for each in after if each.code == code)  # any of several may be meant
        assert fault.what not in [each.what for each in after if each.code == code], (mend.say, out[file])
        new = [each for each in after if each.code not in {old.code for old in before}]
        assert not new, (mend.say, out[file], [str(each) for each in new])


@pytest.mark.parametrize("newline", ["\n", "\r\n"])
def test_a_mend_keeps_every_other_byte(newline: str) -> None:
    text = piece(joints="{tenon: rail, into: lag}   # größer").replace("\n", newline)
    (fault,) = [each for each in with_mends(of_piece(text), {PIECE: text}) if each.code == "unknown-name"]
    out, _ = apply_changes({PIECE: text}, PIECE, fault.mends[0].changes)
    assert out == {PIECE: text.replace("lag}", "leg}")}


def test_examples_of_how_a_thing_is_written_are_not_pressed_into_the_file() -> None:
    for text in ("due: soon", "wood moisture now: dry", "indoors: 35 %", "print in: in\nnote: x\nmoisture: often"):
        job = f"job: A\npiece: a.piece.yaml\n{text}\n"
        for fault in with_mends(of_job(job), {JOB: job}):
            assert not fault.mends, (text, fault.mends)


def test_what_cannot_be_done_by_pressing_has_no_mend() -> None:
    for text in (sized("width/0"), sized("width*width"), piece().replace("sizes: {width", "sizes: {{width")):
        for fault in with_mends(of_piece(text), {PIECE: text}):
            assert not fault.mends, (fault.code, fault.mends)


def test_most_faults_of_a_text_that_name_what_to_write_can_be_pressed() -> None:
    """The codes tried here are codes of docs/faults.md."""
    known = set(re.findall(r"^\| `([a-z0-9-]+)` \|", PAGE, flags=re.MULTILINE))
    tried = {code for _, _, code, _ in CASES}
    assert tried <= known and len(tried) > 40
