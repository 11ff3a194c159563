"""Which files of a folder may be opened, and what a new folder may be called. No name from outside is trusted."""

from __future__ import annotations

import re
from pathlib import Path, PurePosixPath, PureWindowsPath

from batchwright.app.live.refusal import RefusedError, Why, refused

SUFFIXES = (".job.yaml", ".piece.yaml")
LONGEST_PATH = 300
LONGEST_FOLDER = 60
DEVICES = frozenset(
    {"con", "prn", "aux", "nul", *(f"com{n}" for n in range(1, 10)), *(f"lpt{n}" for n in range(1, 10))}
)
"""Names that one system keeps for its devices."""


def project_file(root: Path, file: str) -> Path:
    """A job or a piece file of the folder. Raises RefusedError for any other name, and where there is no such file."""
    if len(file) > LONGEST_PATH or not _plain(file):
        raise _outside(file)
    if not file.endswith(SUFFIXES):
        words = (f"'{file}' is neither a piece nor a job by its name.", f"name a file that ends in {SUFFIXES[1]}.")
        raise refused("file-kind", words)
    path = root / file
    try:
        real = path.resolve()
        inside = real.is_relative_to(root.resolve())
        there = real.is_file()
    except (OSError, ValueError, RuntimeError):
        raise _outside(file) from None
    if not inside:
        raise _outside(file)
    if not there:
        words = (f"there is no file '{file}'.", "open one of those that lie here, or begin a new one.")
        raise refused("file-missing", words, why=Why.MISSING)
    return path


def _plain(name: str) -> bool:
    """Whether a name means something within a folder only, on any system, and nothing hidden."""
    if not name or any(letter in name for letter in '\\:*?"<>|\0') or not name.isprintable():
        return False
    for path in (PurePosixPath(name), PureWindowsPath(name)):
        if path.is_absolute() or path.drive or path.root:
            return False
    parts = name.split("/")
    return all(_sound(part) for part in parts)


def _sound(part: str) -> bool:
    if not part or part.startswith((".", " ")) or part.endswith((".", " ")):
        return False
    return part.split(".")[0].casefold() not in DEVICES


def new_folder(root: Path, folder: str) -> Path:
    """Where a new project goes: a folder beside the others. Raises RefusedError for a name that will not do."""
    if not re.fullmatch(r"[^\W_][\w -]*", folder) or len(folder) > LONGEST_FOLDER or not _plain(folder):
        words = (
            f"'{folder[:LONGEST_FOLDER]}' cannot be the name of a folder.",
            "use letters, digits, spaces and hyphens, sixty at most, beginning with a letter or digit.",
        )
        raise refused("folder-name", words)
    if not within(root, root / folder):
        raise _outside(folder)
    return root / folder


def within(root: Path, path: Path) -> bool:
    """Whether a path lies in the folder, links followed."""
    try:
        return path.resolve().is_relative_to(root.resolve())
    except (OSError, ValueError, RuntimeError):
        return False


def _outside(file: str) -> RefusedError:
    words = (f"'{file[:80]!s}' is no file of this folder.", "open one of those that lie here.")
    return refused("file-outside-project", words)
