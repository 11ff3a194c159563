"""The worker, with a real process: fed, asked, given a newer task, killed; and in this process, step by step."""

from __future__ import annotations

import multiprocessing
import threading
from collections.abc import Callable, Iterator
from dataclasses import replace

import pytest

from batchwright.app.live.paper import BEST, Task
from batchwright.app.live.paper_door import PaperDoor
from batchwright.app.live.paperwork import Ask, Paperwork, Told
from batchwright.app.live.worker import Worker, _merged
from hanging_worker import hangs

PATIENCE = 60.0


def until(ready: Callable[[], bool], what: str) -> None:
    """Wait for a condition."""
    tick = threading.Event()
    for _ in range(int(PATIENCE / 0.01)):
        if ready():
            return
        tick.wait(0.01)
    raise AssertionError(f"waited {PATIENCE} s in vain for {what}")


@pytest.fixture(scope="module")
def worker() -> Iterator[Worker]:
    """One worker for all tests with a process: it takes a second to start."""
    one = Worker()
    yield one
    one.close()


class Desk:
    """As much of a desk as the door looks at."""

    texts = {"table.piece.yaml": "piece: Table\n"}

    def there(self, file: str) -> bool:
        """Whether there is such a text."""
        return file in self.texts


def test_the_newest_task_is_worked_to_its_end(worker: Worker, task: Task) -> None:
    worker.submit(task)
    assert worker.news.working
    until(lambda: worker.news.sheets_revision == 1 and not worker.news.working, "the first revision")
    news = worker.news
    assert news.boards is not None and news.boards["stage"] == BEST
    assert news.boards_revision == 1
    keys = [one["key"] for one in news.sheets]
    assert len(keys) == len(set(keys)) > 20
    assert worker.shown(1, "cover") is not None, "the sheet that is looked at comes unasked"


def test_sheets_pages_and_files_are_had_by_asking(worker: Worker, task: Task) -> None:
    door = PaperDoor(desk=Desk(), worker=worker)  # type: ignore[arg-type]
    told = door.sheet("cutting-list").result(PATIENCE)
    assert told is not None and told["revision"] == 1
    page = door.page("cutting-list", 1, 1).result(PATIENCE)
    assert page is not None and page.startswith(b"<svg")
    assert door.page("cutting-list", 99, 1).result(PATIENCE) is None
    assert door.page("cutting-list", 1, 77).result(PATIENCE) is None, "no page of a revision that was never shown"
    assert door.sheet("no such sheet").result(PATIENCE) is None
    files = door.files().result(PATIENCE)
    assert files is not None
    assert {"name": "table.piece.yaml", "group": "Texts", "words": "as it stands here", "revision": 1} in files["files"]  # type: ignore[operator]
    assert door.file("table.piece.yaml").result(PATIENCE) == b"piece: Table\n"
    csv = door.file("cutting-list.csv").result(PATIENCE)
    assert csv is not None and b"leg" in csv
    assert door.file("../secret").result(PATIENCE) is None


def test_a_newer_task_puts_an_end_to_the_older(worker: Worker, task: Task) -> None:
    worker.submit(replace(task, revision=2))
    worker.submit(replace(task, revision=3))
    until(lambda: worker.news.sheets_revision == 3 and not worker.news.working, "the third revision")
    assert worker.news.boards_revision == 3
    kept = worker.shown(1, "cutting-list")
    assert kept is not None, "what was shown of an older revision is still at hand, to be shown grey"


def test_a_worker_that_dies_is_started_anew(worker: Worker, task: Task) -> None:
    process = worker._process
    assert process is not None
    process.kill()
    worker.submit(replace(task, revision=4))
    until(lambda: worker.news.boards_revision == 4 and not worker.news.working, "the fourth revision")
    assert worker._process is not process


def test_a_closed_worker_answers_nothing(task: Task) -> None:
    one = Worker()
    one.close()
    one.submit(task)
    assert one.ask("files").result(1.0) is None
    assert one._process is None


# --- in this process


def spoken(messages: list[object]) -> list[Told]:
    """All that the worker tells, given these messages at once and then a closed line."""
    ours, theirs = multiprocessing.Pipe()
    for message in [*messages, None]:
        ours.send(message)
    heard: list[Told] = []

    def hear() -> None:
        while True:
            try:
                heard.append(ours.recv())
            except EOFError:
                return

    listener = threading.Thread(target=hear)
    listener.start()
    Paperwork(theirs).work()
    theirs.close()
    listener.join(PATIENCE)
    return heard


def test_of_two_tasks_only_the_newer_is_begun(task: Task) -> None:
    told = _worked([task, replace(task, revision=2)])
    assert {one.revision for one in told if one.what == "began"} == {2}


def test_a_question_of_an_older_revision_is_answered_with_nothing(task: Task) -> None:
    told = _worked([replace(task, revision=5), Ask(number=9, revision=4, what="sheet", name="cover")])
    answers = [one for one in told if one.what == "answer"]
    assert [(one.number, one.found) for one in answers] == [(9, None)]


def test_what_goes_wrong_in_a_task_is_told_and_the_next_is_taken(task: Task) -> None:
    broken = replace(task, cutting=replace(task.cutting, rows=()))
    told = _worked([broken])
    assert [one.revision for one in told if one.what == "trouble"]
    assert _worked([task])[-1].what == "done"


def _worked(messages: list[object]) -> list[Told]:
    """All that is told until the last task is done or in trouble."""
    ours, theirs = multiprocessing.Pipe()
    heard: list[Told] = []

    def hear() -> None:
        while not heard or heard[-1].what not in ("done", "trouble"):
            heard.append(ours.recv())
        ours.send(None)

    listener = threading.Thread(target=hear)
    for message in messages:
        ours.send(message)
    listener.start()
    Paperwork(theirs).work()
    listener.join(PATIENCE)
    return heard


def test_a_closed_line_ends_the_worker(task: Task) -> None:
    assert spoken([]) == []


def test_a_worker_that_hangs_on_an_old_task_is_ended(task: Task, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("batchwright.app.live.worker.HANGS", 1.0)
    one = Worker(target=hangs)
    try:
        one.submit(task)
        first = one._process
        assert first is not None and first.is_alive()
        waiting = one.ask("files")
        until(lambda: one._process is not first and one._process is not None, "another process")
        assert waiting.result(PATIENCE) is None, "whoever waited for the ended one is told so"
        assert not first.is_alive() and first.exitcode != 0
    finally:
        one.close()


def test_a_worker_that_does_not_listen_holds_nobody_up(task: Task) -> None:
    """Far more than a line holds is sent to a process that takes nothing; the sender goes on at once."""
    one = Worker(target=hangs)
    done = threading.Event()

    def feed() -> None:
        for revision in range(1, 30):
            one.submit(replace(task, revision=revision))
        one.shown(1, "cover")
        done.set()

    try:
        threading.Thread(target=feed, daemon=True).start()
        assert done.wait(PATIENCE)
    finally:
        one.close()


def test_sheets_that_may_come_again_keep_their_place() -> None:
    def entry(key: str, group: str, revision: int) -> dict[str, object]:
        return {"key": key, "group": group, "revision": revision}

    old = [entry("cover", "The piece", 1), entry("board-A", "Boards", 1), entry("rods", "Rods", 1)]
    new = [entry("cover", "The piece", 2), entry("rods", "Rods", 2)]
    merged = _merged(new, old)
    assert [(one["key"], one["revision"]) for one in merged] == [("cover", 2), ("board-A", 1), ("rods", 2)]
