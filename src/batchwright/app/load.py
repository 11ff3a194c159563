"""From file names to records: the piece, the job, the shop, the boards. Everything wrong is collected on the way."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Protocol, TypeVar

from batchwright.app.order import first_of
from batchwright.app.result import Outcome
from batchwright.base.fault import Fault, Place, has_errors, in_file_order
from batchwright.design.boards import read_boards, read_defects
from batchwright.design.cut import read_cut
from batchwright.design.draft import draft_piece, outline_files, part_names, size_names
from batchwright.design.editing.mends import with_mends
from batchwright.design.job import check_job_names, read_job
from batchwright.design.milled import milled_of, of_sizes
from batchwright.design.shop import packaged_shop, read_shop
from batchwright.design.text.read import read_bytes
from batchwright.model.draft import DraftPiece
from batchwright.model.job import Job, Override
from batchwright.model.milled import CutPart, Milled
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
    milled: tuple[Milled, ...] = ()
    """Parts that came out of the planer otherwise than drawn."""
    cut: tuple[CutPart, ...] = ()
    """Parts that are cut already."""


_ReadBoards = Callable[[str], tuple[tuple[Board, ...], tuple[Fault, ...]]]
Read = TypeVar("Read")


class Source(Protocol):
    """Where files are read from: a folder on the disk, or texts that are not saved yet."""

    def read(self, name: str, place: Place) -> tuple[bytes | None, Fault | None]:
        """The bytes of a file, or the fault that keeps us from it; `place` is where its name was written."""
        ...


class Kept:
    """What was read last, so that a text that has not changed is not read again."""

    def __init__(self) -> None:
        self._kept: dict[str, tuple[object, object]] = {}

    def once(self, what: str, made_from: object, make: Callable[[], Read]) -> Read:
        """What `make` gives; what it gave last time, where it is made from the same."""
        found = self._kept.get(what)
        if found is None or found[0] != made_from:
            found = (made_from, make())
            self._kept[what] = found
        made: Read = found[1]  # type: ignore[assignment]
        return made

    def last(self, what: str) -> object:
        """What was given last; None where nothing was."""
        found = self._kept.get(what)
        return None if found is None else found[1]


@dataclass(slots=True)
class _Reading:
    """What has been read so far, and everything wrong with it."""

    folder: Source
    tried: tuple[Override, ...] = ()
    kept: Kept = field(default_factory=Kept)
    faults: list[Fault] = field(default_factory=list)
    texts: dict[str, str] = field(default_factory=dict)
    digest: list[bytes] = field(default_factory=list)
    milled: tuple[Milled, ...] = ()
    cut: tuple[CutPart, ...] = ()
    sizes: frozenset[str] = frozenset()
    parts: frozenset[str] = frozenset()
    """The sizes and numbers, and the parts, that the piece file names, at fault or not."""

    def text(self, name: str, place: Place) -> str | None:
        """A file of the folder as text; None, with the fault noted, where it cannot be had."""
        content, fault = self.folder.read(name, place)
        if content is None:
            if fault is not None:
                self.faults.append(fault)
            return None
        self.digest.append(name.encode() + b"\0" + content)
        read = read_bytes if name.endswith(".yaml") else _plain
        text, _, faults = self.kept.once(f"text {name}", content, lambda: read(content, name))
        if text is None:
            self.faults.extend(faults)
        else:
            self.texts[name] = text
        return text

    def drawing(self, name: str, place: Place) -> bytes | Fault:
        """The bytes of a drawing that an outline names, or why they cannot be had; noted in the design's hash."""
        content, fault = self.folder.read(name, place)
        if content is None:
            assert fault is not None
            return fault
        self.digest.append(name.encode() + b"\0" + content)
        return content

    def keep(self, faults: tuple[Fault, ...]) -> None:
        """Note faults."""
        self.faults.extend(faults)

    def told(self) -> tuple[Fault, ...]:
        """What is wrong, in order, with the mends that can be made in what was read."""
        return with_mends(first_of(in_file_order(self.faults)), self.texts)

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
    if not path.name.endswith((JOB_SUFFIX, PIECE_SUFFIX)) and path.is_file():
        return Outcome(None, (_strange(path.name),))
    return load_from(Folder(path.parent), path.name)


def load_from(source: Source, name: str, tried: tuple[Override, ...] = (), kept: Kept | None = None) -> Outcome[Loaded]:
    """A job or a piece file out of any source. `tried` sets sizes over whatever the files say; `kept` holds what was
    read before, so that unchanged texts are not read again."""
    reading = _Reading(source, tried, kept if kept is not None else Kept())
    if name.endswith(JOB_SUFFIX):
        return _load_job(reading, name)
    job = Job(name=name.split(".")[0], file=name, piece_file=name)
    draft = _draft(reading, name, job, Place(name))
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
        return Outcome(None, reading.told())
    job, faults = reading.kept.once("job", (text, name), lambda: read_job(text, name))
    reading.keep(faults)
    if job is None:
        return Outcome(None, reading.told())
    shop = _shop(reading, job)
    draft = _draft(reading, job.piece_file, job, _said(job, "piece"))
    reading.cut = _cut(reading, job)
    boards = _boards(reading, job, job.print_in or (draft.units if draft is not None else "in"))
    if draft is not None:
        reading.keep(check_job_names(job, reading.sizes, reading.parts))
        milled, wrong = milled_of(job, reading.sizes, draft)
        lost = reading.parts - {part.name for part in draft.parts}
        reading.keep(() if lost and has_errors(tuple(reading.faults)) else wrong)
        reading.milled = milled
    return _outcome(reading, job, shop, draft, boards)


def _outcome(
    reading: _Reading, job: Job, shop: Shop | None, draft: DraftPiece | None, boards: tuple[Board, ...]
) -> Outcome[Loaded]:
    faults = reading.told()
    if draft is None or shop is None:
        return Outcome(None, faults)
    loaded = Loaded(
        job=job,
        shop=shop,
        draft=draft,
        boards=boards,
        design_hash=reading.hash(),
        milled=reading.milled,
        cut=reading.cut,
    )
    return Outcome(loaded, faults)


def _shop(reading: _Reading, job: Job) -> Shop | None:
    if not job.shop_file:
        return packaged_shop()
    text = reading.text(job.shop_file, _said(job, "shop"))
    if text is None:
        return None
    shop, faults = reading.kept.once("shop", (text, job.shop_file), lambda: read_shop(text, job.shop_file))
    reading.keep(faults)
    return shop


def _cut(reading: _Reading, job: Job) -> tuple[CutPart, ...]:
    if not job.cut_file:
        return ()
    text = reading.text(job.cut_file, _said(job, "already cut"))
    if text is None:
        return ()
    parts, faults = reading.kept.once("cut", (text, job.cut_file), lambda: read_cut(text, job.cut_file))
    reading.keep(faults)
    return parts


def _draft(reading: _Reading, name: str, job: Job, place: Place) -> DraftPiece | None:
    content, fault = reading.folder.read(name, place)
    if content is None:
        reading.keep((fault,) if fault is not None else ())
        return None
    reading.digest.append(name.encode() + b"\0" + content)
    text, tree, faults = reading.kept.once("piece", (name, content), lambda: read_bytes(content, name))
    reading.keep(faults)
    if text is not None:
        reading.texts[name] = text
    if tree is None:
        return None
    files = {file: reading.drawing(file, said) for file, said in outline_files(tree)}
    reading.sizes, reading.parts = size_names(tree), part_names(tree)
    milled = of_sizes(job, reading.sizes)
    draft, more = draft_piece(tree, name, (*job.sizes, *milled, *reading.tried), files)
    reading.keep(more)
    return draft


def _boards(reading: _Reading, job: Job, units: str) -> tuple[Board, ...]:
    def table(word: str, name: str, read: _ReadBoards, beside: tuple[Board, ...] = ()) -> tuple[Board, ...]:
        text = reading.text(name, _said(job, word)) if name else None
        if text is None:
            return ()
        found, faults = reading.kept.once(word, (name, text, units, beside), lambda: read(text))
        reading.keep(faults)
        return found

    boards = table("boards", job.boards_file, lambda text: read_boards(text, job.boards_file, units))
    if not boards or not job.defects_file:
        return boards

    def marked(text: str) -> tuple[tuple[Board, ...], tuple[Fault, ...]]:
        return read_defects(text, job.defects_file, units, boards)

    return table("defects", job.defects_file, marked, boards) or boards


def _said(job: Job, word: str) -> Place:
    """Where a word of the job has its value."""
    return dict(job.places).get(word, job.place)
