"""What every command answers: exit codes 0 to 3, one shape of JSON when it went well and one when it did not."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from typed import Said, as_process, own_environment, typed

TEXT = {"type": "string"}
COUNT = {"type": "integer", "minimum": 0}
FAULT = {
    "type": "object",
    "required": ["code", "level", "file", "line", "column", "what", "why", "mend"],
    "additionalProperties": False,
    "properties": {
        "code": {"type": "string", "pattern": "^[a-z]+(-[a-z0-9]+)*$"},
        "level": {"enum": ["error", "warning"]},
        "file": {"type": "string", "minLength": 1},
        "line": COUNT,
        "column": COUNT,
        "what": {"type": "string", "minLength": 5},
        "why": TEXT,
        "mend": {"type": "string", "minLength": 5},
        "about": {"type": "array", "items": TEXT},
        "mends": {"type": "array", "items": {"type": "object", "required": ["say", "changes"]}},
    },
}
FINDING = {
    "type": "object",
    "required": ["code", "grade", "what", "why", "mend", "source", "about", "utilisation", "file", "line", "column"],
    "properties": {"grade": {"enum": ["fails", "near the limit", "note"]}},
}
WENT_WELL = {
    "type": "object",
    "required": ["ok", "exit", "result", "findings", "warnings"],
    "additionalProperties": False,
    "properties": {
        "ok": {"const": True},
        "exit": {"enum": [0, 1]},
        "result": {"type": "object"},
        "findings": {"type": "array", "items": FINDING},
        "warnings": {"type": "array", "items": FAULT},
    },
}
WENT_WRONG = {
    "type": "object",
    "required": ["ok", "exit"],
    "additionalProperties": False,
    "properties": {
        "ok": {"const": False},
        "exit": {"enum": [2, 3]},
        "faults": {"type": "array", "minItems": 1, "items": FAULT},
        "problem": {
            "type": "object",
            "required": ["what", "mend"],
            "properties": {"what": {"type": "string", "minLength": 5}, "mend": {"type": "string", "minLength": 5}},
        },
    },
    "oneOf": [{"required": ["faults"]}, {"required": ["problem"]}],
}


def check_shape(said: Said) -> None:
    """Nothing but JSON on standard output, in one of the two shapes, with the exit code that was left."""
    answer = said.json
    assert answer["exit"] == said.code
    Draft202012Validator(WENT_WELL if answer["ok"] else WENT_WRONG).validate(answer)
    assert said.err == ""


def commands(project: Path) -> dict[str, tuple[tuple[object, ...], int]]:
    job, piece, out = project / "frame.job.yaml", project / "frame.piece.yaml", project / "out"
    return {
        "new": (("new", "hall-table", project / "table"), 0),
        "new list": (("new", "list"), 0),
        "new unknown": (("new", "hal-table", project / "table"), 2),
        "check piece": (("check", piece), 0),
        "check job": (("check", job), 0),
        "check missing": (("check", project / "no.job.yaml"), 2),
        "plan": (("plan", job, "--out", out), 0),
        "plan missing": (("plan", project / "no.job.yaml", "--out", out), 2),
        "draw": (("draw", piece), 0),
        "draw out": (("draw", piece, "--out", project / "a.svg"), 0),
        "draw unknown view": (("draw", piece, "--view", "back"), 2),
        "draw unknown joint": (("draw", piece, "--joint", "shelf"), 2),
        "draw unknown form": (("draw", piece, "--out", project / "a.png"), 2),
        "sheet": (("sheet", "rods", job, "--out", out), 0),
        "sheet list": (("sheet", "list", job), 0),
        "sheet unknown": (("sheet", "covr", job), 2),
        "handbook": (("handbook",), 0),
        "handbook entry": (("handbook", "emc"), 0),
        "handbook answer": (("handbook", "emc", "temperature=10C", "humidity=80%"), 0),
        "handbook wrong": (("handbook", "emc", "temperature=10", "humidity=x%", "wind=3"), 2),
        "handbook unknown": (("handbook", "emcc"), 2),
        "no such command": (("plane",), 2),
        "no job named": (("plan",), 2),
        "no such option": (("check", piece, "--frob"), 2),
        "too many words": (("check", piece, "b", "c"), 2),
    }


@pytest.mark.parametrize("name", commands(Path()))
def test_every_command_answers_in_json_of_one_shape(name: str, project: Path) -> None:
    words, code = commands(project)[name]
    said = typed(*words, "--json")
    check_shape(said)
    assert said.code == code


@pytest.mark.parametrize("name", commands(Path()))
def test_every_command_answers_in_words_with_the_same_exit_code(name: str, project: Path) -> None:
    words, code = commands(project)[name]
    said = typed(*words)
    assert said.code == code
    assert "Traceback" not in said.out + said.err
    if code == 2:
        assert said.out == ""
        assert "mend: " in said.err and "nothing was written" in said.err
        assert not said.err.startswith(":")
    else:
        assert said.out.strip()


def test_exit_code_1_when_findings_fail(project: Path) -> None:
    piece = project / "frame.piece.yaml"
    text = piece.read_text(encoding="utf-8")
    thin = text.replace("y: [0, 2]", "y: [0, 1 1/4]").replace("y: [1/2, 1 1/2]", "y: [1/8, 1 1/8]")
    piece.write_text(thin.replace("into: post,", "into: post, thickness: 7/8,"), encoding="utf-8")
    for words in (("check", piece), ("plan", project / "frame.job.yaml", "--out", project / "out")):
        said = typed(*words, "--json")
        check_shape(said)
        assert said.code == 1
        assert "thin-wall" in {one["code"] for one in said.json["findings"] if one["grade"] == "fails"}
    assert (project / "out" / "packet.pdf").exists()


def test_exit_code_3_when_the_disk_refuses(project: Path) -> None:
    (project / "out").write_text("a file, not a folder")
    for words in (
        ("plan", project / "frame.job.yaml", "--out", project / "out"),
        ("sheet", "rods", project / "frame.job.yaml", "--out", project / "out"),
        ("draw", project / "frame.piece.yaml", "--out", project / "out" / "a.svg"),
        ("new", "hall-table", project / "out" / "table"),
    ):
        said = typed(*words, "--json")
        check_shape(said)
        assert said.code == 3, words
        assert typed(*words).code == 3
    assert (project / "out").read_text() == "a file, not a folder"


def test_a_fault_of_our_own_is_told_without_a_traceback(project: Path) -> None:
    line = (
        "import sys, batchwright.app.plan as plan\n"
        "def broken(*_): raise RuntimeError('a bug')\n"
        "plan.complete_as_milled = broken\n"
        "sys.argv = ['batchwright', 'check', 'frame.piece.yaml', *sys.argv[1:]]\n"
        "from batchwright.cli import main; main()\n"
    )
    environment = {key: value for key, value in own_environment().items() if key != "BATCHWRIGHT_DEBUG"}
    for extra in ((), ("--json",)):
        done = subprocess.run(
            [sys.executable, "-c", line, *extra], cwd=project, env=environment, capture_output=True, text=True
        )
        assert done.returncode == 3
        assert "Traceback" not in done.stdout + done.stderr
        assert "a bug" in (done.stdout if extra else done.stderr)
        if extra:
            check_shape(Said(done.returncode, done.stdout, done.stderr))


def test_the_program_without_a_word_prints_its_help() -> None:
    said = as_process()
    assert said.code == 0
    assert "Exit codes: 0 fine" in said.out
    assert as_process("--version").out.startswith("batchwright ")


@pytest.mark.skipif(os.name == "nt", reason="pipes end otherwise there")
def test_a_reader_that_goes_away_is_no_error(project: Path) -> None:
    command = [sys.executable, "-m", "batchwright", "handbook"]
    with subprocess.Popen(
        command, env=own_environment(), stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    ) as run:
        assert run.stdout is not None and run.stderr is not None
        run.stdout.close()
        told = run.stderr.read()
    assert told == ""


def test_the_date_of_a_packet_can_be_fixed_and_a_wrong_one_is_told(project: Path) -> None:
    words = ("plan", project / "frame.job.yaml", "--out", project / "out")
    assert as_process(*words, more={"SOURCE_DATE_EPOCH": "86400"}).code == 0
    assert json.loads((project / "out" / "plan.json").read_text("utf-8"))["made"] == "1970-01-02T00:00:00+00:00"
    said = as_process(*words, "--json", more={"SOURCE_DATE_EPOCH": "tomorrow"})
    assert (said.code, said.codes) == (2, {"not-a-moment"})


def test_bug_the_clock_of_the_system_gives_a_date_that_can_be_printed(project: Path) -> None:
    """Microseconds were handed to the printer of the packet, which refuses them."""
    environment = {key: value for key, value in own_environment().items() if key != "SOURCE_DATE_EPOCH"}
    words = ["plan", str(project / "frame.job.yaml"), "--out", str(project / "out")]
    done = subprocess.run([sys.executable, "-m", "batchwright", *words], env=environment, capture_output=True)
    assert done.returncode == 0, done.stderr


def test_faults_of_a_question_to_the_handbook_are_told_together() -> None:
    said = typed("handbook", "emc", "temperature=10", "humidity=130%", "wind=3", "--json")
    assert said.codes == {"handbook-value-misread", "handbook-out-of-limits", "handbook-parameter-unknown"}
    said = typed("handbook", "emc", "temperature=10C", "temperature=11C", "--json")
    assert said.codes == {"handbook-value-given-twice", "handbook-parameter-missing"}
