"""What a plan is, once made."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from batchwright.base.finding import Finding, Grade
from batchwright.model.job import Job
from batchwright.model.piece import Piece
from batchwright.model.shop import Shop
from batchwright.model.stock import Board, LumberPlan
from batchwright.model.work import CuttingList

MARK_LETTERS = 6
"""How much of the design's hash stands on the sheets and on the page as the mark of an issue."""


def issue_mark(design_hash: str) -> str:
    """The mark of an issue: the same on every sheet and on the page as long as no byte of the design is changed."""
    return design_hash[:MARK_LETTERS]


@dataclass(frozen=True, slots=True, kw_only=True)
class Planned:
    """A job planned: the jointed piece, its lists, its boards, its findings."""

    job: Job
    shop: Shop
    piece: Piece
    cutting: CuttingList
    lumber: LumberPlan | None
    boards: tuple[Board, ...]
    findings: tuple[Finding, ...]
    made: datetime
    design_hash: str

    @property
    def failing(self) -> bool:
        """Whether any finding fails."""
        return any(finding.grade is Grade.FAILS for finding in self.findings)

    @property
    def inches(self) -> bool:
        """Whether sheets are in inches."""
        return (self.job.print_in or self.piece.draft.units) == "in"
