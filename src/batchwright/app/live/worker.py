"""The one worker, seen from the server: fed with the newest revision, asked about its paper, started anew where it
hangs on an old one."""

from __future__ import annotations

import itertools
import multiprocessing
import sys
import threading
from collections import OrderedDict
from collections.abc import Callable
from concurrent.futures import Future
from dataclasses import dataclass, field
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess

from batchwright.app.live.outbox import Outbox
from batchwright.app.live.paper import Task
from batchwright.app.live.paperwork import Ask, Told, start

Plain = dict[str, object]
HANGS = 4.0
"""A worker that has not begun the newest task after this long is ended and started anew [s]."""
MOST_STARTS = 3
"""How often a worker that died is started anew for one revision."""
KEPT_SHEETS = 48
"""Sheets with their pages that are kept here, of any revision."""

Shown = tuple[Plain, tuple[bytes, ...]]


@dataclass(slots=True)
class News:
    """What is known of the paper: the sheets with the revision of each, the boards, and whether more is to come."""

    sheets_revision: int = 0
    boards_revision: int = 0
    stage: int = 0
    working: bool = False
    sheets: list[Plain] = field(default_factory=list)
    boards: Plain | None = None
    trouble: str = ""


class Worker:
    """Feeds the worker's process and keeps what it tells. Every method may be called from any thread."""

    def __init__(self, target: Callable[[Connection], None] = start) -> None:
        self.news = News()
        self._target = target
        self._lock = threading.RLock()
        self._numbers = itertools.count(1)
        self._waiting: dict[int, Future[object]] = {}
        self._kept: OrderedDict[tuple[int, str], Shown] = OrderedDict()
        self._newest: Task | None = None
        self._began = 0
        self._starts = 0
        self._process: BaseProcess | None = None
        self._line: Connection | None = None
        self._outbox: Outbox | None = None
        self._timer: threading.Timer | None = None
        self._closed = False

    # --- fed and asked

    def submit(self, task: Task) -> None:
        """The newest task; what was being done for an older one is given up."""
        with self._lock:
            if self._closed:
                return
            self._newest = task
            self._starts = 0
            self.news.working = True
            self._send(task)
            self._watch(task)

    def ask(self, what: str, name: str = "", index: int = 0) -> Future[object]:
        """A question about the newest paper; the answer is None where it has none, or where it is of the past."""
        answer: Future[object] = Future()
        with self._lock:
            if self._newest is None or self._closed:
                answer.set_result(None)
                return answer
            number = next(self._numbers)
            self._send(Ask(number=number, revision=self._newest.revision, what=what, name=name, index=index))
            self._waiting[number] = answer
        return answer

    def shown(self, revision: int, key: str) -> Shown | None:
        """A sheet that was shown before, with its pages."""
        with self._lock:
            return self._kept.get((revision, key))

    @property
    def newest(self) -> int:
        """The revision of the newest task; 0 where there was none."""
        return 0 if self._newest is None else self._newest.revision

    def close(self) -> None:
        """End the worker."""
        with self._lock:
            self._closed = True
            self._end()

    # --- its process

    def _send(self, message: object) -> None:
        if self._process is None or not self._process.is_alive():
            self._begin()
            if isinstance(message, Ask) and self._newest is not None:
                self._send(self._newest)
        assert self._outbox is not None
        self._outbox.put(message)

    def _begin(self) -> None:
        """Start a process, and a thread that hears it."""
        self._end()
        context = multiprocessing.get_context("spawn")
        ours, theirs = context.Pipe()
        process = context.Process(target=self._target, args=(theirs,), name="batchwright paper", daemon=True)
        process.start()
        theirs.close()
        self._process, self._line, self._began = process, ours, 0
        self._outbox = Outbox(ours)
        threading.Thread(target=self._hear, args=(ours,), name="paper", daemon=True).start()

    def _end(self) -> None:
        """End the process; whoever waits for an answer of it gets none."""
        if self._timer is not None:
            self._timer.cancel()
        if self._process is not None:
            self._process.kill()
            self._process.join(1.0)
        if self._outbox is not None:
            self._outbox.close()
        self._process, self._line, self._outbox = None, None, None
        for answer in self._waiting.values():
            answer.set_result(None)
        self._waiting.clear()

    def _watch(self, task: Task) -> None:
        if self._timer is not None:
            self._timer.cancel()
        self._timer = threading.Timer(HANGS, self._still_old, (task.revision,))
        self._timer.daemon = True
        self._timer.start()

    def _still_old(self, revision: int) -> None:
        """The worker has had long enough to begin this revision."""
        with self._lock:
            newest = self._newest
            if self._closed or newest is None or newest.revision != revision or self._began >= revision:
                return
            self._begin()
            self._send(newest)

    def _lost(self) -> None:
        """The process has died: start it anew with the newest task, a few times."""
        self._starts += 1
        self._end()
        if self._newest is not None and self._starts <= MOST_STARTS and not self._closed:
            self._begin()
            self._send(self._newest)
        else:
            self.news.working = False

    # --- what it tells

    def _hear(self, line: Connection) -> None:
        while True:
            try:
                told = line.recv()
            except (EOFError, OSError):
                break
            except Exception:  # a message cut off where the process was ended
                break
            with self._lock:
                if line is self._line and isinstance(told, Told):
                    self._take(told)
        with self._lock:
            line.close()
            if line is self._line and not self._closed:
                self._lost()

    def _take(self, told: Told) -> None:
        news = self.news
        match told:
            case Told(what="began"):
                self._began = told.revision
            case Told(what="index", found=(list() as sheets, bool() as whole)):
                news.sheets = sheets if whole else _merged(sheets, news.sheets)
                news.sheets_revision = told.revision
            case Told(what="boards", found=dict() as boards):
                news.boards, news.boards_revision = boards, told.revision
                news.stage = int(boards.get("stage", 0))
            case Told(what="sheet", found=(dict() as plain, tuple() as pages)):
                self._keep(told.revision, (plain, pages))
            case Told(what="answer"):
                self._answered(told)
            case Told(what="done"):
                news.working = told.revision != self.newest
            case Told(what="trouble"):
                news.trouble = str(told.found)
                sys.stderr.write(news.trouble)

    def _answered(self, told: Told) -> None:
        answer = self._waiting.pop(told.number, None)
        if answer is not None:
            answer.set_result(told.found)

    def _keep(self, revision: int, shown: Shown) -> None:
        self._kept[(revision, str(shown[0]["key"]))] = shown
        while len(self._kept) > KEPT_SHEETS:
            self._kept.popitem(last=False)

    def keep(self, revision: int, shown: Shown) -> None:
        """Keep a sheet that was answered, so that its pages need not be asked for again."""
        with self._lock:
            self._keep(revision, shown)


def _merged(new: list[Plain], old: list[Plain]) -> list[Plain]:
    """The sheets there are so far, with those of before that may yet come again, where they stood."""
    told = {one["key"]: one for one in [*old, *new]}
    keys = [one["key"] for one in old]
    before = None
    for one in new:
        if one["key"] not in keys:
            keys.insert(0 if before is None else keys.index(before) + 1, one["key"])
        before = one["key"]
    order = {group: number for number, group in enumerate(dict.fromkeys(told[key]["group"] for key in keys))}
    return sorted((told[key] for key in keys), key=lambda one: order[one["group"]])
