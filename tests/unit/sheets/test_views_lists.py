"""Rows for spreadsheets, and the datum that depths count from."""

from __future__ import annotations

import csv
import io
import re

import pytest

from batchwright.handbook.species import find_species
from batchwright.sheets.render.csv_text import render_csv
from batchwright.sheets.scene.primitives import Running
from batchwright.sheets.views.csv_lists import BUYING_COLUMNS, CUTTING_COLUMNS, buying_rows, cutting_rows
from batchwright.sheets.views.rods import DIRECTIONS, rod_table
from example_packets import JOBS, contents, packet, scenes_in

NAMES = tuple(JOBS)
DATE = re.compile(r"^\s*\d{1,4}[/-]\d{1,2}([/-]\d{1,4})?\s*$|^\s*\d+ \d{1,2}/\d{1,2}\s*$")
"""What spreadsheets are known to turn into dates or fractions of their own: common knowledge, no source."""


@pytest.mark.parametrize("name", NAMES)
def test_bug_no_cell_becomes_a_date(name: str) -> None:
    """7/8 opened as the seventh of August, 4/4 as the fourth of April."""
    held = contents(name)
    for columns, rows in (
        (CUTTING_COLUMNS, cutting_rows(held.cutting, held.printing)),
        (BUYING_COLUMNS, buying_rows(held.cutting, held.lumber, held.printing)),
    ):
        read = list(csv.reader(io.StringIO(render_csv(columns, rows).decode("utf-8-sig"))))
        assert all(len(row) == len(columns) for row in read)
        assert [cell for row in read[1:] for cell in row if DATE.match(cell)] == []


@pytest.mark.parametrize("name", NAMES)
def test_wood_is_called_by_its_common_name_and_bought_by_its_rough_thickness(name: str) -> None:
    held = contents(name)
    rows = [
        dict(zip(BUYING_COLUMNS, row, strict=True)) for row in buying_rows(held.cutting, held.lumber, held.printing)
    ]
    stock = [row for row in rows if row["net"]]
    assert len({row["what"] for row in stock}) == len(stock) == len({f.quarters for f in held.cutting.families})
    assert sum(float(row["net"]) for row in stock) == pytest.approx(
        sum(family.net_volume for family in held.cutting.families) / (144 * 25.4**3), abs=0.01 * len(stock)
    )
    for family in held.cutting.families:
        species = find_species(family.species)
        assert species is not None and any(row["what"].startswith(species.name.lower()) for row in stock)


def test_boards_have_columns_of_their_own() -> None:
    held = contents("terrace-armchair")
    rows = [
        dict(zip(BUYING_COLUMNS, row, strict=True)) for row in buying_rows(held.cutting, held.lumber, held.printing)
    ]
    boards = {board.name: board for board in held.lumber.boards} if held.lumber else {}
    told = [row for row in rows if row["what"].startswith("board ")]
    assert told
    for row in told:
        board = boards[row["what"].removeprefix("board ")]
        assert float(row["board length mm"]) == pytest.approx(board.length, abs=0.5)
        assert row["least length mm"] == "" and row["note"] == board.note


def test_bug_depths_count_from_the_zero_of_the_drawing() -> None:
    """They counted from the front-most point, so the front leg's front stood at 1 21/32 and not at 0."""
    held = contents("terrace-armchair")
    depth = next(one for one in DIRECTIONS if one.axis == 1)
    assert "0" in depth.datum and "front-most" not in depth.datum
    bounds = held.made.bare_bounds
    rows = {row[0]: row[1:3] for row in rod_table(held.made.piece, bounds, depth, held.printing)}
    part = next(part for part in held.made.piece.parts if part.draft.name == "arm")
    assert bounds[part.id][0][1] < 0.0
    assert rows["arm"] == tuple(held.printing.signed(corner[1]) for corner in bounds[part.id])
    assert rows["arm"][0].startswith("−")
    for key in ("view-side", "view-plan"):
        (scene,) = [scene for one in packet("terrace-armchair").sheets if one.key == key for scene in scenes_in(one)]
        axis = 0 if key == "view-side" else 1
        (line,) = [item for item in scene.items if isinstance(item, Running) and abs(item.direction[axis]) > 0.9]
        assert line.datum[axis] == 0.0
        assert any(station.label.startswith("−") for station in line.stations)
