"""An expression cut into words, numbers and marks, each with its characters."""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass
from enum import Enum

from batchwright.base.fault import Place
from batchwright.design.text.mistake import Mistake, mistake
from batchwright.design.text.tree import Scalar

LONGEST = 500
"""Characters in one expression."""

_MARKS = frozenset("+-*/();.'\"")
_DIGITS = frozenset("0123456789")
_INSTEAD = {
    "\N{MINUS SIGN}": "write a plain minus, `-`",
    "\N{EN DASH}": "write a plain minus, `-`",
    "\N{EM DASH}": "write a plain minus, `-`",
    "\N{MULTIPLICATION SIGN}": "write `*`",
    "\N{DIVISION SIGN}": "write `/`",
    "\N{DEGREE SIGN}": "write `deg`, for example `4 deg`",
    "\N{PRIME}": "write a plain foot mark, `'`",
    "\N{DOUBLE PRIME}": 'write a plain inch mark, `"`',
    "\N{RIGHT SINGLE QUOTATION MARK}": "write a plain foot mark, `'`",
    "\N{RIGHT DOUBLE QUOTATION MARK}": 'write a plain inch mark, `"`',
    "_": "names are words with single spaces between them",
    "[": "use round brackets ( )",
    "]": "use round brackets ( )",
    "{": "use round brackets ( )",
    "}": "use round brackets ( )",
    ":": "write a slope as `1 in 8`",
    "%": "write the share as a number, for example `0.35`",
    "^": "write the product out, for example `width*0.5`",
    "=": "a size or key is set with `:`",
}


class Sort(Enum):
    """What a token is."""

    WORD = "word"
    NUMBER = "number"
    MARK = "mark"
    END = "the end"


@dataclass(frozen=True, slots=True)
class Token:
    """One token: its characters in the scalar's text."""

    sort: Sort
    text: str
    start: int
    end: int

    @property
    def whole(self) -> bool:
        """Whether it is a number without a decimal point."""
        return self.sort is Sort.NUMBER and "." not in self.text

    def is_mark(self, mark: str) -> bool:
        """Whether it is this mark."""
        return self.sort is Sort.MARK and self.text == mark

    def is_word(self, word: str) -> bool:
        """Whether it is this word."""
        return self.sort is Sort.WORD and self.text == word


def tokens_of(scalar: Scalar, skip: int = 0) -> tuple[Token, ...]:
    """The tokens of a scalar's text from character `skip` on, with an end token. Raises Mistake."""
    text = scalar.text
    if len(text) - skip > LONGEST:
        raise mistake(
            "expression-too-long",
            scalar.place,
            f"this expression has {len(text) - skip} characters; the most is {LONGEST}.",
            "give parts of it names under `sizes` and use those",
        )
    found: list[Token] = []
    at = skip
    while at < len(text):
        if text[at].isspace():
            at += 1
            continue
        token = _token(text, at, scalar)
        found.append(token)
        at = token.end
    return (*found, Token(Sort.END, "", len(text), len(text)))


def _token(text: str, at: int, scalar: Scalar) -> Token:
    first = text[at]
    if first in _DIGITS or (first == "." and text[at + 1 : at + 2] in _DIGITS and _starts_number(text, at)):
        return _number(text, at, scalar)
    if first.isalpha():
        end = at + 1
        while end < len(text) and _in_word(text[end]):
            end += 1
        return Token(Sort.WORD, unicodedata.normalize("NFC", text[at:end]), at, end)
    if first in _MARKS:
        return Token(Sort.MARK, first, at, at + 1)
    raise _stranger(text, at, scalar)


def _starts_number(text: str, at: int) -> bool:
    """Whether the point at `at` can begin a decimal such as `.5`: not behind a name, a number or a bracket."""
    before = text[:at].rstrip()
    return not before or not (before[-1].isalnum() or before[-1] == ")") or before != text[:at]


def _in_word(character: str) -> bool:
    if character.isalpha() or character in _DIGITS:
        return True
    return character.isalnum() or unicodedata.category(character).startswith("M")


def _number(text: str, at: int, scalar: Scalar) -> Token:
    end = at
    while end < len(text) and text[end] in _DIGITS:
        end += 1
    if text[end : end + 1] == "." and text[end + 1 : end + 2] and text[end + 1] in _DIGITS:
        end += 1
        while end < len(text) and text[end] in _DIGITS:
            end += 1
    if end - at > 16:
        raise mistake(
            "number-too-long",
            scalar.place_at(at),
            f"`{text[at : at + 20]}` ... has more than 16 digits.",
            "write the number with fewer digits",
        )
    return Token(Sort.NUMBER, text[at:end], at, end)


def _stranger(text: str, at: int, scalar: Scalar) -> Mistake:
    character, place = text[at], scalar.place_at(at)
    if character == ",":
        return _comma(text, at, place)
    if character == "#":
        return mistake(
            "unknown-character",
            place,
            "`#` cannot stand in an expression.",
            "put a space before `#` to begin a remark",
        )
    if unicodedata.category(character) == "No" and unicodedata.normalize("NFKC", character) != character:
        plain = unicodedata.normalize("NFKC", character).replace("\N{FRACTION SLASH}", "/")
        instead = f"write it with plain figures, `{plain}`, and a space before it"
    else:
        instead = _INSTEAD.get(character, "take it out, or write it in words")
    called = unicodedata.name(character, f"character {ord(character)}").lower()
    return mistake("unknown-character", place, f"`{character}` ({called}) has no meaning in an expression.", instead)


def _comma(text: str, at: int, place: Place) -> Mistake:
    before, after = text[at - 1 : at], text[at + 1 : at + 2]
    if before and after and before in _DIGITS and after in _DIGITS:
        return mistake(
            "comma",
            place,
            f"`{text}` has a comma inside a number.",
            "write decimals with a point (`4.5`), thousands without a mark, and part arguments by semicolons",
            "a comma in [ ] parts one item from the next",
        )
    return mistake(
        "comma",
        place,
        f"`{text}` has a comma.",
        "part the arguments of a function by semicolons: `min(a; b)`",
        "a comma in [ ] parts one item from the next",
    )
