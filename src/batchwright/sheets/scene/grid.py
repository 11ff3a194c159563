"""A table for a spreadsheet as data: numbers stay numbers, words stay words."""

from __future__ import annotations

from dataclasses import dataclass

Cell = str | float | None
"""Words, a number in the field's own unit, or nothing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """One column: its title with its unit. `digits` after the point where it holds numbers, None where words; `wide` in
    letters."""

    title: str
    digits: int | None = None
    wide: int = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """One table: its short name (31 letters at most), its title, its columns and rows, each as long as `fields`."""

    name: str
    title: str
    fields: tuple[Field, ...]
    rows: tuple[tuple[Cell, ...], ...]
    note: str = ""
