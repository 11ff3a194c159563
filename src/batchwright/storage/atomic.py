"""Writing so that a crash leaves the old or the new, never a half: one file, or a whole packet of files.

A packet is staged beside its target, a list of moves is written in one stroke (the point of no return), and only then
are the files moved into place. A run that finds such a list finishes it; a run that finds a stage without a list
removes it.
"""

from __future__ import annotations

import json
import os
import shutil
import sys
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

STAGE = ".batchwright"
LIST = "moves.json"
MANIFEST = "written.json"
LOCK = "lock"


class PacketBusyError(Exception):
    """Another run is writing into the same folder."""


def write_file(path: Path, content: bytes) -> None:
    """Replace a file in one stroke; parent folders are made."""
    path.parent.mkdir(parents=True, exist_ok=True)
    temporary = path.with_name(f".{path.name}.{os.getpid()}.new")
    try:
        with temporary.open("wb") as stream:
            stream.write(content)
            stream.flush()
            os.fsync(stream.fileno())
        temporary.replace(path)
    finally:
        temporary.unlink(missing_ok=True)
    _sync_folder(path.parent)


@dataclass(frozen=True, slots=True)
class PacketFolder:
    """The folder a packet is written into; files in it that we did not write are never touched."""

    root: Path

    def write(self, files: Mapping[str, bytes], *, keep_others: bool = False) -> tuple[str, ...]:
        """Write all files, or none; returns the names written, sorted.

        Files of an earlier packet that this one no longer has are removed, unless `keep_others`.

        Raises
        ------
        PacketBusyError
            If another run is writing here.
        OSError
            If the disk refuses; the earlier packet is then whole.
        """
        home = self.root / STAGE
        home.mkdir(parents=True, exist_ok=True)
        lock = _take_lock(home / LOCK)
        try:
            self._recover(home)
            old = _names_in(home / MANIFEST)
            gone = () if keep_others else tuple(name for name in old if name not in files)
            stage = home / "stage"
            for name, content in files.items():
                _put(stage / name, content)
            kept = sorted({*files, *(old if keep_others else ())})
            write_file(home / LIST, _as_json({"move": sorted(files), "remove": sorted(gone), "written": kept}))
            self._finish(home)
            return tuple(sorted(files))
        finally:
            lock()

    def recover(self) -> bool:
        """Finish or undo what a killed run left; whether there was anything to do."""
        home = self.root / STAGE
        if not home.is_dir():
            return False
        lock = _take_lock(home / LOCK)
        try:
            return self._recover(home)
        finally:
            lock()

    def _recover(self, home: Path) -> bool:
        if (home / LIST).exists():
            self._finish(home)
            return True
        left = (home / "stage").exists()
        shutil.rmtree(home / "stage", ignore_errors=True)
        for orphan in home.glob(".*.new"):
            orphan.unlink(missing_ok=True)
        return left

    def _finish(self, home: Path) -> None:
        moves = json.loads((home / LIST).read_text("utf-8"))
        for name in moves["move"]:
            staged = home / "stage" / name
            if staged.exists():
                target = self.root / name
                target.parent.mkdir(parents=True, exist_ok=True)
                staged.replace(target)
        for name in moves["remove"]:
            (self.root / name).unlink(missing_ok=True)
        write_file(home / MANIFEST, _as_json({"written": moves["written"]}))
        shutil.rmtree(home / "stage", ignore_errors=True)
        (home / LIST).unlink(missing_ok=True)
        _sync_folder(self.root)


def _put(path: Path, content: bytes) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open("wb") as stream:
        stream.write(content)
        stream.flush()
        os.fsync(stream.fileno())


def _names_in(manifest: Path) -> tuple[str, ...]:
    try:
        written = json.loads(manifest.read_text("utf-8"))["written"]
    except (OSError, ValueError, KeyError):
        return ()
    return tuple(name for name in written if isinstance(name, str) and ".." not in Path(name).parts)


def _as_json(value: object) -> bytes:
    return (json.dumps(value, indent=1, sort_keys=True) + "\n").encode()


def _sync_folder(folder: Path) -> None:
    if os.name == "nt":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _take_lock(path: Path) -> Callable[[], None]:
    """Hold the folder. The system lets go of the lock where a run dies; its file stays, empty, and means nothing."""
    stream = path.open("ab")
    if not _held(stream.fileno()):
        stream.close()
        raise PacketBusyError(f"another run is writing into {path.parent.parent}")
    return stream.close


def _held(handle: int) -> bool:
    """Whether the lock on an open file is now ours."""
    try:
        if sys.platform == "win32":
            import msvcrt

            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        else:
            import fcntl

            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except (BlockingIOError, PermissionError):
        return False
    return True
