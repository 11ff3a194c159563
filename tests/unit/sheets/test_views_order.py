"""The packet follows the work at the bench (common practice, no source): draw, set out, buy, cut, shape, joint, fix."""

from __future__ import annotations

from itertools import groupby, pairwise

import pytest

from batchwright.sheets.views.packet import packet_entries
from example_packets import JOBS, contents

WORK = ("The piece", "Drawings", "Rods", "Boards", "Lists", "Full size", "Parts", "Joints", "Fixings", "Notes")


@pytest.mark.parametrize("example", JOBS)
def test_sheets_stand_in_the_order_of_the_work(example: str) -> None:
    entries = packet_entries(contents(example))
    groups = [group for group, _ in groupby(entry.group for entry in entries)]
    assert groups == [group for group in WORK if group in groups], "each group once, in this order"
    keys = [entry.key for entry in entries]
    assert len(keys) == len(set(keys)) and keys[0] == "cover"
    assert keys.index("buying-list") < keys.index("cutting-list") < keys.index("machine-planer")
    assert keys == [entry.key for entry in packet_entries(contents(example))], "the same each time"


@pytest.mark.parametrize("example", JOBS)
def test_parts_of_one_name_follow_one_another_thickest_family_first(example: str) -> None:
    held = contents(example)
    kinds = {f"part-{kind.id}": kind for kind in held.made.piece.kinds}
    order = [kinds[entry.key] for entry in packet_entries(held, ()) if entry.group == "Parts"]
    assert len(order) == len(kinds)
    names = [name for name, _ in groupby(kind.name for kind in order)]
    assert len(names) == len(set(names))
    thick = {row.kind: row.rough.thickness for row in held.cutting.rows}
    woods = {row.kind: row.species for row in held.cutting.rows}
    firsts = [max(thick[kind.id] for kind in order if kind.name == name) for name in names]
    if len(set(woods.values())) == 1:
        assert all(first > after - 0.01 for first, after in pairwise(firsts))
