"""The page's questions and answers, through the whole application in this process, on a working copy of an example."""

from __future__ import annotations

import json
import shutil
import struct
import threading
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import httpx
import pytest
from starlette.testclient import TestClient

from batchwright.web.server import create_app

EXAMPLES = Path(__file__).parents[2] / "examples"
PORT = 8400
JOB = "stool/stool.job.yaml"
PIECE = "splayed-stool.piece.yaml"
PATIENCE = 60.0


class Page:
    """A page of the stool: its client and its folder."""

    def __init__(self, client: TestClient, root: Path) -> None:
        self.client = client
        self.root = root

    @property
    def piece(self) -> Path:
        """The piece file on the disk."""
        return self.root / "stool" / PIECE

    def get(self, path: str, **wanted: object) -> dict[str, Any]:
        """The JSON of a GET that must succeed."""
        response = self.client.get(path, params=wanted)  # type: ignore[arg-type]
        assert response.status_code == 200, response.text
        shape: dict[str, Any] = response.json()
        assert shape["ok"] is True
        return shape

    def state(self) -> dict[str, Any]:
        """The state as it is."""
        return self.get("/api/state")

    @property
    def revision(self) -> int:
        """The newest revision."""
        return int(self.state()["revision"])

    def post(self, path: str, body: dict[str, Any]) -> httpx.Response:
        """A POST, whatever comes of it."""
        return self.client.post(path, json=body)

    def done(self, path: str, **body: object) -> dict[str, Any]:
        """A POST with the newest revision that must succeed; the JSON of its packed answer."""
        response = self.post(path, {"revision": self.revision, "have": [], **body})
        assert response.status_code == 200, response.text
        return unpacked(response.content)[0]

    def size(self, name: str, text: str) -> dict[str, Any]:
        """A size changed for good."""
        return self.done("/api/edit", label=f"{name} {text}", changes=[{"do": "size", "name": name, "text": text}])

    def text(self, name: str = PIECE) -> str:
        """A text at hand."""
        return next(str(file["text"]) for file in self.state()["files"] if file["name"] == name)


def unpacked(packed: bytes) -> tuple[dict[str, Any], bytes]:
    """The JSON and the buffers of a packed answer, read as the page does."""
    (length,) = struct.unpack_from("<I", packed)
    return json.loads(packed[4 : 4 + length]), packed[4 + length :]


def faults(response: httpx.Response, status: int) -> list[str]:
    """The codes of a refusal."""
    assert response.status_code == status, response.text
    shape = response.json()
    assert shape["ok"] is False
    assert all(fault["what"] and fault["mend"] for fault in shape["faults"])
    return [fault["code"] for fault in shape["faults"]]


def until(ready: Callable[[], bool], what: str) -> None:
    """Wait for a condition."""
    tick = threading.Event()
    for _ in range(int(PATIENCE / 0.02)):
        if ready():
            return
        tick.wait(0.02)
    raise AssertionError(f"waited {PATIENCE} s in vain for {what}")


@pytest.fixture(scope="module")
def opened(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Page]:
    """One application for all tests here: it has a worker."""
    root = tmp_path_factory.mktemp("projects")
    shutil.copytree(EXAMPLES / "splayed-stool", root / "stool")
    with TestClient(create_app(root, JOB, PORT), base_url=f"http://127.0.0.1:{PORT}") as client:
        yield Page(client, root)


@pytest.fixture
def page(opened: Page) -> Page:
    """The page with the stool open, its texts as in the example and saved."""
    example = (EXAMPLES / "splayed-stool" / PIECE).read_text(encoding="utf-8")
    opened.piece.write_text(example, encoding="utf-8")
    assert opened.post("/api/open", {"file": JOB}).status_code == 200
    opened.done("/api/reload")
    return opened


# --- the page and its description


def test_the_page_says_what_it_starts_from(page: Page) -> None:
    response = page.client.get("/")
    assert response.headers["content-type"].startswith("text/html")
    nonce = response.headers["content-security-policy"].split("'nonce-")[1].split("'")[0]
    boot = response.text.split('id="boot"')[1].split(">", 1)[1].split("</script>")[0]
    assert json.loads(boot) == {"nonce": nonce, "file": JOB}


@pytest.mark.parametrize("job", ["</script><script>alert(1)</script>", "'\"<img src=x onerror=alert(1)>", "{{7*7}}"])
def test_what_an_address_says_is_no_markup_of_the_page(page: Page, job: str) -> None:
    text = page.client.get("/", params={"job": job}).text
    boot = text.split('id="boot"')[1].split(">", 1)[1].split("</script>")[0]
    assert json.loads(boot)["file"] == job
    assert text.count("<script") == page.client.get("/").text.count("<script")
    assert "<img" not in text


def test_every_route_is_described(page: Page) -> None:
    described = page.client.get("/api/openapi.json").json()
    assert set(described["paths"]) == {
        f"/api/{name}"
        for name in (
            "start", "open", "new", "state", "outside", "live", "edit", "edit/preview", "cut", "undo", "redo", "reload",
            "save", "sheets", "sheet", "page", "drawing", "files", "file", "events", "words", "guide", "complete",
        )
    }  # fmt: skip
    for path, ways in described["paths"].items():
        for way in ways.values():
            assert {"403", "404", "409", "413", "422"} <= set(way["responses"]), path


def test_no_page_of_documentation_is_served(page: Page) -> None:
    for path in ("/docs", "/redoc", "/openapi.json"):
        assert page.client.get(path).status_code == 404


# --- the start


def test_the_start_tells_examples_and_what_lies_here(page: Page) -> None:
    start = page.get("/api/start")
    assert {one["name"] for one in start["examples"]} == {path.name for path in EXAMPLES.iterdir() if path.is_dir()}
    assert all(one["title"] and one["words"] for one in start["examples"])
    assert {"file": JOB, "title": "Two splayed stools", "draft": False} in start["here"] or any(
        one["file"] == JOB for one in start["here"]
    )
    assert start["open"] == JOB


def test_every_example_has_its_picture(page: Page) -> None:
    """Made with `batchwright draw JOB --view pictorial`."""
    for one in page.get("/api/start")["examples"]:
        response = page.client.get(one["picture"])
        assert response.status_code == 200, one["picture"]
        assert response.headers["content-type"] == "image/svg+xml"
        assert "<path" in response.text


def test_a_project_is_begun_from_an_example(page: Page) -> None:
    made = page.post("/api/new", {"example": "hall-table", "folder": "my table"}).json()
    assert made == {"ok": True, "file": "my table/hall-table.job.yaml"}
    assert (page.root / "my table" / "hall-table.piece.yaml").is_file()
    assert page.state()["answer"]["piece"]["name"] == "Hall table"
    assert faults(page.post("/api/new", {"example": "hall-table", "folder": "my table"}), 422) == ["folder-not-empty"]


def test_a_project_is_begun_from_nothing(page: Page) -> None:
    made = page.post("/api/new", {"example": "empty", "folder": "first stool"}).json()
    assert made["file"] == "first stool/first-stool.job.yaml"
    state = page.state()
    assert {file["kind"] for file in state["files"]} == {"piece", "job"}
    assert state["answer"]["parts"] == []
    told = page.done(
        "/api/edit",
        label="add the seat",
        changes=[
            {
                "do": "add part",
                "name": "seat",
                "text": "{box: {x: [-width/2, width/2], y: [0, depth], z: [height - 1, height]}}",
            }
        ],
    )
    assert [part["name"] for part in told["answer"]["parts"]] == ["seat"], told["answer"]["faults"]
    assert not told["answer"]["stopped"]


@pytest.mark.parametrize("folder", ["..", "a/b", "con", "x" * 61, "../up", "C:x"])
def test_no_project_is_begun_elsewhere(page: Page, folder: str) -> None:
    response = page.post("/api/new", {"example": "hall-table", "folder": folder})
    assert response.status_code == 422
    assert not (page.root.parent / "up").exists()


@pytest.mark.parametrize(
    "file", ["../x.piece.yaml", "/etc/passwd", "stool/../../x.job.yaml", "stool/boards.csv", "nul.piece.yaml"]
)
def test_nothing_outside_is_opened(page: Page, file: str) -> None:
    assert page.post("/api/open", {"file": file}).status_code in (404, 422)
    assert page.state()["file"] == JOB


# --- sizes, edits, undo


def test_a_tried_size_leaves_the_texts_alone(page: Page) -> None:
    before = page.state()
    told = page.done("/api/live", sizes={"height": "18"})
    assert told["answer"]["tried"] is True
    after = page.state()
    assert (after["revision"], after["files"]) == (before["revision"], before["files"])
    assert after["answer"]["tried"] is False


def test_meshes_that_the_page_has_are_not_sent_again(page: Page) -> None:
    first = page.done("/api/live", sizes={})
    keys = list(first["answer"]["meshes"])
    assert set(keys) == {part["mesh"] for part in first["answer"]["parts"]}
    assert page.done("/api/live", sizes={}, have=keys)["answer"]["meshes"] == {}


def test_a_size_changed_for_good_changes_its_value_and_nothing_else(page: Page) -> None:
    before = page.text()
    told = page.size("height", "18")
    assert told["state"]["undo"] == "height 18"
    assert page.text() == before.replace("height: {is: 17 1/4", "height: {is: 18")
    assert page.piece.read_text(encoding="utf-8") == before, "nothing is written before it is saved"


def test_undo_and_redo(page: Page) -> None:
    before = page.text()
    page.size("height", "18")
    after = page.text()
    told = page.done("/api/undo")
    assert told["state"]["redo"] == "height 18"
    assert page.text() == before
    page.done("/api/redo")
    assert page.text() == after


def test_a_fault_stops_and_the_last_good_piece_stays_grey(page: Page) -> None:
    parts = [part["id"] for part in page.state()["answer"]["parts"]]
    told = page.done(
        "/api/edit", label="typing", changes=[{"do": "text", "file": PIECE, "text": page.text() + "nonsense: [\n"}]
    )
    assert told["answer"]["stopped"] and told["answer"]["grey"]
    assert [part["id"] for part in told["answer"]["parts"]] == parts
    fault = told["answer"]["faults"][0]
    assert fault["file"] == PIECE and fault["line"] > 1 and fault["mend"]
    assert not page.done("/api/undo")["answer"]["stopped"]


def test_a_change_that_cannot_be_made_changes_nothing(page: Page) -> None:
    before = page.state()
    body = {"revision": before["revision"], "label": "x", "have": []}
    for change in (
        {"do": "size", "name": "no such size", "text": "1"},
        {"do": "remove part", "part": "no such part"},
        {"do": "replace", "file": "boards.csv", "line": 10_000, "column": 1, "length": 1, "text": ""},
        {"do": "text", "file": "../other.piece.yaml", "text": ""},
        {"do": "dance"},
        {"do": "size", "name": 7, "text": None},
    ):
        assert faults(page.post("/api/edit", {**body, "changes": [change]}), 422)
    after = page.state()
    assert (after["revision"], after["files"]) == (before["revision"], before["files"])


def test_a_preview_shows_the_text_and_changes_nothing(page: Page) -> None:
    before = page.state()
    changes = [{"do": "size", "name": "height", "text": "18"}]
    shown = page.post("/api/edit/preview", {"revision": before["revision"], "changes": changes}).json()
    assert "height: {is: 18" in shown["texts"][PIECE]
    assert page.state()["files"] == before["files"]


# --- two pages, and the disk


def test_of_two_pages_the_slower_is_told_the_newest_state(page: Page) -> None:
    revision = page.revision
    page.size("height", "18")
    for path, more in (
        ("/api/edit", {"label": "x", "changes": [{"do": "size", "name": "height", "text": "16"}]}),
        ("/api/live", {"sizes": {}}),
        ("/api/undo", {}),
        ("/api/redo", {}),
        ("/api/reload", {}),
    ):
        response = page.post(path, {"revision": revision, "have": [], **more})
        assert faults(response, 409) == ["stale-revision"]
        assert response.json()["state"]["revision"] == revision + 1
    assert faults(page.post("/api/save", {"revision": revision}), 409) == ["stale-revision"]
    assert "height: {is: 18" in page.text()


def test_saving_writes_and_undo_goes_on_after_it(page: Page) -> None:
    before = page.text()
    page.size("height", "18")
    saved = page.post("/api/save", {"revision": page.revision}).json()
    assert not any(file["dirty"] for file in saved["state"]["files"])
    assert page.piece.read_text(encoding="utf-8") == page.text()
    page.done("/api/undo")
    assert page.text() == before
    assert page.state()["files"][1]["dirty"] or page.state()["files"][0]["dirty"]


def test_a_file_edited_elsewhere_is_noticed_kept_and_can_be_taken(page: Page) -> None:
    page.size("height", "18")
    mine = page.text()
    theirs = page.piece.read_text(encoding="utf-8").replace("from: 14", "from: 13")
    page.piece.write_text(theirs, encoding="utf-8")
    assert page.state()["changed_outside"] == [PIECE]
    assert faults(page.post("/api/save", {"revision": page.revision}), 409) == ["edited-elsewhere"]
    assert page.piece.read_text(encoding="utf-8") == theirs
    page.done("/api/reload")
    assert page.text() == theirs
    assert page.state()["changed_outside"] == []
    page.done("/api/undo")
    assert page.text() == mine


def test_saving_over_what_was_edited_elsewhere_must_be_said(page: Page) -> None:
    page.size("height", "18")
    page.piece.write_text("theirs\n", encoding="utf-8")
    assert page.post("/api/save", {"revision": page.revision, "over": True}).status_code == 200
    assert page.piece.read_text(encoding="utf-8") == page.text()


def test_what_was_not_saved_is_there_again_after_a_kill(tmp_path: Path) -> None:
    """The application is dropped without its end, as by a kill, and another is started on the same folder."""
    shutil.copytree(EXAMPLES / "splayed-stool", tmp_path / "stool")
    first = Page(TestClient(create_app(tmp_path, JOB, PORT), base_url=f"http://127.0.0.1:{PORT}"), tmp_path)
    first.size("height", "18")
    again = Page(TestClient(create_app(tmp_path, JOB, PORT), base_url=f"http://127.0.0.1:{PORT}"), tmp_path)
    state = again.state()
    assert state["restored"] is True
    assert "height: {is: 18" in again.text()
    assert state["undo"] == "height 18"
    assert next(one for one in again.get("/api/start")["here"] if one["file"] == JOB)["draft"] is True
    for page in (first, again):
        page.client.app.app.state.door.close()  # type: ignore[attr-defined]


# --- the paper


def settled(page: Page) -> dict[str, Any]:
    """The sheets when all is done."""
    until(lambda: (told := page.get("/api/sheets"))["revision"] == page.revision and not told["working"], "the paper")
    return page.get("/api/sheets")


def test_the_paper_follows_and_agrees_with_the_revision(page: Page) -> None:
    page.size("height", "18")
    told = settled(page)
    revision = page.revision
    assert {sheet["revision"] for sheet in told["sheets"]} == {revision}
    assert told["boards"]["revision"] == revision
    assert told["boards"]["cost"] >= told["boards"]["bound"]
    parts = {part["id"] for part in page.state()["answer"]["parts"]}
    assert all(set(sheet["parts"]) <= parts for sheet in told["sheets"])


def test_a_sheet_its_pages_and_its_drawings(page: Page) -> None:
    sheet = next(one for one in settled(page)["sheets"] if one["key"].startswith("part-"))
    told = page.get("/api/sheet", key=sheet["key"])
    assert told["title"] == sheet["title"]
    for number in range(1, told["pages"] + 1):
        response = page.client.get(
            "/api/page", params={"key": sheet["key"], "page": number, "revision": told["revision"]}
        )
        assert response.headers["content-type"] == "image/svg+xml"
        assert response.text.startswith("<svg")
    drawings = [block["svg"] for block in _flat(told["blocks"]) if block["kind"] == "drawing"]
    assert drawings
    for address in drawings:
        assert page.client.get(address).text.startswith("<svg")


def _flat(blocks: list[dict[str, Any]]) -> list[dict[str, Any]]:
    found = []
    for block in blocks:
        found.append(block)
        for column in block.get("columns", []) if block["kind"] == "columns" else []:
            found += _flat(column["blocks"])
    return found


@pytest.mark.parametrize(
    ("path", "wanted", "code"),
    [
        ("/api/sheet", {"key": "no such sheet"}, "no-such-sheet"),
        ("/api/page", {"key": "cover", "page": 99, "revision": 0}, "no-such-page"),
        ("/api/drawing", {"key": "cover", "number": 99}, "no-such-drawing"),
        ("/api/file", {"name": "../../etc/passwd"}, "no-such-file"),
        ("/api/file", {"name": "boards.csv\0"}, "no-such-file"),
        ("/api/guide", {"topic": "../README"}, "unknown-topic"),
    ],
)
def test_what_there_is_not_is_not_found(page: Page, path: str, wanted: dict[str, Any], code: str) -> None:
    assert faults(page.client.get(path, params=wanted), 404) == [code]


def test_a_file_made_from_what_is_not_saved_says_so_in_its_name(page: Page) -> None:
    saved = page.client.get("/api/file", params={"name": "cutting-list.csv"})
    assert "not saved" not in saved.headers["content-disposition"]
    page.size("height", "18")
    fresh = page.client.get("/api/file", params={"name": "cutting-list.csv"})
    assert f"(change {page.state()['change']}, not saved)" in fresh.headers["content-disposition"]
    assert fresh.headers["content-type"].startswith("text/csv")
    assert saved.content != fresh.content, "the legs are longer"


def test_the_files_and_the_texts_are_listed(page: Page) -> None:
    names = {one["name"]: one for one in page.get("/api/files")["files"]}
    assert {"packet.pdf", "plan.json", PIECE, "boards.csv"} <= set(names)
    assert page.client.get("/api/file", params={"name": PIECE}).text == page.text()


# --- the language


def test_words_guide_and_completion(page: Page) -> None:
    words = page.get("/api/words")["words"]
    assert any(word["word"] == "tenon" and word["help"] for word in words)
    guide = page.get("/api/guide")
    assert "<h1" in guide["html"] and "<script" not in guide["html"]
    for topic in guide["topics"]:
        assert page.get("/api/guide", topic=topic["topic"])["title"]
    text = "piece: A\nun"
    offered = page.post("/api/complete", {"file": PIECE, "text": text, "line": 2, "column": 3}).json()
    assert offered["from"] == 1
    assert "units" in [one["label"] for one in offered["items"]]


# --- questions that are none


@pytest.mark.parametrize(
    ("content", "kind"),
    [
        (b"", "application/json"), (b"{", "application/json"), (b"[]", "application/json"),
        (b"null", "application/json"), (b"\xff\xfe", "application/json"), (b"[" * 20_000, "application/json"),
        (b'{"revision": 1e400}', "application/json"),
        (b'{"revision": "1"}', "application/json"), (b'{"revision": -1}', "application/json"),
        (b'{"revision": 1, "more": 2}', "application/json"), (b"revision=1", "application/x-www-form-urlencoded"),
        (b'{"revision": true}', "application/json"), (b'{"revision": NaN}', "application/json"),
        (b'{"revision": 1, "have": ["\\ud800"]}', "application/json"),
    ],
)  # fmt: skip
@pytest.mark.parametrize("path", ["/api/live", "/api/edit", "/api/undo", "/api/save", "/api/open", "/api/complete"])
def test_a_question_that_is_none_is_refused_in_the_one_shape(page: Page, path: str, content: bytes, kind: str) -> None:
    response = page.client.post(path, content=content, headers={"content-type": kind})
    assert 400 <= response.status_code < 500, response.text
    assert faults(response, response.status_code)


@pytest.mark.parametrize("way", ["PUT", "DELETE", "PATCH", "TRACE"])
def test_other_ways_of_asking_are_refused_in_the_one_shape(page: Page, way: str) -> None:
    assert faults(page.client.request(way, "/api/state"), 405)


@pytest.mark.parametrize(
    "path",
    [
        "/nothing",
        "/api",
        "/api/",
        "/static/../server.py",
        "/static/%2e%2e/server.py",
        "/static/..%2fserver.py",
        "/static/%00",
    ],
)
def test_other_addresses_lead_nowhere(page: Page, path: str) -> None:
    assert faults(page.client.get(path), 404)
