"""The sizes of a piece as its text has them now, whatever else is wrong with it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from batchwright.base.fault import Place
from batchwright.design.drawing.heading import read_heading
from batchwright.design.text.names import spelled
from batchwright.design.text.tree import Mapping, Node, Scalar
from batchwright.design.values.declared import declare
from batchwright.design.values.sizes import evaluate_sizes
from batchwright.model.draft import SizeValue
from batchwright.model.job import Override

Said = dict[str, tuple[str, Place]]


def sizes_as_written(
    tree: Mapping, overrides: Iterable[Override], before: Iterable[SizeValue]
) -> tuple[str, tuple[SizeValue, ...]]:
    """The units of a text, and its sizes in its order.

    One that cannot be read has the text that stands there, and the value that it had `before`; where it had none, it is
    left out. One that the text names no more is gone.
    """
    instead = tuple(overrides)
    units = read_heading(tree, []).units
    worked = {size.name: size for size in evaluate_sizes(declare(tree), units, instead).values}
    known = {size.name: size for size in before}
    said = _said(tree) | {spelled(one.name): (one.text, one.place) for one in instead}
    found = (worked.get(name) or _unread(known.get(name), said[name]) for name in _said(tree))
    return units, tuple(size for size in found if size is not None)


def _unread(before: SizeValue | None, said: tuple[str, Place]) -> SizeValue | None:
    return None if before is None else replace(before, text=said[0], place=said[1])


def _said(tree: Mapping) -> Said:
    """The text that stands at every size and number, and where."""
    found: Said = {}
    for word in ("sizes", "numbers"):
        table = tree.get(word)
        for key, node in table.entries if isinstance(table, Mapping) else ():
            found.setdefault(spelled(key.text), _value_of(node, key.place))
    return found


def _value_of(node: Node, place: Place) -> tuple[str, Place]:
    value = node.get("is") if isinstance(node, Mapping) else node
    return (value.text, value.place) if isinstance(value, Scalar) else ("", place)
