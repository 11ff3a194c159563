"""Several pages and an editor at one piece at once, in many interleavings: whoever is late is told so with the newest
state, no change that was answered is lost, and a file written by another hand is never written over unasked."""

from __future__ import annotations

import asyncio
import json
import re
from collections.abc import AsyncIterator, Callable, Coroutine
from concurrent.futures import ThreadPoolExecutor
from contextlib import asynccontextmanager
from pathlib import Path
from random import Random
from typing import Any

import httpx
import pytest

from batchwright.app.live import session
from batchwright.app.live.paper import Task
from batchwright.app.live.worker import Worker
from batchwright.web.api.events import _told
from batchwright.web.server import create_app

PORT = 8400
PIECE = "stool.piece.yaml"
HEAD = "piece: Stool\nunits: in\nwood: white oak\nuse: [indoors]\nhands: from the front\nsizes:\n  width: 15\nparts:\n"
PAGES, CHANGES = 3, 4


def _run(many: Coroutine[Any, Any, None]) -> None:
    """Run it in a thread of its own: another test may have left a loop running in this one."""
    with ThreadPoolExecutor(1) as beside:
        beside.submit(asyncio.run, many).result()


def part(name: str) -> dict[str, Any]:
    """The change that adds a part of this name, each in a place of its own."""
    place = 20 * (sum(map(ord, name)) + int(name[-2:]) * 97)
    text = f"{{box: {{x: [0, 1], y: [{place} mm, {place + 10} mm], z: [0, 1]}}}}"
    return {"do": "add part", "name": name, "text": text}


class Idle(Worker):
    """A worker that makes no paper."""

    def submit(self, task: Task) -> None:
        """Nothing is done."""


@pytest.fixture
def root(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with a piece of one part."""
    monkeypatch.setattr(session, "Worker", Idle)
    (tmp_path / PIECE).write_text(HEAD + "  first n00: {box: {x: [0, 1], y: [0, 1], z: [0, 1]}}\n")
    return tmp_path


@asynccontextmanager
async def desk(root: Path) -> AsyncIterator[Callable[[], httpx.AsyncClient]]:
    """An application in this process; calls give another page of it."""
    app = create_app(root, PIECE, PORT)
    transport = httpx.ASGITransport(app=app)
    try:
        yield lambda: httpx.AsyncClient(transport=transport, base_url=f"http://127.0.0.1:{PORT}", timeout=60.0)
    finally:
        app.app.state.door.close()  # type: ignore[attr-defined]


def parts_in(text: str) -> set[str]:
    """The parts that a text names."""
    return set(re.findall(r"^  ([a-z]+ n\d+): ", text, re.MULTILINE))


async def write_on(page: httpx.AsyncClient, name: str, random: Random) -> tuple[set[str], int]:
    """Add parts one after another, each until it is answered; the parts that were, and how often it was too late."""
    revision = (await page.get("/api/state")).json()["revision"]
    done: set[str] = set()
    late = 0
    while len(done) < CHANGES:
        mine = f"{name} n{len(done):02}"
        body = {"revision": revision, "label": mine, "changes": [part(mine)]}
        answer = await page.post("/api/edit", json=body)
        if answer.status_code == 200:
            length = int.from_bytes(answer.content[:4], "little")
            revision = json.loads(answer.content[4 : 4 + length])["state"]["revision"]
            done.add(mine)
        else:
            assert answer.status_code == 409, answer.text
            told = answer.json()
            assert [fault["code"] for fault in told["faults"]] == ["stale-revision"]
            assert told["state"]["revision"] > revision, "the newest state comes with the refusal"
            revision = told["state"]["revision"]
            late += 1
        for _ in range(random.randrange(4)):
            await asyncio.sleep(0)
    return done, late


@pytest.mark.parametrize("seed", range(4))
def test_no_change_that_was_answered_is_lost(root: Path, seed: int) -> None:
    async def all_at_once() -> None:
        async with desk(root) as another:
            pages = [another() for _ in range(PAGES)]
            random = Random(seed)
            ends = await asyncio.gather(
                *(write_on(page, name, random) for page, name in zip(pages, ("leg", "rail", "arm"), strict=True))
            )
            state = (await pages[0].get("/api/state")).json()
            text = state["files"][0]["text"]
            answered = {"first n00"}.union(*(done for done, _ in ends))
            assert parts_in(text) == answered
            assert (await pages[1].post("/api/save", json={"revision": state["revision"]})).status_code == 200
            assert (root / PIECE).read_text() == text
            for _ in range(PAGES * CHANGES):
                revision = (await pages[2].get("/api/state")).json()["revision"]
                assert (await pages[2].post("/api/undo", json={"revision": revision})).status_code == 200
            assert parts_in((await pages[0].get("/api/state")).json()["files"][0]["text"]) == {"first n00"}

    _run(all_at_once())


@pytest.mark.parametrize("seed", range(4))
def test_an_editor_beside_the_pages_loses_nothing_either(root: Path, seed: int) -> None:
    """Two pages change and save, another hand writes the file in between: whatever that hand wrote is on the disk until
    a page says `over`, or has taken it in."""

    async def together() -> None:
        random = Random(seed)
        theirs, told, count = "", 0, 0
        async with desk(root) as another:
            one, other = another(), another()
            for _ in range(24):
                page = random.choice((one, other))
                state = (await page.get("/api/state")).json()
                what = random.choice(("change", "change", "save", "save", "by hand", "reload"))
                if what == "change":
                    count += 1
                    body = {"revision": state["revision"], "changes": [part(f"leg n{count:02}")]}
                    assert (await page.post("/api/edit", json=body)).status_code == 200
                elif what == "by hand":
                    count += 1
                    theirs = (root / PIECE).read_text() + f"# by hand {count}\n"
                    (root / PIECE).write_text(theirs)
                elif what == "reload":
                    assert (await page.post("/api/reload", json={"revision": state["revision"]})).status_code == 200
                    theirs = ""
                else:
                    dirty = state["files"][0]["dirty"]
                    answer = await page.post("/api/save", json={"revision": state["revision"]})
                    if theirs and dirty:
                        assert answer.status_code == 409
                        assert [fault["code"] for fault in answer.json()["faults"]] == ["edited-elsewhere"]
                        assert (root / PIECE).read_text() == theirs
                        told += 1
                    else:
                        assert answer.status_code == 200, answer.text
                if theirs:
                    assert (root / PIECE).read_text() == theirs
                    assert (await other.get("/api/state")).json()["changed_outside"] == [PIECE]

    _run(together())


def test_a_page_of_another_piece_changes_nothing_here(root: Path) -> None:
    """One page opens another piece; the page that still shows the first is told, and its change goes nowhere."""
    (root / "other.piece.yaml").write_text((root / PIECE).read_text())

    async def switched() -> None:
        async with desk(root) as another:
            one, other = another(), another()
            before = (await one.get("/api/state")).json()["revision"]
            assert (await other.post("/api/open", json={"file": "other.piece.yaml"})).status_code == 200
            answer = await one.post("/api/edit", json={"revision": before, "changes": [part("leg n01")]})
            assert answer.status_code == 409
            assert answer.json()["state"]["file"] == "other.piece.yaml"
            assert parts_in((await other.get("/api/state")).json()["files"][0]["text"]) == {"first n00"}

    _run(switched())


def test_a_page_left_open_while_the_server_was_started_anew_is_told(root: Path) -> None:
    """Meanwhile another hand wrote the file: what the page has not seen it cannot write over."""

    async def overnight() -> None:
        async with desk(root) as another:
            before = (await another().get("/api/state")).json()
        (root / PIECE).write_text((root / PIECE).read_text() + "# by hand\n")
        async with desk(root) as another:
            page = another()
            await page.get("/api/state")
            text = before["files"][0]["text"]
            body = {
                "revision": before["revision"],
                "changes": [{"do": "text", "file": PIECE, "text": text + "# mine\n"}],
            }
            assert (await page.post("/api/edit", json=body)).status_code == 409
            assert "# by hand" in (await page.get("/api/state")).json()["files"][0]["text"]

    _run(overnight())


class Listening:
    """A page that listens until it has heard enough."""

    def __init__(self) -> None:
        self.gone = False

    async def is_disconnected(self) -> bool:
        """Whether it has gone."""
        return self.gone


def test_every_page_hears_of_every_change(root: Path) -> None:
    async def heard() -> None:
        app = create_app(root, PIECE, PORT)
        door = app.app.state.door  # type: ignore[attr-defined]
        pages = [Listening(), Listening()]
        told: list[list[dict[str, Any]]] = [[], []]

        async def listen(number: int) -> None:
            async for line in _told(door, pages[number]):  # type: ignore[arg-type]
                if line.startswith(b"data: "):
                    told[number].append(json.loads(line[6:]))

        transport = httpx.ASGITransport(app=app)
        async with httpx.AsyncClient(transport=transport, base_url=f"http://127.0.0.1:{PORT}", timeout=60.0) as page:
            revision = (await page.get("/api/state")).json()["revision"]
            listeners = [asyncio.create_task(listen(number)) for number in (0, 1)]
            await page.post("/api/edit", json={"revision": revision, "changes": [part("leg n01")]})
            await _until(lambda: all(t and t[-1]["revision"] == revision + 1 and t[-1]["dirty"] for t in told))
            await page.post("/api/save", json={"revision": revision + 1})
            await _until(lambda: all(not t[-1]["dirty"] for t in told))
            (root / PIECE).write_text("theirs\n")
            await _until(lambda: all(t[-1]["changed_outside"] == [PIECE] for t in told))
        for one in pages:
            one.gone = True
        await asyncio.gather(*listeners)
        door.close()

    _run(heard())


async def _until(ready: Callable[[], bool]) -> None:
    async with asyncio.timeout(60.0):
        while not ready():
            await asyncio.sleep(0.02)
