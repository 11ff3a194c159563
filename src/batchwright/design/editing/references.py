"""Where the text speaks of a name: in expressions, as a whole value, before `first`, and as a key."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass

from batchwright.design.drawing.copies import copy_names
from batchwright.design.editing.paper import Paper, Splice, child
from batchwright.design.text.mistake import Mistake
from batchwright.design.text.names import spelled
from batchwright.design.text.syntax import At, Attribute, Name, parts_of
from batchwright.design.text.tree import Mapping, Node, Scalar, Sequence, Span
from batchwright.design.values.expression import parse_coordinate
from batchwright.design.values.tokens import Sort, tokens_of

_WORDS_ONLY = frozenset({
    "piece", "units", "hands", "wood", "use", "face marks", "note", "view", "ends", "keep", "sawn", "blank",
    "face side", "face edge", "reference end", "spacing", "smooth", "end", "shoulder", "turned", "haunch", "angle in",
    "slotted",
    "file", "layer", "job", "where", "glue", "finish", "boards", "defects", "shop", "due", "print in", "paper",
})  # fmt: skip
"""Words whose values are never names."""

_FIXED = {
    "drawn in": ("front", "side", "plan"),
    "count": ("pair", "front and back", "four"),
    "from": ("level",),
    "grain": ("across", "x", "y", "z"),
    "by": ("mitre",),
}
"""Values that mean themselves under these words, whatever else bears the name."""

_WORDS_ON = ("taper", "edges", "also sawn")
"""Tables whose `on` is one of a few words."""


@dataclass(frozen=True, slots=True)
class Mention:
    """One mention of a name: which, and the characters of the file it takes up, one span for each of its words."""

    name: str
    words: tuple[Span, ...]


def mentions(paper: Paper, known: Collection[str]) -> Iterator[Mention]:
    """Every mention of a known name in the values of a file."""
    for scalar in _values(paper.sound_tree()):
        yield from _mentions_in(paper, scalar, known)


def _values(node: Node) -> Iterator[Scalar]:
    """The values that may speak of names."""
    match node:
        case Mapping():
            for key, value in node.entries:
                if not _says_words(key, value):
                    yield from _values(value)
        case Sequence():
            for item in node.items:
                yield from _values(item)
        case Scalar():
            if not node.says_nothing:
                yield node


def _says_words(key: Scalar, value: Node) -> bool:
    """Whether what stands under a word is words of the language and no names."""
    word, way = key.text, key.way
    if word in _WORDS_ONLY and len(way) != 2:
        return True
    if word == "size" and way[0] == "joints":
        return True
    if word == "on" and any(above in _WORDS_ON for above in way[:-1]):
        return True
    return isinstance(value, Scalar) and value.text.strip() in _FIXED.get(word, ())


def _mentions_in(paper: Paper, scalar: Scalar, known: Collection[str]) -> Iterator[Mention]:
    raw = paper.text[scalar.span.start : scalar.span.end]
    skip = 1 if scalar.quoted else 0
    body = raw[skip : len(raw) - skip]
    if scalar.quoted and body != scalar.text:
        return
    start = scalar.span.start + skip
    read = Scalar(text=body, place=scalar.place, span=Span(start, start + len(body)))
    whole = _whole_name(read, known)
    if whole:
        yield whole
        return
    try:
        found = parse_coordinate(read, known).expression
    except Mistake:
        return
    for node in parts_of(found.root):
        if isinstance(node, Name | Attribute | At) and node.name in known:
            yield Mention(node.name, _word_spans(read, node.start, len(node.name.split(" "))))


def _whole_name(read: Scalar, known: Collection[str]) -> Mention | None:
    """A value that is a name and nothing else, or a name and `first`."""
    text = " ".join(spelled(read.text).split())
    name = text if text in known else text.removesuffix(" first")
    if name not in known:
        return None
    return Mention(name, _word_spans(read, 0, len(name.split(" "))))


def _word_spans(read: Scalar, start: int, count: int) -> tuple[Span, ...]:
    """The characters of the next `count` words of a name, in the file."""
    try:
        tokens = [token for token in tokens_of(read) if token.start >= start and token.sort is not Sort.END]
    except Mistake:
        return ()
    at = read.span.start
    return tuple(Span(at + token.start, at + token.end) for token in tokens[:count])


def names_of_part(paper: Paper, part: str) -> tuple[str, ...]:
    """The names that mean a part or some of its copies, in the order that any part of its count has them."""
    tree = paper.sound_tree()
    parts = tree.get("parts")
    node = child(parts, part) if isinstance(parts, Mapping) else None
    if not isinstance(node, Mapping):
        return (spelled(part),)
    count = node.get("count")
    said = count.text.strip() if isinstance(count, Scalar) else ""
    return tuple(copy_names(spelled(part), said, node.get("repeat") is not None))


def keys_named(node: Node | None, names: Collection[str]) -> Iterator[Scalar]:
    """Keys of a table, and of the tables in it, that are one of some names."""
    if isinstance(node, Mapping):
        for key, value in node.entries:
            if spelled(key.text) in names:
                yield key
            yield from keys_named(value, names)


def within(mention: Mention, old: str, new: str) -> Splice | None:
    """The splice that puts `new` in place of the words of `old` inside a mention of it or of one of its copies."""
    words = mention.name.split(" ")
    inner = old.split(" ")
    first = len(words) - len(inner) - (1 if words[-1].isdigit() else 0)
    if first < 0 or words[first : first + len(inner)] != inner or len(mention.words) != len(words):
        return None
    return Splice(mention.words[first].start, mention.words[first + len(inner) - 1].end, new)
