"""Listening on this machine: a port, the server, and its clean end."""

from __future__ import annotations

import gc
import socket
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import uvicorn

from batchwright.web.server import create_app, end_streams

HERE = "127.0.0.1"
FIRST_PORT = 8321
TRIES = 20
SELDOM = (50_000, 20, 50)
"""How often memory is searched for what hangs in a ring: records hardly ever do, and a search takes from an answer."""
GRACE = 5
"""How long whoever is being answered is waited for at the end [s]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """What to serve: a folder, the file to open, and the port; None takes the first that is free."""

    root: Path
    first: str
    port: int | None


def listen(port: int | None) -> socket.socket:
    """A listening socket on the loopback address.

    Raises
    ------
    OSError
        If the port is taken.
    """
    ports = [port] if port is not None else [*range(FIRST_PORT, FIRST_PORT + TRIES), 0]
    last: OSError | None = None
    for one in ports:
        taken = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
        try:
            _reuse(taken)
            taken.bind((HERE, one))
            taken.listen(128)
            return taken
        except OSError as problem:
            taken.close()
            last = problem
    raise last if last is not None else OSError("no port")


def _reuse(one: socket.socket) -> None:
    """A port that has just been let go may be taken again; on Windows that word means another thing."""
    if hasattr(socket, "SO_EXCLUSIVEADDRUSE"):
        one.setsockopt(socket.SOL_SOCKET, socket.SO_EXCLUSIVEADDRUSE, 1)
    else:
        one.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)


def serve(wish: Wish, told: Callable[[str], None]) -> None:
    """Serve until interrupted; `told` is called with the address once the socket answers.

    Raises
    ------
    OSError
        If the port is taken.
    """
    gc.set_threshold(*SELDOM)
    with listen(wish.port) as one:
        port = int(one.getsockname()[1])
        app = create_app(wish.root, wish.first, port)
        config = uvicorn.Config(
            app, log_level="warning", access_log=False, server_header=False, date_header=False,
            timeout_graceful_shutdown=GRACE, lifespan="on", ws="none", h11_max_incomplete_event_size=32_768,
        )  # fmt: skip
        server = _Server(config, lambda: told(f"http://{HERE}:{port}/"), lambda: end_streams(app))
        server.run(sockets=[one])


class _Server(uvicorn.Server):
    """Tells when it answers, and lets streams end when it is to stop."""

    def __init__(self, config: uvicorn.Config, ready: Callable[[], None], ending: Callable[[], None]) -> None:
        super().__init__(config)
        self._ready = ready
        self._ending = ending

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        await super().startup(sockets)
        if self.started:
            self._ready()

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        self._ending()
        await super().shutdown(sockets)
