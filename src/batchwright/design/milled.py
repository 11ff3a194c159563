"""What a job says of stock as it was really milled: sizes, parts, and families of parts of one thickness."""

from __future__ import annotations

from collections.abc import Collection

from batchwright.base.fault import Fault, Place
from batchwright.design.text.mistake import Mistake, mistake
from batchwright.design.text.tree import Mapping, Node, Scalar, form_of
from batchwright.design.values.amounts import length_in, positive_length, scalar_at
from batchwright.design.values.expression import unknown_name
from batchwright.design.values.reading import scalar_of
from batchwright.design.words.words import check_words
from batchwright.model.draft import DraftPart, DraftPiece, PartId
from batchwright.model.job import Job, Override
from batchwright.model.milled import Milled, MilledSaid

WORD = "as milled"
_Said = tuple[str, Place]
AsMilled = tuple[tuple[Override, ...], tuple[MilledSaid, ...]]
NOTHING_MILLED: AsMilled = ((), ())


def read_as_milled(node: Node, faults: list[Fault]) -> AsMilled:
    """The entries of `as milled`: names with one length (sizes, or parts: the piece tells), and what is sure to speak
    of parts. Raises Mistake where it is no table."""
    if not isinstance(node, Mapping):
        raise mistake(
            "table-wanted",
            node.place,
            f"`{WORD}` is {form_of(node)}, but names with values are wanted.",
            f"write `{WORD}: {{slat thick: 23/32 in}}`",
        )
    single: list[Override] = []
    said: list[MilledSaid] = []
    for key, value in node.entries:
        try:
            _entry(key, value, (single, said, faults))
        except Mistake as stop:
            faults.extend(stop.faults)
    return tuple(single), tuple(said)


_Found = tuple[list[Override], list[MilledSaid], list[Fault]]


def _entry(key: Scalar, value: Node, found: _Found) -> None:
    single, said, faults = found
    family = key.text.strip()[:1].isdigit()
    if isinstance(value, Mapping):
        faults.extend(check_words(value, WORD, f"`{key.text}` of `{WORD}`"))
        thickness, width = (_text(value, word, key) for word in ("thickness", "width"))
        said.append(MilledSaid(name=key.text, thickness=thickness, width=width, family=family, place=key.place))
        return
    scalar = scalar_of(value, f"{WORD}: {key.text}")
    if family:
        thickness = (scalar.text, scalar.place_at(0))
        said.append(MilledSaid(name=key.text, thickness=thickness, family=True, place=key.place))
    else:
        single.append(Override(name=key.text, text=scalar.text, place=scalar.place_at(0)))


def _text(table: Mapping, word: str, key: Scalar) -> _Said | None:
    node = table.get(word)
    if node is None:
        return None
    scalar = scalar_of(node, f"{WORD}: {key.text}: {word}")
    return scalar.text, scalar.place_at(0)


def of_sizes(job: Job, sizes: Collection[str]) -> tuple[Override, ...]:
    """The entries of `as milled` that set a size or number of the piece."""
    return tuple(each for each in job.as_milled if each.name in sizes)


def milled_of(job: Job, sizes: Collection[str], draft: DraftPiece) -> tuple[tuple[Milled, ...], tuple[Fault, ...]]:
    """The entries that speak of parts, with their lengths read, and what is wrong with them."""
    said = [
        MilledSaid(name=each.name, thickness=(each.text, each.place), place=each.place)
        for each in job.as_milled
        if each.name not in sizes
    ]
    found: list[Milled] = []
    faults: list[Fault] = []
    for entry in (*said, *job.milled):
        try:
            found.append(_resolved(entry, sizes, draft))
        except Mistake as stop:
            faults.extend(stop.faults)
    return tuple(found), tuple(faults)


def _resolved(entry: MilledSaid, sizes: Collection[str], draft: DraftPiece) -> Milled:
    thickness, width = (_length(each, draft.units, entry.name) for each in (entry.thickness, entry.width))
    if entry.family:
        nominal = length_in(scalar_at(entry.name, entry.place), draft.units, WORD)
        return Milled(name=entry.name, family=nominal, thickness=thickness, width=width, place=entry.place)
    parts = tuple(part.id for part in draft.parts if entry.name in names_of(part))
    if not parts:
        known = {*sizes, *(part.name for part in draft.parts), *(str(part.id) for part in draft.parts)}
        raise unknown_name(entry.name, entry.place, known, "size or part of the piece")
    return Milled(name=entry.name, parts=parts, thickness=thickness, width=width, place=entry.place)


def _length(said: _Said | None, units: str, name: str) -> float | None:
    return None if said is None else positive_length(scalar_at(*said), units, f"{WORD}: {name}")


def names_of(part: DraftPart) -> frozenset[str]:
    """Every name that means this copy: `leg`, `left leg`, `front leg`, `left front leg`; a repeat also by number."""
    hands, depths = {"", part.hand.value}, {"", part.depthwise}
    plain = {" ".join(word for word in (hand, depth, part.name) if word) for hand in hands for depth in depths}
    numbered = {f"{name} {part.number}" for name in plain} if part.number else set()
    return frozenset({*plain, *numbered, str(PartId(part.id))})
