"""Screws, slots, twins and through mortises on part sheets and lists: one number for one thing, told once."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise

import pytest

from batchwright.base.length import Unit
from batchwright.base.trace import By, Sized, Trace
from batchwright.model.draft import Hands, JointKind
from batchwright.sheets.scene.plain import draw_out
from batchwright.sheets.scene.primitives import Text
from batchwright.sheets.scene.sheet import Paragraph, Table
from batchwright.sheets.views.naming import lettered
from batchwright.sheets.views.part_tables import joint_blocks_of
from batchwright.sheets.views.printing import Printing
from example_packets import JOBS, blocks_in, contents, scenes_in, sheet


def _rows(example: str, key: str, head: str) -> list[tuple[str, ...]]:
    return [
        row
        for block in blocks_in(sheet(example, key).blocks)
        if isinstance(block, Table) and any(column.title == head for column in block.columns)
        for row in block.rows
    ]


def _words(example: str, key: str) -> str:
    return " ".join(block.text for block in blocks_in(sheet(example, key).blocks) if isinstance(block, Paragraph))


def test_bug_a_slot_has_one_length_everywhere() -> None:
    """5/16 between its ends on the part's sheet, `up to 9/32` on the map: now its centre and one length."""
    held = contents("trestle-table")
    slots = [row for row in _rows("trestle-table", "part-inner cleat", "Deep") if "slot for" in row[1]]
    mapped = [row for row in _rows("trestle-table", "fixings", "Done") if "slotted hole" in row[0]]
    lengths = {re.search(r"wide, (.+) long, centre", row[1]).group(1) for row in slots}  # type: ignore[union-attr]
    assert lengths == {re.search(r"slotted hole (.+) long", row[0]).group(1) for row in mapped}  # type: ignore[union-attr]
    own = {held.printing.length(dict(one.sizes)["slot length"].value) for one in held.made.piece.fixings if one.slotted}
    assert lengths == own
    assert all("to" not in row[3] for row in slots), "a centre, not from and to"
    assert not any("up to" in cell for row in mapped for cell in row)


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ("no 8 x 1 7/8 in", "no 8 x 1 7/8 in (4.2 × 48 mm)"),
        ("screw no 10 x 2 in into rail", "screw no 10 x 2 in (4.8 × 51 mm) into rail"),
        ("5 x 40 mm", "5 x 40 mm"),
        ("no 99 x 2 in", "no 99 x 2 in"),
    ],
)
def test_bug_an_inch_screw_is_told_in_millimetres_too(words: str, told: str) -> None:
    """Gauge n is 0.060 + 0.013 n in thick (ASME B18.6.1): no 8 0.164 in = 4.17 mm, no 10 0.190 in = 4.83 mm."""
    metric = Printing(unit=Unit.MILLIMETRES, hands=Hands.AS_SEATED, numbers={}, totals={})
    inches = Printing(unit=Unit.INCHES, hands=Hands.AS_SEATED, numbers={}, totals={})
    assert metric.screws(words) == told
    assert inches.screws(words) == words


def test_screws_of_a_metric_job_are_told_so_on_every_list() -> None:
    for key in ("fixings", "part-seat slat", "part-centre rail", "buying-list"):
        cells = [
            c for b in blocks_in(sheet("garden-settee", key).blocks) if isinstance(b, Table) for r in b.rows for c in r
        ]
        screws = [cell for cell in cells if "no 8 x" in cell]
        assert screws and all("mm)" in cell for cell in screws)


@pytest.mark.parametrize("example", JOBS)
def test_bug_no_two_rows_of_hardware_read_alike(example: str) -> None:
    """Two rows of loose tenons, 3/8 x 1 3/4 x 2 1/2, 16 each: one row, 32."""
    held = contents(example)
    told = [held.printing.hardware(one) for one in held.cutting.hardware]
    assert len(told) == len(set(told))
    loose = sum(len(one.tenons) for one in held.made.piece.joints if one.kind is JointKind.LOOSE_TENON)
    assert sum(one.count for one in held.cutting.hardware if one.what == "loose tenon") == loose * held.copies


@pytest.mark.parametrize("example", JOBS)
def test_rows_of_the_map_that_differ_in_place_only_are_one(example: str) -> None:
    if not any(one.points for one in contents(example).made.piece.fixings):
        return
    rows = _rows(example, "fixings", "Done")
    keys = [(row[0], row[1], row[3]) for row in rows]
    tables = [b for b in blocks_in(sheet(example, "fixings").blocks) if isinstance(b, Table)]
    starts = [at for table in tables for at, _ in table.groups] + [len(rows)]
    for first, last in zip(starts, starts[1:], strict=False):
        assert len(set(keys[first:last])) == last - first


def test_bug_a_tenon_that_comes_out_is_through_on_the_part_too() -> None:
    """The foot's mortise was 2 11/16 deep on its own sheet, through on the joint's, and its flare was not told."""
    rows = [row for row in _rows("trestle-table", "part-foot", "Deep") if row[0] == "A" or "blank" in row[1]]
    assert rows[0][5] == "through" and rows[1][5].endswith("or more")
    words = _words("trestle-table", "part-foot")
    assert "A comes out at the far edge." in words and "Cut its flare from the far edge" in words
    assert "after shaping" in words


def test_bug_both_of_two_tenons_carry_their_letter() -> None:
    rows = _rows("garden-settee", "part-centre rail", "Deep")
    assert [row[0] for row in rows if row[1].startswith("tenon")] == ["A", "A", "B", "B"]


def test_bug_lead_holes_have_letters_in_the_table_and_over_the_drawing() -> None:
    """Small letters: capitals are the part's own joints. One for each slat, from the reference end."""
    held = contents("garden-settee")
    rows = _rows("garden-settee", "part-centre rail", "Fixed to it, lead hole")
    slats = sum(part.draft.name == "seat slat" for part in held.made.piece.parts)
    letters = list(dict.fromkeys(row[0] for row in rows))
    assert letters == list("abcdef")[:slats] and all(row[0].islower() for row in rows)
    drawn = [
        {item.text for item in draw_out(scene) if isinstance(item, Text)}
        for scene in scenes_in(sheet("garden-settee", "part-centre rail"))
    ]
    assert any(set(letters) <= texts for texts in drawn)


def test_bug_a_counterbore_has_a_row_with_its_diameter_and_depth() -> None:
    """It is told where its hole is, and is bored first: the wide bit has no centre to follow in a hole."""
    held = contents("trestle-table")
    part = next(one for one in held.made.piece.parts if one.draft.name == "inner cleat")
    sunk = tuple(
        (name, Sized(value, Trace(by=By.MAKER)))
        for name, value in (("counterbore", 6.35), ("counterbore diameter", 9.525))
    )
    fixings = tuple(
        replace(one, sizes=(*one.sizes, *sunk)) if one.part == part.id else one for one in held.made.piece.fixings
    )
    made = replace(held.made, piece=replace(held.made.piece, fixings=fixings))
    plain = joint_blocks_of(part, lettered(part, held.made.piece), held.made, held.printing)[0]
    table = joint_blocks_of(part, lettered(part, made.piece), made, held.printing)[0]
    assert isinstance(table, Table) and isinstance(plain, Table)
    bored = [(before, row) for before, row in pairwise(table.rows) if "its counterbore" in row[1]]
    assert len(bored) == len(plain.rows) > 0
    for hole, row in bored:
        assert "3/8 dia." in row[1] and row[5] == "1/4"
        assert row[2:5] == hole[2:5]
