"""Grids to one XLSX workbook, ready to print: a sheet for each, its heading kept in sight and on every page.

Words are always written as words: a name that begins with `=` is no formula.
"""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

import xlsxwriter

from batchwright.sheets.scene.grid import Cell, Field, Grid

PAPERS = {"letter": 1, "tabloid": 3, "a3": 8, "a4": 9}
"""The format's own numbers for papers. Source: ISO/IEC 29500-1, 18.3.1.63 (pageSetup)."""
HEAD = 2
"""Rows before the column titles: the title, and an empty one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkbookForm:
    """Title and moment as the file tells them, and the paper that it is printed on."""

    title: str
    made: datetime
    paper: str = "letter"


def render_workbook(grids: Sequence[Grid], form: WorkbookForm) -> bytes:
    """The workbook's bytes, the same for the same grids and moment."""
    stream = io.BytesIO()
    inert = {"strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False, "in_memory": True}
    book = xlsxwriter.Workbook(stream, inert)
    moment = form.made.astimezone(UTC).replace(tzinfo=None)
    book.set_properties({"title": form.title, "author": "", "comments": "Batchwright", "created": moment})
    for grid in grids:
        _sheet(book, grid, form)
    book.close()
    return stream.getvalue()


def _sheet(book: Any, grid: Grid, form: WorkbookForm) -> None:
    sheet = book.add_worksheet(grid.name)
    sheet.write_string(0, 0, f"{form.title}: {grid.title}", book.add_format({"bold": True, "font_size": 14}))
    if grid.note:
        sheet.write_string(1, 0, grid.note, book.add_format({"italic": True}))
    for column, field in enumerate(grid.fields):
        sheet.set_column(column, column, field.wide)
        sheet.write_string(HEAD, column, field.title, book.add_format(_heading(field)))
        cells = book.add_format(_form(field))
        for row, values in enumerate(grid.rows, start=HEAD + 1):
            _write(sheet, (row, column), values[column], cells)
    last = HEAD + max(len(grid.rows), 1)
    sheet.freeze_panes(HEAD + 1, 0)
    sheet.autofilter(HEAD, 0, last, len(grid.fields) - 1)
    sheet.repeat_rows(HEAD)
    sheet.set_landscape()
    sheet.set_paper(PAPERS.get(form.paper.split()[0].lower() if form.paper else "", PAPERS["letter"]))
    sheet.fit_to_pages(1, 0)
    sheet.set_margins(left=0.4, right=0.4, top=0.6, bottom=0.7)
    sheet.set_footer("&L&A&RPage &P of &N")


def _heading(field: Field) -> dict[str, object]:
    side = "left" if field.digits is None else "right"
    return {"bold": True, "text_wrap": True, "bottom": 1, "align": side, "valign": "bottom"}


def _form(field: Field) -> dict[str, object]:
    if field.digits is None:
        return {"text_wrap": True, "valign": "top"}
    return {"num_format": f"0.{'0' * field.digits}" if field.digits else "0", "valign": "top"}


def _write(sheet: Any, at: tuple[int, int], value: Cell, cells: object) -> None:
    if isinstance(value, str):
        sheet.write_string(*at, value, cells)
    elif value is not None:
        sheet.write_number(*at, value, cells)
