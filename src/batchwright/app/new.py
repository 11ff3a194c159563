"""Start a project folder from an example."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from batchwright.app.result import Outcome
from batchwright.base.fault import Fault, Place
from batchwright.storage.atomic import write_file
from batchwright.storage.starters import load_starter, starter_names

COMMAND = Place("batchwright new")
"""Where the words stand that were typed."""


@dataclass(frozen=True, slots=True)
class Started:
    """A project folder begun: where, which files, and the job to plan."""

    folder: Path
    files: tuple[str, ...]
    job: str


def example_names() -> tuple[str, ...]:
    """The examples there are."""
    return starter_names()


def start_project(example: str, folder: Path) -> Outcome[Started]:
    """Copy an example's files into a folder that is new or empty; nothing is ever overwritten.

    Raises
    ------
    OSError
        If the disk refuses.
    """
    starter = load_starter(example)
    if starter is None:
        named = ", ".join(starter_names())
        fault = Fault(
            code="unknown-example",
            place=COMMAND,
            what=f"there is no example called '{example}'.",
            mend=f"name one of: {named}.",
        )
        return Outcome(None, (fault,))
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        fault = Fault(
            code="folder-not-empty",
            place=COMMAND,
            what=f"'{folder}' is there already and is not an empty folder.",
            why="a new project never writes over anything.",
            mend="name a folder that does not exist yet, or an empty one.",
        )
        return Outcome(None, (fault,))
    for name, content in starter.files:
        write_file(folder / name, content)
    job = next((name for name, _ in starter.files if name.endswith(".job.yaml")), "")
    return Outcome(Started(folder, tuple(name for name, _ in starter.files), job))
