"""Measuring bundles: halves in turn, one rounding at the end."""

from __future__ import annotations

from batchwright.handbook.lumber import BoardSize, surface_measure, tally, whole_feet

FOOT = 304.8


def board(width_in: float, length_ft: float, quarters: float = 4) -> BoardSize:
    return BoardSize(width=width_in * 25.4, length=length_ft * FOOT, thickness=quarters / 4 * 25.4)


def test_exact_halves_go_up_and_down_in_turn_and_only_they() -> None:
    halves = [board(6, 9), board(7, 10), board(6, 9), board(6, 9)]
    assert tally(halves).surface_measures == (5, 6, 4, 5)


def test_a_bundle_is_rounded_once() -> None:
    assert tally([board(9, 12, 5)] * 3).board_feet == (11.25, 11.25, 11.25)
    assert tally([board(9, 12, 5)] * 3).total == 34  # 33.75
    assert tally([board(9, 12, 5)] * 2).total == 23  # 22.5 goes up


def test_an_empty_bundle_is_nothing() -> None:
    assert tally([]).total == 0


def test_part_feet_are_dropped_but_not_by_a_rounding_error() -> None:
    assert whole_feet(11.99 * FOOT) == 11
    for feet in range(1, 20):
        assert whole_feet(feet * FOOT) == feet
        assert whole_feet(feet * 12 * 25.4) == feet


def test_thin_stock_counts_as_one_inch() -> None:
    thin = BoardSize(width=6 * 25.4, length=8 * FOOT, thickness=19.05)
    assert tally([thin]).board_feet == (4.0,)


def test_a_narrow_short_board_may_measure_nothing() -> None:
    assert surface_measure(25.4, 3 * FOOT) == 0
