"""A forgiving reading of a file that is being typed: where the cursor stands, and what is named, without a parser.

Lines, indentation, brackets and colons are all it looks at; a bracket left open ends with the next line that is set in
less than the one it was opened in.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field

_KEY = re.compile(r"""(?P<key>"[^"]*"|'[^']*'|[^\s#\[\]{},"'][^#\[\]{},"']*?)[ ]*:(?=[ \r]|$)""")
_DASH = re.compile(r"-(?:[ ]+|$)")


@dataclass(slots=True)
class Table:
    """A table or list that stands open: its words so far, and the word whose value is being written."""

    indent: int
    kind: str
    """`words` or `items`, one to a line; `{` or `[`."""
    present: list[str] = field(default_factory=list)
    values: dict[str, str] = field(default_factory=dict)
    word: str = ""
    count: int = 0


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a cursor stands: the way to it, whether a word or a value is wanted there, and what is typed so far."""

    way: tuple[str | int, ...]
    wants_word: bool
    typed: str
    start: int
    """Where the typed text begins, in the whole text."""
    table: Table | None
    bracketed: bool


@dataclass(slots=True)
class Outlook:
    """What was seen of a file: names by section, values of words of parts, and the spot of the cursor."""

    names: dict[str, list[str]] = field(default_factory=dict)
    values: dict[tuple[str | int, ...], str] = field(default_factory=dict)
    spot: Spot | None = None


def look(text: str, at: int) -> Outlook:
    """What stands in a text, and where the cursor, behind `at` characters, stands in it."""
    looking = _Looking(text, at)
    start = 0
    for line in text.split("\n"):
        looking.line(line.removesuffix("\r"), start)
        start += len(line) + 1
    return looking.found


@dataclass(slots=True)
class _Looking:
    text: str
    at: int
    found: Outlook = field(default_factory=Outlook)
    block: list[Table] = field(default_factory=list)
    flow: list[Table] = field(default_factory=list)
    opened_at: int = 0

    def line(self, line: str, start: int) -> None:
        indent = len(line) - len(line.lstrip(" "))
        here = start <= self.at <= start + len(line)
        body = line[indent:]
        if self.flow and body and indent <= self.opened_at:
            self.flow.clear()
        if self.flow:
            self.within(line, indent, start)
            return
        if not body.strip() or body.startswith("#"):
            if here and not body.startswith("#"):
                self.stand_on_empty(min(indent, self.at - start), start)
            return
        self.opened_at = indent
        self.settle(indent, bool(_DASH.match(body)))
        at = indent
        while found := _DASH.match(line, at):
            self.item(at)
            at = found.end() if found.end() > at + 1 else at + 2
            self.settle(at, False)
        if at >= len(line):
            if here:
                self.stand(at if at <= len(line) else len(line), start, wants_word=True, indent=at)
            return
        self.entry(line, at, start, here)

    def entry(self, line: str, at: int, start: int, here: bool) -> None:
        """A word with its colon and what stands behind it, or a value alone."""
        found = _KEY.match(line, at)
        if here and self.at - start < (found.end() if found else at):
            self.stand(at, start, wants_word=True, indent=at)
            here = False
        if found is None:
            if here:
                self.stand(at, start, wants_word=not line[at:].startswith(("[", "{")), indent=at)
            if line[at] in "[{":
                self.within(line, at, start)
            return
        table = self.words_at(at)
        self.add_word(table, found.group("key").strip("'\""))
        self.within(line, found.end(), start)

    def settle(self, indent: int, dash: bool) -> None:
        """Closes tables that a line set in so far does not belong to."""
        while self.block and (
            self.block[-1].indent > indent
            or (self.block[-1].indent == indent and self.block[-1].kind == "items" and not dash)
        ):
            self.block.pop()

    def item(self, indent: int) -> None:
        if self.block and self.block[-1].kind == "items" and self.block[-1].indent == indent:
            self.block[-1].count += 1
        else:
            self.block.append(Table(indent, "items"))

    def words_at(self, indent: int) -> Table:
        if not self.block or self.block[-1].indent < indent or self.block[-1].kind == "items":
            self.block.append(Table(indent, "words"))
        return self.block[-1]

    def add_word(self, table: Table, word: str) -> None:
        table.word = word
        table.present.append(word)
        way = self.way()
        if len(way) == 2 and isinstance(way[0], str):
            self.found.names.setdefault(way[0], []).append(word)

    def way(self) -> tuple[str | int, ...]:
        """The words and item numbers down to the value being written."""
        steps: list[str | int] = []
        for table in (*self.block, *self.flow):
            if table.kind in ("items", "["):
                steps.append(table.count)
            elif table.word:
                steps.append(table.word)
        return tuple(steps)

    def within(self, line: str, at: int, start: int) -> None:
        """The characters of a line from a value on, brackets opened and closed."""
        begins = at
        quote = ""
        for n in range(at, len(line) + 1):
            if start + n == self.at:
                self.stand_inside(line, begins, n, start)
            if n == len(line):
                break
            letter = line[n]
            if quote:
                quote = "" if letter == quote else quote
            elif letter == "#" and (n == 0 or line[n - 1] == " "):
                break
            elif letter in "'\"" and not line[begins:n].strip():
                quote = letter
            elif letter in "[{" and not line[begins:n].strip():
                self.flow.append(Table(n, letter))
                begins = n + 1
            elif letter in "]}" and self.flow:
                self.leave(line[begins:n])
                self.flow.pop()
                begins = n + 1
            elif letter == "," and self.flow:
                self.leave(line[begins:n])
                self.next_one()
                begins = n + 1
            elif letter == ":" and self.flow and self.flow[-1].kind == "{" and line[n + 1 : n + 2] in ("", " "):
                self.add_word(self.flow[-1], line[begins:n].strip().strip("'\""))
                begins = n + 1
        self.leave(line[begins:].split(" #")[0])

    def leave(self, value: str) -> None:
        if value.strip():
            self.found.values.setdefault(self.way(), value.strip().strip("'\""))

    def next_one(self) -> None:
        self.flow[-1].count += 1
        self.flow[-1].word = ""

    def stand_inside(self, line: str, begins: int, n: int, start: int) -> None:
        while begins < n and line[begins] == " ":
            begins += 1
        top = self.flow[-1] if self.flow else (self.block[-1] if self.block else None)
        word = bool(self.flow) and self.flow[-1].kind == "{" and not self.flow[-1].word
        way = self.way()
        self.found.spot = Spot(way, word, line[begins:n], start + begins, top, bool(self.flow))

    def stand(self, at: int, start: int, wants_word: bool, indent: int) -> None:
        """The cursor stands in a word that begins at `at`, or where one could."""
        typed = self.text[start + at : self.at] if start + at <= self.at else ""
        begins = start + at if typed or start + at <= self.at else self.at
        table = self.block[-1] if self.block and self.block[-1].indent == indent else None
        if table is None or table.kind != "words":
            table = None
        above = tuple(
            step for each in self.block if each is not table
            for step in ([each.count] if each.kind == "items" else [each.word] if each.word else [])
        )  # fmt: skip
        self.found.spot = Spot(above, wants_word, typed, begins, table, False)

    def stand_on_empty(self, indent: int, start: int) -> None:
        """An empty line: a word of the table that is set in so far, or deeper, under the last word."""
        kept = list(self.block)
        while self.block and self.block[-1].indent > indent:
            self.block.pop()
        if self.block and self.block[-1].kind == "items" and self.block[-1].indent == indent:
            self.block.pop()
        self.stand(indent, start, wants_word=True, indent=indent)
        self.block = kept
