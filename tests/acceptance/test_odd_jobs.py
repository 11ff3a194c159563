"""Jobs a little out of the common: metric, A4, no boards, other line ends, letters of other languages, wrong files."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest
from pypdf import PdfReader

from typed import as_process, bytes_in, typed

A4_POINTS = (595.28, 841.89)
"""210 x 297 mm (ISO 216) at 72 points to the inch."""


def write(project: Path, name: str, text: str) -> Path:
    path = project / name
    path.write_text(text, encoding="utf-8", newline="")
    return path


def job_with(project: Path, more: str) -> Path:
    return write(project, "frame.job.yaml", f"job: Trial\npiece: frame.piece.yaml\ncopies: 2\n{more}")


def test_a_job_without_boards_has_no_board_plan_and_a_buying_list(project: Path) -> None:
    job = job_with(project, "")
    assert typed("plan", job, "--out", project / "out").code == 0
    written = bytes_in(project / "out")
    assert not [name for name in written if name.startswith("boards/")]
    assert json.loads(written["plan.json"])["lumber"] is None
    assert len(written["buying-list.csv"].splitlines()) >= 2


def test_boards_without_defects_are_planned(project: Path) -> None:
    job = job_with(project, "boards: boards.csv\n")
    said = typed("plan", job, "--out", project / "out", "--json")
    assert said.code in (0, 1)
    assert said.json["result"]["boards_used"] >= 1
    assert (project / "out" / "boards" / "A1.svg").exists()


def test_what_boards_do_not_cover_is_said(project: Path) -> None:
    write(project, "boards.csv", "name,species,length,width,thickness\nA1,white oak,3',4,1 1/4\n")
    said = typed("plan", job_with(project, "boards: boards.csv\n"), "--out", project / "out")
    assert said.code in (0, 1)
    assert "not covered" in said.out
    plan = json.loads((project / "out" / "plan.json").read_text("utf-8"))
    assert sum(short["count"] for short in plan["lumber"]["short"]) > 0
    assert all(short["why"] for short in plan["lumber"]["short"])


def test_bug_a_piece_larger_than_any_page_is_a_fault(project: Path) -> None:
    """Laying its rod on a page ended with exit code 3."""
    text = (project / "frame.piece.yaml").read_text("utf-8")
    write(project, "frame.piece.yaml", text.replace("{is: 20, from: 12, to: 30}", "200"))
    for command in (("check", project / "frame.piece.yaml"), ("plan", project / "frame.job.yaml")):
        said = typed(*command, "--json")
        assert (said.code, said.codes) == (2, {"piece-too-large"})
    assert "200 in wide" in said.json["faults"][0]["what"]


@pytest.mark.parametrize("paper", ["letter", "A4"])
def test_bug_words_at_the_ends_of_a_board_find_room_on_the_sheet(project: Path, paper: str) -> None:
    """A label that stood out past the board's end made its sketch wider than the paper."""
    rows = "".join(f"B{n},white oak,{length},6,2 1/4\n" for n, length in enumerate((26, 30, 40, 60, 96, 144, 190)))
    write(project, "boards.csv", f"name,species,length,width,thickness\n{rows}")
    defects = "".join(
        f"B{n},{at},{at + 1},0,6,both,split with a very long name indeed\n" for n in range(7) for at in (0, 25)
    )
    write(project, "defects.csv", f"board,from,to,low,high,face,kind\n{defects}")
    job = job_with(project, f"boards: boards.csv\ndefects: defects.csv\npaper: {paper}\n")
    assert typed("plan", job, "--out", project / "out").code in (0, 1)


def test_inches_in_the_boards_of_a_metric_job_are_asked_about(project: Path) -> None:
    said = typed("check", job_with(project, "boards: boards.csv\nprint in: mm\n"), "--json")
    warnings = {(one["code"], one["file"], one["line"], one["column"]) for one in said.json["warnings"]}
    assert ("board-thin", "boards.csv", 2, 19) in warnings


def test_bug_boards_may_cost_nothing(project: Path) -> None:
    """Boards of the maker's own at a price of 0 were divided by it."""
    rows = "A1,white oak,8',8,2 1/4,0,bf\nA2,white oak,8',6,1 1/4,0,bf\nA3,white oak,8',6,1 1/4,5,bf\n"
    write(project, "boards.csv", f"name,species,length,width,thickness,price,price per\n{rows}")
    said = typed("plan", job_with(project, "boards: boards.csv\n"), "--out", project / "out", "--json")
    assert said.code in (0, 1)
    assert said.json["result"]["cost"] == 0


def test_a_metric_job_prints_on_a4(project: Path) -> None:
    job = job_with(project, "boards: boards.csv\nprint in: mm\npaper: A4\n")
    write(project, "boards.csv", "name,species,length [m],width,thickness\nA1,white oak,2.4,200,57\n")
    assert typed("plan", job, "--out", project / "out").code in (0, 1)
    pages = PdfReader(project / "out" / "packet.pdf").pages
    for page in pages:
        size = sorted((float(page.mediabox.width), float(page.mediabox.height)))
        assert size == pytest.approx(sorted(A4_POINTS), abs=0.5)
    text = "".join(page.extract_text() for page in pages)
    assert "millimetres" in text and "sixteenth" not in text
    table = (project / "out" / "cutting-list.csv").read_text("utf-8-sig")
    assert "101.5" in table or "102" in table or "101.6" in table, "a rail of 4 in is 101.6 mm wide"


def test_metric_and_inch_files_give_the_same_piece(project: Path) -> None:
    inches = (project / "frame.piece.yaml").read_text("utf-8")
    write(project, "metric.piece.yaml", inches.replace("units: in", "units: mm").replace(
        "{is: 20, from: 12, to: 30}", "{is: 508, from: 304.8, to: 762}").replace(
        "width/2 - 2, width/2], y: [0, 2], z: [0, 24]", "width/2 - 50.8, width/2], y: [0, 50.8], z: [0, 609.6]"
    ).replace("y: [1/2, 1 1/2], z: [10, 14]", "y: [12.7, 38.1], z: [254, 355.6]"))  # fmt: skip
    write(project, "metric.job.yaml", "job: Trial\npiece: metric.piece.yaml\ncopies: 2\nprint in: in\n")
    found = []
    for name in ("frame", "metric"):
        assert typed("plan", project / f"{name}.job.yaml", "--out", project / name).code == 0
        plan = json.loads((project / name / "plan.json").read_text("utf-8"))
        found.append(
            [{key: part[key] for key in ("id", "length", "width", "shoulder_length")} for part in plan["parts"]]
        )
    assert found[0] == found[1]


def test_other_line_ends_and_a_byte_order_mark_change_nothing(project: Path) -> None:
    job = job_with(project, "boards: boards.csv\n")
    assert typed("plan", job, "--out", project / "first").code in (0, 1)
    for name in ("frame.job.yaml", "frame.piece.yaml", "boards.csv"):
        text = (project / name).read_text("utf-8")
        (project / name).write_bytes(b"\xef\xbb\xbf" + text.replace("\n", "\r\n").encode())
    said = typed("plan", job, "--out", project / "second")
    assert said.code in (0, 1), said.err
    first, second = (json.loads((project / one / "plan.json").read_text("utf-8")) for one in ("first", "second"))
    first.pop("design_hash"), second.pop("design_hash")
    assert first == second


def test_names_of_other_languages_reach_the_packet(project: Path) -> None:
    text = (project / "frame.piece.yaml").read_text("utf-8")
    text = text.replace("rail", "переклада").replace("post", "стойка").replace("Trial frame", "Étagère «Øst» 架")
    write(project, "étagère.piece.yaml", text)
    write(
        project,
        "boards.csv",
        "name,species,length,width,thickness\nЕль 1/2,white oak,8',8,2 1/4\n木,white oak,8',6,1 1/4\n",
    )
    job = write(project, "größe 木.job.yaml", "job: Größe\npiece: étagère.piece.yaml\nboards: boards.csv\n")
    said = as_process("plan", job.name, "--out", "vorn é", "--json", folder=project)
    assert said.code in (0, 1), said.out + said.err
    plan = json.loads((project / "vorn é" / "plan.json").read_text("utf-8"))
    assert plan["piece"]["name"] == "Étagère «Øst» 架"
    assert "переклада" in {part["name"] for part in plan["parts"]}
    boards = {path.name for path in (project / "vorn é" / "boards").iterdir()}
    assert boards <= {"Ель-1-2.svg", "木.svg"} and boards


def test_bug_boards_whose_names_differ_in_signs_alone_keep_their_own_sketch(project: Path) -> None:
    alike = "".join(f"{name},white oak,3',3,2 1/4\n" for name in ("A 1", "A/1", "A-1", "a 1"))
    write(project, "boards.csv", f"name,species,length,width,thickness\n{alike}B,white oak,8',6,1 1/4\n")
    assert typed("plan", job_with(project, "boards: boards.csv\n"), "--out", project / "out").code in (0, 1)
    plan = json.loads((project / "out" / "plan.json").read_text("utf-8"))
    sketches = [path.name.casefold() for path in (project / "out" / "boards").iterdir()]
    assert len(set(sketches)) == len(plan["lumber"]["boards"]) >= 4


def test_the_job_may_lie_in_another_folder_than_the_one_worked_in(project: Path, tmp_path: Path) -> None:
    said = as_process("check", os.path.relpath(project / "frame.job.yaml", tmp_path), "--json", folder=tmp_path)
    assert said.code == 0


@pytest.mark.parametrize(
    ("content", "code"),
    [
        (b"", "empty-file"),
        (b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR", "not-utf-8"),
        ("piece: Größe\n".encode("latin-1"), "not-utf-8"),
        (b"a: b\x00c\n", "control-character"),
        (b"x: 1\n" * 900_000, "file-too-large"),
        (b"- " * 100_000, "too-deep"),
    ],
    ids=["empty", "picture", "old encoding", "null", "huge", "deep"],
)
@pytest.mark.parametrize("name", ["frame.piece.yaml", "frame.job.yaml"])
def test_wrong_files_are_told(project: Path, name: str, content: bytes, code: str) -> None:
    (project / name).write_bytes(content)
    said = typed("check", project / "frame.job.yaml", "--json")
    assert said.code == 2
    assert code in said.codes
    assert {fault["file"] for fault in said.json["faults"]} <= {"frame.job.yaml", "frame.piece.yaml"}


@pytest.mark.parametrize(
    ("line", "code"),
    [
        ("boards: nothing.csv", "file-missing"),
        ("boards: ../outside.csv", "file-outside"),
        ("boards: sub", "file-unreadable"),
        ("boards: linked.csv", "file-outside-project"),
        ("boards: photo.csv", "not-utf-8"),
        ("boards: empty.csv", "empty-file"),
        ("shop: shop.yaml", "file-missing"),
    ],
)
def test_wrong_files_that_a_job_names_are_told_where_it_names_them(project: Path, line: str, code: str) -> None:
    (project.parent / "outside.csv").write_text("name\n")
    (project / "sub").mkdir()
    (project / "photo.csv").write_bytes(b"\xff\xd8\xff\xe0")
    (project / "empty.csv").write_bytes(b"")
    if code == "file-outside-project":
        if os.name == "nt":
            pytest.skip("links need rights there")
        (project / "linked.csv").symlink_to(project.parent / "outside.csv")
    said = typed("check", job_with(project, line + "\n"), "--json")
    assert said.code == 2
    fault = next(fault for fault in said.json["faults"] if fault["code"] == code)
    if fault["file"] == "frame.job.yaml":
        assert (fault["line"], fault["column"]) == (4, line.index(": ") + 3)
    else:
        assert fault["file"] == line.split(": ")[1]


def test_a_file_that_is_neither_piece_nor_job_is_told_by_its_name(project: Path) -> None:
    said = typed("check", project / "boards.csv", "--json")
    assert (said.code, said.codes) == (2, {"file-kind"})
    assert ".piece.yaml" in said.json["faults"][0]["mend"]
    assert typed("check", project, "--json").codes == {"file-unreadable"}
