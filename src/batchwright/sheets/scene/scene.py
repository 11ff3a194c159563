"""A scene: what is drawn, at true size, and the scale it is meant to be printed at."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from batchwright.sheets.scene.primitives import Group, Item


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """Items in true millimetres, y up; `scale` = millimetres on paper for one true millimetre (0.1 = 1:10).

    `name` is short and becomes the drawing's title for a reader who hears the page; `about` says in a sentence
    what it shows.
    """

    items: tuple[Item, ...]
    name: str
    scale: float = 1.0
    about: str = ""

    def __post_init__(self) -> None:
        if not self.scale > 0.0:
            raise ValueError(f"scene {self.name!r}: the scale must be above zero, not {self.scale}")


def each_item(items: tuple[Item, ...]) -> Iterator[Item]:
    """Every item, groups opened, in drawing order."""
    for item in items:
        if isinstance(item, Group):
            yield from each_item(item.items)
        else:
            yield item
