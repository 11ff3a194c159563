"""Names: what a size, a number, a place or a part may be called, and that no two share a name."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable

from batchwright.base.fault import Fault
from batchwright.design.text.near import listed
from batchwright.design.text.syntax import RESERVED
from batchwright.design.text.tree import Scalar

LONGEST_NAME = 60


def spelled(text: str) -> str:
    """A name as it is compared: letters composed the same way however they were typed."""
    return unicodedata.normalize("NFC", text)


def check_name(scalar: Scalar, what: str) -> Fault | None:
    """What is wrong with a name, if anything. `what` is size, number, place or part."""
    words = scalar.text.split(" ")
    reserved = [word for word in words if word in RESERVED]
    if reserved:
        return Fault(
            code="reserved-word",
            place=scalar.place,
            what=f"the {what} `{scalar.text}` has the word `{reserved[0]}` in its name.",
            why=f"{listed(sorted(RESERVED))} have a meaning of their own in expressions",
            mend="call it something without that word",
        )
    if scalar.text and len(scalar.text) <= LONGEST_NAME and all(_is_word(word) for word in words):
        return None
    return Fault(
        code="bad-name",
        place=scalar.place,
        what=f"`{scalar.text[:LONGEST_NAME]}` cannot be the name of a {what}.",
        why="names are words of letters and digits with single spaces between them, each word beginning with a letter; "
        "a hyphen would be read as a minus",
        mend=f"call it something like `{_cleaned(scalar.text) or 'leg'}`",
    )


def _is_word(word: str) -> bool:
    if not word or not word[0].isalpha():
        return False
    return all(letter.isalnum() or unicodedata.category(letter).startswith("M") for letter in word)


def _cleaned(text: str) -> str:
    """The nearest lawful name: other characters become spaces, words that begin with a digit lose it."""
    letters = "".join(letter if letter.isalnum() else " " for letter in text[:LONGEST_NAME])
    words = (word.lstrip("0123456789") for word in letters.split())
    return " ".join(word for word in words if word and word not in RESERVED)


def check_one_set(named: Iterable[tuple[Scalar, str]]) -> tuple[Fault, ...]:
    """Faults for names given to two things of different sorts. Items are (name, size | number | place | part)."""
    first: dict[str, tuple[Scalar, str]] = {}
    faults = []
    for scalar, what in named:
        name = spelled(scalar.text)
        if name not in first:
            first[name] = (scalar, what)
            continue
        other, other_what = first[name]
        faults.append(
            Fault(
                code="name-taken",
                place=scalar.place,
                what=f"the {what} `{name}` has the name of the {other_what} at line {other.place.line}.",
                why="sizes, numbers, places and parts share one set of names, so that a name means one thing",
                mend=f"call one of them something else, for example `{name} {_KIND_WORD.get(what, 'two')}`",
            )
        )
    return tuple(faults)


_KIND_WORD = {"size": "size", "number": "count", "place": "line", "part": "piece"}
