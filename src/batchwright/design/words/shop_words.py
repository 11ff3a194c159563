"""Words of a shop file that may not stand where they stand."""

from __future__ import annotations

from batchwright.base.fault import Fault
from batchwright.design.text.near import listed, offer
from batchwright.design.text.tree import Mapping, Scalar, Sequence, form_of
from batchwright.design.words.words import MACHINES, check_one_of, check_words

_TABLES = ("allowances", "fits", "tolerances", "walls")
_LISTS = (("cutters", "cutter"), ("chisels", "chisel"), ("guides", "guide"), ("clamps", "clamp"))
_OPEN = ("rates", "times")


def check_shop(tree: Mapping, packaged: Mapping) -> tuple[Fault, ...]:
    """Unknown words in a shop file, each with the nearest known; `packaged` knows the names of rates and times."""
    faults = list(check_words(tree, "shop", "the shop"))
    units = tree.get("units")
    if isinstance(units, Scalar) and (fault := check_one_of(units, ("in", "mm"), "units")):
        faults.append(fault)
    for word in (*_TABLES, *_OPEN, "machines"):
        node = tree.get(word)
        if node is None:
            continue
        if isinstance(node, Mapping):
            faults += _check_table(node, word, packaged)
        else:
            what = f"`{word}` is {form_of(node)}, but names with values are wanted."
            mend = f"write `{word}: {{name: value}}`"
            faults.append(Fault(code="table-wanted", place=node.place, what=what, mend=mend))
    for word, context in _LISTS:
        node = tree.get(word)
        for item in node.items if isinstance(node, Sequence) else ():
            if isinstance(item, Mapping):
                faults += check_words(item, context)
    return tuple(faults)


def _check_table(node: Mapping, word: str, packaged: Mapping) -> tuple[Fault, ...]:
    if word in _TABLES:
        return check_words(node, word)
    if word == "machines":
        faults = list(_check_names(node, word, tuple(kind for kind, _ in MACHINES)))
        for key, machine in node.entries:
            if isinstance(machine, Mapping):
                faults += check_words(machine, "machine", f"the machine `{key.text}`")
        return tuple(faults)
    known = packaged.get(word)
    return _check_names(node, word, known.words() if isinstance(known, Mapping) else ())


def _check_names(node: Mapping, word: str, known: tuple[str, ...]) -> tuple[Fault, ...]:
    faults = []
    for key, _ in node.entries:
        if key.text not in known:
            near = offer(key.text, known)
            what = f"`{word}` has no `{key.text}`."
            mend = f"write {near}" if near else f"write one of {listed(known, 20)}"
            faults.append(Fault(code="unknown-word", place=key.place, what=what, mend=mend))
    return tuple(faults)
