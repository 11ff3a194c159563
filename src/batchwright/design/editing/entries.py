"""Entries written, replaced, copied and taken out, in tables and lists of either form; what is beside them stays."""

from __future__ import annotations

from batchwright.base.fault import Place
from batchwright.base.mend import Step
from batchwright.design.editing.fragment import STEP, in_block, in_flow, safe, safe_key
from batchwright.design.editing.paper import Paper, Splice, entry, find, said_way, says_nothing
from batchwright.design.text.mistake import Mistake, mistake
from batchwright.design.text.tree import Mapping, Node, Scalar, Sequence, Way

APPEND = "+"
"""The last step of a way that adds an item to a list."""
FREE_TEXT = ("note", "piece", "job")
"""Words whose value is text and nothing else, whatever stands in it."""


def set_at(paper: Paper, way: Way, text: str) -> list[Splice]:
    """The splices that write a value at the end of a way; words that are missing are added. Raises Mistake."""
    tree = paper.sound_tree()
    if way[-1] in FREE_TEXT:
        text = safe(text, flow=False)
    reached = _reached(tree, way)
    node = find(tree, way[:reached])
    if reached == len(way):
        assert node is not None
        return value_at(paper, way, node, text)
    step, rest = way[reached], way[reached + 1 :]
    for later in reversed(rest):
        text = f"[{text}]" if later == APPEND else f"{{{safe_key(str(later), True)}: {in_flow(text)}}}"
    if isinstance(node, Mapping) and isinstance(step, str) and not any(isinstance(each, int) for each in rest):
        return add_entry(paper, node, step, text)
    if isinstance(node, Sequence) and step in (APPEND, len(node.items)):
        return add_item(paper, node, text)
    if isinstance(step, str) and says_nothing(node) and reached:
        nested = f"[{text}]" if step == APPEND else f"{safe_key(step, False)}: {text}"
        return value_at(paper, way[:reached], node, nested)
    if reached == 2 and way[0] in ("sizes", "numbers") and isinstance(node, Scalar) and isinstance(step, str):
        kept = paper.text[node.span.start : node.span.end]
        return [Splice(node.span.start, node.span.end, f"{{is: {in_flow(kept)}, {step}: {in_flow(text)}}}")]
    raise no_such_entry(paper, way)


def _reached(tree: Mapping, way: Way) -> int:
    """How many steps of a way the tree has."""
    return next((n - 1 for n in range(1, len(way) + 1) if find(tree, way[:n]) is None), len(way))


def no_such_entry(paper: Paper, way: Way) -> Mistake:
    """The mistake of a change that speaks of something the file has not. Raise it."""
    what = f"the file has nothing at {said_way(way)}."
    return mistake("no-such-entry", Place(paper.file), what, "look at the text again: it has changed meanwhile")


def value_at(paper: Paper, way: Way, node: Node | None, text: str) -> list[Splice]:
    """The splices that put another value in place of one that is there."""
    parent = find(paper.sound_tree(), way[:-1])
    assert node is not None
    if isinstance(parent, Mapping) and isinstance(way[-1], str):
        found = entry(parent, way[-1])
        assert found is not None
        return _value_under(paper, parent, found[0], node, text)
    start, end = node.span.start, paper.end_of(node)
    if isinstance(parent, Sequence) and not parent.flow:
        indent = paper.column(start)
        written = in_block(text, indent, paper.newline, opened=False).lstrip()
        return [Splice(start, end, written)]
    return [Splice(start, end, in_flow(text))]


def _value_under(paper: Paper, parent: Mapping, key: Scalar, node: Node, text: str) -> list[Splice]:
    after = paper.colon(key) + 1
    if parent.flow:
        empty = isinstance(node, Scalar) and node.span.start == node.span.end
        return [
            Splice(after, after, " " + in_flow(text))
            if empty
            else Splice(node.span.start, node.span.end, in_flow(text))
        ]
    indent = paper.column(key.span.start) + len(STEP)
    on_line = not isinstance(node, Scalar) and not node.flow
    opened = on_line and isinstance(node, Mapping)
    if on_line and node.span.start >= paper.line_end(after):
        written = in_block(text, paper.column(node.span.start), paper.newline, opened)
        if written.startswith(paper.newline):
            first = paper.line_start(node.span.start)
            return [Splice(first, paper.end_of(node), written[len(paper.newline) :])]
        gone = Splice(paper.next_line(after), paper.next_line(paper.end_of(node)), "")
        if gone.end == len(paper.text) and paper.line_end(gone.end) == gone.end and not _ends_line(paper, gone.end):
            gone = Splice(paper.line_end(after), gone.end, "")
        return [Splice(after, after, written), gone]
    written = in_block(text, indent, paper.newline, opened=False)
    if isinstance(node, Scalar) and node.span.start == node.span.end:
        return [Splice(after, after, written)]
    if written.startswith(" "):
        return [Splice(node.span.start, paper.end_of(node), written[1:])]
    return [Splice(after, paper.end_of(node), written)]


def _ends_line(paper: Paper, at: int) -> bool:
    return paper.text[at - 1 : at] in ("\n", "\r")


def add_entry(paper: Paper, table: Mapping, name: str, text: str, after: str = "") -> list[Splice]:
    """The splices that add a word with its value to a table, behind `after` or at its end."""
    beside = entry(table, after) if after else None
    if not table.entries:
        at = paper.text.index("{", table.span.start) + 1
        return [Splice(at, at, f"{safe_key(name, True)}: {in_flow(text)}")]
    key, value = beside or table.entries[-1]
    if table.flow:
        at = paper.end_of_entry(key, value)
        return [Splice(at, at, f", {safe_key(name, True)}: {in_flow(text)}")]
    indent = paper.column(table.entries[0][0].span.start)
    opened = isinstance(value, Mapping) and not value.flow
    deeper = paper.column(value.span.start) if opened else indent + len(STEP)
    written = in_block(text, deeper, paper.newline, opened)
    shown = f"{safe_key(name, False)}:"
    if written.startswith(" "):
        shown += " " * _gap(paper, table, len(shown)) + written[1:]
    else:
        shown += written
    at = paper.line_end(paper.end_of_entry(key, value))
    return [Splice(at, at, f"{paper.newline}{' ' * indent}{shown}")]


def _gap(paper: Paper, table: Mapping, width: int) -> int:
    """How many spaces stand between a new word's colon and its value: in line with its neighbours where they are."""
    columns = set()
    widths = set()
    for key, value in table.entries[-3:]:
        if isinstance(value, Scalar) or value.flow:
            columns.add(value.span.start - key.span.start)
            widths.add(key.span.end - key.span.start)
    if len(columns) == 1 and len(widths) > 1:
        return max(1, columns.pop() - width)
    return 1


def add_item(paper: Paper, items: Sequence, text: str, after: int | None = None) -> list[Splice]:
    """The splices that add an item to a list, behind item `after` or at its end."""
    if not items.items:
        at = paper.text.index("[", items.span.start) + 1
        return [Splice(at, at, in_flow(text))]
    beside = items.items[-1 if after is None else after]
    if items.flow:
        at = paper.end_of(beside)
        return [Splice(at, at, f", {in_flow(text)}")]
    indent = paper.column(paper.dash(beside))
    opened = isinstance(beside, Mapping) and not beside.flow
    written = in_block(text, indent + len(STEP), paper.newline, opened and "{" not in text.strip()[1:]).lstrip()
    at = paper.line_end(paper.end_of(beside))
    return [Splice(at, at, f"{paper.newline}{' ' * indent}- {written}")]


def copy_lines(paper: Paper, start: int, end: int, old: Splice | None) -> list[Splice]:
    """The splices that write the lines from `start` to `end` once more below; `old` is changed in the copy."""
    first = paper.line_start(start)
    last = paper.line_end(end)
    text = paper.text[first:last]
    if old is not None:
        text = text[: old.start - first] + old.text + text[old.end - first :]
    return [Splice(last, last, paper.newline + text)]


def take_out(paper: Paper, way: Way) -> list[Splice]:
    """The splices that take out what stands at the end of a way. Raises Mistake.

    Where nothing else stood beside it on lines of their own, the word above goes too, so that none is left empty.
    """
    tree = paper.sound_tree()
    node = find(tree, way)
    parent = find(tree, way[:-1])
    if node is None or parent is None or isinstance(parent, Scalar):
        raise no_such_entry(paper, way)
    beside = parent.entries if isinstance(parent, Mapping) else parent.items
    if len(beside) == 1 and not parent.flow and len(way) > 1 and way[:-1] != ("parts",):
        return take_out(paper, way[:-1])
    if isinstance(parent, Mapping):
        index = [key.text for key, _ in parent.entries].index(_own_key(parent, way[-1]).text)
        spans = [(key.span.start, paper.end_of_entry(key, value)) for key, value in parent.entries]
    else:
        index = int(way[-1])
        spans = [(_item_start(paper, parent, item), paper.end_of(item)) for item in parent.items]
    return _out_of_line(paper, parent, spans, index) if parent.flow else _out_of_lines(paper, spans, index)


def _own_key(parent: Mapping, step: Step) -> Scalar:
    found = entry(parent, str(step))
    assert found is not None
    return found[0]


def _item_start(paper: Paper, parent: Sequence, item: Node) -> int:
    return item.span.start if parent.flow else paper.dash(item)


def _out_of_line(paper: Paper, parent: Mapping | Sequence, spans: list[tuple[int, int]], index: int) -> list[Splice]:
    """Out of brackets: with the comma before it, or the one behind it where it is the first."""
    start, end = spans[index]
    if len(spans) == 1:
        return [Splice(parent.span.start + 1, parent.span.end - 1, "")]
    if index == 0:
        gap = paper.text[end : spans[1][0]]
        return [Splice(start, spans[1][0] if "#" not in gap else end + gap.index(",") + 1, "")]
    before = spans[index - 1][1]
    gap = paper.text[before:start]
    if "#" not in gap:
        return [Splice(before, end, "")]
    comma = before + gap.index(",")
    return [Splice(comma, comma + 1, ""), Splice(start, end, "")]


def _out_of_lines(paper: Paper, spans: list[tuple[int, int]], index: int) -> list[Splice]:
    """Out of lines: its own lines, with the remark behind its last."""
    start, end = spans[index]
    first = paper.line_start(start)
    if paper.text[first:start].strip():
        return [Splice(start, spans[index + 1][0], "")] if index + 1 < len(spans) else [Splice(start, end, "")]
    last = paper.next_line(end)
    if last == len(paper.text) and not _ends_line(paper, last) and first > 0:
        before = first - (2 if paper.text[first - 2 : first] == "\r\n" else 1)
        return [Splice(max(before, 0), last, "")]
    return [Splice(first, last, "")]
