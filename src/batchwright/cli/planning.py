"""The `plan`, `draw` and `sheet` commands."""

from __future__ import annotations

import sys
from datetime import datetime
from pathlib import Path

from batchwright.app.draw import Drawn, draw_view
from batchwright.app.packet import file_name, one_sheet, packet_files, sheet_keys
from batchwright.app.plan import plan_job
from batchwright.app.planned import Planned
from batchwright.app.save import FolderBusyError, save_file, save_into, save_packet
from batchwright.base.fault import NOWHERE, Fault
from batchwright.cli.answer import answer, finding_words, give_up, refuse
from batchwright.cli.bars import progress_bar


def plan(job: Path, out: Path, as_json: bool, quiet: bool) -> None:
    """Plan a job and write its packet."""
    with progress_bar(quiet or as_json) as progress:
        outcome = plan_job(job, _now(), progress)
        if outcome.thing is None:
            refuse(outcome.faults, as_json=as_json)
        planned = outcome.thing
        files = packet_files(planned, progress)
    try:
        written = save_packet(out, files)
    except FolderBusyError as busy:
        give_up(f"{busy}.", "wait until it is done, or write into another folder.", as_json=as_json)
    except OSError as problem:
        give_up(f"'{out}' could not be written: {problem.strerror}.", "the earlier packet is whole.", as_json=as_json)
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
    outcome = draw_view(file, view, joint, _format(out))
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
    outcome = plan_job(path, _now())
    if outcome.thing is None:
        refuse(outcome.faults, as_json=as_json)
    planned = outcome.thing
    keys = sheet_keys(planned)
    if name == "list":
        words = [f"{key}: {title}" for key, title in keys]
        answer({"sheets": [{"key": key, "title": title} for key, title in keys]}, as_json=as_json, words=words)
    pdf = one_sheet(planned, name)
    if pdf is None:
        named = [key for key, _ in keys if name.lower() in key.lower()] or [key for key, _ in keys]
        fault = Fault(
            code="unknown-sheet",
            place=NOWHERE,
            what=f"the packet has no sheet '{name}'.",
            mend=f"name one of: {', '.join(named[:12])}; `batchwright sheet list` names them all.",
        )
        refuse((fault,), as_json=as_json)
    try:
        written = save_into(out, {f"sheets/{file_name(name)}.pdf": pdf})
    except FolderBusyError as busy:
        give_up(f"{busy}.", "wait until it is done, or write into another folder.", as_json=as_json)
    except OSError as problem:
        give_up(f"'{out}' could not be written: {problem.strerror}.", "choose another folder.", as_json=as_json)
    answer({"out": str(out), "files": list(written)}, as_json=as_json, words=[str(out / one) for one in written])


def _only_job(as_json: bool) -> Path:
    jobs = sorted(Path().glob("*.job.yaml"))
    if len(jobs) == 1:
        return jobs[0]
    found = ", ".join(path.name for path in jobs) or "none"
    fault = Fault(
        code="which-job",
        place=NOWHERE,
        what=f"no job was named, and this folder holds {len(jobs)} ({found}).",
        mend="name the job, as in: batchwright sheet cover terrace.job.yaml",
    )
    refuse((fault,), as_json=as_json)


def _format(out: Path | None) -> str:
    return "dxf" if out is not None and out.suffix.lower() == ".dxf" else "svg"


def _now() -> datetime:
    return datetime.now().astimezone().replace(microsecond=0)


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
