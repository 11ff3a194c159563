"""The nearest known words to one that is not known."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import SequenceMatcher, get_close_matches
from itertools import islice

_LONGEST = 80
_MOST_KNOWN = 2000
_MOST_COMPARED = 200
"""Of more words than these only those that begin alike are looked through: a file may have thousands of slips."""
_ALIKE = 0.6


def nearest(word: str, known: Iterable[str], most: int = 3) -> tuple[str, ...]:
    """Up to `most` known words that look like `word`, nearest first; words in another order count as near."""
    if len(word) > _LONGEST:
        return ()
    candidates = _compared(word, list(dict.fromkeys(islice(known, _MOST_KNOWN))))
    plain = word.casefold()
    folded = {candidate.casefold(): candidate for candidate in reversed(candidates)}
    likely = [candidate for candidate in folded if _may_be_alike(plain, candidate)]
    found = [folded[near] for near in get_close_matches(plain, likely, n=most, cutoff=_ALIKE)]
    found += [candidate for candidate in candidates if candidate not in found and _shares_words(word, candidate)]
    return tuple(found[:most])


def _compared(word: str, known: list[str]) -> list[str]:
    if len(known) <= _MOST_COMPARED:
        return known
    begins = (word[:1].lower(), word[:1].upper())
    return sorted(one for one in known if one.startswith(begins))[:_MOST_COMPARED]


def _may_be_alike(one: str, other: str) -> bool:
    """Whether enough letters could match; quick, and never wrong about words that are alike."""
    mine, theirs = set(one), set(other)
    most = min(len(one) - len(mine - theirs), len(other) - len(theirs - mine))
    return 2 * most >= _ALIKE * (len(one) + len(other))


def _shares_words(word: str, candidate: str) -> bool:
    mine, theirs = set(word.casefold().split()), set(candidate.casefold().split())
    if len(mine) > 1 or len(theirs) > 1:
        return bool(mine & theirs) and (mine <= theirs or theirs <= mine)
    return False


def likeness(one: str, other: str) -> float:
    """How alike two words look, 0 to 1."""
    return SequenceMatcher(None, one.casefold(), other.casefold()).ratio()


def offer(word: str, known: Iterable[str]) -> str:
    """The nearest known words as a phrase (`width` or `rail width`), empty where none is near."""
    found = [f"`{name}`" for name in nearest(word, known)]
    if len(found) < 2:
        return "".join(found)
    return ", ".join(found[:-1]) + " or " + found[-1]


def listed(words: Iterable[str], most: int = 12) -> str:
    """Words as a phrase: `a`, `b`, `c` ... and 4 more."""
    every = list(words)
    shown = ", ".join(f"`{word}`" for word in every[:most])
    return shown if len(every) <= most else f"{shown} and {len(every) - most} more"
