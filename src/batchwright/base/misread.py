"""Why a typed value could not be read, and where within its text; the reader of the file adds the file's place."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Misread:
    """What is wrong with a typed value, how to mend it, and the column within its text, counted from 1."""

    what: str
    mend: str
    column: int = 1

    def __str__(self) -> str:
        return f"{self.what} (column {self.column}); {self.mend}"


def quoted(text: str, most: int = 40) -> str:
    """What was typed, in quotes, cut short where it goes on for ever.

    >>> quoted("  17 1/4 "), quoted("9" * 50, 5)
    ("'17 1/4'", "'99999...'")
    """
    shown = " ".join(text.split())
    return f"'{shown}'" if len(shown) <= most else f"'{shown[:most]}...'"
