"""Start a project folder from an example."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

from batchwright.app.result import Outcome
from batchwright.base.fault import Fault, Place
from batchwright.storage.atomic import write_file
from batchwright.storage.starters import EMPTY, load_starter, starter_names

_PIECE = re.compile(r"^piece: *(.+?) *(?:#.*)?$", re.MULTILINE)
_INVENTED = re.compile(r"^Invented example[^:]*: *")

COMMAND = Place("batchwright new")
"""Where the words stand that were typed."""


@dataclass(frozen=True, slots=True)
class Started:
    """A project folder begun: where, which files, and the job to plan."""

    folder: Path
    files: tuple[str, ...]
    job: str


@dataclass(frozen=True, slots=True)
class Example:
    """Something to start from: its name, its title, and one line about it."""

    name: str
    title: str
    words: str


def example_names() -> tuple[str, ...]:
    """The examples there are."""
    return starter_names()


def examples() -> tuple[Example, ...]:
    """The examples, then the empty frame, as a start screen shows them."""
    return tuple(_shown(name) for name in (*starter_names(), EMPTY))


def _shown(name: str) -> Example:
    starter = load_starter(name)
    files = {} if starter is None else dict(starter.files)
    text = next((content.decode("utf-8") for file, content in files.items() if file.endswith(".piece.yaml")), "")
    title = _PIECE.search(text)
    remarks = re.match(r"(?:#.*\r?\n)*", text)
    said = " ".join(line.lstrip("# ").strip() for line in (remarks.group() if remarks else "").splitlines())
    words = re.split(r"(?<=\.) ", _INVENTED.sub("", said), maxsplit=1)[0]
    shown = "An empty frame" if name == EMPTY else (title.group(1) if title else name)
    return Example(name=name, title=shown, words=words[:1].upper() + words[1:])


def start_project(example: str, folder: Path) -> Outcome[Started]:
    """Copy an example's files into a folder that is new or empty; nothing is ever overwritten.

    Raises
    ------
    OSError
        If the disk refuses.
    """
    starter = load_starter(example)
    if starter is None:
        named = ", ".join((*starter_names(), EMPTY))
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
