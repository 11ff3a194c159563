"""One small job worked out once: three hall tables on their boards."""

from __future__ import annotations

import shutil
from datetime import UTC, datetime
from pathlib import Path

import pytest

from batchwright.app.live.model import Bench, Worked
from batchwright.app.live.paper import Task
from batchwright.app.load import Kept
from batchwright.storage.folder import Folder

EXAMPLES = Path(__file__).parents[4] / "examples"
MADE = datetime(2026, 9, 21, tzinfo=UTC)


@pytest.fixture(scope="session")
def table_bench(tmp_path_factory: pytest.TempPathFactory) -> tuple[Bench, dict[str, str]]:
    """A bench that has worked the hall table out, and its texts."""
    home = tmp_path_factory.mktemp("table") / "hall-table"
    shutil.copytree(EXAMPLES / "hall-table", home)
    bench = Bench(folder=Folder(home), file="hall-table.job.yaml", kept=Kept())
    _, met = bench.work({}, {})
    return bench, {name: content.decode() for name, content in met.items()}


@pytest.fixture(scope="session")
def table(table_bench: tuple[Bench, dict[str, str]]) -> Worked:
    """The hall table, worked out."""
    bench, texts = table_bench
    model, _ = bench.work(texts, {})
    assert model.worked is not None
    return model.worked


def task_of(worked: Worked, revision: int, looked: str = "") -> Task:
    """What the worker is given for a revision."""
    return Task(
        revision=revision, checked=worked.checked, cutting=worked.cutting, findings=worked.findings, made=MADE,
        looked=looked,
    )  # fmt: skip


@pytest.fixture(scope="session")
def task(table: Worked) -> Task:
    """The hall table as the worker's first task, its cover looked at."""
    return task_of(table, 1, "cover")
