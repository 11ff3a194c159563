"""Questions made up from the server's own description, right ones and wrong ones: never an answer that the description
does not have, and never a failure of the program itself."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import schemathesis
from hypothesis import HealthCheck, given, settings
from hypothesis.errors import Unsatisfiable
from schemathesis import Case
from schemathesis.checks import CHECKS
from schemathesis.generation import GenerationMode
from schemathesis.schemas import BaseSchema
from schemathesis.specs.openapi.checks import positive_data_acceptance

from batchwright.web.server import create_app

EXAMPLES = Path(__file__).parents[2] / "examples"
PORT = 8400
MADE_UP = 12
"""Questions of each sort; thousands were tried once, see `docs/server-safety.md`."""
OF_OTHER_SERVERS = ("ignored_auth", "missing_required_header", "use_after_free", "ensure_resource_availability")
OF_MEANING = ("open", "new", "edit", "edit/preview", "cut")
"""Questions that may be rightly formed and yet name a part, a file or a folder that will not do."""
EXCLUDED = [check for check in CHECKS.get_all() if check.__name__ in OF_OTHER_SERVERS]
"""Checks of servers with users, or with resources that are made and deleted."""


@pytest.fixture(scope="module")
def described(tmp_path_factory: pytest.TempPathFactory) -> Iterator[BaseSchema]:
    """The description of a server with the stool open; the stream of news, which never ends, left out."""
    root = tmp_path_factory.mktemp("fuzzed")
    shutil.copytree(EXAMPLES / "splayed-stool", root / "stool")
    app = create_app(root, "stool/stool.job.yaml", PORT)

    async def by_its_name(scope: dict[str, Any], receive: Any, send: Any) -> None:
        """The fuzzer's client calls every server `testserver`, and starts and ends it at every question."""
        while scope["type"] == "lifespan":
            step = str((await receive())["type"])
            await send({"type": f"{step}.complete"})
            if step == "lifespan.shutdown":
                return
        if scope["type"] == "http":
            headers = [(name, value) for name, value in scope["headers"] if name != b"host"]
            scope = {**scope, "headers": [*headers, (b"host", f"127.0.0.1:{PORT}".encode())]}
        await app(scope, receive, send)

    schema: Any = schemathesis.openapi.from_asgi("/api/openapi.json", by_its_name)
    yield schema.exclude(path="/api/events")
    app.app.state.door.close()  # type: ignore[attr-defined]


WAYS = (
    ("GET", "start"), ("POST", "open"), ("POST", "new"), ("GET", "state"), ("GET", "outside"), ("POST", "live"),
    ("POST", "edit"), ("POST", "edit/preview"), ("POST", "cut"), ("POST", "undo"), ("POST", "redo"), ("POST", "reload"),
    ("POST", "save"), ("GET", "sheets"), ("GET", "sheet"), ("GET", "page"), ("GET", "drawing"), ("GET", "files"),
    ("GET", "file"), ("GET", "words"), ("GET", "guide"), ("POST", "complete"),
)  # fmt: skip


def test_every_way_of_asking_is_tried(described: BaseSchema) -> None:
    found = {(one.ok().method.upper(), one.ok().path) for one in described.get_all_operations()}
    assert found == {(way, f"/api/{name}") for way, name in WAYS}


@pytest.mark.parametrize("mode", list(GenerationMode), ids=lambda mode: str(mode.value))
@pytest.mark.parametrize(("way", "name"), WAYS, ids=lambda value: str(value))
def test_every_answer_is_as_described(described: BaseSchema, way: str, name: str, mode: GenerationMode) -> None:
    operation = described[f"/api/{name}"][way]

    @given(case=operation.as_strategy(generation_mode=mode))
    @settings(
        max_examples=MADE_UP, deadline=None, derandomize=True, database=None, suppress_health_check=list(HealthCheck)
    )
    def probed(case: Case) -> None:
        response = case.call()
        excluded = [*EXCLUDED, positive_data_acceptance] if name in OF_MEANING else EXCLUDED
        case.validate_response(response, excluded_checks=excluded)
        assert response.status_code < 500
        if response.status_code >= 400:
            shape = response.json()
            assert shape["ok"] is False
            assert all(fault["what"] and fault["mend"] for fault in shape["faults"])

    try:
        probed()
    except Unsatisfiable:
        assert mode is GenerationMode.NEGATIVE, "there is no wrong way of asking nothing"
