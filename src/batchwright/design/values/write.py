"""Saving changed sizes: only the characters of their values are replaced; every other byte of the file stays."""

from __future__ import annotations

import hashlib
import math
import re
from collections.abc import Iterable
from dataclasses import dataclass

from batchwright.base.fault import Fault, Place, has_errors, in_file_order
from batchwright.design.text.mistake import Mistake, mistake
from batchwright.design.text.names import spelled
from batchwright.design.text.near import offer
from batchwright.design.text.read import read_tree
from batchwright.design.text.say import say_bare, say_decimal, say_fraction
from batchwright.design.text.tree import Mapping, Scalar
from batchwright.design.values.declared import declare
from batchwright.design.values.sizes import evaluate_sizes
from batchwright.design.values.values import MM_OF
from batchwright.model.draft import SizeKind, SizeValue

_PLACES = 6
"""Decimals of a saved value: an inch to 0.00003 mm."""

_UNIT_AT_END = re.compile(r"(?<=[\d\s/])(in|ft|mm|cm|m)\s*$")
_DECIMAL_IN_ANY = re.compile(r"\d*\.\d")


@dataclass(frozen=True, slots=True)
class Change:
    """A size or number and what it becomes, in house units: mm, radians, or plain."""

    name: str
    value: float


@dataclass(frozen=True, slots=True)
class Saved:
    """The text with its changes, or None and the faults that stand in the way."""

    text: str | None
    faults: tuple[Fault, ...] = ()


def text_hash(text: str) -> str:
    """The hash that a save must bring of the text it edited."""
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()


def save_sizes(text: str, file: str, changes: Iterable[Change], edited: str) -> Saved:
    """The text with changed values spliced in. `edited` is the hash of the text the changes were made against."""
    if text_hash(text) != edited:
        return Saved(None, (_stale(file),))
    tree, faults = read_tree(text, file)
    if tree is None or has_errors(faults):
        return Saved(None, faults)
    units = tree.get("units")
    if not (isinstance(units, Scalar) and units.text in ("in", "mm")):
        return Saved(None, (_no_units(units.place if units else Place(file)),))
    values = {value.name: value for value in evaluate_sizes(declare(tree), units.text).values}
    splices: dict[tuple[int, int], str] = {}
    wrong: list[Fault] = []
    for change in changes:
        try:
            scalar, value = _find(tree, change, values, file)
            splices[(scalar.span.start, scalar.span.end)] = _quoted(_written(change.value, value, units.text), scalar)
        except Mistake as stop:
            wrong += stop.faults
    if wrong:
        return Saved(None, in_file_order(wrong))
    return Saved(_spliced(text, splices))


def _spliced(text: str, splices: dict[tuple[int, int], str]) -> str:
    kept = 0
    parts: list[str] = []
    for (start, end), new in sorted(splices.items()):
        parts += [text[kept:start], new]
        kept = end
    return "".join([*parts, text[kept:]])


def _find(tree: Mapping, change: Change, values: dict[str, SizeValue], file: str) -> tuple[Scalar, SizeValue]:
    """The scalar that holds the value of a size, and the value as it stands. Raises Mistake."""
    name = spelled(change.name)
    for section in ("sizes", "numbers"):
        table = tree.get(section)
        for key, node in table.entries if isinstance(table, Mapping) else ():
            if spelled(key.text) == name:
                found = node.get("is") if isinstance(node, Mapping) else node
                return _plain_value(found, key, values.get(name), change)
    near = offer(name, values)
    mend = f"change {near} instead" if near else "write it under `sizes` first"
    raise mistake("unknown-name", Place(file), f"no size or number is called `{name}`.", mend)


def _plain_value(found: object, key: Scalar, value: SizeValue | None, change: Change) -> tuple[Scalar, SizeValue]:
    if not isinstance(found, Scalar) or value is None:
        raise mistake(
            "size-not-readable",
            key.place,
            f"`{key.text}` cannot be changed: its present value is at fault.",
            "mend the file first, then change the value",
        )
    if not value.free:
        raise mistake(
            "size-worked-out",
            found.place,
            f"`{key.text}` is worked out from others: `{found.text}`.",
            "change the sizes it is worked from, or write a plain value in the file first",
        )
    marks = 2 if found.quoted else 0
    if found.span.end - found.span.start != len(found.text) + marks:
        raise mistake(
            "value-over-lines",
            found.place,
            f"the value of `{key.text}` runs over lines or has marks in it that cannot be kept.",
            "write it in one line",
        )
    if not math.isfinite(change.value):
        raise mistake(
            "value-too-large", found.place, f"`{key.text}` is set to no finite number.", "give it a finite value"
        )
    return found, value


def _written(new: float, value: SizeValue, units: str) -> str:
    """The new value in the style of the old text."""
    old = value.text
    match value.kind:
        case SizeKind.ANGLE:
            return f"{say_decimal(math.degrees(new), _PLACES)} deg"
        case SizeKind.NUMBER:
            return say_decimal(new, 6)
        case SizeKind.LENGTH:
            return _written_length(new, old, units)


def _written_length(new: float, old: str, units: str) -> str:
    unit = _UNIT_AT_END.search(old)
    if unit:
        amount = new / MM_OF[unit.group(1)]
        return f"{_in_style(amount, old, unit.group(1))} {unit.group(1)}"
    if "'" in old:
        return _feet_and_inches(new)
    if '"' in old:
        return f'{_in_style(new / MM_OF["in"], old, "in")}"'
    if units == "in":
        return _in_style(new / MM_OF["in"], old, "in")
    return say_bare(new, units)


def _in_style(amount: float, old: str, unit: str) -> str:
    """Fractions for inches and feet, unless the maker wrote a decimal there."""
    if unit in ("in", "ft") and not _DECIMAL_IN_ANY.search(old):
        return say_fraction(amount, _PLACES)
    return say_decimal(amount, _PLACES)


def _feet_and_inches(new: float) -> str:
    inches = abs(new) / MM_OF["in"]
    feet = int(inches // 12.0)
    rest = say_fraction(inches - 12.0 * feet, _PLACES)
    if rest == "12":
        feet, rest = feet + 1, "0"
    sign = "-" if new < 0 and (feet or rest != "0") else ""
    if sign and feet and rest != "0":
        return f"-({feet}'{rest}\")"
    if not feet:
        return f'{sign}{rest}"'
    return f"{sign}{feet}'" if rest == "0" else f"{sign}{feet}'{rest}\""


def _quoted(new: str, scalar: Scalar) -> str:
    """The new value with the quotation marks that stand round the old one."""
    if not scalar.quoted:
        return new
    if '"' in new or "'" in new:
        return "'" + new.replace("'", "''") + "'"
    return f'"{new}"' if scalar.mark == '"' else f"'{new}'"


def _stale(file: str) -> Fault:
    return Fault(
        code="text-changed",
        place=Place(file),
        what="the file has changed since this page read it; nothing was saved.",
        mend="load the file again, then make the change once more",
        why="saving now would undo what was written meanwhile",
    )


def _no_units(place: Place) -> Fault:
    return Fault(
        code="unknown-choice",
        place=place,
        what="`units` is neither `in` nor `mm`.",
        mend="write `units: in` or `units: mm`",
    )
