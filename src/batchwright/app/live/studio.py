"""What the page can ask for, one method each. Called from one thread at a time; the model is read in only when it is
needed, so that the server answers before."""

from __future__ import annotations

import time
from collections.abc import Mapping, Sequence
from concurrent.futures import Future
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

from batchwright.app.live.refusal import RefusedError, Why, refused

if TYPE_CHECKING:
    from batchwright.app.live.paper_door import PaperDoor
    from batchwright.app.live.session import Session

Plain = dict[str, object]
NOTHING_OPEN = ("no piece is open.", "open one, or begin one, first.")


@dataclass(slots=True)
class Studio:
    """A folder in which pieces are opened, one at a time. `first` is opened as soon as it is asked for."""

    root: Path
    first: str = ""
    session: Session | None = field(default=None)

    def warm(self) -> None:
        """Read the model in, and open the first piece; what is wrong with it is told to whoever asks next."""
        import batchwright.app.live.session  # noqa: F401

        with suppress(RefusedError):
            self.here()

    def start(self) -> Plain:
        """Examples, what lies in the folder, and what is open."""
        from batchwright.app.live.starting import examples, lying_here

        opened = None if self.session is None else self.session.path
        return {"examples": examples(), "here": lying_here(self.root), "open": opened}

    def open(self, file: str) -> Plain:
        """Open a job or a piece as the desk; a draft of it is restored."""
        from batchwright.app.live.session import open_session

        if self.session is None or self.session.path != file:
            after = 0 if self.session is None else self.session.desk.revision
            fresh = open_session(self.root, file, time.time, after)
            if self.session is not None:
                self.session.close()
            self.session = fresh
        return {"file": self.session.path}

    def new(self, example: str, folder: str) -> Plain:
        """Start a project from an example or from nothing, and open it."""
        from batchwright.app.live.starting import begin

        return self.open(begin(self.root, example, folder))

    def here(self) -> Session:
        """What is open. Raises RefusedError where nothing is."""
        if self.session is None and self.first:
            self.open(self.first)
        if self.session is None:
            raise refused("nothing-open", NOTHING_OPEN, why=Why.MISSING)
        return self.session

    @property
    def opened(self) -> str:
        """The file that is open, or is to be opened first; empty where there is none."""
        return self.first if self.session is None else self.session.path

    def pulse(self) -> Plain:
        """What a page wants to know as soon as it changes. May be asked from any thread at any time."""
        session = self.session
        return {"revision": 0} if session is None else session.pulse()

    @property
    def unsaved(self) -> bool:
        """Whether a text at hand differs from the disk's."""
        session = self.session
        return session is not None and session.unsaved

    @property
    def paper_change(self) -> int:
        """The revision that the paper is of, as it is told to people."""
        session = self.session
        return 0 if session is None else session.worker.newest - session.desk.first + 1

    def look_at_disk(self) -> None:
        """See whether files were changed by somebody else. May be asked from any thread at any time."""
        session = self.session
        if session is not None:
            session.watch.look()

    def state(self) -> Plain:
        """Everything but the meshes."""
        return self.here().whole_state()

    def outside(self) -> Plain:
        """What somebody else wrote into the files that are open."""
        return self.here().outside()

    def live(self, revision: int, sizes: Mapping[str, str], have: Sequence[str]) -> bytes:
        """The answer with some sizes tried."""
        return self.here().live(revision, sizes, have)

    def edit(self, revision: int, label: str, changes: Sequence[Mapping[str, Any]], have: Sequence[str]) -> bytes:
        """Make changes of the texts."""
        return self.here().edit(revision, (label, changes), have)

    def cut(self, revision: int, parts: Sequence[str], undo: bool, have: Sequence[str]) -> bytes:
        """Mark parts as cut, or take them back."""
        return self.here().cut(revision, (parts, undo), have)

    def preview(self, revision: int, changes: Sequence[Mapping[str, Any]]) -> Plain:
        """What the texts would become."""
        return self.here().preview(revision, changes)

    def turn(self, which: str, revision: int, have: Sequence[str]) -> bytes:
        """Undo, redo or reload."""
        return self.here().turn(which, revision, have)

    def save(self, revision: int, over: bool) -> Plain:
        """Write the texts to the disk."""
        return self.here().save(revision, over)

    # --- the paper: may be asked from any thread at any time

    def sheets(self) -> Plain:
        """The sheets there are, and how the boards stand."""
        return self._paper().index()

    def sheet(self, key: str) -> Future[Plain | None]:
        """What stands on a sheet; it counts as looked at from now on."""
        return self._paper().sheet(key)

    def page(self, key: str, page: int, revision: int) -> Future[bytes | None]:
        """One page of a sheet as SVG."""
        return self._paper().page(key, page, revision)

    def drawing(self, key: str, number: int) -> Future[bytes | None]:
        """One drawing of a sheet as SVG."""
        return self._paper().drawing(key, number)

    def files(self) -> Future[Plain | None]:
        """The files that can be taken away."""
        return self._paper().files()

    def file(self, name: str) -> Future[bytes | None]:
        """One of them."""
        return self._paper().file(name)

    def _paper(self) -> PaperDoor:
        if self.session is None:
            raise refused("nothing-open", NOTHING_OPEN, why=Why.MISSING)
        return self.session.paper

    # --- words and the guide

    def words(self) -> Plain:
        """The words of the language."""
        from batchwright.app.guide import guide_words

        return {"words": list(guide_words())}

    def guide(self, topic: str) -> Plain:
        """A page of the guide; the first where no topic is named."""
        from batchwright.app.guide import guide_html, guide_topics

        found = guide_html(topic)
        if found is None:
            listed = ", ".join(str(one["topic"]) for one in guide_topics())
            words = (f"the guide has no page '{topic}'.", f"name one of: {listed}.")
            raise refused("unknown-topic", words, why=Why.MISSING)
        return found

    def complete(self, text: str, file: str, at: tuple[int, int]) -> Plain:
        """What may stand at a line and column of a text."""
        from batchwright.app.guide import completion_of

        texts = {} if self.session is None else dict(self.session.desk.texts)
        return completion_of(texts, file, text, at)

    def close(self) -> None:
        """Let go of what is open."""
        if self.session is not None:
            self.session.close()
