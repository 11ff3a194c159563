"""The content of a record as a hashable key: numbers rounded, zeros made plain."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import fields, is_dataclass
from enum import Enum
from functools import lru_cache
from operator import attrgetter

from batchwright.model.shape import Recipe

DECIMALS = 9
"""Recipes that agree to a millionth of a micrometre are the same recipe: only arithmetic's dust lies between them."""
KEPT = 512
"""Records whose key is kept: the shapes and recipes of a few revisions."""


class Key:
    """What a record holds, said in one row, with its hash: equal for records that agree to 1e-9 mm."""

    __slots__ = ("_hash", "_said")

    def __init__(self, said: tuple[object, ...]) -> None:
        self._said = said
        self._hash = hash(said)

    def __eq__(self, other: object) -> bool:
        return self is other or (isinstance(other, Key) and self._hash == other._hash and self._said == other._said)

    def __hash__(self) -> int:
        return self._hash


def content_key(value: object) -> Key:
    """A hashable key of a record, tuple or number: equal for records that agree to 1e-9 mm."""
    said: list[object] = []
    _say(value, said)
    return Key(tuple(said))


def _say(value: object, said: list[object]) -> None:
    """A value told in words and numbers, one after another: how many a tuple has, what kind a record is, come first."""
    if isinstance(value, tuple):
        said.append(f"({len(value)}")
        _say_all(value, said)
    elif isinstance(value, float):
        said.append(round(value, DECIMALS) + 0.0)
    elif isinstance(value, Enum):
        said += (type(value).__name__, value.name)
    elif isinstance(value, (str, int)) or value is None:
        said.append(value)
    elif isinstance(value, Recipe):
        said.append(kept_key(value.shape))
        _say_all((value.shoulders, value.adds, value.cuts, value.bodies), said)
    elif is_dataclass(value) and not isinstance(value, type):
        kind = type(value)
        said.append(kind.__name__)
        _say_all(_fields_of(kind)(value), said)
    else:
        raise TypeError(f"a recipe cannot hold a {type(value).__name__}")


def _say_all(values: Iterable[object], said: list[object]) -> None:
    for value in values:
        if type(value) is float:
            said.append(round(value, DECIMALS) + 0.0)
        else:
            _say(value, said)


@lru_cache(maxsize=128)
def _fields_of(kind: type) -> Callable[[object], tuple[object, ...]]:
    """What takes all fields out of a record."""
    names = tuple(field.name for field in fields(kind))
    if len(names) > 1:
        return attrgetter(*names)
    return lambda record: tuple([getattr(record, name) for name in names])


class _Same:
    """A record known by itself and not by what it holds: two are the same only where they are one and the same."""

    __slots__ = ("value",)

    def __init__(self, value: object) -> None:
        self.value = value

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Same) and other.value is self.value

    def __hash__(self) -> int:
        return id(self.value)


@lru_cache(maxsize=KEPT)
def _kept(same: _Same) -> Key:
    return content_key(same.value)


def kept_key(record: object) -> Key:
    """The same key, kept for a frozen record that is asked for again and again."""
    return _kept(_Same(record))
