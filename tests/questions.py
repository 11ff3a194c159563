"""Questions to the page's server as one who knows it would ask them to do harm: of the newest revision, naming what is
there, with values that do not belong; and what every answer must be."""

from __future__ import annotations

import json
import shutil
import struct
import time
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path
from random import Random
from typing import Any

import httpx
from starlette.testclient import TestClient

from batchwright.base.mend import KEYS, WHOLE_NUMBERS
from fuzzed import EXAMPLES, NUMBERS, SLIPS, sound_projects, words_of

PORT = 8400
DECLARED = (200, 400, 403, 404, 405, 409, 413, 422)
SLOW = 20.0
"""Processor seconds that no answer may take."""
ODD: tuple[Any, ...] = (
    None, True, -1, 0, 3.5, 10**30, 2**53, "", " ", "\0", "\ud800", "x" * 5000, [], {}, [[[[]]]], {"do": "text"},
    "../x", "leg", "&a [*a]", "!!python/object:os.system x", "{}", "1" * 400, "- " * 400, "\u202e", "a: b", "'", "#",
    "\n\n", "\r", "\t",
)  # fmt: skip
SIDES = ("front", "back", "left", "right", "top", "bottom")


@dataclass(slots=True)
class Prober:
    """Asks one server question after question, and notes what came of them."""

    client: TestClient
    root: Path
    random: Random
    words: tuple[str, ...] = field(default_factory=lambda: words_of(sound_projects()))
    state: dict[str, Any] = field(default_factory=dict)
    statuses: Counter[str] = field(default_factory=Counter)
    codes: Counter[str] = field(default_factory=Counter)
    troubles: list[str] = field(default_factory=list)
    slowest: tuple[float, str] = (0.0, "")
    asked: int = 0

    def run(self, count: int) -> None:
        """Ask so many questions."""
        for _ in range(count):
            if self.asked % 40 == 0:
                self._anew()
            self._one()

    # --- questions

    def _anew(self) -> None:
        """The text as it was, so that there is something to change."""
        response = self.client.get("/api/state")
        if response.status_code != 200:
            self._trouble(f"the state is not told: {response.status_code} {response.text[:300]}", response)
            return
        self.state = response.json()
        original = (EXAMPLES / "splayed-stool" / "splayed-stool.piece.yaml").read_text(encoding="utf-8")
        piece = next((file["name"] for file in self.state["files"] if file["kind"] == "piece"), None)
        if piece is not None:
            body = {"revision": self.state["revision"], "changes": [{"do": "text", "file": piece, "text": original}]}
            self._ask("/api/edit", body)

    def _one(self) -> None:
        path = self.random.choice(
            (*["/api/edit"] * 10, *["/api/live"] * 4, *["/api/edit/preview"] * 3, "/api/undo", "/api/redo",
             "/api/reload", "/api/save", "/api/open", "/api/new", "/api/complete", "by another hand")
        )  # fmt: skip
        if path == "by another hand":
            self._edit_outside()
            return
        self._ask(path, self._body(path))

    def _edit_outside(self) -> None:
        """Somebody else writes to a file that is open."""
        files = [self.root / Path(str(self.state["file"])).parent / file["name"] for file in self.state["files"]]
        there = [path for path in files if path.is_file()]
        if there:
            self.random.choice(there).write_bytes(self.random.choice((b"", b"\xff\xfe", b"theirs\n", b"a: 1\n" * 9)))
        self.asked += 1

    def _body(self, path: str) -> dict[str, Any]:
        pick = self.random
        revision: Any = self.state["revision"] if pick.random() < 0.97 else pick.choice(ODD)
        match path:
            case "/api/open":
                named = ("stool/stool.job.yaml", "stool/splayed-stool.piece.yaml", "../x.job.yaml", "stool")
                return {"file": pick.choice((*named, *named[:2], pick.choice(ODD)))}
            case "/api/new":
                folder = pick.choice((f"made {pick.randrange(10**6)}", "stool", "..", pick.choice(ODD)))
                return {"example": pick.choice(("empty", "no such", pick.choice(ODD))), "folder": folder}
            case "/api/complete":
                text = str(pick.choice(self.state["files"])["text"])[: pick.randrange(3000)] + str(pick.choice(SLIPS))
                at = {"line": pick.randrange(1, 200), "column": pick.randrange(1, 200)}
                return {"file": pick.choice(("a.piece.yaml", "a.job.yaml", "b.csv", "shop.yaml")), "text": text, **at}
            case "/api/save":
                return {"revision": revision, "over": pick.random() < 0.5}
            case "/api/live":
                names = [self._name("sizes"), self._name("sizes")]
                return {"revision": revision, "sizes": {str(name): self._value() for name in names}, "have": []}
            case "/api/edit" | "/api/edit/preview":
                changes = [self._change() for _ in range(pick.choice((1, 1, 1, 2, 5)))]
                return {"revision": revision, "changes": changes}
        return {"revision": revision, "have": []}

    def _change(self) -> Any:
        pick = self.random
        if pick.random() < 0.03:
            return pick.choice(ODD)
        do = pick.choice(tuple(KEYS))
        must, may = KEYS[do]
        keys = [*must, *(key for key in may if pick.random() < 0.4)]
        change = {"do": do, **{key: self._under(do, key) for key in keys}}
        if pick.random() < 0.05:
            change[pick.choice([*change, "more"])] = pick.choice(ODD)
        return change

    def _under(self, do: str, key: str) -> Any:
        pick = self.random
        if pick.random() < 0.04:
            return pick.choice(ODD)
        if key == "joint":
            return pick.randrange(len(self._answer("joints")) + 2)
        if key in WHOLE_NUMBERS:
            return pick.choice((1, 2, 5, 20, pick.randrange(1, 120), 10**5))
        if key == "path":
            first = pick.choice(("sizes", "parts", "joints", "places", "use", "wood", "units", "nothing"))
            steps = pick.choices((0, 1, 2, self._name("parts"), self._name("sizes"), "length", "is"), k=2)
            return [first, *steps][: pick.choice((1, 2, 3))]
        if key == "file":
            return pick.choice([file["name"] for file in self.state["files"]])
        if key == "side":
            return pick.choice(SIDES)
        if key in ("part", "size", "place"):
            return self._name({"part": "parts", "size": "sizes", "place": "places"}[key])
        if key in ("name", "after"):
            return self._name(pick.choice(("parts", "sizes", "places", "new")))
        return self._text() if do in ("text", "replace") else self._value()

    def _answer(self, key: str) -> list[Any]:
        found = (self.state.get("answer") or {}).get(key)
        return list(found) if isinstance(found, list) else []

    def _name(self, what: str) -> Any:
        names = [one["name"] if isinstance(one, dict) else one for one in self._answer(what)]
        return self.random.choice((*names, *names, "new one", self.random.choice(self.words)))

    def _value(self) -> str:
        pick = self.random
        kind = pick.randrange(4)
        if kind == 0:
            return str(pick.choice(NUMBERS))
        if kind == 1:
            return " ".join(pick.choices(self.words, k=pick.choice((1, 2, 4))))
        if kind == 2:
            wide, deep = pick.choices(NUMBERS, k=2)
            return f"{{box: {{x: [0, {wide}], y: [0, {deep}], z: [0, 1]}}}}"
        return str(pick.choice(SLIPS))

    def _text(self) -> str:
        pick = self.random
        text = str(pick.choice(self.state["files"])["text"])
        at = pick.randrange(len(text) + 1)
        return text[:at] + str(pick.choice((*SLIPS, *NUMBERS, *self.words))) + text[at + pick.choice((0, 1, 30)) :]

    # --- answers

    def _ask(self, path: str, body: object) -> None:
        self.asked += 1
        begun = time.process_time()
        response = self.client.post(path, content=json.dumps(body), headers={"content-type": "application/json"})
        took = time.process_time() - begun
        if took > self.slowest[0]:
            self.slowest = (took, f"{path} {json.dumps(body)[:200]}")
        self.statuses[f"{path} {response.status_code}"] += 1
        try:
            self._judge(response)
            assert took < SLOW, f"{took:.0f} s"
        except (AssertionError, ValueError, KeyError, TypeError, struct.error) as problem:
            self._trouble(f"{path} {json.dumps(body)}: {type(problem).__name__}: {problem}", response)

    def _trouble(self, what: str, response: httpx.Response) -> None:
        self.troubles.append(f"{what}\n{json.dumps(self.state)}")

    def _judge(self, response: httpx.Response) -> None:
        assert response.status_code in DECLARED, response.text[:400]
        assert response.headers["content-security-policy"].startswith("default-src 'none'")
        assert response.headers["cache-control"] == "no-store"
        packed = response.headers["content-type"] == "application/octet-stream"
        shape = _unpacked(response.content) if packed else _strict(response.content)
        assert shape["ok"] is (response.status_code == 200)
        faults = [*shape.get("faults", ()), *shape.get("answer", {}).get("faults", ())]
        for fault in faults:
            assert fault["code"] and fault["what"] and fault["mend"], fault
            assert fault["code"] != "our-fault", fault["what"]
            self.codes[fault["code"]] += 1
        state = shape.get("state")
        if state is not None:
            assert {"revision", "file", "files", "undo", "redo"} <= set(state)
            self.state = {**self.state, **state}
        if packed:
            self.state["answer"] = shape["answer"]
            assert state is None or shape["answer"]["revision"] == state["revision"]
        elif response.status_code == 200 and shape.get("file"):
            self.state = _strict(self.client.get("/api/state").content)


def _strict(content: bytes) -> dict[str, Any]:
    """JSON as the standard has it: no NaN, no infinity (RFC 8259, section 6)."""
    found: dict[str, Any] = json.loads(content.decode("utf-8"), parse_constant=_no_constant)
    return found


def _no_constant(name: str) -> float:
    raise ValueError(f"{name} is no JSON")


def _unpacked(content: bytes) -> dict[str, Any]:
    """The JSON of a packed answer, its buffers held to their offsets."""
    (length,) = struct.unpack_from("<I", content)
    assert length % 4 == 0
    shape = _strict(content[4 : 4 + length])
    end = len(content) - 4 - length
    for mesh in shape["answer"]["meshes"].values():
        for name in ("positions", "normals", "indices", "edges"):
            at, count = mesh[name]
            assert at % 4 == 0 and at >= 0 and at + 4 * count <= end
        assert mesh["positions"][1] == mesh["normals"][1] and mesh["indices"][1] % 3 == 0
    return shape


def laid_out(root: Path) -> Path:
    """The stool in a folder of its own."""
    shutil.copytree(EXAMPLES / "splayed-stool", root / "stool")
    return root
