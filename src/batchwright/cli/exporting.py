"""The `export` command."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

from batchwright.app.export import Exported
from batchwright.app.export import export as export_job
from batchwright.app.plan import plan_job
from batchwright.app.save import FolderBusyError, save_into
from batchwright.cli.answer import answer, finding_words, give_up, refuse
from batchwright.cli.bars import progress_bar
from batchwright.cli.clock import now


def export(job: Path, forms: list[str], parts: list[str], out: Path, as_json: bool) -> None:
    """Plan a job and write it for other programs."""
    with progress_bar(as_json) as progress:
        outcome = plan_job(job, now(as_json), progress)
        if outcome.thing is None:
            refuse(outcome.faults, as_json=as_json)
        done = export_job(outcome.thing, forms, parts, progress)
    if done.thing is None:
        refuse(done.faults, as_json=as_json)
    try:
        written = save_into(out, done.thing.files)
    except FolderBusyError as busy:
        give_up(f"{busy}.", "wait until it is done, or write into another folder.", as_json=as_json)
    except OSError as problem:
        mend = "free the folder or the disk, or write into another folder; what was there before is whole."
        give_up(f"'{out}' could not be written: {problem.strerror}.", mend, as_json=as_json)
    result = {"out": str(out), "files": list(written), "notes": list(done.thing.notes)}
    findings = outcome.thing.findings
    answer(
        result,
        as_json=as_json,
        words=[*_words(done.thing, out), *finding_words(findings)],
        findings=findings,
        faults=outcome.faults,
    )


def _words(exported: Exported, out: Path) -> list[str]:
    counts = Counter(Path(name).suffix[1:] for name in exported.files)
    size = sum(len(content) for content in exported.files.values())
    listed = ", ".join(f"{count} {form}" for form, count in sorted(counts.items()))
    return [f"{len(exported.files)} files in {out} ({listed}), {size / 1e6:.1f} MB", *exported.notes]
