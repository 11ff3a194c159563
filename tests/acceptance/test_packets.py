"""Each example, from `new` to a packet on the disk: every file that is promised, and what plan.json holds."""

from __future__ import annotations

import csv
import json
import math
import re
import xml.etree.ElementTree as ElementTree
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import ezdxf
import pytest
from jsonschema import Draft202012Validator
from pypdf import PdfReader

from batchwright.app.record import schema
from typed import EXAMPLES, Planned, as_process, bytes_in, typed

TOP_KEYS = ("piece", "sizes", "parts", "joints", "cutting_list", "lumber", "findings")
"""What plan.json must hold at its top."""


def plan_of(packet: Planned) -> dict[str, Any]:
    plan: dict[str, Any] = json.loads((packet.out / "plan.json").read_text(encoding="utf-8"))
    return plan


def rows_of(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8-sig", newline="") as stream:
        return list(csv.DictReader(stream))


def numbers_in(value: object) -> Iterator[float]:
    if isinstance(value, dict):
        for each in value.values():
            yield from numbers_in(each)
    elif isinstance(value, list):
        for each in value:
            yield from numbers_in(each)
    elif isinstance(value, float):
        yield value


def test_plan_ends_fine_or_with_findings(packet: Planned) -> None:
    assert packet.said.code in (0, 1), packet.said.err
    failing = [one for one in packet.said.json["findings"] if one["grade"] == "fails"]
    assert packet.said.code == (1 if failing else 0)


def test_plan_writes_every_file_that_is_promised(packet: Planned) -> None:
    written = set(bytes_in(packet.out))
    assert set(packet.said.json["result"]["files"]) == written
    assert {"packet.pdf", "plan.json", "cutting-list.csv", "buying-list.csv"} <= written
    boards = plan_of(packet)["lumber"]["boards"]
    assert boards
    assert {f"boards/{one['board']}.svg" for one in boards} == {name for name in written if name.startswith("boards/")}
    drawn = {name.rsplit(".", 1)[0] for name in written if name.startswith("outlines/") and name.endswith(".svg")}
    assert drawn, "each example has a curved part"
    assert {f"{name}.dxf" for name in drawn} <= written
    for direction in ("height", "width", "depth"):
        assert {f"rods/{direction}.svg", f"rods/{direction}.dxf"} <= written
    assert "rods/full-size-roll.pdf" in written
    assert {f"outlines/full-size-{paper}.pdf" for paper in ("A4", "Letter")} <= written


def test_every_file_can_be_opened(packet: Planned) -> None:
    for path in packet.out.rglob("*"):
        if path.suffix == ".svg":
            assert ElementTree.parse(path).getroot().tag.endswith("svg")
        elif path.suffix == ".pdf":
            assert len(PdfReader(path).pages) >= 1
        elif path.suffix == ".dxf":
            assert not ezdxf.readfile(path).audit().errors
        elif path.suffix == ".csv":
            assert rows_of(path)


def test_plan_json_is_as_its_schema_says(packet: Planned) -> None:
    rules = schema()
    Draft202012Validator.check_schema(rules)
    plan = plan_of(packet)
    problems = [f"{list(one.absolute_path)}: {one.message}" for one in Draft202012Validator(rules).iter_errors(plan)]
    assert not problems
    assert set(TOP_KEYS) <= set(plan)


def test_every_joint_has_parts_kind_sizes_positions_angles_directions_and_traces(packet: Planned) -> None:
    plan = plan_of(packet)
    parts = {part["id"] for part in plan["parts"]}
    assert plan["joints"]
    for joint in plan["joints"]:
        assert joint["kind"]
        assert set(joint["parts"]) <= parts and len(set(joint["parts"])) == 2, joint["id"]
        assert {"thickness", "width", "length"} <= set(joint["sizes"])
        for name, size in joint["sizes"].items():
            assert size["by"] and (size["rule"] or size["why"] or size["source"]), (joint["id"], name)
        assert len(joint["tenons"]) == len(joint["mortises"]) >= 1
        assert {"out_of_square", "shoulder_on_face_side", "shoulder_on_face_edge", "twist"} <= set(joint["angles"])
        assert math.hypot(*joint["closing"]["direction"]) == pytest.approx(1.0, abs=1e-5)
        assert joint["closing"]["travel"] > 0.0
        assert joint["place"]["line"] > 0


def test_joints_stand_on_both_their_parts(packet: Planned) -> None:
    plan = plan_of(packet)
    features = {part["id"]: {one["joint"] for one in part["features"]} for part in plan["parts"]}
    for joint in plan["joints"]:
        for part in joint["parts"]:
            assert joint["id"] in features[part], f"{joint['id']} is not marked on {part}"


def test_plan_json_holds_finite_numbers_only(packet: Planned) -> None:
    assert all(math.isfinite(value) for value in numbers_in(plan_of(packet)))


def test_cutting_list_counts_copies_and_spares(packet: Planned) -> None:
    plan = plan_of(packet)
    assert sum(row["each"] for row in plan["cutting_list"]["rows"]) == len(plan["parts"])
    for row in plan["cutting_list"]["rows"]:
        assert row["total"] == row["each"] * plan["piece"]["copies"] + row["spares"]
        many = {"width": row["pieces"], "length": 1, "thickness": 1}  # a glued-up part: so many staves side by side
        for side, count in many.items():
            assert count * row["rough"][side] >= row["finished"][side] - 1e-6
    assert len(rows_of(packet.out / "cutting-list.csv")) >= len(plan["cutting_list"]["rows"])


def test_lumber_is_verified_and_keeps_its_bound(packet: Planned) -> None:
    lumber = plan_of(packet)["lumber"]
    assert lumber["verified"] is True
    assert lumber["area_bound"] <= lumber["area_used"] + 1e-6
    laid = [
        blank["blank"]
        for board in lumber["boards"]
        for section in board["sections"]
        for strip in section["strips"]
        for blank in strip["blanks"]
    ]
    wanted = sum(blank["count"] for blank in lumber["blanks"])
    assert len(laid) + sum(short["count"] for short in lumber["short"]) == wanted


def test_bug_what_a_maker_reads_has_no_names_of_the_program(packet: Planned) -> None:
    """Woods stood in the lists by their keys, with a bar for a space."""
    texts = {path.name: path.read_text("utf-8-sig") for path in packet.out.glob("*.csv")}
    pages = PdfReader(packet.out / "packet.pdf").pages[:12]
    texts["packet.pdf"] = "\n".join(page.extract_text() for page in pages)
    texts |= {path.name: "".join(ElementTree.parse(path).getroot().itertext()) for path in packet.out.rglob("*.svg")}
    texts["findings"] = "\n".join(f"{one['what']} {one['why']} {one['mend']}" for one in packet.said.json["findings"])
    for name, text in texts.items():
        found = re.findall(r"\b[A-Za-z]+_[A-Za-z_]+\b|\bNone\b|\bnan\b|\b[A-Z]+\.[A-Z_]+\b|<[a-z ]+ object", text)
        assert not found, (name, found)


def test_findings_of_the_answer_are_those_of_plan_json(packet: Planned) -> None:
    assert packet.said.json["findings"] == plan_of(packet)["findings"]


def test_the_same_job_gives_the_same_bytes_in_another_process(packets: dict[str, Planned], tmp_path: Path) -> None:
    packet = packets["hall-table"]
    said = as_process("plan", packet.job, "--out", tmp_path / "again", more={"PYTHONHASHSEED": "12345"})
    assert said.code == packet.said.code
    first, second = bytes_in(packet.out), bytes_in(tmp_path / "again")
    assert first.keys() == second.keys()
    assert [name for name in first if first[name] != second[name]] == []


def test_new_names_all_examples_and_writes_over_nothing(tmp_path: Path) -> None:
    assert tuple(typed("new", "list").out.split()) == EXAMPLES
    assert typed("new", "list", "--json").json["result"] == {"examples": list(EXAMPLES)}
    (tmp_path / "mine.txt").write_text("mine")
    said = typed("new", "hall-table", tmp_path, "--json")
    assert (said.code, said.codes) == (2, {"folder-not-empty"})
    assert list(bytes_in(tmp_path)) == ["mine.txt"]


def test_new_says_what_to_type_next_and_that_works(tmp_path: Path) -> None:
    said = as_process("new", "splayed-stool", "my stool", folder=tmp_path)
    assert said.code == 0, said.err
    assert "next: batchwright plan" in said.out
    assert as_process("check", "my stool/stool.job.yaml", folder=tmp_path).code in (0, 1)
