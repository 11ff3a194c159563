"""What is asked of the paper: sheets, their pages, files. Answers come when the worker has them."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import Future
from dataclasses import dataclass
from typing import TypeVar

from batchwright.app.live.desk import Desk
from batchwright.app.live.worker import Shown, Worker

Plain = dict[str, object]
T = TypeVar("T")


@dataclass(slots=True)
class PaperDoor:
    """The worker's answers for one desk; `looked` is the sheet that was asked for last. It may be asked from any
    thread: it only looks at the desk."""

    desk: Desk
    worker: Worker
    looked: str = ""

    def index(self) -> Plain:
        """The sheets there are, each with its revision, and how the boards stand."""
        news = self.worker.news
        return {
            "revision": news.sheets_revision,
            "working": news.working,
            "sheets": list(news.sheets),
            "boards": news.boards or {"revision": 0, "working": news.working, "shown": "…"},
        }

    def sheet(self, key: str) -> Future[Plain | None]:
        """What stands on a sheet, of the newest revision there is paper of."""
        self.looked = key
        return _then(self._shown(key), lambda shown: None if shown is None else shown[0])

    def page(self, key: str, page: int, revision: int) -> Future[bytes | None]:
        """One page as SVG, counted from 1; of an older revision only where it was shown before."""
        kept = self.worker.shown(revision, key)
        if kept is None and revision != self.worker.newest:
            return _ready(None)
        shown: Future[Shown | None] = self._shown(key) if kept is None else _ready(kept)
        return _then(shown, lambda one: None if one is None or not 1 <= page <= len(one[1]) else one[1][page - 1])

    def _shown(self, key: str) -> Future[Shown | None]:
        revision = self.worker.newest
        kept = self.worker.shown(revision, key)
        if kept is not None and not _changes(kept[0], self.worker.news.sheets):
            return _ready(kept)

        def keep(found: object) -> Shown | None:
            match found:
                case (dict() as plain, tuple() as pages):
                    self.worker.keep(revision, (plain, pages))
                    return plain, pages
            return None

        return _then(self.worker.ask("sheet", key), keep)

    def drawing(self, key: str, number: int) -> Future[bytes | None]:
        """One drawing of a sheet as SVG."""
        return _then(self.worker.ask("drawing", key, number), _as_bytes)

    def files(self) -> Future[Plain | None]:
        """The files that can be taken away: what the worker makes, and the texts as they are now."""
        revision = self.worker.newest

        def listed(found: object) -> Plain | None:
            made = found if isinstance(found, list) else []
            saved = "as it stands here"
            names = [name for name in tuple(self.desk.texts) if self.desk.there(name)]
            texts: list[Plain] = [{"name": name, "group": "Texts", "words": saved} for name in names]
            return {"revision": revision, "files": [{**one, "revision": revision} for one in [*made, *texts]]}

        return _then(self.worker.ask("files"), listed)

    def file(self, name: str) -> Future[bytes | None]:
        """The bytes of a file."""
        text = self.desk.texts.get(name)
        if text is not None:
            return _ready(text.encode("utf-8", "replace"))
        return _then(self.worker.ask("file", name), _as_bytes)


def _changes(shown: Plain, sheets: list[Plain]) -> bool:
    """Whether a sheet has been made anew since it was shown: with other boards."""
    return any(one["key"] == shown["key"] and one.get("stage") != shown.get("stage") for one in sheets)


def _as_bytes(found: object) -> bytes | None:
    return found if isinstance(found, bytes) else None


def _ready(value: T) -> Future[T]:
    done: Future[T] = Future()
    done.set_result(value)
    return done


S = TypeVar("S")


def _then(first: Future[S], make: Callable[[S], T]) -> Future[T]:
    """What is made of an answer, once it is there."""
    second: Future[T] = Future()

    def made(answer: Future[S]) -> None:
        try:
            second.set_result(make(answer.result()))
        except Exception as problem:
            second.set_exception(problem)

    first.add_done_callback(made)
    return second
