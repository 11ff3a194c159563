"""The content of a record as a hashable key: numbers rounded, zeros made plain."""

from __future__ import annotations

from dataclasses import fields, is_dataclass
from enum import Enum
from functools import lru_cache

DECIMALS = 7
"""Recipes that agree to a ten-millionth of a millimetre are the same recipe."""


@lru_cache(maxsize=128)
def _field_names(kind: type) -> tuple[str, ...]:
    return tuple(field.name for field in fields(kind))


def content_key(value: object) -> object:
    """A hashable key of a record, tuple or number: equal for records that agree to 1e-7 mm."""
    if isinstance(value, float):
        return round(value, DECIMALS) + 0.0
    if isinstance(value, tuple):
        return tuple([content_key(item) for item in value])
    if isinstance(value, (str, int, Enum)) or value is None:
        return value
    if is_dataclass(value) and not isinstance(value, type):
        names = _field_names(type(value))
        return (type(value).__name__, *[content_key(getattr(value, name)) for name in names])
    raise TypeError(f"a recipe cannot hold a {type(value).__name__}")
