"""Numbers as the trade types them: `17 1/4`, `7/8`, `12`, `4.5`. Exact: a Fraction, never a rounded float."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from batchwright.base.misread import Misread

LONGEST = 15
"""Digits and marks of one number: more than any length at the bench needs."""

_NUMERAL = re.compile(
    r"(?:(?P<whole>\d+)[ \t]+)?(?P<top>\d+)[ \t]*/[ \t]*(?P<bottom>\d+)|(?P<decimal>\d+\.\d*|\.\d+|\d+)", re.ASCII
)
_SAME = str.maketrans({"\u00a0": " ", "\u202f": " ", "′": "'", "’": "'", "″": '"', "”": '"', "−": "-", "–": "-"})
_HYPHEN = re.compile(r"-\s*\d+\s*/\s*\d+", re.ASCII)
_COMMA = re.compile(r",\d", re.ASCII)


@dataclass(frozen=True, slots=True, kw_only=True)
class Numeral:
    """A number found in a text: its exact value, and where it starts and ends (from 0)."""

    value: Fraction
    start: int
    end: int


def plain(text: str) -> str:
    """The text with typographic spaces, primes and dashes made plain; every column stays where it was."""
    return text.translate(_SAME)


def spaces_end(text: str, start: int) -> int:
    """The first position from `start` on that is no space."""
    while start < len(text) and text[start].isspace():
        start += 1
    return start


def numeral_at(text: str, start: int) -> Numeral | Misread | None:
    """The number that stands at `start` of a plain text, None if none does.

    A number of two parts binds tightest, so `17 1/4` is one number. A fraction of one or more behind a whole number
    (`1 7/4`), a fraction over nothing, a hyphen for the space (`17-1/4`) and a comma (`17,5`) are misread.

    >>> numeral_at("17 1/4 in", 0).value
    Fraction(69, 4)
    """
    found = _NUMERAL.match(text, start)
    if found is None:
        return None
    shown, end = found.group(), found.end()
    if len(shown) > LONGEST:
        return Misread(
            what=f"a number of {len(shown)} characters is too long to read.",
            mend=f"write it with at most {LONGEST} characters",
            column=start + 1,
        )
    wrong = _wrong_tail(text, shown, end) or _wrong_fraction(found, start)
    if wrong is not None:
        return wrong
    if found["decimal"]:
        value = Fraction("0" + found["decimal"].rstrip("."))
    else:
        value = int(found["whole"] or 0) + Fraction(int(found["top"]), int(found["bottom"]))
    return Numeral(value=value, start=start, end=end)


def _wrong_tail(text: str, shown: str, end: int) -> Misread | None:
    if shown.isdigit() and (hyphen := _HYPHEN.match(text, end)):
        fraction = hyphen.group()[1:].strip()
        return Misread(
            what=f"'{shown}{hyphen.group()}' could be a mixed number or a difference.",
            mend=f"write '{shown} {fraction}', with a space",
            column=end + 1,
        )
    if _COMMA.match(text, end):
        return Misread(
            what=f"a comma follows '{shown}'.", mend="write 17.5 with a point, and 1250 without a comma", column=end + 1
        )
    return None


def _wrong_fraction(found: re.Match[str], start: int) -> Misread | None:
    if found["decimal"]:
        return None
    top, bottom, column = int(found["top"]), int(found["bottom"]), found.start("top") + 1
    if bottom == 0:
        return Misread(what=f"'{found.group()}' divides by nothing.", mend="write a fraction like 7/8", column=column)
    if found["whole"] and top >= bottom:
        whole, rest = divmod(int(found["whole"]) * bottom + top, bottom)
        right = f"{whole} {rest}/{bottom}" if rest else f"{whole}"
        return Misread(
            what=f"the fraction of '{found.group()}' is not below one.", mend=f"write '{right}'", column=column
        )
    return None
