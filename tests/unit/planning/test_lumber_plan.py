"""Plans of small jobs: counts and costs that can be worked out by hand, what is short and why, thicker boards, tops."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

import pytest

from batchwright.model.stock import Blank, Board, LumberPlan
from batchwright.planning.lumber import LumberRequest, Stop, plan_lumber
from lumber_stock import INCH, KERF, SHOP, TRIM, blank, board, defect

QUICK = Stop(steps=16)


def plan(
    blanks: tuple[Blank, ...], boards: tuple[Board, ...], seed: int = 1, stop: Stop = QUICK
) -> tuple[LumberPlan, list[str]]:
    made, findings = plan_lumber(LumberRequest(blanks=blanks, boards=boards, shop=SHOP, seed=seed, stop=stop))
    assert made.verified
    return made, [f"{each.what} {each.why} {each.mend}" for each in findings]


def laid_on(made: LumberPlan, name: str) -> list[int]:
    return [
        laid.blank
        for each in made.plans
        if each.board == name
        for section in each.sections
        for strip in section.strips
        for laid in strip.laid
    ]


def most_of(size: tuple[float, float], length: float, width: float) -> int:
    """How many equal blanks a clear board holds: rows along times strips across, a kerf between every two."""
    along = math.floor((length - 2 * TRIM + KERF) / (size[0] + KERF) + 1e-9)
    return along * math.floor((width + KERF) / (size[1] + KERF) + 1e-9)


@pytest.mark.parametrize(("length", "width"), [(64.0, 6.0), (62.5, 5.25), (63.25, 8.0), (100.0, 2.5)])
def test_equal_blanks_fill_a_clear_board_as_counted_by_hand(length: float, width: float) -> None:
    size = (12.0, 2.5)
    held = most_of(size, length, width)
    made, _ = plan((blank("rail", (*size, 1), held + 3),), (board("W1", (length, width, 1)),))
    assert len(laid_on(made, "W1")) == held
    assert [short.count for short in made.short] == [3]


def test_the_cheapest_boards_that_hold_equal_blanks_are_taken() -> None:
    """Against every choice of boards."""
    size, count = (20.0, 2.5), 19
    sizes = [(64, 6, 31.0), (84, 6, 44.0), (64, 8.5, 40.0), (45, 8, 22.0), (96, 5.5, 50.0)]
    boards = tuple(board(f"W{n}", (a, b, 1), price) for n, (a, b, price) in enumerate(sizes))
    made, _ = plan((blank("rail", (*size, 1), count),), boards, stop=Stop(steps=60))
    least = min(
        sum(each[2] for each in chosen)
        for many in range(1, len(sizes) + 1)
        for chosen in itertools.combinations(sizes, many)
        if sum(most_of(size, each[0], each[1]) for each in chosen) >= count
    )
    assert made.cost == pytest.approx(least)
    assert made.cost_bound is not None
    assert made.cost_bound <= least + 1e-6


def test_bound_is_met_where_nothing_can_be_better() -> None:
    """Two boards, each filled by one blank but for its trimmed ends: the least possible is both."""
    made, _ = plan((blank("plank", (60, 6, 1), 2),), tuple(board(f"W{n}", (62, 6, 1), 30.0) for n in range(3)))
    assert made.cost == 60.0
    assert made.cost_bound == pytest.approx(60.0)
    assert made.gap == pytest.approx(0.0, abs=1e-6)


def test_a_blank_fits_to_the_thirty_second_between_trimmed_ends() -> None:
    exact, _ = plan((blank("rail", (40, 3, 1), 1),), (board("W1", (42, 3, 1)),))
    assert not exact.short
    over, _ = plan((blank("rail", (40 + 1 / 32, 3, 1), 1),), (board("W1", (42, 3, 1)),))
    assert over.short[0].count == 1


def test_blanks_keep_clear_of_a_defect_on_either_face() -> None:
    """A knot in the middle of the width leaves no strip through, but a place at either end."""
    knot = defect(30, 33, 1.0, 2.0, face="back")
    made, _ = plan((blank("rail", (28, 3, 1), 3),), (board("W1", (64, 3, 1), defects=(knot,)),))
    assert len(laid_on(made, "W1")) == 2
    whole, said = plan((blank("rail", (40, 3, 1), 1),), (board("W1", (64, 3, 1), defects=(knot,)),))
    assert "no board has a clear place of 40 in (1016 mm) by 3 in" in whole.short[0].why
    assert "look for white oak at least 42 in (1067 mm) long, 3 in (77 mm) wide" in said[0]


def test_a_tapering_board_gives_wide_blanks_from_its_wide_end() -> None:
    made, _ = plan((blank("arm", (20, 5, 1), 2),), (board("W1", (64, 6, 4, 1)),))
    assert len(laid_on(made, "W1")) == 1
    assert made.plans[0].sections[0].x < 13 * INCH


REASONS = [
    (blank("slat", (70, 2, 1), 1), "longer than any board with its ends trimmed: it takes 70 in (1778 mm)"),
    (blank("slat", (20, 7, 1), 1), "wider than any board"),
    (blank("slat", (20, 2, 1), 1, species="cherry"), "no board is of cherry"),
    (blank("leg", (20, 2, 2), 1), "no board is thick enough"),
    (blank("leg", (20, 2, 1), 1, sawn="rift"), "no board of white oak is said to be rift sawn"),
    (blank("leg", (20, 2, 1), 90), "the boards ran out"),
]


@pytest.mark.parametrize(("wanted", "why"), REASONS, ids=lambda each: each if isinstance(each, str) else "")
def test_what_is_not_covered_is_told_with_the_reason(wanted: Blank, why: str) -> None:
    made, said = plan((wanted,), (board("W1", (64, 6, 1)), board("W2", (40, 6, 1))))
    assert made.short[0].why.startswith(why)
    assert made.short[0].count + sum(len(laid_on(made, name)) for name in ("W1", "W2")) == wanted.count
    assert made.status == "not everything is covered"
    assert made.gap is None
    assert any("are not covered by the boards" in each and "look for" in each for each in said)


def test_a_measured_board_under_its_nominal_quarter_does_where_the_blank_says_so() -> None:
    thin = board("W1", (64, 6, 0.95))
    assert not plan((blank("slat", (20, 2, 1), 1, least_thickness=0.94 * INCH),), (thin,))[0].short
    assert plan((blank("slat", (20, 2, 1), 1, least_thickness=0.96 * INCH),), (thin,))[0].short
    assert not plan((blank("slat", (20, 2, 1), 1),), (thin,))[0].short


def test_thicker_boards_are_taken_last_and_said_so() -> None:
    boards = (board("A1", (44, 3, 1), 99.0), board("D1", (64, 6, 2.0625), 1.0))
    one, _ = plan((blank("slat", (40, 2.5, 1), 1),), boards)
    assert [each.board for each in one.plans] == ["A1"]
    two, _ = plan((blank("slat", (40, 2.5, 1), 2),), boards)
    assert [each.board for each in two.plans] == ["A1", "D1"]
    assert any("come from thicker boards (D1)" in note for note in two.notes)


def test_boards_without_prices_are_chosen_by_area() -> None:
    boards = (board("W1", (64, 8, 1)), board("W2", (30, 6, 1)))
    made, _ = plan((blank("rail", (20, 5, 1), 1),), boards)
    assert [each.board for each in made.plans] == ["W2"]
    assert made.cost is None
    assert made.cost_bound is None
    assert any("no prices" in note for note in made.notes)
    half, _ = plan((blank("rail", (20, 5, 1), 1),), (replace(boards[0], price=1.0), boards[1]))
    assert any("Not all boards have a price (W2)" in note for note in half.notes)


def staves(count: int) -> tuple[Blank, ...]:
    return tuple(blank("top", (30, 5, 1), count, stave=f"{n} of 3") for n in (1, 2, 3))


def test_staves_of_a_top_lie_together() -> None:
    made, _ = plan(staves(1), (board("W1", (64, 11, 1)), board("W2", (64, 11, 1))))
    assert len(made.plans) == 1
    assert not any("glued up from several boards" in note for note in made.notes)


def test_a_top_from_several_boards_is_told() -> None:
    made, _ = plan(staves(1), (board("W1", (33, 11, 1)), board("W2", (33, 11, 1))))
    assert any(note.startswith("top: 1 glued up from several boards (W1, W2)") for note in made.notes)


def test_nothing_to_lay_is_not_a_failure() -> None:
    made, said = plan((), (board("W1", (64, 6, 1), 20.0),))
    assert (made.plans, made.short, said, made.status) == ((), (), [], "nothing to lay")
    bare, _ = plan((blank("rail", (20, 5, 1), 2),), ())
    assert bare.short[0].count == 2


def test_progress_runs_from_nought_to_one() -> None:
    told: list[float] = []
    request = LumberRequest(
        blanks=(blank("rail", (20, 5, 1), 2),), boards=(board("W1", (64, 6, 1)),), shop=SHOP, stop=QUICK
    )
    plan_lumber(request, told.append)
    assert told == sorted(told)
    assert told[-1] == 1.0
    assert all(0.0 <= share <= 1.0 for share in told)
