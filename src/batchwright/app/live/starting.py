"""The start: the examples, what lies in the folder, and a new project from an example or from nothing."""

from __future__ import annotations

import re
from itertools import islice
from pathlib import Path

from batchwright.app.live.paths import SUFFIXES, new_folder, within
from batchwright.app.live.refusal import RefusedError, refused
from batchwright.app.new import example_names, start_project
from batchwright.storage.atomic import write_file
from batchwright.storage.drafts import Drafts
from batchwright.storage.starters import load_starter

Plain = dict[str, object]
EMPTY = "empty"
MOST_HERE = 200
HEAD = 4000
"""How much of a file is read for its title [characters]."""

EMPTY_PIECE = """\
# A new piece. Draw a part, then its neighbours, then say which of them meet.
piece: {title}
units: in
wood: white oak
use: [indoors]
hands: from the front
middle: depth/2                          # `four` and `front and back` mirror about this plane
sizes:
  width:  {{is: 15, from: 10, to: 30}}
  depth:  {{is: 12, from: 8, to: 24}}
  height: {{is: 17, from: 10, to: 36}}
  leg thick: 1 1/2
parts:
"""
EMPTY_JOB = """\
job: {title}
piece: {file}
copies: 1
"""


def examples() -> list[Plain]:
    """Every example with its title and words about it, and where its picture is had."""
    told: list[Plain] = []
    for name in example_names():
        starter = load_starter(name)
        files = {} if starter is None else dict(starter.files)
        text = next((content.decode("utf-8", "replace") for file, content in files.items() if _is_piece(file)), "")
        told.append(
            {
                "name": name,
                "title": title_of(text) or name,
                "words": _words_of(text),
                "picture": f"/static/examples/{name}.svg",
            }
        )
    return told


def _is_piece(file: str) -> bool:
    return file.endswith(SUFFIXES[1])


def title_of(text: str) -> str:
    """What a piece or a job is called, out of the head of its text."""
    found = re.search(r"^(?:piece|job):[ \t]*(.+?)[ \t]*(?:#.*)?$", text, re.MULTILINE)
    return found.group(1).strip("'\"") if found else ""


def _words_of(text: str) -> str:
    """The first words of the note at the head of a text."""
    lines = []
    for line in text.splitlines():
        if not line.startswith("#"):
            break
        lines.append(line.lstrip("# ").strip())
    said = re.sub(r"^Invented example[^:]*:\s*", "", " ".join(lines))
    first = re.split(r"(?<=\.)\s", said, maxsplit=1)[0]
    return first[:1].upper() + first[1:]


def lying_here(root: Path) -> list[Plain]:
    """Jobs, and pieces that no job of their folder names, in the folder and those just below it."""
    folders = [root, *sorted(path for path in _listed(root) if _may_be_seen(root, path) and path.is_dir())]
    found: list[Plain] = []
    for folder in folders[:MOST_HERE]:
        files = [path for path in sorted(_listed(folder)) if path.name.endswith(SUFFIXES)]
        files = [path for path in files if _may_be_seen(root, path) and path.is_file()]
        heads = {path: _head(path) for path in files[:MOST_HERE]}
        jobs = " ".join(head for path, head in heads.items() if path.name.endswith(SUFFIXES[0]))
        for path, head in heads.items():
            if path.name.endswith(SUFFIXES[0]) or path.name not in jobs:
                draft = Drafts(folder).find(path.name) or {}
                title = title_of(head) or path.name
                file = path.relative_to(root).as_posix()
                found.append({"file": file, "title": title, "draft": bool(draft.get("texts"))})
    return found[:MOST_HERE]


def _may_be_seen(root: Path, path: Path) -> bool:
    return not path.name.startswith(".") and within(root, path)


def _listed(folder: Path) -> list[Path]:
    try:
        return list(islice(folder.iterdir(), 2000))
    except OSError:
        return []


def _head(path: Path) -> str:
    try:
        with path.open("rb") as stream:
            return stream.read(HEAD).decode("utf-8", "replace")
    except OSError:
        return ""


def begin(root: Path, example: str, folder: str) -> str:
    """Make a project in a new folder; the file to open, as seen from the root. Raises RefusedError."""
    home = new_folder(root, folder)
    if home.exists() and (not home.is_dir() or any(home.iterdir())):
        words = (f"'{home.name}' is there already and is not an empty folder.", "choose another name.")
        raise refused("folder-not-empty", words)
    try:
        if example == EMPTY:
            return _begin_empty(home)
        outcome = start_project(example, home)
    except OSError as problem:
        words = (f"the folder could not be made: {problem.strerror}.", "choose another name.")
        raise refused("could-not-write", words) from problem
    if outcome.thing is None:
        raise RefusedError(outcome.faults)
    return f"{folder}/{outcome.thing.job}"


def _begin_empty(home: Path) -> str:
    plain = "-".join(re.findall(r"\w+", home.name.lower())) or "piece"
    title = home.name[:1].upper() + home.name[1:]
    piece, job = f"{plain}{SUFFIXES[1]}", f"{plain}{SUFFIXES[0]}"
    write_file(home / piece, EMPTY_PIECE.format(title=title).encode())
    write_file(home / job, EMPTY_JOB.format(title=title, file=piece).encode())
    return f"{home.name}/{job}"
