"""A part taken out of the piece, with what names it in joints and in the job's spares."""

from __future__ import annotations

from collections.abc import Iterator

from batchwright.design.editing.entries import set_at, take_out
from batchwright.design.editing.paper import Paper, find, read_paper, spliced
from batchwright.design.editing.references import keys_named, names_of_part
from batchwright.design.editing.renaming import named_entry
from batchwright.design.text.names import spelled
from batchwright.design.text.tree import Mapping, Node, Scalar, Sequence, Way

_NAMING = (
    "tenon", "loose tenon", "dowel", "housing", "groove", "halving", "rest", "screw", "button", "glue", "meeting in",
    "into", "with", "on", "to",
)  # fmt: skip
"""Words of a joint statement that name parts; without one of them there is no joint."""


def part_taken_out(piece: Paper, jobs: list[Paper], part: str) -> dict[str, str]:
    """The texts without a part, by file. Raises Mistake where no part is called so."""
    _, key = named_entry(piece, "part", part)
    names = names_of_part(piece, key.text)
    text = spliced(piece.text, take_out(piece, key.way))
    paper = read_paper(text, piece.file)
    while (way := next(_named(paper, names), None)) is not None:
        paper = read_paper(spliced(paper.text, take_out(paper, way)), piece.file)
    paper = _meetings_settled(paper, names)
    texts = {piece.file: paper.text}
    for job in jobs:
        spare = next(keys_named(job.sound_tree().get("spares"), names), None)
        if spare is not None:
            texts[job.file] = spliced(job.text, take_out(job, spare.way))
    return texts


def _named(paper: Paper, names: tuple[str, ...]) -> Iterator[Way]:
    """What of the joints must go because it names a part: a statement, an exception, or one name of several."""
    joints = paper.sound_tree().get("joints")
    for item in joints.items if isinstance(joints, Sequence) else ():
        if isinstance(item, Mapping):
            yield from _in_statement(item, names, _NAMING)
            of = item.get("of") if item.get("meeting in") is not None else None
            if isinstance(of, Sequence) and _one_of(of, names):
                yield _one_of(of, names) if len(of.items) > 2 else item.way
            for word in ("at", "except"):
                yield from _narrowed(item.get(word), names)


def _in_statement(item: Mapping, names: tuple[str, ...], words: tuple[str, ...]) -> Iterator[Way]:
    for word in words:
        node = item.get(word)
        if isinstance(node, Scalar) and _is(node, names):
            yield item.way
        elif isinstance(node, Sequence) and (found := _one_of(node, names)):
            yield found if len(node.items) > 1 else item.way


def _narrowed(node: Node | None, names: tuple[str, ...]) -> Iterator[Way]:
    """`at` names, or exceptions whose `at` or `of` do."""
    if isinstance(node, Scalar) and _is(node, names):
        yield node.way
    elif isinstance(node, Sequence):
        for each in node.items:
            if isinstance(each, Scalar) and _is(each, names):
                yield each.way if len(node.items) > 1 else node.way
            elif isinstance(each, Mapping):
                yield from _in_statement(each, names, ("at", "of"))


def _one_of(node: Sequence, names: tuple[str, ...]) -> Way:
    return next((item.way for item in node.items if isinstance(item, Scalar) and _is(item, names)), ())


def _is(scalar: Scalar, names: tuple[str, ...]) -> bool:
    return spelled(scalar.text.strip()) in names


def _meetings_settled(paper: Paper, names: tuple[str, ...]) -> Paper:
    """Meetings that were settled by the part that is gone are mitred."""
    joints = paper.sound_tree().get("joints")
    for item in joints.items if isinstance(joints, Sequence) else ():
        by = find(item, ("by",))
        if isinstance(by, Scalar) and spelled(by.text.strip()).removesuffix(" first") in names:
            return _meetings_settled(read_paper(spliced(paper.text, set_at(paper, by.way, "mitre")), paper.file), names)
    return paper
