"""Pieces made to explode: each is worked out, or refused in words, in bounded time, and the desk goes on after it."""

from __future__ import annotations

import time
from collections.abc import Iterator
from typing import Any

import pytest
from starlette.testclient import TestClient

from batchwright.app.live import session
from batchwright.app.live.paper import Task
from batchwright.app.live.worker import Worker
from batchwright.web.server import create_app

PORT = 8400
AT_MOST = 20.0
"""Processor seconds; thousands of slips took minutes before they were told in part."""
FILE = "p.piece.yaml"
HEAD = "piece: P\nunits: mm\nwood: white oak\nuse: [indoors]\nhands: from the front\n"
SOUND = HEAD + "parts:\n  a: {box: {x: [0, 50], y: [0, 50], z: [0, 500]}}\n"


def boxes(count: int, wide: int) -> str:
    """So many boxes in rows 60 apart, each so wide."""
    side = int(count**0.5) + 1
    places = [(number % side * 60, number // side * 60) for number in range(count)]
    rows = [
        f"  p{number}: {{box: {{x: [{x}, {x + wide}], y: [{y}, {y + wide}], z: [0, 500]}}}}\n"
        for number, (x, y) in enumerate(places)
    ]
    return HEAD + "parts:\n" + "".join(rows)


def _bomb() -> str:
    """Ten times ten times ten, by repeated values."""
    rows = [f"{chr(98 + n)}: &{chr(98 + n)} [{','.join([f'*{chr(97 + n)}'] * 10)}]\n" for n in range(9)]
    return HEAD + "a: &a [x]\n" + "".join(rows)


STORMS: dict[str, tuple[str, str]] = {
    "a size beyond numbers": (HEAD + "sizes: {a: 1e308}\nparts: {p: {box: {x: [0, a], y: [0, a], z: [0, a]}}}\n", "*"),
    "a part as large as is read": (
        HEAD + "parts: {p: {box: {x: [0, 99999], y: [0, 99999], z: [0, 99999]}}}\n",
        "piece-too-large",
    ),
    "3,000 parts": (boxes(3000, 50), "too-many-values"),
    "400 parts apart": (boxes(400, 50), ""),
    "400 parts in one another": (boxes(400, 100), "parts-overlap"),
    "repeated values": (_bomb(), "alias"),
    "2,000 names that are none": (
        HEAD + "sizes:\n" + "".join(f"  s{n}: nosuch{n}\n" for n in range(2000)),
        "more-faults",
    ),
    "4,000 words that are none": (HEAD + "".join(f"wodr{n}: 1\n" for n in range(4000)), "more-faults"),
    "2,000 sizes, each of the last": (
        HEAD
        + "sizes:\n  s0: 1\n"
        + "".join(f"  s{n}: s{n - 1} + 1\n" for n in range(1, 2000))
        + SOUND.removeprefix(HEAD),
        "",
    ),
    "brackets in brackets": ("[" * 300_000, "too-deep"),
    "lists in lists": ("- " * 190_000, "too-deep"),
    "tables in tables": ("? " * 190_000, "too-deep"),
    "an open quotation": (HEAD + "x: '" + "a\n" * 190_000, "broken-form"),
    "one long word": ("a" * 390_000 + ": 1", "broken-form"),
    "an endless repeat": (
        HEAD
        + "parts: {p: {box: {x: [0, 1], y: [0, 9], z: [0, 9]}, repeat: {count: 1000000, along: x, between: [0, 9]}}}\n",
        "*",
    ),
    "an endless sum": (HEAD + "sizes: {a: " + "1+" * 190_000 + "1}\n", "expression-too-long"),
}


class Idle(Worker):
    """A worker that makes no paper."""

    def submit(self, task: Task) -> None:
        """Nothing is done."""


@pytest.fixture(scope="module")
def client(tmp_path_factory: pytest.TempPathFactory) -> Iterator[TestClient]:
    """A server with a sound piece open."""
    root = tmp_path_factory.mktemp("storms")
    (root / FILE).write_text(SOUND)
    (root / "p.job.yaml").write_text(f"job: J\npiece: {FILE}\ncopies: 500\n")
    kept, session.Worker = session.Worker, Idle  # type: ignore[misc]
    app = create_app(root, "p.job.yaml", PORT)
    with TestClient(app, base_url=f"http://127.0.0.1:{PORT}") as one:
        yield one
    session.Worker = kept  # type: ignore[misc]


def asked(client: TestClient, text: str) -> dict[str, Any]:
    """The state after the piece's text was made this one."""
    revision = client.get("/api/state").json()["revision"]
    body = {"revision": revision, "changes": [{"do": "text", "file": FILE, "text": text}]}
    response = client.post("/api/edit", json=body)
    assert response.status_code == 200, response.text[:300]
    state: dict[str, Any] = client.get("/api/state").json()
    return state


@pytest.mark.parametrize("name", STORMS)
def test_a_piece_made_to_explode_is_answered_in_bounded_time(client: TestClient, name: str) -> None:
    text, code = STORMS[name]
    begun = time.process_time()
    answer = asked(client, text)["answer"]
    assert time.process_time() - begun < AT_MOST
    codes = {fault["code"] for fault in answer["faults"]}
    assert "our-fault" not in codes
    assert answer["stopped"] is bool(code), codes
    assert code in (*codes, "*", ""), codes
    assert len(answer["faults"]) < 2000
    after = asked(client, SOUND)["answer"]
    assert not after["stopped"] and [part["name"] for part in after["parts"]] == ["a"]
    assert after["piece"]["copies"] == 500


def test_five_megabytes_of_text_are_refused_at_once(client: TestClient) -> None:
    revision = client.get("/api/state").json()["revision"]
    for length, status in ((4_900_000, 422), (400_001, 422), (5_100_000, 413)):
        begun = time.process_time()
        body = {"revision": revision, "changes": [{"do": "text", "file": FILE, "text": "#" * length}]}
        response = client.post("/api/edit", json=body)
        assert response.status_code == status
        assert response.json()["faults"][0]["what"]
        assert time.process_time() - begun < 5.0
    assert client.get("/api/state").json()["revision"] == revision
