"""The door of the room: blanks, boards and a shop in; a verified plan out, with its bound, and what is not covered."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from batchwright.base.finding import Finding, Grade
from batchwright.model.shop import Shop
from batchwright.model.stock import Blank, Board, LumberPlan, Shortage
from batchwright.planning.lumber.bounds import Demand, least_sums
from batchwright.planning.lumber.greedy import Layout
from batchwright.planning.lumber.layout import Handout, board_plans
from batchwright.planning.lumber.notes import notes_on
from batchwright.planning.lumber.problem import THIRTY_SECOND, Problem, saw_kerf, set_problem
from batchwright.planning.lumber.shortage import look_for, why_short
from batchwright.planning.lumber.solve import QUICK, Stop, solve
from batchwright.planning.lumber.verify import Cuts, check_layout

Progress = Callable[[float], None]


def untold(share: float) -> None:
    """Tell nobody how far it is."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LumberRequest:
    """What is wanted, what there is, and the shop that cuts it. `grid` is the unit of the layout [mm]."""

    blanks: tuple[Blank, ...]
    boards: tuple[Board, ...]
    shop: Shop
    grid: float = THIRTY_SECOND
    seed: int = 1
    stop: Stop = Stop()


def plan_lumber(request: LumberRequest, progress: Progress = untold) -> tuple[LumberPlan, tuple[Finding, ...]]:
    """A layout of the blanks on the boards, checked, and findings on what is not covered."""
    boards = tuple(sorted(request.boards, key=lambda board: board.name))
    problem = set_problem(request.blanks, boards, request.shop, request.grid)
    result = solve(problem, request.stop, request.seed, progress)
    plan = _plan(request, problem, result.best, result.worths)
    plan = replace(plan, notes=notes_on(plan))
    wrong = check_layout(plan, Cuts(kerf=saw_kerf(request.shop), end_trim=request.shop.allowances.end_trim.value))
    progress(1.0)
    return replace(plan, verified=not wrong), (*wrong, *_not_covered(plan, request.shop))


def _plan(request: LumberRequest, problem: Problem, layout: Layout, worths: Sequence[tuple[float, ...]]) -> LumberPlan:
    handout = Handout(problem, request.blanks)
    plans = board_plans(problem, layout.filled, handout)
    short = tuple(
        Shortage(blank=index, count=count, why=why_short(request.blanks[index], request.boards, request.shop))
        for index, count in sorted(handout.left().items())
    )
    used = [problem.boards[each.board] for each in layout.filled]
    area = sum(board.area for board in used)
    cost_bound, bound = least_sums(problem, _demand(problem, layout, worths), quick=request.stop.steps <= QUICK.steps)
    return LumberPlan(
        blanks=request.blanks,
        boards=request.boards,
        plans=plans,
        short=short,
        kerf=problem.kerf * problem.unit,
        cost=layout.cost if problem.priced else None,
        area_used=area,
        area_bound=bound,
        gap=area / bound - 1.0 if bound > 0.0 and not short else None,
        status=_status(problem, layout, cost_bound),
        spacing=problem.step_along * problem.unit,
        cost_bound=cost_bound if problem.priced else None,
    )


def _demand(problem: Problem, layout: Layout, worths: Sequence[tuple[float, ...]]) -> Demand:
    """What the layout holds: each blank from boards of the thickness it is meant for, from thicker where one was."""
    thicker = {item for each in layout.filled for item in each.counts if each.board not in problem.items[item].exact}
    return Demand(
        counts=tuple(item.demand - short for item, short in zip(problem.items, layout.short, strict=True)),
        boards=tuple(item.usable if number in thicker else item.exact for number, item in enumerate(problem.items)),
        worths=tuple(worths),
    )


def _status(problem: Problem, layout: Layout, least: float) -> str:
    if any(layout.short):
        return "not everything is covered"
    if least <= 0.0:
        return "nothing to lay"
    what = "price" if problem.priced else "area"
    return f"best found; {what} at most {layout.cost / least - 1.0:.1%} above the least possible"


def _not_covered(plan: LumberPlan, shop: Shop) -> tuple[Finding, ...]:
    return tuple(_short_finding(plan.blanks[short.blank], short, shop) for short in plan.short)


def _short_finding(blank: Blank, short: Shortage, shop: Shop) -> Finding:
    stave = f" ({blank.stave})" if blank.stave else ""
    return Finding(
        code="blank-not-covered",
        grade=Grade.FAILS,
        what=f"{blank.label}{stave}: {short.count} of {blank.count} are not covered by the boards.",
        why=f"{short.why}.",
        mend=look_for(blank, shop),
    )
