"""Sizes and numbers: any order, limits that move, loops named, overrides traced, names lawful."""

# ruff: noqa: E501 - tables of examples read best one under another
from __future__ import annotations

import pytest

from batchwright.base.fault import Fault, Place
from batchwright.base.trace import By
from batchwright.design.text.read import read_tree
from batchwright.design.values.declared import declare
from batchwright.design.values.order import order_of
from batchwright.design.values.sizes import SizeBook, evaluate_sizes
from batchwright.model.draft import SizeKind, SizeValue
from batchwright.model.job import Override

INCH = 25.4


def book(text: str, units: str = "in", *overrides: Override) -> SizeBook:
    tree, faults = read_tree(text, "a.piece.yaml")
    assert tree is not None and not faults
    declared = declare(tree)
    assert not declared.faults, declared.faults
    return evaluate_sizes(declared, units, overrides)


def faults_of(text: str) -> tuple[Fault, ...]:
    tree, faults = read_tree(text, "a.piece.yaml")
    assert tree is not None and not faults
    declared = declare(tree)
    return (*declared.faults, *evaluate_sizes(declared, "in").faults)


def one(found: SizeBook, name: str) -> SizeValue:
    return next(value for value in found.values if value.name == name)


def override(name: str, text: str) -> Override:
    return Override(name=name, text=text, place=Place("a.job.yaml", 4, 20))


def test_order_does_not_matter_and_kinds_are_found() -> None:
    found = book(
        "sizes:\n  inside: width - 2*leg\n  width: {is: 15, note: over all}\n  leg: 1 3/4\n  rake: 1 in 8\nnumbers: {n: 7}\n"
    )
    assert not found.faults
    assert one(found, "inside").value == pytest.approx(11.5 * INCH)
    assert [value.name for value in found.values] == ["inside", "width", "leg", "rake", "n"]
    assert (one(found, "rake").kind, one(found, "n").kind) == (SizeKind.ANGLE, SizeKind.NUMBER)
    assert (one(found, "inside").free, one(found, "width").free, one(found, "width").note) == (False, True, "over all")


def test_limits_are_expressions_and_move() -> None:
    text = "sizes:\n  a: {is: 5, from: b, to: b*2, step: 1/4}\n  b: 3\n"
    value = one(book(text), "a")
    assert (value.low, value.high, value.step) == pytest.approx((3 * INCH, 6 * INCH, INCH / 4))
    moved = book(text, "in", override("b", "6"))
    assert [fault.code for fault in moved.faults] == ["outside-limits"]


def test_a_size_outside_its_limits_names_size_value_and_limit() -> None:
    (fault,) = faults_of("sizes:\n  width: {is: 22 1/2, from: 12, to: 20}\n")
    assert (fault.code, fault.place.line, fault.place.column) == ("outside-limits", 2, 15)
    assert "`width`" in fault.what and "22 1/2 in" in fault.what and "20 in" in fault.what


def test_an_override_stands_instead_and_is_traced_to_the_job() -> None:
    found = book(
        "sizes: {width: 15, half: width/2}\nnumbers: {n: 7}\n", "in", override("width", "16 in"), override("n", "9")
    )
    assert one(found, "half").value == pytest.approx(8 * INCH)
    assert [one(found, name).by for name in ("width", "half", "n")] == [By.JOB, By.MAKER, By.JOB]
    assert one(found, "width").text == "16 in"


def test_faults_of_an_override_stand_where_the_override_stands() -> None:
    found = book("sizes: {width: {is: 15, to: 20}}\n", "in", override("width", "10 + widht"), override("wdith", "2"))
    assert [(fault.code, fault.place.line, fault.place.column) for fault in found.faults] == [
        ("unknown-name", 4, 20),
        ("unknown-name", 4, 25),
    ]
    assert all(fault.place.file == "a.job.yaml" and "`width`" in fault.mend for fault in found.faults)


def test_a_loop_is_named_all_the_way_round() -> None:
    (fault,) = faults_of("sizes:\n  a: b + 1\n  b: c*2\n  c: a\n  d: a\n")
    assert fault.code == "loop" and "a -> b -> c -> a" in fault.what
    assert "line 3" in fault.mend and "line 4" in fault.mend


def test_what_rests_on_a_fault_is_not_told_again() -> None:
    assert [fault.code for fault in faults_of("sizes:\n  a: 1/0\n  b: a + 1\n  c: b*2\n")] == ["division-by-zero"]


def test_a_chain_of_thousands_is_worked_out() -> None:
    lines = [f"  s{index}: s{index + 1} + 1 mm" for index in range(3000)]
    found = book("sizes:\n" + "\n".join(lines) + "\n  s3000: 1 mm\n")
    assert not found.faults and one(found, "s0").value == pytest.approx(3001.0)


@pytest.mark.parametrize(
    ("text", "code", "line", "column"),
    [
        ("sizes:\n  w: 10\n  a: w/2 in\n", "wrong-kind", 3, 6),
        ("sizes:\n  a: 3\nnumbers:\n  n: 3 in\n", "wrong-kind", 4, 6),
        ("sizes:\n  a: {is: 4 deg, from: 0}\n", "wrong-kind", 2, 24),
        ("sizes:\n  a: {is: 4, from: 9, to: 2}\n", "limits-crossed", 2, 20),
        ("sizes:\n  a: {is: 4, step: 0}\n", "step-not-positive", 2, 20),
        ("sizes:\n  a: head.x\nplaces: {head: [1, 2, 3]}\n", "size-from-drawing", 2, 6),
        ("sizes:\n  a: leg\nparts: {leg: {}}\n", "size-from-drawing", 2, 6),
        ("sizes:\n  a: [1, 2]\n", "one-value-wanted", 2, 6),
        ("sizes:\n  a:\n", "nothing-said", 2, 5),
        ("sizes:\n  a: {frm: 2}\n", "unknown-word", 2, 7),
        ("sizes:\n  a: {from: 2}\n", "word-missing", 2, 6),
        ("sizes: 3\n", "table-wanted", 1, 8),
        ("sizes:\n  set in: 3\n", "reserved-word", 2, 3),
        ("sizes:\n  leg-thick: 3\n", "bad-name", 2, 3),
        ("sizes:\n  2nd leg: 3\n", "bad-name", 2, 3),
        ("sizes:\n  a  b: 3\n", "bad-name", 2, 3),
        ("sizes:\n  leg: 3\nparts:\n  leg: {}\n", "name-taken", 4, 3),
    ],
)
def test_mistakes_have_their_place(text: str, code: str, line: int, column: int) -> None:
    found = [fault for fault in faults_of(text) if fault.code == code]
    assert found, faults_of(text)
    assert (found[0].place.line, found[0].place.column) == (line, column)
    assert found[0].mend


def test_inches_and_millimetres_give_the_same_sizes() -> None:
    inches = book("sizes: {a: 10, b: a/3 + 1/2}\n", "in")
    metric = book("sizes: {a: 254, b: a/3 + 12.7}\n", "mm")
    assert [value.value for value in inches.values] == pytest.approx([value.value for value in metric.values])


def test_order_puts_what_is_used_first_and_finds_every_loop() -> None:
    ordered, loops = order_of({"a": ["b", "c"], "b": ["c"], "c": [], "d": ["e"], "e": ["d"], "f": ["f", "nobody"]})
    assert ordered.index("c") < ordered.index("b") < ordered.index("a")
    assert set(loops) == {("d", "e"), ("f",)} and set(ordered) == set("abcdef")
