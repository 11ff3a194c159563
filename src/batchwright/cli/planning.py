"""The `plan`, `draw` and `sheet` commands."""

from __future__ import annotations

import sys
from pathlib import Path

from batchwright.app.draw import Drawn, draw_view
from batchwright.app.packet import file_name, one_sheet, packet_files, sheet_keys
from batchwright.app.plan import plan_job
from batchwright.app.planned import Planned
from batchwright.app.save import FolderBusyError, save_file, save_into, save_packet
from batchwright.base.fault import Fault, Place
from batchwright.cli.answer import answer, finding_words, give_up, refuse
from batchwright.cli.bars import progress_bar
from batchwright.cli.clock import now

COMMAND = "batchwright"


def plan(job: Path, out: Path, as_json: bool, quiet: bool) -> None:
    """Plan a job and write its packet."""
    made = now(as_json)
    with progress_bar(quiet or as_json) as progress:
        outcome = plan_job(job, made, progress)
        if outcome.thing is None:
            refuse(outcome.faults, as_json=as_json)
        planned = outcome.thing
        files = packet_files(planned, progress)
    try:
        written = save_packet(out, files)
    except FolderBusyError as busy:
        give_up(f"{busy}.", "wait until it is done, or write into another folder.", as_json=as_json)
    except OSError as problem:
        mend = "free the folder or the disk, or write into another folder; an earlier packet there is whole."
        give_up(f"'{out}' could not be written: {problem.strerror}.", mend, as_json=as_json)
    result: dict[str, object] = {"out": str(out), "files": list(written), **_summary(planned)}
    answer(
        result,
        as_json=as_json,
        words=_plan_words(planned, out, written),
        findings=planned.findings,
        faults=outcome.faults,
    )


def draw(file: Path, view: str, joint: str, out: Path | None, as_json: bool) -> None:
    """Draw one view or one joint."""
    outcome = draw_view(file, view, joint, _format(out, as_json))
    if outcome.thing is None:
        refuse(outcome.faults, as_json=as_json)
    drawn: Drawn = outcome.thing
    if out is None:
        if not as_json:
            sys.stdout.write(drawn.text)
            raise SystemExit(0)
        answer({"name": drawn.name, "drawing": drawn.text}, as_json=True, words=())
    try:
        save_file(out, drawn.text.encode())
    except OSError as problem:
        give_up(f"'{out}' could not be written: {problem.strerror}.", "choose another file.", as_json=as_json)
    answer({"name": drawn.name, "file": str(out)}, as_json=as_json, words=[f"{drawn.name}: {out}"])


def sheet(name: str, job: Path | None, out: Path, as_json: bool) -> None:
    """Print one sheet of the packet again."""
    path = job or _only_job(as_json)
    outcome = plan_job(path, now(as_json))
    if outcome.thing is None:
        refuse(outcome.faults, as_json=as_json)
    planned = outcome.thing
    keys = sheet_keys(planned)
    if name == "list":
        words = [f"{file_name(key)}: {title}" for key, title in keys]
        listed = [{"name": file_name(key), "title": title} for key, title in keys]
        answer({"sheets": listed}, as_json=as_json, words=words)
    key = next((key for key, _ in keys if _plain(key) == _plain(name)), None)
    pdf = None if key is None else one_sheet(planned, key)
    if key is None or pdf is None:
        every = [file_name(key) for key, _ in keys]
        named = [one for one in every if _plain(name) in _plain(one)] or every
        fault = Fault(
            code="unknown-sheet",
            place=Place(f"{COMMAND} sheet"),
            what=f"the packet has no sheet '{name}'.",
            mend=f"name one of: {', '.join(named[:12])}; `batchwright sheet list` names them all.",
        )
        refuse((fault,), as_json=as_json)
    try:
        written = save_into(out, {f"sheets/{file_name(key)}.pdf": pdf})
    except FolderBusyError as busy:
        give_up(f"{busy}.", "wait until it is done, or write into another folder.", as_json=as_json)
    except OSError as problem:
        give_up(f"'{out}' could not be written: {problem.strerror}.", "choose another folder.", as_json=as_json)
    answer({"out": str(out), "files": list(written)}, as_json=as_json, words=[str(out / one) for one in written])


def _plain(name: str) -> str:
    return file_name(name).casefold()


def _only_job(as_json: bool) -> Path:
    jobs = sorted(Path().glob("*.job.yaml"))
    if len(jobs) == 1:
        return jobs[0]
    found = ", ".join(path.name for path in jobs) or "none"
    fault = Fault(
        code="which-job",
        place=Place(f"{COMMAND} sheet"),
        what=f"no job was named, and this folder holds {len(jobs)} ({found}).",
        mend="name the job, as in: batchwright sheet cover terrace.job.yaml",
    )
    refuse((fault,), as_json=as_json)


def _format(out: Path | None, as_json: bool) -> str:
    form = ".svg" if out is None else out.suffix.lower()
    if form in (".svg", ".dxf"):
        return form[1:]
    fault = Fault(
        code="unknown-drawing-form",
        place=Place(f"{COMMAND} draw"),
        what=f"a drawing is written as .svg or .dxf; '{out}' is neither.",
        mend="end the name of the file with .svg or .dxf.",
    )
    refuse((fault,), as_json=as_json)


def _summary(planned: Planned) -> dict[str, object]:
    lumber = planned.lumber
    return {
        "piece": planned.piece.draft.name,
        "copies": planned.job.copies,
        "parts": len(planned.piece.parts),
        "joints": len(planned.piece.joints),
        "boards_used": None if lumber is None else len(lumber.plans),
        "cost": None if lumber is None else lumber.cost,
        "gap": None if lumber is None else lumber.gap,
        "not_covered": None if lumber is None else sum(short.count for short in lumber.short),
    }


def _plan_words(planned: Planned, out: Path, written: tuple[str, ...]) -> list[str]:
    lines = [
        f"{planned.piece.draft.name}: {planned.job.copies} copies, {len(planned.piece.parts)} parts and "
        f"{len(planned.piece.joints)} joints in each"
    ]
    lumber = planned.lumber
    if lumber is not None:
        gap = "" if lumber.gap is None else f", at most {lumber.gap:.1%} more board than the least possible"
        cost = "" if lumber.cost is None else f" for {planned.shop.currency}{lumber.cost:,.2f}"
        lines.append(f"boards: {len(lumber.plans)} of {len(lumber.boards)} used{cost}{gap}")
        for short in lumber.short:
            lines.append(f"not covered: {short.count} of {lumber.blanks[short.blank].label}: {short.why}")
    lines += finding_words(planned.findings)
    lines.append(f"{len(written)} files in {out}: start with {out / 'packet.pdf'}")
    return lines
