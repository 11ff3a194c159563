"""Outlines out of drawing files, which no size moves: said where a joint has left one."""

from __future__ import annotations

from collections.abc import Sequence

from batchwright.base.fault import Fault
from batchwright.base.finding import Finding, Grade
from batchwright.model.draft import DraftPart

LEFT = ("meets-nothing", "stops-short", "stops-short-of-shoulder", "no-wood-behind-shoulder", "no-room-for-tenon")
BESIDE = ("tenon-breaks-out", "mortise-breaks-out")
"""Faults and findings that a part left behind by the others makes."""


def left_behind(parts: Sequence[DraftPart], faults: Sequence[Fault], findings: Sequence[Finding]) -> list[Finding]:
    """A finding for each drawing file whose parts a joint has left."""
    told = [fault.what for fault in faults if fault.code in LEFT]
    told += [finding.what for finding in findings if finding.code in BESIDE]
    found: dict[str, Finding] = {}
    for part in parts:
        if part.from_file and any(part.id in what for what in told):
            found.setdefault(part.from_file, _stays(part))
    return list(found.values())


def _stays(part: DraftPart) -> Finding:
    return Finding(
        code="outline-stays",
        grade=Grade.NEAR,
        what=f"the outline of {part.name} comes from `{part.from_file}`, and a joint has left it",
        why="sizes of the piece do not move what is drawn in a file",
        mend="set the sizes back, or draw it anew in the file; `at` and `scale` may use sizes",
        about=(part.id,),
        place=part.place,
    )
