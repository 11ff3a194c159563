"""Opening, the state, sizes tried, edits, undo, saving."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import Response

from batchwright.web.bodies import (
    CutBody,
    EditBody,
    Have,
    LiveBody,
    NewBody,
    OpenBody,
    PreviewBody,
    SaveBody,
    Success,
)
from batchwright.web.desk import DeskDoor
from batchwright.web.shapes import success

BINARY = "application/octet-stream"
PACKED: dict[int | str, dict[str, Any]] = {
    200: {"content": {BINARY: {"schema": {"type": "string", "format": "binary"}}}, "description": "packed"}
}


def edit_routes(door: DeskDoor) -> APIRouter:
    """Routes that read or change the desk."""
    api = APIRouter()
    _beginnings(api, door)
    _changes(api, door)
    _turns(api, door)
    return api


def _beginnings(api: APIRouter, door: DeskDoor) -> None:
    """What there is to open, opening it, and how things stand."""
    studio = door.studio

    @api.get("/api/start", response_model=Success)
    async def start() -> Response:
        return success(await door.ask(studio.start))

    @api.post("/api/open", response_model=Success)
    async def open_file(body: OpenBody) -> Response:
        return success(await door.ask(studio.open, body.file))

    @api.post("/api/new", response_model=Success)
    async def new(body: NewBody) -> Response:
        return success(await door.ask(studio.new, body.example, body.folder))

    @api.get("/api/state", response_model=Success)
    async def state() -> Response:
        return success(await door.ask(studio.state))

    @api.get("/api/outside", response_model=Success)
    async def outside() -> Response:
        return success(await door.ask(studio.outside))


def _changes(api: APIRouter, door: DeskDoor) -> None:
    """Sizes tried, changes made, what they would make, and saving."""
    studio = door.studio

    @api.post("/api/live", response_class=Response, responses=PACKED)
    async def live(body: LiveBody, request: Request) -> Response:
        answer = await door.ask_for(request, lambda: studio.live(body.revision, body.sizes, body.have))
        return Response(answer, media_type=BINARY)

    @api.post("/api/edit", response_class=Response, responses=PACKED)
    async def edit(body: EditBody) -> Response:
        answer = await door.ask(studio.edit, body.revision, body.label, body.changes, body.have)
        return Response(answer, media_type=BINARY)

    @api.post("/api/cut", response_class=Response, responses=PACKED)
    async def cut(body: CutBody) -> Response:
        answer = await door.ask(studio.cut, body.revision, body.parts, body.undo, body.have)
        return Response(answer, media_type=BINARY)

    @api.post("/api/edit/preview", response_model=Success)
    async def preview(body: PreviewBody) -> Response:
        return success(await door.ask(studio.preview, body.revision, body.changes))

    @api.post("/api/save", response_model=Success)
    async def save(body: SaveBody) -> Response:
        return success(await door.ask(studio.save, body.revision, body.over))


def _turns(api: APIRouter, door: DeskDoor) -> None:
    """Undo, redo and reload: the same question with another word."""

    async def turned(which: str, body: Have) -> Response:
        return Response(await door.ask(door.studio.turn, which, body.revision, body.have), media_type=BINARY)

    @api.post("/api/undo", response_class=Response, responses=PACKED)
    async def undo(body: Have) -> Response:
        return await turned("undo", body)

    @api.post("/api/redo", response_class=Response, responses=PACKED)
    async def redo(body: Have) -> Response:
        return await turned("redo", body)

    @api.post("/api/reload", response_class=Response, responses=PACKED)
    async def reload(body: Have) -> Response:
        return await turned("reload", body)
