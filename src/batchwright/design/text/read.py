"""Text to tree. The only module that knows the YAML library, and only its stream of events: nothing is constructed.

Refused, with their places: anchors, aliases, tags, merge keys, directives, a second document, a word given twice, tabs,
control characters, text that is not UTF-8, and what is too long or too deep. Depth and number of nodes are counted as
the events come, so nothing large is ever built.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from typing import Any

from ruamel.yaml import YAML, events
from ruamel.yaml.error import MarkedYAMLError, YAMLError

from batchwright.base.fault import Fault, Place, in_file_order
from batchwright.design.text.mistake import Mistake, mistake
from batchwright.design.text.syntax_words import explain
from batchwright.design.text.tree import Mapping, Node, Scalar, Sequence, Span, Way, form_of

LONGEST_TEXT = 400_000
DEEPEST = 20
MOST_NODES = 20_000

_BAD_CHARACTERS = re.compile(
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069\ud800-\udfff\ufffe\uffff]"
)
_BOM = "\ufeff"


def read_bytes(data: bytes, file: str) -> tuple[str | None, Mapping | None, tuple[Fault, ...]]:
    """The text and the tree of a file's bytes. The text is None where it is not UTF-8."""
    if len(data) > 4 * LONGEST_TEXT:
        return None, None, (_too_long(len(data), "bytes", file),)
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        return None, None, (_not_utf8(data, error.start, file),)
    tree, faults = read_tree(text, file)
    return text, tree, faults


def decode_table(data: bytes, file: str) -> tuple[str | None, tuple[Fault, ...]]:
    """The text of a table's bytes (boards, defects), or None and what is wrong with it. Tabs may part its cells."""
    if len(data) > 10 * LONGEST_TEXT:
        what = f"the table has {len(data)} bytes; the most is {10 * LONGEST_TEXT}."
        return None, (Fault(code="too-long", place=Place(file), what=what, mend="split it"),)
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        return None, (_not_utf8(data, error.start, file),)
    forbidden = tuple(fault for fault in _forbidden(text, file) if fault.code != "tab")
    return (None, forbidden) if forbidden else (text, ())


def read_tree(text: str, file: str) -> tuple[Mapping | None, tuple[Fault, ...]]:
    """The tree of a text, and everything wrong with its form. No tree where the form cannot be trusted."""
    if len(text) > LONGEST_TEXT:
        return None, (_too_long(len(text), "characters", file),)
    forbidden = _forbidden(text, file)
    if forbidden:
        return None, forbidden
    builder = _Builder(file, 1 if text.startswith(_BOM) else 0)
    try:
        root = builder.document(_events(text.removeprefix(_BOM), file))
    except Mistake as stop:
        return None, in_file_order([*builder.faults, *stop.faults])
    faults = in_file_order(builder.faults)
    if isinstance(root, Mapping):
        return root, faults
    return None, (*faults, _no_table(root, file))


def _events(text: str, file: str) -> Iterator[Any]:
    """The library's events; its complaints become ours."""
    try:
        yield from YAML(typ="safe", pure=True).parse(text)
    except MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        place = Place(file, mark.line + 1, mark.column + 1) if mark else Place(file)
        opened = error.context_mark.line + 1 if error.context_mark else 0
        what, mend = explain(f"{error.context or ''}: {error.problem or ''}", text, place, opened)
        raise mistake("broken-form", place, what, mend) from None
    except (YAMLError, ValueError, RecursionError):
        raise mistake(
            "broken-form", Place(file), "the text cannot be read as YAML.", "compare its form with one of the examples"
        ) from None


@dataclass
class _Builder:
    """Nodes from events, with the count of nodes and what is refused on the way."""

    file: str
    shift: int
    faults: list[Fault] = field(default_factory=list)
    nodes: int = 0

    def document(self, stream: Iterator[Any]) -> Node | None:
        root: Node | None = None
        documents = 0
        for event in stream:
            if isinstance(event, events.DocumentStartEvent):
                documents += 1
                if documents > 1:
                    raise mistake(
                        "second-document",
                        self.place(event),
                        "a second document begins here.",
                        "take the line `---` out, or put what follows it into a file of its own",
                    )
                if event.version or event.tags:
                    self.refuse(event, "directive", "a line beginning with `%` is not read.", "take the line out")
            elif isinstance(event, events.NodeEvent):
                root = self.node(event, stream, ())
        return root

    def node(self, event: Any, stream: Iterator[Any], way: Way) -> Node:
        self.count(event, len(way) + 1)
        self.refuse_decoration(event)
        if isinstance(event, events.SequenceStartEvent):
            return self.sequence(event, stream, way)
        if isinstance(event, events.MappingStartEvent):
            return self.mapping(event, stream, way)
        return self.scalar(event, way)

    def span(self, first: Any, last: Any) -> Span:
        return Span(first.start_mark.index + self.shift, last.end_mark.index + self.shift)

    def scalar(self, event: Any, way: Way) -> Scalar:
        text = getattr(event, "value", None) or ""
        style = getattr(event, "style", None)
        mark = style if style in ("'", '"') else ""
        return Scalar(text=text, place=self.place(event), span=self.span(event, event), mark=mark, way=way)

    def sequence(self, event: Any, stream: Iterator[Any], way: Way) -> Sequence:
        items: list[Node] = []
        last = event
        for last in stream:
            if isinstance(last, events.SequenceEndEvent):
                break
            items.append(self.node(last, stream, (*way, len(items))))
        place, span = self.place(event), self.span(event, last)
        return Sequence(items=tuple(items), place=place, span=span, flow=bool(event.flow_style), way=way)

    def mapping(self, event: Any, stream: Iterator[Any], way: Way) -> Mapping:
        entries: list[tuple[Scalar, Node]] = []
        first: dict[str, Place] = {}
        last = event
        for last in stream:
            if isinstance(last, events.MappingEndEvent):
                break
            word = (*way, str(getattr(last, "value", None) or ""))
            key = self.node(last, stream, word)
            value = self.node(next(stream), stream, word)
            if self.key_is_sound(key, first) and isinstance(key, Scalar):
                first[key.text] = key.place
                entries.append((key, _beside(key, value)))
        place, span = self.place(event), self.span(event, last)
        return Mapping(entries=tuple(entries), place=place, span=span, flow=bool(event.flow_style), way=way)

    def key_is_sound(self, key: Node, first: dict[str, Place]) -> bool:
        if not isinstance(key, Scalar) or key.says_nothing:
            self.add(
                "key-not-a-word", key.place, f"{form_of(key)} stands where a word is wanted.", "write `word: value`"
            )
        elif key.text == "<<" and not key.quoted:
            self.add(
                "merge-key",
                key.place,
                "`<<` would merge one table into another; it is not read.",
                "write the words out",
            )
        elif key.text in first:
            self.add(
                "word-given-twice",
                key.place,
                f"`{key.text}` is given twice: at line {first[key.text].line} and at line {key.place.line}.",
                "keep one of them",
            )
        else:
            return True
        return False

    def count(self, event: Any, depth: int) -> None:
        self.nodes += 1
        if self.nodes > MOST_NODES:
            raise mistake(
                "too-many-values",
                self.place(event),
                f"the file has more than {MOST_NODES} words and values.",
                "split it: one piece to a file",
            )
        if depth > DEEPEST:
            raise mistake(
                "too-deep",
                self.place(event),
                f"more than {DEEPEST} lists and tables stand inside one another.",
                "look for brackets too many; no piece needs more than six",
            )

    def refuse_decoration(self, event: Any) -> None:
        if isinstance(event, events.AliasEvent):
            mend = f"write the value out, or give it a name under `sizes` and use that: `{event.anchor}`"
            self.refuse(event, "alias", f"`*{event.anchor}` repeats a marked value; it is not read.", mend)
            return
        if event.anchor:
            self.refuse(
                event, "anchor", f"`&{event.anchor}` marks a value for repeating; it is not read.", "take the mark out"
            )
        if event.tag:
            self.refuse(
                event,
                "tag",
                f"`{event.tag}` sets the type of a value; it is not read.",
                "take it out: every value is text here",
            )

    def refuse(self, event: Any, code: str, what: str, mend: str) -> None:
        self.add(code, self.place(event), what, mend)

    def add(self, code: str, place: Place, what: str, mend: str) -> None:
        self.faults.append(Fault(code=code, place=place, what=what, mend=mend))

    def place(self, event: Any) -> Place:
        return Place(self.file, event.start_mark.line + 1, event.start_mark.column + 1)


def _beside(key: Scalar, value: Node) -> Node:
    """A value, or where nothing is written, nothing, placed behind the word and its colon."""
    if isinstance(value, Scalar) and value.span.start == value.span.end:
        behind = replace(key.place, column=key.place.column + key.span.end - key.span.start + 1)
        return replace(value, place=behind)
    return value


def _forbidden(text: str, file: str) -> tuple[Fault, ...]:
    """Characters that no file of ours holds: control characters and tabs. The first of each sort is shown."""
    faults: list[Fault] = []
    bad = _BAD_CHARACTERS.search(text)
    if bad:
        faults.append(
            Fault(
                code="control-character",
                place=_place_of(text, bad.start(), file),
                what=f"an invisible character stands here (number {ord(bad.group())}).",
                mend="delete it; typing the line anew is the surest way",
            )
        )
    tab = text.find("\t")
    if tab >= 0:
        lines = sum(1 for line in text.split("\n") if "\t" in line)
        more = f", and on {lines - 1} more lines" if lines > 2 else ", and on 1 more line" if lines == 2 else ""
        faults.append(
            Fault(
                code="tab",
                place=_place_of(text, tab, file),
                what=f"a tab stands here{more}.",
                why="how far a tab moves differs from editor to editor, so the line cannot be told from its neighbours",
                mend="write spaces instead of tabs",
            )
        )
    return in_file_order(faults)


def _place_of(text: str, at: int, file: str) -> Place:
    line = text.count("\n", 0, at) + 1
    return Place(file, line, at - (text.rfind("\n", 0, at) + 1) + 1)


def _too_long(found: int, what: str, file: str) -> Fault:
    return Fault(
        code="too-long",
        place=Place(file),
        what=f"the file has {found} {what}; the most is {LONGEST_TEXT}.",
        mend="split it: one piece to a file",
    )


def _not_utf8(data: bytes, at: int, file: str) -> Fault:
    line = data.count(b"\n", 0, at) + 1
    before = data[data.rfind(b"\n", 0, at) + 1 : at].decode("utf-8", "replace")
    return Fault(
        code="not-utf-8",
        place=Place(file, line, len(before) + 1),
        what=f"the byte {data[at]:#04x} here is not UTF-8 text.",
        mend="save the file as UTF-8 in your editor",
    )


def _no_table(root: Node | None, file: str) -> Fault:
    if root is None or (isinstance(root, Scalar) and root.says_nothing):
        return Fault(
            code="empty-file",
            place=Place(file),
            what="the file says nothing.",
            mend="take back what emptied it, or begin with an example: `batchwright new`, or Pieces on the page",
        )
    return Fault(
        code="no-words",
        place=root.place,
        what=f"the file begins with {form_of(root)[:60]}, but words with values are wanted.",
        mend="write `word: value`, one to a line",
    )
