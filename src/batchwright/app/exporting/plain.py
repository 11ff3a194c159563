"""Shapes and recipes as plain values and back, for a process of our own to read: no code travels with them."""

from __future__ import annotations

from dataclasses import fields, is_dataclass
from enum import Enum
from types import ModuleType
from typing import Any

from batchwright.geometry import frame, segment
from batchwright.model import shape
from batchwright.model.shape import Recipe

KIND = "is"
"""The word under which a record tells what it is."""


def _known(*modules: ModuleType) -> dict[str, type[Any]]:
    """Every record and choice of some modules, by name."""
    return {
        name: one
        for module in modules
        for name, one in vars(module).items()
        if isinstance(one, type) and (is_dataclass(one) or issubclass(one, Enum))
    }


KNOWN = _known(frame, segment, shape)


def recipe_as_plain(recipe: Recipe) -> dict[str, Any]:
    """A recipe as what JSON can hold."""
    plain: dict[str, Any] = _plain(recipe)
    return plain


def _plain(value: object) -> Any:
    if isinstance(value, Enum):
        return {KIND: type(value).__name__, "value": value.value}
    if is_dataclass(value) and not isinstance(value, type):
        return {KIND: type(value).__name__, **{one.name: _plain(getattr(value, one.name)) for one in fields(value)}}
    if isinstance(value, tuple):
        return [_plain(one) for one in value]
    if value is None or isinstance(value, str | bool | int):
        return value
    if isinstance(value, float):
        return float(value)
    raise TypeError(f"a {type(value).__name__} cannot be handed over")


def recipe_of(plain: object) -> Recipe:
    """The recipe that was made plain.

    Raises
    ------
    ValueError
        If it is none.
    """
    found = _record(plain)
    if not isinstance(found, Recipe):
        raise ValueError("a recipe is wanted")
    return found


def _record(plain: object) -> object:
    if isinstance(plain, list):
        return tuple(_record(one) for one in plain)
    if not isinstance(plain, dict):
        return plain
    kind = KNOWN.get(plain.get(KIND, ""))
    if kind is None:
        raise ValueError(f"there is no record called {plain.get(KIND)!r}")
    held = {name: _record(value) for name, value in plain.items() if name != KIND}
    return kind(held["value"]) if issubclass(kind, Enum) else kind(**held)
