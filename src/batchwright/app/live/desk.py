"""The desk: one opened piece or job as texts, revisions with undo and redo, drafts, and saving that loses nothing."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from batchwright.app.live.history import History, Step, apply, step_between
from batchwright.app.live.refusal import RefusedError, Why, refused
from batchwright.app.live.texts import OnDisk, as_text, hash_of
from batchwright.base.fault import Fault, Level, Place
from batchwright.storage.atomic import inside, write_file
from batchwright.storage.drafts import Drafts
from batchwright.storage.folder import Folder

TEXTS = (".yaml", ".yml", ".csv")
"""Files that are at hand as texts; drawings that an outline names stay on the disk."""

MOST_REVISIONS = 2**50
"""Numbers up to here are told to a page exactly."""

Clock = Callable[[], float]
"""Seconds since 1970; handed in, so that tests can set it."""

Plain = dict[str, object]


@dataclass(slots=True)
class Desk:
    """What is at hand. `texts` and `disk` have the same names; a text that differs from the disk's is not saved yet."""

    root: Path
    file: str
    clock: Clock
    revision: int = 1
    first: int = 1
    """The revision it was opened with."""
    texts: dict[str, str] = field(default_factory=dict)
    disk: dict[str, OnDisk] = field(default_factory=dict)
    history: History = field(default_factory=History)
    restored: bool = False
    unkept: str = ""
    """Why the draft could not be written, where it could not."""

    @property
    def folder(self) -> Folder:
        """The project folder."""
        return Folder(self.root)

    @property
    def drafts(self) -> Drafts:
        """Where drafts are kept."""
        return Drafts(self.root)

    @property
    def since_opened(self) -> int:
        """The revision as it is told to people: counted from 1 since the desk was opened."""
        return self.revision - self.first + 1

    def begin_at(self, revision: int) -> None:
        """Count revisions from here on, if that is further than they are; no number may come twice."""
        self.revision = self.first = max(self.revision, revision)

    def dirty(self, file: str) -> bool:
        """Whether a text differs from what was read or saved."""
        if not self.there(file):
            return False
        content = self.disk[file].content
        return content is None or self.texts[file].encode("utf-8", "surrogatepass") != content

    def there(self, file: str) -> bool:
        """Whether there is such a text: one that a step brought is gone again once that step is taken back."""
        return bool(self.texts[file] or self.disk[file].sha)

    def take_in(self, met: Mapping[str, bytes]) -> None:
        """Files that were read beside the texts become texts at hand, unless they are no text."""
        for file, content in met.items():
            text = as_text(content)
            if text is not None and file not in self.texts and file.endswith(TEXTS):
                self.disk[file] = OnDisk(content=content)  # first: another thread asks of every text whether it differs
                self.texts[file] = text

    def check_revision(self, revision: int) -> None:
        """Refuse what was asked of an older state."""
        if revision != self.revision:
            fault = Fault(
                code="stale-revision",
                place=Place(self.file),
                what=f"this was asked of revision {revision}; the newest is {self.revision}.",
                why="another page of the same piece has changed it meanwhile, or this one has gone on.",
                mend="take up the newest state, then do it once more.",
            )
            raise RefusedError((fault,), Why.CONFLICT)

    # --- changes

    def change(self, label: str, texts: Mapping[str, str]) -> None:
        """Make new texts the present ones: one step, one revision; nothing happens where nothing differs."""
        step = step_between(label, self.clock(), (self.texts, texts))
        if not step.splices:
            return
        self._move(apply(self.texts, step, forth=True), lambda: self.history.add(step, self.texts))

    def undo(self) -> None:
        """Take the last step back."""
        if not self.history.done:
            words = ("there is no step to take back.", "change something first.")
            raise refused("nothing-to-undo", words, self.file, Why.CONFLICT)
        step = self.history.done[-1]

        def turn() -> None:
            self.history.undone.append(self.history.done.pop())

        self._move(self._turned(step, forth=False), turn)

    def redo(self) -> None:
        """Make the step that was taken back again."""
        if not self.history.undone:
            words = ("no step was taken back.", "undo something first.")
            raise refused("nothing-to-redo", words, self.file, Why.CONFLICT)
        step = self.history.undone[-1]

        def turn() -> None:
            self.history.done.append(self.history.undone.pop())

        self._move(self._turned(step, forth=True), turn)

    def _turned(self, step: Step, forth: bool) -> dict[str, str]:
        try:
            return apply(self.texts, step, forth)
        except ValueError:
            self.history = History()
            words = ("the texts are no longer those of that step; the history is let go.", "go on from here.")
            raise refused("history-lost", words, self.file, Why.CONFLICT) from None

    def _move(self, texts: dict[str, str], note: Callable[[], None]) -> None:
        for file in texts:
            self.disk.setdefault(file, OnDisk(content=None))
        self.texts = texts
        note()
        self.revision += 1
        self.keep()

    # --- the disk

    def reload(self) -> None:
        """The texts of the disk become the present ones, as a step that can be undone."""
        texts = dict(self.texts)
        for file in self.texts:
            content = self._on_disk(file)
            text = None if content is None else as_text(content)
            if text is not None:
                texts[file] = text
                self.disk[file] = OnDisk(content=content)
        self.change("read from the disk", texts)
        self.keep()

    def save(self, over: bool) -> tuple[str, ...]:
        """Write every text that differs; refuse where a file was changed by somebody else, unless `over`.

        Raises
        ------
        RefusedError
            Nothing was written.
        OSError
            If the disk refuses; each file is then whole, old or new.
        """
        changed = [file for file in self.texts if self.dirty(file)]
        if not over:
            faults = tuple(self._elsewhere(file) for file in changed if self.differs(file))
            if faults:
                raise RefusedError(faults, Why.CONFLICT)
        for file in changed:
            content = self.texts[file].encode("utf-8", "surrogatepass")
            write_file(self._real(file), content)
            self.disk[file] = OnDisk(content=content)
        self.keep()
        return tuple(changed)

    def differs(self, file: str) -> bool:
        """Whether a file is not on the disk as it was read or saved."""
        content = self._on_disk(file)
        return ("" if content is None else hash_of(content)) != self.disk[file].sha

    def _on_disk(self, file: str) -> bytes | None:
        return self.folder.read(file, Place(file))[0]

    def _real(self, file: str) -> Path:
        """Where a file is written: behind a link, and never outside the project folder."""
        real = (self.root / file).resolve()
        if not real.is_relative_to(self.root.resolve()):
            raise refused("file-outside-project", (f"'{file}' lies outside the project folder.", "copy it into it."))
        return real

    def _elsewhere(self, file: str) -> Fault:
        return Fault(
            code="edited-elsewhere",
            place=Place(file),
            what=f"'{file}' was changed on the disk since this page read it; nothing was saved.",
            why="saving now would undo what was written there.",
            mend="take the disk's text (it can be undone), or save over it.",
        )

    # --- drafts

    def keep(self) -> None:
        """Write the draft: what is not saved, and the history. Where the disk refuses, work goes on, and is told."""
        try:
            self._keep()
            self.unkept = ""
        except OSError as problem:
            self.unkept = problem.strerror or str(problem)

    def told(self) -> tuple[Fault, ...]:
        """What is wrong with the disk, beside the faults of the texts."""
        if not self.unkept:
            return ()
        fault = Fault(
            code="draft-not-kept",
            place=Place(self.file),
            what=f"what is not saved could not be kept beside the files: {self.unkept}.",
            why="a crash or a closed server would lose it.",
            mend="save now; then free the disk, or work in a folder that may be written to.",
            level=Level.WARNING,
        )
        return (fault,)

    def _keep(self) -> None:
        dirty = {file: text for file, text in self.texts.items() if self.dirty(file)}
        self.drafts.keep(
            self.file,
            {
                "revision": self.revision,
                "texts": dirty,
                "disk": {file: one.sha for file, one in self.disk.items()},
                "done": [step.as_plain() for step in self.history.done],
                "undone": [step.as_plain() for step in self.history.undone],
            },
        )

    def restore(self) -> None:
        """Take up the draft of an earlier run, if there is one; its texts win, the disk's are never touched."""
        self.drafts.sweep(tuple(self.texts))
        draft = self.drafts.find(self.file)
        if draft is None:
            return
        try:
            revision, texts, steps = _read(draft)
        except (KeyError, TypeError, ValueError, AttributeError, OverflowError):
            return
        self.revision = revision + 1
        before = dict(self.texts)
        for file, text in texts.items():
            self._take_back(file, text, str(draft["disk"].get(file, "")))
        moved = any(self.texts[file] != before.get(file) for file in texts)
        self.restored = moved
        same = all(draft["disk"].get(file, "") == one.sha for file, one in self.disk.items() if file not in texts)
        if same:
            self.history = steps

    def _take_back(self, file: str, text: str, sha: str) -> None:
        """One text of a draft. Where its file was changed meanwhile, the file counts as changed elsewhere."""
        content = self._on_disk(file)
        known = "" if content is None else hash_of(content)
        if content is not None and (known == sha or content == text.encode("utf-8", "surrogatepass")):
            self.disk[file] = OnDisk(content=content)
        elif content is None and not sha:
            self.disk[file] = OnDisk(content=None)
        else:
            self.disk[file] = OnDisk(content=None, known=sha)
        self.texts[file] = text


def _read(draft: Mapping[str, Any]) -> tuple[int, dict[str, str], History]:
    """What a draft holds. Nobody but us should have written it; a folder from elsewhere may bring one along."""
    texts = {str(file): str(text) for file, text in draft["texts"].items()}
    if not all(file.endswith(TEXTS) and inside(file) for file in texts):
        raise ValueError("a file that is none of a project's texts")
    done = [Step.from_plain(one) for one in draft["done"]]
    undone = [Step.from_plain(one) for one in draft["undone"]]
    dict(draft["disk"])
    revision = int(draft["revision"])
    if not 0 < revision < MOST_REVISIONS:
        raise ValueError("a revision that is none")
    return revision, texts, History(done=done, undone=undone)
