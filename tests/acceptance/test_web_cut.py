"""Wood as it is, through the page's questions: what a thickness was planed to, which parts are cut; undoing both."""

from __future__ import annotations

import json
import shutil
import struct
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from batchwright.web.server import create_app

EXAMPLES = Path(__file__).parents[2] / "examples"
JOB, RECORD = "hall-table.job.yaml", "hall-table.cut.yaml"


class Bench:
    """A page of the hall table."""

    def __init__(self, client: TestClient, root: Path) -> None:
        self.client, self.root = client, root

    def state(self) -> dict[str, Any]:
        """The state with its answer."""
        shape: dict[str, Any] = self.client.get("/api/state").json()
        return shape

    def ask(self, path: str, status: int = 200, **body: object) -> dict[str, Any]:
        """A question about the newest revision; the JSON of its answer."""
        asked = {"revision": self.state()["revision"], "have": [], **body}
        response = self.client.post(path, json=asked)
        assert response.status_code == status, response.text
        if status != 200:
            refused: dict[str, Any] = response.json()
            return refused
        (length,) = struct.unpack_from("<I", response.content)
        told: dict[str, Any] = json.loads(response.content[4 : 4 + length])
        return told

    def planed(self, family: str, text: str | None) -> dict[str, Any]:
        """What a thickness was planed to; None: as drawn."""
        change = {"do": "set", "file": JOB, "path": ["as milled", family], "text": text}
        return self.ask("/api/edit", label=f"{family} planed to {text}", changes=[change])["answer"]

    def text(self, name: str) -> str:
        """A text at hand, empty where there is none."""
        return next((str(file["text"]) for file in self.state()["files"] if file["name"] == name), "")


@pytest.fixture(scope="module")
def bench(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Bench]:
    """One server for all of them; each test leaves the texts as it found them."""
    root = tmp_path_factory.mktemp("bench") / "project"
    shutil.copytree(EXAMPLES / "hall-table", root)
    guarded = create_app(root, first=JOB, port=8400)
    with TestClient(guarded, base_url="http://127.0.0.1:8400", headers={"Origin": "http://127.0.0.1:8400"}) as client:
        yield Bench(client, root)


def thick(answer: dict[str, Any], name: str) -> set[str]:
    """How thick the copies of a part are, in words."""
    return {part["thick"] for part in answer["parts"] if part["drawn"] == name}


def test_what_a_thickness_was_planed_to_goes_into_the_job_and_the_parts_follow(bench: Bench) -> None:
    before = bench.state()
    told = before["answer"]["bench"]
    family = next(one for one in told["families"] if len(one["parts"]) > 1 and one["name"].startswith("7/8"))
    names = {part["drawn"] for part in before["answer"]["parts"] if part["id"] in family["parts"]}
    assert told["job"] == JOB and not family["planed"]
    answer = bench.planed(family["name"], "27/32 in")
    assert "as milled" in bench.text(JOB) and f"{family['name']}: 27/32 in" in bench.text(JOB)
    for name in names:
        assert thick(answer, name) == {"27/32"}
    again = next(one for one in answer["bench"]["families"] if one["name"] == family["name"])
    assert again["planed"] == "27/32 in"
    assert set(again["parts"]) == set(family["parts"]), "a family keeps its parts, planed or not"
    back = bench.planed(family["name"], None)
    for name in names:
        assert thick(back, name) == {"7/8"}
    bench.ask("/api/undo")
    bench.ask("/api/undo")
    assert bench.text(JOB) == next(file["text"] for file in before["files"] if file["name"] == JOB)


def test_parts_are_marked_as_cut_in_one_step_that_saving_writes_and_undo_takes_back(bench: Bench) -> None:
    job = bench.text(JOB)
    told = bench.ask("/api/cut", parts=["leg"])
    assert len(told["answer"]["bench"]["cut"]) == 4
    assert "already cut: hall-table.cut.yaml" in bench.text(JOB)
    assert bench.text(RECORD).count("thickness:") >= 4
    assert not (bench.root / RECORD).exists(), "nothing reaches the disk but by a save"
    differing = bench.ask("/api/edit", label="x", changes=[{"do": "size", "name": "leg thick", "text": "1 7/8"}])
    found = [one for one in differing["answer"]["findings"] if one["code"] == "cut-part-differs"]
    assert found and found[0]["about"][0] in differing["answer"]["bench"]["cut"]
    bench.ask("/api/undo")
    fewer = bench.ask("/api/cut", parts=["left front leg"], undo=True)
    assert len(fewer["answer"]["bench"]["cut"]) == 3
    bench.ask("/api/undo")
    bench.ask("/api/undo")
    assert bench.text(JOB) == job
    assert bench.text(RECORD) == ""
    assert not any(file["dirty"] for file in bench.state()["files"]), "what was taken back leaves nothing to save"
    bench.ask("/api/redo")
    saved = bench.client.post("/api/save", json={"revision": bench.state()["revision"]})
    assert saved.status_code == 200, saved.text
    assert "leg" in (bench.root / RECORD).read_text("utf-8")


@pytest.mark.parametrize(("parts", "code"), [(["lge"], "unknown-part")])
def test_what_cannot_be_marked_is_told_and_nothing_changes(bench: Bench, parts: list[str], code: str) -> None:
    before = bench.state()["revision"]
    assert [fault["code"] for fault in bench.ask("/api/cut", 422, parts=parts)["faults"]] == [code]
    assert bench.state()["revision"] == before


def test_a_piece_alone_has_no_job_to_keep_the_record(bench: Bench) -> None:
    opened = bench.client.post("/api/open", json={"file": "hall-table.piece.yaml"})
    assert opened.status_code == 200, opened.text
    assert bench.state()["answer"]["bench"]["job"] == ""
    assert [fault["code"] for fault in bench.ask("/api/cut", 422, parts=["leg"])["faults"]] == ["job-wanted"]
