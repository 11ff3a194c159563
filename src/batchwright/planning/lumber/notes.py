"""What the maker should know about a plan, besides the plan itself."""

from __future__ import annotations

from collections import defaultdict

from batchwright.model.stock import LumberPlan
from batchwright.planning.lumber.problem import rough_quarters


def notes_on(plan: LumberPlan) -> tuple[str, ...]:
    """Notes on prices, thicker boards, tops from several boards, and what the bound speaks of."""
    return (*_unpriced(plan), *_thicker(plan), *_glued_up(plan), *_bound(plan))


def _unpriced(plan: LumberPlan) -> list[str]:
    without = [board.name for board in plan.boards if board.price is None]
    if not without:
        return []
    if len(without) == len(plan.boards):
        return ["The boards have no prices: the plan takes as little board as it can."]
    named = ", ".join(sorted(without)[:6]) + (" and others" if len(without) > 6 else "")
    return [f"Not all boards have a price ({named}): the plan takes as little board as it can, whatever it costs."]


def _thicker(plan: LumberPlan) -> list[str]:
    boards = {board.name: board for board in plan.boards}
    taken: dict[str, set[str]] = defaultdict(set)
    counts: dict[str, int] = defaultdict(int)
    for name, index in _laid(plan):
        blank = plan.blanks[index]
        if rough_quarters(boards[name].thickness) > rough_quarters(blank.thickness):
            taken[blank.label].add(name)
            counts[blank.label] += 1
    return [
        f"{counts[label]} of {label} come from thicker boards ({', '.join(sorted(names))}): boards of their own "
        f"thickness did not give them all."
        for label, names in taken.items()
    ]


def _glued_up(plan: LumberPlan) -> list[str]:
    """Parts glued up of staves or layers that come from more than one board."""
    seen: dict[int, int] = defaultdict(int)
    sources: dict[tuple[str, int], set[str]] = defaultdict(set)
    labels: dict[str, str] = {}
    for name, index in _laid(plan):
        blank = plan.blanks[index]
        if blank.stave:
            sources[blank.kind, seen[index]].add(name)
            seen[index] += 1
            labels[blank.kind] = blank.label
    mixed: dict[str, list[set[str]]] = defaultdict(list)
    for (kind, _), names in sources.items():
        if len(names) > 1:
            mixed[kind].append(names)
    return [
        f"{labels[kind]}: {len(each)} glued up from several boards ({', '.join(sorted(set().union(*each)))}); "
        f"lay them out for colour and grain before gluing."
        for kind, each in mixed.items()
    ]


def _bound(plan: LumberPlan) -> list[str]:
    if plan.area_bound <= 0.0:
        return []
    what = "least possible area and price are" if plan.cost_bound is not None else "least possible area is"
    return [
        f"The {what} for boards crosscut first, into sections no longer than the longest blank, with every blank "
        f"from boards of the thickness it is meant for, save those told here."
    ]


def _laid(plan: LumberPlan) -> list[tuple[str, int]]:
    """Board and blank of every piece, in the order of the plan."""
    return [
        (each.board, laid.blank)
        for each in plan.plans
        for section in each.sections
        for strip in section.strips
        for laid in strip.laid
    ]
