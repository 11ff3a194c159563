"""Saving sizes: the new value in the maker's style, every other byte as it was."""

from __future__ import annotations

import math

import pytest

from batchwright.design.values.write import Change, Saved, save_sizes, text_hash

INCH = 25.4
TEXT = (
    "\ufeffpiece: Stuhl fürs Café  \r\nunits: in\r\n"
    "sizes:   # the sizes\r\n"
    "  width:  {is: 15, from: 12, to: 20}   # trailing   \r\n"
    "  höhe : 17 1/4\r\n"
    "  splay: '4 deg'\r\n"
    "  gap: 6 mm # metric\r\n"
    "  tall: 2'6\"\r\n"
    "  deep: 4.5\r\n"
    '  thick: "7/8 in"\r\n'
    "  half: width/2\r\n"
    "numbers: {back slats: {is: 7, from: 5}}\r\n"
    "parts: {}"
)


def save(*changes: Change) -> Saved:
    return save_sizes(TEXT, "a.piece.yaml", changes, text_hash(TEXT))


@pytest.mark.parametrize(
    ("name", "new", "old_words", "new_words"),
    [
        ("width", 16.5 * INCH, "is: 15,", "is: 16 1/2,"),
        ("width", 16.37 * INCH, "is: 15,", "is: 16.37,"),
        ("höhe", 17 * INCH, "höhe : 17 1/4", "höhe : 17"),
        ("höhe", 3 / 64 * INCH, "höhe : 17 1/4", "höhe : 3/64"),
        ("höhe", -1.125 * INCH, "höhe : 17 1/4", "höhe : -1 1/8"),
        ("splay", math.radians(6.5), "'4 deg'", "'6.5 deg'"),
        ("gap", 8.0, "6 mm #", "8 mm #"),
        ("tall", 31.5 * INCH, "2'6\"\r", "2'7 1/2\"\r"),
        ("tall", 36 * INCH, "2'6\"\r", "3'\r"),
        ("deep", 4.25 * INCH, "deep: 4.5", "deep: 4.25"),
        ("thick", 1 * INCH, '"7/8 in"', '"1 in"'),
        ("back slats", 9, "is: 7,", "is: 9,"),
    ],
)
def test_a_value_is_replaced_in_the_style_it_had(name: str, new: float, old_words: str, new_words: str) -> None:
    saved = save(Change(name, new))
    assert not saved.faults
    assert TEXT.count(old_words) == 1
    assert saved.text == TEXT.replace(old_words, new_words)


def test_several_values_are_replaced_at_once() -> None:
    saved = save(Change("back slats", 5), Change("width", 12 * INCH))
    assert saved.text == TEXT.replace("is: 15,", "is: 12,").replace("is: 7,", "is: 5,")


def test_nothing_to_change_changes_nothing() -> None:
    assert save().text == TEXT


@pytest.mark.parametrize(
    ("change", "code"),
    [
        (Change("half", 3.0), "size-worked-out"),
        (Change("widht", 3.0), "unknown-name"),
        (Change("width", math.inf), "value-too-large"),
    ],
)
def test_what_cannot_be_saved_is_told_and_nothing_is_written(change: Change, code: str) -> None:
    saved = save(Change("back slats", 5), change)
    assert saved.text is None
    assert [fault.code for fault in saved.faults] == [code]


def test_a_text_that_changed_meanwhile_is_not_overwritten() -> None:
    saved = save_sizes(TEXT + " ", "a.piece.yaml", [Change("width", 1.0)], text_hash(TEXT))
    assert saved.text is None and saved.faults[0].code == "text-changed"


def test_a_text_with_faults_is_not_touched() -> None:
    text = "units: in\nsizes: {a: 1\n"
    assert save_sizes(text, "f", [Change("a", 1.0)], text_hash(text)).faults[0].code == "broken-form"
    text = "units: furlong\nsizes: {a: 1}\n"
    assert save_sizes(text, "f", [Change("a", 1.0)], text_hash(text)).faults[0].code == "unknown-choice"
    text = "units: in\nsizes: {a: 1/0}\n"
    assert save_sizes(text, "f", [Change("a", 1.0)], text_hash(text)).faults[0].code == "size-not-readable"
