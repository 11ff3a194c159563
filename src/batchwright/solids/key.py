"""The content of a record as a hashable key: numbers rounded, zeros made plain."""

from __future__ import annotations

from dataclasses import fields, is_dataclass
from enum import Enum
from functools import lru_cache

from batchwright.model.shape import Recipe

DECIMALS = 9
"""Recipes that agree to a millionth of a micrometre are the same recipe: only arithmetic's dust lies between them."""
KEPT = 512
"""Records whose key is kept: the shapes and recipes of a few revisions."""


@lru_cache(maxsize=128)
def _field_names(kind: type) -> tuple[str, ...]:
    return tuple(field.name for field in fields(kind))


def content_key(value: object) -> object:
    """A hashable key of a record, tuple or number: equal for records that agree to 1e-9 mm."""
    if isinstance(value, float):
        return round(value, DECIMALS) + 0.0
    if isinstance(value, tuple):
        return tuple([content_key(item) for item in value])
    if isinstance(value, (str, int, Enum)) or value is None:
        return value
    if is_dataclass(value) and not isinstance(value, type):
        if isinstance(value, Recipe):
            return (kept_key(value.shape), *[content_key(part) for part in _of_recipe(value)])
        names = _field_names(type(value))
        return (type(value).__name__, *[content_key(getattr(value, name)) for name in names])
    raise TypeError(f"a recipe cannot hold a {type(value).__name__}")


def _of_recipe(recipe: Recipe) -> tuple[object, ...]:
    """What a recipe holds besides its shape; where it stands makes no other wood."""
    return (recipe.shoulders, recipe.adds, recipe.cuts, recipe.bodies)


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
def _kept(same: _Same) -> object:
    return content_key(same.value)


def kept_key(record: object) -> object:
    """The same key, kept for a frozen record that is asked for again and again."""
    return _kept(_Same(record))
