"""Put files where the maker wants them: one, or a packet in one stroke."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from batchwright.storage.atomic import PacketBusyError, PacketFolder, write_file


class FolderBusyError(Exception):
    """Another run is writing into the folder."""


def save_packet(folder: Path, files: Mapping[str, bytes]) -> tuple[str, ...]:
    """Write a whole packet, or leave the earlier one; names written, sorted.

    Raises
    ------
    FolderBusyError
        If another run is writing there.
    OSError
        If the disk refuses.
    """
    return _save(folder, files, keep_others=False)


def save_into(folder: Path, files: Mapping[str, bytes]) -> tuple[str, ...]:
    """Write some files beside a packet, touching nothing else of it; raises as `save_packet`."""
    return _save(folder, files, keep_others=True)


def save_file(path: Path, content: bytes) -> None:
    """Replace one file in one stroke.

    Raises
    ------
    OSError
        If the disk refuses.
    """
    write_file(path, content)


def _save(folder: Path, files: Mapping[str, bytes], keep_others: bool) -> tuple[str, ...]:
    try:
        return PacketFolder(folder).write(files, keep_others=keep_others)
    except PacketBusyError as busy:
        raise FolderBusyError(str(busy)) from busy
