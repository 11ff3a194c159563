"""From file names to records: the piece, the job, the shop, the boards. Everything wrong is collected on the way."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from batchwright.app.result import Outcome
from batchwright.base.fault import Fault, Place, in_file_order
from batchwright.design.boards import read_boards, read_defects
from batchwright.design.draft import draft_piece
from batchwright.design.job import check_job_names, read_job
from batchwright.design.shop import packaged_shop, read_shop
from batchwright.design.text.read import read_bytes
from batchwright.model.draft import DraftPiece
from batchwright.model.job import Job
from batchwright.model.shop import Shop
from batchwright.model.stock import Board
from batchwright.storage.folder import Folder

JOB_SUFFIX = ".job.yaml"
PIECE_SUFFIX = ".piece.yaml"


@dataclass(frozen=True, slots=True, kw_only=True)
class Loaded:
    """All that a plan starts from. `design_hash` covers every byte that was read."""

    job: Job
    shop: Shop
    draft: DraftPiece
    boards: tuple[Board, ...]
    design_hash: str


_ReadBoards = Callable[[str], tuple[tuple[Board, ...], tuple[Fault, ...]]]


@dataclass(slots=True)
class _Reading:
    """What has been read so far, and everything wrong with it."""

    folder: Folder
    faults: list[Fault] = field(default_factory=list)
    digest: list[bytes] = field(default_factory=list)

    def text(self, name: str, place: Place) -> str | None:
        """A file of the folder as text; None, with the fault noted, where it cannot be had."""
        content, fault = self.folder.read(name, place)
        if content is None:
            if fault is not None:
                self.faults.append(fault)
            return None
        self.digest.append(name.encode() + b"\0" + content)
        text, tree, faults = read_bytes(content, name) if name.endswith(".yaml") else _plain(content, name)
        del tree
        if text is None:
            self.faults.extend(faults)
        return text

    def keep(self, faults: tuple[Fault, ...]) -> None:
        """Note faults."""
        self.faults.extend(faults)

    def hash(self) -> str:
        """Of everything read."""
        return hashlib.sha256(b"\0\0".join(self.digest)).hexdigest()[:16]


def _plain(content: bytes, name: str) -> tuple[str | None, None, tuple[Fault, ...]]:
    try:
        return content.decode("utf-8-sig"), None, ()
    except UnicodeDecodeError as problem:
        line = content[: problem.start].count(b"\n") + 1
        fault = Fault(
            code="not-utf-8",
            place=Place(name, line, 1),
            what=f"'{name}' is not UTF-8 text: byte {problem.start} does not fit.",
            mend="save it as UTF-8 (a choice of the editor or the spreadsheet).",
        )
        return None, None, (fault,)


def load(path: Path) -> Outcome[Loaded]:
    """A job with all it names, or a piece file alone (one copy, no boards)."""
    path = path.absolute()
    reading = _Reading(Folder(path.parent))
    if path.name.endswith(JOB_SUFFIX):
        return _load_job(reading, path.name)
    job = Job(name=path.name.split(".")[0], file=path.name, piece_file=path.name)
    if not path.name.endswith(PIECE_SUFFIX) and path.is_file():
        return Outcome(None, (_strange(path.name),))
    draft = _draft(reading, path.name, job, Place(path.name))
    return _outcome(reading, job, packaged_shop(), draft, ())


def _strange(name: str) -> Fault:
    return Fault(
        code="file-kind",
        place=Place(name),
        what=f"'{name}' is neither a piece nor a job by its name.",
        mend=f"name a file that ends in {PIECE_SUFFIX} or {JOB_SUFFIX}.",
    )


def _load_job(reading: _Reading, name: str) -> Outcome[Loaded]:
    text = reading.text(name, Place(name))
    if text is None:
        return Outcome(None, in_file_order(reading.faults))
    job, faults = read_job(text, name)
    reading.keep(faults)
    if job is None:
        return Outcome(None, in_file_order(reading.faults))
    shop = _shop(reading, job)
    draft = _draft(reading, job.piece_file, job, _said(job, "piece"))
    boards = _boards(reading, job, job.print_in or (draft.units if draft is not None else "in"))
    if draft is not None:
        sizes = {size.name for size in draft.sizes}
        parts = {part.name for part in draft.parts}
        reading.keep(check_job_names(job, sizes, parts))
    return _outcome(reading, job, shop, draft, boards)


def _outcome(
    reading: _Reading, job: Job, shop: Shop | None, draft: DraftPiece | None, boards: tuple[Board, ...]
) -> Outcome[Loaded]:
    faults = in_file_order(reading.faults)
    if draft is None or shop is None:
        return Outcome(None, faults)
    loaded = Loaded(job=job, shop=shop, draft=draft, boards=boards, design_hash=reading.hash())
    return Outcome(loaded, faults)


def _shop(reading: _Reading, job: Job) -> Shop | None:
    if not job.shop_file:
        return packaged_shop()
    text = reading.text(job.shop_file, _said(job, "shop"))
    if text is None:
        return None
    shop, faults = read_shop(text, job.shop_file)
    reading.keep(faults)
    return shop


def _draft(reading: _Reading, name: str, job: Job, place: Place) -> DraftPiece | None:
    content, fault = reading.folder.read(name, place)
    if content is None:
        reading.keep((fault,) if fault is not None else ())
        return None
    reading.digest.append(name.encode() + b"\0" + content)
    _, tree, faults = read_bytes(content, name)
    reading.keep(faults)
    if tree is None:
        return None
    draft, more = draft_piece(tree, name, (*job.sizes, *job.as_milled))
    reading.keep(more)
    return draft


def _boards(reading: _Reading, job: Job, units: str) -> tuple[Board, ...]:
    def table(word: str, name: str, read: _ReadBoards) -> tuple[Board, ...]:
        text = reading.text(name, _said(job, word)) if name else None
        if text is None:
            return ()
        found, faults = read(text)
        reading.keep(faults)
        return found

    boards = table("boards", job.boards_file, lambda text: read_boards(text, job.boards_file, units))
    if not boards or not job.defects_file:
        return boards
    return (
        table("defects", job.defects_file, lambda text: read_defects(text, job.defects_file, units, boards)) or boards
    )


def _said(job: Job, word: str) -> Place:
    """Where a word of the job has its value."""
    return dict(job.places).get(word, job.place)
