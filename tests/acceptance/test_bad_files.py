"""What a maker reads when a file is wrong: `batchwright check`, file by file, each fault to the line and the column.

The place of each fault is marked in the text itself: `¦` stands just before the character the fault is told at.
"""

# ruff: noqa: E501 - tables of cases read best one under another

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import pytest

from typed import typed

HEAD = "piece: Trial\nunits: in\nwood: white oak\nuse: [indoors]\nhands: from the front\n"
POST = "  post: {count: pair, box: {x: [8, 10], y: [0, 2], z: [0, 24]}}\n"
RAIL = "  rail: {box: {x: [left post, right post], y: [1/2, 1 1/2], z: [10, 14]}}\n"
PARTS = f"parts:\n{POST}{RAIL}"
TENON = "joints:\n  - {tenon: rail, into: post, expect: 2}\n"
JOB = "job: Trial\npiece: frame.piece.yaml\n"
BOARDS = "name,species,length,width,thickness\n"
MARK = "¦"


@dataclass(frozen=True, slots=True)
class Wrong:
    """A wrong file: the code of its fault, and what its text must name."""

    code: str
    text: str
    names: tuple[str, ...] = ()
    file: str = "frame.piece.yaml"


def piece(code: str, text: str, *names: str) -> Wrong:
    return Wrong(code, text, names)


def job(code: str, line: str, *names: str) -> Wrong:
    return Wrong(code, f"{JOB}{line}\n", names, "frame.job.yaml")


def table(code: str, text: str, *names: str) -> Wrong:
    return Wrong(code, text, names, "boards.csv")


def sizes(code: str, line: str, *names: str) -> Wrong:
    return piece(code, f"{HEAD}sizes:\n{line}\n{PARTS}{TENON}", *names)


def parts(code: str, line: str, *names: str) -> Wrong:
    return piece(code, f"{HEAD}parts:\n{POST}{RAIL}{line}\n{TENON}", *names)


def joints(code: str, line: str, *names: str) -> Wrong:
    return piece(code, f"{HEAD}{PARTS}joints:\n  - {line}\n", *names)


CASES = [
    # the form of the file
    piece("broken-form", f"{HEAD}{PARTS.replace('}}', '}', 1).replace('  rail', '  ¦rail')}"),
    piece("tab", f"{HEAD}sizes:\n¦\ta: 3\n{PARTS}"),
    piece("word-given-twice", f"{HEAD}¦units: mm\n{PARTS}{TENON}", "units"),
    piece("anchor", f"{HEAD}sizes:\n  a: ¦&x 3\n{PARTS}{TENON}"),
    piece("unknown-word", f"{HEAD}¦colour: red\n{PARTS}{TENON}", "colour"),
    piece("word-missing", f"¦{HEAD.replace('units: in', 'note: x')}{PARTS}{TENON}", "units"),
    # the head
    piece("unknown-wood", f"{HEAD.replace('white oak', '¦whit oak')}{PARTS}{TENON}", "whit oak", "white oak"),
    piece("unknown-use", f"{HEAD.replace('[indoors]', '[¦indors]')}{PARTS}{TENON}", "indors"),
    piece("unknown-choice", f"{HEAD.replace('units: in', 'units: ¦yards')}{PARTS}{TENON}", "yards"),
    # sizes and expressions
    sizes("unknown-name", "  a: 2*¦wdth", "wdth"),
    sizes("loop", "  ¦a: b + 1\n  b: a - 1", "a", "b"),
    sizes("outside-limits", "  a: {is: ¦30, to: 20}", "30", "20"),
    sizes("outside-limits", "  a: {is: ¦3, from: 4}", "3", "4"),
    sizes("division-by-zero", "  a: ¦3/0"),
    sizes("bracket-not-closed", "  a: ¦(3 + 4"),
    sizes("fraction-not-proper", "  a: 1 ¦7/4"),
    sizes("kinds-do-not-add", "  a: 3 deg + ¦2 in"),
    sizes("fraction-with-dash", "  a: ¦17-1/4", "17 1/4"),
    # parts
    parts("range-runs-back", "  shelf: {box: {x: ¦[4, 1], y: [0, 1], z: [0, 1]}}", "shelf"),
    parts("part-not-drawn", "  ¦shelf: {note: oak}", "shelf"),
    parts("too-many-copies", "  slat: {box: {x: [0, 1], y: [5, 6], z: [0, 1]}, repeat: {count: ¦201, along: x, between: [0, 999]}}", "201", "200"),
    parts("repeat-does-not-fit", "  slat: {box: {x: [0, 4], y: [5, 6], z: [0, 1]}, repeat: {count: ¦9, along: x, between: [0, 8]}}", "slat"),
    parts("section-not-said", "  brace: {¦stick: [[0, 5, 0], [0, 5, 9]]}", "brace"),
    parts("no-thickness", "  brace: {box: {x: ¦[3, 3], y: [5, 6], z: [0, 1]}}", "brace"),
    # joints as they are written
    joints("joint-kind", "¦{note: rail}"),
    joints("unknown-name", "{tenon: ¦rayl, into: post}", "rayl", "rail"),
    joints("joined-to-itself", "{tenon: rail, into: ¦rail}", "rail"),
    joints("expect-not-met", "{tenon: rail, into: post, expect: ¦4}", "4", "2"),
    # joints as they are found
    piece("meets-nothing", f"{HEAD}{PARTS.replace('[left post, right post]', '[-4, 4]')}joints:\n  - ¦{{tenon: rail, into: post}}\n", "rail"),
    piece("parts-overlap", f"{HEAD}{PARTS.replace('  rail', '  ¦rail')}", "rail", "post"),
    joints("tenon-thicker-than-part", "{tenon: rail, into: post, thickness: ¦1 1/2}"),
    joints("no-room-for-tenon", "{tenon: rail, into: post, width: ¦9}"),
    # the job
    job("count-out-of-range", "copies: ¦0", "0"),
    job("unknown-name", "sizes: {widht: ¦20}", "widht"),
    job("unknown-name", "spares: {¦leg: 1}", "leg"),
    job("not-a-day", "due: ¦2027-02-30", "2027-02-30"),
    job("unknown-place", "where: ¦Portland", "Portland"),
    job("climate-said-twice", "where: Portland ME\n¦indoors: [35 %, 60 %]"),
    job("per-cent-missing", "wood moisture now: ¦8", "8 %"),
    job("unknown-choice", "paper: ¦A5", "A5"),
    job("unknown-species", "wood: ¦whit oak", "White oak"),
    job("file-missing", "boards: ¦bords.csv", "bords.csv", "boards.csv"),
    job("file-outside", "boards: ¦../boards.csv", "../boards.csv"),
    # boards
    table("column-missing", "¦name,species,length,width\nA,teak,90,6\n", "thickness"),
    table("board-given-twice", f"{BOARDS}A,teak,90,6,1\n¦A,teak,96,7,1\n", "A"),
    table("unknown-species", f"{BOARDS}A,¦teek,90,6,1\n", "teek", "Teak"),
    table("cell-empty", f"{BOARDS}A,teak,¦,6,1\n", "length"),
    table("board-thicker-than-wide", f"{BOARDS}A,teak,90,1,¦8\n", "A"),
    table("too-many-cells", f"{BOARDS}A,teak,90,6,1,¦2\n"),
]  # fmt: skip


def lay_out(folder: Path, wrong: Wrong) -> tuple[Path, tuple[int, int]]:
    """A sound project with the one wrong file in it; the job to check and the line and column of the mark."""
    files = {"frame.piece.yaml": f"{HEAD}{PARTS}{TENON}", "frame.job.yaml": f"{JOB}boards: boards.csv\n"}
    files["boards.csv"] = f"{BOARDS}W1,white oak,96,8,2 1/4\n"
    before = wrong.text[: wrong.text.index(MARK)]
    files[wrong.file] = wrong.text.replace(MARK, "")
    for name, text in files.items():
        (folder / name).write_text(text, encoding="utf-8")
    return folder / "frame.job.yaml", (before.count("\n") + 1, len(before) - before.rfind("\n"))


@pytest.mark.parametrize("wrong", CASES, ids=lambda wrong: f"{wrong.file.split('.')[-2]}-{wrong.code}")
def test_a_wrong_file_is_told_with_place_and_mend(wrong: Wrong, tmp_path: Path) -> None:
    path, (line, column) = lay_out(tmp_path, wrong)
    said = typed("check", path)
    assert said.code == 2, said.out
    assert said.out == ""
    place = f"{wrong.file}:{line}:{column}: error[{wrong.code}] "
    assert place in said.err
    told = said.err[said.err.index(place) :].split("\n", 1)[0] + said.err[said.err.index(place) :].partition("\n")[2]
    assert "\n    mend: " in said.err or "    mend: " in told
    for name in wrong.names:
        assert name in said.err


def test_at_least_thirty_different_faults_are_tried() -> None:
    assert len({wrong.code for wrong in CASES}) >= 30


def test_faults_of_all_files_are_told_together_in_the_order_of_their_lines(tmp_path: Path) -> None:
    path, _ = lay_out(tmp_path, Wrong("", MARK, (), "note.txt"))
    path.write_text(f"{JOB}copies: 0\nboards: boards.csv\npaper: A5\n", encoding="utf-8")
    (tmp_path / "boards.csv").write_text(f"{BOARDS}A,teek,90,6,1\nB,teak,,6,1\n", encoding="utf-8")
    (tmp_path / "frame.piece.yaml").write_text(
        f"{HEAD.replace('white oak', 'whit oak')}sizes:\n  a: 1/0\n{PARTS}joints:\n  - {{tenon: rayl, into: post}}\n"
        "  - {tenon: rail, into: post, thickness: 9}\n",
        encoding="utf-8",
    )
    said = typed("check", path, "--json")
    assert said.code == 2
    told = [(fault["file"], fault["line"]) for fault in said.json["faults"]]
    assert told == sorted(told)
    assert {
        ("boards.csv", "unknown-species"),
        ("boards.csv", "cell-empty"),
        ("frame.job.yaml", "count-out-of-range"),
        ("frame.job.yaml", "unknown-choice"),
        ("frame.piece.yaml", "unknown-wood"),
        ("frame.piece.yaml", "division-by-zero"),
        ("frame.piece.yaml", "unknown-name"),
    } <= {(fault["file"], fault["code"]) for fault in said.json["faults"]}


def test_every_fault_says_what_and_how_to_mend_in_the_words_of_the_trade(tmp_path: Path) -> None:
    """No name of a class, an id or a value of the program's own."""
    for number, wrong in enumerate(CASES):
        folder = tmp_path / str(number)
        folder.mkdir()
        path, _ = lay_out(folder, wrong)
        for fault in typed("check", path, "--json").json["faults"]:
            said = " ".join((fault["what"], fault["why"], fault["mend"]))
            assert fault["what"] and fault["mend"]
            for word in (
                "None",
                "NoneType",
                "object",
                "Exception",
                "Error",
                "dataclass",
                "MISSING",
                "<",
                "Kind.",
                "nan",
                "inf ",
            ):
                assert word not in said, said
