"""Every word of a piece file that stands where it may not, told all at once, each with the nearest that may."""

from __future__ import annotations

from collections.abc import Iterator

from batchwright.base.fault import Fault
from batchwright.design.drawing.joints import joint_words
from batchwright.design.text.near import listed
from batchwright.design.text.tree import Mapping, Node, Scalar, Sequence, form_of
from batchwright.design.words.words import check_words, word_in, words_in

NESTED = {
    "part": {
        "box": "box", "section": "section", "taper": "taper", "strip": "strip", "also sawn": "also sawn", "cut": "cut",
        "edges": "edge", "shaped": "shaped", "outline": "outline item", "repeat": "repeat", "drawn in": "plane",
    },
    "also sawn": {"strip": "strip", "outline": "outline item"},
    "except": {"pegs": "pegs", "tusk": "tusk", "slips": "slips", "shoulders": "shoulders"},
}  # fmt: skip
"""The tables that may stand under a word, by the table that the word is of."""

JOINT_NESTED = NESTED["except"] | {"except": "except"}


def word_faults(tree: Mapping) -> tuple[Fault, ...]:
    """Unknown and missing words of the whole file, joints by their kind."""
    faults = list(check_words(tree, "piece", "the piece file"))
    for key, node in _entries(tree.get("places")):
        if isinstance(node, Mapping):
            faults += check_words(node, "place", f"the place `{key.text}`")
    for key, node in _entries(tree.get("parts")):
        if isinstance(node, Mapping):
            faults += _checked(node, "part", f"the part `{key.text}`")
        else:
            faults.append(_not_a_part(key, node))
    joints = tree.get("joints")
    for number, item in enumerate(joints.items if isinstance(joints, Sequence) else (), start=1):
        kinds = joint_words(item)
        if isinstance(item, Mapping) and len(kinds) == 1:
            faults += _joint_words(item, kinds[0].removesuffix(" in"), f"joint {number}")
    if joints is not None and not isinstance(joints, Sequence) and not _empty(joints):
        faults.append(_list_wanted(joints))
    return tuple(faults)


def _joint_words(item: Mapping, kind: str, name: str) -> Iterator[Fault]:
    yield from check_words(item, kind, name)
    yield from _inner(item, JOINT_NESTED)
    exceptions = item.get("except")
    for exception in _tables(exceptions) if exceptions is not None else ():
        yield from _not_of_kind(exception, kind, name)


def _not_of_kind(exception: Mapping, kind: str, name: str) -> Iterator[Fault]:
    """Words of an exception that its own sort of joint does not have."""
    own = [word for word in words_in(kind) if word_in("except", word) is not None]
    for key, _ in exception.entries:
        known = word_in("except", key.text) is not None and key.text not in ("at", "of")
        if known and key.text not in own:
            yield Fault(
                code="word-of-another-joint",
                place=key.place,
                what=f"`{key.text}` says nothing of {name}, a `{kind}`.",
                mend=f"take it out; the words here are {listed(['at', 'of', *own], 30)}",
                why="an exception speaks in the words of its own joint",
            )


def _checked(node: Mapping, context: str, name: str = "") -> Iterator[Fault]:
    own = _is_file(node) and context == "outline item"
    yield from check_words(node, "outline file" if own else context, name)
    yield from _inner(node, NESTED.get(context, {}))


def _inner(node: Mapping, nested: dict[str, str]) -> Iterator[Fault]:
    for key, inner in node.entries:
        if key.text in nested:
            for item in _tables(inner):
                yield from _checked(item, nested[key.text])


def _tables(node: Node) -> Iterator[Mapping]:
    """A table, or the tables of a list."""
    if isinstance(node, Mapping):
        yield node
    elif isinstance(node, Sequence):
        yield from (item for item in node.items if isinstance(item, Mapping))


def _is_file(node: Mapping) -> bool:
    return node.key("file") is not None


def _entries(node: Node | None) -> tuple[tuple[Scalar, Node], ...]:
    return node.entries if isinstance(node, Mapping) else ()


def _empty(node: Node) -> bool:
    return isinstance(node, Scalar) and node.says_nothing


def _not_a_part(key: Scalar, node: Node) -> Fault:
    return Fault(
        code="part-form",
        place=node.place,
        what=f"the part `{key.text}` is {form_of(node)}, but words with values are wanted.",
        mend=f"write `{key.text}: {{box: {{...}}}}`, or its words set in under it, one to a line",
    )


def _list_wanted(node: Node) -> Fault:
    return Fault(
        code="list-wanted",
        place=node.place,
        what=f"`joints` is {form_of(node)}, but a list is wanted.",
        mend="write one joint to a line, each after a dash: `- {tenon: rail, into: leg}`",
    )
