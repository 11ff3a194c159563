"""The sections `sizes` and `numbers` as declared: read once, to be worked out as often as a slider moves."""

from __future__ import annotations

from dataclasses import dataclass

from batchwright.base.fault import Fault, Place
from batchwright.design.text.mistake import Mistake, mistake
from batchwright.design.text.names import check_name, check_one_set, spelled
from batchwright.design.text.syntax import Expression
from batchwright.design.text.tree import Mapping, Node, Scalar, form_of
from batchwright.design.values.expression import parse
from batchwright.design.values.reading import scalar_of
from batchwright.design.words.words import check_words

SECTIONS = (("sizes", "size"), ("numbers", "number"), ("places", "place"), ("parts", "part"))


@dataclass(frozen=True, slots=True, kw_only=True)
class DeclaredSize:
    """One size or number: its expressions, not yet worked out. `value` is None where it could not be read."""

    name: str
    what: str
    """`size` or `number`."""
    place: Place
    value: Expression | None
    low: Expression | None = None
    high: Expression | None = None
    step: Expression | None = None
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Declared:
    """Every size and number of a piece, what is wrong with their form, and the names of everything else."""

    sizes: tuple[DeclaredSize, ...]
    faults: tuple[Fault, ...]
    names: frozenset[str]
    """Names of sizes and numbers."""
    others: tuple[tuple[str, str], ...] = ()
    """(name, place | part), for messages."""


def declare(tree: Mapping) -> Declared:
    """The sizes and numbers of a piece file's tree, and faults of every name in it."""
    faults: list[Fault] = []
    named = [(key, what) for section, what in SECTIONS for key, _ in _entries(tree, section, faults)]
    faults += [fault for key, what in named if (fault := check_name(key, what))]
    faults += check_one_set(named)
    known = frozenset(spelled(key.text) for key, _ in named)
    sizes: list[DeclaredSize] = []
    for section, what in SECTIONS[:2]:
        for key, node in _entries(tree, section, []):
            sizes.append(_size(key, node, what, known, faults))
    others = tuple((spelled(key.text), what) for key, what in named if what in ("place", "part"))
    names = frozenset(size.name for size in sizes)
    return Declared(sizes=_first_of_each(sizes), faults=tuple(faults), names=names, others=others)


def _first_of_each(sizes: list[DeclaredSize]) -> tuple[DeclaredSize, ...]:
    first = {size.name: size for size in reversed(sizes)}
    return tuple(first[name] for name in dict.fromkeys(size.name for size in sizes))


def _entries(tree: Mapping, section: str, faults: list[Fault]) -> tuple[tuple[Scalar, Node], ...]:
    node = tree.get(section)
    if isinstance(node, Mapping):
        return node.entries
    if node is None or (isinstance(node, Scalar) and node.says_nothing):
        return ()
    faults.append(
        Fault(
            code="table-wanted",
            place=node.place,
            what=f"`{section}` is {form_of(node)}, but names with values are wanted.",
            mend="write one to a line, set in under it: `name: value`",
        )
    )
    return ()


def _size(key: Scalar, node: Node, what: str, known: frozenset[str], faults: list[Fault]) -> DeclaredSize:
    name = spelled(key.text)
    if not isinstance(node, Mapping):
        value = _expression(node, name, known, faults)
        return DeclaredSize(name=name, what=what, place=key.place, value=value)
    faults += check_words(node, "size", f"the {what} `{name}`")

    def under(word: str) -> Expression | None:
        found = node.get(word)
        return None if found is None else _expression(found, f"{name}: {word}", known, faults)

    note = node.get("note")
    return DeclaredSize(
        name=name,
        what=what,
        place=key.place,
        value=under("is"),
        low=under("from"),
        high=under("to"),
        step=under("step"),
        note=note.text if isinstance(note, Scalar) else "",
    )


def _expression(node: Node, name: str, known: frozenset[str], faults: list[Fault]) -> Expression | None:
    try:
        return parse(_one_value(node, name), known)
    except Mistake as stop:
        faults.extend(stop.faults)
        return None


def _one_value(node: Node, name: str) -> Scalar:
    if isinstance(node, Scalar):
        return scalar_of(node, name)
    raise mistake(
        "one-value-wanted",
        node.place,
        f"`{name}` is {form_of(node)}, but one value is wanted.",
        "write one value; limits go into a table: `{is: 15, from: 12, to: 20}`",
    )
