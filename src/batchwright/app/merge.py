"""Findings that say the same of several things, told once."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace

from batchwright.base.finding import Finding, Grade

ORDER = {Grade.FAILS: 0, Grade.NEAR: 1, Grade.NOTE: 2}


def merged(findings: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """Findings of one code, place, reason and mend as one: the worst speaks, the others are named in `about`.

    Failing ones first, then those near a limit, then notes; within a grade in file order.
    """
    groups: dict[tuple[object, ...], list[Finding]] = defaultdict(list)
    for one in findings:
        groups[(one.code, one.grade, one.place.file, one.place.line, one.why, one.mend)].append(one)
    told = [_one(group) for group in groups.values()]
    return tuple(sorted(told, key=lambda one: (ORDER[one.grade], one.place, one.code, one.what)))


def _one(group: list[Finding]) -> Finding:
    if len(group) == 1:
        return group[0]
    worst = max(group, key=lambda one: one.utilisation or 0.0)
    about = tuple(dict.fromkeys(name for one in (worst, *group) for name in one.about))
    others = len(group) - 1
    return replace(worst, what=f"{worst.what.rstrip('.')}; and {others} more like it.", about=about)
