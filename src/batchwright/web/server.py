"""The server: its routes, its guard, and how every failure is told in one shape."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path

from fastapi import FastAPI
from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response

from batchwright import __version__
from batchwright.app.live.refusal import RefusedError
from batchwright.app.live.studio import Studio
from batchwright.web.api.edits import edit_routes
from batchwright.web.api.events import event_routes
from batchwright.web.api.paper import paper_routes
from batchwright.web.api.words import word_routes
from batchwright.web.bodies import Refusal
from batchwright.web.desk import DeskDoor, GoneError
from batchwright.web.files import served
from batchwright.web.guard import Guard
from batchwright.web.page import STATIC, page
from batchwright.web.shapes import plain_fault, refusal, refused

GONE = 499
"""Nobody reads this answer."""
REFUSALS = {status: {"model": Refusal, "description": "refused"} for status in (400, 403, 404, 405, 409, 413, 422)}


def create_app(root: Path, first: str = "", port: int = 0) -> Guard:
    """The application for one folder. `first` is opened at once; `port` is the one that will be listened on."""
    studio = Studio(root=root, first=first)

    @asynccontextmanager
    async def life(app: FastAPI) -> AsyncIterator[None]:
        door = app.state.door
        warming = asyncio.create_task(door.ask(studio.warm))
        yield
        warming.cancel()
        door.close()

    app = FastAPI(
        title="Batchwright",
        version=__version__,
        description="What the page asks of the server on this machine.",
        openapi_url="/api/openapi.json",
        docs_url=None,
        redoc_url=None,
        redirect_slashes=False,
        lifespan=life,
        responses=REFUSALS,  # type: ignore[arg-type]
    )
    door = DeskDoor(studio)
    app.state.door = door
    for routes in (edit_routes(door), event_routes(door), paper_routes(door), word_routes(door)):
        app.include_router(routes)
    _pages(app, studio)
    _failures(app)
    return Guard(app, port)


def end_streams(guarded: Guard) -> None:
    """Let whoever listens to the news or waits for paper go: the server is to stop."""
    if isinstance(guarded.app, FastAPI):
        guarded.app.state.door.let_go()


def _pages(app: FastAPI, studio: Studio) -> None:
    @app.get("/", include_in_schema=False)
    async def front(request: Request) -> Response:
        return page(request, studio.opened)

    @app.get("/static/{name:path}", include_in_schema=False)
    async def static(name: str, request: Request) -> Response:
        return served(STATIC, name, request)


def _failures(app: FastAPI) -> None:
    """Every failure in the one error shape."""

    @app.exception_handler(RefusedError)
    async def of_the_desk(request: Request, error: RefusedError) -> Response:
        return refused(error)

    @app.exception_handler(RequestValidationError)
    async def of_the_question(request: Request, error: RequestValidationError) -> Response:
        faults = []
        for one in error.errors()[:20]:
            where = " ".join(str(step) for step in one["loc"])[:200]
            faults.append(
                plain_fault("question-misread", f"{where}: {one['msg']}.", "send what the route's page asks.")
            )
        unread = any(one["type"] == "json_invalid" for one in error.errors())
        return refusal(400 if unread else 422, faults)

    @app.exception_handler(HTTPException)
    async def of_the_route(request: Request, error: HTTPException) -> Response:
        fault = plain_fault("no-such-question", f"{error.detail}.", "open the page anew.")
        answer = refusal(error.status_code, [fault])
        answer.headers.update(error.headers or {})
        return answer

    @app.exception_handler(GoneError)
    async def of_nobody(request: Request, error: GoneError) -> Response:
        return Response(status_code=GONE)

    @app.exception_handler(Exception)
    async def of_ours(request: Request, error: Exception) -> Response:
        what = f"the program itself failed ({type(error).__name__})."
        mend = "nothing of yours was changed. Start it with BATCHWRIGHT_DEBUG=1 and report what it prints."
        return refusal(500, [plain_fault("our-fault", what, mend)])
