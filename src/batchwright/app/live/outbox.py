"""What goes to another process, sent from a thread of its own: a process that does not listen holds nobody up."""

from __future__ import annotations

import threading
from contextlib import suppress
from multiprocessing.connection import Connection
from multiprocessing.reduction import ForkingPickler
from queue import SimpleQueue


class Outbox:
    """Messages to one process, in their order. Whoever puts one in never waits, however full the line is."""

    def __init__(self, line: Connection) -> None:
        self._line = line
        self._waiting: SimpleQueue[bytes | None] = SimpleQueue()
        threading.Thread(target=self._send, name="paper outbox", daemon=True).start()

    def put(self, message: object) -> None:
        """Send a message when its turn comes; it is written down now, so that it may change afterwards."""
        self._waiting.put(bytes(ForkingPickler.dumps(message)))

    def close(self) -> None:
        """Send nothing more."""
        self._waiting.put(None)

    def _send(self) -> None:
        with suppress(OSError, ValueError, TypeError):  # the process has died, or its line is closed under us
            while (written := self._waiting.get()) is not None:
                self._line.send_bytes(written)
