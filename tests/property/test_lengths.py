"""Laws of lengths, quantities and money: printing and reading undo one another, inches and millimetres agree."""

from __future__ import annotations

import math

from hypothesis import given
from hypothesis import strategies as st

from batchwright.base.length import (
    INCH,
    Unit,
    nearest_fraction,
    print_inches,
    print_millimetres,
    read_length,
    running,
)
from batchwright.base.misread import Misread
from batchwright.base.money import Amount, read_money, shared
from batchwright.base.quantity import read_quantity, to_unit
from batchwright.base.units import FACTORS, Dimension

STEPS = st.sampled_from([1, 2, 4, 8, 16, 32, 64])
LENGTHS = st.floats(-5000.0, 5000.0, allow_nan=False)


@given(st.integers(-8000, 8000), STEPS, st.booleans())
def test_print_then_read_is_identity_on_the_grid_of_inches(count: int, step: int, feet: bool) -> None:
    value = count * INCH / step
    again = read_length(print_inches(value, step, feet=feet))
    assert isinstance(again, float)
    assert math.isclose(again, value, rel_tol=1e-14, abs_tol=1e-12)
    assert print_inches(again, step, feet=feet) == print_inches(value, step, feet=feet)


@given(st.integers(-50_000, 50_000), st.sampled_from([0.1, 0.5, 1.0]))
def test_print_then_read_is_identity_on_the_grid_of_millimetres(count: int, step: float) -> None:
    value = count * step
    again = read_length(print_millimetres(value, step), Unit.MILLIMETRES)
    assert isinstance(again, float)
    assert math.isclose(again, value, rel_tol=1e-14, abs_tol=1e-12)


@given(LENGTHS, STEPS)
def test_printing_is_never_off_by_more_than_half_a_step(value: float, step: int) -> None:
    again = read_length(print_inches(value, step))
    assert isinstance(again, float)
    assert abs(again - value) <= INCH / step / 2 * (1 + 1e-6)


@given(LENGTHS, STEPS)
def test_mark_agrees_with_the_remainder(value: float, step: int) -> None:
    text = print_inches(value, step, mark=True)
    over = (abs(value) - abs(float(nearest_fraction(value, step))) * INCH) * step / INCH
    if abs(abs(over) - 0.25) > 1e-6:
        assert text.endswith("+") == (over > 0.25)
        assert text.endswith("-") == (over < -0.25)


@given(LENGTHS, STEPS)
def test_left_and_right_print_the_same_number(value: float, step: int) -> None:
    there, back = print_inches(abs(value), step), print_inches(-abs(value), step)
    assert back in (f"-{there}", there)


@given(st.integers(0, 4000), st.integers(0, 31))
def test_inches_and_millimetres_agree(whole: int, part: int) -> None:
    inches = read_length(f"{whole} {part}/32 in" if part else f"{whole} in")
    millimetres = read_length(f"{(whole * 32 + part) * 254 / 320:.9f} mm".replace(".000000000", ""))
    assert isinstance(inches, float)
    assert isinstance(millimetres, float)
    assert math.isclose(inches, millimetres, rel_tol=1e-12, abs_tol=1e-9)


@given(st.lists(st.floats(0.1, 500.0), min_size=1, max_size=30), STEPS)
def test_running_never_drifts(lengths: list[float], step: int) -> None:
    texts = running(tuple(lengths), Unit.INCHES, step)
    for place, text in enumerate(texts):
        read = read_length(text)
        assert isinstance(read, float)
        assert abs(read - sum(lengths[: place + 1])) <= INCH / step / 2 * (1 + 1e-6)


@given(st.text(max_size=30))
def test_any_text_is_read_or_refused_with_a_column_inside_it(text: str) -> None:
    for read in (read_length(text), read_money(text), *(read_quantity(text, kind) for kind in Dimension)):
        if isinstance(read, Misread):
            assert 1 <= read.column <= len(text) + 1
            assert read.mend
        else:
            assert isinstance(read, float | Amount)


@given(st.text(alphabet="0123456789 /.'\"-infmtc", max_size=16))
def test_texts_of_lengths_letters_are_read_or_refused(text: str) -> None:
    read = read_length(text)
    assert isinstance(read, Misread) or math.isfinite(read)


@given(st.sampled_from([(kind, unit) for kind in Dimension for unit in FACTORS[kind]]), st.integers(-10_000, 10_000))
def test_quantities_go_to_a_unit_and_back(each: tuple[Dimension, str], hundredths: int) -> None:
    kind, unit = each
    value = read_quantity(f"{hundredths / 100:.2f} {unit}", kind)
    assert isinstance(value, float)
    assert math.isclose(to_unit(value, kind, unit), hundredths / 100, rel_tol=1e-12, abs_tol=1e-9)


@given(st.integers(-(10**12), 10**12))
def test_money_prints_and_reads_back(cents: int) -> None:
    assert read_money(str(Amount(cents))) == Amount(cents)


@given(st.integers(-(10**9), 10**9), st.lists(st.floats(0.0, 1e6), min_size=1, max_size=20).filter(any))
def test_shares_add_up_to_the_whole(cents: int, weights: list[float]) -> None:
    shares = shared(Amount(cents), tuple(weights))
    assert sum(one.cents for one in shares) == cents
    whole = sum(weights)
    assert all(abs(one.cents - cents * weight / whole) < 1.01 for one, weight in zip(shares, weights))
