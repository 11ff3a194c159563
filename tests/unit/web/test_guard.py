"""The guard before every route: whose page asks, how much is sent, and what goes out with every answer."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import PlainTextResponse, Response
from starlette.routing import Route
from starlette.testclient import TestClient
from starlette.websockets import WebSocketDisconnect

from batchwright.web.guard import LARGEST_BODY, Guard

PORT = 8400
OWN = f"http://127.0.0.1:{PORT}"


async def echo(request: Request) -> Response:
    """How much was sent."""
    return PlainTextResponse(str(len(await request.body())))


@pytest.fixture
def client() -> TestClient:
    """A client of a guarded application that does nothing."""
    routes = [Route("/", echo), Route("/api/echo", echo, methods=["GET", "POST", "PUT", "DELETE"])]
    return TestClient(Guard(Starlette(routes=routes), PORT), base_url=OWN)


def codes(response: Response | object) -> list[str]:
    """The fault codes of a refusal, whose shape is always the same."""
    shape = response.json()  # type: ignore[union-attr]
    assert shape["ok"] is False
    assert all(
        set(fault) >= {"code", "level", "file", "line", "column", "what", "why", "mend"} for fault in shape["faults"]
    )
    return [fault["code"] for fault in shape["faults"]]


@pytest.mark.parametrize("host", [f"127.0.0.1:{PORT}", f"localhost:{PORT}", f"[::1]:{PORT}", f"LOCALHOST:{PORT}"])
def test_this_machine_is_answered(client: TestClient, host: str) -> None:
    assert client.get("/", headers={"host": host}).status_code == 200


@pytest.mark.parametrize(
    "host",
    [
        "evil.example", f"evil.example:{PORT}", f"127.0.0.1.evil.example:{PORT}", "127.0.0.1", "localhost",
        f"127.0.0.1:{PORT + 1}", f"127.0.0.2:{PORT}", f"0.0.0.0:{PORT}", f"user@127.0.0.1:{PORT}", f"[::]:{PORT}", "",
        f"localhost.:{PORT}", f"2130706433:{PORT}", f"127.1:{PORT}",
    ],
)  # fmt: skip
def test_any_other_host_is_refused(client: TestClient, host: str) -> None:
    """A name that leads here by a changed name server (DNS rebinding) is not ours."""
    for path in ("/", "/api/echo"):
        response = client.get(path, headers={"host": host})
        assert response.status_code == 400
        assert codes(response) == ["foreign-host"]


@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE"])
@pytest.mark.parametrize(
    "origin",
    [
        "null", "http://evil.example", f"http://evil.example:{PORT}", f"http://127.0.0.1:{PORT + 1}", "http://127.0.0.1",
        f"https://127.0.0.1:{PORT}", f"http://127.0.0.1:{PORT}.evil.example", f"file://127.0.0.1:{PORT}", "",
    ],
)  # fmt: skip
def test_another_page_may_change_nothing(client: TestClient, method: str, origin: str) -> None:
    response = client.request(method, "/api/echo", headers={"origin": origin})
    assert response.status_code == 403
    assert codes(response) == ["foreign-origin"]


@pytest.mark.parametrize("origin", [OWN, f"http://localhost:{PORT}", f"http://[::1]:{PORT}"])
def test_our_own_page_may(client: TestClient, origin: str) -> None:
    assert client.post("/api/echo", headers={"origin": origin}, content=b"abc").text == "3"


def test_who_is_no_browser_may(client: TestClient) -> None:
    assert client.post("/api/echo", content=b"abc").text == "3"


@pytest.mark.parametrize("site", ["cross-site", "same-site"])
def test_a_browser_that_says_another_site_asks_is_believed(client: TestClient, site: str) -> None:
    headers = {"sec-fetch-site": site}
    assert client.get("/api/echo", headers=headers).status_code == 403
    assert client.post("/api/echo", headers=headers).status_code == 403
    assert client.get("/", headers=headers).status_code == 200, "a link to the page may be followed"


def test_a_body_said_to_be_too_long_is_refused_unread(client: TestClient) -> None:
    response = client.post("/api/echo", content=b"x", headers={"content-length": str(LARGEST_BODY + 1)})
    assert response.status_code == 413
    assert codes(response) == ["question-too-large"]


def test_a_body_that_goes_on_too_long_is_refused_while_it_comes(client: TestClient) -> None:
    sent = 0

    def endless() -> Iterator[bytes]:
        nonlocal sent
        while sent <= 3 * LARGEST_BODY:
            sent += 100_000
            yield b"x" * 100_000

    response = client.post("/api/echo", content=endless())
    assert response.status_code == 413
    assert codes(response) == ["question-too-large"]


def test_the_longest_body_is_taken(client: TestClient) -> None:
    assert client.post("/api/echo", content=b"x" * LARGEST_BODY).text == str(LARGEST_BODY)


@pytest.mark.parametrize("length", ["-1", "1e3", "٣", "0x10", "9" * 40])
def test_a_length_that_is_none_is_refused(client: TestClient, length: str) -> None:
    response = client.post("/api/echo", content=b"x", headers={"content-length": length.encode()})  # type: ignore[dict-item]
    assert response.status_code in (400, 413)


def test_every_answer_carries_the_policy(client: TestClient) -> None:
    for response in (
        client.get("/"),
        client.get("/api/echo"),
        client.get("/nothing"),
        client.get("/", headers={"host": "x"}),
    ):
        headers = response.headers
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["referrer-policy"] == "no-referrer"
        assert headers["cross-origin-opener-policy"] == "same-origin"
        assert headers["cross-origin-resource-policy"] == "same-origin"
        assert "unsafe" not in headers["content-security-policy"]
        assert headers["content-security-policy"].startswith("default-src 'none'")
        assert "frame-ancestors 'none'" in headers["content-security-policy"]


def test_the_nonce_is_another_each_time(client: TestClient) -> None:
    found = [re.findall(r"'nonce-([^']+)'", client.get("/").headers["content-security-policy"]) for _ in range(5)]
    assert all(len(set(nonces)) == 1 and len(nonces[0]) >= 22 for nonces in found), "128 bits or more (CSP 3, 8.1)"
    assert len({nonces[0] for nonces in found}) == 5


def test_answers_to_questions_are_not_kept_by_the_browser(client: TestClient) -> None:
    assert client.get("/api/echo").headers["cache-control"] == "no-store"


def test_no_socket_is_opened_to_anybody(client: TestClient) -> None:
    with pytest.raises(WebSocketDisconnect), client.websocket_connect("/api/echo"):
        pass
