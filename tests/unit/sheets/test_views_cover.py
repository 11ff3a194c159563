"""Cover, findings and lists: what the job says, what fails on page two, how copies are numbered, few loose pages."""

from __future__ import annotations

from dataclasses import replace

import pytest

from batchwright.base.finding import Finding, Grade
from batchwright.model.draft import Hands
from batchwright.sheets.scene.sheet import Block, KeyNumbers, Paragraph, Table
from batchwright.sheets.views.cover import UNDERLINED, numbering
from batchwright.sheets.views.packet import make_packet
from example_packets import JOBS, blocks_in, contents, packet, sheet

NAMES = tuple(JOBS)


def _text(blocks: tuple[Block, ...]) -> str:
    return " ".join(block.text for block in blocks_in(blocks) if isinstance(block, Paragraph))


def test_the_cover_tells_what_the_job_says() -> None:
    """Glue, finish, place, moisture and date as the armchair's job file has them."""
    text = _text(sheet("terrace-armchair", "cover").blocks)
    for said in ("PVA, waterproof", "Semitransparent penetrating stain", "Portland ME", "8 % moisture", "2027-05-14"):
        assert said in text
    assert UNDERLINED in text


@pytest.mark.parametrize("name", NAMES)
def test_bug_joints_and_fixings_are_counted_apart(name: str) -> None:
    """Joints and fixings stood in one sum on the cover."""
    piece = contents(name).made.piece
    blocks = blocks_in(sheet(name, "cover").blocks)
    numbers = {one.label: one.value for block in blocks if isinstance(block, KeyNumbers) for one in block.numbers}
    assert numbers["joints in each"] == str(len(piece.joints))
    assert int(numbers["fixings in each"]) == sum(max(1, len(one.points)) for one in piece.fixings)


def test_copies_are_counted_from_a_side_that_is_named() -> None:
    """The chair's +x side is the sitter's left: docs/conventions.md, The piece."""
    made = contents("terrace-armchair").made
    slats = {p.draft.number: made.bounds[p.id][0][0] for p in made.piece.parts if p.draft.name == "back slat"}
    start = "left" if slats[1] > slats[7] else "right"
    told = numbering(made.piece.parts, made.bounds, Hands.AS_SEATED)
    assert f"Back slat: numbered 1 to 7 from the {start} as seated." in told
    assert "Seat slat: numbered 1 to 7 from the front." in told
    other = {"left": "right", "right": "left"}[start]
    seen = numbering(made.piece.parts, made.bounds, Hands.FROM_THE_FRONT)
    assert f"Back slat: numbered 1 to 7 from the {other} as seen from the front." in seen


def test_what_fails_stands_on_the_second_sheet_and_notes_at_the_end() -> None:
    held = contents("hall-table")
    fails = Finding(code="thin", grade=Grade.FAILS, what="a wall is too thin.", mend="move it.", source="JR15")
    note = Finding(code="note", grade=Grade.NOTE, what="a thing to know.", mend="", source="")
    sheets = make_packet(replace(held, findings=(note, fails))).sheets
    assert [one.key for one in (sheets[0], sheets[1], sheets[-1])] == ["cover", "findings", "notes"]
    rows = [row for block in sheets[1].blocks if isinstance(block, Table) for row in block.rows]
    assert rows == [("A wall is too thin.\nMend: move it.\nRests on: JR15", "")]
    keys = [one.key for one in make_packet(replace(held, findings=())).sheets]
    assert keys[1] != "findings" and keys[-1] == "findings"


def test_buying_counts_the_tally_beside_the_measure_and_tells_the_notes() -> None:
    held = contents("terrace-armchair")
    text = _text(sheet("terrace-armchair", "buying-list").blocks)
    assert held.lumber is not None
    used = {plan.board for plan in held.lumber.plans}
    charged = sum(board.charged_feet for board in held.lumber.boards if board.name in used)
    assert charged > 0.0 and f"{charged:g} bf as charged by the tally" in text
    assert all(board.note in text for board in held.lumber.boards)


@pytest.mark.parametrize("name", NAMES)
def test_a_machine_list_tells_each_setting_beside_its_first_part(name: str) -> None:
    for one in packet(name).sheets:
        if one.key.startswith("machine-"):
            tables = [block for block in blocks_in(one.blocks) if isinstance(block, Table)]
            assert all(table.rows[0][0] for table in tables), one.key
