"""From the tree of a piece file to the piece as drawn: parts in their places, joints with holes."""

from __future__ import annotations

from collections.abc import Iterable
from collections.abc import Mapping as Table
from dataclasses import replace

from batchwright.base.fault import Fault, Place, has_errors, in_file_order
from batchwright.base.told import told_in
from batchwright.design.drawing.copies import PartRef, copy_names
from batchwright.design.drawing.counts import parts_of
from batchwright.design.drawing.heading import Heading, read_heading
from batchwright.design.drawing.joints import Cast, read_joints
from batchwright.design.drawing.lookup import Desk, Files, Pen
from batchwright.design.drawing.parts import count_of_part, draw_part
from batchwright.design.drawing.places import draw_place
from batchwright.design.outlines.from_file import file_names
from batchwright.design.text.mistake import Mistake
from batchwright.design.text.names import spelled
from batchwright.design.text.tree import Mapping, Node, Scalar
from batchwright.design.values.declared import declare
from batchwright.design.values.reading import length_of
from batchwright.design.values.sizes import SizeBook, evaluate_sizes, within_limits
from batchwright.design.words.wording import word_faults
from batchwright.model.draft import DraftPart, DraftPiece, SizeValue
from batchwright.model.job import Override

_REFUSED = ("cannot-be-drawn", "corner-does-not-fit", "parallel-folds", "strip-folds")
"""Codes of faults that repeat the geometry's own words."""

Overrides = Table[str, str] | Iterable[Override] | None


def draft_piece(
    tree: Mapping, file: str, overrides: Overrides = None, files: Files | None = None
) -> tuple[DraftPiece | None, tuple[Fault, ...]]:
    """The piece a tree describes, and everything wrong with it, in file order.

    `overrides` sets sizes and numbers in place of what the file says, as text or as a job's records. Parts that can be
    drawn are drawn even where others cannot; there is no piece only where not one part could be drawn. Where a size
    lies outside its limits, that is told, and the piece is drawn at the limit: what would only follow is not told.
    """
    faults = list(word_faults(tree))
    heading = read_heading(tree, faults)
    declared = declare(tree)
    instead = _as_overrides(overrides)
    book = evaluate_sizes(declared, heading.units, instead)
    faults += [*declared.faults, *book.faults]
    desk = _desk(tree, heading, within_limits(declared, instead, book), faults)
    desk.files = files or {}
    desk.middle = _middle(tree, desk)
    for name in desk.places:
        _try(desk.place, name)
    parts = _parts(desk, heading)
    cast = Cast(refs=desk.refs, offered=tuple(name for name in desk.refs if name in desk.offered), parts=tuple(parts))
    joints, meetings = read_joints(tree.get("joints"), cast, Pen(desk=desk), desk.faults)
    told = in_file_order([_in_units(fault, heading.units) for fault in desk.faults])
    if not parts and not has_errors(told):
        told = (*told, _nothing_drawn(file))
    assert has_errors(told) or all(name in desk.drawn for name in desk.parts), "a part is lost without a word"
    if not parts:
        return None, told
    piece = DraftPiece(
        name=heading.name, file=file, units=heading.units, hands=heading.hands, wood=heading.wood, parts=tuple(parts),
        joints=joints, meetings=meetings, sizes=book.values, middle=desk.middle, outdoors=heading.outdoors,
        use=heading.use, face_marks=heading.face_marks, note=heading.note,
    )  # fmt: skip
    return piece, told


def outline_files(tree: Mapping) -> tuple[tuple[str, Place], ...]:
    """Every drawing file that a piece file names, and where: what must be handed in to draw it."""
    return file_names(tree)


def size_names(tree: Mapping) -> frozenset[str]:
    """The sizes and numbers that a file declares."""
    return frozenset(spelled(key.text) for word in ("sizes", "numbers") for key, _ in _entries(tree.get(word)))


def part_names(tree: Mapping) -> frozenset[str]:
    """The parts that a file names, drawn or not."""
    return frozenset(spelled(key.text) for key, _ in _entries(tree.get("parts")))


def free_sizes(piece: DraftPiece) -> tuple[SizeValue, ...]:
    """Sizes and numbers the maker may move between limits: what a sweep tries at both ends."""
    return tuple(size for size in piece.sizes if size.free and size.low is not None and size.high is not None)


def _as_overrides(overrides: Overrides) -> tuple[Override, ...]:
    if overrides is None:
        return ()
    if isinstance(overrides, Table):
        return tuple(Override(name=name, text=text) for name, text in overrides.items())
    return tuple(overrides)


def _entries(node: Node | None) -> tuple[tuple[Scalar, Node], ...]:
    return node.entries if isinstance(node, Mapping) else ()


def _desk(tree: Mapping, heading: Heading, book: SizeBook, faults: list[Fault]) -> Desk:
    places = {spelled(key.text): (key, node) for key, node in _entries(tree.get("places"))}
    parts = {spelled(key.text): (key, node) for key, node in _entries(tree.get("parts")) if isinstance(node, Mapping)}
    refs = _refs(parts, faults)
    plain = [name for name, ref in refs.items() if not ref.number]
    return Desk(
        units=heading.units, hands=heading.hands, book=book, places=places, parts=parts, refs=refs,
        known=frozenset((*book.known, *places, *refs)), offered=tuple((*book.known, *places, *plain)),
        draw_place=draw_place, draw_part=draw_part, faults=faults,
    )  # fmt: skip


def _refs(parts: dict[str, tuple[Scalar, Mapping]], faults: list[Fault]) -> dict[str, PartRef]:
    """What every name of a part or a copy means. A part that bears the name of another's copy is a fault."""
    refs: dict[str, PartRef] = {name: PartRef(part=name) for name in parts}
    for name, (key, node) in parts.items():
        try:
            count = count_of_part(node)
        except Mistake:
            count = ""
        for copy, ref in copy_names(name, count, node.get("repeat") is not None).items():
            if copy in parts and copy != name:
                faults.append(_copy_name_taken(copy, name, parts[copy][0].place, key.place))
            else:
                refs[copy] = ref
    return refs


def _copy_name_taken(copy: str, part: str, place: Place, other: Place) -> Fault:
    return Fault(
        code="name-of-a-copy",
        place=place,
        what=f"the part `{copy}` bears the name of a copy of `{part}` (line {other.line}).",
        mend=f"call `{copy}` something else, or draw `{part}` without `count`",
        why="a name means one thing",
    )


def _middle(tree: Mapping, desk: Desk) -> float | None:
    node = tree.get("middle")
    if node is None:
        return None
    try:
        return length_of(node, Pen(desk=desk), desk.known, "middle")
    except Mistake as wrong:
        desk.faults += wrong.faults
        return None


def _try(draw, name: str):  # type: ignore[no-untyped-def]
    try:
        return draw(name)
    except Mistake as wrong:
        assert not wrong.faults
        return None


def _parts(desk: Desk, heading: Heading) -> list[DraftPart]:
    out: list[DraftPart] = []
    for name, (_, node) in desk.parts.items():
        drawn = _try(desk.part, name)
        if drawn is not None:
            out += parts_of(drawn, node, heading.wood, desk)
    return out


def _in_units(fault: Fault, units: str) -> Fault:
    """What the geometry refuses it says in millimetres; the maker reads it in the units of his file."""
    return replace(fault, what=told_in(units, fault.what)) if fault.code in _REFUSED else fault


def _nothing_drawn(file: str) -> Fault:
    return Fault(
        code="no-parts",
        place=Place(file),
        what="the file draws no part.",
        mend="draw one or more under `parts`",
        why="a piece is made of parts",
    )
