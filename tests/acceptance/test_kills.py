"""Kills in the midst of changes and saves, of the desk and of the real server: what was answered is there again, the
file is old or new and whole, nothing is left lying. Two hundred by `python3 run.py test bench kills`."""

from __future__ import annotations

import json
import re
import subprocess
import sys
import threading
from pathlib import Path
from random import Random
from typing import Any

import httpx
import pytest

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT / "benchmarks"))
import kills  # noqa: E402 - the bench itself

PATIENCE = 60.0
PIECE = "p.piece.yaml"
TEXT = (
    "piece: P\nunits: in\nwood: white oak\nuse: [indoors]\nhands: from the front\nsizes:\n  width: 1\n"
    "parts:\n  a: {box: {x: [0, width], y: [0, 1], z: [0, 9]}}\n"
)


def test_what_was_told_as_done_outlives_a_kill(tmp_path: Path) -> None:
    chance = Random(7)
    (tmp_path / kills.PIECE).write_text(kills.version(0))
    told = 0
    for _ in range(6):
        steps, _, wrong = kills.one_kill(tmp_path, chance)
        told += steps
        assert wrong == []
    assert told > 6


def _width(text: str) -> int:
    found = re.search(r"^  width: (\d+)$", text, re.MULTILINE)
    assert found is not None and text.startswith("piece: P\n") and text.endswith("}\n"), f"not whole: {text!r}"
    return int(found[1])


def _served(root: Path) -> tuple[subprocess.Popen[str], str]:
    command = [sys.executable, "-m", "batchwright", "serve", str(root / PIECE), "--port", "0", "--no-open", "--json"]
    server = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True)
    assert server.stdout is not None
    return server, str(json.loads(server.stdout.readline())["address"])


def _state(address: str) -> dict[str, Any]:
    state: dict[str, Any] = httpx.get(f"{address}api/state", timeout=PATIENCE).raise_for_status().json()
    return state


def test_a_real_server_killed_while_it_writes_loses_nothing(tmp_path: Path) -> None:
    """A page changes one size over and over and saves every third change; the server is killed under its hands."""
    (tmp_path / PIECE).write_text(TEXT)
    chance = Random(3)
    for _ in range(1):
        server, address = _served(tmp_path)
        state = _state(address)
        number, answered, saved = _width(state["files"][0]["text"]), 0, 0
        killer = threading.Timer(chance.uniform(0.05, 0.4), server.kill)
        killer.start()
        try:
            with httpx.Client(base_url=address, timeout=PATIENCE) as page:
                while True:
                    number += 1
                    change = {"do": "size", "name": "width", "text": str(number)}
                    body = {"revision": state["revision"], "changes": [change]}
                    page.post("/api/edit", json=body).raise_for_status()
                    answered = number
                    state = {"revision": state["revision"] + 1}
                    if number % 3 == 0:
                        page.post("/api/save", json={"revision": state["revision"]}).raise_for_status()
                        saved = number
        except httpx.TransportError:
            pass
        killer.join()
        server.wait(PATIENCE)
        assert _width((tmp_path / PIECE).read_text()) >= saved
        again, address = _served(tmp_path)
        try:
            assert _width(_state(address)["files"][0]["text"]) >= answered
            left = [path.name for path in tmp_path.rglob("*.new")]
            assert left == []
        finally:
            again.kill()
            again.wait(PATIENCE)


if sys.platform == "win32":
    pytest.skip("a kill is another thing there", allow_module_level=True)
