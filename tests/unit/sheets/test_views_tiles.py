"""One sheet shows how the tiles of all full-size outlines lie; the tiles follow without pages between them."""

from __future__ import annotations

from dataclasses import replace

import pytest

from batchwright.sheets.render.pdf import render_packet
from batchwright.sheets.scene.sheet import Drawing, FullSize, page_size
from batchwright.sheets.scene.tiling import lay_tiles, without_bars
from example_packets import JOBS, MADE, blocks_in, packet, sheet

NAMES = tuple(JOBS)


@pytest.mark.parametrize("name", NAMES)
def test_each_outline_of_many_tiles_is_planned_once(name: str) -> None:
    captions = [
        block.caption for block in blocks_in(sheet(name, "full-size-plan").blocks) if isinstance(block, Drawing)
    ]
    expected = []
    for one in packet(name).sheets:
        for block in one.blocks:
            if isinstance(block, FullSize):
                count = len(lay_tiles(without_bars(block.scene), page_size(one), block.overlap).printed)
                expected += [f"{block.scene.name}: {count} tiles"] if count > 1 else []
    assert [caption.split(" (")[0] for caption in captions] == expected


def test_an_outline_takes_no_more_pages_than_tiles() -> None:
    one = next(one for one in packet("terrace-armchair").sheets if one.key.startswith("outline-"))
    (block,) = one.blocks
    assert isinstance(block, FullSize)
    tiles = len(lay_tiles(without_bars(block.scene), page_size(one), block.overlap).printed)
    assert render_packet(replace(packet("terrace-armchair"), sheets=(one,)), MADE).pages == tiles
    with_plan = replace(one, blocks=(replace(block, plan=True),))
    assert render_packet(replace(packet("terrace-armchair"), sheets=(with_plan,)), MADE).pages == tiles + 1


@pytest.mark.parametrize("name", NAMES)
def test_the_packet_is_kept_thin(name: str) -> None:
    """Pages of the whole packet, tiles included: the armchair's had 223, the small ones about 60."""
    most = {"terrace-armchair": 180, "garden-settee": 125, "trestle-table": 62}.get(name, 56)
    assert render_packet(packet(name), MADE).pages <= most
