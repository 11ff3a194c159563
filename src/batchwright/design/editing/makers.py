"""Mends of faults whose words alone do not say the change: one maker for each code, and the table of them."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace

from batchwright.base.mend import Change, Mend, set_text
from batchwright.design.completion.choices import VALUES
from batchwright.design.editing.offers import SAID, Desk, taken_out, what_stands_there
from batchwright.design.editing.paper import Paper, find
from batchwright.design.text.tree import Mapping as Words
from batchwright.design.text.tree import Node, Scalar, Sequence


def _given_twice(desk: Desk) -> tuple[Mend, ...]:
    """The second of two words, with what stands under it, taken out: its lines, or its part of a table in braces."""
    text, paper = desk.paper.text, desk.paper
    first = paper.line_start(desk.at)
    if not text[first : desk.at].strip():
        end = paper.next_line(desk.at)
        while end < len(text) and _set_in(text, end) > desk.at - first:
            end = paper.next_line(end)
        return (Mend(say="take the second out", changes=(desk.replaced(first, end - first, ""),)),)
    end = _end_of_item(text, desk.at)
    start = len(text[: desk.at].rstrip())
    if text[start - 1 : start] == ",":
        return (Mend(say="take the second out", changes=(desk.replaced(start - 1, end - start + 1, ""),)),)
    return ()


def _set_in(text: str, at: int) -> int:
    """How far a line is set in; nothing for a line that says nothing."""
    found = re.compile(r" *(?=[^ \r\n])").match(text, at)
    return len(found.group()) if found else -1


def _end_of_item(text: str, at: int) -> int:
    depth = 0
    for n in range(at, len(text)):
        if text[n] in "[{":
            depth += 1
        elif text[n] in "]}" or (text[n] == "," and depth == 0):
            if depth == 0:
                return n
            depth -= 1
    return len(text)


def _tabs(desk: Desk) -> tuple[Mend, ...]:
    """Every tab becomes two spaces, the last first, so that the places of the others stay."""
    tabs = [found.start() for found in re.finditer("\t", desk.paper.text)]
    if len(tabs) > 150:
        return ()
    changes = tuple(desk.replaced(at, 1, "  ") for at in reversed(tabs))
    return (Mend(say="write spaces instead of tabs", changes=changes),)


def _one_character(desk: Desk) -> tuple[Mend, ...]:
    """A character that has no meaning, with what is to be written instead, or taken out."""
    said = SAID.findall(desk.fault.mend)
    here = desk.paper.text[desk.at : desk.at + 1]
    if desk.fault.code == "control-character":
        return (Mend(say="delete it", changes=(desk.replaced(desk.at, 1, ""),)),)
    if desk.fault.code == "comma":
        point = (
            desk.paper.text[desk.at - 1 : desk.at].isdigit() and desk.paper.text[desk.at + 1 : desk.at + 2].isdigit()
        )
        text = "." if point else ";"
        return (Mend(say=f"write `{text}`", changes=(desk.replaced(desk.at, 1, text),)),)
    if here == "#":
        return (Mend(say="a space before `#`", changes=(desk.replaced(desk.at, 0, " "),)),)
    if "and a space before it" in desk.fault.mend and said:
        return (Mend(say=f"write `{said[0]}`", changes=(desk.replaced(desk.at, 1, f" {said[0]}"),)),)
    text = said[0] if said and len(said[0]) == 1 else ""
    if desk.fault.mend.startswith("write `deg`"):
        text = " deg"
    if "for example" in desk.fault.mend and text == "":
        return ()
    return (Mend(say=desk.fault.mend, changes=(desk.replaced(desk.at, 1, text),)),) if text else ()


def _mark_out(desk: Desk) -> tuple[Mend, ...]:
    """An anchor or a tag, taken out with the space behind it."""
    found = re.compile(r"[&!]\S*[ ]*").search(desk.paper.text, desk.at)
    if found is None or "\n" in desk.paper.text[desk.at : found.start()]:
        return ()
    change = desk.replaced(found.start(), len(found.group()), "")
    return (Mend(say="take it out", changes=(change,)),)


def _limit(desk: Desk) -> tuple[Mend, ...]:
    """The value brought to its limit, or the limit moved to the value."""
    name = next(iter(SAID.findall(desk.fault.what)), "")
    value = re.search(r"` is (.+?), but", desk.fault.what)
    told = re.search(
        r"make it (?P<limit>.+?) or (?:more|less), or (?:lower|raise) `(?P<word>from|to)`", desk.fault.mend
    )
    if told is None or value is None:
        return ()
    mends = [Mend(say=f"make `{name}` {told['limit']}", changes=(Change(do="size", name=name, text=told["limit"]),))]
    section = _section_of(desk.paper, name)
    if section:
        change = set_text((section, name, told["word"]), value.group(1), desk.file)
        mends.append(Mend(say=f"`{told['word']}: {value.group(1)}`", changes=(change,)))
    return tuple(mends)


def _section_of(paper: Paper, name: str) -> str:
    for section in ("sizes", "numbers"):
        if paper.tree is not None and find(paper.tree, (section, name, "is")) is not None:
            return section
    return ""


def _swapped_limits(desk: Desk) -> tuple[Mend, ...]:
    name = next(iter(SAID.findall(desk.fault.what)), "")
    section = _section_of(desk.paper, name)
    ends = [find(desk.paper.tree, (section, name, word)) for word in ("from", "to")] if desk.paper.tree else []
    if not section or not all(isinstance(end, Scalar) for end in ends):
        return ()
    low, high = (end.text for end in ends if isinstance(end, Scalar))
    changes = (set_text((section, name, "from"), high, desk.file), set_text((section, name, "to"), low, desk.file))
    return (Mend(say="change `from` and `to` round", changes=changes),)


def _line_out(desk: Desk) -> tuple[Mend, ...]:
    """The line that cannot stand there: the one that begins with `%`, or the `---`."""
    percent = re.search(r"^%", desk.paper.text, re.MULTILINE)
    first = percent.start() if percent and desk.fault.code == "directive" else desk.paper.line_start(desk.at)
    length = desk.paper.next_line(first) - first
    return (Mend(say="take the line out", changes=(desk.replaced(first, length, ""),)),)


def _mark_too_many(desk: Desk) -> tuple[Mend, ...]:
    """A bracket, a sign or a unit that stands for nothing, taken out."""
    text = desk.paper.text
    found = re.compile(r"[)+]|(?:in|ft|mm|cm|m|deg)\b").match(text, desk.at)
    if found is None or "out" not in desk.fault.mend:
        return ()
    start = desk.at - (1 if text[desk.at - 1] == " " else 0)
    length = found.end() - start
    return (Mend(say=f"take `{found.group()}` out", changes=(desk.replaced(start, length, ""),)),)


def _behind_a_point(desk: Desk) -> tuple[Mend, ...]:
    here = what_stands_there(desk)
    if here is None:
        return ()
    found = (f".{text}" for text in SAID.findall(desk.fault.mend))
    return tuple(Mend(say=f"write `{text}`", changes=(desk.replaced(*here, text),)) for text in found)


def _nearest_that_may(desk: Desk) -> tuple[Mend, ...]:
    """A count or share beyond its range, brought to the end of it."""
    found = desk.node()
    ends = re.search(r"from (\d+) to (\d+)|up to ([\d.]+ %)", desk.fault.mend)
    value = re.search(r"` is (-?[\d.]+)", desk.fault.what)
    if found is None or ends is None or value is None or not isinstance(found[1], Scalar):
        return ()
    low, high, share = ends.groups()
    text = share or (low if float(value.group(1)) < float(low) else high)
    return (Mend(say=f"write `{text}`", changes=(set_text(found[1].way, text, desk.file),)),)


def _unit_of_heading(desk: Desk) -> tuple[Mend, ...]:
    found = re.compile(r"[^,;\t\r\n]*?[\[(]([^\])]*)[\])]").match(desk.paper.text, desk.at)
    if found is None:
        return ()
    start, end = found.span(1)
    units = SAID.findall(desk.fault.mend)
    return tuple(Mend(say=f"write `{unit}`", changes=(desk.replaced(start, end - start, unit),)) for unit in units)


def _without_reserved(desk: Desk) -> tuple[Mend, ...]:
    """The name without the word that has a meaning of its own."""
    said = SAID.findall(desk.fault.what)
    here = what_stands_there(desk)
    name = " ".join(word for word in said[0].split() if word != said[1]) if len(said) > 1 else ""
    if here is None or not name:
        return ()
    return (Mend(say=f"call it `{name}`", changes=(desk.replaced(*here, name),)),)


def _other_way_round(desk: Desk) -> tuple[Mend, ...]:
    """Two values of a list, or the two points of a line, the other way round."""
    tree = desk.paper.tree
    found = desk.node()
    pair = found[1] if found is not None else None
    if desk.fault.code == "true-view-drawn-backwards" and tree is not None:
        pair = find(tree, ("places", next(iter(SAID.findall(desk.fault.what)), ""), "line"))
    if isinstance(pair, Scalar) and tree is not None:
        pair = find(tree, pair.way[:-1])
    if not isinstance(pair, Sequence) or len(pair.items) != 2:
        return ()
    texts = [desk.paper.text[item.span.start : desk.paper.end_of(item)] for item in pair.items]
    changes = tuple(set_text((*pair.way, n), text, desk.file) for n, text in enumerate(reversed(texts)))
    return (Mend(say="the other way round", changes=changes),)


def _last_copy(desk: Desk) -> tuple[Mend, ...]:
    here = what_stands_there(desk)
    last = re.search(r"there is no `(.+) \d+`: the last one is (\d+)", desk.fault.what)
    if here is None or last is None:
        return ()
    text = f"{last.group(1)} {last.group(2)}"
    return (Mend(say=f"write `{text}`", changes=(desk.replaced(*here, text),)),)


def _uncounted(desk: Desk) -> tuple[Mend, ...]:
    """The part that is counted, drawn once, where a copy of it has the name of another part."""
    said = SAID.findall(desk.fault.what)
    if len(said) < 2:
        return ()
    change = set_text(("parts", said[1], "count"), None, desk.file)
    return (Mend(say=f"draw `{said[1]}` without `count`", changes=(change,)),)


def _one_of_two(desk: Desk) -> tuple[Mend, ...]:
    """One of two words that say the same, taken out."""
    found = desk.node()
    said = SAID.findall(desk.fault.what)
    way = found[1].way if found is not None else ()
    tree = desk.paper.tree
    if tree is None or len(said) < 2:
        return ()
    while way and find(tree, (*way, said[0])) is None:
        way = way[:-1]
    if not way or any(find(tree, (*way, word)) is None for word in said):
        return ()
    changes = ((word, set_text((*way, word), None, desk.file)) for word in said)
    return tuple(Mend(say=f"take `{word}` out", changes=(change,)) for word, change in changes)


def _defects_out(desk: Desk) -> tuple[Mend, ...]:
    return (Mend(say="take `defects` out", changes=(set_text(("defects",), None, desk.file),)),)


def _word_missing(desk: Desk) -> tuple[Mend, ...]:
    """A word that must be there, with each of the few values it may have."""
    said = SAID.findall(desk.fault.what)
    example = SAID.findall(desk.fault.mend)
    tables = [context for context, word in VALUES if said and word == said[-1]]
    found = desk.node()
    root = desk.paper.tree
    table = found[1] if found and isinstance(found[1], Words) else root if desk.fault.place.line == 1 else None
    if not tables or not example or not isinstance(table, Words):
        return ()
    word = said[-1]
    return tuple(
        Mend(say=f"`{word}: {value}`", changes=(set_text((*table.way, word), value, desk.file),))
        for value in VALUES[tables[0], word]
    )


def _which_copy(desk: Desk) -> tuple[Mend, ...]:
    here = what_stands_there(desk)
    said = SAID.findall(desk.fault.mend)
    if here is None or len(said) != 2:
        return ()
    return tuple(Mend(say=f"write `{text}`", changes=(desk.replaced(*here, text),)) for text in said)


def _other_name(desk: Desk) -> tuple[Mend, ...]:
    """Another name for the second of two things of one name; what mentions it means the first."""
    said = SAID.findall(desk.fault.mend)
    here = what_stands_there(desk)
    if here is None or not said:
        return ()
    return (Mend(say=f"call it `{said[-1]}`", changes=(desk.replaced(*here, said[-1]),)),)


def _moved_section(desk: Desk) -> tuple[Mend, ...]:
    """A size that is a number, or a number that is a size, written where it belongs."""
    told = re.match(r"put `(?P<name>[^`]+)` under `(?P<to>sizes|numbers)`", desk.fault.mend)
    if told is None or desk.paper.tree is None:
        return ()
    name, to = told["name"], told["to"]
    source = "numbers" if to == "sizes" else "sizes"
    node = find(desk.paper.tree, (source, name))
    if node is None:
        return ()
    text = desk.paper.text[node.span.start : desk.paper.end_of(node)]
    if not isinstance(node, Scalar) and not node.flow:
        return ()
    changes = (
        set_text((source, name), None, desk.file),
        Change(do=f"add {to[:-1]}", name=name, text=text),
    )
    return (Mend(say=f"put `{name}` under `{to}`", changes=changes),)


def _second_said(desk: Desk) -> tuple[Mend, ...]:
    out = taken_out(desk)
    return (replace(out, say="keep the first"),) if out else ()


def _bracket(desk: Desk) -> tuple[Mend, ...]:
    """A bracket closed at the end of its value, where it is the only one that is open."""
    node = next((each for each in _scalars(desk.paper.tree) if each.span.start <= desk.at < each.span.end), None)
    if node is None or node.quoted or node.text.count("(") != node.text.count(")") + 1:
        return ()
    return (Mend(say="add `)` at its end", changes=(desk.replaced(node.span.end, 0, ")"),)),)


def _scalars(node: Node | None) -> list[Scalar]:
    match node:
        case Scalar():
            return [node]
        case Sequence():
            return [each for item in node.items for each in _scalars(item)]
        case Words():
            return [each for key, value in node.entries for each in (key, *_scalars(value))]
        case None:
            return []


BY_CODE: dict[str, Callable[[Desk], tuple[Mend, ...]]] = {
    "word-given-twice": _given_twice,
    "tab": _tabs,
    "control-character": _one_character,
    "unknown-character": _one_character,
    "comma": _one_character,
    "anchor": _mark_out,
    "tag": _mark_out,
    "outside-limits": _limit,
    "limits-crossed": _swapped_limits,
    "word-missing": _word_missing,
    "which-copy": _which_copy,
    "name-taken": _other_name,
    "bad-name": _other_name,
    "wrong-kind": _moved_section,
    "climate-said-twice": _second_said,
    "bracket-not-closed": _bracket,
    "bracket-not-opened": _mark_too_many,
    "unexpected": _mark_too_many,
    "unit-without-number": _mark_too_many,
    "directive": _line_out,
    "second-document": _line_out,
    "unknown-word-behind-point": _behind_a_point,
    "count-out-of-range": _nearest_that_may,
    "share-out-of-range": _nearest_that_may,
    "unknown-unit": _unit_of_heading,
    "reserved-word": _without_reserved,
    "defects-without-boards": _defects_out,
    "range-runs-back": _other_way_round,
    "true-view-drawn-backwards": _other_way_round,
    "no-such-copy": _last_copy,
    "name-of-a-copy": _uncounted,
    "thickness-not-said": _one_of_two,
}
