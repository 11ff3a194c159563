"""Where a published value comes from, and how surely it was read."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum


class Mark(Enum):
    """How the value was obtained; shown to the user beside the value."""

    READ = "read"
    MEMORY = "from memory"
    COMPUTED = "computed"
    COMMON_PRACTICE = "common practice, no source"
    DERIVED = "derived"
    HOUSE = "house rule"


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """A citation: a key of docs/sources.md, or plain words, and the place within it."""

    text: str
    mark: Mark
    where: str = ""

    def __str__(self) -> str:
        place = f", {self.where}" if self.where else ""
        return f"{self.text}{place} ({self.mark.value})" if self.text else f"({self.mark.value})"
