"""Amounts in tables and jobs: lengths with or without a unit, shares in per cent, money, dates, file names."""

from __future__ import annotations

import datetime
import re

from batchwright.base.fault import Place
from batchwright.design.text.mistake import Mistake, mistake
from batchwright.design.text.tree import Scalar, Span
from batchwright.design.values.evaluate import evaluate
from batchwright.design.values.expression import parse, unknown_name
from batchwright.design.values.values import About, Kind, Value, as_length, length

_QUARTERS = re.compile(r"^\s*(\d{1,2})\s*/\s*4\s*$")
_SHARE = re.compile(r"^(\d{1,3}(?:\.\d{1,6})?|\.\d{1,6})\s*(%?)$")
_MONEY = re.compile(r"^(\d{1,9}(?:\.\d{1,4})?)$")
_DATE = re.compile(r"^(\d{4})-(\d{2})-(\d{2})$")
_DRIVE = re.compile(r"^[A-Za-z]:")
_SCHEME = re.compile(r"^[A-Za-z][A-Za-z0-9+.-]+:")


class NoNames:
    """A scope without names, for values that stand on their own."""

    def __init__(self, units: str) -> None:
        self.units = units

    def lookup(self, name: str, place: Place) -> Value:
        """Nothing has a name here."""
        raise self._refusal(name, place)

    def name_at(self, name: str, axis: str, at: float, word: str, place: Place) -> Value:
        """Nothing has a name here."""
        raise self._refusal(name, place)

    def attribute(self, name: str, word: str, place: Place) -> Value:
        """Nothing has a name here."""
        raise self._refusal(name, place)

    def _refusal(self, name: str, place: Place) -> Mistake:
        if name:
            return mistake(
                "no-names-here",
                place,
                f"`{name}` is a name, and names mean nothing here.",
                "write a number, with or without a unit",
            )
        return unknown_name(name, place, ())


def length_in(scalar: Scalar, units: str, name: str) -> float:
    """A length on its own [mm]; a bare number is in `units` (in, ft, mm, cm, m). Raises Mistake."""
    about = About(name, scalar.place, scalar.text.strip())
    try:
        value = evaluate(parse(scalar), NoNames("in" if units in ("in", "ft") else "mm"))
    except Mistake as stop:
        first = stop.faults[0]
        raise mistake(
            "not-a-length",
            first.place,
            f"`{name}` is `{scalar.text.strip()}`, which is not a length.",
            "write one like `7 1/2`, `180 mm` or `10'2\"`",
            first.what,
        ) from None
    if value.kind is Kind.BARE and units not in ("in", "mm"):
        value = length(value.value * {"ft": 304.8, "cm": 10.0, "m": 1000.0}[units])
    return as_length(value, units, about)


def positive_length(scalar: Scalar, units: str, name: str, or_zero: bool = False) -> float:
    """A length above zero (or from zero) [mm]. Raises Mistake."""
    found = length_in(scalar, units, name)
    if found > 0.0 or (or_zero and found == 0.0):
        return found
    least = "zero or more" if or_zero else "above zero"
    raise mistake(
        "not-positive",
        scalar.place,
        f"`{name}` is `{scalar.text.strip()}`, but it must be {least}.",
        f"write a length {least}",
    )


def scalar_at(text: str, place: Place) -> Scalar:
    """A text with a place, as a scalar."""
    return Scalar(text=text, place=place, span=Span(0, len(text)))


def quarters_in(text: str) -> float | None:
    """Millimetres of a rough thickness written in quarters (`8/4`), or None."""
    found = _QUARTERS.match(text)
    return int(found.group(1)) * 25.4 / 4.0 if found and int(found.group(1)) else None


def share_in(text: str, place: Place, name: str, most: float = 1.0) -> float:
    """`35 %` or `0.35` as a ratio. A number of one or more without `%` is a fault. Raises Mistake."""
    found = _SHARE.match(text.strip())
    if found:
        amount = float(found.group(1)) / (100.0 if found.group(2) else 1.0)
        if amount <= most:
            return amount
        if found.group(2) or amount < 1.0:
            raise mistake(
                "share-out-of-range",
                place,
                f"`{name}` is {100 * amount:g} %, but {100 * most:g} % is the most.",
                f"write a share up to {100 * most:g} %",
            )
        raise mistake(
            "per-cent-missing",
            place,
            f"`{name}` is `{text.strip()}`.",
            f"write `{text.strip()} %` if you mean per cent",
        )
    raise mistake(
        "not-a-share",
        place,
        f"`{name}` is `{text.strip()}`, but a share is wanted.",
        "write per cent, for example `8 %`",
    )


def money_in(text: str, place: Place, name: str) -> float:
    """`9.50` or `$9.50`; never negative. Raises Mistake."""
    plain = text.strip().strip("$\u20ac\u00a3 ")
    found = _MONEY.match(plain)
    if found:
        return float(found.group(1))
    raise mistake(
        "not-money",
        place,
        f"`{name}` is `{text.strip()}`, but an amount of money is wanted.",
        "write it plainly, for example `9.50`",
    )


def date_in(text: str, place: Place, name: str) -> str:
    """A day of the calendar as `2027-05-14`. Raises Mistake."""
    found = _DATE.match(text.strip())
    if found:
        year, month, day = (int(part) for part in found.groups())
        try:
            return datetime.date(year, month, day).isoformat()
        except ValueError:
            why = "the calendar has no such day"
    else:
        why = "days are written year, month, day, so that no two people read them differently"
    raise mistake(
        "not-a-day", place, f"`{name}` is `{text.strip()}`, which is not a day.", "write it like `2027-05-14`", why
    )


def file_name_in(text: str, place: Place, name: str) -> str:
    """A file's name inside the project folder, with `/` between folders. Raises Mistake."""
    plain = text.strip()
    parts = plain.split("/")
    if not plain or plain.startswith("~") or "\\" in plain or any(ord(letter) < 32 for letter in plain):
        why = "names are written with `/` between folders, without `~` and `\\`"
    elif plain.startswith("/") or _DRIVE.match(plain) or _SCHEME.match(plain):
        why = "the name begins at the top of the disk, or on another machine"
    elif ".." in parts:
        why = "`..` leads out of the folder"
    elif any(part in ("", ".") for part in parts) or len(plain) > 250:
        why = "the name has an empty part, or is too long"
    else:
        return plain
    raise mistake(
        "file-outside",
        place,
        f"`{name}: {plain[:80]}` is not a file of the project folder.",
        "put the file into the project folder and write its name alone",
        why + "; a job reads files of its own folder only",
    )
