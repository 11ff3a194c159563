"""The example job, its boards and defects, and the files that come with the package: read without a fault."""

from __future__ import annotations

from pathlib import Path

import pytest

from batchwright.design.boards import charged_feet, read_boards, read_defects
from batchwright.design.job import read_job
from batchwright.design.shop import packaged_text
from batchwright.design.text.read import decode_table, read_bytes, read_tree
from batchwright.design.text.tree import Scalar
from batchwright.design.values.declared import declare
from batchwright.design.values.sizes import evaluate_sizes

EXAMPLES = Path(__file__).parents[3] / "examples"
TERRACE = EXAMPLES / "terrace-armchair"


def test_the_terrace_job_is_read() -> None:
    job, faults = read_job((TERRACE / "terrace.job.yaml").read_text(encoding="utf-8"), "terrace.job.yaml")
    assert not faults and job is not None
    assert (job.copies, job.where, job.glue, job.finish) == (8, "Portland ME", "pva_type1", "semi_stain")
    assert all((TERRACE / name).exists() for name in (job.piece_file, job.boards_file, job.defects_file))


def test_the_offered_boards_are_read_with_their_defects() -> None:
    text, faults = decode_table((TERRACE / "boards.csv").read_bytes(), "boards.csv")
    assert text is not None and not faults
    boards, faults = read_boards(text, "boards.csv", "in")
    assert not faults and 38 <= len(boards) <= 45
    boards, faults = read_defects((TERRACE / "defects.csv").read_text(encoding="utf-8"), "defects.csv", "in", boards)
    assert not faults and 30 <= sum(len(board.defects) for board in boards) <= 40
    assert {board.species for board in boards} == {"white_oak"}
    assert all(5 * 25.4 <= max(board.width, board.far_width) <= 11 * 25.4 for board in boards)
    assert all(7 * 304.8 <= board.length <= 12 * 304.8 and board.price for board in boards)
    assert {round(board.thickness / 25.4 * 4 - 0.49) for board in boards} == {4, 5, 6, 8}
    assert 300 < sum(charged_feet(board) for board in boards) < 450


@pytest.mark.parametrize("path", sorted(EXAMPLES.rglob("*.piece.yaml")), ids=lambda path: path.name)
def test_the_sizes_of_every_example_are_worked_out(path: Path) -> None:
    _, tree, faults = read_bytes(path.read_bytes(), path.name)
    assert tree is not None and not faults
    units = tree.get("units")
    declared = declare(tree)
    assert isinstance(units, Scalar) and not declared.faults
    book = evaluate_sizes(declared, units.text)
    assert not book.faults and len(book.values) == len(declared.sizes)


def test_the_empty_frame_that_comes_with_the_package_is_sound() -> None:
    tree, faults = read_tree(packaged_text("empty-frame.piece.yaml"), "f")
    assert tree is not None and not faults
    declared = declare(tree)
    assert not declared.faults and not evaluate_sizes(declared, "in").faults
