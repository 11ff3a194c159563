"""Amounts of money: whole cents and the text of a currency. Rounded once, at the end, to the cent."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

from batchwright.base.misread import Misread, quoted
from batchwright.base.numeral import plain, spaces_end

LARGEST = 10**14
"""Cents: above this, something else was meant."""

_AMOUNT = re.compile(r"\d{1,3}(?:,\d{3})+(?:\.\d{1,2})?(?![\d.,])|\d+(?:\.\d{1,2})?(?![\d.,])|\.\d{1,2}(?![\d.,])")
_SIGN_OR_CODE = re.compile(r"[^\d\s.,+-]{1,4}")


@dataclass(frozen=True, slots=True, order=True)
class Amount:
    """An amount in cents of a currency, whose text is a sign (`$`) or a code (`CAD`)."""

    cents: int
    currency: str = "$"

    def __str__(self) -> str:
        whole, rest = divmod(abs(self.cents), 100)
        sign = "-" if self.cents < 0 else ""
        space = " " if self.currency[-1:].isalpha() else ""
        return f"{sign}{self.currency}{space}{whole:,}.{rest:02d}"


def amount(value: float | Decimal | Fraction, currency: str = "$") -> Amount:
    """A number of whole units of currency as an amount; half a cent goes away from zero.

    >>> str(amount(1234.5)), str(amount(1.005)), str(amount(-2.5, "CAD"))
    ('$1,234.50', '$1.01', '-CAD 2.50')
    """
    exact = Decimal(repr(value)) if isinstance(value, float) else _decimal(value)
    return Amount(int((exact * 100).quantize(Decimal(1), rounding=ROUND_HALF_UP)), currency)


def _decimal(value: int | Decimal | Fraction) -> Decimal:
    return Decimal(value.numerator) / Decimal(value.denominator) if isinstance(value, Fraction) else Decimal(value)


def total(amounts: Iterable[Amount], currency: str = "$") -> Amount:
    """The sum of amounts in one currency; of none, nothing of `currency`.

    Raises
    ------
    ValueError
        If they are in different currencies.
    """
    each = tuple(amounts)
    found = sorted({one.currency for one in each})
    if len(found) > 1:
        raise ValueError(f"amounts in {' and '.join(found)} cannot be added")
    return Amount(sum(one.cents for one in each), found[0] if found else currency)


def times(one: Amount, factor: float | Decimal | Fraction) -> Amount:
    """An amount taken `factor` times, rounded to the cent once.

    >>> str(times(Amount(895), 12.5))
    '$111.88'
    """
    exact = Decimal(repr(factor)) if isinstance(factor, float) else _decimal(factor)
    return Amount(int((exact * one.cents).quantize(Decimal(1), rounding=ROUND_HALF_UP)), one.currency)


def shared(whole: Amount, weights: tuple[float, ...]) -> tuple[Amount, ...]:
    """An amount shared out by weight; the shares add up to the whole, to the cent.

    Odd cents go to the shares that lost most by rounding down, earlier ones first.

    Raises
    ------
    ValueError
        If a weight is below zero or all are zero.

    >>> [one.cents for one in shared(Amount(100), (1.0, 1.0, 1.0))]
    [34, 33, 33]
    """
    exact = [Fraction(weight) for weight in weights]
    if not exact or min(exact) < 0 or sum(exact) == 0:
        raise ValueError("shares need weights of zero or more, and one above zero")
    parts = [whole.cents * weight / sum(exact) for weight in exact]
    floors = [part.numerator // part.denominator for part in parts]
    by_loss = sorted(range(len(parts)), key=lambda place: (floors[place] - parts[place], place))
    for place in by_loss[: whole.cents - sum(floors)]:
        floors[place] += 1
    return tuple(Amount(cents, whole.currency) for cents in floors)


def read_money(text: str, currency: str = "$") -> Amount | Misread:
    """A typed amount: `12`, `1,234.50`, `$12.50`, `12.50 CAD`; without a sign or code it is in `currency`.

    >>> read_money("1,234.5")
    Amount(cents=123450, currency='$')
    >>> print(read_money("12,50"))
    '12,50' is no amount. (column 1); write it as 12.50 or 1,250.00
    """
    line = plain(text)
    start = spaces_end(line, 0)
    negative = line[start : start + 1] == "-"
    start = spaces_end(line, start + 1) if negative else start
    before = _SIGN_OR_CODE.match(line, start)
    number_at = spaces_end(line, before.end()) if before else start
    number = _AMOUNT.match(line, number_at)
    if number is None or len(number.group()) > 20:
        rest = line[number_at:].strip()
        what = f"{quoted(rest)} is no amount." if rest else "there is no amount here."
        return Misread(what=what, mend="write it as 12.50 or 1,250.00", column=number_at + 1)
    after_at = spaces_end(line, number.end())
    after = None if before else _SIGN_OR_CODE.match(line, after_at)
    left = spaces_end(line, after.end() if after else after_at)
    if left < len(line):
        what = f"{quoted(line[left:])} is left over behind the amount."
        return Misread(what=what, mend="write one amount and one currency", column=left + 1)
    named = before or after
    cents = int(Decimal(number.group().replace(",", "")) * 100)
    if cents > LARGEST:
        what = f"{quoted(number.group())} is too much to reckon with."
        return Misread(what=what, mend="check the digits", column=number_at + 1)
    return Amount(-cents if negative else cents, named.group() if named else currency)
