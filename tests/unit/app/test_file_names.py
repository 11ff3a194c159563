"""Names of files in a packet: fit for every file system, and no two alike."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from batchwright.app.packet import LONGEST_NAME, file_name, file_names


@pytest.mark.parametrize(
    ("name", "wanted"),
    [
        ("leg, left back = right front", "leg-left-back-right-front"),
        ("A/1", "A-1"),
        ("Ель 木", "Ель-木"),
        ("..", "unnamed"),
        ("", "unnamed"),
        ("x" * 500, "x" * LONGEST_NAME),
    ],
)
def test_file_names_are_letters_digits_and_hyphens(name: str, wanted: str) -> None:
    assert file_name(name) == wanted


@given(st.lists(st.text(max_size=80), max_size=12))
def test_no_two_names_are_alike_and_none_leads_elsewhere(names: list[str]) -> None:
    given_names = file_names(names)
    assert len(given_names) == len(names)
    assert len({name.casefold() for name in given_names}) == len(names)
    for name in given_names:
        assert name and not set(name) & set('/\\:.*?"<>| \n\0')
        assert len(name.encode()) <= 255


def test_names_that_are_free_are_kept() -> None:
    assert file_names(["A1", "a-1", "A 1", "A-1-2", "A/1"]) == ("A1", "a-1", "A-1-2", "A-1-2-2", "A-1-3")
