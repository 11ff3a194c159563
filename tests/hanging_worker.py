"""A worker's process that takes nothing: only a kill ends it. A module of its own, so that a process can import it."""

from __future__ import annotations

import threading
from multiprocessing.connection import Connection


def hangs(line: Connection) -> None:
    """Say that it runs, then wait for ever."""
    line.send("running")
    threading.Event().wait()
