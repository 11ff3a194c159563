"""Looking things up by the name a person types: case and hyphens do not matter; near names are offered."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable
from functools import lru_cache


class UnknownNameError(LookupError):
    """No row of a table goes by this name, or more than one does. `near` holds names that would do."""

    def __init__(self, kind: str, name: str, near: tuple[str, ...], ambiguous: bool = False) -> None:
        self.kind = kind
        self.name = name
        self.near = near
        self.ambiguous = ambiguous
        what = f"the handbook has no {kind} '{name}'"
        if ambiguous:
            what = f"more than one {kind} goes by '{name}'"
        offer = f"; near it: {', '.join(near)}" if near else ""
        super().__init__(f"{what}{offer}")


@lru_cache(maxsize=8192)
def plain_name(name: str) -> str:
    """Name reduced to what counts: lower case, words parted by single spaces.

    Parameters
    ----------
    name : str
        As typed [text]

    Returns
    -------
    str
        Letters, digits and single spaces; a stop or slash between digits stays [text]

    Notes
    -----
    Valid for any text.

    Source: house rule, case and punctuation do not part two names.

    Examples
    --------
    >>> plain_name("Douglas-fir (coast)")
    'douglas fir coast'
    """
    return " ".join(re.findall(r"[^\W_]+", name.casefold()))


def nearest_names(name: str, known: Iterable[str], most: int = 4) -> tuple[str, ...]:
    """Known names that look like the one typed, nearest first.

    Parameters
    ----------
    name : str
        As typed [text]
    known : iterable of str
        The names that would be understood [text]
    most : int
        How many to offer at most [-]

    Returns
    -------
    tuple of str
        Nearest names, none if nothing is near [text]

    Raises
    ------
    ValueError
        If `most` is less than 1.

    Notes
    -----
    Valid for short lists of names: likeness of letters, and names that hold every word typed.

    Source: house rule, an unknown name is answered with the nearest known ones.

    Examples
    --------
    >>> nearest_names("whit oak", ["White oak", "White ash", "Teak"])
    ('White oak', 'White ash')
    """
    if most < 1:
        raise ValueError(f"most must be at least 1, not {most}")
    plain = {plain_name(each): each for each in reversed(tuple(known))}
    wanted = plain_name(name)
    words = set(wanted.split())
    holding = sorted(each for each in plain if words and words <= set(each.split()))
    alike = difflib.get_close_matches(wanted, sorted(plain), n=most, cutoff=0.6)
    ordered = dict.fromkeys(plain[each] for each in (*holding, *alike))
    return tuple(ordered)[:most]
