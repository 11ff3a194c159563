"""The language and the guide."""

from __future__ import annotations

import asyncio
from typing import Annotated

from fastapi import APIRouter, Query
from starlette.responses import Response

from batchwright.web.bodies import CompleteBody, Success
from batchwright.web.desk import DeskDoor
from batchwright.web.shapes import success

Topic = Annotated[str, Query(max_length=120)]


def word_routes(door: DeskDoor) -> APIRouter:
    """Routes that tell what may be written."""
    api = APIRouter()
    studio = door.studio

    @api.get("/api/words", response_model=Success)
    async def words() -> Response:
        return success(await asyncio.to_thread(studio.words))

    @api.get("/api/guide", response_model=Success)
    async def guide(topic: Topic = "") -> Response:
        return success(await asyncio.to_thread(studio.guide, topic))

    @api.post("/api/complete", response_model=Success)
    async def complete(body: CompleteBody) -> Response:
        at = (body.line, body.column)
        return success(await asyncio.to_thread(studio.complete, body.text, body.file, at))

    return api
