"""The order in which findings are told."""

from __future__ import annotations

from batchwright.base.finding import Finding, Grade

RANK = {Grade.FAILS: 0, Grade.NEAR: 1, Grade.NOTE: 2}


def worst_first(findings: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """Failing ones first, then those near a limit, then notes; within a grade in file order; each told once."""
    once = dict.fromkeys(findings)
    return tuple(sorted(once, key=lambda one: (RANK[one.grade], one.place, one.code, one.what)))
