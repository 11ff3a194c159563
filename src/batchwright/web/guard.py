"""What stands before every route: whose page asks, how much it may send, and what the browser may do with an answer."""

from __future__ import annotations

import secrets
from collections.abc import Iterable
from dataclasses import dataclass

from starlette.datastructures import Headers, MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from batchwright.base.fault import Fault, Place
from batchwright.web.shapes import refusal

SAFE = frozenset({"GET", "HEAD", "OPTIONS"})
LARGEST_BODY = 5_000_000
"""Bytes of one question: a text of the longest kind, as JSON, and a little."""

FIXED_HEADERS = {
    "x-content-type-options": "nosniff",
    "referrer-policy": "no-referrer",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "x-frame-options": "DENY",
    "permissions-policy": "camera=(), microphone=(), geolocation=(), payment=(), usb=()",
}


def policy(nonce: str) -> str:
    """What a page of ours may load and do: its own files and nothing else."""
    return "; ".join(
        (
            "default-src 'none'",
            f"script-src 'self' 'nonce-{nonce}'",
            f"style-src 'self' 'nonce-{nonce}'",
            "img-src 'self' data: blob:",
            "connect-src 'self'",
            "font-src 'self'",
            "manifest-src 'self'",
            "base-uri 'none'",
            "form-action 'none'",
            "frame-ancestors 'none'",
        )
    )


@dataclass(frozen=True, slots=True)
class Guard:
    """Around the whole application. `port` is the one that is listened on."""

    app: ASGIApp
    port: int

    @property
    def hosts(self) -> frozenset[str]:
        """Names by which a browser on this machine may call us."""
        names = ("127.0.0.1", "localhost", "[::1]")
        bare = names if self.port == 80 else ()
        return frozenset((*(f"{name}:{self.port}" for name in names), *bare))

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Refuse, or hand on with a limit on what is received and the headers on what is sent."""
        if scope["type"] == "lifespan":
            await self.app(scope, receive, send)
            return
        if scope["type"] != "http":
            await send({"type": "websocket.close", "code": 1008})  # nothing here speaks over sockets (RFC 6455, 7.4.1)
            return
        nonce = secrets.token_urlsafe(18)
        scope["state"] = {**scope.get("state", {}), "nonce": nonce}
        outward = _with_headers(send, nonce, scope["path"].startswith("/api/"))
        told = self._refused(scope)
        if told is not None:
            await refusal(told[0], told[1])(scope, receive, outward)
            return
        await _limited(self.app, scope, receive, outward)

    def _refused(self, scope: Scope) -> tuple[int, Iterable[Fault]] | None:
        headers = Headers(scope=scope)
        hosts = headers.getlist("host")
        if len(hosts) != 1 or hosts[0].lower() not in self.hosts:
            return 400, [_fault("foreign-host", "this server answers to this machine's own name only.")]
        origins = headers.getlist("origin")
        own = {f"http://{host}" for host in self.hosts}
        unsafe = scope["method"] not in SAFE
        if len(origins) > 1 or any(origin.lower() not in own for origin in origins):
            return 403, [_fault("foreign-origin", "another page asked; only this server's own page may.")]
        if headers.get("sec-fetch-site", "none") not in ("none", "same-origin") and (unsafe or _is_api(scope)):
            return 403, [_fault("foreign-origin", "another page asked; only this server's own page may.")]
        length = headers.get("content-length", "0")
        if not length.isascii() or not length.isdigit():
            return 400, [_fault("length-not-said", "the length of the question is no number.")]
        if len(length) > 12 or int(length) > LARGEST_BODY:
            return 413, [too_large()]
        return None


def _is_api(scope: Scope) -> bool:
    return str(scope["path"]).startswith("/api/")


def _fault(code: str, what: str) -> Fault:
    return Fault(code=code, place=Place(""), what=what, mend="open the page at the address that the server printed.")


def too_large() -> Fault:
    """The fault of a question that is too long."""
    return Fault(
        code="question-too-large",
        place=Place(""),
        what=f"more than {LARGEST_BODY:,} bytes were sent.",
        mend="split the file: one piece to a file.",
    )


class _TooLargeError(Exception):
    pass


async def _limited(app: ASGIApp, scope: Scope, receive: Receive, send: Send) -> None:
    """Run the application; a body that goes on beyond the limit is refused while it comes in, and whatever the
    application would say then is not said."""
    taken, begun, refused = 0, False, False

    async def counted() -> Message:
        nonlocal taken, refused
        message = await receive()
        if message["type"] == "http.request" and not refused:
            taken += len(message.get("body", b""))
            if taken > LARGEST_BODY:
                refused = True
                if not begun:
                    await refusal(413, [too_large()])(scope, receive, send)
                raise _TooLargeError
        return message

    async def noted(message: Message) -> None:
        nonlocal begun
        begun = True
        if not refused:
            await send(message)

    try:
        await app(scope, counted, noted)
    except Exception:
        if not refused:
            raise


def _with_headers(send: Send, nonce: str, no_store: bool) -> Send:
    async def outward(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in FIXED_HEADERS.items():
                headers[name] = value
            headers["content-security-policy"] = policy(nonce)
            if no_store:
                headers["cache-control"] = "no-store"
        await send(message)

    return outward
