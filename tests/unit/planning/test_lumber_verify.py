"""The checker of board plans: a right plan passes, each kind of wrong plan is caught and told for what it is."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from batchwright.model.stock import BoardPlan, LaidBlank, LumberPlan, SectionCut, Shortage, Strip
from batchwright.planning.lumber import Cuts, check_layout
from lumber_stock import INCH, KERF, TRIM, blank, board, defect

CUTS = Cuts(kerf=KERF * INCH, end_trim=TRIM * INCH)
RAIL, STILE = 0, 1


def laid(which: int, x: float, y: float, length: float, width: float) -> LaidBlank:
    return LaidBlank(blank=which, x=x * INCH, y=y * INCH, length=length * INCH, width=width * INCH)


def strip(y: float, width: float, *parts: LaidBlank) -> Strip:
    return Strip(y=y * INCH, width=width * INCH, laid=parts)


def section(x: float, length: float, *strips: Strip) -> SectionCut:
    return SectionCut(x=x * INCH, length=length * INCH, strips=strips)


def right_plan() -> LumberPlan:
    """Two rails one above the other, then two stiles end to end beside a knot, on a board that narrows by an inch."""
    oak = board("W1", (64, 6, 5, 1), price=30.0, defects=(defect(30, 31, 3, 4),))
    sections = (
        section(1, 20, strip(0, 2.5, laid(RAIL, 1, 0, 20, 2.5)), strip(2.625, 2.5, laid(RAIL, 1, 2.625, 20, 2.5))),
        section(22, 24.125, strip(0, 2, laid(STILE, 22, 0, 12, 2), laid(STILE, 34.125, 0, 12, 2))),
    )
    return LumberPlan(
        blanks=(blank("rail", (20, 2.5, 1), 2), blank("stile", (12, 2, 1), 3)),
        boards=(oak,),
        plans=(BoardPlan(board="W1", sections=sections),),
        short=(Shortage(blank=STILE, count=1, why="the boards ran out"),),
        kerf=KERF * INCH,
        cost=30.0,
        area_used=64 * 5.5 * INCH**2,
        area_bound=0.0,
        gap=None,
        status="",
    )


def with_section(number: int, fresh: SectionCut) -> LumberPlan:
    plan = right_plan()
    sections = list(plan.plans[0].sections)
    sections[number] = fresh
    return replace(plan, plans=(replace(plan.plans[0], sections=tuple(sections)),))


def stiles(*parts: LaidBlank, start: float = 22.0, length: float = 24.125, y: float = 0.0) -> LumberPlan:
    return with_section(1, section(start, length, strip(y, 2, *parts)))


def second(x: float = 34.125, y: float = 0.0) -> LaidBlank:
    return laid(STILE, x, y, 12, 2)


def other_board(**more: object) -> LumberPlan:
    plan = right_plan()
    return replace(plan, boards=(replace(plan.boards[0], **more),))  # type: ignore[arg-type]


def other_blank(**more: object) -> LumberPlan:
    plan = right_plan()
    return replace(plan, blanks=(replace(plan.blanks[0], **more), plan.blanks[1]))  # type: ignore[arg-type]


def test_a_plan_that_can_be_cut_passes() -> None:
    assert check_layout(right_plan(), CUTS) == ()


WRONG: dict[str, tuple[Callable[[], LumberPlan], str]] = {
    "one too few": (lambda: stiles(laid(STILE, 22, 0, 12, 2)), "stile: 3 wanted, 1 laid"),
    "not told as short": (lambda: replace(right_plan(), short=()), "stile: 3 wanted, 2 laid, 0 told"),
    "a blank not on the list": (
        lambda: stiles(laid(STILE, 22, 0, 12, 2), laid(7, 34.125, 0, 12, 2)),
        "not on the list",
    ),
    "into the trimmed end": (
        lambda: with_section(0, section(0.5, 20, strip(0, 2.5, laid(RAIL, 0.5, 0, 20, 2.5)))),
        "section 1: starts at 12.70 mm",
    ),
    "past the sound end": (
        lambda: stiles(laid(STILE, 39, 0, 12, 2), second(51.125), start=39.0),
        "its sound end is at 1600.20 mm",
    ),
    "over the narrow end": (
        lambda: stiles(laid(STILE, 22, 3.6, 12, 2), second(34.125, 3.6), y=3.6),
        "reaches over the board's edge",
    ),
    "on a knot": (lambda: stiles(laid(STILE, 22, 2.5, 12, 2), second(34.125, 2.5), y=2.5), "lies on knot"),
    "no kerf in the strip": (lambda: stiles(laid(STILE, 22, 0, 12, 2), second(34)), "closer than the saw is wide"),
    "no kerf between strips": (
        lambda: with_section(
            0,
            section(1, 20, strip(0, 2.5, laid(RAIL, 1, 0, 20, 2.5)), strip(2.5, 2.5, laid(RAIL, 1, 2.5, 20, 2.5))),
        ),
        "two strips are closer than the saw",
    ),
    "no kerf between sections": (
        lambda: stiles(laid(STILE, 21, 0, 12, 2), second(33.125), start=21.0),
        "section 2: starts",
    ),
    "blanks over one another": (lambda: stiles(laid(STILE, 22, 0, 12, 2), second(28)), "overlap"),
    "out of its strip": (lambda: stiles(laid(STILE, 22, 0, 12, 2), second(34.125, 0.5)), "out of its strip"),
    "out of its section": (lambda: stiles(laid(STILE, 22, 0, 12, 2), second(36)), "out of its section"),
    "laid too small": (
        lambda: stiles(laid(STILE, 22, 0, 11.5, 2), second()),
        "but must be 304.80 x 50.80 mm",
    ),
    "board too thin": (lambda: other_board(thickness=0.9 * INCH), "mm are needed"),
    "thinner than the blank says": (lambda: other_blank(least_thickness=1.01 * INCH), "mm are needed"),
    "other wood": (lambda: other_board(species="cherry"), "the board is cherry"),
    "not sawn as asked": (lambda: other_blank(sawn="rift"), "wants rift sawn"),
    "board used twice": (lambda: replace(right_plan(), plans=right_plan().plans * 2), "planned 2 times"),
    "unknown board": (lambda: other_board(name="W2"), "no board is called W1"),
    "wrong cost": (lambda: replace(right_plan(), cost=29.0), "cost 30.00; the plan says 29.00"),
    "wrong area": (lambda: replace(right_plan(), area_used=1.0), "the plan says 1"),
    "kerf of a thinner saw": (lambda: replace(right_plan(), kerf=1.0), "it takes 3.17 mm"),
}


@pytest.mark.parametrize("wrong", sorted(WRONG))
def test_each_kind_of_wrong_plan_is_caught(wrong: str) -> None:
    spoil, told = WRONG[wrong]
    found = check_layout(spoil(), CUTS)
    assert any(told in each.what for each in found), [each.what for each in found]
    assert all(each.code == "board-plan-wrong" for each in found)


def test_a_strip_in_the_wrong_place_is_not_hidden_by_its_own_numbers() -> None:
    """Pieces that keep to their strip, in a strip that lies where another one is."""
    doubled = section(1, 20, strip(0, 2.5, laid(RAIL, 1, 0, 20, 2.5)), strip(0, 2.5, laid(RAIL, 1, 0, 20, 2.5)))
    told = [each.what for each in check_layout(with_section(0, doubled), CUTS)]
    assert any("overlap" in each for each in told)
