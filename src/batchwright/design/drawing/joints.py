"""Joint statements: which parts meet, what the maker says of the joint, and what holds at one end only."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from batchwright.base.fault import Fault, Place
from batchwright.base.trace import MISSING, Missing
from batchwright.design.drawing.asks import read_ask
from batchwright.design.drawing.copies import PartRef
from batchwright.design.drawing.cuts import listed_items
from batchwright.design.drawing.lookup import Pen
from batchwright.design.drawing.points import each, gathered
from batchwright.design.text.mistake import Mistake, mistake
from batchwright.design.text.names import spelled
from batchwright.design.text.near import listed
from batchwright.design.text.tree import Mapping, Node, Scalar, Sequence
from batchwright.design.values.expression import unknown_name
from batchwright.design.values.reading import count_of, length_of, scalar_of
from batchwright.design.words.words_joints import JOINT_KINDS
from batchwright.model.draft import DraftPart, JointAsk, JointKind, JointStatement, Meeting, Otherwise, PartId

SECOND = {
    "tenon": "into", "loose tenon": "into", "dowel": "into", "housing": "into", "groove": "into", "halving": "with",
    "notch": "around", "rest": "on", "screw": "to", "button": "to", "glue": "to",
}  # fmt: skip
"""The word that names the second part of a joint, by the word it begins with."""

ENDS = ("front", "back", "left", "right", "top", "bottom")
FIRST = " first"


@dataclass(frozen=True, slots=True)
class Cast:
    """The parts of a piece by name, drawn or not, as joint statements name them."""

    refs: dict[str, PartRef]
    offered: tuple[str, ...]
    parts: tuple[DraftPart, ...]

    def ids(self, node: Node | None, word: str, at: Place) -> tuple[PartId, ...]:
        """Every copy that a name or a list of names means. Raises Mistake."""
        if node is None:
            raise Mistake
        names = listed_items(node)
        if not names:
            raise mistake("part-wanted", node.place, f"`{word}` names no part.", "name one part, or several in [ ]")
        found = each(names, lambda item: self._ids_of(scalar_of(item, word)))
        return tuple(dict.fromkeys(part for ids in found for part in ids))

    def _ids_of(self, scalar: Scalar) -> tuple[PartId, ...]:
        ref = self.ref(scalar)
        ids = tuple(part.id for part in self.parts if _means(ref, part))
        if not ids and any(part.name == ref.part for part in self.parts):
            raise mistake(
                "no-such-copy",
                scalar.place,
                f"there is no `{scalar.text}`.",
                f"`{ref.part}` has {sum(part.name == ref.part for part in self.parts)} copies",
            )
        return ids

    def ref(self, scalar: Scalar) -> PartRef:
        """What a name says of a part. Raises Mistake."""
        name = spelled(scalar.text.strip())
        if name not in self.refs:
            raise unknown_name(name, scalar.place, self.offered, "part")
        return self.refs[name]


def _means(ref: PartRef, part: DraftPart) -> bool:
    return (
        part.name == ref.part
        and ref.hand in ("", part.hand.value)
        and ref.depth in ("", part.depthwise)
        and ref.number in (0, part.number)
    )


def read_joints(
    node: Node | None, cast: Cast, pen: Pen, faults: list[Fault]
) -> tuple[tuple[JointStatement, ...], tuple[Meeting, ...]]:
    """All statements of `joints`; what is wrong with one does not stop the others."""
    joints: list[JointStatement] = []
    meetings: list[Meeting] = []
    items = node.items if isinstance(node, Sequence) else ()
    for number, item in enumerate(items, start=1):
        try:
            found = _statement(item, number, cast, pen)
        except Mistake as wrong:
            faults += wrong.faults
            continue
        if isinstance(found, Meeting):
            meetings.append(found)
        elif found is not None:
            joints.append(found)
    return tuple(joints), tuple(meetings)


def joint_words(item: Node) -> tuple[str, ...]:
    """The kinds a statement names: one where all is well."""
    if not isinstance(item, Mapping):
        return ()
    return tuple(word for word in (*JOINT_KINDS, "meeting in") if item.key(word) is not None)


def _statement(item: Node, number: int, cast: Cast, pen: Pen) -> JointStatement | Meeting | None:
    if not isinstance(item, Mapping):
        raise mistake(
            "joint-form", item.place, "a joint is said with words in { }.", "write `{tenon: rail, into: leg}`"
        )
    kinds = joint_words(item)
    if len(kinds) != 1:
        said = f"names {listed(kinds)} at once" if kinds else "does not say what kind it is"
        raise mistake(
            "joint-kind",
            item.place,
            f"joint {number} {said}.",
            f"begin it with one of {listed((*JOINT_KINDS, 'meeting in'), 20)}",
        )
    if kinds[0] == "meeting in":
        found = _meeting(item, cast, pen)
        return replace(found, number=number) if found else None
    return _joint(item, kinds[0], number, cast, pen)


def _joint(item: Mapping, kind: str, number: int, cast: Cast, pen: Pen) -> JointStatement | None:
    second = SECOND[kind]
    found: dict[str, tuple[PartId, ...]] = {}
    asks: list[JointAsk] = []
    others: list[Otherwise] = []
    where: list[tuple[tuple[PartId, ...], tuple[str, ...]]] = []
    expect: list[int | Missing] = []

    def name(word: str) -> Callable[[], None]:
        return lambda: found.__setitem__(word, cast.ids(item.get(word), word, item.place))

    gathered(
        (
            name(kind),
            name(second),
            lambda: asks.append(read_ask(item, kind, pen)),
            lambda: others.extend(_exceptions(item.get("except"), kind, cast, pen)),
            lambda: where.append(_where(item.get("at"), cast)),
            lambda: expect.append(_expected(item, pen)),
        )
    )
    _check_apart(found[kind], found[second], kind, item)
    if not found[kind] or not found[second]:
        return None
    parts, ends = where[0]
    return JointStatement(
        number=number, kind=JointKind(kind), of=found[kind], into=found[second], ask=asks[0],
        exceptions=tuple(others), at=parts, ends=ends, expect=expect[0], place=item.place,
        words=(_written(item.get(kind)), _written(item.get(second))),
        places=tuple((key.text, value.place) for key, value in item.entries),
    )  # fmt: skip


def _check_apart(of: tuple[PartId, ...], into: tuple[PartId, ...], kind: str, item: Mapping) -> None:
    """A part is not joined to itself; copies of a repeat may be, to their neighbours."""
    if len(of) == 1 and of == into:
        node = item.get(SECOND[kind])
        raise mistake(
            "joined-to-itself",
            node.place if node else item.place,
            f"`{of[0]}` is joined to itself.",
            "name the other part",
            "a joint is a meeting of two parts",
        )


def _expected(item: Mapping, pen: Pen) -> int | Missing:
    node = item.get("expect")
    return MISSING if node is None else count_of(node, pen, pen.desk.known, "expect", 0)


def _written(node: Node | None) -> str:
    return ", ".join(item.text for item in listed_items(node) if isinstance(item, Scalar))


def _where(node: Node | None, cast: Cast) -> tuple[tuple[PartId, ...], tuple[str, ...]]:
    """`at`: parts, ends such as `front end`, or both."""
    parts: list[PartId] = []
    ends: list[str] = []
    for item in listed_items(node):
        scalar = scalar_of(item, "at")
        word = scalar.text.strip().removesuffix(" end")
        if spelled(scalar.text.strip()) not in cast.refs and word in ENDS:
            ends.append(word)
            continue
        parts += cast.ids(scalar, "at", scalar.place)
    return tuple(dict.fromkeys(parts)), tuple(dict.fromkeys(ends))


def _exceptions(node: Node | None, kind: str, cast: Cast, pen: Pen) -> list[Otherwise]:
    return each(listed_items(node), lambda item: _otherwise(item, kind, cast, pen))


def _otherwise(item: Node, kind: str, cast: Cast, pen: Pen) -> Otherwise:
    if not isinstance(item, Mapping) or (item.get("at") is None and item.get("of") is None):
        raise mistake(
            "exception-form",
            item.place,
            "an exception does not say where it holds.",
            "write `{at: back leg, ...}` or `{of: left side rail, ...}`",
        )
    parts, ends = _where(item.get("at"), cast)
    of = cast.ids(item.get("of"), "of", item.place) if item.get("of") is not None else ()
    return Otherwise(ask=read_ask(item, kind, pen), at=parts, ends=ends, of=of, place=item.place)


def _meeting(item: Mapping, cast: Cast, pen: Pen) -> Meeting | None:
    into = cast.ids(item.get("meeting in"), "meeting in", item.place)
    of_node, by_node, gap_node = item.get("of"), item.get("by"), item.get("gap")
    if of_node is None:
        raise Mistake
    names = each(listed_items(of_node), lambda node: _named(node, cast))
    if len(names) < 2:
        raise mistake(
            "meeting-of-one",
            of_node.place,
            "a meeting is of two parts or more.",
            "name them all: `of: [front rail, side rail]`",
            "tenons of two parts meet inside a third",
        )
    by = _by(by_node, names, cast) if by_node is not None else "mitre"
    gap = length_of(gap_node, pen, pen.desk.known, "gap") if gap_node is not None else MISSING
    return Meeting(into=into, of=tuple(names), by=by, gap=gap, place=item.place) if into else None


def _named(node: Node, cast: Cast) -> str:
    scalar = scalar_of(node, "of")
    cast.ref(scalar)
    return spelled(scalar.text.strip())


def _by(node: Node, names: list[str], cast: Cast) -> str:
    scalar = scalar_of(node, "by")
    text = spelled(scalar.text.strip())
    if text == "mitre":
        return text
    if text.endswith(FIRST) and text.removesuffix(FIRST) in names:
        return text.removesuffix(FIRST)
    raise mistake(
        "meeting-by",
        scalar.place,
        f"tenons that meet are not settled by `{scalar.text}`.",
        f"write `by: mitre`, or {listed(f'{name}{FIRST}' for name in names)}",
    )
