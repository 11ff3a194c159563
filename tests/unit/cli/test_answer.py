"""What is said in the end, and the exit code that goes with it."""

from __future__ import annotations

import json

import pytest

from batchwright.base.fault import Fault, Level, Place
from batchwright.base.finding import Finding, Grade
from batchwright.cli.answer import answer, finding_words, give_up, refuse

WARNING = Fault(code="a-b", place=Place("f", 1, 2), what="odd.", mend="look.", level=Level.WARNING)
ERROR = Fault(code="a-c", place=Place("f", 3, 4), what="wrong.", mend="mend it.", why="so.")


def finding(grade: Grade) -> Finding:
    return Finding(code="thin", grade=grade, what="thin.", mend="thicken.")


@pytest.mark.parametrize(("grade", "code"), [(Grade.FAILS, 1), (Grade.NEAR, 0), (Grade.NOTE, 0)])
def test_only_a_finding_that_fails_changes_the_exit_code(
    grade: Grade, code: int, capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit) as end:
        answer({}, as_json=True, words=(), findings=(finding(grade),), faults=(WARNING,))
    assert end.value.code == code
    said = json.loads(capsys.readouterr().out)
    assert said["ok"] and said["exit"] == code and said["warnings"][0]["level"] == "warning"


def test_a_refusal_counts_errors_and_goes_to_standard_error(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as end:
        refuse((WARNING, ERROR), as_json=False)
    said = capsys.readouterr()
    assert end.value.code == 2 and said.out == ""
    assert said.err.splitlines() == [
        "f:1:2: warning[a-b] odd.",
        "    mend: look.",
        "f:3:4: error[a-c] wrong.",
        "    why:  so.",
        "    mend: mend it.",
        "1 fault; nothing was written.",
    ]


def test_giving_up_has_its_own_shape(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as end:
        give_up("no.", "try again.", as_json=True)
    assert end.value.code == 3
    assert json.loads(capsys.readouterr().out)["problem"] == {"what": "no.", "mend": "try again."}


def test_findings_are_told_worst_first_and_counted() -> None:
    lines = finding_words((finding(Grade.NOTE), finding(Grade.NEAR), finding(Grade.FAILS)))
    assert [line.split("[")[0] for line in lines] == [
        "fails",
        "near the limit",
        "findings: 1 fail, 1 near a limit, 1 notes",
    ]
