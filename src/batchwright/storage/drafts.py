"""Drafts: what is at hand and not yet saved, kept in the project folder so that a crash loses nothing."""

from __future__ import annotations

import errno
import json
from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass
from glob import escape
from pathlib import Path
from typing import Any

from batchwright.storage.atomic import write_file

ROOM = ".batchwright"
"""The folder of a project that is ours; a packet's stage uses it too."""
DRAFTS = "drafts"
FORMAT = 1
LARGEST = 64_000_000
"""Bytes of a draft that are read."""


@dataclass(frozen=True, slots=True)
class Drafts:
    """The drafts of one project folder, one for each file that was opened."""

    root: Path

    def keep(self, file: str, draft: dict[str, Any]) -> None:
        """Write the draft of an opened file in one stroke.

        Raises
        ------
        OSError
            If the disk refuses; the earlier draft is then whole.
        """
        room = self.root / ROOM / DRAFTS
        if not room.resolve().is_relative_to(self.root.resolve()):
            raise OSError(errno.EPERM, "a link leads out of the folder", str(room))
        shape = {"format": FORMAT, "file": file, **draft}
        write_file(self._path(file), json.dumps(shape, ensure_ascii=True).encode())

    def find(self, file: str) -> dict[str, Any] | None:
        """The draft of a file, or None: there is none, or what is there is not one of ours."""
        path = self._path(file)
        try:
            if path.stat().st_size > LARGEST:
                return None
            found = json.loads(path.read_bytes())
        except (OSError, ValueError, RecursionError):
            return None
        ours = isinstance(found, dict) and found.get("format") == FORMAT and found.get("file") == file
        return found if ours else None

    def sweep(self, files: Iterable[str]) -> None:
        """Take away what a kill in the midst of a write has left: unfinished drafts and unfinished copies of files."""
        left = list((self.root / ROOM / DRAFTS).glob(".*.new"))
        for file in files:
            path = self.root / file
            left += [
                one for one in path.parent.glob(f".{escape(path.name)}.*.new") if one.name.split(".")[-2].isdigit()
            ]
        for orphan in left:
            with suppress(OSError):
                orphan.unlink()

    def _path(self, file: str) -> Path:
        return self.root / ROOM / DRAFTS / f"{file.replace('/', ' ')}.json"
