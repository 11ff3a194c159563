"""A real server on a free port of this machine, and the system's own Chromium, one for the whole run."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from desk_page import Desk
from piece_files import EXAMPLES

NAMES = ("chromium", "chromium-browser", "chrome")


def chromium() -> str | None:
    """The system's browser, if there is one."""
    return next((found for name in NAMES if (found := shutil.which(name))), None)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Without a browser these tests are skipped; where everything must run (CI), they fail."""
    here = Path(__file__).parent
    if chromium() or os.environ.get("CI") == "true":
        return
    mark = pytest.mark.skip(reason="no Chromium on the PATH: apt install chromium")
    for item in items:
        if here in item.path.parents:
            item.add_marker(mark)


@pytest.fixture(scope="session")
def browser_type_launch_args() -> dict[str, object]:
    """How the browser is started: the system's, with no window, WebGL in software."""
    found = chromium()
    if found is None:
        pytest.fail("no Chromium on the PATH, and CI=true: apt install chromium")
    return {"executable_path": found, "args": ["--no-sandbox"], "headless": True}


@pytest.fixture(scope="session")
def browser_context_args() -> dict[str, object]:
    """A desk's screen; tests of other screens make their own."""
    return {"viewport": {"width": 1440, "height": 900}}


@pytest.fixture(scope="module")
def serve(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Callable[..., Desk]]:
    """`serve(example, file)`: a server over a fresh copy of an example; `serve()`: over an empty folder. All end with
    the module: a server that lays boards for nobody is only in the way of the next."""
    running: list[subprocess.Popen[str]] = []

    def start(example: str = "", file: str = "") -> Desk:
        folder = tmp_path_factory.mktemp("desk") / "project"
        if example:
            shutil.copytree(EXAMPLES / example, folder)
        else:
            folder.mkdir()
        command = [sys.executable, "-m", "batchwright", "serve", str(folder / file), "--no-open", "--json"]
        process = subprocess.Popen(
            command, stdout=subprocess.PIPE, stderr=(folder.parent / "said").open("w"), text=True, cwd=folder
        )
        running.append(process)
        assert process.stdout is not None
        line = process.stdout.readline()
        assert line, f"the server did not start: {(folder.parent / 'said').read_text()}"
        return Desk(address=json.loads(line)["address"], folder=folder)

    yield start
    for process in running:
        process.terminate()
    for process in running:
        process.wait(timeout=10)
