"""A word of the language and a table of words: the records that the reader, the faults and the guide share."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Word:
    """One word: what it means in one sentence, an example, and what holds where it is not written."""

    word: str
    says: str
    example: str
    default: str = ""
    required: bool = False


@dataclass(frozen=True, slots=True)
class Table:
    """The words that may stand in one sort of table of the maker's text."""

    key: str
    title: str
    says: str
    words: tuple[Word, ...]

    def word(self, wanted: str) -> Word | None:
        """A word of the table, or None."""
        return next((word for word in self.words if word.word == wanted), None)
