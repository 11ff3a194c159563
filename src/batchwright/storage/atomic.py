"""Writing so that a crash leaves the old or the new, never a half: one file, or a whole packet of files.

A packet is staged beside its target, a list of moves is written in one stroke, and only then are the files moved into
place, each old one set aside first. Where the disk refuses a move, the old ones are put back. A run that was killed
leaves its list: the next run finishes it. A stage without a list is removed. Names in what is found on the disk are not
trusted: nothing outside the folder is ever moved or removed.
"""

from __future__ import annotations

import errno
import json
import os
import shutil
import stat
import sys
from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path, PurePosixPath, PureWindowsPath

STAGE = ".batchwright"
STAGED = "stage"
ASIDE = "aside"
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
        temporary.unlink(missing_ok=True)
        with temporary.open("xb") as stream:  # never through a link that lies there
            with suppress(OSError):
                temporary.chmod(stat.S_IMODE(path.stat().st_mode))
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
            old = _listed(home / MANIFEST, "written")
            gone = () if keep_others else tuple(name for name in old if name not in files)
            for name, content in files.items():
                _put(home / STAGED / name, content)
            kept = sorted({*files, *(old if keep_others else ())})
            write_file(home / LIST, _as_json({"move": sorted(files), "remove": sorted(gone), "written": kept}))
            self._finish(home)
            return tuple(sorted(files))
        finally:
            lock()

    def _recover(self, home: Path) -> None:
        """Finish what a killed run left, or throw away what it had not yet decided on."""
        if (home / LIST).exists():
            self._finish(home, may_undo=False)
        for left in (STAGED, ASIDE):
            shutil.rmtree(home / left, ignore_errors=True)
        for orphan in home.glob(".*.new"):
            orphan.unlink(missing_ok=True)

    def _finish(self, home: Path, may_undo: bool = True) -> None:
        """Move everything on the list into place. Where that fails, put everything back; a list left by a killed run
        stays for a later try, since part of it may be in place already."""
        moved: list[Path] = []
        try:
            for name in _listed(home / LIST, "move"):
                if (home / STAGED / name).exists():
                    self._set_aside(home, name)
                    moved.append(Path(name))
                    (home / STAGED / name).replace(self._target(name))
            for name in _listed(home / LIST, "remove"):
                self._set_aside(home, name)
                moved.append(Path(name))
        except OSError:
            if may_undo:
                self._put_back(home, moved)
            raise
        write_file(home / MANIFEST, _as_json({"written": _listed(home / LIST, "written")}))
        (home / LIST).unlink(missing_ok=True)
        for left in (STAGED, ASIDE):
            shutil.rmtree(home / left, ignore_errors=True)
        _sync_folder(self.root)

    def _target(self, name: str) -> Path:
        """Where a file of the packet goes; never through a link that leads out of the folder."""
        target = self.root / name
        target.parent.mkdir(parents=True, exist_ok=True)
        if not target.parent.resolve().is_relative_to(self.root.resolve()):
            raise OSError(errno.EPERM, "a link leads out of the folder", str(target))
        return target

    def _set_aside(self, home: Path, name: str) -> None:
        """Take an old file out of the way, to be put back if need be; a folder in its place is not ours to move."""
        target = self._target(name)
        if target.is_dir() and not target.is_symlink():
            raise IsADirectoryError(errno.EISDIR, "a folder stands where a file is wanted", str(target))
        if target.exists() or target.is_symlink():
            kept = home / ASIDE / name
            kept.parent.mkdir(parents=True, exist_ok=True)
            target.replace(kept)

    def _put_back(self, home: Path, moved: list[Path]) -> None:
        """The old packet again, as far as it was taken apart."""
        for name in reversed(moved):
            kept, target = home / ASIDE / name, self.root / name
            if kept.exists() or kept.is_symlink():
                kept.replace(target)
            else:
                target.unlink(missing_ok=True)
        (home / LIST).unlink(missing_ok=True)
        for left in (STAGED, ASIDE):
            shutil.rmtree(home / left, ignore_errors=True)


def _put(path: Path, content: bytes) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open("wb") as stream:
        stream.write(content)
        stream.flush()
        os.fsync(stream.fileno())


def _listed(path: Path, word: str) -> tuple[str, ...]:
    """Names from a list on the disk: only those that stay inside the folder; none where the list makes no sense."""
    try:
        found = json.loads(path.read_text("utf-8"))[word]
    except (OSError, ValueError, KeyError, TypeError):
        return ()
    names = found if isinstance(found, list) else []
    return tuple(name for name in names if isinstance(name, str) and inside(name))


def inside(name: str) -> bool:
    """Whether a name can only mean something within a folder, on any system."""
    for path in (PurePosixPath(name), PureWindowsPath(name)):
        if path.is_absolute() or path.drive or path.root or ".." in path.parts or not path.parts:
            return False
    return STAGE not in PurePosixPath(name).parts


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
