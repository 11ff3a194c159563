"""What the page is told at once: sizes in the file's units, parts where they stand, meshes that are not sent twice."""

from __future__ import annotations

import json
import struct
from typing import Any

import numpy as np
import pytest

from batchwright.app.live.answer import answer, meshes_of, wanted
from batchwright.app.live.model import Bench, Worked
from batchwright.app.live.pack import pack
from batchwright.app.live.paper import Paper, Task
from batchwright.app.live.sizes import in_units, size_words
from batchwright.model.draft import SizeKind
from batchwright.solids.build import recipe_solid
from batchwright.solids.solid import placed

Told = tuple[Bench, dict[str, str]]


def unpacked(packed: bytes) -> tuple[dict[str, Any], bytes]:
    """The JSON and the buffers, read as the page does."""
    (length,) = struct.unpack_from("<I", packed)
    assert length % 4 == 0
    return json.loads(packed[4 : 4 + length]), packed[4 + length :]


def told(bench: Told, tried: dict[str, str] | None = None) -> tuple[dict[str, Any], bytes]:
    """The answer of the hall table with some sizes tried."""
    model, _ = bench[0].work(bench[1], tried or {})
    meshes = meshes_of(model.worked)
    return unpacked(pack(answer(model, 7, meshes), wanted(meshes, ())))


def test_sizes_are_told_in_the_units_of_the_file(table_bench: Told) -> None:
    sizes = {size["name"]: size for size in told(table_bench)[0]["answer"]["sizes"]}
    width = sizes["width"]
    assert (width["value"], width["low"], width["high"]) == (42.0, 30.0, 54.0)
    assert (width["text"], width["shown"], width["low_shown"]) == ("42", "42 in", "30 in")
    assert width["line"] == 11
    assert sizes["under"]["free"] is False
    assert sizes["leg thick"]["low"] is None


def test_a_size_that_is_tried_is_told_and_no_text_changes(table_bench: Told) -> None:
    before = dict(table_bench[1])
    shape, _ = told(table_bench, {"width": "36"})
    assert shape["answer"]["tried"] is True
    assert next(one for one in shape["answer"]["sizes"] if one["name"] == "width")["value"] == 36.0
    low, high = shape["answer"]["box"]
    assert high[0] - low[0] == pytest.approx((36 + 2 * 7 / 8) * 25.4)  # the top hangs over both ends
    assert table_bench[1] == before


def test_a_size_beyond_its_limits_stops_and_the_last_piece_stays_grey(table_bench: Told) -> None:
    good, _ = told(table_bench)
    shape, _ = told(table_bench, {"width": "99"})
    assert shape["answer"]["stopped"] and shape["answer"]["grey"]
    assert [one["id"] for one in shape["answer"]["parts"]] == [one["id"] for one in good["answer"]["parts"]]
    assert shape["answer"]["faults"]


def test_sizes_of_a_stopped_answer_are_those_of_the_text(table_bench: Told) -> None:
    """In limits, out of them, and what is no number: told as they stand in the text, each at its line."""
    bench, texts = table_bench
    file = next(name for name in texts if name.endswith(".piece.yaml"))
    lines = texts[file].splitlines()
    wrong = dict(texts)
    wrong[file] = texts[file].replace(" 42,", " 99,").replace("leg thick: ", "leg thick: abc # ")
    assert wrong[file] != texts[file]
    told(table_bench)
    model, _ = bench.work(wrong, {})
    shape, _ = unpacked(pack(answer(model, 7, meshes_of(model.worked)), ()))
    assert shape["answer"]["stopped"]
    sizes = {size["name"]: size for size in shape["answer"]["sizes"]}
    assert (sizes["width"]["value"], sizes["width"]["text"], sizes["width"]["file"]) == (99.0, "99", file)
    assert sizes["leg thick"]["text"] == "abc"
    assert lines[sizes["leg thick"]["line"] - 1].lstrip().startswith("leg thick")
    faults = {(fault["file"], fault["line"]) for fault in shape["answer"]["faults"]}
    assert {(file, sizes["width"]["line"]), (file, sizes["leg thick"]["line"])} <= faults


def test_every_mesh_of_a_part_is_sent_and_stands_where_the_part_does(table_bench: Told, table: Worked) -> None:
    shape, buffers = told(table_bench)
    meshes = shape["answer"]["meshes"]
    solids = {part.id: placed(recipe_solid(part.recipe), part.recipe.frame) for part in table.checked.piece.parts}
    for part in shape["answer"]["parts"]:
        at, count = meshes[part["mesh"]]["positions"]
        points = np.frombuffer(buffers, "<f4", count, at).reshape(-1, 3)
        matrix = np.array(part["matrix"]).reshape(4, 4).T  # column by column
        world = points @ matrix[:3, :3].T + matrix[:3, 3]
        low, high = solids[part["id"]].bounds
        np.testing.assert_allclose(world.min(axis=0), low, atol=1e-3)
        np.testing.assert_allclose(world.max(axis=0), high, atol=1e-3)
        at, count = meshes[part["mesh"]]["indices"]
        assert np.frombuffer(buffers, "<u4", count, at).max() < len(points)


def test_parts_that_are_alike_share_a_mesh(table_bench: Told) -> None:
    shape, _ = told(table_bench)
    legs = [part for part in shape["answer"]["parts"] if part["name"] == "leg"]
    assert len(legs) == 4
    assert len({part["mesh"] for part in legs}) < 4
    assert {np.linalg.det(np.array(part["matrix"]).reshape(4, 4)).round() for part in legs} == {1.0, -1.0}


def test_a_mesh_that_the_page_has_is_not_sent_again(table_bench: Told) -> None:
    model, _ = table_bench[0].work(table_bench[1], {})
    meshes = meshes_of(model.worked)
    have = [mesh.key for mesh in meshes.values()]
    shape, buffers = unpacked(pack(answer(model, 7, meshes), wanted(meshes, have)))
    assert shape["answer"]["meshes"] == {}
    assert buffers == b""


def test_joints_are_told_with_their_sizes_and_who_decided_them(table_bench: Told, table: Worked) -> None:
    joints = told(table_bench)[0]["answer"]["joints"]
    assert [joint["id"] for joint in joints] == [str(joint.id) for joint in table.checked.piece.joints]
    assert all(joint["sizes"] and joint["line"] > 0 for joint in joints)
    assert all(np.linalg.norm(joint["closing"]) == pytest.approx(1.0) for joint in joints)
    assert {size["by"] for joint in joints for size in joint["sizes"]} >= {"a rule", "the maker"}


def test_places_are_named(table_bench: Told) -> None:
    assert told(table_bench)[0]["answer"]["places"] == ["inner corner"]


@pytest.mark.parametrize(
    ("value", "kind", "units", "number", "words"),
    [
        (438.15, SizeKind.LENGTH, "in", 17.25, "17 1/4 in"),  # 25.4 mm to the inch, exactly
        (438.15, SizeKind.LENGTH, "mm", 438.15, "438 mm"),
        (0.24434609527920614, SizeKind.ANGLE, "in", 14.0, "14°"),  # 14 pi / 180
        (7.0, SizeKind.NUMBER, "mm", 7.0, "7"),
    ],
)
def test_values_in_the_units_of_a_file(value: float, kind: SizeKind, units: str, number: float, words: str) -> None:
    assert in_units(value, kind, units) == pytest.approx(number)
    assert size_words(value, kind, units) == words


def test_an_error_of_ours_is_a_fault_and_not_the_end(table_bench: Told, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: object) -> None:
        raise ZeroDivisionError("of ours")

    monkeypatch.setattr("batchwright.app.live.model.check_loaded", broken)
    shape, _ = told(table_bench)
    assert [fault["code"] for fault in shape["answer"]["faults"]] == ["our-fault"]
    assert shape["answer"]["stopped"]
    assert shape["answer"]["parts"]


def test_bug_the_page_counts_as_the_sheet_does(table_bench: Told, table: Worked) -> None:
    """`8 (+1 spare)` on the sheet was `9 (+1 spare)` on the page: what is made without the spares is counted."""
    rows = told(table_bench)[0]["answer"]["cutting"]
    assert len(rows) == len(table.cutting.rows)
    for plain, row in zip(rows, table.cutting.rows, strict=True):
        assert (plain["count"], plain["copies"], plain["spares"]) == (row.each, row.copies, row.spares)
        assert plain["make"] == plain["count"] * plain["copies"] == plain["total"] - plain["spares"]
        assert plain["note"] == "; ".join(plain["notes"]), "no tenon stands over an edge here"
    assert sum(row["spares"] for row in rows) == 1
    told_of = [row["note"] for row in rows if "spare blank" in row["note"]]
    assert len(told_of) == len([row for row in rows if row["name"].startswith("leg")]), "both hands say it"


def test_sizes_of_a_part_are_thickness_width_length(table_bench: Told, table: Worked) -> None:
    """The order of the trade, whichever is the larger (common practice, no source)."""
    shape = told(table_bench)[0]["answer"]
    piece = table.checked.piece
    for plain in shape["parts"]:
        part = piece.part(plain["id"])
        first, second, _ = plain["shown"].split(" x ")
        assert (first, second) == (plain["thick"], plain["wide"])
        row = next(one for one in shape["cutting"] if one["kind"] == part.kind)
        assert plain["shown"].startswith(row["finished"])


def test_the_page_and_the_sheets_carry_one_mark(table_bench: Told, table: Worked, task: Task) -> None:
    mark = told(table_bench)[0]["answer"]["mark"]
    sheet = Paper(task).sheet("cover")
    assert sheet is not None and sheet.revision == mark
    assert table.checked.loaded.design_hash.startswith(mark) and len(mark) == 6
    bench, texts = table_bench
    model, _ = bench.work({**texts, "hall-table.job.yaml": texts["hall-table.job.yaml"] + "\n# one byte more\n"}, {})
    assert model.worked is not None
    assert answer(model, 8, meshes_of(model.worked))["mark"] != mark
