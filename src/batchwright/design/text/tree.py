"""The text as a tree: scalars, sequences and mappings, each with its place. Every scalar is text, nothing else."""

from __future__ import annotations

from dataclasses import dataclass

from batchwright.base.fault import Place
from batchwright.base.mend import Step

Way = tuple[Step, ...]
"""The way from the top of a file to a node: words, and numbers of items from 0."""


@dataclass(frozen=True, slots=True)
class Span:
    """From one character of the source to before another, counted from 0."""

    start: int
    end: int


NOWHERE = Span(0, 0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Scalar:
    """A piece of text as the maker wrote it, without its quotation marks."""

    text: str
    place: Place
    span: Span
    mark: str = ""
    """The quotation mark round it, or empty."""
    way: Way = ()
    """The way to it from the top of the file; a key has the way of its entry."""

    @property
    def quoted(self) -> bool:
        """Whether it stands in quotation marks."""
        return self.mark != ""

    @property
    def says_nothing(self) -> bool:
        """Whether nothing is written there."""
        return not self.text.strip()

    def place_at(self, offset: int) -> Place:
        """Where one character of the text stands in the file; the scalar's own place if it runs over lines."""
        marks = 1 if self.quoted else 0
        if self.span.end - self.span.start != len(self.text) + 2 * marks:
            return self.place
        return Place(file=self.place.file, line=self.place.line, column=self.place.column + marks + offset)


@dataclass(frozen=True, slots=True, kw_only=True)
class Sequence:
    """A list: `[a, b]`, or one item to a line."""

    items: tuple[Node, ...]
    place: Place
    span: Span = NOWHERE
    flow: bool = False
    """Whether it stands in brackets; `span` then ends behind the closing one."""
    way: Way = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Mapping:
    """Words and what they stand for: `{a: 1, b: 2}`, or one to a line."""

    entries: tuple[tuple[Scalar, Node], ...]
    place: Place
    span: Span = NOWHERE
    flow: bool = False
    """Whether it stands in braces; `span` then ends behind the closing one."""
    way: Way = ()

    def get(self, word: str) -> Node | None:
        """What stands under a word, or None where the word is not written."""
        return next((node for key, node in self.entries if key.text == word), None)

    def key(self, word: str) -> Scalar | None:
        """The word itself, for its place."""
        return next((key for key, _ in self.entries if key.text == word), None)

    def words(self) -> tuple[str, ...]:
        """Every word written here, in order."""
        return tuple(key.text for key, _ in self.entries)


Node = Scalar | Sequence | Mapping


def form_of(node: Node) -> str:
    """What a node looks like, in the maker's words."""
    match node:
        case Scalar():
            return f"`{node.text}`" if not node.says_nothing else "nothing"
        case Sequence():
            return "a list in [ ]"
        case Mapping():
            return "a table in { }"
