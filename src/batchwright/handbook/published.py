"""A published value with its unit and source. A gap in the source is a value of None, never a guess."""

from __future__ import annotations

from dataclasses import dataclass

from batchwright.base.source import Source


class GapError(ValueError):
    """A formula needs a value that no source gives. It is not filled in."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Published:
    """One number as a source gives it, in house units (mm, N, MPa, ratios); None if the source is silent."""

    value: float | None
    unit: str
    source: Source
    note: str = ""

    def __str__(self) -> str:
        number = "not published" if self.value is None else f"{self.value:g} {self.unit}".strip()
        tail = f"; {self.note}" if self.note else ""
        return f"{number} [{self.source}{tail}]"


@dataclass(frozen=True, slots=True, kw_only=True)
class PublishedText:
    """Words as a source gives them, such as a decay class; None where the source is silent."""

    value: str | None
    source: Source
    note: str = ""

    def __str__(self) -> str:
        tail = f"; {self.note}" if self.note else ""
        return f"{self.value or 'not published'} [{self.source}{tail}]"
