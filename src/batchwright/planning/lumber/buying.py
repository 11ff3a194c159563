"""What to buy where no boards are known yet: board feet, and the least board that is of use."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

from batchwright.handbook.lumber import CUBIC_MM_IN_BOARD_FOOT
from batchwright.model.work import CuttingList, Family


@dataclass(frozen=True, slots=True, kw_only=True)
class Purchase:
    """Lumber of one species and rough thickness to buy; the families planed from it are taken together."""

    species: str
    quarters: str
    net_feet: float
    rough_feet: float
    """Of the blanks, at full rough thickness [board ft]."""
    buy_feet: float
    waste: float
    """Share of what is bought that is lost, 0-1."""
    factor: float
    """Bought over net: 1 / (1 - waste)."""
    least_length: float
    """Of a board that can give the longest blank, both ends trimmed [mm]."""
    least_width: float
    """Of a board that can give the widest blank [mm]."""


def buying_estimate(cutting: CuttingList) -> tuple[Purchase, ...]:
    """What to buy by species and rough thickness, from the thickness families of a cutting list."""
    groups: dict[tuple[str, str], list[Family]] = defaultdict(list)
    for family in cutting.families:
        groups[family.species, family.quarters].append(family)
    return tuple(_purchase(*key, groups[key]) for key in sorted(groups, key=lambda key: (key[0], -_size(key[1]))))


def _size(quarters: str) -> float:
    top, bottom = quarters.split("/")
    return int(top) / int(bottom)


def _purchase(species: str, quarters: str, families: list[Family]) -> Purchase:
    net = sum(family.net_volume for family in families)
    buy = sum(family.buy_volume for family in families)
    return Purchase(
        species=species,
        quarters=quarters,
        net_feet=net / CUBIC_MM_IN_BOARD_FOOT,
        rough_feet=sum(family.rough_volume for family in families) / CUBIC_MM_IN_BOARD_FOOT,
        buy_feet=buy / CUBIC_MM_IN_BOARD_FOOT,
        waste=1.0 - net / buy,
        factor=buy / net,
        least_length=max(family.least_length for family in families),
        least_width=max(family.least_width for family in families),
    )
