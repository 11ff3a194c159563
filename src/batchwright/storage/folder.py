"""Reading a project folder: nothing outside it, nothing too large, nothing that is not text."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from batchwright.base.fault import Fault, Place

LARGEST_FILE = 4_000_000
"""Bytes. A piece file of a hundred parts is about 10 000."""


@dataclass(frozen=True, slots=True)
class Folder:
    """A project folder: the folder of the file that the maker named."""

    root: Path

    def read(self, name: str, place: Place) -> tuple[bytes | None, Fault | None]:
        """The bytes of a file of the folder, or the fault that keeps us from it.

        `place` is where the name was written, for the message.
        """
        path = self.root / name
        try:
            real = path.resolve()
            inside = real.is_relative_to(self.root.resolve())
        except (OSError, ValueError, RuntimeError) as problem:
            return None, _unreadable(name, place, str(problem))
        if not inside:
            return None, Fault(
                code="file-outside-project",
                place=place,
                what=f"'{name}' lies outside the project folder.",
                why="a piece file or a job may only read files beside it or below it.",
                mend="copy the file into the project folder and name it from there.",
            )
        return _read_bytes(real, name, place)


def _read_bytes(path: Path, name: str, place: Place) -> tuple[bytes | None, Fault | None]:
    try:
        if not path.exists():
            return None, _missing(path, name, place)
        if path.is_dir():
            return None, _folder_named(path, name, place)
        if not path.is_file():
            return None, _unreadable(name, place, "it is not a plain file")
        size = path.stat().st_size
        if size > LARGEST_FILE:
            return None, Fault(
                code="file-too-large",
                place=place,
                what=f"'{name}' is {size:,} bytes long; at most {LARGEST_FILE:,} are read.",
                mend="check that it is the file you mean.",
            )
        return path.read_bytes(), None
    except OSError as problem:
        return None, _unreadable(name, place, problem.strerror or str(problem))


def _missing(path: Path, name: str, place: Place) -> Fault:
    suffix = "".join(path.suffixes[-2:])
    near = sorted(other.name for other in path.parent.glob(f"*{suffix}"))[:4] if path.parent.is_dir() else []
    listed = ", ".join(f"'{one}'" for one in near)
    return Fault(
        code="file-missing",
        place=place,
        what=f"there is no file '{name}'.",
        mend=f"the folder holds {listed}." if near else "check the name and the folder.",
    )


def _folder_named(path: Path, name: str, place: Place) -> Fault:
    jobs = sorted(other.name for kind in ("*.job.yaml", "*.piece.yaml") for other in path.glob(kind))
    listed = " or ".join(f"'{name}/{job}'" for job in jobs[:3])
    return Fault(
        code="file-unreadable",
        place=place,
        what=f"'{name}' is a folder, not a file.",
        mend=f"name the file in it: {listed}." if jobs else "name a job or a piece file.",
    )


def _unreadable(name: str, place: Place, reason: str) -> Fault:
    return Fault(
        code="file-unreadable",
        place=place,
        what=f"'{name}' could not be read: {reason}.",
        mend="check the file and your right to read it.",
    )
