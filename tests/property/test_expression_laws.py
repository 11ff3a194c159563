"""Laws of expressions: written and read again they are the same; no text makes the reader stumble."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st

from batchwright.base.fault import Place
from batchwright.design.text.mistake import Mistake
from batchwright.design.text.say import say_fraction
from batchwright.design.text.tree import Scalar, Span
from batchwright.design.values.evaluate import evaluate
from batchwright.design.values.expression import parse, parse_coordinate, unknown_name
from batchwright.design.values.values import Kind, Value, length

NAMES = {"width": length(254.0), "leg thick": length(40.0)}


class Bench:
    units = "in"

    def lookup(self, name: str, place: Place) -> Value:
        if name not in NAMES:
            raise unknown_name(name, place, NAMES)
        return NAMES[name]

    def name_at(self, name: str, axis: str, at: float, word: str, place: Place) -> Value:
        return length(at)

    def attribute(self, name: str, word: str, place: Place) -> Value:
        return length(1.0)


def scalar(text: str) -> Scalar:
    return Scalar(text=text, place=Place("f", 1, 1), span=Span(0, len(text)))


def worked(text: str) -> Value:
    return evaluate(parse(scalar(text), NAMES), Bench())


@given(st.integers(-64 * 2000, 64 * 2000))
@settings(max_examples=300, deadline=None)
def test_a_fraction_written_is_read_back_exactly(sixty_fourths: int) -> None:
    inches = Fraction(sixty_fourths, 64)
    assert worked(say_fraction(float(inches))) == Value(Kind.BARE, float(inches))


whole = st.integers(1, 12).map(str)
atoms = st.one_of(whole, st.sampled_from(["7/8", "width", "leg thick", "2.5", "3 mm", "width*2"]))


def combined(inner: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
    pair = st.tuples(inner, st.sampled_from(["+", "-"]), inner)
    return st.one_of(
        pair.map(lambda p: f"({p[0]} {p[1]} {p[2]})"), inner.map(lambda i: f"-{i}"), inner.map(lambda i: f"2*({i})")
    )


@given(st.recursive(atoms, combined, max_leaves=6))
@settings(max_examples=200, deadline=None)
def test_brackets_and_spaces_do_not_change_a_value(text: str) -> None:
    plain = worked(text)
    assert worked(f"(({text}))") == plain
    assert worked(text.replace(" ", "  ").replace("*", " * ").replace("(", "( ")) == plain


@given(st.recursive(atoms, combined, max_leaves=4), st.recursive(atoms, combined, max_leaves=4))
@settings(max_examples=200, deadline=None)
def test_sums_may_be_written_either_way_round(one: str, other: str) -> None:
    assert worked(f"({one}) + ({other})") == worked(f"({other}) + ({one})")
    assert worked(f"({one}) - ({other})").value == -worked(f"({other}) - ({one})").value


pieces = st.sampled_from(
    [*"()+-*/;.,'\"#½°−", " ", "1", "7/8", "2.5", "in", "mm", "deg", "at", "z", "x", "place", "width", "leg", "thick",
     "min(", "sqrt(", "sin(", "\u0308", "ö", "\u202e", "9" * 17, "1e400", "0"]
)  # fmt: skip


@given(st.one_of(st.lists(pieces, max_size=14).map("".join), st.text(max_size=40)))
@settings(max_examples=600, deadline=None)
def test_any_text_gives_a_value_or_faults_with_a_place_inside_it(text: str) -> None:
    for read in (lambda: parse(scalar(text), NAMES), lambda: parse_coordinate(scalar(text), NAMES).expression):
        try:
            value = evaluate(read(), Bench())
        except Mistake as stop:
            assert stop.faults
            for fault in stop.faults:
                assert 1 <= fault.place.column <= len(text) + 1
                assert fault.mend and fault.what
        else:
            assert value.value == value.value and abs(value.value) <= 1e9
