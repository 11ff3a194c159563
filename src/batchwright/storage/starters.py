"""What a project can start from: the examples, folders with a piece, a job and what they need; and an empty frame."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import batchwright


@dataclass(frozen=True, slots=True)
class Starter:
    """An example: its name and its files (name within the folder, content)."""

    name: str
    files: tuple[tuple[str, bytes], ...]


def _home() -> Path:
    """The examples inside an installed package; in a checkout, the folder at its root."""
    package = Path(batchwright.__file__).parent
    inside = package / "examples"
    return inside if inside.is_dir() else package.parents[1] / "examples"


EMPTY = "empty"
"""The frame to draw a piece of one's own in; not one of the examples."""


def starter_names() -> tuple[str, ...]:
    """The names of all examples, sorted."""
    home = _home()
    if not home.is_dir():
        return ()
    return tuple(sorted(path.name for path in home.iterdir() if path.is_dir() and any(path.glob("*.job.yaml"))))


def load_starter(name: str) -> Starter | None:
    """An example by name, or the empty frame; None where there is none of that name."""
    if name != EMPTY and name not in starter_names():
        return None
    folder = _home() / name if name != EMPTY else Path(batchwright.__file__).parent / "design" / "starters" / EMPTY
    names = sorted(path for path in folder.iterdir() if path.is_file() and not path.name.startswith("."))
    return Starter(name, tuple((path.name, path.read_bytes()) for path in names))
