"""Lists: one XLSX workbook, and each list as CSV."""

from __future__ import annotations

from collections.abc import Sequence

from batchwright.app.exporting.wanted import Form, Wanted
from batchwright.app.packet import file_name
from batchwright.sheets.render.csv_text import render_csv
from batchwright.sheets.render.xlsx import WorkbookForm, render_workbook
from batchwright.sheets.scene.grid import Cell, Field, Grid
from batchwright.sheets.views.csv_lists import BUYING_COLUMNS, CUTTING_COLUMNS, buying_rows, cutting_rows
from batchwright.sheets.views.grids import (
    Listed,
    all_in_unit,
    board_grid,
    buying_grid,
    cutting_grid,
    hardware_grid,
    joint_grid,
)
from batchwright.sheets.views.setout_grids import fixing_grid, setout_grid

IN_THE_PACKET = ("Cutting list", "Buying list", "Boards")
"""Lists that come as CSV with a job's packet: they are written as they are there."""


def list_files(wanted: Wanted, forms: Sequence[Form]) -> dict[str, bytes]:
    """The lists in the forms asked for; what to buy only where no part was named."""
    files: dict[str, bytes] = {}
    if Form.XLSX not in forms and Form.CSV not in forms:
        return files
    contents, title = wanted.contents, wanted.piece.draft.name
    grids = all_in_unit(_listed(wanted), contents.printing)
    if Form.XLSX in forms:
        form = WorkbookForm(title=f"{title}: {contents.job}", made=wanted.planned.made, paper=contents.paper)
        files[f"lists/{file_name(title)}.xlsx"] = render_workbook(grids, form)
    if Form.CSV in forms:
        files |= _packet_lists(wanted) if wanted.whole else {}
        told = [grid for grid in grids if not wanted.whole or grid.name not in IN_THE_PACKET]
        files |= {f"lists/{file_name(grid.name.lower())}.csv": _as_csv(grid) for grid in told}
    return files


def _listed(wanted: Wanted) -> list[Listed]:
    contents, piece = wanted.contents, wanted.piece
    kinds = wanted.kinds()
    parts = [part for _, part in kinds]
    joints = [one for one in piece.joints if wanted.has(one.part) or wanted.has(one.into)]
    listed = [cutting_grid(contents, frozenset(str(kind.id) for kind, _ in kinds))]
    if wanted.whole:
        listed.append(buying_grid(contents))
        listed += [] if contents.lumber is None else [board_grid(contents, contents.lumber)]
        listed.append(hardware_grid(contents))
    return [*listed, joint_grid(contents, joints), setout_grid(contents, parts), fixing_grid(contents, parts)]


def _packet_lists(wanted: Wanted) -> dict[str, bytes]:
    contents = wanted.contents
    cutting, printing = contents.cutting, contents.printing
    return {
        "lists/cutting-list.csv": render_csv(CUTTING_COLUMNS, cutting_rows(cutting, printing)),
        "lists/buying-list.csv": render_csv(BUYING_COLUMNS, buying_rows(cutting, contents.lumber, printing)),
    }


def _as_csv(grid: Grid) -> bytes:
    rows = tuple(
        tuple(_plain(field, cell) for field, cell in zip(grid.fields, row, strict=True)) for row in grid.rows
    )
    return render_csv(tuple(field.title for field in grid.fields), rows)


def _plain(field: Field, cell: Cell) -> str:
    if cell is None or isinstance(cell, str):
        return cell or ""
    return f"{cell:.{field.digits or 0}f}"
