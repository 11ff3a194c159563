"""The sheets as they print, what stands on them, and files to take away."""

from __future__ import annotations

import asyncio
from concurrent.futures import Future
from typing import Annotated, Any, TypeVar
from urllib.parse import quote

from fastapi import APIRouter, Query
from starlette.responses import Response

from batchwright.app.live.refusal import Why, refused
from batchwright.web.bodies import Success
from batchwright.web.desk import DeskDoor
from batchwright.web.shapes import success

SVG = "image/svg+xml"
TYPES = {
    "pdf": "application/pdf",
    "csv": "text/csv; charset=utf-8",
    "json": "application/json",
    "svg": SVG,
    "dxf": "application/dxf",
    "glb": "model/gltf-binary",
    "stl": "model/stl",
    "step": "model/step",
    "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
    "yaml": "application/yaml; charset=utf-8",
}
OTHER = "application/octet-stream"
PICTURE: dict[int | str, dict[str, Any]] = {
    200: {"content": {SVG: {"schema": {"type": "string"}}}, "description": "a picture"}
}
ANY_FILE: dict[int | str, dict[str, Any]] = {
    200: {"content": {"*/*": {"schema": {"type": "string", "format": "binary"}}}, "description": "a file"}
}

Key = Annotated[str, Query(min_length=1, max_length=300)]
Number = Annotated[int, Query(ge=1, le=10_000)]
Revision = Annotated[int, Query(ge=0, le=2**53)]
T = TypeVar("T")


def paper_routes(door: DeskDoor) -> APIRouter:
    """Routes that read the paper."""
    api = APIRouter()
    studio = door.studio

    @api.get("/api/sheets", response_model=Success)
    async def sheets() -> Response:
        await door.opened()
        return success(studio.sheets())

    @api.get("/api/sheet", response_model=Success)
    async def sheet(key: Key) -> Response:
        await door.opened()
        told = await _there(studio.sheet(key), "sheet")
        return success(told)

    @api.get("/api/page", response_class=Response, responses=PICTURE)
    async def page(key: Key, page: Number, revision: Revision) -> Response:
        await door.opened()
        return Response(await _there(studio.page(key, page, revision), "page"), media_type=SVG)

    @api.get("/api/drawing", response_class=Response, responses=PICTURE)
    async def drawing(key: Key, number: Number, revision: Revision = 0) -> Response:
        await door.opened()
        return Response(await _there(studio.drawing(key, number), "drawing"), media_type=SVG)

    @api.get("/api/files", response_model=Success)
    async def files() -> Response:
        await door.opened()
        told = await _there(studio.files(), "list")
        return success(told)

    @api.get("/api/file", response_class=Response, responses=ANY_FILE)
    async def file(name: Key) -> Response:
        await door.opened()
        content = await _there(studio.file(name), "file")
        kind = TYPES.get(name.rpartition(".")[2].lower(), OTHER)
        return Response(content, media_type=kind, headers={"content-disposition": _as(door, name)})

    return api


async def _there(answer: Future[T | None], what: str) -> T:
    """The worker's answer, once it is there; a refusal where there is none."""
    found = await asyncio.wrap_future(answer)
    if found is None:
        words = (f"there is no such {what} of the newest revision.", "ask for the list again.")
        raise refused(f"no-such-{what}", words, why=Why.MISSING)
    return found


def _as(door: DeskDoor, name: str) -> str:
    """The name under which a file is kept; one made from what is not saved says of which change it is."""
    stem, dot, end = name.rpartition("/")[2].rpartition(".")
    unsaved = f" (change {door.studio.paper_change}, not saved)" if door.studio.unsaved else ""
    full = f"{stem}{unsaved}{dot}{end}"
    plain = "".join(letter if letter.isascii() and letter not in '"\\' else "_" for letter in full)
    return f"attachment; filename=\"{plain}\"; filename*=UTF-8''{quote(full, safe='')}"
