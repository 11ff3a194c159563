"""Ask the handbook: list what it holds, look a value up, work a formula, with units in and out."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass

from batchwright.app.result import Outcome
from batchwright.base.fault import Fault, Place
from batchwright.base.misread import Misread
from batchwright.base.quantity import read_quantity
from batchwright.base.units import Dimension
from batchwright.design.text.mistake import Mistake
from batchwright.design.words.known import finish_key, glue_key
from batchwright.handbook.catalog import Answer, Entry, Kind, Parameter, Result, entries, evaluate, find_entry
from batchwright.handbook.catalog.entry import shown

COMMAND = "handbook"
"""Stands for the file in the places of faults: the words were typed, not read."""

Value = float | str


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """An entry of the handbook and, where it was asked, its answer."""

    entry: Entry
    answer: Answer | None

    def words(self) -> list[str]:
        """The answer for reading: values with source and mark, rows, notes, limits."""
        return _entry_words(self.entry) if self.answer is None else _answer_words(self.entry, self.answer)

    def as_plain(self) -> dict[str, object]:
        """The answer as plain values in house units."""
        plain: dict[str, object] = {**entry_as_plain(self.entry)}
        if self.answer is not None:
            plain["results"] = [_result_as_plain(one) for one in self.answer.results]
            plain["columns"] = list(self.answer.columns)
            plain["rows"] = [list(row) for row in self.answer.rows]
            plain["notes"] = list(self.answer.notes)
        return plain


def all_entries() -> tuple[Entry, ...]:
    """Every formula and table."""
    return entries()


def entry_as_plain(entry: Entry) -> dict[str, object]:
    """What an entry is and what it takes, as plain values."""
    return {
        "name": entry.name,
        "title": entry.title,
        "table": entry.is_table,
        "source": entry.source,
        "mark": entry.mark.value,
        "valid_for": entry.valid_for,
        "example": entry.example,
        "parameters": [
            {
                "name": one.name,
                "kind": one.kind.value,
                "title": one.title,
                "limits": one.limits,
                "needed": one.needed,
                "default": one.default,
            }
            for one in entry.parameters
        ],
    }


def ask(name: str, typed: tuple[str, ...]) -> Outcome[Asked]:
    """Answer `name` for values typed as `parameter=value`; a value alone is taken for the first parameter not named."""
    entry = find_entry(name)
    if entry is None:
        answer = evaluate(name, {})
        return Outcome(None, answer if isinstance(answer, tuple) else ())
    if not typed and entry.parameters and not entry.is_table:
        return Outcome(Asked(entry=entry, answer=None))
    values, faults = _read(entry, typed)
    misread = [name for name, value in values.items() if isinstance(value, _Misread)]
    answer = evaluate(entry.name, {name: value for name, value in values.items() if not isinstance(value, _Misread)})
    if isinstance(answer, tuple):
        told = [fault for fault in answer if not any(f"needs '{name}'" in fault.what for name in misread)]
        return Outcome(None, (*faults, *told))
    return Outcome(None, tuple(faults)) if faults else Outcome(Asked(entry=entry, answer=answer))


class _Misread:
    """Stands for a value that was given and could not be read."""


def _read(entry: Entry, typed: tuple[str, ...]) -> tuple[dict[str, Value | _Misread], list[Fault]]:
    values: dict[str, Value | _Misread] = {}
    faults: list[Fault] = []
    by_name = {one.name: one for one in entry.parameters}
    for word in typed:
        name, equals, text = word.partition("=")
        if not equals:
            free = [one.name for one in entry.parameters if one.name not in values]
            name, text = (free[0] if free else ""), word
        name = name.strip().replace(" ", "_").replace("-", "_").lower()
        if name in values:
            faults.append(_fault("handbook-value-given-twice", entry, f"'{name}' is given twice.", "give it once."))
        elif name in by_name:
            _take(entry, by_name[name], text, values, faults)
        else:
            values[name or word] = text
    return values, faults


def _take(entry: Entry, wanted: Parameter, text: str, values: dict[str, Value | _Misread], faults: list[Fault]) -> None:
    if wanted.kind in (Kind.TEXT, Kind.CHOICE):
        said = text.strip().strip('"')
        values[wanted.name] = _by_key(entry, wanted, said)
        return
    read = read_quantity(text, Dimension(wanted.kind.value), _bare_unit(wanted))
    if isinstance(read, Misread):
        what = f"{wanted.name}: {read.what.rstrip('.')}."
        faults.append(_fault("handbook-value-misread", entry, what, f"{read.mend}."))
        values[wanted.name] = _Misread()
    else:
        values[wanted.name] = read


def _by_key(entry: Entry, wanted: Parameter, said: str) -> str:
    """What the table calls the thing that is asked for; as it was typed where it calls nothing so."""
    keyed = {"adhesives": glue_key, "finishes": finish_key}.get(entry.name)
    if keyed is not None:
        with suppress(Mistake):
            return keyed(said, Place(COMMAND))
    named = said.replace(" ", "_").lower()
    return named if named in wanted.choices else said


def _bare_unit(wanted: Parameter) -> str | None:
    """A number without a unit is plain where the parameter is; anything else must say its unit."""
    return "" if wanted.kind is Kind.NUMBER else None


def _fault(code: str, entry: Entry, what: str, mend: str) -> Fault:
    return Fault(code=code, place=Place(f"{COMMAND} {entry.name}"), what=what, mend=mend)


def _entry_words(entry: Entry) -> list[str]:
    lines = [f"{entry.name}: {entry.title}"]
    for one in entry.parameters:
        limits = f", {one.limits}" if one.limits else ""
        default = (
            f" (default {one.default})" if one.default is not None else " (may be left out)" if one.optional else ""
        )
        lines.append(f"    {one.name}: {one.title} [{one.kind.value}{limits}]{default}")
    lines.append(f"    valid {entry.valid_for}" if entry.valid_for else "    no validity stated")
    lines.append(f"    source: {_cited(entry)}")
    if entry.example:
        lines.append(f"    example: batchwright handbook {entry.example}")
    return lines


def _answer_words(entry: Entry, answer: Answer) -> list[str]:
    lines = [f"{entry.name}: {entry.title}"]
    for one in answer.results:
        value = "not published" if one.value is None else _shown(one)
        note = f"; {one.note}" if one.note else ""
        source = f"    [{one.source}]" if one.source else ""
        lines.append(f"    {one.name}: {value}{note}{source}")
    if answer.rows:
        lines += _aligned((answer.columns, *answer.rows))
    lines += [f"    note: {note}" for note in answer.notes]
    if entry.valid_for:
        lines.append(f"    valid {entry.valid_for}")
    lines.append(f"    source: {_cited(entry)}")
    return lines


def _cited(entry: Entry) -> str:
    """The source with its mark, said once."""
    marked = entry.mark.value in entry.source or entry.source.endswith(")")
    return entry.source if marked else f"{entry.source} ({entry.mark.value})"


def _shown(result: Result) -> str:
    value = result.value
    if value is None:
        return "not published"
    if result.kind is Kind.LENGTH and isinstance(value, float | int):
        return f"{value:.6g} mm = {value / 25.4:.4g} in"
    text = shown(value, result.kind)
    return (
        f"{text} {result.unit}"
        if result.unit and not text.endswith(result.unit) and result.kind is Kind.NUMBER
        else text
    )


def _aligned(rows: tuple[tuple[str, ...], ...]) -> list[str]:
    widths = [max(len(row[i]) for row in rows) for i in range(len(rows[0]))] if rows else []
    return ["    " + "  ".join(cell.ljust(width) for cell, width in zip(row, widths)).rstrip() for row in rows]


def _result_as_plain(result: Result) -> dict[str, object]:
    return {
        "name": result.name,
        "value": result.value,
        "kind": result.kind.value,
        "unit": result.unit,
        "source": result.source,
        "note": result.note,
    }
