"""The YAML library's complaints in a maker's words."""

# ruff: noqa: E501 - a table reads best with one word to a line
from __future__ import annotations

import re

from batchwright.base.fault import Place

_RULES: tuple[tuple[str, str, str], ...] = (
    ("flow sequence.*got ':'", "a colon stands inside the list that opens at line {opened}.", "close the list with `]`, or write the pair in {{ }}"),
    ("flow sequence", "the list that opens at line {opened} is not closed.", "add `]` where it ends, and a comma between two items"),
    ("flow mapping", "the table that opens at line {opened} is not closed.", "add `}}` where it ends, and a comma between two words"),
    ("flow node.*stream end", "a bracket is opened and never closed.", "close it, or take it out"),
    ("flow node", "{here} stands where a value is wanted.", "take it out, or write the value before it"),
    ("quoted scalar.*(end of stream|document separator)", "a quotation mark at line {opened} is not closed.", "close it, or take it out: `2'6\"` needs none"),
    ("escape", "a backslash stands in text in double quotation marks.", "write the text without quotation marks, or with single ones"),
    ("mapping values are not allowed", "a second `:` stands in one line, or the line is set in too far.", "start the line under its neighbours, write a space behind each `:`, and put text that has `: ` in it into quotation marks"),
    ("sequence entries are not allowed", "`-` begins an item where none can stand.", "put the item on a line of its own"),
    ("could not find expected ':'|simple key", "a word is not followed by `:`.", "write `word: value`, with a space behind the colon"),
    ("block (mapping|collection|sequence)", "the line does not line up with those above it.", "start it under the first letter of its neighbours"),
    ("cannot start any token", "{here} cannot begin a value.", "take it out, or put the value into quotation marks"),
    ("block scalar", "`|` or `>` begins a text of several lines and is not followed by one.", "take it out, or write the text on the lines below it"),
    ("tag|directive", "{here} is not read.", "take it out: every value is text here"),
    ("alias|anchor", "{here} marks a value for repeating; it is not read.", "take it out"),
)  # fmt: skip


def explain(problem: str, text: str, place: Place, opened: int) -> tuple[str, str]:
    """What is wrong and how to mend it. `opened` is the line where the thing began, 0 where it is not known."""
    here = _here(text, place)
    for pattern, what, mend in _RULES:
        if re.search(pattern, problem):
            return what.format(opened=opened, here=here), mend.format()
    return f"{here} breaks the form of the file.", "compare the line with one of the examples"


def _here(text: str, place: Place) -> str:
    lines = text.split("\n")
    line = lines[place.line - 1] if 0 < place.line <= len(lines) else ""
    found = line[place.column - 1 : place.column + 11].strip()
    return f"`{found}`" if found else "the end of the line"
