"""Texts that are not saved yet, read as if they stood on the disk."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, field

from batchwright.base.fault import Fault, Place
from batchwright.storage.folder import Folder

MARK = "\ufeff"
"""Some editors put it before a text; it is kept, and nobody sees it."""


def hash_of(content: bytes) -> str:
    """What tells two states of a file apart."""
    return hashlib.sha256(content).hexdigest()


@dataclass(frozen=True, slots=True, kw_only=True)
class OnDisk:
    """A file as it was when it was read or saved. `content` is None where there was none, or where only its hash is
    known any more."""

    content: bytes | None
    known: str = ""

    @property
    def sha(self) -> str:
        """Its hash; empty where there was no file."""
        return self.known if self.content is None else hash_of(self.content)


@dataclass(slots=True)
class TextFolder:
    """A project folder in which some files have another text than on the disk; `met` gathers what was read there."""

    folder: Folder
    texts: Mapping[str, str]
    met: dict[str, bytes] = field(default_factory=dict)

    def read(self, name: str, place: Place) -> tuple[bytes | None, Fault | None]:
        """The text at hand, or the file of the folder."""
        if name in self.texts:
            return self.texts[name].encode("utf-8", "surrogatepass"), None
        if name in self.met:
            return self.met[name], None
        content, fault = self.folder.read(name, place)
        if content is not None:
            self.met[name] = content
        return content, fault


def as_text(content: bytes) -> str | None:
    """Bytes as text, every character kept; None where they are not UTF-8."""
    try:
        return content.decode("utf-8")
    except UnicodeDecodeError:
        return None


def in_its_style(new: str, old: str) -> str:
    """A text as an editor gives it back, with the line ends and the mark that the old one had."""
    if "\r\n" in old and "\r" not in new:
        new = new.replace("\n", "\r\n")
    if old.startswith(MARK) and not new.startswith(MARK):
        new = MARK + new
    return new
