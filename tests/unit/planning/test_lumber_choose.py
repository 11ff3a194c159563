"""Whole-number programs against every choice of columns, and steps of the board plan against one another."""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from batchwright.planning.lumber import LumberRequest, Stop, plan_lumber
from batchwright.planning.lumber.linear import Program, bound_whole, choose_whole
from lumber_stock import SHOP, blank, board, defect


def a_cover(seed: int, columns: int = 12, needs: int = 4) -> Program:
    """Columns that each cover some of a few needs, one each at most."""
    chance = np.random.default_rng(seed)
    rows = chance.integers(0, 4, (needs, columns)).astype(float)
    return Program(
        costs=chance.integers(3, 30, columns).astype(float),
        rows=rows,
        least=np.floor(rows.sum(axis=1) * 0.45),
        most=np.ones(columns),
    )


def least_of_all(program: Program) -> float:
    """By trying every choice."""
    every = np.array(list(itertools.product((0.0, 1.0), repeat=len(program.costs))))
    met = np.all(every @ program.rows.T >= program.least - 1e-9, axis=1)
    return float((every[met] @ program.costs).min())


@pytest.mark.parametrize("seed", range(12))
def test_a_choice_meets_the_needs_and_is_the_best_of_all(seed: int) -> None:
    program = a_cover(seed)
    found = choose_whole(program, np.ones(12), 1000)
    assert np.all(program.rows @ found >= program.least - 1e-9)
    least = least_of_all(program)
    assert program.costs @ found <= least * 1.003 + 1e-9
    for nodes in (0, 1, 1000):
        bound = bound_whole(program, nodes)
        assert bound is not None
        assert bound <= least + 1e-6


@pytest.mark.parametrize("nodes", [1, 5])
def test_a_choice_is_never_dearer_than_the_one_it_starts_from_and_always_the_same(nodes: int) -> None:
    program = a_cover(99, columns=40, needs=9)
    first = np.ones(40)
    for _ in range(4):
        found = choose_whole(program, first, nodes)
        assert program.costs @ found <= program.costs @ first
        assert np.array_equal(found, choose_whole(program, first, nodes))
        first = found


def test_blanks_that_no_board_of_their_thickness_gives_are_planned_together_with_the_others() -> None:
    """Inch slats and two-inch legs, two-inch boards alone: 2 legs and 4 slats fill one board, as counted by hand."""
    wanted = (blank("leg", (30, 3, 2), 2), blank("slat", (14.875, 3, 1), 4))
    offered = (board("W1", (62.25, 6.125, 2), 40.0), board("W2", (62.25, 6.125, 2), 45.0))
    plan, _ = plan_lumber(LumberRequest(blanks=wanted, boards=offered, shop=SHOP, stop=Stop(steps=1)))
    assert plan.verified
    assert not plan.short
    assert [each.board for each in plan.plans] == ["W1"]
    assert any("come from thicker boards" in note for note in plan.notes)


def test_each_step_of_a_plan_is_no_dearer_than_the_one_before() -> None:
    wanted = tuple(blank(f"rail {n}", (11 + 5 * n, 1.5 + 0.5 * (n % 3), 1), 4 + n) for n in range(6))
    knots = [defect(20 + 7 * n, 22 + 7 * n, 1 + n % 3, 2 + n % 3) for n in range(3)]
    offered = tuple(
        board(f"W{n}", (60 + 9 * n, 5 + n % 4, 1), 30.0 + 7 * n, defects=tuple(knots[: n % 4])) for n in range(9)
    )
    costs = []
    for steps in (1, 2, 3, 6, 7, 8, 20, 110):
        plan, _ = plan_lumber(LumberRequest(blanks=wanted, boards=offered, shop=SHOP, stop=Stop(steps=steps)))
        assert plan.verified
        assert not plan.short
        assert plan.cost is not None
        assert plan.cost_bound is not None
        assert plan.cost_bound <= plan.cost
        costs.append(plan.cost)
    assert costs == sorted(costs, reverse=True)
