"""A fault: something wrong in the input, with its place and its mend. Collected, never raised below `app`."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from batchwright.base.mend import Mend


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """Where in a text something stands. Lines and columns count from 1; 0 means the file as a whole."""

    file: str
    line: int = 0
    column: int = 0

    def __str__(self) -> str:
        if self.line == 0:
            return self.file
        return f"{self.file}:{self.line}:{self.column}"


NOWHERE = Place("")


class Level(Enum):
    """How bad: an error stops the paper; a warning does not."""

    ERROR = "error"
    WARNING = "warning"


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """One thing wrong in the input: what, where, why, how to mend. `code` is kebab-case and stable."""

    code: str
    place: Place
    what: str
    mend: str
    why: str = ""
    level: Level = Level.ERROR
    mends: tuple[Mend, ...] = ()
    """What `mend` says, as far as it can be done with one press."""
    about: tuple[str, ...] = ()
    """Ids of the parts it speaks of, all those that it stands for, where they are known."""

    def __str__(self) -> str:
        lines = [f"{self.place}: {self.level.value}[{self.code}] {self.what}"]
        if self.why:
            lines.append(f"    why:  {self.why}")
        lines.append(f"    mend: {self.mend}")
        return "\n".join(lines)

    def as_json(self) -> dict[str, object]:
        """The fault as plain values, the same in every door."""
        return {
            "code": self.code,
            "level": self.level.value,
            "file": self.place.file,
            "line": self.place.line,
            "column": self.place.column,
            "what": self.what,
            "why": self.why,
            "mend": self.mend,
            "mends": [mend.as_json() for mend in self.mends],
            "about": list(self.about),
        }


def in_file_order(faults: list[Fault]) -> tuple[Fault, ...]:
    """The faults sorted by place, each told once."""
    return tuple(sorted(dict.fromkeys(faults), key=lambda fault: (fault.place, fault.code, fault.what)))


def has_errors(faults: tuple[Fault, ...]) -> bool:
    """Whether any of them stops the paper."""
    return any(fault.level is Level.ERROR for fault in faults)
