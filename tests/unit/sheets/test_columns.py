"""Columns of tables: numbers stay whole, words wrap, the width is used."""

from __future__ import annotations

import io
from datetime import UTC, datetime

import pdfplumber
import pytest
from hypothesis import given
from hypothesis import strategies as st

from batchwright.sheets.render.columns import column_widths
from batchwright.sheets.render.pdf import render_sheet
from batchwright.sheets.scene.metrics import text_width, unbroken
from batchwright.sheets.scene.primitives import KEY, Weight
from batchwright.sheets.scene.sheet import Column, Sheet, Table

LONG = "top of the arm over the front leg, measured before the leg is let in and after the seat is cut"


def test_a_mixed_fraction_is_never_broken_and_other_words_may_be() -> None:
    assert unbroken("25 1/2 from 6/4") == "25\u00a01/2 from 6/4"
    assert unbroken("4 x 1 3/4, 12 mm thick, 3 in all") == "4 x 1\u00a03/4, 12\u00a0mm thick, 3\u00a0in all"
    assert unbroken("rail 3 of 8") == "rail 3 of 8"


@given(st.lists(st.tuples(st.text("abc de", max_size=40), st.booleans()), min_size=1, max_size=6))
def test_columns_fill_the_space_exactly(cells: list[tuple[str, bool]]) -> None:
    columns = tuple(Column(title="title", number=number) for _, number in cells)
    widths = column_widths(Table(columns=columns, rows=(tuple(cell for cell, _ in cells),)), 182.0)
    assert sum(widths) == pytest.approx(182.0) and min(widths) > 0.0


def test_a_key_number_keeps_its_line_however_much_stands_beside_it() -> None:
    columns = (Column(title="Set to", key=True, share=0.1), Column(title="Note"), Column(title="Done", ticks=8))
    table = Table(columns=columns, rows=(("25 13/32", LONG, ""),))
    widths = column_widths(table, 182.0)
    assert widths[0] > text_width("25 13/32", KEY, Weight.BOLD) + 3.0
    assert widths[2] >= 8 * 5.0 + 7 * 1.6
    pdf = render_sheet(Sheet(key="s", title="s", blocks=(table,)), datetime(2024, 5, 1, tzinfo=UTC)).pdf
    (page,) = pdfplumber.open(io.BytesIO(pdf)).pages
    heights = {round(char["top"]) for char in page.chars if 17.0 < char["size"] < 19.0 and char["top"] > 90.0}
    assert len(heights) == 1
    boxes = [rect for rect in page.rects if 13.0 < rect["width"] < 16.0]
    assert len(boxes) == 8 and len({round(box["top"]) for box in boxes}) == 1


def test_what_cannot_fit_is_narrowed_alike_rather_than_lost() -> None:
    columns = tuple(Column(title="wide", number=True) for _ in range(3))
    widths = column_widths(Table(columns=columns, rows=(("9" * 60, "9" * 60, "9" * 30),)), 100.0)
    assert sum(widths) == pytest.approx(100.0)
    assert widths[0] == pytest.approx(widths[1]) and widths[2] < widths[0]


def test_a_short_name_is_not_wrapped_for_the_sake_of_a_long_note() -> None:
    columns = (Column(title="Size"), Column(title="Note"))
    table = Table(columns=columns, rows=(("front width", LONG * 3),))
    assert column_widths(table, 100.0)[0] > text_width("front width", 12.0 * 25.4 / 72.0) + 3.0


def test_room_to_spare_goes_by_shares() -> None:
    columns = (Column(title="a", share=1.0), Column(title="a", share=3.0))
    widths = column_widths(Table(columns=columns, rows=(("x", "x"),)), 100.0)
    assert widths[1] - widths[0] == pytest.approx((100.0 - 2.0 * _least()) / 2.0)


def _least() -> float:
    """A column of one narrow letter: the letter of the title or of the cell, and the edges."""
    columns = (Column(title="a"),)
    return (
        max(text_width("a", 10.5 * 25.4 / 72.0, Weight.BOLD), text_width("x", 12.0 * 25.4 / 72.0))
        + 3.4
        + 0.0 * len(columns)
    )
