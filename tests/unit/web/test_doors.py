"""The real server over a real line: names that are not ours, requests that are half sent, bodies without end, paths
that lead out. Whatever is sent, others are answered meanwhile, and every answer of the program carries the policy."""

from __future__ import annotations

import json
import socket
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import httpx
import pytest
import uvicorn

from batchwright.app.live import session
from batchwright.app.live.paper import Task
from batchwright.app.live.worker import Worker
from batchwright.web.server import create_app
from batchwright.web.serving import listen

PATIENCE = 60.0
PIECE = (
    "piece: P\nunits: in\nwood: white oak\nuse: [indoors]\nhands: from the front\n"
    "parts:\n  a: {box: {x: [0, 1], y: [0, 1], z: [0, 9]}}\n"
)
SECRET = "piece: A secret\n"


class Idle(Worker):
    """A worker that makes no paper."""

    def submit(self, task: Task) -> None:
        """Nothing is done."""


@pytest.fixture(scope="module")
def root(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a piece, links that lead out, and a secret beside it."""
    home = tmp_path_factory.mktemp("doors")
    root = home / "root"
    root.mkdir()
    (root / "p.piece.yaml").write_text(PIECE)
    (home / "secret.piece.yaml").write_text(SECRET)
    (root / "link.piece.yaml").symlink_to(home / "secret.piece.yaml")
    (root / "up").symlink_to(home)
    return root


@pytest.fixture(scope="module")
def port(root: Path) -> Iterator[int]:
    """A server in a thread of its own, with the settings of `serve`."""
    kept, session.Worker = session.Worker, Idle  # type: ignore[misc]
    with listen(0) as one:
        port = int(one.getsockname()[1])
        config = uvicorn.Config(
            create_app(root, "p.piece.yaml", port),
            log_level="critical",
            ws="none",
            lifespan="on",
            server_header=False,
            date_header=False,
            timeout_graceful_shutdown=1,
            h11_max_incomplete_event_size=32_768,
        )
        server = uvicorn.Server(config)
        thread = threading.Thread(target=lambda: server.run(sockets=[one]), daemon=True)
        thread.start()
        httpx.get(f"http://127.0.0.1:{port}/api/state", timeout=PATIENCE).raise_for_status()
        yield port
        server.should_exit = True
        thread.join(PATIENCE)
    session.Worker = kept  # type: ignore[misc]


def line(port: int) -> socket.socket:
    """A line to the server."""
    return socket.create_connection(("127.0.0.1", port), timeout=PATIENCE)


def said(port: int, request: bytes) -> bytes:
    """All that is answered to these bytes, until the server closes the line."""
    with line(port) as one:
        one.sendall(request)
        answer = b""
        while chunk := one.recv(65536):
            answer += chunk
    return answer


def status(answer: bytes) -> int:
    """The status of an answer."""
    return int(answer.split(b" ", 2)[1])


def alive(port: int) -> None:
    """Whether others are answered, and soon."""
    begun = time.perf_counter()
    assert httpx.get(f"http://127.0.0.1:{port}/api/state", timeout=PATIENCE).status_code == 200
    assert time.perf_counter() - begun < 10.0


def with_policy(answer: bytes) -> None:
    """The headers that every answer of the program has."""
    head = answer.split(b"\r\n\r\n", 1)[0].lower()
    for name in (
        b"content-security-policy: default-src 'none'",
        b"x-content-type-options: nosniff",
        b"referrer-policy:",
    ):
        assert name in head, answer[:300]
    assert b"access-control-" not in head


HOSTS = (
    "",
    "Host: evil.example\r\n",
    "Host: 127.0.0.1.evil.example:{port}\r\n",
    "Host: user@127.0.0.1:{port}\r\n",
    "Host: 127.0.0.1:{port}@evil.example\r\n",
    "Host: 127.0.0.1:{other}\r\n",
    "Host: [::ffff:127.0.0.1]:{port}\r\n",
    "Host: [0:0:0:0:0:0:0:1]:{port}\r\n",
    "Host: 127.0.0.1:{port}, evil.example\r\n",
    "Host: 127.0.0.1:0{port}\r\n",
    "Host: 127.0.0.1:{port}\r\nHost: evil.example\r\n",
    "Host: evil.example\r\nHost: 127.0.0.1:{port}\r\n",
    "Host: 127.0.0.1:{port}\r\nHost: 127.0.0.1:{port}\r\n",
    "X-Forwarded-Host: 127.0.0.1:{port}\r\nHost: evil\r\n",
    "Host: \xff\xfe:{port}\r\n",
    "Host: 127.0.0.1:{port}/\r\n",
    "Host: localhost.evil.example:{port}\r\n",
)


@pytest.mark.parametrize("host", HOSTS)
@pytest.mark.parametrize("version", ["1.0", "1.1"])
def test_a_foreign_host_is_refused(port: int, host: str, version: str) -> None:
    headers = host.format(port=port, other=port + 1)
    answer = said(port, f"GET /api/state HTTP/{version}\r\n{headers}Connection: close\r\n\r\n".encode("latin-1"))
    assert status(answer) == 400
    assert b'"texts"' not in answer and b"white oak" not in answer


TARGETS = ("http://evil.example/api/state", "//evil.example/api/state", "*", "/api/state/../state")


@pytest.mark.parametrize("target", TARGETS)
def test_a_foreign_target_leads_nowhere(port: int, target: str) -> None:
    answer = said(port, f"GET {target} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nConnection: close\r\n\r\n".encode())
    assert status(answer) in (400, 404)
    with_policy(answer)


@pytest.mark.parametrize("method", ["GET", "POST", "OPTIONS", "PUT", "DELETE"])
@pytest.mark.parametrize(
    "origin", ["null", "http://evil.example", "https://127.0.0.1:{port}", "http://127.0.0.1:{other}", ""]
)
def test_a_foreign_origin_is_refused(port: int, method: str, origin: str) -> None:
    headers = {"origin": origin.format(port=port, other=port + 1)}
    answer = httpx.request(method, f"http://127.0.0.1:{port}/api/state", headers=headers, timeout=PATIENCE)
    assert answer.status_code == 403
    assert not any(name.startswith("access-control-") for name in answer.headers)


PATHS = (
    "/static/../server.py",
    "/static/%2e%2e/server.py",
    "/static/..%2fserver.py",
    "/static/%2e%2e%2fserver.py",
    "/static/%252e%252e/server.py",
    "/static//etc/passwd",
    "/static/%2fetc/passwd",
    "/static/..%5cserver.py",
    "/static/main.js%00",
    "/static/%00",
    "/static/con",
    "/static/aux.js",
    "/static/nul",
    "/static/MAIN.JS",
    "/static/main.js::$DATA",
    "/static/%ff%fe",
    "/static/%ed%a0%80.js",
    "/static/" + "a/" * 2000,
    "/static/" + "a" * 20_000,
    "/STATIC/main.js",
    "/static",
    "/static/.",
    "/static/..",
    "/static/./main.js/../../server.py",
    "/static/vendor/../../page.py",
    "/api/file?name=../p.piece.yaml",
    "/api/file?name=%2e%2e%2fsecret.piece.yaml",
    "/api/file?name=/etc/passwd",
    "/api/file?name=link.piece.yaml",
    "/api/file?name=up/secret.piece.yaml",
    "/api/file?name=p.piece.yaml%00",
    "/api/file?name=CON",
    "/api/file?name=" + "a" * 5000,
    "/api/file?name=%ff",
    "/api/guide?topic=../../pyproject",
    "/api/drawing?key=..&number=1",
    "/api/sheet?key=../../etc/passwd",
    "/api/page?key=%00&page=1&revision=1",
)


@pytest.mark.parametrize("path", PATHS, ids=lambda path: path[:40])
def test_no_path_leads_out(port: int, path: str) -> None:
    answer = said(port, f"GET {path} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nConnection: close\r\n\r\n".encode())
    assert status(answer) in (400, 404, 422), answer[:300]
    assert b"import annotations" not in answer and b"A secret" not in answer and b"root:" not in answer
    with_policy(answer)


FILES = (
    "../secret.piece.yaml",
    "up/secret.piece.yaml",
    "link.piece.yaml",
    "/etc/passwd",
    "..\\secret.piece.yaml",
    "p.piece.yaml\0",
    "./p.piece.yaml",
    "con.piece.yaml",
    "C:\\p.piece.yaml",
    "\\\\host\\p.piece.yaml",
    "p.piece.yaml:x",
    "%2e%2e/secret.piece.yaml",
    "~/p.piece.yaml",
    "\ud800.piece.yaml",
    "a" * 290 + ".piece.yaml",
    "p.piece.yaml/",
    ".hidden.piece.yaml",
    "p.piece.yaml.",
)


@pytest.mark.parametrize("file", FILES, ids=lambda file: ascii(file)[:30])
def test_nothing_outside_is_opened_or_begun(port: int, root: Path, file: str) -> None:
    for path, body in (("open", {"file": file}), ("new", {"example": "empty", "folder": file[-60:]})):
        content = json.dumps(body).encode()
        headers = {"content-type": "application/json"}
        answer = httpx.post(f"http://127.0.0.1:{port}/api/{path}", content=content, headers=headers, timeout=PATIENCE)
        assert answer.status_code in (404, 422), answer.text
        assert "secret" not in answer.text.replace(file, "").replace("secret.piece.yaml", "")
    there = sorted(path.name for path in root.iterdir() if not path.name.startswith("."))
    assert there == ["link.piece.yaml", "p.piece.yaml", "up"]
    assert not (root.parent / "p.piece.yaml").exists()


ROUTES = ("open", "new", "live", "edit", "edit/preview", "undo", "redo", "reload", "save", "complete")


@pytest.mark.parametrize("route", ROUTES)
def test_a_body_without_end_is_cut_off(port: int, route: str) -> None:
    """By its stated length at once; without one as soon as it is more than the limit."""
    head = f"POST /api/{route} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nContent-Type: application/json\r\n"
    head += "Connection: close\r\n"
    stated = said(port, f"{head}Content-Length: 5000001\r\n\r\n".encode())
    assert status(stated) == 413
    with_policy(stated)
    chunk = b"f4240\r\n" + b"x" * 1_000_000 + b"\r\n"
    with line(port) as one:
        one.sendall(f"{head}Transfer-Encoding: chunked\r\n\r\n".encode())
        sent = 0
        try:
            while sent < 20:
                one.sendall(chunk)
                sent += 1
            answer = one.recv(65536)
        except OSError:  # it was refused while we were still sending
            answer = b"HTTP/1.1 413 "
    assert status(answer) == 413


def test_requests_that_are_half_sent_hold_nobody_up(port: int) -> None:
    head = f"POST /api/edit HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nContent-Type: application/json\r\n"
    halves = (
        f"{head}Content-Length: 900\r\n\r\n{{",
        f"{head}Transfer-Encoding: chunked\r\n\r\n3\r\n{{",
        "GET /api/state HT",
        "",
        f"GET /api/events HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\n\r\n",
    )
    lines = []
    try:
        for number in range(100):
            one = line(port)
            one.sendall(halves[number % len(halves)].encode())
            lines.append(one)
        alive(port)
    finally:
        for one in lines:
            one.close()
    alive(port)


@pytest.mark.parametrize(
    "content",
    [
        b'{"revision": ' + b"[" * 100_000 + b"]" * 100_000 + b"}",
        b'{"revision": 1, "changes": [' + b'{"a":' * 900 + b"1" + b"}" * 900 + b"]}",
        b'{"revision": ' + b"9" * 100_000 + b"}",
        b'{"revision": NaN}',
        b'{"revision": 1e999}',
        b'{"revision": -Infinity}',
        b"\xef\xbb\xbf{}",
        b"\xff" * 1000,
        b'{"a": "' + b"\\ud800" * 1000 + b'"}',
        b'{"revision": 1, "revision": 2}',
        b"[" + b"0," * 2_000_000 + b"0]",
        b'{"revision": 1, "sizes": {' + b'"a": "1",' * 300_000 + b'"b": "1"}}',
    ],
    ids=[
        "deep",
        "deep within",
        "long number",
        "nan",
        "beyond",
        "infinity",
        "mark",
        "bytes",
        "halves",
        "twice",
        "list",
        "table",
    ],
)
@pytest.mark.parametrize("route", ["live", "edit", "save"])
def test_json_made_to_hurt_is_refused(port: int, route: str, content: bytes) -> None:
    headers = {"content-type": "application/json"}
    answer = httpx.post(f"http://127.0.0.1:{port}/api/{route}", content=content, headers=headers, timeout=PATIENCE)
    assert answer.status_code in (400, 409, 422), answer.text[:300]
    assert answer.json()["ok"] is False
    alive(port)
