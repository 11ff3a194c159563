"""Job files: every word read and checked, names of the handbook found, files kept inside the folder."""

# ruff: noqa: E501 - tables of examples read best one under another
from __future__ import annotations

import pytest

from batchwright.base.fault import Fault, has_errors
from batchwright.design.job import check_job_names, read_job
from batchwright.model.job import Job

JOB = """job: Ferry-landing terrace
piece: terrace-armchair.piece.yaml
copies: 8
spares: {back leg: 1, arm: 1}
sizes: {seat height: 16 3/4 in}
where: Portland ME
wood moisture now: 8 %
boards: boards.csv
defects: lists/defects.csv
as milled: {slat thick: 23/32 in}
glue: waterproof PVA
finish: semitransparent stain
due: 2027-05-14
print in: in
paper: letter
shop: shop.yaml
"""


def job(text: str) -> Job:
    found, faults = read_job(text, "a.job.yaml")
    assert found is not None and not faults, faults
    return found


def faults(line: str) -> list[Fault]:
    found, told = read_job(f"job: a\npiece: a.piece.yaml\n{line}\n", "a.job.yaml")
    assert found is not None and has_errors(told), "the files it names are still to be read"
    return list(told)


def test_a_whole_job_is_read() -> None:
    found = job(JOB)
    assert (found.name, found.piece_file, found.copies) == ("Ferry-landing terrace", "terrace-armchair.piece.yaml", 8)
    assert found.spares == (("back leg", 1), ("arm", 1))
    assert [(each.name, each.text, each.place.line, each.place.column) for each in found.sizes] == [
        ("seat height", "16 3/4 in", 5, 22)
    ]
    assert (found.where, found.outdoors, found.moisture_now) == ("Portland ME", True, 0.08)
    assert (found.boards_file, found.defects_file, found.shop_file) == ("boards.csv", "lists/defects.csv", "shop.yaml")
    assert (found.glue, found.finish, found.due, found.print_in, found.paper) == (
        "pva_type1",
        "semi_stain",
        "2027-05-14",
        "in",
        "letter",
    )
    assert found.as_milled[0].text == "23/32 in"


def test_a_short_job_has_its_defaults() -> None:
    found = job("job: a\npiece: a.piece.yaml\n")
    assert (found.copies, found.outdoors, found.paper, found.print_in, found.boards_file) == (1, None, "letter", "", "")


def test_indoors_and_moisture_are_pairs_of_shares() -> None:
    found = job("job: a\npiece: b\nindoors: [35 %, 0.6]\nwood: White Oak\n")
    assert (found.humidity, found.outdoors, found.wood) == ((0.35, 0.6), False, "white_oak")
    found = job("job: a\npiece: b\nmoisture: [9 %, 15 %]\nuse: outdoors\n")
    assert (found.moisture, found.outdoors) == (pytest.approx((0.09, 0.15)), True)


@pytest.mark.parametrize(
    ("said", "kept"), [("A3", "A3"), ("a4", "A4"), ("roll 24 in", "roll 609.6 mm"), ("roll 610", "roll 610 mm")]
)
def test_papers(said: str, kept: str) -> None:
    assert job(f"job: a\npiece: b\npaper: {said}\n").paper == kept


@pytest.mark.parametrize(
    ("line", "code", "column"),
    [
        ("copys: 8", "unknown-word", 1),
        ("copies: 0", "count-out-of-range", 9),
        ("copies: 501", "count-out-of-range", 9),
        ("copies: 2.5", "not-whole", 9),
        ("copies: some", "no-names-here", 9),
        ("spares: 3", "table-wanted", 9),
        ("spares: {arm: -1}", "count-out-of-range", 15),
        ("sizes: {a: [1]}", "one-value-wanted", 12),
        ("where: Portland", "unknown-place", 8),
        ("where: Atlantis", "unknown-place", 8),
        ("wood: unobtainium", "unknown-species", 7),
        ("glue: PVA", "unknown-glue", 7),
        ("finish: deck stain", "unknown-finish", 9),
        ("indoors: 35 %", "pair-wanted", 10),
        ("indoors: [60 %, 35 %]", "limits-crossed", 10),
        ("indoors: [35, 60 %]", "per-cent-missing", 11),
        ("wood moisture now: 80 %", "share-out-of-range", 20),
        ("wood moisture now: dry", "not-a-share", 20),
        ("due: 2027-02-30", "not-a-day", 6),
        ("due: 14 May 2027", "not-a-day", 6),
        ("print in: inches", "unknown-choice", 11),
        ("paper: A5", "unknown-choice", 8),
        ("paper: roll 5 m", "roll-width", 8),
        ("use: garden", "unknown-choice", 6),
        ("boards: ../boards.csv", "file-outside", 9),
        ("boards: /etc/passwd", "file-outside", 9),
        ("boards: C:/boards.csv", "file-outside", 9),
        ("boards: a\\b.csv", "file-outside", 9),
        ("boards: http://x/boards.csv", "file-outside", 9),
        ("boards: ~/boards.csv", "file-outside", 9),
        ("boards: a//b.csv", "file-outside", 9),
        ("boards:", "nothing-said", 8),
        ("defects: defects.csv", "defects-without-boards", 1),
    ],
)
def test_mistakes_have_their_place_and_mend(line: str, code: str, column: int) -> None:
    (fault,) = faults(line)
    assert (fault.code, fault.place.column) == (code, column), str(fault)
    assert fault.mend and fault.place.line == 3 and fault.place.file == "a.job.yaml"


def test_near_names_are_offered() -> None:
    assert "Portland ME" in faults("where: Portland")[0].mend and "Portland OR" in faults("where: Portland")[0].mend
    assert "White oak" in faults("wood: whit oak")[0].mend
    assert "stain" in faults("finish: deck stain")[0].mend
    assert "`copies`" in faults("copys: 8")[0].mend


def test_only_one_climate_can_hold() -> None:
    (fault,) = faults("where: Portland ME\nindoors: [35 %, 60 %]")
    assert (fault.code, fault.place.line) == ("climate-said-twice", 4)


def test_what_a_job_must_say() -> None:
    found, told = read_job("copies: 8\n", "a.job.yaml")
    assert found is None and [fault.code for fault in told] == ["word-missing", "word-missing"]


def test_many_faults_are_told_at_once() -> None:
    text = "job: a\npieces: x\ncopies: 0\nwhere: Atlantis\nboards: ../b.csv\ndue: soon\npaper: A5\n"
    told = read_job(text, "a.job.yaml")[1]
    assert [fault.code for fault in told] == [
        "word-missing", "unknown-word", "count-out-of-range", "unknown-place", "file-outside", "not-a-day", "unknown-choice",
    ]  # fmt: skip


def test_names_that_the_piece_does_not_have_are_told_where_they_stand() -> None:
    told = check_job_names(job(JOB), ["seat height", "slat"], ["back leg", "arms"])
    assert [(fault.code, fault.place.line, fault.place.column) for fault in told] == [("unknown-name", 4, 23)]
    assert "`arms`" in told[0].mend
