"""Lengths: what may be typed, what is refused and where, what is printed."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest

from batchwright.base.length import (
    INCH,
    Unit,
    nearest_fraction,
    print_inches,
    print_length,
    print_millimetres,
    read_length,
    running,
)
from batchwright.base.misread import Misread


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("17 1/4", 17.25),
        ("7/8", 0.875),
        ("12", 12.0),
        ("4.5", 4.5),
        (".75", 0.75),
        ("17 1/4 in", 17.25),
        ('6"', 6.0),
        ("2'", 24.0),
        ("2'6\"", 30.0),
        ("2' 6 1/2\"", 30.5),
        ("2' 6", 30.0),
        ("2'-6\"", 30.0),
        ("2 ft 6 in", 30.0),
        ("2 1/2 ft", 30.0),
        ("2′ 6½″".replace("½", " 1/2"), 30.5),
        ("-3/4", -0.75),
        ("  5  ", 5.0),
        ("17\u00a01/4", 17.25),
    ],
)
def test_read_length_takes_inches_and_feet(text: str, inches: float) -> None:
    assert read_length(text) == float(Fraction(inches) * Fraction(127, 5))


@pytest.mark.parametrize(
    ("text", "millimetres"), [("440 mm", 440.0), ("44cm", 440.0), ("0.44 m", 440.0), ("12.5", 12.5), ("1 in", 25.4)]
)
def test_read_length_takes_metres_and_a_bare_number_in_the_said_unit(text: str, millimetres: float) -> None:
    assert read_length(text, Unit.MILLIMETRES) == millimetres


def test_read_length_takes_a_bare_number_in_the_unit_of_a_heading() -> None:
    assert read_length("8 1/2", "ft") == 2590.8


@pytest.mark.parametrize(
    ("text", "column", "says", "mends"),
    [
        ("", 1, "no length", "17 1/4 in"),
        ("   ", 4, "no length", "17 1/4 in"),
        ("wide", 1, "'wide'", "17 1/4 in"),
        ("17-1/4", 3, "mixed number or a difference", "'17 1/4'"),
        ("17,5", 3, "comma", "17.5"),
        ("1 7/4", 3, "not below one", "'2 3/4'"),
        ("1 4/4", 3, "not below one", "'2'"),
        ("7/0", 1, "divides by nothing", "7/8"),
        ("12 inch", 4, "'inch'", "in, ft, mm, cm or m"),
        ("2' 14\"", 4, "a foot has 12", "3' 2\""),
        ("2 1/2' 6\"", 1, "not whole", "2 1/2 ft"),
        ("2' 6 mm", 4, "mm follows feet", "2' 6 1/2\""),
        ("2' wide", 4, "'wide'", "17 1/4 in"),
        ("2' 6 wide", 6, "'wide'", "in, ft"),
        ("1 2 3", 3, "'2 3' is left over", "one length"),
        ("5 m 3 cm", 5, "left over", "one length"),
        ("1e5", 2, "'e'", "in, ft"),
        ("9" * 400, 1, "400 characters", "15"),
        ("٣", 1, "does not start", "440 mm"),
    ],
)
def test_read_length_says_where_and_how_to_mend(text: str, column: int, says: str, mends: str) -> None:
    wrong = read_length(text)
    assert isinstance(wrong, Misread)
    assert wrong.column == column
    assert says in wrong.what
    assert mends in wrong.mend
    assert len(str(wrong)) < 200


def test_print_inches_reduces_fractions_and_carries() -> None:
    assert print_inches(17.25 * INCH) == "17 1/4"
    assert print_inches(0.5 * INCH, 16) == "1/2"
    assert print_inches(11.999 * INCH, 16) == "12"
    assert print_inches(11.999 * INCH, feet=True) == "1' 0\""
    assert print_inches(6.5 * INCH, feet=True) == '6 1/2"'
    assert print_inches(0.0) == "0"
    assert print_inches(-0.001) == "0"


def test_print_inches_rounds_halves_alike_on_both_hands() -> None:
    half = INCH / 64
    assert print_inches(half, 32) == "1/32"
    assert print_inches(-half, 32) == "-1/32"
    assert nearest_fraction(3 * half) == -nearest_fraction(-3 * half)


@pytest.mark.parametrize(
    ("over", "printed"), [(0.0, "3"), (0.24, "3"), (0.26, "3+"), (0.49, "3+"), (-0.24, "3"), (-0.26, "3-")]
)
def test_mark_tells_heavy_and_light_beyond_a_quarter_of_the_step(over: float, printed: str) -> None:
    assert print_inches((3 + over / 16) * INCH, 16, mark=True) == printed


def test_mark_follows_feet_and_speaks_of_the_size_below_zero() -> None:
    assert print_inches((30 + 0.3 / 16) * INCH, 16, mark=True, feet=True) == "2' 6\"+"
    assert print_inches(-(3 + 0.3 / 16) * INCH, 16, mark=True) == "-3+"


@pytest.mark.parametrize(
    ("value", "step", "printed"),
    [
        (438.26, 0.5, "438.5"),
        (438.24, 0.5, "438"),
        (438.26, 0.1, "438.3"),
        (438.26, 1, "438"),
        (438.26, 0.25, "438.25"),
        (-0.1, 0.5, "0"),
        (-12.25, 0.5, "-12.5"),
        (1000.0, 0.1, "1000"),
    ],
)
def test_print_millimetres_rounds_to_the_step(value: float, step: float, printed: str) -> None:
    assert print_millimetres(value, step) == printed


def test_print_length_chooses_by_unit() -> None:
    assert print_length(438.15, Unit.INCHES) == "17 1/4"
    assert print_length(438.15, Unit.MILLIMETRES) == "438"


def test_running_rounds_each_from_the_datum_only() -> None:
    gap = 10.4 / 32 * INCH
    texts = running((gap,) * 10, Unit.INCHES, 32)
    assert texts[0] == "5/16"
    assert texts[-1] == "3 1/4", "ten gaps of 10.4/32 end at 104/32; adding rounded gaps would give 100/32"


@pytest.mark.parametrize("value", [math.nan, math.inf])
def test_print_refuses_what_is_no_number(value: float) -> None:
    with pytest.raises((ValueError, OverflowError)):
        print_inches(value)
