"""The order in which findings are told, and how many faults are."""

from __future__ import annotations

from batchwright.base.fault import Fault, Level, Place
from batchwright.base.finding import Finding, Grade

RANK = {Grade.FAILS: 0, Grade.NEAR: 1, Grade.NOTE: 2}


def worst_first(findings: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """Failing ones first, then those near a limit, then notes; within a grade in file order; each told once."""
    once = dict.fromkeys(findings)
    return tuple(sorted(once, key=lambda one: (RANK[one.grade], one.place, one.code, one.what)))


MOST_TOLD = 200
"""Faults that are told at once: nobody reads more, and a file may have thousands."""


def first_of(faults: tuple[Fault, ...]) -> tuple[Fault, ...]:
    """The first faults in their order, errors before warnings where there are too many, and how many more there are."""
    if len(faults) <= MOST_TOLD:
        return faults
    told = set(sorted(range(len(faults)), key=lambda at: (faults[at].level is Level.WARNING, at))[:MOST_TOLD])
    left = [fault for at, fault in enumerate(faults) if at not in told]
    more = Fault(
        code="more-faults",
        place=Place(left[0].place.file),
        what=f"{len(left):,} more faults are not told here.",
        mend="mend the first ones; the others are told then.",
        level=Level.ERROR if any(fault.level is Level.ERROR for fault in left) else Level.WARNING,
    )
    return (*(fault for at, fault in enumerate(faults) if at in told), more)
