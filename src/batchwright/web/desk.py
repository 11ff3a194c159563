"""The one desk of a server, and the one thread that may touch it: questions are answered in turn, none blocks others'
connections."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from typing import ParamSpec, TypeVar

from starlette.requests import Request

from batchwright.app.live.studio import Studio

P = ParamSpec("P")
T = TypeVar("T")


class GoneError(Exception):
    """Whoever asked has gone, or asked again: nobody waits for this answer."""


class DeskDoor:
    """Asks the studio, one question after the other."""

    def __init__(self, studio: Studio) -> None:
        self.studio = studio
        self.closing = False
        self._turn = asyncio.Lock()
        self._thread = ThreadPoolExecutor(max_workers=1, thread_name_prefix="desk")

    async def opened(self) -> None:
        """Wait until the first piece is open. Raises RefusedError where nothing is open and nothing is to be."""
        if self.studio.session is None:
            await self.ask(self.studio.here)

    async def ask(self, question: Callable[P, T], *args: P.args, **kwargs: P.kwargs) -> T:
        """The answer to a question, in its turn."""
        async with self._turn:
            return await self._run(lambda: question(*args, **kwargs))

    async def ask_for(self, request: Request, question: Callable[[], T]) -> T:
        """The answer, unless whoever asked has gone by the time it is his turn. Raises GoneError."""
        async with self._turn:
            if await request.is_disconnected():
                raise GoneError
            return await self._run(question)

    async def _run(self, question: Callable[[], T]) -> T:
        return await asyncio.get_running_loop().run_in_executor(self._thread, question)

    def let_go(self) -> None:
        """End the streams and the worker; whoever waits for paper gets none."""
        self.closing = True
        self.studio.close()

    def close(self) -> None:
        """Let go of everything."""
        self.let_go()
        self._thread.shutdown(wait=False, cancel_futures=True)
