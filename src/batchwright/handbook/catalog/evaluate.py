"""Asks the catalog: looks at what was given, collects every fault, and only then works the answer out."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping

from batchwright.base.fault import Fault, Place
from batchwright.handbook.catalog import lumber, strength, tables, wood
from batchwright.handbook.catalog.entry import (
    WORDS,
    Answer,
    AskedWronglyError,
    Entry,
    Parameter,
    Value,
    Values,
    shown,
)
from batchwright.handbook.names import UnknownNameError, nearest_names, plain_name
from batchwright.handbook.published import GapError

_ENTRIES: tuple[Entry, ...] = (*wood.ENTRIES, *lumber.ENTRIES, *strength.ENTRIES, *tables.ENTRIES)
_BY_NAME: Mapping[str, Entry] = {plain_name(each.name): each for each in _ENTRIES}


def entries() -> tuple[Entry, ...]:
    """Every formula and table of the handbook, formulae first.

    Returns
    -------
    tuple of Entry
        In the order of the shelves [-]

    Notes
    -----
    Valid for this release.

    Source: see each entry.

    Examples
    --------
    >>> entries()[0].name
    'emc'
    """
    return _ENTRIES


def find_entry(name: str) -> Entry | None:
    """Formula or table by its name, or None.

    Parameters
    ----------
    name : str
        Such as ``emc`` or ``board feet``, in any case [text]

    Returns
    -------
    Entry or None
        None if there is none of that name [-]

    Notes
    -----
    Valid for the names of `entries`; a space, hyphen or underscore is the same.

    Source: house rule.

    Examples
    --------
    >>> found = find_entry("Board-Feet")
    >>> found.name if found else None
    'board_feet'
    """
    return _BY_NAME.get(plain_name(name))


def evaluate(name: str, values: Values) -> Answer | tuple[Fault, ...]:
    """Answer of a formula or table to values in house units, or every fault in what was given.

    Parameters
    ----------
    name : str
        Name of the formula or table [text]
    values : mapping
        Parameter name to value: numbers in house units, words as text [house units]

    Returns
    -------
    Answer or tuple of Fault
        The answer with sources and notes, or all faults in the order of the parameters [house units]

    Notes
    -----
    Valid for values that a door has already read into house units by each parameter's kind.

    Source: see the entry; faults are house rules.

    Examples
    --------
    >>> answer = evaluate("emc", {"temperature": 10.0, "humidity": 0.80})
    >>> isinstance(answer, Answer) and [round(each.value, 3) for each in answer.results]
    [0.164, 0.174]
    """
    entry = find_entry(name)
    if entry is None:
        return (_unknown_entry(name),)
    faults = [*_unknown_parameters(entry, values), *_parameter_faults(entry, values)]
    if faults:
        return tuple(faults)
    filled: dict[str, Value] = {each.name: each.default for each in entry.parameters if each.default is not None}
    filled.update({key: value for key, value in values.items() if value != ""})
    return _worked(entry, filled)


def _worked(entry: Entry, values: Values) -> Answer | tuple[Fault, ...]:
    place = _place(entry)
    try:
        return entry.work(values)
    except UnknownNameError as error:
        offer = ", ".join(f"'{each}'" for each in error.near)
        mend = f"write one of {offer}." if offer else f"ask `handbook {entry.name}` without it for the list."
        code = "handbook-name-shared" if error.ambiguous else "handbook-name-unknown"
        return (Fault(code=code, place=place, what=_sentence(str(error).split(";")[0]), mend=mend),)
    except GapError as error:
        mend = "ask for another wood, or give the number yourself to a formula that takes it."
        why = "a gap in the source is never filled in"
        return (Fault(code="handbook-gap", place=place, what=_sentence(str(error)), mend=mend, why=why),)
    except AskedWronglyError as error:
        what = _sentence(str(error))
        return (Fault(code="handbook-asked-wrongly", place=place, what=what, mend=error.mend),)
    except ValueError as error:
        mend = f"give a value within the limits; `handbook {entry.name}` lists them."
        return (Fault(code="handbook-value-refused", place=place, what=_sentence(str(error)), mend=mend),)


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:].rstrip(".") + "."


def _place(entry: Entry) -> Place:
    return Place(f"handbook {entry.name}")


def _unknown_entry(name: str) -> Fault:
    near = nearest_names(name, [each.name for each in _ENTRIES])
    offer = f"write one of {', '.join(near)}." if near else "ask `handbook` alone for the list."
    return Fault(
        code="handbook-entry-unknown",
        place=Place("handbook"),
        what=f"The handbook has no formula or table '{name}'.",
        mend=offer,
    )


def _unknown_parameters(entry: Entry, values: Iterable[str]) -> list[Fault]:
    known = [each.name for each in entry.parameters]
    faults = []
    for name in values:
        if name in known:
            continue
        near = nearest_names(name, known, 1)
        mend = f"write '{near[0]}'." if near else f"it takes {', '.join(known) or 'nothing'}."
        what = f"{entry.name} takes no '{name}'."
        faults.append(Fault(code="handbook-parameter-unknown", place=_place(entry), what=what, mend=mend))
    return faults


def _parameter_faults(entry: Entry, values: Values) -> list[Fault]:
    faults = []
    for each in entry.parameters:
        value = values.get(each.name, "")
        fault = _missing(entry, each) if value == "" else _misfit(entry, each, value)
        if fault is not None:
            faults.append(fault)
    return faults


def _missing(entry: Entry, wanted: Parameter) -> Fault | None:
    if not wanted.needed:
        return None
    limits = f" ({wanted.limits})" if wanted.limits else ""
    return Fault(
        code="handbook-parameter-missing",
        place=_place(entry),
        what=f"{entry.name} needs '{wanted.name}': {wanted.title}{limits}.",
        mend=f"add {wanted.name}=…" + (f", as in `handbook {entry.example}`." if entry.example else "."),
    )


def _misfit(entry: Entry, wanted: Parameter, value: Value) -> Fault | None:
    place = _place(entry)
    if wanted.kind in WORDS:
        if wanted.choices and str(value) not in wanted.choices:
            what = f"'{wanted.name}' is '{value}', but it can be {wanted.limits}."
            near = nearest_names(str(value), wanted.choices, 1) or wanted.choices[:1]
            mend = f"write {wanted.name}={near[0]}."
            return Fault(code="handbook-choice-unknown", place=place, what=what, mend=mend)
        return None
    if isinstance(value, str) or not math.isfinite(value):
        what = f"'{wanted.name}' is '{value}', but it should be a {wanted.kind.value}."
        mend = f"write a number for {wanted.title}."
        return Fault(code="handbook-number-wanted", place=place, what=what, mend=mend)
    below = wanted.low is not None and (value <= wanted.low if wanted.above else value < wanted.low)
    if not below and (wanted.high is None or value <= wanted.high):
        return None
    what = f"'{wanted.name}' is {shown(value, wanted.kind)}, but it must be {wanted.limits}."
    mend = f"give '{wanted.name}' a value: {wanted.limits}."
    why = f"the formula is not published beyond its limits ({entry.source})"
    return Fault(code="handbook-out-of-limits", place=place, what=what, mend=mend, why=why)
