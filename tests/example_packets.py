"""The packets of the examples, planned once for all tests that read them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime
from functools import cache
from pathlib import Path

from batchwright.app.packet import contents_of
from batchwright.app.plan import plan_job
from batchwright.app.planned import Planned
from batchwright.sheets.scene.scene import Scene
from batchwright.sheets.scene.sheet import Beside, Block, Drawing, FullSize, Packet, Sheet
from batchwright.sheets.views.packet import Contents, make_packet

ROOT = Path(__file__).resolve().parents[1] / "examples"
MADE = datetime(2024, 5, 1, 12, 0, tzinfo=UTC)
JOBS = {
    "splayed-stool": "splayed-stool/stool.job.yaml",
    "hall-table": "hall-table/hall-table.job.yaml",
    "terrace-armchair": "terrace-armchair/terrace.job.yaml",
    "trestle-table": "trestle-table/trestle.job.yaml",
    "garden-settee": "garden-settee/settee.job.yaml",
}


@cache
def planned(name: str) -> Planned:
    """An example's job, planned."""
    outcome = plan_job(ROOT / JOBS[name], MADE)
    assert outcome.thing is not None, [fault.what for fault in outcome.faults]
    return outcome.thing


@cache
def contents(name: str, unit: str = "") -> Contents:
    """What an example's packet is made from; in `mm` or `in` where asked."""
    plan = planned(name)
    return contents_of(replace(plan, job=replace(plan.job, print_in=unit or plan.job.print_in)))


@cache
def packet(name: str, unit: str = "") -> Packet:
    """An example's packet."""
    return make_packet(contents(name, unit))


def sheet(name: str, key: str, unit: str = "") -> Sheet:
    """One sheet of an example."""
    return next(one for one in packet(name, unit).sheets if one.key == key)


def blocks_in(blocks: tuple[Block, ...]) -> Iterator[Block]:
    """All blocks, those in columns too."""
    for block in blocks:
        yield block
        if isinstance(block, Beside):
            yield from blocks_in((*block.left, *block.right))


def scenes_in(one: Sheet) -> Iterator[Scene]:
    """All scenes of a sheet."""
    for block in blocks_in(one.blocks):
        if isinstance(block, Drawing | FullSize):
            yield block.scene
