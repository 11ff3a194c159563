"""The `cut` command."""

from __future__ import annotations

from pathlib import Path

from batchwright.app.cut import Marked, mark_cut
from batchwright.app.save import save_file
from batchwright.cli.answer import answer, give_up, refuse


def cut(job: Path, parts: list[str], undo: bool, as_json: bool) -> None:
    """Mark parts as cut, or take them back."""
    outcome = mark_cut(job, parts, undo)
    if outcome.thing is None:
        refuse(outcome.faults, as_json=as_json)
    marked = outcome.thing
    for name, content in marked.files:
        try:
            save_file(job.absolute().parent / name, content)
        except OSError as problem:
            give_up(
                f"'{name}' could not be written: {problem.strerror}.", "free the disk or the file.", as_json=as_json
            )
    result = {"changed": list(marked.changed), "cut": list(marked.cut), "files": [name for name, _ in marked.files]}
    answer(result, as_json=as_json, words=_words(marked, undo), faults=outcome.faults)


def _words(marked: Marked, undo: bool) -> list[str]:
    done = f"{'taken back' if undo else 'marked as cut'}: {', '.join(marked.changed) or 'nothing new'}"
    written = [f"written: {', '.join(name for name, _ in marked.files)}"] if marked.files else []
    return [done, *written, f"cut in all: {', '.join(marked.cut) or 'nothing yet'}"]
