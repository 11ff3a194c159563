"""Questions by one who knows the server and means harm: every answer is a declared one, in its shape, without a failure
of the program. Many thousands are asked by `python3 run.py test bench asking`."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from random import Random

import pytest
from starlette.testclient import TestClient

from batchwright.app.live import session
from batchwright.app.live.paper import Task
from batchwright.app.live.worker import Worker
from batchwright.web.server import create_app
from questions import PORT, Prober, laid_out

ASKED = 120


class Idle(Worker):
    """A worker that makes no paper: the questions here are of the desk."""

    def submit(self, task: Task) -> None:
        """Nothing is done."""


@pytest.fixture
def prober(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Prober]:
    """A prober of a server with the stool open."""
    monkeypatch.setattr(session, "Worker", Idle)
    app = create_app(laid_out(tmp_path), "stool/stool.job.yaml", PORT)
    base = f"http://127.0.0.1:{PORT}"
    with TestClient(app, base_url=base, raise_server_exceptions=False) as client:
        yield Prober(client, tmp_path, Random(20261125))


def test_no_question_brings_the_server_down(prober: Prober) -> None:
    prober.run(ASKED)
    assert not prober.troubles, "\n\n".join(prober.troubles[:5])
    done = [one for one in prober.statuses if one.endswith(" 200")]
    assert len(done) >= 6, f"most ways of asking must also succeed: {prober.statuses}"
