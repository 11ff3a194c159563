"""The paper of a revision: the same sheets as the packet's, its pages as on paper, its boards, its files."""

from __future__ import annotations

import io
from xml.etree import ElementTree

import pytest
from pypdf import PdfReader

from batchwright.app.export import export_files
from batchwright.app.live.paper import BEST, FIRST, Paper, Task
from batchwright.app.packet import contents_of, packet_files
from batchwright.planning.lumber import QUICK, Stop
from batchwright.sheets.render.pdf import render_sheet
from batchwright.sheets.views.packet import make_packet


def quiet(share: float) -> None:
    """Tell nobody."""


@pytest.fixture(scope="module")
def laid(task: Task) -> Paper:
    """A paper with its outlines and its best boards."""
    paper = Paper(task)
    paper.outline()
    paper.lay(Stop(), BEST, quiet)
    return paper


@pytest.fixture(scope="module")
def packet(laid: Paper) -> dict[str, bytes]:
    """The files that `batchwright plan` writes of it."""
    return packet_files(laid.planned)


def test_before_the_boards_are_laid_no_sheet_tells_of_boards(task: Task) -> None:
    paper = Paper(task)
    keys = {str(one["key"]) for one in paper.index()}
    assert "cover" in keys
    assert "buying-list" not in keys
    assert not any(key.startswith("board-") for key in keys)
    assert paper.boards()["working"] is True


def test_the_index_is_the_packet(laid: Paper) -> None:
    packet = make_packet(contents_of(laid.planned))
    assert [(one["key"], one["title"]) for one in laid.index()] == [(one.key, one.title) for one in packet.sheets]
    assert all(laid.sheet(sheet.key) == sheet for sheet in packet.sheets)


def test_every_sheet_names_parts_and_joints_of_the_piece(laid: Paper) -> None:
    piece = laid.planned.piece
    parts, joints = {part.id for part in piece.parts}, {joint.id for joint in piece.joints}
    entries = laid.index()
    assert all(set(one["parts"]) <= parts and set(one["joints"]) <= joints for one in entries)  # type: ignore[arg-type]
    of_parts = {str(name) for one in entries if str(one["key"]).startswith("part-") for name in one["parts"]}  # type: ignore[attr-defined]
    assert of_parts == {str(name) for name in parts}
    assert all(one["parts"] for one in entries if str(one["key"]).startswith(("board-", "joint-")))


@pytest.mark.parametrize("key", ["cover", "cutting-list", "rods"])
def test_a_sheet_is_shown_page_by_page_as_it_prints(laid: Paper, key: str) -> None:
    shown = laid.shown(key)
    sheet = laid.sheet(key)
    assert shown is not None and sheet is not None
    told, pages = shown
    printed = PdfReader(io.BytesIO(render_sheet(sheet, laid.planned.made).pdf))
    assert told["pages"] == len(pages) == len(printed.pages)
    for page, svg in zip(printed.pages, pages, strict=True):
        root = ElementTree.fromstring(svg)
        box = [float(value) for value in root.attrib["viewBox"].split()]
        assert box[2:] == pytest.approx([float(page.mediabox.width), float(page.mediabox.height)], abs=0.01)  # points


def test_no_page_carries_a_script_or_leads_out(laid: Paper) -> None:
    shown = laid.shown("cover")
    assert shown is not None
    for svg in shown[1]:
        tags = {element.tag.rpartition("}")[2] for element in ElementTree.fromstring(svg).iter()}
        assert not tags & {"script", "foreignObject", "iframe", "a"}


def test_what_stands_on_a_sheet_is_told_in_words_and_tables(laid: Paper) -> None:
    shown = laid.shown("cutting-list")
    assert shown is not None
    blocks = shown[0]["blocks"]
    assert isinstance(blocks, list)
    table = next(block for block in blocks if block["kind"] == "table")
    words = [cell for row in table["rows"] if isinstance(row, list) for cell in row]
    assert {row.label for row in laid.planned.cutting.rows} <= set(words)


def test_a_drawing_of_a_sheet_is_had_by_its_number(laid: Paper) -> None:
    drawing = laid.drawing("view-front", 1)
    assert drawing is not None
    assert ElementTree.fromstring(drawing).tag.endswith("svg")
    assert laid.drawing("view-front", 2) is None
    assert laid.drawing("no such sheet", 1) is None


def test_boards_are_laid_quickly_first_and_each_plan_is_verified(task: Task, laid: Paper) -> None:
    paper = Paper(task)
    paper.lay(QUICK, FIRST, quiet)
    first, best = paper.boards(), laid.boards()
    assert "still looking" in str(first["words"])
    assert first["verified"] and best["verified"]
    assert first["working"] and not best["working"]
    assert first["missing"] == best["missing"] == 0
    for told in (first, best):
        assert told["cost"] >= told["bound"] > 0  # type: ignore[operator]
        assert told["gap"] == pytest.approx(told["cost"] / told["bound"] - 1.0)  # type: ignore[operator]


def test_sheets_that_tell_of_boards_are_made_anew_when_they_change(task: Task) -> None:
    paper = Paper(task)
    paper.lay(QUICK, FIRST, quiet)
    before = {key: paper.sheet(key) for key in ("buying-list", "cutting-list")}
    stages = {str(one["key"]): one["stage"] for one in paper.index()}
    paper.lay(Stop(), BEST, quiet)
    assert paper.sheet("cutting-list") is before["cutting-list"]
    assert paper.sheet("buying-list") is not before["buying-list"]
    after = {str(one["key"]): one["stage"] for one in paper.index()}
    assert (stages["buying-list"], after["buying-list"]) == (FIRST, BEST)
    assert (stages["cutting-list"], after["cutting-list"]) == (0, 0)


def test_the_shelf_lists_every_file_that_the_commands_write(laid: Paper, packet: dict[str, bytes]) -> None:
    listed = [str(one["name"]) for one in laid.shelf().listing()]
    assert len(set(listed)) == len(listed)
    written = {*packet, *export_files(laid.planned)}
    sheets = {name for name in listed if name.startswith("sheets/")}
    twice = {f"lists/{name}" for name in packet} & written
    assert written - twice == set(listed) - sheets
    assert twice == {"lists/cutting-list.csv", "lists/buying-list.csv"}
    assert len(sheets) == len(laid.index())


@pytest.mark.parametrize("name", ["plan.json", "cutting-list.csv", "sheets/cover.pdf", "rods/height.dxf"])
def test_a_file_of_the_shelf_is_that_of_the_packet(laid: Paper, packet: dict[str, bytes], name: str) -> None:
    content = laid.shelf().content(name)
    assert content
    if not name.startswith("sheets/"):
        assert content == packet[name]


def test_the_shelf_has_nothing_else(laid: Paper) -> None:
    for name in ("../packet.pdf", "/etc/passwd", "nothing", ""):
        assert laid.shelf().content(name) is None


def test_a_plan_that_is_no_better_does_not_take_the_place_of_one_that_is(task: Task) -> None:
    paper = Paper(task)
    costs = []
    for stop in (Stop(), QUICK, Stop(steps=3)):
        paper.lay(stop, FIRST, quiet)
        assert paper.planned.lumber is not None and paper.planned.lumber.cost is not None
        costs.append(paper.planned.lumber.cost)
    assert costs == sorted(costs, reverse=True)
