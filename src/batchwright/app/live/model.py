"""The piece worked out from texts at hand: joints, lists, findings; the newest one kept."""

from __future__ import annotations

import logging
import time
from collections.abc import Mapping as Table
from dataclasses import dataclass

from batchwright.app.live.texts import TextFolder
from batchwright.app.load import Kept, load_from
from batchwright.app.order import worst_first
from batchwright.app.plan import Checked, check_loaded, cutting_of
from batchwright.app.result import Outcome
from batchwright.base.fault import Fault, Place, has_errors
from batchwright.base.finding import Finding
from batchwright.design.draft import size_names
from batchwright.design.milled import of_sizes
from batchwright.design.text.tree import Mapping
from batchwright.design.written import sizes_as_written
from batchwright.model.draft import SizeValue
from batchwright.model.job import Job, Override
from batchwright.model.work import CuttingList
from batchwright.storage.folder import Folder

log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True, kw_only=True)
class Worked:
    """A piece that was worked out without an error in its way."""

    checked: Checked
    cutting: CuttingList
    findings: tuple[Finding, ...]
    places: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Model:
    """What came of the texts. `worked` is the last good piece where `stopped`; None if there was none yet."""

    worked: Worked | None
    stopped: bool
    faults: tuple[Fault, ...]
    took: float
    """[s]"""
    tried: Table[str, str]
    units: str = "in"
    sizes: tuple[SizeValue, ...] = ()
    """Sizes as the text has them now, where it is `stopped`; those of the piece are the last good ones."""


@dataclass(slots=True)
class Bench:
    """Works pieces out, one after the other; what has not changed since the last is not done again."""

    folder: Folder
    file: str
    kept: Kept
    good: Worked | None = None

    def work(self, texts: Table[str, str], tried: Table[str, str]) -> tuple[Model, Table[str, bytes]]:
        """The piece of these texts with some sizes tried; and the files that were read beside the texts."""
        begun = time.perf_counter()
        source = TextFolder(self.folder, texts)
        overrides = tuple(Override(name=name, text=text) for name, text in tried.items())
        outcome = self._outcome(source, overrides)
        stopped = outcome.thing is None or has_errors(outcome.faults)
        if outcome.thing is not None and not stopped:
            cutting, listed = cutting_of(outcome.thing)
            findings = worst_first((*outcome.thing.findings, *listed))
            places = self._places()
            self.good = Worked(checked=outcome.thing, cutting=cutting, findings=findings, places=places)
        took = time.perf_counter() - begun
        units, sizes = self._sizes(overrides) if stopped else ("in", ())
        model = Model(
            worked=self.good,
            stopped=stopped,
            faults=outcome.faults,
            took=took,
            tried=dict(tried),
            units=units,
            sizes=sizes,
        )
        return model, source.met

    def _sizes(self, tried: tuple[Override, ...]) -> tuple[str, tuple[SizeValue, ...]]:
        """What sizes the text names that was read last, though no piece comes of it; none where it cannot be read."""
        tree = self._tree()
        before = () if self.good is None else self.good.checked.loaded.draft.sizes
        try:
            if tree is None:
                return "in", ()
            job = self._job()
            instead = () if job is None else (*job.sizes, *of_sizes(job, size_names(tree)))
            return sizes_as_written(tree, (*instead, *tried), before)
        except Exception:
            log.exception("the sizes could not be read")
            return "in", ()

    def _job(self) -> Job | None:
        """The job that was read last."""
        read = self.kept.last("job")
        job = read[0] if isinstance(read, tuple) and read else None
        return job if isinstance(job, Job) else None

    def _tree(self) -> Mapping | None:
        """The piece file that was read last."""
        read = self.kept.last("piece")
        tree = read[1] if isinstance(read, tuple) and len(read) > 1 else None
        return tree if isinstance(tree, Mapping) else None

    def _places(self) -> tuple[str, ...]:
        """The named places of the piece that was read last."""
        tree = self._tree()
        table = None if tree is None else tree.get("places")
        return table.words() if isinstance(table, Mapping) else ()

    def _outcome(self, source: TextFolder, overrides: tuple[Override, ...]) -> Outcome[Checked]:
        """What comes of the texts. Where the program itself fails on them, that is told as a fault: the maker can take
        his last step back, and nothing of his is lost."""
        try:
            return check_loaded(load_from(source, self.file, overrides, self.kept))
        except Exception as problem:
            return Outcome(None, (our_fault(self.file, problem),))


def our_fault(file: str, problem: Exception) -> Fault:
    """What is told where the program itself fails on a text."""
    log.error("the piece could not be worked out", exc_info=problem)
    return Fault(
        code="our-fault",
        place=Place(file),
        what=f"the program itself failed on this piece ({type(problem).__name__}: {str(problem)[:200]}).",
        why="it is an error of ours, not of yours.",
        mend="undo the last change, or draw it another way; your texts are kept.",
    )
