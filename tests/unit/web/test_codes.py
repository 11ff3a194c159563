"""Every refusal of the server by its own code and status; and all codes of `docs/faults.md` counted: each is tried."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from batchwright.app.live import desk, foresee, model, session
from batchwright.app.live.history import Splice, Step
from batchwright.app.live.paper import Task
from batchwright.app.live.worker import Worker
from batchwright.web.server import create_app

ROOT = Path(__file__).parents[3]
PORT = 8400
FILE = "p.piece.yaml"
SOUND = (
    "piece: P\nunits: mm\nwood: white oak\nuse: [indoors]\nhands: from the front\n"
    "parts:\n  a: {box: {x: [0, 50], y: [0, 50], z: [0, 500]}}\n"
)


class Idle(Worker):
    """A worker that makes no paper."""

    def submit(self, task: Task) -> None:
        """Nothing is done."""


@pytest.fixture
def client(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[TestClient]:
    """A server with nothing open."""
    (tmp_path / FILE).write_text(SOUND)
    monkeypatch.setattr(session, "Worker", Idle)
    with TestClient(create_app(tmp_path, "", PORT), base_url=f"http://127.0.0.1:{PORT}") as one:
        yield one


@pytest.fixture
def opened(client: TestClient) -> TestClient:
    """The same with the piece open."""
    assert client.post("/api/open", json={"file": FILE}).status_code == 200
    return client


def told(response: object) -> tuple[int, list[str]]:
    """Status and codes of a refusal."""
    shape = response.json()  # type: ignore[attr-defined]
    return response.status_code, [fault["code"] for fault in shape["faults"]]  # type: ignore[attr-defined]


def _revision(client: TestClient) -> int:
    return int(client.get("/api/state").json()["revision"])


@pytest.mark.parametrize("path", ["state", "sheets", "files"])
def test_nothing_is_open(client: TestClient, path: str) -> None:
    assert told(client.get(f"/api/{path}")) == (404, ["nothing-open"])


def test_no_such_question(client: TestClient) -> None:
    assert told(client.get("/api/nothing")) == (404, ["no-such-question"])
    assert told(client.put("/api/state")) == (405, ["no-such-question"])


def test_a_question_is_misread(client: TestClient) -> None:
    assert told(client.post("/api/save", json={"revision": "one"})) == (422, ["question-misread"])
    headers = {"content-type": "application/json"}
    assert told(client.post("/api/save", content=b"{", headers=headers))[1] == ["question-misread"]


def test_a_length_is_not_said(client: TestClient) -> None:
    headers = {"content-length": "x", "content-type": "application/json"}
    assert told(client.post("/api/save", content=b"{}", headers=headers)) == (400, ["length-not-said"])


@pytest.mark.parametrize(("way", "code"), [("undo", "nothing-to-undo"), ("redo", "nothing-to-redo")])
def test_there_is_nothing_to_turn_back(opened: TestClient, way: str, code: str) -> None:
    assert told(opened.post(f"/api/{way}", json={"revision": _revision(opened)})) == (409, [code])


def test_the_disk_refuses(opened: TestClient, monkeypatch: pytest.MonkeyPatch) -> None:
    change = {"do": "text", "file": FILE, "text": SOUND + "# more\n"}
    body = {"revision": _revision(opened), "changes": [change]}
    assert opened.post("/api/edit", json=body).status_code == 200

    def full(path: Path, content: bytes) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(desk, "write_file", full)
    assert told(opened.post("/api/save", json={"revision": _revision(opened)})) == (422, ["could-not-write"])
    assert opened.get("/api/state").json()["files"][0]["dirty"] is True


def test_the_history_is_of_other_texts(opened: TestClient) -> None:
    door = opened.app.app.state.door  # type: ignore[attr-defined]
    strange = Step(label="x", when=1.0, splices=((FILE, Splice(at=0, old="", new="none of this")),))
    door.studio.here().desk.history.done.append(strange)
    assert told(opened.post("/api/undo", json={"revision": _revision(opened)})) == (409, ["history-lost"])
    assert opened.get("/api/state").json()["undo"] is None


def test_a_failure_of_ours_is_told_as_one_and_loses_nothing(
    opened: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    """In a change and in its preview alike."""

    def fail(*_: object) -> None:
        raise IndexError("of ours")

    for module in (model, foresee):
        monkeypatch.setattr(module, "check_loaded", fail)
    body = {"revision": _revision(opened), "changes": [{"do": "text", "file": FILE, "text": SOUND + "# more\n"}]}
    shown = opened.post("/api/edit/preview", json=body)
    assert shown.status_code == 200
    assert [fault["code"] for fault in shown.json()["faults"]] == ["our-fault"]
    assert opened.post("/api/edit", json=body).status_code == 200
    state = opened.get("/api/state").json()
    assert [fault["code"] for fault in state["answer"]["faults"]] == ["our-fault"]
    assert state["files"][0]["text"].endswith("# more\n")


# --- all codes

UNTRIED = frozenset({
    "command-misused", "no-shoulder-found", "no-such-list", "no-wood-behind-shoulder", "step-part-not-made",
    "text-too-long", "too-many-rows", "unknown-drawing-form", "unknown-joint", "unknown-sheet", "value-over-lines",
})  # fmt: skip
"""Codes that no test names yet."""
ROW = re.compile(r"^\| (`[a-z0-9-]+`(?:, `[a-z0-9-]+`)*) \| .+? \| .+ \|$", re.MULTILINE)


def test_at_least_sixty_faults_each_tried() -> None:
    """A fault is tried where a test names its code; or where its example, between backticks, is one that the tests of
    `docs/faults.md` read."""
    page = (ROOT / "docs" / "faults.md").read_text(encoding="utf-8").split("## Findings of the joints")[0]
    codes = {code for row in ROW.findall(page) for code in re.findall(r"`([a-z0-9-]+)`", row)}
    examples = set(re.findall(r"^\| `([a-z0-9-]+)` \| .+? \| `[^`]+` \|$", page, re.MULTILINE))
    tests = "\n".join(
        path.read_text(encoding="utf-8") for path in (ROOT / "tests").rglob("*.py") if path != Path(__file__)
    )
    tests += Path(__file__).read_text(encoding="utf-8").split("# --- all codes")[0]
    named = {code for code in codes if re.search(rf"[\"'`\[ ]{code}[\"'`\] :,]", tests)}
    assert len(codes) >= 60
    assert codes - named - examples <= UNTRIED, sorted(codes - named - examples - UNTRIED)
    assert len(codes & (named | examples)) >= 180
