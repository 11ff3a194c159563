"""What the packet is made from, and how one of its sheets is headed."""

from __future__ import annotations

from dataclasses import dataclass

from batchwright.base.finding import Finding
from batchwright.model.stock import LumberPlan
from batchwright.model.work import CuttingList
from batchwright.sheets.scene.sheet import LETTER, PAPERS, Block, Paper, Sheet
from batchwright.sheets.views.cover import Said
from batchwright.sheets.views.made import Made
from batchwright.sheets.views.printing import Printing


@dataclass(frozen=True, slots=True, kw_only=True)
class Contents:
    """All that the packet is made from."""

    made: Made
    cutting: CuttingList
    lumber: LumberPlan | None
    findings: tuple[Finding, ...]
    printing: Printing
    job: str
    copies: int
    revision: str
    date: str
    paper: str = "letter"
    units: str = ""
    said: Said = ()
    """What the job says of glue, finish, place, wood and date, as words and values."""


def paper_of(name: str) -> Paper:
    """The paper a job names; a roll falls back to Letter or A4 sheets for everything but the roll pages."""
    wanted = {paper.lower(): paper for paper in PAPERS}
    key = wanted.get(name.split()[0].lower()) if name else None
    return PAPERS[key] if key is not None else LETTER


def sheet_of(contents: Contents, key: str, title: str, blocks: tuple[Block, ...]) -> Sheet:
    """A sheet of the packet, with its head and foot."""
    return Sheet(
        key=key,
        title=title,
        blocks=blocks,
        paper=paper_of(contents.paper),
        job=contents.job,
        revision=contents.revision,
        date=contents.date,
        units=contents.printing.units_line(),
        hand=contents.printing.hand_line(),
    )
