"""The worker's process: takes the newest task, works in small steps, and answers what is asked between them."""

from __future__ import annotations

import gc
import os
import signal
import sys
import traceback
from collections import deque
from collections.abc import Iterator
from dataclasses import dataclass
from multiprocessing.connection import Connection

from batchwright.app.live.paper import BEST, FIRST, Paper, Task
from batchwright.planning.lumber import QUICK, Stop
from batchwright.sheets.render.pdf import forget

PATIENCE = 10
"""How willingly it leaves the machine to others; 0 is not at all."""
BELOW_NORMAL = 0x4000
"""The same on Windows."""


class SupersededError(Exception):
    """A newer task has come: what is being done is for nobody."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ask:
    """A question about the paper: `what` is sheet, drawing, files or file."""

    number: int
    revision: int
    what: str
    name: str = ""
    index: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What the worker tells: `began`, `index`, `boards`, `sheet`, `rest` or `trouble` of a revision, or an `answer`."""

    what: str
    revision: int
    number: int = 0
    found: object = None


class Paperwork:
    """The worker's desk: one paper at a time."""

    def __init__(self, line: Connection) -> None:
        self._line = line
        self._paper: Paper | None = None
        self._task: Task | None = None
        self._asks: deque[Ask] = deque()
        self._steps: Iterator[None] | None = None
        self._open = True

    def work(self) -> None:
        """Until the line is closed."""
        while True:
            self._listen(wait=self._task is None and self._steps is None and not self._asks)
            if not self._open:
                return
            self._one_thing()

    def _one_thing(self) -> None:
        revision = self._task.revision if self._task is not None else self._paper.revision if self._paper else 0
        try:
            if self._task is not None:
                self._begin(self._task)
            elif self._asks:
                self._answer(self._asks.popleft())
            elif self._steps is not None:
                next(self._steps)
        except StopIteration:
            self._steps = None
            gc.collect()
        except SupersededError:
            self._steps = None
        except Exception:
            self._steps = None
            self._tell("trouble", revision, traceback.format_exc())

    def _listen(self, wait: bool) -> None:
        """Take in what has come; wait for something where there is nothing to do."""
        try:
            while wait or self._line.poll():
                self._take(self._line.recv())
                wait = False
        except (EOFError, OSError):
            self._open = False

    def _take(self, message: object) -> None:
        if isinstance(message, Task):
            self._task = message
        elif isinstance(message, Ask):
            self._asks.append(message)
        else:
            self._open = False

    def _between(self, share: float) -> None:
        """Called in the midst of a long step: answers what is asked, and stops where a newer task has come."""
        self._listen(wait=False)
        if self._task is not None or not self._open:
            raise SupersededError
        while self._asks:
            self._answer(self._asks.popleft())

    # --- steps

    def _begin(self, task: Task) -> None:
        self._task = None
        self._tell("began", task.revision)
        self._paper = Paper(task)
        self._steps = self._plan(self._paper, task.looked)

    def _plan(self, paper: Paper, looked: str) -> Iterator[None]:
        """What is done for a revision, in order: the sheet that is looked at first."""
        self._tell_index(paper)
        if not paper.has_boards:
            self._tell("boards", paper.revision, paper.boards())
        yield from self._show(paper, looked)
        paper.outline()
        self._tell_index(paper, whole=not paper.has_boards)
        yield
        if looked.startswith(("outline-", "full-size")):
            yield from self._show(paper, looked)
        if paper.has_boards:
            yield from self._lay(paper, (QUICK, FIRST), looked)
        for key in paper.keys:
            yield
            paper.sheet(key)
        self._tell("rest", paper.revision)
        yield
        if paper.has_boards:
            yield from self._lay(paper, (Stop(), BEST), looked)
        self._tell("done", paper.revision)
        forget()

    def _lay(self, paper: Paper, how: tuple[Stop, int], looked: str) -> Iterator[None]:
        stop, stage = how
        paper.lay(stop, stage, self._between)
        self._tell("boards", paper.revision, paper.boards())
        self._tell_index(paper, whole=True)
        yield
        yield from self._show(paper, looked)

    def _show(self, paper: Paper, key: str) -> Iterator[None]:
        found = paper.shown(key) if key else None
        if found is not None:
            self._tell("sheet", paper.revision, found)
        yield

    def _tell_index(self, paper: Paper, whole: bool = False) -> None:
        self._tell("index", paper.revision, (paper.index(), whole))

    # --- questions

    def _answer(self, ask: Ask) -> None:
        paper = self._paper
        found: object = None
        if paper is not None and paper.revision == ask.revision:
            try:
                found = _found(paper, ask)
            except Exception:
                self._tell("trouble", ask.revision, traceback.format_exc())
        self._tell("answer", ask.revision, found, ask.number)

    def _tell(self, what: str, revision: int, found: object = None, number: int = 0) -> None:
        try:
            self._line.send(Told(what=what, revision=revision, found=found, number=number))
        except OSError:
            self._open = False


def _found(paper: Paper, ask: Ask) -> object:
    match ask.what:
        case "sheet":
            return paper.shown(ask.name)
        case "drawing":
            return paper.drawing(ask.name, ask.index)
        case "files":
            return paper.shelf().listing()
        case "file":
            return paper.shelf().content(ask.name)
    return None


def start(line: Connection) -> None:
    """The whole of the worker's process."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    _step_back()
    gc.collect()
    gc.freeze()
    gc.set_threshold(50_000, 20, 50)
    Paperwork(line).work()
    os._exit(0)  # nothing is left to be written; the kernel would only complain of solids that are still kept


def _step_back() -> None:
    """Leave the machine to the page and to whoever else works on it."""
    if sys.platform == "win32":
        import ctypes

        kernel = ctypes.windll.kernel32
        kernel.SetPriorityClass(kernel.GetCurrentProcess(), BELOW_NORMAL)
    else:
        os.nice(PATIENCE)
