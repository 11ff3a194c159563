"""Thousands of questions by one who knows the server and means harm: `... bench asking [COUNT] [SEED]`."""

from __future__ import annotations

import logging
import sys
import tempfile
from collections import Counter
from pathlib import Path
from random import Random

from starlette.testclient import TestClient

from batchwright.app.live import session
from batchwright.app.live.paper import Task
from batchwright.app.live.worker import Worker
from batchwright.web.server import create_app
from questions import PORT, Prober, laid_out  # in tests/

COUNT = 5000
EACH = 500
"""Questions to one server; then a new one is started in a new folder."""


class Idle(Worker):
    """A worker that makes no paper: the questions here are of the desk."""

    def submit(self, task: Task) -> None:
        """Nothing is done."""


KEPT = Path(__file__).parent / "asking-troubles"


def _keep(troubles: list[str], before: int) -> None:
    """Put each beside this file, with the question and the state it was asked in."""
    for number, trouble in enumerate(troubles, start=before + 1):
        KEPT.mkdir(exist_ok=True)
        (KEPT / f"{number:03}.txt").write_text(trouble, encoding="utf-8", errors="surrogatepass")
        print(f"asking-troubles/{number:03}.txt: {trouble.split(chr(10))[0][-200:]}", file=sys.stderr, flush=True)


def main(words: list[str]) -> int:
    """Ask; 0 if every answer was as it must be."""
    count = int(words[0]) if words else COUNT
    seed = int(words[1]) if len(words) > 1 else 1
    session.Worker = Idle  # type: ignore[misc]
    logging.getLogger("batchwright").setLevel(logging.CRITICAL)
    statuses: Counter[str] = Counter()
    codes: Counter[str] = Counter()
    troubles: list[str] = []
    slowest, asked = (0.0, ""), 0
    while asked < count:
        with tempfile.TemporaryDirectory() as name:
            root = laid_out(Path(name).resolve())
            app = create_app(root, "stool/stool.job.yaml", PORT)
            base = f"http://127.0.0.1:{PORT}"
            with TestClient(app, base_url=base, raise_server_exceptions=False) as client:
                prober = Prober(client, root, Random(seed * 1000 + asked))
                prober.run(min(EACH, count - asked))
        asked += prober.asked
        statuses += prober.statuses
        codes += prober.codes
        slowest = max(slowest, prober.slowest)
        _keep(prober.troubles, len(troubles))
        troubles += prober.troubles
    by_status = Counter(one.rpartition(" ")[2] for one in statuses.elements())
    print(f"{asked} questions, seed {seed}: {dict(sorted(by_status.items()))}; {len(codes)} fault codes met")
    print(f"slowest {slowest[0]:.1f} s of the processor: {slowest[1][:160]}")
    print(f"{len(troubles)} troubles")
    return 1 if troubles else 0
