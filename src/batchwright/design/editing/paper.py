"""A text with its tree, and where things stand in it; splices, which put new characters in place of old ones."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from batchwright.base.fault import Fault, Place
from batchwright.design.text.mistake import Mistake, mistake
from batchwright.design.text.names import spelled
from batchwright.design.text.read import read_tree
from batchwright.design.text.tree import Mapping, Node, Scalar, Sequence, Way

_BREAK = re.compile(r"\r\n|\n|\r")
_DASH = re.compile(r"-[ ]*(?:\s#[^\r\n]*)?\s*\Z")
_COLON = re.compile(r"\s*:")
_BOM = "\ufeff"


@dataclass(frozen=True, slots=True)
class Splice:
    """`text` in place of the characters from `start` to before `end`."""

    start: int
    end: int
    text: str


@dataclass(frozen=True, slots=True)
class Paper:
    """One file: its text, and its tree where its form can be read."""

    file: str
    text: str
    tree: Mapping | None
    faults: tuple[Fault, ...]

    @property
    def newline(self) -> str:
        """How this file ends its lines."""
        found = _BREAK.search(self.text)
        return found.group() if found else "\n"

    def sound_tree(self) -> Mapping:
        """The tree. Raises Mistake with what is wrong with the form of the file."""
        if self.tree is None:
            raise Mistake(*self.faults)
        return self.tree

    def line_start(self, at: int) -> int:
        """Where the line begins that holds a character."""
        start = max(self.text.rfind("\n", 0, at), self.text.rfind("\r", 0, at)) + 1
        return 1 if start == 0 and self.text.startswith(_BOM) else start

    def line_end(self, at: int) -> int:
        """Where that line ends, before its line break."""
        found = _BREAK.search(self.text, at)
        return found.start() if found else len(self.text)

    def next_line(self, at: int) -> int:
        """Where the next line begins; the end of the text where there is none."""
        found = _BREAK.search(self.text, at)
        return found.end() if found else len(self.text)

    def column(self, at: int) -> int:
        """How many characters stand before this one in its line."""
        return at - self.line_start(at)

    def colon(self, key: Scalar) -> int:
        """Where the colon behind a word stands. Raises Mistake for a word in a form without one."""
        found = _COLON.match(self.text, key.span.end)
        if found is None:
            raise mistake("form-not-kept", key.place, f"no colon stands behind `{key.text}`.", "change it in the text")
        return found.end() - 1

    def end_of(self, node: Node) -> int:
        """Behind a value's last character, without white space and remarks that follow it."""
        if isinstance(node, Scalar) and self.text[node.span.start : node.span.start + 1] in ("|", ">"):
            return node.span.start + len(self.text[node.span.start : node.span.end].rstrip())
        if isinstance(node, Scalar) or node.flow:
            return node.span.end
        if isinstance(node, Mapping):
            return self.end_of_entry(*node.entries[-1]) if node.entries else node.span.start
        return self.end_of(node.items[-1]) if node.items else node.span.start

    def end_of_entry(self, key: Scalar, value: Node) -> int:
        """Behind an entry's last character; behind its colon where it says nothing."""
        if isinstance(value, Scalar) and value.span.start == value.span.end:
            return self.colon(key) + 1
        return self.end_of(value)

    def dash(self, item: Node) -> int:
        """Where the `-` before an item of a list stands that has one to a line. Raises Mistake."""
        found = _DASH.search(self.text, 0, item.span.start)
        if found is None:
            what = "this item of a list cannot be told from its neighbours."
            raise mistake("form-not-kept", item.place, what, "change it in the text")
        return found.start()

    def offset(self, line: int, column: int) -> int:
        """The character at a line and column, both from 1. Raises Mistake where the text has none such."""
        start = 1 if self.text.startswith(_BOM) else 0
        for _ in range(line - 1):
            found = _BREAK.search(self.text, start)
            if found is None:
                raise self.not_there(line, column)
            start = found.end()
        if column < 1 or start + column - 1 > self.line_end(start):
            raise self.not_there(line, column)
        return start + column - 1

    def not_there(self, line: int, column: int) -> Mistake:
        """The mistake of a change that speaks of a character the text has not."""
        what = f"line {line}, column {column} is not in the file."
        return mistake("no-such-entry", Place(self.file), what, "look at the text again: it has changed meanwhile")


def read_paper(text: str, file: str) -> Paper:
    """The text of a file with its tree."""
    tree, faults = read_tree(text, file)
    return Paper(file, text, tree, faults)


def spliced(text: str, splices: Iterable[Splice]) -> str:
    """The text with every splice made; they may not overlap."""
    kept = 0
    parts: list[str] = []
    for splice in sorted(splices, key=lambda each: (each.start, each.end)):
        parts += [text[kept : splice.start], splice.text]
        kept = splice.end
    return "".join([*parts, text[kept:]])


def find(tree: Node, way: Way) -> Node | None:
    """The node at the end of a way, or None."""
    node: Node | None = tree
    for step in way:
        if isinstance(node, Mapping) and isinstance(step, str):
            node = child(node, step)
        elif isinstance(node, Sequence) and isinstance(step, int) and step < len(node.items):
            node = node.items[step]
        else:
            return None
    return node


def child(mapping: Mapping, word: str) -> Node | None:
    """What stands under a word, however its letters were composed."""
    found = entry(mapping, word)
    return found[1] if found else None


def entry(mapping: Mapping, word: str) -> tuple[Scalar, Node] | None:
    """The word and what stands under it."""
    wanted = spelled(word)
    return next(((key, node) for key, node in mapping.entries if spelled(key.text) == wanted), None)


def says_nothing(node: Node | None) -> bool:
    """Whether nothing is there, or nothing is written there."""
    return node is None or (isinstance(node, Scalar) and node.says_nothing)


def said_way(way: Way) -> str:
    """A way in words: `joints` 5 `length`."""
    return " ".join(f"`{step}`" if isinstance(step, str) else str(step + 1) for step in way)
