"""The nearest words, among few and among thousands."""

from __future__ import annotations

from difflib import SequenceMatcher

from hypothesis import given
from hypothesis import strategies as st

from batchwright.design.text.near import _ALIKE, _may_be_alike, nearest

WORDS = st.text(alphabet="abcde fg", max_size=10)


@given(WORDS, WORDS)
def test_no_word_that_is_alike_is_passed_over(one: str, other: str) -> None:
    """Held to the standard library's own measure of likeness."""
    if SequenceMatcher(None, one, other).ratio() >= _ALIKE:
        assert _may_be_alike(one, other)


def test_a_slip_is_found_among_thousands() -> None:
    known = [f"size {number}" for number in range(1900)] + ["width", "Width of rail"]
    assert nearest("widht", known)[0] == "width"
    assert nearest("Widht", known)[0] == "width"
    assert nearest("size 1", known)[0] == "size 1"
