"""The `new` and `check` commands."""

from __future__ import annotations

from pathlib import Path

from batchwright.app.new import example_names, start_project
from batchwright.app.plan import check_file
from batchwright.base.fault import has_errors
from batchwright.cli.answer import answer, command_name, finding_words, give_up, refuse


def new(example: str, folder: Path | None, as_json: bool) -> None:
    """Start a project folder, or name the examples."""
    if example == "list":
        names = example_names()
        answer({"examples": list(names)}, as_json=as_json, words=names)
    if folder is None:
        folder = Path(example)
    try:
        outcome = start_project(example, folder)
    except OSError as problem:
        give_up(f"'{folder}' could not be written: {problem.strerror}.", "choose another folder.", as_json=as_json)
    if outcome.thing is None:
        refuse(outcome.faults, as_json=as_json)
    started = outcome.thing
    result = {"folder": str(started.folder), "files": list(started.files), "job": started.job}
    lines = [f"{started.folder}: {', '.join(started.files)}"]
    lines.append(f"next: {command_name()} plan {started.folder / started.job} --out {started.folder / 'out'}")
    answer(result, as_json=as_json, words=lines)


def check(file: Path, as_json: bool) -> None:
    """Tell everything wrong with a piece or a job."""
    outcome = check_file(file)
    if outcome.thing is None or has_errors(outcome.faults):
        refuse(outcome.faults, as_json=as_json)
    piece, findings = outcome.thing.piece, outcome.thing.findings
    result = {
        "piece": piece.draft.name,
        "parts": len(piece.parts),
        "kinds": len(piece.kinds),
        "joints": len(piece.joints),
        "fixings": len(piece.fixings),
    }
    lines = [
        f"{piece.draft.name}: {len(piece.parts)} parts of {len(piece.kinds)} kinds, {len(piece.joints)} joints, "
        f"{len(piece.fixings)} other fixings",
        *finding_words(findings),
    ]
    answer(result, as_json=as_json, words=lines, findings=findings, faults=outcome.faults)
