"""Laws of board plans, on random boards and blanks; shapely is the referee of what lies where."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Polygon, box
from shapely.ops import unary_union

from batchwright.model.stock import Blank, Board, LumberPlan
from batchwright.planning.lumber import LumberRequest, Stop, plan_lumber
from lumber_stock import INCH, KERF, SHOP, TRIM, blank, board, defect

QUICK = Stop(steps=12)


@st.composite
def boards(draw: st.DrawFn) -> tuple[Board, ...]:
    made = []
    priced = draw(st.booleans())
    for number in range(draw(st.integers(1, 5))):
        length = draw(st.integers(240, 900)) / 8
        width, far = draw(st.integers(24, 80)) / 8, draw(st.integers(24, 80)) / 8
        spots = []
        for _ in range(draw(st.integers(0, 3))):
            start, low = draw(st.floats(0, length - 1)), draw(st.floats(0, min(width, far) - 0.5))
            spots.append(
                defect(start, min(length, start + draw(st.floats(0.05, 20))), low, low + draw(st.floats(0.05, 3)))
            )
        size = (length, width, far, draw(st.sampled_from([1.0, 1.0625, 2.0])))
        price = draw(st.integers(10, 90)) * 1.0 if priced else None
        made.append(board(f"W{number}", size, price, defects=tuple(spots)))
    return tuple(made)


@st.composite
def blanks(draw: st.DrawFn) -> tuple[Blank, ...]:
    return tuple(
        blank(
            f"part {number}",
            (draw(st.floats(4, 60)), draw(st.floats(0.75, 7)), draw(st.sampled_from([1.0, 2.0]))),
            draw(st.integers(1, 9)),
        )
        for number in range(draw(st.integers(1, 4)))
    )


def planned(
    wanted: tuple[Blank, ...], offered: tuple[Board, ...], grid: float = INCH / 32, stop: Stop = QUICK
) -> LumberPlan:
    request = LumberRequest(blanks=wanted, boards=offered, shop=SHOP, stop=stop, grid=grid)
    plan, findings = plan_lumber(request)
    assert plan.verified, [each.what for each in findings]
    return plan


@settings(max_examples=40)
@given(wanted=blanks(), offered=boards(), grid=st.sampled_from([INCH / 32, 0.1]))
def test_blanks_lie_apart_on_clear_wood_and_areas_add_up(
    wanted: tuple[Blank, ...], offered: tuple[Board, ...], grid: float
) -> None:
    plan = planned(wanted, offered, grid)
    by_name = {each.name: each for each in offered}
    for each in plan.plans:
        wood = by_name[each.board]
        pieces = [
            box(one.x, one.y, one.x + one.length, one.y + one.width)
            for section in each.sections
            for strip in section.strips
            for one in strip.laid
        ]
        sound = box(TRIM * INCH, -1, wood.length - TRIM * INCH, 1e4)
        outline = Polygon([(0, 0), (wood.length, 0), (wood.length, wood.far_width), (0, wood.width)])
        knots = unary_union([box(d.start, d.low, d.end, d.high) for d in wood.defects])
        clear = outline.intersection(sound).difference(knots).buffer(0.02, join_style="mitre")
        assert all(clear.covers(piece) for piece in pieces)
        # Half a kerf round each piece: still none over another, so used + kerf + what is left = the board.
        grown = [piece.buffer(KERF * INCH / 2 - 0.01, join_style="mitre") for piece in pieces]
        assert unary_union(grown).area == pytest.approx(sum(each.area for each in grown), rel=1e-9)
        used = sum(piece.area for piece in pieces)
        left = outline.difference(unary_union(pieces)).area
        assert used + left == pytest.approx(wood.area, rel=1e-6)


@settings(max_examples=25)
@given(wanted=blanks(), offered=boards())
def test_no_plan_beats_its_bound(wanted: tuple[Blank, ...], offered: tuple[Board, ...]) -> None:
    plan = planned(wanted, offered)
    assert plan.area_bound <= plan.area_used * (1 + 1e-9)
    if plan.cost is not None:
        assert plan.cost_bound is not None
        assert plan.cost_bound <= plan.cost * (1 + 1e-9)
    laid = sum(
        one.length * one.width
        for each in plan.plans
        for section in each.sections
        for strip in section.strips
        for one in strip.laid
    )
    assert plan.area_bound >= laid * 0.97, "boards hold at least their blanks; they were rounded up to the grid"


@settings(max_examples=20)
@given(wanted=blanks(), offered=boards(), data=st.data())
def test_same_seed_same_plan_and_the_order_of_the_file_costs_nothing(
    wanted: tuple[Blank, ...], offered: tuple[Board, ...], data: st.DataObject
) -> None:
    plan = planned(wanted, offered)
    assert planned(wanted, offered) == plan
    shuffled = planned(wanted, tuple(data.draw(st.permutations(offered))))
    assert (shuffled.cost, shuffled.area_used, shuffled.plans) == (plan.cost, plan.area_used, plan.plans)
    assert replace(shuffled, boards=plan.boards) == plan


@settings(max_examples=15)
@given(wanted=blanks(), offered=boards())
def test_more_steps_never_cover_less_nor_cost_more(wanted: tuple[Blank, ...], offered: tuple[Board, ...]) -> None:
    """Plans in order of what is missing, by its worth, then of cost; both are told by the plan itself."""
    before = None
    for steps in (1, 3, 7, 9, 30):
        plan = planned(wanted, offered, stop=Stop(steps=steps))
        missing = round(sum(one.count * _area(plan.blanks[one.blank]) for one in plan.short))
        if len({blank.thickness for blank in wanted}) > 1 and plan.short:
            continue  # what is missing is weighed by what its wood costs, which differs by thickness
        told = (missing, round(plan.cost if plan.cost is not None else plan.area_used, 4))
        assert before is None or told <= before
        before = told


def _area(blank: Blank) -> float:
    return blank.length * blank.width
