"""The door of the room: blanks, boards and a shop in; a verified plan out, with its bound, and what is not covered."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from batchwright.base.finding import Finding, Grade
from batchwright.model.shop import Shop
from batchwright.model.stock import Blank, Board, LumberPlan, Shortage
from batchwright.planning.lumber.bounds import least_cost
from batchwright.planning.lumber.layout import Handout, board_plans
from batchwright.planning.lumber.problem import THIRTY_SECOND, Problem, saw_kerf, set_problem
from batchwright.planning.lumber.shortage import why_short
from batchwright.planning.lumber.solve import Layout, Stop, solve
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
    plan = _plan(request, problem, result.best)
    wrong = check_layout(plan, Cuts(kerf=saw_kerf(request.shop), end_trim=request.shop.allowances.end_trim.value))
    progress(1.0)
    return replace(plan, verified=not wrong), (*wrong, *_not_covered(plan))


def _plan(request: LumberRequest, problem: Problem, layout: Layout) -> LumberPlan:
    handout = Handout(problem, request.blanks)
    plans = board_plans(problem, layout.filled, handout)
    short = tuple(
        Shortage(blank=index, count=count, why=why_short(request.blanks[index], request.boards, request.shop))
        for index, count in sorted(handout.left().items())
    )
    laid = [item.demand - layout.short[number] for number, item in enumerate(problem.items)]
    used = [problem.boards[each.board] for each in layout.filled]
    area = sum(board.area for board in used)
    bound = least_cost(problem, laid, [board.area for board in problem.boards])
    cost_bound = least_cost(problem, laid, [board.cost for board in problem.boards]) if problem.priced else None
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
        status=_status(layout, cost_bound, bound),
        spacing=problem.step_along * problem.unit,
        cost_bound=cost_bound,
    )


def _status(layout: Layout, cost_bound: float | None, area_bound: float) -> str:
    if any(layout.short):
        return "not everything is covered"
    bound = cost_bound if cost_bound is not None else area_bound
    if bound <= 0.0:
        return "nothing to lay"
    what = "price" if cost_bound is not None else "area"
    return f"best found; {what} at most {layout.cost / bound - 1.0:.1%} above the least possible"


def _not_covered(plan: LumberPlan) -> tuple[Finding, ...]:
    return tuple(_short_finding(plan.blanks[short.blank], short) for short in plan.short)


def _short_finding(blank: Blank, short: Shortage) -> Finding:
    stave = f" ({blank.stave})" if blank.stave else ""
    return Finding(
        code="blank-not-covered",
        grade=Grade.FAILS,
        what=f"{blank.label}{stave}: {short.count} of {blank.count} are not covered by the boards.",
        why=short.why,
        mend=f"look for {_size_of(blank)}.",
    )


def _size_of(blank: Blank) -> str:
    return f"a board at least {blank.length / 25.4:.1f} in long"
