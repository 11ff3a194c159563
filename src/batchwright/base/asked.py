"""Reading changes that came from outside, as plain values: faults for whatever is not one."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from batchwright.base.fault import Fault, Place
from batchwright.base.mend import KEYS, WHOLE_NUMBERS, Change, Step

MOST_CHANGES = 200
LONGEST_CHANGE = 400_000
"""Characters of one text."""
DEEPEST_PATH = 20

_OF = ("part", "size", "number", "place")


def read_changes(raw: object) -> tuple[tuple[Change, ...], tuple[Fault, ...]]:
    """The changes in a list of plain values, and a fault for each item that is not one."""
    if not isinstance(raw, list):
        return (), (_no_change(f"the changes are {_form(raw)}, but a list is wanted.", "send a list of changes"),)
    if len(raw) > MOST_CHANGES:
        what = f"{len(raw)} changes are asked for at once; the most is {MOST_CHANGES}."
        return (), (_no_change(what, "make them in several steps"),)
    read = [read_change(item, f"change {number}") for number, item in enumerate(raw, start=1)]
    faults = tuple(item for item in read if isinstance(item, Fault))
    return tuple(item for item in read if isinstance(item, Change)), faults


def read_change(raw: object, name: str = "the change") -> Change | Fault:
    """One change, or what is wrong with it. `name` is what the fault calls it."""
    if not isinstance(raw, Mapping):
        return _no_change(f"{name} is {_form(raw)}, but a table is wanted.", "write `do` and what goes with it")
    do = raw.get("do")
    if not isinstance(do, str) or do not in KEYS:
        said = f"`{do}`" if isinstance(do, str) else _form(do)
        return _no_change(f"{name} is to do {said[:60]}, which is not known.", f"`do` is one of {', '.join(KEYS)}")
    must, may = KEYS[do]
    for key in raw:
        if key != "do" and key not in (*must, *may):
            mend = f"`{do}` has {', '.join((*must, *may))}"
            return _no_change(f"{name}, `{do}`, has a key `{str(key)[:40]}`.", mend)
    fields: dict[str, Any] = {}
    for key in (*must, *may):
        if key not in raw:
            if key in must:
                return _no_change(f"{name}, `{do}`, says no `{key}`.", f"add `{key}`")
            continue
        wrong = _wrong(do, key, raw[key])
        if wrong:
            return _no_change(f"`{key}` of {name}, `{do}`, is {wrong}.", _MENDS.get(key, "write a text"))
        fields["of" if key in _OF else key] = _value(key, raw[key])
    return Change(do=do, **fields)


_MENDS = {
    "path": "write a list of words and item numbers",
    **{key: "write a whole number" for key in WHOLE_NUMBERS},
}


def _wrong(do: str, key: str, value: object) -> str:
    """What is wrong with the value of a key, empty where nothing is."""
    if key == "path":
        return _wrong_path(value)
    if key in WHOLE_NUMBERS:
        least = 0 if key in ("joint", "length") else 1
        if isinstance(value, bool) or not isinstance(value, int):
            return f"{_form(value)}, but a whole number is wanted"
        return "" if least <= value <= LONGEST_CHANGE else f"{value}, which is none that a file has"
    if value is None and (key, do) == ("text", "set"):
        return ""
    if not isinstance(value, str):
        return f"{_form(value)}, but a text is wanted"
    return f"too long: {len(value)} characters" if len(value) > LONGEST_CHANGE else ""


def _wrong_path(value: object) -> str:
    if not isinstance(value, list) or not value:
        return f"{_form(value)}, but a list is wanted"
    if len(value) > DEEPEST_PATH:
        return f"{len(value)} steps deep"
    for step in value:
        if isinstance(step, bool) or not isinstance(step, str | int):
            return f"a list with {_form(step)} in it"
        if isinstance(step, int) and not 0 <= step <= LONGEST_CHANGE:
            return f"a list with {step} in it, which is no item's number"
    return ""


def _value(key: str, value: Any) -> Any:
    if key == "path":
        steps: tuple[Step, ...] = tuple(value)
        return steps
    return value


def _form(value: object) -> str:
    match value:
        case None:
            return "nothing"
        case bool() | int() | float():
            return f"`{value}`"
        case str():
            return "a text"
        case list():
            return "a list"
        case _:
            return "a table"


def _no_change(what: str, mend: str) -> Fault:
    return Fault(code="not-a-change", place=Place(""), what=what, mend=mend)
