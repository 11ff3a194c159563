"""A finding: the design is understood, but fails a check or nears a limit."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from batchwright.base.fault import NOWHERE, Place
from batchwright.base.mend import Mend


class Grade(Enum):
    """How a check came out."""

    FAILS = "fails"
    NEAR = "near the limit"
    NOTE = "note"


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One answer of a check.

    `about` holds the ids of the parts or joints it speaks of; `utilisation` is demand over limit (1.0 = at the
    limit) where that makes sense; `source` repeats the read/memory mark of the values it rests on.
    """

    code: str
    grade: Grade
    what: str
    mend: str
    why: str = ""
    source: str = ""
    about: tuple[str, ...] = ()
    utilisation: float | None = None
    place: Place = NOWHERE
    mends: tuple[Mend, ...] = ()
    """What `mend` says, as far as it can be done with one press."""

    def __str__(self) -> str:
        where = f"{self.place}: " if self.place != NOWHERE else ""
        lines = [f"{where}{self.grade.value}[{self.code}] {self.what}"]
        if self.why:
            lines.append(f"    why:  {self.why}")
        if self.mend:
            lines.append(f"    mend: {self.mend}")
        return "\n".join(lines)

    def as_json(self) -> dict[str, object]:
        """The finding as plain values."""
        return {
            "code": self.code,
            "grade": self.grade.value,
            "what": self.what,
            "why": self.why,
            "mend": self.mend,
            "mends": [mend.as_json() for mend in self.mends],
            "source": self.source,
            "about": list(self.about),
            "utilisation": self.utilisation,
            "file": self.place.file,
            "line": self.place.line,
            "column": self.place.column,
        }
