"""The same parts re-sorted for each machine, so that each list is walked once."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable

from batchwright.model.piece import KindId
from batchwright.model.work import CuttingRow, Family, MachinePass

SETTING_STEP = 0.4
"""Rows within this of one another share a fence setting [mm]; about 1/64 in. House rule."""


def machine_passes(rows: tuple[CuttingRow, ...], families: tuple[Family, ...]) -> tuple[MachinePass, ...]:
    """Rough crosscut, thickness, width and length: largest first, equal settings together."""
    quarters = {kind: family.quarters for family in families for kind in family.kinds}
    return (
        MachinePass(
            machine="rough crosscut",
            note="longest first, so that no long clear stock is lost",
            groups=_grouped(rows, lambda row: (quarters[row.kind], row.rough.length)),
            before_gluing=True,
        ),
        MachinePass(
            machine="planer",
            note="one session for each thickness, set-up pieces included",
            groups=_grouped(rows, lambda row: (quarters[row.kind], row.rough.thickness)),
            before_gluing=True,
        ),
        MachinePass(
            machine="rip to width",
            note="straight parts to finished width; curved parts and boards to be glued up to their blank",
            groups=_grouped(rows, lambda row: ("", _ripped(row))),
            before_gluing=True,
        ),
        MachinePass(
            machine="crosscut to length",
            note="overall length, tenons included, against one stop; what is glued up, after gluing",
            groups=_grouped(rows, lambda row: ("", row.finished.length)),
        ),
    )


def _ripped(row: CuttingRow) -> float:
    """Width set at the fence: the finished one, but a blank's where more is to be done to its edges."""
    return row.rough.width if row.curved or row.pieces > 1 else row.finished.width


def _grouped(
    rows: tuple[CuttingRow, ...], setting: Callable[[CuttingRow], tuple[str, float]]
) -> tuple[tuple[str, tuple[KindId, ...]], ...]:
    """Rows in falling order of the setting, grouped where the settings are one; the key is `stock|value mm`."""
    groups: dict[tuple[str, int], list[KindId]] = defaultdict(list)
    values: dict[tuple[str, int], float] = {}
    for row in sorted(rows, key=lambda row: (-setting(row)[1], row.label)):
        stock, value = setting(row)
        key = next(
            (known for known, seen in values.items() if known[0] == stock and abs(seen - value) <= SETTING_STEP),
            (stock, len(values)),
        )
        values.setdefault(key, value)
        groups[key].append(row.kind)
    ordered = sorted(groups, key=lambda key: (key[0], -values[key]))
    return tuple((f"{key[0]}|{values[key]:.3f}", tuple(groups[key])) for key in ordered)
