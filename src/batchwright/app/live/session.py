"""An opened piece: the desk with its texts, the bench that works it out, and what is told of both."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from pathlib import Path
from typing import Any

from batchwright.app.cut import mark_in
from batchwright.app.live.answer import Meshes, answer, meshes_of, wanted
from batchwright.app.live.changes import changed_texts
from batchwright.app.live.desk import Clock, Desk
from batchwright.app.live.foresee import faults_of
from batchwright.app.live.model import Bench, Model
from batchwright.app.live.pack import pack
from batchwright.app.live.paper import Task
from batchwright.app.live.paper_door import PaperDoor
from batchwright.app.live.paths import project_file
from batchwright.app.live.refusal import RefusedError, refused
from batchwright.app.live.texts import as_text
from batchwright.app.live.watch import Watch
from batchwright.app.live.worker import Worker
from batchwright.app.load import JOB_SUFFIX, Kept
from batchwright.base.asked import read_changes
from batchwright.base.fault import Fault, Place

Plain = dict[str, object]
MOST_LABEL = 120
NO_JOB = ("what is cut belongs to a job, and no job is open.", f"open a file that ends in {JOB_SUFFIX}.")
A_SECOND = 1000
"""Revisions that are set aside for a second of a server's life: nobody makes as many changes."""


@dataclass(slots=True)
class Session:
    """A desk and its bench. `path` is the opened file as the page names it, from the server's folder."""

    path: str
    desk: Desk
    bench: Bench
    model: Model
    watch: Watch
    worker: Worker
    paper: PaperDoor
    meshes: Meshes = field(default_factory=dict)

    # --- told

    def whole_state(self) -> Plain:
        """The state and the answer, without meshes."""
        if self.model.tried:
            self._work({})
        return {**self.state(), "answer": self._answer()}

    def state(self) -> Plain:
        """Revision, files, what undo and redo would do, what is not saved."""
        desk = self.desk
        kinds = self._kinds()
        return {
            "revision": desk.revision,
            "change": desk.since_opened,
            "file": self.path,
            "files": [
                {"name": name, "kind": kinds.get(name, "other"), "dirty": desk.dirty(name), "text": text}
                for name, text in desk.texts.items()
                if desk.there(name)
            ],
            "undo": desk.history.undo,
            "redo": desk.history.redo,
            "restored": desk.restored,
            "changed_outside": list(self.watch.look()),
        }

    def _kinds(self) -> dict[str, str]:
        kinds = {self.desk.file: "job" if self.desk.file.endswith(JOB_SUFFIX) else "piece"}
        worked = self.model.worked
        if worked is not None:
            job = worked.checked.loaded.job
            named = ((job.piece_file, "piece"), (job.shop_file, "shop"), (job.boards_file, "boards"))
            for file, kind in (*named, (job.defects_file, "defects"), (job.cut_file, "cut")):
                if file:
                    kinds.setdefault(file, kind)
        for file in self.desk.texts:
            if file.endswith(".piece.yaml"):
                kinds.setdefault(file, "piece")
        return kinds

    @property
    def unsaved(self) -> bool:
        """Whether a text at hand differs from the disk's."""
        return any([self.desk.dirty(file) for file in tuple(self.desk.texts)])

    def pulse(self) -> Plain:
        """What a page wants to know as soon as it changes; read from another thread, so it only looks."""
        desk = self.desk
        return {
            "revision": desk.revision,
            "sheets_revision": self.worker.news.sheets_revision,
            "boards_revision": self.worker.news.boards_revision,
            "boards_stage": self.worker.news.stage,
            "working": self.worker.news.working,
            "dirty": self.unsaved,
            "changed_outside": list(self.watch.changed),
        }

    def outside(self) -> Plain:
        """Files that somebody else has changed, each with its text on the disk; `null` where there is none to read."""
        read = {file: self.desk.folder.read(file, Place(file))[0] for file in self.watch.look()}
        return {
            "files": [
                {"name": file, "text": None if content is None else as_text(content)} for file, content in read.items()
            ]
        }

    # --- asked

    def live(self, revision: int, sizes: Mapping[str, str], have: Sequence[str]) -> bytes:
        """The answer with some sizes tried; the texts stay."""
        self._check(revision)
        self._work(sizes)
        return self._packed(have, None)

    def edit(self, revision: int, asked: tuple[str, Sequence[Mapping[str, Any]]], have: Sequence[str]) -> bytes:
        """Make changes of the texts, all or none."""
        self._check(revision)
        label, raw = asked
        texts, faults = self._changed(raw)
        if faults and not texts:
            raise RefusedError(faults)
        self.desk.change(label[:MOST_LABEL], {**self.desk.texts, **texts})
        return self._after(have)

    def cut(self, revision: int, marked: tuple[Sequence[str], bool], have: Sequence[str]) -> bytes:
        """Mark parts as cut as the plan has them now, or take them back: one step, on the disk only by a save."""
        self._check(revision)
        self._work({})
        names, undo = marked
        if not self.desk.file.endswith(JOB_SUFFIX):
            raise refused("job-wanted", NO_JOB, self.desk.file)
        if self.model.worked is None or self.model.stopped:
            raise RefusedError(self.model.faults)
        outcome = mark_in(self.model.worked.checked, self.desk.texts, names, undo)
        if outcome.thing is None:
            raise RefusedError(outcome.faults)
        texts = {file: content.decode() for file, content in outcome.thing.files}
        words = ", ".join(outcome.thing.changed)
        label = f"{words}: to be made again" if undo else f"cut: {words}"
        self.desk.change(label[:MOST_LABEL], {**self.desk.texts, **texts})
        return self._after(have)

    def preview(self, revision: int, raw: Sequence[Mapping[str, Any]]) -> Plain:
        """What the texts would become, with the faults they would have; or why they cannot be changed so."""
        self._check(revision)
        texts, faults = self._changed(raw)
        if texts:
            faults = faults_of(self.bench, {**self.desk.texts, **texts})
        return {"texts": texts, "faults": [fault.as_json() for fault in faults]}

    def turn(self, which: str, revision: int, have: Sequence[str]) -> bytes:
        """Undo, redo or reload."""
        self._check(revision)
        {"undo": self.desk.undo, "redo": self.desk.redo, "reload": self.desk.reload}[which]()
        return self._after(have)

    def save(self, revision: int, over: bool) -> Plain:
        """Write the texts to the disk."""
        self._check(revision)
        try:
            self.desk.save(over)
        except OSError as problem:
            words = (f"the files could not be written: {problem.strerror}.", "free the folder or the disk; try again.")
            raise refused("could-not-write", words, self.desk.file) from problem
        return {"state": self.state()}

    def close(self) -> None:
        """Let go."""
        self.worker.close()

    # --- inside

    def _check(self, revision: int) -> None:
        try:
            self.desk.check_revision(revision)
        except RefusedError as stale:
            raise RefusedError(stale.faults, stale.why, {"state": self.whole_state()}) from None

    def _changed(self, raw: Sequence[Mapping[str, Any]]) -> tuple[dict[str, str], tuple[Fault, ...]]:
        changes, faults = read_changes(list(raw))
        if faults:
            return {}, faults
        return changed_texts(self.desk.texts, self._piece_file(), changes)

    def _piece_file(self) -> str:
        """The file that changes are of where they name none."""
        kinds = self._kinds()
        return next((file for file, kind in kinds.items() if kind == "piece"), self.desk.file)

    def _after(self, have: Sequence[str]) -> bytes:
        self._work({})
        self.feed()
        return self._packed(have, {"state": self.state()})

    def feed(self) -> None:
        """Give the newest good piece to the worker, for its paper."""
        worked = self.model.worked
        if worked is None or self.model.stopped or self.model.tried:
            return
        made = datetime.fromtimestamp(self.desk.clock()).astimezone().replace(microsecond=0)
        self.worker.submit(
            Task(
                revision=self.desk.revision, checked=worked.checked, cutting=worked.cutting,
                findings=worked.findings, made=made, looked=self.paper.looked,
            )
        )  # fmt: skip

    def _work(self, tried: Mapping[str, str]) -> None:
        self.model, met = self.bench.work(self.desk.texts, tried)
        self.desk.take_in(met)
        self.meshes = meshes_of(self.model.worked)

    def _answer(self) -> Plain:
        model = replace(self.model, faults=(*self.model.faults, *self.desk.told()))
        return answer(model, self.desk.revision, self.meshes)

    def _packed(self, have: Sequence[str], around: Plain | None) -> bytes:
        told = self._answer()
        return pack(told, wanted(self.meshes, have), around)


def open_session(root: Path, file: str, clock: Clock, after: int = 0) -> Session:
    """Open a job or a piece file of a folder. Raises RefusedError where it cannot be had.

    Its revisions begin `after` those of the desk before, and at a number that no earlier server can have come to: a
    page that was left open asks of the past, whatever it was a page of.
    """
    path = project_file(root, file)
    desk = Desk(root=path.parent, file=path.name, clock=clock)
    bench = Bench(folder=desk.folder, file=path.name, kept=Kept())
    model, met = bench.work({}, {})
    if path.name not in met:
        raise RefusedError(model.faults)
    desk.take_in(met)
    if path.name not in desk.texts:
        raise RefusedError(model.faults)
    desk.restore()
    desk.begin_at(max(after + 1, int(clock() * A_SECOND)))
    worker = Worker()
    session = Session(
        path=file, desk=desk, bench=bench, model=model, watch=Watch(desk), worker=worker,
        paper=PaperDoor(desk=desk, worker=worker),
    )  # fmt: skip
    session._work({})
    session.feed()
    return session
