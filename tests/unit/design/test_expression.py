"""Expressions: how each thing is read, of which kind it is, and what each mistake says.

Units: 1 in = 25.4 mm exactly, 1 ft = 304.8 mm exactly (international yard and pound agreement, 1959).
"""

# ruff: noqa: E501 - tables of examples read best one under another
from __future__ import annotations

import math

import pytest

from batchwright.base.fault import Fault, Place
from batchwright.design.text.mistake import Mistake
from batchwright.design.text.syntax import At, Attribute, Name, names_of
from batchwright.design.text.tree import Scalar, Span
from batchwright.design.values.evaluate import evaluate
from batchwright.design.values.expression import parse, parse_coordinate, unknown_name
from batchwright.design.values.values import About, Kind, Value, angle, as_count, as_length, length, number

INCH = 25.4


class Bench:
    """A scope with a few names."""

    units = "in"
    names = {
        "width": length(10 * INCH),
        "leg thick": length(1.5 * INCH),
        "rake": angle(math.radians(4)),
        "boards": number(4),
        "öse 2nd": length(1.0),
    }

    def lookup(self, name: str, place: Place) -> Value:
        if name not in self.names:
            raise unknown_name(name, place, self.names)
        return self.names[name]

    def name_at(self, name: str, axis: str, at: float, word: str, place: Place) -> Value:
        return length(at / 2)

    def attribute(self, name: str, word: str, place: Place) -> Value:
        return length({"x": 1.0, "y": 2.0, "top": 3.0}[word])


def scalar(text: str) -> Scalar:
    return Scalar(text=text, place=Place("a.piece.yaml", 3, 11), span=Span(0, len(text)))


def value(text: str) -> Value:
    return evaluate(parse(scalar(text), {"back slat 3"}), Bench())


def mistake_in(text: str) -> Fault:
    with pytest.raises(Mistake) as caught:
        value(text)
    assert len(caught.value.faults) == 1
    return caught.value.faults[0]


@pytest.mark.parametrize(
    ("text", "bare"),
    [
        ("12", 12), ("4.5", 4.5), (".5", 0.5), ("7/8", 0.875), ("17 1/4", 17.25), ("-15/16", -0.9375), ("--3", 3),
        ("2 + 3*4", 14), ("(2 + 3)*4", 20), ("2*3/4", 1.5), ("8/2/2", 2), ("7 / 8", 0.875), ("2 1/2*2", 5),
        ("2*(2 1/4)", 4.5), ("10 - 2 - 3", 5), ("17 - 1/4", 16.75), ("-(3)", -3), ("min(3; 1 1/2; 2)", 1.5),
        ("max(1; 2)", 2), ("abs(-2)", 2), ("round(2.5)", 3), ("round(-2.5)", -3), ("floor(-0.5)", -1), ("ceil(1.1)", 2),
        ("sqrt(16)", 4), ("007", 7),
    ],
)  # fmt: skip
def test_bare_numbers(text: str, bare: float) -> None:
    found = value(text)
    assert found.kind is Kind.BARE and found.value == pytest.approx(bare, abs=1e-12)


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("2'6\"", 30), ("2' 6 1/2\"", 30.5), ("2'", 24), ("6\"", 6), ('6 1/2"', 6.5), ('1/2"', 0.5), ("17 1/4 in", 17.25),
        ("2 ft", 24), ("7/8in", 0.875), ("25.4 mm", 1), ("2.54 cm", 1), ("0.0254 m", 1), ("width", 10), ("width/2", 5),
        ("width/2/4", 1.25), ("width - 2*leg thick", 7), ("width + 1/2", 10.5), ("1/2 + width", 10.5), ("3 - width", -7),
        ("2 1/2*width", 25), ("width*boards", 40), ("width/boards", 2.5), ("1 in - 8", -7), ("-width", -10),
        ("width*-7/8", -8.75), ("min(12; width)", 10), ("round(width/3; 1/8)", 3.375), ("width*sin(30 deg)", 5),
        ("floor(width; 3)", 9), ("ceil(width; 3 in)", 12), ("back line at z 24 - 3/8", 11.625),
        ("back line at z 24 in - 3/8 in", 11.625), ("-(rail line at y 4) - 1/2", -2.5), ("leg at z width", 5),
        ("back line at z (width + 2)", 6), ("abs(-3 in)", 3),
    ],
)  # fmt: skip
def test_lengths(text: str, inches: float) -> None:
    found = value(text)
    assert found.kind is Kind.LENGTH and found.value == pytest.approx(inches * INCH, abs=1e-9)


@pytest.mark.parametrize(
    ("text", "degrees"),
    [
        ("4 deg", 4), ("-4 deg", -4), ("rake + 3 deg", 7), ("rake*2", 8), ("1 in 1", 45), ("atan(1)", 45),
        ("1 in 8", math.degrees(math.atan(1 / 8))), ("1 1/2 in 8", math.degrees(math.atan(1.5 / 8))),
        ("1 in 7 1/2", math.degrees(math.atan(1 / 7.5))), ("max(rake; 5 deg)", 5), ("rake/2", 2),
    ],
)  # fmt: skip
def test_angles_and_slopes(text: str, degrees: float) -> None:
    found = value(text)
    assert found.kind is Kind.ANGLE and math.degrees(found.value) == pytest.approx(degrees, abs=1e-9)


@pytest.mark.parametrize(
    ("text", "plain"),
    [("boards", 4), ("boards + 1", 5), ("boards*2", 8), ("width/2 in", 5), ("width/width", 1), ("sin(30 deg)", 0.5),
     ("rake/rake", 1), ("sqrt(boards)", 2), ("2*boards - 1", 7), ("1/boards", 0.25)],
)  # fmt: skip
def test_plain_numbers(text: str, plain: float) -> None:
    found = value(text)
    assert found.kind is Kind.NUMBER and found.value == pytest.approx(plain, abs=1e-12)


@pytest.mark.parametrize(
    ("text", "code", "offset"),
    [
        ("width/2 1/4", "fraction-needs-brackets", 6),
        ("1 7/4", "fraction-not-proper", 2),
        ("17-1/4", "fraction-with-dash", 0),
        ("width*width", "kinds-do-not-multiply", 0),
        ("3/width", "kinds-do-not-divide", 2),
        ("2 * 3/4 in", "kinds-do-not-divide", 6),
        ("rake + 3", "kinds-do-not-add", 7),
        ("boards + width", "kinds-do-not-add", 9),
        ("width - boards", "kinds-do-not-add", 8),
        ("max(width; rake)", "kinds-do-not-compare", 11),
        ("1/0", "division-by-zero", 0),
        ("width/(2 - 2)", "division-by-zero", 7),
        ("1 in 0", "division-by-zero", 5),
        ("1 in 8 in", "slope-with-unit", 5),
        ("2' 6", "inch-mark-missing", 3),
        ("2'13\"", "inches-past-a-foot", 2),
        ("widht", "unknown-name", 0),
        ("2*widht", "unknown-name", 2),
        ("width leg thick", "unknown-name", 0),
        ("(width", "bracket-not-closed", 0),
        ("min(1; 2", "bracket-not-closed", 3),
        ("width)", "bracket-not-opened", 5),
        ("2 3", "nothing-between", 2),
        ("2 ft 6 in", "nothing-between", 5),
        ("width in", "unit-without-number", 6),
        ("in 5", "unit-without-number", 0),
        ("+3", "unexpected", 0),
        ("3 +", "unexpected", 3),
        ("3 * * 2", "unexpected", 4),
        ("1; 2", "unexpected", 1),
        ("at z 5", "unexpected", 0),
        ("place", "place-alone", 0),
        ("place.top", "place-alone", 0),
        ("leg at 5", "at-without-axis", 4),
        ("leg.left", "unknown-word-behind-point", 3),
        ("min(1, 2)", "comma", 5),
        ("4,5", "comma", 1),
        ("17½", "unknown-character", 2),
        ("4°", "unknown-character", 1),
        ("3 − 2", "unknown-character", 2),
        ("no #8", "unknown-character", 3),
        ("tan(90 deg)", "value-too-large", 0),
        ("99999999999", "value-too-large", 0),
        ("200 m", "value-too-large", 0),
        ("sqrt(-1)", "root-of-negative", 5),
        ("sqrt(width)", "wrong-kind", 5),
        ("round(width)", "wrong-kind", 6),
        ("round(width; 0)", "step-does-not-fit", 13),
        ("round(width; 2 deg)", "step-does-not-fit", 13),
        ("sin(2)", "wrong-kind", 4),
        ("sin(1 deg; 2)", "too-many-arguments", 0),
        ("back line at z rake", "wrong-kind", 15),
        ("(" * 40 + "1" + ")" * 40, "expression-too-deep", 25),
        ("-" * 100 + "1", "expression-too-deep", 25),
        ("1" * 30, "number-too-long", 0),
        ("1+" * 400 + "1", "expression-too-long", 0),
        (" ", "nothing-said", 0),
    ],
)  # fmt: skip
def test_mistakes_name_their_column_and_a_mend(text: str, code: str, offset: int) -> None:
    fault = mistake_in(text)
    assert fault.code == code, str(fault)
    assert (fault.place.line, fault.place.column) == (3, 11 + offset), str(fault)
    assert fault.mend and fault.what.endswith(".")


def test_an_unknown_name_offers_the_nearest() -> None:
    assert "`width`" in mistake_in("widht").mend
    assert "`leg thick`" in mistake_in("thick leg").mend


def test_a_length_over_a_length_is_explained_where_a_length_is_wanted() -> None:
    with pytest.raises(Mistake) as caught:
        as_length(value("width/2 in"), "in", About("x", Place("f", 1, 1), "width/2 in"))
    assert "width divided by 2 in" in caught.value.faults[0].why


@pytest.mark.parametrize(("text", "code"), [("2.5", "not-whole"), ("0", "count-out-of-range"), ("2 in", "wrong-kind")])
def test_counts_are_whole_and_within_limits(text: str, code: str) -> None:
    with pytest.raises(Mistake) as caught:
        as_count(value(text), About("count", Place("f", 1, 1), text))
    assert caught.value.faults[0].code == code


def test_names_with_spaces_are_one_name_and_several_spaces_are_one() -> None:
    assert value("leg   thick") == value("leg thick")


def test_names_in_any_letters() -> None:
    assert parse(scalar("höhe + ширина")).root.end == 13
    composed, apart = "h\u00f6he", "ho\u0308he"
    assert names_of(parse(scalar(apart))) == names_of(parse(scalar(composed))) == ("h\u00f6he",)


def test_a_name_that_ends_in_a_number_is_known_by_the_known_names() -> None:
    root = parse(scalar("back slat 3.x"), {"back slat 3"}).root
    assert root == Attribute(name="back slat 3", word="x", start=0, end=13)
    with pytest.raises(Mistake):
        parse(scalar("back slat 4"), {"back slat 3"})


def test_points_keep_their_form() -> None:
    assert isinstance(parse(scalar("left leg")).root, Name)
    root = parse(scalar("leg at z 6")).root
    assert isinstance(root, At) and (root.name, root.axis) == ("leg", "z")
    root = parse(scalar("bow at x place.x")).root
    assert isinstance(root, At) and root.word == "" and isinstance(root.by, Attribute)


@pytest.mark.parametrize(
    ("text", "axis"),
    [("z 13", "z"), ("z (width - 2)", "z"), ("z height", "z"), ("z(3)", "z"), ("width", ""), ("12", "")],
)
def test_coordinates_may_name_a_plain_axis(text: str, axis: str) -> None:
    assert parse_coordinate(scalar(text)).axis == axis


def test_a_coordinate_keeps_its_columns() -> None:
    with pytest.raises(Mistake) as caught:
        evaluate(parse_coordinate(scalar("z (width - widht)")).expression, Bench())
    assert caught.value.faults[0].place.column == 11 + 11


def test_names_of_an_expression_are_those_it_needs() -> None:
    assert names_of(parse(scalar("max(a; b at z c)*place.x + head.x - a"))) == ("a", "b", "c", "head")


def test_in_a_metric_file_bare_numbers_are_millimetres() -> None:
    class Metric(Bench):
        units = "mm"

    assert evaluate(parse(scalar("width + 4")), Metric()).value == pytest.approx(258.0)
