"""What has changed, told as it happens (server-sent events); the disk is looked at only while somebody listens."""

from __future__ import annotations

import asyncio
import json
from collections.abc import AsyncIterator
from typing import Any

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import StreamingResponse

from batchwright.web.desk import DeskDoor

LOOK = 0.1
"""How often the desk is asked whether anything is new [s]."""
DISK = 1.0
"""How often the disk is [s]."""
QUIET = 15.0
"""After this long without news a comment is sent, so that a lost connection is noticed [s]."""
STREAM: dict[int | str, dict[str, Any]] = {
    200: {"content": {"text/event-stream": {"schema": {"type": "string"}}}, "description": "a stream of events"}
}


def event_routes(door: DeskDoor) -> APIRouter:
    """The stream of events."""
    api = APIRouter()

    @api.get("/api/events", response_class=StreamingResponse, responses=STREAM)
    async def events(request: Request) -> StreamingResponse:
        return StreamingResponse(_told(door, request), media_type="text/event-stream")

    return api


async def _told(door: DeskDoor, request: Request) -> AsyncIterator[bytes]:
    """The desk's pulse whenever it differs from the last one told."""
    loop = asyncio.get_running_loop()
    last, looked, spoke = "", -DISK, loop.time()
    while not door.closing and not await request.is_disconnected():
        now = loop.time()
        if now - looked >= DISK:
            looked = now
            await asyncio.to_thread(door.studio.look_at_disk)
        pulse = json.dumps(door.studio.pulse())
        if pulse != last:
            last, spoke = pulse, now
            yield f"data: {pulse}\n\n".encode()
        elif now - spoke >= QUIET:
            spoke = now
            yield b": still here\n\n"
        await asyncio.sleep(LOOK)
