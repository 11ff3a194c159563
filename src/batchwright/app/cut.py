"""Say which parts are cut: from then on they stay as they are, and what no longer fits them is told."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from batchwright.app.load import JOB_SUFFIX
from batchwright.app.plan import Checked, check_file
from batchwright.app.result import Outcome
from batchwright.base.fault import Fault, Place, has_errors
from batchwright.base.mend import set_text
from batchwright.design.cut import write_cut
from batchwright.design.editing.apply import apply_changes
from batchwright.design.milled import names_of
from batchwright.joinery.already_cut import cut_part
from batchwright.model.draft import PartId
from batchwright.model.milled import CutPart
from batchwright.storage.folder import Folder

SUFFIX = ".cut.yaml"
COMMAND = Place("batchwright cut")
"""Where the words stand that were typed."""


@dataclass(frozen=True, slots=True)
class Marked:
    """Files to write (name in the job's folder, content), parts newly marked or taken back, and all that are cut."""

    files: tuple[tuple[str, bytes], ...]
    changed: tuple[str, ...]
    cut: tuple[str, ...]


def mark_cut(path: Path, names: Sequence[str], undo: bool = False) -> Outcome[Marked]:
    """Mark parts as cut as the plan has them now, or with `undo` take them back; nothing is written here.

    A name is a part, a copy or a kind's label. Without names nothing changes: what is cut is told.
    """
    if not path.name.endswith(JOB_SUFFIX):
        return Outcome(None, (_no_job(path),))
    outcome = check_file(path)
    if outcome.thing is None or (has_errors(outcome.faults) and not undo):
        return Outcome(None, outcome.faults)
    content, fault = Folder(path.parent).read(path.name, Place(path.name))
    if content is None:
        return Outcome(None, () if fault is None else (fault,))
    marked = mark_in(outcome.thing, {path.name: content.decode("utf-8")}, names, undo)
    return marked if marked.thing is None else Outcome(marked.thing, outcome.faults)


def mark_in(checked: Checked, texts: Mapping[str, str], names: Sequence[str], undo: bool = False) -> Outcome[Marked]:
    """The same of a job that was read already; `texts` holds the job's text."""
    chosen, faults = _chosen(checked, names)
    if faults:
        return Outcome(None, faults)
    held = {part.part: part for part in checked.loaded.cut}
    for name in chosen:
        if undo:
            held.pop(name, None)
        elif name not in held:
            held[name] = cut_part(checked.piece.part(name), checked.piece)
    changed = sorted({*held} ^ {part.part for part in checked.loaded.cut})
    files, wrong = _files(texts, checked, tuple(held.values())) if changed else ((), ())
    if wrong:
        return Outcome(None, wrong)
    return Outcome(Marked(files, tuple(changed), tuple(sorted(held))), ())


def _no_job(path: Path) -> Fault:
    return Fault(
        code="job-wanted",
        place=Place(path.name),
        what=f"'{path.name}' is no job by its name.",
        mend=f"name a file that ends in {JOB_SUFFIX}: what is cut belongs to a job.",
    )


def _chosen(checked: Checked, names: Sequence[str]) -> tuple[tuple[PartId, ...], tuple[Fault, ...]]:
    parts = {part.id: names_of(part) for part in checked.loaded.draft.parts}
    labels = {kind.label: kind.parts for kind in checked.piece.kinds}
    gone = {part.part for part in checked.loaded.cut} - set(parts)
    found: list[PartId] = []
    faults: list[Fault] = []
    for name in names:
        own = labels.get(name) or tuple(each for each, all_names in parts.items() if name in all_names)
        own = own or tuple(each for each in gone if each == name)
        found += own
        if not own:
            faults.append(_unknown(name, checked))
    return tuple(dict.fromkeys(found)), tuple(faults)


def _unknown(name: str, checked: Checked) -> Fault:
    known = sorted({part.name for part in checked.loaded.draft.parts})
    return Fault(
        code="unknown-part",
        place=COMMAND,
        what=f"the piece has no part called '{name}'.",
        mend=f"name a part, a copy of one, or a kind: {', '.join(known)}.",
    )


def _files(
    texts: Mapping[str, str], checked: Checked, parts: tuple[CutPart, ...]
) -> tuple[tuple[tuple[str, bytes], ...], tuple[Fault, ...]]:
    """The record, and the job where it does not name its record yet."""
    job = checked.loaded.job
    name = job.cut_file or job.file.removesuffix(JOB_SUFFIX) + SUFFIX
    files = [(name, write_cut(parts).encode())]
    if not job.cut_file:
        changed, faults = apply_changes(
            {job.file: texts[job.file]}, job.file, [set_text(("already cut",), name, job.file)]
        )
        if changed is None:
            return (), faults
        files.append((job.file, changed[job.file].encode()))
    return tuple(files), ()
