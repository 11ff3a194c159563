"""What the words of a fault offer: between backticks stands what is wrong, and what is to be written instead."""

from __future__ import annotations

import re
from dataclasses import dataclass

from batchwright.base.fault import Fault
from batchwright.base.mend import Change, Mend, replace_text, set_text
from batchwright.design.editing.paper import Paper, find
from batchwright.design.text.tree import Mapping as Words
from batchwright.design.text.tree import Node, Scalar, Sequence

SAID = re.compile(r"`([^`]+)`")
_INSTEAD = re.compile(r"^(?:write|use|if you mean|call it something like)\b")
_ADD = re.compile(r"^(?:write|add) `(?P<word>[a-z]+(?: [a-z]+)*): (?P<value>[^`]+)`(?P<more>(?:,? (?:or )?`[^`]+`)*)")
_MOST = 6
"""So many alternatives of one fault are offered."""
_LEFT_OUT = re.compile(r"(?:leave|take) `([a-z ]+)` (?:out|to the rules)|without `([a-z ]+)`")
_BEHIND = re.compile(r"\.[a-z]+")
_FROM_BEFORE = ("fraction-not-proper", "inch-mark-missing")
"""Faults whose place is within the words that they speak of."""
_BEHIND_OFFERS = re.compile(r"(?<=`);| for the | alone|, or its key|, or the nearest")
"""What an offer to write something ends with."""


@dataclass(frozen=True, slots=True)
class Desk:
    """A fault and the text it speaks of."""

    fault: Fault
    paper: Paper
    at: int

    @property
    def file(self) -> str:
        return self.paper.file

    def replaced(self, start: int, length: int, text: str) -> Change:
        """The change that puts a text in place of characters from `start` on."""
        text_before = self.paper.text[:start].removeprefix("\ufeff")
        line = len(re.findall(r"\r\n|\n|\r", text_before)) + 1
        column = start - self.paper.line_start(start) + 1
        return replace_text((self.file, line, column), length, text)

    def node(self) -> tuple[Scalar | None, Node] | None:
        """The key and the value, or the value alone, that begin where the fault stands; the innermost."""
        return _node_at(self.paper.tree, self.at, None) if self.paper.tree is not None else None


def _node_at(node: Node, at: int, key: Scalar | None) -> tuple[Scalar | None, Node] | None:
    if isinstance(node, Words):
        for word, value in node.entries:
            if word.span.start == at:
                return word, value
            if found := _node_at(value, at, word):
                return found
    if isinstance(node, Sequence):
        for item in node.items:
            if found := _node_at(item, at, None):
                return found
    empty = isinstance(node, Scalar) and node.span.start == node.span.end and key is not None
    return (key, node) if node.span.start == at or (empty and key is not None and key.span.end + 1 == at) else None


def plain_offers(desk: Desk) -> tuple[Mend, ...]:
    """`write X` in place of what stands there; `add word: value` to the table there; `take it out`."""
    mend = desk.fault.mend
    found: list[Mend] = []
    if (added := _ADD.match(mend)) and "..." not in mend:
        found += _added(desk, added)
    elif _INSTEAD.match(mend):
        found += _instead(desk, mend.split(", or take")[0].split(", or leave")[0])
    if re.search(r"\b(?:take|leave) it out\b(?!, and)", mend) and (out := taken_out(desk)):
        found.append(out)
    return (*found, *_words_out(desk))


def _words_out(desk: Desk) -> list[Mend]:
    """A word that may be left out, taken out of the table that the fault speaks of."""
    found = _LEFT_OUT.search(desk.fault.mend)
    here = desk.node()
    tree = desk.paper.tree
    if found is None or here is None or tree is None:
        return []
    word = next(group for group in found.groups() if group)
    way = here[1].way
    for length in range(len(way), -1, -1):
        if find(tree, (*way[:length], word)) is not None:
            change = set_text((*way[:length], word), None, desk.file)
            return [Mend(say=f"take `{word}` out", changes=(change,))]
    return []


def _instead(desk: Desk, mend: str) -> list[Mend]:
    """One mend for each thing that may stand there."""
    here = what_stands_there(desk)
    if here is None:
        return []
    start, length = here
    found = []
    for text in SAID.findall(_BEHIND_OFFERS.split(mend)[0]):
        if "..." in text or text == desk.paper.text[start : start + length]:
            continue
        over = 1 if text[0] in "*/" and desk.paper.text[start - 1 : start] == text[0] else 0
        change = desk.replaced(start - over, length + over, text)
        found.append(Mend(say=f"write `{text}`", changes=(change,)))
    return found


def what_stands_there(desk: Desk) -> tuple[int, int] | None:
    """The characters that a fault speaks of: the longest of its backticked words that stands at its place."""
    text = desk.paper.text
    behind = text[desk.at : desk.at + 1] in ("'", '"')
    at = desk.at + 1 if behind else desk.at
    for said in sorted(SAID.findall(desk.fault.what), key=len, reverse=True):
        for words in (said, said.split(": ", 1)[-1]):
            if words and text.startswith(words, at):
                length = len(words)
                more = _BEHIND.match(text, at + length)
                return at, length + (len(more.group()) if more and more.group() != words else 0)
    key = desk.node()
    word = key[0] if key is not None and desk.fault.code == "unknown-name" else None
    if word is not None and word.text in SAID.findall(desk.fault.what):
        return word.span.start, word.span.end - word.span.start
    for words in SAID.findall(desk.fault.what) if desk.fault.code in _FROM_BEFORE else ():
        begins = text.find(words, max(0, at - len(words)), at + len(words))
        if 0 <= begins <= at:
            return begins, len(words)
    return None


def _added(desk: Desk, added: re.Match[str]) -> list[Mend]:
    """A word with each of its values, written into the table that the fault speaks of."""
    found = desk.node()
    if found is None:
        return []
    key, node = found
    word = added["word"]
    values = [added["value"], *SAID.findall(added["more"])]
    values = [value.removeprefix(f"{word}: ") for value in values]
    table = node if isinstance(node, Words) and (key is None or key.text != word) else None
    way = (*node.way, word) if table is not None else node.way
    if table is None and not (way and way[-1] == word):
        return []
    return [
        Mend(say=f"`{word}: {value}`", changes=(set_text(way, value, desk.file),))
        for value in values
        if "..." not in value
    ]


def taken_out(desk: Desk) -> Mend | None:
    found = desk.node()
    if found is None or not found[1].way:
        return None
    key, node = found
    way = key.way if key is not None else node.way
    return Mend(say="take it out", changes=(set_text(way, None, desk.file),))
