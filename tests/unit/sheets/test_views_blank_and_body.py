"""A part whose tenon stands over its own edge: blank, body and what is sawn last; and one order of sizes everywhere."""

from __future__ import annotations

import pytest

from batchwright.sheets.scene.sheet import KeyNumbers, Paragraph, Table
from batchwright.sheets.views.csv_lists import BUYING_COLUMNS, CUTTING_COLUMNS
from batchwright.sheets.views.lists import row_notes
from example_packets import JOBS, blocks_in, contents, sheet

ORDER = ("thickness", "width", "length")


def _head(example: str, key: str) -> dict[str, str]:
    blocks = blocks_in(sheet(example, key).blocks)
    return {
        one.label: one.value.rstrip("+-") for block in blocks if isinstance(block, KeyNumbers) for one in block.numbers
    }


def test_bug_the_head_tells_blank_and_body() -> None:
    """Drawn 1 x 1 1/2; only the blank's 1 23/32 stood on the sheet, and was planed."""
    key = "part-side stretcher, left"
    head = _head("terrace-armchair", key)
    assert (head["thickness"], head["width, sawn last"]) == ("1", "1 1/2")
    held = contents("terrace-armchair")
    part = held.made.piece.part(next(one for one in held.made.piece.kinds if f"part-{one.id}" == key).parts[0])
    assert head["width of the blank"] == held.printing.length(1.5 * 25.4 + sum(part.tenons_over[0]))
    blocks = tuple(blocks_in(sheet("terrace-armchair", key).blocks))
    words = " ".join(block.text for block in blocks if isinstance(block, Paragraph))
    assert "keep the blank's full size" in words
    steps = next(block for block in blocks if isinstance(block, Table) and block.columns[-1].title == "checked")
    titles = [column.title for column in steps.columns]
    assert titles.index("joints cut") < titles.index("body sawn")


def test_bug_lists_tell_the_body_too() -> None:
    held = contents("terrace-armchair")
    row = next(one for one in held.cutting.rows if one.kind == "side stretcher, left")
    assert row.body is not None
    assert row.body.width == pytest.approx(1.5 * 25.4, abs=0.01)
    assert "the body is 1 1/2 wide, sawn last" in row_notes(row, held.printing)[0]
    assert all(one.body is None for one in held.cutting.rows if "stretcher" not in one.label)


@pytest.mark.parametrize("example", JOBS)
def test_sizes_stand_in_one_order(example: str) -> None:
    """Thickness, width, length: the order in which stock is worked (common practice, no source)."""
    for kind in contents(example).made.piece.kinds:
        labels = [label.split(",")[0].split(" ")[0] for label in _head(example, f"part-{kind.id}")]
        assert [label for label in dict.fromkeys(labels) if label in ORDER] == list(ORDER)
    heads = {column.title for block in sheet(example, "cutting-list").blocks if isinstance(block, Table)
             for column in block.columns}  # fmt: skip
    assert {"Finished width × length", "Rough width × length"} <= heads


def test_columns_of_the_lists_stand_in_that_order() -> None:
    for ending in ("", " mm"):
        places = [CUTTING_COLUMNS.index(f"{name}{ending}") for name in ORDER]
        assert places == sorted(places)
    assert BUYING_COLUMNS.index("least width mm") < BUYING_COLUMNS.index("least length mm")


def test_a_spare_is_noted_on_its_mirror_image_only() -> None:
    rows = contents("terrace-armchair").cutting.rows
    noted = {row.label for row in rows if any("spare blank" in note for note in row.notes)}
    assert {"arm, left", "arm, right", "back leg, left", "back leg, right"} <= noted
    slats = sorted(label for label in noted if label.startswith("back slat"))
    assert slats == ["back slat 1, right", "back slat 7, left"], "the outermost two are mirror images of one another"
