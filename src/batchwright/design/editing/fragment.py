"""A value as it is to be written: quoted where its characters would be misread, in the form of its neighbours."""

from __future__ import annotations

from batchwright.design.editing.paper import Paper, read_paper
from batchwright.design.text.tree import Mapping, Node, Scalar, Sequence

STEP = "  "
"""How far a table is set in under its word, where no neighbour shows it."""


def safe(text: str, flow: bool) -> str:
    """The text as it can stand for one value: as it is, or in single quotation marks where it would be misread.

    `flow` says whether it comes to stand in brackets, where a comma parts values.
    """
    trimmed = text.strip()
    if "\n" in trimmed or "\r" in trimmed:
        return trimmed
    before, behind = ("[", "]") if flow else ("word: ", "\n")
    paper = read_paper(f"word: {before}{trimmed}{behind}" if flow else f"{before}{trimmed}{behind}", "")
    node = paper.tree.get("word") if paper.tree is not None and not paper.faults else None
    if flow:
        node = node.items[0] if isinstance(node, Sequence) and len(node.items) == 1 else None
    if isinstance(node, Scalar) and (node.quoted or node.text == trimmed) and trimmed:
        return trimmed
    if node is not None and not isinstance(node, Scalar) and node.flow and _whole(paper, node, trimmed):
        return trimmed
    return "'" + trimmed.replace("'", "''") + "'"


def safe_key(name: str, flow: bool) -> str:
    """A name as it can stand before a colon."""
    return name if safe(name, flow) == name and ": " not in name else safe(f"'{name}'", flow)


def _whole(paper: Paper, node: Node, text: str) -> bool:
    return paper.text[node.span.start : node.span.end] == text


def in_block(text: str, indent: int, newline: str, opened: bool) -> str:
    """What stands behind a word's colon or a dash: ` value`, or a table on lines of its own set in by `indent`.

    `opened` says that the neighbours are written one word to a line: a table in braces is opened up then.
    """
    node, paper = _parsed(text)
    if isinstance(node, Mapping) and node.entries and (not node.flow or opened):
        lines = [paper.text[key.span.start : paper.end_of_entry(key, value)] for key, value in node.entries]
        if not node.flow:
            lines = _own_lines(paper.text, paper.column(node.entries[0][0].span.start))
        return newline + newline.join(_set_in(line, indent, newline) for line in lines)
    if isinstance(node, Sequence) and not node.flow:
        lines = _own_lines(paper.text, paper.column(node.span.start))
        return newline + newline.join(_set_in(line, indent, newline) for line in lines)
    shown = safe(text, flow=False)
    return " " + newline.join(_lines(shown)[:1] + [" " * indent + line.strip() for line in _lines(shown)[1:]])


def in_flow(text: str) -> str:
    """A value as it stands in brackets, on one line: a table or list that stood on lines of its own is closed up."""
    node, paper = _parsed(text)
    if node is None or isinstance(node, Scalar):
        return safe(text, flow=True)
    return _closed_up(node, paper)


def _closed_up(node: Node, paper: Paper) -> str:
    match node:
        case Scalar():
            return safe(" ".join(paper.text[node.span.start : node.span.end].split()), flow=True)
        case Sequence():
            return "[" + ", ".join(_closed_up(item, paper) for item in node.items) + "]"
        case Mapping():
            pairs = (f"{safe_key(key.text, True)}: {_closed_up(value, paper)}" for key, value in node.entries)
            return "{" + ", ".join(pairs) + "}"


def _parsed(text: str) -> tuple[Node | None, Paper]:
    """The value in a text, read under a word of its own."""
    trimmed = text.strip("\r\n").rstrip()
    if "\n" not in trimmed and "\r" not in trimmed:
        trimmed = trimmed.strip()
    body = "word:\n" + "\n".join(" " + line for line in _lines(trimmed)) + "\n"
    paper = read_paper(body, "")
    node = paper.tree.get("word") if paper.tree is not None and not paper.faults else None
    return node, paper


def _own_lines(text: str, column: int) -> list[str]:
    """The lines below the first, each without the white space that all of them share."""
    return [line[min(column, len(line) - len(line.lstrip())) :].rstrip() for line in _lines(text)[1:] if line.strip()]


def _set_in(line: str, indent: int, newline: str) -> str:
    return newline.join(" " * indent + each for each in _lines(line))


def _lines(text: str) -> list[str]:
    return text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
