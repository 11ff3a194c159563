"""The page's own files: the right types, no file from elsewhere, and none sent twice unchanged."""

from __future__ import annotations

from pathlib import Path

import pytest
from starlette.requests import Request
from starlette.responses import Response

from batchwright.web.files import served


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """A folder of files, with a secret beside it and links of every sort."""
    home = tmp_path / "static"
    (home / "shell").mkdir(parents=True)
    for name, text in (
        ("main.js", "go()"),
        ("shell/a.css", "a{}"),
        ("mark.svg", "<svg/>"),
        (".env", "key"),
        ("x.py", ""),
    ):
        (home / name).write_text(text)
    (tmp_path / "secret.js").write_text("secret")
    (home / "link.js").symlink_to(tmp_path / "secret.js")
    (home / "up").symlink_to(tmp_path)
    return home


def ask(home: Path, name: str, tag: str = "") -> Response:
    """The answer to a question for a file."""
    headers = [(b"if-none-match", tag.encode())] if tag else []
    return served(home, name, Request({"type": "http", "method": "GET", "path": "/", "headers": headers}))


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        ("main.js", "text/javascript; charset=utf-8"),
        ("shell/a.css", "text/css; charset=utf-8"),
        ("mark.svg", "image/svg+xml"),
    ],
)
def test_a_file_comes_with_its_type(home: Path, name: str, kind: str) -> None:
    answer = ask(home, name)
    assert answer.status_code == 200
    assert answer.headers["content-type"] == kind


@pytest.mark.parametrize(
    "name",
    [
        "", ".", "..", "../secret.js", "shell/../../secret.js", "shell/../main.js", "/etc/passwd", "//etc/passwd",
        "link.js", "up/secret.js", ".env", "shell/.x", "x.py", "missing.js", "shell", "main.js\0", "main.js\0.css",
        "..\\secret.js", "C:\\secret.js", "C:secret.js", "main.js:stream", "a" * 6000 + ".js", "\ud800.js",
    ],
)  # fmt: skip
def test_nothing_else_is_served(home: Path, name: str) -> None:
    answer = ask(home, name)
    assert answer.status_code == 404
    assert b"secret" not in answer.body and b"root:" not in bytes(answer.body)


def test_an_unchanged_file_is_not_sent_again(home: Path) -> None:
    first = ask(home, "main.js")
    assert first.headers["cache-control"] == "no-cache"
    again = ask(home, "main.js", first.headers["etag"])
    assert (again.status_code, again.body) == (304, b"")
    (home / "main.js").write_text("go(2)")
    assert ask(home, "main.js", first.headers["etag"]).status_code == 200
