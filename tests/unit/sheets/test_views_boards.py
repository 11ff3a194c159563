"""Board sheets: several boards on one, what is left over, the maker's notes, the money as it is charged."""

from __future__ import annotations

import io
from dataclasses import replace

import pdfplumber
import pytest
import shapely

from batchwright.model.stock import Board, BoardPlan, Defect, LaidBlank, SectionCut, Strip
from batchwright.sheets.render.pdf import render_packet
from batchwright.sheets.scene.sheet import Heading, Paragraph, Table
from batchwright.sheets.views.boards import offcuts
from example_packets import JOBS, MADE, contents, packet

NAMES = tuple(JOBS)


def _plan(sections: tuple[SectionCut, ...]) -> tuple[Board, BoardPlan]:
    board = Board(name="B1", species="white oak", length=3000.0, width=200.0, far_width=180.0, thickness=28.0)
    return board, BoardPlan(board="B1", sections=sections)


def _strip(y: float, width: float, x: float, length: float) -> Strip:
    return Strip(y=y, width=width, laid=(LaidBlank(blank=0, x=x, y=y, length=length, width=width),))


def test_offcuts_are_what_is_left_of_the_board() -> None:
    """Held against shapely: each lies on the board, on no strip and on no defect; none is shorter or narrower."""
    section = SectionCut(
        x=25.0, length=1000.0, strips=(_strip(0.0, 60.0, 25.0, 1000.0), _strip(63.0, 50.0, 25.0, 600.0))
    )
    board, plan = _plan((section,))
    found = {(round(one.length), round(one.width)) for one in offcuts(board, plan)}
    outline = shapely.Polygon([(0, 0), (3000, 0), (3000, 180), (0, 200)])
    beyond, beside, end = (
        shapely.box(1025, 0, 3000, 180),
        shapely.box(25, 113, 1025, 193),
        shapely.box(625, 63, 1025, 113),
    )
    assert all(outline.contains(one.buffer(-0.1)) for one in (beyond, beside, end))
    assert found == {
        (round(x1 - x0), round(y1 - y0)) for x0, y0, x1, y1 in (one.bounds for one in (beyond, beside, end))
    }
    knotty = replace(board, defects=(Defect(start=2000.0, end=2050.0, low=50.0, high=60.0),))
    assert len(offcuts(knotty, plan)) == 2


@pytest.mark.parametrize("name", NAMES)
def test_each_board_used_stands_on_one_sheet_and_on_one_page(name: str) -> None:
    held, sheets = contents(name), [one for one in packet(name).sheets if one.key.startswith("board-")]
    assert held.lumber is not None
    told = [block.text.split(":")[0] for one in sheets for block in one.blocks if isinstance(block, Heading)]
    assert sorted(told) == sorted(f"Board {plan.board}" for plan in held.lumber.plans)
    printed = render_packet(replace(packet(name), sheets=tuple(sheets)), MADE)
    assert printed.pages == len(sheets)


@pytest.mark.parametrize("name", NAMES)
def test_board_sheets_count_every_blank_that_is_laid(name: str) -> None:
    held = contents(name)
    assert held.lumber is not None
    laid = sum(len(s.laid) for plan in held.lumber.plans for section in plan.sections for s in section.strips)
    rows = [
        row
        for one in packet(name).sheets
        if one.key.startswith("board-")
        for block in one.blocks
        if isinstance(block, Table)
        for row in block.rows
    ]
    assert sum(int(row[4]) for row in rows) == laid


def test_bug_blanks_measure_alike_on_the_cutting_list_and_on_the_boards() -> None:
    """12 17/32 on the list was 12 9/16 on the board."""
    held = contents("terrace-armchair")
    listed = {(row.kind, held.printing.block(row.rough.width, row.rough.length)) for row in held.cutting.rows}
    assert held.lumber is not None
    for plan in held.lumber.plans:
        for section in plan.sections:
            for strip in section.strips:
                for one in strip.laid:
                    blank = held.lumber.blanks[one.blank]
                    size = held.printing.block(one.width, one.length)
                    turned = held.printing.block(blank.width, blank.length)
                    assert (blank.kind, size) in listed or size == turned, (blank.label, size)


def test_notes_and_charged_measure_stand_with_the_board() -> None:
    held = contents("terrace-armchair")
    words = " ".join(
        block.text for one in packet("terrace-armchair").sheets for block in one.blocks if isinstance(block, Paragraph)
    )
    assert held.lumber is not None
    used = {plan.board for plan in held.lumber.plans}
    boards = [board for board in held.lumber.boards if board.name in used]
    assert any(board.note for board in boards)
    for board in boards:
        assert board.note in words
        assert f"({board.price_text})" in words


def test_board_sheets_read_on_paper() -> None:
    one = next(one for one in packet("hall-table").sheets if one.key.startswith("board-"))
    (page, *_) = pdfplumber.open(
        io.BytesIO(render_packet(replace(packet("hall-table"), sheets=(one,)), MADE).pdf)
    ).pages
    text = page.extract_text()
    assert "Crosscut" in text and "Becomes" in text and "Short stock" in text
