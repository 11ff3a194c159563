"""The empty frame to start from, and the titles and words of what a project can start from."""

from __future__ import annotations

from pathlib import Path

import pytest

from batchwright.app.load import load
from batchwright.app.new import example_names, examples, start_project
from batchwright.app.plan import check_loaded
from batchwright.base.finding import Grade
from batchwright.storage.starters import EMPTY, load_starter


@pytest.fixture
def begun(tmp_path: Path) -> Path:
    outcome = start_project(EMPTY, tmp_path / "new")
    assert outcome.thing is not None and outcome.thing.job == "empty.job.yaml"
    return tmp_path / "new"


def test_the_empty_frame_is_free_of_faults_and_of_findings_that_fail(begun: Path) -> None:
    outcome = check_loaded(load(begun / "empty.job.yaml"))
    assert outcome.thing is not None and not outcome.faults
    assert not [each for each in outcome.thing.findings if each.grade is Grade.FAILS]
    assert [part.name for part in outcome.thing.loaded.draft.parts] == ["top"]


def test_what_its_remarks_teach_works_when_the_marks_are_taken_away(begun: Path) -> None:
    piece = begun / "empty.piece.yaml"
    lines = piece.read_text(encoding="utf-8").split("\n")
    first = next(n for n, line in enumerate(lines) if line.startswith("#   end:"))
    taught = [*lines[:first], *(line.removeprefix("# ") for line in lines[first:])]
    piece.write_text("\n".join(taught), encoding="utf-8")
    outcome = check_loaded(load(begun / "empty.job.yaml"))
    assert outcome.thing is not None and not outcome.faults, [str(fault) for fault in outcome.faults]
    assert len(outcome.thing.piece.joints) == 2
    assert not [each for each in outcome.thing.findings if each.grade is Grade.FAILS]


def test_every_start_has_a_title_and_words() -> None:
    told = examples()
    assert [each.name for each in told] == [*example_names(), EMPTY]
    assert len({each.title for each in told}) == len(told) == len(example_names()) + 1
    for each in told:
        assert each.title and 20 < len(each.words) < 200 and each.words[0].isupper(), each
        assert "Invented" not in each.words


def test_the_empty_frame_is_no_example_and_an_unknown_one_is_told(tmp_path: Path) -> None:
    assert EMPTY not in example_names() and load_starter(EMPTY) is not None
    fault = start_project("emty", tmp_path / "x").faults[0]
    assert fault.code == "unknown-example" and "empty" in fault.mend
