"""Plan a job: from its file to records; nothing is written here."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

from batchwright.app.extent import extent_faults
from batchwright.app.load import Loaded, load
from batchwright.app.order import worst_first
from batchwright.app.planned import Planned
from batchwright.app.progress import Progress, silent
from batchwright.app.result import Outcome
from batchwright.base.fault import Fault, has_errors, in_file_order
from batchwright.base.finding import Finding, Grade
from batchwright.handbook.species import find_species
from batchwright.joinery.already_cut import compare_cut, milled_by_cut, pinned
from batchwright.joinery.milled import complete_as_milled
from batchwright.model.draft import DraftPiece
from batchwright.model.job import Job
from batchwright.model.piece import Piece
from batchwright.model.stock import LumberPlan
from batchwright.model.work import CuttingList
from batchwright.planning.cutting import SIXTEENTH, Request, check_cutting_list, list_parts
from batchwright.planning.lumber import LumberRequest, Stop, plan_lumber

FOLLOWING = ("parts-overlap", "meeting-finds-nothing", "expect-not-met")
"""Faults that come of themselves where a part or a joint is lost to another fault."""

THIRTY_SECOND = 25.4 / 32
TENTH = 0.1
"""Units of the board plan in inch and metric jobs [mm]."""
WHOLE = 1.0
"""Rough sizes of a metric job are in whole millimetres [mm]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Checked:
    """A piece or job that was read and jointed, with what was found."""

    loaded: Loaded
    piece: Piece
    findings: tuple[Finding, ...]


def check_file(path: Path) -> Outcome[Checked]:
    """Read a piece file or a job, joint the piece, and tell all faults and findings."""
    return check_loaded(load(path))


def check_loaded(outcome: Outcome[Loaded]) -> Outcome[Checked]:
    """The piece of a job that was read, jointed, with all faults and findings."""
    if outcome.thing is None:
        return Outcome(None, outcome.faults)
    loaded, told = _by_the_job(outcome.thing)
    milled = (*loaded.milled, *milled_by_cut(loaded.cut))
    piece = complete_as_milled(pinned(loaded.draft, loaded.cut), loaded.shop, milled)
    told = (*told, *compare_cut(piece, loaded.cut))
    found = _of_their_own(piece.faults, outcome.faults)
    faults = in_file_order([*outcome.faults, *found, *([] if has_errors(tuple(found)) else extent_faults(piece))])
    return Outcome(Checked(loaded=loaded, piece=piece, findings=worst_first((*told, *piece.findings))), faults)


def _of_their_own(found: tuple[Fault, ...], read: tuple[Fault, ...]) -> list[Fault]:
    """Faults found in the drawn shapes, less those that a statement which could not be read may have brought about."""
    return [fault for fault in found if fault.code not in FOLLOWING] if has_errors(read) else list(found)


def plan_job(path: Path, made: datetime, progress: Progress = silent, boards: bool = True) -> Outcome[Planned]:
    """Everything planned for a job; None with the faults where the input is wrong. Without `boards` no board plan is
    made: drawings do not need one."""
    progress("reading", 0.0)
    return plan_checked(check_file(path), made, progress, boards)


def plan_checked(
    outcome: Outcome[Checked], made: datetime, progress: Progress = silent, boards: bool = True
) -> Outcome[Planned]:
    """Everything planned for a piece that was read and jointed already."""
    if outcome.thing is None or has_errors(outcome.faults):
        return Outcome(None, outcome.faults)
    checked = outcome.thing
    loaded = checked.loaded
    progress("cutting list", 0.3)
    cutting, listed = cutting_of(checked)
    progress("boards", 0.35)
    lumber, laid = lumber_of(loaded, cutting, progress) if boards else (None, ())
    planned = Planned(
        job=loaded.job,
        shop=loaded.shop,
        piece=checked.piece,
        cutting=cutting,
        lumber=lumber,
        boards=loaded.boards,
        findings=worst_first((*checked.findings, *listed, *laid)),
        made=made,
        design_hash=loaded.design_hash,
    )
    return Outcome(planned, outcome.faults)


def cutting_of(checked: Checked) -> tuple[CuttingList, tuple[Finding, ...]]:
    """The cutting list of a checked piece, and what was found in making it."""
    loaded = checked.loaded
    request = Request(
        piece=checked.piece,
        shop=loaded.shop,
        copies=loaded.job.copies,
        spares=loaded.job.spares,
        grid=SIXTEENTH if _in_inches(loaded) else WHOLE,
    )
    cutting, findings = list_parts(request)
    return cutting, (*findings, *check_cutting_list(checked.piece, cutting))


def lumber_of(
    loaded: Loaded, cutting: CuttingList, progress: Progress, stop: Stop | None = None
) -> tuple[LumberPlan | None, tuple[Finding, ...]]:
    """The board plan and what was found in laying it; None where the job names no boards. `stop` says how long to look
    for a better one."""
    if not loaded.boards:
        return None, ()
    grid = THIRTY_SECOND if _in_inches(loaded) else TENTH
    request = LumberRequest(
        blanks=cutting.blanks, boards=loaded.boards, shop=loaded.shop, grid=grid, stop=stop or Stop()
    )
    return plan_lumber(request, lambda share: progress("boards", 0.3 + 0.2 * share))


def _in_inches(loaded: Loaded) -> bool:
    """Whether the job's sheets are in inches."""
    return (loaded.job.print_in or loaded.draft.units) == "in"


def _by_the_job(loaded: Loaded) -> tuple[Loaded, tuple[Finding, ...]]:
    """What the job says wins over what the piece says; a finding tells where they differ."""
    job, draft = loaded.job, loaded.draft
    findings: list[Finding] = []
    if job.wood and job.wood != draft.wood:
        both = f"the piece is drawn in {_wood(draft.wood)}, the job makes it in {_wood(job.wood)}"
        findings.append(_differs(job, both))
        draft = _in_wood(draft, job.wood)
    if job.outdoors is not None and job.outdoors != draft.outdoors:
        place = "outdoors" if job.outdoors else "indoors"
        findings.append(_differs(job, f"the job puts the piece {place}, the piece file says otherwise"))
        draft = replace(draft, outdoors=job.outdoors)
    return replace(loaded, draft=draft), tuple(findings)


def _in_wood(draft: DraftPiece, wood: str) -> DraftPiece:
    parts = tuple(replace(part, wood=wood) if part.wood == draft.wood else part for part in draft.parts)
    return replace(draft, wood=wood, parts=parts)


def _wood(key: str) -> str:
    """The name of a wood, as a maker says it."""
    named = find_species(key)
    return key if named is None else named.name.lower()


def _differs(job: Job, what: str) -> Finding:
    return Finding(
        code="job-differs-from-piece",
        grade=Grade.NOTE,
        what=f"{what}; the job decides.",
        mend="change one of the two if that is not meant.",
        place=job.place,
    )
