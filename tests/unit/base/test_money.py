"""Amounts: whole cents, one rounding, nothing lost when they are shared out."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from batchwright.base.misread import Misread
from batchwright.base.money import Amount, amount, read_money, shared, times, total


@pytest.mark.parametrize(
    ("text", "cents", "currency"),
    [
        ("12", 1200, "$"),
        ("1,234.50", 123450, "$"),
        ("$12.5", 1250, "$"),
        ("€ 7.05", 705, "€"),
        ("12.50 CAD", 1250, "CAD"),
        ("-3", -300, "$"),
        (".99", 99, "$"),
    ],
)
def test_read_money_takes(text: str, cents: int, currency: str) -> None:
    assert read_money(text) == Amount(cents, currency)


@pytest.mark.parametrize(
    ("text", "column", "says"),
    [
        ("", 1, "no amount here"),
        ("cheap", 5, "'p' is no amount"),
        ("12,50", 1, "'12,50'"),
        ("1.234,50", 1, "'1.234,50'"),
        ("12.505", 1, "'12.505'"),
        ("12 or 13", 7, "'13' is left over"),
        ("$12 CAD", 5, "'CAD' is left over"),
        ("9999999999999999", 1, "too much"),
    ],
)
def test_read_money_refuses(text: str, column: int, says: str) -> None:
    wrong = read_money(text)
    assert isinstance(wrong, Misread)
    assert wrong.column == column
    assert says in wrong.what


def test_amount_rounds_half_a_cent_away_from_zero() -> None:
    assert amount(1.005).cents == 101
    assert amount(-1.005).cents == -101
    assert amount(Decimal("2.675")).cents == 268
    assert amount(Fraction(1, 3)).cents == 33
    assert amount(12).cents == 1200


def test_amounts_print_with_sign_or_code() -> None:
    assert str(Amount(123450)) == "$1,234.50"
    assert str(Amount(-5, "CAD")) == "-CAD 0.05"


def test_total_refuses_two_currencies() -> None:
    assert total((Amount(1), Amount(2))) == Amount(3)
    assert total((), "€") == Amount(0, "€")
    with pytest.raises(ValueError, match="cannot be added"):
        total((Amount(1, "$"), Amount(1, "€")))


def test_times_rounds_once() -> None:
    assert times(Amount(895), 12.5) == Amount(11188)
    assert times(Amount(10), Fraction(1, 3)) == Amount(3)


def test_shared_gives_the_odd_cents_to_those_who_lost_most() -> None:
    assert [one.cents for one in shared(Amount(100), (2.0, 1.0))] == [67, 33]
    assert [one.cents for one in shared(Amount(-100), (1.0, 1.0, 1.0))] == [-33, -33, -34]
    for bad in ((), (0.0, 0.0), (1.0, -1.0)):
        with pytest.raises(ValueError, match="weights"):
            shared(Amount(100), bad)
